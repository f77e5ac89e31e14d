"""How much of what is printed the glossary knows: 200 names of ingredients, drawn by chance from books that gave it no rows.

`drawn_200.csv` is evidence of one day (29 November 2026). In 38 books of 1657 to 1922, none of them among the books that the glossary's
names were gathered from, seeded chance chose places with a measure beside others; the name that stands there was noted as printed,
once each, and 200 of the 309 were drawn. What each is today (`is`) was written down before the look-up saw a name; `ingredients` are
the glossary's rows for it, empty where it had none that day; `who_says` is the page or the book that settles a name, else one's own
judgement. One name that had been typed from half a word was put right afterwards. Found at first sight: 181 right, six with a doubt
(two of them right among the meanings that it names), three wrong without a word, ten unknown. Rows that are added for the unknown ones make it no evidence
any more: then the figures are a guard, and the next 200 are drawn.
"""

import csv
from collections import Counter
from pathlib import Path

import histkit as hk

PATH = Path(__file__).with_name("drawn_200.csv")
GERMAN = ("Schiller", "Oetker")


def verdict(row: dict[str, str]) -> str:
    """right, doubted, wrong or unknown: the name as the first line of a formula of its year."""
    german = any(author in row["book"] for author in GERMAN)
    source = hk.Source(title=row["book"], year=int(row["year"]), country="DE" if german else "GB")
    text = "{}, 2 Loth\nZucker, 4 Loth" if german else "{}, 2 ounces\nsugar, 4 ounces"
    line = hk.translate(hk.read(text.format(row["printed"]), source=source)).lines[0]
    if line.ingredient is None:
        return "unknown"
    if line.ingredient.id in row["ingredients"].split(";"):
        return "right"
    return "doubted" if any(doubt.about == "ingredient" for doubt in line.doubts) else "wrong"


def test_most_names_of_books_never_met_are_known_and_hardly_one_is_wrong():
    with PATH.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == 200 and len({row["printed"] for row in rows}) == 200
    assert len({row["book"] for row in rows}) >= 30
    assert all(row["is"] and row["who_says"] for row in rows)
    told: dict[str, list[str]] = {"right": [], "doubted": [], "wrong": [], "unknown": []}
    for row in rows:
        told[verdict(row)].append(row["printed"])
    counts = Counter({kind: len(names) for kind, names in told.items()})
    assert counts["right"] >= 180, counts
    assert counts["wrong"] <= 3, told["wrong"]
    assert counts["unknown"] <= 12, told["unknown"]
