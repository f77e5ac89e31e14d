"""Clean text → tokens: figures, words, signs, separators, gaps, line ends. One regular expression, one pass.

No pattern here can look back over the text, so the time taken grows with the length and no faster.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from itertools import islice, takewhile
from typing import NamedTuple

from histkit.base.letters import ILLEGIBLE
from histkit.reading.spelling import SPELLED
from histkit.reading.vocabulary import AMPERSAND, CUBIC, DITTO, DO, ELIDED, OF, OR, PER_CENT, numbers, pattern, table, units

VULGAR: dict[str, float] = {
    "½": 1 / 2, "⅓": 1 / 3, "⅔": 2 / 3, "¼": 1 / 4, "¾": 3 / 4, "⅕": 1 / 5, "⅖": 2 / 5, "⅗": 3 / 5, "⅘": 4 / 5,
    "⅙": 1 / 6, "⅚": 5 / 6, "⅐": 1 / 7, "⅛": 1 / 8, "⅜": 3 / 8, "⅝": 5 / 8, "⅞": 7 / 8, "⅑": 1 / 9, "⅒": 1 / 10,
}  # fmt: skip


class Token(NamedTuple):
    """`kind` is one of `KINDS`.

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


_WORDS = frozenset(("nothing_else", "word", "worn_word", "worn_unit"))
_BLANKS = ("blank", "space")
KINDS = ("num", "word", "sign", "sep", "gap", "line", "para", "open", "close", "brace", "ditto", "other")
"""The kinds of tokens."""
SIGNS = "℥ʒ℈♏℔"
"""The signs of the apothecary."""
OCTARIUS = "O"
"""The sign for the pint, which is a letter."""
GLYPHS = "".join(VULGAR)
"""The fractions of one character."""
_LONGEST_FIGURE = 30
"""Characters: a longer row of digits is no figure."""
_RULES_IN_A_ROW = 64
_DITTOS = DITTO | DO
_ROMAN = r"(?:[ivxlcj]+(?:[s8]s)?|[s8]s)"
_SURE_ROMAN = r"(?:[ivxlcj]{2,}(?:[s8]s)?|[ivxlcj]?[s8]s|[ivxlc]*j)"
"""A numeral that can be nothing else where it is set tight behind a sign."""
_ROMAN_ALONE = r"(?:[ivx]*j|[ivxj]*ss)"
"""A numeral that can be nothing else behind a sign and a blank."""
_BEHIND_A_SIGN = rf"{_SURE_ROMAN}\b|[ ]{_ROMAN_ALONE}\b|[ ]?{_ROMAN}\b(?![.]?[ ]?\w*[a-z]{{3}})"
# Figures in which a scan took 1 for l, I or i and 0 for O: 'l0', '1O', 'l/2', '1 l/2', 'i 1/2'. Each holds a letter and a digit.
_NOT_IN_A_FIGURE = r"(?<![\w,/℥ʒ℈♏℔])(?<!\w\.)(?<![℥ʒ℈♏℔][ ])"
_WORN_INTEGER = r"(?-i:(?=[lI\d]*[lIO])(?=[lIO]*\d)[lI\d][lIO\d]+)"
_WORN_FRACTION = r"[liI][ ]?/[ ]?\d{1,2}"
_WORN_MIXED = r"(?:\d+[ -][liI]|[liI][ -]\d{1,2})[ ]?/[ ]?\d{1,2}"

_LETTER = rf"[^\W\d_ʒ{GLYPHS}]"
"""A letter of a word. The glyphs of fractions count as letters elsewhere, and scans glue them to words: 'peppermint¾'."""
_WORN_LETTER = rf"[018](?={_LETTER})(?!UNITS)"
"""A figure that a scan made of a letter: 'r0sin', 'Amygda1æ'; but 'Chalk1oz' is two words."""
_WORD_GOES_ON = rf"(?:{_LETTER}|{ILLEGIBLE}|(?<=[^\W\d_]){_WORN_LETTER})*(?:['-](?!fl?[.]?[ ]?[ʒ℥]){_LETTER}+)*'?"
_WORN_BEGINNING = rf"(?<![^\W_])(?<![.,/])(?:0(?={_LETTER}{{2}})|1(?={_LETTER}{{4}}))(?![ivxj]+(?:ss)?\b|UNITS)"
"""The same at the head of a word: '0live', '1avender'."""
_NOTHING_ELSE = (
    "(?:[aeknrxy]|b(?![ij]{2}|ss\\b|j\\b)|m(?![xv ]|i[ij])|q(?![ivj]|uart)|s(?!alt[ ]sp|poons?[ ]f)|g(?![ivxj]+(?:ss)?\\b|ss\\b)"
    "|(?-i:h(?!and)|t(?![aeb])|d(?!e)|w(?!i)|v(?!e)|p(?![e.])|u(?=[a-z])"
    "|c(?![ceu.]|offee[ ]c)|f(?=[aeioru])|l(?=[aeiou])|i(?=[nst])|o(?=[abcdefghklmnpqrtwxy])))"
)
"""No figure, sign or compound begins like this: most words of a text need no trial of anything else."""


