"""Amounts whose unit stands first: '℥ij', 'gr. x', 'f℥iss', 'lb. ij', 'uncias duas', '℥ ss.--ʒij'."""

from __future__ import annotations

from typing import NamedTuple

from histkit.base.nouns import Amount, Doubt
from histkit.reading.figures import DASHES, DIMIDIUM, amount_at, figure_at
from histkit.reading.measure import RATIOS, Measure, smaller
from histkit.reading.numerals import BEFORE_WORN_FINAL, BELOW_FORTY, LARGE, THOUSANDS, roman
from histkit.reading.tokens import Token
from histkit.reading.unit_words import unit_at
from histkit.reading.view import LOOK_AHEAD, View
from histkit.reading.vocabulary import AND, OF, direction_words, numbers, sign_units, units, units_before_numerals, word_list

_NUMBER, _OF_EACH = word_list("counts-pieces"), word_list("ends-of-each")
_DOUBTFUL_ALONE, _ROMAN_ONLY = word_list("before-numeral-if-stopped"), word_list("before-numeral-if-roman")
_IN_FULL = word_list("in-full-before-numeral")
_HALF_SIGNS, _SS = word_list("half-sign"), word_list("half-sign-after-numeral")
_CUT_HALF = word_list("half-sign-cut-short")
_MISCE, _RANGE = word_list("misce"), word_list("range-of-numerals")
_NO_SECOND_END, _DOWN_TO = word_list("no-second-end"), word_list("down-to")
_WITH_A_HALF, _LATIN_HALF = word_list("and-before-latin-half"), word_list("latin-half")
_NUMBERED, _IN, _BY_ITS_CASE = word_list("number-in-full"), word_list("in"), word_list("one-by-its-case")
_ABBREVIATED = 4
"""Letters at most of an abbreviation: 'drach' and 'uncias' may have their number in words behind them."""
_WORN_FINAL = "1"
_FRACTIONS_OF, _SMALLEST_PART = ("grain", "minim", "drop"), 12
"""Of which units fractions are printed, and from which figure on '1-12' is one."""
_DIMIDIUM = word_list("dimidium-of-a-pound")


class Prefixed(NamedTuple):
    """The figure behind a sign: `other` is another reading of a damaged one, `numeral` tells that it is a Roman one."""

    amount: Amount
    after: int
    other: str = ""
    numeral: bool = False


def read_signed(view: View, i: int) -> Measure | None:
    """'℥ij', 'ʒ ss.', 'gr. x-xxx', 'f℥iss', 'lb. ij', 'uncias duas', '℥ ss.--ʒij' at token i."""
    if i >= len(view.tokens):
        return None
    if view.tokens[i].kind not in ("sign", "word"):
        return None
    if i not in view.remembered.signed:
        view.remembered.signed[i] = _read(view, i, view.tokens[i])
    return view.remembered.signed[i]


def _read(view: View, i: int, token: Token) -> Measure | None:
    unit, system = _unit(view, i, token)
    if not unit:
        return None
    k = view.ungapped[i + 1]
    number = numbers().get(view.words[k])
    latin = number is not None and number.language == "la"  # 'unc. duas'; but not 'oz. one'
    figure = _figure(view, k, word_allowed=latin or (token.kind == "word" and len(token.word) > _ABBREVIATED))
    if figure is None and token.word in _BY_ITS_CASE and (token.dot or view.ends_clause(i + 1)):
        figure = Prefixed(units()[token.word].factor, i + 1)  # 'Myrrhae unciam,', 'aceti sescunc.'
    if figure is None or _is_none_after_all(view, i, k, figure):
        return None
    doubts = _doubts(view, token, unit, figure)
    if (of_one := _fraction_of_one(view, k, figure, unit)) is not None:
        figure, doubt = of_one
        doubts += (doubt,)
    amount, unit, j, joined = _over_units(view, figure.amount, unit, figure.after)
    plus: tuple[tuple[Amount, str], ...] = ()
    if not joined:
        with_and = view.words[view.solid[j]] in AND
        stopped = _past_stop(view, j)
        more = read_signed(view, view.solid[view.solid[j] + 1] if with_and else view.ungapped[stopped])
        if more and more.kind == "plain" and not more.plus and smaller(more.unit, unit):
            ends = view.tokens[more.last - 1].dot or view.ends_clause(more.last)
            if (ends or not (with_and or stopped > j)) and view.next_word(more.last) not in OF:
                # '℥ iij. and ʒ ij.', not 'and gr. v of musk'
                plus, j = ((more.amount, more.unit),), more.last
    steps = (f"The sign or abbreviation {token.text!r} is the {unit}.",)
    return Measure(i, j, amount, unit, plus=plus, system=system, doubts=doubts, steps=steps)


