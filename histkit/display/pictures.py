"""Any description for the screen as frames, and as files: the one way from what is to be shown to pictures."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import assert_never

from histkit.base.descriptions import Bars, Card, Ledger, Listing, Periods, Picture, Ranges, Strips
from histkit.display import bars, frames, ledgers, listings, periods, ranges, strips
from histkit.display.frames import Frame, Screen
from histkit.display.palette import theme


def draw(
    described: Picture, size: Sequence[int] = (3840, 2160), theme_name: str = "light", transparent: bool = False
) -> tuple[Frame, ...]:
    """The description laid out for a screen of `size` pixels (width, height): one frame where it fits, else several.

    Raises:
        BadValue: the size or the theme makes no sense, or there is nothing to draw.
    """
    screen, colours = Screen.of(size), theme(theme_name)
    match described:
        case Ledger():
            return ledgers.ledger_frames(described, screen, colours, transparent)
        case Bars():
            return bars.bars_frames(described, screen, colours, transparent)
        case Periods():
            return periods.periods_frames(described, screen, colours, transparent)
        case Ranges():
            return ranges.ranges_frames(described, screen, colours, transparent)
        case Strips():
            return strips.strips_frames(described, screen, colours, transparent)
        case Card():
            return listings.card_frames(described, screen, colours, transparent)
        case Listing():
            return listings.listing_frames(described, screen, colours, transparent)
    assert_never(described)


def save(
    described: Picture,
    path: str | Path,
    size: Sequence[int] = (3840, 2160),
    theme_name: str = "light",
    transparent: bool = False,
    alt_text: bool = False,
) -> list[Path]:
    """Draw into files, by the ending of `path`: .png, .svg or .pdf; the paths, several where one frame does not hold it.

    Raises:
        BadValue: the ending, the size or the theme is none of those.
        RecordError: a file cannot be written.
    """
    target = Path(path)
    frames.kind_of(target)  # before the work of laying out
    return frames.save(draw(described, size, theme_name, transparent), target, alt_text=alt_text)
