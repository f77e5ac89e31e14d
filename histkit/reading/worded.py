"""Amounts in words: q.s. and its kin, 'a little', 'the same quantity', 'equal parts', 'to make 6 ounces', 'perfumed with'."""

from __future__ import annotations

from collections.abc import Callable
from itertools import takewhile

from histkit.base.nouns import Doubt
from histkit.reading.counted import read_counted
from histkit.reading.figures import figure_at
from histkit.reading.measure import EQUAL_PARTS, FLUIDS, Measure
from histkit.reading.signed import read_signed
from histkit.reading.totals import column_total, past_purpose, total_after_name
from histkit.reading.unit_words import begins_clause, unit_at
from histkit.reading.view import View
from histkit.reading.vocabulary import (
    DO,
    OF,
    OR,
    THE,
    TO,
    Phrase,
    connectives,
    direction_words,
    other_units,
    stems,
    units,
    word_list,
)
from histkit.reading.whole import boils_down

PURPOSES = stems("purpose-stem")
"""The stems of 'coloured with', 'perfume, when cool, with' and their like."""
_NOT_A_NAME, _UNIT_OR_NAME = word_list("no-name"), word_list("unit-before-of")
_BARE_TO = Phrase((), "make", "")
"""The word 'to' alone before a total."""
_WITH, _UP, _AS = word_list("with"), word_list("up"), word_list("as")
_ONLY_UP = word_list("purpose-if-up")
_IT, _SWEETENING = word_list("it-or-them"), word_list("brings-to-taste")
_ENOUGH, _QUANTITY = word_list("enough"), word_list("quantity")
_OF_IT, _NO_NEW_NAME = word_list("of-it"), word_list("no-new-name")
_BEFORE_PURPOSE, _AFTER_ENOUGH, _NOT_BEFORE_ENOUGH = map(word_list, ("before-purpose", "after-enough", "not-before-enough"))
_HELPING = word_list("helping-verb")
_ENDS_PURPOSE, _BEFORE_ENOUGH = word_list("ends-purpose"), word_list("before-enough")
_COMPARED, _BEFORE_A_SIZE = word_list("compared-in-size"), word_list("before-a-size")
_VESSELS, _BEGINS = word_list("vessel"), word_list("begins-to")
_SIZED, _SUFFICIENT = word_list("sized-vessel"), word_list("enough") | word_list("sufficient")
_NOT_SO = word_list("denies-or-supposes")
_CLAUSE_WORDS = 6
"""Words at most between 'if' or 'not' and what is supposed or denied."""
_NAME_WORDS, _PURPOSE_WORDS, _SIZE_WORDS, _AMOUNT_WORDS = 7, 5, 4, 4
"""Words at most between 'as much' and 'as', between 'coloured' and 'with', of 'a pigeon's egg'."""


def read_any(view: View, i: int) -> Measure | None:
    """The amount at token i in the first notation that fits: with its sign first, its figure first, or in words."""
    if i >= len(view.tokens):
        return None
    if i not in view.remembered.any_notation:
        # 'half the quantity' begins like a figure
        notations = (read_worded, read_counted) if view.phrase(i, "same", "some") else (read_signed, read_counted, read_worded)
        measure = None
        for read in notations:
            if (measure := read(view, i)) is not None:
                break
        view.remembered.any_notation[i] = measure
    return view.remembered.any_notation[i]


def read_equal(view: View, i: int, start: int) -> Measure | None:
    """'equal parts of', 'equal quantities of each' at token i; the measure begins at `start`."""
    if (equal := view.phrase(i, "equal")) is None:
        return None
    phrase, j = equal
    following = view.words[j]
    named = bool(following) and following not in _NOT_A_NAME and following not in direction_words()
    each = "after" if phrase.when == "of" or view.next_word(j) in OF or named else "before"
    if more := view.phrase(view.solid[j], "qs", "make"):
        return Measure(start, past_purpose(view, more[1]), None, "q.s.", kind="qs", each=each)
    weighed = read_counted(view, view.solid[j])
    ends = weighed is not None and (view.tokens[weighed.last - 1].dot or view.ends_clause(weighed.last))
    if weighed is not None and ends and weighed.kind == "plain" and weighed.unit != "part":
        return weighed._replace(first=start, each="before")  # 'gentian and capsicum, equal parts one ounce'
    return Measure(start, j, 1.0, "part", kind="equal", each=each, doubts=(EQUAL_PARTS,))


