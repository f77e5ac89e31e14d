"""The shell: every command on real input, kind errors, exit codes."""

import json
from dataclasses import replace

import pytest
from typer.testing import CliRunner

from histkit import records
from histkit.bench.trials import Trial
from histkit.keeping import example as demo
from histkit.keeping.records import Pack
from histkit.shell.main import app

RUNNER = CliRunner()
FORMULA = "Venetian talc,           4 oz.\nCarmine,              2 drachms.\nOtto of rose,         10 drops.\n"
LEAD = "White lead,   2 oz.\nStarch,   8 oz.\n"


def run(*words, text=None):
    return RUNNER.invoke(app, [str(w) for w in words], input=text)


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "rouge.txt"
    path.write_text(FORMULA, encoding="utf-8")
    return path


def test_translate(file):
    shown = run("translate", file, "--year", 1868, "--country", "GB", "--kind", "trade receipt book", "--explain")
    assert shown.exit_code == 0 and "talc" in shown.stdout and "437.5" in shown.stdout
    answer = json.loads(run("translate", file, "--json").stdout)
    assert [line["ingredient"] for line in answer["lines"]] == ["talc", "carmine", "rose-oil"]
    assert answer["lines"][0]["grams"]["best"] == pytest.approx(113.398, abs=0.001)


def test_translate_from_a_pipe():
    assert "talc" in run("translate", "-", text=FORMULA).stdout


def test_find():
    shown = run("find", "pulv.", "rad.", "irid.", "flor.")
    assert shown.exit_code == 0 and "orris root" in shown.stdout
    assert json.loads(run("find", "white lead", "--json").stdout)["cautions"][0]["level"] == "forbidden"
    nothing = run("find", "umbrella")
    assert nothing.exit_code == 1 and "knows no 'umbrella'" in nothing.stderr
    near = run("find", "whit leabd")
    assert near.exit_code == 1 and "Near it: " in near.stderr and "white lead" in near.stderr
    endless = run("find", "a" * 100_000)
    assert endless.exit_code == 1 and len(endless.stderr.splitlines()) == 1 and len(endless.stderr) < 120


def test_find_as_data_and_with_its_doubts(monkeypatch):
    """Nothing found is null; what a name has also meant is said in words."""
    nothing = run("find", "umbrella", "--json")
    assert nothing.exit_code == 1 and json.loads(nothing.stdout) is None
    shown = run("find", "flake", "white")
    assert shown.exit_code == 0 and "Doubt: " in shown.stdout and "bismuth" in shown.stdout


def test_what_the_system_refuses_is_a_sentence(file, monkeypatch):
    """A disk that is full in the midst of an answer is no traceback."""

    def full(*_, **__):
        raise OSError(28, "No space left on device", "bench-sheet.html")

    monkeypatch.setattr("histkit.keeping.records.Record.batch", full)
    answer = run("batch", file)
    assert answer.exit_code == 2 and answer.stderr == "histkit: bench-sheet.html: No space left on device\n"


def test_an_error_of_a_mapping_is_shown_without_its_quotes(file, monkeypatch):
    def gone(*_, **__):
        raise KeyError("no book of that name")

    monkeypatch.setattr("histkit.keeping.records.Record.batch", gone)
    answer = run("batch", file)
    assert answer.exit_code == 1 and answer.stderr == "histkit: no book of that name\n"


def test_what_the_book_says_of_its_measures_goes_before_the_tables(file):
    """Rose water, a pint: 20 imperial fluid ounces of 28.413 mL, or the wine pint of 473.176 mL."""
    book = ("translate", file, "--year", 1861, "--country", "GB", "--kind", "household receipt book", "--json")
    file.write_text("Rose water  1 pint\nTalc  1 oz.", encoding="utf-8")
    imperial, wine = (
        json.loads(run(*book, *more).stdout)["lines"][0]["grams"]["best"] for more in ((), ("--book-says", "wine measure"))
    )
    assert wine / imperial == pytest.approx(473.176473 / 568.26125, rel=1e-6)


