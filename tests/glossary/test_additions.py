"""A maker's own tables beside the glossary's: what they add, and what is said where they break a rule."""

import csv
import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

import histkit as hk
from histkit import glossary
from histkit.glossary import own as own_tables
from histkit.glossary.nouns import gravity, worst_level
from histkit.panels import state
from histkit.shell import main as cli

HERE = Path(__file__).parent
INGREDIENTS = "id,name,inci,cas,formula,kind,state,description,source\n"
NAMES = "ingredient,name,language,form,period,region,certainty,source\n"
PROPERTIES = "ingredient,property,low,high,unit,condition,source,note\n"
SUBSTITUTES = "ingredient,option,substitute,share,kept,changes,source\n"
COMPOSITIONS = "preparation,ingredient,share,source\n"
CAUTIONS = "ingredient,level,text,law,region,form,limit,date,source\n"


@pytest.fixture
def own(tmp_path):
    """An invented thing of the maker's own, and one more name for talc."""
    folder = tmp_path / "my-glossary"
    folder.mkdir()
    (folder / "ingredients.csv").write_text(
        INGREDIENTS + "larkspur-bloom-powder,larkspur bloom powder,,,,botanical,powder,an invented powder of petals,mine\n", encoding="utf-8"
    )
    (folder / "names.csv").write_text(
        NAMES
        + "larkspur-bloom-powder,Larkspur's bloom,en,trade,,,certain,mine\n"
        + "talc,Harborne's earth,en,trade,,,certain,mine\n",
        encoding="utf-8",
    )
    (folder / "cautions.csv").write_text(
        CAUTIONS + "larkspur-bloom-powder,forbidden,Larkspur is poisonous.,,,any,,,mine\n", encoding="utf-8"
    )
    yield folder
    glossary.use(None)


def test_added_names_and_ingredients_are_found_and_their_cautions_shown(own):
    assert glossary.find("Harborne's earth") is None and "larkspur-bloom-powder" not in glossary.ingredients
    glossary.use(own)
    assert glossary.find("harborne's earth").ingredient.id == "talc"
    found = glossary.find("Larkspur's bloom")
    assert found.ingredient.id == "larkspur-bloom-powder" and found.ingredient.forbidden
    translation = hk.translate(hk.read("Larkspur's bloom, 2 oz.\nTalc, 4 oz."))
    assert [c.level for c in translation.lines[0].cautions] == ["forbidden"]
    assert "your own tables" in translation.lines[0].explain()
    assert glossary.find("talc").ingredient.id == "talc", "what the glossary knew is still there"
    glossary.use(None)
    assert glossary.find("Harborne's earth") is None


def test_a_changed_table_changes_what_is_weighed(own):
    """What was worked out with the old density is not remembered."""
    weighed = []
    for density in (0.2, 0.4):
        row = f"larkspur-bloom-powder,bulk-density,{density},{density},g/mL,,mine,\n"
        (own / "properties.csv").write_text(PROPERTIES + row, encoding="utf-8")
        glossary.use(own)
        weighed.append(hk.translate(hk.read("Larkspur's bloom, 2 fl. oz.")).lines[0].grams.best)
    assert weighed[0] > 0 and weighed[1] == pytest.approx(2 * weighed[0])


def test_a_maker_cites_works_of_their_own(own):
    (own / "sources.csv").write_text("id,title,where,year,note\naunt-1931,My aunt's receipt book,,1931,\n", encoding="utf-8")
    (own / "cautions.csv").write_text(CAUTIONS + "talc,care,Aunt coughed.,,,bench,,,aunt-1931\n", encoding="utf-8")
    glossary.use(own)
    assert glossary.sources()["aunt-1931"].year == "1931" and glossary.cited("aunt-1931", "p. 3") == "My aunt's receipt book (1931), p. 3"
    assert "(My aunt's receipt book (1931))" in hk.translate(hk.read("Talc, 4 oz.")).lines[0].explain()
    glossary.use(None)
    assert "aunt-1931" not in glossary.sources() and glossary.cited("aunt-1931") == "aunt 1931"


