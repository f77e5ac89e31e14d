"""Figures and unit words: 'two and a half', '1-1/2', 'three-fourths', 'a quarter of an', 'fluid oz.', '(av.)'."""

from __future__ import annotations

from histkit.base.nouns import Amount
from histkit.reading.looking import Looking
from histkit.reading.measure import fluid
from histkit.reading.tokens import Token, roman
from histkit.reading.vocabulary import NumberWord, numbers, units, worn_figures

SIGN_UNITS = {
    "℥": "ounce", "ʒ": "drachm", "℈": "scruple", "♏": "minim", "℔": "pound", "O": "pint",
    "f℥": "fluid ounce", "fʒ": "fluid drachm", "f♏": "minim", "f℈": "scruple",
}  # fmt: skip


def _joined_by_and(current: float, more: float, after_thousands: bool) -> bool:
    """'five and twenty', 'a hundred and six', 'one thousand and one', and no two numbers side by side."""
    if not current:
        return after_thousands and more < 100
    ones_first = 0 < current % 100 < 10 <= more < 100 and more % 10 == 0  # 'five and twenty', 'a hundred and five and twenty'
    return ones_first or (current >= 100 and current % 100 == 0 and more < 100)


def _follows(current: float, more: float, after_thousands: bool) -> bool:
    """Whether a number word goes on with the number so far: 'twenty' 'five', 'five (and) twenty', 'hundred' 'fifty'."""
    if not current:
        return after_thousands
    tens = current % 100 >= 20 and current % 10 == 0 and more < 10
    hundreds = current >= 100 and current % 100 == 0 and more < 100
    return tens or hundreds or (0 < current % 100 < 10 and 20 <= more < 100 and more % 10 == 0)


class Figures(Looking):
    """Reads one figure, or one unit, at a token."""

    def __init__(self, tokens: list[Token]) -> None:
        super().__init__(tokens)
        self.mixes_hyphens: bool = False
        """Whether the text prints '2 1-2 oz.' or '3-4 oz.': then its other '1-2' are halves too and no ranges."""
        if not any(t.text == "-" for t in tokens):
            return
        found = [i for i, t in enumerate(tokens) if t.kind == "num" and self.hyphen_fraction(i) is not None]
        mixed = any(i and tokens[i - 1].kind == "num" and tokens[i - 1].value >= 1 for i in found)
        units_after = [self.unit(i + 3) for i in found if tokens[i + 2].text in ("4", "8", "16")]
        self.mixes_hyphens = mixed or any(unit is not None and unit[0] not in ("drop", "part") for unit in units_after)

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
        return self.cardinal(i, entry.value)

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
            if (together := self.number_word(i)) is not None:
                return together.value, i + 1, "word"
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
            value, k, flavour = self.cardinal(j, entry.value)
            if [self.word(k + step) for step in range(3)] == ["and", "a", "half"]:  # 'a dozen and a half'
                return value * 1.5, k + 3, flavour
            return value, k, flavour
        if self.word(j) == "couple":
            k = self.skip(j + 1)
            return 2.0, k + 1 if self.word(k) == "of" else k, "word"
        if j < len(self.tokens) and self.tokens[j].kind == "num" and self.tokens[j].value < 1:
            return self.tokens[j].value, self.of_article(j + 1), "fraction"
        return 1.0, i + 1, "article"

    def cardinal(self, i: int, value: float) -> tuple[float, int, str]:
        """A number in words from token i, of which the first is worth `value`: 'five and twenty', 'one hundred and fifty-six'."""
        j, thousands = i + 1, 0.0
        current = value
        while True:
            k = self.skip(j, ("line",))
            entry = self.number_word(k)
            if self.word(k) == "and":
                k = self.skip(k + 1, ("line",))
                entry = self.number_word(k)
                if entry is None or entry.kind != "number" or not _joined_by_and(current, entry.value, bool(thousands)):
                    break
            if entry is None:
                break
            if entry.kind == "scale" and current and entry.value >= 1000:
                thousands, current = thousands + current * entry.value, 0.0
            elif entry.kind == "scale" and current:
                current *= entry.value
            elif entry.kind == "number" and _follows(current, entry.value, bool(thousands)):
                current += entry.value
            elif entry.kind == "fraction" and not thousands and current < 20 and (self.word(k) != "half" or current == 1):
                return current * entry.value, self.of_article(k + 1), "fraction"
            else:
                break
            j = k + 1
        return thousands + current, j, "word"

    def number_word(self, i: int) -> NumberWord | None:
        """The number that the word at token i is: 'fifty', 'fifty-six'; None where it is none."""
        word = self.word(i)
        known = numbers().get(word)
        if known is not None or "-" not in word:
            return known
        tens, ones = (numbers().get(part) for part in word.split("-", 1))
        if tens is None or ones is None or tens.kind != "number" or ones.kind != "number" or not tens.value >= 20 > ones.value:
            return None
        return NumberWord(tens.value + ones.value, "number", tens.language)

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

    def unit(self, i: int) -> tuple[str, float, int, str] | None:
        """(unit, factor, next token, system) of the unit word or sign at token i, past words such as 'fluid', '(av.)', 'good'."""
        system = ""
        by_measure = False
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
            bracketed = units().get(self.word(i + 1)) if token.kind == "open" else None
            if bracketed is not None and i + 2 < len(self.tokens) and self.tokens[i + 2].kind == "close":
                return bracketed.unit, bracketed.factor, i + 3, system  # 'lycopodium 10 (parts)'
            if token.kind == "sign" and token.word in SIGN_UNITS:
                following = self.tokens[i + 1] if i + 1 < len(self.tokens) else None
                if following is not None and following.start == token.end and following.kind in ("word", "num"):
                    return None  # the sign has a figure of its own behind it
                return SIGN_UNITS[token.word], 1.0, i + 1, "apothecaries"
            if token.kind != "word":
                return None
            qualified = self.phrase(i, "qualifier")
            if qualified and self.unit_after_qualifier(qualified[1]):
                by_measure |= qualified[0].value == "fluid"
                if qualified[0].value not in ("", "fluid"):
                    system = qualified[0].value
                i = self.skip(qualified[1])
                continue
            known = units().get(token.word)
            if known is None:
                return None
            unit = fluid(known.unit) if by_measure else known.unit
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
                unit, system = fluid(unit), ""
            return unit, known.factor, after, system
        return None

    def begins_clause(self, i: int) -> bool:
        """Whether token i is the first of its text, paragraph, sentence or clause."""
        j = i - 1
        while j >= 0 and self.tokens[j].kind in ("gap", "line"):
            j -= 1
        if j < 0:
            return True
        token = self.tokens[j]
        return token.kind == "para" or token.text in (".", ";", ":") or (token.dot and token.word not in units())

    def unit_word(self, i: int) -> bool:
        """Whether a whole unit word or its usual abbreviation stands at token i: none of the single letters."""
        return len(self.word(i)) > 1 and self.unit(i) is not None

    def unit_after_qualifier(self, i: int) -> bool:
        i = self.skip(i)
        word = self.word(i)
        return word in units() or word in ("floz", "fldr") or self.phrase(i, "qualifier") is not None
