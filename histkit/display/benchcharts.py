"""Pictures of the bench: what a change of ingredients does, with its spread, and what came of the trial presses."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from histkit.base.errors import BadValue
from histkit.base.nouns import Spread
from histkit.display.charts import bar_legend, chart
from histkit.display.frames import Bar, Frame, Screen, Words
from histkit.display.layout import Block, Sheet, Stack, Text, line_of, stacked
from histkit.display.lettering import width, wrap
from histkit.display.palette import Theme, theme
from histkit.display.pictures import BESIDE_FROM

if TYPE_CHECKING:
    from histkit.bench.trials import TrialLog, Varied
    from histkit.composing.effects import Effects


@dataclass(frozen=True, slots=True)
class _Pair:
    """A name with two values on one scale: `most` is the full width. `words` stand beside the bars; None: nothing known."""

    name: str
    values: tuple[Spread | None, Spread | None]
    words: tuple[str, str]
    most: float
    bold: bool = False


def effects_frames(
    effects: Effects, size: Sequence[int] = (3840, 2160), theme_name: str = "light", transparent: bool = False
) -> tuple[Frame, ...]:
    """Every figure before and after as a pair of bars, each figure on its own scale, the spread as a thin line over the bar.

    Raises BadValue where no figure is known.
    """
    pairs = []
    for effect in effects.rows:
        both = (effect.before.value, effect.after.value)
        most = max((value.high for value in both if value is not None), default=0.0)
        unit = f" {effect.unit}" if effect.unit else ""
        words = tuple("not known" if value is None else f"{value}{unit}" for value in both)
        if most > 0:
            pairs.append(_Pair(effect.heading, both, (words[0], words[1]), most))
    if not pairs:
        raise BadValue("no figure of this change is known or above 0, so there is nothing to draw")
    gaps = dict.fromkeys(name for effect in effects.rows for name in effect.without)
    foot = "Each figure on its own scale; the thin line is its spread."
    foot += f" Some values are not known for {', '.join(gaps)}." if gaps else ""
    return _pairs_frames("What the change does", foot, pairs, ("before", "after"), size, theme_name, transparent)


def trials_frames(
    log: TrialLog,
    size: Sequence[int] = (3840, 2160),
    vary: Varied = "binder",
    theme_name: str = "light",
    transparent: bool = False,
) -> tuple[Frame, ...]:
    """How likely a cake holds and gives off at every share that was tried and at the one that is suggested, with what came of it.

    Raises BadValue where no trial has a result yet.
    """
    from histkit.bench.proposals import likelihoods, propose

    proposal = propose(log, vary)
    tried: dict[float, list[str]] = {}
    for trial in sorted(log.trials, key=lambda t: t.number):
        share = trial.binder_share if vary == "binder" else trial.oil_share
        held, gave = trial.held(), trial.gave()
        told = [*([] if held is None else ["held" if held else "did not hold"])]
        told += [] if gave is None else ["gave off" if gave else "gave off badly"]
        tried.setdefault(share, []).append(f"trial {trial.number}: {', '.join(told) or 'no result'}")
    shares = sorted({*tried, proposal.share.best})
    pairs = []
    for share, likely in zip(shares, likelihoods(log, shares, vary), strict=True):
        suggested = share == proposal.share.best
        name = f"{100 * share:.4g} %: {'; '.join([*tried.get(share, []), *(['suggested next'] if suggested else [])])}"
        words = tuple("–" if value is None else f"{100 * value:.0f} %" for value in likely)
        values = tuple(None if value is None else Spread.exact(value) for value in likely)
        pairs.append(_Pair(name, (values[0], values[1]), (words[0], words[1]), 1.0, suggested))
    foot = f"A suggestion, no measurement: {proposal.share * 100} % of {vary}. Curves: common practice, no source."
    heads = ("likely to hold", "likely to give off")
    return _pairs_frames(f"Trials: {log.name}" if log.name else "Trials", foot, pairs, heads, size, theme_name, transparent)


def _pairs_frames(
    title: str,
    foot: str,
    pairs: Sequence[_Pair],
    heads: tuple[str, str],
    size: Sequence[int],
    theme_name: str,
    transparent: bool,
) -> tuple[Frame, ...]:
    screen, colours = Screen.of(size), theme(theme_name)
    wide = screen.ems >= BESIDE_FROM

    def make(type_size: float) -> Sheet:
        names = max(width(pair.name, type_size, "bold" if pair.bold else "regular") for pair in pairs)
        left = screen.left + (min(names * 1.01, 0.4 * screen.room) + type_size if wide else 0.0)
        figure = max(width(words, type_size) for pair in pairs for words in pair.words) + 0.5 * type_size
        room = screen.right - left - figure
        blocks = tuple(_pair_block(pair, type_size, left, room, wide, screen, colours) for pair in pairs)
        return Sheet(type_size, blocks, bar_legend(heads, type_size, left, screen, colours), gap=0.4, stretch=1.0)

    def alt(_words: str, which: str) -> str:
        rows = [f"{p.name}: {heads[0]} {p.words[0]}, {heads[1]} {p.words[1]}." for p in pairs]
        return "\n".join([f"{title}{which}.", *rows, foot])

    return chart(make, Text(title, "", foot, {}, alt), screen, colours, transparent)


def _pair_block(pair: _Pair, size: float, left: float, room: float, wide: bool, screen: Screen, colours: Theme) -> Block:
    """The name of a pair and its two bars, each with its spread as a thin line and its words behind."""
    face = "bold" if pair.bold else "regular"
    label = wrap(pair.name, size, left - screen.left - size if wide else screen.room, face)  # type: ignore[arg-type]
    stacks = [Stack(tuple(label), screen.left, colours.ink, face)]  # type: ignore[arg-type]
    lines = [list(line) for line in stacked(size, stacks)]
    first = 0 if wide else len(label)
    while len(lines) < first + 2:
        lines.append([])
    thin = screen.rule()
    for offset, (value, words, colour) in enumerate(zip(pair.values, pair.words, (colours.shade, colours.new), strict=True)):
        long, end = 0.0, 0.0
        if value is not None:
            long, end = value.best / pair.most * room, value.high / pair.most * room
            lines[first + offset].append(Bar(left, 0.17 * size, max(long, thin), 0.92 * size, colour))
            if not value.is_exact:
                start = value.low / pair.most * room  # light upon the bar, dark beyond it, so that it is seen on both
                lines[first + offset].append(Bar(left + start, 0.6 * size, max(long - start, 0.0), thin, colours.paper))
                lines[first + offset].append(Bar(left + long, 0.6 * size, max(end - long, thin), thin, colours.ink))
        x = left + max(long, end) + 0.4 * size
        lines[first + offset] += line_of(size, Words(words, x, 0, size, colours.ink if value else colours.muted))
    return Block(tuple(map(tuple, lines)), hair=pair.bold)
