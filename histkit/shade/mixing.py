"""How pigments mix: absorption over scattering (Kubelka & Munk), and the glossy surface (Saunderson).

Reflectances are shares of a perfect white, 0 to 1, for each channel or wavelength: arrays of any one shape.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from histkit.base.checking import is_number
from histkit.base.errors import BadValue, quoted

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