def test_press(file):
    answer = json.loads(run("press", file, "--grams", 40, "--json").stdout)
    assert sum(round(w["grams"] * 100) for w in answer["weighings"]) == 4000
    shares = {p["ingredient"]: p["share"] for p in answer["composition"]}
    assert shares["magnesium-stearate"] == pytest.approx(0.05) and shares["jojoba-oil"] == pytest.approx(0.03)


def test_press_shows_published_levels_and_pans(file):
    shown = run("press", file, "--grams", 40, "--cake", "face powder", "--pans", 3, "--pan", "20x30x4", "--density", 1.2)
    assert shown.exit_code == 0, shown.stderr
    assert (
        "Schlossman" in shown.stdout
        and "eye shadow" not in shown.stdout.split("40.00 g")[0].split("Published")[1].split("jojoba")[0]
    )
    assert "take about 8.6 g" in shown.stdout and "40.00 g" in shown.stdout
    answer = json.loads(run("press", file, "--pans", 3, "--pan", "44x4", "--density", 1, "--json").stdout)
    assert sum(w["grams"] for w in answer["weighings"]) == pytest.approx(3 * 3.14159265 / 4 * 4.4**2 * 0.4 * 1.1, abs=0.01)
    assert answer["pan_fill"]["best"] == pytest.approx(18.25, abs=0.01) and any(v["low"] == 0.05 for v in answer["levels"])


def test_press_tells_the_pressure(file):
    shown = run("press", file, "--press", "thumb", "--pan", "26x4").stdout
    assert "Pressure (firm thumb or a coin):" in shown and "below 2.07 to 13.8 MPa" in " ".join(shown.split())
    answer = json.loads(run("press", file, "--press", "arbor", "--pan", "20x30x4", "--json").stdout)
    assert answer["pressure"]["mpa"]["low"] == pytest.approx(3000 / 600) and answer["pressure"]["mpa"]["high"] == pytest.approx(
        9800 / 600
    )
    own = json.loads(run("press", file, "--pressure", 6, "--json").stdout)["pressure"]
    assert own["mpa"] == {"low": 6, "best": 6, "high": 6} and own["words"].startswith("within")
    assert json.loads(run("press", file, "--json").stdout)["pressure"] is None


def test_press_takes_several_binders_drops_and_wetting(file):
    words = ("--also", "zinc-stearate=0.02", "--also-oil", "squalane=0.01", "--wet", "rectified-spirit=0.15", "--json")
    answer = json.loads(run("press", file, *words).stdout)
    shares = {p["ingredient"]: p["share"] for p in answer["composition"]}
    assert shares["zinc-stearate"] == pytest.approx(0.02) and shares["squalane"] == pytest.approx(0.01)
    assert "rectified-spirit" not in shares and any("rectified spirit" in n and "15 g" in n for n in answer["notes"])
    drops = json.loads(run("press", file, "--oil-drops", "12/50", "--json").stdout)
    assert any(n.startswith("12 drops of jojoba oil weigh") for n in drops["notes"])
    proposed = json.loads(run("press", file, "--oil-from-absorption", "--json").stdout)
    assert any("oil absorption" in n for n in proposed["notes"])
    powder = json.loads(run("press", file, "--of", "powder", "--oil", "none", "--json").stdout)
    shares = {p["ingredient"]: p["share"] for p in powder["composition"]}
    assert shares["magnesium-stearate"] == pytest.approx(0.05 / 1.05) and "jojoba-oil" not in shares
    assert "magnesium-stearate" not in {
        p["ingredient"] for p in json.loads(run("press", file, "--binder", "none", "--json").stdout)["composition"]
    }


