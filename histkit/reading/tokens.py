"""Clean text → tokens: figures, words, signs, separators, gaps, line ends. One regular expression, one pass.

No pattern here can look back over the text, so the time taken grows with the length and no faster.
"""

from __future__ import annotations

import re
from functools import cache
from itertools import islice, takewhile
from typing import NamedTuple

from histkit.reading.vocabulary import numbers, table

VULGAR: dict[str, float] = {
    "½": 1 / 2, "⅓": 1 / 3, "⅔": 2 / 3, "¼": 1 / 4, "¾": 3 / 4, "⅕": 1 / 5, "⅖": 2 / 5, "⅗": 3 / 5, "⅘": 4 / 5,
    "⅙": 1 / 6, "⅚": 5 / 6, "⅐": 1 / 7, "⅛": 1 / 8, "⅜": 3 / 8, "⅝": 5 / 8, "⅞": 7 / 8, "⅑": 1 / 9, "⅒": 1 / 10,
}  # fmt: skip


class Token(NamedTuple):
    """`kind` is num, word, sign, sep, gap, line, para, open, close, brace, ditto or other.

    `text` is the clean text (words without their full stop, lower case in `word`); `value` the number of a num;
    `dot` tells that a full stop follows; `damaged` holds another reading where scanning may have hurt a sign.
    """

    kind: str
    text: str
    start: int
    end: int
    word: str = ""
    value: float = 0.0
    dot: bool = False
    damaged: str = ""


GLYPHS = "".join(VULGAR)
"""The fractions of one character."""
_ROMAN = r"(?:[ivxlcj]+(?:ss)?|ss)"
# Figures in which a scan took 1 for l, I or i and 0 for O: 'l0', '1O', 'l/2', '1 l/2', 'i 1/2'. Each holds a letter and a digit.
_WORN_MINIM = r"(?-i:HI|H[Il1]|I[Il1][Il1]|TT[lI1]|TH|lTl|ITl)(?=[ ])"
"""What scans make of ♏."""
_SCANNED_SIGN = rf"\^{{1,2}}|(?-i:[35Zz§J9]|j(?!ss))|{_WORN_MINIM}"
_NOT_IN_A_FIGURE = r"(?<![\w,/℥ʒ℈♏℔])(?<!\w\.)(?<![℥ʒ℈♏℔][ ])"
_WORN_INTEGER = r"(?-i:(?=[lI\d]*[lIO])(?=[lIO]*\d)[lI\d][lIO\d]+)"
_WORN_FRACTION = r"[liI][ ]?/[ ]?\d{1,2}"
_WORN_MIXED = r"(?:\d+[ -][liI]|[liI][ -]\d{1,2})[ ]?/[ ]?\d{1,2}"

_LETTER = rf"[^\W\d_ʒ{GLYPHS}]"
"""A letter of a word. The glyphs of fractions count as letters elsewhere, and scans glue them to words: 'peppermint¾'."""
_WORD_GOES_ON = rf"{_LETTER}*(?:['-](?!fl?[.]?[ ]?[ʒ℥]){_LETTER}+)*'?"
_NOTHING_ELSE = "abegkmnqrsxy"
"""No figure, sign or compound begins with these letters: most words of a text need no trial of anything else."""


