"""Early spellings of the words that the reader knows: 'halfe', 'fiue', 'foure', 'graines', 'gallõ' are looked up as today's.

One table of exchanges (base/exchanges.csv) takes a printed word and a word of the vocabulary to the same bare form; where they
meet, the token goes by the word of the vocabulary. What is printed stays as it is: only the word that the reader compares is
changed.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache, lru_cache

from histkit.base.letters import ILLEGIBLE, MADE_SHORT, OVERLINES, exchanges_for, levelled
from histkit.glossary.index import shipped
from histkit.reading.numerals import LETTERS
from histkit.reading.vocabulary import connectives, direction_words, numbers, other_units, phrases, units, word_list

_SHORTEST = 4
"""Letters of a word that may be an early spelling; among shorter ones too many are other words ('on' and 'one')."""
_SHORTEST_WITH_F = 5
_FEWEST_LEGIBLE = 2


@lru_cache(maxsize=65536)
def bare(word: str) -> str:
    """The form in which early and later spellings of a word meet: 'halfe' and 'half', 'fiue' and 'five'."""
    return levelled(word, "reader")


@cache
def _phrase_words() -> frozenset[str]:
    return frozenset(word for group in phrases().values() for phrase in group for word in phrase.words)


@cache
def _by_bare_form() -> dict[str, str]:
    """Bare form → the word of the vocabulary that has it; where several have, the first of the most telling table."""
    tables = (units(), numbers(), other_units(), direction_words(), sorted(_phrase_words()), sorted(connectives()))
    forms: dict[str, str] = {}
    for words in tables:
        for word in words:
            if len(word) > 2 and word.isalpha():
                forms.setdefault(bare(word), word)
    return forms


@cache
def _vocabulary() -> frozenset[str]:
    """Words that stand for themselves: those of the tables, and ordinary words that only look like an early spelling."""
    return word_list("not-exchanged").union(units(), numbers(), other_units(), direction_words(), connectives(), _phrase_words())


class _Spelled(dict[str, str]):
    """Printed word in small letters → the word that the reader compares; filled as words are met."""

    def __missing__(self, word: str) -> str:
        self[word] = spelling = _spelling(word)
        if len(self) > _MOST_REMEMBERED:
            self.clear()
        return spelling


_MOST_REMEMBERED = 100_000
SPELLED = _Spelled()
"""The reader's spelling of a printed word: `SPELLED['halfe']` is 'half', `SPELLED['talc']` 'talc'."""


def _spelling(word: str) -> str:
    if ILLEGIBLE in word:
        return _small_words().get(word) or _with_its_letter(word)
    if len(word) < _SHORTEST or word in _vocabulary() or LETTERS.issuperset(word):
        return word
    forms = _by_bare_form()
    for whole in _written_out(word.replace("ſ", "s")):
        if whole in _vocabulary():
            return whole
        if (meant := forms.get(bare(whole))) is not None and not _is_another_word(whole, meant):
            return meant
    if len(word) >= _SHORTEST_WITH_F:
        for row in exchanges_for("unit"):  # the long s of a scan: 'fixteen', 'fpoonful', 'fcruple'
            mended = word.replace(row["printed"], row["instead"], 1)
            if mended in numbers() or mended in units():
                return mended
    return word


def _is_another_word(word: str, meant: str) -> bool:
    """Whether a printed word that has the bare form of `meant` is a word of the glossary's names: 'deer' is no German 'der',
    'steel' no 'stelle'. One that is there in an old spelling, too ('glasse'), goes by today's."""
    named = shipped().own_words
    return word in named and (meant not in named or meant in connectives())


@cache
def _small_words() -> dict[str, str]:
    """Small words with a letter that could not be read: 'o•' is 'of'."""
    return {row["printed"]: row["instead"] for row in exchanges_for("illegible")}


def _with_its_letter(word: str) -> str:
    """The word of the vocabulary that a word with an illegible letter can only be; the word itself where several fit.

    Of words that fit in several tables the most telling one is taken, as `_by_bare_form` has them in order. Short units
    and verbs are left alone: 'min•' may be mint.
    """
    legible = len(word) - word.count(ILLEGIBLE)
    shape = re.compile(re.escape(bare(word)).replace(ILLEGIBLE, "."))
    fitting = [meant for form, meant in _by_bare_form().items() if shape.fullmatch(form)]
    if legible < _SHORTEST:
        fitting = [meant for meant in fitting if meant not in units() and meant not in direction_words()]
    if legible < _FEWEST_LEGIBLE or not fitting:
        return word
    telling = fitting[0] in units() or fitting[0] in numbers()
    return fitting[0] if telling or len(fitting) == 1 else word


def _written_out(word: str) -> tuple[str, ...]:
    """The word with its strokes over vowels written out, as n and as m: 'gallō' is 'gallon' or 'gallom'."""
    if word.isascii():
        return (word,)
    apart = unicodedata.normalize("NFD", word)
    if not any(line in apart for line in OVERLINES):
        return (word,)
    return tuple(unicodedata.normalize("NFC", re.sub(f"[{OVERLINES}]", letter, apart)) for letter in MADE_SHORT)
