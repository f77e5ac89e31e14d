"""A colour as CIELAB under daylight (D65, 2 degrees), and what is told of it: its depth on skin, its distance from another.

The arithmetic of colour spaces and differences is ColorAide's.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from histkit.base.bibliography import cited, sourced
from histkit.base.checking import is_number
from histkit.base.errors import BadValue, quoted

MOST_CHROMA = 200.0
"""Bound of a* and b*: beyond it lies no colour of a surface."""


@dataclass(frozen=True, slots=True)
class Colour:
    """L* from 0 (black) to 100, a* towards red, b* towards yellow; D65, 2 degree observer."""

    lightness: float
    a: float
    b: float

    def __post_init__(self) -> None:
        if not (is_number(self.lightness) and 0 <= self.lightness <= 110):
            raise BadValue(f"L* is a number from 0 to 100, not {quoted(self.lightness)}")
        for axis, value in (("a*", self.a), ("b*", self.b)):
            if not (is_number(value) and abs(value) <= MOST_CHROMA):
                raise BadValue(f"{axis} is a number from -{MOST_CHROMA:g} to {MOST_CHROMA:g}, not {quoted(value)}")

    @classmethod
    def from_hex(cls, text: str) -> Colour:
        """The colour of a screen's '#bc9a86'. Raises BadValue for any other text."""
        digits = text.strip().removeprefix("#")
        if len(digits) != 6 or any(c not in "0123456789abcdefABCDEF" for c in digits):
            raise BadValue(f"a colour of a screen is six figures such as #bc9a86, not {quoted(text)}")
        return cls(*_converted("srgb", [int(digits[i : i + 2], 16) / 255 for i in (0, 2, 4)], "lab-d65"))

    @classmethod
    def from_channels(cls, channels: Sequence[float]) -> Colour:
        """The colour of linear sRGB channels (red, green, blue as shares of a perfect white)."""
        if len(channels) != 3 or not all(map(is_number, channels)):
            raise BadValue(f"channels are three numbers, red, green and blue, not {quoted(channels)}")
        lightness, a, b = _converted("srgb-linear", [float(c) for c in channels], "lab-d65")
        return cls(max(0.0, lightness), a, b)  # black may come back a hair below 0

    @classmethod
    def under_d50(cls, lightness: float, a: float, b: float) -> Colour:
        """The colour that has this L*a*b* under D50, as the sheets of many colour cards give it (carried over by Bradford)."""
        given = cls(lightness, a, b)
        lightness, a, b = _converted("lab", [*given.axes], "lab-d65")
        return cls(max(0.0, lightness), a, b)

    @classmethod
    def from_reflectance(cls, wavelengths: Sequence[float], reflectance: Sequence[float]) -> Colour:
        """The colour of a surface whose reflectance (0 to 1) is known at these wavelengths (nm, rising, evenly spaced).

        Needs the extra `spectra` (colour-science). Raises BadValue where it is missing, or the figures cannot be a spectrum.
        """
        steps = {round(b - a, 6) for a, b in pairwise(wavelengths)}
        if len(wavelengths) != len(reflectance) or len(steps) != 1 or min(steps) <= 0:
            raise BadValue("a spectrum has one reflectance for each wavelength, and the wavelengths rise in equal steps")
        try:
            import colour
        except ImportError:
            raise BadValue("spectra need one more package: pip install 'histkit[spectra]'") from None
        shape = colour.SpectralShape(wavelengths[0], wavelengths[-1], steps.pop())
        spectrum = colour.SpectralDistribution(dict(zip(wavelengths, reflectance, strict=True)))
        observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape)
        light = colour.SDS_ILLUMINANTS["D65"].copy().align(shape)
        xyz = colour.sd_to_XYZ(spectrum, observer, light, method="Integration") / 100
        white = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
        return cls(*(float(value) for value in colour.XYZ_to_Lab(xyz, white)))

    @property
    def axes(self) -> tuple[float, float, float]:
        """L*, a* and b*."""
        return self.lightness, self.a, self.b

    @property
    def channels(self) -> tuple[float, float, float]:
        """Linear sRGB, red, green and blue; below 0 or above 1 where no screen shows the colour."""
        red, green, blue = _converted("lab-d65", [*self.axes], "srgb-linear")
        return red, green, blue

    @property
    def on_screen(self) -> bool:
        """Whether a screen (sRGB) can show it."""
        return all(-1e-4 <= c <= 1 + 1e-4 for c in self.channels)

    @property
    def hex(self) -> str:
        """What a screen shows for it, '#bc9a86': approximate, and clipped where the screen cannot show it."""
        red, green, blue = _converted("lab-d65", [*self.axes], "srgb")
        return "#" + "".join(f"{round(255 * min(1.0, max(0.0, c))):02x}" for c in (red, green, blue))

    @property
    def ita(self) -> float | None:
        """Individual typology angle in degrees, arctan((L* - 50) / b*); None where b* is not above 0: that is no skin.

        Chardon, Cretois & Hourseau, Int. J. Cosmet. Sci. 13 (1991) 191.
        """
        return math.degrees(math.atan((self.lightness - 50) / self.b)) if self.b > 0 else None

    @property
    def depth(self) -> str:
        """The class of skin that it would be, by its ITA ('light', 'tan' …); '' where it is none."""
        angle = self.ita
        return "" if angle is None else next(d.name for d in depths() if angle > d.above)

    def difference(self, other: Colour) -> float:
        """CIEDE2000 colour difference to another colour: about 1 is just seen side by side."""
        from coloraide import Color

        mine, theirs = (Color("lab-d65", [*colour.axes]) for colour in (self, other))
        return float(mine.delta_e(theirs, method="2000", space="lab-d65"))

    def gap(self, other: Colour) -> tuple[float, float, float]:
        """How much more L*, a* and b* another colour has."""
        return other.lightness - self.lightness, other.a - self.a, other.b - self.b

    def moved(self, by: Sequence[float]) -> Colour:
        """The colour that lies so far from this one in L*, a* and b*; never darker than black."""
        return Colour(max(0.0, self.lightness + by[0]), self.a + by[1], self.b + by[2])

    def towards(self, other: Colour, part: float) -> Colour:
        """The colour a part (0–1) of the way to another."""
        return Colour(*(a * (1 - part) + b * part for a, b in zip(self.axes, other.axes, strict=True)))

    def __str__(self) -> str:
        return f"L* {self.lightness:.1f}, a* {self.a:.1f}, b* {self.b:.1f}"


@dataclass(frozen=True, slots=True)
class Depth:
    """A class of skin colour: `name`, the ITA (degrees) it lies `above`, and a colour in the midst of it."""

    name: str
    above: float
    middle: Colour
    source: str


@cache
def depths() -> tuple[Depth, ...]:
    """The six classes by ITA, the palest first."""
    rows = sourced("shade/depths")
    return tuple(
        Depth(
            row["name"],
            float(row["ita_above"]) if row["ita_above"] else -math.inf,
            Colour(float(row["lightness"]), float(row["a"]), float(row["b"])),
            cited(row, mark=True),
        )
        for row in rows
    )


def depth_called(name: str) -> Depth:
    """The class of this name. Raises BadValue that lists the names."""
    for depth in depths():
        if depth.name == name.strip().lower():
            return depth
    raise BadValue(f"the depth is one of {', '.join(d.name for d in depths())}; not {quoted(name)}")


def _converted(space: str, coordinates: list[float], to: str) -> list[float]:
    from coloraide import Color

    return [float(value) for value in Color(space, coordinates).convert(to).coords(nans=False)]
