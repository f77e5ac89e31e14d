"""What a figure without a unit means: a unit carried on, a ditto, a count of pieces, a second column, or no amount."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from histkit.base.nouns import Doubt, times
from histkit.glossary import ingredients
from histkit.glossary.nouns import Ingredient
from histkit.reading.counting import (
    are_counted,
    counts_in_words,
    is_counted,
    is_never_poured,
    is_of_a_counted_thing,
    may_be_weighed,
)
from histkit.reading.decimals import has_decimals
from histkit.reading.dividing import pieces_of
from histkit.reading.measure import EQUAL_PARTS, FLUIDS, NONE_IN_FORCE, OF_THE_WHOLE, InForce, Measure
from histkit.reading.tokens import Token
from histkit.reading.unit_words import begins_clause
from histkit.reading.vocabulary import OF, OR, TAKE, TO, connectives, numbers, other_units, stems, word_list
from histkit.reading.wording import Wording

_LIST_AND, _OF_IT, _COUNTLESS = word_list("and-after-bare"), word_list("it-or-them"), word_list("not-counted")
_PARTS, _LEFT_OUT = word_list("part-of-a-fruit-or-egg"), word_list("left-out")
_IN, _PUTS_IN = word_list("in"), word_list("puts-in")
_BEFORE_PIECES, _ONE_OR_A = word_list("before-pieces"), word_list("one-or-a")
_FAR_FROM_VERB, _FAR_FROM_NAME = 6, 3
"""Tokens at most between a verb and a count, and between the count and the name that is counted."""
_PLURAL = stems("plural-ending")
_FEWEST_COUNTED = 2
_AND_A_PART, _CUT_UP = word_list("and-a-fraction"), word_list("kind-that-is-cut-up")
_AS, _FILLING = word_list("as"), word_list("will-fill")
_QUARTERN, _OF_A_POUND = word_list("quartern"), 0.25
_LAST_RECEIPT = 30
"""The largest number of a receipt among others of its name."""


class Heading(NamedTuple):
    """The unit that a heading sets over the amounts of a column ('Imperial pints'), as in `unit_words.Unit`."""

    unit: str
    factor: float
    system: str
    words: str
    """The heading as printed."""
    cell: int = 0
    """How many rules of its table ('|') stand before it; 0 where there is no table."""


@dataclass(slots=True)
class Settled:
    """The measures of a statement as far as they are settled, with the units in force where the next one stands."""

    measures: list[Measure]
    unit: InForce
    """The unit in force (drops never are: they interrupt a list, they don't set its unit)."""
    above: InForce
    """The unit of the very last amount before the statement, which a ditto mark repeats."""
    second: str
    """The unit of a second column."""
    headings: tuple[Heading, ...] = ()
    """What the headings above say: one holds where its unit is the one in force, several each for their cell of the table."""
    first: int = 0
    """The token with which the statement begins."""
    amount: Measure | None = None
    """The last amount that another may refer back to."""

    @property
    def last(self) -> Measure | None:
        return self.measures[-1] if self.measures else None

    def instead(self, measure: Measure) -> None:
        self.measures[-1] = measure

    @property
    def unit_of_last(self) -> InForce:
        return self.amount.in_force if self.amount else self.unit


def settle_bare(
    wording: Wording,
    measures: list[Measure],
    a: int,
    b: int,
    unit: InForce = NONE_IN_FORCE,
    units_above: tuple[InForce, str] = (NONE_IN_FORCE, ""),
    headings: tuple[Heading, ...] = (),
) -> tuple[list[Measure], InForce]:
    """Give each bare figure its sense: a carried unit, a count of pieces, or no amount at all.

    `unit`, `units_above` (of the amount above, in its first and second column) and `headings` are those before token a, as
    `Settled` tells. The unit in force after b is returned too.
    """
    settled = Settled([], unit, *units_above, headings, a)
    percents = sum(m.kind == "percent" for m in measures)
    strengths = 0 < percents <= sum(m.kind in ("plain", "equal") for m in measures)  # 'alcohol, 80 per cent, 1,600 parts'
    for m, behind in zip(measures, [*measures[1:], None], strict=True):
        if (whole := _with_its_part(wording, settled.last, m) or _in_equal_parts(wording, settled.last, m)) is not None:
            settled.amount = whole
            settled.measures[-1:] = [whole, m._replace(kind="rate")]  # no name reaches over what is behind it
            continue
        alone = strengths and not _is_of_its_own(wording, m)
        if _completes_last(wording, settled, m) or (m.kind == "percent" and (alone or _is_a_strength(wording, m, behind))):
            continue
        sense = _sense(wording, settled, _of_a_pound_if_dry(wording, m), a, b)
        if sense is None or _is_second_column(settled, sense):
            continue
        if sense.to_make and not sense.to_make[1]:  # 'ad one ditto'
            sense = sense._replace(to_make=(sense.to_make[0], settled.unit_of_last.unit or "part"))
        settled.measures.append(sense)
        _remember(settled, sense)
    return settled.measures, settled.unit


def _is_of_its_own(wording: Wording, m: Measure) -> bool:
    """'0.5 per cent of carbolic acid in a pint of oil': hundredths that head a clause are no strength."""
    return begins_clause(wording.view, m.first) and wording.view.next_word(m.last) in OF


def _of_a_pound_if_dry(wording: Wording, m: Measure) -> Measure:
    """'a quartern of butter' is a quarter of a pound, one of brandy the quarter of a pint that it is read as."""
    if m.kind != "plain" or not any(token.word in _QUARTERN for token in wording.tokens[m.first : m.last]):
        return m
    begins = wording.view.solid[m.last]
    begins = wording.view.solid[begins + 1] if wording.view.words[begins] in OF else begins
    names = wording.known_beginning(begins) or wording.known_before(m.first)
    if not names or any(ingredients[key].liquid for name in names for key in name.ingredients):
        return m
    text = "A 'quartern' of a dry thing is taken as a quarter of a pound."
    doubt = Doubt("unit", text, (f"{m.unit}, a quarter of a pint",), "Another quarter would change what is weighed.")
    holds = m.holds * _OF_A_POUND
    return m._replace(amount=times(m.amount, _OF_A_POUND), unit="pound", holds=holds, doubts=(*m.doubts, doubt))


def _remember(settled: Settled, m: Measure) -> None:
    if m.unit not in ("", "q.s.", "none", "piece") and m.kind not in (*OF_THE_WHOLE, "few"):
        if m.unit != "drop":
            settled.unit = m.in_force
        settled.amount = m
    elif m.unit == "piece" and m.kind != "interior":
        settled.amount = m


def _completes_last(wording: Wording, settled: Settled, m: Measure) -> bool:
    """Whether a measure only says more of the one before it, which is then made whole."""
    last = settled.last
    if last is None:
        return False
    if _says_it_twice(wording, last, m):
        if m.to_make and not last.to_make:
            settled.amount = last._replace(to_make=m.to_make)
            bounds = [] if wording.is_direction(m.first + 1) else [m._replace(kind="rate")]
            settled.measures[-1:] = [settled.amount, *bounds]  # 'filled up with water to 500 c.c.' ends its name
        return True
    between = wording.tokens[last.last : m.first]
    or_so_much = m.approximate or any(t.word in OR for t in between)
    says_how_much = m.kind == "plain" and or_so_much and last.kind == "qs" and not last.to_make
    if says_how_much and all(t.text == "," or t.word in OR or t.kind in ("gap", "line") for t in between):
        settled.amount = m._replace(first=last.first)  # 'enough to perfume, say 20 drops'
        settled.instead(settled.amount)
        return True
    if _as_much_as_that(wording, last, m):
        settled.amount = last._replace(amount=m.amount, unit=m.unit, plus=m.plus, holds=m.holds, kind="plain")
        settled.instead(settled.amount)
        return True
    if m.kind != "sized" or wording.has_stop(last.last, m.first):
        return False
    at_once = wording.view.solid[last.last] == m.first  # 'a piece the size of a nut', 'a piece of alum the size of a nut'
    settled.instead(last._replace(last=m.last if at_once else last.last, doubts=(*last.doubts, *m.doubts)))
    return True


def _is_a_strength(wording: Wording, m: Measure, behind: Measure | None) -> bool:
    """'Spiritus (90 %) 500,0': whether a figure without a unit stands at once behind a share, which tells how strong it is."""
    return behind is not None and behind.kind == "bare" and not wording.is_nominal(m.last, behind.first)


def _in_equal_parts(wording: Wording, last: Measure | None, m: Measure) -> Measure | None:
    """'A pint of vinegar and water, equal parts': an amount of several names together, of which each is its share."""
    if last is None or m.kind != "equal" or last.kind != "plain" or last.each or not isinstance(last.amount, float):
        return None
    if last.first and wording.is_name(last.first - 1):
        return None  # 'white lead 1 part. Varnish and size, equal parts'
    end = m.first - (wording.tokens[m.first - 1].text == ",")
    many = len(pieces_of(wording, last.last, end))
    named_behind = wording.view.words[wording.view.solid[m.last]] in OF
    if many < _FEWEST_COUNTED or named_behind or wording.has_stop(last.last, end):
        return None
    text = f"The amount is printed for {many} names together, in equal parts; each is taken as its share."
    doubt = Doubt("amount", text, ("the whole amount for each",), f"Each would be {many} times as much.")
    return last._replace(amount=last.amount / many, each="after", doubts=(*last.doubts, doubt))


def _with_its_part(wording: Wording, last: Measure | None, m: Measure) -> Measure | None:
    """'A pound of sugar, and a half, …': an amount with the part of one that stands behind the name."""
    view = wording.view
    if last is None or m.kind != "bare" or not isinstance(m.amount, float) or not isinstance(last.amount, float):
        return None
    whole_and_part = last.kind == "plain" and last.amount % last.holds == 0 and 0 < m.amount < 1
    joined = view.words[m.first - 1] in _AND_A_PART and view.ends_clause(view.ungapped[m.last])
    ahead = view.token(view.solid[m.last])
    goes_on = ahead is not None and ahead.kind == "open"  # 'und 1/6', below it '(Berliner) Quart'
    name = (last.last, m.first - 1 - (view.tokens[m.first - 2].text == ","))
    if goes_on or not (whole_and_part and joined and wording.is_nominal(*name)) or wording.has_stop(*name):
        return None
    return last._replace(amount=last.amount + m.amount * last.holds)


def _as_much_as_that(wording: Wording, last: Measure, m: Measure) -> bool:
    """'as much salt as two ounces', 'as much as will fill a tablespoon': whether an amount stands for its 'as much … as'."""
    words, k = wording.view.words, m.first - 1
    while k > last.reach and words[k] in _FILLING:
        k -= 1
    return last.kind == "qs" and last.reach > 0 and m.kind == "plain" and k == last.reach and words[k] in _AS


def _says_it_twice(wording: Wording, last: Measure, m: Measure) -> bool:
    """'sufficient alkanet to colour', 'sufficient rose water to make up 4 ounces', 'a piece of alkanet root to colour it'."""
    if m.kind != "qs" or wording.view.words[m.first] not in TO:
        return False
    if wording.has_stop(last.last, m.first) or wording.has_break(last.last, m.first):
        return False
    return last.kind == "qs" or (last.kind == "plain" and not m.to_make and wording.view.next_word(m.last) in _OF_IT)


def _sense(wording: Wording, settled: Settled, m: Measure, a: int, b: int) -> Measure | None:
    """The measure with the unit and amount that it stands for; None where it is none, or completes the one before it."""
    last, amount = settled.last, settled.amount
    if m.kind == "sized":
        return m._replace(kind="some")
    if m.kind == "percent":
        return m._replace(kind="plain")
    if m.kind == "ditto":
        above = settled.unit_of_last
        return above.of(m)._replace(steps=(*m.steps, f"'Ditto' stands for the unit before it, {above.unit}."))
    if m.kind == "bare":
        return _sense_of_bare(wording, settled, m, a, b)
    if m.kind != "same":
        return m
    if amount is not None:
        factor = m.amount if isinstance(m.amount, float) else 1.0
        plus = amount.plus if factor == 1.0 else ()
        return m._replace(amount=times(amount.amount, factor), unit=amount.unit, plus=plus, system=amount.system)
    if last is None and m.amount == 1.0 and (m.each or wording.view.words[m.first - 1] in TAKE):
        # 'rue and sage, of each a like quantity', 'take an equal quantity of rue and sage'
        return m._replace(unit="part", kind="equal", each=m.each or "after", doubts=(EQUAL_PARTS,))
    if last is None or last.unit != "none":
        return None
    return m._replace(amount=None, unit="none")  # 'a little wax, twice its weight of spermaceti'


def _is_second_column(settled: Settled, m: Measure) -> bool:
    """Whether a measure is the same amount in a second column; it then stands beside the first."""
    last = settled.last
    if last is None or last.kind != "column" or m.kind != "plain":
        return False
    fluid = last.unit == "gram" and m.unit in FLUIDS  # a liquid beside its measure stands in the metric column as mL
    unit = "millilitre" if fluid else last.unit
    settled.instead(last._replace(kind="plain", unit=unit, also=((m.amount, m.unit), *m.plus), last=m.last))
    return True


# -- a figure alone --------------------------------------------------------------------------------------------------------


def _numbers_a_receipt(wording: Wording, settled: Settled, m: Measure) -> bool:
    """'… Extrait, Fr. 1. From ambergris': a small figure and its stop before a capital, where no unit is in force."""
    if settled.unit.unit or settled.measures or m.last - m.first != 1:
        return False
    if not isinstance(m.amount, float) or m.amount > _LAST_RECEIPT:
        return False
    tokens = wording.tokens
    stop = m.last < len(tokens) and tokens[m.last].text == "." and tokens[m.last].start == tokens[m.first].end
    following = wording.view.token(wording.view.solid[m.last + 1]) if stop else None
    return following is not None and following.kind == "word" and following.text[:1].isupper()


def _sense_of_bare(wording: Wording, settled: Settled, m: Measure, a: int, b: int) -> Measure | None:
    if _numbers_a_receipt(wording, settled, m):
        return None
    last = settled.last
    if last is None or last.kind != "column":
        return _settle(wording, m, a, b, settled, settled.unit_of_last if settled.amount else settled.above)
    following = wording.view.token(wording.view.ungapped[m.last])
    if following is not None and following.kind == "ditto":
        return _settle(wording, m, a, b, settled, InForce(settled.second))
    settled.instead(last._replace(also=(*last.also, (m.amount, settled.second or last.unit)), last=m.last))
    return None


def _settle(wording: Wording, m: Measure, a: int, b: int, settled: Settled, above: InForce) -> Measure | None:
    """The sense of a figure by what stands before and behind it; `above` is the unit that a ditto mark would repeat."""
    tokens, unit = wording.tokens, settled.unit
    i, j = m.last, m.first - 1
    while i < b and tokens[i].kind in ("gap", "line"):
        i += 1
    while j >= a and tokens[j].kind in ("gap", "line"):
        j -= 1
    following, before = tokens[i] if i < b else None, tokens[j] if j >= a else None
    apart = i > m.last and all(token.kind == "gap" for token in tokens[m.last : i])
    if following is not None and following.kind == "num" and before is not None and apart:
        return _first_column(m, unit.unit)
    if following is not None and following.kind == "ditto":
        repeated = (above if above.unit else unit).of(m)
        steps = (*m.steps, f"The ditto mark stands for the unit above it, {repeated.unit}.")
        return repeated._replace(last=i + 1, steps=steps)
    ended = tokens[m.last - 1].kind == "word" and tokens[m.last - 1].dot
    if (counted := _counted_behind_a_stop(wording, m)) is not None:
        i, following, ended = counted, tokens[counted], False
    if ended or following is None or following.kind in ("sep", "para", "brace", "close"):
        if following is not None and following.text == ":" and not settled.measures:
            return None
        if before is not None and before.word in OF and wording.view.words[j - 1] in _PARTS:
            left_out = not _LEFT_OUT.isdisjoint(wording.view.words[max(0, j - 4) : j])  # 'leave out the whites of three'
            return None if left_out else m._replace(unit="piece", kind="interior")  # 'yolks of seven eggs and the whites of five'
        if before is None or (before.kind == "word" and (before.word in connectives() or wording.is_direction(j))):
            return None
        return _behind_its_name(wording, m, a, settled)
    if following.kind != "word":
        return None
    if _ends_a_row(wording, m, i):
        return _behind_its_name(wording, m, a, settled)
    if following.word in OF or m.each == "after":
        of_the_whole = not m.each and not unit.unit and _comes_in_no_pieces(wording, m, wording.view.solid[i + 1])
        return _in_force(wording, m, settled) if unit.unit or m.each or of_the_whole else None  # 'a quarter of lard'
    if m.each == "before":
        return _in_force(wording, m, settled)
    if following.word in other_units() or following.word in connectives() or wording.is_direction(i):
        listed = following.word in _LIST_AND and before is not None and wording.is_name(j)
        return _in_force(wording, m, settled) if listed and unit.unit else None
    return _pieces(wording, m, a, i, j, settled)


def _ends_a_row(wording: Wording, m: Measure, i: int) -> bool:
    """'Zinci oxydati 5,0 Amyli 10,0': a decimal figure right behind one known name and before another at token i."""
    decimals = m.last == m.first + 1 and has_decimals(wording.tokens[m.first].text)
    return decimals and bool(wording.known_before(m.first)) and bool(wording.known_beginning(i))


def _counted_behind_a_stop(wording: Wording, m: Measure) -> int | None:
    """The token of 'eggs' in '6. eggs', of 'yolks' in 'viij. yolks of eggs'; None where nothing that is counted stands there."""
    tokens, k = wording.tokens, m.last
    if not tokens[k - 1].dot:
        stop = wording.view.token(k)
        if stop is None or stop.text != "." or stop.start != tokens[k - 1].end:
            return None
        k += 1
    k = wording.view.solid[k]
    begins = m.first > 0 and tokens[m.first - 1].text == ","  # 'mace an ounce, 6. Cloves'
    if k >= len(tokens) or (tokens[k].text[:1].isupper() and not begins):
        return None  # 'Figs 6. Eggs': another thing begins
    names = wording.known_beginning(k)
    counted = are_counted(names)
    weighed = may_be_weighed(names) or (names and not begins)
    counted = counted or (not weighed and wording.is_name(k) and wording.view.words[k].endswith(_PLURAL))
    return k if counted or wording.view.words[k] in _PARTS else None


def _first_column(m: Measure, unit: str) -> Measure:
    first = "gram" if unit in ("gram", "millilitre") else "part"
    unit_in_words = "grammes" if first == "gram" else "parts"
    text = f"Columns of figures stand side by side; the first is taken, as {unit_in_words}, the others are noted."
    return m._replace(unit=first, kind="column", doubts=(*m.doubts, Doubt("amount", text, (), "")))


def _heading_of(wording: Wording, m: Measure, settled: Settled) -> Heading | None:
    """The heading that stands over a figure; None where there is none, or a unit printed since is in force."""
    if len(settled.headings) < 2:
        return next((heading for heading in settled.headings if heading.unit == settled.unit.unit), None)
    cell = _cell(wording, settled.first, m.first)
    return next((heading for heading in settled.headings if heading.cell == cell), None)


def _cell(wording: Wording, a: int, i: int) -> int:
    """How many rules of a table stand between the tokens a and i."""
    return sum(token.text == "|" for token in wording.tokens[a:i])


def _in_drops(wording: Wording, m: Measure, settled: Settled) -> bool:
    """'20 drops of oil of geranium and 10 of oil of almonds': whether a figure goes on from the drops right before it."""
    last = settled.last
    if last is None or last.unit != "drop" or wording.has_stop(last.last, m.first):
        return False
    words = wording.view.words
    return words[m.first - 1] in _LIST_AND and words[wording.view.solid[m.last]] in OF


def _in_force(wording: Wording, m: Measure, settled: Settled) -> Measure:
    """A figure without a unit of its own, in the unit of its column's heading or else in the one before it."""
    if _in_drops(wording, m, settled):
        return with_unit_in_force(m, InForce("drop"))
    heading = _heading_of(wording, m, settled)
    if heading is None:
        return with_unit_in_force(m, settled.unit)
    steps = (*m.steps, f"The heading of its column says {heading.words!r}.")
    amount = times(m.amount, heading.factor)
    return m._replace(amount=amount, unit=heading.unit, system=m.system or heading.system, kind="plain", steps=steps)


def with_unit_in_force(m: Measure, unit: InForce) -> Measure:
    doubt = Doubt("unit", "No unit is printed; the figures are taken as parts.", (), "")
    if unit.unit:
        text = f"No unit is printed here; the unit before it ({unit.unit}) is carried on."
        doubt = Doubt("unit", text, (), "Another unit would change this line.")
    return unit.of(m)._replace(doubts=(*m.doubts, doubt))


def _behind_its_name(wording: Wording, m: Measure, a: int, settled: Settled) -> Measure | None:
    """A figure that nothing follows: so many of what is counted, else in the unit that is in force."""
    number = numbers().get(wording.view.words[m.first])
    latin = number is not None and number.language == "la"  # 'Album. ovi unius'
    first = not settled.unit.unit and not settled.measures  # 'yolks of eggs 4' at the head of a list
    counted = counts_in_words(wording, m) and (m.each or is_counted(wording, m))
    pieces = settled.unit.unit in FLUIDS and (is_of_a_counted_thing(wording, m) or is_never_poured(wording, m))
    counted = counted or (pieces and not settled.headings)
    if counted or ((first or latin) and is_of_a_counted_thing(wording, m)):
        return _so_many(m, settled.unit.unit or "part")
    return _in_force(wording, m, settled) if m.each or wording.is_nominal(a, m.first) else None


def _so_many(m: Measure, unit: str) -> Measure:
    text = "No unit is printed behind a thing that is counted: so many pieces are meant."
    doubt = Doubt("unit", text, (f"the unit before it, {unit}",), "Look at the page.")
    return m._replace(unit="piece", doubts=(*m.doubts, doubt))


def _is_never_cut(entry: Ingredient) -> bool:
    """Whether it is no thing of which a half or a quarter is taken, as of an apple or a ham."""
    return not entry.counted and entry.kind not in _CUT_UP


def _told_what_to_do(wording: Wording, m: Measure, a: int, i: int) -> bool:
    """'Wash and peel 3 celery roots', 'slice thinly four very tart apples': a verb begins the clause before a count, and a known
    name stands behind it, at token i or past what modifies it."""
    begins, runs_on = m.first, ("word", "line", "gap")
    while begins > max(a, m.first - _FAR_FROM_VERB) and wording.tokens[begins - 1].kind in runs_on:
        if wording.tokens[begins - 1].dot:
            break  # 'grated bread. Beat up eight eggs'
        begins -= 1
    if wording.view.words[m.first] in _ONE_OR_A or wording.known_in(begins, m.first):
        return False
    if not any(wording.is_direction(k) for k in range(begins, m.first)):
        return False
    return any(not wording.has_stop(i, name.first) for name in wording.known_in(i, i + _FAR_FROM_NAME))


def _is_put_in(wording: Wording, j: int) -> bool:
    """'put in six figs', 'cast in three eggs': whether the word 'in' at token j belongs to a verb before it."""
    words = wording.view.words
    return j > 0 and words[j] in _IN and (words[j - 1] in _PUTS_IN or wording.is_direction(j - 1))


def _runs_on(wording: Wording, m: Measure, a: int, i: int, settled: Settled) -> bool:
    """'½ pound sugar 2 eggs ½ ounce ginger': a count behind the name of another amount, in a list that begins with one."""
    begins = bool(settled.measures) and not wording.is_nominal(a, settled.measures[0].first)
    return begins and bool(wording.known_before(m.first)) and are_counted(wording.known_beginning(i))


def _pieces(wording: Wording, m: Measure, a: int, i: int, j: int, settled: Settled) -> Measure | None:
    """A count of pieces before the name at token i, or so much of what comes in none; token j stands before it."""
    before: Token | None = wording.tokens[j] if j >= a else None
    # 'the juice of one lemon', 'juice one lemon'
    decimal = has_decimals(wording.tokens[m.last - 1].text)  # 'nitric acid of 1.5 sp. gr.'
    of_a_whole = before is not None and not decimal and (before.word in OF or before.word in _PARTS)
    behind = settled.last.last if settled.last else a
    if of_a_whole and wording.is_nominal(max(a, behind), j + (before is not None and before.word in _PARTS)):
        return m._replace(unit="piece", kind="interior")
    starts = before is None or before.kind in ("sep", "para", "line", "other", "sign") or before.word in _BEFORE_PIECES
    starts = starts or _told_what_to_do(wording, m, a, i) or _is_put_in(wording, j) or _runs_on(wording, m, a, i, settled)
    if not starts or not wording.is_name(i) or wording.view.words[i] in _COUNTLESS:
        return None
    if not _comes_in_no_pieces(wording, m, i):
        return m._replace(unit="piece")
    if wording.tokens[m.first].kind == "num":
        return _in_force(wording, m, settled)
    return with_unit_in_force(m, NONE_IN_FORCE)  # 'half vinegar and half water' is of the whole, whatever stands before


def _comes_in_no_pieces(wording: Wording, m: Measure, i: int) -> bool:
    """'100 Talcum', 'half vinegar', '12,5 orris': a figure or a part of one, whose known name at token i is of a powder or a
    liquid, or a figure that has decimals."""
    figure = wording.tokens[m.first]
    alone = m.last - m.first == 1 and figure.kind == "num"
    if not alone and not (isinstance(m.amount, float) and m.amount < 1):
        return False
    names = wording.known_beginning(i)
    meant = [ingredients[key] for name in names for key in name.ingredients]
    less_than_one = alone and isinstance(m.amount, float) and m.amount < 1  # '¼ borax and ⅛ camphor' below half a pound
    weighed = bool(meant) and all(entry.uncountable or (less_than_one and _is_never_cut(entry)) for entry in meant)
    return weighed or (alone and has_decimals(figure.text))
