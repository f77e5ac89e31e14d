"""Tokens → measures: every place where an amount is printed, in whatever notation.

A measure knows the tokens it covers, its figure(s) and canonical unit, whether it speaks of several things ('of each'),
and what is doubtful about it. To which name it belongs is decided later (`assigning`). The notations themselves are read by
`signed`, `counted` and `worded`; here stands what may precede and follow an amount of any notation.
"""

from __future__ import annotations

from functools import cache, lru_cache

from histkit.base.letters import ILLEGIBLE
from histkit.base.nouns import Doubt
from histkit.reading.counted import read_counted
from histkit.reading.diluted import read_dilution
from histkit.reading.figures import DASHES, DIMIDIUM
from histkit.reading.instead import first_of_two, instead_of
from histkit.reading.measure import Measure
from histkit.reading.numerals import BELOW_FORTY
from histkit.reading.signed import read_signed, read_under_a_ditto
from histkit.reading.unit_words import begins_a_sentence, begins_clause, unit_at
from histkit.reading.view import View, phrases_by_first_word
from histkit.reading.vocabulary import (
    OF,
    OR,
    TAKE,
    THE,
    TO,
    UnitWord,
    direction_words,
    modifiers,
    numbers,
    units,
    units_before_numerals,
    word_list,
    worn_figures,
)
from histkit.reading.whole import is_a_tool, is_made, is_supposed, names_a_vessel, refers_to_whole
from histkit.reading.worded import PURPOSES, read_any, read_equal

_BEFORE_FIGURE = word_list("before-figure")
_FROM, _NOT_PLAIN, _ALONE, _NAMELY, _LIGHT = map(word_list, ("from", "not-plain", "unit-alone", "namely", "light"))
_LONG_DASH = "—"
_SIGNS_BEFORE = frozenset({*DASHES, "£", ILLEGIBLE})
"""What may begin an amount and is no word, figure or sign of a unit."""
_READ_FROM_THE_END = 150
"""Tokens of a text above which it is read from its end first, so that no look ahead goes deeper than one amount."""


@cache
def _first_words() -> frozenset[str]:
    """Every word with which an amount may begin."""
    return _BEFORE_FIGURE.union(DIMIDIUM, _ALONE, phrases_by_first_word(), numbers(), units_before_numerals(), worn_figures())


@cache
def plain_units() -> dict[str, UnitWord]:
    """Unit words that mean one thing wherever they stand after a figure."""
    doubtful = word_list("only-after-digits") | _NOT_PLAIN
    return {word: entry for word, entry in units().items() if word not in doubtful and len(word) > 1}


def _may_begin(view: View) -> list[int]:
    """The tokens at which an amount could begin. Most words of a text name things and need no closer look."""
    tokens, by_kind = view.tokens, view.by_kind
    words = [i for i in by_kind["word"] if _may_be_first(tokens[i].word) or tokens[i].text.isupper()]
    signs = [i for kind in ("sep", "other") for i in by_kind[kind] if tokens[i].text in _SIGNS_BEFORE]
    return sorted([*by_kind["num"], *by_kind["sign"], *by_kind["open"], *by_kind["ditto"], *words, *signs])


@lru_cache(maxsize=16384)
def _may_be_first(word: str) -> bool:
    """Whether an amount could begin with this word."""
    return word in _first_words() or "-" in word or word.startswith(PURPOSES) or BELOW_FORTY.issuperset(word)


def measures_of(view: View) -> list[Measure]:
    """Every measure, left to right, none overlapping."""
    possible = _may_begin(view)
    if len(view.tokens) > _READ_FROM_THE_END:
        for i in reversed(possible):
            read_any(view, i)
    measures: list[Measure] = []
    behind = 0
    for i in possible:
        qualified = view.tokens[i].kind == "open" and view.depth[i] == 1  # '(av.) 3 ounces', 'the camphor (1 oz.)'
        if i >= behind and (qualified or not view.depth[i]) and (measure := measure_at(view, i)) is not None:
            measures.append(measure)
            behind = measure.last
    return measures


