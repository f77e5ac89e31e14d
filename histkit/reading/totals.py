"""What an amount in words aims at: a purpose ('to form a paste') or a total that is reached ('rose water, to 10 fl. oz.')."""

from __future__ import annotations

from histkit.base.nouns import Amount
from histkit.reading.counted import read_counted
from histkit.reading.measure import Measure
from histkit.reading.numerals import BELOW_FORTY
from histkit.reading.signed import read_signed
from histkit.reading.view import View
from histkit.reading.vocabulary import AND, OF, TO, direction_words, units

_LONGEST_PURPOSE = 400
"""Tokens: where no stop comes after 'to form a paste' by then, the text is none of sentences."""
_LONGEST_CLAUSE = 40
"""Tokens behind 'and' within which the amount of the next thing is looked for."""
_SMALLEST_COLUMN_TOTAL = 20


def past_purpose(view: View, start: int) -> int:
    """Past 'to form a paste', 'as to impart a flavour': up to the next separator or line of a column."""
    end = min(start + _LONGEST_PURPOSE, len(view.tokens))
    for j in range(start, end):
        token = view.tokens[j]
        if token.kind == "line" and not _goes_on(view, j + 1):
            return j
        if token.kind in ("para", "brace") or (token.kind == "sep" and token.text in (";", ":", ".", ",")):
            return j
        if token.kind == "word" and token.dot and j + 1 < len(view.tokens) and view.tokens[j + 1].kind in ("line", "para"):
            return j + 1
        if token.word in AND and _goes_on_to_an_amount(view, j):
            return j
    return end


def _goes_on_to_an_amount(view: View, joins: int) -> bool:
    """'as much as is needful and mix it with two ounces of wax', 'and of rosin two ounces': whether an amount with its unit
    stands behind the 'and' at token `joins`, in its clause or, where 'of' begins the next name, behind its comma."""
    of_another = view.next_word(joins + 1) in OF
    for j in range(joins + 1, min(joins + _LONGEST_CLAUSE, len(view.tokens))):
        token = view.tokens[j]
        if token.kind == "para" or token.text in (";", ":", "."):
            return False
        if token.text == ",":
            return of_another and (view.phrase(view.solid[j + 1], "each") is not None or _is_weighed(view, view.solid[j + 1]))
        if _is_weighed(view, j):
            return True
        if token.dot:
            return False
    return False


def _is_weighed(view: View, i: int) -> bool:
    """Whether an amount with its unit begins at token i."""
    measure = read_signed(view, i) or read_counted(view, i)
    return measure is not None and measure.kind == "plain"


def _goes_on(view: View, i: int) -> bool:
    """Whether a printed line begins in small letters, as the second line of a sentence does and no new entry."""
    token = view.token(view.solid[i])
    return token is not None and token.kind == "word" and token.text[:1].islower()


def column_total(view: View, i: int) -> Measure | None:
    """'to 100.00 | to 4 ounces' at the end of a row: a total in parts."""
    figure = view.token(i + 1)
    if figure is None or figure.kind != "num" or figure.value < _SMALLEST_COLUMN_TOTAL:
        return None
    k = view.ungapped[i + 2]
    if view.words[view.solid[k]] in units():
        return None  # 'to 100 / pounds of water'
    if k < len(view.tokens) and view.tokens[k].kind not in ("line", "para", "sep") and view.words[k] not in TO:
        return None
    also: tuple[tuple[Amount, str], ...] = ()
    if view.words[k] in TO and (second := read_counted(view, k + 1)):
        also, k = ((second.amount, second.unit),), second.last
    return Measure(i, k, None, "q.s.", kind="qs", to_make=(figure.value, "part"), also=also)


def total_after_name(view: View, i: int) -> Measure | None:
    """'rose water, to 10 fl. oz.', 'talc, to 100.', 'water to 8 oz.': after a name, and nothing after it in its clause."""
    comma = i > 0 and view.tokens[i - 1].text == ","
    behind = comma or (i > 1 and view.tokens[i - 1].kind == "gap")  # 'Water     to 8 oz.'
    before = view.tokens[i - 1 - behind] if i > behind else None
    if before is None or before.kind not in ("word", "close") or before.word in units() or before.word in direction_words():
        return None
    k = view.solid[i + 1]
    numbered = BELOW_FORTY.issuperset(before.word)  # 'gr. v. to ʒi'
    inner = (None if numbered else read_signed(view, k)) or read_counted(view, k)
    if inner is None or not (inner.kind == "plain" or (inner.kind == "bare" and comma)):
        return None
    dose = view.phrase(inner.last, "dose")
    last = dose[1] if dose is not None else inner.last  # 'water to ℥i for each dose'
    if inner.article or inner.plus or isinstance(inner.amount, tuple) or not view.ends_clause(last):
        return None
    if view.next_word(last) in OF:
        return None  # 'a drachm of borax to 1 pint / of water'
    to_make = (inner.amount, inner.unit)
    return Measure(i, last, None, "q.s.", kind="qs", to_make=to_make, system=inner.system, doubts=inner.doubts)
