"""Which convention a book followed: ranked guesses, each with its reason, never one alone."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cache, lru_cache

from histkit.base.bibliography import cite
from histkit.base.grid import Column, Grid
from histkit.base.nouns import Source
from histkit.base.tables import entries
from histkit.base.text import Cell
from histkit.display.tabular import Tabular
from histkit.measures.convention import Convention, Reach, conventions, reaches
from histkit.measures.rows import rows
from histkit.measures.said import following, said_in, words_of

# The weights of a ranking are rules of thumb: common practice, no source.
_CERTAINTY_FACTOR = {"high": 1.0, "medium": 0.85, "low": 0.55}
_ELSEWHERE = 0.04
"""Weight of a convention of another country: a book may be a reprint or a translation."""
_LIKE = 0.7
"""Weight of the country whose measures this one is known to have followed."""
_LINGER = 12.0
"""Years after its end in which an older measure fades by a factor e: receipts were copied from book to book."""
_EARLY = 3.0
"""The same before its beginning: a measure is seldom used before its law."""
_USUAL_YEARS = (1840, 1914)
"""Most books of receipts that come to hand were printed between these years; taken where no year is given."""
_OUTSIDE = 0.1
"""Weight, where no year is given, of a convention of other years than these: a book of its own country's older measures
comes to hand more often than a reprint from another country."""
_LEAST = 0.04
"""A convention scoring less than this share of the best is not told, unless it is the only runner-up."""
_FITTING = 2.0
"""A book printed in the very state whose measures these were, or whose title speaks for them."""
_SHOWN = 1.5
"""A convention that comes into question only by what the formula itself shows (a scruple, the heading of a medicine)."""
ALSO = "Also to be thought of: "
"""How the reason of a runner-up begins."""
_METRIC_UNITS = frozenset({"gram", "milligram", "centigram", "kilogram", "millilitre", "litre"})
_OLD_UNITS = frozenset(
    {"grain", "scruple", "drachm", "ounce", "pound", "minim", "fluid drachm", "fluid ounce", "gill", "pint", "quart", "gallon"}
)


@dataclass(frozen=True, slots=True)
class Choice(Tabular):
    """One convention that a book may have followed.

    `weight` lies between 0 and 1, the weights of one ranking add to 1; `certainty` says the same in words ("near
    certain", "likely", "possible", "unlikely"); `reason` is a sentence.
    """

    convention: Convention
    certainty: str
    reason: str
    weight: float

    def _grid(self) -> Grid:
        return choices_grid((self,))


def choices_grid(choices: Iterable[Choice]) -> Grid:
    """A ranking as a table."""
    columns = (
        Column("convention", "Convention"),
        Column("certainty", "How sure"),
        Column("weight", "Weight", 2),
        Column("reason", "Why"),
    )
    body: list[tuple[Cell, ...]] = [(c.convention.name, c.certainty, c.weight, c.reason) for c in choices]
    return Grid(columns, tuple(body), "What the measures meant")


@dataclass(frozen=True, slots=True)
class _Book:
    """What is known or guessed of a book, and how to say it."""

    country: str
    country_words: str
    like: str
    year: int | None
    kind: str | None
    kind_words: str
    place: str
    title: str
    origin: str
    """The country from whose language the title says that the book was translated; '' for none."""
    unknown: tuple[str, ...]


def choose(source: Source | None, units: Iterable[str] = (), said: tuple[str, ...] = (), heading: str = "") -> tuple[Choice, ...]:
    """The conventions that a book may have followed, likeliest first, at least two of them.

    `units` are the canonical unit words that the formula prints, where known: a formula in ounces follows no metric
    book, one in grams alone follows no other. What the book says of its own measures (`source.measures`) goes before all
    tables, and `said` (words of said_systems.csv), what the page says, before that. `heading` is the formula's title: that of
    a medicine speaks for apothecaries' weight. Without a source the commonest conventions are ranked and the reasons say
    what is not known.
    """
    printed = frozenset(units)
    shown = printed | {"medicine"} if printed and _medicines() & set(_words(heading)) else printed
    book = source or Source()
    telling = shown & _telling_units() if printed else None
    named = tuple(dict.fromkeys((*said, *said_in(book.measures))))
    ranked = _choose(book, bool(printed & _OLD_UNITS), bool(printed & _METRIC_UNITS), telling)
    words = " and ".join(map(words_of, named))
    reason = f" The book itself says: {words}; that goes before the tables." if words else ""
    if book.measures and not said_in(book.measures):
        reason += f" What the book says of its measures ({book.measures!r}) names none that the tables know."
    if not reason:
        return ranked
    return tuple(replace(c, convention=following(c.convention, named, "book"), reason=c.reason + reason) for c in ranked)


@lru_cache(maxsize=256)
def _choose(source: Source, old: bool, metric: bool, telling: frozenset[str] | None) -> tuple[Choice, ...]:
    book, scores = _scores(source)
    scored: dict[str, tuple[float, Reach]] = {}
    for reach, score, asked in zip(reaches(), scores, _in_question(telling), strict=True):
        if not asked:
            continue
        if reach.convention == "metric" and old:
            score *= 0.02
        elif reach.convention != "metric" and metric and not old:
            score *= 0.01
        if reach.convention not in scored or score > scored[reach.convention][0]:
            scored[reach.convention] = (score, reach)
    ranked = sorted(scored.items(), key=lambda item: -item[1][0])
    best = ranked[0][1][0]
    kept = [item for item in ranked if item[1][0] >= _LEAST * best][:5]
    kept = kept if len(kept) >= 2 else ranked[:2]
    total = sum(score for _, (score, _) in kept)
    return tuple(
        Choice(
            conventions[name],
            _certainty(score / total, reach, book),
            _reason(book, reach, name, first=index == 0),
            score / total,
        )
        for index, (name, (score, reach)) in enumerate(kept)
    )


@lru_cache(maxsize=256)
def _scores(source: Source) -> tuple[_Book, tuple[float, ...]]:
    """The book, and how well each reach fits it whatever one of its formulas prints: it is asked for every formula of a book."""
    book = _book(source)
    return book, tuple(_score(book, reach) for reach in reaches())


@cache
def _telling_units() -> frozenset[str]:
    """The units on which some convention depends."""
    return frozenset(unit for reach in reaches() for unit in (*reach.only_with, reach.idle_without, *reach.never_with) if unit)


@lru_cache(maxsize=256)
def _in_question(telling: frozenset[str] | None) -> tuple[bool, ...]:
    """Whether the units printed, None where they are not known, leave the convention of each reach in question."""

    def asked(reach: Reach) -> bool:
        if telling is None:
            return not reach.only_with
        shown = not reach.only_with or not telling.isdisjoint(reach.only_with)
        return shown and (not reach.idle_without or reach.idle_without in telling) and telling.isdisjoint(reach.never_with)

    return tuple(map(asked, reaches()))


def _score(book: _Book, reach: Reach) -> float:
    fit = _country_factor(book, reach) * _year_factor(book.year, reach) * _kind_factor(book.kind, reach)
    told = _SHOWN if reach.only_with else 1.0
    return (fit * _CERTAINTY_FACTOR[reach.certainty] * told * _fitting(book, reach)) ** 2


def _country_factor(book: _Book, reach: Reach) -> float:
    if not book.country:
        return _priors().get(reach.country, 0.01)
    # A translation keeps the figures where its readers have a measure of the same name, and turns grams into their own.
    if reach.country == book.country or (reach.country == book.origin and reach.convention != "metric"):
        return 1.0
    if reach.country == book.like:
        return _LIKE
    return _ELSEWHERE * (1 + _priors().get(reach.country, 0.01))  # the commoner country first


def _fitting(book: _Book, reach: Reach) -> float:
    """A town, a state or the title of the book counts for these measures only while they were law or custom there."""
    if book.year is not None and not reach.from_year <= book.year <= reach.to_year:
        return 1.0
    by_place = bool(reach.places) and _any_of(reach.places).search(book.place.casefold()) is not None
    translated = bool(book.origin) and book.origin == reach.translated_from
    return _FITTING if by_place or translated or _begins(book.title, reach.titles) else 1.0


def _begins(text: str, starts: tuple[str, ...]) -> str:
    """The first word of `text` that begins with one of `starts`; '' for none."""
    return next((word for word in _words(text) if word.startswith(starts)), "") if starts else ""


@cache
def _medicines() -> frozenset[str]:
    return frozenset(row["word"] for row in rows("medicine_words"))


def _words(text: str) -> list[str]:
    return re.findall(r"\w+", text.casefold())


def _origin(title: str) -> str:
    """The country from whose language a book was translated, where its title says so (translated_words.csv)."""
    plain = " ".join(_words(title))
    return next((row["country"] for row in rows("translated_words") if row["phrase"] in plain), "")


def _year_factor(year: int | None, reach: Reach) -> float:
    if year is None:
        overlap = min(reach.to_year, _USUAL_YEARS[1]) - max(reach.from_year, _USUAL_YEARS[0])
        return max(_OUTSIDE, overlap / (_USUAL_YEARS[1] - _USUAL_YEARS[0]))
    if year < reach.from_year:
        return math.exp(-(reach.from_year - year) / _EARLY)
    if year > reach.to_year:
        return math.exp(-(year - reach.to_year) / _LINGER)
    return 1.0


def _kind_factor(kind: str | None, reach: Reach) -> float:
    table = _affinities()
    if not reach.kinds:
        return 1.0 if kind else 0.6
    return max(table[kind or "unknown", used_in] for used_in in reach.kinds)


@cache
def _affinities() -> dict[tuple[str, str], float]:
    return {(r["kind"], r["used_in"]): float(r["affinity"]) for r in rows("kind_affinities")}


@cache
def _priors() -> dict[str, float]:
    return {r["code"]: float(r["prior"]) for r in rows("countries")}


@cache
def _country_names() -> dict[str, str]:
    out: dict[str, str] = {}
    for row in rows("countries"):
        for name in (row["code"], *entries(row["aliases"])):
            out[name.upper()] = row["code"]
    return out


@cache
def _country_rows() -> dict[str, dict[str, str]]:
    return {row["code"]: row for row in rows("countries")}


def _book(source: Source) -> _Book:
    unknown: list[str] = []
    code = _country_names().get(source.country.strip().upper(), "")
    guessed = ""
    if not code:
        code, city = _country_of(source.place)
        guessed = f", told by its place of printing ({city})" if code else ""
    if not code:
        printed = source.country.strip()
        unknown.append(f"the country {printed!r} is in no table" if printed else "the country is not known")
    row = _country_rows().get(code, {})
    kind, kind_words = source.kind, ""
    if kind is None:
        kind, hint = guess_kind(source.title)
        if kind is None:
            unknown.append("the sort of book is not known")
        else:
            kind_words = f"a {kind}, guessed from {hint!r} in the title"
    else:
        kind_words = f"a {kind}"
    if source.year is None:
        unknown.append("the year is not known")
    # A pharmacopoeia names its state in its title ('Pharmacopoea Borussica'); the titles of other books name what they please.
    place = f"{source.place} {source.title}" if kind == "pharmacopoeia" else source.place
    country = f"{row.get('name', '')}{guessed}"
    origin = _origin(source.title)
    return _Book(code, country, row.get("like", ""), source.year, kind, kind_words, place, source.title, origin, tuple(unknown))


def _country_of(place: str) -> tuple[str, str]:
    """The country of the town named first ('London and New York'), and the town; ('', '') where none is known."""
    towns = _towns()
    town = _any_of(tuple(towns)).search(place.casefold())
    return (towns[town[0]], town[0].title()) if town else ("", "")


@cache
def _towns() -> dict[str, str]:
    return {city: row["code"] for row in rows("countries") for city in entries(row["cities"])}


@cache
def _any_of(towns: tuple[str, ...]) -> re.Pattern[str]:
    """Finds these towns as whole words ('Bernburg' is not Bern), the longest name first ('Cambridge, Mass', then 'Cambridge')."""
    longest_first = sorted(towns, key=len, reverse=True)
    return re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, longest_first))})(?!\w)")


@lru_cache(maxsize=256)
def guess_kind(title: str) -> tuple[str | None, str]:
    """The sort of book that the words of a title point to, and the word; (None, '') where none does.

    Rule of thumb, title_words.csv: the row listed first wins.
    """
    words = ["".join(letter for letter in word if letter.isalpha()) for word in title.casefold().replace("-", " ").split()]
    for row in rows("title_words"):
        for word in words:
            if word.startswith(row["start"]):
                return row["kind"], word
    return None, ""


def _certainty(weight: float, reach: Reach, book: _Book) -> str:
    # Outside the country and the years of the law, a convention may lead the ranking without being sure.
    in_force = reach.country == book.country and book.year is not None and reach.from_year <= book.year <= reach.to_year
    if weight >= 0.8 and reach.certainty == "high" and in_force and not book.unknown:
        return "near certain"
    if weight >= 0.5:
        return "likely" if len(book.unknown) < 2 else "possible"
    return "possible" if weight >= 0.15 else "unlikely"


def _reason(book: _Book, reach: Reach, name: str, first: bool) -> str:
    where = f"printed in {book.country_words}" if book.country else "printed"
    when = f" in {book.year}" if book.year is not None else ""
    opening = f"{where}{when}" if book.country or when else "of this book little is known"
    facts = [opening]
    if book.country and book.country == reach.country:
        facts.append(_era(book, reach))
    elif book.origin and reach.country == book.origin:
        facts.append(f"but its title says that it was translated from a book of {_country_rows()[reach.country]['name']}")
    elif book.country and reach.country == book.like:
        facts.append(f"where the measures of {_country_rows()[reach.country]['name']} were followed")
    elif book.country:
        facts.append(f"but it may be a reprint or translation of a book of {_country_rows()[reach.country]['name']}")
    else:
        facts.append(f"taken as a book of {_country_rows()[reach.country]['name']}, {_era(book, reach)}")
    text = ", ".join(facts)
    text += f"; {book.kind_words}" if book.kind_words else ""
    if book.kind and reach.kinds and book.kind not in reach.kinds:
        text += f", though this is rather the way of {' and '.join(f'{k}s' for k in reach.kinds)}"
    if word := _begins(book.title, reach.titles):
        text += f"; its title has the word {word!r}"
    if book.unknown:
        text += f"; {', '.join(book.unknown)}"
    text = f"{text[:1].upper()}{text[1:]}" if first else f"{ALSO}{text}"
    return f"{text}: {conventions[name].note} (source: {cite(reach.source, reach.section, reach.mark)})."


def _era(book: _Book, reach: Reach) -> str:
    if book.year is None:
        return f"the usual measures {reach.era}"
    if book.year > reach.to_year:
        return f"{book.year - reach.to_year} years after these measures had ended, but receipts were copied from older books"
    if book.year < reach.from_year:
        return f"{reach.from_year - book.year} years before these measures came in"
    return reach.era