def measure_at(view: View, i: int) -> Measure | None:
    """The amount that begins at token i, with all that may stand around it."""
    token = view.tokens[i]
    if token.kind == "open":
        return _after_bracket(view, i)
    if token.kind == "ditto":
        return read_under_a_ditto(view, i)
    if token.kind == "num":  # the commonest by far, and it opens none of the phrases below
        counted = read_dilution(view, i) or read_counted(view, i)
        return None if counted is None else _placed(view, i, i, counted)
    start, approximate = i, False
    if approx := view.phrase(i, "approx", "weighing"):
        i, approximate = view.solid[approx[1]], approx[0].kind == "approx"  # 'the weight of a dram'
    for introduced in (_after_system_words, read_equal, _after_each_words, _rate, instead_of) if view.begins_phrase(i) else ():
        if (measure := introduced(view, i, start)) is not None:
            return measure
    measure = read_any(view, i)
    if measure is None:
        return None
    if approx and not approximate and (last := _past_another(view, measure)):
        return measure._replace(first=start, last=last, kind="rate")
    return _placed(view, start, i, measure._replace(approximate=True) if approximate else measure)


def _past_another(view: View, measure: Measure) -> int:
    """'in water, at the rate of 1 lb. to 1 gal.': past the second of two amounts that have their names before them; 0 where none
    follows the first, or a name follows the second."""
    k = view.solid[measure.last]
    other = read_any(view, view.solid[k + 1]) if view.words[k] in TO else None
    if other is None or view.next_word(other.last) in OF:
        return 0
    stopped = view.tokens[other.last - 1].dot and begins_a_sentence(view, other.last)
    return other.last if stopped or view.ends_clause(other.last) else 0


def _placed(view: View, start: int, i: int, measure: Measure) -> Measure:
    """The amount read at token i, with what precedes it from `start` and what may follow it."""
    measure = first_of_two(view, measure)
    if refers_to_whole(view, measure):
        return measure._replace(first=start, kind="portion" if measure.kind == "plain" else "rate")
    of_the_whole = is_made(view, start, measure) or is_supposed(view, start, measure)
    if of_the_whole or names_a_vessel(view, i, measure) or is_a_tool(view, measure):
        return measure._replace(first=start, kind="rate")
    return _trailing(view, measure if measure.first == start else measure._replace(first=start), "")


# -- what may precede an amount ----------------------------------------------------------------------------------------------


def _after_system_words(view: View, i: int, start: int) -> Measure | None:
    """'by weight, 4 ounces'."""
    if (system := view.phrase(i, "system")) and (measure := _amount_after_system(view, system[1])):
        return _trailing(view, measure, "")._replace(first=start, system=system[0].value)
    return None


def _amount_after_system(view: View, i: int) -> Measure | None:
    """The amount after 'by weight,' or 'by measure,'."""
    k = view.solid[i]
    if k < len(view.tokens) and view.tokens[k].text == ",":
        k = view.solid[k + 1]
    return read_counted(view, k)


def _after_each_words(view: View, i: int, start: int) -> Measure | None:
    """'of each 2 oz.'"""
    if (each := view.phrase(i, "each")) is None or each[0].when == "behind-its-amount":
        return None
    if measure := _after_each(view, each[1]):
        following = view.next_word(measure.last)
        named = each[0].when == "before-its-names" and following and following not in direction_words()
        named = named or not _NAMELY.isdisjoint(view.words[measure.last : measure.last + 3])  # 'of each a handful, viz. sage'
        return measure._replace(first=start, each="after" if named else "before")  # 'je 2 Loth Zimmt und Nelken'
    announced = len(each[0].words) > 1 and each[0].when != "with-its-amount"  # 'of both' may go on otherwise
    if not announced or not i or view.tokens[i - 1].text != "," or not view.next_word(each[1]):
        return None
    doubt = Doubt(
        "amount", "An amount of each is announced that cannot be read as one.", (), "Look at the page: these lines weigh nothing."
    )
    return Measure(start, each[1], None, "none", kind="some", each="before", doubts=(doubt,))


def _after_each(view: View, i: int) -> Measure | None:
    j = i
    while j < len(view.tokens) and (view.tokens[j].kind in ("gap", "line") or view.tokens[j].text in (",", ":", ".", "}")):
        j += 1
    if approx := view.phrase(j, "approx", "weighing"):
        j = view.solid[approx[1]]
    if (equal := read_equal(view, j, j)) is not None:
        return equal
    # 'of each the eighth part of an ounce', 'of each from two to three ounces'
    passed = j + (view.words[j] in THE | _FROM)
    while view.words[passed] in modifiers() or view.words[passed] in _LIGHT:  # 'of each well bruised two drams'
        passed = view.solid[passed + 1]
    measure = read_any(view, j) or (read_any(view, view.solid[passed]) if passed > j else None)
    return _trailing(view, measure, "before") if measure else None


