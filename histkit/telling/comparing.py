"""Setting a translation beside what is made of it: what became of each printed line, and why."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from histkit.base.descriptions import Footnote
from histkit.base.errors import BadValue
from histkit.base.text import listed
from histkit.glossary.nouns import Ingredient
from histkit.telling.comparison import ComparisonTable, Fate, Row
from histkit.telling.plainly import measures_caption
from histkit.telling.printing import SAFETY, printed_percents, printed_words, sign

if TYPE_CHECKING:
    from histkit.bench.batching import Batch
    from histkit.composing.composition import Change, Composition
    from histkit.translating.translation import TranslatedLine, Translation


def compare(translation: Translation, batch: Batch | None = None, composition: Composition | None = None) -> ComparisonTable:
    """The table of old and new: a translation beside what is made of it.

    With a `batch` the composition is the batch's and the grams are those to weigh; with a `composition` alone there are shares
    but no grams; with neither the table shows the old formula by itself.

    Raises:
        BadValue: the composition given is not the one that the batch was made of.
    """
    if batch is not None and composition is not None and composition.parts != batch.composition.parts:
        raise BadValue("compare() takes a batch or a composition: the composition given is not the one of the batch")
    return _Comparing(translation, batch, batch.composition if batch is not None else composition).table()


class _Comparing:
    """The state of one comparison while its rows are being made; nothing of it outlives `table()`."""

    def __init__(self, translation: Translation, batch: Batch | None, composition: Composition | None) -> None:
        self.translation, self.batch, self.composition = translation, batch, composition
        self.entries = [self._entry(t) for t in translation.lines]
        self.changes: tuple[Change, ...] = composition.changes if composition else ()
        parts = composition.parts if composition else ()
        self.left = {p.ingredient.id: p for p in parts}  # what has no row yet
        self.parts = dict(self.left)
        self.weighed = {w.ingredient.id: w for w in batch.weighings} if batch else {}
        counted = [e.id for e, t in zip(self.entries, translation.lines, strict=True) if e is not None and t.grams is not None]
        self.times = Counter(counted)
        self.first_line: dict[str, int] = {}
        self.signs: dict[str, str] = {}
        self.forbidden = {i.id for i in composition.forbidden} if composition else set()
        self.usual = self._usual_ratio()

    def _entry(self, t: TranslatedLine) -> Ingredient | None:
        """The ingredient under which the composition knows a line; one that the glossary lacks goes there by its name."""
        if t.ingredient is not None or self.composition is None:
            return t.ingredient
        return next((i for i in self.composition.ingredients if i.name == t.line.full_name and i.id.startswith("unknown-")), None)

    def table(self) -> ComparisonTable:
        rows: list[Row] = []
        for number, (t, entry) in enumerate(zip(self.translation.lines, self.entries, strict=True), start=1):
            rows += self._line(number, t, entry)
        rows += [self._new(part.ingredient, part.note) for part in self.parts.values() if part.ingredient.id in self.left]
        then, then_decimals = printed_percents([row.then.best if row.then else None for row in rows])
        now, now_decimals = printed_percents([row.now for row in rows])
        finished = [replace(row, then_percent=a, now_percent=b) for row, a, b in zip(rows, then, now, strict=True)]
        formula = self.translation.formula
        footnotes = tuple(Footnote(mark, self._note_text(text)) for text, mark in self.signs.items())
        return ComparisonTable(
            tuple(finished), formula.title or "Old and new", formula.source, footnotes, self._notes(), self._basis(),
            then_decimals, now_decimals, self.batch.balance.decimals if self.batch else 2, measures_caption(self.translation),
        )  # fmt: skip

    # -- rows

    def _line(self, number: int, t: TranslatedLine, entry: Ingredient | None) -> list[Row]:
        fate, change, stand_ins = self._fate(number, t, entry)
        texts = [d.text for d in t.doubts]
        if t.ingredient is None and not texts and not t.line.set_aside:
            texts.append("Not in the glossary: find out what it is before you use it.")
        if fate == "gone":
            texts.append("The new formula lacks this line, and no reason was recorded.")
        if fate == "no weight" and not texts:
            texts.append("No weight is known for this line, so it is in no share.")
        today = t.ingredient.name if t.ingredient else (t.line.full_name or "unnamed")
        now, grams, aliquot = self._take(entry) if fate in ("kept", "unknown", "forbidden") else (None, None, False)
        reasons = [c.reason for c in self._history(entry.id)] if entry and fate in ("replaced", "left out") else []
        first = Row(
            fate, printed_words(t.line), today, entry, number, t.share, now, grams,
            change=change, signs=self._signs(texts), by_aliquot=aliquot, why=reasons[-1] if reasons else "",
        )  # fmt: skip
        return [first, *(self._stand_in(number, i, words) for i, words in stand_ins)]

    def _fate(self, number: int, t: TranslatedLine, entry: Ingredient | None) -> tuple[Fate, str, list[tuple[Ingredient, str]]]:
        """What became of a line, in words, and what is weighed in its place under this line."""
        printed = t.line.full_name
        if t.line.set_aside:
            return "left out", t.line.set_aside, []
        if self.composition is None:
            return ("kept", "", []) if t.ingredient else ("unknown", "not identified", [])
        if t.grams is None:
            what = "no amount is printed" if t.line.amount is None else "no weight is known for this amount"
            return "no weight", f"{what}: not in the shares, add it by hand", []
        if entry is None:
            change = next((c for c in self.changes if c.removed.startswith("unknown-") and _same_words(c.removed, printed)), None)
            if change is None:
                return "gone", "not identified; not in the new formula", []
            key, name = change.removed, printed
        else:
            key, name = entry.id, entry.name
        if key in self.first_line:
            return "again", f"the same ingredient as line {self.first_line[key]}: weighed there, once", []
        self.first_line[key] = number
        steps = self._history(key)
        if not steps or key in self.parts:
            return self._kept(key, t, bool(steps), name)
        words, finals = self._replaced(steps, name)
        once = self.times[key] <= 1 or entry is None
        mine = [(part, why) for part, why in finals if part.id in self.left and not self._on_a_line(part.id)] if once else []
        elsewhere = [part.name for part, _ in finals if part.id not in {p.id for p, _ in mine}]
        if elsewhere:
            words += f" ({listed(elsewhere)}: weighed in another row)"
        return ("replaced" if finals else "left out"), words, mine

    def _kept(self, key: str, t: TranslatedLine, changed: bool, name: str) -> tuple[Fate, str, list[tuple[Ingredient, str]]]:
        if key not in self.parts:
            return "gone", "not in the new formula", []
        if key in self.forbidden:
            return "forbidden", "must not be used: replace it before anything is weighed", []
        also = list(
            dict.fromkeys(self._name(c.removed) for c in self.changes if any(k == key for k, _ in c.parts) and c.removed != key)
        )
        if t.ingredient is None:
            text: str = "not identified; kept under its printed name"
        elif also:
            text = f"kept, and stands in for {listed(also)}"
        else:
            text = "kept" + ("" if changed else self._more(key))
        return ("unknown" if t.ingredient is None else "kept"), text, []

    def _history(self, key: str) -> list[Change]:
        return [c for c in self.changes if c.removed == key]

    def _replaced(self, steps: list[Change], name: str) -> tuple[str, list[tuple[Ingredient, str]]]:
        """The replacement in words, and what of it is in the composition in the end (a stand-in may itself be replaced)."""
        change = steps[-1]
        because = f": {change.reason}" if change.reason else ""
        if not change.parts:
            return f"left out{because}", []
        words = f"replaced by {listed([self._name(key) for key, _ in change.parts])}{because}"
        finals: dict[str, tuple[Ingredient, str]] = {}
        waiting = [(key, ratio, self.changes.index(change) + 1) for key, ratio in change.parts]
        while waiting:
            key, ratio, since = waiting.pop(0)
            later = next(((n, c) for n, c in enumerate(self.changes) if n >= since and c.removed == key), None)
            if later is None:
                if key in self.parts:
                    finals.setdefault(key, (self.parts[key].ingredient, f"in place of {name}, {ratio:.3g} g for each gram"))
                continue
            then = later[1]
            what = f"replaced by {listed([self._name(k) for k, _ in then.parts])}" if then.parts else "left out"
            words += f"; {self._name(key)} {what} in turn{f': {then.reason}' if then.reason else ''}"
            waiting += [(k, ratio * r, later[0] + 1) for k, r in then.parts]
        return words, list(finals.values())

    def _stand_in(self, number: int, ingredient: Ingredient, words: str) -> Row:
        now, grams, aliquot = self._take(ingredient)
        return Row("stand-in", "", ingredient.name, ingredient, number, None, now, grams, change=words, by_aliquot=aliquot)

    def _new(self, ingredient: Ingredient, note: str) -> Row:
        removed = list(dict.fromkeys(self._name(c.removed) for c in self.changes if any(k == ingredient.id for k, _ in c.parts)))
        if removed:
            words, fate = f"in place of {listed(removed)}", "stand-in"
        else:
            words, fate = (f"added as {note}" if note else "added"), "added"
        if ingredient.id in self.forbidden:
            words += "; must not be used: replace it before anything is weighed"
        now, grams, aliquot = self._take(ingredient)
        kind: Fate = "stand-in" if fate == "stand-in" else "added"
        return Row(kind, "", ingredient.name, ingredient, None, None, now, grams, change=words, by_aliquot=aliquot)

    def _take(self, ingredient: Ingredient | None) -> tuple[float | None, float | None, bool]:
        """Share, grams and whether it is weighed by aliquot: given once for each ingredient."""
        part = self.left.pop(ingredient.id, None) if ingredient else None
        if part is None:
            return None, None, False
        weighing = self.weighed.get(part.ingredient.id)
        return part.share, (weighing.grams if weighing else None), bool(weighing and weighing.diluted)

    # -- words

    def _on_a_line(self, key: str) -> bool:
        return self.times[key] > 0

    def _name(self, key: str) -> str:
        """The modern name behind an id, from whatever is at hand, without a look into any table."""
        if key in self.parts:
            return self.parts[key].ingredient.name
        for entry, t in zip(self.entries, self.translation.lines, strict=True):
            if entry is not None and entry.id == key:
                return entry.name
            if entry is None and key.startswith("unknown-") and _same_words(key, t.line.full_name):
                return t.line.full_name
        return key.removeprefix("unknown-").replace("-", " ")

    def _usual_ratio(self) -> float | None:
        """By how much the shares of untouched lines changed alike (a binder thins them all); None where they did not."""
        ratios = [float(f"{r:.6g}") for key in self.times if (r := self._ratio(key)) is not None]
        if not ratios:
            return None
        ratio, count = Counter(ratios).most_common(1)[0]
        return ratio if count > 1 or len(ratios) == 1 else None

    def _ratio(self, key: str) -> float | None:
        then = math.fsum(
            t.share.best
            for e, t in zip(self.entries, self.translation.lines, strict=True)
            if e is not None and e.id == key and t.share
        )
        return self.parts[key].share / then if key in self.parts and then > 0 else None

    def _more(self, key: str) -> str:
        ratio = self._ratio(key)
        if ratio is None or self.usual is None or abs(ratio / self.usual - 1) < 1e-4:
            return ""
        note = self.parts[key].note
        return f", with {'more' if ratio > self.usual else 'less'} of it{f' ({note})' if note else ''}"

    def _signs(self, texts: Sequence[str]) -> tuple[str, ...]:
        out = []
        for text in dict.fromkeys(texts):
            if text not in self.signs:
                self.signs[text] = sign(len(self.signs))
            out.append(self.signs[text])
        return tuple(out)

    def _note_text(self, text: str) -> str:
        """A doubt with its other readings, where they are the same for all lines that have it."""
        tails = {
            (f" Or: {'; '.join(d.others)}." if d.others else "") + (f" {d.effect}" if d.effect else "")
            for t in self.translation.lines
            for d in t.doubts
            if d.text == text
        }
        return text + (tails.pop() if len(tails) == 1 else "")

    def _basis(self) -> str:
        choices = self.translation.choices
        if self.translation.in_parts:
            return "Shares by mass; the book prints parts."
        certainty = f", {choices[0].certainty}" if choices else ""
        return f"Shares by mass. Measures: {self.translation.convention.name}{certainty}."

    def _notes(self) -> tuple[str, ...]:
        notes = [f"Measures: {self.translation.why_convention()}"] if self.translation.choices else []
        again = [
            str(n)
            for n, (t, e) in enumerate(zip(self.translation.lines, self.entries, strict=True), 1)
            if self._counted_before(n, t, e)
        ]
        if self.composition is not None and again:
            lines = f"Line {again[0]} is" if len(again) == 1 else f"Lines {listed(again)} are"
            notes.append(f"{lines} weighed together with an earlier line of the same ingredient; the grams stand there, once.")
        if self.composition is not None and self.composition.omitted:
            notes.append(f"Without a weight, so in no share: {', '.join(self.composition.omitted)}.")
        aliquots = [w.ingredient.name for w in self.weighed.values() if w.diluted]
        if aliquots:
            notes.append(f"Too little for the balance, so weighed by aliquot (see the bench sheet): {', '.join(aliquots)}.")
        notes.append("Shares are rounded so that the printed figures add to 100.")
        notes.append(SAFETY)
        return tuple(notes)

    def _counted_before(self, number: int, t: TranslatedLine, entry: Ingredient | None) -> bool:
        return entry is not None and t.grams is not None and self.first_line.get(entry.id, number) != number


def _same_words(key: str, name: str) -> bool:
    return re.sub(r"[\W_]+", "-", key.removeprefix("unknown-").casefold()) == re.sub(r"[\W_]+", "-", name.casefold())