def read_worded(view: View, i: int) -> Measure | None:
    """q.s. and its kin, 'a little', 'a few drops', 'the same quantity', 'to make 6 ounces', 'perfumed with' at token i."""
    if i >= len(view.tokens) or not view.words[i]:
        return None
    if view.words[i].startswith(PURPOSES) and (purpose := _purpose(view, i)) is not None:
        return purpose
    if i and view.words[i] in TO:
        before = view.tokens[i - 1].kind
        if before in ("word", "gap", "close") and (in_row := column_total(view, i)) is not None:
            return in_row
        following = view.token(i + 1)
        apart = before in ("word", "close") or (i > 1 and before == "gap")
        if apart and following is not None and following.kind == "gap":
            return _total(view, i, i + 1, _BARE_TO)  # 'Alcohol to     3 ounces'
        if (whole := total_after_name(view, i)) is not None:
            return whole
    if (words := view.phrase(i, *_BY_KIND)) is None:
        return None
    phrase, j = words
    return _BY_KIND[phrase.kind](view, i, j, phrase)


# Each reads the words of `phrase`, which stand from token i up to token j.


def _sized(view: View, i: int, j: int, phrase: Phrase) -> Measure | None:
    if phrase.when and not (j := _behind_thing(view, j)):
        return None
    printed = " ".join(word for word in view.words[i:j] if word)
    return Measure(i, j, None, "none", kind="sized", doubts=(Doubt("amount", f"{printed!r} gives no weight."),))


def _behind_thing(view: View, j: int) -> int:
    """The token behind 'a pigeon's egg' and its like, to which a size is compared; 0 where none stands at token j."""
    article = view.solid[j]
    thing = next((k for k in range(article + 1, article + _SIZE_WORDS) if view.words[k] in _COMPARED), -1)
    return thing + 1 if view.words[article] in _BEFORE_A_SIZE else 0


def _piece(view: View, i: int, j: int, phrase: Phrase) -> Measure:
    return Measure(i, j, 1.0, "piece")


def _few(view: View, i: int, j: int, phrase: Phrase) -> Measure | None:
    unit, following = unit_at(view, view.solid[j]), view.next_word(j)
    doubt = Doubt("amount", f"{phrase.value or ' '.join(phrase.words)!r} gives no figure.")
    if unit is not None:
        return Measure(i, unit.after, None, unit.name, kind="few", doubts=(doubt,))
    if following and following not in _NOT_A_NAME and following not in other_units():
        return Measure(i, j, None, "none", kind="some", doubts=(doubt,))  # 'a few cloves'
    return None


def _some(view: View, i: int, j: int, phrase: Phrase) -> Measure | None:
    if i > 1 and view.words[i - 1] in OF and view.words[i - 2] in units():
        return None  # 'a quart of some cheap spirit' has its amount
    following = view.next_word(j)
    behind = not following and view.ends_clause(j) and i > 0 and view.tokens[i - 1].kind == "word"  # 'rose vinegar a little;'
    if not behind and (not following or following in _NOT_A_NAME):
        return None
    if following in OF and view.next_word(view.solid[j] + 1) in _OF_IT:
        return None
    if phrase.when == "not-before-unit" and other_units().get(following):
        return None
    unit = units().get(following) if phrase.when == "not-before-measure" and following not in _UNIT_OR_NAME else None
    if unit is not None and unit.unit != "piece":
        return None  # 'a little handful', but 'a little bit'
    doubt = Doubt("amount", f"{' '.join(phrase.words)!r} gives no figure.")
    return Measure(i, j, None, "none", kind="some", doubts=(doubt,))


# -- the same as before ----------------------------------------------------------------------------------------------------


def _same(view: View, i: int, j: int, phrase: Phrase) -> Measure | None:
    if view.words[i] in DO and i and view.words[i - 1] in _HELPING:
        return None  # 'an ounce of wax will do.'
    if phrase.when == "as-much-as" and (enough := _as_much_as(view, j)):
        return enough
    if phrase.when == "before-word" and not view.next_word(j) and not _ends_an_entry(view, i, j, phrase):
        return None
    if phrase.when.startswith("ends-entry") and not _ends_an_entry(view, i, j, phrase):
        return None
    if phrase.when == "before-of" and view.next_word(j) not in OF:
        return None
    if phrase.when == "the-same":
        following = view.words[view.ungapped[j]]
        ends = view.tokens[j - 1].dot or not following
        if not ends and following not in OF:
            return None
        if ends and not _behind_comma(view, i) and not _follows_an_amount(view, i):  # but 'chalk 1 oz., starch, the same.'
            doubt = Doubt("amount", "'The same' refers to another formula of the book, not printed here.")
            named = i > 0 and view.tokens[i - 1].kind == "word"
            return Measure(i, j, None, "q.s.", kind="qs", doubts=(doubt,)) if named else None
    text = f"{' '.join(phrase.words)!r} refers back to the amount before it."
    doubt = Doubt("amount", text, (), "If it refers to another, this line changes.")
    return Measure(i, j, float(phrase.value), "", kind="same", doubts=(doubt,))


