"""`histkit photo`: text, doubts and what no line uses, in 80 columns; what is refused, and how."""

import json

import printed_pages as pages
import pytest
from typer.testing import CliRunner

from histkit.shell.main import app

RUNNER = CliRunner()
BODY = "#align(center)[#title[Tooth Powder.]]\n\nBorax #leaders 4 oz. \\\nMyrrh #leaders 1#piece(1, 3) dr. \\\nMix, and pass through a fine sieve."


def run(*words):
    return RUNNER.invoke(app, ["photo", *[str(word) for word in words]])


@pytest.fixture(scope="module")
def file(tmp_path_factory):
    path = tmp_path_factory.mktemp("photo") / "page.png"
    pages.set_image(pages.markup_of(BODY, "Libertinus Serif", 11), 300).convert("RGB").save(path)
    return path


def test_what_is_told(file):
    shown = run(file)
    assert shown.exit_code == 0, shown.stderr
    for words in ("TOOTH POWDER.", "Borax    4 oz.", "1.33333 drachm", "Compare with the page:", "Line 3: A fraction", "saves typing"):
        assert words in shown.stdout
    assert max(len(line) for line in shown.stdout.splitlines()) <= 80


def test_the_text_alone_can_be_translated(file, tmp_path):
    shown = run(file, "--text-only")
    assert shown.exit_code == 0 and shown.stdout.startswith("TOOTH POWDER.") and "Compare" not in shown.stdout
    text = tmp_path / "page.txt"
    text.write_text(shown.stdout, encoding="utf-8")
    assert "borax" in RUNNER.invoke(app, ["translate", str(text)]).stdout


def test_as_data(file):
    answer = json.loads(run(file, "--json").stdout)
    assert [line["name"] for line in answer["lines"]] == ["Borax", "Myrrh"] and answer["engines"] == ["rapidocr", "tesseract"]
    for word in answer["words"]:
        assert answer["text"][word["start"] : word["end"]] == word["text"]
    assert [doubt["kind"] for doubt in answer["doubts"]] == ["fraction"] and answer["unused"] == []


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--frame", "1,2,3"), "--frame 1,2,3: write it as left,top,right,bottom in pixels"),
        (("--frame", "100,0,0,90"), "a box is left, top, right, bottom in pixels"),
        (("--frame", "90000,0,90900,100"), "has too little of the picture"),
        (("--page", "2"), "page.png: there is no page 2: it has 1 page"),
    ],
)
def test_what_is_refused(file, words, told):
    shown = run(file, *words)
    assert shown.exit_code == 2 and told in shown.stderr and len(shown.stderr.splitlines()) == 1


def test_a_file_that_is_no_picture_and_a_blank_page(tmp_path):
    from PIL import Image

    (tmp_path / "notes.jpg").write_text("Borax, 4 oz.", encoding="utf-8")
    shown = run(tmp_path / "notes.jpg")
    assert shown.exit_code == 2 and "no picture that can be opened" in shown.stderr
    Image.new("RGB", (300, 300), "white").save(tmp_path / "blank.png")
    shown = run(tmp_path / "blank.png")
    assert shown.exit_code == 1 and shown.stdout == "" and "No print was found" in shown.stderr
