"""A maker's formulas as files: found, opened, copied, named, binned, brought in; never one over another."""

from dataclasses import replace

import pytest

import histkit as hk
from histkit.keeping import example, library
from histkit.keeping.history import folder_of
from histkit.keeping.records import Record, history, load, save
from histkit.keeping.sharing import page_of, page_to_share

POWDER = replace(example.record("complexion", replaced=False), title="White powder")
TOOTH = example.record("tooth-powder")
OWN = "my-formula.json"


@pytest.fixture
def folder(tmp_path):
    save(POWDER, tmp_path / "white-powder.json")
    save(TOOTH, tmp_path / "tooth.json")
    save(Record(text="Kaolin, 1 oz."), tmp_path / OWN)
    return tmp_path


def found(folder, words):
    return sorted(entry.file.stem for entry in library.matching(library.entries(folder, folder / OWN), words))


@pytest.mark.parametrize(("words", "stems"), [
    ("", ["tooth", "white-powder"]), ("white", ["white-powder"]), ("1871", ["tooth", "white-powder"]), ("1999", []),
    ("larkspur closet", ["tooth", "white-powder"]), ("lead carbonate", ["white-powder"]), ("WHITE lead", ["white-powder"]),
    ("cretae", []), ("cretæ", ["tooth"]), ("orris talc", ["white-powder"]), ("cuttlefish", ["tooth"]), ("kaolin", []),
])  # fmt: skip
def test_a_formula_is_found_by_name_ingredient_book_and_year(folder, words, stems):
    assert found(folder, words) == stems


def test_the_list_says_what_matters(folder):
    lines = [entry.line() for entry in library.entries(folder, folder / OWN)]
    assert any(line.startswith("White powder (") and "must be replaced: lead carbonate" in line for line in lines)
    assert any(line.startswith("PULVIS DENTIFRICIUS (Mrs. A. Larkspur (invented): ") and "1871; 7 ingredients)" in line for line in lines)


def test_what_cannot_be_read_is_listed_and_said(folder):
    (folder / "new.json").write_text('{"histkit-record": 99}', encoding="utf-8")
    (entry,) = (e for e in library.entries(folder) if e.file.stem == "new")
    assert "newer histkit" in entry.problem and entry.line() == "new: cannot be read"


def test_a_changed_file_is_listed_as_it_is_now(folder):
    save(replace(POWDER, title="Pearl powder"), folder / "white-powder.json")
    assert found(folder, "pearl") == ["white-powder"]


def test_a_formula_goes_back_into_its_own_file_with_its_history(folder):
    record = library.opened(folder / "tooth.json")
    assert record.kept_as == "tooth"
    assert library.put_away(replace(record, notes="tried"), folder / OWN).name == "tooth.json"
    assert load(folder / "tooth.json").notes == "tried"
    assert [kept.record.notes for kept in history(folder / "tooth.json")] == ["", "tried"]


def test_one_without_a_file_gets_a_new_one_of_its_title(folder):
    assert library.put_away(replace(POWDER, notes="another"), folder / OWN).name == "white-powder-2.json"
    assert load(folder / "white-powder.json").notes == "", "the other formula of that name stays"


@pytest.mark.parametrize("name", ["../tooth", "gone", "my-formula", ""])
def test_a_name_that_leads_elsewhere_is_no_home(folder, name):
    record = replace(POWDER, notes="x", kept_as=name)
    kept = library.put_away(record, folder / OWN)
    assert kept.parent == folder and kept.name == "white-powder-2.json" and load(folder / OWN).text == "Kaolin, 1 oz."


def test_a_copy_is_another_formula(folder):
    copy = library.duplicate(folder / "tooth.json")
    assert copy.name == "tooth-copy.json" and load(copy).title == "PULVIS DENTIFRICIUS, copy" and load(folder / "tooth.json") == TOOTH
    assert library.duplicate(folder / "tooth.json").name == "tooth-copy-2.json"


