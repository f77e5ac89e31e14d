"""Faults of a pressed cake with their causes and remedies, by id or found in the words of a maker."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from histkit.base import tables
from histkit.base.bibliography import cited, marked, sourced
from histkit.base.grid import Column, Grid
from histkit.display.tabular import Tabular


@dataclass(frozen=True, slots=True)
class Fault(Tabular):
    """A fault of a pressed cake with its cause and remedy."""

    id: str
    fault: str
    cause: str
    remedy: str
    mark: str
    source: str
    more: tuple[str, ...] = ()
    """Of which of "pressure", "binder" and "oil" the next trial wants more, the first to be tried first."""
    less: tuple[str, ...] = ()
    outweighs: tuple[str, ...] = ()
    """Ids of faults that are this one's doing: where it is named, they are not told."""

    def _grid(self) -> Grid:
        return faults_grid((self,), "Fault")


def faults_grid(faults: Iterable[Fault], caption: str) -> Grid:
    """Faults with their causes, remedies and sources."""
    heads = (("fault", "Fault"), ("cause", "Cause"), ("remedy", "What to try"), ("source", "Source"))
    rows = tuple((f.fault, f.cause, f.remedy, marked(f.mark, f.source)) for f in faults)
    return Grid(tuple(Column(key, head) for key, head in heads), rows, caption)


def all_faults() -> tuple[Fault, ...]:
    """Every fault of `faults.csv`, in its order."""
    return tuple(map(_fault, sourced("bench/faults")))


def faults_in(words: str) -> tuple[Fault, ...]:
    """The faults of `faults.csv` that these words of a maker speak of; none where none is recognised.

    A word counts where it begins a word of the text, and not after one of `denials.csv` ("no cracks", "doesn't crumble").
    """
    return faults_of((), words)


def faults_of(ids: Iterable[str], words: str = "") -> tuple[Fault, ...]:
    """The faults of these ids, and those that the words speak of (see `faults_in`), each once, in the order of the table.

    A fault that another one named outweighs is left out: what caps is not called soft.
    """
    text = words.lower().replace("’", "'")
    text = " ".join(text.replace(",", " ").replace(".", " ").replace(";", " ").split())
    wanted = set(ids)
    named = [
        _fault(row)
        for row in sourced("bench/faults")
        if row["id"] in wanted or any(_speaks_of(text, stem) for stem in tables.words(row, "words"))
    ]
    outweighed = {key for fault in named for key in fault.outweighs}
    return tuple(fault for fault in named if fault.id not in outweighed)


def _fault(row: tables.Row) -> Fault:
    lists = (tables.words(row, column) for column in ("more", "less", "outweighs"))
    return Fault(row["id"], row["fault"], row["cause"], row["remedy"], row["mark"], cited(row), *lists)


def _speaks_of(text: str, stem: str) -> bool:
    padded, start = f" {text}", 0
    while (at := padded.find(f" {stem}", start)) >= 0:
        before, word = padded[:at].split(), padded[at:].split(maxsplit=1)[0]
        begins_a_denial = len(stem) < len(word) and _denies(word)  # "hardly" begins with "hard", a word for a glazed cake
        if not begins_a_denial and not (before and _denies(before[-1])):
            return True
        start = at + 1
    return False


def _denies(word: str) -> bool:
    rows = sourced("bench/denials")
    return any(word == row["word"] if row["where"] == "whole" else word.endswith(row["word"]) for row in rows)
