"""Amounts whose unit stands first: '℥ij', 'gr. x', 'f℥iss', 'lb. ij', 'uncias duas', '℥ ss.--ʒij'."""

from __future__ import annotations

from histkit.base.nouns import Amount, Doubt
from histkit.reading.figures import SIGN_UNITS, Figures
from histkit.reading.measure import RATIOS, Measure, smaller
from histkit.reading.tokens import roman
from histkit.reading.vocabulary import numbers, units, word_list

PREFIXED = word_list("before-numeral")
"""Unit words that may stand before their numeral: 'gr. x', 'lb. ij', 'uncias duas'."""
_PREFIX_ONLY = {"m": "minim", "o": "pint", "c": "gallon", "cong": "gallon", "floz": "fluid ounce", "fldr": "fluid drachm"}


class Signed(Figures):
    """Reads an amount that begins with its sign or unit."""

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
        allowed = latin or (token.kind == "word" and len(token.word) > 4)
        figure = self.prefix_figure(k, word_allowed=allowed)
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
            if more and more.kind == "plain" and not more.plus and smaller(more.unit, unit):
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
            if ratio := RATIOS.get((big, small)):
                if ratio < 1:
                    continue
                converted = one * ratio
                return (min(converted, two), max(converted, two)), small, second.last, True
        return amount, unit, i, False