@cache
def _pattern() -> tuple[re.Pattern[str], tuple[tuple[re.Pattern[str], str], ...]]:
    rows = table("compounds")
    compounds = tuple((re.compile(row["pattern"] + r"\Z", re.IGNORECASE), row["word"]) for row in rows)
    words = [r["pattern"] for r in rows if not r["pattern"].startswith("%")]
    any_compound = "|".join(words)
    scanned_signs = "|".join(row["pattern"] + row["followed"] for row in table("scanned_signs"))
    known = "|".join(sorted((word for word in units() if len(word) > 1), key=len, reverse=True))
    shapes = rf"""
        [ ]?(?P<nothing_else>{_NOTHING_ELSE}{_WORD_GOES_ON})
      | (?P<blank>[ ])(?![ .…·_0])
      | (?P<para>\n[ ]*(?:\n[ ]*)+)
      | (?P<line>\n)
      | (?P<leaders>[ ]*(?:(?:\.[ ]?){{3,}}|\.{{2,}}|…+|(?:·[ ]?){{2,}}|_{{3,}})[ ]*)
      | (?P<percent>(?<=\d)[ ]?0/0(?![\d/]))
      | (?P<mixed>\d+(?:[ ]{{1,2}}|-|[ ]?&[ ]?)(?!0/0)\d{{1,3}}[ ]?/[ ]?\d{{1,3}}(?!\d))
      | (?P<worn>(?<![^\W_])(?:{_WORN_MIXED}|{_WORN_FRACTION}|{_WORN_INTEGER})(?![^\W_]))
      | (?P<fraction>\d{{1,3}}[ ]?/[ ]?\d{{1,3}}(?![\d/]))
      | (?P<glyph>(?:\d+[ ]?-?)?[{GLYPHS}])
      | (?P<thousands>(?!0,\d{{3}}(?![\d/,]))\d{{1,3}}(?:,\d{{3}})+(?:\.\d+)?(?!\d))
      | (?P<points>[1-9]\d{{0,2}}(?:\.000(?=[ ]?(?:gr|g|grammes|parties|Gramm|Th|T|Teile|Theile)\b)|[ ]000(?![\d/])))
      | (?P<decimal>\d+[.·]\d+|(?:(?<![^\W\d_])(?<![℥℈♏℔])|(?=[.·]0))[.·]\d+)
      | (?P<commadecimal>(?:\d+,\d{{1,2}}|0,\d{{3,4}})(?![\d/]|,\d))
      | (?P<scansign>{_NOT_IN_A_FIGURE}(?-i:{scanned_signs})(?={_BEHIND_A_SIGN}))
      | (?P<worn_unit>(?<![^\W\d_])(?:0[zZ]|(?-i:1b))(?![^\W_]))
      | (?P<worn_word>{_WORN_BEGINNING}{_WORD_GOES_ON})
      | (?P<int>\d+?(?=(?:0[zZ]|(?-i:1b))(?![^\W_]))|\d+)
      | (?P<sign>(?:(?<![^\W_])(?:fl?|ƒ)\.?[ ]?)?[{SIGNS}]|℞)
      | (?P<gap>[ ]{{2,}})
      | (?P<space>[ ])
      | (?P<compound>(?<![^\W_])(?:{any_compound})(?![^\W\d_])|%)
      | (?P<octarius>\b(?!(?-i:ovi)\b|(?-i:oss)\.?[ ](?-i:de|sep))(?:[Oo]|(?-i:O)[ ])(?=(?:[ivj]{{1,4}}|[ivj]*ss)\b(?![}}|])))
      | (?P<word>(?:{_LETTER}|{ILLEGIBLE}(?={_LETTER})){_WORD_GOES_ON})
      | (?P<ditto>"|,,|'')
      | (?P<brokenletter>(?<=[^\W\d_])[}}|](?=[ ][^\W\d_]))
      | (?P<brace>[{{}}|])
      | (?P<open>[(\[])
      | (?P<close>[)\]])
      | (?P<rule>—{{3,}}(?=[ ]?[^\W\d_]))
      | (?P<dash>--+|[—–-])
      | (?P<sep>[,;:.])
      | (?P<other>.)
        """
    return re.compile(shapes.replace("UNITS", rf"(?:{known})\b"), re.VERBOSE | re.IGNORECASE), compounds