def test_batch(file, tmp_path):
    shown = run("batch", file, "--number", "12", "--price", "talc=0.02", "--currency", "EUR", "--pans", 2, "--grams", 30)
    assert shown.exit_code == 0, shown.stderr
    assert "30.00 g, batch 12" in shown.stdout and "EUR a pan (2 pans)" in shown.stdout and "☐" in shown.stdout
    names = [tmp_path / f"sheet{ending}" for ending in (".pdf", ".html", ".md")]
    assert run("batch", file, *[w for n in names for w in ("--to", n)]).exit_code == 0
    assert all(n.stat().st_size > 1000 for n in names)
    answer = json.loads(run("batch", file, "--have", "carmine=1", "--json").stdout)
    assert "carmine is the scarcest" in answer["warnings"][0] and answer["grams"] < 1 / 0.055
    rose = next(w for w in answer["weighings"] if w["ingredient"] == "rose-oil")
    assert rose["aliquot"] and "Stir" in rose["steps"][0]
    large = json.loads(run("batch", file, "--grams", answer["straight_from"], "--json").stdout)
    assert not any(w["aliquot"] for w in large["weighings"]) and all(abs(w["rounding"]) <= 0.05 for w in large["weighings"])
    assert f"From {answer['straight_from']:g} g on" in run("batch", file).stdout
    loose = json.loads(run("batch", file, "--loose", "--json").stdout)
    assert {w["ingredient"] for w in loose["weighings"]} == {"talc", "carmine", "rose-oil"}


def test_label_and_effects(file):
    shown = run("label", file, "--may-contain", "iron-oxide-red")
    assert shown.exit_code == 0 and shown.stdout.startswith("DRAFT") and "May contain" in shown.stdout
    leave_on = json.loads(run("label", file, "--json").stdout)
    rinsed = json.loads(run("label", file, "--rinse-off", "--json").stdout)
    assert {a["name"] for a in rinsed["allergens"]} < {a["name"] for a in leave_on["allergens"]}
    assert all(a["share"] > 1e-4 for a in rinsed["allergens"])
    shown = run("effects", file, "--price", "talc=0.02")
    assert "stearate" in shown.stdout and "for 100 g" in shown.stdout
    rows = {r["effect"]: r for r in json.loads(run("effects", file, "--json").stdout)["rows"]}
    assert rows["stearate"]["before"]["best"] == 0 and rows["stearate"]["after"]["best"] == pytest.approx(5)


def test_substitutes():
    shown = run("substitutes", "white", "lead", "--form", "pressed")
    assert shown.exit_code == 0 and "zinc and titanium whites" in shown.stdout
    answer = json.loads(run("substitutes", "wheat-starch", "--avoid", "starch", "--avoid", "talc", "--limit", 3, "--json").stdout)
    assert answer and all("starch" not in key and key != "talc" for s in answer for key in s["parts"])
    cupboard = json.loads(run("substitutes", "white lead", "--have", "zinc-oxide", "--json").stdout)
    assert {key for s in cupboard for key in s["parts"]} <= {"zinc-oxide"}
    nothing = run("substitutes", "white lead", "--have", "honey", "--role", "opacity")
    assert nothing.exit_code == 1 and "take one of them off" in nothing.stderr
    assert json.loads(run("substitutes", "white lead", "--have", "honey", "--role", "opacity", "--json").stdout) == []
    assert "starch" in run("substitutes", "talc", "--avoid", "starsh").stderr
    assert run("substitutes", "umbrella").exit_code == 1


def test_blend(tmp_path):
    path = tmp_path / "white.txt"
    path.write_text(LEAD, encoding="utf-8")
    words = ("blend", path, "--remove", "lead-carbonate", "--with", "zinc-oxide", "--with", "titanium-dioxide")
    shown = run(*words)
    assert shown.exit_code == 0, shown.stderr
    taken = shown.stdout.split("To take it: ")[1].split()
    assert run("press", path, *taken).exit_code == 0
    answer = json.loads(run(*words, "--bound", "titanium-dioxide=0.05:0.1", "--keep", "opacity", "--json").stdout)
    assert (
        sum(answer["shares"].values()) == pytest.approx(0.2) and 0.05 <= answer["shares"]["titanium-dioxide"] + 1e-9 <= 0.1 + 1e-8
    )
    assert list(answer["missed"]) == ["opacity"]
    tight = run(*words, "--bound", "zinc-oxide=:0.05", "--bound", "titanium-dioxide=:0.05")
    assert tight.exit_code == 2 and "In the way" in tight.stderr and "zinc oxide" in tight.stderr