def read_under_a_ditto(view: View, i: int) -> Measure | None:
    """'Camphor,  "  iij.' below 'Opium, dr. ij.': a numeral behind the mark that repeats the unit above."""
    k = view.ungapped[i + 1]
    token = view.token(k)
    if token is None or token.kind != "word" or i == 0 or view.tokens[i - 1].kind in ("line", "para"):
        return None
    numeral = roman(token.word) if BELOW_FORTY.issuperset(token.word) else None
    if numeral is None or not (token.dot or view.ends_clause(k + 1)):
        return None
    return Measure(i, k + 1, numeral[0], "", kind="ditto")


def _unit(view: View, i: int, token: Token) -> tuple[str, str]:
    """The unit and the system that a sign or an abbreviation before a numeral stands for; "" where it stands for none."""
    if token.kind == "sign":
        return sign_units().get(token.word, ""), "apothecaries"
    if token.word in _NUMBER:
        return ("piece", "") if _counts_pieces(view, i) else ("", "")  # 'Caryophyll. No. vj.'
    return units_before_numerals().get(token.word, ""), ""


def _counts_pieces(view: View, i: int) -> bool:
    """'Caryophyll. No. vj.', 'of each n. xij.', 'figs, number four' count; 'Solution No. ii.' and 'Carmine No. 40' do not."""
    before, figure = view.tokens[i - 1] if i else None, view.token(view.ungapped[i + 1])
    if before is None or figure is None:
        return False
    numeral = figure.text.islower() and roman(figure.word) is not None
    if view.words[i] in _NUMBERED:  # 'jujubarum num. xxx.'
        return before.text == "," or before.word in _IN or before.word in _OF_EACH or (numeral and figure.dot)
    listed = before.word in _OF_EACH or before.text == "," or (before.kind == "word" and before.dot)
    return listed and numeral and (view.tokens[i].dot or figure.dot)


def _is_none_after_all(view: View, i: int, k: int, figure: Prefixed) -> bool:
    """Whether the word at token i with the figure at token k is no amount: 'o 2', 'p. 12', 'M.D.S.', 'lb. 2 oz.'"""
    token = view.tokens[i]
    if token.kind != "word":
        return False
    of_each = i > 0 and view.words[i - 1] in _OF_EACH and token.dot and token.text.isupper()  # 'ana P. 1.'
    if not figure.numeral and ((token.word in _ROMAN_ONLY and not of_each) or (token.word in _DOUBTFUL_ALONE and not token.dot)):
        return True
    latin = (number := numbers().get(view.words[k])) is not None and number.language == "la"  # 'drachm. dimid. spirit.'
    if token.word in _IN_FULL and not (figure.numeral or latin or view.ends_clause(figure.after)):
        return True  # 'vinegar ounces 3.', but not 'the ounces 3 eggs'
    if figure.numeral:
        cut_short = view.words[k] in DIMIDIUM  # 'M. di.' is half a handful, 'M.D.S.' misce, da, signa
        return token.text in _MISCE and not cut_short and not LARGE.isdisjoint(view.words[k])
    # 'lb. 2 oz.': the figure belongs to the next unit
    return len(token.word) <= _ABBREVIATED and unit_at(view, view.ungapped[figure.after]) is not None


def _doubts(view: View, token: Token, unit: str, figure: Prefixed) -> tuple[Doubt, ...]:
    doubts: tuple[Doubt, ...] = ()
    if token.damaged:
        text = f"The sign is printed or scanned as {token.damaged!r}; read as the {unit} sign."
        effect = "The figure would make another amount altogether."
        doubts += (Doubt("unit", text, (f"the figure {token.damaged}",) if token.kind == "sign" else (), effect),)
    if figure.other:
        text = f"The numeral is damaged or oddly set: {view.tokens[figure.after - 1].text!r}."
        doubts += (Doubt("amount", text, (figure.other,), "It changes the amount of this line."),)
    return doubts


