"""Evidence against a key that no reader made: lists set by chance in the ways that books print them, each amount known beforehand.

Names first or amounts first, seven signs between name and amount, five between entries, unit words whole or cut short, capitals or
not, with a title or 'Take' before them, with a last thing that has no amount or with directions behind. All names are common ones.
Where nothing at all divides the entries and a name without an amount stands at the end, the print itself leaves it open: left out.
"""

import itertools
import random

import pytest

import histkit as hk

NAMES = (
    "starch", "borax", "glycerine", "rose water", "oil of almonds", "spermaceti", "white wax", "orris root", "oxide of zinc", "camphor",
    "tincture of benzoin", "alum", "myrrh", "lard", "carmine", "prepared chalk", "castile soap", "cologne water", "oil of bergamot",
)  # fmt: skip
UNITS = {
    "ounce": ("ounces", "oz."), "drachm": ("drachms", "dr."), "pound": ("pounds", "lb."), "grain": ("grains", "gr."),
    "gill": ("gills", "gills"), "drop": ("drops", "gtt."),
}  # fmt: skip
AMOUNTS = (("2", 2), ("3", 3), ("½", 0.5), ("1½", 1.5), ("four", 4), ("ten", 10), ("1/4", 0.25), ("6", 6))
NAME_FIRST, AMOUNT_FIRST = (" ", ", ", ": ", " — "), (" ", " of ")
BETWEEN = (". ", "; ", ", ", "\n", ",\n", " ")
WAYS = [
    (first, join, between)
    for first, joins in (("name", NAME_FIRST), ("amount", AMOUNT_FIRST))
    for join, between in itertools.product(joins, BETWEEN)
    if join != between  # 'borax, 2 oz., wax, 1 oz.' has other tests
]


def printed(chance, first, join, between, short, capital, last, before):
    """A list set in one way, and its key: (amount, unit, name) of each entry that has an amount."""
    *names, without = chance.sample(NAMES, chance.randint(4, 6))
    entries, key = [], []
    for name in names:
        (figure, amount), unit = chance.choice(AMOUNTS), chance.choice(list(UNITS))
        word = UNITS[unit][short]
        measure = f"{figure} {word if short or amount > 1 else word[:-1]}"
        shown = name.capitalize() if capital else name
        entries.append(f"{shown}{join}{measure}" if first == "name" else f"{measure}{join}{shown}")
        key.append((amount, unit, name))
    text = between.join(entry.rstrip(".") if between == ". " else entry for entry in entries)
    if last == "name":
        text += between + (without.capitalize() if capital else without)
    text = text.rstrip(".") + (". Mix well and strain through muslin." if last == "directions" else ".")
    return {"": "", "title": "Cold Cream.\n", "take": "Take "}[before] + text, key


@pytest.mark.parametrize(("first", "join", "between"), WAYS)
def test_a_list_is_read_as_it_is_set(first, join, between):
    chance = random.Random(f"{first}{join}{between}")
    wrong = []
    for short, capital, last, before in itertools.product((0, 1), (0, 1), ("", "name", "directions"), ("", "title", "take")):
        if (between == ". " and not capital) or (between == " " and last == "name"):
            continue
        text, key = printed(chance, first, join, between, short, capital, last, before)
        lines = {line.ingredient.lower(): (line.amount, line.unit) for line in hk.read(text).lines}
        wrong += [(text, entry, lines) for entry in key if lines.get(entry[2]) != entry[:2]]
    assert wrong == []
