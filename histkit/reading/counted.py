"""Amounts whose figure stands first: '2 oz.', 'half an ounce', '3 lbs. 8 oz.', '1 to 2 drachms', a figure without a unit."""

from __future__ import annotations

from histkit.base.letters import ILLEGIBLE
from histkit.base.nouns import Amount, Doubt, amount_text, times
from histkit.reading.damage import worn_fraction
from histkit.reading.figures import DASHES, HALF_BEHIND, Range, amount_at, and_fraction, hyphen_fraction
from histkit.reading.measure import METRIC, RATIOS, Measure, fluid, smaller
from histkit.reading.signed import read_signed
from histkit.reading.unit_words import Unit, begins_a_sentence, begins_clause, closes, unit_at
from histkit.reading.view import View
from histkit.reading.vocabulary import (
    AND,
    DITTO,
    DO,
    OF,
    OR,
    THE,
    TO,
    connectives,
    numbers,
    other_units,
    units,
    word_list,
    worn_figures,
)

_NOT_BEFORE_FIGURE = word_list("not-before-figure")
_NUMBERING, _WORTH, _PENCE = map(word_list, ("numbering", "worth", "sign-of-pence"))
_NUMBERED_ALONE, _NO_SORT = word_list("numbered-alone"), word_list("verb-of-mixing") | word_list("take") | connectives()
_ONLY_STOPPED, _ONLY_SMALL = word_list("unit-if-stopped"), word_list("minim-or-misce")
_ONLY_AFTER_DIGITS, _NOT_AFTER_ARTICLE = word_list("only-after-digits"), word_list("not-after-article")
_ALONE, _MORE, _ONE_OR_A = word_list("unit-alone"), word_list("or-more"), word_list("one-or-a")
_LINKS, _DOZEN, _INSIDE = word_list("of-a-choice"), word_list("dozen"), word_list("inside-hyphens")
_RANGE, _BEFORE_AMOUNT, _NOT_BEFORE_BARE = (
    word_list("range-over-units"),
    word_list("before-its-amount"),
    word_list("not-before-bare"),
)
_BETWEEN, _RANGE = word_list("between"), word_list("range")
_FULL, _IN, _PUTS_IN = map(word_list, ("full", "in", "puts-in"))
_ORDINAL, _FROM = word_list("ordinal-ending"), word_list("from")
_MONEY = frozenset("$£")
_LOOK_AT_THE_PAGE = "It changes what this line weighs: look at the page."
_SMALLEST_UNDER, _UNDER_A_LARGE_UNIT = {"part": 10, "grain": 10, "drop": 10}, 5
"""From which figure on '1-10 grain' and '1-6 ounce', with the unit of one, are fractions and no ranges."""
_A_PROPORTION = 4
"""So many times as many parts of another thing are no range: 'one part to four parts'."""
_FIRST_YEAR, _LAST_YEAR, _LARGE = 1400, 1999, 400


def read_counted(view: View, i: int) -> Measure | None:
    """The amount at token i that begins with its figure."""
    if i >= len(view.tokens):
        return None
    if i not in view.remembered.counted:
        view.remembered.counted[i] = _read(view, i)
    return view.remembered.counted[i]


def _is_numbered(view: View, i: int) -> bool:
    """Whether a figure behind word i says which one is meant: 'Solution 2.', 'mix solution 1 with'; not 'salt solution 8'."""
    if view.words[i] not in _NUMBERED_ALONE:
        return False
    return begins_clause(view, i) or view.tokens[i - 1].kind == "line" or view.words[i - 1] in _NO_SORT


