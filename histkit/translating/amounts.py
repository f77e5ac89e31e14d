"""What one printed amount weighs under a convention: every way to take it, the likeliest first, each with its reason.

The same few amounts of the same few ingredients fill a book ('2 drachms of oil of bergamot'), so what was worked out once
is remembered. Plain floats inside: Pint stands at the border (`measures`).
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from typing import TYPE_CHECKING, NamedTuple

from histkit import glossary, measures
from histkit.base.bibliography import sourced
from histkit.base.nouns import Amount, Source, Spread, amount_text
from histkit.base.tables import Row
from histkit.glossary.nouns import Ingredient
from histkit.measures.said import following, is_said, may_name_measures, said_in, weighs, words_of
from histkit.reading.formula import Formula, Line
from histkit.translating.drachms import why_small_drachm
from histkit.translating.heaping import LEVEL, SPOONS, Heap, heap

if TYPE_CHECKING:
    from histkit.measures import Convention

METRIC_GRAMS = {"gram": 1.0, "milligram": 0.001, "centigram": 0.01, "kilogram": 1000.0}
METRIC_MILLILITRES = {"millilitre": 1.0, "litre": 1000.0}
WEIGHTS = frozenset({"grain", "scruple", "drachm", "ounce", "pound"})
NEVER_MEASURED = frozenset({"weight", "avoirdupois", "apothecaries' weight"})
"""What a line prints of its system where a liquid in ounces or drachms was weighed beyond doubt."""
_APOTHECARIES = {
    "grain": "grain", "scruple": "scruple", "drachm": "drachm", "ounce": "apothecaries_ounce", "pound": "apothecaries_pound",
}  # fmt: skip
"""The names of these weights in units.txt."""
ABOUT = 0.1
"""How far an amount printed with 'about' may lie from it: common practice, no source."""
UNKNOWN_DENSITY = Spread(0.85, 1.0, 1.2)
"""g/mL for a liquid of no known density: from light oils to syrups, water in the middle; common practice, no source."""
UNKNOWN_BULK = Spread(0.3, 0.6, 1.0)
"""g/mL for a loose powder or herb of no known bulk density; common practice, no source."""
_POWDERED = re.compile(r"\b(?:powder(?:ed)?|pulverized|pulverised|confectioners|icing)\b", re.IGNORECASE)
_HEAPED = ("", "level", "heaped")
"""What a line may print of its spoonful, in the order of `Book.heaps`."""
_OTHER = "other"
"""Before the name of a vessel in convention_units.csv: another that books call by the same name."""
_BOOKS_REMEMBERED, _AMOUNTS_REMEMBERED = 32, 1024
"""How many sorts of books, and how many amounts of each, are kept at once: at most some 30 MB."""


NOTHING = Spread.exact(0.0)


@dataclass(frozen=True, slots=True)
class Reading:
    """One way to weigh a printed amount: its grams and why. `kind` is weight, measure, drops, parts, pieces or total."""

    kind: str
    grams: Spread
    why: str
    rival: bool = False
    """Whether this is what the runner-up convention would make of it."""
    heaped: str = ""
    """What tells that the spoonful may have been heaped; '' where it was level or no spoonful of powder."""
    level: Spread = NOTHING
    """The grams of the same spoonful, level, where it may have been heaped."""
    otherwise: tuple[str, Spread] | None = None
    """Another vessel of the same name, in words, and what it would weigh; None where the name has one size."""


class Printed(NamedTuple):
    """What a line prints of its amount: all that its weight can depend on, besides the ingredient and the book."""

    amount: Amount
    unit: str
    plus: tuple[tuple[Amount, str], ...] = ()
    system: str = ""
    approximate: bool = False
    strength: str = ""
    country: str = ""
    year: int | None = None
    """Where and when it was printed, which only the meaning of a strength depends on: given beside one alone."""
    powdered: bool = False
    """Whether its name says that it is powdered, which only the room it takes up depends on."""

    @classmethod
    def of(cls, line: Line, source: Source | None = None) -> Printed:
        unit = vessel(line.raw, line.unit)
        common = (line.amount, unit, line.plus, line.system or _named_beside(line.ingredient), line.approximate)
        powdered = bool(_POWDERED.search(f"{line.ingredient} {line.modifier}"))
        strength = _strength_of(line) or _spirit_of(line, source)
        if not strength or source is None:
            return cls(*common, strength, powdered=powdered)
        return cls(*common, strength, source.country, source.year, powdered)


@dataclass(frozen=True, slots=True)
class Book:
    """A convention, and what the whole formula says about measures."""

    convention: Convention
    prints_fluid: bool
    small_drachm: str = ""
    """What tells that a drachm is a sixteenth of the ounce here; '' where nothing does."""
    heaps: tuple[Heap, Heap, Heap] = (LEVEL, LEVEL, LEVEL)
    """What a spoonful of powder holds where nothing, 'level' or 'heaped' is printed beside it."""
    says_avoirdupois: bool = False
    """Whether the book itself says that its ounces are avoirdupois, whatever stands beside them."""

    @classmethod
    def of(cls, formula: Formula, convention: Convention) -> Book:
        units = {u for line in formula.lines for u in (line.unit, *(unit for _, unit in line.plus))}
        source = formula.source
        heaps = (LEVEL, LEVEL, LEVEL)
        if units & SPOONS:
            kind = source.kind or measures.guess_kind(source.title)[0] if source else None
            level, unsaid, heaped = (heap(printed, source, kind) for printed in ("level", "", "heaped"))
            heaps = (unsaid, level, heaped)
        says_ounce = bool(source and source.measures) and "avoirdupois" in said_in(source.measures if source else "")
        small = why_small_drachm(formula, convention) if "drachm" in units else ""
        return cls(convention, bool(units & {"fluid ounce", "fluid drachm"}), small, heaps, says_ounce)

    def named_by(self, system: str) -> Convention:
        """The convention with the sizes that the line itself names ('imperial pint') before its own."""
        return following(self.convention, (system,), "line") if is_said(system) else self.convention

    # -- weighing ------------------------------------------------------------------------------------------------------

    def weigh(self, printed: Printed, entry: Ingredient | None) -> tuple[Reading, ...]:
        """All ways to weigh an amount, the likeliest first; () where there is none."""
        parts = [(spread_of(printed.amount, printed.approximate), printed.unit)]
        parts += [(spread_of(amount, False), unit) for amount, unit in printed.plus]
        ways: list[tuple[Reading, ...]] = []
        for amount, unit in parts:
            if amount is None:
                return ()
            ways.append(self._ways(amount, unit, printed, entry))
        if not all(ways):
            return ()
        first = ways[0]
        for more in ways[1:]:
            first = tuple(
                Reading(r.kind, r.grams + _same_kind(more, r.kind).grams, f"{r.why} Plus: {_same_kind(more, r.kind).why}")
                for r in first
            )
        return first

    def _ways(self, amount: Spread, unit: str, printed: Printed, entry: Ingredient | None) -> tuple[Reading, ...]:
        shown = amount_text(amount.best if amount.is_exact else (amount.low, amount.high))
        if unit in ("part", "per cent"):
            return (Reading("parts", amount, "One part is taken as one gram: only the proportions are printed."),)
        if unit in METRIC_GRAMS:
            return (Reading("weight", amount * METRIC_GRAMS[unit], f"{shown} {unit}, metric."),)
        if unit in METRIC_MILLILITRES:
            return (self._by_volume(amount * METRIC_MILLILITRES[unit], f"{shown} {unit}, metric", printed, entry),)
        if unit == "drop":
            mass = measures.drop_mass(entry)
            return (Reading("drops", amount * mass, f"{shown} drops of {mass} g each: {measures.drop_reason(entry)}"),)
        if unit == "piece":
            kinds = [p for p in entry.properties if p.property == "piece-mass"] if entry else []
            if not kinds:
                return ()
            each, *others = kinds  # the first is the plain meaning; a rind or a shell is another thing
            why = f"{shown} pieces of {each.spread} g each ({each.condition}) [{glossary.cited(each.source, each.section)}]."
            why += "".join(f" Another sense: {other.condition}, {other.spread} g." for other in others)
            return (Reading("pieces", amount * each.spread, why),)
        if unit in WEIGHTS:
            return self._weight_or_measure(amount, unit, shown, printed, entry)
        named = self.named_by(printed.system)
        unit = "cupful" if unit == "breakfastcupful" and not named.has_unit(unit) else unit  # a cup of Britain alone
        volume = named.millilitres(unit)
        if volume is not None:
            heaped = self._heap(unit, printed, entry)
            words = f"{shown} {unit}: {named.definition(unit)}{f' {heaped.words}.' if heaped.words else ''}"
            reading = self._by_volume(amount * volume * heaped.times, words, printed, entry)
            if named.has_unit(f"{_OTHER} {unit}"):
                reading = replace(reading, otherwise=self._other_vessel(named, f"{_OTHER} {unit}", amount, printed, entry))
            if heaped.times.is_exact:
                return (reading,)
            return (replace(reading, heaped=heaped.words, level=self._by_volume(amount * volume, "", printed, entry).grams),)
        grams = self.convention.grams(unit)
        if grams is not None:
            return (Reading("weight", amount * grams, f"{shown} {unit}: {self.convention.definition(unit)}"),)
        return ()

    def _other_vessel(
        self, named: Convention, unit: str, amount: Spread, printed: Printed, entry: Ingredient | None
    ) -> tuple[str, Spread]:
        """What the vessel may be instead, in words, and the grams of it."""
        volume = named.millilitres(unit)
        assert volume is not None  # a vessel is a measure of volume
        return named.definition(unit).partition(": ")[2], self._by_volume(amount * volume, "", printed, entry).grams

    def _heap(self, unit: str, printed: Printed, entry: Ingredient | None) -> Heap:
        powder = entry is not None and entry.state not in ("liquid", "semisolid")
        if unit not in SPOONS or not powder:
            return LEVEL
        return self.heaps[_HEAPED.index(printed.system) if printed.system in _HEAPED else 0]

    def _weight_or_measure(
        self, amount: Spread, unit: str, shown: str, printed: Printed, entry: Ingredient | None
    ) -> tuple[Reading, ...]:
        """A weight; for a liquid in ounces or drachms perhaps a measure, the other kept as a second reading."""
        size, why = self.weight_size(unit, printed)
        weight = Reading("weight", amount * size, f"{shown} {unit}: {why}")
        fluid_unit = {"ounce": "fluid ounce", "drachm": "fluid drachm"}.get(unit)
        named = self.named_by(printed.system)
        volume = named.millilitres(fluid_unit) if fluid_unit else None
        liquid = entry is not None and entry.liquid
        if volume is None or not liquid or printed.system in NEVER_MEASURED or weighs(printed.system):
            return (weight,)
        words = f"{shown} {unit} of a liquid, by measure: {named.definition(fluid_unit or '')}"
        measure = self._by_volume(amount * volume, words, printed, entry)
        if printed.system in ("measure", "wine", "imperial"):
            return (measure,)
        # A book that prints 'fl. oz.' where it means one weighs what it prints as bare ounces.
        weighs_bare_ounces = self.prints_fluid and printed.system != "apothecaries"
        fluid_first = self.convention.liquid_ounce == "fluid" and not weighs_bare_ounces
        return (measure, weight) if fluid_first else (weight, measure)

    def weight_size(self, unit: str, printed: Printed) -> tuple[float, str]:
        """Grams of one grain, scruple, drachm, ounce or pound as printed here, and by whose word."""
        beside = unit == "drachm" and printed.unit != "drachm"  # '1 oz. avoirdupois 2 drachms' names its ounce alone
        if weighs(printed.system) and not beside:
            named = self.named_by(printed.system)
            return named.grams(unit) or 0.0, f"the book says {words_of(printed.system)}: {named.definition(unit)}"
        if self.small_drachm and unit in ("drachm", "ounce"):
            small = following(self.convention, ("small drachm",), "line")
            return small.grams(unit) or 0.0, f"{self.small_drachm}: {small.definition(unit)}"
        apothecaries = float(measures.exact(_APOTHECARIES[unit]))
        signs = measures.conventions[self.convention.signs] if self.convention.signs else self.convention
        english = signs.grams("ounce") == float(measures.exact(_APOTHECARIES["ounce"]))
        compound = unit == "ounce" and not self.says_avoirdupois and any(u in ("drachm", "scruple") for _, u in printed.plus)
        if english and compound:
            return apothecaries, "ounces with drachms beside them are apothecaries' ounces of 8 drachms (480 grains)."
        many_grains = any(u == "grain" and not isinstance(a, tuple) and (a or 0) >= 437.5 for a, u in printed.plus)
        if english and unit == "ounce" and many_grains and not self.says_avoirdupois:
            return (
                apothecaries,
                "more grains than an avoirdupois ounce holds stand beside it: apothecaries' ounces of 480 grains.",
            )
        if english and printed.system == "apothecaries":
            return apothecaries, "printed with an apothecaries' sign (480 grains to the ounce)."
        size = self.convention.grams(unit)
        if size is None:
            return apothecaries, "the convention has no such weight; the apothecaries' one is taken."
        return size, self.convention.definition(unit)

    def _by_volume(self, volume: Spread, why: str, printed: Printed, entry: Ingredient | None) -> Reading:
        density, origin = _by_strength(printed, entry) or density_of(entry, printed.powdered)
        return Reading("measure", volume * density, f"{why}; {volume} mL × {density} g/mL ({origin}).")


def _strength_of(line: Line) -> str:
    """The strength that the line prints: the reader's, or one that stands in the name ('190 proof alcohol', 'alcool à 90°')."""
    if not any(map(str.isdecimal, line.ingredient)) or any(map(str.isdecimal, line.strength)):
        return line.strength
    return measures.alcohol.printed_strength(line.raw) or line.strength


