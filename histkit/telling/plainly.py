"""What a viewer sees in a few plain words: measures, printed words without their joints, one word of warning, a colour."""

from __future__ import annotations

import re
from functools import cache
from typing import TYPE_CHECKING

from histkit.base.bibliography import sourced
from histkit.base.tables import read
from histkit.composing.fitting import hues
from histkit.safety.poisons import poisons_in, why
from histkit.safety.within import forbidden_within

if TYPE_CHECKING:
    from histkit.glossary.nouns import Ingredient
    from histkit.translating.translation import Translation

_WEIGHTS = ("ounce", "pound", "drachm", "scruple", "grain")
"""Units in the order in which a caption would rather speak of them: the one that viewers know best first."""
_WORD = re.compile(r"[^\W\d_]+\s+")


@cache
def _measure_words() -> dict[str, str]:
    return {row["convention"]: row["words"] for row in read("telling/measure_words")}


@cache
def _connecting() -> frozenset[str]:
    return frozenset(row["word"] for row in read("telling/connecting_words"))


@cache
def _hue_colours() -> dict[str, str]:
    return {row["hue"]: row["colour"] for row in sourced("telling/hue_colours")}


def measures_caption(translation: Translation) -> str:
    """The measures in words for people: 'Ounces of 28.35 g, as British shops weighed (likely).'; '' where none are weighed."""
    if translation.in_parts:
        return "The book prints parts by weight."
    convention = translation.convention
    used = {unit for line in translation.formula.lines for unit in (line.unit, *(u for _, u in line.plus))}
    unit = next((u for u in _WEIGHTS if u in used and convention.grams(u)), None)
    whose = _measure_words().get(convention.id, "")
    if unit is None or not whose:
        return ""
    grams = convention.grams(unit) or 0.0
    certainty = translation.choices[0].certainty if translation.choices else ""
    digits = 2 if grams >= 10 else 3
    return f"{unit.capitalize()}s of {grams:.{digits}f} g, {whose}{f' ({certainty})' if certainty else ''}."


def without_joints(printed: str) -> str:
    """Printed words without those at their head that only join: 'Take of rice starch, half a pound' begins with 'rice starch'."""
    rest = printed.strip()
    while (found := _WORD.match(rest)) and found[0].strip().casefold() in _connecting():
        rest = rest[found.end() :]
    return rest or printed


def warning_word(ingredient: Ingredient | None) -> str:
    """'poison' for what poisons, 'forbidden' for what must not be used for another reason, else ''."""
    if ingredient is None or not forbidden_within(ingredient):
        return ""
    return "poison" if poison_groups(ingredient) else "forbidden"


def poison_groups(ingredient: Ingredient) -> tuple[str, ...]:
    """The groups of poisons that an ingredient's name or what it is made of speaks of, each once."""
    names = [ingredient.name, *(inner.name for inner in forbidden_within(ingredient))]
    found = (f for name in names for f in poisons_in(name) if f.group and not f.contested)
    return tuple(dict.fromkeys(f.group for f in found))


def what_it_does(ingredient: Ingredient) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """(what the poisons in it do, the laws that forbid them), a sentence each."""
    harm, law = [], []
    for group in poison_groups(ingredient):
        name, words, where = why(group)
        harm.append(f"{name[:1].upper()}{name[1:]} {words}.")
        law += [f"Not allowed in cosmetics in the European Union: Reg. (EC) 1223/2009, {where}."] if where else []
    if not harm:
        for caution in ingredient.cautions:
            if caution.level == "forbidden":
                harm.append(caution.text)
                law += [caution.law] if caution.law else []
    return tuple(dict.fromkeys(harm)), tuple(dict.fromkeys(law))


def swatch(ingredient: Ingredient | None) -> str:
    """The colour of an ingredient's powder, as far as its hue is known: a guide for the eye, not a measurement."""
    hue = hues().get(ingredient.id, "") if ingredient is not None else ""
    return _hue_colours().get(hue, "")
