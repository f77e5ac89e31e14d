"""What of a printed name is looked up: the whole, and then less and less of it, each loss with its cost and its doubt."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cache
from itertools import chain, dropwhile
from typing import NamedTuple

from histkit.base.nouns import Doubt
from histkit.glossary.compounds import halves
from histkit.glossary.index import NameIndex
from histkit.glossary.words import fold, kinds, peeled, restated, set_of_kind, words_of_kind


class Candidate(NamedTuple):
    """Folded words to look up, the modifiers that were peeled from them, what that costs (0–1), and its doubts."""

    words: str
    modifier: str
    cost: float
    doubts: tuple[Doubt, ...] = ()


_Clauses = dict[str, tuple[Doubt, ...]]
_CUT = re.compile(r"[,;(]")
_BRACKETED = re.compile(r"\(([^)]*)\)")


def candidates(name: str, index: NameIndex) -> Iterator[Candidate]:
    """The closest to the print first, none twice."""
    whole = fold(name)
    if whole:
        yield Candidate(whole, "", 0.0)
    seen = {"", whole}
    closed = name.rfind(")") + 1  # behind it no bracket is closed, and none is looked for
    outside = fold(_BRACKETED.sub(" ", name[:closed]) + name[closed:]) if closed else whole
    clauses: _Clauses = {whole: (), outside: ()}
    if (cut := _CUT.search(name)) and fold(name[cut.start() :]).partition(" ")[0] not in set_of_kind("choice"):
        clauses.setdefault(fold(name[: cut.start()]), _left_behind(name[cut.start() :], index))
    for candidate in chain(
        _as_printed(clauses),
        _otherwise_said(clauses),
        _of_a_choice(name, index),
        _without_one_doubtful_word(clauses),
        _without_doubtful_words(clauses),
        _before_a_joiner(outside),
        _in_brackets(name[:closed]),
    ):
        if candidate.words not in seen:
            seen.add(candidate.words)
            yield candidate


def _left_behind(tail: str, index: NameIndex) -> tuple[Doubt, ...]:
    """A doubt where the words behind a comma, which are not looked up, may make another substance ('egg-shell, calcinod')."""
    doubtful = kinds().doubtful
    words = fold(tail).split()
    near = index.near_words.near
    if not any(word in doubtful or (len(word) > 5 and not doubtful.isdisjoint(near(word))) for word in words):
        return ()
    return (_otherwise(f"Found without the words {' '.join(words)!r}, which may make it another substance."),)


def _otherwise(text: str) -> Doubt:
    return Doubt("ingredient", text, (), "")


def _as_printed(clauses: _Clauses) -> Iterator[Candidate]:
    for text, doubts in clauses.items():
        yield Candidate(text, "", 0.0, doubts)
        yield from (Candidate(*shorter, 0.01, doubts) for shorter in _without_its_beginning(text))
        yield Candidate(*peeled(text, kinds().free), 0.02, doubts)


def _without_its_beginning(text: str) -> Iterator[tuple[str, str]]:
    """What is left of a name behind the free words that it begins with, and these; the fewest taken first: 'violet powder' of
    'coarse violet powder', and 'boiled linseed oil' of 'clear boiled linseed oil'."""
    words = text.split()
    for at, word in enumerate(words):
        if word in kinds().free:
            gone = [word for word in words[: at + 1] if word in kinds().free]
            yield " ".join(dropwhile(lambda word: word in kinds().at_the_start, words[at + 1 :])), " ".join(gone)
        elif word not in kinds().at_the_start:
            return


def _otherwise_said(clauses: _Clauses) -> Iterator[Candidate]:
    for text, doubts in clauses.items():
        for instead in restated(text):
            yield Candidate(instead, "", 0.03, doubts)
            yield Candidate(*peeled(instead, kinds().free), 0.05, doubts)


@cache
def _choice() -> re.Pattern[str]:
    return re.compile(rf"\b(?:{'|'.join(words_of_kind('choice'))})\b")


def _of_a_choice(name: str, index: NameIndex) -> Iterator[Candidate]:
    """'almond or olive oil', 'charcoal of the linden, or willow': the first, or the second where the first is not known."""
    sides = _choice().split(name, maxsplit=1)
    if len(sides) == 1 or not fold(sides[0]) or not set_of_kind("lacking").isdisjoint(fold(sides[0]).split()):
        return  # 'wine without sugar or honey' leaves no choice
    first, gone = peeled(fold(sides[0]), kinds().free)
    second = fold(sides[1]).split()
    doubt = Doubt("ingredient", "The book leaves a choice; the first is taken.", (" ".join(sides[1].split()),), "")
    # 'almond or olive oil': the last words belong to both, wherever that makes a known name
    shared = [f"{first} {' '.join(second[-count:])}" for count in range(1, len(second))]
    likely = [attempt for attempt in shared if attempt in index.exact]
    if sides[0].rstrip().endswith("-") and second:  # 'Rosen- oder Orangenblüthenwasser'
        likely = [f"{first}{ending}" for _, ending in halves(second[-1])]
    for attempt in (*likely, first, f"{first} {second[-1]}" if second else ""):
        yield Candidate(attempt, gone, 0.05, (doubt,))
    # 'charcoal of the linden, or willow': only the second is known, and the head belongs to it as well
    why = "The book leaves a choice; the second is taken, since the first is not known."
    doubt = Doubt("ingredient", why, (" ".join(sides[0].split()),), "")
    last = " ".join(second)
    head = _head_of(first.split())
    for attempt in (f"{head} {last}" if head else "", last):
        yield Candidate(attempt, gone, 0.05, (doubt,))


def _head_of(words: list[str]) -> str:
    """What stands before the plant in 'charcoal of the linden': 'charcoal of the'."""
    heads, articles = set_of_kind("head"), set_of_kind("article")
    at = max((at for at, word in enumerate(words) if word in heads and 0 < at < len(words) - 1), default=-1) + 1
    if at and words[at] in articles and at < len(words) - 1:
        at += 1
    return " ".join(words[:at])


def _without_one_doubtful_word(clauses: _Clauses) -> Iterator[Candidate]:
    for text in clauses:
        without_free = peeled(text, kinds().free)[0]
        for word in dict.fromkeys(without_free.split()):
            if word in kinds().doubtful:
                doubt = _otherwise(f"Found only without the word {word!r}, which may make it another substance.")
                yield Candidate(peeled(without_free, frozenset({word}))[0], word, 0.1, (doubt,))


def _without_doubtful_words(clauses: _Clauses) -> Iterator[Candidate]:
    free, doubtful = kinds().free, kinds().doubtful
    for text, before in clauses.items():
        left, gone = peeled(text, kinds().free_or_doubtful)
        lost = peeled(peeled(text, free)[0], doubtful)[1]
        without = f"Found only without the word(s) {lost!r}, which may make it another substance."
        doubts = (_otherwise(without),) if lost else before  # without its free words a name is the same, said otherwise or not
        yield Candidate(left, gone, 0.15, doubts)
        for instead in restated(left):
            yield Candidate(instead, gone, 0.17, doubts)


def _before_a_joiner(outside: str) -> Iterator[Candidate]:
    """'wax with oil', 'camphor in powder': the thing itself, without what is added to it; the most of the print first."""
    words = outside.split()
    joiners = words_of_kind("joiner")
    for at in reversed(_first_places(words, joiners)):
        yield Candidate(*peeled(" ".join(words[:at]), kinds().free), 0.1, _joined(words[at:]))


def _joined(tail: list[str]) -> tuple[Doubt, ...]:
    """A doubt where more than free words is joined to a name: 'flour with a quart of milk', but not 'camphor in powder'."""
    nothing = kinds().free, kinds().small, set_of_kind("joiner")
    if all(any(word in words for words in nothing) for word in tail):
        return ()
    return (_otherwise(f"Found without {' '.join(tail)!r}, which may be an ingredient of its own or change this one."),)


def _first_places(words: list[str], wanted: Iterable[str]) -> list[int]:
    return sorted(words.index(word) for word in wanted if word in words)


def _in_brackets(closed: str) -> Iterator[Candidate]:
    if inside := next((bracketed for bracketed in _BRACKETED.findall(closed) if bracketed), ""):
        yield Candidate(fold(inside), "", 0.1)
