"""How strong a printed spirit is, from the book onto the sheet: grams by hand, words for whoever weighs it, no poison in 'op'."""

from __future__ import annotations

import pytest

from histkit.base.errors import Forbidden
from histkit.base.nouns import Source
from histkit.keeping.records import Pressing, Record


def wash(line: str, country: str = "GB", year: int = 1890, pressing: Pressing | None = None) -> Record:
    book = Source(title="Invented Book", year=year, country=country)
    return Record(text=f"Invented Wash\n{line}\nTalc 20 oz.\nZinc oxide 2 oz.", source=book, pressing=pressing)


# Proof: 57.09 per cent by volume in Britain (so 60 over proof is 1.60 of it), 50 in the United States; the rest as printed.
PRINTED = [
    ("Spirits of wine, 60 o.p., 10 fl. oz.", "GB", 1890, 1.60 * 57.09),
    ("Spirits of wine, 60 O.P., 10 fl. oz.", "GB", 1890, 1.60 * 57.09),
    ("Spirit of wine (60 op) 10 fl. oz.", "GB", 1890, 1.60 * 57.09),
    ("Rectified spirit, 56 over proof, 10 fl. oz.", "GB", 1890, 1.56 * 57.09),
    ("Spirit, 10 u.p., 10 fl. oz.", "GB", 1890, 0.90 * 57.09),
    ("Alcohol, 190 proof, 10 fl. oz.", "US", 1890, 95),
    ("Alcool à 85 degrés, 300 grammes", "FR", 1880, 85),
    ("Alcool à 36° Cartier, 300 grammes", "FR", 1850, 89.6),
    ("Alcool 90° Gay-Lussac, 300 grammes", "FR", 1880, 90),
    ("Alcohol 90° Tralles, 300 g", "DE", 1880, 90),
]


@pytest.mark.parametrize(("line", "country", "year", "percent"), PRINTED)
def test_the_sheet_says_how_strong_the_spirit_is(line: str, country: str, year: int, percent: float) -> None:
    record = wash(line, country, year)
    (row,) = (row for row in record.batch().bench_sheet().rows if "by volume" in row.note)
    said = float(row.note.partition(": ")[2].partition(" %")[0])
    assert row.note.startswith("printed as ") and said == pytest.approx(percent, abs=0.35)


@pytest.mark.parametrize(("country", "year", "percent"), [("US", 1870, 89.6), ("US", 1900, 94)])
def test_alcohol_is_that_of_the_book(country: str, year: int, percent: float) -> None:
    """Alcohol of the United States pharmacopoeia: sp. gr. 0.835 in the 1860s, 0.820 after 1880."""
    (row,) = (row for row in wash("Alcohol 10 fl. oz.", country, year).batch().bench_sheet().rows if "by volume" in row.note)
    assert row.note == f"that of the book: {percent:.3g} % of alcohol by volume"


def test_what_dries_off_is_told_with_its_strength() -> None:
    made = wash("Spirits of wine, 60 o.p., 4 fl. oz.", pressing=Pressing()).batch()
    assert any(w == "alcohol, printed as 60 o.p.: 91.4 % of alcohol by volume" for w in made.warnings)
    assert any("of alcohol (it dries off" in step.text() for step in made.bench_sheet().steps)


@pytest.mark.parametrize("line", ["Alcohol 60 op. 3 gr.", "Spirit of wine 8 oz., op. 3 gr.", "Tr. op. 60 minims"])
def test_opium_is_found_all_the_same(line: str) -> None:
    with pytest.raises(Forbidden, match="opium"):
        wash(line).batch()


def test_what_is_printed_stays_whole_in_the_findings() -> None:
    """The strength is passed over in the search, not cut out of what was printed."""
    printed = wash("Spirit of wine (60 op) 10 fl. oz.").composition().printed[0]
    assert "(60 op)" in printed.words and printed.strength == "60 op" and "op" not in printed.searched[0].split()
