"""The amounts of a text in the light of the whole text: which are none after all, which unit an abbreviation stands for."""

from __future__ import annotations

from bisect import bisect_left
from itertools import pairwise, zip_longest

from histkit.base.letters import ILLEGIBLE
from histkit.base.nouns import Doubt, Source, amount_text
from histkit.reading.damage import collapsed_fractions, is_collapsed, worn_fraction
from histkit.reading.decimals import with_decimal_commas
from histkit.reading.measure import FLUIDS, WEIGHTS, Measure, same_amount
from histkit.reading.measuring import measures_of
from histkit.reading.unit_words import ends_a_clause
from histkit.reading.view import View, phrases_that_begin
from histkit.reading.vocabulary import OF, OR, TAKE, direction_words, table, word_list

_PART_OR_PINT, _GRAIN_OR_GRAM = word_list("part-or-pint"), word_list("grain-or-gram")
_TELLS_USE, _TELLS_DOSE = word_list("tells-use"), word_list("tells-dose")
_FRENCH, _GERMAN = word_list("french"), word_list("german")
_IT = word_list("it-or-them")
_IN, _GIVES, _POINTING, _OF_THIS = map(word_list, ("with-or-in", "gives-a-dose", "this", "of-this"))
_BEFORE_A_DOSE_GIVEN = word_list("to-whom") | word_list("from")
_LARGER = frozenset((*WEIGHTS, *FLUIDS)) - {"grain", "scruple", "minim"}
_BESIDE_PINTS = frozenset(("ounce", "fluid ounce", "drachm", "fluid drachm", "quart", "gallon", "gill", "pound", "pint"))
"""Units in a list of which 'pt.' is a pint."""
_LIKE_THE_DRACHM = ("3", "5")
"""Figures that look like the sign of the drachm."""
_SHORT_NAME = 3
_POUND = 16.0
"""Ounces: less than that stands beside pounds as it is printed."""
_BEHIND_A_DOSE = 7
"""Tokens at most between a dose and the words that say so."""
_BEFORE_A_DOSE = 8
"""Tokens at most between 'give' or 'take' and a dose."""
_OF_IT = 2
"""Words of 'of it'."""
_DOSERS = ("teaspoonful", "dessertspoonful", "tablespoonful", "wineglassful", "cupful", "drop", "pinch")
"""Units by which a thing is taken and seldom made."""
_NO_LONGER_SMALL, _ENOUGH_TO_COMPARE = 9.0, 2
_PARTS = (0.5, 0.25)
"""Fractions of which a copy may keep the lower figure alone: '24' for 2¼."""


def sifted(view: View, source: Source | None) -> list[Measure]:
    """All amounts of the text that are amounts of ingredients, each unit settled as far as the whole text tells."""
    measures = _scented_by_amount(view, measures_of(view))
    measures = _part_or_pint(view, measures)
    measures = _older_units(view, _grain_or_gram(view, measures, source), source)
    measures = with_decimal_commas(view, measures) if _is_foreign(view, source) else measures
    measures = _without_use(view, _without_list_numbers(view, _without_vehicles(view, measures)))
    measures = _portions_of_something_printed(view, _said_again(view, _without_restated(view, measures)))
    measures = _perhaps_signs(view, _perhaps_grains(view, _perhaps_collapsed(view, measures)))
    return _illegible(view, measures)


def _illegible(view: View, measures: list[Measure]) -> list[Measure]:
    """A doubt about each amount in which a letter could not be read or a figure is worn, and of which nothing else is doubted."""
    told = []
    for m in measures:
        worn = next((t for t in view.tokens[m.first : m.last] if ILLEGIBLE in t.damaged or (t.damaged and t.kind == "num")), None)
        if worn is not None and not m.doubts:
            text = f"{worn.damaged!r} is worn or not wholly legible; it is read as {worn.word or format(worn.value, 'g')!r}."
            m = m._replace(doubts=(Doubt("amount", text, (), "Look at the page."),))
        told.append(m)
    return told