def test_who_says_so_in_words():
    cited = [glossary.cited(source) for source in ("memory", "mine", "", "nobody knows")]
    assert cited == ["from memory", "your own tables", "no source", "nobody knows"]
    assert glossary.cited("usp-28", "monograph Lemon Oil") == "United States Pharmacopeia 28 (2005), monograph Lemon Oil"
    assert hk.glossary.ingredients["lemon-oil"].properties[2].section == "monograph Lemon Oil"


def test_a_column_that_need_not_be_filled_may_be_left_out(own):
    """Tables written before there was a column 'section', and without a note."""
    (own / "properties.csv").write_text(
        "ingredient,property,low,high,unit,source\nlarkspur-bloom-powder,bulk-density,0.2,0.2,g/mL,mine\n", encoding="utf-8"
    )
    glossary.use(own)
    added = glossary.ingredients["larkspur-bloom-powder"].properties[0]
    assert (added.low, added.condition, added.section) == (0.2, "", "")


@pytest.mark.parametrize(
    ("table", "text", "told"),
    [
        ("names", NAMES + "talk,Harborne's earth,en,trade,,,certain,mine\n", r"names\.csv, row 2, column 'ingredient': 'talk' is no id"),
        ("names", NAMES + "talc,Harborne's earth,en,trade,,,sure,mine\n", r"row 2, column 'certainty': 'sure' is none of certain, contested"),
        ("names", NAMES + "\ntalc,,en,trade,,,certain,mine\n", r"row 3, column 'name': it is empty"),
        ("names", NAMES + "talc,x,en\n", r"row 2: it has 3 cells, the heading has 8"),
        ("names", "name,ingredient\nx,talc\n", r"row 1: the columns are name, ingredient; wanted are ingredient, name"),
        ("names", NAMES + "talc,x,en,trade,,,certain,nobody\n", r"column 'source': 'nobody' is no id of the table sources, or 'mine'"),
        ("ingredients", INGREDIENTS + "talc,talc,,,,mineral,powder,x,mine\n", r"row 2, column 'id': the glossary has 'talc' already"),
        ("ingredients", INGREDIENTS + "My Powder,x,,,,mineral,powder,x,mine\n", r"'My Powder' has not the right form; an id is of small letters"),
        ("ingredients", INGREDIENTS + "a-b,x,,7440-66-7,,mineral,powder,x,mine\n", r"column 'cas': '7440-66-7' is no CAS number"),
        ("properties", PROPERTIES + "talc,density,heavy,3,g/mL,,mine,\n", r"column 'low': 'heavy' is no number"),
        ("properties", PROPERTIES + "talc,density,,3,g/mL,,mine,\n", r"column 'low': it is empty; a number is wanted"),
        ("properties", PROPERTIES + "talc,density,inf,inf,g/mL,,mine,\n", r"column 'low': 'inf' is no number"),
        ("properties", PROPERTIES + "talc,density,2,nan,g/mL,,mine,\n", r"column 'high': 'nan' is no number"),
        ("cautions", CAUTIONS + "talc,,x,,,any,,,mine\n", r"column 'level': it is empty; wanted is one of forbidden, restricted, care"),
        ("ingredients", INGREDIENTS + 2 * "a-b,x,,,,mineral,powder,x,mine\n", r"row 3, column 'id': 'a-b' stands here twice"),
        ("properties", PROPERTIES + "talc,density,-3,2,g/mL,,mine,\n", r"column 'low': -3 is below nought; only a temperature may be"),
        ("properties", PROPERTIES + "talc,density,3,2,g/mL,,mine,\n", r"column 'low': 3 is more than 'high', 2"),
        ("cautions", CAUTIONS + "talc,bad,x,,,any,,,mine\n", r"column 'level': 'bad' is none of forbidden, restricted, care"),
        ("cautions", CAUTIONS + "talc,care,x,,,any,7,,mine\n", r"column 'limit': 7 lies outside 0 to 1"),
        ("names", NAMES + f"talc,{'x ' * 300},en,trade,,,certain,mine\n", r"row 2, column 'name': it has 599 characters; a name has 400 at most"),
        ("recipes", "a,b\n", r"recipes\.csv: the glossary has no such table"),
    ],
)
def test_what_does_not_fit_is_named_with_file_row_and_column(tmp_path, table, text, told):
    (tmp_path / f"{table}.csv").write_text(text, encoding="utf-8")
    with pytest.raises(hk.TableError, match=told):
        glossary.use(tmp_path)
    assert glossary.find("talc").ingredient.id == "talc", "the glossary goes on without them"
    assert not glossary.own_rows()


