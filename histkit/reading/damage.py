"""Tokens mended where a scan has worn an amount: '2 07.' for '2 oz.', '1 Ib.', '2 drathms', '44 of an ounce', '212 oz.' for 2½.

Only what stands where an amount stands is mended, behind a figure or before a unit, and each such token keeps what is printed
(`damaged`), so that the amount carries a doubt.
"""

from __future__ import annotations

import re
from functools import cache, lru_cache
from itertools import pairwise

from rapidfuzz import process
from rapidfuzz.distance import Levenshtein

from histkit.glossary.spotting import spots
from histkit.glossary.words import strangers
from histkit.reading.numerals import PRINTED
from histkit.reading.tokens import Token, scanned_sign
from histkit.reading.vocabulary import OF, OR, numbers, other_units, pattern, table, units, units_before_numerals, word_list

_ARTICLES, _NOT_WORN, _SIZES = map(word_list, ("article", "not-worn", "size"))
_OF_AN = OF | _ARTICLES
_MOST_COUNTED = 1000.0
"""A figure from here on may be a year."""
_NO_UNIT = ("",)
_SHORTEST_LEADER = 9
"""Letters that a scan makes of a row of dots at least."""
_SHORTEST_WORN = 5
"""Letters of a unit word of which one may be another letter; shorter ones become other words too easily."""
_END = Token("para", "", 0, 0)
_LARGEST_PLAIN = 40.0
"""Figures that a formula with a collapsed '212' has at most otherwise; in one with larger figures 212 may be meant."""
_GLUED_OUNCES = re.compile(r"([1-9]\d?)0[27z]")
_COLLAPSED = re.compile(r"([1-9])(\d{2,3})")
_NEVER_WORN = ("gap", "line", "para", "sep", "open", "close", "brace", "ditto")
"""Kinds of tokens that no unit is worn down to."""
_RULE, _APART = "|", ("line", "para", "sep", "gap", "open", "close", "sign")
_MOST_SCRAPS, _LONGEST_SCRAP, _MOST_BETWEEN = 3, 5, 4
"""Pieces and letters of a figure with a worn fraction, and tokens between it and its unit."""


@cache
def _rows(kind: str) -> tuple[tuple[re.Pattern[str], str], ...]:
    return tuple((re.compile(row["pattern"]), row["instead"]) for row in table("damage") if row["kind"] == kind)


@lru_cache(maxsize=4096)
def _first(kind: str, printed: str) -> str:
    """What the first row of a kind that fits says a print is; "" where none does."""
    return next((instead for shape, instead in _rows(kind) if shape.fullmatch(printed)), "")


@cache
def collapsed_fractions() -> dict[str, float]:
    """The two figures that a fraction becomes in a copy without raised figures → its value."""
    return {shape.pattern: float(value) for shape, value in _rows("collapsed fraction")}


def mended(tokens: list[Token]) -> list[Token]:
    """The tokens, those of amounts that a scan has worn replaced by what they are taken for."""
    tokens = [
        t._replace(kind="gap", word="") if len(t.text) >= _SHORTEST_LEADER and t.kind == "word" and _is_a_leader(t.text) else t
        for t in tokens
    ]
    return _with_collapsed_fractions(_with_units(_with_signs(_without_page_heads(tokens))))


@lru_cache(maxsize=16384)
def _is_a_leader(word: str) -> bool:
    """Whether a long word of a few low letters is what a scan made of a row of dots: 'ccoweemsermsescessin'."""
    return 2 * len(set(word)) <= len(word) and pattern("leader").fullmatch(word) is not None


def _without_page_heads(tokens: list[Token]) -> list[Token]:
    """Without printed lines such as '118 FORMULARY.' in the middle of a formula: a page of its book ended there."""
    ends = [i for i, token in enumerate(tokens) if token.kind in ("line", "para")]
    for begin, end in reversed(list(pairwise(ends))):
        if not any(token.kind == "num" for token in tokens[begin + 1 : end]):
            continue
        printed = " ".join(token.text for token in tokens[begin + 1 : end] if token.kind != "gap")
        if pattern("page-head").fullmatch(printed) and any(token.text.islower() for token in tokens):
            del tokens[begin + 1 : end + 1]
    return tokens


