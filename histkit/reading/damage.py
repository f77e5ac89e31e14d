"""Tokens mended where a scan has worn an amount: '2 07.' for '2 oz.', '1 Ib.', '2 drathms', '44 of an ounce', '212 oz.' for 2½.

Only what stands where an amount stands is mended, behind a figure or before a unit, and each such token keeps what is printed
(`damaged`), so that the amount carries a doubt.
"""

from __future__ import annotations

import re
from functools import cache, lru_cache

from rapidfuzz import process
from rapidfuzz.distance import Levenshtein

from histkit.glossary.spotting import spots
from histkit.glossary.words import strangers
from histkit.reading.tokens import Token
from histkit.reading.vocabulary import OF, numbers, other_units, table, units, word_list

_ARTICLES, _NOT_WORN = word_list("article"), word_list("not-worn")
_SHORTEST_WORN = 5
"""Letters of a unit word of which one may be another letter; shorter ones become other words too easily."""
_LARGEST_PLAIN = 40.0
"""Figures that a formula with a collapsed '212' has at most otherwise; in one with larger figures 212 may be meant."""
_GLUED_OUNCES = re.compile(r"([1-9]\d?)0[27z]")
_COLLAPSED = re.compile(r"([1-9])(\d\d)")


@cache
def _rows(kind: str) -> tuple[tuple[re.Pattern[str], str], ...]:
    return tuple((re.compile(row["pattern"]), row["instead"]) for row in table("damage") if row["kind"] == kind)


@cache
def _unit_kinds() -> tuple[str, ...]:
    return tuple(dict.fromkeys(row["kind"] for row in table("damage") if row["kind"].endswith(" word")))


@cache
def collapsed_fractions() -> dict[str, float]:
    """The two figures that a fraction becomes in a copy without raised figures → its value."""
    return {shape.pattern: float(value) for shape, value in _rows("collapsed fraction")}


def mended(tokens: list[Token]) -> list[Token]:
    """The tokens, those of amounts that a scan has worn replaced by what they are taken for."""
    if not any(token.kind == "num" or token.word in numbers() for token in tokens):
        return tokens
    tokens = _with_fractions_of_one(_with_units(tokens))
    return _with_collapsed_fractions(tokens)


# -- units behind a figure --------------------------------------------------------------------------------------------------


def _with_units(tokens: list[Token]) -> list[Token]:
    out: list[Token] = []
    has_ounces = any(map(_is_ounces, tokens)) or sum(_like_ounces(tokens, i) for i in range(len(tokens))) > 1
    figures = any(token.kind == "num" for token in tokens)
    for i, token in enumerate(tokens):
        before = out[-1] if out else None
        numbered = before is not None and (before.kind == "num" or before.word in numbers())
        behind_figure = numbered and (figures or len(token.text) >= _SHORTEST_WORN)  # 'two or three' is no 'two oz three'
        if has_ounces and token.kind == "num" and (glued := _GLUED_OUNCES.fullmatch(token.text)) and _ends(tokens, i + 1):
            place = token.start + glued.end(1)
            out.append(token._replace(text=glued[1], end=place, value=float(glued[1]), damaged=token.text))
            out.append(Token("word", token.text[glued.end(1) :], place, token.end, "oz", damaged=token.text))
        elif behind_figure and _stop_before_unit(tokens, i):
            continue
        elif behind_figure and (unit := _worn_unit(tokens, i)):
            out.append(Token("word", token.text, token.start, token.end, unit, dot=token.dot, damaged=token.text))
        else:
            out.append(token)
    return out


def _stop_before_unit(tokens: list[Token], i: int) -> bool:
    """'4. ounces': the stop that early print sets behind a figure."""
    if tokens[i].text != "." or tokens[i - 1].kind != "num" or tokens[i - 1].end != tokens[i].start:
        return False
    following = next((token for token in tokens[i + 1 : i + 3] if token.kind not in ("gap", "line")), None)
    return following is not None and following.word in units() and following.text.islower() and len(following.text) > 2


def _is_ounces(token: Token) -> bool:
    """Whether a token is 'oz' or another short word for ounces."""
    unit = units().get(token.word) if len(token.word) < _SHORTEST_WORN else None
    return unit is not None and unit.unit == "ounce"


def _like_ounces(tokens: list[Token], i: int) -> bool:
    """Whether token i is a figure such as '02' behind another, where nothing but 'oz' makes sense."""
    return i > 0 and tokens[i].kind == "num" and tokens[i - 1].kind == "num" and bool(_worn_unit(tokens, i))


def _ends(tokens: list[Token], i: int) -> bool:
    """Whether an entry ends at token i, or a stop stands there."""
    return i >= len(tokens) or tokens[i].kind in ("line", "para", "sep")


def _worn_unit(tokens: list[Token], i: int) -> str:
    """The unit that token i, behind a figure, is worn down from; "" where it is a unit as it stands, or no unit at all."""
    token = tokens[i]
    if token.kind == "num":
        figure = token.text.isdigit() and len(token.text) > 1 and token.text[0] == "0" and _ends(tokens, i + 1)
        return _by_shape(token.text) if figure else ""
    if token.kind != "word" or token.word in units() or token.word in other_units() or token.word in numbers():
        return ""
    short = len(token.text) < _SHORTEST_WORN
    if short:
        return _by_shape(token.text) if token.dot or _ends(tokens, i + 1) or not token.text.isalpha() else ""
    return _by_spelling(token.word)


def _by_shape(text: str) -> str:
    for kind in _unit_kinds():
        for shape, unit in _rows(kind):
            if shape.fullmatch(text):
                return unit
    return ""


@lru_cache(maxsize=4096)
def _by_spelling(word: str) -> str:
    """The unit word that differs from `word` in one letter; "" for an ordinary word, or where two unit words do."""
    if word in strangers() or word in _NOT_WORN:
        return ""
    near = process.extract(word, _long_units(), scorer=Levenshtein.distance, score_cutoff=1, limit=2)
    meant = {units()[name].unit for name, _, _ in near}
    return near[0][0] if len(meant) == 1 and not spots([word]) else ""  # pitch is no worn pinch


@cache
def _long_units() -> tuple[str, ...]:
    return tuple(word for word in units() if len(word) >= _SHORTEST_WORN and word.isalpha())


# -- figures -------------------------------------------------------------------------------------------------------------------


def _with_fractions_of_one(tokens: list[Token]) -> list[Token]:
    """'44 of an ounce', '% an ounce': before 'of an' and a unit stands a fraction, whatever the figure looks like now."""
    for i, token in enumerate(tokens[:-2]):
        if token.kind != "num" or token.value < 1 or token.damaged or not token.text.isdigit():
            continue
        k = i + 1 + (tokens[i + 1].word in OF)
        if k == i + 1 or tokens[k].word not in _ARTICLES or k + 1 >= len(tokens):
            continue
        unit = k + 1 + (tokens[k + 1].kind == "sep")  # 'an.ounce'
        if unit < len(tokens) and tokens[unit].word in units():
            value = next((float(value) for shape, value in _rows("fraction of an") if shape.fullmatch(token.text)), 0.5)
            tokens[i] = token._replace(value=value, damaged=token.text)
            tokens[k + 1 : unit] = [tokens[k + 1]._replace(kind="gap", text="")] if unit > k + 1 else []
    return tokens


def _with_collapsed_fractions(tokens: list[Token]) -> list[Token]:
    """'212 oz.' among small figures is 2½ oz. that lost its raised and lowered figures in a copy."""
    places = [
        i for i, token in enumerate(tokens) if is_collapsed(token) and i + 1 < len(tokens) and tokens[i + 1].word in units()
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
