"""The ingredient glossary: tables on disk → ingredients, and the look-up of a printed name.

The look-up goes through stages, told apart in `Match.via`: the exact name; the same words in another order or
number; a Latin name in any case, abbreviated or not; modifiers peeled; spelling and scanning damage. It never guesses
silently: a contested name comes with its alternatives and a Doubt, and an unknown name gives None.
"""

from __future__ import annotations

import csv
import os
import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from itertools import zip_longest
from operator import itemgetter
from pathlib import Path
from types import MappingProxyType
from typing import Any, NamedTuple, TypeVar

from histkit.base import tables
from histkit.base.bibliography import Work, works
from histkit.base.errors import TableError, UnknownName
from histkit.base.nouns import Doubt, Source
from histkit.glossary.nouns import Caution, Ingredient, Match, Name, Property, Role, Stand

TABLES = ("sources", "ingredients", "names", "roles", "properties", "cautions", "substitutes", "compositions", "constituents")


folder = tables.data_folder


OWN = "HISTKIT_GLOSSARY"
"""The environment variable that names a maker's folder of additions; so the processes that this one starts know it too."""


def use(additions: str | Path | None) -> None:
    """From now on look names up in a maker's own tables as well: a folder with some of the tables of the glossary, in which rows
    are added (`histkit.additions` checks them). None goes back to the glossary alone.

    Call it before anything is looked up; what was worked out before keeps what it found.

    Raises:
        TableError: a table breaks a rule; the message names file, row and column. Nothing is changed then.
    """
    if additions is None:
        os.environ.pop(OWN, None)
    else:
        where = Path(additions).resolve()
        _own_rows_in(where)
        os.environ[OWN] = str(where)
    for known in [*globals().values(), *_following]:
        if callable(getattr(known, "cache_clear", None)):
            known.cache_clear()


_following: list[object] = []
_Cached = TypeVar("_Cached")


def follows_the_tables(cached: _Cached) -> _Cached:
    """Decorates a cached function of another module whose results come from the tables: `use` empties its cache too."""
    _following.append(cached)
    return cached


@cache
def own_rows() -> Mapping[str, list[dict[str, str]]]:
    """The rows that the maker's own tables add, by table; none without such a folder.

    Raises TableError as `use` does.
    """
    where = os.environ.get(OWN)
    return _own_rows_in(Path(where)) if where else {}


def _own_rows_in(where: Path) -> dict[str, list[dict[str, str]]]:
    from histkit.glossary.additions import additions

    shipped = {name: frozenset(row["id"] for row in _read_rows(name, folder())) for name in ("ingredients", "sources")}
    return additions(where, folder(), shipped)


def rows(name: str, where: Path | None = None) -> list[dict[str, str]]:
    """The rows of one table of the glossary, as text; those that a maker added come last."""
    return _shipped_rows(name) if where is None else _read_rows(name, where)


@cache
def _shipped_rows(name: str) -> list[dict[str, str]]:
    own = own_rows().get(name, [])
    return [*_read_rows(name, folder()), *own] if own else _read_rows(name, folder())


def _read_rows(name: str, where: Path) -> list[dict[str, str]]:
    heading, lines = _cells(name, where)
    width = len(heading)
    return [dict((zip if len(cells) == width else zip_longest)(heading, cells)) for cells in lines]


def _cells(name: str, where: Path) -> tuple[list[str], list[list[str]]]:
    """The heading of a table and the cells of its rows."""
    path = where / f"{name}.csv"
    try:
        with path.open(encoding="utf-8", newline="") as file, tables.uncollected():
            lines = csv.reader(file)
            return next(lines, []), [cells for cells in lines if cells]
    except FileNotFoundError:
        raise TableError(f"{path}: this table of the glossary is missing") from None


class _NameRow(NamedTuple):
    """A row of names.csv. There are so many that each is kept as a tuple and not as a mapping."""

    ingredient: str
    name: str
    language: str
    form: str
    period: str
    region: str
    certainty: str
    source: str

    @property
    def contested(self) -> bool:
        return self.certainty == "contested"


def _names_in(where: Path) -> list[_NameRow]:
    heading, lines = _cells("names", where)
    path = where / "names.csv"
    if sorted(heading) != sorted(_NameRow._fields):
        raise TableError(f"{path}: the columns are {', '.join(heading)}; {', '.join(_NameRow._fields)} are wanted")
    places = itemgetter(*map(heading.index, _NameRow._fields))
    try:
        return [_NameRow._make(places(cells)) for cells in lines]
    except IndexError:
        raise TableError(f"{path}: a row has fewer cells than the heading, {len(heading)}") from None