def _with_signs(tokens: list[Token]) -> list[Token]:
    """'31;' for ʒj and '3155' for ʒiss where other signs of the text are worn; 'gi. x' for 'gr. x'."""
    for i in reversed([i for i, token in enumerate(tokens) if token.dot or token.kind == "num"]):
        token = tokens[i]
        numeral = _first("sign and numeral", token.text) if token.kind == "num" and _ends(tokens, i + 1) else ""
        if numeral and any(token.kind == "sign" for token in tokens):
            sign = scanned_sign(token.text[0], token.start, token.start + 1)._replace(damaged=token.text)
            tokens[i : i + 1] = [sign, Token("word", token.text[1:], token.start + 1, token.end, numeral)]
        elif token.dot and i + 1 < len(tokens) and PRINTED.fullmatch(tokens[i + 1].word):
            unit = "" if token.word in units_before_numerals() else _first("unit before numeral", token.text)
            tokens[i] = token._replace(word=unit or token.word, damaged=token.text if unit else token.damaged)
    return tokens


# -- units behind a figure --------------------------------------------------------------------------------------------------


def _with_units(tokens: list[Token]) -> list[Token]:
    out: list[Token] = []
    in_figures = any(token.kind == "num" for token in tokens)
    at_units = _at_units()
    for i, token in enumerate(tokens):
        if token.kind in _NEVER_WORN and token.text != "." and not (token.text == "," and i and _stop_before_unit(tokens, i)):
            out.append(token)
            continue
        before = out[-1] if out else _END
        at_unit = token.word in at_units and i > 0 and _before_a_unit(tokens, i)
        apart = _is_apart(before, _APART)
        behind_a_name = before.kind == "word" and _names_no_figure(before.text, before.word)
        if token.kind == "word" and not at_unit and (apart or behind_a_name):
            out.append(_lone_one(token) if apart and _begins_entry(token, before) else token)
            continue
        if at_unit and (meant := _worn_number(before, in_figures)):
            before = out[-1] = before._replace(word=meant, damaged=before.text)
        scrap = _worn_fraction(out)
        numbered = before.kind == "num" or before.word.partition("-")[0] in numbers()
        sure = numbered and (in_figures or len(token.text) >= _SHORTEST_WORN)  # 'two or three' is no 'two oz three'
        behind_figure = scrap is not None or sure or (numbered and bool(_first("unit word", token.text)))
        if token.kind == "num" and (glued := _glued_ounces(tokens, i)):
            place = token.start + glued.end(1)
            out.append(token._replace(text=glued[1], end=place, value=float(glued[1]), damaged=token.text))
            out.append(Token("word", token.text[glued.end(1) :], place, token.end, "oz", damaged=token.text))
        elif behind_figure and _stop_before_unit(tokens, i):
            continue
        elif behind_figure and ((unit := _worn_unit(tokens, i)) or (scrap and token.word in units() and len(token.word) > 1)):
            if scrap is not None:
                out[scrap[0] : scrap[1]] = [scrap[2]]
            worn = token._replace(kind="word", word=unit, damaged=token.text) if unit else token
            out.append(worn)
        else:
            out.append(_lone_one(token) if _begins_entry(token, before) else token)
    return out


def _begins_entry(token: Token, before: Token) -> bool:
    return not token.dot and before.kind in ("line", "para", "sep")


def _lone_one(token: Token) -> Token:
    """A letter that is worn down from the figure of one; any other token as it is."""
    one = _first("lone one", token.text)
    return token._replace(kind="num", word="", value=float(one), damaged=token.text) if one else token


def _glued_ounces(tokens: list[Token], i: int) -> re.Match[str] | None:
    """The figure and the worn 'oz' in one token, where an entry ends with it and the text has other ounces: '402' for '4 oz'."""
    glued = _GLUED_OUNCES.fullmatch(tokens[i].text)
    return glued if glued and _ends(tokens, i + 1) and any(map(_is_ounces, tokens)) else None


@lru_cache(maxsize=4096)
def worn_fraction(printed: str) -> float:
    """The value of a figure of which the fraction is worn: '1^', 'J', '4%', 'V2'; 0 for any other."""
    found = ((shape.fullmatch(printed), value) for shape, value in _with_whole_numbers())
    return next((float(match[1] or 0) + value for match, value in found if match), 0.0)


@cache
def _with_whole_numbers() -> list[tuple[re.Pattern[str], float]]:
    rows = _rows("worn fraction")
    return [(re.compile(rf"(\d{{0,2}}?)(?:{shape.pattern})"), float(value)) for shape, value in rows]


def _is_apart(token: Token, kinds: tuple[str, ...]) -> bool:
    return token.kind in kinds and token.text != _RULE


@lru_cache(maxsize=4096)
def _ends_like_one(printed: str) -> bool:
    """Whether a figure with a worn fraction could end so: with a digit or, behind one, with such a fraction. Few words do."""
    return len(printed) <= _LONGEST_SCRAP and (printed[-1:].isdigit() or _at_the_end().search(f"0{printed}") is not None)