def _perhaps_collapsed(view: View, measures: list[Measure]) -> list[Measure]:
    """A doubt about '12 oz.' among small figures, none of them pounds, and about each such figure where other fractions of the
    text are worn."""
    compared = [m for m in measures if m.kind == "plain" and m.unit in _LARGER and isinstance(m.amount, float)]
    figures = [view.tokens[i] for i in view.by_kind["num"]]
    worn = any(worn_fraction(figure.damaged) or is_collapsed(figure) for figure in figures)
    odd = {m.first: value for m in compared if (value := _uncollapsed(_figure_of(view, m), worn))}
    in_pounds = not worn and any(m.unit == "pound" and m.first not in odd for m in compared)
    plainly = {m.first for m in compared if in_pounds and m.unit == "ounce" and isinstance(m.amount, float) and m.amount < _POUND}
    odd = {first: value for first, value in odd.items() if first not in plainly}
    others = [m.amount for m in compared if m.first not in odd and isinstance(m.amount, float)]
    intact = any(not figure.damaged and figure.value % 1 for figure in figures)  # 'lemon, 1/2 oz.'
    small = len(others) >= _ENOUGH_TO_COMPARE and max(others) < _NO_LONGER_SMALL and not intact
    if not odd or not (worn or small):
        return measures

    def doubt(m: Measure) -> Doubt:
        shown = amount_text(odd[m.first])
        text = f"{_figure_of(view, m)} may be {shown}: a copy that lost its raised figures prints it so."
        return Doubt("amount", text, (f"{shown} {m.unit}",), "Look at the page.")

    return [m._replace(doubts=(doubt(m),)) if m.first in odd and not m.doubts else m for m in measures]


def _uncollapsed(printed: str, worn: bool) -> float:
    """What a figure is if its last ones are a fraction's: ½ of 12, 1¾ of 134; 2¼ of 24 in a worn text; 0 where they are none."""
    if printed in collapsed_fractions():
        return collapsed_fractions()[printed]
    if not worn or not printed.isdigit() or len(printed) < 2:
        return 0.0
    part = collapsed_fractions().get(printed[1:], {str(round(1 / value)): value for value in _PARTS}.get(printed[1:], 0.0))
    return float(printed[0]) + part if part else 0.0


def _perhaps_grains(view: View, measures: list[Measure]) -> list[Measure]:
    """A doubt about the only grams of a worn text that weighs by ounces and drachms: 'grains' is scanned so."""
    weighed = [m.unit for m in measures]
    alone = weighed.count("gram") == 1 and sum(unit in _LARGER for unit in weighed) >= _ENOUGH_TO_COMPARE
    if not alone or not any(token.damaged for token in view.tokens):
        return measures
    doubt = Doubt("unit", "Nothing else is in grams here, and the print is worn.", ("grain",), "A grain is far lighter.")
    return [m._replace(doubts=(*m.doubts, doubt)) if m.unit == "gram" else m for m in measures]


def _perhaps_signs(view: View, measures: list[Measure]) -> list[Measure]:
    """A doubt about '5 l.' in a text where other figures are taken for worn signs: it may be the drachm and its numeral."""
    if not any(token.kind == "sign" and token.damaged for token in view.tokens):
        return measures

    def like_a_sign(m: Measure) -> bool:
        return m.unit == "litre" and m.last - m.first == 2 and view.tokens[m.first].text in _LIKE_THE_DRACHM

    doubt = Doubt("unit", "Other figures here are worn signs of the drachm.", ("drachm",), "Look at the page.")
    return [m._replace(doubts=(*m.doubts, doubt)) if like_a_sign(m) else m for m in measures]


def _figure_of(view: View, m: Measure) -> str:
    """The first figure of an amount as printed: '12' of 'of each 12 oz.'; "" where it has none."""
    return next((token.text for token in view.tokens[m.first : m.last] if token.kind == "num"), "")


def _portions_of_something_printed(view: View, measures: list[Measure]) -> list[Measure]:
    """'To 12 drachms of this powder add …' with nothing above it: the powder is an ingredient like any other, 'it' is none."""
    first = next((m.first for m in measures if m.kind == "portion"), 0)
    if any(m.kind in ("plain", "bare") for m in measures if m.last <= first):
        return measures
    return [m._replace(kind="plain") if m.kind == "portion" and view.next_word(m.last + 1) not in _IT else m for m in measures]


