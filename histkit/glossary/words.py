"""The words of a printed name: folding, singulars, the words that count, and what tables say of each word."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from functools import cache, lru_cache
from types import MappingProxyType
from typing import NamedTuple

from histkit.base import tables
from histkit.base.letters import ILLEGIBLE, levelled

LONGEST_NAME = 400
"""Characters that a name may have, blanks in a row counted once. The longest names of the glossary have less than 100."""
SHORTEST_ALONE = 7
"""Letters of a lone German word, at least, for it to be known in another spelling."""

_FOLD = str.maketrans({"æ": "ae", "œ": "oe", "ß": "ss", "ø": "o", "ł": "l", "ð": "d", "ſ": "s", "ʃ": "s", "ʋ": "u"})
_NOT_WORD = re.compile(rf"[^a-z0-9{ILLEGIBLE} ]+|(?<![a-z{ILLEGIBLE}]){ILLEGIBLE}(?![a-z{ILLEGIBLE}])")
"""What falls away; but not the mark of a letter that cannot be read: 'le•d' is neither 'le d' nor 'led'."""
_SPACES = re.compile(r" +")
_SHORTENED_Y, _SHORTENED = (re.compile(rf"(?<=[a-z]{{2}}){letter}['’]d\b") for letter in ("y", ""))  # "dry'd", "powder'd"
_LONG_I = re.compile(r"(?<=[a-z])ij\b")
"""The last i of a Latin ending as early print has it: 'apij', 'boli armenij'."""
_PLAIN = re.compile(r"[a-z]+(?: [a-z]+)*+").fullmatch


@lru_cache(maxsize=65536)
def fold(name: str) -> str:
    """A name as the index keeps it: small letters without accents, ligatures, stops or hyphens."""
    text = name.lower()
    if _PLAIN(text):  # as most are
        return _LONG_I.sub("ii", text) if "ij" in text else text
    text = text.translate(_FOLD)
    if not text.isascii():
        text = "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))
    text = _LONG_I.sub("ii", _SHORTENED.sub("ed", _SHORTENED_Y.sub("ied", text)))
    text = text.replace("'", "").replace("’", "").replace("-", " ").replace("/", " ")
    return _SPACES.sub(" ", _NOT_WORD.sub(" ", text)).strip()


def all_folded(names: Iterable[str]) -> list[str]:
    """Each of these names folded. Most are plain words, and so many that a call for each would be felt."""
    return [text if _PLAIN(text) and "ij" not in text else fold(text) for text in [name.lower() for name in names]]


@cache
def words_of_kind(kind: str) -> tuple[str, ...]:
    """The words of one kind in lookup_words.csv, in the order of that table.

    small: never counts · edge: falls away at both ends of what is left of a name · last: only at its end · free: may be left out
    · doubtful: its loss may make another substance · latin-part: a part of a plant that a Latin name may leave unsaid ·
    choice: stands between two things of which one is to be taken · joiner: begins what is added to the thing itself ·
    head: joins a form to its plant ('oil of') · article: may follow a head · link: may stand between the words of a name or
    not · elided: a link that loses its vowel · between: stands between two things · leading: begins the name of a plant where
    no link follows ('water mint') · whole: a name only where nothing beside it is left out ('thus' is a resin, 'seeds thus
    prepared' are seeds) · lacking: what stands behind it is not there ·
    de, fr: a word of that language that takes its endings as well.
    """
    rows = (row for row in tables.read("glossary/lookup_words") if kind in tables.words(row, "kind"))
    return tuple(form for row in rows for form in _forms(row))


@cache
def listed_words() -> tuple[str, ...]:
    """Every word of lookup_words.csv in every form."""
    return tuple(form for row in tables.read("glossary/lookup_words") for form in _forms(row))


def _forms(row: dict[str, str]) -> Iterator[str]:
    """The word of a row, and with each ending of its language where the row names one: 'heiss', 'heisse', 'heisses'."""
    yield row["word"]
    for language in tables.words(row, "kind"):
        yield from (row["word"] + rule.ending for rule in endings(language))


@cache
def idle_with() -> Mapping[str, tuple[str, ...]]:
    """The kinds of ingredients with which a doubtful word changes nothing: every rose water is distilled."""
    return {row["word"]: tables.words(row, "idle") for row in tables.read("glossary/lookup_words") if row["idle"]}


@cache
def set_of_kind(kind: str) -> frozenset[str]:
    """The words of one kind, as `words_of_kind` has them in order."""
    return frozenset(words_of_kind(kind))


class _Kinds(NamedTuple):
    free: frozenset[str]
    doubtful: frozenset[str]
    free_or_doubtful: frozenset[str]
    small: frozenset[str]
    at_the_start: frozenset[str]
    at_the_end: frozenset[str]
    latin_parts: frozenset[str]


@cache
def kinds() -> _Kinds:
    """The words of the kinds that every look-up asks for."""
    edge = set_of_kind("edge")
    free, doubtful, small, parts = map(set_of_kind, ("free", "doubtful", "small", "latin-part"))
    return _Kinds(free, doubtful, free | doubtful, small, edge, edge | set_of_kind("last"), parts)


@cache
def strangers() -> frozenset[str]:
    """Words of everyday English and names of elements that a spelling or a cut Latin word must not be made of."""
    return frozenset(row["word"] for row in tables.read("glossary/lookup_strangers"))


@cache
def _replacements() -> Mapping[str, str]:
    return MappingProxyType({row["word"]: row["instead"] for row in tables.read("glossary/lookup_words") if row["instead"]})


class Ending(NamedTuple):
    """A rule of lookup_endings.csv: words that end so, of at least `shortest` letters, end in `instead`."""

    ending: str
    instead: str
    shortest: int


@cache
def endings(language: str) -> tuple[Ending, ...]:
    """The rules for the endings of a language; the first that fits a word holds."""
    rows = tables.read("glossary/lookup_endings")
    return tuple(Ending(row["ending"], row["instead"], int(row["shortest"])) for row in rows if row["language"] == language)


def without_ending(word: str, language: str) -> str:
    """A word without the ending of its number or case: enough to let 'cloves' meet 'clove', and 'radicis' 'radix'."""
    for ending, instead, shortest in _endings_by_letter(language).get(word[-1:], ()):
        if len(word) >= shortest and word.endswith(ending):
            return word[: len(word) - len(ending)] + instead
    return word


@cache
def _endings_by_letter(language: str) -> Mapping[str, tuple[Ending, ...]]:
    """The rules of `endings` by the letter that they end in."""
    rules = endings(language)
    last = dict.fromkeys(rule.ending[-1] for rule in rules)
    return {letter: tuple(rule for rule in rules if rule.ending[-1] == letter) for letter in last}


@lru_cache(maxsize=65536)
def singular(word: str) -> str:
    """A plain English singular."""
    return without_ending(word, "en")


@lru_cache(maxsize=65536)
def stem(word: str) -> str:
    """A Latin word without its case ending."""
    return without_ending(word, "la")


@lru_cache(maxsize=65536)
def undeclined(word: str) -> str:
    """A German word without its endings, all of them: 'chromsaurem' and 'chromsaures' are 'chromsaur', 'wassers' is 'wass'."""
    while (shorter := without_ending(word, "de")) != word:
        word = shorter
    return word


Key = tuple[str, ...]


@lru_cache(maxsize=65536)
def german_key(folded: str) -> Key:
    """The words of a German name without their endings, spelled alike ('rother', 'Oel', 'Campher'), in no order; of a lone word
    only what no English one ends in is taken away, and a short one keeps its letters: 'eyes' is no 'Eis'."""
    words = folded.split()
    if len(words) < 2 and len(folded) < SHORTEST_ALONE:
        return (without_ending(folded, "de-alone"),)
    bare = map(undeclined, words) if len(words) > 1 else (without_ending(folded, "de-alone"),)
    return tuple(sorted(map(_in_one_spelling, bare)))


@lru_cache(maxsize=65536)
def _in_one_spelling(word: str) -> str:
    return levelled(word, "german")


@lru_cache(maxsize=65536)
def key_of(folded: str) -> Key:
    """The words that count, in no order: 'oil of cloves' and 'clove oil' have the same."""
    return tuple(sorted(_levelled(folded, kinds().small)))


def all_keys(folded: Iterable[str]) -> list[Key]:
    """The `key_of` each of these names. Their words come again and again: each is levelled once."""
    split = [name.split() for name in folded]
    same, words = _replacements(), {word for name in split for word in name}.difference(kinds().small)
    levelled = {word: same.get(one, one) for word in words for one in (singular(word),)}
    return [tuple(sorted([levelled[word] for word in name if word in levelled])) for name in split]


@lru_cache(maxsize=4096)
def words_in_order(folded: str) -> Key:
    """All words but links, as they are printed."""
    return tuple(_levelled(folded, set_of_kind("link")))


def _levelled(folded: str, unsaid: frozenset[str]) -> list[str]:
    """The words but for these, in the singular and under the name that they share with others."""
    same = _replacements()
    return [same.get(one, one) for one in map(singular, [word for word in folded.split() if word not in unsaid])]


def peeled(folded: str, removable: frozenset[str]) -> tuple[str, str]:
    """(what is left of a name without these words, figures, and small words at its ends; the words taken away)."""
    words = folded.split()
    left = [w for w in words if w not in removable and not w.isdigit()]
    gone = [w for w in words if w in removable]
    start, end = 0, len(left)
    at_the_start, at_the_end = kinds().at_the_start, kinds().at_the_end
    while start < end and left[start] in at_the_start:
        start += 1
    while start < end and left[end - 1] in at_the_end:
        end -= 1
    return " ".join(left[start:end]), " ".join(gone)


@cache
def _restatements() -> tuple[tuple[re.Pattern[str], str], ...]:
    return tuple((re.compile(row["pattern"]), row["instead"]) for row in tables.read("glossary/lookup_restatements"))


@lru_cache(maxsize=4096)
def restated(folded: str) -> tuple[str, ...]:
    """The same thing said otherwise: 'otto of rose' as oil, 'orris root' as orris, 'essence of lemon' as oil."""
    links, between = set_of_kind("link"), set_of_kind("between")
    otherwise = []
    for pattern, instead in _restatements():
        if pattern.search(folded):
            said = _SPACES.sub(" ", pattern.sub(instead, folded)).strip()
            first, last = said.partition(" ")[0], said.rpartition(" ")[2]
            if first not in between and last not in links:  # 'rind and juice of oranges' is no juice, 'syrup of gum' of something
                otherwise.append(said)
    return tuple(otherwise)
