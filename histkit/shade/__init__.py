"""Shade: pigment ground into base, swatches from a photograph, what a blend will look like, and the next addition.

study = hk.shade.Study(base, tints)                  # swatches of the maker's own base and pigments
study.predict({"red-iron-oxide": 0.01})              # a colour with its spread
study.next_addition(now, target)                     # grams of each colour extension
hk.shade.tinted(composition, [(extension, 5)])       # a powder with 5 per cent of a colour extension
hk.shade.starting_point("tan")                       # without any swatch: wide, common practice
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from histkit.base.lazy import names_of

if TYPE_CHECKING:
    from histkit.bench.extension import Extension as Extension
    from histkit.shade.cards import Card as Card
    from histkit.shade.cards import read_card as read_card
    from histkit.shade.colour import Colour as Colour
    from histkit.shade.colour import Depth as Depth
    from histkit.shade.colour import depths as depths
    from histkit.shade.photograph import Box as Box
    from histkit.shade.photograph import ColourCard as ColourCard
    from histkit.shade.photograph import swatches_from as swatches_from
    from histkit.shade.slopes import Slopes as Slopes
    from histkit.shade.starts import row_of_tests as row_of_tests
    from histkit.shade.starts import starting_point as starting_point
    from histkit.shade.study import Addition as Addition
    from histkit.shade.study import Prediction as Prediction
    from histkit.shade.study import Study as Study
    from histkit.shade.study import Swatch as Swatch
    from histkit.shade.tinting import tinted as tinted

_HOMES = {
    **dict.fromkeys(("Card", "read_card"), ".cards"),
    **dict.fromkeys(("Colour", "Depth", "depths"), ".colour"),
    "Extension": "histkit.bench.extension",
    "Slopes": ".slopes",
    **dict.fromkeys(("Box", "ColourCard", "swatches_from"), ".photograph"),
    **dict.fromkeys(("row_of_tests", "starting_point"), ".starts"),
    **dict.fromkeys(("Addition", "Prediction", "Study", "Swatch"), ".study"),
    "tinted": ".tinting",
}

__all__ = list(_HOMES)


__getattr__ = names_of(__name__, _HOMES)
