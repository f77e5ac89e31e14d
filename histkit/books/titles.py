"""Titles of formulas: which line can be one, where it stands in a line of its own formula, and its words without their number."""

from __future__ import annotations

import re

from histkit.books import vocabulary as v
from histkit.books.evidence import Evidence, evidence
from histkit.books.marks import any_of, marks

LONGEST_TITLE = 90
"""Characters."""
_LONGEST_ALONE = 48
"""Characters of a title whose paragraph goes on below it; a longer line is rather the beginning of the paragraph."""

_BARE_NUMBERS = [word.rstrip(".") for word in marks("number")]
_BEFORE_NUMBER = any_of([*_BARE_NUMBERS, *(word[0].lower() + word[1:] for word in _BARE_NUMBERS)])

NUMERAL_HEAD = re.compile(
    rf"\s*(?:[IVXL]{{1,6}}|[A-Z])\s?(?:\.\s?)?(?:—|--|–)|\s*{any_of(marks('number'))}\s?\d+\.?\s*(?:—|--|–)"
)
"""'XIV.—', 'B—' or 'No. 3.—' at the head of a formula."""
NUMBER_ALONE = re.compile(
    rf"[\W_]*(?:{any_of([*_BARE_NUMBERS, *marks('formula word')])}[.\s]*)?"
    r"(?:\d{1,4}|[IVXLC]{1,7}|[A-LN-RT-Z])[\W_]*\Z",
    re.IGNORECASE,
)
NUMBERED = re.compile(r"\s*\d{1,2}\.\s+[^\W\d_]")
_RUN_IN = re.compile(r"\s*(?P<title>[_=]?[^\W\d_][^—;\n]{2,80}?)(?:[.:]?[_=]?)\s?(?:—|--)\s*(?=\S)")
_NUMBERING = re.compile(rf"\s*(?:{_BEFORE_NUMBER}[.\s]*)?(?:\d{{1,4}}\s?[.):\s]|[IVXLC]{{1,7}}\s?[.):—])\s*(?:[-—–]+\s*)?")
_WORD = re.compile(r"[^\W\d_]+")


def looks_like_title(line: str, weighed: Evidence) -> bool:
    """Whether a line, by itself, may be the title of a formula."""
    text = line.strip()
    if not text or len(text) > LONGEST_TITLE or weighed.words > 12 or text.endswith((",", ";", "-")):
        return False
    if weighed.hits or weighed.shared or weighed.enough:
        return False
    letters = text.strip(" \t_=*.\"'“”«»([")
    if NUMBER_ALONE.match(text):
        return not weighed.bare
    if not letters or not (letters[0].isupper() or letters[0].isdigit()):
        return False
    first = _WORD.search(letters)
    if first is not None and first.group().casefold() in v.word_list("joins") and not text.isupper():
        return False
    if weighed.fills > 2 or (weighed.first_verb and text.endswith(".") and not text.isupper() and weighed.words != 2):
        return False
    return not weighed.bare and not (weighed.first_verb and weighed.words > 3)


def goes_on(line: str) -> bool:
    """Whether the line is so long that it is rather the beginning of a paragraph."""
    return len(line.strip()) > _LONGEST_ALONE or line.rstrip().endswith((",", "-"))


def in_capitals(line: str) -> bool:
    """'HAIR WASH.': a title even without a blank line before it."""
    text = line.strip(" .:_=")
    return len(text) > 3 and text.isupper()


def run_in_title(line: str) -> tuple[str, int] | None:
    """(title, where the ingredients begin) of 'VIOLET POWDER.—Starch, 12 lbs.'; None where the line has no such title."""
    match = _RUN_IN.match(line)
    if match is None or NUMERAL_HEAD.match(line):
        return None
    words = match.group("title")
    weighed = evidence(words)
    if weighed.hits or weighed.words > 10:
        return None
    return title_words(words), match.end()


def title_words(line: str) -> str:
    """The title as a reader would say it: without its number, stops and italics."""
    text = " ".join(line.split()).strip("_=* ")
    numbering = None if NUMBER_ALONE.match(text) else _NUMBERING.match(text)
    without = text[numbering.end() :] if numbering else text
    return (without or text).strip(" .:;—–-_=*[]") or text
