"""What a formula's lines weigh as a whole: portions taken of what was made before, and what fills up to a total."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from histkit.base.nouns import Spread, amount_text
from histkit.glossary.nouns import Ingredient, Match
from histkit.reading.formula import Formula, Line, Portion
from histkit.translating.amounts import (
    METRIC_GRAMS,
    METRIC_MILLILITRES,
    NEVER_MEASURED,
    WEIGHTS,
    Book,
    Printed,
    Reading,
    density_in_a_mixture,
    density_of,
    spread_of,
    weigher,
)


def printed_amounts(formula: Formula) -> list[Printed | None]:
    """What each line prints of its amount, whatever the book's measures; None where it only fills up to a total."""
    return [Printed.of(line, formula.source) if line.to_make is None else None for line in formula.lines]


def weigh_all(
    formula: Formula, matches: Sequence[Match | None], book: Book, printed: Sequence[Printed | None] | None = None
) -> list[tuple[Reading, ...]]:
    """All ways to weigh each line of a formula, the likeliest first; () for a line without a weight.

    `printed` are its `printed_amounts`, for whoever weighs it by several books.
    """
    weigh = weigher(book)
    entries = [m.ingredient if m else None for m in matches]
    pairs = zip(printed_amounts(formula) if printed is None else printed, entries, strict=True)
    weighed = [weigh(amount, entry) if amount is not None else () for amount, entry in pairs]
    for portion in formula.portions:
        _take_portion(portion, formula, entries, book, weighed)
    _fill_totals(formula, entries, book, weighed)
    return weighed


def _take_portion(
    portion: Portion,
    formula: Formula,
    entries: Sequence[Ingredient | None],
    book: Book,
    weighed: list[tuple[Reading, ...]],
) -> None:
    """'To 12 drachms of this add': the lines it speaks of go on in that part only.

    Its heaviest ingredient decides whether the portion is weighed or measured; a measured one is compared by volume.
    """
    members = {i: weighed[i][0].grams.best for i in range(*portion.lines) if weighed[i]}
    total = math.fsum(members.values())
    if total <= 0:
        return
    heaviest = max(members, key=members.__getitem__)
    printed = Printed(portion.amount, portion.unit, system=formula.lines[heaviest].system)
    taken = next(iter(book.weigh(printed, entries[heaviest])), None)
    if taken is None:
        return
    factor = taken.grams.best / total
    if taken.kind == "measure":
        volume = math.fsum(grams / density_in_a_mixture(entries[i]).best for i, grams in members.items())
        factor = taken.grams.best / density_in_a_mixture(entries[heaviest]).best / volume
    note = f"Of the {total:.4g} g above only {total * factor:.4g} g are taken."
    for i in members:
        weighed[i] = tuple(replace(r, grams=r.grams * factor, why=f"{r.why} {note}") for r in weighed[i])


def _fill_totals(
    formula: Formula,
    entries: Sequence[Ingredient | None],
    book: Book,
    weighed: list[tuple[Reading, ...]],
) -> None:
    """q.s. to make a total: what is missing from it when everything else is in; shared evenly where several make it up."""
    groups: dict[tuple[object, str], list[int]] = {}
    for index, line in enumerate(formula.lines):
        if line.to_make is not None:
            groups.setdefault(line.to_make, []).append(index)
    if len(groups) != 1:
        return  # two totals in one text are two formulas: neither can be filled from the other's lines
    (amount, unit), members = next(iter(groups.items()))
    total = spread_of(amount if not isinstance(amount, str) else None)  # type: ignore[arg-type]
    if total is None:
        return
    first = members[0]
    # 'To 12 drachms of this add …, alcohol to 3 ounces': the total holds what is taken and added, not what was made before.
    begins = max((p.lines[0] for p in formula.portions if p.lines[1] <= first), default=0)
    others = [i for i in range(begins, len(formula.lines)) if i not in members and weighed[i]]
    line, entry = formula.lines[first], entries[first]
    volume, size = _volume_of(unit, line, entry, book), _grams_of(unit, line, book)
    if volume is not None:
        whole = total * volume
        rest = _minus(whole, [weighed[i][0].grams * _reciprocal(density_in_a_mixture(entries[i])) for i in others])
        density, origin = density_of(entry)
        grams = rest * density
        less = f"{whole} mL less what the rest takes up, × {density} g/mL ({origin})"
    elif size is not None:
        whole = total * size
        grams = _minus(whole, [weighed[i][0].grams for i in others])
        less = f"{whole} g less the rest"
    else:
        return
    if grams.best > 0:
        filling = Reading("total", grams * (1 / len(members)), f"As much as makes {amount_text(total.best)} {unit}: {less}.")
        for index in members:
            weighed[index] = (filling,)


def _volume_of(unit: str, line: Line, entry: Ingredient | None, book: Book) -> Spread | None:
    """Millilitres of one unit of a total where it is measured; so is a bare ounce or drachm of a liquid."""
    if unit in METRIC_MILLILITRES:
        return Spread.exact(METRIC_MILLILITRES[unit])
    if unit not in WEIGHTS:
        return book.named_by(line.system).millilitres(unit)
    liquid = entry is not None and entry.liquid
    if unit in ("ounce", "drachm") and liquid and line.system not in NEVER_MEASURED:
        return book.named_by(line.system).millilitres("fluid " + unit)
    return None


def _grams_of(unit: str, line: Line, book: Book) -> float | None:
    """Grams of one unit of a total where it is weighed or printed in parts; None where it has no weight."""
    if unit in ("part", "per cent"):
        return 1.0
    if unit in WEIGHTS:
        return book.weight_size(unit, Printed.of(line))[0]
    return METRIC_GRAMS.get(unit)


def _reciprocal(spread: Spread) -> Spread:
    return Spread(1 / spread.high, 1 / spread.best, 1 / spread.low)


def _minus(whole: Spread, taken: Sequence[Spread]) -> Spread:
    low = max(0.0, whole.low - math.fsum(t.high for t in taken))
    best = max(0.0, whole.best - math.fsum(t.best for t in taken))
    high = max(0.0, whole.high - math.fsum(t.low for t in taken))
    return Spread(low, best, high)