def test_a_folder_that_is_not_there_or_holds_nothing(tmp_path):
    for folder in (tmp_path / "nowhere", tmp_path):
        with pytest.raises(hk.TableError):
            glossary.use(folder)


def test_a_table_in_another_encoding_or_with_a_cell_that_has_no_end(tmp_path):
    (tmp_path / "names.csv").write_bytes((NAMES + "talc,Crème de talc,fr,trade,,,certain,mine\n").encode("cp1252"))
    with pytest.raises(hk.TableError, match=r"names\.csv: it is not in UTF-8; save it from the spreadsheet as 'CSV UTF-8'"):
        glossary.use(tmp_path)
    (tmp_path / "names.csv").write_text(NAMES + f"talc,{'x' * 200_000},en,trade,,,certain,mine\n", encoding="utf-8")
    with pytest.raises(hk.TableError, match=r"names\.csv: it cannot be read"):
        glossary.use(tmp_path)
    assert not glossary.own_rows()


def test_from_the_shell(own):
    answer = CliRunner().invoke(cli.app, ["--glossary", str(own), "find", "Harborne's earth"])
    assert answer.exit_code == 0 and "talc" in answer.output
    (own / "names.csv").write_text(NAMES + "talk,x,en,trade,,,certain,mine\n", encoding="utf-8")
    answer = CliRunner().invoke(cli.app, ["--glossary", str(own), "find", "talc"])
    assert answer.exit_code == 1 and "row 2" in answer.output and "Traceback" not in answer.output


def test_in_the_notebooks_a_folder_beside_the_record(own, monkeypatch):
    monkeypatch.setenv("HISTKIT_RECORD", str(own.parent / "my-formula.json"))
    assert state.desk().trouble == ""
    assert glossary.find("Harborne's earth").ingredient.id == "talc"
    (own / "names.csv").write_text(NAMES + "talk,x,en,trade,,,certain,mine\n", encoding="utf-8")
    monkeypatch.setenv("HISTKIT_RECORD", str(own.parent / "another.json"))
    assert "row 2" in state.desk().trouble and "not used" in state.desk().trouble


# -- a maker's rows never make light of a caution -------------------------------------------------------------------------


def name_row(name, key="talc", language="en"):
    return NAMES + f'{key},"{name}",{language},trade,,,certain,mine\n'