def _rate(view: View, i: int, start: int) -> Measure | None:
    """'to every pound of salve', 'per ounce': so much to each of something else."""
    if (rate := view.phrase(i, "rate")) is None or rate[0].when == "inside" or view.tokens[rate[1] - 1].dot:
        return None  # 'Cort. Per. ℥vi' is Peruvian bark
    j = view.solid[rate[1]]
    unit = unit_at(view, j)
    if unit is not None and unit.name == "part" and view.next_word(unit.after) not in OF:
        return None  # 'rub it to the parts affected'
    measure = read_any(view, j) or (Measure(j, unit.after, 1.0, unit.name) if unit else None)
    if measure is None:
        return None
    before = view.tokens[start - 1] if start else None
    begins = begins_clause(view, start) or (before is not None and (before.word in TAKE or before.text == _LONG_DASH))
    leads = begins and view.next_word(measure.last) in OF
    if leads and not refers_to_whole(view, measure):
        doubt = Doubt("amount", "The amounts are printed as a rate, so much to each of this; it is taken once.")
        return measure._replace(first=start, doubts=(*measure.doubts, doubt))
    return measure._replace(first=start, kind="rate")


def _after_bracket(view: View, i: int) -> Measure | None:
    """'(av.) 3 ounces', '(of each) 1 lb.', 'the camphor (1 oz.)'."""
    if each := view.phrase(i + 1, "each"):
        closing = view.token(each[1])
        if closing is None or closing.kind != "close":  # '(each 3 per cent)'
            held = _bracketed(view, each[1] - 1)
            return held._replace(first=i, each="before") if held else None
        measure = _after_each(view, each[1] + 1)
        return measure._replace(first=i, each="before") if measure else None
    measure = read_counted(view, i)
    if measure is not None:
        return _trailing(view, measure, "")
    held = _bracketed(view, i)
    if held is None:
        return None
    return held._replace(first=i)


# -- what may follow an amount -----------------------------------------------------------------------------------------------


def _trailing(view: View, measure: Measure, each: str) -> Measure:
    """What may follow an amount: 'each', the same amount in brackets, 'by measure'; `each` tells that it precedes."""
    while True:
        measure = _with_each_and_bracket(view, measure, each)
        k = view.solid[measure.last]
        if k < len(view.tokens) and view.tokens[k].text == ",":
            k = view.solid[k + 1]
        system = view.phrase(k, "system")
        if system is None or _amount_after_system(view, system[1]):
            return measure
        measure = measure._replace(system=system[0].value, last=system[1])  # and again: '15 parts, by weight, each'


def _with_each_and_bracket(view: View, measure: Measure, each: str) -> Measure:
    j = view.solid[measure.last]
    if j < len(view.tokens) and view.tokens[j].kind == "open" and (also := _bracketed(view, j)) and also.kind == "plain":
        measure = measure._replace(also=(*measure.also, (also.amount, also.unit), *also.plus), last=also.last)
        j = view.solid[measure.last]
    if each:
        return measure
    comma = j < len(view.tokens) and view.tokens[j].text == ","
    marker = view.phrase(view.solid[j + 1] if comma else j, "each")
    if marker is None or ((own := _after_each(view, marker[1])) and not _begins_another(view, marker[1], own, comma)):
        return measure
    following = view.token(marker[1])
    closes = following is None or following.kind != "word"
    return measure._replace(each="after", last=marker[1]) if not comma or closes else measure


def _begins_another(view: View, i: int, own: Measure, comma: bool) -> bool:
    """'ginger four ounces of each, one dram of saffron': the amount behind 'of each' and a comma has its own name."""
    return not comma and view.tokens[view.solid[i]].text == "," and view.next_word(own.last) in OF


def _bracketed(view: View, i: int) -> Measure | None:
    """A bracket at token i that holds one amount and nothing else; the measure ends behind the bracket."""
    k = approx[1] if (approx := view.phrase(i + 1, "approx")) else i + 1
    inner = read_signed(view, k) or read_counted(view, k)
    if inner is None or inner.kind not in ("plain", "percent"):
        return None
    j = view.solid[inner.last]
    other = read_counted(view, view.solid[j + 1]) if view.words[j] in OR else None
    if other is not None and other.kind == "plain":
        inner = inner._replace(also=(*inner.also, (other.amount, other.unit)), last=other.last)
    if marker := view.phrase(view.solid[inner.last], "each"):
        inner = inner._replace(last=marker[1], each="before")  # 'mastic and myrrh (2 oz. each)'
    j = inner.last
    while j < len(view.tokens) and view.tokens[j].text == ".":
        j += 1
    return inner._replace(last=j + 1) if j < len(view.tokens) and view.tokens[j].kind == "close" else None