def _fraction_of_one(view: View, k: int, figure: Prefixed, unit: str) -> tuple[Prefixed, Doubt] | None:
    """'gr. 1-120' of a strong drug is a fraction set with a dash, 'gr. 1-6' may be one: the figure, and the doubt that tells."""
    if not isinstance(figure.amount, tuple) or unit not in _FRACTIONS_OF or view.tokens[k].text != "1":
        return None
    high = int(figure.amount[1])
    if view.tokens[figure.after - 1].text != str(high) or high < 2:
        return None
    printed = f"'1–{high}'"
    near = range(max(0, k - LOOK_AHEAD), min(len(view.tokens), k + LOOK_AHEAD))
    if high < _SMALLEST_PART and not any(_is_such_a_part(view, i) for i in near):
        text = f"{printed} may be a range or the fraction 1/{high}."
        return figure, Doubt("amount", text, (f"1/{high} {unit}",), "It changes what this line weighs: look at the page.")
    text = f"{printed} is read as the fraction 1/{high}."
    doubt = Doubt("amount", text, (f"1 to {high} {unit}",), "The range would be far larger.")
    return figure._replace(amount=1 / high), doubt


def _is_such_a_part(view: View, i: int) -> bool:
    """Whether '1-12' or a smaller part, set with a dash, stands at token i."""
    one, dash, under = (view.token(i + step) for step in range(3))
    set_so = one is not None and one.text == "1" and dash is not None and dash.text in DASHES
    return set_so and under is not None and under.kind == "num" and under.value >= _SMALLEST_PART


# -- the figure behind the sign --------------------------------------------------------------------------------------------


def _figure(view: View, i: int, word_allowed: bool) -> Prefixed | None:
    """The figure after a sign: digits, Roman, a range, or Latin words; in running text a line may end between the two."""
    token = view.token(i)
    if token is not None and token.kind == "line" and view.tokens[i - 1].kind == "sign" and _goes_on_below(view, i):
        i = view.solid[i]
        token = view.tokens[i]
    if token is None:
        return None
    if token.kind == "num":
        return _digits(view, i)
    if token.kind != "word":
        return None
    if token.word in direction_words():
        return None  # 'water, lib. mix them'
    return _roman(view, i, token) or (_in_words(view, i) if word_allowed else None)


def _goes_on_below(view: View, i: int) -> bool:
    """Whether the line below the end of one at token i begins with a numeral and its stop, and goes on behind it."""
    k = view.solid[i]
    numeral = view.token(k)
    if numeral is None or numeral.kind != "word" or not numeral.dot:
        return False
    behind = view.token(view.ungapped[k + 1])
    goes_on = behind is not None and behind.kind not in ("line", "para")
    return goes_on and (numeral.word in _SS or BELOW_FORTY.issuperset(numeral.word))


def _digits(view: View, i: int) -> Prefixed | None:
    figure = amount_at(view, i)
    if figure is None:
        return None
    half = _past_stop(view, figure.after)
    if view.words[half] in (_HALF_SIGNS if half == figure.after else _SS):
        return Prefixed(figure.amount + 0.5 if isinstance(figure.amount, float) else figure.amount, half + 1)
    return Prefixed(figure.amount, figure.after)


def _past_stop(view: View, i: int) -> int:
    """The token after a stop at token i that stands behind a figure: '℥. 2. ss.'; i itself where there is none."""
    return view.ungapped[i + 1] if i < len(view.tokens) and view.tokens[i].text == "." else i


def _roman(view: View, i: int, token: Token) -> Prefixed | None:
    of_pounds = units_before_numerals().get(view.words[i - 1]) == "pound"  # 'lb. d.'
    if token.word in DIMIDIUM or (of_pounds and token.text in _DIMIDIUM):
        return Prefixed(0.5, i + 1, numeral=True)
    if not THOUSANDS.isdisjoint(token.word):
        return None  # nobody weighs 'lb. mi'
    if (cut_half := _half_cut_short(view, i, token)) is not None:
        return cut_half
    values = [roman(piece) for piece in token.word.split("-", 2)]
    first, second = values[0], values[1] if len(values) == 2 else None
    if first is None or len(values) > 2 or (len(values) == 2 and second is None):
        return None
    value, other, j = _with_loose_parts(view, i, token, *first)
    if second is not None:
        ends = (min(value, second[0]), max(value, second[0]))
        backwards = f"{token.text} as printed" if value > ends[0] else ""
        return Prefixed(ends, j, other or second[1] or backwards, True)
    k = view.solid[j]
    if _joins(view, k):
        last = view.token(k + 1)
        high = roman(last.word) if last is not None and last.kind == "word" else None
        if high is not None and last is not None and last.word not in _NO_SECOND_END:
            return Prefixed((min(value, high[0]), max(value, high[0])), k + 2, other or high[1], True)
    if value == int(value) and view.words[k] in AND and view.words[view.solid[k + 1]] in DIMIDIUM:
        return Prefixed(value + 0.5, view.solid[k + 1] + 1, other, True)  # 'lb. ii. & di.'
    return Prefixed(value, j, other, True)


