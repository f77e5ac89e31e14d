"""Formula → Translation: what each printed amount weighs, within which limits, and by whose word.

One convention holds for the whole formula (its ounce is one ounce throughout), so a rival convention moves all lines
together: where every line is printed in ounces it changes no share at all, and where ounces meet drops it bites.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from histkit import glossary, measures
from histkit.base.errors import BadValue
from histkit.base.grid import Column, Grid
from histkit.base.nouns import Doubt, Spread, amount_text
from histkit.base.text import Cell, clean
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Caution, Ingredient, Match, worst_level
from histkit.reading.formula import Formula, Line, Portion
from histkit.translating.amounts import (
    METRIC_GRAMS,
    METRIC_MILLILITRES,
    WEIGHTS,
    Book,
    Printed,
    Reading,
    density_in_a_mixture,
    density_of,
    spread_of,
    weigher,
)

if TYPE_CHECKING:
    from histkit.composing.composition import Composition
    from histkit.measures import Choice, Convention

NOTICEABLE = 0.02
"""A share that another convention would move by less than this part of itself gets no doubt of its own."""
RIVAL = 0.1
"""A rival convention with less weight than this is named but does not widen the spread."""


@dataclass(frozen=True, slots=True)
class TranslatedLine(Tabular):
    """A line with what it is today and what it weighs. `grams` is None where no figure can be worked out.

    Where a formula is printed in parts or per cent, one part is taken as one gram: only the shares have a meaning.
    """

    line: Line
    ingredient: Ingredient | None
    match: Match | None
    grams: Spread | None
    share: Spread | None
    readings: tuple[Reading, ...] = ()
    cautions: tuple[Caution, ...] = ()
    doubts: tuple[Doubt, ...] = ()

    @property
    def name(self) -> str:
        """Today's name, or the printed one where the glossary knows none."""
        return self.ingredient.name if self.ingredient else self.line.full_name

    def explain(self) -> str:
        """From the printed words to the grams, step by step, with every doubt and caution."""
        out = [self.line.explain()]
        if self.match is None:
            out.append(f"The glossary knows no {self.line.full_name!r}.")
        else:
            entry = self.match.ingredient
            out.append(f"{self.line.full_name!r} is {entry.name} (found {glossary.found_how(self.match)}).")
            if entry.description:
                out.append(f"{entry.name}: {entry.description.rstrip('.')}. Source: {glossary.cited(entry.source)}.")
        out += [f"{'Weighed' if n == 0 else 'Or'}: {r.grams} g. {r.why}" for n, r in enumerate(self.readings)]
        if self.grams is None:
            out.append("No weight can be worked out for this line; it is not in the shares.")
        if self.share is not None:
            out.append(
                f"Share of the formula: {100 * self.share.best:.3g} % "
                f"({100 * self.share.low:.3g} to {100 * self.share.high:.3g} %)."
            )
        out += [f"Doubt ({d.about}): {d.text}" for d in self.doubts if d not in self.line.doubts]
        for caution in self.cautions:
            words = " ".join(filter(None, (caution.text, caution.law)))
            out.append(f"Caution ({caution.level}): {words} ({glossary.cited(caution.source)})")
        return clean("\n".join(out))

    def _grid(self) -> Grid:
        return _grid((self,), "One line translated")


@dataclass(frozen=True, slots=True)
class Matter(Tabular):
    """A doubt and how far it moves the composition: `effect` is the share of the mass that would change place (0–1)."""

    about: str
    text: str
    effect: float
    line: int | None = None

    def _grid(self) -> Grid:
        return matters_grid((self,))


