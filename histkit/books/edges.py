"""Where a formula begins and ends: the title above its ingredients and the directions below them."""

from __future__ import annotations

from histkit.books.blocks import Block
from histkit.books.dividing import MOST_DIRECTIONS
from histkit.books.titles import NUMBER_ALONE, looks_like_title, run_in_title, title_words
from histkit.books.view import View

_LONGEST_DIRECTIONS = 20
"""Lines of one paragraph."""


def title_above(view: View, block: Block, floor: int) -> tuple[int, str]:
    """(first line of the formula, its title): the nearest short line above the block, at most two lines away.

    Lines before `floor` belong to the formula before.
    """
    if run_in_title(view.lines[block.first]) is not None:
        return block.first, ""
    k = block.first - 1
    gaps = 0
    while k >= floor and gaps < 4:
        if view.blank[k]:
            gaps += not view.furniture[k]
        elif looks_like_title(view.lines[k], view.weighed[k]):
            return _titled(view, k, floor) if view.stands_alone(k) else (block.first, "")
        elif block.first - k > 2 or not view.column_head(k):
            return block.first, ""
        k -= 1
    return block.first, ""


def _titled(view: View, k: int, floor: int) -> tuple[int, str]:
    """(first line, title) where line k is the title, or the number below or above it."""
    above = k - 1
    while above >= floor and view.blank[above]:
        above -= 1
    if above < max(floor, k - 3):
        return k, title_words(view.lines[k])
    if not NUMBER_ALONE.match(view.lines[k]):  # the number may stand above the title
        return above if NUMBER_ALONE.match(view.lines[above]) else k, title_words(view.lines[k])
    if view.is_title(above) and not view.weighed[above].first_verb:
        return above, title_words(view.lines[above])
    return k, title_words(view.lines[k])


def title_line_before(view: View, first: int, floor: int) -> int:
    """The line at which the next formula begins, title included."""
    k = first - 1
    while k >= floor and view.blank[k]:
        k -= 1
    if k >= floor and looks_like_title(view.lines[k], view.weighed[k]) and view.stands_alone(k):
        return k
    return first


def directions_below(view: View, block: Block, limit: int) -> int:
    """The last line of the formula: the rest of the block's own paragraph, and paragraphs that say what to do."""
    last = block.last
    k = last + 1
    while k < limit and not view.blank[k] and k - last <= _LONGEST_DIRECTIONS and not view.titled_without_gap(k):
        k += 1
    if k < limit and view.furniture[k]:  # the paragraph may go on after the page break
        k = _after_furniture(view, k, limit)
        while k < limit and not view.blank[k] and not view.is_title(k) and k - last <= _LONGEST_DIRECTIONS:
            k += 1
    end = view.last_printed(last, k)
    for _ in range(MOST_DIRECTIONS):
        start = end + 1
        while start < limit and view.blank[start]:
            start += 1
        stop = start
        while stop < limit and not view.blank[stop] and stop - start < _LONGEST_DIRECTIONS:
            stop += 1
        stop = _over_break(view, start, stop, limit)
        if start >= limit or stop == start or not _directs(view, start, stop):
            break
        end = view.last_printed(start, stop)
    return end


def _after_furniture(view: View, k: int, limit: int) -> int:
    """The first printed line after a page break, if the words before it did not end there; else k."""
    before = view.last_printed(0, k)
    j = k
    while j < limit and view.blank[j]:
        j += 1
    ended = view.lines[before].rstrip().endswith((".", "!", "?", ":", '"', "”"))
    return k if ended or j >= limit or not view.lines[j].strip()[:1].islower() else j


def _over_break(view: View, start: int, stop: int, limit: int) -> int:
    """The end of a paragraph that stops at line `stop`, or after the page break over which it goes on."""
    if stop >= limit or stop == start:
        return stop
    k = stop
    while k < limit and view.blank[k] and not view.furniture[k]:
        k += 1
    if k >= limit or not view.furniture[k]:
        return stop
    j = _after_furniture(view, k, limit)
    while j > k and j < limit and not view.blank[j]:
        j += 1
    return j if j > k else stop


def _directs(view: View, start: int, stop: int) -> bool:
    """A paragraph of directions: it begins with a verb of the bench, or is short and has one early, and names no price."""
    first = view.weighed[start]
    if (first.first_verb or (first.take and not first.hits)) and not first.price:
        return True
    paragraph = view.weighed[start:stop]
    verbs, words = sum(weighed.verbs for weighed in paragraph), sum(weighed.words for weighed in paragraph)
    return first.verbs > 0 and words <= 24 and 12 * verbs >= words and not any(weighed.price for weighed in paragraph)