def _part_or_pint(view: View, measures: list[Measure]) -> list[Measure]:
    """'pt.' is a pint or a part: a part where the figures are large, nothing else is measured by volume, or the list to which it
    belongs has parts: the amount before it tells, or where none is, the one behind, whatever is said of the use of it."""
    shorts = [m for m in measures if m.unit == "pint" and view.tokens[m.last - 1].word in _PART_OR_PINT]
    if not shorts:
        return measures
    doubtful = {m.first for m in shorts}
    others = [m for m in measures if m.first not in doubtful]
    large = any(isinstance(m.amount, float) and m.amount > 16 for m in shorts)
    alone = _BESIDE_PINTS.isdisjoint(m.unit for m in others)
    before, behind = ([m.unit for m in others if (m.first < shorts[0].first) == earlier] for earlier in (True, False))
    nearest = (before[-1:] or behind[:1]) if not alone else ["part" for m in others if m.unit == "part"]
    if not (large or "part" in nearest or (alone and len(shorts) > 2)):
        return measures
    doubt = Doubt("unit", "'pt.' is read as part.", ("pint",), "Pints would make every other amount far smaller beside them.")
    return [m._replace(unit="part", doubts=(*m.doubts, doubt)) if m.first in doubtful else m for m in measures]


def _scented_by_amount(view: View, measures: list[Measure]) -> list[Measure]:
    """'scented with oil of rose, five drops': the amount that follows is meant, not as much as suffices."""
    kept = []
    for m, following in zip_longest(measures, measures[1:]):
        if m.reach == -1 and following is not None and following.kind == "plain" and following.each != "after":
            between = view.tokens[m.last : following.first]
            stops = [t.text for t in between if t.kind == "sep"]
            ends = view.ends_clause(following.last) or view.phrase(view.solid[following.last], "rate") is not None
            if ends and between and (not stops or (stops == [","] and between[-1].text == ",")):
                continue
        kept.append(m)
    return kept


def _without_use(view: View, measures: list[Measure]) -> list[Measure]:
    """Those amounts that tell how much to use are none of an ingredient: 'Dose: a teaspoonful in half a tumbler of water.', and
    from 'a teaspoonful thrice a day' to the end of its sentence; where nothing else is measured, the formula is what is taken.

    A paragraph headed so that begins with 'Take', or outside of which nothing is measured, says how it is made.
    """
    tokens, end = view.tokens, 0
    headed, of_use = [False] * len(tokens), [False] * len(tokens)
    for i, token in [(i, tokens[i]) for i in view.saying(_TELLS_USE)]:
        dose = token.word in _TELLS_DOSE and i > 0 and (tokens[i - 1].dot or tokens[i - 1].kind == "sep")  # '… mix. Dose, ℥ij.'
        if i < end or (i and not dose and tokens[i - 1].kind not in ("line", "para", "gap")):
            continue
        if dose or token.dot or tokens[min(i + 1, len(tokens) - 1)].text == ":":
            end = next((k for k in range(i, len(tokens)) if tokens[k].kind == "para"), len(tokens))
            first_word = next((k for k in range(i + 1, end) if tokens[k].kind == "word"), end - 1)
            headed[i:end] = [tokens[first_word].word not in TAKE] * (end - i)
    doses = not phrases_that_begin("dose").isdisjoint(view.words)
    for m in measures if doses else ():
        if not headed[m.first] and not of_use[m.first] and _is_a_dose(view, m):
            end = next((i for i in range(m.last, len(tokens)) if ends_a_clause(view.tokens[i])), len(tokens))
            of_use[m.first : end] = [True] * (end - m.first)
    kept = [m._replace(kind="rate") if of_use[m.first] else m for m in measures if not headed[m.first]]
    return kept if any(m.kind == "plain" for m in kept) else measures


def _begins_to_tell(view: View, i: int) -> bool:
    """'honey, one tablespoonful. Gargle three times a day': whether a new sentence that tells what to do begins at token i."""
    tells = view.words[i] in direction_words() or view.words[i] in TAKE
    return tells and view.tokens[i - 1].dot and view.tokens[i].text[:1].isupper()


def _without_vehicles(view: View, measures: list[Measure]) -> list[Measure]:
    """'give him a spoonful of it in a quart of ale', 'let him take of this a spoonful in a cup of wine', 'give a scruple in
    wine': a dose, and what it is taken in, are none of the formula."""
    kept: list[Measure] = []
    for m in measures:
        dose = kept[-1] if kept else None
        vehicle = dose is not None and m.kind == "plain" and view.words[m.first - 1] in _IN and _is_given(view, dose, m.first - 1)
        kept.append(m._replace(kind="rate") if vehicle or (dose is not None and _is_given_in_something(view, m)) else m)
    return kept


