"""How a kind of formula changed, as it is to be shown: the shares of groups of ingredients, decade by decade."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from histkit.base.descriptions import Length, Period, Periods, Spoken
from histkit.base.nouns import Spread
from histkit.base.text import counted
from histkit.books.questions import FEW, Trend, TrendDecade
from histkit.display import pictures
from histkit.display.frames import Frame

_LEAST = 0.005
"""A mean share below this would be printed as 0 %: it is not drawn."""


def describe(trend: Trend) -> Periods:
    """The trend: shares in per cent, the number of formulas under each decade."""
    books = sum(d.books for d in trend.decades)
    return Periods(
        f"{(trend.kind or 'all formulas').capitalize()}: the composition, decade by decade",
        tuple(trend.groups),
        tuple(map(_period, trend.decades)),
        f"Mean shares by {trend.by}, of {counted(sum(d.formulas for d in trend.decades), 'formula')} in {books} books",
        " ".join(("Per cent of the mass.", *trend.notes())),
        Spoken(
            f"Mean composition of {trend.kind or 'all formulas'} by decade",
            lines=(*(_sentence(trend, d) for d in trend.decades), *trend.notes()),
        ),
    )


def _period(decade: TrendDecade) -> Period:
    few = decade.formulas < FEW
    words = f"{decade.decade}s: {counted(decade.formulas, 'formula')}{', few' if few else ''}"
    return Period(f"{decade.decade}s", f"n = {decade.formulas}", words, few, tuple(map(_length, decade.shares)))


def _length(share: float) -> Length:
    return Length(Spread.exact(share), f"{100 * share:.0f}") if share >= _LEAST else Length(None, "–")


def _sentence(trend: Trend, decade: TrendDecade) -> str:
    shares = [f"{g} {100 * s:.0f} %" for g, s in zip(trend.groups, decade.shares, strict=True) if s >= _LEAST]
    return f"{decade.decade}s ({counted(decade.formulas, 'formula')}): {', '.join(shares)}"


def trend_frames(
    trend: Trend, size: Sequence[int] = (3840, 2160), theme_name: str = "paper", transparent: bool = False
) -> tuple[Frame, ...]:
    """The trend as pictures.

    Raises:
        BadValue: the size is none, or there is no such look.
    """
    return pictures.draw(describe(trend), size, theme_name, transparent)


def save_trend(trend: Trend, path: str | Path, size: Sequence[int] = (3840, 2160), theme_name: str = "paper") -> list[Path]:
    """The trend as png, svg or pdf, by the ending of the name; the paths, several where one frame does not hold it."""
    return pictures.save(describe(trend), path, size, theme_name)