@lru_cache(maxsize=16384)
def _names_no_figure(printed: str, word: str) -> bool:
    """Whether a word can be no part of a figure, as most words of a text cannot."""
    return word not in _OF_AN and word.partition("-")[0] not in numbers() and not _ends_like_one(printed)


@cache
def _at_the_end() -> re.Pattern[str]:
    return re.compile(rf"(?:{'|'.join(shape.pattern for shape, _ in _rows('worn fraction'))})\Z")


def _worn_fraction(before: list[Token]) -> tuple[int, int, Token] | None:
    """The figure with a worn fraction that ends these tokens ('2% an' before 'ounce'): where it stands, what it is taken for."""
    last, furthest = len(before), max(0, len(before) - _MOST_BETWEEN)
    while last > furthest and before[last - 1].word in _OF_AN:
        last -= 1
    if not last or _is_apart(before[last - 1], _APART) or not _ends_like_one(before[last - 1].text):
        return None
    first = last
    while first and last - first < _MOST_SCRAPS and not _is_apart(before[first - 1], _APART):
        if first < last and before[first - 1].end != before[first].start:
            break
        first -= 1
    printed = "".join(token.text for token in before[first:last])
    between = {token.word for token in before[last:]} if last < len(before) and printed.isdigit() else set()
    of_one = not between.isdisjoint(OF) and not between.isdisjoint(_ARTICLES)  # '44 of an ounce'
    value = float(_first("fraction of an", printed) or 0.5) if of_one else worn_fraction(printed) if printed else 0.0
    if not value:
        return None
    return first, last, Token("num", printed, before[first].start, before[last - 1].end, value=value, damaged=printed)


def _stop_before_unit(tokens: list[Token], i: int) -> bool:
    """'4. ounces', '4. small handfuls', '4, ounces of': the stop that early print sets behind a figure."""
    if tokens[i].text not in (".", ",") or tokens[i - 1].kind != "num" or tokens[i - 1].end != tokens[i].start:
        return False
    following = next((token for token in tokens[i + 1 : i + 3] if token.kind not in ("gap", "line")), None)
    if following is not None and following.word in _SIZES and following.text.islower():
        following = next((token for token in tokens[i + 2 : i + 5] if token.kind == "word" and token is not following), None)
    if tokens[i].text == "," and (following is None or not _before_of(tokens, tokens.index(following, i))):
        return False
    if following is not None and following.word in OR:
        return _leaves_a_choice(tokens, tokens.index(following, i))  # '4. or 6. ounces'
    counted = following is not None and (following.word in units() or other_units().get(following.word) == "time")
    if following is None or not counted or len(following.text) <= 2:
        return False
    return following.text.islower() or _goes_with_its_figure(tokens, i - 1, tokens.index(following, i))


def _goes_with_its_figure(tokens: list[Token], figure: int, unit: int) -> bool:
    """Whether a unit with a capital is that of the figure before it: 'Saffron 6. Grains,' and '6. Ounces of Sugar', but neither
    the sentence in '… 1904. Pounds were …' nor 'Grains of Paradise'."""
    behind_a_name = figure > 0 and (tokens[figure - 1].kind in ("word", "gap") or tokens[figure - 1].text == ",")
    closed = unit + 1 >= len(tokens) or tokens[unit + 1].kind in ("sep", "line", "para") or tokens[unit].dot
    of_a_name = units().get(tokens[unit].word, _NO_UNIT)[0] == "grain"
    goes = (behind_a_name and closed) or (_before_of(tokens, unit) and not of_a_name)
    return goes and tokens[figure].value < _MOST_COUNTED


def _leaves_a_choice(tokens: list[Token], i: int) -> bool:
    """Whether the word at token i is the 'or' before a second figure, which may stand in the next line."""
    following = next((token for token in tokens[i + 1 : i + 3] if token.kind not in ("gap", "line")), _END)
    return tokens[i].word in OR and (following.kind == "num" or following.word in numbers())


def _is_ounces(token: Token) -> bool:
    """Whether a token is 'oz' or another short word for ounces."""
    unit = units().get(token.word) if len(token.word) < _SHORTEST_WORN else None
    return unit is not None and unit.unit == "ounce"


def _ends(tokens: list[Token], i: int) -> bool:
    """Whether an entry ends at token i, or a stop stands there."""
    return i >= len(tokens) or tokens[i].kind in ("line", "para", "sep")


