"""Every kind of picture that can be drawn of a record, each by its name, for one call that draws one of them or all."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from histkit.base.errors import BadValue, Forbidden
from histkit.base.filmed import Picture
from histkit.base.nouns import Source
from histkit.bench import describing as bench
from histkit.display import pictures
from histkit.display.frames import Frame
from histkit.telling import describing, filming
from histkit.translating.describing import doubtful_amounts

if TYPE_CHECKING:
    from histkit.bench.batching import Batch
    from histkit.bench.pans import Filling, PansNeed
    from histkit.telling.comparison import ComparisonTable
    from histkit.translating.translation import Translation

Size = tuple[int, int]


class Pictured(Protocol):
    """What pictures can be drawn of: a formula with its table, its translation and its batch, as far as they can be had."""

    @property
    def source(self) -> Source: ...

    def table(self) -> ComparisonTable: ...

    def translation(self) -> Translation: ...

    def batch(self) -> Batch: ...

    def filling(self) -> Filling | None: ...

    def pans_need(self) -> PansNeed | None: ...


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of picture: what it is called, and what is to be shown in it, by name."""

    words: str
    describe: Callable[[Pictured], Mapping[str, Picture]]


def _table(record: Pictured) -> Mapping[str, Picture]:
    return {"old and new": record.table().describe()}


def _bars(record: Pictured) -> Mapping[str, Picture]:
    return {"shares": describing.shares(record.table())}


def _doubts(record: Pictured) -> Mapping[str, Picture]:
    return {"doubtful readings": doubtful_amounts(record.translation())}


def _needs(record: Pictured) -> Mapping[str, Picture]:
    return {"what you need": bench.needs(record.batch())}


def _steps(record: Pictured) -> Mapping[str, Picture]:
    sheet, source = record.batch().bench_sheet(), record.source
    cited = source.citation() if source.title else ""
    return {"steps": bench.steps(f"At the bench: {sheet.title}", sheet.steps, cited)}


def _cards(record: Pictured) -> Mapping[str, Picture]:
    return {f"card {name}": card for name, card in describing.cards(record.table()).items()}


def _poisons(record: Pictured) -> Mapping[str, Picture]:
    return {f"poison {name}": card for name, card in filming.poison_cards(record.table()).items()}


def _stand_ins(record: Pictured) -> Mapping[str, Picture]:
    return {f"in place of {name}": card for name, card in filming.stand_in_cards(record.table()).items()}


def _step_cards(record: Pictured) -> Mapping[str, Picture]:
    return filming.step_cards(record.batch())


def _pans(record: Pictured) -> Mapping[str, Picture]:
    filling, need = record.filling(), record.pans_need()
    if filling is None or need is None:
        return {}
    table = record.table()
    return {"pans": filming.pan_plan(table.title, filling, need, source=table.citation())}


def _plaques(record: Pictured) -> Mapping[str, Picture]:
    return filming.plaques(record.table())


KINDS: Mapping[str, Kind] = {
    "table": Kind("old and new, as a table", _table),
    "bars": Kind("shares then and now, as bars", _bars),
    "doubts": Kind("how far doubtful readings may be off", _doubts),
    "needs": Kind("what you need", _needs),
    "steps": Kind("steps at the bench, with their times", _steps),
    "cards": Kind("a card for each ingredient", _cards),
    "poisons": Kind("a card for each poison", _poisons),
    "stand-ins": Kind("a card for what stands in its place", _stand_ins),
    "step-cards": Kind("a card for each step", _step_cards),
    "pans": Kind("the pans, to scale", _pans),
    "plaques": Kind("title, lower thirds and end card", _plaques),
}


def draw_sets(
    record: Pictured, kinds: Iterable[str], size: Size = (3840, 2160), theme: str | Path = "paper", transparent: bool = False
) -> tuple[dict[str, tuple[Frame, ...]], tuple[str, ...]]:
    """The frames of these kinds by name, in order, and the kinds left out because something in it must not be weighed.

    Raises:
        BadValue: a kind that nobody knows, a size or look that makes no sense, or nothing of what was asked for is in the record.
        Forbidden: every kind that was asked for would have to be left out.
    """
    drawn: dict[str, tuple[Frame, ...]] = {}
    left_out: list[str] = []
    refused: Forbidden | None = None
    for name in kinds:
        if name not in KINDS:
            raise BadValue(f"a kind of picture is one of {', '.join(KINDS)}, not {name!r}")
        try:
            described = KINDS[name].describe(record)
        except Forbidden as error:
            left_out.append(name)
            refused = error
            continue
        drawn.update({title: pictures.draw(picture, size, theme, transparent) for title, picture in described.items()})
    if not drawn:
        raise refused or BadValue("there is nothing to draw: no poison, no stand-in or no pan is in this record")
    return drawn, tuple(left_out)