def test_trials(file, tmp_path):
    shown = run("trials", file, "--count", 3)
    assert shown.exit_code == 0 and "Trial ladder" in shown.stdout and "Blend" in shown.stdout and "uggestion" not in shown.stdout
    path = records.save(
        replace(demo.record("complexion"), trials=(Trial(1, 0.0625, 0.03, drops_survived=5),)), tmp_path / "powder.json"
    )
    answer = json.loads(run("trials", path, "--json").stdout)
    assert answer["suggestion"]["share"]["best"] <= 0.0625 and answer["suggestion"]["gives"] is None
    assert [s["trial"] for s in answer["ladder"]] == [1, 2, 3, 4, 5] and answer["powder_grams"] > 20
    assert "Suggestion for the next trial" in run("trials", path).stdout
    around = json.loads(run("trials", path, "--around", 0.1, "--count", 1, "--json").stdout)
    assert around["ladder"][0]["binder_share"] == pytest.approx(0.1)


def test_trials_from_one_powder(file):
    """Each addition by hand: with m grams there and x more of the binder the share is (held + x) / (m + x)."""
    shown = run("trials", file, "--one-powder", "--count", 3, "--grams", 40)
    assert shown.exit_code == 0 and "one powder" in shown.stdout and "grind it up again" in shown.stdout
    assert "Press all of them alike" in " ".join(shown.stdout.split()) and "Blend" not in shown.stdout
    words = ("trials", file, "--one-powder", "--count", 3, "--grams", 40, "--press", "arbor", "--pan", "26x4", "--json")
    answer = json.loads(run(*words).stdout)
    powder, first = answer["powder_grams"], {part["name"]: part["grams"] for part in answer["first"]}
    there = powder + sum(first.values())
    held = first[answer["added"]]
    for rung in answer["ladder"]:
        held, there = held + rung["add"], there + rung["add"]
        assert rung["holds"] == pytest.approx(there) and rung["binder_share"] == pytest.approx(held / there, abs=1e-6)
    assert answer["powder_grams"] < answer["separate_powder_grams"] and answer["trials"] == [] and answer["suggestion"] is None
    # 3000 to 9800 N on 5.309 cm2 are 5.65 to 18.5 MPa, 12.1 in the middle.
    assert answer["pressure_mpa"]["best"] == pytest.approx((3000 + 9800) / 2 / (3.14159265 * 13**2), rel=1e-6)
    assert answer["usual_pressure_mpa"]["high"] == 13.8


def test_the_trials_tell_their_pressure(tmp_path):
    tried = (Trial(1, 0.05, 0.03, 0.3, crumbles=True), Trial(2, 0.05, 0.03, 6.0, 4, False, 4, False))
    path = records.save(replace(demo.record("complexion"), trials=tried), tmp_path / "powder.json")
    answer = json.loads(run("trials", path, "--json").stdout)
    assert [trial["pressure"] for trial in answer["trials"]] == [0.3, 6.0]
    assert (
        answer["suggestion"]["change"] == "share"
        and answer["pressure_mpa"]["best"] == answer["suggestion"]["pressure_mpa"]["best"]
    )