@cache
def _names() -> list[_NameRow]:
    return [*_names_in(folder()), *(_NameRow(**row) for row in own_rows().get("names", ()))]


def _grouped(name: str, key: str, where: Path | None) -> dict[str, list[dict[str, str]]]:
    groups: dict[str, list[dict[str, str]]] = {}
    for row in rows(name, where):
        groups.setdefault(row[key], []).append(row)
    return groups


def _number(table: str, row: dict[str, str], column: str) -> float:
    try:
        return float(row[column])
    except (TypeError, ValueError):
        owner = row.get("ingredient") or row.get("preparation") or "?"
        raise TableError(f"{table}.csv, {owner}: column {column!r} holds {row[column]!r}; a number is wanted") from None


def load(where: Path | None = None) -> dict[str, Ingredient]:
    """All ingredients of a folder of tables, by id.

    Raises:
        TableError: a table is missing or a number is none; names the file, the row and the column.
    """
    groups = _Groups.of(where)
    return {row["id"]: groups.made(row) for row in rows("ingredients", where)}


@dataclass(frozen=True, slots=True)
class _Groups:
    """The rows of each table that speak of one ingredient, by its id."""

    names: dict[str, list[_NameRow]]
    roles: dict[str, list[dict[str, str]]]
    properties: dict[str, list[dict[str, str]]]
    cautions: dict[str, list[dict[str, str]]]
    stands: dict[str, list[dict[str, str]]]
    parts: dict[str, list[dict[str, str]]]

    @classmethod
    def of(cls, where: Path | None) -> _Groups:
        names: dict[str, list[_NameRow]] = {}
        for row in _names() if where is None else _names_in(where):
            names.setdefault(row.ingredient, []).append(row)
        return cls(
            names,
            _grouped("roles", "ingredient", where),
            _grouped("properties", "ingredient", where),
            _grouped("cautions", "ingredient", where),
            _grouped("substitutes", "ingredient", where),
            _grouped("compositions", "preparation", where),
        )

    def made(self, row: dict[str, str]) -> Ingredient:
        key = row["id"]
        return Ingredient(
            id=key,
            name=row["name"],
            inci=row["inci"],
            cas=row["cas"],
            formula=row["formula"],
            kind=row["kind"],
            state=row["state"],
            description=row["description"],
            source=row["source"],
            roles=tuple(Role(r["role"], r["strength"] == "main", r["source"]) for r in self.roles.get(key, ())),
            cautions=tuple(_caution(r) for r in self.cautions.get(key, ())),
            names=tuple(_name(r) for r in self.names.get(key, ())),
            properties=tuple(_property(r) for r in self.properties.get(key, ())),
            stands=_stands(self.stands.get(key, ())),
            made_of=tuple((r["ingredient"], _number("compositions", r, "share")) for r in self.parts.get(key, ())),
        )


def _name(row: _NameRow) -> Name:
    return Name(row.name, row.language, row.form, row.period, row.region, row.contested, row.source)


def _property(row: dict[str, str]) -> Property:
    low, high = _number("properties", row, "low"), _number("properties", row, "high")
    return Property(row["property"], low, high, row["unit"], row["condition"], row["source"], row.get("section") or "")


def _caution(row: dict[str, str]) -> Caution:
    level: Any = row["level"]
    limit = _number("cautions", row, "limit") if row["limit"] else None
    return Caution(level, row["text"], row["source"], row["law"], row["region"], row["form"] or "any", limit, row["date"])


def _stands(group: Iterable[dict[str, str]]) -> tuple[Stand, ...]:
    options: dict[str, list[dict[str, str]]] = {}
    for row in group:
        options.setdefault(row["option"], []).append(row)
    return tuple(
        Stand(
            option,
            tuple((r["substitute"], _number("substitutes", r, "share")) for r in members if r["substitute"]),
            members[0]["kept"],
            members[0]["changes"],
            members[0]["source"],
        )
        for option, members in options.items()
    )


@cache
def _by_id() -> dict[str, dict[str, str]]:
    return {row["id"]: row for row in rows("ingredients")}


@cache
def _groups() -> _Groups:
    return _Groups.of(None)


@cache
def _made(key: str) -> Ingredient:
    return _groups().made(_by_id()[key])


class _Ingredients(Mapping[str, Ingredient]):
    """The ingredients by id. The tables are read at the first touch, an ingredient is made when it is asked for."""

    def __getitem__(self, key: str) -> Ingredient:
        return _made(key)

    def __contains__(self, key: object) -> bool:
        return key in _by_id()

    def __iter__(self) -> Iterator[str]:
        return iter(_by_id())

    def __len__(self) -> int:
        return len(_by_id())


