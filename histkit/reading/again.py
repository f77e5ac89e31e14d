"""Which amounts only speak of others again: the same with its article, a part whose rest is named behind, an example."""

from __future__ import annotations

from collections.abc import Sequence

from histkit.reading.known import Known
from histkit.reading.measure import Measure, exceeds, same_amount
from histkit.reading.vocabulary import THE, TO, word_list
from histkit.reading.wording import Wording

_WITH, _USED, _REST = map(word_list, ("with", "used-up", "rest-of-it"))
_REST_WORDS = 5
"""Tokens at most of 'of the' and what else stands between 'remainder' and the name."""


def is_some_of(wording: Wording, m: Measure, name: Known, above: Sequence[Measure]) -> bool:
    """Whether an amount is that of a measure `above` over again, with its article, or a part of it whose rest is named behind."""
    if any(same_amount(m, other) for other in above) and _is_known_by_its_amount(wording, m):
        return True
    return exceeds(above[0], m) and rest_is_named(wording, m, name)


def _is_known_by_its_amount(wording: Wording, m: Measure) -> bool:
    """'the three pints of water', 'to the six quarts of', 'should be used with two pounds of'."""
    words = wording.view.words
    begins = next((k for k in range(m.first, m.last) if words[k] not in THE and words[k] not in TO), m.first)
    used_with = m.first > 1 and words[m.first - 1] in _WITH and words[m.first - 2] in _USED
    return used_with or (begins > 0 and words[begins - 1] in THE)


def tells_of_a_rest(wording: Wording) -> bool:
    """Whether 'remainder' or a word like it stands in the text: most texts need no closer look."""
    return not _REST.isdisjoint(wording.view.words)


def rest_is_named(wording: Wording, m: Measure, name: Known) -> bool:
    """Whether 'the remainder of the water' or 'the remaining water' stands somewhere behind 'three gallons of water'."""
    words = wording.view.words
    rests = (k for k in range(m.last, len(wording.tokens)) if words[k] in _REST)
    behind = (wording.known_in(k + 1, min(k + 1 + _REST_WORDS, len(wording.tokens)))[:1] for k in rests)
    return any(other.ingredients[0] == name.ingredients[0] for others in behind for other in others)


def says_for_example(wording: Wording, at: int) -> bool:
    """Whether 'for example' stands at token `at`, or 'thus' between two stops."""
    said = wording.view.phrase(at, "example")
    if said is None:
        return False
    closed = wording.tokens[at - 1].kind == "sep" and said[1] < len(wording.tokens) and wording.tokens[said[1]].text == ","
    return closed or not said[0].when