def test_another_name_for_file_title_and_history(folder):
    new = library.rename(folder / "tooth.json", "Tooth powder 1871", folder / OWN)
    assert new.name == "Tooth-powder-1871.json" and load(new).title == "Tooth powder 1871"
    assert not (folder / "tooth.json").exists() and folder_of(new).is_dir()
    assert len(history(new)) == 2, "the states from before went along"


def test_a_name_that_is_taken_is_told_and_nothing_is_written_over(folder):
    with pytest.raises(hk.BadValue, match="already"):
        library.rename(folder / "tooth.json", "white powder", folder / OWN)
    with pytest.raises(hk.BadValue, match="already"):
        library.rename(folder / "tooth.json", "my formula", folder / OWN)
    with pytest.raises(hk.BadValue, match="give it a name"):
        library.rename(folder / "tooth.json", "../x", folder / OWN)
    assert load(folder / "tooth.json") == TOOTH and load(folder / "white-powder.json") == POWDER


def test_into_the_bin_and_out_again(folder):
    binned = library.to_bin(folder / "tooth.json")
    assert binned.parent.name == "bin" and folder_of(binned).is_dir() and found(folder, "") == ["white-powder"]
    save(replace(TOOTH, notes="second"), folder / "tooth.json")
    assert library.to_bin(folder / "tooth.json").name == "tooth-2.json"
    assert [entry.file.stem for entry in library.in_bin(folder)] == ["tooth-2", "tooth"]
    assert library.from_bin(binned) == folder / "tooth.json" and load(folder / "tooth.json") == TOOTH


def test_a_file_from_elsewhere_is_brought_in_under_a_free_name(folder):
    assert library.take_in(TOOTH.to_json(), "white powder.json", folder).name == "white-powder-2.json"
    with pytest.raises(hk.RecordError, match="no histkit record"):
        library.take_in("{}", "x.json", folder)
    with pytest.raises(hk.RecordError, match="damaged"):
        library.take_in("{", "x.json", folder)
    assert library.take_in(TOOTH.to_json(), "../../../etc.json", folder).parent == folder


def test_pictures_and_sheets_of_two_formulas_do_not_mix(tmp_path):
    """Fault: pictures and sheets of two formulas lay in one folder and overwrote each other."""
    other = Record(text="Kaolin, 3 oz.\nTalc, 9 oz.", title="White powder")
    first, second = library.own_folder(POWDER, tmp_path), library.own_folder(other, tmp_path)
    assert (first.name, second.name) == ("white-powder", "white-powder-2")
    mended = replace(POWDER, text=POWDER.text.replace("8 oz", "9 oz"))
    assert library.own_folder(mended, tmp_path) == first and load(first / "formula.json") == mended
    assert library.own_folder(other, tmp_path) == second
    assert library.own_folder(Record(text="Talc, 1 oz."), tmp_path).name == "without-a-name"


def test_a_folder_that_is_somebody_elses_is_left_alone(tmp_path):
    (tmp_path / "white-powder").mkdir()
    (tmp_path / "white-powder-2").symlink_to(tmp_path)
    assert library.own_folder(POWDER, tmp_path).name == "white-powder-3"


def test_the_page_to_share_needs_nothing_from_elsewhere_and_runs_nothing():
    page = page_to_share(example.record("complexion"))
    assert "The printed page" in page and "replaced by zinc oxide and titanium dioxide" in page and "Source" in page
    assert 'src="http' not in page and "<link" not in page and "@import" not in page and "url(" not in page
    assert page.count("<script") == page.count('<script type="application/ld+json"') == 1
    unsafe = page_to_share(POWDER)
    assert "POISON" in unsafe and "must not be used" in unsafe
    assert page_of(POWDER).cautions


def test_titles_become_names_of_files():
    assert library.file_name("Larkspur's White Powder, for the Complexion") == "larkspurs-white-powder-for-the-complexion"
    assert library.file_name("../..\\x:y") == "x-y" and library.file_name("…") == "" and len(library.file_name("a b " * 99)) <= 60
