"""Figures, in digits and in words: 'two and a half', '1-1/2', 'three-fourths', 'a quarter of an', 'five and twenty', '1 to 2'."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from math import gcd
from typing import NamedTuple

from histkit.base.nouns import Amount
from histkit.reading.damage import mended
from histkit.reading.numerals import BELOW_FORTY, LARGE, roman
from histkit.reading.tokens import Token
from histkit.reading.unit_words import unit_at, whole_unit_word
from histkit.reading.view import View, view_of
from histkit.reading.vocabulary import AND, HALF, OF, PER_CENT, THE, NumberWord, numbers, units, word_list, worn_figures

FLAVOURS = ("digit", "word", "article", "fraction")
"""How a figure is printed."""
DASHES = ("–", "-", "—")
_ARTICLES = word_list("article")
_OF_BEFORE_ARTICLE = word_list("of-before-article")
_AFTER_OF, _PART = word_list("article-after-of"), word_list("part-of-one")
_DOZEN, _COUPLE, _MISCE, _OF_EACH = map(word_list, ("dozen", "couple", "minim-or-misce", "ends-of-each"))
_BETWEEN = word_list("between")
_AND_A_FRACTION, _RANGE = word_list("and-a-fraction"), word_list("range")
_UNDER = ("2", "3", "4", "8", "16")
"""What typewritten fractions such as '3-4' are fractions of."""
HALF_BEHIND = word_list("half-sign-after-numeral") | word_list("half-behind-its-unit")
_ONE = "1"
DIMIDIUM = word_list("dimidium")
_MOST_WORDS = 12
"""Words of which a number consists at most: 'nine hundred and ninety-nine thousand nine hundred and ninety-nine'."""
_THREE_SCORES, _SCORE = 60, 20


class Figure(NamedTuple):
    """`after` is the token behind the figure; `flavour` is one of `FLAVOURS`."""

    value: float
    after: int
    flavour: str


class Range(NamedTuple):
    """A figure or two of them, as `Figure` tells one."""

    amount: Amount
    after: int
    flavour: str


def scanned(tokens: list[Token]) -> View:
    """The view of a text's tokens, with what its figures tell as a whole."""
    view = view_of(mended(tokens))
    tokens = view.tokens
    if not any(tokens[i].text == "-" for i in view.by_kind["sep"]):
        return view
    places = [i for i in view.by_kind["num"] if hyphen_fraction(view, i) is not None]
    mixed = any(i and tokens[i - 1].kind == "num" and tokens[i - 1].value >= 1 for i in places)
    units_after = [unit_at(view, i + 3) for i in places if tokens[i + 2].value > 3]
    measured = any(unit is not None and unit.name not in ("drop", "part") for unit in units_after)
    return replace(view, mixes_hyphens=mixed or measured)


# -- one figure ------------------------------------------------------------------------------------------------------------


@lru_cache(maxsize=16384)
def may_be_figure(printed: str, word: str) -> bool:
    """Whether a word could be a figure. Most words of a text name things and need no closer look."""
    sure = word in numbers() or printed in worn_figures() or "-" in word or word in DIMIDIUM
    return sure or printed.isupper() or BELOW_FORTY.issuperset(printed)


def figure_at(view: View, i: int) -> Figure | None:
    """The figure at token i."""
    if (token := view.token(i)) is None:
        return None
    if token.kind == "num":
        return _in_digits(view, i, token)
    if not may_be_figure(token.text, token.word):
        return None
    if token.text in worn_figures() and whole_unit_word(view, view.ungapped[i + 1]):
        return Figure(worn_figures()[token.text].value, i + 1, "digit")
    if token.kind != "word":
        return None
    if "-" in token.word:
        return _hyphenated(view, i)
    entry = numbers().get(token.word)
    if entry is None:
        return _dimidium(view, i, token) or _numeral_before_unit(view, i, token)
    if entry.kind == "article":
        return _after_article(view, i)
    if entry.kind == "fraction":
        after = _past_article(view, i + 1)
        k = view.past_line(after)
        scale = numbers().get(view.words[k])
        if after > i + 1 and scale is not None and scale.kind == "scale":
            return Figure(entry.value * scale.value, k + 1, "word")  # 'a quarter of a hundred'
        if scale is not None and scale.kind == "fraction":
            return Figure(entry.value * scale.value, _past_article(view, k + 1), "fraction")  # 'half a quarter of an ounce'
        return Figure(entry.value, after, "fraction")
    return _cardinal(view, i, entry.value)