def _spirit_of(line: Line, source: Source | None) -> str:
    """The name of a spirit whose strength the book's own country and year settle ('alcohol', United States 1870); '' for none."""
    if source is None or source.year is None:
        return ""
    return measures.alcohol.settled_spirit(line.ingredient, source.country, source.year)


def vessel(raw: str, unit: str) -> str:
    """The vessel that is printed, where the reader knows only its family: a teacup is a cup, a Schoppen a pint (vessels.csv)."""
    rows = _vessels().get(unit)
    if rows is None:
        return unit
    words = raw.casefold().split()
    return next((row["unit"] for row in rows for word in words if re.match(row["begins"], word)), unit)


@cache
def _vessels() -> dict[str, tuple[Row, ...]]:
    rows = sourced("translating/vessels")
    return {unit: tuple(row for row in rows if row["of"] == unit) for unit in {row["of"] for row in rows}}


def _named_beside(name: str) -> str:
    """The measure that stands behind the name of an ingredient ('sugar, avoirdupois weight'); '' for none."""
    if not may_name_measures(name):
        return ""
    return next(iter(said_in(name, anywhere=True)), "")


Weigher = Callable[[Printed, Ingredient | None], tuple[Reading, ...]]


@glossary.follows_the_tables
@lru_cache(maxsize=_BOOKS_REMEMBERED)
def weigher(book: Book) -> Weigher:
    """`book.weigh`, with what it has worked out."""
    return lru_cache(maxsize=_AMOUNTS_REMEMBERED)(book.weigh)