ingredients: Mapping[str, Ingredient] = _Ingredients()


def ingredient(key: str | Ingredient) -> Ingredient:
    """The ingredient with this id.

    Raises:
        UnknownName: no ingredient has this id; `near` names the closest ones.
    """
    if isinstance(key, Ingredient):
        return key
    try:
        return ingredients[key]
    except KeyError:
        import difflib

        match = find(key.replace("-", " "))
        near = [match.ingredient.id] if match else []
        near += [n for n in difflib.get_close_matches(key, list(ingredients), n=3) if n not in near]
        raise UnknownName("ingredient", key, tuple(near)) from None


def name_of(key: str) -> str:
    """The name of an ingredient by its id; the id itself where the glossary does not hold it."""
    return ingredients[key].name if key in ingredients else key


@cache
def sources() -> Mapping[str, Work]:
    """The works that the tables cite, by id; those that a maker's own tables add come last."""
    return MappingProxyType({**works(), **{row["id"]: Work(**row) for row in own_rows().get("sources", ())}})


# -- the look-up --------------------------------------------------------------------------------------------------------


@cache
def _peel() -> tuple[frozenset[str], frozenset[str], frozenset[str]]:
    """Words that may be peeled freely, words whose loss is a doubt, and small words that never count."""
    kinds: dict[str, set[str]] = {"free": set(), "doubtful": set(), "small": set()}
    for row in tables.read("glossary/lookup_words"):
        kinds.setdefault(row["kind"], set()).add(row["word"])
    return frozenset(kinds["free"]), frozenset(kinds["doubtful"]), frozenset(kinds["small"])


@cache
def _latin_parts() -> frozenset[str]:
    """Latin words for parts of a plant that a book may leave out."""
    return frozenset(row["word"] for row in tables.read("glossary/lookup_words") if row["kind"] == "latin-part")


@cache
def _strangers() -> frozenset[str]:
    """Words of everyday English and names of elements that a spelling or a cut Latin word must not be made of."""
    return frozenset(row["word"] for row in tables.read("glossary/lookup_strangers"))


@cache
def _replacements() -> Mapping[str, str]:
    return MappingProxyType(
        {row["word"]: row["instead"] for row in tables.read("glossary/lookup_words") if row["kind"] == "same"}
    )


_FOLD = str.maketrans({"æ": "ae", "œ": "oe", "ß": "ss", "ø": "o", "ł": "l", "ð": "d", "ſ": "s"})
_NOT_WORD = re.compile(r"[^a-z0-9 ]+")
_SPACES = re.compile(r" +")


@lru_cache(maxsize=65536)
def fold(name: str) -> str:
    """A name as the index keeps it: small letters without accents, ligatures, stops or hyphens."""
    text = name.lower()
    if text.isascii() and text.replace(" ", "").isalpha():  # plain words, as most are
        return text if "  " not in text and text == text.strip() else " ".join(text.split())
    text = text.translate(_FOLD)
    if not text.isascii():
        text = "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))
    text = text.replace("'", "").replace("’", "").replace("-", " ").replace("/", " ")
    return _SPACES.sub(" ", _NOT_WORD.sub(" ", text)).strip()


def _singular(word: str) -> str:
    """A plain English singular: enough to let 'cloves' meet 'clove'."""
    if len(word) < 4 or not word.endswith("s") or word.endswith(("ss", "us", "is")):
        return word
    if word.endswith("ies") and len(word) > 5:
        return word[:-3] + "y"
    if word.endswith(("ches", "shes", "xes", "sses")):
        return word[:-2]
    if word.endswith("leaves"):
        return "leaf"
    return word[:-1]


@lru_cache(maxsize=65536)
def _key(folded: str) -> tuple[str, ...]:
    """The words that count, in no order: 'oil of cloves' and 'clove oil' have the same."""
    small, same = _peel()[2], _replacements()
    words = []
    for word in folded.split():
        if word in small:
            continue
        word = _singular(word)
        words.append(same.get(word, word))
    return tuple(sorted(words))


_ENDINGS = (
    "orum",
    "arum",
    "ibus",
    "ium",
    "ius",
    "iae",
    "ae",
    "am",
    "as",
    "is",
    "os",
    "um",
    "us",
    "em",
    "es",
    "ei",
    "ii",
    "a",
    "i",
    "o",
    "e",
    "u",
)


