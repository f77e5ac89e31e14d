"""Lines that read like ingredients, gathered into blocks, across page breaks and short asides."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from histkit.books.marks import marks
from histkit.books.titles import NUMBERED, NUMERAL_HEAD, run_in_title
from histkit.books.view import View

_ASIDE = 14
"""Words of prose that may stand between two ingredients of one formula."""
_ASIDE_LINES = 3
_LINES_BEFORE = 12
"""Lines before a first ingredient that may still belong to it."""
_MOST_FIGURES = 60
"""Figures of a column that are looked at."""
_UNFINISHED = (",", "}", "-", *marks("unfinished"))
"""What ends a name whose amount stands below."""
_SIGNS = marks("apothecaries")


@dataclass(slots=True)
class Block:
    """Lines (indices into the segment) that may be the ingredients of one formula, with the sum of their evidence."""

    first: int
    last: int
    items: int = 0
    named: int = 0
    hits: int = 0
    foreign: int = 0
    shaped: int = 0
    """Lines whose amount stands at either end."""
    soft: int = 0
    """Names without an amount of their own."""
    taken: bool = False
    signed: bool = False
    bare: tuple[str, ...] = ()
    headed: bool = False
    """A column of figures under its unit."""
    told: int = 0
    """Words of doses, solubilities, pages."""


@dataclass(slots=True)
class _Gathered:
    """The blocks so far, the one under way, and the lines passed by since its last ingredient."""

    blocks: list[Block] = field(default_factory=list)
    block: Block | None = None
    pending: list[int] = field(default_factory=list)
    aside_words: int = 0
    aside_lines: int = 0
    after_blank: bool = False
    parted: bool = False
    """A blank line stands before the aside."""

    def close(self) -> None:
        if self.block is not None:
            self.blocks.append(self.block)
            self.block = None


def blocks(view: View) -> list[Block]:
    """All runs of lines that read like ingredients, whether or not a formula comes of them."""
    gathered = _Gathered()
    for i, weighed in enumerate(view.weighed):
        if view.blank[i]:
            gathered.after_blank = gathered.after_blank or not view.furniture[i]
            continue
        bare = bool(weighed.bare) and not weighed.price and not weighed.against and weighed.foreign <= 2
        if bare or weighed.item or _completes(view, i, gathered.pending, gathered.after_blank):
            _take(view, gathered, i, bare)
        else:
            _pass_by(view, gathered, i)
    gathered.close()
    return gathered.blocks


def in_grammes(figures: tuple[str, ...]) -> bool:
    """'100,0', '0,25' and nothing else: grammes as German pharmacists print them, and no years, pages or prices."""
    return bool(figures) and all(re.fullmatch(r"\d+,\d{1,2}", figure) for figure in figures)


def _take(view: View, gathered: _Gathered, i: int, bare: bool) -> None:
    """Line i is an ingredient: of the block under way with what was passed by since, or of a new one."""
    block = gathered.block
    another = block is not None and _begins_another(view, block, gathered, i, bare)
    figures = (*block.bare, view.weighed[i].bare) if block is not None else ()
    alike = block is not None and (bool(block.bare) == bare or in_grammes(tuple(filter(None, figures))))
    if block is not None and not another and alike:
        for k in (*gathered.pending, i):
            _count(view, block, k, bare)
    else:
        gathered.close()
        above = gathered.blocks[-1].last if gathered.blocks else -1
        first = _soft_above(view, i, gathered.pending, above) if block is None or another else i
        gathered.block = fresh = Block(first, first)
        if bare and gathered.pending and i - gathered.pending[-1] <= 2 and view.column_head(gathered.pending[-1]):
            fresh.first, fresh.headed = gathered.pending[-1], True
        for k in range(first, i + 1):
            _count(view, fresh, k, bare)
    gathered.pending = []
    gathered.aside_words = gathered.aside_lines = 0
    gathered.after_blank = gathered.parted = False


def _begins_another(view: View, block: Block, gathered: _Gathered, i: int, bare: bool) -> bool:
    """Whether the ingredient on line i is the first of another formula: after a title, a numeral, ℞, or a full stop."""
    weighed, line, pending = view.weighed[i], view.lines[i], gathered.pending
    if block.hits >= 2 and (weighed.take or (weighed.hits > 0 and NUMERAL_HEAD.match(line) is not None)):
        return True
    if bare:
        return len(block.bare) >= 2 and NUMBERED.match(line) is not None
    if any(view.is_title(k) for k in pending) or (gathered.after_blank and _finished(view, block, pending)):
        return True
    if block.hits >= 2 and run_in_title(line) is not None:
        return True
    return bool(pending) and not gathered.after_blank and view.titled_without_gap(pending[-1])


def _pass_by(view: View, gathered: _Gathered, i: int) -> None:
    """Line i is no ingredient by itself: a name that waits for its amount, an aside, or the prose after the formula."""
    weighed, block = view.weighed[i], gathered.block
    gathered.pending.append(i)
    if block is None:
        del gathered.pending[:-_LINES_BEFORE]
    elif weighed.soft and not view.is_title(i) and not (gathered.after_blank and weighed.foreign) and not gathered.aside_lines:
        _count(view, block, i, False)
        gathered.pending.clear()
    else:
        # prose of a new paragraph weighs double: a formula seldom goes on after it
        gathered.parted = gathered.parted or gathered.after_blank
        gathered.aside_words += (weighed.foreign + weighed.verbs + weighed.fills) * (2 if gathered.parted else 1)
        gathered.aside_lines += 1
        if gathered.aside_words > _ASIDE or gathered.aside_lines > _ASIDE_LINES:
            gathered.close()
    gathered.after_blank = False


def _completes(view: View, i: int, pending: list[int], after_blank: bool) -> bool:
    """The second line of an ingredient that begins on the line above and has its amount here."""
    weighed = view.weighed[i]
    if after_blank or not pending or pending[-1] != i - 1 or not weighed.hits or weighed.price or weighed.against:
        return False
    above = view.weighed[i - 1]
    unfinished = not view.lines[i - 1].rstrip().endswith((".", ";", ":"))
    return unfinished and above.names > 0 and not above.price and weighed.ends and weighed.gap and weighed.foreign <= 3


def _finished(view: View, block: Block, pending: list[int]) -> bool:
    """Whether a sentence has ended before the blank line: the formula is complete, and what follows is another."""
    if pending:
        return view.lines[pending[-1]].rstrip().endswith((".", "!", "?"))
    return block.hits > 1.5 * block.items and view.lines[block.last].rstrip().endswith(".")


def _soft_above(view: View, i: int, pending: list[int], floor: int) -> int:
    """Where the block begins that has its first amount on line i: names with a brace or a comma may stand above it."""
    first = i
    for k in reversed(pending):
        weighed = view.weighed[k]
        wraps = _wraps(view, k, i)
        joined = all(view.furniture[j] for j in range(k + 1, first))
        nameless = first == i and not view.weighed[i].names and weighed.names > 0 and weighed.fills == 0
        if not joined or k <= floor or not (weighed.soft or nameless or wraps) or view.is_title(k):
            break
        if not (weighed.shared or weighed.take or view.lines[k].rstrip().endswith(_UNFINISHED) or wraps):
            break
        first = k
    return first


def _wraps(view: View, k: int, i: int) -> bool:
    """Line k begins an ingredient that line i, set further in, finishes."""
    above, below = view.lines[k], view.lines[i]
    inset = len(below) - len(below.lstrip()) > len(above) - len(above.lstrip())
    return k == i - 1 and inset and view.weighed[k].names > 0 and _completes(view, i, [k], False)


def _count(view: View, block: Block, k: int, bare: bool) -> None:
    """Add the evidence of line k to the block, which then ends there."""
    weighed = view.weighed[k]
    block.last = k
    block.foreign += weighed.foreign
    block.told += weighed.told
    block.hits += weighed.hits + weighed.elided
    block.taken = block.taken or weighed.take
    block.signed = block.signed or any(sign in view.lines[k] for sign in _SIGNS)
    block.soft += not weighed.hits and weighed.names > 0
    if weighed.hits or (bare and weighed.bare):
        block.items += 1
        block.named += bool(weighed.names or weighed.ditto)
        block.shaped += weighed.starts or weighed.ends
        if not weighed.names and k and view.weighed[k - 1].names and not view.weighed[k - 1].hits:
            block.named += 1
    if bare and weighed.bare and len(block.bare) < _MOST_FIGURES:
        block.bare = (*block.bare, weighed.bare)