@dataclass(frozen=True, slots=True)
class Translation(Tabular):
    """A formula in grams under one convention. `lines` are in the order of `formula.lines`."""

    formula: Formula
    convention: Convention
    choices: tuple[Choice, ...]
    lines: tuple[TranslatedLine, ...]
    rival: tuple[Spread | None, ...] = ()
    """The grams of each line under the runner-up convention (empty where it was ruled out)."""

    @property
    def doubts(self) -> tuple[Doubt, ...]:
        """All doubts: of all lines in order, then of what the text says of taking only some of them."""
        lines = (d for line in self.lines for d in line.doubts)
        return (*lines, *(d for portion in self.formula.portions for d in portion.doubts))

    @property
    def cautions(self) -> tuple[Caution, ...]:
        return tuple(dict.fromkeys(c for line in self.lines for c in line.cautions))

    @property
    def in_parts(self) -> bool:
        """Whether the formula is printed in parts or per cent, so that its grams are only proportions."""
        return bool(self.lines) and all(t.line.unit in ("part", "per cent", "q.s.", "none") for t in self.lines)

    def why_convention(self) -> str:
        """The choice of convention and its runner-up, in words."""
        chosen = self.choices[0]
        text = f"{chosen.convention.name} ({chosen.certainty}): {chosen.reason}"
        if len(self.choices) > 1:
            second = self.choices[1]
            text += f" Runner-up: {second.convention.name} ({second.certainty}): {second.reason}"
        return text

    def composition(self) -> Composition:
        """The shares of mass of all lines that have a weight; what has none is told in `omitted`.

        Raises:
            BadValue: no line of the formula has a weight.
        """
        from histkit.composing.composition import Composition

        masses = [(_known(t), t.grams.best) for t in self.lines if t.grams is not None]
        if not masses:
            raise BadValue("no line of this formula has a weight that could be worked out: give at least one amount")
        omitted = tuple(dict.fromkeys(t.name for t in self.lines if t.grams is None))
        return Composition.of(masses, name=self.formula.title, omitted=omitted, source=self.formula.source)

    def what_matters(self) -> tuple[Matter, ...]:
        """All doubts ranked by how far they move the composition (half the sum of the changes of all shares)."""
        best = _shares([t.grams.best if t.grams else None for t in self.lines])
        found: list[Matter] = []
        if self.rival:
            other = _shares([g.best if g else None for g in self.rival])
            second = self.choices[1].convention.name if len(self.choices) > 1 else "the runner-up"
            found.append(Matter("convention", f"If the book meant {second}: {self.choices[1].reason}", _distance(best, other)))
        for index, t in enumerate(self.lines):
            if t.grams is None:
                if t.line.amount is None and t.line.unit != "q.s.":
                    found.append(Matter("amount", f"{t.name}: no weight, so it is in no share.", 0.0, index))
                continue
            effect = 0.0
            own = [r.grams for r in t.readings if not r.rival]  # the rival convention moves all lines at once: counted above
            for end in (min(g.low for g in own), max(g.high for g in own)):
                changed = [x.grams.best if x.grams else None for x in self.lines]
                changed[index] = end
                effect = max(effect, _distance(best, _shares(changed)))
            if effect > 1e-6:
                why = " ".join(d.text for d in t.doubts) or "; ".join(r.why for r in t.readings)
                found.append(Matter("amount", f"{t.name}: {own[0]} g. {why}", effect, index))
        return tuple(sorted(found, key=lambda m: -m.effect))

    def _grid(self) -> Grid:
        grid = _grid(self.lines, self.formula.title or "Translation")
        notes = [f"Measures: {self.why_convention()}"]
        if self.in_parts:
            notes.append("The book prints parts; one part is shown as one gram.")
        if self.formula.source:
            notes.append(f"Source: {self.formula.source.citation()}.")
        notes.append("Rules differ and change: ask a safety assessor before anybody else uses what you make.")
        return Grid(grid.columns, grid.rows, grid.caption, tuple(notes))


def matters_grid(matters: Sequence[Matter]) -> Grid:
    columns = (Column("about", "Doubt"), Column("text", "What"), Column("effect", "Moves (% of mass)", 2))
    return Grid(columns, tuple((m.about, m.text, 100 * m.effect) for m in matters), "What matters most")


_COLUMNS = (
    Column("raw", "As printed"),
    Column("today", "Today"),
    Column("grams", "Grams", 3),
    Column("low", "At least", 3),
    Column("high", "At most", 3),
    Column("share", "Share (%)", 2),
    Column("caution", "Caution"),
    Column("doubts", "Doubts"),
)


