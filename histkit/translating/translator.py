"""Formula → Translation: what each printed amount weighs, within which limits, and by whose word.

One convention holds for the whole formula (its ounce is one ounce throughout), so a rival convention moves all lines
together: where every line is printed in ounces it changes no share at all, and where ounces meet drops it bites.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from histkit import glossary, measures
from histkit.base.nouns import Doubt, Spread
from histkit.glossary.company import ENOUGH_METALS, ENOUGH_OILS, among_metals, among_oils, is_a_metal
from histkit.glossary.nouns import Caution, Match
from histkit.measures.said import said_in, with_vessels_of
from histkit.reading.formula import Formula, Line
from histkit.safety.poisons import in_words, poisons_in
from histkit.safety.within import forbidden_within
from histkit.translating.amounts import Book, Reading
from histkit.translating.doubts import doubt_of_the_drachm, doubt_of_the_other_drachm, line_doubts
from histkit.translating.drachms import may_be_small
from histkit.translating.portions import printed_amounts, weigh_all
from histkit.translating.shares import share_bounds, shares_of
from histkit.translating.translation import TranslatedLine, Translation

if TYPE_CHECKING:
    from histkit.measures import Choice, Convention

RIVAL = 0.1
"""A rival convention with less weight than this is named but does not widen the spread."""


def translate(formula: Formula, convention: str | Convention | None = None) -> Translation:
    """What every line of a formula is today and what it weighs.

    `convention` is an id of `measures.conventions` or a Convention; None chooses one from the formula's source, and
    the choice and its runner-up are told (`why_convention`).

    Raises:
        UnknownName: there is no convention of that id.
    """
    choices = _choices(formula, convention)
    best = choices[0].convention
    rival = _rival(choices, formula) if convention is None else None
    matches = _matches(formula)
    book = Book.of(formula, best)
    printed = printed_amounts(formula)
    weighed = weigh_all(formula, matches, book, printed)
    other = weigh_all(formula, matches, Book.of(formula, with_vessels_of(best, rival.convention)), printed) if rival else []
    bounds = share_bounds([weighed, other] if other else [weighed])
    best_shares = shares_of([r[0].grams.best if r else None for r in weighed])
    rival_shares = shares_of([r[0].grams.best if r else None for r in other]) if other else best_shares
    other_drachm = may_be_small(formula, best)
    lines = []
    for index, line in enumerate(formula.lines):
        readings, match = weighed[index], matches[index]
        extra = other[index] if other else ()
        entry = match.ingredient if match else None
        shares = (best_shares[index], rival_shares[index])
        doubts = [*line.doubts, *(match.doubts if match else ()), *line_doubts(line, entry, readings, rival, shares, formula)]
        doubts += doubt_of_the_drachm(line, book.small_drachm)
        if other_drachm and not book.small_drachm:
            doubts += doubt_of_the_other_drachm(line, entry, rival)
        if line.set_aside:  # the maker has said what it is
            doubts = []
        lines.append(
            TranslatedLine(
                line,
                entry,
                match,
                _grams(readings, extra),
                bounds[index],
                (*readings, *_different(readings, extra)),
                (*_poison_words(line, match), *_cautions(match)),
                tuple(dict.fromkeys(doubts)),
            )
        )
    return Translation(formula, best, choices, tuple(lines), tuple(r[0].grams if r else None for r in other), rival)


def _choices(formula: Formula, convention: str | Convention | None) -> tuple[Choice, ...]:
    """The conventions that the book may have followed, the one given by the maker first."""
    printed = {unit for line in formula.lines for unit in (line.unit, *(u for _, u in line.plus))}
    choices = measures.choose(formula.source, printed, _said_of_the_whole(formula), formula.title)
    if convention is None:
        return choices
    given = measures.conventions[convention] if isinstance(convention, str) else convention
    first = replace(choices[0], convention=given, certainty="chosen", reason="chosen by you.", weight=1.0)
    return (first, *(c for c in choices if c.convention.id != given.id))


def _rival(choices: tuple[Choice, ...], formula: Formula) -> Choice | None:
    """The likeliest other convention that gives a unit of this formula another size; else the runner-up; None for none near.

    Two conventions may differ in their spoons alone: where no spoon is printed, the next one is what stands in question.
    """
    near = [choice for choice in choices[1:] if choice.weight >= RIVAL]
    best = choices[0].convention
    printed = {unit for line in formula.lines for unit in (line.unit, *(u for _, u in line.plus))}
    printed |= {f"fluid {unit}" for unit in printed}  # a liquid's ounce may be a measure
    for choice in near:
        other = with_vessels_of(best, choice.convention)
        # a convention need not have all units of another: few have a fluid scruple
        held = [unit for unit in printed if best.has_unit(unit) and other.has_unit(unit)]
        if any(other.exact(unit) != best.exact(unit) for unit in held):
            return choice
    return near[0] if near else None


def _said_of_the_whole(formula: Formula) -> tuple[str, ...]:
    """The measures that the title, the directions or the words left unread name for the whole formula.

    A sentence with a figure in it speaks of one amount, not of the formula.
    """
    pieces = [formula.title, *re.split(r"[.;\n]", formula.directions), *map(str, formula.unread)]
    return said_in(". ".join(piece for piece in pieces if piece and not re.search(r"\d", piece)), anywhere=True)


def _grams(readings: tuple[Reading, ...], extra: tuple[Reading, ...]) -> Spread | None:
    """The grams of the likeliest reading, from the least to the most of all of them."""
    if not readings:
        return None
    spreads = [r.grams for r in (*readings, *extra)]
    return Spread(min(s.low for s in spreads), readings[0].grams.best, max(s.high for s in spreads))


def _matches(formula: Formula) -> list[Match | None]:
    """What each line is; where some are essential oils, or all may be metals, a bare name may be one of them."""
    matches = [_find(line, formula) for line in formula.lines]
    known = [match for match in matches if match is not None]
    if sum(is_a_metal(match.ingredient) for match in known) >= ENOUGH_METALS:
        of_metals = [among_metals(match) for match in known]
        if all(is_a_metal(match.ingredient) for match in of_metals):
            return [among_metals(match) if match else None for match in matches]
    if sum(match is not None and match.ingredient.kind == "essential-oil" for match in matches) < ENOUGH_OILS:
        return matches
    return [among_oils(match, line.unit) if match else None for match, line in zip(matches, formula.lines, strict=True)]


def _find(line: Line, formula: Formula) -> Match | None:
    name = line.full_name
    if not name or line.set_aside:
        return None
    match = glossary.find(name, formula.source, line.unit)
    if match is None and not line.modifier and f"{name}." in line.raw:  # 'Lilior.' is a word cut short, 'Lilior' is none
        match = glossary.find(f"{name}.", formula.source, line.unit)
    if match is None and line.carried:
        match = glossary.find(line.ingredient, formula.source, line.unit)
        if match is not None:
            doubt = Doubt("ingredient", f"Known only without the words carried from above ({line.carried!r}).", (), "")
            match = replace(match, doubts=(*match.doubts, doubt))
    return match


def _different(readings: tuple[Reading, ...], extra: tuple[Reading, ...]) -> tuple[Reading, ...]:
    """The rival readings that weigh something else, marked as such."""
    bests = [r.grams.best for r in readings]
    return tuple(replace(r, rival=True) for r in extra if all(abs(r.grams.best - k) > 1e-9 * max(1.0, k) for k in bests))


def _poison_words(line: Line, match: Match | None) -> Iterator[Caution]:
    """A caution for each poison whose word stands in the print of a line, whatever it was taken for."""
    taken = match.ingredient if match is not None else None
    if taken is not None and forbidden_within(taken):
        return
    for found in dict.fromkeys((*poisons_in(f"{line.carried} {line.raw}".strip()), *poisons_in(line.full_name))):
        if not found.contested:
            yield Caution("forbidden", f"The print has the word of a poison: {in_words(found)}.", "histkit")


def _cautions(match: Match | None) -> tuple[Caution, ...]:
    """The cautions of an ingredient, of what it is made of, and of a poisonous other meaning of its name."""
    if match is None:
        return ()
    cautions = list(match.ingredient.cautions)
    seen = {match.ingredient.id}
    waiting = [key for key, _ in match.ingredient.made_of]
    while waiting:
        key = waiting.pop(0)
        if key in seen or key not in glossary.ingredients:
            continue
        seen.add(key)
        inner = glossary.ingredients[key]
        cautions += [replace(c, text=f"Holds {inner.name}. {c.text}") for c in inner.cautions]
        waiting += [k for k, _ in inner.made_of]
    for other in match.alternatives:
        if other.forbidden and not match.ingredient.forbidden:
            worst = next(c for c in other.cautions if c.level == "forbidden")
            cautions.append(replace(worst, level="care", text=f"This name has also meant {other.name}: {worst.text}"))
    return tuple(dict.fromkeys(cautions))
