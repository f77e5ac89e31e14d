"""From the printed words of a name to the name, what it carries over from elsewhere, its modifiers and its grade."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from itertools import pairwise
from string import ascii_uppercase

from histkit.glossary.lookup import find, in_its_letters, knows, knows_in_any_spelling
from histkit.glossary.nouns import Match
from histkit.glossary.words import singular
from histkit.reading.spelling import bare
from histkit.reading.tokens import Token
from histkit.reading.vocabulary import OR, heads, modifiers, pattern, stems, word_list


@dataclass(frozen=True, slots=True)
class Named:
    ingredient: str
    modifier: str
    strength: str
    dittos: int = 0


_LETTERS, _LETTERS_AND_APOSTROPHES = re.compile(r"[^\W\d_]+"), re.compile(r"[^\W\d_']+")
_NO_MODIFIER_ALONE, _LINKS = word_list("no-modifier-alone"), word_list("links-to-a-head")
_OWN_HEAD = pattern("own-head")
_PLANT_IN_AN_ID = stems("plant-in-an-id")
_MAY_BE_SHARED, _OF_PARTS = heads("may be shared"), heads("of parts")
_TAILS = frozenset((*heads("shared tail"), *heads("tail of the next")))
_GROWN = word_list("kind-that-grows")
_SPACES = re.compile(r"\s+")
_EDGES = " \t\n,;:.—–-!&+*|{}\"'"


def name_of(tokens: list[Token], ranges: list[tuple[int, int]], text: str) -> Named:
    """The printed name that tokens `ranges` of `text` hold, its modifiers in plain words, its grade, its ditto marks."""
    dittos = sum(tokens[i].kind == "ditto" for a, b in ranges for i in range(a, b))
    pieces = []
    for a, b in ranges:
        while a < b and tokens[a].kind in ("ditto", "gap", "line"):
            a += 1
        while b > a and tokens[b - 1].kind in ("ditto", "gap", "line"):
            b -= 1
        if a < b:
            pieces.append(text[tokens[a].start : tokens[b - 1].end])
    words, modifier, grade = tidied(" ".join(pieces))
    return Named(words, modifier, grade, dittos)


_LEADERS = re.compile(r"\.{2,}|…")
_NUMBERINGS = tuple(
    map(pattern, ("footnote-mark", "numeral-or-recipe", "bracketed-number", "leading-bracket", "line-number", "solution-number"))
)
_GRADE, _PREFIX, _ELIDED = pattern("grade"), pattern("ditto-prefix"), pattern("elided-article")


@lru_cache(maxsize=16384)
def tidied(printed: str) -> tuple[str, str, str]:
    """(the name without what only numbers or joins it, its modifiers, its grade) of the printed words of a name."""
    words = _SPACES.sub(" ", printed.replace('"', " ").replace("}", " ").replace("{", " "))
    words = _SPACES.sub(" ", _LEADERS.sub(" ", words)).strip(_EDGES)
    for numbering in _NUMBERINGS:
        words = numbering.sub("", words)
    words = _ELIDED.sub("", words)
    if words.count("(") > words.count(")"):
        words += ")"
    if words.count(")") > words.count("("):
        words = words.replace(")", "", words.count(")") - words.count("(")).strip(_EDGES)
    grade = _GRADE.search(words)
    return words, _modifier(words), grade.group().strip("() ") if grade else ""


def _modifier(words: str) -> str:
    said = _LETTERS.findall(words.lower())
    choice = next((at for at, word in enumerate(said) if word in OR), len(said))
    if any(word not in modifiers() for word in said[:choice]):
        said = said[:choice]  # 'flour or slaked lime', but 'fresh or dried roses'
    meanings = (modifiers().get(word) for word in said)
    once = list(dict.fromkeys(meaning for meaning in meanings if meaning is not None))
    return "" if len(once) == 1 and once[0] in _NO_MODIFIER_ALONE else " ".join(once)


def without_list_letter(named: Named, place: int) -> Named:
    """The name without a letter that only numbers the list: 'B. Soap powder' in the second place (0 is the first)."""
    name = named.ingredient
    if name[1:2] == "." and place < 26 and re.match(r"[A-Z]\. [A-Z][a-z]{2}", name) and name[0] == ascii_uppercase[place]:
        return replace(named, ingredient=name[3:])
    return named


def prefix_of(name: str, words: int = 0) -> str:
    """What a ditto mark under `name` stands for: 'Otto of', 'Dried', 'Extrait de'; with `words` more of its words."""
    if printed := _PREFIX.match(name):
        prefix = printed.group(1).strip()
    else:
        first, _, behind = name.partition(" ")
        prefix = first.strip(",") if behind.strip() else name
    rest = name[len(prefix) :].split()
    return " ".join([prefix, *(w.strip("(),") for w in rest[:words])]).strip()


@cache
def _heads_by_bare_form() -> dict[str, str]:
    last_ones_first = (_MAY_BE_SHARED, _OF_PARTS, _TAILS, heads("head if known"), heads("plural"), heads("tail"), heads("head"))
    return {bare(word): word for words in last_ones_first for word in words} | dict(heads("spelled"))


def _head_as_today(word: str) -> str:
    """'oyl' and 'oyle' are 'oil'; a word that is no head stays as it is."""
    return _heads_by_bare_form().get(bare(word), word)


def shared_tail(last: str, earlier: str, beside: bool) -> str:
    """The head that a list shares from its end: 'water of' from 'rose and lily water'; "" where `earlier` has its own.

    Only what is known by the whole name takes it: 'cloves, mace and orris root' are no roots. `beside` tells that nothing but
    'and' stands between the two, or names that take it: 'parsley and fennel seed', 'oak, ash and elm bark'.
    """
    tail = _tail_for(last, earlier, beside)
    known = knows_in_any_spelling if beside else knows
    return f"{tail} of" if tail and known(f"{tail} of {earlier}") else ""


def tail_that_may_be_shared(last: str, earlier: str) -> str:
    """The noun behind the next name that may hold for a plant too that no row names with it: 'arnica and dill seed'."""
    tail = _tail_for(last, earlier, beside=True)
    return tail if tail in _OF_PARTS and _is_a_plant(find(earlier)) else ""


def _tail_for(last: str, earlier: str, beside: bool) -> str:
    words = [_head_as_today(word) for word in _LETTERS_AND_APOSTROPHES.findall(last.lower())]
    own = [_head_as_today(word) for word in _LETTERS_AND_APOSTROPHES.findall(earlier.lower())]
    if len(words) < 2 or not own or own[0] in heads("head") or _head_and_link(earlier)[0]:
        return ""
    of_a_part = own[-1] in _OF_PARTS and words[-1] not in _OF_PARTS  # 'bean-flower and lily-water'
    if not of_a_part and (own[-1] in heads("tail") or own[-1] in _TAILS):
        return ""
    if beside and words[-1] in heads("tail of the next"):
        return words[-1]
    several = singular(own[-1]) != own[-1]  # 'cloves, mace and orris roots'
    return words[-1] if words[-1] in heads("shared tail") and not several else ""


def names_a_part(plant: str, part: str) -> bool:
    """Whether the glossary has this part of a plant under its very name: 'elder bark', not 'rhubarb bark'."""
    meant = find(f"{plant} {part}")
    return meant is not None and not meant.doubts and not meant.modifier


def _is_a_plant(meant: Match | None) -> bool:
    """Whether a name means a whole plant, or the part that is commonest of it: 'dill' is the seed, but 'ginger' no other part."""
    return meant is not None and meant.ingredient.id.endswith(_PLANT_IN_AN_ID)


@cache
def _heads_before_of() -> frozenset[str]:
    return frozenset((*heads("head"), *heads("head if known"), *_MAY_BE_SHARED, *_OF_PARTS))


def is_a_head(word: str) -> bool:
    """Whether a word may stand before 'of' and another name: 'oyl', 'powder', 'juices'."""
    return _head_as_today(word) in _heads_before_of()


def has_a_head(name: str) -> bool:
    """Whether a name begins with a head of its own: 'seeds of anise', 'tincture myrrh', not 'pellitory of Spain'."""
    head, _, behind = name.lower().partition(" ")
    own = _head_as_today(head)
    return bool(behind) and (own in heads("head") or (own in heads("head if known") and behind.startswith(tuple(_LINKS))))


def head_that_may_be_shared(first: str, later: str) -> str:
    """The head of `first` that a list may share with a name that no row names with it, or that is as likely meant alone: 'water
    of' before 'roses, bugloss and lettuce, of each', 'oil of' before 'almonds, yolks of eggs and roses'; "" for anything else."""
    word, link = _head_and_link(first)
    if not word or _is_headed(later) or _is_headed_by(word, later) or _is_such_a_part(word, later):
        return ""
    if word in _OF_PARTS and " " in later.replace("-", " ") and _last_word(later) in heads("tail"):
        return ""  # 'seeds of stavesacre, pomegranate rinds'
    if knows_in_any_spelling(f"{word} of {later}"):
        return f"{word} {link}"
    headed = _head_and_link(later)[0] or _last_word(later) in heads("tail")  # 'lilies of the valley' has none
    meant = None if headed else find(later)
    of_parts = word in _OF_PARTS and _is_a_plant(meant)
    whole = meant is not None and meant.ingredient.kind in _MAY_BE_SHARED.get(word, "").split()
    return f"{word} {link}" if of_parts or whole else ""


