"""How pigments mix: absorption over scattering (Kubelka & Munk), the glossy surface (Saunderson), and measured slopes.

Reflectances are shares of a perfect white, 0 to 1, for each channel or wavelength: arrays of any one shape.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from histkit.base.checking import is_number
from histkit.base.errors import BadValue, quoted
from histkit.composing.solving import within_bounds
from histkit.shade.colour import Colour

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike

    Values = np.ndarray[tuple[int, ...], np.dtype[np.float64]]

LEAST, MOST = 1e-4, 0.9999
"""Bounds of a reflectance: at 0 and at 1 absorption over scattering is no number."""


@dataclass(frozen=True, slots=True)
class Surface:
    """What a smooth surface does to light: `outside` (k1), the share sent back at once from without, `inside` (k2), from within.

    Pressed powder has no such surface and keeps 0 and 0 (own judgement); paint and glazed cakes have about 0.04 and 0.6.
    Saunderson, J. Opt. Soc. Am. 32 (1942) 727.
    """

    outside: float = 0.0
    inside: float = 0.0

    def __post_init__(self) -> None:
        for name, value in (("outside", self.outside), ("inside", self.inside)):
            if not (is_number(value) and 0 <= value < 1):
                raise BadValue(f"{name} of a surface is a share from 0 to below 1, not {quoted(value)}")

    def seen(self, within: ArrayLike) -> Values:
        """The reflectance that is measured, from the one within the material."""
        import numpy as np

        inner = np.asarray(within, dtype=np.float64)
        seen: Values = self.outside + (1 - self.outside) * (1 - self.inside) * inner / (1 - self.inside * inner)
        return seen

    def within(self, seen: ArrayLike) -> Values:
        """The reflectance within the material, from the one that is measured."""
        import numpy as np

        outer = np.clip(np.asarray(seen, dtype=np.float64), self.outside + LEAST, MOST) - self.outside
        inner: Values = outer / ((1 - self.outside) * (1 - self.inside) + self.inside * outer)
        return inner


BARE = Surface()


def ratio(reflectance: ArrayLike) -> Values:
    """Absorption over scattering, K/S = (1 - R)^2 / 2R, of an opaque layer of this reflectance."""
    import numpy as np

    r = np.clip(np.asarray(reflectance, dtype=float), LEAST, MOST)
    ks: Values = (1 - r) ** 2 / (2 * r)
    return ks


def reflectance(ks: ArrayLike) -> Values:
    """The reflectance of an opaque layer with this absorption over scattering, R = 1 + K/S - sqrt((K/S)^2 + 2 K/S)."""
    import numpy as np

    values = np.maximum(np.asarray(ks, dtype=float), 0.0)
    reflected: Values = 1 + values - np.sqrt(values**2 + 2 * values)
    return reflected


def mixed(
    shares: Mapping[str, float], absorption: Mapping[str, ArrayLike], scattering: Mapping[str, ArrayLike], surface: Surface = BARE
) -> Values:
    """The measured reflectance of a mixture of which each part's K and S are known: K and S add by share.

    Raises BadValue where a part is unknown or nothing is mixed.
    """
    import numpy as np

    unknown = [name for name in shares if name not in absorption or name not in scattering]
    if unknown:
        raise BadValue(f"no absorption and scattering is known for {', '.join(unknown)}")
    if not shares or min(shares.values()) < 0 or sum(shares.values()) <= 0:
        raise BadValue("a mixture has shares of 0 or more that are not all 0")
    k = sum(share * np.asarray(absorption[name], dtype=float) for name, share in shares.items())
    s = sum(share * np.asarray(scattering[name], dtype=float) for name, share in shares.items())
    return surface.seen(reflectance(k / s))


@dataclass(frozen=True, slots=True)
class Slopes:
    """What measured additions did to the colour: for each, its name and the change of L*, a*, b* for one unit of it.

    The way of J. Soc. Cosmet. Chem. 27 (1976) 40: no model of the pigments, only the last batches. `unit` says what one is.
    """

    steps: tuple[tuple[str, tuple[float, float, float]], ...]
    unit: str = "per cent of the powder"

    def correction(self, now: Colour, target: Colour, most: float = 100.0) -> dict[str, float]:
        """How much of each to add, 0 to `most` units, to come nearest to the target (least squares in L*, a*, b*).

        Raises BadValue where nothing was measured.
        """
        if not self.steps:
            raise BadValue("no addition was measured yet: add a little of one, press it, and measure it")
        rows = [[change[axis] for _, change in self.steps] for axis in range(3)]
        found = within_bounds(rows, now.gap(target), [0.0] * len(self.steps), [most] * len(self.steps))
        return {name: amount for (name, _), amount in zip(self.steps, found, strict=True)}

    def after(self, now: Colour, added: Mapping[str, float]) -> Colour:
        """The colour that these additions lead to."""
        sums = [sum(added.get(name, 0.0) * change[axis] for name, change in self.steps) for axis in range(3)]
        return Colour(now.lightness + sums[0], now.a + sums[1], now.b + sums[2])

    @classmethod
    def measured(cls, batches: Sequence[tuple[Mapping[str, float], Colour]], unit: str = "per cent of the powder") -> Slopes:
        """The slopes between batches that follow each other, where only one thing was added from one to the next.

        Raises BadValue where two things were added at once, or none.
        """
        steps: dict[str, tuple[float, float, float]] = {}
        for (before, was), (after, became) in pairwise(batches):
            names = dict.fromkeys((*before, *after))
            added = {n: d for n in names if abs(d := after.get(n, 0.0) - before.get(n, 0.0)) > 1e-12}
            if len(added) != 1:
                raise BadValue(
                    f"between two measured batches one thing is added, and one only; here: {', '.join(added) or 'none'}"
                )
            ((name, amount),) = added.items()
            changes = was.gap(became)
            steps[name] = (changes[0] / amount, changes[1] / amount, changes[2] / amount)
        return cls(tuple(steps.items()), unit)
