"""The printed page with its readings: which stretch of the print is a name, an amount, a direction, and what was not read.

A pure function of the formula as read, what it became, and what was chosen. The words stay as printed and in their order; only
blanks, line breaks within a line and leaders are made one. How it looks is the affair of `display.marked`.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from histkit.base.marks import Mark, MarkedPage, MarkedRow, MarkKind
from histkit.base.nouns import Doubt, Spread
from histkit.base.text import clean as shown
from histkit.base.text import listed
from histkit.reading.cleaning import clean
from histkit.reading.figures import scanned
from histkit.reading.formula import Formula, Line
from histkit.reading.measuring import measures_of
from histkit.reading.tokens import tokenise
from histkit.safety.within import forbidden_within
from histkit.telling.printing import measured
from histkit.translating.translation import TranslatedLine, Translation

MOST_DIGITS = 4
"""Significant figures of a weight on the page: no kitchen balance shows more, and no old measure was truer."""

_WORD = re.compile(r"[^\W_]+")
_LEADERS = re.compile(r"(?:\s*[.·…_]){3,}\s*")
_MOVES_ALL = ("If the book meant other measures",)
"""A doubt that begins so is one of the whole book: all its ounces move together. The sentence on measures says it once."""


def marked(
    printed: Formula,
    translation: Translation,
    replaced: Mapping[str, str] | None = None,
    changed: Iterable[int] = (),
    readability: float = 0.01,
) -> MarkedPage:
    """The page of `printed` (the formula as read) with what its lines became in `translation` (with the maker's corrections).

    `replaced` says in words what stands in for an ingredient id, `changed` are the lines (from 0) that the maker put right,
    `readability` is the smallest step of the balance in grams.
    """
    stand_ins, put_right = dict(replaced or {}), frozenset(changed)
    amounts = _amount_spans(printed.text)
    times = Counter(doubt.text for t in translation.lines for doubt in _own_doubts(t))
    rows: list[MarkedRow] = []
    place = 0
    beside = _Beside(printed)
    for index in sorted(range(len(printed.lines)), key=lambda n: printed.lines[n].span):
        line, t = printed.lines[index], translation.lines[index]
        rows += beside.rows(printed.text[place : line.span[0]])
        marks = tuple(_marks_of(line, t, [span for span in amounts if line.span[0] <= span[0] < line.span[1]]))
        rows.append(_row(index, marks, t, stand_ins, _put_right(line, t.line) if index in put_right else "", readability))
        place = line.span[1]
    rows += beside.rows(printed.text[place:])
    remarks = [f"{_lines_with(translation, text)}: {text}" for text, n in times.items() if n > 1]
    cautions = tuple(dict.fromkeys(
        f"{t.name[:1].upper()}{t.name[1:]} must not be used: {_why_forbidden(t)}"
        for t in translation.lines
        if is_poison(t) and t.ingredient is not None and t.ingredient.id not in stand_ins
    ))  # fmt: skip
    return MarkedPage(tuple(rows), measures_in_short(translation), translation.why_convention(), tuple(remarks), cautions)


# -- figures ------------------------------------------------------------------------------------------------------------


def balance_text(grams: Spread, readability: float = 0.01) -> str:
    """Grams (without the unit) with no more digits than the balance shows, the doubt allows and anybody needs.

    A doubt of a gram or more leaves no decimals; what is too little for the balance keeps one figure.
    """
    best = grams.best
    if best <= 0:
        return "0"
    size = math.floor(math.log10(best))
    decimals = min(MOST_DIGITS - 1 - size, max(0, -math.floor(math.log10(readability) + 1e-9)))
    half = max(grams.high - best, best - grams.low)
    if half > 1e-9 * best:
        decimals = min(decimals, -math.floor(math.log10(half)))
    decimals = max(decimals, -size if size < 0 else 0)
    text = f"{best:,.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text and half <= 1e-9 * best else text


def share_text(share: float) -> str:
    """A share (0–1) in per cent with one decimal; what is less than that says so."""
    return f"{100 * share:.1f} %" if share >= 0.0005 else "under 0.1 %"


def measures_in_short(translation: Translation) -> str:
    """What an ounce weighs in this formula (or its largest measure), and by whose custom, in one sentence."""
    convention = translation.convention
    certainty = translation.choices[0].certainty
    if translation.in_parts:
        return "The book prints parts: one part is shown as one gram."
    printed = {unit for t in translation.lines for unit in (t.line.unit, *(u for _, u in t.line.plus))}
    for unit in ("ounce", "pound", "drachm", "scruple", "grain", "fluid ounce", "pint", "minim"):
        if unit not in printed:
            continue
        if (grams := convention.grams(unit)) is not None:
            return f"One {unit} is {grams:.4g} g: {convention.name} ({certainty})."
        if (volume := convention.millilitres(unit)) is not None:
            return f"One {unit} is {volume.best:.4g} mL: {convention.name} ({certainty})."
    return f"Measures: {convention.name} ({certainty})."


def own_grams(t: TranslatedLine) -> Spread | None:
    """The grams of a line within the limits of its own doubt, without that of the whole book, which moves all lines together."""
    own = [reading.grams for reading in t.readings if not reading.rival]
    if t.grams is None or not own:
        return t.grams
    return Spread(min(s.low for s in own), t.grams.best, max(s.high for s in own))


# -- lines --------------------------------------------------------------------------------------------------------------


def is_poison(t: TranslatedLine) -> bool:
    """Whether what the line is today must not be used, or holds something that must not."""
    within = t.ingredient is not None and bool(forbidden_within(t.ingredient))
    return within or any(caution.level == "forbidden" for caution in t.cautions)


def _why_forbidden(t: TranslatedLine) -> str:
    return next((caution.text for caution in t.cautions if caution.level == "forbidden"), "it holds what must not be used.")


def _own_doubts(t: TranslatedLine) -> tuple[Doubt, ...]:
    return tuple(doubt for doubt in t.doubts if not doubt.text.startswith(_MOVES_ALL))


def doubt_text(doubt: Doubt) -> str:
    """A doubt in one sentence or two, for people: what is doubtful, and what else it may be."""
    others = f"Or: {'; '.join(doubt.others)}." if doubt.others else ""
    return " ".join(part for part in (doubt.text, others, doubt.effect) if part)


def doubts_of(t: TranslatedLine) -> tuple[str, ...]:
    """The doubts that are the line's own, in words."""
    return tuple(dict.fromkeys(doubt_text(doubt) for doubt in _own_doubts(t)))


def _lines_with(translation: Translation, text: str) -> str:
    numbers = [str(n) for n, t in enumerate(translation.lines, start=1) if any(d.text == text for d in t.doubts)]
    return f"Line{'s' if len(numbers) > 1 else ''} {listed(numbers)}"


def _row(
    index: int, marks: tuple[Mark, ...], t: TranslatedLine, stand_ins: Mapping[str, str], put_right: str, readability: float
) -> MarkedRow:
    if t.line.set_aside:
        return MarkedRow(marks, index, fate=t.line.set_aside, aside=True)
    grams = own_grams(t)
    key = t.ingredient.id if t.ingredient else ""
    return MarkedRow(
        marks,
        index,
        today=_today(t),
        grams=f"{balance_text(grams, readability)} g" if grams is not None else "no weight",
        share=share_text(t.share.best) if t.share is not None else "",
        poison=is_poison(t) and key not in stand_ins,
        known=t.ingredient is not None,
        changed=put_right,
        fate=stand_ins.get(key, ""),
    )


def _put_right(printed: Line, line: Line) -> str:
    """What the maker put right in a line, in words: 'put right: 12 drops'."""
    amounts = [measured(line)] if (line.amount, line.unit, line.plus) != (printed.amount, printed.unit, printed.plus) else []
    names = [line.full_name] if line.full_name != printed.full_name else []
    return f"put right: {' '.join([*amounts, *names])}" if amounts or names else "put right"


def _today(t: TranslatedLine) -> str:
    """Today's name; nothing where the print has it already."""
    if t.ingredient is None:
        return "not in the glossary"
    same = _WORD.findall(_folded(t.name)) == _WORD.findall(_folded(t.line.full_name))
    return "" if same else t.name


def _marks_of(line: Line, t: TranslatedLine, amounts: list[tuple[int, int]]) -> Iterator[Mark]:
    """The print of a line, divided into its name, its amount and what joins them."""
    start, raw = line.span[0], line.raw
    own = [(a - start, min(b - start, len(raw))) for a, b in amounts]
    names = _name_spans(line, own)
    of_name = tuple(doubt_text(d) for d in _own_doubts(t) if d.about == "ingredient" or not own)
    of_amount = tuple(doubt_text(d) for d in _own_doubts(t) if d.about != "ingredient" and own)
    spans: list[tuple[int, int, MarkKind]] = sorted([*((a, b, "amount") for a, b in own), *((a, b, "name") for a, b in names)])
    place = 0
    for begins, ends, kind in spans:
        yield from _plain("words", raw[place:begins])
        yield from _plain(kind, raw[begins:ends], of_amount if kind == "amount" else of_name)
        place = ends
    yield from _plain("words", raw[place:])


def _plain(kind: MarkKind, text: str, doubts: tuple[str, ...] = ()) -> Iterator[Mark]:
    """A stretch of print with its blanks and leaders made one; nothing where nothing is left."""
    words = shown(re.sub(r"\s+", " ", _LEADERS.sub(" … ", text)))
    if words.strip():
        yield Mark(kind, words, doubts)


def _amount_spans(text: str) -> list[tuple[int, int]]:
    """Where amounts stand in the print, with the full stop of their last word."""
    cleaned = clean(text)
    view = scanned(tokenise(cleaned.text))
    spans = []
    for measure in measures_of(view):
        last = min(measure.reach, measure.last) if measure.reach > measure.first else measure.last
        tokens = [token for token in view.tokens[measure.first : last] if token.kind not in ("gap", "line", "para")]
        if not tokens:
            continue
        begins, ends = cleaned.printed_span(tokens[0].start, tokens[-1].end)
        if tokens[-1].dot and text[ends : ends + 1] == ".":
            ends += 1
        spans.append((begins, ends))
    return spans


def _name_spans(line: Line, amounts: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Where the words of a line's name stand in its print: from the first to the last of them, on each side of an amount."""
    wanted = [_folded(word.group()) for word in _WORD.finditer(line.ingredient)]
    words = [w for w in _WORD.finditer(line.raw) if not any(a <= w.start() < b for a, b in amounts)]
    found: list[re.Match[str]] = []
    for word in words:
        if len(found) < len(wanted) and _folded(word.group()) == wanted[len(found)]:
            found.append(word)
    if len(found) < len(wanted):  # the reader has put the words in another order, or mended one
        found = words
    spans: list[tuple[int, int]] = []
    for word in found:
        crossed = spans and any(spans[-1][1] <= a < word.start() for a, _ in amounts)
        if spans and not crossed:
            spans[-1] = (spans[-1][0], word.end())
        else:
            spans.append((word.start(), word.end()))
    return [(a, b + (line.raw[b : b + 1] in (")", "]"))) for a, b in spans]


def _folded(word: str) -> str:
    return unicodedata.normalize("NFKC", word).casefold()


# -- what is no line ----------------------------------------------------------------------------------------------------


class _Beside:
    """Gives the words beside the lines their kind: each stands in the title, the directions or the unread, in printed order."""

    def __init__(self, formula: Formula) -> None:
        pieces: list[tuple[MarkKind, str]] = [("title", formula.title), ("direction", formula.directions)]
        pieces += [("unread", words) for words in formula.unread]
        self.waiting = [(kind, [_folded(w) for w in _WORD.findall(text)]) for kind, text in pieces if text]
        self.last: MarkKind = "unread"

    def rows(self, text: str) -> list[MarkedRow]:
        """A row for each printed line of a stretch between two lines of the formula."""
        rows = []
        for printed in text.splitlines():
            marks = tuple(self._marks(printed))
            if any(_WORD.search(mark.text) for mark in marks):
                rows.append(MarkedRow(marks))
        return rows

    def _marks(self, printed: str) -> Iterator[Mark]:
        place = begins = 0
        kind: MarkKind | None = None
        for word in _WORD.finditer(printed):
            now = self._kind(_folded(word.group()))
            if kind is not None and now != kind:
                yield from _plain(kind, printed[begins:place])
                begins = place
            kind, place = now, word.end()
        yield from _plain(kind or "words", printed[begins:])

    def _kind(self, word: str) -> MarkKind:
        """The kind of the next word: that of the piece that waits for it, the one that is under way first."""
        for n, (kind, words) in enumerate(self.waiting):
            if words and words[0] == word:
                words.pop(0)
                self.waiting.insert(0, self.waiting.pop(n))
                self.last = kind
                return kind
        return self.last
