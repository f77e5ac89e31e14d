"""Amounts in words: q.s. and its kin, 'a little', 'the same quantity', 'equal parts', 'to make 6 ounces', 'perfumed with'."""

from __future__ import annotations

from dataclasses import replace

from histkit.base.nouns import Amount, Doubt
from histkit.reading.counted import Counted
from histkit.reading.measure import Measure
from histkit.reading.vocabulary import Phrase, direction_words, other_units, units, word_list

_NOT_A_NAME = word_list("no-name")
PURPOSES = ("colo", "perfum", "scent", "flavo", "tint", "fill", "cover")
"""The stems of 'coloured with', 'perfume, when cool, with' and their like."""


class Worded(Counted):
    """Reads an amount of any shape at one token."""

    def core(self, i: int) -> Measure | None:
        if self.phrase(i, "same"):  # 'half the quantity' begins like a figure
            return self.worded(i) or self.number_first(i)
        return self.sign_first(i) or self.number_first(i) or self.worded(i)

    def equal(self, i: int, start: int) -> Measure:
        phrase = self.phrase(i, "equal")
        assert phrase is not None
        words, j = phrase[0].words, phrase[1]
        following = self.word(j)
        named = bool(following) and following not in _NOT_A_NAME and following not in direction_words()
        each = "after" if words[-1] == "of" or self.word(self.skip(j)) == "of" or named else "before"
        doubt = Doubt("amount", "Equal parts: the size of a part is not printed; one part of each is taken.")
        kind = "equal"
        if more := self.phrase(self.skip(j), "qs", "make"):
            return Measure(start, self.past_purpose(more[1]), None, "q.s.", kind="qs", each=each)
        return Measure(start, j, 1.0, "part", kind=kind, each=each, doubts=(doubt,))

    def worded(self, i: int) -> Measure | None:
        """q.s. and its kin, 'a little', 'a few drops', 'the same quantity', 'to make 6 ounces', 'perfumed with'."""
        if i >= len(self.tokens):
            return None
        if (purpose := self.purpose(i)) is not None:
            return purpose
        token = self.tokens[i]
        if token.kind != "word":
            return None
        if token.word == "to" and i and self.tokens[i - 1].kind in ("word", "gap", "close") and (column := self.column_total(i)):
            return column
        if (
            token.word == "to"
            and i + 1 < len(self.tokens)
            and self.tokens[i + 1].kind == "gap"
            and i
            and (self.tokens[i - 1].kind in ("word", "close") or (i > 1 and self.tokens[i - 1].kind == "gap"))
        ):
            return self.total(i, i + 1, Phrase(("to",), "make", ""))  # 'Alcohol to     3 ounces'
        if token.word == "to" and (whole := self.total_after_name(i)):
            return whole
        found = self.phrase(i, "qs", "qs-each", "some", "few", "piece", "same", "make", "sized")
        if found is None:
            return None
        phrase, j = found
        if phrase.kind == "sized":
            doubt = Doubt("amount", f"{' '.join(phrase.words)!r} gives no weight.")
            return Measure(i, j, None, "none", kind="sized", doubts=(doubt,))
        if phrase.kind == "make":
            return self.total(i, j, phrase)
        if phrase.kind in ("qs", "qs-each"):
            if phrase.words == ("any",) and (self.word(self.skip(j)) in _NOT_A_NAME or self.word(i - 1) == "or"):
                return None
            if phrase.words[-1] in ("enough", "sufficient", "sufficiency") and not self.suffices(i, j):
                return None
            return self.sufficient(i, j, phrase)
        if phrase.kind == "piece":
            return Measure(i, j, 1.0, "piece")
        if phrase.kind == "few":
            unit = self.unit(self.skip(j))
            following = self.word(self.skip(j))
            said = "A few" if phrase.words == ("few",) else phrase.words[0].capitalize()
            doubt = Doubt("amount", f"{said!r} gives no figure.")
            if unit is None and following and following not in _NOT_A_NAME and following not in other_units():
                return Measure(i, j, None, "none", kind="some", doubts=(doubt,))  # 'a few cloves'
            if unit is None:
                return None
            return Measure(i, unit[2], None, unit[0], kind="few", doubts=(doubt,))
        if phrase.kind == "some":
            following = self.word(self.skip(j))
            if (
                not following
                or following in _NOT_A_NAME
                or (following == "of" and self.word(self.skip(self.skip(j) + 1)) in ("it", "them", "this"))
            ):
                return None
            if phrase.words == ("some",) and other_units().get(self.word(self.skip(j))):
                return None
            if phrase.words == ("any",) and self.word(self.skip(j)) in ("other", "others", "more", "one", "of"):
                return None
            doubt = Doubt("amount", f"{' '.join(phrase.words)!r} gives no figure.")
            return Measure(i, j, None, "none", kind="some", doubts=(doubt,))
        # same
        if phrase.words == ("as", "much") and (qs := self.as_much_as(j)):
            return qs
        if phrase.words == ("the", "like") and not self.word(self.skip(j)):
            return None
        if phrase.words in (("ditto",), ("do",), ("same",)) and not self.ends_an_entry(i, j):
            return None
        if phrase.words == ("another",) and self.word(self.skip(j)) != "of":
            return None
        ends = self.tokens[j - 1].dot or self.word(self.skip(j, ("gap",))) == ""
        listed = i > 1 and self.tokens[i - 1].text == ","  # 'chalk 1 oz., starch, the same.'
        if phrase.words == ("the", "same") and not ends and self.word(self.skip(j, ("gap",))) != "of":
            return None
        if phrase.words == ("the", "same") and ends and not listed:
            named = i > 0 and self.tokens[i - 1].kind == "word"
            doubt = Doubt("amount", "'The same' refers to another formula of the book, not printed here.")
            return Measure(i, j, None, "q.s.", kind="qs", doubts=(doubt,)) if named else None
        factor = float(phrase.value)
        doubt = Doubt(
            "amount",
            f"{' '.join(phrase.words)!r} refers back to the amount before it.",
            (),
            "If it refers to another, this line changes.",
        )
        return Measure(i, j, factor, "", kind="same", doubts=(doubt,))

    def ends_an_entry(self, i: int, j: int) -> bool:
        """Whether 'do.' or 'ditto' at i stands where an amount would: after a name, at the end of a line or a clause."""
        following = self.tokens[j] if j < len(self.tokens) else None
        # 'orris ditto, cloves 1 oz.' repeats the amount; in 'bitter ditto, oz. 1' it stands for the name
        listed = following is not None and following.text == "," and self.core(self.skip(j + 1)) is None
        if not listed and following is not None and following.kind not in ("line", "para") and following.text not in (";", "."):
            return False
        k = i - 1
        while k >= 0 and (self.tokens[k].kind == "gap" or self.tokens[k].text == ","):
            k -= 1
        written = self.word(i) in ("ditto", "same") or self.tokens[i].dot
        after_comma = self.word(i) != "same" or (i > 0 and self.tokens[i - 1].text == ",")
        return written and after_comma and k >= 0 and self.tokens[k].kind in ("word", "close")

    def total_after_name(self, i: int) -> Measure | None:
        """'rose water, to 10 fl. oz.', 'talc, to 100.', 'water to 8 oz.': after a name, and nothing after it in its clause."""
        comma = i > 0 and self.tokens[i - 1].text == ","
        before = self.tokens[i - 1 - comma] if i > comma else None
        if before is None or before.kind not in ("word", "close") or before.word in units() or before.word in direction_words():
            return None
        inner = self.number_first(self.skip(i + 1))
        bare = inner is not None and inner.kind == "bare" and comma
        if inner is None or not (inner.kind == "plain" or bare) or inner.article or inner.plus or isinstance(inner.amount, tuple):
            return None
        if not self.ends_clause(inner.last):
            return None
        to_make = (inner.amount, inner.unit)
        return Measure(i, inner.last, None, "q.s.", kind="qs", to_make=to_make, system=inner.system, doubts=inner.doubts)

    def column_total(self, i: int) -> Measure | None:
        """'to 100.00 | to 4 ounces' at the end of a row: a total in parts."""
        figure = self.tokens[i + 1] if i + 1 < len(self.tokens) else None
        if figure is None or figure.kind != "num" or figure.value < 20:
            return None
        k = self.skip(i + 2, ("gap",))
        if k < len(self.tokens) and self.tokens[k].kind not in ("line", "para", "sep") and self.word(k) != "to":
            return None
        also: tuple[tuple[Amount, str], ...] = ()
        if self.word(k) == "to" and (second := self.number_first(k + 1)):
            also, k = ((second.amount, second.unit),), second.last
        return Measure(i, k, None, "q.s.", kind="qs", to_make=(figure.value, "part"), also=also)

    def suffices(self, i: int, j: int) -> bool:
        """Whether 'enough' or 'sufficient' speaks of an ingredient: 'boiled enough when', 'sufficient in a glass' do not."""
        k = self.skip(j)
        following = self.word(k)
        if following in ("to", "for", "of", "with", "each"):
            return True
        if not following:
            return self.word(i - 1) not in ("is", "boiled", "be", "thick")
        return following not in _NOT_A_NAME and self.phrase(i, "qs") is not None and self.tokens[i].word != "enough"

    def as_much_as(self, j: int) -> Measure | None:
        """'as much rose water as they will absorb': as much as suffices, the name in the midst."""
        k, name_words = self.skip(j), 0
        while k < len(self.tokens) and name_words < 7:
            word = self.word(k)
            if word == "as" and name_words:
                return Measure(j - 2, j, None, "q.s.", kind="qs", reach=k)
            if self.tokens[k].kind not in ("word", "line", "gap"):
                return None
            name_words += self.tokens[k].kind == "word"
            k += 1
        return None

    def total(self, i: int, j: int, phrase: Phrase) -> Measure | None:
        """'to make 6 ounces', 'ad ℥vj': a total, not an amount."""
        k = j
        while k < len(self.tokens) and (self.tokens[k].kind in ("gap", "line") or self.tokens[k].text in (".", ",")):
            k += 1
        inner = self.sign_first(k) or self.number_first(k)
        if inner is None and len(phrase.words) > 1 and "make" in phrase.words:
            if phrase.words[0] == "to":
                return None
            return Measure(i, self.past_purpose(j), None, "q.s.", kind="qs")
        if inner is not None and inner.kind == "bare" and "make" in phrase.words and self.tokens[k - 1].kind == "gap":
            after = self.skip(inner.last, ("gap",))
            if after < len(self.tokens) and self.tokens[after].kind == "ditto":  # 'French chalk to make ..... 8  "'
                return Measure(i, after + 1, None, "q.s.", kind="qs", to_make=(inner.amount, ""))
        if inner is not None and inner.kind == "bare" and phrase.words[-1] == "ad" and self.ends_clause(inner.last):
            told = "The total has no unit; it is taken in the unit before it."
            doubt = Doubt("unit", told, (), "Another unit would change it.")
            return Measure(i, inner.last, None, "q.s.", kind="qs", to_make=(inner.amount, ""), doubts=(doubt,))
        if inner is None or inner.kind == "bare":
            return None
        to_make, last, reach = (inner.amount, inner.unit), inner.last, 0
        after = self.skip(last)
        if self.word(after) == "with" and self.core(self.skip(after + 1)) is None:
            last, reach = after + 1, -1  # 'make up 4 ounces with rose water'
        elif phrase.words == ("make", "up"):
            return None
        return Measure(i, last, None, "q.s.", kind="qs", to_make=to_make, system=inner.system, doubts=inner.doubts, reach=reach)

    def sufficient(self, i: int, j: int, phrase: Phrase) -> Measure | None:
        each = "before" if phrase.kind == "qs-each" else ""
        k = j
        while k < len(self.tokens) and (self.tokens[k].kind == "gap" or self.tokens[k].text in (".", ",")):
            k += 1
        make = self.phrase(k, "make")
        if (make or self.word(k) == "to") and (
            total := self.total(k, make[1] if make else k + 1, make[0] if make else Phrase(("to",), "make", ""))
        ):
            return replace(total, first=i, each=each)
        if self.word(k) in ("quantity", "quantities"):
            j = k + 1
        if phrase.words[0] in ("to",) and phrase.words[1:] == ("suit",):
            j = self.past_purpose(j)
        closing = self.phrase(self.skip(j), "each")
        if closing:
            each, j = "before", closing[1]
        if self.word(self.skip(j)) in ("to", "for", "as", "that") or phrase.words[:3] in (
            ("as", "much", "as"),
            ("so", "much", "as"),
        ):
            j = self.past_purpose(j)
        return Measure(i, j, None, "q.s.", kind="qs", each=each)

    def past_purpose(self, j: int) -> int:
        """Past 'to form a paste', 'as to impart a flavour': up to the next separator or line of a column."""
        while j < len(self.tokens):
            token = self.tokens[j]
            if token.kind == "line" and not self.goes_on(j + 1):
                break
            if token.kind in ("para", "brace") or (token.kind == "sep" and token.text in (";", ":", ".", ",")):
                break
            if token.kind == "word" and token.dot and j + 1 < len(self.tokens) and self.tokens[j + 1].kind in ("line", "para"):
                return j + 1
            j += 1
        return j

    def goes_on(self, i: int) -> bool:
        """Whether a printed line begins in small letters, as the second line of a sentence does and no new entry."""
        k = self.skip(i)
        return k < len(self.tokens) and self.tokens[k].kind == "word" and self.tokens[k].text[:1].islower()

    def purpose(self, i: int) -> Measure | None:
        """'coloured with', 'perfume, when cool, with', 'flavor with', 'fill up with': the amount is as much as suffices."""
        stem = self.word(i)
        if not stem.startswith(PURPOSES):
            return None
        if stem == "fill" and self.word(i + 1) != "up":
            return None
        j, words = i + 1, 0
        while j < len(self.tokens) and words < 5:
            word = self.word(j)
            if word == "with":
                after = self.skip(j + 1)
                if self.word(after) in ("this", "these", "the", "it", "them") or self.core(after) is not None:
                    return None
                return Measure(i, j + 1, None, "q.s.", kind="qs", reach=-1)
            if self.tokens[j].kind not in ("word", "gap", "line") and self.tokens[j].text != ",":
                return None
            if self.tokens[j].kind == "word":
                words += 1
                if self.number(j) or word in ("and", "of", "or"):
                    return None
            j += 1
        return None
