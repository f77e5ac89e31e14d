"""Tokens → measures: every place where an amount is printed, in whatever notation.

A measure knows the tokens it covers, its figure(s) and canonical unit, whether it speaks of several things ('of each'),
and what is doubtful about it. To which name it belongs is decided later (`assigning`).
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cache

from histkit.model import Amount, Doubt, amount_text, times
from histkit.reading.tokens import Token, roman
from histkit.reading.vocabulary import Phrase, direction_words, numbers, other_units, phrases, units, word_list, worn_figures

SIGN_UNITS = {
    "℥": "ounce", "ʒ": "drachm", "℈": "scruple", "♏": "minim", "℔": "pound", "O": "pint",
    "f℥": "fluid ounce", "fʒ": "fluid drachm", "f♏": "minim", "f℈": "scruple",
}  # fmt: skip
PREFIXED = word_list("before-numeral")
"""Unit words that may stand before their numeral: 'gr. x', 'lb. ij', 'uncias duas'."""
_PREFIX_ONLY = {"m": "minim", "o": "pint", "c": "gallon", "cong": "gallon", "floz": "fluid ounce", "fldr": "fluid drachm"}
_ORDER = {u: i for i, u in enumerate(("grain", "scruple", "drachm", "ounce", "pound"))}
_ORDER |= {u: i for i, u in enumerate(("minim", "fluid drachm", "fluid ounce", "gill", "pint", "quart", "gallon"))}
_ORDER |= {u: i for i, u in enumerate(("milligram", "centigram", "gram", "kilogram"))}
_WEIGHTS = ("grain", "scruple", "drachm", "ounce", "pound")
_METRIC = ("milligram", "centigram", "gram", "kilogram")
FLUIDS = ("minim", "fluid drachm", "fluid ounce", "gill", "pint", "quart", "gallon")
# How many of the smaller unit a larger one holds, where the ratio is the same in every system that has both.
_RATIOS = {
    ("ounce", "drachm"): 8, ("drachm", "scruple"): 3, ("drachm", "grain"): 60, ("scruple", "grain"): 20, ("ounce", "scruple"): 24,
    ("fluid ounce", "fluid drachm"): 8, ("fluid drachm", "minim"): 60, ("fluid ounce", "minim"): 480,
    ("minim", "fluid drachm"): 1 / 60, ("quart", "pint"): 2, ("gallon", "quart"): 4, ("gallon", "pint"): 8,
}  # fmt: skip
_NOT_BEFORE_FIGURE = word_list("not-before-figure")
_NOT_A_NAME = word_list("no-name")


@dataclass(frozen=True, slots=True)
class Measure:
    """Tokens `first` up to but not including `last` print this amount.

    `kind`: plain, bare (a figure without a unit), qs, some, same (a reference back, `amount` is the factor), equal,
    rate, portion (of what stands above), percent, ditto, column.
    `each`: "", "before" (of each 2 oz), "after" (2 oz of each).
    """

    first: int
    last: int
    amount: Amount
    unit: str
    kind: str = "plain"
    plus: tuple[tuple[Amount, str], ...] = ()
    to_make: tuple[Amount, str] | None = None
    also: tuple[tuple[Amount, str], ...] = ()
    each: str = ""
    system: str = ""
    approximate: bool = False
    optional: bool = False
    article: bool = False
    reach: int = 0
    """For a phrase such as 'perfumed with': where the amount words end and the name begins."""
    doubts: tuple[Doubt, ...] = ()
    steps: tuple[str, ...] = ()


@cache
def _phrases() -> dict[str, tuple[Phrase, ...]]:
    return dict(phrases())  # a plain dict answers faster than a read-only view of one


@cache
def _first_words() -> frozenset[str]:
    """Every word with which an amount may begin."""
    own = {"from", "no", "to"}
    return frozenset(own.union(phrases(), numbers(), PREFIXED, worn_figures()))


_PURPOSES = ("colo", "perfum", "scent", "flavo", "tint", "fill", "cover")
"""The stems of 'coloured with', 'perfume, when cool, with' and their like."""


def _may_begin(token: Token) -> bool:
    """Whether an amount could begin here. Most words of a text name things and need no closer look."""
    if token.kind != "word":
        return token.kind in ("num", "sign", "open") or token.text in ("—", "-", "–", "£")
    word = token.word
    if word in _first_words() or "-" in word or token.text.isupper():
        return True
    return word.startswith(_PURPOSES) or _SMALL_ROMAN.issuperset(word)


LOOK_AHEAD = 64
"""How far beyond the last token a look ahead may reach: more than the words of the longest amount."""
_SMALL_ROMAN = frozenset("ivxj")


@dataclass(slots=True)
class Scanner:
    """Reads measures out of one list of tokens; holds no state but the list."""

    tokens: list[Token]
    depth: list[int] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    """The word of each token, "" where it is none."""
    solid: list[int] = field(default_factory=list)
    """For each token, the first at or after it that is neither gap nor line end."""
    mixes_hyphens: bool = False
    """Whether the text prints '2 1-2 oz.' or '3-4 oz.': then its other '1-2' are halves too and no ranges."""

    def __post_init__(self) -> None:
        end = len(self.tokens)
        beyond = range(end, end + LOOK_AHEAD)
        self.words = [*(token.word if token.kind == "word" else "" for token in self.tokens), *("" for _ in beyond)]
        following = len(self.tokens)
        solid = []
        for i in range(len(self.tokens) - 1, -1, -1):
            following = following if self.tokens[i].kind in ("gap", "line") else i
            solid.append(following)
        self.solid = [*reversed(solid), *beyond]
        found = [i for i, t in enumerate(self.tokens) if t.kind == "num" and self.hyphen_fraction(i) is not None]
        mixed = any(i and self.tokens[i - 1].kind == "num" and self.tokens[i - 1].value >= 1 for i in found)
        units_after = [self.unit(i + 3) for i in found if self.tokens[i + 2].text in ("4", "8", "16")]
        self.mixes_hyphens = mixed or any(unit is not None and unit[0] not in ("drop", "part") for unit in units_after)
        level = 0
        for token in self.tokens:
            if token.kind == "close":
                level = max(0, level - 1)
            self.depth.append(level + (token.kind == "close"))
            if token.kind == "open":
                level += 1
                self.depth[-1] = level
            if token.kind == "para":
                level = 0
        if level:  # an unclosed bracket must not swallow the rest of the text
            self.depth = [0] * len(self.tokens)

    # -- small looks ahead ----------------------------------------------------------------------------------------------

    def skip(self, i: int, kinds: tuple[str, ...] = ()) -> int:
        """The first token at or after i that is none of `kinds`; as a rule, neither gap nor line end."""
        if not kinds:
            return self.solid[i]
        while i < len(self.tokens) and self.tokens[i].kind in kinds:
            i += 1
        return i

    def word(self, i: int) -> str:
        return self.words[i]

    def phrase(self, i: int, *kinds: str) -> tuple[Phrase, int] | None:
        """The longest known phrase of one of `kinds` that begins at token i, and the token after it."""
        first = self.words[i]
        if not first or (known := _phrases().get(first)) is None:
            return None
        for phrase in known:
            if kinds and phrase.kind not in kinds:
                continue
            j = i + 1
            for wanted in phrase.words[1:]:
                j = self.skip(j)
                if self.word(j) != wanted:
                    break
                j += 1
            else:
                return phrase, j
        return None

    # -- figures --------------------------------------------------------------------------------------------------------

    def number(self, i: int) -> tuple[float, int, str] | None:
        """(value, next token, flavour) of the figure at token i; flavour is digit, word, article or fraction."""
        if i >= len(self.tokens):
            return None
        token = self.tokens[i]
        if token.kind == "num":
            value, j = token.value, i + 1
            following = self.tokens[j] if j < len(self.tokens) else None
            if (
                following
                and following.kind == "num"
                and 0 < following.value < 1
                and value == int(value)
                and "." not in following.text
            ):
                return value + following.value, j + 1, "digit"
            if value == int(value) and (part := self.hyphen_fraction(j)) is not None and self.mixes_hyphens:
                return value + part, j + 3, "digit"
            fraction = self.of_article(j) if value < 1 else j  # '¼ of an ounce', '½ an ounce'
            return value, fraction, "digit"
        if token.text in worn_figures() and self.unit_word(self.skip(i + 1, ("gap",))):
            return worn_figures()[token.text].value, i + 1, "digit"
        if token.kind != "word":
            return None
        parts = token.word.split("-") if "-" in token.word else [token.word]
        known = numbers()
        if len(parts) > 1:
            return self.hyphenated(parts, i)
        entry = known.get(token.word)
        if entry is None:
            # 'X gouttes', 'XX drops', 'iv oz.': a Roman numeral before a unit
            small = set(token.text) <= set("ivxj") and self.unit_word(self.skip(i + 1, ("gap",)))
            small |= len(token.text) > 1 and set(token.text) <= set("ivxj") and self.word(self.skip(i + 1, ("gap",))) == "m"
            capital = token.text.isupper() and self.unit(self.skip(i + 1, ("gap",)))
            numeral = roman(token.word) if small or capital else None
            return (numeral[0], i + 1, "digit") if numeral else None
        if entry.kind == "article":
            return self.after_article(i)
        if entry.kind == "fraction":
            if token.word.startswith("half") and self.word(self.of_article(i + 1)) == "dozen":
                return 6.0, self.of_article(i + 1) + 1, "word"
            return entry.value, self.of_article(i + 1), "fraction"
        return self.cardinal(i, entry.value, entry.kind)

    def hyphen_fraction(self, i: int) -> float | None:
        """The value of '1-2', '3-4', '1-8' at token i, set tight as typewriters set ½, ¾ and ⅛; None for anything else."""
        if i + 2 >= len(self.tokens):
            return None
        over, hyphen, under = self.tokens[i : i + 3]
        tight = over.kind == under.kind == "num" and hyphen.text == "-" and over.end == hyphen.start and hyphen.end == under.start
        if not tight or not over.text.isdigit() or under.text not in ("2", "3", "4", "8", "16") or over.value >= under.value:
            return None
        return over.value / under.value

    def hyphenated(self, parts: list[str], i: int) -> tuple[float, int, str] | None:
        """'three-fourths', 'one-half', 'twenty-five', 'half-a' (of 'half-a-drachm', where the unit is in the same token)."""
        known = numbers()
        values = [known.get(part) for part in parts]
        if len(parts) == 2 and values[0] and values[1]:
            one, two = values[0], values[1]
            if two.kind == "fraction" and one.kind in ("number", "article"):
                return one.value * two.value, self.of_article(i + 1), "fraction"
            if one.kind == "number" and two.kind == "number" and one.value >= 20 > two.value:
                return one.value + two.value, i + 1, "word"
            if one.kind == "fraction" and two.kind == "article":
                return one.value, i + 1, "fraction"
            if two.kind == "scale" and one.kind in ("number", "article"):
                return one.value * two.value, i + 1, "word"
        if len(parts) == 3 and parts[1] == "and" and values[0] and values[2] and values[2].kind == "number":
            return values[0].value + values[2].value, i + 1, "word"
        return None

    def of_article(self, i: int) -> int:
        """Past 'of a', 'of an', 'a', 'an' after a fraction."""
        j = self.skip(i)
        if self.word(j) in ("of", "d'une", "d'un"):
            k = self.skip(j + 1)
            if self.word(k) in ("a", "an", "one"):
                return k + 1
            return i
        if self.word(j) in ("a", "an"):
            return j + 1
        return i

    def after_article(self, i: int) -> tuple[float, int, str]:
        j = self.skip(i + 1)
        entry = numbers().get(self.word(j))
        if entry and entry.kind == "fraction":
            return entry.value, self.of_article(j + 1), "fraction"
        if entry and entry.kind == "scale":
            return entry.value, j + 1, "word"
        if self.word(j) == "couple":
            k = self.skip(j + 1)
            return 2.0, k + 1 if self.word(k) == "of" else k, "word"
        if j < len(self.tokens) and self.tokens[j].kind == "num" and self.tokens[j].value < 1:
            return self.tokens[j].value, self.of_article(j + 1), "fraction"
        return 1.0, i + 1, "article"

    def cardinal(self, i: int, value: float, kind: str) -> tuple[float, int, str]:
        known = numbers()
        j, total = i + 1, 0.0
        current = value
        while True:
            k = self.skip(j, ("line",))
            word = self.word(k)
            entry = known.get(word)
            if word == "and":
                after = self.skip(k + 1, ("line",))
                entry = known.get(self.word(after))
                tens = entry and entry.kind == "number" and current < 10 <= entry.value and entry.value % 10 == 0
                hundreds = entry and entry.kind == "number" and current >= 100 and entry.value < 100
                if not tens and not hundreds:
                    break
                k = after
            if not entry:
                break
            if entry.kind == "scale" and current:
                current *= entry.value
            elif (entry.kind == "number" and current >= 20 and entry.value < 10 and current % 10 == 0) or (
                entry.kind == "number" and current < 10 and entry.value >= 20
            ):
                current += entry.value
            elif entry.kind == "fraction" and not total and current < 20 and (word != "half" or current == 1):
                return current * entry.value, self.of_article(k + 1), "fraction"
            else:
                break
            j = k + 1
        return total + current, j, "word"

    def and_fraction(self, i: int, after_unit: bool) -> tuple[float, int] | None:
        """'and a half', 'and three-quarters', '& ½' after a whole number or after its unit."""
        j = self.skip(i, ("line",))
        if not (self.word(j) in ("and", "et", "und") or (j < len(self.tokens) and self.tokens[j].text == "&")):
            return None
        found = self.number(self.skip(j + 1, ("line",)))
        if found is None or not 0 < found[0] < 1:
            return None
        value, k, _ = found
        if self.unit(self.skip(k)) is not None and after_unit:
            return None  # 'a pound and half an ounce' is two amounts, not a pound and a half
        if self.unit(self.skip(k)) is None and not after_unit:
            return None  # 'two and a half' is an amount only before its unit
        return value, k

    def amount(self, i: int) -> tuple[Amount, int, str] | None:
        """A figure or a range of two."""
        found = self.number(i)
        if found is None:
            return None
        low, j, flavour = found
        if flavour in ("digit", "word") and (more := self.and_fraction(j, after_unit=False)):
            low, j = low + more[0], more[1]
        k = self.skip(j)
        separator = self.tokens[k] if k < len(self.tokens) else None
        joins = separator is not None and (
            separator.word in ("to", "or", "bis", "à") or (separator.kind == "sep" and separator.text in ("–", "-", "—"))
        )
        if joins and flavour != "article":
            second = self.number(self.skip(k + 1))
            if second and second[2] != "article":
                high, after, kind = second
                if kind in ("digit", "word") and (more := self.and_fraction(after, after_unit=False)):
                    high, after = high + more[0], more[1]
                if high != low:
                    return (min(low, high), max(low, high)), after, flavour
        return low, j, flavour

    # -- units ----------------------------------------------------------------------------------------------------------

    def unit(self, i: int) -> tuple[str, float, int, str] | None:
        """(unit, factor, next token, system) of the unit word or sign at token i, past words such as 'fluid', '(av.)', 'good'."""
        system = ""
        fluid = False
        for _ in range(4):
            if i >= len(self.tokens):
                return None
            token = self.tokens[i]
            if (
                token.kind == "open"
                and self.tokens[min(i + 2, len(self.tokens) - 1)].kind == "close"
                and (q := self.phrase(i + 1, "qualifier"))
            ):
                system, i = q[0].value or system, self.skip(i + 3)
                continue
            if token.kind == "sign" and token.word in SIGN_UNITS:
                following = self.tokens[i + 1] if i + 1 < len(self.tokens) else None
                if following is not None and following.start == token.end and following.kind in ("word", "num"):
                    return None  # the sign has a figure of its own behind it
                return SIGN_UNITS[token.word], 1.0, i + 1, "apothecaries"
            if token.kind != "word":
                return None
            qualified = self.phrase(i, "qualifier")
            if qualified and self.unit_after_qualifier(qualified[1]):
                fluid |= qualified[0].value == "fluid"
                if qualified[0].value not in ("", "fluid"):
                    system = qualified[0].value
                i = self.skip(qualified[1])
                continue
            known = units().get(token.word)
            if known is None:
                return None
            unit = known.unit
            if fluid and unit in ("ounce", "drachm"):
                unit = f"fluid {unit}"
            after = i + 1
            trailing = self.phrase(after, "qualifier")
            if trailing and trailing[0].value in ("avoirdupois", "apothecaries", "imperial"):
                system, after = trailing[0].value, trailing[1]
            elif (
                after + 2 < len(self.tokens)
                and self.tokens[after].kind == "open"
                and (q := self.phrase(after + 1, "qualifier"))
                and q[1] < len(self.tokens)
                and self.tokens[q[1]].kind == "close"
            ):
                system, after = q[0].value or system, q[1] + 1
            if system == "fluid":  # '1 oz. (fluid)'
                unit, system = (f"fluid {unit}" if unit in ("ounce", "drachm") else unit), ""
            return unit, known.factor, after, system
        return None

    def unit_word(self, i: int) -> bool:
        """Whether a whole unit word or its usual abbreviation stands at token i: none of the single letters."""
        return len(self.word(i)) > 1 and self.unit(i) is not None

    def unit_after_qualifier(self, i: int) -> bool:
        i = self.skip(i)
        word = self.word(i)
        return word in units() or word in ("floz", "fldr") or self.phrase(i, "qualifier") is not None

    # -- measures -------------------------------------------------------------------------------------------------------

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

    def placed(self, start: int, i: int, measure: Measure) -> Measure:
        """The amount read at token i, with what precedes it from `start` and what may follow it."""
        if self.refers_to_whole(measure):
            return replace(measure, first=start, kind="portion")
        if self.names_a_vessel(i, measure):
            return replace(measure, first=start, kind="rate")
        return self.trailing(measure if measure.first == start else replace(measure, first=start), "")

    def begins_clause(self, i: int) -> bool:
        """Whether token i is the first of its text, paragraph, sentence or clause."""
        j = i - 1
        while j >= 0 and self.tokens[j].kind in ("gap", "line"):
            j -= 1
        if j < 0:
            return True
        token = self.tokens[j]
        return token.kind == "para" or token.text in (".", ";", ":") or (token.dot and token.word not in units())

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
        if self.word(j) != "of" or self.word(article) not in ("this", "these", "the") or self.word(self.skip(noun + 1)) == "of":
            return False
        return self.word(noun) in word_list("whole")

    def names_a_vessel(self, i: int, measure: Measure) -> bool:
        """'in a pint bottle', 'through a piece of lace'."""
        before = next((t for t in reversed(self.tokens[max(0, i - 2) : i]) if t.kind == "word"), None)
        if before is None or measure.kind not in ("plain", "some"):
            return False
        j = self.skip(measure.last)
        if before.word in ("in", "into", "through") and measure.article and self.word(j) not in ("of", ""):
            return True
        return before.word in ("through", "or") and measure.unit == "piece"

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

    def core(self, i: int) -> Measure | None:
        if self.phrase(i, "same"):  # 'half the quantity' begins like a figure
            return self.worded(i) or self.number_first(i)
        return self.sign_first(i) or self.number_first(i) or self.worded(i)

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

    def equal(self, i: int, start: int) -> Measure:
        phrase = self.phrase(i, "equal")
        assert phrase is not None
        words, j = phrase[0].words, phrase[1]
        each = "after" if words[-1] == "of" or self.word(self.skip(j)) == "of" else "before"
        doubt = Doubt("amount", "Equal parts: the size of a part is not printed; one part of each is taken.")
        kind = "equal"
        if more := self.phrase(self.skip(j), "qs", "make"):
            return Measure(start, self.past_purpose(more[1]), None, "q.s.", kind="qs", each=each)
        return Measure(start, j, 1.0, "part", kind=kind, each=each, doubts=(doubt,))

    def sign_first(self, i: int) -> Measure | None:
        """'℥ij', 'ʒ ss.', 'gr. x-xxx', 'f℥iss', 'lb. ij', 'uncias duas', '℥ ss.--ʒij'."""
        token = self.tokens[i] if i < len(self.tokens) else None
        if token is None:
            return None
        if token.kind == "sign" and token.word in SIGN_UNITS:
            unit, system = SIGN_UNITS[token.word], "apothecaries"
        elif token.word == "no" and self.counts_pieces(i):
            unit, system = "piece", ""  # 'Caryophyll. No. vj.'
        elif token.kind == "word" and token.word in PREFIXED:
            known = units().get(token.word)
            unit = _PREFIX_ONLY.get(token.word) or (known.unit if known else "")
            system = ""
        else:
            return None
        k = self.skip(i + 1, ("gap",))
        number = numbers().get(self.word(k))
        latin = number is not None and number.language == "la"  # 'unc. duas'; but not 'oz. one'
        figure = self.prefix_figure(k, word_allowed=token.kind == "word" and (len(token.word) > 4 or latin))
        if figure is None or (
            token.kind == "word" and len(token.word) <= 2 and not figure[3] and not token.dot and token.word in ("m", "o", "c")
        ):
            return None
        amount, j, odd, is_roman = figure
        if is_roman and token.text == "M" and set(self.word(k)) & set("mdc"):
            return None  # 'M.D.S.' is misce, da, signa
        if token.kind == "word" and not is_roman and len(token.word) <= 4 and self.unit(self.skip(j, ("gap",))):
            return None  # 'lb. 2 oz.': the figure belongs to the next unit
        doubts: list[Doubt] = []
        if token.damaged:
            doubts.append(
                Doubt(
                    "unit",
                    f"The sign is printed or scanned as {token.damaged!r}; read as the {unit} sign.",
                    (f"the figure {token.damaged}",),
                    "The figure would make another amount altogether.",
                )
            )
        if odd:
            doubts.append(
                Doubt(
                    "amount",
                    f"The numeral is damaged or oddly set: {self.tokens[j - 1].text!r}.",
                    (odd,),
                    "It changes the amount of this line.",
                )
            )
        amount, unit, j, joined = self.range_over_units(amount, unit, j)
        plus: tuple[tuple[Amount, str], ...] = ()
        if not joined:
            k = self.skip(j, ("gap",))
            more = self.sign_first(k) if k < len(self.tokens) else None
            if more and more.kind == "plain" and not more.plus and self.smaller(more.unit, unit):
                plus, j = ((more.amount, more.unit),), more.last
        steps = (f"The sign or abbreviation {token.text!r} is the {unit}.",)
        return Measure(i, j, amount, unit, plus=plus, system=system, doubts=tuple(doubts), steps=steps)

    def counts_pieces(self, i: int) -> bool:
        """'Caryophyll. No. vj.' counts six; 'Solution No. ii.' and 'Carmine No. 40' count nothing."""
        before = self.tokens[i - 1] if i else None
        figure = self.tokens[i + 1] if i + 1 < len(self.tokens) else None
        if before is None or figure is None or before.kind != "word" or not (before.dot and self.tokens[i].dot):
            return False
        return figure.text.islower() and roman(figure.word) is not None

    def prefix_figure(self, i: int, word_allowed: bool) -> tuple[Amount, int, str, bool] | None:
        """The figure after a sign: Roman, digits, a range, or Latin words."""
        if i >= len(self.tokens):
            return None
        token = self.tokens[i]
        if token.kind == "num":
            found = self.amount(i)
            if found:
                next_token = self.tokens[found[1]] if found[1] < len(self.tokens) else None
                if next_token and next_token.kind == "word" and next_token.word in ("ss", "ß"):
                    return (found[0] + 0.5 if isinstance(found[0], float) else found[0]), found[1] + 1, "", False
                return found[0], found[1], "", False
            return None
        if token.kind != "word":
            return None
        pieces = token.word.split("-")
        values = [roman(piece) for piece in pieces]
        if all(values) and len(values) <= 2:
            low = values[0]
            assert low is not None
            value, odd, j = low[0], low[1], i + 1
            follower = self.tokens[j] if j < len(self.tokens) else None
            if (
                follower
                and follower.kind == "num"
                and follower.start == token.end
                and follower.text == "1"
                and set(token.word) <= set("xiv")
            ):
                fixed = roman(token.word + "1")  # 'x1' scanned for 'xl'
                if fixed:
                    value, odd, j = fixed[0], fixed[1] or token.word + "j", j + 1
            if follower and follower.word == "ss" and value == int(value):
                value, j = value + 0.5, j + 1
            if len(values) == 2 and values[1]:
                ends = (min(value, values[1][0]), max(value, values[1][0]))
                backwards = f"{token.text} as printed" if value > ends[0] else ""
                return ends, j, odd or values[1][1] or backwards, True
            k = self.skip(j)
            joiner = self.tokens[k] if k < len(self.tokens) else None
            if joiner and ((joiner.kind == "sep" and joiner.text in ("–", "-", "—")) or joiner.word in ("to", "ad", "vel", "or")):
                second = self.tokens[k + 1] if k + 1 < len(self.tokens) else None
                high = roman(second.word) if second and second.kind == "word" else None
                if high and second and second.word not in ("m", "c", "d"):
                    return (min(value, high[0]), max(value, high[0])), k + 2, odd or high[1], True
            return value, j, odd, True
        if word_allowed:
            found = self.number(i)
            if found and found[2] != "article":
                value, j, _ = found
                k = self.skip(j, ("line",))
                if self.word(k) in ("cum", "et") and self.word(k + 1) in ("semisse", "semis", "dimidia", "semissem"):
                    return value + 0.5, k + 2, "", False
                return value, j, "", False
        return None

    def range_over_units(self, amount: Amount, unit: str, i: int) -> tuple[Amount, str, int, bool]:
        """'℥ss–ʒij', 'gr. x to ʒss': both ends in the smaller unit."""
        k = self.skip(i, ("gap",))
        joiner = self.tokens[k] if k < len(self.tokens) else None
        if not joiner or not (
            (joiner.kind == "sep" and joiner.text in ("–", "-", "—")) or joiner.word in ("to", "ad", "vel", "or")
        ):
            return amount, unit, i, False
        second = self.sign_first(self.skip(k + 1, ("gap",)))
        if (
            second is None
            or isinstance(amount, tuple)
            or isinstance(second.amount, tuple)
            or amount is None
            or second.amount is None
        ):
            return amount, unit, i, False
        if second.unit == unit:
            return (min(amount, second.amount), max(amount, second.amount)), unit, second.last, True
        for big, small, one, two in ((unit, second.unit, amount, second.amount), (second.unit, unit, second.amount, amount)):
            if ratio := _RATIOS.get((big, small)):
                if ratio < 1:
                    continue
                converted = one * ratio
                return (min(converted, two), max(converted, two)), small, second.last, True
        return amount, unit, i, False

    def smaller(self, unit: str, than: str) -> bool:
        """Whether `unit` may follow `than` in one amount. '2 pints 2 oz.' and '5 drs. 30 min.' leave the word fluid out."""
        family = next((f for f in (_WEIGHTS, FLUIDS, _METRIC) if unit in f and than in f), None)
        if family is None:
            one, other = f"fluid {unit}", f"fluid {than}"
            family = FLUIDS if (one in FLUIDS and than in FLUIDS) or (unit == "minim" and other in FLUIDS) else None
            unit, than = (one if one in FLUIDS else unit), (other if other in FLUIDS else than)
        return family is not None and family.index(unit) < family.index(than)

    def number_first(self, i: int) -> Measure | None:
        token = self.tokens[i] if i < len(self.tokens) else None
        if token is None or (token.kind == "word" and token.word in ("no", "nos")):
            return None
        system = ""
        if (
            token.kind == "open"
            and (q := self.phrase(i + 1, "qualifier"))
            and self.tokens[min(q[1], len(self.tokens) - 1)].kind == "close"
        ):
            qualified = self.number_first(self.skip(q[1] + 1))
            return replace(qualified, first=i, system=q[0].value) if qualified and qualified.kind == "plain" else None
        if token.text in ("—", "-", "–"):
            return self.after_nil(i)
        joined = self.hyphenated_with_unit(i)
        if joined:
            return joined
        found = self.amount(i)
        if found is None:
            return None
        amount, j, flavour = found
        if amount == 1 and (joined := self.hyphenated_with_unit(self.skip(j))):
            return replace(joined, first=i)  # 'un demi-litre', 'one half-ounce'
        before = self.tokens[i - 1] if i else None
        if before is not None and before.kind == "word" and before.word in _NOT_BEFORE_FIGURE and flavour == "digit":
            return None
        k = self.skip(j)
        if flavour == "article" and self.word(k) in ("good", "small", "large") and not self.unit(k):
            return None
        unit = self.unit(k)
        if unit is None:
            other = other_units().get(self.word(k))
            if other == "money":
                after = k + 1
                if self.word(self.skip(after)) in ("worth", "worth's"):
                    after = self.skip(after) + 1
                doubt = Doubt("amount", "A price is printed instead of an amount; prices of the time are not converted.")
                return Measure(i, after, None, "none", kind="some", doubts=(doubt,))
            if other is not None or flavour == "article":
                return None
            return self.bare(i, j, amount, flavour)
        name, factor, after, unit_system = unit
        if self.word(k) == "p" and not self.tokens[k].dot:
            return self.bare(i, j, amount, flavour)
        ambiguous_short = self.word(k) in word_list("only-after-digits") or (self.word(k) == "lot" and flavour == "article")
        if self.word(k) == "m" and self.tokens[k].text != "m":
            return self.bare(i, j, amount, flavour)  # 'M.' is misce
        if ambiguous_short and flavour in ("word", "article"):
            return None
        doubts: list[Doubt] = []
        hyphened = self.hyphen_fraction(i) if isinstance(amount, tuple) and name not in ("drop", "part") else None
        if hyphened is not None:
            as_range, as_fraction = f"{amount_text(amount)} {name}", f"{hyphened:g} {name}"
            other = as_range if self.mixes_hyphens else as_fraction
            amount = hyphened if self.mixes_hyphens else amount
            text = f"{self.tokens[i].text}-{self.tokens[i + 2].text} may be a fraction or a range."
            doubts.append(Doubt("amount", text, (other,), "It changes what this line weighs: look at the page."))
        scaled = times(amount, factor)
        worn = next((t for t in self.tokens[i:j] if (t.damaged and "\ufffd" not in t.damaged) or t.text in worn_figures()), None)
        if worn is not None:
            others = worn_figures()[worn.text].others if worn.text in worn_figures() else ()
            doubts.append(
                Doubt(
                    "amount",
                    f"The figure is printed or scanned as {worn.text!r}; read as {amount_text(amount)}.",
                    others,
                    "It changes what this line weighs: look at the page.",
                )
            )
        lost = next((t for t in self.tokens[i:j] if t.kind == "num" and "\ufffd" in t.damaged), None)
        if lost is not None:
            doubts.append(
                Doubt(
                    "amount",
                    f"A fraction is lost in the scan ({lost.text!r}); a half is taken.",
                    ("a quarter", "three quarters"),
                    "It changes what this line weighs: look at the page.",
                )
            )
        if (
            isinstance(scaled, tuple)
            and name in ("part", "grain", "drop")
            and scaled[0] == 1
            and scaled[1] >= 10
            and self.tokens[i].kind == "num"
            and self.word(k) in ("part", "grain", "drop")
        ):
            doubts.append(
                Doubt(
                    "amount",
                    f"'{self.tokens[i].text}–{int(scaled[1])}' is read as a fraction, since one unit follows.",
                    (f"1 to {int(scaled[1])}",),
                    "The range would be far larger.",
                )
            )
            scaled = 1 / scaled[1]
        if isinstance(scaled, float) and (more := self.and_fraction(after, after_unit=True)):
            scaled, after = scaled + more[0] * factor, more[1]
        elif isinstance(scaled, float) and name in ("gram", "grain") and (decimals := self.decimals_after_unit(after)):
            scaled, name, after = scaled + decimals, "gram", after + 1
        kind = "percent" if name == "per cent" else "plain"
        also: tuple[tuple[Amount, str], ...] = ()
        second = self.unit(self.skip(self.skip(after) + 1)) if self.word(self.skip(after)) == "or" else None
        if second is not None and kind == "plain" and second[0] != name and self.word(self.skip(second[2])) in ("of", "de"):
            also, after = ((scaled, second[0]),), second[2]  # 'a pound or pint of'
            doubts.append(Doubt("unit", f"The amount is printed in two units: {name} or {second[0]}.", (second[0],), ""))
        measure = Measure(
            i,
            after,
            scaled,
            name,
            kind=kind,
            also=also,
            system=system or unit_system,
            doubts=tuple(doubts),
            article=flavour == "article",
        )
        if kind == "plain":
            measure = self.number_range_over_units(measure)
            measure = self.compound(measure)
        return measure

    def decimals_after_unit(self, i: int) -> float | None:
        """'2 gr. 50' as French books print 2.50 grammes: two figures that end the entry."""
        token = self.tokens[i] if i < len(self.tokens) else None
        if token is None or token.kind != "num" or not token.text.isdigit() or len(token.text) != 2:
            return None
        after = self.tokens[i + 1] if i + 1 < len(self.tokens) else None
        ends = after is None or after.kind in ("line", "para") or after.text in (";", ",", ".")
        return token.value / 100 if ends else None

    def after_nil(self, i: int) -> Measure | None:
        """'— ounces 4 drachms': a dash for nought in a column of two units."""
        nil = self.unit(self.skip(i + 1, ("gap",))) if i and self.tokens[i - 1].kind == "gap" else None
        second = self.number_first(self.skip(nil[2], ("gap",))) if nil is not None else None
        if nil is None or second is None or second.kind != "plain" or not self.smaller(second.unit, nil[0]):
            return None
        return replace(second, first=i)

    def hyphenated_with_unit(self, i: int) -> Measure | None:
        """'half-a-drachm', 'half-ounce', 'quarter-pound' in one token."""
        word = self.word(i)
        if "-" not in word:
            return None
        parts = word.split("-")
        unit = units().get(parts[-1])
        entry = numbers().get(parts[0])
        if unit is None or entry is None or entry.kind not in ("fraction", "number", "article"):
            return None
        middle = parts[1:-1]
        if middle and not all(m in ("a", "an", "of") for m in middle):
            return None
        value = entry.value * unit.factor
        last = i + 1
        if more := self.and_fraction(last, after_unit=True):
            value, last = value + more[0] * unit.factor, more[1]
        return Measure(i, last, value, unit.unit)

    def number_range_over_units(self, measure: Measure) -> Measure:
        """'half an ounce to two ounces', 'one drachm to half an ounce'."""
        k = self.skip(measure.last)
        if self.word(k) not in ("to", "or") or not isinstance(measure.amount, float):
            return measure
        second = self.number_first(self.skip(k + 1))
        if second is None or second.kind != "plain" or not isinstance(second.amount, float) or second.plus:
            return measure
        if second.unit == measure.unit:
            pair = (min(measure.amount, second.amount), max(measure.amount, second.amount))
            return replace(measure, amount=pair if pair[0] != pair[1] else pair[0], last=second.last)
        one = (measure.unit, second.unit, measure.amount, second.amount)
        two = (second.unit, measure.unit, second.amount, measure.amount)
        for big, small, first, other in (one, two):
            ratio = _RATIOS.get((big, small))
            if ratio and ratio > 1:
                low, high = sorted((first * ratio, other))
                return replace(measure, amount=(low, high), unit=small, last=second.last)
        after = self.tokens[second.last] if second.last < len(self.tokens) else None
        ends = after is None or after.kind in ("line", "para") or after.text in (";", ".", ",")
        if self.word(k) == "or" and (measure.amount == second.amount or ends):
            doubt = Doubt(
                "unit",
                f"The amount is printed in two units: {measure.unit} or {second.unit}.",
                (f"{second.amount:g} {second.unit}",),
            )
            return replace(measure, last=second.last, also=((second.amount, second.unit),), doubts=(*measure.doubts, doubt))
        return measure

    def compound(self, measure: Measure) -> Measure:
        """'3 ounces 2 drachms', '2 ounces, 440 grains', 'one pound and two ounces'."""
        k = self.skip(measure.last)
        token = self.tokens[k] if k < len(self.tokens) else None
        comma = token is not None and token.text == ","
        conjunction = token is not None and (token.word == "and" or token.text == "&")
        if token is None or measure.unit in ("drop", "part", "piece"):
            return measure
        if (
            self.tokens[measure.last - 1].kind == "word"
            and k > measure.last
            and self.tokens[measure.last].kind == "line"
            and not (comma or conjunction)
        ):
            return measure  # the next printed line begins a new entry
        start = self.skip(k + 1) if comma or conjunction else k
        if self.phrase(start, "each"):
            return measure
        second = self.number_first(start)
        if second is not None and measure.unit == "kilogram" and second.unit == "grain":
            second = replace(second, unit="gram")  # '1 kil. 500 gr.'
        if second is None or second.kind != "plain" or second.article or not self.smaller(second.unit, measure.unit):
            return measure
        after = self.tokens[second.last] if second.last < len(self.tokens) else None
        if (comma or conjunction) and after is not None and after.kind == "word":
            return measure  # '2 ounces, 20 grains of …': the second amount has a name of its own
        return replace(measure, plus=((second.amount, second.unit), *second.plus), last=second.last)

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

    def bare(self, i: int, j: int, amount: Amount, flavour: str) -> Measure | None:
        """A figure without a unit: a piece count, a carried unit, or no amount at all (decided with its surroundings)."""
        before = self.tokens[i - 1] if i else None
        if before is not None and before.word in ("the", "these", "those", "in", "into", "at", "than"):
            return None
        k = self.skip(j)
        if self.word(k) == "ditto" or (self.word(k) == "do" and self.tokens[k].dot):
            return Measure(i, k + 1, amount, "", kind="ditto")
        return Measure(i, j, amount, "", kind="bare")

    # -- amounts in words -----------------------------------------------------------------------------------------------

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
            if unit is None:
                return None
            doubt = Doubt("amount", "'A few' gives no figure.")
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
        if phrase.words == ("the", "same") and self.word(self.skip(j, ("gap",))) not in ("of", ""):
            return None
        if phrase.words == ("the", "same") and self.word(self.skip(j, ("gap",))) == "":
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
        after = self.tokens[inner.last] if inner.last < len(self.tokens) else None
        if after is not None and after.kind not in ("line", "para") and after.text not in (";", ".", ","):
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
        if inner is None or inner.kind == "bare":
            return None
        return Measure(
            i, inner.last, None, "q.s.", kind="qs", to_make=(inner.amount, inner.unit), system=inner.system, doubts=inner.doubts
        )

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
        if not stem.startswith(_PURPOSES):
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
                unit, make = "q.s.", None
                if stem.startswith("fill"):
                    make = None
                return Measure(i, j + 1, None, unit, kind="qs", to_make=make, reach=-1)
            if self.tokens[j].kind not in ("word", "gap", "line") and self.tokens[j].text != ",":
                return None
            if self.tokens[j].kind == "word":
                words += 1
                if self.number(j) or word in ("and", "of", "or"):
                    return None
            j += 1
        return None