def test_several_small_ones_in_one_dilution(tmp_path):
    small = tmp_path / "small.txt"
    small.write_text("Invented powder\nTalc 10 oz.\nOtto of rose 6 drops\nOil of lavender 12 drops\n", encoding="utf-8")
    words = ("batch", small, "--loose", "--grams", 60, "--year", 1890, "--country", "GB", "--json")
    apart, together = (json.loads(run(*words, *more).stdout) for more in ((), ("--together",)))
    mixtures = [{w["mixture"]: w["steps"] for w in answer["weighings"] if w["mixture"]} for answer in (apart, together)]
    assert [len(m) for m in mixtures] == [2, 1] and len(mixtures[1]["A"]) == 1
    assert [w["with"] for w in together["weighings"] if w["mixture"]] == [["lavender-oil"], ["rose-oil"]]
    assert sum(w["content"] for w in together["weighings"]) == pytest.approx(60)
    assert "Dilution A, rose oil and lavender oil" in " ".join(run(*words[:-1], "--together").stdout.split())


def test_lots_and_shopping_as_json(tmp_path):
    made = replace(
        demo.record("complexion"),
        packs=(Pack("talc", "T-9", opened="2026-01-10", months=12.0, sizes=(100.0, 500.0)),),
        prices=(("talc", 0.02),),
        currency="EUR",
    )
    path = records.save(
        replace(made, weighing=replace(made.weighing, number="8", made_on="2026-11-29")), tmp_path / "powder.json"
    )
    answer = json.loads(run("batch", path, "--lots", "--shopping", "--json").stdout)
    (talc,) = (part for part in answer["lots"]["parts"] if part["ingredient"] == "talc")
    assert (talc["lot"], talc["keeps_until"], answer["lots"]["best_before"]) == ("T-9", "2027-01-10", "2027-01-10")
    assert answer["lots"]["made_on"] == "2026-11-29" and answer["lots"]["currency"] == "EUR"
    (line,) = (line for line in answer["shopping"]["lines"] if line["ingredient"] == "talc")
    assert line["missing"] == line["needed"] and sum(p["grams"] * p["count"] for p in line["packs"]) >= line["needed"]
    assert "lots" not in json.loads(run("batch", path, "--json").stdout)


def test_record(tmp_path):
    printed = json.loads(run("record", "--schema").stdout)
    assert printed == records.schema()
    path = records.save(demo.record("complexion"), tmp_path / "powder.json")
    assert "is whole" in run("record", path).stdout and json.loads(run("record", path, "--json").stdout)["pressed"] is True
    records.save(replace(demo.record("complexion"), notes="second"), path)
    path.write_text("{", encoding="utf-8")
    damaged = run("record", path)
    assert damaged.exit_code == 1 and "damaged" in damaged.stderr and "histkit record --restore" in damaged.stderr
    shown = run("record", path, "--restore")
    assert shown.exit_code == 0 and "powder.json.set-aside" in shown.stdout
    assert records.load(path) == replace(demo.record("complexion"), notes="second")
    assert run("record").exit_code == 2 and run("record", tmp_path / "none.json").exit_code == 1


def test_a_record_keeps_its_choices_but_for_those_that_are_given(tmp_path):
    start = replace(demo.record("complexion"), pressing=records.Pressing("zinc-stearate", 0.07, None, 0.0))
    path = records.save(start, tmp_path / "powder.json")
    answer = json.loads(run("press", path, "--json").stdout)
    shares = {p["ingredient"]: p["share"] for p in answer["composition"]}
    assert shares["zinc-stearate"] == pytest.approx(0.07) and "jojoba-oil" not in shares
    assert sum(w["grams"] for w in answer["weighings"]) == pytest.approx(60)
    answer = json.loads(run("press", path, "--grams", 25, "--binder-share", 0.08, "--json").stdout)
    assert {p["ingredient"]: p["share"] for p in answer["composition"]}["zinc-stearate"] == pytest.approx(0.08)
    assert sum(w["grams"] for w in answer["weighings"]) == pytest.approx(25)
    assert records.load(path) == start, "the file is left as it is"
    loose = records.save(replace(start, pressing=None), tmp_path / "loose.json")
    assert (
        "zinc-stearate" not in run("table", loose, "--json").stdout
        and "magnesium stearate" not in run("table", loose, "--json").stdout
    )
    assert "magnesium-stearate" in run("press", loose, "--json").stdout
    moved = json.loads(run("translate", path, "--measures", "apothecaries-us", "--json").stdout)
    assert moved["convention"] == "apothecaries-us"


