"""Tokens → measures: every place where an amount is printed, in whatever notation.

A measure knows the tokens it covers, its figure(s) and canonical unit, whether it speaks of several things ('of each'),
and what is doubtful about it. To which name it belongs is decided later (`assigning`). The shapes of an amount are read by
the classes that `Scanner` is built on: `figures` → `signed` → `counted` → `worded`.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from histkit.base.nouns import Doubt
from histkit.reading.looking import phrases_by_first_word
from histkit.reading.measure import Measure
from histkit.reading.signed import PREFIXED
from histkit.reading.tokens import Token
from histkit.reading.vocabulary import UnitWord, direction_words, numbers, units, word_list, worn_figures
from histkit.reading.worded import PURPOSES, Worded


@cache
def _first_words() -> frozenset[str]:
    """Every word with which an amount may begin."""
    own = {"from", "no", "to"}
    return frozenset(own.union(phrases_by_first_word(), numbers(), PREFIXED, worn_figures()))


@cache
def plain_units() -> dict[str, UnitWord]:
    """Unit words that mean one thing wherever they stand after a figure."""
    doubtful = word_list("only-after-digits") | {"lot", "pt", "pts", "per cent", "percent"}
    return {word: known for word, known in units().items() if word not in doubtful and len(word) > 1}


_GOING_ON = frozenset({"and", "or", "to", "et", "und", "of", "each", "all", "by"})
_TAKING = frozenset({"add", "take", "put", "mix"})
_SMALL_ROMAN = frozenset("ivxj")


def _may_begin(token: Token) -> bool:
    """Whether an amount could begin here. Most words of a text name things and need no closer look."""
    if token.kind != "word":
        return token.kind in ("num", "sign", "open") or token.text in ("—", "-", "–", "£")
    word = token.word
    if word in _first_words() or "-" in word or token.text.isupper():
        return True
    return word.startswith(PURPOSES) or _SMALL_ROMAN.issuperset(word)


class Scanner(Worded):
    """Finds the amounts in one list of tokens, with all that may stand around each of them."""

    def measures(self) -> list[Measure]:
        """Every measure, left to right, none overlapping."""
        found: list[Measure] = []
        i = 0
        while i < len(self.tokens):
            qualified = self.tokens[i].kind == "open" and self.depth[i] == 1  # '(av.) 3 ounces', 'the camphor (1 oz.)'
            measure = self.measure(i) if (qualified or not self.depth[i]) and _may_begin(self.tokens[i]) else None
            if measure is None:
                i += 1
                continue
            found.append(measure)
            i = max(measure.last, i + 1)
        return found

    def measure(self, i: int) -> Measure | None:
        token = self.tokens[i]
        if token.kind == "open":
            return self.after_bracket(i)
        if token.kind not in ("num", "word", "sign") and token.text not in ("—", "-", "–", "£"):
            return None
        if token.kind == "num":  # the commonest by far, and it opens none of the phrases below
            if (plain := self.plain(i)) is not None:
                return plain
            counted = self.number_first(i)
            return None if counted is None else self.placed(i, i, counted)
        start, approximate = i, False
        if approx := self.phrase(i, "approx"):
            i, approximate = self.skip(approx[1]), True
        elif self.word(i) == "from" and self.number(self.skip(i + 1)):
            i = self.skip(i + 1)
        if (system := self.phrase(i, "system")) and (said := self.after_system(system[1])):
            return replace(said, first=start, system=system[0].value)
        if self.phrase(i, "equal"):
            return self.equal(i, start)
        if (marker := self.phrase(i, "each")) and (inner := self.after_each(marker[1])):
            return replace(inner, first=start, each="before")
        if rate := self.phrase(i, "rate"):
            j = self.skip(rate[1])
            inner_unit = self.unit(j)
            inner = self.core(j) or (Measure(j, inner_unit[2], 1.0, inner_unit[0]) if inner_unit else None)
            if inner and rate[0].words[0] != "in":
                if self.begins_clause(start) and self.word(self.skip(inner.last)) == "of" and not self.refers_to_whole(inner):
                    doubt = Doubt("amount", "The amounts are printed as a rate, so much to each of this; it is taken once.")
                    return replace(inner, first=start, doubts=(*inner.doubts, doubt))
                return replace(inner, first=start, kind="rate")
        measure = self.core(i)
        if measure is None:
            return None
        return self.placed(start, i, replace(measure, approximate=True) if approximate else measure)

    def plain(self, i: int) -> Measure | None:
        """'4 oz.' at the end of its line, with nothing near that could change it: what most lines of a column are.

        It is what `number_first` would make of it, found with a fraction of the looking about.
        """
        if i + 1 >= len(self.tokens) or (i and self.tokens[i - 1].kind not in ("gap", "line", "para")):
            return None
        figure, known = self.tokens[i], plain_units().get(self.words[i + 1])
        if known is None or figure.damaged or (i + 2 < len(self.tokens) and self.tokens[i + 2].kind not in ("line", "para")):
            return None
        following = self.solid[i + 2]
        if following < len(self.tokens):
            token = self.tokens[following]
            goes_on = token.kind != "word" or token.word in _GOING_ON or token.word in _first_words()
            if goes_on and token.kind != "para":
                return None
        return Measure(i, i + 2, figure.value * known.factor, known.unit)

    def placed(self, start: int, i: int, measure: Measure) -> Measure:
        """The amount read at token i, with what precedes it from `start` and what may follow it."""
        if self.refers_to_whole(measure):
            return replace(measure, first=start, kind="portion" if measure.kind == "plain" else "rate")
        if self.names_a_vessel(i, measure) or self.is_a_tool(measure):
            return replace(measure, first=start, kind="rate")
        return self.trailing(measure if measure.first == start else replace(measure, first=start), "")

    def after_bracket(self, i: int) -> Measure | None:
        """'(av.) 3 ounces', '(of each) 1 lb.'"""
        if marker := self.phrase(i + 1, "each"):
            closed = marker[1] < len(self.tokens) and self.tokens[marker[1]].kind == "close"
            inner = self.after_each(marker[1] + 1) if closed else None
            return replace(inner, first=i, each="before") if inner else None
        measure = self.number_first(i) if self.phrase(i + 1, "qualifier") else None
        if measure is not None:
            return self.trailing(measure, "")
        held = self.bracketed(i) if i and self.tokens[i - 1].kind == "word" else None
        follows = self.tokens[held[1]] if held is not None and held[1] < len(self.tokens) else None
        if held is None or (follows is not None and follows.kind not in ("line", "para", "sep", "word")):
            return None
        return replace(held[0], first=i, last=held[1])

    def after_system(self, i: int) -> Measure | None:
        """The amount after 'by weight,' or 'by measure,'."""
        k = self.skip(i)
        if k < len(self.tokens) and self.tokens[k].text == ",":
            k = self.skip(k + 1)
        inner = self.number_first(k)
        return self.trailing(inner, "") if inner is not None and inner.kind == "plain" else None

    def refers_to_whole(self, measure: Measure) -> bool:
        """'To 12 drachms of this mixture add': an amount of the whole, not of an ingredient."""
        j = self.skip(measure.last)
        article = self.skip(j + 1)
        noun = self.skip(article + 1)
        says_this = self.word(j) == "of" and self.word(article) == "this"
        if says_this and (self.ends_clause(article + 1) or self.word(noun) in _TAKING):
            return True  # 'to 2 ounces of this add'
        of, this, whole, taking = (self.words[measure.first - back] if measure.first >= back else "" for back in (4, 3, 2, 1))
        if of == "of" and this == "this" and whole in word_list("whole") and taking in _TAKING:
            return True  # 'of this solution add 1 ounce'
        if self.word(j) != "of" or self.word(article) not in ("this", "these", "the"):
            return False
        following = self.word(self.skip(noun + 1))
        goes_on = following and following not in word_list("no-name") and following not in direction_words()
        return self.word(noun) in word_list("whole") and following != "of" and not goes_on  # but 'of the liquid storax'

    def names_a_vessel(self, i: int, measure: Measure) -> bool:
        """'in a pint bottle', 'through a piece of lace'."""
        before = next((t for t in reversed(self.tokens[max(0, i - 2) : i]) if t.kind == "word"), None)
        if before is None or measure.kind not in ("plain", "some"):
            return False
        j = self.skip(measure.last)
        if before.word in ("in", "into", "through") and measure.article:
            following = self.word(j)
            return following not in ("of", "") or (not following and self.tokens[measure.last - 1].word in word_list("vessel"))
        if measure.unit != "piece":
            return False
        return before.word in ("through", "or") or (before.word in ("to", "on", "upon") and self.word(j) != "of")  # 'to a stick'

    def is_a_tool(self, measure: Measure) -> bool:
        """'rub with a small bit of sponge': nothing that goes in."""
        if measure.unit != "piece" or not measure.article:
            return False
        j = self.skip(measure.last)
        noun = self.skip(j + 1) if self.word(j) == "of" else j
        noun = self.skip(noun + 1) if self.word(noun) in ("soft", "clean", "fine", "the", "old", "white", "dry") else noun
        return self.word(noun) in word_list("tool")

    def after_each(self, i: int) -> Measure | None:
        j = i
        while j < len(self.tokens) and (self.tokens[j].kind in ("gap", "line") or self.tokens[j].text in (",", ":", ".", "}")):
            j += 1
        if self.tokens[j - 1].kind == "line" and j - i > 2:
            return None
        if approx := self.phrase(j, "approx"):
            j = self.skip(approx[1])
        if j >= len(self.tokens):
            return None
        if self.phrase(j, "equal"):
            return self.equal(j, j)
        inner = self.core(j)
        return self.trailing(inner, "before") if inner else None

    def trailing(self, measure: Measure, each: str) -> Measure:
        """What may follow an amount: 'each', the same amount in brackets, 'by measure', 'if you like'."""
        j = self.skip(measure.last)
        if j < len(self.tokens) and self.tokens[j].kind == "open" and (also := self.bracketed(j)):
            measure = replace(measure, also=(*measure.also, (also[0].amount, also[0].unit), *also[0].plus), last=also[1])
            j = self.skip(measure.last, ("gap",))
        j = self.skip(measure.last)
        comma = j < len(self.tokens) and self.tokens[j].text == ","
        k = self.skip(j + 1) if comma else j
        if not each and measure.kind not in ("same", "equal") and (marker := self.phrase(k, "each")):
            closes = marker[1] >= len(self.tokens) or self.tokens[marker[1]].kind != "word"
            if not self.after_each(marker[1]) and (not comma or closes):
                measure = replace(measure, each="after", last=marker[1])
        k = self.skip(measure.last)
        if k < len(self.tokens) and self.tokens[k].text == ",":
            k = self.skip(k + 1)
        if (system := self.phrase(k, "system")) and not self.after_system(system[1]):
            measure = replace(measure, system=system[0].value, last=system[1])
            return measure if measure.each else self.trailing(measure, each)  # '15 parts, by weight, each'
        return measure

    def bracketed(self, i: int) -> tuple[Measure, int] | None:
        """A bracket that holds one amount and nothing else."""
        k = approx[1] if (approx := self.phrase(i + 1, "approx")) else i + 1
        inner = self.sign_first(k) or self.number_first(k)
        if inner is None or inner.kind != "plain":
            return None
        j = inner.last
        while j < len(self.tokens) and self.tokens[j].text == ".":
            j += 1
        return (inner, j + 1) if j < len(self.tokens) and self.tokens[j].kind == "close" else None