def tokenise(text: str) -> list[Token]:
    """All tokens of a clean text, in order; single blanks give none."""
    pattern, _ = _pattern()
    tokens: list[Token] = []
    add = tokens.append
    for match in pattern.finditer(text):
        kind = match.lastgroup
        if kind in _BLANKS:
            continue
        assert kind is not None
        start, end = match.span(kind)
        piece = text[start:end]
        if kind in _WORDS:
            dot = text.startswith(".", end) and not text.startswith("..", end)
            if "'" in piece and (cut := _elided(piece)):
                add(Token("word", piece[:cut], start, start + cut, piece[:cut].lower()))
                piece, start = piece[cut:], start + cut
            word = SPELLED[piece.lower()]
            mended = piece if ILLEGIBLE in piece and ILLEGIBLE not in word else ""
            add(Token("word", piece, start, end + dot, word, 0.0, dot, mended))
        elif kind == "sep":
            if not (piece == "." and tokens and _has_its_stop(text, tokens[-1], end)):
                add(Token("sep", piece, start, end))
        elif piece == "&":
            add(Token("word", piece, start, end, AMPERSAND))
        elif kind == "rule":
            before = next((token.kind for token in reversed(tokens) if token.kind != "gap"), "line")
            add(Token("ditto", piece, start, end) if before in ("line", "para") else Token("sep", "—", start, end))
        elif piece == "|" and _is_rule(text, end, tokens):
            add(Token("gap", piece, start, end))
        elif (made_of := _MAKERS.get(kind)) is not None:
            add(made_of(kind, piece, start, end))
        else:
            named, word = _NAMED.get(kind, (kind, ""))
            add(Token(named, piece, start, end, word))
    return _dittos_of_names(tokens)


def _elided(piece: str) -> int:
    """The letters of "d'" or "l'" at the head of a printed word; 0 where it begins with none."""
    cut = piece.find("'") + 1
    elided = cut < len(piece) - 1 and piece[:cut].lower() in ELIDED and piece[cut:].lower() not in OR  # d'or is gold
    return cut if elided else 0


def _has_its_stop(text: str, before: Token, end: int) -> bool:
    """Whether a stop that ends here belongs to the token before it: to a word, or to a sign before its figure ('℥. iij.')."""
    return before.end == end or (before.kind == "sign" and before.end == end - 1 and _FIGURE.match(text, end) is not None)


_FIGURE = re.compile(r" ?(?:\d|[ivxjl]+\b|(?:s?s|ß)\b)", re.IGNORECASE)


_PARTED = re.compile(r"(\d)([1-9])/([248])")


def _number(kind: str, piece: str, start: int, end: int) -> Token:
    parted = _PARTED.fullmatch(piece) if "/" in piece else None  # '41/4' of a scan is 4¼: no book prints 41 quarters
    value = _figure("mixed", f"{parted[1]} {parted[2]}/{parted[3]}") if parted else _figure(kind, piece)
    damaged = piece if parted else ""
    return Token("num" if value is not None else "other", piece, start, end, value=value or 0.0, damaged=damaged)


def _worn(kind: str, piece: str, start: int, end: int) -> Token:
    value = _worn_figure(piece)
    return Token("num" if value else "other", piece, start, end, value=value or 0.0, damaged=piece)


def _dash(kind: str, piece: str, start: int, end: int) -> Token:
    return Token("sep", "—" if len(piece) > 1 else piece, start, end)


def _compound(kind: str, piece: str, start: int, end: int) -> Token:
    _, compounds = _pattern()
    return Token("word", piece, start, end, next(word for pattern, word in compounds if pattern.match(piece)))


def _sign(kind: str, piece: str, start: int, end: int) -> Token:
    fluid = "f" if len(piece) > 1 else ""
    return Token("sign", piece, start, end, fluid + piece[-1])


def scanned_sign(piece: str, start: int, end: int) -> Token:
    """The sign that a letter or a figure is taken for."""
    row = next(r for r in table("scanned_signs") if re.fullmatch(r["pattern"], piece))
    return Token("sign", piece, start, end, row["sign"], damaged=piece if row["worn"] else "")