def _read(view: View, i: int) -> Measure | None:
    token = view.tokens[i]
    if token.kind == "open" and (qualifier := view.phrase(i + 1, "qualifier")) and closes(view, qualifier[1]):
        return _qualified(view, i, view.solid[qualifier[1] + 1], qualifier[0].value)
    if (instead_of_a_figure := _INSTEAD_OF_A_FIGURE.get(token.text)) is not None:
        return instead_of_a_figure(view, i)
    if (joined := _hyphenated_with_unit(view, i)) is not None:
        return joined
    figure = amount_at(view, i)
    if figure is None:
        return _unit_alone(view, i)
    joined = _hyphenated_with_unit(view, view.solid[figure.after])
    if joined is not None and isinstance(figure.amount, float):
        return joined._replace(first=i, amount=times(joined.amount, figure.amount))  # 'one half-ounce', 'three half-pints'
    if i and figure.flavour == "digit" and (view.words[i - 1] in _NOT_BEFORE_FIGURE or _is_numbered(view, i - 1)):
        return None
    if view.words[i + 1] in _ORDINAL and view.tokens[i].end == view.tokens[i + 1].start:
        return None  # '9th'
    if i > 1 and view.words[i - 1] in OR and other_units().get(view.words[i - 2]) in ("time", "length"):
        return None  # 'in a day or two', 'an inch or two thick'
    k = view.solid[figure.after]
    if view.words[k] in OR and view.next_word(k + 1) in _MORE:
        k = view.solid[view.solid[k + 1] + 1]  # '1 or more lbs.'
    unit = unit_at(view, k)
    if unit is None:
        return _without_unit(view, i, k, figure)
    if _means_no_unit(view, k):
        return _bare(view, i, figure)
    if figure.flavour in ("word", "article") and view.words[k] in _ONLY_AFTER_DIGITS:
        return None
    if figure.flavour == "article" and view.tokens[k].dot and read_signed(view, k):
        return None  # 'a gr. i. ad ij.': from one grain to two
    if figure.flavour == "article" and view.words[k] in _NOT_AFTER_ARTICLE and view.words[i] not in _ONE_OR_A:
        return None  # 'a lot', but 'ein Lot'
    measure = _with_unit(view, i, k, figure, unit)
    return _compound(view, _range_over_units(view, measure)) if measure.kind == "plain" else measure


def _unit_alone(view: View, i: int) -> Measure | None:
    """'pinch of salt', 'dash cinnamon' at the head of a line or behind a comma: one of them."""
    unit = units().get(view.words[i]) if view.words[i] in _ALONE else None
    if unit is None or (i and view.tokens[i - 1].kind not in ("line", "para", "sep", "gap")):
        return None
    following = view.next_word(i + 1)
    named = bool(following) and (following in OF or (following not in other_units() and following not in connectives()))
    return Measure(i, i + 1, 1.0, unit.unit, article=True) if named else None


def _qualified(view: View, i: int, start: int, qualifier: str) -> Measure | None:
    """'(av.) 3 ounces', '(fluid) 1 oz. of water': the amount at `start` with the qualifier in brackets at token i."""
    measure = read_counted(view, start)
    if measure is None or measure.kind != "plain":
        return None
    if qualifier == "fluid":
        return measure._replace(first=i, unit=fluid(measure.unit))
    return measure._replace(first=i, system=qualifier)


def _after_nil(view: View, i: int) -> Measure | None:
    """'— ounces 4 drachms': a dash for nought in a column of two units."""
    nil = unit_at(view, view.ungapped[i + 1]) if i and view.tokens[i - 1].kind == "gap" else None
    second = read_counted(view, view.ungapped[nil.after]) if nil is not None else None
    if nil is None or second is None or second.kind != "plain" or not smaller(second.unit, nil.name):
        return None
    return second._replace(first=i)


def _lost_figure(view: View, i: int) -> Measure | None:
    """'cinamon • dram': a unit whose figure could not be read."""
    if i and view.tokens[i - 1].end == view.tokens[i].start:
        return None
    k = i
    while (token := view.token(k)) is not None and token.text == ILLEGIBLE:
        k += 1
    if (unit := unit_at(view, view.ungapped[k])) is None:
        return None
    doubt = Doubt("amount", f"The figure before {unit.name!r} could not be read.", (), _LOOK_AT_THE_PAGE)
    return Measure(i, unit.after, None, unit.name, kind="few", doubts=(doubt,))


_INSTEAD_OF_A_FIGURE = {**dict.fromkeys(DASHES, _after_nil), ILLEGIBLE: _lost_figure}
"""What reads the amount that begins with this sign."""