@cache
def _pattern() -> tuple[re.Pattern[str], tuple[tuple[re.Pattern[str], str], ...]]:
    rows = table("compounds")
    compounds = tuple((re.compile(row["pattern"] + r"\Z", re.IGNORECASE), row["word"]) for row in rows)
    words = [r["pattern"] for r in rows if not r["pattern"].startswith("%")]
    any_compound = "|".join(words)
    return re.compile(
        rf"""
        [ ]?(?P<nothing_else>[{_NOTHING_ELSE}]{_WORD_GOES_ON})
      | (?P<blank>[ ])(?![ .…·_0])
      | (?P<para>\n[ ]*(?:\n[ ]*)+)
      | (?P<line>\n)
      | (?P<leaders>[ ]*(?:(?:\.[ ]?){{3,}}|\.{{2,}}|…+|(?:·[ ]?){{2,}}|_{{3,}})[ ]*)
      | (?P<percent>(?<=\d)[ ]?0/0(?![\d/]))
      | (?P<mixed>\d+(?:[ ]{{1,2}}|-|[ ]?&[ ]?)(?!0/0)\d{{1,3}}[ ]?/[ ]?\d{{1,3}}(?!\d))
      | (?P<worn>(?<![^\W_])(?:{_WORN_MIXED}|{_WORN_FRACTION}|{_WORN_INTEGER})(?![^\W_]))
      | (?P<fraction>\d{{1,3}}[ ]?/[ ]?\d{{1,3}}(?![\d/]))
      | (?P<glyph>(?:\d+[ ]?-?)?[{GLYPHS}])
      | (?P<thousands>\d{{1,3}}(?:,\d{{3}})+(?:\.\d+)?(?!\d))
      | (?P<decimal>\d*[.·]\d+)
      | (?P<commadecimal>\d+,\d{{1,2}}(?![\d/,]))
      | (?P<lost>\d*\ufffd(?=[ ]?[^\W\d_]))
      | (?P<scansign>{_NOT_IN_A_FIGURE}(?:{_SCANNED_SIGN})(?=[ ]?{_ROMAN}\b(?![.]?[ ]?\w*[a-z]{{3}})))
      | (?P<int>\d+)
      | (?P<sign>(?:(?<![^\W_])(?:fl?|ƒ)\.?[ ]?)?[℥ʒ℈♏℔]|℞)
      | (?P<gap>[ ]{{2,}})
      | (?P<space>[ ])
      | (?P<compound>(?<![^\W_])(?:{any_compound})(?![^\W\d_])|%)
      | (?P<octarius>\b(?:[Oo]|(?-i:O)[ ])(?=(?:[ivj]{{1,4}}|[ivj]*ss)\b))
      | (?P<word>{_LETTER}{_WORD_GOES_ON})
      | (?P<ditto>"|,,|'')
      | (?P<brace>[{{}}|])
      | (?P<open>[(\[])
      | (?P<close>[)\]])
      | (?P<dash>--+|[—–-])
      | (?P<sep>[,;:.])
      | (?P<other>.)
        """,
        re.VERBOSE | re.IGNORECASE,
    ), compounds


_SCAN_SIGNS = {"^": "℥", "3": "ʒ", "5": "ʒ", "z": "ʒ", "j": "ʒ", "§": "℥", "9": "℈"}


def tokenise(text: str) -> list[Token]:
    """All tokens of a clean text, in order; single blanks give none."""
    pattern, compounds = _pattern()
    tokens: list[Token] = []
    add = tokens.append
    length = len(text)
    for found in pattern.finditer(text):
        kind = found.lastgroup
        if kind == "blank" or kind == "space":
            continue
        assert kind is not None
        start, end = found.span(kind)
        piece = text[start:end]
        if kind == "nothing_else" or kind == "word":
            dot = end < length and text[end] == "." and not text.startswith("..", end)
            add(Token("word", piece, start, end + dot, piece.lower(), 0.0, dot))
        elif kind == "sep" and piece == "." and tokens and tokens[-1].end == end:
            continue  # the stop already belongs to the word before it
        elif kind == "sep" or kind == "dash":
            add(Token("sep", piece if kind == "sep" else "—" if piece in ("—", "--") or len(piece) > 1 else piece, start, end))
        elif kind == "lost":
            whole = float(piece[:-1]) if 1 < len(piece) < 10 else 0.0
            add(Token("num", piece, start, end, value=whole + 0.5, damaged=piece))
        elif piece == "|" and _is_rule(text, start, end, tokens):
            add(Token("gap", piece, start, end))
        elif kind in ("mixed", "fraction", "glyph", "thousands", "decimal", "commadecimal", "int"):
            value = _figure(kind, piece)
            add(Token("num", piece, start, end, value=value) if value is not None else Token("other", piece, start, end))
        elif kind == "worn":
            value = _worn_figure(piece)
            add(Token("num" if value else "other", piece, start, end, value=value or 0.0, damaged=piece))
        elif kind == "percent":
            add(Token("word", piece, start, end, "per cent"))
        elif kind == "leaders" or kind == "gap":
            add(Token("gap", piece, start, end))
        elif kind == "sign":
            add(_sign(piece, start, end))
        elif kind == "scansign":
            add(Token("sign", piece, start, end, _SCAN_SIGNS.get(piece[0].lower(), "♏"), damaged=piece))
        elif kind == "octarius":
            add(Token("sign", piece, start, end, "O"))
        elif kind == "compound":
            word = "per cent" if piece == "%" else next(w for p, w in compounds if p.match(piece))
            add(Token("word", piece, start, end, word))
        else:
            add(Token(kind, piece, start, end))
    return _dittos_of_names(tokens)


def _is_rule(text: str, start: int, end: int, before: list[Token]) -> bool:
    """Whether '|' is the rule of a table and no brace: it stands beside a figure, or it opens its line."""
    beside = re.match(r"[ ]*(?:to[ ]+)?[\d" + GLYPHS + "]", text[end : end + 11])
    last = next((t for t in reversed(before) if t.kind != "gap"), None)
    return bool(beside) or last is None or last.kind in ("num", "line", "para")