def ends_a_list(first: str, later: str) -> bool:
    """Whether what a list shares from `first` ends with `later`: it has a head of its own, or is no plant and no beast."""
    word, _ = _head_and_link(first)
    if not word or _is_headed(later):
        return True
    if _last_word(later) in heads("tail"):
        return not _is_headed_by(word, later)  # 'flowers of borage, clove gillyflowers, rosemary'
    meant = find(later)
    return meant is not None and not _is_a_plant(meant) and meant.ingredient.kind not in word_list("kind-of-a-list")


def _head_and_link(first: str) -> tuple[str, str]:
    """('water', 'of') of 'distilled water of plantain'; two empty strings where nothing is shared."""
    words = [_head_as_today(word) for word in _LETTERS_AND_APOSTROPHES.findall(first.lower())]
    return next((pair for pair in pairwise(words) if pair[1] in _LINKS and is_a_head(pair[0])), ("", ""))


def _is_such_a_part(word: str, later: str) -> bool:
    """Whether a name alone means the part of the plant that the head says: 'sage' in a list of leaves."""
    parts = _OF_PARTS.get(word)
    return parts is not None and _means(later).endswith(tuple(parts.split()))


def _means(name: str) -> str:
    """The id of what a name means, "" where nobody knows."""
    meant = find(name)
    return meant.ingredient.id if meant else ""


