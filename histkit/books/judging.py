"""Whether a block of ingredients is a formula: enough amounts and known names for its prose, and no price list or analysis."""

from __future__ import annotations

import re
from itertools import pairwise

from histkit.books.blocks import Block, in_grammes
from histkit.books.view import View

_WHOLES = (10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0)
"""Sums that a column of figures without a unit has where it is a formula in parts."""
_LINES_ABOVE = 12
"""Lines of the paragraph above a block in which prose is counted."""


def accepted(view: View, block: Block) -> bool:
    """Whether so many amounts and known names in so few words of prose make a formula."""
    if _against_above(view, block) or _told_first(view, block):
        return False
    if block.bare:
        return _column_of_figures(view, block)
    if 2 * block.told > block.items:  # doses of a handbook, solubilities, a list of changes
        return False
    if block.items == 0 or block.hits + (block.soft if block.taken and block.signed else 0) < 2:
        return False
    if block.named < max(1, 0.45 * block.items):
        return False
    prose = _prose_around(view, block)
    if block.foreign > 2.5 * block.hits or prose > 7 * block.hits + 6 * block.taken:
        return False
    if block.hits >= 3 or block.taken or block.signed:
        return True
    return block.shaped == block.items or _directed(view, block) or block.foreign <= 1


def _against_above(view: View, block: Block) -> bool:
    """An analysis, a table of prices or of contents announces itself in the two lines before it."""
    printed = (k for k in range(block.first - 1, -1, -1) if not view.blank[k])
    for k, _ in zip(printed, range(2), strict=False):
        weighed = view.weighed[k]
        if (weighed.against or weighed.price) and weighed.words <= 12 and view.is_title(k):
            return True
    return False


def _told_first(view: View, block: Block) -> bool:
    """'DOSE.—Horses, 2 oz.', 'soluble in 2 parts of water': what its first amounts are is said before them."""
    first = view.weighed[block.first]
    return first.told_first and not first.take


def _column_of_figures(view: View, block: Block) -> bool:
    figures = [float(re.sub(r"[^\d.]", "", f.replace(",", ".")) or 0.5) for f in block.bare if f.count(".") <= 1]
    if len(figures) < 2 or block.named < 0.7 * block.items or block.foreign > len(figures):
        return False
    if block.headed or in_grammes(block.bare):
        return True
    rising = all(a <= b for a, b in pairwise(figures))
    return len(figures) >= 3 and (sum(figures) in _WHOLES or _directed(view, block)) and not rising


def _prose_around(view: View, block: Block) -> int:
    """Words of prose in the paragraph that the block stands in, as far as the lines before it on which no amount stands."""
    count = 0
    for k in range(block.first - 1, max(-1, block.first - 1 - _LINES_ABOVE), -1):
        if view.blank[k] or view.is_title(k) or view.weighed[k].hits:
            break
        count += view.weighed[k].foreign
    return count


def _directed(view: View, block: Block) -> bool:
    return any(view.weighed[k].verbs for k in range(block.last, min(block.last + 3, len(view.lines))))