def _is_given_in_something(view: View, m: Measure) -> bool:
    """'give him a scruple in white wine': whether a verb of giving stands before an amount, and no name but 'in' behind it."""
    if m.kind != "plain" or view.next_word(m.last) not in _IN:
        return False
    before = m.first - 1
    while before > 0 and (view.words[before] in _BEFORE_A_DOSE_GIVEN or view.tokens[before].kind in ("line", "gap")):
        before -= 1
    return before >= 0 and view.words[before] in _GIVES


def _is_given(view: View, dose: Measure, end: int) -> bool:
    """Whether an amount is one of the thing made, given or taken, with nothing but 'of it' up to token `end` behind it."""
    before = view.words[max(0, dose.first - _BEFORE_A_DOSE) : dose.first]
    behind = [word for word in view.words[dose.last : end] if word]
    of_it = len(behind) == _OF_IT and behind[0] in OF and (behind[1] in _IT or behind[1] in _POINTING)
    of_this = not behind and (
        not _OF_THIS.isdisjoint(before) or any(of in OF and this in _POINTING for of, this in pairwise(before))
    )
    return (of_it or of_this) and not (_GIVES | TAKE).isdisjoint(before)


def _is_a_dose(view: View, m: Measure) -> bool:
    """Whether words such as 'twice a day' follow an amount, at once or behind a short name, and the amount is of a doser's unit;
    behind 'for a dose' any unit is."""
    for i in range(m.last, min(len(view.tokens), m.last + _BEHIND_A_DOSE)):
        if ends_a_clause(view.tokens[i - 1]) or (i == m.last and _begins_to_tell(view, i)):
            break
        said = view.phrase(i, "dose")
        if said is not None:
            at_once, when = i == view.solid[m.last], said[0].when
            by_doser = m.unit in _DOSERS and (at_once or when != "at-once")
            return by_doser if when not in ("any-unit", "directly") else at_once or when == "any-unit"
        if view.tokens[i].kind in ("num", "sep", "para", "sign"):
            return False  # 'syrup, a spoonful, every hour' is what is taken
    return False


def _without_restated(view: View, measures: list[Measure]) -> list[Measure]:
    """'drei Gallonen Alkohol (24 Pfd.)': an amount in brackets behind the name of another says the same in another unit."""
    kept: list[Measure] = []
    for m in measures:
        last = kept[-1] if kept else None
        if last is not None and last.kind == m.kind == "plain" and view.tokens[m.first].kind == "open" and last.unit != m.unit:
            between = view.tokens[last.last : m.first]
            named = 0 < len(between) <= _SHORT_NAME and all(token.kind == "word" and not token.dot for token in between)
            if named and last.unit not in ("piece", "") and view.tokens[last.first].kind != "open":
                kept[-1] = last._replace(also=(*last.also, (m.amount, m.unit), *m.plus))
                continue
        kept.append(m)
    return kept


def _said_again(view: View, measures: list[Measure]) -> list[Measure]:
    """'A quart of yeast, that is, a quart of brewer's yeast': the second amount is none of its own; what follows it in its
    sentence may be what the thing is made of, and is told."""
    places = view.saying(phrases_that_begin("restates"))
    said = [(k, phrase[1]) for k in places if (phrase := view.phrase(k, "restates"))]
    if not said:
        return measures
    inside, starts = {k for a, b in said for k in range(a, b)}, [a for a, _ in said]
    measures = [m for m in measures if m.first not in inside]  # 'or what is the same'
    kept, end = measures[:1], 0
    doubts: tuple[Doubt, ...] = ()
    for before, m in pairwise(measures):
        between = said[bisect_left(starts, before.last) : bisect_left(starts, m.first)]
        start = next((a for a, b in between if _leads_to(view, a, b, m.first)), -1)
        if start >= 0 and m.kind == before.kind == "plain" and same_amount(before, m):
            end = next((i for i in range(m.last, len(view.tokens)) if ends_a_clause(view.tokens[i])), len(view.tokens))
            said_so = " ".join(filter(None, view.words[start : m.first]))
            text = f"It stands behind {said_so!r}, which says again what stands before."
            doubts = (Doubt("group", text, ("it is part of what stands before",), "Look at the page."),)
            kept.append(m._replace(first=start, kind="rate"))
        else:
            kept.append(m._replace(doubts=(*m.doubts, *doubts)) if m.first < end else m)
    return kept


