"""A photographed, scanned or PDF page becomes text with its places on the picture.

picture = hk.photo.open_picture("page.jpg")                 # upright; PDF, HEIC, TIFF, PNG, WebP too
seen = hk.photo.read_photo(picture, hk.photo.Box(120, 80, 900, 640))   # the frame round one formula, or none
formula = hk.read(seen.text)
hk.photo.doubts_of(seen, formula)                           # line by line: where two engines saw different things
hk.photo.unused(seen, formula)                              # words of the page that nothing was made of

It saves typing, and no more: every amount is compared with the page before anything is weighed.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from histkit.base.lazy import names_of

if TYPE_CHECKING:
    from histkit.photo.kinds import doubt_kinds as doubt_kinds
    from histkit.photo.nouns import Box as Box
    from histkit.photo.nouns import PhotoDoubt as PhotoDoubt
    from histkit.photo.nouns import PhotoText as PhotoText
    from histkit.photo.nouns import Picture as Picture
    from histkit.photo.nouns import Word as Word
    from histkit.photo.opening import open_picture as open_picture
    from histkit.photo.places import boxes_of as boxes_of
    from histkit.photo.places import doubts_of as doubts_of
    from histkit.photo.places import retyped as retyped
    from histkit.photo.places import unused as unused
    from histkit.photo.reader import read_photo as read_photo

_HOMES = {
    "doubt_kinds": ".kinds",
    **dict.fromkeys(("Box", "PhotoDoubt", "PhotoText", "Picture", "Word"), ".nouns"),
    "open_picture": ".opening",
    **dict.fromkeys(("boxes_of", "doubts_of", "retyped", "unused"), ".places"),
    "read_photo": ".reader",
}

__all__ = list(_HOMES)


__getattr__ = names_of(__name__, _HOMES)