@pytest.mark.parametrize(
    "command", ["translate", "press", "batch", "label", "effects", "table", "trials", "blend", "substitutes", "record"]
)
def test_every_command_explains_itself(command):
    shown = run(command, "--help")
    assert shown.exit_code == 0 and "--json" in shown.stdout
    if command in ("press", "batch", "table"):
        assert "--binder" in shown.stdout and "--pans" in shown.stdout and "--instead" in shown.stdout


def test_a_poison_is_refused_until_it_is_replaced(tmp_path):
    path = tmp_path / "white.txt"
    path.write_text(LEAD, encoding="utf-8")
    refused = run("press", path)
    assert refused.exit_code == 1 and "lead" in refused.stderr
    assert run("press", path, "--instead", "lead-carbonate=zinc-oxide:0.7,titanium-dioxide:0.3").exit_code == 0


def test_table_in_every_form(file, tmp_path):
    names = [tmp_path / f"table{ending}" for ending in (".html", ".md", ".csv", ".xlsx", ".png", ".svg", ".pdf")]
    shown = run("table", file, *[w for name in names for w in ("--to", name)], "--size", "1920x1080")
    assert shown.exit_code == 0, shown.stderr
    assert all(name.stat().st_size > 200 for name in names)
    assert "talc" in run("table", file).stdout
    assert json.loads(run("table", file, "--json", "--loose").stdout)["rows"]


@pytest.mark.parametrize(
    ("words", "code", "sentence"),
    [
        (("translate", "no-such-file.txt"), 2, "no file"), (("table", "FILE", "--size", "big"), 2, "1920x1080"), (("table", "FILE", "--to", "x.doc"), 2, ".html"),
        (("translate", "FILE", "--kind", "novel"), 2, "perfumery manual"), (("translate", "FILE", "--year", "3000"), 2, "between"),
        (("press", "FILE", "--instead", "talc"), 2, "="), (("press", "FILE", "--binder", "magnesium-sterate"), 1, "magnesium-stearate"),
        (("press", "FILE", "--pan", "44"), 2, "44x4"), (("press", "FILE", "--pan", "axb"), 2, "no number"), (("press", "FILE", "--also", "talc"), 2, "zinc-stearate=0.02"),
        (("press", "FILE", "--oil-drops", "twelve"), 2, "12/50"), (("press", "FILE", "--press", "elephant"), 2, "thumb"), (("press", "FILE", "--of", "loaf"), 2, "cake, powder"),
        (("batch", "FILE", "--to", "x.doc"), 2, ".pdf"), (("batch", "FILE", "--have", "talc"), 2, "talc=120"), (("batch", "FILE", "--price", "talc=x"), 2, "no number"),
        (("batch", "FILE", "--have", "kaolin=5"), 2, "kaolin"), (("trials", "FILE", "--vary", "luck"), 2, "binder or oil"), (("blend", "FILE", "--remove", "talc", "--with", "kaolin", "--bound", "kaolin=a:b"), 2, "--bound"),
        (("substitutes", "talc", "--avoid", "umbrellas"), 1, "umbrellas"), (("press", "FILE", "--binder-share", "1.5"), 2, "share"), (("press", "FILE", "--grams", "-4"), 2, "grams"), (("translate", "FILE", "--measures", "metri"), 1, "metric"),
    ],
)  # fmt: skip
def test_errors_are_sentences(words, code, sentence, file):
    answer = run(*[file if w == "FILE" else w for w in words])
    assert answer.exit_code == code, answer.stderr
    assert sentence in answer.stderr and "Traceback" not in answer.stderr


