"""What a figure without a unit means: a unit carried on, a ditto, a count of pieces, a second column, or no amount."""

from __future__ import annotations

from dataclasses import replace

from histkit.base.nouns import Doubt, times
from histkit.reading.assigning import Assigner, connectives
from histkit.reading.measure import FLUIDS, OF_THE_WHOLE, Measure
from histkit.reading.measuring import Scanner
from histkit.reading.vocabulary import other_units


def settle_bare(
    assigner: Assigner, measures: list[Measure], a: int, b: int, unit: str, above_unit: str = "", second_unit: str = ""
) -> tuple[list[Measure], str]:
    """Give each bare figure its sense: a carried unit, a count of pieces, or no amount at all.

    `unit` is the unit in force before token a (drops never are: they interrupt a list, they don't set its unit);
    `above_unit` the unit of the very last amount, which a ditto mark repeats, and `second_unit` that of a second column.
    The unit in force after b is returned too.
    """
    settled: list[Measure] = []
    percents = sum(m.kind == "percent" for m in measures)
    others = sum(m.kind == "plain" for m in measures)
    last_amount: Measure | None = None
    for m in measures:
        last = settled[-1] if settled else None
        if last is not None and _says_it_twice(assigner, last, m):
            if m.to_make and not last.to_make:
                settled[-1] = last_amount = replace(last, to_make=m.to_make)
            continue
        second_column = last is not None and last.kind == "column"
        if m.kind == "percent" and others and percents <= others:
            continue  # a strength: 'alcohol, 80 per cent, 1,600 parts'
        says_how_much = m.kind == "plain" and m.approximate and last is not None and last.kind == "qs" and not last.to_make
        if last is not None and says_how_much and all(t.text == "," for t in assigner.tokens[last.last : m.first]):
            settled[-1] = last_amount = replace(m, first=last.first)  # 'enough to perfume, say 20 drops'
            continue
        if m.kind == "sized":
            if last is not None and not any(t.kind == "sep" for t in assigner.tokens[last.last : m.first]):
                continue  # 'a piece of alum the size of a nut' has its amount already
            m = replace(m, kind="some")
        if m.kind == "percent":
            m = replace(m, kind="plain")
        elif m.kind == "ditto":
            in_force = last_amount.unit if last_amount else unit
            m = replace(m, unit=in_force, kind="plain", steps=(*m.steps, f"'Ditto' stands for the unit before it, {in_force}."))
        elif m.kind == "bare":
            if last is not None and second_column and not _ditto_follows(assigner, m):
                settled[-1] = replace(last, also=(*last.also, (m.amount, second_unit or last.unit)), last=m.last)
                continue
            above = second_unit if second_column else last_amount.unit if last_amount else above_unit
            resolved = _settle(assigner, m, a, b, unit, bool(settled), above)
            if resolved is None:
                continue
            m = resolved
        elif m.kind == "same" and last_amount is not None:
            factor = m.amount if isinstance(m.amount, float) else 1.0
            scaled = times(last_amount.amount, factor)
            plus = last_amount.plus if factor == 1.0 else ()
            m = replace(m, amount=scaled, unit=last_amount.unit, plus=plus, system=last_amount.system)
        elif m.kind == "same":
            if last is None or last.unit != "none":
                continue
            m = replace(m, amount=None, unit="none")  # 'a little wax, twice its weight of spermaceti'
        if m.kind == "plain" and last is not None and second_column:
            fluid = last.unit == "gram" and m.unit in FLUIDS  # a liquid beside its measure stands in the metric column as mL
            settled[-1] = replace(
                last, kind="plain", unit="millilitre" if fluid else last.unit, also=((m.amount, m.unit), *m.plus), last=m.last
            )
            continue
        if m.to_make and not m.to_make[1]:  # 'ad one ditto'
            in_force = last_amount.unit if last_amount else unit
            m = replace(m, to_make=(m.to_make[0], in_force or "part"))
        settled.append(m)
        if m.unit not in ("", "q.s.", "none", "piece") and m.kind not in (*OF_THE_WHOLE, "few"):
            if m.unit != "drop":
                unit = m.unit
            last_amount = m
        elif m.unit == "piece" and m.kind != "interior":
            last_amount = m
    return settled, unit


