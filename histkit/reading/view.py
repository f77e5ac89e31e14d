"""The tokens of a text with quick looks ahead: the next word, the next token that counts, a phrase of the tables."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from itertools import pairwise

from histkit.reading.measure import Measure
from histkit.reading.numerals import roman
from histkit.reading.tokens import KINDS, Token
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
    by_kind: Mapping[str, list[int]]
    """The places of the tokens of each kind, in order."""
    breaks: list[int]
    """The places where a printed line ends."""
    depth: list[int]
    """In how many brackets each token stands; a bracket that is never closed counts for nothing."""
    mixes_hyphens: bool = False
    """Whether the text prints '2 1-2 oz.' or '3-4 oz.': then its other '1-2' are halves too and no ranges."""
    listing: frozenset[int] = frozenset()
    """The tokens that open and close brackets in which things are listed: these count for no brackets."""
    remembered: Remembered = field(default_factory=Remembered)

    def token(self, i: int) -> Token | None:
        """Token i, None beyond the end."""
        return self.tokens[i] if i < len(self.tokens) else None

    def saying(self, words: frozenset[str]) -> list[int]:
        """The places of some words, in order; most texts have none of those that are asked for."""
        return [] if words.isdisjoint(self.words) else [i for i, word in enumerate(self.words) if word in words]

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
        if self.words[i] in phrases_by_first_word():
            for phrase, after in self._phrases_at(i):
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
    words += [""] * LOOK_AHEAD
    by_kind: dict[str, list[int]] = {kind: [] for kind in KINDS}
    for i, token in enumerate(tokens):
        by_kind[token.kind].append(i)
    solid, ungapped = [*range(count), *beyond], [*range(count), *beyond]
    for i in reversed(by_kind["gap"]):
        ungapped[i] = ungapped[i + 1]
    for i in sorted([*by_kind["gap"], *by_kind["line"]], reverse=True):
        solid[i] = solid[i + 1]
    listing = _lists(tokens, by_kind["open"])
    breaks = sorted([*by_kind["line"], *by_kind["para"]])
    view = View(tokens, words, solid, ungapped, by_kind, breaks, _depths(tokens, listing, by_kind), listing=listing)
    for i in view.saying(_opens_an_aside()):
        if (aside := view.phrase(i, "aside")) and i and tokens[i - 1].text == "," and view.ends_clause(aside[1]):
            view.depth[i : aside[1]] = [view.depth[i] + 1] * (aside[1] - i)  # as if it stood in brackets
        elif (end := _past_replaced(view, i)) > i:
            view.depth[i:end] = [view.depth[i] + 1] * (end - i)
        elif ends := _past_gravity(view, i):
            begins = i - 1 if i and words[i - 1] in OF else i  # 'acid of sp. gr. 1.84'
            view.depth[begins:ends] = [view.depth[i] + 1] * (ends - begins)
        elif ends := _told_of_what(view, i):
            view.depth[i:ends] = [view.depth[i] + 1] * (ends - i)
    return view


def _past_gravity(view: View, i: int) -> int:
    """Past 'sp. gr. 1.42', 'specific gravity of 0.880' at token i: how heavy a thing is, and no amount of it; 0 where none stands
    there. A small whole figure ('sp. gr. 5') is none."""
    said = view.phrase(i, "gravity")
    if said is None:
        return 0
    k = view.solid[said[1]]
    k = view.solid[k + 1] if view.words[k] in _BEFORE_GRAVITY else k
    figure = view.token(k)
    weighs = figure is not None and figure.kind == "num" and (figure.value % 1 > 0 or figure.value >= _LEAST_TO_A_THOUSAND)
    return k + 1 if weighs else 0


_BEFORE_GRAVITY = word_list("before-a-gravity")
_LEAST_TO_A_THOUSAND = 600
"""The least gravity that is printed with water as a thousand: that of ether is 720."""


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


def _past_replaced(view: View, i: int) -> int:
    """Past 'in place of spermaceti' at the head of a clause, up to its comma; i where that does not stand at token i."""
    said = view.phrase(i, "instead")
    if said is None or said[0].when or (i and view.tokens[i - 1].kind not in ("sep", "para")):
        return i
    end = next((k for k in range(said[1], min(said[1] + _REPLACED_WORDS, len(view.tokens))) if view.tokens[k].text == ","), i)
    figured = any(token.kind == "num" or token.word in numbers() for token in view.tokens[i:end])
    return i if figured else end


_REPLACED_WORDS = 7
"""Tokens at most of a thing that another takes the place of, and of its comma."""


@cache
def _opens_an_aside() -> frozenset[str]:
    """The words with which what is set aside may begin."""
    return phrases_that_begin("aside", "instead", "gravity").union(_begins_to_tell_of())


@cache
def phrases_that_begin(*kinds: str) -> frozenset[str]:
    """The words with which the phrases of some kinds begin."""
    return frozenset(first for first, group in phrases().items() if any(phrase.kind in kinds for phrase in group))


def _lists(tokens: list[Token], opening: Sequence[int]) -> frozenset[int]:
    """The brackets that hold a list of things with their amounts, and no remark, by the tokens that open and close them: 'a salt
    solution (half a teaspoonful of salt to a cup of water)'; where no amount stands outside of brackets, one is enough that says
    what the thing is made of: 'black wash (made by dissolving 64 grains of calomel in lime water)'; and those with what is put in
    besides, '(adding the yolks of three eggs,)'. `opening` are all."""
    brackets = list(_brackets(tokens, opening))
    within = {k for i, ends in brackets for k in range(i, ends)}
    alone = bool(brackets) and not any(_is_amount(tokens, k) for k in range(len(tokens)) if k not in within)
    places: set[int] = set()
    for i, ends in brackets:
        inside = [t for t in tokens[i + 1 : ends] if t.kind not in ("gap", "line")]
        counted = sum(of.word in OF and (t.kind == "num" or t.word in units()) for t, of in pairwise(inside))
        begins = bool(inside) and (inside[0].kind == "num" or inside[0].word in numbers())  # not '(containing 2 grains of …'
        adds = bool(inside) and inside[0].word in _PUT_TO and any(t.kind == "num" or t.word in numbers() for t in inside)
        if adds or (begins and counted >= _FEWEST_OF_A_LIST) or (alone and _lists_things(inside)):
            places |= {i, ends}
    return frozenset(places)


def _brackets(tokens: list[Token], opening: Sequence[int]) -> Iterator[tuple[int, int]]:
    """The tokens that open and close the brackets with no other bracket in them."""
    for i in opening:
        ends = next((k for k in range(i + 1, len(tokens)) if tokens[k].kind in ("open", "close", "para")), len(tokens) - 1)
        if tokens[ends].kind == "close":
            yield i, ends


def _is_amount(tokens: Sequence[Token], k: int) -> bool:
    """Whether a figure or a number word stands at token k, and a unit behind it."""
    behind = next((t for t in tokens[k + 1 : k + 3] if t.kind not in ("gap", "line")), None)
    return behind is not None and behind.word in units() and (tokens[k].kind == "num" or tokens[k].word in numbers())


def _lists_things(inside: list[Token]) -> bool:
    """Whether words stand between two amounts or more, or 'made of' and its like before one of something."""
    amounts = [k for k in range(len(inside)) if _is_amount(inside, k)]
    if not amounts:
        return False
    words = [any(t.kind == "word" and t.word not in OF for t in inside[a + 2 : b]) for a, b in pairwise((*amounts, len(inside)))]
    made = inside[0].word in _made_of()
    names_first = amounts[0] > 0 and not words[-1] and len(amounts) > 1  # '(honey 1 ounce, vinegar 2 ounces)'
    return all(words[:-1]) and (words[-1] or names_first) and (made or len(amounts) >= _FEWEST_OF_A_LIST)


@cache
def _made_of() -> frozenset[str]:
    return word_list("made-of") | word_list("made-up")


_FEWEST_OF_A_LIST, _PUT_TO = 2, word_list("adding")


def _depths(tokens: list[Token], listing: frozenset[int], by_kind: Mapping[str, list[int]]) -> list[int]:
    if not (by_kind["open"] or by_kind["close"]):
        return [0] * len(tokens)
    if listing:
        tokens = [token._replace(kind="sep") if i in listing else token for i, token in enumerate(tokens)]
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