def _hyphenated_with_unit(view: View, i: int) -> Measure | None:
    """'half-a-drachm', 'half-ounce', 'quarter-pound', 'half-a-dozen' in one token."""
    word = view.words[i]
    if "-" not in word:
        return None
    first, *middle, last = word.split("-")
    entry, unit = numbers().get(first), units().get(last)
    if entry is None:
        return None
    if last in _DOZEN and entry.kind == "fraction":
        return Measure(i, i + 1, entry.value * 12, "piece")
    if unit is None or entry.kind not in ("fraction", "number", "article") or not _INSIDE.issuperset(middle):
        return None
    return Measure(i, i + 1, entry.value * unit.factor, unit.unit)


# -- a figure without a unit -----------------------------------------------------------------------------------------------


def _without_unit(view: View, i: int, k: int, figure: Range) -> Measure | None:
    """The figure at token i, behind which the word at token k is no unit."""
    other = other_units().get(view.words[k])
    pence = view.words[k] in _PENCE and view.next_word(k + 1) in _WORTH  # 'i. d. worth of saffron'
    if other == "money" or pence:
        worth = view.solid[k + 1]
        after = worth + 1 if view.words[worth] in _WORTH else k + 1
        doubt = Doubt("amount", "A price is printed instead of an amount; prices of the time are not converted.")
        return Measure(i, after, None, "none", kind="some", doubts=(doubt,))
    if view.words[k] in _FULL and view.words[k + 1] in OF:
        doubt = Doubt("amount", f"How much a vessel {' '.join(view.words[i : k + 1])} holds is not printed.")
        return Measure(i, k + 1, None, "none", kind="some", doubts=(doubt,))  # 'half full of water'
    return None if other is not None or figure.flavour == "article" or _is_a_year(view, i, figure) else _bare(view, i, figure)


def _is_a_year(view: View, i: int, figure: Range) -> bool:
    """'Mai 1833', 'Ed. 1836': a figure of a year behind a word, where no other figure of the text is nearly as large."""
    if not isinstance(figure.amount, float) or not _FIRST_YEAR <= figure.amount <= _LAST_YEAR:
        return False
    named = i > 0 and view.tokens[i - 1].kind == "word"
    return named and not any(t.value >= _LARGE and t is not view.tokens[i] for t in view.tokens)


def _means_no_unit(view: View, k: int) -> bool:
    """'p' without its stop, 'M.' that is misce."""
    if view.words[k] in _ONLY_STOPPED and not view.tokens[k].dot:
        return True
    return view.words[k] in _ONLY_SMALL and not view.tokens[k].text.islower()


def _bare(view: View, i: int, figure: Range) -> Measure | None:
    """A figure without a unit: a piece count, a carried unit, or no amount at all (decided with its surroundings)."""
    k = view.solid[figure.after]
    put_in = i > 1 and view.words[i - 1] in _IN and view.words[i - 2] in _PUTS_IN  # 'put in six figs'
    of_another = view.words[k] in OF and view.next_word(k + 1) not in THE  # 'dissolve 12 parts of sugar in 36 of water'
    first = i - 2 if i > 2 and view.words[i - 1] in OR and view.words[i - 2] in numbers() else i  # 'into one or two rings'
    barred = view.words[first - 1] in _NOT_BEFORE_BARE and not (put_in or of_another)
    if i and (barred or view.tokens[i - 1].text in _MONEY):
        return None
    if view.words[k] in OF and view.phrase(view.solid[k + 1], "pointed at"):
        return None  # 'one of the following powders'
    if view.words[k] in DITTO or (view.words[k] in DO and view.tokens[k].dot):
        return Measure(i, k + 1, figure.amount, "", kind="ditto")
    return Measure(i, figure.after, figure.amount, "", kind="bare")


# -- a figure with its unit ------------------------------------------------------------------------------------------------


