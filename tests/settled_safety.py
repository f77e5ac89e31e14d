"""What keeps a mixture from the bench, in short: a guard against a limit, a pair or a second meaning that changes unseen.

`safety/settled.csv` is made from the tables themselves by `python tests/settled_safety.py`; it proves nothing about the world. Where a
change of the tables is meant, make it anew and look at the difference.
"""

from collections import Counter
from pathlib import Path

import settled_table

from histkit import glossary
from histkit.base import tables
from histkit.safety.law import regions, rules_of
from histkit.safety.within import forbidden_within

FILE = Path(__file__).parent / "safety" / "settled.csv"
COLUMNS = ("about", "of", "said")


def settled():
    """Limits of every ingredient, pairs and their groups, poisonous second meanings, and how many words each poison has."""
    entries = glossary.load(glossary.folder())
    yield from limits(entries)
    yield from second_meanings(entries)
    yield from pairs()
    words = Counter((row["group"], row["sense"]) for row in tables.read("safety/poison_words"))
    yield from (("words", f"{group} {sense}", str(number)) for (group, sense), number in words.items())
    yield from (("sign", row["sign"], row["word"]) for row in tables.read("safety/poison_signs"))
    yield from (("apart", row["words"], row["place"]) for row in tables.read("safety/apart_words"))
    yield from (("unfit", row["ingredient"], row["products"]) for row in tables.read("safety/unfit"))


def limits(entries):
    for entry in entries.values():
        for region in regions().values():
            said = sorted(" ".join(limit(rule).split()) for rule in rules_of(entry, region))
            if said and not (region.follows and rules_of(entry, region) == rules_of(entry, regions()[region.follows])):
                yield "limit", f"{entry.id} {region.id}", "; ".join(said)
    for row in tables.read("safety/constituent_limits"):
        yield "constituent", f"{row['constituent']} {row['products']}", f"{float(row['maximum']):.6g} {row['level']}"


def limit(rule):
    most = "" if rule.maximum is None else f"{100 * rule.maximum / rule.factor:.6g} %"
    return f"{rule.products or 'nowhere'} {most} {rule.bound}"


def second_meanings(entries):
    meanings = {}
    for entry in entries.values():
        for name in entry.names:
            if name.contested:
                meanings.setdefault(name.name, set()).add(entry.id)
    for name, ids in meanings.items():
        if len(ids) > 1 and any(forbidden_within(entries[key]) for key in ids):
            yield "meanings", name, " ".join(sorted(ids))


def pairs():
    for row in tables.read("safety/pairs"):
        yield "pair", f"{row['first']} + {row['second']}", f"{row['level']} {row['where']}".strip()
    members = {}
    for row in tables.read("safety/pair_groups"):
        members.setdefault(row["group"], []).append(row["value"])
    for group, ids in members.items():
        yield "group", group, " ".join(sorted(ids))


def rows():
    return [dict(zip(COLUMNS, row, strict=True)) for row in sorted(settled())]


def written():
    return settled_table.written(FILE)


if __name__ == "__main__":
    settled_table.write(FILE, COLUMNS, rows())
