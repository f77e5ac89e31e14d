"""Printed text → plain text, with a map back: every clean character knows which printed characters it stands for.

Mirrors and transcribers write one sign in many ways (Ʒ З ȝ for ʒ, `[dram]`, zero-width joiners inside fractions);
what each way means is in signs.csv. Nothing is thrown away: the map lets a line quote the text exactly as printed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from histkit.glossary.index import shipped
from histkit.glossary.words import fold, strangers
from histkit.reading.vocabulary import numbers, pattern, table, units


@dataclass(frozen=True, slots=True)
class Cleaned:
    """`text` is the clean text; character i of it stands for `printed[starts[i]:ends[i]]`."""

    text: str
    starts: list[int]
    ends: list[int]

    def printed_span(self, start: int, end: int) -> tuple[int, int]:
        """Where `text[start:end]` stands in the printed text."""
        if start >= end:
            return (self.starts[start], self.starts[start]) if start < len(self.starts) else (0, 0)
        return self.starts[start], self.ends[end - 1]


@cache
def _signs() -> tuple[re.Pattern[str], re.Pattern[str], dict[str, str]]:
    """(the characters with which a sign may begin, the signs, what each is in clean text)."""
    mapping = {row["printed"]: row["clean"] for row in table("signs") if row["printed"]}
    # A quotation mark that touches a word opens or closes a quotation; a ditto mark stands between blanks.
    quotes = r"[“\"](?=[^\W_])|(?<=[^\W_][,.;])[”\"]|(?<=[^\W_])[”\"]"
    # Underscores, equals signs, asterisks and plus signs that touch words are a transcriber's italics and bold.
    emphasis = r"(?<![^\W_])[_*=]+(?=[^\W_])|(?<=[^\W_])[_*=]+(?![^\W_])|(?<=[.,;:!?)])[_*]+"
    emphasis += r"|\+(?=[℥ʒ℈]|[^\W\d_])|(?<=[^\W\d_.])\+(?!\d)"
    # Marginal key letters: '=F.=', '=F. } A.='
    marginal = r"=[A-Z]\.?(?:\s*\}\s*[A-Z]\.?)?="
    # The number of a page ('{344}'), and the lowered figure of a formula ('H_{2}O')
    lowered = r"_?\{\d{1,4}\}"
    longest_first = sorted(mapping, key=len, reverse=True)
    pattern = "|".join([marginal, lowered, *map(re.escape, longest_first), quotes, emphasis, "(?P<ditto>[“”])", "\t", "\r\n?"])
    alone = {sign[0] for sign in mapping if len(sign) == 1}.union('“”"_*={+\t\r')
    followed = {sign[0] for sign in mapping} - alone  # most of them vowels under a stroke: few are worth a closer look
    first, shared, behind = (
        re.escape("".join(sorted(letters))) for letters in (alone | followed, followed, {sign[1] for sign in mapping if sign[1:]})
    )
    return re.compile(f"[{first}](?:(?<![{shared}])|(?=[{behind}]))"), re.compile(pattern), mapping


@cache
def _worn_words() -> tuple[re.Pattern[str], dict[str, str]]:
    """(small words that a scan has worn, what each of them is), with small and with capital letters at their beginning."""
    rows = [(row["pattern"], row["instead"]) for row in table("worn_words")]
    rows += [(shape[0].upper() + shape[1:], instead.capitalize()) for shape, instead in rows if shape[0].islower()]
    shapes = "|".join(shape for shape, _ in sorted(rows, reverse=True))  # literals first: their beginnings are looked for quickly
    return re.compile(rf"(?:{shapes})(?![^\s,;)])"), {shape.partition("(")[0]: instead for shape, instead in rows}


_WORD_BEFORE, _WORD = re.compile(r"[^\W_]*\Z"), re.compile(r"[^\W_]*")
_LONGEST_JOINED = 20
"""Letters of a word that a small one may be joined to."""
_ROW_OF_MARKS = re.compile(r"[_*=]+")


def is_clean(printed: str) -> bool:
    """Whether `clean` would change nothing."""
    return next(_signs_in(printed), None) is None and not _mended_in(printed)


def _mended_in(printed: str) -> list[tuple[int, int, str]]:
    """Every stretch that is mended, and what stands in its place; '' for what is left out."""
    looks = (_worn_in, _joined_in, _stops_in, _strokes_in, _cells_in, _broken_in, _noted_in, _otherwise_in)
    return [mended for look in looks for mended in look(printed)]


def _worn_in(printed: str) -> list[tuple[int, int, str]]:
    """Where a small word is worn, and what it is: 'aud' is 'and', 'o£' is 'of'."""
    shapes, instead = _worn_words()
    places = (place for place in shapes.finditer(printed) if not place.start() or printed[place.start() - 1] in " \n\t(")
    return [(*place.span(), instead[place.group()]) for place in places]


def _joined_in(printed: str) -> list[tuple[int, int, str]]:
    """Where a blank is lost between a small word and a known one: 'ofbutter', 'cupsof'."""
    found = []
    for small in pattern("joined").finditer(printed):
        begin, behind = _words_beside(printed, small)
        if begin and behind:
            continue
        cut, rest = (small.start(), begin) if begin else (small.end(), behind)
        if _is_known(rest) and not _is_known(begin + small.group() + behind):
            found.append((cut, cut, " "))
    return found


def _words_beside(printed: str, place: re.Match[str]) -> tuple[str, str]:
    """What of a word stands right before a place and right behind it; "" where none does."""
    begin = _WORD_BEFORE.search(printed, max(0, place.start() - _LONGEST_JOINED), place.start())
    behind = _WORD.match(printed, place.end())
    assert begin is not None and behind is not None
    return begin.group(), behind.group()


def _stops_in(printed: str) -> list[tuple[int, int, str]]:
    """The colons that stand for stops: those behind a head cut short ('ol: tartari'), and where those behind amounts do, all
    behind words: 'Pulv: Rhei: gr: x: Calomel: ppt: gr: v:'."""
    if ":" not in printed:
        return []
    heads = [(place.end() - 1, place.end(), ".") for place in pattern("colon-behind-head").finditer(printed)]
    if printed.count(":") < FEWEST_COLONS or len(pattern("colon-for-stop").findall(printed)) < FEWEST_COLONS:
        return heads
    return [(*place.span(), ".") for place in pattern("colon-behind-word").finditer(printed)]


def _strokes_in(printed: str) -> list[tuple[int, int, str]]:
    """The strokes that are the commas of black-letter books, in a text that has no comma: 'Licorise / Anis sede / and Isope'."""
    if "," in printed or printed.count("/") < _FEWEST_STROKES:
        return []
    strokes = [(*place.span(), ",") for place in pattern("stroke-for-comma").finditer(printed)]
    return strokes if len(strokes) >= _FEWEST_STROKES else []


def _cells_in(printed: str) -> list[tuple[int, int, str]]:
    """The breaks between a figure and its unit where a table was copied cell by cell: '63,0', below it 'Theile'."""
    cells = [(*cell.span(1), " ") for cell in _UNIT_BELOW.finditer(printed) if _is_unit(cell[2])]
    return cells if len(cells) >= _FEWEST_CELLS else []


_UNIT_BELOW = re.compile(r"(?<=\d)([ \t]*\n\s*)(?=([^\W\d_]{1,12}|„)\.?[ \t]*(?:\n|\Z))")
_FEWEST_CELLS, _FEWEST_STROKES = 2, 2


def _broken_in(printed: str) -> list[tuple[int, int, str]]:
    """The line ends inside of numbers ('one-', below it 'half'), of unit words and of words that are known in one piece."""
    found = []
    for end in _LINE_END_IN_A_WORD.finditer(printed):
        first, rest = (word.casefold() for word in _words_beside(printed, end))
        if first in numbers() and rest in numbers():
            found.append((*end.span(), "-"))
        elif first + rest in units() or (_is_known(first + rest) and not (_is_known(first) and _is_known(rest))):
            found.append((*end.span(), ""))
    return found


_LINE_END_IN_A_WORD = re.compile(r"(?<=[^\W\d_])-[ \t]*\n[ \t]*(?=[^\W\d_])")


def _noted_in(printed: str) -> list[tuple[int, int, str]]:
    """The marks of notes behind numbers and units ('five[1] to twenty'), and figures that say a number again ('two (2)')."""
    marks = (mark for mark in pattern("note-behind-word").finditer(printed) if mark[1].isdigit() or _counts(mark[1]))
    found = [(*mark.span(2), "") for mark in marks]
    for again in pattern("figure-again").finditer(printed):
        number = numbers().get(again[1].casefold())
        if number is not None and number.value == float(again[3]):
            found.append((*again.span(2), ""))
    return found


def _otherwise_in(printed: str) -> list[tuple[int, int, str]]:
    """What other books print otherwise: 'three well beaten eggs', 'a 3-lb. chicken', '2 c. sugar' in a text with spoonfuls."""
    found = []
    for literals, shape, instead, beside in _printed_otherwise():
        if any(map(printed.__contains__, literals)):  # most texts hold none of them
            places = [(*place.span(1), instead) for place in shape.finditer(printed)]
            found += places if places and (beside is None or beside.search(printed)) else []
    return found


@cache
def _printed_otherwise() -> list[tuple[list[str], re.Pattern[str], str, re.Pattern[str] | None]]:
    """What a text holds where a shape stands in it, the shape, what stands for its first group, what must stand besides."""
    rows = ((row["holds"], row["pattern"], row["instead"], row["beside"]) for row in table("printed_otherwise"))
    return [(h.split("|"), re.compile(shape), new, re.compile(beside) if beside else None) for h, shape, new, beside in rows]


def _counts(word: str) -> bool:
    return word.casefold() in numbers() or word.casefold() in units()


def _is_unit(printed: str) -> bool:
    return printed == "„" or printed.casefold() in units()


FEWEST_COLONS = 2
"""Abbreviated measures with a colon in place of the stop, from which on all colons behind words are taken for stops."""


def _is_known(word: str) -> bool:
    folded = fold(word)
    return folded in shipped().near_words.words or folded in strangers() or folded in units() or folded in numbers()


def _signs_in(printed: str) -> Iterator[re.Match[str]]:
    """Every sign, left to right. Almost no character of a text begins one: looking for those first saves most of the time."""
    first, signs, _ = _signs()
    place = 0
    while (begins := first.search(printed, place)) is not None:
        sign = signs.match(printed, begins.start())
        if sign is not None:
            yield sign
            place = sign.end()
        else:  # where a row of underscores is no emphasis at its beginning, no part of it is
            row = _ROW_OF_MARKS.match(printed, begins.start())
            place = row.end() if row is not None else begins.end()


def _instead_of(sign: re.Match[str], mapping: dict[str, str]) -> str:
    text = sign.group()
    if text in mapping:
        return mapping[text]
    if text == "\t":
        return "  "
    if text in ("\r\n", "\r"):
        return "\n"
    if sign.lastgroup == "ditto":
        return '"'
    return " " if text.startswith("=") and len(text) > 2 else ""


def clean(printed: str) -> Cleaned:
    """The clean text of `printed` with its map. Runs in time proportional to the length of the text."""
    mapping = _signs()[2]
    pieces: list[str] = []
    starts: list[int] = []
    ends: list[int] = []
    position = 0

    def copy(until: int) -> None:
        pieces.append(printed[position:until])
        starts.extend(range(position, until))
        ends.extend(range(position + 1, until + 1))

    signs = [(*sign.span(), _instead_of(sign, mapping)) for sign in _signs_in(printed)]
    for start, end, instead in sorted(signs + _mended_in(printed)):
        if start < position:
            continue
        copy(start)
        pieces.append(instead)
        starts.extend([start] * len(instead))
        ends.extend([end] * len(instead))
        position = end
    copy(len(printed))
    return Cleaned("".join(pieces), starts, ends)
