"""What speaks for an ingredient in one printed line: amounts with a unit, names of the glossary, signs, dittos, leaders; and
what speaks against it: prices, lengths, times, the small change of prose.

One look-up for each piece that the reader's tokens hold, so that a whole book takes seconds.
"""

from __future__ import annotations

import re
from functools import cache, lru_cache
from typing import NamedTuple

from histkit import glossary
from histkit.books import vocabulary as v
from histkit.glossary.stretches import plain_spelling
from histkit.reading.cleaning import clean
from histkit.reading.numerals import PRINTED
from histkit.reading.spelling import SPELLED
from histkit.reading.tokens import GLYPHS, pieces, printed_signs
from histkit.reading.vocabulary import pattern

LONGEST = 240
"""Characters of a line in which columns are looked for; longer ones are whole paragraphs."""
_OCTARIUS = re.compile(r"[oοO](?:[ivj]{1,4}(?:ss)?|ss)\Z")
_GAP = re.compile(r"\S(?:\s{2,}|\s*\.{3,}\s*|\s*(?:\.\s){3,}\s*)(?=\S)")
_BEFORE_BARE = r"\s{2,}|[.…_]{2,}\s*|(?:\.\s){3,}|(?<=[^\W\d_])\.?\s(?=\d+,\d{1,2}(?!\d))"
"""Blanks or leaders; but one blank before grammes as German pharmacists print them: 'Talk 100,0'."""
_BARE = re.compile(rf"(?:{_BEFORE_BARE})(\d{{1,4}}(?:[.,/]\d{{1,3}})?|\d{{0,2}}[{GLYPHS}])[.,;]?\s*\Z")
_ONE_AMOUNT, _TWO_AMOUNTS = pattern("referring-amount"), pattern("equal-amounts")
_ABBREVIATED = pattern("abbreviated-amount")
_THOUSANDS = re.compile(r"(?<![\d.,])[1-9]\d{0,2}(?:,\d{3})+(?![\d,])")
"""'80,000 lbs': what a town uses in a year, and no ingredient."""
_LIST_NUMBER = re.compile(r"\s*\d{1,2}[.)]\s")
_AMOUNT = 0
"""The class of a word that is a whole amount."""
_PRICED = 2
"""More figures than one behind a unit, at the end of a line, are its prices."""
_SHORTEST_RARE = 4
"""Letters of a word that may be an early spelling."""
_COMPOUND = 9
"""Letters of a word that may be several in one, as German joins them."""
_ARTICLES, _OF, _BEFORE_FIGURES = v.word_list("article"), v.word_list("of"), v.word_list("before-figure")
_DAMAGED, _COINS = v.word_list("worn-figure"), v.word_list("coin")
_GENITIVES, _REFERS = tuple(v.word_list("genitive-ending")), tuple(v.word_list("refers-to-an-amount"))
_DITTOS = frozenset('"“”')
_SIGNS = printed_signs()
_WRITTEN_OUT = frozenset("[⁄∣\u0304\u0303")


