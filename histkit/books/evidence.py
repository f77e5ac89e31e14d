"""What speaks for an ingredient in one printed line: amounts with a unit, names of the glossary, signs, dittos, leaders; and
what speaks against it: prices, lengths, times, the small change of prose.

One regular expression and one look-up for each word, so that a whole book takes seconds.
"""

from __future__ import annotations

import re
from functools import cache, lru_cache
from typing import NamedTuple

from histkit.books import vocabulary as v
from histkit.reading import vocabulary as reading

LONGEST = 240
"""Characters of a line in which columns are looked for; longer ones are whole paragraphs."""
_GLYPHS = "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒"
_TOKEN = re.compile(
    rf"\d+(?:[.,/·⁄]\d+)*|[{_GLYPHS}]|[℥ʒȝƷЗ℈♏℔℞]|[^\W\d_ʒƷ]+(?:['’-][^\W\d_ʒƷ]+)*|\.{{2,}}|(?:\.\s){{3,}}|[\"“”]|,,|[£$%°,;:{{}}|]"
)
_OCTARIUS = re.compile(r"[oοO](?:[ivj]{1,4}(?:ss)?|ss)\Z")
_ROMAN = re.compile(r"(?:[ivxlcj]{1,6}(?:ss)?|ss)(?:-(?:[ivxlcj]{1,6}(?:ss)?|ss))?")
_GAP = re.compile(r"\S(?:\s{2,}|\s*\.{3,}\s*|\s*(?:\.\s){3,}\s*)(?=\S)")
_BARE = re.compile(rf"(?:\s{{2,}}|[.…_]{{2,}}\s*|(?:\.\s){{3,}})(\d{{1,4}}(?:[.,/]\d{{1,3}})?|\d{{0,2}}[{_GLYPHS}])[.,;]?\s*\Z")
_ABBREVIATED = re.compile(r"\b(?:q\.\s?s\.?|a\.\s?a\.)", re.IGNORECASE)
_ARTICLES = frozenset({"a", "an", "une", "eine", "ein"})
_OF = frozenset({"of", "de", "d'", "von"})
_GENITIVES = ("ae", "æ", "i", "is", "um")
_SIGNS = frozenset("℥ʒȝƷЗ℈♏℔")
_BEFORE_FIGURES = frozenset({"gr", "grs", "gtt", "gtts", "m", "min"})
_DAMAGED = {"l": "1", "O": "0", "I": "1"}


class Evidence(NamedTuple):
    """`hits` amounts with a unit; `elided` amounts of which only the figure is printed ('2 of glycerine'); `names` words of
    the glossary; `foreign` words that are none of what a formula holds, `fills` those of them that belong to prose;
    `starts`, `ends` whether an amount stands at the beginning or end; `bare` a figure alone at the end of a column.
    """

    words: int = 0
    hits: int = 0
    elided: int = 0
    names: int = 0
    foreign: int = 0
    fills: int = 0
    verbs: int = 0
    price: int = 0
    against: int = 0
    starts: bool = False
    ends: bool = False
    gap: bool = False
    ditto: bool = False
    shared: bool = False
    enough: bool = False
    take: bool = False
    first_verb: bool = False
    bare: str = ""
    waits: bool = False
    """The line ends with a figure whose unit may begin the next."""

    @property
    def item(self) -> bool:
        """Whether the line reads like an ingredient with its amount, or like several."""
        amounts = self.hits + self.elided
        if not self.hits or self.price or self.against:
            return False
        if self.names or self.ditto:
            return self.foreign <= 1 + 2 * amounts and self.fills <= 1 + amounts // 2 + (self.verbs > 0)
        return (self.starts or self.ends) and self.foreign <= 3 and self.fills == 0 and self.words <= 9

    @property
    def soft(self) -> bool:
        """Whether it may be a line of an ingredient whose amount stands elsewhere: a name alone, a brace, q.s."""
        if self.price or self.against or self.hits:
            return False
        if self.elided and self.names and self.foreign <= self.elided and not self.fills:
            return True
        return (
            (self.names > 0 or self.shared or self.enough or self.ditto)
            and self.foreign <= 2
            and self.fills == 0
            and self.words <= 12
        )


NOTHING = Evidence()


@cache
def _written_out() -> tuple[tuple[str, str], ...]:
    """Signs that a transcriber wrote out in brackets, and the signs."""
    return tuple((r["printed"], r["clean"]) for r in reading.table("signs") if r["printed"].startswith("["))


@cache
def _classes() -> dict[str, int]:
    return dict(v.classes())


