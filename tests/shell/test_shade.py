"""The commands of `histkit shade`, as a maker types them, with odd input too."""

import json

import pytest
from typer.testing import CliRunner
from warm_pictures import WARM, beside_a_card

from histkit import records
from histkit.keeping.records import Record
from histkit.shade import Colour
from histkit.shell.main import app

CARD = {"red": (51, 48, 16), "lime": (72, -23, 57), "blue": (40, 10, -45), "white": (96, -1, 2), "rose": (66, 18, 18), "ash": (50, 0, 0)}
WHOLE, MIDDLE = "0,0,100,66.6", "30,75,40,20"


@pytest.fixture
def run():
    def call(*words, code=0):
        answer = CliRunner().invoke(app, ["shade", *map(str, words)])
        assert answer.exit_code == code or (code is None and answer.exit_code in (1, 2)), answer.output
        return answer.output

    return call


def photograph(path, colour, light=WARM):
    """A card above, the colour below, in a warm light; the path."""
    path.write_bytes(beside_a_card(CARD, colour, light))
    return path


@pytest.fixture
def card(tmp_path):
    file = tmp_path / "card.csv"
    file.write_text("name,L,a,b\n" + "\n".join(f"{name},{','.join(map(str, lab))}" for name, lab in CARD.items()), encoding="utf-8")
    return file


def test_a_whole_job_from_photographs_to_the_next_addition(run, tmp_path, card):
    """Base, tints, powder, target; a proposal; a batch; what it showed; a proposal by that."""
    kept = tmp_path / "mine.json"
    jobs = [
        (Colour(94, 0, 2), "base", []),
        (Colour(88, 3, 22), "tint", ["--pigment", "iron-oxide-yellow=2"]),
        (Colour(70, 22, 16), "tint", ["--pigment", "red iron oxide=2"]),
        (Colour(86, 4, 14), "powder", ["--pigment", "iron-oxide-yellow=1"]),
        (Colour(74, 12, 18), "target", []),
    ]
    for n, (colour, role, more) in enumerate(jobs):
        picture = photograph(tmp_path / f"{n}.png", colour)
        beside = ["--card", card, "--columns", 3, "--card-box", WHOLE, "--keep", kept, "--as", role]
        said = run("swatches", picture, "--box", f"{role} {n}={MIDDLE}", *beside, *more)
        assert "Corrected by 6 patches of the colour card" in said and "kept in" in said and "ITA" in said
    record = records.load(kept)
    assert [s.role for s in record.swatches] == ["base", "tint", "tint", "powder", "target"] and record.card.columns == 3
    assert record.swatches[4].swatch().colour.difference(Colour(74, 12, 18)) < 1
    assert "red iron oxide, 20 % in talc" in run("next", kept, "--grams", 20)
    blend = json.loads(run("forecast", kept, "--pigment", "iron-oxide-yellow=1", "--pigment", "red iron oxide=1", "--json"))
    assert 70 < blend["lab"][0] < 88 and blend["within"] > 0.2 and blend["gap"] > 0
    assert run("forecast", kept, "--pigment", "iron-oxide-yellow=1", "--target", "tan").count("From the target") == 1
    assert "no tint of carmine" in run("forecast", kept, "--pigment", "carmine=1", code=2)
    assert "very light" in run("next", kept, "--grams", 20, "--target", "beige", code=2)
    assert "Add now" in run("next", kept, "--grams", 20, "--target", "tan")
    assert "keep it again with what was ground in" in run("next", kept, "--grams", 20, "--by-batches", code=2)
    picture = photograph(tmp_path / "after.png", Colour(80, 8, 16))
    grounds = ["--ground", "iron-oxide-red=0.6", "--into", 20, "--as", "powder", "--keep", kept]
    run("swatches", picture, "--box", f"after={MIDDLE}", "--card", card, "--columns", 3, "--card-box", WHOLE, *grounds)
    found = json.loads(run("slopes", kept, "--json"))
    assert found["slopes"]["red iron oxide, 20 % in talc"][0] == pytest.approx(-6 / 3, abs=0.2), "6 of L* for 3 g in 100 g"
    assert found["expected"] == ["yellow iron oxide, 20 % in talc"]
    assert "your batches" in run("slopes", kept)
    answer = json.loads(run("next", kept, "--grams", 20.6, "--by-batches", "--json"))
    assert answer["add"]["red iron oxide, 20 % in talc"] > 0