def _follows_an_amount(view: View, i: int) -> bool:
    """'Starch 3 oz., chalk the same': whether an amount ends the clause before that of token i."""
    stop = next((k for k in range(i - 1, max(-1, i - _NAME_WORDS), -1) if view.tokens[k].text in (",", ";")), 0)
    measures = (read_any(view, k) for k in range(max(0, stop - _AMOUNT_WORDS), stop))
    return any(measure is not None and measure.last == stop for measure in measures)


def _ends_an_entry(view: View, i: int, j: int, phrase: Phrase) -> bool:
    """Whether 'do.' or 'ditto' at i stands where an amount would: after a name, at the end of a line or a clause."""
    following = view.token(j)
    # 'orris ditto, cloves 1 oz.' repeats the amount; in 'bitter ditto, oz. 1' it stands for the name
    listed = following is not None and following.text == "," and read_any(view, view.solid[j + 1]) is None
    if not listed and following is not None and following.kind not in ("line", "para") and following.text not in (";", "."):
        return False
    if phrase.when == "ends-entry-stopped" and not view.tokens[i].dot:
        return False
    behind_comma = _behind_comma(view, i)
    if phrase.when == "ends-entry-after-comma" and not behind_comma:
        return False
    k = i - 1
    while k >= 0 and behind_comma and view.tokens[k].kind == "line":
        k -= 1
    while k >= 0 and (view.tokens[k].kind == "gap" or view.tokens[k].text == ","):
        k -= 1
    return k >= 0 and view.tokens[k].kind in ("word", "close")


def _behind_comma(view: View, i: int) -> bool:
    """Whether a comma stands before token i, if need be at the end of the line above."""
    while i > 1 and view.tokens[i - 1].kind in ("gap", "line"):
        i -= 1
    return i > 0 and view.tokens[i - 1].text == ","


def _as_much_as(view: View, j: int) -> Measure | None:
    """'as much rose water as they will absorb': as much as suffices, the name in the midst."""
    k, name_words = view.solid[j], 0
    while k < len(view.tokens) and name_words < _NAME_WORDS:
        at = view.solid[k + 1] if view.tokens[k].text == "," else k  # 'so much honey, as will make it bear an egg'
        if name_words and view.words[at] in _AS and view.phrase(at, "same") is None:  # not 'as much of another'
            return Measure(j - 2, j, None, "q.s.", kind="qs", reach=k)
        if view.tokens[k].kind not in ("word", "line", "gap"):
            return None
        name_words += view.tokens[k].kind == "word"
        k += 1
    return None


# -- as much as suffices, totals -------------------------------------------------------------------------------------------


def _qs(view: View, i: int, j: int, phrase: Phrase) -> Measure | None:
    if phrase.when == "before-name" and (view.next_word(j) in _NOT_A_NAME or view.words[i - 1] in OR or view.words[i - 1] in OF):
        return None
    if phrase.when == "before-name" and (_is_denied(view, i) or _has_its_amount(view, j)):
        return None
    if _behind_comma(view, i) and i > 1 and view.words[i - 2] in other_units():
        return None  # 'for several days or weeks, as may be necessary'
    if view.words[i] in TO and (view.words[i - 1] in _IT or view.words[i - 1] in _SWEETENING):
        return None  # 'sweeten it to taste'
    if phrase.when == "ends-clause" and (view.words[i - 1] in _BEGINS or not view.ends_clause(j)):
        return None  # 'it begins to thicken', 'to thicken it put in lard', but 'corn meal to thicken'
    if read_signed(view, j - 1):
        return None  # 'ad lib. iv.'
    if phrase.when == "suffices" and not _suffices(view, i, j):
        return None
    if phrase.when == "purpose" and _behind_thing(view, j):
        return _sized(view, i, j, phrase)  # 'as much as a good hazel-nut'
    return _sufficient(view, i, j, phrase)