@lru_cache(maxsize=65536)
def _stem(word: str) -> str:
    """A Latin word without its case ending."""
    for ending in _ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            return word[: -len(ending)]
    return word


_Hits = list[tuple[str, bool]]
"""(ingredient id, whether the name is contested), the likeliest first."""

# Three indexes, each built when it is first needed: most names are found in the first and never need the others. All keep
# the order of names.csv, which lists the likeliest meaning of a contested name first.


@cache
@tables.uncollected()
def _exact() -> dict[str, _Hits]:
    index: dict[str, _Hits] = {}
    for row in _names():
        _note(index, fold(row.name), row.ingredient, row.contested)
    for key, entry in _by_id().items():
        _note(index, fold(entry["name"]), key, False)
    return index


@cache
@tables.uncollected()
def _keys() -> dict[tuple[str, ...], _Hits]:
    index: dict[tuple[str, ...], _Hits] = {}
    for row in _names():
        if row.language != "la":
            _note(index, _key(fold(row.name)), row.ingredient, row.contested)
    for key, entry in _by_id().items():
        _note(index, _key(fold(entry["name"])), key, False)
    return index


@cache
@tables.uncollected()
def _latin_names() -> dict[str, list[tuple[tuple[str, ...], str]]]:
    """First two letters of a Latin word → (words of the name, ingredient id)."""
    index: dict[str, list[tuple[tuple[str, ...], str]]] = {}
    for row in _names():
        if row.language in ("la", "sci"):
            words = tuple(fold(row.name).split())
            for start in {word[:2] for word in words}:
                index.setdefault(start, []).append((words, row.ingredient))
    return index


@cache
def _spellings() -> list[str]:
    return [name for name in _exact() if len(name) > 4]


def _note(index: dict[Any, list[tuple[str, bool]]], at: Any, key: str, contested: bool) -> None:
    entries = index.get(at)
    if entries is None:
        index[at] = [(key, contested)]
    elif all(k != key for k, _ in entries):
        entries.append((key, contested))


def find(name: str, source: Source | None = None, unit: str = "") -> Match | None:
    """What a printed name means today, or None where the glossary does not know it.

    `source` and `unit` help with contested names (an 'oil of almonds' by drops is the bitter one). The match says
    by which way it was found (`via`), how sure it is (`score`, 0–1), and what else the name has meant.
    """
    match = _find(name)
    if match is None or not match.alternatives:
        return match
    return _in_context(match, source, unit)


@lru_cache(maxsize=16384)
def _find(name: str) -> Match | None:
    dotted = frozenset(fold(word) for word in re.findall(r"(\b\w++)\.", name))
    for candidate, modifier, penalty, doubts in _candidates(name):
        found = _look(candidate, dotted)
        if found:
            hits, via, score = found
            return _match(
                name, hits, via if not modifier else ("modifier" if via == "exact" else via), score - penalty, modifier, doubts
            )
    return _spelling(name)


def _look(folded: str, dotted: frozenset[str]) -> tuple[list[tuple[str, bool]], str, float] | None:
    if hits := _exact().get(folded):
        return hits, "exact", 1.0
    if hits := _keys().get(_key(folded)):
        return hits, "exact", 0.97
    if hits := _latin(folded, dotted):
        return hits, "latin", 0.93
    return None


def knows(name: str) -> bool:
    """Whether the glossary has this very name, or its words in another order: a quick answer, and no guess."""
    folded = fold(name)
    return bool(folded) and bool(_exact().get(folded) or _keys().get(_key(folded)))