def _with_unit(view: View, i: int, k: int, figure: Range, unit: Unit) -> Measure:
    """The amount whose figure stands at token i and whose unit at token k, alone."""
    amount, doubts = figure.amount, _worn_or_lost(view, i, figure)
    hyphened = hyphen_fraction(view, i) if isinstance(amount, tuple) and unit.name not in ("drop", "part") else None
    if hyphened is not None:
        as_range, as_fraction = f"{amount_text(amount)} {unit.name}", f"{hyphened:g} {unit.name}"
        text = f"{view.tokens[i].text}-{view.tokens[i + 2].text} may be a fraction or a range."
        doubts = (Doubt("amount", text, (as_range if view.mixes_hyphens else as_fraction,), _LOOK_AT_THE_PAGE), *doubts)
        amount = hyphened if view.mixes_hyphens else amount
    if (worn := view.tokens[unit.after - 1]).kind == "word" and worn.damaged:
        text = f"The unit is printed or scanned as {worn.damaged!r}; read as {unit.name}."
        doubts += (Doubt("unit", text, (), _LOOK_AT_THE_PAGE),)
    if hyphened is None and isinstance(amount, tuple) and unit.name in METRIC and _may_be_a_decimal(view, i):
        text = f"{view.tokens[i].text}-{view.tokens[i + 2].text} may be a range or a decimal figure."
        doubts = (
            Doubt("amount", text, (f"{view.tokens[i].text}.{view.tokens[i + 2].text} {unit.name}",), _LOOK_AT_THE_PAGE),
            *doubts,
        )
    if view.tokens[i].text[:1] == "." and unit.name not in METRIC and i and view.tokens[i - 1].kind != "num":
        text = f"{view.tokens[i].text!r} may be a figure behind the last dot of a leader."
        doubts += (Doubt("amount", text, (f"{view.tokens[i].text[1:]} {unit.name}",), _LOOK_AT_THE_PAGE),)
    name, after, scaled = unit.name, unit.after, times(amount, unit.factor)
    if isinstance(scaled, tuple) and _is_fraction_of_one(view, i, k, scaled, name):
        text = f"'{view.tokens[i].text}–{int(scaled[1])}' is read as a fraction, since one unit follows."
        doubts += (Doubt("amount", text, (f"1 to {int(scaled[1])}",), "The range would be far larger."),)
        scaled = 1 / scaled[1]
    if isinstance(scaled, float) and (more := and_fraction(view, after, after_unit=True)):
        scaled, after = scaled + more[0] * unit.factor, more[1]
    elif isinstance(scaled, float) and (part := _fraction_after_unit(view, after)):
        scaled, after = scaled + part * unit.factor, after + 1
    elif isinstance(scaled, float) and view.tokens[unit.after - 1].kind == "sign" and view.words[after] in HALF_BEHIND:
        scaled, after = scaled + unit.factor / 2, after + 1  # 'i. ℥. ss.'
    elif isinstance(scaled, float) and (decimals := _decimals_behind_comma(view, unit, name)):
        scaled, after = scaled + decimals * unit.factor, after + 2
    elif isinstance(scaled, float) and name in ("gram", "grain") and (decimals := _decimals_after_unit(view, after)):
        scaled, name, after = scaled + decimals, "gram", after + 1
    kind, article = "percent" if name == "per cent" else "plain", figure.flavour == "article"
    measure = Measure(i, after, scaled, name, kind=kind, system=unit.system, holds=unit.factor, doubts=doubts, article=article)
    return _in_either_unit(view, measure) if kind == "plain" else measure


def _may_be_a_decimal(view: View, i: int) -> bool:
    """Whether '1-6' is set as tight as a decimal figure, and the text has other decimals: '1·6' scanned as '1-6'."""
    one, hyphen, other = view.tokens[i : i + 3]
    tight = hyphen.text == "-" and one.end == hyphen.start == other.start - 1
    figures = (t for t in view.tokens if t.kind == "num" and t.text[-1:].isdigit() and not t.damaged)
    return tight and any(figure.value != int(figure.value) for figure in figures)