def _in_digits(view: View, i: int, token: Token) -> Figure:
    value, j = token.value, i + 1
    whole = value == int(value)
    if whole and view.mixes_hyphens and (part := hyphen_fraction(view, j)) is not None:
        return Figure(value + part, j + 3, "digit")
    scale = numbers().get(view.words[j])
    if scale is not None and scale.kind == "fraction" and whole and value * scale.value < 1:
        return Figure(value * scale.value, _past_article(view, j + 1), "fraction")  # '3 quarters of a dram'
    of_one = hyphen_fraction(view, i)
    if of_one is not None and (after := _past_article(view, i + 3)) != i + 3:
        return Figure(of_one, after, "digit")  # '1-2 an oz.'
    return Figure(value, _past_article(view, j) if value < 1 else j, "digit")  # '¼ of an ounce', '½ an ounce'


def hyphen_fraction(view: View, i: int) -> float | None:
    """The value of '1-2', '3-4', '1-8' at token i, set tight as typewriters set ½, ¾ and ⅛ (a scan may see a blank on one side);
    None for anything else."""
    if i + 2 >= len(view.tokens):
        return None
    over, hyphen, under = view.tokens[i : i + 3]
    tight = hyphen.text == "-" and (over.end == hyphen.start or hyphen.end == under.start)
    if not tight or not over.kind == under.kind == "num" or not over.text.isdigit():
        return None
    if under.text not in _UNDER or over.value >= under.value:
        return None
    if gcd(int(over.text), int(under.text)) > 1:
        return None  # '12-16' is a range: nobody prints twelve sixteenths
    return over.value / under.value


def _numeral_before_unit(view: View, i: int, token: Token) -> Figure | None:
    """'X gouttes', 'XX drops', 'iv oz.': a Roman numeral before a unit."""
    behind = view.ungapped[i + 1]
    if token.dot and not LARGE.isdisjoint(token.word):
        return None  # 'D. Galls' is no five hundred gallons
    small = BELOW_FORTY.issuperset(token.text)
    counted = small and token.dot and i > 0 and view.words[i - 1] in _OF_EACH  # 'Jujubes, Sebestens, of each xxx.'
    before_unit = small and (whole_unit_word(view, behind) or (len(token.text) > 1 and view.words[behind] in _MISCE))
    before_unit = before_unit or (small and (_is_a_sign_alone(view, behind) or _leads_a_range(view, behind)))
    counted = counted or (small and token.dot and len(token.text) > 1 and view.words[behind].islower())  # 'xij. figs'
    if not (before_unit or counted) and not (token.text.isupper() and unit_at(view, behind)):
        return None
    numeral = roman(token.word)
    return Figure(numeral[0], i + 1, "digit") if numeral else None


def _dimidium(view: View, i: int, token: Token) -> Figure | None:
    """'di. a pound of wax', 'a pound and di.': the half that a clerk wrote short."""
    if token.word not in DIMIDIUM:
        return None
    behind = view.past_line(i + 1)
    after = behind + 1 if view.words[behind] in _ARTICLES else i + 1
    joined = token.dot and i > 0 and view.words[i - 1] in _AND_A_FRACTION
    return Figure(0.5, after, "fraction") if joined or whole_unit_word(view, view.past_line(after)) else None


def _leads_a_range(view: View, i: int) -> bool:
    """'Aloes, ij to iv drachms': whether the word of a range stands at token i, with a figure and its unit behind it."""
    second = view.solid[i + 1]
    if view.words[i] not in _RANGE or second >= len(view.tokens):
        return False
    counts = view.tokens[second].kind == "num" or BELOW_FORTY.issuperset(view.tokens[second].text)
    return counts and whole_unit_word(view, view.ungapped[second + 1])


def _is_a_sign_alone(view: View, i: int) -> bool:
    """'Water iv ℥', 'i. ℥. ss.', 'ana ij ℥ Cloves': whether the sign of a unit stands at token i and has no figure behind it, so
    that it belongs to the one before it; a half may follow at the clause's end."""
    sign = view.token(i)
    if sign is None or sign.kind != "sign" or unit_at(view, i) is None:
        return False
    behind = view.ungapped[i + 1]
    following = view.token(behind)
    if view.words[behind] in HALF_BEHIND:
        return view.ends_clause(behind + 1) or view.tokens[behind].dot
    return following is None or (following.kind != "num" and not (following.word and BELOW_FORTY.issuperset(following.word)))