def _candidates(name: str) -> Iterator[tuple[str, str, float, tuple[Doubt, ...]]]:
    """(folded words to look up, modifiers peeled, what they cost, doubts), the closest to the print first."""
    free, doubtful, _ = _peel()
    seen: set[str] = set()

    def fresh(text: str) -> bool:
        new = bool(text) and text not in seen
        seen.add(text)
        return new

    whole = fold(name)
    closed = name.rfind(")") + 1  # behind it no bracket is closed, and none is looked for
    outside = fold(re.sub(r"\([^)]*\)", " ", name[:closed]) + name[closed:]) if "(" in name[:closed] else whole
    clauses: dict[str, tuple[Doubt, ...]] = {whole: (), outside: ()}
    if cut := re.search(r"[,;(]", name):
        clauses.setdefault(fold(name[: cut.start()]), _left_behind(name[cut.start() :]))
    for text, behind in clauses.items():
        if fresh(text):
            yield text, "", 0.0, behind
        peeled = _peeled(text, free)
        if fresh(peeled[0]):
            yield peeled[0], peeled[1], 0.02, behind
    for text, behind in clauses.items():
        for instead in _restated(text):
            if fresh(instead):
                yield instead, "", 0.03, behind
            peeled = _peeled(instead, free)
            if fresh(peeled[0]):
                yield peeled[0], peeled[1], 0.05, behind
    choice = re.split(r"\b(?:or|seu|vel|sive|ou|oder)\b", name, maxsplit=1)
    if len(choice) > 1 and fold(choice[0]):
        first, gone = _peeled(fold(choice[0]), free)
        tail = fold(choice[1]).split()
        told = (Doubt("ingredient", "The book leaves a choice; the first is taken.", (" ".join(choice[1].split()),), ""),)
        # 'almond or olive oil': the last words belong to both, wherever that makes a known name
        shared = [f"{first} {' '.join(tail[-count:])}" for count in range(1, len(tail))]
        known = [attempt for attempt in shared if attempt in _exact()]
        for attempt in (*known, first, f"{first} {tail[-1]}" if tail else ""):
            if fresh(attempt):
                yield attempt, gone, 0.05, told
        # 'charcoal of the linden, or willow': only the second is known, and the head belongs to it as well
        head = re.match(r".+ of (?:the )?", first)
        why = "The book leaves a choice; the second is taken, since the first is not known."
        second = (Doubt("ingredient", why, (" ".join(choice[0].split()),), ""),)
        last = " ".join(tail)
        for attempt in (f"{head.group()}{last}" if head else "", last):
            if fresh(attempt):
                yield attempt, gone, 0.05, second
    for text in clauses:
        without_free = _peeled(text, free)[0]
        for word in without_free.split():
            if word not in doubtful:
                continue
            left = _peeled(without_free, frozenset({word}))[0]
            told = (Doubt("ingredient", f"Found only without the word {word!r}, which may make it another substance.", (), ""),)
            if fresh(left):
                yield left, word, 0.1, told
    for text in clauses:
        left, gone = _peeled(text, free | doubtful)
        lost = _peeled(_peeled(text, free)[0], doubtful)[1]
        doubt = (Doubt("ingredient", f"Found only without the word(s) {lost!r}, which may make it another substance.", (), ""),)
        if fresh(left):
            yield left, gone, 0.15, doubt
        for instead in _restated(left):
            if fresh(instead):
                yield instead, gone, 0.17, doubt
    for joiner in (" with ", " in ", " from ", " made ", " for ", " containing "):
        if joiner in f" {outside} ":
            left, gone = _peeled(outside.split(joiner, 1)[0], free)
            if fresh(left):
                yield left, gone, 0.1, ()
    inside = re.search(r"\(([^)]+)\)", name[:closed])
    if inside and fresh(fold(inside.group(1))):
        yield fold(inside.group(1)), "", 0.1, ()


def _left_behind(tail: str) -> tuple[Doubt, ...]:
    """A doubt where the words behind a comma, which are not looked up, may make another substance ('egg-shell, calcinod')."""
    doubtful = _peel()[1]
    words = fold(tail).split()
    telling = [w for w in words if w in doubtful or (len(w) > 5 and any(_word_likeness(w, d) >= 0.8 for d in doubtful))]
    if not telling:
        return ()
    said = " ".join(words)
    return (Doubt("ingredient", f"Found without the words {said!r}, which may make it another substance.", (), ""),)


def _peeled(folded: str, removable: frozenset[str]) -> tuple[str, str]:
    words = folded.split()
    kept = [w for w in words if w not in removable and not w.isdigit()]
    gone = [w for w in words if w in removable]
    while kept and kept[0] in ("of", "the", "in", "a", "and", "no"):
        kept = kept[1:]
    while kept and kept[-1] in ("of", "the", "in", "a", "and", "no", "to"):
        kept = kept[:-1]
    return " ".join(kept), " ".join(gone)


def _restated(folded: str) -> Iterator[str]:
    """The same thing said otherwise: 'otto of rose' as oil, 'orris root' as orris, 'essence of lemon' as oil."""
    for row in tables.read("glossary/lookup_restatements"):
        pattern = re.compile(row["pattern"])
        if pattern.search(folded):
            yield _SPACES.sub(" ", pattern.sub(row["instead"], folded)).strip()


