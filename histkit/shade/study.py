"""What a blend will look like, from pressed swatches of the maker's own base and pigments, and the next addition to a target.

One constant for each pigment and channel: the absorption over scattering that a share of it adds to the base's (K/S of a mix =
K/S of the base + sum of share × u). u is fitted to the tints; how badly they agree, and what the swatches themselves are
uncertain by, is the spread. It holds for tints up to a tenth of pigment in a powder that scatters like the base. It does not
hold for pearls, for skin, or for pigments of other makers than those of the swatches.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from histkit import glossary
from histkit.base.checking import is_number, positive
from histkit.base.errors import BadValue, quoted
from histkit.base.grid import Column, Grid
from histkit.base.text import Cell
from histkit.bench.extension import Extension
from histkit.composing.solving import within_bounds
from histkit.display.tabular import Tabular
from histkit.shade.colour import Colour
from histkit.shade.mixing import BARE, LEAST, MOST, Surface, ratio, reflectance
from histkit.shade.slopes import Slopes

if TYPE_CHECKING:
    from histkit.shade.mixing import Values

MOST_PIGMENT = 0.10
"""Share of all pigments beyond which one constant for each says nothing."""
_CLOSE = 0.3
"""CIEDE2000 at which the search for an addition ends: nobody sees less."""
_ROUNDS = 40
IN_A_HUNDRED = "gram in 100 g of powder"
"""The unit of what is added to a batch."""
_GRAM = 0.1
"""Grams in 100 g over which it is worked out what an addition does."""
_STEP = 1e-4
"""Share of pigment over which slopes of the colour are taken."""
_PHOTOGRAPH = 0.01
"""Uncertainty of a channel of a swatch of which none is given, as a share of it (a photograph corrected by a card)."""


@dataclass(frozen=True, slots=True)
class Swatch:
    """A pressed swatch: `shares` of each pigment in it (of its mass; empty for the bare base), its channels as shares of white.

    `channels` are linear red, green, blue of a corrected photograph, or reflectances at some wavelengths; `error` is what each is
    uncertain by, as a share of it.
    """

    name: str
    channels: tuple[float, ...]
    shares: tuple[tuple[str, float], ...] = ()
    error: float = _PHOTOGRAPH

    def __post_init__(self) -> None:
        if len(self.channels) < 3 or not all(is_number(c) and 0 <= c <= 1.05 for c in self.channels):
            raise BadValue(f"swatch {self.name!r} has three or more channels, numbers from 0 to 1, not {quoted(self.channels)}")
        if not (is_number(self.error) and 0 <= self.error < 1):
            raise BadValue(f"the error of swatch {self.name!r} is a share from 0 to below 1, not {quoted(self.error)}")
        for key, share in self.shares:
            if not (is_number(share) and 0 < share < 1):
                raise BadValue(f"the share of {key} in swatch {self.name!r} lies between 0 and 1, not {quoted(share)}")

    @property
    def colour(self) -> Colour:
        """Its colour; three channels only."""
        if len(self.channels) != 3:
            raise BadValue(f"swatch {self.name!r} has reflectances by wavelength: use Colour.from_reflectance")
        return Colour.from_channels(self.channels)


@dataclass(frozen=True, slots=True)
class Prediction:
    """The colour of a blend, and how far the true one may lie from it (CIEDE2000, about 9 times in 10)."""

    shares: tuple[tuple[str, float], ...]
    colour: Colour
    within: float
    channels: tuple[float, ...]
    warnings: tuple[str, ...] = ()

    def __str__(self) -> str:
        return f"{self.colour}, within {self.within:.1f}"


@dataclass(frozen=True, slots=True)
class Addition(Tabular):
    """What to add to a batch: `grams` of each extension now, `left` of each for the whole way; the colour that is then expected.

    `gap` is the distance (CIEDE2000) now, `reached` the one foreseen after the whole way.
    """

    grams: tuple[tuple[str, float], ...]
    left: tuple[tuple[str, float], ...]
    expected: Colour
    gap: float
    reached: float
    notes: tuple[str, ...] = ()

    def _grid(self) -> Grid:
        rest = dict(self.left)
        rows: tuple[tuple[Cell, ...], ...] = tuple((name, round(grams, 3), round(rest[name], 3)) for name, grams in self.grams)
        columns = (Column("extension", "Extension"), Column("now", "Add now, g"), Column("left", "For the whole way, g"))
        caption = f"From {self.gap:.1f} to {self.reached:.1f} (difference CIEDE2000; about 1 is just seen)"
        return Grid(columns, rows, caption)


@dataclass(frozen=True)
class Study:
    """The maker's own swatches: the base alone and tints of each pigment in it, all pressed alike.

    Raises BadValue where there is no tint, a tint is over a tenth of pigment, or holds two pigments.
    """

    base: Swatch
    tints: tuple[Swatch, ...]
    surface: Surface = field(default=BARE)

    def __post_init__(self) -> None:
        if not self.tints:
            raise BadValue("a study needs a tint for each pigment: the base with 2 to 10 % of it, pressed like the base")
        for tint in self.tints:
            if len(tint.channels) != len(self.base.channels):
                raise BadValue(f"swatch {tint.name!r} has {len(tint.channels)} channels, the base {len(self.base.channels)}")
            if len(tint.shares) != 1:
                raise BadValue(f"tint {tint.name!r} holds one pigment in the base; it says {len(tint.shares)}")
            if tint.shares[0][1] > MOST_PIGMENT + 1e-9:
                raise BadValue(f"tint {tint.name!r} holds over {MOST_PIGMENT:.0%} of pigment: too much to foresee anything by")

    @property
    def pigments(self) -> tuple[str, ...]:
        """The pigments that it knows."""
        return tuple(dict.fromkeys(tint.shares[0][0] for tint in self.tints))

    @cached_property
    def _units(self) -> dict[str, tuple[Values, Values]]:
        """For each pigment what a share of 1 adds to K/S in each channel, and the standard error of that."""
        import numpy as np

        ground, ground_error = self._ground
        found = {}
        for pigment in self.pigments:
            tints = [tint for tint in self.tints if tint.shares[0][0] == pigment]
            shares = np.array([tint.shares[0][1] for tint in tints])[:, None]
            pairs = [self._ks(tint) for tint in tints]
            rise = np.array([ks for ks, _ in pairs]) - ground
            errors = np.hypot(np.array([error for _, error in pairs]), ground_error)
            weights = 1 / np.maximum(errors, 1e-9) ** 2
            total = (weights * shares**2).sum(axis=0)
            unit = np.maximum((weights * shares * rise).sum(axis=0) / total, 0.0)
            misfit = (weights * (rise - shares * unit) ** 2).sum(axis=0) / max(len(tints) - 1, 1)
            found[pigment] = unit, np.sqrt(np.maximum(misfit if len(tints) > 1 else 1.0, 1.0) / total)
        return found

    @cached_property
    def _ground(self) -> tuple[Values, Values]:
        """K/S of the bare base, and its error."""
        return self._ks(self.base)

    def _ks(self, swatch: Swatch) -> tuple[Values, Values]:
        """K/S of a swatch in each channel, and what the error of the channels makes of it."""
        import numpy as np

        within = np.clip(self.surface.within(swatch.channels), LEAST, MOST)
        ks = ratio(within)
        slope = np.abs((1 - within**2) / (2 * within**2))  # |dK/S / dR|
        return ks, np.maximum(slope * swatch.error * within, 1e-9)

    def _channels(self, shares: Mapping[str, float], shift: tuple[str, int, float] | None = None) -> Values:
        ks = self._ground[0].copy()
        for pigment, share in shares.items():
            unit, error = self._units[pigment]
            values = unit.copy()
            if shift is not None and shift[0] == pigment:
                values[shift[1]] += shift[2] * error[shift[1]]
            ks += share * values
        if shift is not None and shift[0] == "":
            ks[shift[1]] += shift[2] * self._ground[1][shift[1]]
        return self.surface.seen(reflectance(ks))

    def _colour(self, shares: Mapping[str, float]) -> Colour:
        return Colour.from_channels(tuple(self._channels(shares)))

    def predict(self, shares: Mapping[str, float]) -> Prediction:
        """The colour of the base with these shares of pigments (of the mass of the powder).

        Raises BadValue for a pigment without a tint and for shares that are none. Over a tenth of pigment, or where the swatches
        are given by wavelength, it says so.
        """
        known = self._checked(shares)
        best = self._channels(known)
        colour = Colour.from_channels(tuple(best))
        squares = 0.0
        for pigment in ("", *known):
            for channel in range(len(best)):
                other = self._channels(known, (pigment, channel, 1.0))
                squares += colour.difference(Colour.from_channels(tuple(other))) ** 2
        total = sum(known.values())
        warnings = []
        if total > MOST_PIGMENT:
            warnings.append(f"{total:.0%} of pigment is more than the {MOST_PIGMENT:.0%} for which this holds")
        seen = {p: max(t.shares[0][1] for t in self.tints if t.shares[0][0] == p) for p in known}
        beyond = [p for p, share in known.items() if share > 1.5 * seen[p]]
        warnings += [f"{glossary.name_of(p)}: no swatch has more than {seen[p]:.1%} of it" for p in beyond]
        # 1.64 standard errors hold 9 of 10; the model itself is off by up to 0.2 below a tenth of pigment
        within = 1.64 * math.sqrt(squares) + 0.2
        return Prediction(tuple(known.items()), colour, within, tuple(float(c) for c in best), tuple(warnings))

    def _checked(self, shares: Mapping[str, float]) -> dict[str, float]:
        if len(self.base.channels) != 3:
            raise BadValue("colours are foreseen from three channels; by wavelength use `reflectances`")
        for pigment, share in shares.items():
            if pigment not in self.pigments:
                raise BadValue(f"no tint of {pigment} is in this study; it knows {', '.join(self.pigments)}")
            if not (is_number(share) and 0 <= share <= 0.5):
                raise BadValue(f"the share of {pigment} is a number from 0 to 0.5, not {quoted(share)}")
        return {pigment: float(share) for pigment, share in shares.items()}

    def reflectances(self, shares: Mapping[str, float]) -> tuple[float, ...]:
        """The reflectance of a blend at each channel or wavelength of the swatches."""
        return tuple(float(value) for value in self._channels(shares))

    def next_addition(
        self,
        now: Swatch,
        target: Colour,
        grams: float,
        extensions: Sequence[Extension],
        part: float = 0.5,
    ) -> Addition:
        """What to grind into so many grams of the powder whose swatch is `now`, to come nearest to the target.

        The model is first shifted to what was really measured on `now`. `part` of the way is proposed at once, since pigment
        cannot be taken out again (common practice: half; then press, measure, ask again). Raises BadValue for a pigment
        without a tint, an extension named twice, a part that is none.
        """
        positive(grams, "grams of powder")
        if not (is_number(part) and 0 < part <= 1):
            raise BadValue(f"the part of the way is a share above 0, up to 1, not {quoted(part)}")
        if len({e.pigment for e in extensions}) != len(extensions) or not extensions:
            raise BadValue("name each extension once, one at least")
        start = self._checked({**dict.fromkeys(self.pigments, 0.0), **dict(now.shares)})
        seen, foreseen = now.colour, self.predict(start).colour
        shift = foreseen.gap(seen)
        room = max(0.0, MOST_PIGMENT - sum(start.values()))
        whole = self._solve(start, [e.pigment for e in extensions], target, shift, room)
        end = {p: start[p] + whole.get(p, 0.0) for p in start}
        reached = self.predict(end).colour.moved(shift)
        expected = self.predict({p: start[p] + part * whole.get(p, 0.0) for p in start}).colour.moved(shift)
        notes = ["Grind it in, press a swatch, photograph it beside the card, and ask again."]
        notes += _cannot(reached, target, seen)
        left = _extension_grams(extensions, start, whole, grams)
        now_grams = _extension_grams(extensions, start, {p: part * share for p, share in whole.items()}, grams)
        return Addition(
            tuple(now_grams.items()),
            tuple(left.items()),
            expected,
            seen.difference(target),
            reached.difference(target),
            tuple(notes),
        )

    def slopes(self, shares: Mapping[str, float], extensions: Sequence[Extension], plain: Sequence[str] = ()) -> Slopes:
        """What a gram of each extension, and of plain base (ids), is expected to do to 100 g of a powder with these pigments."""
        start = self._checked({**dict.fromkeys(self.pigments, 0.0), **shares})
        here = self._colour(start)
        brings: list[tuple[str, str, float]] = [(e.name, e.pigment, e.share) for e in extensions]
        brings += [(glossary.name_of(key), "", 0.0) for key in plain]
        steps = []
        for name, pigment, share in brings:
            then = {p: (100 * s + (_GRAM * share if p == pigment else 0.0)) / (100 + _GRAM) for p, s in start.items()}
            change = here.gap(self._colour(then))
            steps.append((name, (change[0] / _GRAM, change[1] / _GRAM, change[2] / _GRAM)))
        return Slopes(tuple(steps), IN_A_HUNDRED, tuple(name for name, _ in steps))

    def _solve(
        self, start: Mapping[str, float], pigments: Sequence[str], target: Colour, shift: tuple[float, float, float], room: float
    ) -> dict[str, float]:
        """Shares of each pigment to add, 0 or more, by least squares in L*a*b* along the slopes, again and again."""
        added = dict.fromkeys(pigments, 0.0)
        for _ in range(_ROUNDS):
            here = {p: start[p] + added.get(p, 0.0) for p in start}
            at = self._colour(here).moved(shift)
            columns = []
            for pigment in pigments:
                beside = self._colour({**here, pigment: here[pigment] + _STEP}).moved(shift)
                columns.append([change / _STEP for change in at.gap(beside)])
            rows = [[column[axis] for column in columns] for axis in range(3)]
            lows = [-added[p] for p in pigments]
            highs = [max(0.0, room - added[p]) for p in pigments]
            steps = within_bounds(rows, at.gap(target), lows, highs)
            change = {p: 0.7 * step for p, step in zip(pigments, steps, strict=True)}
            added = {p: max(0.0, added[p] + change[p]) for p in pigments}
            if max(abs(c) for c in change.values()) < 1e-6 or at.difference(target) < _CLOSE / 10:
                break
        return added


def _extension_grams(
    extensions: Sequence[Extension], start: Mapping[str, float], added: Mapping[str, float], grams: float
) -> dict[str, float]:
    """Grams of each extension that bring the shares from `start` to `start` + `added`, the powder growing with all of them.

    Raises BadValue where the extensions are too weak for that.
    """
    ends = {e.pigment: (start[e.pigment] + added[e.pigment]) for e in extensions}
    taken = sum(ends[e.pigment] / e.share for e in extensions)
    if taken >= 1:
        raise BadValue("the extensions are too weak for this target: grind stronger ones (a share up to 0.5)")
    grown = grams * sum(added[e.pigment] / e.share for e in extensions) / (1 - taken)
    return {e.name: max(0.0, (ends[e.pigment] * (grams + grown) - grams * start[e.pigment]) / e.share) for e in extensions}


def _cannot(reached: Colour, target: Colour, now: Colour) -> list[str]:
    """What no addition of these extensions can do."""
    if reached.difference(target) < 1.0:
        return []
    if target.lightness > now.lightness + 0.5:
        return ["Colour makes a powder darker, never paler: for a paler one take more base or white."]
    return ["These extensions alone do not reach the target: another pigment is wanted."]
