"""What kind of word each token of a text is: one that names, one that tells what to do, one that only joins."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass, field
from functools import cache
from itertools import accumulate
from typing import NamedTuple

from histkit.reading.known import Known, known_names
from histkit.reading.tokens import Token
from histkit.reading.view import LOOK_AHEAD, View
from histkit.reading.vocabulary import AND, connectives, direction_words, modifiers, other_units, word_list

_OBJECTS, _JOINING = word_list("after-verb"), word_list("only-joins")
_ALL_OF_IT = word_list("all-of-it") | word_list("it-or-them")
_GERMAN, _GERMAN_ENOUGH = word_list("german-small-word"), 2
_SHORTEST_VERB = 3
"""Letters of a word that tells what to do."""
_WHOLE, _POINTS_AT_WHOLE = word_list("verb-if-pointed-at"), word_list("points-at-the-whole")
_NOUN_OR_VERB, _VERB_WITH_OBJECT = word_list("noun-or-verb"), word_list("verb-before-object")
_OF_A_THING = word_list("of-a-thing")


class Cut(NamedTuple):
    """A place where words between two measures may be divided: `left` tokens end before it, `right` ones begin after it."""

    left: int
    right: int
    strength: int
    """3 sentence or semicolon, 2 the start of a direction, 1 comma, 0 'and'."""
    tail: bool = False
    """Whether what follows only says where, how long or whereby: 'through leather', 'for two hours'. It begins no name."""


@dataclass(frozen=True, slots=True)
class Wording:
    """The view of a text with the kind of each of its words."""

    view: View
    latin: bool
    """In prescriptions a colon ends an abbreviation and separates nothing."""
    german: bool
    """In German a noun has a capital, so that a name ends before the next small word."""
    tokens: list[Token]
    directions: list[bool]
    """For each token, whether it tells what to do."""
    names: list[bool]
    """For each token, whether it is a word that could name something."""
    joined: list[int]
    """For each token, the first at or after it that counts and does more than join: past 'and then'."""
    nominal_before: list[int]
    """How many tokens before each place could name something: whether a stretch names anything is one subtraction."""
    named_before: list[int]
    words_before: list[int]
    stops_before: list[int]
    breaks_before: list[int]
    """The same for words that could name something, words of any kind, stops, and line ends."""
    speaks_of_time: bool
    """Whether a word such as 'hours' or 'minutes' stands anywhere in the text."""
    cuts: dict[tuple[int, int], list[Cut]] = field(default_factory=dict)
    pieces: dict[tuple[int, int], list[tuple[int, int]]] = field(default_factory=dict)
    """The places where a stretch can be divided and its pieces, once they have been looked for."""
    parting: list[int] = field(default_factory=list)
    """The only tokens at which any stretch may be divided, once they have been looked for."""
    ending: list[int] = field(default_factory=list)
    """The tokens that end a sentence, once they have been looked for."""
    spotted: list[tuple[tuple[Known, ...], list[int], list[int]]] = field(default_factory=list)
    """The known names of the text, once they have been asked for, and where each begins and ends: a plain list never asks."""

    def is_name(self, i: int) -> bool:
        return i < len(self.names) and self.names[i]

    def is_direction(self, i: int) -> bool:
        return i < len(self.directions) and self.directions[i]

    def is_nominal(self, a: int, b: int) -> bool:
        """Whether tokens a…b, outside of brackets, name something or repeat a name by a ditto mark."""
        return a < b and self.nominal_before[b] > self.nominal_before[a]

    def has_name(self, a: int, b: int) -> bool:
        """Whether tokens a…b, outside of brackets, hold a word that could name something."""
        return a < b and self.named_before[b] > self.named_before[a]

    def has_stop(self, a: int, b: int) -> bool:
        """Whether a comma, a full stop or their like stands in tokens a…b."""
        return self.stops_before[b] > self.stops_before[a]

    def has_break(self, a: int, b: int) -> bool:
        """Whether a line ends in tokens a…b."""
        return self.breaks_before[b] > self.breaks_before[a]

    def known(self) -> tuple[Known, ...]:
        """All names of the glossary that stand in the text, in order."""
        if not self.spotted:
            names = known_names(self.tokens)
            self.spotted.append((names, [name.first for name in names], [name.last for name in names]))
        return self.spotted[0][0]

    def known_in(self, a: int, b: int) -> tuple[Known, ...]:
        """The known names of which a word stands in tokens a…b."""
        if not self.spotted:
            self.known()
        names, firsts, lasts = self.spotted[0]
        return names[bisect_right(lasts, a) : bisect_left(firsts, b)]

    def known_beginning(self, i: int) -> list[Known]:
        """The known names that begin with token i."""
        return [name for name in self.known_in(i, i + 1) if name.first == i]

    def known_before(self, i: int) -> list[Known]:
        """The known names that end right before token i."""
        return [name for name in self.known_in(i - 1, i) if name.last == i]

    def first_word(self) -> int:
        """The first token that is a word; the end of the text where none is."""
        return next((i for i, token in enumerate(self.tokens) if token.kind == "word"), len(self.tokens))

    def printed(self, a: int, b: int) -> str:
        """What tokens a…b print, on one line."""
        return " ".join(token.text for token in self.tokens[a:b] if token.kind not in ("gap", "line"))

    def words_of(self, a: int, b: int) -> str:
        """The words among tokens a…b, without figures and stops."""
        return " ".join(token.text for token in self.tokens[a:b] if token.kind == "word")

    def words_between(self, a: int, b: int) -> int:
        """How many of the tokens a…b are words."""
        return self.words_before[b] - self.words_before[a]


def wording_of(view: View, latin: bool = False) -> Wording:
    """The wording of a text."""
    tokens = view.tokens
    directing = direction_words()
    directions = [False] * len(tokens)
    for i in view.by_kind["word"]:
        token = tokens[i]
        if token.word in directing or len(token.text) == 1 or view.words[view.solid[i + 1]] in _ALL_OF_IT:  # as few are
            directions[i] = _directs(view, i, token)
    nameless = connectives() | _lengths_of_time()
    names = [
        len(word) > 1 and not directs and word not in nameless
        for word, directs in zip(view.words, directions, strict=False)  # the words reach further
    ]
    outside = [name and not depth for name, depth in zip(names, view.depth, strict=True)]
    nominal = outside.copy()
    for i in view.by_kind["ditto"]:
        nominal[i] = not view.depth[i]
    return Wording(
        view,
        latin,
        len(_GERMAN.intersection(view.words)) >= _GERMAN_ENOUGH,
        tokens,
        directions,
        names,
        _joined(view),
        nominal_before=[0, *accumulate(nominal)],
        named_before=[0, *accumulate(outside)],
        words_before=_counted_before(view, view.by_kind["word"]),
        stops_before=_counted_before(view, view.by_kind["sep"]),
        breaks_before=_counted_before(view, view.breaks),
        speaks_of_time=not _times().isdisjoint(view.words),
    )


def _counted_before(view: View, places: list[int]) -> list[int]:
    """How many of some places stand before each."""
    here = [0] * (len(view.tokens) + 1)
    for i in places:
        here[i + 1] = 1
    return list(accumulate(here))


@cache
def _times() -> frozenset[str]:
    return frozenset(word for word, kind in other_units().items() if kind == "time")


@cache
def _lengths_of_time() -> frozenset[str]:
    """'days', 'hours', 'fortnight': 'minute' and 'second' may speak of other things."""
    return _times() - word_list("not-only-a-time")


def _joined(view: View) -> list[int]:
    joined = list(range(len(view.tokens) + LOOK_AHEAD))
    for k in reversed(view.saying(_JOINING)):  # from the end, so that a long row of them is passed over once
        joined[k] = joined[view.solid[k + 1]]
    return joined


def _points_at_what_to_do(view: View, i: int, token: Token) -> bool:
    """'stamp all', 'seeth them', 'temper these': whatever stands at the head of a clause before such a word is a verb."""
    if view.words[view.solid[i + 1]] not in _ALL_OF_IT:
        return False
    if len(token.word) < _SHORTEST_VERB or token.dot or token.word in connectives():
        return False
    before = i - 1
    while before >= 0 and view.tokens[before].kind in ("gap", "line"):
        before -= 1
    return before < 0 or view.tokens[before].kind in ("sep", "para") or view.words[before] in _JOINING


def _directs(view: View, i: int, token: Token) -> bool:
    directing = direction_words()
    kind = directing.get(token.word) or (directing.get(token.text) if len(token.text) == 1 else None)
    if kind is None:
        return _points_at_what_to_do(view, i, token)
    if kind == "verb" and i and view.words[i - 1] in _OF_A_THING:
        return False  # 'two quarts of skim milk'
    if token.word in _WHOLE:  # 'the whole is sifted', but 'a whole lemon'
        return view.words[i - 1] in _POINTS_AT_WHOLE if i else False
    following = view.next_word(i + 1)
    if token.word in _NOUN_OR_VERB and following in AND:
        return False  # 'colour and perfume, q.s.'
    if view.phrase(view.solid[i + 1], "qs"):
        return False  # 'perfume to suit'
    if token.word in modifiers() or kind == "participle" or token.word in _VERB_WITH_OBJECT:
        return following in _OBJECTS and not (token.word in modifiers() and following in AND)
    return True
