"""Amounts whose figure stands first: '2 oz.', 'half an ounce', '3 lbs. 8 oz.', '1 to 2 drachms', a figure without a unit."""

from __future__ import annotations

from dataclasses import replace

from histkit.base.nouns import Amount, Doubt, amount_text, times
from histkit.reading.looking import LOOK_AHEAD
from histkit.reading.measure import RATIOS, Measure, fluid, smaller
from histkit.reading.signed import Signed
from histkit.reading.vocabulary import numbers, other_units, units, word_list, worn_figures

_NOT_BEFORE_FIGURE = word_list("not-before-figure")


class Counted(Signed):
    """Reads an amount that begins with its figure."""

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
            if qualified is None or qualified.kind != "plain":
                return None
            if q[0].value == "fluid":  # '(fluid) 1 oz. of water'
                return replace(qualified, first=i, unit=fluid(qualified.unit))
            return replace(qualified, first=i, system=q[0].value)
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
        return token.value / 100 if self.ends_clause(i + 1) else None

    def after_nil(self, i: int) -> Measure | None:
        """'— ounces 4 drachms': a dash for nought in a column of two units."""
        nil = self.unit(self.skip(i + 1, ("gap",))) if i and self.tokens[i - 1].kind == "gap" else None
        second = self.number_first(self.skip(nil[2], ("gap",))) if nil is not None else None
        if nil is None or second is None or second.kind != "plain" or not smaller(second.unit, nil[0]):
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
        if parts[-1] == "dozen" and entry is not None and entry.kind == "fraction":  # 'half-a-dozen cloves'
            return Measure(i, i + 1, entry.value * 12, "piece")
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
            ratio = RATIOS.get((big, small))
            if ratio and ratio > 1:
                low, high = sorted((first * ratio, other))
                return replace(measure, amount=(low, high), unit=small, last=second.last)
        alone = self.ends_clause(second.last) or self.stands_first(measure.first)  # '1 oz. or 30 grammes of talc'
        if self.word(k) == "or" and (measure.amount == second.amount or alone):
            doubt = Doubt(
                "unit",
                f"The amount is printed in two units: {measure.unit} or {second.unit}.",
                (f"{second.amount:g} {second.unit}",),
            )
            return replace(measure, last=second.last, also=((second.amount, second.unit),), doubts=(*measure.doubts, doubt))
        return measure

    def stands_first(self, i: int) -> bool:
        """Whether nothing before token i could be the name of what is measured there: it begins its clause, or follows 'take'."""
        before = self.tokens[i - 1].word if i else ""
        return before in ("take", "of") if before else self.begins_clause(i)

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
        if second is None or second.kind != "plain" or second.article or not smaller(second.unit, measure.unit):
            return measure
        after = self.tokens[second.last] if second.last < len(self.tokens) else None
        named = after is not None and after.kind == "word" and not self.stands_first(measure.first)
        if (comma or conjunction) and named:
            return measure  # 'talc 2 ounces, 20 grains of …': the second amount has a name of its own
        return replace(measure, plus=((second.amount, second.unit), *second.plus), last=second.last)

    def announces(self, i: int) -> bool:
        """'Ein gutes Zahnpulver bereitet man so: …', 'Une poudre: …': the article of a sentence that leads up to a colon."""
        one = numbers().get(self.word(i))
        if one is None or one.value != 1 or one.language not in ("de", "fr") or not self.tokens[i].text[0].isupper():
            return False
        for token in self.tokens[i + 1 : i + LOOK_AHEAD]:
            if token.text == ":":
                return True
            if token.kind in ("num", "sign", "line", "para") or token.word in numbers():
                return False
        return False

    def bare(self, i: int, j: int, amount: Amount, flavour: str) -> Measure | None:
        """A figure without a unit: a piece count, a carried unit, or no amount at all (decided with its surroundings)."""
        before = self.tokens[i - 1] if i else None
        if before is not None and before.word in ("the", "these", "those", "in", "into", "at", "than"):
            return None
        if self.announces(i):
            return None
        k = self.skip(j)
        if self.word(k) == "ditto" or (self.word(k) == "do" and self.tokens[k].dot):
            return Measure(i, k + 1, amount, "", kind="ditto")
        return Measure(i, j, amount, "", kind="bare")