@pytest.mark.parametrize(
    ("table", "text", "place", "meaning"),
    [
        ("names", name_row("best white lead"), "row 2, column 'name'", "lead carbonate"),
        ("names", name_row("white lead"), "row 2, column 'name'", "lead carbonate"),
        ("names", name_row("Lead, white"), "row 2, column 'name'", "lead carbonate"),
        ("names", name_row("Plumb. carb.", language="la"), "row 2, column 'name'", "lead carbonate"),
        ("names", name_row("Larkspur's white lead"), "row 2, column 'name'", "knows 'white lead' in it as lead carbonate"),
        ("names", name_row("Talc or white lead"), "row 2, column 'name'", "lead carbonate"),
        ("names", name_row("best flake white", "zinc-oxide"), "row 2, column 'name'", "lead carbonate"),
        ("names", name_row("finest vermilion", "iron-oxide-red"), "row 2, column 'name'", "(forbidden)"),
        ("ingredients", INGREDIENTS + "my-white,finest ceruse,,,,mineral,powder,x,mine\n", "row 2, column 'name'", "lead carbonate"),
        ("ingredients", INGREDIENTS + "my-white,my white,,1319-46-6,,mineral,powder,x,mine\n", "row 2, column 'cas'", "lead carbonate"),
        ("substitutes", SUBSTITUTES + "zinc-oxide,titanium dioxide with kaolin,talc,9,x,x,mine\n", "row 2, column 'option'", "already"),
        ("compositions", COMPOSITIONS + "cold-cream,talc,0.9,mine\n", "row 2, column 'preparation'", "already"),
    ],
)  # fmt: skip
def test_a_row_that_would_hide_a_caution_is_refused_and_told_how_to_be_mended(tmp_path, table, text, place, meaning):
    (tmp_path / f"{table}.csv").write_text(text, encoding="utf-8")
    with pytest.raises(hk.TableError) as refusal:
        glossary.use(tmp_path)
    said = str(refusal.value)
    assert f"{table}.csv, {place}" in said and meaning in said and ("choose" in said)
    assert glossary.find("best white lead").ingredient.id == "lead-carbonate" and glossary.own_summary() == ""


def test_a_table_named_by_the_environment_is_held_to_the_same(tmp_path, monkeypatch):
    """A process started by another finds the folder in its environment, and looks at it itself."""
    (tmp_path / "names.csv").write_text(name_row("best white lead"), encoding="utf-8")
    glossary.use(None)
    monkeypatch.setenv(glossary.OWN, str(tmp_path))
    own_tables.forget_the_tables()
    try:
        with pytest.raises(hk.TableError, match="would hide a caution"):
            glossary.find("best white lead")
    finally:
        monkeypatch.delenv(glossary.OWN)
        glossary.use(None)


def test_rows_that_hide_nothing_are_taken(tmp_path):
    (tmp_path / "ingredients.csv").write_text(
        INGREDIENTS + "my-white,Larkspur's white lead,,1319-46-6,,mineral,powder,an invented paint,mine\n", encoding="utf-8"
    )
    (tmp_path / "cautions.csv").write_text(CAUTIONS + "my-white,forbidden,It is lead.,,,any,,,mine\n", encoding="utf-8")
    (tmp_path / "names.csv").write_text(
        name_row("Larkspur's dead white", "lead-carbonate") + "rice-starch,Larkspur's bloom of rice,en,trade,,,certain,mine\n", encoding="utf-8"
    )
    try:
        glossary.use(tmp_path)
        assert glossary.find("Larkspur's white lead").ingredient.id == "my-white"
        assert glossary.find("Larkspur's dead white").ingredient.forbidden
        assert glossary.find("Larkspur's bloom of rice").ingredient.id == "rice-starch"
    finally:
        glossary.use(None)


@pytest.mark.parametrize(
    ("added", "language", "printed", "poison"),
    [("auripa", "la", "Aurip.", "arsenic-trisulfide"), ("white leod", "en", "white leod", "lead-carbonate")],
)
def test_a_name_that_only_resembles_a_poison_counts_as_the_poison_with_a_doubt(tmp_path, added, language, printed, poison):
    (tmp_path / "names.csv").write_text(name_row(added, language=language), encoding="utf-8")
    assert glossary.find(printed).ingredient.id == poison
    try:
        glossary.use(tmp_path)
        match = glossary.find(printed)
    finally:
        glossary.use(None)
    assert match.ingredient.id == poison and "talc" in {i.id for i in match.alternatives}
    assert any("graver" in d.text and "talc" in d.others for d in match.doubts)


