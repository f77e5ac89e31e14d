"""A picture on which boxes are drawn: with mouse, finger or pen, named and taken away by keyboard too."""

from __future__ import annotations

from pathlib import Path

import anywidget
import traitlets


class Boxes(anywidget.AnyWidget):
    """`picture` is a data URL, '' for none; `boxes` are {name, left, top, width, height} in shares of the picture.

    `first` is what the first box is called when it is drawn; the others are swatches.
    """

    _esm = Path(__file__).with_suffix(".js")
    picture = traitlets.Unicode("").tag(sync=True)
    first = traitlets.Unicode("grey").tag(sync=True)
    boxes = traitlets.List(traitlets.Dict()).tag(sync=True)