def _grid(lines: Sequence[TranslatedLine], caption: str) -> Grid:
    rows: list[tuple[Cell, ...]] = []
    for t in lines:
        grams = (t.grams.best, t.grams.low, t.grams.high) if t.grams else (None, None, None)
        share = 100 * t.share.best if t.share else None
        worst = worst_level(t.cautions) or ""
        today = t.name if t.ingredient else f"{t.name} (not in the glossary)"
        rows.append((" ".join(t.line.raw.split()), today, *grams, share, worst, " ".join(d.text for d in t.doubts)))
    return Grid(_COLUMNS, tuple(rows), caption)


def _known(t: TranslatedLine) -> Ingredient:
    """The line's ingredient, or a stand-in entry that says that nobody knows what it is."""
    if t.ingredient is not None:
        return t.ingredient
    name = t.line.full_name or "unnamed ingredient"
    caution = Caution(
        "care", f"{name!r} is not in the glossary: find out what it is before you use it. Ask a safety assessor.", "histkit"
    )
    key = "unknown-" + "-".join(glossary.fold(name).split())
    return Ingredient(id=key, name=name, kind="other", description="not identified", cautions=(caution,))


def _shares(grams: Sequence[float | None]) -> list[float]:
    total = math.fsum(g for g in grams if g is not None)
    return [g / total if g is not None and total > 0 else 0.0 for g in grams]


def _distance(one: Sequence[float], two: Sequence[float]) -> float:
    return 0.5 * math.fsum(abs(a - b) for a, b in zip(one, two, strict=True))


# -- translating --------------------------------------------------------------------------------------------------------


def translate(formula: Formula, convention: str | Convention | None = None) -> Translation:
    """What every line of a formula is today and what it weighs.

    `convention` is an id of `measures.conventions` or a Convention; None chooses one from the formula's source, and
    the choice and its runner-up are told (`why_convention`).

    Raises:
        UnknownName: there is no convention of that id.
    """
    printed = {unit for line in formula.lines for unit in (line.unit, *(u for _, u in line.plus))}
    choices = measures.choose(formula.source, printed)
    if convention is not None:
        chosen = measures.conventions[convention] if isinstance(convention, str) else convention
        told = replace(choices[0], convention=chosen, certainty="chosen", reason="chosen by you.", weight=1.0)
        choices = (told, *(c for c in choices if c.convention.id != chosen.id))
    best = choices[0].convention
    rival = choices[1] if convention is None and len(choices) > 1 and choices[1].weight >= RIVAL else None
    matches = [_find(line, formula) for line in formula.lines]
    weighed = _weigh_all(formula, matches, Book.of(formula, best))
    other = _weigh_all(formula, matches, Book.of(formula, rival.convention)) if rival else None
    bounds = _share_bounds([weighed, other] if other else [weighed])
    best_shares = _shares([r[0].grams.best if r else None for r in weighed])
    rival_shares = _shares([r[0].grams.best if r else None for r in other]) if other else best_shares
    lines = []
    for index, line in enumerate(formula.lines):
        readings = weighed[index]
        extra = other[index] if other else ()
        grams = None
        if readings:
            spreads = [r.grams for r in (*readings, *extra)]
            grams = Spread(min(s.low for s in spreads), readings[0].grams.best, max(s.high for s in spreads))
        match = matches[index]
        entry = match.ingredient if match else None
        doubts = [
            *line.doubts,
            *(match.doubts if match else ()),
            *_line_doubts(line, entry, readings, rival, (best_shares[index], rival_shares[index]), formula),
        ]
        lines.append(
            TranslatedLine(
                line,
                entry,
                match,
                grams,
                bounds[index],
                (*readings, *_different(readings, extra)),
                _cautions(match),
                tuple(dict.fromkeys(doubts)),
            )
        )
    rivals = tuple(r[0].grams if r else None for r in other) if other else ()
    return Translation(formula, best, choices, tuple(lines), rivals)


def _find(line: Line, formula: Formula) -> Match | None:
    name = line.full_name
    if not name:
        return None
    match = glossary.find(name, formula.source, line.unit)
    if match is None and line.carried:
        match = glossary.find(line.ingredient, formula.source, line.unit)
        if match is not None:
            doubt = Doubt("ingredient", f"Known only without the words carried from above ({line.carried!r}).", (), "")
            match = replace(match, doubts=(*match.doubts, doubt))
    return match