def hazards():
    with (HERE / "hazards.csv").open(encoding="utf-8", newline="") as file:
        return [row["printed"] for row in csv.DictReader(file)]


def weight(match):
    return gravity(worst_level(match.ingredient.cautions))


def test_no_hazard_of_the_books_can_be_given_to_a_harmless_thing(tmp_path, monkeypatch):
    """Each of them, with 'best' before it, as a name of chalk: refused; and where nothing refuses it, still the hazard that counts."""
    shipped = {name: glossary.find(f"best {name}") for name in hazards()}
    chalk = gravity(worst_level(glossary.ingredients["calcium-carbonate-precipitated"].cautions))
    graver = [name for name, match in shipped.items() if match and match.via != "spelling" and weight(match) > chalk]
    taken = []
    for name in graver[::8]:
        (tmp_path / "names.csv").write_text(name_row(f"best {name}", "calcium-carbonate-precipitated"), encoding="utf-8")
        try:
            glossary.use(tmp_path)
            taken.append(name)
        except hk.TableError:
            continue
    assert len(graver) > 300 and taken == []
    rows = "".join(name_row(f"best {name}", "calcium-carbonate-precipitated").removeprefix(NAMES) for name in graver)
    (tmp_path / "names.csv").write_text(NAMES + rows, encoding="utf-8")
    monkeypatch.setattr(own_tables, "_refuse_what_hides_a_caution", lambda *_: None)
    try:
        glossary.use(tmp_path)
        lighter = [name for name in graver if weight(glossary.find(f"best {name}")) < weight(shipped[name])]
    finally:
        glossary.use(None)
    assert lighter == []


# -- loading them is told -------------------------------------------------------------------------------------------------


def test_what_own_tables_add_is_said_in_a_sentence(own):
    assert glossary.own_summary() == ""
    glossary.use(own)
    assert glossary.own_summary() == f"Your own tables in {own.resolve()} add 2 names, 1 ingredient and 1 caution."
    glossary.use(None)
    assert glossary.own_summary() == ""


def test_the_shell_tells_it_beside_its_answer(own):
    answer = CliRunner().invoke(cli.app, ["--glossary", str(own), "find", "--json", "Harborne's earth"])
    assert "add 2 names, 1 ingredient and 1 caution" in answer.stderr
    assert json.loads(answer.stdout)["id"] == "talc"


def test_the_desk_tells_it(own, monkeypatch):
    monkeypatch.setenv("HISTKIT_RECORD", str(own.parent / "a-third.json"))
    assert "add 2 names, 1 ingredient and 1 caution" in state.desk().news


def test_every_cache_over_the_tables_is_emptied(own):
    """What each public look at the tables gives after `use` is what a process gives that never looked before."""
    looks = {
        "rows": lambda: len(glossary.rows("names")),
        "own rows": lambda: sorted(glossary.own_rows()),
        "ingredients": lambda: "larkspur-bloom-powder" in glossary.ingredients,
        "names of an ingredient": lambda: "Harborne's earth" in [n.name for n in glossary.ingredients["talc"].names],
        "name": lambda: glossary.name_of("larkspur-bloom-powder"),
        "find": lambda: (match := glossary.find("Harborne's earth")) and match.ingredient.id,
        "knows": lambda: glossary.knows("Harborne's earth"),
        "sources": lambda: "a-book-of-mine" in glossary.sources(),
        "summary": glossary.own_summary,
    }
    (own / "sources.csv").write_text("id,title,where,year,note\na-book-of-mine,An invented book,here,,\n", encoding="utf-8")
    before = {name: look() for name, look in looks.items()}
    glossary.use(own)
    during = {name: look() for name, look in looks.items()}
    glossary.use(None)
    after = {name: look() for name, look in looks.items()}
    assert [name for name in looks if before[name] == during[name]] == []
    assert after == before
