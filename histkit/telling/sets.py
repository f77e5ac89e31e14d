"""Every kind of picture that can be drawn of a record, each by its name, for one call that draws one of them or all."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from histkit.base.errors import BadValue, Forbidden
from histkit.display import charts
from histkit.display.frames import Frame

if TYPE_CHECKING:
    from histkit.keeping.records import Record

Size = tuple[int, int]
Sets = Mapping[str, tuple[Frame, ...]]
Draw = Callable[["Record", Size, str, bool], Sets]


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of picture: what it is called, and what draws it."""

    words: str
    draw: Draw


def _table(record: Record, size: Size, theme: str, transparent: bool) -> Sets:
    return {"old and new": record.table().frames(size, theme, transparent)}


def _bars(record: Record, size: Size, theme: str, transparent: bool) -> Sets:
    return {"shares": charts.composition_frames(record.table(), size, theme, transparent)}


def _doubts(record: Record, size: Size, theme: str, transparent: bool) -> Sets:
    return {"doubtful readings": charts.spread_frames(record.translation(), size, theme, transparent)}


def _needs(record: Record, size: Size, theme: str, transparent: bool) -> Sets:
    return {"what you need": charts.need_frames(record.batch(), size, theme, transparent)}


def _steps(record: Record, size: Size, theme: str, transparent: bool) -> Sets:
    sheet, source = record.batch().bench_sheet(), record.source
    cited = source.citation() if source.title else ""
    return {"steps": charts.steps_frames(f"At the bench: {sheet.title}", sheet.steps, size, theme, transparent, cited)}


def _cards(record: Record, size: Size, theme: str, transparent: bool) -> Sets:
    return {f"card {name}": made for name, made in charts.card_frames(record.table(), size, theme, transparent).items()}


KINDS: Mapping[str, Kind] = {
    "table": Kind("old and new, as a table", _table),
    "bars": Kind("shares then and now, as bars", _bars),
    "doubts": Kind("how far doubtful readings may be off", _doubts),
    "needs": Kind("what you need", _needs),
    "steps": Kind("steps at the bench, with their times", _steps),
    "cards": Kind("a card for each ingredient", _cards),
}


def draw_sets(
    record: Record, kinds: Iterable[str], size: Size = (3840, 2160), theme: str = "light", transparent: bool = False
) -> tuple[dict[str, tuple[Frame, ...]], tuple[str, ...]]:
    """The frames of these kinds by name, in order, and the kinds left out because something in it must not be weighed.

    Raises:
        BadValue: a kind that nobody knows, or a size or theme that makes no sense.
        Forbidden: every kind that was asked for would have to be left out.
    """
    drawn: dict[str, tuple[Frame, ...]] = {}
    left_out: list[str] = []
    refused: Forbidden | None = None
    for name in kinds:
        if name not in KINDS:
            raise BadValue(f"a kind of picture is one of {', '.join(KINDS)}, not {name!r}")
        try:
            drawn.update(KINDS[name].draw(record, size, theme, transparent))
        except Forbidden as error:
            left_out.append(name)
            refused = error
    if refused is not None and not drawn:
        raise refused
    return drawn, tuple(left_out)