def _is_headed(later: str) -> bool:
    return has_a_head(later) or _head_as_today(later.lower().partition(" ")[0]) in heads("own head")


def _is_headed_by(word: str, later: str) -> bool:
    """Whether a name ends with this very head: 'rosemary flowers' in a list of flowers."""
    return singular(_last_word(later)) == singular(word)


def _last_word(name: str) -> str:
    return _head_as_today((_LETTERS_AND_APOSTROPHES.findall(name.lower()) or [""])[-1])


def distributed_head(first: str, later: str, goes_on: bool = False, listed: bool = False) -> str:
    """The head that a list shares: 'Oils of' before 'nutmeg, cloves and bitter almonds'; "" where `later` has its own.
    With 'of' alone before `later` it `goes_on`: 'Oil of poppies, and of the cold seeds'. In a list with one amount for each,
    plurals too take the head of a part or a juice: 'juice of oranges and lemons'."""
    words = [_head_as_today(word) for word in _LETTERS_AND_APOSTROPHES.findall(first.lower())]
    later_words = [_head_as_today(word) for word in _LETTERS_AND_APOSTROPHES.findall(later.lower())]
    if len(words) < 2 or not later_words or _OWN_HEAD.search(later):
        return ""
    own_tail = later_words[-1] in heads("tail")
    if (own_tail and not goes_on) or later_words[0] in heads("head") or later_words[0] in heads("own head"):
        return ""
    for word, behind in pairwise(words[:5]):
        if word in heads("head") and behind in _LINKS:
            head = f"{heads('plural').get(word, word)} of"
            stays_alone = own_tail or (word not in heads("plural") and not goes_on and knows_in_any_spelling(later))
            return head if not stays_alone or knows_in_any_spelling(f"{head} {later}") else ""  # 'oil of cloves and saltpetre'
        if word in heads("plural"):
            return f"{heads('plural')[word]} of"
        if word in heads("head if known") and behind in _LINKS:
            listed &= word in _OF_PARTS or word in _MAY_BE_SHARED
            if not listed and singular(later_words[-1]) != later_words[-1]:
                return ""
            whole = f"{word} of {later}"
            other = _is_such_a_part(word, later) and _means(whole) != _means(later)  # 'leaves of sage and tobacco'
            return f"{word} of" if knows_in_any_spelling(whole) and not other else ""
    printed = _LETTERS_AND_APOSTROPHES.findall(first.lower())[0]
    if printed in heads("before a genitive"):
        return _head_of_a_genitive(printed, later)
    head = heads("alone").get(words[0], "")
    return head if not knows_in_any_spelling(later) or knows_in_any_spelling(f"{head} {later}") else ""


def _head_of_a_genitive(head: str, later: str) -> str:
    """'Aq. Rosar. Plantag. Solani ana': the Latin head, if it and the later word, nobody's or a plant's, are a name together."""
    alone = find(later) or find(f"{later}.")
    of_a_plant = alone is None or alone.ingredient.kind in _GROWN
    return head if of_a_plant and in_its_letters(f"{head} {later}") else ""