def _latin(folded: str, dotted: frozenset[str]) -> list[tuple[str, bool]]:
    """Ingredients whose Latin name these words are, in whatever case, each word perhaps cut short.

    `dotted` are the words printed with a full stop: only they may be cut anywhere; a lone word without one is taken
    for an abbreviation only where most of it stands there.
    """
    words = folded.split()
    if not words or len(words) > 6 or (folded in _strangers() and folded not in dotted):
        return []
    candidates = _latin_names().get(words[0][:2], ())
    best: list[tuple[str, bool]] = []
    best_score = 0.0
    for name, key in candidates:
        if len(name) < len(words) or len(name) > len(words) + 1:
            continue
        score = _latin_score(words, name, dotted)
        if score > best_score + 1e-9:
            best, best_score = [(key, False)], score
        elif score and abs(score - best_score) <= 1e-9 and all(k != key for k, _ in best):
            best.append((key, False))
    if len(best) > 1:
        best = [(key, True) for key, _ in best]
    return best


def _latin_score(words: list[str], name: tuple[str, ...], dotted: frozenset[str]) -> float:
    """0 unless every word meets a word of the name of its own; more for whole words than for cut ones."""
    free = list(name)
    total = 0.0
    parts = _latin_parts()
    for word in words:
        for index, other in enumerate(free):
            stem = _stem(word)
            if word == other:
                worth = 1.0
            elif len(word) > 3 and len(other) > 3 and stem == _stem(other):
                worth = 0.95
            elif len(word) >= 2 and other.startswith(word) and (len(words) > 1 or _may_be_cut(word, other, dotted)):
                worth = 0.6 + 0.3 * len(word) / len(other)
            elif word in dotted and len(stem) >= 4 and other.startswith(stem):
                worth = 0.55
            else:
                continue
            total += worth
            del free[index]
            break
        else:
            return 0.0
    if any(word not in parts for word in free) or (free and len(words) == 1 and len(words[0]) < 4):
        return 0.0  # only 'radix', 'flores' and their like may be left unsaid
    return total / len(words) - 0.25 * len(free)


def _may_be_cut(word: str, other: str, dotted: frozenset[str]) -> bool:
    """Whether a word that stands alone may be the beginning of `other`."""
    return len(word) >= 4 and (word in dotted or len(word) > 0.75 * len(other))


CLOSEST = 86.0
"""Least likeness (rapidfuzz ratio, 0–100) for a spelling to be taken for a known name; see tests/test_glossary.py."""


def _spelling(name: str) -> Match | None:
    """A name one or two letters off a known one: an old spelling or scanning damage."""
    free = _peel()[0]
    attempts = [fold(name), _peeled(fold(name), free)[0]]
    if re.search(r"[,;(]", name):
        attempts.append(_peeled(fold(re.split(r"[,;(]", name, maxsplit=1)[0]), free)[0])
    for text in dict.fromkeys(attempts):
        if len(text) < 5 or len(text) > 60 or text in _strangers():
            continue
        near = _near(text)
        if near:
            spelled, score = near[0]
            hits = _exact()[spelled]
            others = [k for other, s in near[1:] for k, _ in _exact()[other] if s > score - 4]
            dangerous = [k for other, _ in near[1:] for k, _ in _exact()[other] if ingredients[k].forbidden]
            doubt = Doubt(
                "ingredient",
                f"The name {text!r} is not in the glossary; {spelled!r} is the nearest spelling.",
                tuple(ingredients[k].name for k in dict.fromkeys(others + dangerous) if k != hits[0][0]),
                "Look at the page before you trust it.",
            )
            match = _match(name, hits, "spelling", score / 100 - 0.1, "", (doubt,))
            more = [ingredients[k] for k in dict.fromkeys(others + dangerous) if k != match.ingredient.id]
            return replace(match, alternatives=tuple(dict.fromkeys((*match.alternatives, *more))))
    return None


def _near(text: str) -> list[tuple[str, float]]:
    """Known names close to `text`, every word of them close too, nearest first."""
    from rapidfuzz import fuzz, process
    from rapidfuzz.distance import DamerauLevenshtein

    letters = 1 if len(text) < 8 else 2 if len(text) < 15 else 3
    alike = _skeletons().get(_skeleton(text), ())
    kept = [(spelled, 97.0) for spelled in alike if DamerauLevenshtein.distance(text, spelled) <= letters]
    kept += [(spelled, 98.0) for spelled in _one_word_spoilt(text)]
    kept += [(spelled, 99.0) for spelled in _without_blanks().get(text.replace(" ", ""), ())]
    found = process.extract(text, _spellings(), scorer=fuzz.ratio, score_cutoff=CLOSEST - 8, limit=16)
    words = text.split()
    for spelled, score, _ in found:
        others = spelled.split()
        if len(others) != len(words):
            continue
        likeness = [_word_likeness(a, b) for a, b in zip(words, others, strict=True)]
        if min(likeness) >= 0 and (score >= CLOSEST or _letters_swapped(words, others)):
            kept.append((spelled, max(score, CLOSEST)))
        elif score >= CLOSEST and _one_short_word_off(words, others, likeness):
            kept.append((spelled, score))
    best: dict[str, float] = {}
    for spelled, score in kept:
        best[spelled] = max(score, best.get(spelled, 0.0))
    return sorted(best.items(), key=lambda pair: -pair[1])