def _weigh_all(formula: Formula, matches: Sequence[Match | None], book: Book) -> list[tuple[Reading, ...]]:
    weigh = weigher(book)
    entries = [m.ingredient if m else None for m in matches]
    pairs = zip(formula.lines, entries, strict=True)
    weighed = [weigh(Printed.of(line, formula.source), entry) if line.to_make is None else () for line, entry in pairs]
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
    told = f"Of the {total:.4g} g above only {total * factor:.4g} g are taken."
    for i in members:
        weighed[i] = tuple(replace(r, grams=r.grams * factor, why=f"{r.why} {told}") for r in weighed[i])


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
    others = [(i, weighed[i][0].grams) for i in range(begins, len(formula.lines)) if i not in members and weighed[i]]
    line, entry = formula.lines[first], entries[first]
    by_volume = book.convention.millilitres(unit) if unit not in WEIGHTS else None
    if unit in METRIC_MILLILITRES:
        by_volume = Spread.exact(METRIC_MILLILITRES[unit])
    liquid = entry is not None and entry.liquid
    if by_volume is None and unit in ("ounce", "drachm") and liquid and line.system not in ("weight", "avoirdupois"):
        by_volume = book.convention.millilitres("fluid " + unit)
    if by_volume is not None:
        whole = total * by_volume
        taken = [g * _reciprocal(density_in_a_mixture(entries[i])) for i, g in others]
        rest = _minus(whole, taken)
        density, told = density_of(entry)
        made = [
            Reading(
                "total",
                rest * density * (1 / len(members)),
                f"As much as makes {amount_text(total.best)} {unit}: {whole} mL less what the rest takes up, "
                f"× {density} g/mL ({told}).",
            )
        ]
    else:
        size = (
            1.0
            if unit in ("part", "per cent")
            else METRIC_GRAMS.get(unit) or (book.weight_size(unit, Printed.of(line))[0] if unit in WEIGHTS else None)
        )
        if size is None:
            return
        rest = _minus(total * size, [g for _, g in others])
        made = [
            Reading(
                "total",
                rest * (1 / len(members)),
                f"As much as makes {amount_text(total.best)} {unit}: {total * size} g less the rest.",
            )
        ]
    if made[0].grams.best > 0:
        for index in members:
            weighed[index] = tuple(made)


def _reciprocal(spread: Spread) -> Spread:
    return Spread(1 / spread.high, 1 / spread.best, 1 / spread.low)


def _minus(whole: Spread, taken: Sequence[Spread]) -> Spread:
    low = max(0.0, whole.low - math.fsum(t.high for t in taken))
    best = max(0.0, whole.best - math.fsum(t.best for t in taken))
    high = max(0.0, whole.high - math.fsum(t.low for t in taken))
    return Spread(low, best, high)


def _share_bounds(scenarios: Sequence[Sequence[tuple[Reading, ...]]]) -> list[Spread | None]:
    """Shares with their limits: within a scenario each line moves between its readings, and scenarios don't mix."""
    count = len(scenarios[0])
    lows: list[float] = [math.inf] * count
    highs: list[float] = [0.0] * count
    best = _shares([readings[0].grams.best if readings else None for readings in scenarios[0]])
    for scenario in scenarios:
        low = [min((r.grams.low for r in readings), default=0.0) for readings in scenario]
        high = [max((r.grams.high for r in readings), default=0.0) for readings in scenario]
        low_total, high_total = math.fsum(low), math.fsum(high)
        for i, readings in enumerate(scenario):
            if not readings:
                continue
            others_high, others_low = high_total - high[i], low_total - low[i]
            lows[i] = min(lows[i], low[i] / (low[i] + others_high) if low[i] + others_high > 0 else 0.0)
            highs[i] = max(highs[i], high[i] / (high[i] + others_low) if high[i] + others_low > 0 else 0.0)
    return [
        Spread(min(lows[i], best[i]), best[i], max(highs[i], best[i])) if readings else None
        for i, readings in enumerate(scenarios[0])
    ]


