"""Whether a figure without a unit counts the thing that stands before it."""

from __future__ import annotations

from collections.abc import Sequence

from histkit.glossary import ingredients
from histkit.reading.known import Known
from histkit.reading.measure import Measure
from histkit.reading.vocabulary import modifiers, stems, word_list
from histkit.reading.wording import Wording

_PLURAL, _COUNTED_PARTS = stems("plural-ending"), word_list("counted-part")
_FEWEST_COUNTED, _NEAR_WORDS = 2, 5
"""The least number that counts in words, and tokens at most of the name before it that are looked at."""


def is_of_a_counted_thing(wording: Wording, m: Measure) -> bool:
    """Whether a whole figure stands right behind the name of an egg, a fruit or another thing whose pieces are known."""
    return _is_whole(m) and are_counted(wording.known_before(m.first))


def is_never_poured(wording: Wording, m: Measure) -> bool:
    """'damsons thirty' below a pint of wine: a whole number behind a thing in the plural that is no liquid and no powder."""
    names = wording.known_before(m.first - (wording.tokens[m.first - 1].text == ","))
    solid = bool(names) and not may_be_weighed(names)
    return solid and _is_whole(m, _FEWEST_COUNTED) and wording.view.words[names[-1].last - 1].endswith(_PLURAL)


def _is_whole(m: Measure, fewest: int = 0) -> bool:
    """Whether an amount is a whole number, or two of them, and at least so many."""
    ends = m.amount if isinstance(m.amount, tuple) else (m.amount,)
    return all(end is not None and end == int(end) and end >= fewest for end in ends)


def are_counted(names: Sequence[Known]) -> bool:
    """Whether there are such names, and each means only what comes in pieces of a known mass."""
    return bool(names) and all(ingredients[key].counted for name in names for key in name.ingredients)


def may_be_weighed(names: Sequence[Known]) -> bool:
    """Whether any of these names may mean a liquid or a powder, which comes in no pieces."""
    return any(ingredients[key].uncountable for name in names for key in name.ingredients)


def counts_in_words(wording: Wording, m: Measure) -> bool:
    """'figs twenty', 'jujubes, dates, of each fifteen', 'egg, one': a whole number in words."""
    fewest = 1 if wording.tokens[m.first - 1].kind in ("gap", "sep") else _FEWEST_COUNTED
    return _is_whole(m, fewest) and all(token.kind == "word" for token in wording.tokens[m.first : m.last])


def is_counted(wording: Wording, m: Measure) -> bool:
    """'Raisins an ounce, figs twenty', 'lemons sliced two', 'yolks of hard eggs, twelve': whether what stands before a number is
    counted, or is in the plural and unknown."""
    ends = m.first
    while ends > 1 and (wording.tokens[ends - 1].kind in ("gap", "sep") or wording.view.depth[ends - 1]):
        ends -= 1  # 'lemon (juice), one'
    begins = ends
    while begins > max(0, ends - _NEAR_WORDS) and wording.tokens[begins - 1].kind in ("word", "line", "gap"):
        begins -= 1
    if not _COUNTED_PARTS.isdisjoint(wording.view.words[begins:ends]):
        return True
    while ends > begins and wording.view.words[ends - 1] in modifiers():
        ends -= 1
    behind = wording.known_before(ends)
    counted = any(ingredients[key].counted for name in behind for key in name.ingredients)
    return counted or (not behind and wording.view.words[ends - 1].endswith(_PLURAL))  # 'whole swallows sixteen'