@cache
@tables.uncollected()
def _vocabulary() -> dict[str, None]:
    """Every word of every name, in the order of the names."""
    return {word: None for name in _exact() for word in name.split()}


@cache
@tables.uncollected()
def _without_blanks() -> dict[str, list[str]]:
    """Names by their letters alone: a scan runs words together ('rosewater') or moves the blank ('orang esyrup')."""
    index: dict[str, list[str]] = {}
    for name in _spellings():
        index.setdefault(name.replace(" ", ""), []).append(name)
    return index


def _one_word_spoilt(text: str) -> list[str]:
    """Known names that differ in one letter of one word, where all other words are right and that one is no word at all:
    'sassafras iol', 'salt of gcld'."""
    from rapidfuzz import process
    from rapidfuzz.distance import OSA

    words = text.split()
    odd = [i for i, word in enumerate(words) if word not in _vocabulary()]
    if len(words) < 2 or len(odd) != 1 or len(words[odd[0]]) < 3 or words[odd[0]] in _strangers():
        return []
    at = odd[0]
    close = process.extract(words[at], list(_vocabulary()), scorer=OSA.distance, score_cutoff=1, limit=None)
    names = (" ".join([*words[:at], word, *words[at + 1 :]]) for word, _, _ in close)
    return [name for name in names if name in _exact()]


@cache
def _confusions() -> tuple[tuple[str, str], ...]:
    return tuple((row["printed"], row["meant"]) for row in tables.read("glossary/lookup_confusions"))


def _skeleton(text: str) -> str:
    """A name with the letters made one that scanning and old spelling exchange: 'tale' and 'talc' have the same."""
    for printed, meant in _confusions():
        text = text.replace(printed, meant)
    return re.sub(r"(.)\1+", r"\1", text)


@cache
def _skeletons() -> dict[str, list[str]]:
    """Names by skeleton, where all names of a skeleton mean one and the same."""
    index: dict[str, list[str]] = {}
    for name in _spellings():
        index.setdefault(_skeleton(name), []).append(name)
    exact = _exact()
    return {bones: names for bones, names in index.items() if len({exact[name][0][0] for name in names}) == 1}


def _letters_swapped(words: list[str], others: list[str]) -> bool:
    """Whether the names differ only in that neighbouring letters of one long word changed places."""
    differing = [(a, b) for a, b in zip(words, others, strict=True) if a != b]
    return len(differing) == 1 and len(differing[0][0]) > 5 and sorted(differing[0][0]) == sorted(differing[0][1])


def _one_short_word_off(words: list[str], others: list[str], likeness: list[float]) -> bool:
    """Whether one short word differs by a letter, not its first, while the words that count are the same and long enough."""
    from rapidfuzz.distance import DamerauLevenshtein

    small = _peel()[2]
    differing = [(a, b) for a, b in zip(words, others, strict=True) if a != b]
    same = sum(len(a) for a, b in zip(words, others, strict=True) if a == b and a not in small and a != "oil")
    if len(differing) != 1 or same < 5:
        return False
    one, two = differing[0]
    return DamerauLevenshtein.distance(one, two) == 1 and (two in small or one[0] == two[0])


def _word_likeness(one: str, two: str) -> float:
    """-1 where two words differ too much to be spellings of each other."""
    from rapidfuzz.distance import DamerauLevenshtein

    if one == two:
        return 1.0
    distance = DamerauLevenshtein.distance(one, two)
    longest = max(len(one), len(two))
    allowed = 0 if longest < 5 else 1 if longest < 8 else 2
    if distance > allowed:
        return -1.0
    if one[0] != two[0] and longest < 7:
        return -1.0
    return 1 - distance / longest


def _match(name: str, hits: list[tuple[str, bool]], via: str, score: float, modifier: str, doubts: tuple[Doubt, ...]) -> Match:
    found = ingredients
    first = found[hits[0][0]]
    others = tuple(found[k] for k, _ in hits[1:])
    printed = " ".join(name.split())
    if others:
        doubts = (*doubts, _several_meanings(printed, first, others))
    return Match(first, round(max(0.0, score), 4), via, printed, others, modifier, doubts)