def _hyphenated(view: View, i: int) -> Figure | None:
    """'three-fourths', 'one-half', 'twenty-five', 'three-dozen', 'half-a' (of 'half-a-drachm': the unit is in the same token)."""
    parts = view.words[i].split("-")
    one, last = numbers().get(parts[0]), numbers().get(parts[-1])
    if one is None or last is None:
        return None
    if len(parts) > 2 and parts[1] in AND and one.kind == "number" and last.kind in ("number", "fraction"):
        return Figure(one.value + last.value, i + 1, "word")  # 'five-and-twenty', 'two-and-a-half'
    if len(parts) != 2:
        return None
    if last.kind == "fraction" and one.kind in ("number", "article"):
        return Figure(one.value * last.value, _past_article(view, i + 1), "fraction")
    if (together := number_word(view, i)) is not None:
        return Figure(together.value, i + 1, "word")
    if one.kind == "fraction" and last.kind == "article":
        return Figure(one.value, i + 1, "fraction")
    scaled = last.kind == "scale" and one.kind in ("number", "article")
    return Figure(one.value * last.value, i + 1, "word") if scaled else None


def _past_article(view: View, i: int) -> int:
    """Past 'of a', 'of an', 'a', 'an' after a fraction, in the same sentence."""
    if i and view.tokens[i - 1].dot:
        return i  # 'a pint and a half. A spoonful is the dose'
    j = view.solid[i]
    if view.words[j] in _PART and view.next_word(j + 1) in _OF_BEFORE_ARTICLE:
        j = view.solid[j + 1]  # 'the fourth part of an ounce'
    if view.words[j] in _OF_BEFORE_ARTICLE:
        k = view.solid[j + 1]
        if k < len(view.tokens) and view.tokens[k].text == _ONE and view.words[k + 1] == PER_CENT:
            return k + 1  # 'one half of 1 per cent.'
        if view.words[k] in units() and view.next_word(k + 1) in OF:
            return k  # 'a quarter of pound of raisins'
        return k + 1 if view.words[k] in _AFTER_OF else i
    return j + 1 if view.words[j] in _ARTICLES else i


def _after_article(view: View, i: int) -> Figure:
    """'a', 'a half', 'a dozen and a half', 'a hundred', 'a couple of', 'a ½'."""
    j = view.solid[i + 1]
    entry = numbers().get(view.words[j])
    if entry and entry.kind == "fraction":
        return Figure(entry.value, _past_article(view, j + 1), "fraction")
    if entry and entry.kind == "scale":
        number = _cardinal(view, j, entry.value)
        after = number.after
        if view.words[after] in AND and view.words[after + 1] in _ARTICLES and view.words[after + 2] in HALF:
            return Figure(number.value * 1.5, after + 3, number.flavour)
        return number
    if view.words[j] in _COUPLE:
        k = view.solid[j + 1]
        return Figure(2.0, k + 1 if view.words[k] in OF else k, "word")
    if j < len(view.tokens) and view.tokens[j].kind == "num" and view.tokens[j].value < 1:
        return Figure(view.tokens[j].value, _past_article(view, j + 1), "fraction")
    return Figure(1.0, i + 1, "article")


# -- numbers in words --------------------------------------------------------------------------------------------------------


def _cardinal(view: View, i: int, value: float) -> Figure:
    """A number in words from token i, of which the first is worth `value`: 'five and twenty', 'one hundred and fifty-six'."""
    j, thousands, current = i + 1, 0.0, value
    for _ in range(_MOST_WORDS):
        k = view.past_line(j)
        joined = view.words[k] in AND
        if joined:
            k = view.past_line(k + 1)
        entry = number_word(view, k)
        if entry is None or (joined and not (entry.kind == "number" and _joined_by_and(current, entry.value, bool(thousands)))):
            break
        if entry.kind == "scale" and current and entry.value >= 1000:
            thousands, current = thousands + current * entry.value, 0.0
        elif entry.kind == "scale" and current:
            current *= entry.value
        elif entry.kind == "number" and (joined or _follows(current, entry.value, bool(thousands))):
            current += entry.value
        elif entry.kind == "fraction" and not thousands and current < 20 and (view.words[k] not in HALF or current == 1):
            return Figure(current * entry.value, _past_article(view, k + 1), "fraction")
        else:
            break
        j = k + 1
    return Figure(thousands + current, j, "word")


def _joined_by_and(current: float, more: float, after_thousands: bool) -> bool:
    """'five and twenty', 'a hundred and six', 'one thousand and one', and no two numbers side by side."""
    if not current:
        return after_thousands and more < 100
    ones_first = 0 < current % 100 < 10 <= more < 100 and more % 10 == 0  # 'five and twenty', 'a hundred and five and twenty'
    return ones_first or _in_scores(current, more) or (current >= 100 and current % 100 == 0 and more < 100)