def _says_it_twice(assigner: Assigner, last: Measure, m: Measure) -> bool:
    """'sufficient alkanet to colour', 'sufficient rose water to make up 4 ounces', 'a piece of alkanet root to colour it'."""
    scanner = assigner.scanner
    if m.kind != "qs" or scanner.word(m.first) != "to":
        return False
    if any(t.kind in ("sep", "line", "para") for t in assigner.tokens[last.last : m.first]):
        return False
    return last.kind == "qs" or (last.kind == "plain" and not m.to_make and scanner.word(scanner.skip(m.last)) in ("it", "them"))


def _settle(assigner: Assigner, m: Measure, a: int, b: int, unit: str, started: bool, above: str) -> Measure | None:
    scanner, tokens = assigner.scanner, assigner.tokens
    i = m.last
    while i < b and tokens[i].kind in ("gap", "line"):
        i += 1
    following = tokens[i] if i < b else None
    j = m.first - 1
    while j >= a and tokens[j].kind in ("gap", "line"):
        j -= 1
    before = tokens[j] if j >= a else None
    carried = Doubt(
        "unit", f"No unit is printed here; the unit before it ({unit}) is carried on.", (), "Another unit would change this line."
    )
    parts = Doubt("unit", "No unit is printed; the figures are taken as parts.", (), "")
    in_force = unit or "part"
    if (
        following is not None
        and following.kind == "num"
        and i > m.last
        and all(t.kind == "gap" for t in tokens[m.last : i])
        and before is not None
    ):
        first = "gram" if unit in ("gram", "millilitre") else "part"
        said = "grammes" if first == "gram" else "parts"
        doubt = Doubt(
            "amount", f"Columns of figures stand side by side; the first is taken, as {said}, the others are noted.", (), ""
        )
        return replace(m, unit=first, kind="column", doubts=(*m.doubts, doubt))
    doubts = (*m.doubts, carried if unit else parts)
    if following is not None and following.kind == "ditto":
        steps = (*m.steps, f"The ditto mark stands for the unit above it, {above or in_force}.")
        return replace(m, unit=above or in_force, kind="plain", last=i + 1, steps=steps)
    if following is None or following.kind in ("sep", "para", "brace", "close"):
        if following is not None and following.text in (":",) and not started:
            return None
        if before is None or (before.kind == "word" and (before.word in connectives() or assigner.is_direction(j))):
            return None
        if m.each or assigner.nominal(a, m.first):
            return replace(m, unit=in_force, kind="plain", doubts=doubts)
        return None
    if following.kind == "word":
        if following.word in ("ditto", "do") and unit:
            return replace(m, unit=unit, kind="plain", last=i + 1, doubts=doubts)
        if following.word == "of" or m.each == "after":
            return replace(m, unit=in_force, kind="plain", doubts=doubts) if unit or m.each else None
        if m.each == "before":
            return replace(m, unit=in_force, kind="plain", doubts=doubts)
        if following.word in other_units() or following.word in connectives() or assigner.is_direction(i):
            if (
                following.word in ("and", "et")
                and before is not None
                and before.kind == "word"
                and assigner.is_name_word(j)
                and unit
            ):
                return replace(m, unit=in_force, kind="plain", doubts=doubts)
            return None
        if before is not None and before.word == "of" and assigner.nominal(a, j):
            return replace(m, unit="piece", kind="interior")
        starts = (
            before is None
            or before.kind in ("sep", "para", "line", "other", "sign")
            or before.word in ("and", "take", "of", "add", "with", "or", "then", "to", "recipe", "rp")
        )
        if before is not None and before.kind == "sep" and before.text == "," and started and before.start and unit == "part":
            starts = True
        if starts and assigner.is_name_word(i) and not _countless(scanner, i):
            return replace(m, unit="piece")
        return None
    return None


def _countless(scanner: Scanner, i: int) -> bool:
    """Words after which a count of pieces makes no sense: '4 fold', 'two kinds'."""
    return scanner.word(i) in ("fold", "kinds", "sorts", "or", "cold", "formulas", "solutions", "bottles")


def _ditto_follows(assigner: Assigner, m: Measure) -> bool:
    i = assigner.scanner.skip(m.last, ("gap",))
    return i < len(assigner.tokens) and assigner.tokens[i].kind == "ditto"