def _several_meanings(printed: str, taken: Ingredient, others: tuple[Ingredient, ...], reasons: tuple[str, ...] = ()) -> Doubt:
    """The doubt that goes with a contested name: what it is taken for here, why, and what else it has meant."""
    poison = [o.name for o in (taken, *others) if o.forbidden]
    elsewhere = " or ".join(o.name for o in others)
    text = f"{printed!r} has meant {taken.name}; in other books {elsewhere}."
    if reasons:
        said = " and ".join(reasons)
        text += f" {said[0].upper()}{said[1:]} speak{'s' if len(reasons) == 1 else ''} for it here."
    effect = f"One meaning must not be used: {', '.join(poison)}." if poison else "It changes what is weighed."
    return Doubt("ingredient", text, tuple(o.name for o in others), effect)


def found_how(match: Match) -> str:
    """By which way a name was found, in words for a maker: 'by its Latin name', "without 'powdered'"."""
    ways = {
        "exact": "by its name",
        "latin": "by its Latin name",
        "modifier": f"without {match.modifier!r}",
        "spelling": "by the nearest spelling",
        "damage": "by the nearest spelling",
    }
    return ways[match.via]


def _in_context(match: Match, source: Source | None, unit: str) -> Match:
    """Of several meanings, the one that the unit, and the year, place and kind of the book speak for.

    A name known by its nearest spelling alone keeps its first meaning: its alternatives are neighbours, too.
    """
    if match.via == "spelling":
        return match
    everything = [match.ingredient, *match.alternatives]
    pleas = {entry.id: _pleas(entry, match.name, source, unit) for entry in everything}
    best = max(everything, key=lambda entry: (sum(worth for _, worth in pleas[entry.id]), -everything.index(entry)))
    if best is match.ingredient:
        return match
    others = tuple(entry for entry in everything if entry is not best)
    reasons = tuple(dict.fromkeys(why for why, worth in pleas[best.id] if worth > 0))
    reasons = reasons or tuple(dict.fromkeys(why for why, worth in pleas[match.ingredient.id] if worth < 0))
    first = _several_meanings(match.name, match.ingredient, match.alternatives)
    doubts = tuple(_several_meanings(match.name, best, others, reasons) if d == first else d for d in match.doubts)
    return replace(match, ingredient=best, alternatives=others, doubts=doubts)


def _pleas(entry: Ingredient, printed: str, source: Source | None, unit: str) -> list[tuple[str, float]]:
    """What speaks for (more than 0) or against (less) the name meaning this ingredient here: (what, how much)."""
    pleas: list[tuple[str, float]] = []
    folded = fold(printed)
    for name in entry.names:
        if source is None or (fold(name.name) != folded and _key(fold(name.name)) != _key(folded)):
            continue
        if source.country and name.region:
            pleas.append(("the country of the book", 1.0 if source.country in name.region else -0.5))
        if source.year and name.period and (worth := _in_period(source.year, name.period)):
            pleas.append(("the year of the book", worth))
        if source.kind and (kinds := _kinds_of_book(name.period)):
            pleas.append(("the kind of book", 1.0 if source.kind in kinds else -0.5))
    if unit in ("drop", "minim") and entry.kind in ("essential-oil", "fixed-oil"):
        pleas.append(("counting by drops", 2.0 if entry.kind == "essential-oil" else -2.0))
    return pleas


@lru_cache(maxsize=4096)
def _kinds_of_book(period: str) -> frozenset[str]:
    """The kinds of book (`model.KINDS`) that words such as 'prescriptions' or 'kitchen books' speak of."""
    said = f" {fold(period)} "
    return frozenset(row["kind"] for row in tables.read("glossary/lookup_books") if f" {row['word']} " in said)


def _in_period(year: int, period: str) -> float:
    """1 where the year lies in a period such as 'before 1850', '1780-1860', 'after 1900'; -1 where it does not."""
    years = [int(y) for y in re.findall(r"\b1[5-9]\d\d\b", period)]
    if not years:
        return 0.0
    text = period.lower()
    if "before" in text or "until" in text or text.startswith("to "):
        return 1.0 if year <= years[0] else -1.0
    if "after" in text or "from" in text or text.endswith("on") or text.endswith("-"):
        return 1.0 if year >= years[0] else -1.0
    if len(years) >= 2:
        return 1.0 if years[0] <= year <= years[1] else -1.0
    return 0.0