def _worn_or_lost(view: View, i: int, figure: Range) -> tuple[Doubt, ...]:
    """The doubt about a figure that the scan wore down, or of which it lost a fraction."""
    worn = next((t for t in view.tokens[i : figure.after] if t.damaged or t.text in worn_figures()), None)
    if worn is None and not isinstance(figure.amount, tuple) and any(view.words[k] in _RANGE for k in range(i + 1, figure.after)):
        return (Doubt("amount", "Both ends of this range are the same: a fraction may be lost.", (), _LOOK_AT_THE_PAGE),)
    if worn is None:
        return ()
    printed = worn.damaged or worn.text
    others = worn_figures()[worn.text].others if worn.text in worn_figures() else ((printed,) if printed.isdigit() else ())
    lost = worn_fraction(printed) > 0 and not others
    text = f"The figure is printed or scanned as {printed!r}; read as {amount_text(figure.amount)}."
    return (Doubt("amount", text, ("a quarter", "a half", "three quarters") if lost else others, _LOOK_AT_THE_PAGE),)


def _is_fraction_of_one(view: View, i: int, k: int, ends: tuple[float, float], name: str) -> bool:
    """'1–12 grain', '1-6 ounce': a fraction, since the unit behind it is printed as that of one."""
    smallest = _SMALLEST_UNDER.get(name, _UNDER_A_LARGE_UNIT)
    return view.words[k] == name and ends[0] == 1 and ends[1] >= smallest and view.tokens[i].kind == "num"


def _decimals_after_unit(view: View, i: int) -> float | None:
    """'2 gr. 50' as French books print 2.50 grammes: two figures that end the entry."""
    token = view.token(i)
    if token is None or token.kind != "num" or not token.text.isdigit() or len(token.text) != 2:
        return None
    return token.value / 100 if view.ends_clause(i + 1) else None


def _decimals_behind_comma(view: View, unit: Unit, name: str) -> float | None:
    """'12k,5', '5g,25': the unit set as the decimal sign is, between the figures, with no blank anywhere."""
    letter, comma, figure = (view.token(unit.after + k) for k in (-1, 0, 1))
    if name not in METRIC or letter is None or comma is None or figure is None or comma.text != ",":
        return None
    tight = letter.end == comma.start and comma.end == figure.start and len(letter.text) == 1
    own = unit_at(view, view.ungapped[unit.after + 2]) is not None  # 'Salz 5g,20g Zucker'
    return float(f"0.{figure.text}") if tight and figure.text.isdigit() and not own else None


def _fraction_after_unit(view: View, i: int) -> float | None:
    """'16 onces 3/4 de graines', '2 lb. ½ of sugar': a fraction behind the unit of its whole number, before 'of' or the end."""
    token = view.token(i)
    if token is None or token.kind != "num" or not 0 < token.value < 1 or "." in token.text:
        return None
    return token.value if view.next_word(i + 1) in OF | _LINKS or view.ends_clause(i + 1) else None


def _in_either_unit(view: View, measure: Measure) -> Measure:
    """'a pound or pint of': one figure with two units."""
    k = view.solid[measure.last]
    second = unit_at(view, view.solid[k + 1]) if view.words[k] in OR else None
    if second is None or second.name == measure.unit or view.next_word(second.after) not in _LINKS:
        return measure
    doubt = Doubt("unit", f"The amount is printed in two units: {measure.unit} or {second.name}.", (second.name,), "")
    return measure._replace(last=second.after, also=((measure.amount, second.name),), doubts=(*measure.doubts, doubt))


# -- ranges and sums over two units ----------------------------------------------------------------------------------------


def _between(one: float, other: float) -> Amount:
    """The range of two amounts in one unit, the smaller first; one amount where they are the same."""
    return one if one == other else (min(one, other), max(one, other))


def _either(view: View, measure: Measure, other: Measure) -> Measure | None:
    """'one ounce and a half, or two ounces, of', 'alum, 2 ounces, or 3 ounces;': two amounts in one unit, of which either may be
    taken. None where each has a name: 'lard, 2 ounces, or one ounce of suet'."""
    if other.unit != measure.unit or not isinstance(measure.amount, float) or not isinstance(other.amount, float):
        return None
    either = measure._replace(amount=_between(measure.amount, other.amount), last=other.last)
    if not _stands_first(view, measure.first):
        return either if view.ends_clause(other.last) else None
    behind = view.solid[other.last]
    behind = view.solid[behind + 1] if behind < len(view.tokens) and view.tokens[behind].text == "," else behind
    return either._replace(last=behind) if view.words[behind] in OF else None