def spread_of(amount: Amount, approximate: bool = False) -> Spread | None:
    """A printed amount as a spread: a range from end to end, 'about' wider; None for none."""
    if amount is None:
        return None
    spread = Spread(amount[0], (amount[0] + amount[1]) / 2, amount[1]) if isinstance(amount, tuple) else Spread.exact(amount)
    return spread * Spread(1 - ABOUT, 1.0, 1 + ABOUT) if approximate else spread


def strength_note(line: Line, source: Source | None, entry: Ingredient | None) -> str:
    """How strong a printed spirit is, in words for whoever weighs it; '' where nothing is known of it."""
    if entry is None or entry.kind != "spirit":
        return ""
    printed = Printed.of(line, source)
    if not printed.strength:
        return ""
    strength = measures.alcohol.strength(printed.strength, printed.country, printed.year)
    if strength is None:
        return ""
    said = f"printed as {printed.strength}" if any(map(str.isdecimal, printed.strength)) else "that of the book"
    return f"{said}: {strength.percent_volume:.3g} % of alcohol by volume"


def _by_strength(printed: Printed, entry: Ingredient | None) -> tuple[Spread, str] | None:
    """The density by the strength printed beside a spirit ('60 over proof', '80 per cent')."""
    if not printed.strength or entry is None or entry.kind != "spirit":
        return None
    strength = measures.alcohol.strength(printed.strength, printed.country, printed.year)
    if strength is None:
        return None
    return Spread.exact(round(strength.density, 5)), f"{strength.words}; alcoholometric tables, OIML R 22"


