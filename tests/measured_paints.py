"""Three measured paints: absorption and scattering, 380 to 750 nm, and what their mixtures truly look like.

From the public repository joeedh/pigment-painter (acrylic paints, its table for a surface with k1 0.03 and k2 0.65), rounded.
"""

import csv
from functools import cache
from pathlib import Path

from histkit.shade import Colour
from histkit.shade.mixing import Surface, mixed

PAINT_SURFACE = Surface(0.03, 0.65)


@cache
def paints():
    """(wavelengths, absorption, scattering) of black, blue and white."""
    with (Path(__file__).parent / "shade" / "paint_optics.csv").open(encoding="utf-8", newline="") as file:
        rows = [{key: float(value) for key, value in row.items()} for row in csv.DictReader(file)]
    absorbs = {name: [row[f"{name}_absorbs"] for row in rows] for name in ("black", "blue", "white")}
    scatters = {name: [row[f"{name}_scatters"] for row in rows] for name in ("black", "blue")} | {"white": [1.0] * len(rows)}
    return [row["nanometres"] for row in rows], absorbs, scatters


def painted(**shares: float) -> Colour:
    """The colour of a mixture, by its whole spectrum; what is missing to 1 is white."""
    wavelengths, absorbs, scatters = paints()
    everything = {"white": 1 - sum(shares.values()), **shares}
    return Colour.from_reflectance(wavelengths, list(mixed(everything, absorbs, scatters, PAINT_SURFACE)))