_MAKERS: dict[str, Callable[[str, str, int, int], Token]] = {
    **dict.fromkeys(("mixed", "fraction", "glyph", "thousands", "points", "decimal", "commadecimal", "int"), _number),
    "worn": _worn,
    "dash": _dash,
    "compound": _compound,
    "sign": _sign,
    "scansign": lambda _, piece, start, end: scanned_sign(piece, start, end),
}
"""Shape in the expression above → what makes the token of it."""
_NAMED = {"leaders": ("gap", ""), "percent": ("word", PER_CENT), "octarius": ("sign", OCTARIUS), "brokenletter": ("other", "")}
"""Shape → kind and word of its token; a shape that stands in neither is a kind of its own."""


def pieces(text: str) -> list[str]:
    """The words, figures, signs, dittos, leaders and stops of a printed line, without what they mean.

    It is what `tokenise` begins with, for whole books: a tenth of the time, and enough to tell a formula from prose.
    """
    coarse, cubic = _coarse()
    return coarse.findall(cubic.sub(CUBIC, text) if "c." in text else text)


@cache
def printed_signs() -> frozenset[str]:
    """The signs of the apothecary and the letters that are printed for them."""
    rows = (row for row in table("signs") if len(row["printed"]) == 1)
    return frozenset(SIGNS).union(row["printed"] for row in rows if row["clean"] in tuple(SIGNS))


@cache
def _coarse() -> tuple[re.Pattern[str], re.Pattern[str]]:
    """(the pieces of a line, what is printed for a cubic centimetre)."""
    signs = "".join(sorted(printed_signs()))
    letter = rf"[^\W\d_{signs}{GLYPHS}]"
    cubic = "|".join(row["pattern"] for row in table("compounds") if row["word"] == CUBIC)
    return re.compile(
        rf"\d+(?:[.,/·⁄]\d+)*|[{GLYPHS}]|[{signs}℞]|{letter}+(?:['’-]{letter}+)*"
        r"|\.{2,}|(?:\.\s){3,}|[\"“”]|,,|[£$%°,;:{}|]"
    ), re.compile(rf"(?<![^\W_])(?:{cubic})(?![^\W\d_])", re.IGNORECASE)


def _is_rule(text: str, end: int, before: list[Token]) -> bool:
    """Whether '|' is the rule of a table and no brace: it stands beside a figure, or in a line that a rule opens."""
    if text[text.rfind("\n", 0, end) + 1 : end].lstrip().startswith("|") or pattern("beside-a-rule").match(text[end : end + 11]):
        return True
    last = next((t for t in islice(reversed(before), _RULES_IN_A_ROW) if t.kind != "gap"), None)
    return last is None or last.kind == "num"


def _dittos_of_names(tokens: list[Token]) -> list[Token]:
    """'; ditto bergamot, 1 drachm': a written ditto that begins an entry with an amount of its own repeats the name."""
    for i, token in enumerate(tokens):
        if token.word not in _DITTOS or (token.word not in DITTO and not token.dot):
            continue
        if i and tokens[i - 1].kind not in ("sep", "line", "para"):
            continue
        ahead = tokens[i + 1 : i + 25]  # no entry is longer; without a bound, many dittos would cost their square
        entry = list(takewhile(lambda t: t.kind not in ("line", "para") and t.text not in (";", "—"), ahead))
        named = next((k for k, t in enumerate(entry) if t.kind not in ("gap", "sep") and t.word not in OF), None)
        if named is None or entry[named].kind != "word" or any(t.kind == "sep" for t in entry[:named]):
            continue
        own = next((t for t in entry[named + 1 :] if t.kind in ("num", "sign") or t.word in numbers()), None)
        if own is not None:
            tokens[i] = token._replace(kind="ditto", word="")
            for k in range(named):  # the 'of' of 'ditto of bergamot' belongs to the ditto
                tokens[i + 1 + k] = tokens[i + 1 + k]._replace(kind="gap", word="")
    return tokens


def _figure(kind: str, piece: str) -> float | None:
    """The value of a printed figure; None for a fraction over nought."""
    if kind == "int":
        return float(piece) if len(piece) <= 15 else None
    if len(piece) > _LONGEST_FIGURE:
        return None
    if kind in ("thousands", "points"):
        return float(re.sub("[., ]", "", piece) if kind == "points" else piece.replace(",", ""))
    if kind in ("decimal", "commadecimal"):
        return float(piece.replace("·", ".").replace(",", "."))
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
