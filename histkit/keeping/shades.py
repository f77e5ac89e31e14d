"""Swatches as a record keeps them, and the study that they make together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from histkit.base import fields as shapes
from histkit.base.errors import BadValue
from histkit.base.fields import kept
from histkit.shade.colour import Colour
from histkit.shade.extension import Extension
from histkit.shade.study import Addition, Study, Swatch

ROLES = ("base", "tint", "powder", "target")


@dataclass(frozen=True, slots=True)
class KeptSwatch:
    """A swatch and what it is: the bare base, a tint of one pigment, the powder as it is now, or what it is to look like."""

    name: str = kept(shapes.MISSING, "the name of a swatch")
    role: str = kept(shapes.MISSING, "what a swatch is", choices=ROLES)
    channels: tuple[float, float, float] = kept(
        shapes.MISSING, "red, green and blue of a swatch, as shares of white in linear light; such a share", least=0, most=1.05
    )
    pigments: tuple[tuple[str, float], ...] = kept(
        (), "what colour is in a swatch: pairs of an id and its share of the mass; such a share", above=0, below=1
    )
    error: float = kept(0.01, "what the channels of a swatch may be off, as a share,", least=0, below=1)

    def __post_init__(self) -> None:
        shapes.check(self)

    def swatch(self) -> Swatch:
        """The swatch itself."""
        return Swatch(self.name, self.channels, self.pigments, self.error)


def study_of(swatches: Sequence[KeptSwatch]) -> Study:
    """The study of the kept swatches: one base, and tints.

    Raises BadValue where there is no base, or more than one, or no tint.
    """
    bases = [s for s in swatches if s.role == "base"]
    if len(bases) != 1:
        raise BadValue(f"a study has one swatch of the bare base; {len(bases)} are kept")
    return Study(bases[0].swatch(), tuple(s.swatch() for s in swatches if s.role == "tint"))


def target_of(swatches: Sequence[KeptSwatch]) -> Colour:
    """The colour that the powder is to have. Raises BadValue where none is kept, or several are."""
    targets = [s for s in swatches if s.role == "target"]
    if len(targets) != 1:
        raise BadValue(f"keep one swatch as the target; {len(targets)} are kept")
    return targets[0].swatch().colour


def next_addition(swatches: Sequence[KeptSwatch], grams: float, share: float = 0.2, part: float = 0.5) -> Addition:
    """What to add to so many grams of the powder whose swatch was kept last, of extensions that hold `share` of pigment.

    Raises BadValue where base, tint, powder or target is missing.
    """
    powders = [s for s in swatches if s.role == "powder"]
    if not powders:
        raise BadValue("keep a pressed swatch of the powder as it is now")
    study = study_of(swatches)
    extensions = [Extension(pigment, share=share) for pigment in study.pigments]
    return study.next_addition(powders[-1].swatch(), target_of(swatches), grams, extensions, part)