def _in_scores(current: float, more: float) -> bool:
    """'threescore and ten', 'fourscore and six'."""
    return current >= _THREE_SCORES and current % _SCORE == 0 and more < _SCORE


def _follows(current: float, more: float, after_thousands: bool) -> bool:
    """Whether a number word goes on with the number so far: 'twenty' 'five', 'five (and) twenty', 'hundred' 'fifty'."""
    if not current:
        return after_thousands
    tens = current % 100 >= 20 and current % 10 == 0 and more < 10
    hundreds = current >= 100 and current % 100 == 0 and more < 100
    return tens or hundreds or (0 < current % 100 < 10 and 20 <= more < 100 and more % 10 == 0)


def number_word(view: View, i: int) -> NumberWord | None:
    """The number that the word at token i is: 'fifty', 'fifty-six'; None where it is none."""
    word = view.words[i]
    whole = numbers().get(word)
    if whole is not None or "-" not in word:
        return whole
    tens, ones = (numbers().get(part) for part in word.split("-", 1))
    if tens is None or ones is None or tens.kind != "number" or ones.kind != "number" or not tens.value >= 20 > ones.value:
        return None
    return NumberWord(tens.value + ones.value, "number", tens.language)


# -- fractions after a whole number, ranges ------------------------------------------------------------------------------------


def and_fraction(view: View, i: int, after_unit: bool) -> tuple[float, int] | None:
    """'and a half', 'and three-quarters', '& ½' after a whole number or after its unit: the fraction, the token behind it."""
    j = view.past_line(i)
    if view.words[j] not in _AND_A_FRACTION:
        return None
    k = view.past_line(j + 1)
    if view.words[k] in THE and view.words[k + 1] in HALF and after_unit:
        return (0.5, k + 2) if view.ends_clause(k + 2) else None  # 'a drachm and the half, of'
    fraction = figure_at(view, k)
    if fraction is None or not 0 < fraction.value < 1:
        return None
    # 'a pound and half an ounce' is two amounts, not a pound and a half; 'two and a half' is one only before its unit
    behind = view.solid[fraction.after]
    before_unit = not view.tokens[fraction.after - 1].dot and unit_at(view, behind) is not None  # 'and a half. Bottle'
    before_a_thing = not after_unit and view.words[behind].isalpha()  # 'two and a half sheets', 'two and a half of flour'
    return None if before_unit == after_unit and not before_a_thing else (fraction.value, fraction.after)


def _with_fraction(view: View, figure: Figure) -> tuple[float, int]:
    """A figure with the fraction that may follow it; none is added to another: 'between 1/2 and 3/4 lb.'"""
    if figure.flavour != "fraction" and figure.value >= 1 and (more := and_fraction(view, figure.after, after_unit=False)):
        return figure.value + more[0], more[1]
    return figure.value, figure.after


def _is_a_rule(view: View, k: int) -> bool:
    """Whether the dash at token k is all of its printed line: a rule above a sum."""
    before = next((t for t in reversed(view.tokens[:k]) if t.kind != "gap"), None)
    behind = view.token(view.ungapped[k + 1])
    return before is not None and before.kind in ("line", "para") and (behind is None or behind.kind in ("line", "para"))


def amount_at(view: View, i: int) -> Range | None:
    """A figure or a range of two."""
    first = figure_at(view, i)
    if first is None:
        return None
    low, j = _with_fraction(view, first)
    j += view.words[j - 1] in _DOZEN and view.words[j] in OF  # 'a dozen of eggs'
    k = view.solid[j]
    joiner = view.token(k)
    dash = joiner is not None and joiner.kind == "sep" and joiner.text in DASHES and not _is_a_rule(view, k)
    in_columns = dash and k > j and k + 1 < len(view.tokens) and view.tokens[k + 1].kind == "gap"  # '1     –    59'
    between = i > 0 and view.words[i - 1 - (view.tokens[i - 1].kind == "line")] in _BETWEEN  # 'between two and three pounds'
    either = between or (first.flavour == "digit" and low < 1)  # '1/2 and 3/4 lb.'
    joins = joiner is not None and not in_columns and (dash or joiner.word in _RANGE or (either and joiner.word in AND))
    if joins and first.flavour != "article":
        second = figure_at(view, view.solid[k + 1])
        of_one = second is not None and second.flavour == "article" and low < 1  # 'from half to a pint'
        if second is not None and (second.flavour != "article" or of_one):
            high, after = _with_fraction(view, second)
            if high != low:
                return Range((min(low, high), max(low, high)), after, first.flavour)
            if first.flavour == "digit":
                return Range(low, after, first.flavour)  # '1 to 1 drachm': a fraction is lost
    return Range(low, j, first.flavour)