def test_text_without_a_formula(tmp_path):
    path = tmp_path / "poem.txt"
    path.write_text("The moon is up.", encoding="utf-8")
    answer = run("translate", path)
    assert answer.exit_code == 1 and "ingredient line" in answer.stderr


def test_demo(tmp_path):
    shown = run("demo", "--out", tmp_path / "out")
    assert shown.exit_code == 0, shown.stderr
    assert "invented" in shown.stdout and str((tmp_path / "out").resolve()) in shown.stdout
    for name in (
        "old-and-new.html",
        "old-and-new.xlsx",
        "old-and-new.csv",
        "bench-sheet.html",
        "bench-sheet.pdf",
        "old-and-new-wide-4k.png",
        "old-and-new-tall.png",
        "old-and-new.svg",
        "old-and-new.pdf",
        "side-by-side.png",
        "side-by-side.xlsx",
        "side-by-side.md",
        "scent-at-half-strength.png",
        "scent-at-half-strength.md",
    ):
        assert (tmp_path / "out" / name).stat().st_size > 500, name
    answer = json.loads(run("demo", "--out", tmp_path / "two", "--json").stdout)
    assert len(answer["files"]) >= 12


def test_the_invented_formulas_are_read_whole():
    for name in demo.names():
        translation = demo.record(name).translation()
        assert not translation.formula.unread
        assert all(t.ingredient is not None for t in translation.lines), [
            t.name for t in translation.lines if t.ingredient is None
        ]
    with pytest.raises(KeyError, match="complexion"):
        demo.record("none")


def test_lab_puts_the_notebooks_and_leaves_changed_ones_alone(tmp_path):
    assert "written" in run("lab", tmp_path, "--no-start").stdout
    notebook = sorted(tmp_path.glob("*.ipynb"))[0]
    notebook.write_text("{}", encoding="utf-8")
    assert "you changed it" in run("lab", tmp_path, "--no-start").stdout
    assert notebook.read_text(encoding="utf-8") == "{}"
    file = tmp_path / "file"
    file.write_text("", encoding="utf-8")
    assert run("lab", file, "--no-start").exit_code == 2


def test_the_version():
    import histkit

    shown = run("--version")
    assert shown.exit_code == 0 and shown.stdout == f"histkit {histkit.__version__}\n"


def test_what_was_not_read_is_shown_and_no_table_is_wider_than_a_terminal(tmp_path):
    """Faults: the shell showed no unread words, and its tables ran to 567 columns."""
    printed = tmp_path / "powder.txt"
    printed.write_text(
        "Talc, 4 oz.\nWhite lead, 1 oz.\nQuibble, the 2nd\nOtto of rose, 10 drops.\nOtto of lemon, 9 drops.\n", encoding="utf-8"
    )
    shown = run("translate", printed)
    assert "Not read as ingredients:\n  Quibble, the 2nd" in shown.stdout and "MUST NOT BE USED" in shown.stdout
    assert shown.stdout.count("A drop has no fixed size") <= 3, "once in the notes, and in what matters most"
    safe = ("--instead", "lead-carbonate=zinc-oxide")
    for words in (("translate", printed), ("table", printed, *safe), ("press", printed, *safe), ("batch", printed, *safe),
                  ("effects", printed, *safe), ("substitutes", "white lead"), ("find", "white lead")):  # fmt: skip
        out = run(*words).stdout
        assert out and max(map(len, out.splitlines())) <= 80, words


def test_the_table_as_a_film(tmp_path):
    pytest.importorskip("av")
    formula = tmp_path / "f.txt"
    formula.write_text("A powder\n\nTalc, 3 oz.\nRice starch, 1 oz.\n", encoding="utf-8")
    film = tmp_path / "old-and-new.mp4"
    run("table", formula, "--to", film, "--size", "480x270", "--seconds", "5", "--rate", "25", "--calm", "--look", "dark")
    assert film.stat().st_size > 1000 and film.with_suffix(".txt").exists()
