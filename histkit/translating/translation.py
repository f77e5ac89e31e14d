"""A formula in grams: its lines with what they are today, what they weigh and why, and the doubts that matter."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import zip_longest
from typing import TYPE_CHECKING

from histkit import glossary, measures
from histkit.base.errors import BadValue, quoted
from histkit.base.grid import Column, Grid
from histkit.base.nouns import Doubt, Spread
from histkit.base.text import Cell, clean
from histkit.composing.composition import Composition
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Caution, Ingredient, Match, worst_level
from histkit.measures.choosing import ALSO
from histkit.reading.formula import Formula, Line
from histkit.safety.evidence import Printed, unidentified, without
from histkit.safety.strange import not_understood, unread_before
from histkit.safety.within import forbidden_within
from histkit.translating.amounts import Reading, strength_note, vessel
from histkit.translating.doubts import NOTICEABLE
from histkit.translating.drachms import why_small_drachm
from histkit.translating.questions import Question, look_for
from histkit.translating.shares import distance, shares_of

if TYPE_CHECKING:
    from histkit.measures import Choice, Convention


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
        if self.line.set_aside:
            out.append(f"It is in no share: {self.line.set_aside}.")
        elif self.match is None:
            out.append(f"The glossary knows no {quoted(self.line.full_name)}.")
        else:
            entry = self.match.ingredient
            out.append(f"{self.line.full_name!r} is {entry.name} (found {glossary.found_how(self.match)}).")
            if entry.description:
                out.append(f"{entry.name}: {entry.description.rstrip('.')}. Source: {glossary.cited(entry.source)}.")
        out += [f"{'Weighed' if n == 0 else 'Or'}: {r.grams} g. {r.why}" for n, r in enumerate(self.readings)]
        if self.grams is None and not self.line.set_aside:
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
    """The grams of each line under the rival convention (empty where there is none)."""
    against: Choice | None = None
    """The rival convention: the runner-up, or the next one behind it where the runner-up changes no unit of this formula."""

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
        seconds = dict.fromkeys((*self.choices[1:2], *([self.against] if self.against else ())))
        for told, second in zip(("Runner-up", "Then"), seconds, strict=False):
            text += f" {told}: {second.convention.name} ({second.certainty}): {second.reason.removeprefix(ALSO)}"
        question = self.question()
        return f"{text} {question}" if question else text

    def question(self) -> str:
        """What to look for in the book itself: the one answer that would change most grams; '' where none would."""
        moved: dict[str, float] = {}
        small_drachm = bool(why_small_drachm(self.formula, self.convention))
        rival = self.against.convention if self.against else None
        for t, other in zip_longest(self.lines, self.rival):
            for question, grams in _moved(t, other, small_drachm):
                # one sentence may answer for several units: ounces and pounds move together
                words = look_for(question, self.convention, rival, self.convention.country)
                moved[words] = moved.get(words, 0.0) + grams
        moved.pop("", None)
        total = sum(t.grams.best for t in self.lines if t.grams is not None)
        most = max(moved, key=moved.__getitem__, default="")
        return most if most and moved[most] > NOTICEABLE * total else ""

    def composition(self, settled: Iterable[int] = ()) -> Composition:
        """The shares of mass of all lines that have a weight; what has none is told in `omitted`.

        All that was printed goes along, for the gate to search. In the lines of `settled` (counted from 0) the maker has put
        the name right or left the line out: there only the new name counts.

        Raises:
            BadValue: no line of the formula has a weight.
        """
        masses = [(_ingredient_of(t), t.grams.best) for t in self.lines if t.grams is not None]
        if not masses:
            raise BadValue("no line of this formula has a weight that could be worked out: give at least one amount")
        omitted = tuple(dict.fromkeys(t.name for t in self.lines if t.grams is None and not t.line.set_aside))
        printed = printed_words(self.formula, self.lines, frozenset(settled))
        title, source = self.formula.title, self.formula.source
        strengths: dict[str, list[str]] = {}
        for t in self.lines:
            if t.grams is not None and t.ingredient is not None and (note := strength_note(t.line, source, t.ingredient)):
                strengths.setdefault(t.ingredient.id, []).append(note)
        notes = {key: "; ".join(dict.fromkeys(said)) for key, said in strengths.items()}
        return Composition.of(masses, name=title, omitted=omitted, source=source, notes=notes, printed=printed)

    def what_matters(self) -> tuple[Matter, ...]:
        """All doubts ranked by how far they move the composition (half the sum of the changes of all shares)."""
        best = shares_of([t.grams.best if t.grams else None for t in self.lines])
        matters: list[Matter] = []
        if self.against is not None:
            other = shares_of([g.best if g else None for g in self.rival])
            what = f"If the book meant {self.against.convention.name}: {self.against.reason}"
            matters.append(Matter("convention", what, distance(best, other)))
        for index, t in enumerate(self.lines):
            if t.grams is None:
                if t.line.amount is None and t.line.unit != "q.s." and not t.line.set_aside:
                    matters.append(Matter("amount", f"{t.name}: no weight, so it is in no share.", 0.0, index))
                continue
            effect = 0.0
            own = [r.grams for r in t.readings if not r.rival]  # the rival convention moves all lines at once: counted above
            for end in (min(g.low for g in own), max(g.high for g in own)):
                changed = [x.grams.best if x.grams else None for x in self.lines]
                changed[index] = end
                effect = max(effect, distance(best, shares_of(changed)))
            if effect > 1e-6:
                why = " ".join(d.text for d in t.doubts) or "; ".join(r.why for r in t.readings)
                matters.append(Matter("amount", f"{t.name}: {own[0]} g. {why}", effect, index))
        return tuple(sorted(matters, key=lambda m: -m.effect))

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
        today = t.name if t.ingredient else t.line.set_aside or f"{t.name} (not in the glossary)"
        rows.append((" ".join(t.line.raw.split()), today, *grams, share, worst, " ".join(d.text for d in t.doubts)))
    return Grid(_COLUMNS, tuple(rows), caption)


def _moved(t: TranslatedLine, other: Spread | None, small_drachm: bool) -> Iterator[tuple[Question, float]]:
    """The questions that a line leaves open, each with the grams that the other answer would move."""
    if t.grams is None or not t.readings:
        return
    if other is not None:
        yield Question("ratio", vessel(t.line.raw, t.line.unit)), abs(other.best - t.grams.best)
    own = [r for r in t.readings if not r.rival]
    if t.line.unit == "drachm" and small_drachm and not t.line.system:
        yield Question("small drachm", "drachm"), t.grams.best  # the other drachm is more than twice as heavy
    if own[0].heaped:
        yield Question("heaped", t.line.unit), max(own[0].grams.high - t.grams.best, t.grams.best - own[0].level.best)
    if own[0].otherwise is not None:
        yield Question("vessel", t.line.unit), abs(own[0].otherwise[1].best - t.grams.best)
    if len({r.kind for r in own}) > 1:
        yield Question("by measure", t.line.unit), abs(own[1].grams.best - own[0].grams.best)


def _ingredient_of(t: TranslatedLine) -> Ingredient:
    """The line's ingredient, or a stand-in entry that says that nobody knows what it is."""
    return t.ingredient if t.ingredient is not None else unidentified(t.line.full_name or "unnamed ingredient")


