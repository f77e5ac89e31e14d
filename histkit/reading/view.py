"""The tokens of a text with quick looks ahead: the next word, the next token that counts, a phrase of the tables."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from itertools import pairwise

from histkit.reading.measure import Measure
from histkit.reading.numerals import roman
from histkit.reading.tokens import Token
from histkit.reading.vocabulary import AND, OF, Phrase, numbers, phrases, units, units_before_numerals, word_list

LOOK_AHEAD = 64
"""How far beyond the last token a look ahead may reach: more than the words of the longest amount."""


@cache
def phrases_by_first_word() -> dict[str, dict[str | None, list[Phrase]]]:
    """The phrases by their first and their second word, None where they have one: of many that begin alike few are looked at."""
    by_words: dict[str, dict[str | None, list[Phrase]]] = {first: {} for first in phrases()}
    for first, group in phrases().items():
        for phrase in group:
            by_words[first].setdefault(phrase.words[1] if len(phrase.words) > 1 else None, []).append(phrase)
    return by_words


@dataclass(frozen=True, slots=True)
class Remembered:
    """What was read at each token, so that no place is read twice: a long row of amounts is then read in one pass."""

    phrases: dict[int, list[tuple[Phrase, int]]] = field(default_factory=dict)
    signed: dict[int, Measure | None] = field(default_factory=dict)
    counted: dict[int, Measure | None] = field(default_factory=dict)
    any_notation: dict[int, Measure | None] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class View:
    """The tokens, and for each of them what is plain from its neighbours. The lists reach `LOOK_AHEAD` places further."""

    tokens: list[Token]
    words: list[str]
    """The word of each token, "" where it is none."""
    solid: list[int]
    """For each token, the first at or after it that is neither gap nor line end."""
    ungapped: list[int]
    """For each token, the first at or after it that is no gap."""
    depth: list[int]
    """In how many brackets each token stands; a bracket that is never closed counts for nothing."""
    mixes_hyphens: bool = False
    """Whether the text prints '2 1-2 oz.' or '3-4 oz.': then its other '1-2' are halves too and no ranges."""
    remembered: Remembered = field(default_factory=Remembered)

    def token(self, i: int) -> Token | None:
        """Token i, None beyond the end."""
        return self.tokens[i] if i < len(self.tokens) else None

    def next_word(self, i: int) -> str:
        """The word at the first token from i on that is neither gap nor line end; "" where that is no word."""
        return self.words[self.solid[i]]

    def past_line(self, i: int) -> int:
        """Token i, or the one after it where i is a line end."""
        return i + 1 if i < len(self.tokens) and self.tokens[i].kind == "line" else i

    def ends_clause(self, i: int) -> bool:
        """Whether a clause ends at token i: with the text, its line, or a stop."""
        return i >= len(self.tokens) or self.tokens[i].kind in ("line", "para") or self.tokens[i].text in (";", ".", ",")

    def phrase(self, i: int, *kinds: str) -> tuple[Phrase, int] | None:
        """The longest phrase of one of `kinds` that begins at token i, and the token after it."""
        for phrase, after in self._phrases_at(i) if self.words[i] in phrases_by_first_word() else ():
            if phrase.kind in kinds:
                return phrase, after
        return None

    def begins_phrase(self, i: int) -> bool:
        """Whether a phrase of any kind begins at token i."""
        return self.words[i] in phrases_by_first_word() and bool(self._phrases_at(i))

    def _phrases_at(self, i: int) -> list[tuple[Phrase, int]]:
        """All phrases that begin at token i, which is the first word of some, each with the token after it; looked for once."""
        here = self.remembered.phrases.get(i)
        if here is None:
            here = self.remembered.phrases[i] = []
            beginning = phrases_by_first_word()[self.words[i]]
            possible = (*beginning.get(self.next_word(i + 1), ()), *beginning.get(None, ()))
            here += [(phrase, after) for phrase in possible if (after := self._after(phrase, i))]
        return here

    def _after(self, phrase: Phrase, i: int) -> int:
        """The token after a phrase that stands at token i; 0 where it does not."""
        if phrase.when == "dotted" and not (self.tokens[i].dot or self._numeral_behind_sign(self.solid[i + 1])):
            return 0  # 'an ounce', but 'an. an ounce', 'an ʒ vj.'
        if phrase.when == "dotted-before-sign" and not (self.tokens[i].dot and self.signed_at(self.solid[i + 1])):
            return 0  # 'wax, oil, A. ℥ij'
        j = i + 1
        for wanted in phrase.words[1:]:
            j = self.solid[j]
            if self.words[j] != wanted:
                return 0
            j += 1
        return j

    def _numeral_behind_sign(self, i: int) -> bool:
        """Whether a sign stands at token i and its numeral behind it."""
        token = self.token(i)
        return token is not None and token.kind == "sign" and roman(self.words[self.solid[i + 1]]) is not None

    def signed_at(self, i: int) -> bool:
        """Whether a sign or an abbreviation that stands before its numeral begins at token i."""
        return (token := self.token(i)) is not None and (token.kind == "sign" or token.word in units_before_numerals())


def view_of(tokens: list[Token]) -> View:
    """The view of a list of tokens, without what the figures of the whole text tell (`figures.scanned` adds that)."""
    count = len(tokens)
    beyond = range(count, count + LOOK_AHEAD)
    words = [token.word if token.kind == "word" else "" for token in tokens]
    words.extend("" for _ in beyond)
    solid, ungapped = [*range(count), *beyond], [*range(count), *beyond]
    for i in reversed([i for i, token in enumerate(tokens) if token.kind in ("gap", "line")]):
        solid[i] = solid[i + 1]
        if tokens[i].kind == "gap":
            ungapped[i] = ungapped[i + 1]
    view = View(tokens, words, solid, ungapped, _depths(tokens))
    opening = _opens_an_aside()
    for i in [i for i, word in enumerate(words) if word in opening]:
        if (aside := view.phrase(i, "aside")) and i and tokens[i - 1].text == "," and view.ends_clause(aside[1]):
            view.depth[i : aside[1]] = [view.depth[i] + 1] * (aside[1] - i)  # as if it stood in brackets
        elif ends := _told_of_what(view, i):
            view.depth[i:ends] = [view.depth[i] + 1] * (ends - i)
    return view


def _told_of_what(view: View, i: int) -> int:
    """'syrup, made of rock candy, one gallon', 'orris, that is the root of the iris, of each': the comma that closes a clause at
    token i which only tells of the name before it, where an amount follows; 0 where there is none."""
    begins = _begins_to_tell_of().get(view.words[i])
    if not i or begins is None or view.tokens[i - 1].text != "," or view.next_word(i + 1) not in begins:
        return 0
    ends = next((k for k in range(i + 1, min(i + _LONGEST_CLAUSE, len(view.tokens))) if _breaks_off(view.tokens[k])), 0)
    if not ends or view.tokens[ends].text != ",":
        return 0
    behind = view.solid[ends + 1]
    amount = view.token(behind)
    listed = view.words[i] in _RELATIVE and amount is not None and amount.word in AND  # 'alum, which has been burnt, and lard'
    follows = amount is not None and (amount.kind == "num" or amount.word in numbers() or view.phrase(behind, "each") is not None)
    return ends if listed or follows else 0


_LONGEST_CLAUSE = 12
_RELATIVE = word_list("relative")


def _breaks_off(token: Token) -> bool:
    return token.dot or token.kind not in ("word", "line", "gap") or token.word in units()


@cache
def _begins_to_tell_of() -> Mapping[str, frozenset[str]]:
    """The words with which a clause may begin that tells of a name, each with those that may follow."""
    relative = dict.fromkeys(_RELATIVE, word_list("behind-a-relative"))
    return relative | dict.fromkeys(word_list("made-from"), word_list("what-it-is-made-of"))


@cache
def _opens_an_aside() -> frozenset[str]:
    first_words = (first for first, group in phrases().items() if any(phrase.kind == "aside" for phrase in group))
    return frozenset(first_words).union(_begins_to_tell_of())


def _lists(tokens: list[Token]) -> set[int]:
    """The brackets that hold a list of things with their amounts, and no remark, by the tokens that open and close them: 'a salt
    solution (half a teaspoonful of salt to a cup of water)'."""
    places: set[int] = set()
    for i, token in enumerate(tokens):
        if token.kind != "open":
            continue
        ends = next((k for k in range(i + 1, len(tokens)) if tokens[k].kind in ("open", "close", "para")), len(tokens) - 1)
        inside = [t for t in tokens[i + 1 : ends] if t.kind not in ("gap", "line")]
        counted = sum(of.word in OF and (t.kind == "num" or t.word in units()) for t, of in pairwise(inside))
        begins = bool(inside) and (inside[0].kind == "num" or inside[0].word in numbers())  # not '(containing 2 grains of …'
        if begins and tokens[ends].kind == "close" and counted >= _FEWEST_OF_A_LIST:
            places |= {i, ends}
    return places


_FEWEST_OF_A_LIST = 2


def _depths(tokens: list[Token]) -> list[int]:
    if not any(token.kind in ("open", "close") for token in tokens):
        return [0] * len(tokens)
    lists = _lists(tokens)
    if lists:
        tokens = [token._replace(kind="sep") if i in lists else token for i, token in enumerate(tokens)]
    level = 0
    depths: list[int] = []
    for token in tokens:
        if token.kind == "close":
            level = max(0, level - 1)
        depths.append(level + (token.kind == "close"))
        if token.kind == "open":
            level += 1
            depths[-1] = level
        if token.kind == "para":
            level = 0
    return [0] * len(tokens) if level else depths  # an unclosed bracket must not swallow the rest of the text
