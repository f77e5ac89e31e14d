"""How doubtful the amounts of a translation are, as it is to be shown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from histkit.base.descriptions import Range, Ranges, Spoken

if TYPE_CHECKING:
    from histkit.translating.translation import Translation

NEGLIGIBLE = 0.01
"""Spread over best, up to which an amount is not shown as doubtful: no kitchen balance and no printed ounce is surer."""


def doubtful_amounts(translation: Translation) -> Ranges:
    """How far each doubtful amount may lie from its best reading. Lines whose spread is negligible are counted in the foot."""
    unit = "parts" if translation.in_parts else "g"
    rows = tuple(
        Range(t.name, t.grams, f"{t.grams.low:.3g} to {t.grams.high:.3g} {unit}, best {t.grams.best:.3g}")
        for t in translation.lines
        if t.grams and t.grams.best > 0 and t.grams.relative > NEGLIGIBLE
    )
    weighed = sum(1 for t in translation.lines if t.grams is not None)
    sure = weighed - len(rows)
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