def _but_settled(formula: Formula, settled: frozenset[int]) -> str:
    """The whole text without the lines whose name the maker has put right: what the reader cut apart stands together here."""
    text = formula.text
    for start, end in sorted((formula.lines[n].span for n in settled if n < len(formula.lines)), reverse=True):
        text = f"{text[:start]}\n{text[end:]}"
    return text


def printed_words(formula: Formula, lines: Sequence[TranslatedLine], settled: frozenset[int]) -> tuple[Printed, ...]:
    """All that was printed, line by line and beside the lines, with what each line was taken for."""
    out: list[Printed] = []
    strengths: dict[str, str] = {}
    for index, t in enumerate(lines):
        weighed = t.grams is not None
        if index in settled and not weighed:  # left out by the maker
            continue
        words = t.line.full_name if index in settled else f"{t.line.carried} {t.line.raw}".strip()
        if t.line.set_aside and out:  # what only goes on with the line above is judged with it
            out[-1] = replace(out[-1], words=f"{out[-1].words} {words}")
            continue
        entry = _ingredient_of(t)
        poisons = tuple(o.id for o in (t.match.alternatives if t.match else ()) if forbidden_within(o) and o.id != entry.id)
        before = "" if index in settled else unread_before(formula.text, t.line.raw, formula.unread)
        known = index not in settled and strength_note(t.line, formula.source, t.ingredient)
        strength = measures.alcohol.printed_strength(t.line.raw) if known else ""
        strange = "" if index in settled else not_understood(without(t.line.full_name, strength), t.match, before)
        strengths[t.line.raw] = strength
        out.append(
            Printed(words, "line", entry.id, t.ingredient is not None, t.line.full_name, poisons, weighed, strange, strength)
        )
    out.append(Printed(formula.title, "title"))
    out.append(Printed(formula.directions, "directions"))
    out += [Printed(words, "unread") for words in formula.unread]
    text = _but_settled(formula, settled)
    for raw, strength in strengths.items():
        text = text.replace(raw, without(raw, strength)) if strength else text
    out.append(Printed(text, "text"))
    return tuple(p for p in out if p.words.strip())