def _same_kind(readings: tuple[Reading, ...], kind: str) -> Reading:
    return next((r for r in readings if r.kind == kind), readings[0])


def density_of(entry: Ingredient | None, powdered: bool = False) -> tuple[Spread, str]:
    """g/mL of a liquid, or of a loose powder where a dry thing is measured by volume, and who says so.

    Where one thing has bulk densities of several grades (granulated, powdered), `powdered` says which is meant.
    """
    if entry is None:
        return UNKNOWN_DENSITY, "not identified: density of water, common practice, no source"
    name = "density" if entry.state in ("liquid", "semisolid") or entry.value("bulk-density") is None else "bulk-density"
    value = entry.value(name)
    if value is None and entry.state not in ("liquid", "semisolid"):
        return UNKNOWN_BULK, "no bulk density known: common practice, no source"
    if value is None:
        return UNKNOWN_DENSITY, "no density known: that of water, common practice, no source"
    rows = [p for p in entry.properties if p.property == name]
    grades = [p for p in rows if p.condition.startswith("powdered") is powdered]
    chosen = (grades or rows)[0]
    source = glossary.cited(chosen.source, chosen.section) if chosen.source else "not given"
    if name == "bulk-density" and grades and len(grades) < len(rows):
        value = chosen.spread  # granulated sugar and powdered are two things
    return value, f"{name.replace('-', ' ')} of {entry.name}, source: {source}"


def density_in_a_mixture(entry: Ingredient | None) -> Spread:
    """What a dissolved or mixed thing takes up in the bottle: its density, its true density, or 1.5 g/mL for a solid."""
    if entry is not None and entry.state not in ("liquid", "semisolid"):
        return entry.value("true-density") or Spread(1.2, 1.5, 2.5)
    return density_of(entry)[0]
