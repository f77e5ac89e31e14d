"""Drawings within a page, each with the same in words for who does not see it."""

from __future__ import annotations

import base64

from histkit.base.filmed import Picture
from histkit.base.text import escape
from histkit.display import frames, pictures

SIZE = (1280, 720)
_STYLE = "max-width:48em;width:100%;height:auto;"


def drawn(described: Picture) -> str:
    """A description as HTML: a picture for each frame that it takes.

    Raises:
        BadValue: there is nothing to draw.
    """
    out = []
    for frame in pictures.draw(described, SIZE):
        data = base64.b64encode(frames.to_bytes(frame, "svg")).decode("ascii")
        out.append(f'<p><img src="data:image/svg+xml;base64,{data}" alt="{escape(frame.alt)}" style="{_STYLE}"></p>')
    return "".join(out)