def _so_many_more(view: View, measure: Measure, other: Measure) -> Measure | None:
    """'one scruple, or two, of opium': a number without its unit behind a comma and 'or', which ends its clause."""
    if other.kind != "bare" or not isinstance(measure.amount, float) or not isinstance(other.amount, float):
        return None
    more = other.amount * measure.holds
    ends = view.ends_clause(other.last) or view.next_word(other.last) in OF
    return measure._replace(amount=(measure.amount, more), last=other.last) if ends and more > measure.amount else None


def _or_more(view: View, measure: Measure, joins: int) -> Measure:
    """'half a scruple or more of saffron': the amount with the doubt that more may be meant; 'or' stands at token `joins`."""
    more = view.solid[joins + 1]
    text = f"The book says '{view.tokens[joins].text} {view.tokens[more].text}'; the least is taken."
    return measure._replace(last=more + 1, doubts=(*measure.doubts, Doubt("amount", text, (), "More may be meant.")))


def _range_over_units(view: View, measure: Measure) -> Measure:
    """'half an ounce to two ounces', 'one drachm to half an ounce', '1 oz. or 30 grammes of talc'."""
    k = view.solid[measure.last]
    if k < len(view.tokens) and view.tokens[k].text == "," and view.next_word(k + 1) in OR:
        share = read_counted(view, view.solid[view.solid[k + 1] + 1])
        the_same = share is not None and times(share.amount, RATIOS.get((share.unit, measure.unit), 0)) == measure.amount
        if share is not None and (share.kind == "percent" or the_same):
            # '5 parts, or 3.85 per cent.', '6 drachms, or three quarters of an ounce'
            return measure._replace(last=share.last, also=((share.amount, share.unit),))
        if share is not None and (ranged := _either(view, measure, share) or _so_many_more(view, measure, share)):
            return ranged
    if view.words[k] in OR and view.next_word(k + 1) in _MORE:
        return _or_more(view, measure, k)
    before = view.words[measure.first - 1] if measure.first else ""
    if k < len(view.tokens) and view.tokens[k].text == "," and before in _FROM:
        k = view.solid[k + 1]  # 'from two drachms, to half an ounce'
    between = before in _BETWEEN and view.words[k] in AND
    if not (between or view.words[k] in _RANGE) or not isinstance(measure.amount, float):
        return measure
    second = read_counted(view, view.solid[k + 1])
    if second is None or not isinstance(second.amount, float):
        return measure
    if second.kind == "bare" and measure.article and (view.next_word(second.last) in OF or view.ends_clause(second.last)):
        # 'a spoonful or two of rose-water'
        return measure._replace(amount=_between(measure.amount, second.amount), last=second.last)
    proportion = second.unit == measure.unit == "part" and second.amount >= _A_PROPORTION * measure.amount and before not in _FROM
    if second.kind != "plain" or second.plus or proportion or _has_its_name_before(view, measure, second):
        return measure  # 'carbolic acid, one part to twenty parts water'
    if second.unit == measure.unit and second.amount < measure.amount and view.words[k] not in OR:
        return measure  # 'boil in water 3 quarts to 2 quarts'
    if second.unit == measure.unit:
        return measure._replace(amount=_between(measure.amount, second.amount), last=second.last)
    one = (measure.unit, second.unit, measure.amount, second.amount)
    two = (second.unit, measure.unit, second.amount, measure.amount)
    for large, small, first, other in (one, two):
        if (ratio := RATIOS.get((large, small), 0)) > 1:
            low, high = sorted((first * ratio, other))
            return measure._replace(amount=(low, high), unit=small, last=second.last)
    alone = view.ends_clause(second.last) or _stands_first(view, measure.first) or before in TO  # 'to 100 pounds or 12 gallons'
    if view.words[k] in OR and (measure.amount == second.amount or alone):
        text = f"The amount is printed in two units: {measure.unit} or {second.unit}."
        doubt = Doubt("unit", text, (f"{second.amount:g} {second.unit}",))
        return measure._replace(last=second.last, also=((second.amount, second.unit),), doubts=(*measure.doubts, doubt))
    return measure