def _is_denied(view: View, i: int) -> bool:
    """'If any alcohol is present', 'let him not go into any water': whether the clause before token i supposes or denies."""
    near = range(i - 1, max(-1, i - 2 * _CLAUSE_WORDS), -1)
    clause = [view.words[k] for k in takewhile(lambda k: view.tokens[k].kind not in ("sep", "para", "num"), near)]
    return not _NOT_SO.isdisjoint([word for word in clause if word][:_CLAUSE_WORDS])


def _has_its_amount(view: View, j: int) -> bool:
    """'any oil two ounces': whether the name at token j has an amount behind it that ends the clause."""
    for k in range(view.solid[j] + 1, min(j + _AMOUNT_WORDS, len(view.tokens))):
        if view.tokens[k].kind not in ("word", "gap", "num"):
            return False
        if (own := read_counted(view, k)) is not None:
            return own.kind == "plain" and view.ends_clause(own.last)
    return False


def _suffices(view: View, i: int, j: int) -> bool:
    """Whether 'enough' or 'sufficient' speaks of an ingredient: 'boiled enough when', 'sufficient in a glass' do not."""
    following = view.next_word(j)
    if following in _AFTER_ENOUGH:
        return True
    if not following:
        return view.words[i - 1] not in _NOT_BEFORE_ENOUGH
    above = i > 1 and view.tokens[i - 1].kind == "line"  # 'in / enough water'
    begins = _behind_comma(view, i) or begins_clause(view, i)  # 'flour, enough water to make a paste'
    stands_first = view.words[i - 1 - above] in _BEFORE_ENOUGH or begins
    return following not in _NOT_A_NAME and (view.words[i] not in _ENOUGH or stands_first)


def _sufficient(view: View, i: int, j: int, phrase: Phrase) -> Measure:
    k = j
    while k < len(view.tokens) and (view.tokens[k].kind == "gap" or view.tokens[k].text in (".", ",")):
        k += 1
    each = "before" if phrase.kind == "qs-each" else ""
    to = (_BARE_TO, k + 1) if view.words[k] in TO else None
    aim = view.phrase(k, "make") or to
    if aim is not None and (total := _total(view, k, aim[1], aim[0])):
        return _past_what_is_made(view, total._replace(first=i, each=each))
    if view.words[k] in _QUANTITY:
        j = k + 1
    if phrase.when == "purpose-first":
        j = past_purpose(view, j)
    if closing := view.phrase(view.solid[j], "each"):
        each, j = "before", closing[1]
    if view.next_word(j) in _BEFORE_PURPOSE or phrase.when == "purpose":
        j = past_purpose(view, j)
    return Measure(i, j, None, "q.s.", kind="qs", each=each)


def _past_what_is_made(view: View, total: Measure) -> Measure:
    """'Water enough to make a gallon of syrup': a total behind its name, with what is made of it all."""
    before = view.tokens[total.first - 1] if total.first else None
    word = view.words[total.first - 1]
    named = before is not None and before.kind == "word" and not before.dot and word not in direction_words()
    if not named or word in _NOT_A_NAME or word in _SUFFICIENT or view.next_word(total.last) not in OF:
        return total
    made = view.solid[total.last]
    while view.tokens[made].kind in ("word", "line") and not view.tokens[made].dot and made < total.last + _NAME_WORDS:
        if made + 1 == len(view.tokens) or view.words[made + 1] in connectives():
            break
        made += 1
    return total._replace(last=made + (view.tokens[made].kind == "word"))