def test_a_plain_powder_is_ground_in_as_itself(run, tmp_path, card):
    kept = tmp_path / "mine.json"
    beside = ["--card", card, "--columns", 3, "--card-box", WHOLE, "--keep", kept]
    for n, (colour, more) in enumerate([(Colour(70, 12, 18), ["--pigment", "carmine=2"]), (Colour(73, 11, 17), ["--ground", "talc=2"])]):
        run("swatches", photograph(tmp_path / f"{n}.png", colour), "--box", f"{n}={MIDDLE}", *beside, *more)
    assert "talc " in run("slopes", kept)
    assert records.load(kept).swatches[1].pigments == (("carmine", pytest.approx(0.4 / 22)),)


def test_an_extension_goes_into_a_record_and_out_again(run, tmp_path):
    kept = records.save(Record(text="Face Powder\nTalc 4 oz.\nRice starch 4 oz."), tmp_path / "powder.json")
    assert "red iron oxide, 20 % in talc: 5 % of the powder" in run("take", kept, "red iron oxide", "--percent", 5)
    batch = records.load(kept).batch()
    assert batch.weighing("iron-oxide-red").aliquot.kind == "extension"
    assert "no carmine in this powder" in run("take", kept, "carmine", code=2)
    assert "no extension of carmine" in run("take", kept, "carmine", "--out", code=2)
    assert "No colour extension" in run("take", kept, "iron-oxide-red", "--out")
    assert records.load(kept).extensions == ()


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ([], "grey card too"),
        (["--card-box", WHOLE], "say with --card"),
        (["--card", "CARD", "--columns", "4", "--card-box", WHOLE], "rows of 4"),
        (["--card", "CARD", "--columns", "3"], "name it 'card'"),
        (["--card", "CARD", "--columns", "3", "--card-box", "0,0,100"], "four figures"),
        (["--card", "CARD", "--columns", "3", "--card-box", WHOLE, "--light", "tungsten"], "D65"),
        (["--card", "EMPTY", "--card-box", WHOLE], "not 0"),
        (["--grey", "0,0,5,5", "--keep", "KEPT", "--as", "moonlight"], "base, tint, powder"),
        (["--grey", "0,70,20,20", "--keep", "KEPT", "--ground", "talc=1"], "keep a pressed swatch"),
        (["--grey", "0,70,20,20", "--keep", "KEPT", "--ground", "talc=1", "--pigment", "carmine=1"], "without --pigment"),
        (["--grey", "0,70,20,20", "--keep", "KEPT", "--pigment", "moonshine=1"], "moonshine"),
        (["--grey", "0,70,20,20", "--keep", "KEPT", "--pigment", "carmine"], "--pigment"),
    ],
)
def test_odd_input_is_refused_in_a_sentence(run, tmp_path, card, more, words):
    picture = photograph(tmp_path / "x.png", Colour(50, 0, 0), (1, 1, 1))
    empty = tmp_path / "empty.csv"
    empty.write_text("", encoding="utf-8")
    places = {"CARD": card, "KEPT": tmp_path / "kept.json", "EMPTY": empty}
    said = run("swatches", picture, "--box", f"mine={MIDDLE}", *[places.get(word, word) for word in more], code=None)
    assert words in " ".join(said.split())
    assert not (tmp_path / "kept.json").exists(), "nothing half done is kept"


@pytest.mark.parametrize(
    "call",
    [
        ["start", "beige"], ["start", "#12"], ["row", "light", "light"], ["row", "light", "tan", "--count", "99"],
        ["extension", "moonshine"], ["extension", "carmine", "--share", "7"], ["extension", "carmine", "--make", "-3"],
        ["extension", "glycerin"],
    ],
)  # fmt: skip
def test_what_cannot_be_is_a_sentence_and_no_traceback(call):
    answer = CliRunner().invoke(app, ["shade", *call])
    assert answer.exit_code in (1, 2) and "Traceback" not in answer.output and answer.output.strip()
