"""A sheet on paper: everything is on it, nothing is cut off, nothing lies over something else."""

import re
import zlib

import pytest
from bench_ingredients import as_glossary
from drawn import apart, inside, words_of
from hypothesis import given, settings
from hypothesis import strategies as st

import histkit as hk
from histkit.bench.batching import batch
from histkit.bench.pressing import press
from histkit.bench.weighing import Balance
from histkit.composing.composition import Composition
from histkit.display import papers
from histkit.display.frames import Bar
from histkit.glossary.nouns import Ingredient


@pytest.fixture(autouse=True, scope="module")
def _glossary():
    with as_glossary():
        yield


def powder(name="invented tinted powder"):
    return Composition.of([("talc", 60), ("kaolin", 25), ("zinc-oxide", 14.8), ("carmine", 0.1), ("rose-oil", 0.1)], name)


def made(name="invented tinted powder", **more):
    pressed = press(powder(name), wetting="alcohol")
    return batch(pressed, 60, Balance(0.01, 0.2), **more)


@pytest.mark.parametrize("paper", ["a4", "letter", "A4"])
def test_everything_of_the_sheet_is_on_the_pages(paper):
    one = made(number="7b", prices={"talc": 0.02}, currency="EUR", pans=4)
    sheet = one.bench_sheet()
    pages = papers.pages(sheet.describe(), paper)
    words = words_of(pages)
    for row in sheet.rows:
        assert row.amount in words and row.ingredient.name in words
    wanted = [step.text() for step in sheet.steps] + [text for _, text in sheet.accounts]
    wanted += [sheet.price, "7b", "60.00 g", "Notes", "Balance showed", "(restricted)", "page 1 of", "Wet it"]
    words = words.replace("\u00a0", " ")
    for text in (*wanted, *(w for _, w in (*sheet.gravest_cautions(), *sheet.further_cautions()))):
        assert " ".join(text.split()) in words, text
    for page in pages:
        inside(page, papers.MARGIN)
        apart(page)
        assert page.title


def test_the_size_is_that_of_the_paper():
    page = papers.pages(made().bench_sheet().describe(), "letter")[0]
    assert page.width / 256 == pytest.approx(8.5, abs=0.01) and page.height / 256 == pytest.approx(11, abs=0.01)
    with pytest.raises(hk.BadValue, match="a4, letter"):
        papers.pages(made().bench_sheet().describe(), "vellum")


def test_boxes_to_tick_and_lines_to_write_on():
    sheet = made().bench_sheet()
    bars = [bar for page in papers.pages(sheet.describe()) for bar in page.items if isinstance(bar, Bar)]
    boxes = [b for b in bars if b.width == papers.BOX]
    count = len(sheet.rows) + len(sheet.steps)
    assert len(boxes) == 2 * count
    last = papers.pages(sheet.describe())[-1]
    notes = next(w for w in last.words if w.text == "Notes")
    assert sum(1 for b in last.items if isinstance(b, Bar) and b.y > notes.y and b.height < 3 and b.width > last.width / 2) >= 4


@settings(max_examples=15, deadline=None)
@given(st.text(min_size=1, max_size=120), st.integers(1, 30))
def test_long_and_strange_names_are_never_cut_off(name, count):
    parts = [(Ingredient(f"earth-{n}", f"{name} {n}" if n else "talc", state="powder"), 1.0 + n) for n in range(count)]
    one = batch(Composition.of(parts, name), 30 + 5 * count, number=name[:10])
    for page in papers.pages(one.bench_sheet().describe()):
        inside(page, papers.MARGIN)
        apart(page)


def test_the_pdf_is_one_with_as_many_pages_and_the_same_each_time():
    one = made()
    data = one.to_pdf()
    assert data.startswith(b"%PDF-") and data == one.bench_sheet().to_pdf()
    assert len(re.findall(rb"/Type /Page\b", data)) == len(papers.pages(one.bench_sheet().describe()))
    assert any(
        b"Tj" in zlib.decompress(m) or b"TJ" in zlib.decompress(m)
        for m in re.findall(rb"stream\r?\n(x.*?)\r?\nendstream", data, re.S)[:3]
    )
