"""Printed text → plain text, with a map back: every clean character knows which printed characters it stands for.

Mirrors and transcribers write one sign in many ways (Ʒ З ȝ for ʒ, `[dram]`, zero-width joiners inside fractions);
what each way means is in signs.csv. Nothing is thrown away: the map lets a line quote the text exactly as printed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from histkit.reading.vocabulary import table


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
    # Underscores, equals signs and asterisks that touch words are a transcriber's italics and bold.
    emphasis = r"(?<![^\W_])[_*=]+(?=[^\W_])|(?<=[^\W_])[_*=]+(?![^\W_])|(?<=[.,;:!?)])[_*]+"
    # Marginal key letters: '=F.=', '=F. } A.='
    marginal = r"=[A-Z]\.?(?:\s*\}\s*[A-Z]\.?)?="
    # The number of a page ('{344}'), and the lowered figure of a formula ('H_{2}O')
    lowered = r"_?\{\d{1,4}\}"
    longest_first = sorted(mapping, key=len, reverse=True)
    pattern = "|".join([marginal, lowered, *map(re.escape, longest_first), quotes, emphasis, "(?P<ditto>[“”])", "\t", "\r\n?"])
    first = {sign[0] for sign in mapping}.union('“”"_*={\t\r')
    return re.compile("[" + re.escape("".join(sorted(first))) + "]"), re.compile(pattern), mapping


_ROW_OF_MARKS = re.compile(r"[_*=]+")


def is_clean(printed: str) -> bool:
    """Whether `clean` would change nothing."""
    return next(_signs_in(printed), None) is None


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

    for sign in _signs_in(printed):
        copy(sign.start())
        text = sign.group()
        if text in mapping:
            instead = mapping[text]
        elif text == "\t":
            instead = "  "
        elif text in ("\r\n", "\r"):
            instead = "\n"
        elif sign.lastgroup == "ditto":
            instead = '"'
        else:
            instead = " " if text.startswith("=") and len(text) > 2 else ""
        pieces.append(instead)
        starts.extend([sign.start()] * len(instead))
        ends.extend([sign.end()] * len(instead))
        position = sign.end()
    copy(len(printed))
    return Cleaned("".join(pieces), starts, ends)
