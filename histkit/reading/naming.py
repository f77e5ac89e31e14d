"""From the printed words of a name to the name, what it carries over from elsewhere, its modifiers and its grade."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import cache, lru_cache

from histkit.reading.tokens import Token
from histkit.reading.vocabulary import modifiers, table


@cache
def _heads() -> tuple[frozenset[str], frozenset[str]]:
    rows = table("heads")
    return (
        frozenset(r["word"] for r in rows if r["kind"] == "head"),
        frozenset(r["word"] for r in rows if r["kind"] == "tail"),
    )


@dataclass(frozen=True, slots=True)
class Named:
    ingredient: str
    modifier: str
    strength: str
    dittos: int = 0


_GRADE = re.compile(
    r"\(?\b(?:No\.?|Nr\.?|N°)\s?\d+\)?(?:\s?[A-Z]\b)?"
    r"|\b\d+(?:\.\d+)?\s(?:over|under)\sproof\b"
    r"|\bproof\b"
    r"|\(?\b\d+(?:\.\d+)?\s?(?:per\s?cent\.?|%|0/0)\)?"
    r"|\bat\s\d+\b(?:\s?degrees)?",
    re.IGNORECASE,
)
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
_ROMAN_OR_RECIPE = re.compile(r"^(?:[IVX]{2,5}|[IVX]+\.|Rx?\.?)\s+(?=[^\W\d_]{3})")
_BRACKETED_NUMBER = re.compile(r"^\((?:[a-z]|[ivx]{1,4}|(?:No\.?\s?)?\d{1,2}\.?)\)\s*", re.IGNORECASE)
_LINE_NUMBER = re.compile(r"^\d{1,2}[.)]?\s+(?!per\b|over\b|under\b|proof|degrees)(?=[^\W\d_])")
_SOLUTION_NUMBER = re.compile(r"^(?:Solution\s)?(?:No|Nr)\.?\s?[ivxl\d]{1,4}[.,:]+\s*", re.IGNORECASE)


@lru_cache(maxsize=16384)
def tidied(printed: str) -> tuple[str, str, str]:
    """(the name without what only numbers or joins it, its modifiers, its grade) of the printed words of a name."""
    words = _SPACES.sub(" ", printed.replace('"', " ").replace("}", " ").replace("{", " "))
    words = _SPACES.sub(" ", _LEADERS.sub(" ", words)).strip(_EDGES)
    for numbers_it in (_ROMAN_OR_RECIPE, _BRACKETED_NUMBER, _LINE_NUMBER, _SOLUTION_NUMBER):
        words = numbers_it.sub("", words)
    if words.count("(") > words.count(")"):
        words += ")"
    if words.count(")") > words.count("("):
        words = words.replace(")", "", words.count(")") - words.count("(")).strip(_EDGES)
    grade = _GRADE.search(words)
    return words, _modifier(words), grade.group().strip("() ") if grade else ""


def _modifier(words: str) -> str:
    known = modifiers()
    found = []
    for word in re.findall(r"[^\W\d_]+", words.lower()):
        if word in known and known[word] not in found:
            found.append(known[word])
    if found in (["very"], ["finely"], ["fine"], ["light"], ["heavy"], ["good"]):
        return found[0] if found[0] in ("light", "heavy", "fine", "good") else ""
    return " ".join(found)


_PREFIX = re.compile(
    r"^((?:(?:very |finely |coarsely |best |fine |)(?:powdered|ground|dried|pulverized|pulverised|bruised|fresh|distilled)\s)?"
    r"(?:[^\W\d_]+\s(?:of|de|d')\s?))",
    re.IGNORECASE,
)


def without_list_letter(named: Named, place: int) -> Named:
    """The name without a letter that only numbers the list: 'B. Soap powder' in the second place (0 is the first)."""
    name = named.ingredient
    if name[1:2] == "." and place < 26 and re.match(r"[A-Z]\. [A-Z][a-z]{2}", name) and name[0] == chr(ord("A") + place):
        return replace(named, ingredient=name[3:])
    return named


def prefix_of(name: str, words: int = 0) -> str:
    """What a ditto mark under `name` stands for: 'Otto of', 'Dried', 'Extrait de'; with `words` more of its words."""
    found = _PREFIX.match(name)
    if found:
        prefix = found.group(1).strip()
    else:
        first = name.split(" ", 1)[0].strip(",")
        prefix = first if len(name.split()) > 1 else name
    rest = name[len(prefix) :].split()
    return " ".join([prefix, *(w.strip("(),") for w in rest[:words])]).strip()


_HAS_ITS_OWN_HEAD = re.compile(r"\b(?:of|de)\b|\besprit\b", re.IGNORECASE)
_PLURAL_HEADS = frozenset({"oils", "ottos", "attars", "essences", "extracts", "tinctures", "spirits", "syrups", "waters"})


def distributed_head(first: str, later: str) -> str:
    """The head that a list shares: 'Oils of' before 'nutmeg, cloves and bitter almonds'; "" where `later` has its own."""
    heads, tails = _heads()
    words: list[str] = re.findall(r"[^\W\d_']+", first.lower())
    later_words = re.findall(r"[^\W\d_']+", later.lower())
    if not words or not later_words or _HAS_ITS_OWN_HEAD.search(later) or later_words[-1] in tails or later_words[0] in heads:
        return ""
    for index, word in enumerate(words[:4]):
        if word in heads and index + 1 < len(words) and words[index + 1] in ("of", "de", "d"):
            singular: str = word[:-1] if word in _PLURAL_HEADS else word
            return singular + " of"
        if word in _PLURAL_HEADS and len(words) > index + 1:
            return f"{word[:-1]} of"
    if words[0] in ("extrait", "huile") and len(words) > 1:
        return f"{words[0]} de"
    if words[0] in ("oil", "ol", "tinct") and len(words) > 1:
        return "oil of" if words[0] != "tinct" else "tincture of"
    return ""