def _different(readings: tuple[Reading, ...], extra: tuple[Reading, ...]) -> tuple[Reading, ...]:
    """The rival readings that weigh something else, marked as such."""
    known = [r.grams.best for r in readings]
    return tuple(replace(r, rival=True) for r in extra if all(abs(r.grams.best - k) > 1e-9 * max(1.0, k) for k in known))


def _line_doubts(
    line: Line,
    entry: Ingredient | None,
    readings: tuple[Reading, ...],
    rival: Choice | None,
    shares: tuple[float, float] | None,
    formula: Formula,
) -> list[Doubt]:
    found = []
    if entry is None:
        found.append(
            Doubt(
                "ingredient",
                f"{line.full_name or 'This line'!r} is not in the glossary.",
                (),
                "Find out what it is before you use it.",
            )
        )
    if len(readings) > 1 and readings[0].grams.best > 0:  # of '0 oz.' both readings are nothing
        one, two = readings[0], readings[1]
        words = {"weight": "by weight", "measure": "by measure"}
        found.append(
            Doubt(
                "measure",
                f"A liquid in {line.unit}s may be weighed or measured; it is taken {words.get(one.kind, one.kind)}.",
                (f"{words.get(two.kind, two.kind)}: {two.grams.best:.4g} g",),
                f"{two.grams.best / one.grams.best - 1:+.0%} of this line.",
            )
        )
    if rival is not None and shares is not None and shares[0] > 0 and abs(shares[1] / shares[0] - 1) > NOTICEABLE:
        text = f"If the book meant other measures ({rival.convention.name}), this line would be another share of the whole."
        other = f"{100 * shares[1]:.3g} % instead of {100 * shares[0]:.3g} %"
        found.append(Doubt("measure", text, (other,), f"{shares[1] / shares[0] - 1:+.0%} of this line."))
    if line.to_make is not None and not readings:
        told = "How much of this fills up to the total cannot be worked out: the rest is as much already, or has no weight."
        found.append(Doubt("amount", told, (), "It is left out of the shares until an amount is given."))
    if line.unit == "drop" and line.amount is not None:
        found.append(Doubt("measure", "A drop has no fixed size: it varies with the liquid and the dropper.", (), ""))
    if line.amount is not None and not readings:
        unit = "pieces" if line.unit == "piece" else line.unit
        found.append(
            Doubt("amount", f"No weight is known for an amount in {unit}.", (), "Weigh one yourself and correct the line.")
        )
    mixed = line.unit == "part" and any(other.unit not in ("part", "per cent", "q.s.", "none") for other in formula.lines)
    if mixed:
        found.append(
            Doubt(
                "unit",
                "Parts stand beside amounts in other units; one part is taken as one gram.",
                (),
                "Correct these lines to a weight to set it right.",
            )
        )
    unlike = [(a, u) for a, u in line.also if u != line.unit]
    found += [
        Doubt("amount", f"The book prints the same amount a second time as {amount_text(a)} {u}.", (f"{amount_text(a)} {u}",), "")
        for a, u in unlike
    ]
    return found


def _cautions(match: Match | None) -> tuple[Caution, ...]:
    """The cautions of an ingredient, of what it is made of, and of a poisonous other meaning of its name."""
    if match is None:
        return ()
    found = list(match.ingredient.cautions)
    seen = {match.ingredient.id}
    waiting = [key for key, _ in match.ingredient.made_of]
    while waiting:
        key = waiting.pop(0)
        if key in seen or key not in glossary.ingredients:
            continue
        seen.add(key)
        inner = glossary.ingredients[key]
        found += [replace(c, text=f"Holds {inner.name}. {c.text}") for c in inner.cautions]
        waiting += [k for k, _ in inner.made_of]
    for other in match.alternatives:
        if other.forbidden and not match.ingredient.forbidden:
            worst = next(c for c in other.cautions if c.level == "forbidden")
            found.append(replace(worst, level="care", text=f"This name has also meant {other.name}: {worst.text}"))
    return tuple(dict.fromkeys(found))