def _total(view: View, i: int, j: int, phrase: Phrase) -> Measure | None:
    """'to make 6 ounces', 'ad ℥vj': a total, not an amount."""
    longer = (view.phrase(t, "make") for t in range(i + 1, j) if view.words[t] in TO)
    if (aim := next((said for said in longer if said and said[1] > j), None)) is not None:
        phrase, j = aim  # 'sufficient to make up the bulk of liquid to one pint'
    k = j
    while k < len(view.tokens) and (view.tokens[k].kind in ("gap", "line") or view.tokens[k].text in (".", ",")):
        k += 1
    if approximate := view.phrase(k, "approx"):
        k = view.solid[approximate[1]]
    inner = read_signed(view, k) or read_counted(view, k) or _the_whole(view, k)
    if phrase.when == "if-enough" and _SUFFICIENT.isdisjoint(view.words[max(0, i - _NAME_WORDS) : i]):
        return None  # 'enough water to give a pint', but 'boil it to give a pint to the horse'
    if phrase.when == "fill":
        return _filling(view, i, inner)
    if phrase.when == "ad" and inner is not None and boils_down(view, i):
        return None  # 'coque in aq. font. lib. vi. ad lib. iv.'
    makes = phrase.when in ("make", "to-make", "make-up")
    if inner is None:
        return Measure(i, past_purpose(view, j), None, "q.s.", kind="qs") if phrase.when == "make" else None
    if inner.article and inner.unit == "drop" and view.next_word(inner.last) not in OF:
        return Measure(i, past_purpose(view, j), None, "q.s.", kind="qs") if makes else None  # 'to make a drop batter'
    if inner.kind == "bare":
        return _total_without_unit(view, i, phrase, inner, makes and view.tokens[k - 1].kind == "gap")
    reached = Measure(
        i,
        inner.last,
        None,
        "q.s.",
        kind="qs",
        to_make=(inner.amount, inner.unit),
        system=inner.system,
        doubts=inner.doubts,
    )
    after = view.solid[inner.last]
    if view.words[after] in _WITH and read_any(view, view.solid[after + 1]) is None:
        return reached._replace(last=after + 1, reach=-1)  # 'make up 4 ounces with rose water'
    return None if phrase.when == "make-up" else _past_what_is_made(view, reached)


def _the_whole(view: View, k: int) -> Measure | None:
    """'To two thirds of a quart of … add enough … to make the quart': a whole unit of which a part stands above."""
    unit = unit_at(view, view.solid[k + 1]) if view.words[k] in THE else None
    return Measure(k, unit.after, unit.factor, unit.name, article=True) if unit is not None and unit.name in FLUIDS else None


def _filling(view: View, i: int, inner: Measure | None) -> Measure | None:
    """'rose water to fill a half-pint bottle': the total that a vessel holds, where its size is printed."""
    if inner is None or inner.kind != "plain":
        return None
    vessel = view.solid[inner.last]
    if inner.unit == "piece":
        return Measure(i, inner.last, None, "q.s.", kind="qs")  # 'to fill a bottle'
    if view.words[vessel] not in _SIZED:
        return None
    return Measure(i, vessel + 1, None, "q.s.", kind="qs", to_make=(inner.amount, inner.unit), system=inner.system)


def _total_without_unit(view: View, i: int, phrase: Phrase, inner: Measure, in_column: bool) -> Measure | None:
    after = view.ungapped[inner.last]
    if in_column and after < len(view.tokens) and view.tokens[after].kind == "ditto":  # 'French chalk to make ..... 8  "'
        return Measure(i, after + 1, None, "q.s.", kind="qs", to_make=(inner.amount, ""))
    if phrase.when == "ad" and view.ends_clause(inner.last):
        text = "The total has no unit; it is taken in the unit before it."
        doubt = Doubt("unit", text, (), "Another unit would change it.")
        return Measure(i, inner.last, None, "q.s.", kind="qs", to_make=(inner.amount, ""), doubts=(doubt,))
    return None


def _purpose(view: View, i: int) -> Measure | None:
    """'coloured with', 'perfume, when cool, with', 'flavor with', 'fill up with': the amount is as much as suffices."""
    up = i + 1 + (view.words[i + 1] in _IT)  # 'fill it up with'
    if view.words[i] in _ONLY_UP and view.words[up] not in _UP:
        return None
    j, words = i + 1, 0
    while j < len(view.tokens) and words < _PURPOSE_WORDS:
        word = view.words[j]
        if word in _WITH:
            after = view.solid[j + 1]
            if view.words[after] in _NO_NEW_NAME or read_any(view, after) is not None:
                return None
            return Measure(i, j + 1, None, "q.s.", kind="qs", reach=-1)
        if view.tokens[j].kind not in ("word", "gap", "line") and view.tokens[j].text != ",":
            return None
        if word:
            words += 1
            if figure_at(view, j) or word in _ENDS_PURPOSE or word in _VESSELS:
                return None  # 'in a covered crucible, with charcoal'
        j += 1
    return None


_BY_KIND: dict[str, Callable[[View, int, int, Phrase], Measure | None]] = {
    "sized": _sized,
    "make": _total,
    "qs": _qs,
    "qs-each": _qs,
    "piece": _piece,
    "few": _few,
    "some": _some,
    "same": _same,
}
"""Kind of phrase → what reads the amount that it begins."""
