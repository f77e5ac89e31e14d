"""How doubtful the amounts of a translation are, as it is to be shown."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from histkit.base.descriptions import Range, Ranges, Spoken
from histkit.base.nouns import Spread
from histkit.base.text import listed

if TYPE_CHECKING:
    from histkit.translating.translation import Translation

NEGLIGIBLE = 0.01
"""Spread over best, up to which an amount is not shown as doubtful: no kitchen balance and no printed ounce is surer."""


def doubtful_amounts(translation: Translation) -> Ranges:
    """How far each doubtful amount may lie from its best reading. Lines whose spread is negligible are counted in the foot."""
    unit = "parts" if translation.in_parts else "g"
    doubtful = [(t.name, t.grams) for t in translation.lines if t.grams and t.grams.best > 0 and t.grams.relative > NEGLIGIBLE]
    rows = tuple(_range(names, grams, unit) for names, grams in _alike(doubtful))
    weighed = sum(1 for t in translation.lines if t.grams is not None)
    sure = weighed - len(doubtful)
    foot = (
        f"{sure} of {weighed} weighed lines {'is' if sure == 1 else 'are'} sure to within {100 * NEGLIGIBLE:g} %." if sure else ""
    )
    source, name = translation.formula.source, translation.formula.title
    cited = source.citation() if source else "source not given"
    what = f"How far the amounts of {name or 'this formula'} are in doubt"
    return Ranges(
        f"{name}: how sure are the amounts?" if name else "How sure are the amounts?",
        rows,
        best_head="best reading",
        words_head="range",
        nothing="No amount is in doubt.",
        subtitle=cited,
        foot=foot,
        spoken=Spoken(what, cited, (*(f"{row.name}: {row.words}." for row in rows), foot)),
    )


def _alike(doubtful: list[tuple[str, Spread]]) -> list[tuple[tuple[str, ...], list[Spread]]]:
    """Names and amounts that are in doubt by the same factors together: what all ounces do is one doubt, not one for each."""
    groups: dict[tuple[str, str], list[tuple[str, Spread]]] = {}
    for name, grams in doubtful:
        groups.setdefault((f"{grams.low / grams.best:.3f}", f"{grams.high / grams.best:.3f}"), []).append((name, grams))
    return [(tuple(name for name, _ in group), [grams for _, grams in group]) for group in groups.values()]


def _range(names: tuple[str, ...], grams: list[Spread], unit: str) -> Range:
    """One range for amounts that move together."""
    whole = Spread(*(math.fsum(side) for side in zip(*((g.low, g.best, g.high) for g in grams), strict=True)))
    together = " together" if len(grams) > 1 else ""
    return Range(listed(names), whole, f"{whole.low:.3g} to {whole.high:.3g} {unit}{together}, best {whole.best:.3g}")
