"""The law is renewed from the agency's two exports: their form, invented here in small, and what becomes of it."""

from pathlib import Path

import pytest
from renewed_annexes import COLUMNS, renewed

from histkit.base import tables
from histkit.safety.law import regions

HEAD = 'Cosmetic Products Regulation, {annex}\nNote: invented for a test.\nExport date: 02/03/2031 13:23:17\nEn-tête\n\n""\t""\n'
TWO = (
    '"Nom"\t"EC No."\t"CAS No."\t"Ref No."\t"Name"\t"EC Number"\t"CAS"\t"Molecular formula"\t"Expressed As"\t"Product type, body parts"'
    '\t"Maximum Threshold"\t"Restriction(s)"\t"Notes"\t\n'
)
THREE = (
    '"Nom"\t"EC No."\t"CAS No."\t"Ref No."\t"Name"\t"CAS"\t"EC Number"\t"Product type, body parts"\t"Function(s)"\t"Maximum Threshold"'
    '\t"Minimum Threshold"\t"Restriction(s)"\t"Qualifier(s)"\t"Expressed As"\t"Warning Label"\t"Notes"\t\n'
)


def prohibited(entry: str, cas: str, product: str = "All cosmetic products", restriction: str = "") -> str:
    return f'"x"\t""\t"{cas}"\t"{entry}"\t"x"\t""\t"{cas}"\t""\t""\t"{product}"\t"0 %"\t"{restriction}"\t""\t\n'


def restricted(entry: str, cas: str, product: str, most: str, restriction: str = "") -> str:
    return f'"x"\t""\t"{cas}"\t"{entry}"\t"x"\t"{cas}"\t""\t"{product}"\t""\t"{most}"\t""\t"{restriction}"\t""\t""\t""\t""\t\n'


def tables_of(folder: Path, two: str, three: str) -> dict[str, list[tuple[str, ...]]]:
    files = folder / "two.csv", folder / "three.csv"
    files[0].write_text(HEAD.format(annex="Annex II") + TWO + two, encoding="utf-8")
    files[1].write_text(HEAD.format(annex="Annex III") + THREE + three, encoding="utf-8")
    return renewed(*files)  # type: ignore[no-any-return]


def test_what_becomes_of_an_export(tmp_path: Path) -> None:
    two = prohibited("9", "50-00-0") + prohibited("10", "64-18-6", restriction="Not permitted if it contains &gt; 3 % of another")
    two += prohibited("11", "67-56-1", "Hair dye products", "From 1 May 2030 it shall not be placed on the market")
    three = restricted("7", "108-46-3", "Shampoos", "0.5 %") + restricted("7", "108-46-3", "Soap", "", "For professional use")
    three += restricted("350351", "110-17-8", "All cosmetic products", "100 mg/kg")
    made = tables_of(tmp_path, two, three)
    assert made["annex_ii"] == [
        ("9", "50-00-0", "any", "", "2031-03-02"),
        ("10", "64-18-6", "any", "yes", "2031-03-02"),
        ("11", "67-56-1", "dye", "", "2031-03-02"),
    ]
    assert made["annex_iii"] == [
        ("7", "108-46-3", "", "", "professional use only", "2031-03-02"),
        ("7", "108-46-3", "shampoo", "0.005", "", "2031-03-02"),
        ("350", "110-17-8", "any", "0.0001", "", "2031-03-02"),
        ("351", "110-17-8", "any", "0.0001", "", "2031-03-02"),
    ]


def test_a_product_that_nobody_knows_is_named(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="product_types.csv does not know the product type 'Beard wax': give it a row"):
        tables_of(tmp_path, prohibited("9", "50-00-0", "Beard wax"), "")


def test_a_file_that_is_no_export(tmp_path: Path) -> None:
    for name in ("two.csv", "three.csv"):
        (tmp_path / name).write_text("entry,cas\n1,50-00-0\n", encoding="utf-8")
    with pytest.raises(ValueError, match="is no export of an annex"):
        renewed(tmp_path / "two.csv", tmp_path / "three.csv")


@pytest.mark.parametrize("name", ["annex_ii", "annex_iii"])
def test_the_tables_in_use_have_that_form_and_one_date(name: str) -> None:
    rows = tables.read(f"safety/{name}")
    assert {tuple(row) for row in rows} == {COLUMNS[name]}
    assert {row["date"] for row in rows} == {regions()["EU"].date}, "regions.csv says on every sheet as of when the law was asked"