def _dittos_of_names(tokens: list[Token]) -> list[Token]:
    """'; ditto bergamot, 1 drachm': a written ditto that begins an entry with an amount of its own repeats the name."""
    for i, token in enumerate(tokens):
        if token.word not in ("ditto", "do") or (token.word == "do" and not token.dot):
            continue
        if i and tokens[i - 1].kind not in ("sep", "line", "para"):
            continue
        ahead = islice(tokens, i + 1, i + 25)  # no entry is longer; without a bound, many dittos would cost their square
        entry = list(takewhile(lambda t: t.kind not in ("line", "para") and t.text not in (";", "—"), ahead))
        named = next((k for k, t in enumerate(entry) if t.kind not in ("gap", "sep") and t.word != "of"), None)
        if named is None or entry[named].kind != "word" or any(t.kind == "sep" for t in entry[:named]):
            continue
        own = next((t for t in entry[named + 1 :] if t.kind in ("num", "sign") or t.word in numbers()), None)
        if own is not None:
            tokens[i] = token._replace(kind="ditto", word="")
            for k in range(named):  # the 'of' of 'ditto of bergamot' belongs to the ditto
                tokens[i + 1 + k] = tokens[i + 1 + k]._replace(kind="gap", word="")
    return tokens


def _sign(piece: str, start: int, end: int) -> Token:
    fluid = piece[0] in "fFƒ"
    return Token("sign", piece, start, end, ("f" if fluid else "") + piece[-1])


def _figure(kind: str, piece: str) -> float | None:
    """The value of a printed figure; None for a fraction over nought."""
    if kind == "int":
        return float(piece) if len(piece) <= 15 else None
    if kind == "thousands":
        return float(piece.replace(",", ""))
    if kind in ("decimal", "commadecimal"):
        return float(piece.replace("·", ".").replace(",", ".")) if len(piece) <= 30 else None
    if kind == "glyph":
        whole = piece[:-1].strip(" -")
        return (float(whole) if whole else 0.0) + VULGAR[piece[-1]] if len(whole) <= 15 else None
    whole, part = "", piece
    if kind == "mixed":
        head = re.match(r"(\d+)[ &-]+(.*)", piece)
        assert head is not None
        whole, part = head.group(1), head.group(2)
    over, under = (int(x) for x in part.replace(" ", "").split("/"))
    if not under:
        return None
    return (float(whole) if whole else 0.0) + over / under


def _worn_figure(piece: str) -> float | None:
    """The value of a figure with letters in it: 'l0' is 10, '1 l/2' is 1½."""
    plain = re.sub("[liI]", "1", piece).replace("O", "0")
    if "/" not in plain:
        return _figure("int", plain)
    return _figure("mixed" if re.match(r"\d+[ -]\d", plain) else "fraction", plain)


_ROMAN_VALUES = {"i": 1, "j": 1, "v": 5, "x": 10, "l": 50, "c": 100, "d": 500, "m": 1000}
_ROMAN_WHOLE = re.compile(r"m{0,3}(?:cm|cd|d?c{0,4})(?:xc|xl|l?x{0,4})(?:ix|iv|v?(?:[ij]{0,4}))", re.IGNORECASE)


def roman(word: str) -> tuple[float, str] | None:
    """(value, other reading) of a pharmacist's Roman numeral: final j, ss or ß for a half; None if it is none.

    'ijss' is 2.5, 'ss' 0.5. A numeral of odd shape ('ji', 'x1') is read with the likelier printed form as its other reading.
    """
    text = word.lower().rstrip("'").replace("ß", "ss").replace("β", "ss")
    doubtful = ""
    half = 0.0
    for ending in ("ss", "fs", "8s"):
        if text.endswith(ending):
            half, text = 0.5, text[: -len(ending)]
            doubtful = "" if ending == "ss" else f"{text}ss"
            break
    if not text:
        return (half, doubtful) if half else None
    if text.endswith("1") and set(text[:-1]) <= set("xvi") and text[:-1]:
        text, doubtful = text[:-1] + ("l" if text[-2] == "x" else "j"), text[:-1] + "j"
    if any(letter not in _ROMAN_VALUES for letter in text):
        return None
    if "j" in text[:-1] and set(text) <= set("ijvx") and text != "jj":
        doubtful = text[:-1].replace("j", "i") + "j"  # j is printed for the last i only
    if not _ROMAN_WHOLE.fullmatch(text.replace("j", "i")):
        if set(text) <= set("ijvx"):
            doubtful = "".join(sorted(text.replace("j", "i"), key="xvi".index))
        else:
            return None
    total, previous = 0, 0
    for letter in reversed(text):
        value = _ROMAN_VALUES[letter]
        total += value if value >= previous else -value
        previous = max(previous, value)
    if doubtful and set(text) <= set("ijvx") and text not in ("x",):
        total = sum(_ROMAN_VALUES[letter] for letter in text)
    return total + half, doubtful