def _worn_unit(tokens: list[Token], i: int) -> str:
    """The unit that token i, behind a figure, is worn down from; "" where it is a unit as it stands, or no unit at all."""
    token = tokens[i]
    if token.kind == "num":
        figure = token.text[0] == "0" and _ends(tokens, i + 1)
        return _first("unit", token.text) if figure else ""
    if token.kind != "word" or token.word in units() or token.word in other_units() or token.word in numbers():
        return ""
    if _leaves_a_choice(tokens, i):
        return ""  # 'two or / three days' are no two ounces
    short = len(token.text) < _SHORTEST_WORN
    if short:
        apart = token.dot or _ends(tokens, i + 1) or _before_of(tokens, i) or not token.text.isalpha()
        return _first("unit word", token.text) or (_first("unit", token.text) if apart else "")
    return _by_spelling(token.word)


@lru_cache(maxsize=4096)
def _by_spelling(word: str, numbers_only: bool = False) -> str:
    """The unit or number word that differs from `word` in one letter; "" for an ordinary word, or where two of them do."""
    if word in strangers() or word in _NOT_WORN:
        return ""
    known = _long_words(numbers_only)
    for shape, instead in _rows("worn letters"):
        for place in shape.finditer(word):
            if (mended := word[: place.start()] + instead + word[place.end() :]) in known:
                return mended
    alike = _long_words_of(len(word), numbers_only)
    near = process.extract(word, alike, scorer=Levenshtein.distance, score_cutoff=1, limit=2)
    return near[0][0] if len({known[name] for name, _, _ in near}) == 1 and not spots([word]) else ""  # pitch is no worn pinch


def _worn_number(token: Token, in_figures: bool) -> str:
    """The number that a word before a unit is worn down from: 'cight drachms'; "" where it is none."""
    numbered = all(part in numbers() for part in token.word.split("-"))  # 'one-half', 'three-fourths'
    known = token.kind != "word" or numbered or token.word in units() or token.word in other_units()
    shortest = _SHORTEST_WORN - (in_figures or not token.text.isalpha())
    return "" if known or len(token.word) < shortest else _by_spelling(token.word, True)


def _before_a_unit(tokens: list[Token], i: int) -> bool:
    """Whether a unit stands at token i, or behind the 'an' or the number there: 'half an ounce', 'three fourths ounce'."""
    between = tokens[i].word in _OF_AN or tokens[i].word in numbers()
    return tokens[i].word in units() or (between and i + 1 < len(tokens) and tokens[i + 1].word in units())


@cache
def _at_units() -> frozenset[str]:
    """The words of units, and those that may stand between one and its number."""
    return _OF_AN.union(numbers(), units())


def _before_of(tokens: list[Token], i: int) -> bool:
    return i + 1 < len(tokens) and tokens[i + 1].word in OF


@cache
def _long_words(numbers_only: bool) -> dict[str, str]:
    """Words of one kind of which one letter may be worn, with what each means."""
    words = [(word, str(entry[0])) for word, entry in (numbers() if numbers_only else units()).items()]
    return {word: meaning for word, meaning in words if len(word) >= _SHORTEST_WORN - numbers_only and word.isalpha()}


@lru_cache(maxsize=64)
def _long_words_of(letters: int, numbers_only: bool) -> tuple[str, ...]:
    """Those of them that may differ in one letter from a word of so many."""
    return tuple(word for word in _long_words(numbers_only) if abs(len(word) - letters) <= 1)


# -- figures -------------------------------------------------------------------------------------------------------------------


def _with_collapsed_fractions(tokens: list[Token]) -> list[Token]:
    """'212 oz.' among small figures is 2½ oz. that lost its raised and lowered figures in a copy."""
    places = [
        i
        for i, token in enumerate(tokens)
        if token.kind == "num" and is_collapsed(token) and i + 1 < len(tokens) and tokens[i + 1].word in units()
    ]
    if not places:
        return tokens
    others = [token.value for i, token in enumerate(tokens) if token.kind == "num" and i not in places]
    if any(value > _LARGEST_PLAIN for value in others) or not others:
        return tokens
    for i in places:
        whole, fraction = tokens[i].text[0], tokens[i].text[1:]
        tokens[i] = tokens[i]._replace(value=float(whole) + collapsed_fractions()[fraction], damaged=tokens[i].text)
    return tokens


def is_collapsed(token: Token) -> bool:
    """Whether a figure may be a whole number with its fraction: 212 for 2½."""
    shape = _COLLAPSED.fullmatch(token.text) if token.kind == "num" else None
    return shape is not None and shape[2] in collapsed_fractions()
