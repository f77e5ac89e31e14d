"""Which amounts the book leaves a choice between: 'two ounces of gum, or three of dextrin', 'borax may be substituted'."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from histkit.base.nouns import Doubt
from histkit.reading.asides import sentence_around
from histkit.reading.assigning import Entry
from histkit.reading.known import Known
from histkit.reading.view import phrases_that_begin
from histkit.reading.vocabulary import OR, connectives
from histkit.reading.wording import Wording

_EITHER = Doubt(
    "group",
    "'Or' stands between two amounts: the book leaves a choice, and both are listed here.",
    ("it stands in place of the line above",),
    "Weigh only one of them.",
)
_NEAR = 8
"""Tokens at most between an amount or a name and the words that say that it stands in place of another."""
_KINDS = ("instead", "stands in")


def tell_choices(wording: Wording, entries: Sequence[Entry]) -> None:
    """The Doubt on an entry with an amount of its own before which 'or' stands, 'two ounces of gum, or three of dextrin', and on
    one of which is said that it may take the place of another: 'two ounces of suet may be substituted'."""
    measured = [entry for entry in entries if entry.measure is not None and entry.names]
    chosen = set(_behind_or(wording, entries)) | set(_standing_in(wording, measured))
    for entry in measured:
        if id(entry) in chosen:
            entry.doubts = (*entry.doubts, _EITHER)


def _behind_or(wording: Wording, entries: Sequence[Entry]) -> Iterator[int]:
    """The entries with an amount of their own before which 'or' stands, by their ids."""
    if OR.isdisjoint(wording.view.words):
        return
    for before, entry in pairwise(entries):
        first, m = span_of(entry)[0], entry.measure
        if m is None or m.kind not in ("plain", "bare") or m.amount is None or before.measure in (None, m):
            continue
        at = first - 1
        while at > 0 and (wording.tokens[at].kind in ("gap", "line") or _only_joins(wording.view.words[at])):
            at -= 1
        if wording.view.words[at] in OR and at >= span_of(before)[1]:
            yield id(entry)


def _only_joins(word: str) -> bool:
    """Whether a word may stand between 'or' and the amount: 'or rather 45 parts'."""
    return word in connectives() and word not in OR


def _standing_in(wording: Wording, entries: Sequence[Entry]) -> Iterator[int]:
    """The entries that may take the place of another that is listed, by their ids."""
    places = wording.view.saying(phrases_that_begin(*_KINDS))
    if not places or len(entries) < 2:
        return
    ids = {name.ingredients[0] for entry in entries for a, b in entry.names for name in wording.known_in(a, b)}
    for place in places:
        said = wording.view.phrase(place, *_KINDS)
        if said is None or said[0].when or any(m.first <= place < m.last for entry in entries if (m := entry.measure)):
            continue  # 'twenty instead of ten drops' is one amount
        begins, ends = sentence_around(wording, place)
        another = next(iter(wording.known_in(said[1], min(ends, said[1] + _NEAR))), None)
        if said[0].kind == "instead" and (another is None or another.ingredients[0] not in ids):
            continue
        entry = _nearest(wording, entries[1:], (begins, place, ends), another)
        if entry is not None:
            yield id(entry)


def _nearest(wording: Wording, entries: Sequence[Entry], at: tuple[int, int, int], other: Known | None) -> Entry | None:
    """The entry of the sentence of which something is said at a place: the last before it, or else the first behind."""
    begins, place, ends = at
    spans = [(span_of(entry), entry) for entry in entries if entry.measure is not None and entry.measure.kind == "plain"]
    before = [entry for (first, last), entry in spans if begins <= first and place - _NEAR < last <= place]
    behind = [entry for (first, _), entry in spans if (other.last if other else place) <= first < ends]
    return next(iter(before[-1:] or behind[:1]), None)


def span_of(entry: Entry) -> tuple[int, int]:
    """The tokens of an entry's names and of its amount."""
    edges = [edge for name in entry.names for edge in name]
    if entry.measure is not None and entry.holds_measure:
        edges += [entry.measure.first, entry.measure.last]
    return min(edges), max(edges)
