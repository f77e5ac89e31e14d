"""Pictures out of the photograph that a text was read from, as a page shows them; each is made once."""

from __future__ import annotations

import base64
from io import BytesIO
from typing import TYPE_CHECKING, Any

from histkit.keeping.folder import picture_of
from histkit.keeping.records import Photograph, Record
from histkit.panels.changes import lines_of
from histkit.panels.state import Desk
from histkit.photo.nouns import Box
from histkit.photo.places import boxes_of
from histkit.photo.strips import reach_of, strip_of

if TYPE_CHECKING:
    from PIL import Image

MOST = 300
"""Strips that are remembered."""
NOTHING = {"picture": "", "width": 0, "least": 0}


def address(jpeg: bytes) -> str:
    """A JPEG file as an address that a page shows without asking anybody for it."""
    return "data:image/jpeg;base64," + base64.b64encode(jpeg).decode("ascii")


class Strips:
    """The picture of a record's photograph, and the strip of each of its lines."""

    def __init__(self, table: Desk) -> None:
        self._table = table
        self._opened: tuple[str, Image.Image | None] = ("", None)
        self._made: dict[tuple[Any, ...], dict[str, Any]] = {}

    def picture(self, photograph: Photograph) -> Image.Image | None:
        """The upright picture; None where it does not lie beside the record."""
        from PIL import Image

        if self._opened[0] != photograph.digest or self._opened[1] is None:
            data = picture_of(photograph, self._table.home)
            try:
                opened = Image.open(BytesIO(data)).convert("RGB") if data is not None else None
            except (OSError, ValueError, Image.DecompressionBombError):
                opened = None
            self._opened = (photograph.digest, opened)
        return self._opened[1]

    def has(self, photograph: Photograph, picture: Image.Image) -> None:
        """Remember a picture that was just read, so that it need not be opened again."""
        self._opened = (photograph.digest, picture)

    def of(self, record: Record) -> list[dict[str, Any]]:
        """The strip of each line of the formula: its picture as an address, its width and the least that can be read; an empty
        address where the line has no place on the picture. Nothing at all for a text that is from no photograph.
        """
        seen, photograph = record.seen(), record.photograph
        if photograph is None or seen is None or (picture := self.picture(photograph)) is None:
            return []
        reach = reach_of(seen, photograph.reach())
        return [self._strip(picture, photograph, boxes_of(seen, *line.span), reach) for line in lines_of(record)]

    def _strip(self, picture: Image.Image, photograph: Photograph, boxes: tuple[Box, ...], reach: Box) -> dict[str, Any]:
        if not boxes:
            return NOTHING
        key = (photograph.digest, boxes, reach)
        if key not in self._made:
            if len(self._made) >= MOST:
                self._made.clear()
            strip = strip_of(picture, boxes, reach)
            self._made[key] = {"picture": address(strip.jpeg), "width": strip.width, "least": strip.least}
        return self._made[key]