def evidence(line: str, waiting: bool = False) -> Evidence:
    """The evidence of one line of print; `waiting` tells that the line before it ended with a figure."""
    if "c." in line:
        line = line.replace("c.c.", "cc").replace("c. c.", "cc")
    if "[" in line:
        for printed, sign_ in _written_out():
            line = line.replace(printed, sign_)
    tokens = _TOKEN.findall(line)
    if not tokens:
        return NOTHING
    classes = _classes()
    hits = elided = names = foreign = fills = verbs = price = against = words = figures = 0
    number = waiting  # a figure waits for its unit
    since = 0  # small words since the figure
    figure_first = waiting
    sign = False
    unit_first = ""  # a unit printed before its figure: 'gr. xx'
    previous = ""
    article = article_first = named = named_before = False
    starts = ends = ditto = shared = take = first_verb = False
    enough = bool(_ABBREVIATED.search(line))
    position = 0
    elided_at = -9
    for token in tokens:
        ends_here = False
        first = token[0]
        figures += first.isdigit()
        if token in _SIGNS:
            sign, ends_here = True, True
            hits += 1
            starts = starts or position == 0
            position += 1
            ends = ends_here
            continue
        if first.isdigit() or first in _GLYPHS:
            if unit_first in _BEFORE_FIGURES:
                hits, unit_first, ends = hits + 1, "", True
                position += 1
                continue
            if not number:
                figure_first = position == 0
                named_before, named = named, False
            number, since = True, 0
            if sign:
                sign, number = False, False
                ends = True
            position += 1
            continue
        if token == "℞":
            take = True
            continue
        if token in ('"', ",,", "“", "”"):
            if token != "“" and number:  # a ditto under a unit
                hits, number, ditto, ends = hits + 1, False, True, True
            elif position == 0 or token in (",,", "”"):
                ditto = ditto or line.lstrip()[:1] in '"“”,'
            continue
        if token in "£$°":
            price += token in "£$"
            number = False
            continue
        if token in ",;:":
            if article:
                hits, article = hits + 1, False
            if number and named_before and since == 0:
                elided, number = elided + 1, False
            named = named and token != ","
            continue
        if not first.isalpha():
            shared = shared or token in "{}"
            continue
        word = token.lower()
        before, previous = previous, word
        if article:
            hits += word in _OF
            starts = starts or (article_first and word in _OF)
            article = False
        if unit_first and _ROMAN.fullmatch(token):
            hits, unit_first, ends = hits + 1, "", True
            position += 1
            continue
        unit_first = ""
        if sign:
            sign = False
            if _ROMAN.fullmatch(word):
                position += 1
                continue
        if _OCTARIUS.match(token):
            hits, ends = hits + 1, True
            position += 1
            continue
        if number and named_before and since == 0 and classes.get(word) in (v.NAME, v.STATE):  # 'rose oil 1½, musk tincture 1'
            elided, number = elided + 1, False
        if token in _DAMAGED:  # an l for a 1, an O for a 0
            figure_first = figure_first or position == 0
            number, since = True, 0
            position += 1
            continue
        kind = classes.get(word)
        if kind is None and len(word) > 4:
            kind = _rare(word)
        words += 1
        if kind == v.UNIT:
            if number:
                hits += 1
                starts = starts or figure_first
                number, ends_here = False, True
            elif before in _ARTICLES:
                article = True  # an amount if 'of' comes next or the line ends: 'a pint of water', but not 'the size of a pint'
                article_first = position == 1
            else:
                unit_first = word
        elif kind == v.NUMBER:
            if not number:
                figure_first = position == 0
            number, since = True, 0
        elif kind == v.SMALL:
            since += 1
            if number and word in ("of", "de", "d") and since == 1:
                elided_at = position
            if since > 3:
                number = False
        elif kind in (v.NAME, v.STATE):
            names += kind == v.NAME
            named = True
            if elided_at == position - 1 and number:
                elided += 1
            number = False
        elif kind == v.PRICE:
            price += 1 if number or word not in ("s", "d") else 0
            number = False
        elif kind == v.OTHER:
            number = False
        elif kind == v.EACH:
            shared = True
            number = False
        elif kind == v.ENOUGH:
            enough, number = True, False
        elif kind == v.TAKE:
            take = take or words <= 2
            number = False
        elif kind == v.VERB:
            verbs += 1
            first_verb = first_verb or words == 1
            number = False
        elif kind == v.AGAINST:
            against += 1
        else:
            foreign += 1
            fills += kind == v.FILL
            number = False
        position += 1
        ends = ends_here
    if article:
        hits, ends, starts = hits + 1, True, starts or article_first
    bare = ""
    if not hits and figures <= 1 and names and len(line) <= LONGEST and (match := _BARE.search(line)):
        bare = match.group(1)
    if number and named_before and not bare:
        elided += 1
    gap = len(line) <= LONGEST and bool(_GAP.search(line.strip()))
    return Evidence(
        words=words,
        hits=hits,
        elided=elided,
        names=names,
        foreign=foreign,
        fills=fills,
        verbs=verbs,
        price=price,
        against=against,
        starts=starts,
        ends=ends,
        gap=gap,
        ditto=ditto,
        shared=shared,
        enough=enough,
        take=take,
        first_verb=first_verb,
        bare=bare,
        waits=number and since <= 1,
    )


@lru_cache(maxsize=65536)
def _rare(word: str) -> int | None:
    """The class of a word that stands in no table as it is printed: 'orris-root', "d'iris", 'ſtarch', 'camphoræ'."""
    classes = _classes()
    kind = classes.get(word.replace("ſ", "s").replace("’", "'"))
    if kind is not None:
        return kind
    if "-" in word and all(classes.get(part) in (v.NUMBER, v.SMALL) for part in word.split("-")):
        return v.NUMBER  # 'three-fourths', 'half-an'
    for mark in ("'", "’", "-"):
        if mark in word and classes.get(word.rpartition(mark)[2]) == v.NAME:
            return v.NAME
    if word.endswith(_GENITIVES) and v.latin_stem(word.replace("æ", "ae")) in v.latin_stems():
        return v.NAME
    return None
