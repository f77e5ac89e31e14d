"""What a scent says of itself: its tables, its bars, and what is bought, made and smelled for it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from histkit.base.checking import is_number
from histkit.base.descriptions import BarRow, Bars, Length, Spoken
from histkit.base.errors import BadValue, quoted
from histkit.base.grid import Column, Grid
from histkit.base.nouns import Spread, figure_text
from histkit.base.text import Cell
from histkit.bench.batching import Batch
from histkit.bench.levels import levels
from histkit.bench.pressing import PressedFormula
from histkit.composing.composition import Composition, resolve
from histkit.composing.scents import NO_SCENT, UNTOLD, is_scent, notes, source_of, volatility
from histkit.glossary.nouns import Ingredient
from histkit.safety.within import forbidden_within

if TYPE_CHECKING:
    from histkit.bench.scent import Scent, ScentPart

UNITS = ("drop", "gram", "milligram", "millilitre", "per cent")
_WHOLE = "The whole scent"


@dataclass(frozen=True, slots=True)
class Bought:
    """Something that can be bought for the scent: grams of it, the old bases that it is part of, and who says so."""

    ingredient: Ingredient
    grams: float
    out_of: tuple[str, ...]
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ScentStock:
    """A part that is less than a drop, dissolved: grams and drops of the stock to take. `whose` dropper the drops are of."""

    ingredient: Ingredient
    solvent: Ingredient
    strength: float
    grams: float
    drops: float
    whose: str


@dataclass(frozen=True, slots=True)
class StripStep:
    """One test strip: so many times as strong as the scent is; `stock` grams of the scent are made up to ten with spirit, and one
    drop of that goes on the strip; for a trial in powder `grams` of the scent, or `drops` of the stock of one in ten."""

    number: int
    factor: float
    stock: float
    grams: float
    drops: float


# -- what is given ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Mixed:
    """What a composition holds: its scents, with what is said of each, and the rest, as shares of the finished whole; whether
    that is a cake."""

    scents: tuple[tuple[Ingredient, float, str], ...]
    rest: tuple[tuple[Ingredient, float], ...]
    name: str
    cake: bool = False


def mixed(given: Any) -> Mixed | None:
    """What a composition, a cake, a batch or a record holds; None where a list of parts was given.

    An extract or a tincture counts by what goes in, though its spirit dries off in a cake.
    """
    match given:
        case Composition():
            return _divided(given, False)
        case PressedFormula():
            return _of_cake(given)
        case Batch():
            return _divided(given.composition, given.pressed)
    if callable(getattr(given, "final", None)) and callable(getattr(given, "pressed", None)):  # a record, which stands above us
        return mixed(given.pressed() or given.composition())
    return None


def _divided(mixture: Composition, cake: bool) -> Mixed:
    scents = tuple((p.ingredient, p.share, p.note or "of the formula") for p in mixture.parts if is_scent(p.ingredient))
    rest = tuple((p.ingredient, p.share) for p in mixture.parts if not is_scent(p.ingredient))
    return Mixed(scents, rest, mixture.name, cake)


def _of_cake(pressed: PressedFormula) -> Mixed:
    cake = _divided(pressed.composition, True)
    if pressed.basis is None:
        return cake
    given = _divided(pressed.basis.given, True)
    scale = pressed.powder_grams(1.0) / pressed.basis.share
    return Mixed(tuple((entry, share * scale, said) for entry, share, said in given.scents), cake.rest, cake.name, True)


def entries_of(given: Any) -> list[tuple[Ingredient, float, str]]:
    """Parts that were given as (ingredient, amount, unit).

    Raises:
        BadValue: one is none. UnknownName: nobody knows an ingredient.
    """
    out = []
    try:
        rows = [tuple(row) for row in given]
    except TypeError:
        rows = []
    for row in rows:
        if len(row) != 3:
            raise BadValue(
                f"a part of a scent is (ingredient, amount, unit), such as ('rose-oil', 12, 'drop'), not {quoted(row)}"
            )
        entry, amount, unit = resolve(row[0]), row[1], row[2]
        if unit not in UNITS:
            raise BadValue(f"{entry.name}: the unit is one of {', '.join(UNITS)}, not {quoted(unit)}")
        if not is_number(amount) or amount <= 0:
            raise BadValue(f"{entry.name}: the amount is a number above 0, not {quoted(amount)}")
        out.append((entry, float(amount), str(unit)))
    if not out:
        raise BadValue("a scent is a composition, or parts such as ('rose-oil', 12, 'drop')")
    return out


# -- sentences --------------------------------------------------------------------------------------------------------------


def whence(entry: Ingredient) -> str:
    """Who says what an old base is made of."""
    return f"{entry.name}: {source_of(entry)}"


def bears(scent: Scent) -> str:
    """All liquid oils of a cake, with the scent among them, beside the highest published level for liquid binders."""
    oils = [(entry, share) for entry, share in scent.rest if entry.liquid and entry.kind in ("fixed-oil", "fat-wax")]
    liquid = scent.share.best + math.fsum(share for _, share in oils)
    fitting = levels(kind="liquid", cake="face powder") or levels(kind="liquid")
    most = max(fitting, key=lambda level: level.high)
    beside = "more than" if liquid > most.high else "within"
    return (
        f"What is oily in the cake comes to {100 * liquid:.2g} % with the scent, {beside} the highest level known for liquid "
        f"binders ({100 * most.high:g} %, {most.source}); too much makes a cake glaze."
    )


def sentences(scent: Scent) -> Iterator[str]:
    """All that is to be said beneath the parts."""
    for finding in scent.findings:
        yield finding.text
    yield scent.verdict()
    if words := scent.bears():
        yield words
    if scent.allergens:
        named = ", ".join(f"{name} {100 * share:.2g} %" for name, share in scent.allergens)
        yield f"The label must name, at the highest shares known: {named}. The supplier's own allergen sheet goes before this."
    cost, missing = scent.cost()
    if scent.prices:
        words = f"It costs {cost:.2f} {scent.currency}".rstrip()
        without = f", not counting {', '.join(i.name for i in missing)}" if missing else ""
        yield f"{words} for {figure_text(scent.total)} g{without}."
    yield "Rules differ and change: ask a safety assessor before anybody else uses what you make."


# -- tables -----------------------------------------------------------------------------------------------------------------


def parts_grid(parts: Iterable[ScentPart], total: float, caption: str, below: tuple[str, ...] = ()) -> Grid:
    """The parts with their grams, shares and how they go off."""
    columns = (
        Column("ingredient", "Scent"),
        Column("said", "As given"),
        Column("grams", "Grams", 3),
        Column("percent", "Of the whole, %", 3),
        Column("goes", "How it goes off"),
    )
    held = tuple(parts)
    rows: list[tuple[Cell, ...]] = []
    for p in held:
        share = 100 * p.grams.best / total if total else None
        said = f"{p.said} ({p.why})" if p.why else p.said
        rows.append((p.ingredient.name, said, p.grams.best, share, _goes(p.ingredient)))
    if len(held) > 1 and total:
        whole = math.fsum(p.grams.best for p in held)
        rows.append((_WHOLE, "", whole, 100 * whole / total, ""))
    return Grid(columns, tuple(rows), caption, below)


def _goes(entry: Ingredient) -> str:
    """'top 85 %, heart 5 %', the most first; old bases by what scents in them."""
    shares = {note: share for note, share in volatility(entry).items() if note != NO_SCENT}
    total = math.fsum(shares.values())
    ranked = sorted(shares.items(), key=lambda pair: -pair[1])
    return ", ".join(f"{note} {100 * share / total:.0f} %" for note, share in ranked if share >= 0.005 * total) if total else ""


def scent_grid(scent: Scent) -> Grid:
    """The parts, with all that is to be said of the whole."""
    caption = f"Scent of {scent.name}" if scent.name else "Scent"
    return parts_grid(scent.parts, scent.total, f"{caption}, in {figure_text(scent.total)} g", tuple(sentences(scent)))


def notes_grid(scent: Scent) -> Grid:
    """Top, heart and base of the whole."""
    columns = (
        Column("note", "Note"),
        Column("percent", "Of what scents, %", 0),
        Column("words", "What it is"),
        Column("smell", "Smell"),
    )
    rows: list[tuple[Cell, ...]] = [(n.name, 100 * scent.by_note[n.name], n.words, n.smell_after) for n in notes()]
    if scent.by_note[UNTOLD] >= 0.005:
        rows.append((UNTOLD, 100 * scent.by_note[UNTOLD], "constituents that no table here tells of", ""))
    lines = ", ".join(f"{n.name} from {n.least_pascal:g} Pa" for n in notes() if n.least_pascal)
    note = (
        f"By the vapour pressure of the constituents at 25 °C ({lines}; where to draw the lines is our own judgement). Most "
        "pressures are worked out from published coefficients, some are from memory; oils differ by harvest. The nose decides."
    )
    return Grid(columns, tuple(rows), "What flies off first", (note,))


def bought_grid(scent: Scent) -> Grid:
    """What to buy, where an old base is taken apart; empty where none is."""
    columns = (Column("ingredient", "To buy"), Column("grams", "Grams", 4), Column("out_of", "Stands in"), Column("note", "Note"))
    bought = scent.bought()
    if not any(b.out_of for b in bought):
        return Grid(columns, (), "Old bases taken apart")
    rows: list[tuple[Cell, ...]] = []
    for b in bought:
        rows.append(
            (
                b.ingredient.name,
                b.grams,
                ", ".join(dict.fromkeys(b.out_of)),
                "must not be used" if forbidden_within(b.ingredient) else "",
            )
        )
    sources = tuple(dict.fromkeys(source for b in bought for source in b.sources))
    return Grid(columns, tuple(rows), "Old bases taken apart into what can be bought", sources)


def stocks_grid(scent: Scent) -> Grid:
    """Stocks of one in ten for what is less than a drop."""
    columns = (
        Column("ingredient", "Less than a drop of"),
        Column("stock", "Make"),
        Column("grams", "Take of it, g", 2),
        Column("drops", "Or drops", 0),
    )
    rows: list[tuple[Cell, ...]] = []
    for s in scent.stocks():
        make = f"1 g in {1 / s.strength - 1:g} g of {s.solvent.name}"
        rows.append((s.ingredient.name, make, s.grams, s.drops))
    note = "Spirit dries off again. In an oil the stock stays and counts as oil of the cake. Count in drops of your own dropper."
    return Grid(columns, tuple(rows), "Stocks for what is under a drop", (note,))


def strips_grid(scent: Scent) -> Grid:
    """The ladder of test strips."""
    columns = (
        Column("strip", "Strip"),
        Column("strength", "Strength"),
        Column("stock", "Scent, g, made up to 10 g with spirit", 2),
        Column("grams", "Scent for 5 g of powder, g", 4),
        Column("drops", "Or drops of the stock of 1 g", 0),
    )
    rows: list[tuple[Cell, ...]] = [
        (str(s.number), "as it is" if s.factor == 1 else f"{s.factor:g} times", s.stock, s.grams, s.drops) for s in scent.strips()
    ]
    when = "; ".join(f"{n.name} {n.smell_after}" for n in notes())
    note = (
        "Weigh all parts together in their proportions, make stocks of that, and put a drop of each on a numbered paper strip. "
        f"Let the spirit go and smell: {when}. Write down which is right, then try that strength in powder, which takes up "
        "scent and quietens it."
    )
    return Grid(columns, tuple(rows), "Ladder of test strips", (note,))


def grids(scent: Scent) -> tuple[Grid, ...]:
    """All tables that have anything in them."""
    tables = (scent_grid(scent), notes_grid(scent), bought_grid(scent), stocks_grid(scent), strips_grid(scent))
    return tuple(grid for grid in tables if grid.rows)


# -- bars -------------------------------------------------------------------------------------------------------------------


def bars(scent: Scent, before: Scent | None) -> Bars:
    """Top, heart, base and what is not known, each in per cent of the whole powder, so that a weaker scent has shorter bars."""
    names = [*(n.name for n in notes()), UNTOLD]
    shown = [s for s in (before, scent) if s is not None]
    full = max(s.oil_share * s.by_note[name] for s in shown for name in names) or 1.0
    rows = []
    for name in names:
        shares = [s.oil_share * s.by_note[name] for s in shown]
        if any(shares):
            rows.append(BarRow(name, tuple(Length(Spread.exact(v), f"{100 * v:.2g} %") for v in shares), full))
    words = {n.name: f"{n.words}, to be smelled {n.smell_after}" for n in notes()}
    title = f"What flies off first: {scent.name}" if scent.name else "What flies off first"
    foot = "Per cent of the whole powder, by the vapour pressure of what the oils are made of."
    legend = ("as it was", "as it is now") if before is not None else ("as it is",)
    lines = []
    for row in rows:
        figures = ", ".join(f"{which} {length.words}" for which, length in zip(legend, row.lengths, strict=True))
        lines.append(f"{row.name}: {figures}. {words.get(row.name, '')}".strip())
    return Bars(title, legend, tuple(rows), foot=foot, spoken=Spoken(title, lines=(*lines, foot)))