def _half_cut_short(view: View, i: int, token: Token) -> Prefixed | None:
    """'℥ s.', '℥ js.', '℥ j s.': a half whose sign is one small letter, with its stop, behind the sign of a unit."""
    if view.tokens[i - 1].kind != "sign" or not token.text.islower():
        return None
    if token.word in _CUT_HALF:
        return Prefixed(0.5, i + 1, numeral=True) if _is_a_cut_half(view, i) else None
    glued = next((half for half in _CUT_HALF if token.word.endswith(half)), "")
    whole = token.word.removesuffix(glued)
    numeral = roman(whole) if whole and BELOW_FORTY.issuperset(whole) else None
    if numeral is None or numeral[0] != int(numeral[0]):
        return None
    if glued:
        return Prefixed(numeral[0] + 0.5, i + 1, numeral[1], True) if token.dot else None
    loose = not token.dot and view.words[i + 1] in _CUT_HALF and _is_a_cut_half(view, i + 1)
    return Prefixed(numeral[0] + 0.5, i + 2, token.text, True) if loose else None


def _is_a_cut_half(view: View, i: int) -> bool:
    """Whether the letter at token i is small, has its stop, and stands before no other such letter: not '℥j s. a.'."""
    behind = view.words[view.ungapped[i + 1]]
    return view.tokens[i].dot and view.tokens[i].text.islower() and len(behind) != 1


def _with_loose_parts(view: View, i: int, token: Token, value: float, other: str) -> tuple[float, str, int]:
    """The numeral with a last stroke that the scan made a figure of ('x1' for 'xl') or with an 'ss' set apart."""
    j = i + 1
    behind = view.token(j)
    if behind is None:
        return value, other, j
    glued = behind.kind == "num" and behind.start == token.end and behind.text == _WORN_FINAL
    if glued and BEFORE_WORN_FINAL.issuperset(token.word) and (mended := roman(token.word + behind.text)):
        value, other, j = mended[0], mended[1] or token.word + "j", j + 1
    half = view.past_line(j) if view.tokens[i - 1].kind == "sign" else j  # '℥ i. / ss.' has its half on the next line
    if view.words[half] in _SS and value == int(value):
        value, j = value + 0.5, half + 1
    return value, other, j


def _in_words(view: View, i: int) -> Prefixed | None:
    """'uncias duas', 'unam cum semisse'."""
    number = figure_at(view, i)
    if number is None or number.flavour == "article":
        return None
    k = view.past_line(number.after)
    if view.words[k] in _WITH_A_HALF and view.words[k + 1] in _LATIN_HALF:
        return Prefixed(number.value + 0.5, k + 2)
    return Prefixed(number.value, number.after)


# -- ranges --------------------------------------------------------------------------------------------------------------


def _joins(view: View, i: int) -> bool:
    joiner = view.token(i)
    return joiner is not None and ((joiner.kind == "sep" and joiner.text in DASHES) or joiner.word in _RANGE)


def _over_units(view: View, amount: Amount, unit: str, i: int) -> tuple[Amount, str, int, bool]:
    """'℥ss–ʒij', 'gr. x to ʒss': both ends in the smaller unit. The last value tells whether a second end stands there."""
    alone = (amount, unit, i, False)
    k = view.ungapped[i]
    second = read_signed(view, view.ungapped[k + 1]) if _joins(view, k) else None
    if second is None or not isinstance(amount, float) or not isinstance(second.amount, float):
        return alone
    if second.unit == unit and second.amount < amount and view.words[k] in _DOWN_TO:
        return alone  # 'coque in aquae lib. ivss. ad lib. iv.'
    if second.unit == unit:
        return (min(amount, second.amount), max(amount, second.amount)), unit, second.last, True
    for large, small, one, two in ((unit, second.unit, amount, second.amount), (second.unit, unit, second.amount, amount)):
        if (ratio := RATIOS.get((large, small), 0)) >= 1:
            return (min(one * ratio, two), max(one * ratio, two)), small, second.last, True
    return alone