class Evidence(NamedTuple):
    """`hits` amounts with a unit; `elided` amounts of which only the figure is printed ('2 of glycerine'); `names` words of
    the glossary; `foreign` words that are none of what a formula holds, `fills` those of them that belong to prose;
    `told` words of doses, solubilities, trade, pages, and figures in thousands; `starts`, `ends` whether an amount stands at the
    beginning or end; `bare` a figure alone at the end of a column.
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
    told: int = 0
    told_first: bool = False
    """Such a word stands before the first amount: 'Dose: 2 drams', 'Soluble in 3 parts'."""
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
        if self.price or self.against or self.hits or (self.first_verb and not self.shared):
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
def _classes() -> dict[str, int]:
    return dict(v.classes())


def evidence(line: str, waiting: bool = False) -> Evidence:
    """The evidence of one line of print; `waiting` tells that the line before it ended with a figure."""
    if not _WRITTEN_OUT.isdisjoint(line):  # signs that a transcriber wrote out, raised fractions, words divided by a stroke
        line = clean(line).text
    tokens = pieces(line)
    if not tokens:
        return NOTHING
    scale = _Scale(waiting, line.lstrip()[:1] in _DITTOS)
    if any(part in line for part in _REFERS):
        scale.hits += len(_ONE_AMOUNT.findall(line)) + 2 * len(_TWO_AMOUNTS.findall(line))
    if "," in line:
        scale.told += len(_THOUSANDS.findall(line))
    for token in tokens:
        first = token[0]
        if first.isalpha() and token not in _SIGNS:
            scale.word(token)
        elif first.isdigit() or first in GLYPHS:
            scale.figure(token)
        else:
            scale.mark(token)
    return scale.weighed(line)


class _Scale:
    """Takes the tokens of a line one by one. `number` tells that a figure waits for its unit, `since` how many small words
    have come after it, `priced` one more than the figures behind a unit ('lb. 50 60'), `named` that a name stands before the
    next figure, `named_before` that one stood before the last.
    """

    __slots__ = (
        "against", "article", "article_first", "before", "ditto", "ditto_first", "elided", "elided_at", "ends", "enough",
        "figure_first", "figures", "fills", "first_verb", "foreign", "hits", "named", "named_before", "names", "number",
        "position", "previous", "price", "priced", "shared", "sign", "since", "starts", "take", "told", "told_first",
        "unit_first", "verbs", "words",
    )  # fmt: skip

    def __init__(self, waiting: bool, ditto_first: bool) -> None:
        self.hits = self.elided = self.names = self.foreign = self.fills = self.verbs = 0
        self.price = self.against = self.told = self.words = self.figures = self.since = self.position = 0
        self.number = self.figure_first = waiting
        self.ditto_first = ditto_first
        self.sign = self.article = self.article_first = self.named = self.named_before = False
        self.starts = self.ends = self.ditto = self.shared = self.enough = self.take = self.first_verb = False
        self.told_first = False
        self.unit_first = self.previous = self.before = ""
        self.elided_at = -9
        self.priced = 0

    def hit(self, first: bool = False) -> None:
        """An amount with its unit is whole."""
        self.hits += 1
        self.starts = self.starts or first
        self.ends = True

    def begin(self) -> None:
        """A figure, in digits or words, that waits for its unit."""
        if not self.number:
            self.figure_first = self.position == 0
        self.number, self.since = True, 0

    def figure(self, token: str) -> None:
        self.figures += token[0].isdigit()
        self.priced += self.priced > 0 and token.isdigit()
        if self.unit_first in _BEFORE_FIGURES:  # 'gr. 20'
            self.unit_first = ""
            self.hit()
        elif self.sign:  # '℥ 2'
            self.sign, self.number, self.ends = False, False, True
        else:
            if not self.number:
                self.named_before, self.named = self.named, False
            self.begin()
            self.ends = False
        self.position += 1

    def mark(self, token: str) -> None:
        if token in _SIGNS:
            self.sign = True
            self.hit(self.position == 0)
            self.position += 1
        elif token == "℞":
            self.take = True
        elif token in _DITTOS or token == ",,":
            if self.number and token != "“":  # a ditto under a unit
                self.number, self.ditto = False, True
                self.hit()
            else:
                self.ditto = self.ditto or self.ditto_first
                self.priced = 1
        elif token == "%":
            if self.number:
                self.number = False
                self.hit(self.figure_first)
        elif token in "£$°":
            self.price += token != "°"
            self.number = False
        elif token in ",;:":
            if self.article:
                self.article = False
                self.hit(self.article_first)
            if self.number and self.named_before and self.since == 0:  # 'rose oil 1½;'
                self.elided, self.number = self.elided + 1, False
            self.named = self.named and token != ","
        elif token in "{}":
            self.shared = True

    def word(self, token: str) -> None:
        word = token.lower()
        earlier, before = self.before, self.previous
        self.before, self.previous, self.priced = before, word, 0
        if self.article:  # 'a pint of water'
            self.article = False
            if word in _OF:
                self.hit(self.article_first)
        if self.unit_first and PRINTED.fullmatch(token):  # 'gr. xx'
            self.unit_first = ""
            self.position += 1
            self.hit()
            return
        self.unit_first = ""
        if self.sign:
            self.sign = False
            if PRINTED.fullmatch(word):  # '℥ ij'
                self.position += 1
                return
        if _OCTARIUS.match(token):
            self.position += 1
            self.hit()
            return
        if token in _DAMAGED:  # an l for a 1, an O for a 0
            self.begin()
            self.position += 1
            return
        kind = _classes().get(word)
        if kind is None and len(word) >= _SHORTEST_RARE:
            kind = _rare(word)
        if self.number and self.named_before and self.since == 0 and kind in (v.NAME, v.STATE):  # 'rose oil 1½ musk 1'
            self.elided, self.number = self.elided + 1, False
        self.words += 1
        self.ends = False
        if kind == v.UNIT:
            self.unit(word, before, earlier)
        elif kind == _AMOUNT:
            self.number = False
            self.hit(self.position == 0)
        elif kind == v.NUMBER:
            self.begin()
        elif kind == v.SMALL:
            self.since += 1
            if self.number and word in _OF and self.since == 1:
                self.elided_at = self.position
            self.number = self.number and self.since <= 3
        else:
            self.other(kind, word)
        self.position += 1

    def unit(self, word: str, before: str, earlier: str) -> None:
        if self.number:
            self.number = False
            self.hit(self.figure_first)
        elif before in _ARTICLES and earlier not in _OF:  # not in 'the size of a pint'
            self.article, self.article_first = True, self.position == 1
        else:
            self.unit_first, self.priced = word, 1

    def other(self, kind: int | None, word: str) -> None:
        """A word that ends the wait of a figure."""
        if kind == v.NAME or kind == v.STATE:
            self.names += kind == v.NAME
            self.named = True
            self.elided += self.number and self.elided_at == self.position - 1  # '2 of glycerine'
        elif kind == v.PRICE:
            self.price += self.number or word not in _COINS
        elif kind == v.EACH:
            self.shared = True
        elif kind == v.ENOUGH:
            self.enough = True
        elif kind == v.TAKE:
            self.take = self.take or self.words <= 2
        elif kind == v.VERB:
            self.verbs += 1
            self.first_verb = self.first_verb or self.words == 1
        elif kind == v.AGAINST:
            self.against += 1
        elif kind == v.TOLD:
            self.told += 1
            self.told_first = self.told_first or not self.hits
        elif kind != v.OTHER:
            self.foreign += 1
            self.fills += kind == v.FILL
        self.number = False

    def _one_figure(self, line: str) -> bool:
        """Whether one figure stands in the line, besides the number of a list before it."""
        return self.figures <= 1 or (self.figures == 2 and _LIST_NUMBER.match(line) is not None)

    def weighed(self, line: str) -> Evidence:
        if self.article:
            self.hit(self.article_first)
        short = len(line) <= LONGEST
        bare = _BARE.search(line) if short and not self.hits and self._one_figure(line) and self.names else None
        return Evidence(
            words=self.words,
            hits=self.hits,
            elided=self.elided + (self.number and self.named_before and bare is None),
            names=self.names,
            foreign=self.foreign,
            fills=self.fills,
            verbs=self.verbs,
            price=self.price + (self.priced > _PRICED),
            against=self.against,
            told=self.told,
            told_first=self.told_first,
            starts=self.starts,
            ends=self.ends,
            gap=short and _GAP.search(line.strip()) is not None,
            ditto=self.ditto,
            shared=self.shared,
            enough=self.enough or _ABBREVIATED.search(line) is not None,
            take=self.take,
            first_verb=self.first_verb,
            bare=bare.group(1) if bare else "",
            waits=self.number and self.since <= 1,
        )


@lru_cache(maxsize=65536)
def _rare(word: str) -> int | None:
    """The class of a word that stands in no table as it is printed: 'orris-root', "d'iris", 'ſtarch', 'camphoræ'."""
    classes = _classes()
    kind = classes.get(word.replace("ſ", "s").replace("’", "'"))
    if kind is not None:
        return kind
    if (spelled := SPELLED[word]) != word and (kind := classes.get(spelled)) is not None:
        return kind  # 'halfe', 'ounzes'
    if plain_spelling(word) in v.plain_names():
        return v.NAME  # 'cloues', 'lauender'
    if "-" in word and classes.get(word.rpartition("-")[2]) == v.UNIT and classes.get(word.partition("-")[0]) == v.NUMBER:
        return _AMOUNT  # 'half-a-pound'
    if "-" in word and all(classes.get(part) in (v.NUMBER, v.SMALL) for part in word.split("-")):
        return v.NUMBER  # 'three-fourths', 'half-an'
    for mark in ("'", "’", "-"):
        if mark in word and classes.get(word.rpartition(mark)[2]) == v.NAME:
            return v.NAME
    if len(word) >= _COMPOUND and glossary.knows(word):
        return v.NAME  # 'Magnesiumcarbonat'
    stem = v.latin_stem(word.replace("æ", "ae"))
    return v.NAME if word.endswith(_GENITIVES) and stem in v.latin_stems() else None
