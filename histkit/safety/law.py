"""The law of a product in a region: what is not allowed in it, and how much of the rest.

Annexes II and III of the cosmetics regulation are joined by CAS number (`annex_ii.csv`, `annex_iii.csv`). What they name by group
only, and later changes, stand in `law_rows.csv` by ingredient and go before them; the limits of the glossary's cautions serve for
what is left.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from decimal import ROUND_DOWN, Context, Decimal, localcontext
from functools import cache

from histkit.base import tables
from histkit.base.bibliography import MARKS, sourced
from histkit.base.errors import UnknownName
from histkit.glossary.nouns import Caution, Ingredient
from histkit.safety.evidence import LEVELS, Finding, Level
from histkit.safety.products import Product, products

TOLERANCE = 1e-9
"""How far above a limit floats may carry a share that keeps it."""
ANNEX_SOURCE = "echa-annexes-2024"
"""Of `annex_ii.csv` and `annex_iii.csv`, which are replaced together when the law changes (`tests/renewed_annexes.py`)."""
_CAS = re.compile(r"\d+-\d\d-\d")


@dataclass(frozen=True, slots=True)
class Rule:
    """What a law says of a substance: the products it may be in (see `Product.fits`), and its greatest share there (0–1)."""

    law: str
    products: str
    maximum: float | None
    factor: float
    """What counts of the ingredient: the share of it that the law speaks of."""
    note: str
    date: str
    source: str
    bound: str = ""
    """What the limit hangs on, by id of `bounds.csv`; '' where it holds whatever the purpose and the label."""


@dataclass(frozen=True, slots=True)
class Region:
    """A place with its law: what could be looked up of it, and what could not."""

    id: str
    words: str
    follows: str
    colours: str
    """"listed only" where no colour may be used but those that the law lists."""
    looked_up: str
    not_looked_up: str
    date: str
    source: str

    def holds(self, region: str) -> bool:
        """Whether a caution or rule of that region counts here; '' counts everywhere."""
        return region in ("", self.id, *filter(None, (self.follows,)))


@cache
def regions() -> dict[str, Region]:
    """Every region by its id."""
    columns = ("id", "words", "follows", "colours", "looked_up", "not_looked_up", "date", "source")
    return {row["id"]: Region(*(row[column] for column in columns)) for row in sourced("safety/regions")}


def region_of(key: str) -> Region:
    """The region of that id, in capitals or not. Raises UnknownName for one that nobody knows."""
    found = regions().get(key.strip().upper())
    if found is None:
        near = difflib.get_close_matches(key.strip().upper(), list(regions()), 3, 0.4) or list(regions())
        raise UnknownName("region of law", key, tuple(near))
    return found


def cas_numbers(text: str) -> tuple[str, ...]:
    """The CAS numbers in a cell."""
    return tuple(_CAS.findall(text))


@cache
def _annex_iii() -> dict[str, tuple[Rule, ...]]:
    rules: dict[str, list[Rule]] = {}
    for row in tables.read("safety/annex_iii"):
        law = f"Reg. (EC) 1223/2009 Annex III{'/' if row['entry'] else ''}{row['entry']}"
        rule = Rule(law, row["products"], tables.number(row, "maximum"), 1.0, row["note"], row["date"], ANNEX_SOURCE)
        rules.setdefault(row["cas"], []).append(rule)
    return {cas: tuple(group) for cas, group in rules.items()}


@cache
def _annex_ii() -> dict[str, tuple[tuple[str, str, str], ...]]:
    """CAS number → (entry, products, date) of what is prohibited without a condition."""
    entries: dict[str, list[tuple[str, str, str]]] = {}
    for row in tables.read("safety/annex_ii"):
        if not row["conditional"]:
            entries.setdefault(row["cas"], []).append((row["entry"], row["products"], row["date"]))
    return {cas: tuple(group) for cas, group in entries.items()}


@cache
def _own_rows() -> dict[tuple[str, str], tuple[Rule, ...]]:
    rules: dict[tuple[str, str], list[Rule]] = {}
    for row in sourced("safety/law_rows"):
        factor = tables.number(row, "factor") or 1.0
        maximum, bound = tables.number(row, "maximum"), row["bound"]
        rule = Rule(row["law"], row["products"], maximum, factor, row["note"], row["date"], row["source"], bound)
        rules.setdefault((row["ingredient"], row["region"]), []).append(rule)
    return {key: tuple(group) for key, group in rules.items()}


def rules_of_cas(cas: str, region: Region) -> tuple[Rule, ...]:
    """What Annex III says of a CAS number, where the region keeps that annex."""
    return _annex_iii().get(cas, ()) if region.holds("EU") else ()


def rules_of(ingredient: Ingredient, region: Region) -> tuple[Rule, ...]:
    """What the law of a region says of an ingredient: rows of its own before the join by CAS number."""
    for place in filter(None, (region.id, region.follows)):
        if own := _own_rows().get((ingredient.id, place)):
            return own
    return tuple(dict.fromkeys(rule for cas in cas_numbers(ingredient.cas) for rule in rules_of_cas(cas, region)))


def concerns(caution: Caution, product: Product, region: Region) -> bool:
    """Whether a caution speaks of this product in this region."""
    return region.holds(caution.region) and (caution.form in ("", "any", "bench") or caution.form in product.forms)


def judged_words(product: Product, region: Region) -> str:
    """As which product, and by whose law, something was judged: with its date, and what was not looked up."""
    guessed = " (guessed from the title)" if product.guessed else ""
    if not product.on_skin:
        return f"Taken for {product.words}{guessed}: the law of cosmetics was not asked."
    date = f", as of {region.date}" if region.date else ""
    return f"Judged as {product.words}{guessed} by the law of {region.words}{date}. Not looked up: {region.not_looked_up}."


def speaks_of(caution: Caution, form: str) -> bool:
    """Whether a caution concerns this form of product ("" takes all). A powder, loose or pressed, also stays on the skin."""
    if caution.form in ("", "any") or not form:
        return True
    also = next((tables.words(row, "also") for row in sourced("safety/product_forms") if row["id"] == form), ())
    return caution.form == form or caution.form in also


def law_findings(masses: Iterable[tuple[Ingredient, float]], product: Product, region: Region) -> Iterator[Finding]:
    """What the law forbids in this product, and what is above its limit; nothing for what does not touch the body."""
    if not product.on_skin:
        return
    for ingredient, share in masses:
        yield from _unfit(ingredient, product)
        yield from _prohibited(ingredient, product, region)
        rules = rules_of(ingredient, region)
        if region.colours and not rules and any(r.main and r.role == "colour" for r in ingredient.roles):
            said = f"{ingredient.name} is no colour that the law of {region.words} lists, as far as was looked up"
            yield Finding("warn", "product", f"{said}: leave it out there, or ask a safety assessor.", (ingredient.id,))
        if rules:
            yield from _ruled(ingredient, share, rules, product, region)
        else:
            yield from _cautioned(ingredient, share, product, region)


def _unfit(ingredient: Ingredient, product: Product) -> Iterator[Finding]:
    for row in sourced("safety/unfit"):
        if row["ingredient"] == ingredient.id and product.fits(row["products"]):
            text = f"{ingredient.name} ({ingredient.id}) has no place in {product.words}: {row['why']}."
            yield Finding("refuse", "product", text, (ingredient.id,))


def _prohibited(ingredient: Ingredient, product: Product, region: Region) -> Iterator[Finding]:
    entries = [entry for cas in cas_numbers(ingredient.cas) for entry in _annex_ii().get(cas, ()) if region.holds("EU")]
    told = {f"II/{number}": date for number, where, date in entries if product.fits(where)}
    if told:
        law = f"Reg. (EC) 1223/2009 Annex {', '.join(told)}, as of {max(told.values())}"
        text = f"{ingredient.name} ({ingredient.id}) is prohibited in {product.words} ({region.id}): {law}.{_stands(ingredient)}"
        yield Finding("refuse", "product", text, (ingredient.id,))


def _ruled(ingredient: Ingredient, share: float, rules: tuple[Rule, ...], product: Product, region: Region) -> Iterator[Finding]:
    fitting = [rule for rule in rules if product.fits(rule.products)]
    if not fitting:
        what, elsewhere = _barred(rules, product)
        notes = ", ".join(dict.fromkeys(rule.note for rule in rules if rule.note and (rule.products or not elsewhere)))
        yield Finding(
            "refuse",
            "product",
            f"{ingredient.name} ({ingredient.id}) is not allowed in {what} ({region.id}): the law has it {elsewhere or _NOWHERE}"
            f"{f' ({notes})' if notes else ''}. {_cited(rules[0])}.{_stands(ingredient)}",
            (ingredient.id,),
        )
        return
    limited = [rule for rule in fitting if rule.maximum is not None]
    strictest = min(limited, key=lambda rule: (rule.maximum or 0.0) / rule.factor, default=None)
    if strictest is None or strictest.maximum is None:
        return
    counted = share * strictest.factor
    if counted > strictest.maximum * (1 + TOLERANCE):
        level, so = _gravity(strictest.bound, strictest.source)
        counts = f", which counts as {100 * counted:.3g} % ({strictest.note})" if strictest.factor != 1 else ""
        note = f" ({strictest.note})" if strictest.note and strictest.factor == 1 else ""
        loose = "loose " if "loose" in strictest.products.split() else ""
        most = at_most(strictest.maximum / strictest.factor)
        yield Finding(
            level,
            "limit",
            f"{ingredient.name} ({ingredient.id}) makes {100 * share:.3g} %{counts} and is limited to "
            f"{100 * strictest.maximum:.3g} %{note} in {loose}{product.words} ({region.id}): "
            f"{_cited(strictest)}. {so.format(most=most)}",
            (ingredient.id,),
            f"{ingredient.name} in {product.words}" if level == "ask" else "",
        )


def _gravity(bound: str, source: str) -> tuple[Level, str]:
    """How grave it is to be above a limit, and what would be right: it depends on what the limit hangs on, and who says it."""
    key = bound or ("recalled" if source in MARKS else "")
    row = next(row for row in sourced("safety/bounds") if row["bound"] == key)
    return _LEVELS[row["level"]], row["right"]


_LEVELS: dict[str, Level] = {level: level for level in LEVELS}


def at_most(share: float) -> str:
    """A share in per cent to three figures, never rounded up: who keeps to it keeps the limit."""
    with localcontext(Context(prec=3, rounding=ROUND_DOWN)):
        return f"{float(+Decimal(repr(100 * share * (1 + TOLERANCE)))):g} %"


_NOWHERE = "in products for professionals only, or in none that is made here"
_FEW = 6
"""Products that are named; more are 'other products'."""


def _barred(rules: tuple[Rule, ...], product: Product) -> tuple[str, str]:
    """(the product as it is barred, where the law has the substance instead; '' where it has it nowhere)."""
    pressed = replace(product, tags=product.tags - {"loose"})
    loose = pressed.tags != product.tags and any(pressed.fits(rule.products) for rule in rules)
    others = dict.fromkeys(p.words for rule in rules for p in products().values() if p.fits(rule.products) and p.id != product.id)
    elsewhere = f"only in {', '.join(others)}" if len(others) <= _FEW else "in other products"
    return f"{'loose ' if loose else ''}{product.words}", elsewhere if others else ""


def _cautioned(ingredient: Ingredient, share: float, product: Product, region: Region) -> Iterator[Finding]:
    """Above the limit of a caution: refused where a law has it, a warning where it is but advice."""
    for caution in ingredient.cautions:
        if caution.limit is None or not concerns(caution, product, region) or share <= caution.limit * (1 + TOLERANCE):
            continue
        law = caution.law and caution.level in ("restricted", "forbidden")
        level, so = _gravity("" if law else "advice", caution.source if law else "")
        said = f"{caution.text} {caution.law}{f', {caution.date}' if caution.date else ''}".strip()
        makes = f"{ingredient.name} ({ingredient.id}) makes {100 * share:.3g} %"
        limit = f"is limited to {100 * caution.limit:.3g} % in {product.words} ({region.id})"
        text = f"{makes} and {limit}. {so.format(most=at_most(caution.limit)).removesuffix('.')}: {said}"
        words = f"{ingredient.name} in {product.words}" if level == "ask" else ""
        yield Finding(level, "limit", text, (ingredient.id,), words)


def _cited(rule: Rule) -> str:
    return f"{rule.law}{f', as of {rule.date}' if rule.date else ''}"


def _stands(ingredient: Ingredient) -> str:
    options = "; ".join(stand.option for stand in ingredient.stands)
    return f" In its place: {options}." if options else ""
