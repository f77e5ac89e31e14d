"""The amounts of a text in the light of the whole text: which are none after all, which unit an abbreviation stands for."""

from __future__ import annotations

from dataclasses import replace
from itertools import zip_longest

from histkit.base.nouns import Doubt, Source
from histkit.reading.measure import Measure
from histkit.reading.measuring import Scanner
from histkit.reading.vocabulary import word_list


def sifted(scanner: Scanner, latin: bool, source: Source | None) -> list[Measure]:
    """All amounts of the text that are amounts of ingredients, each unit settled as far as the whole text tells."""
    measures = _scented_by_amount(scanner, scanner.measures())
    measures = _trusted(scanner, _part_or_pint(scanner, measures), latin)
    measures = _without_use(scanner, _without_list_numbers(scanner, _grain_or_gram(scanner, measures, source)))
    return _portions_of_something_printed(measures)


def _portions_of_something_printed(measures: list[Measure]) -> list[Measure]:
    """'To 12 drachms of this powder add …' with nothing above it: the powder is an ingredient like any other."""
    first = next((m.first for m in measures if m.kind == "portion"), 0)
    if any(m.kind in ("plain", "bare") for m in measures if m.last <= first):
        return measures
    return [replace(m, kind="plain") if m.kind == "portion" else m for m in measures]


def _trusted(scanner: Scanner, measures: list[Measure], latin: bool) -> list[Measure]:
    """Without signs guessed from damage where the text has no other sign and the figure makes sense as it stands."""
    kept = []
    for m in measures:
        first = scanner.tokens[m.first]
        if first.kind == "sign" and first.damaged and first.damaged in "jJzZ" and not latin:
            continue
        kept.append(m)
    return kept


def _part_or_pint(scanner: Scanner, measures: list[Measure]) -> list[Measure]:
    """'pt.' is a pint or a part: a part where the figures are large or nothing else is measured by volume."""
    shorts = [m for m in measures if m.unit == "pint" and scanner.tokens[m.last - 1].word in ("pt", "pts")]
    if not shorts:
        return measures
    others = {m.unit for m in measures if m not in shorts}
    large = any(isinstance(m.amount, float) and m.amount > 16 for m in shorts)
    alone = not others & {"ounce", "fluid ounce", "drachm", "fluid drachm", "quart", "gallon", "gill", "pound", "pint"}
    if not (large or "part" in others or (alone and len(shorts) > 2)):
        return measures
    doubt = Doubt("unit", "'pt.' is read as part.", ("pint",), "Pints would make every other amount far smaller beside them.")
    return [replace(m, unit="part", doubts=(*m.doubts, doubt)) if m in shorts else m for m in measures]


def _scented_by_amount(scanner: Scanner, measures: list[Measure]) -> list[Measure]:
    """'scented with oil of rose, five drops': the amount that follows is meant, not as much as suffices."""
    kept = []
    for m, following in zip_longest(measures, measures[1:]):
        if m.reach == -1 and following is not None and following.kind == "plain" and not following.each:
            between = scanner.tokens[m.last : following.first]
            stops = [t.text for t in between if t.kind == "sep"]
            if scanner.ends_clause(following.last) and between and (not stops or (stops == [","] and between[-1].text == ",")):
                continue
        kept.append(m)
    return kept


def _without_use(scanner: Scanner, measures: list[Measure]) -> list[Measure]:
    """Without the amounts that tell how much to use: 'Dose: a teaspoonful in half a tumbler of water.'"""
    tokens = scanner.tokens
    told: list[tuple[int, int]] = []
    for i, token in enumerate(tokens):
        starts = i == 0 or tokens[i - 1].kind in ("line", "para", "gap")
        stopped = token.dot or tokens[min(i + 1, len(tokens) - 1)].text == ":"
        if starts and stopped and token.word in word_list("tells-use"):
            end = next((k for k in range(i, len(tokens)) if tokens[k].kind == "para"), len(tokens))
            told.append((i, end))
    return [m for m in measures if not any(a <= m.first < b for a, b in told)] if told else measures


def _without_list_numbers(scanner: Scanner, measures: list[Measure]) -> list[Measure]:
    """Without the figures 1, 2, 3 … that number the printed lines: '1 Precipitated chalk 4 oz.'"""
    tokens = scanner.tokens
    starts = [m for m in measures if m.kind == "bare" and (not m.first or tokens[m.first - 1].kind in ("line", "para"))]
    starts += [m for m in measures if m.kind == "bare" and m.first == 1 and tokens[0].kind == "gap"]
    numbers = [m.amount for m in sorted(starts, key=lambda m: m.first)]
    others = sum(m.kind == "plain" for m in measures)
    if len(numbers) < 2 or numbers != [float(n + 1) for n in range(len(numbers))] or others < len(numbers):
        return measures
    return [m for m in measures if m not in starts]


def _grain_or_gram(scanner: Scanner, measures: list[Measure], source: Source | None) -> list[Measure]:
    """'gr.' in a French or German formula of the metric age is a gramme."""
    country = source.country if source else ""
    year = source.year if source else None
    metric = (country in ("FR", "BE", "CH", "IT", "ES") and (year is None or year >= 1840)) or (
        country in ("DE", "AT") and (year or 0) >= 1872
    )
    words = {t.word for t in scanner.tokens if t.kind == "word"}
    foreign = (not country and len(words & word_list("french")) >= 2) or len(words & word_list("german")) >= 2
    if not metric and not foreign:
        return measures
    doubt = Doubt(
        "unit",
        "'gr.' is read as gramme, as the book's country or language suggests.",
        ("grain",),
        "A grain is a fifteenth of a gramme.",
    )
    return [
        replace(m, unit="gram", doubts=(*m.doubts, doubt))
        if m.unit == "grain" and scanner.tokens[m.last - 1].word in ("gr", "grs")
        else m
        for m in measures
    ]