def _leads_to(view: View, a: int, b: int, amount: int) -> bool:
    """Whether 'that is' in tokens a…b stands behind a stop or begins with 'or', and nothing but 'take' before the amount."""
    behind_stop = a > 0 and view.tokens[a - 1].kind == "sep"
    return (behind_stop or view.words[a] in OR) and {word for word in view.words[b:amount] if word} <= TAKE


def _without_list_numbers(view: View, measures: list[Measure]) -> list[Measure]:
    """Without the figures 1, 2, 3 … that number the printed lines: '1 Precipitated chalk 4 oz.'"""
    tokens = view.tokens
    bare = [m for m in measures if m.kind == "bare"]
    indented = bool(tokens) and tokens[0].kind == "gap"
    starts = [m for m in bare if not m.first or tokens[m.first - 1].kind in ("line", "para") or (m.first == 1 and indented)]
    others = sum(m.kind == "plain" for m in measures)
    if len(starts) == 1 and others and _numbers_the_formula(view, starts[0]):
        return [m for m in measures if m is not starts[0]]
    if len(starts) < 2 or [m.amount for m in starts] != [float(n + 1) for n in range(len(starts))] or others < len(starts):
        return measures
    numbering = {m.first for m in starts}
    return [m for m in measures if m.first not in numbering]


def _numbers_the_formula(view: View, m: Measure) -> bool:
    """'1. Spirits of camphor, …': whether a figure and its stop, at the very head of a text, stand before a capital."""
    stop, following = view.token(m.last), view.token(view.solid[m.last + 1])
    stopped = stop is not None and stop.text == "." and stop.start == view.tokens[m.first].end
    return stopped and m.first <= 1 and m.amount == 1.0 and following is not None and following.text[:1].isupper()


def _is_foreign(view: View, source: Source | None) -> bool:
    """Whether a text is of a country of the Continent, or in its language."""
    if source is not None and any(row["country"] == source.country for row in table("metric_countries")):
        return True
    words = set(view.words)
    return ((source is None or not source.country) and len(words & _FRENCH) >= 2) or len(words & _GERMAN) >= 2


def _grain_or_gram(view: View, measures: list[Measure], source: Source | None) -> list[Measure]:
    """'gr.' in a French or German formula of the metric age is a gramme."""
    country = source.country if source else ""
    year = source.year if source else None
    metric = any(row["country"] == country and _is_metric(row, year) for row in table("metric_countries"))
    words = set(view.words)
    foreign = (not country and len(words & _FRENCH) >= 2) or len(words & _GERMAN) >= 2
    if not metric and not foreign:
        return measures
    doubt = Doubt(
        "unit",
        "'gr.' is read as gramme, as the book's country or language suggests.",
        ("grain",),
        "A grain is a fifteenth of a gramme.",
    )
    return [
        m._replace(unit="gram", doubts=(*m.doubts, doubt))
        if m.unit == "grain" and not _GRAIN_OR_GRAM.isdisjoint(view.words[m.first : m.last])
        else m
        for m in measures
    ]


def _older_units(view: View, measures: list[Measure], source: Source | None) -> list[Measure]:
    """In a book older than a unit its abbreviation means another: 'M. j' of 1659 is a handful (manipulus) and no minim."""
    year = source.year if source else None
    older = {row["word"]: row for row in table("older_units") if year is not None and year < int(row["until"])}
    if not older:
        return measures
    settled = []
    for m in measures:
        words = (older.get(word) for word in view.words[m.first : m.last])
        row = next((row for row in words if row is not None and row["unit"] == m.unit), None)
        settled.append(m if row is None else m._replace(unit=row["instead"]))
    return settled


def _is_metric(row: dict[str, str], year: int | None) -> bool:
    """Whether the books of a country weigh in grammes; one without a year counts as the row says."""
    return year >= int(row["since"]) if year is not None else row["without_year"] == "metric"