def _has_its_name_before(view: View, measure: Measure, second: Measure) -> bool:
    """'quinine, one dram to two ounces of water': an amount of what stands before it, and one of what stands behind."""
    i = measure.first
    named = i > 1 and view.tokens[i - 1].text == "," and view.tokens[i - 2].kind == "word"
    return named and not _stands_first(view, i) and view.next_word(second.last) in OF


def _follows_an_amount(view: View, i: int) -> bool:
    """Whether a comma and, before it, a larger unit stand before token i."""
    if i < 3 or view.tokens[i - 1].text != ",":
        return False
    before, own = unit_at(view, i - 2), unit_at(view, view.solid[i + 1])
    return before is not None and own is not None and before.after == i - 1 and smaller(own.name, before.name)


def _stands_first(view: View, i: int) -> bool:
    """Whether nothing before token i could be the name of what is measured there: it begins its clause, or follows 'take'."""
    above = i > 1 and view.tokens[i - 1].kind == "line"  # 'then take / two pounds and two ounces of sugar'
    begins = not view.words[i - 1] and begins_clause(view, i)
    return begins or view.words[i - 1 - above] in _BEFORE_AMOUNT or _behind_a_named(view, i)


def _behind_a_named(view: View, i: int) -> bool:
    """Whether the clause before token i has its amount already: 'an ounce of nitre, two drachms and a scruple of alum'."""
    j = i - 1
    while j >= 0 and (view.tokens[j].kind in ("line", "gap") or view.words[j] in AND):
        j -= 1
    if j < 0 or view.tokens[j].text != ",":
        return False
    for k in range(j - 1, 0, -1):
        if view.tokens[k].kind in ("sep", "para"):
            return False
        before = view.words[k - 1].rpartition("-")[2]  # 'three half-pints of'
        if (view.words[k] in OF and (before in units() or before in numbers())) or view.phrase(k, "same"):
            return True
    return False


def _named_behind(view: View, measure: Measure) -> bool:
    """Whether a word stands behind an amount that may be its name: not 'each', nor the first of the next sentence."""
    after = view.token(measure.last)
    if after is None or after.kind != "word" or view.phrase(measure.last, "each"):
        return False
    return not (view.tokens[measure.last - 1].dot and after.text[:1].isupper())


def _compound(view: View, measure: Measure) -> Measure:
    """'3 ounces 2 drachms', '2 ounces, 440 grains', 'one pound and two ounces'."""
    k = view.solid[measure.last]
    token = view.token(k)
    if token is None or measure.unit in ("drop", "part", "piece"):
        return measure
    joined = token.text == "," or token.word in AND
    if token.kind == "word" and view.tokens[measure.last - 1].dot and begins_a_sentence(view, k):
        return measure  # 'Chalk 1 ounce. Five grains are a dose.'
    new_line = k > measure.last and view.tokens[measure.last].kind == "line"
    if new_line and not joined and view.tokens[measure.last - 1].kind == "word":
        return measure  # the next printed line begins a new entry
    start = view.solid[k + 1] if joined else k
    second = None if view.phrase(start, "each") else read_counted(view, start)
    if second is None or second.kind != "plain":
        return measure
    beside = not joined and (view.ends_clause(second.last) or _stands_first(view, measure.first))
    if second.article and (token.text == "," if joined else not beside):
        return measure  # but '3 ounces a dram and half, ', 'an ounce and a drachm of', ', an ounce a drachm of'
    if measure.unit == "kilogram" and second.unit == "grain":
        second = second._replace(unit="gram")  # '1 kil. 500 gr.'
    if not smaller(second.unit, measure.unit):
        return measure
    chain = bool(second.plus) or _follows_an_amount(view, measure.first)  # '2 ounces, 5 drams and 45 grains of'
    if joined and not chain and _named_behind(view, second) and not _stands_first(view, measure.first):
        return measure  # 'talc 2 ounces, 20 grains of …': the second amount has a name of its own
    return measure._replace(plus=((second.amount, second.unit), *second.plus), last=second.last)
