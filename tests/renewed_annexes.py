"""Annexes II and III of the cosmetics regulation, from the agency's exports to the two tables that the law is asked from.

When the law changes, save the two exports "Annex II, Prohibited Substances" and "Annex III, Restricted Substances" of the European
Chemicals Agency (the CSV with tabs between the cells, as it comes, with its lines of heading and its date), then

    PYTHONPATH=. python tests/renewed_annexes.py ANNEX_II.csv ANNEX_III.csv

writes `histkit/safety/annex_ii.csv` and `annex_iii.csv`, which are replaced as they stand, and says what came and went of the
substances that the glossary has. A product type that `product_types.csv` does not know is an error that names it: give it a row.
Then `pytest tests/safety tests/composing` tells which ingredient lacks its caution, and which exception is idle.
"""

import csv
import html
import re
import sys
from pathlib import Path

from histkit import glossary
from histkit.base import tables

FOLDER = Path(__file__).parent.parent / "histkit" / "safety"
COLUMNS = {
    "annex_ii": ("entry", "cas", "products", "conditional", "date"),
    "annex_iii": ("entry", "cas", "products", "maximum", "note", "date"),
}
NO_CONDITION = ("From ", "When used in hair dye products.")
"""So begins a restriction that only says from when on a prohibition holds, or in which products: it holds all the same."""
PROFESSIONAL = re.compile("professional use", re.IGNORECASE)
GENERAL = re.compile("general use|general consumers", re.IGNORECASE)
MAXIMUM = re.compile(r"([\d.]+) ?(%|mg/kg|ppm)")
UNITS = {"%": 100.0, "mg/kg": 1e6, "ppm": 1e6}
CAS = re.compile(r"\d+-\d\d-\d")
DATE = re.compile(r"Export date: (\d\d)/(\d\d)/(\d{4})")


def exported(path):
    """(the day of an export as 2024-05-16, its rows). Raises ValueError for a file that is none."""
    lines = path.read_text(encoding="utf-8-sig").splitlines(keepends=True)
    head = next((number for number, line in enumerate(lines) if '"Ref No."' in line), None)
    day = DATE.search("".join(lines[:head]))
    if head is None or day is None:
        raise ValueError(
            f"{path}: this is no export of an annex: a line 'Export date: …' and a heading with 'Ref No.' are wanted"
        )
    rows = [
        {column: html.unescape(cell or "").strip() for column, cell in row.items() if column}
        for row in csv.DictReader(lines[head:], delimiter="\t")
    ]
    return "-".join(reversed(day.groups())), rows


def products_of(words, known):
    """The products that the law's words mean. Raises ValueError for words that `product_types.csv` does not have."""
    half = words[: len(words) // 2]
    words = half if words == half * 2 else words  # the export sometimes prints a cell twice
    if words and words not in known:
        raise ValueError(f"product_types.csv does not know the product type {words!r}: give it a row with the tags that it means")
    return known[words] if words else "any"


def entry_and_cas(row):
    """(entry, CAS number) of every substance of a row; the export sometimes prints two entries as one: '350351'."""
    number = row["Ref No."]
    entries = [number[:3], number[3:]] if number.isdecimal() and len(number) == 6 else [number]
    return [(entry, cas) for entry in entries for cas in CAS.findall(f"{row['CAS']} {row['CAS No.']}")]


def annex_ii(rows, known, day):
    """The rows of `annex_ii.csv`: what is prohibited, in which products, and whether only under a condition."""
    found = set()
    for row in rows:
        condition = "" if row["Restriction(s)"].startswith(NO_CONDITION) or not row["Restriction(s)"] else "yes"
        products = products_of(row["Product type, body parts"], known)
        found |= {(*key, products, condition, day) for key in entry_and_cas(row)}
    return sorted(found, key=in_order)


def annex_iii(rows, known, day):
    """The rows of `annex_iii.csv`: the products that a substance may be in, and its greatest share there (0–1)."""
    found = set()
    for row in rows:
        limit = MAXIMUM.search(row["Maximum Threshold"])
        maximum = f"{float(limit[1]) / UNITS[limit[2]]:.10g}" if limit else ""
        words = row["Product type, body parts"]
        said = f"{words} {row['Restriction(s)']} {row['Warning Label']}"
        only = bool(PROFESSIONAL.search(said)) and not GENERAL.search(said)
        products = "" if only else products_of(words, known)
        found |= {(*key, products, maximum, "professional use only" if only else "", day) for key in entry_and_cas(row)}
    return sorted(found, key=in_order)


def in_order(row):
    """By the number of the entry, then as it stands."""
    return int(re.sub(r"\D", "", row[0]) or 0), row


def renewed(annex_ii_file, annex_iii_file):
    """The rows of both tables, by name. Raises ValueError for a file that is no export, or words that no table knows."""
    known = {row["law_words"]: row["products"] for row in tables.read("safety/product_types")}
    both = {}
    for name, path, made in (("annex_ii", annex_ii_file, annex_ii), ("annex_iii", annex_iii_file, annex_iii)):
        day, rows = exported(path)
        both[name] = made(rows, known, day)
    return both


def main(annex_ii_file, annex_iii_file):
    ours = {cas for entry in glossary.ingredients.values() for cas in CAS.findall(entry.cas)}
    for name, rows in renewed(annex_ii_file, annex_iii_file).items():
        before = {tuple(row.values())[:-1] for row in tables.read(f"safety/{name}")}
        after = {row[:-1] for row in rows}
        for sign, changed in (("-", before - after), ("+", after - before)):
            for row in sorted(changed):
                if row[1] in ours:
                    print(f"{name} {sign} {', '.join(row)}")
        with (FOLDER / f"{name}.csv").open("w", encoding="utf-8", newline="") as out:
            writer = csv.writer(out, lineterminator="\n")
            writer.writerows([COLUMNS[name], *rows])
        print(f"{name}: {len(before)} rows before, {len(rows)} now")


if __name__ == "__main__":
    main(*map(Path, sys.argv[1:3]))
