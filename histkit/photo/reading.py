"""From a picture to its text: prepared, read by two engines, put together."""

from __future__ import annotations

from histkit.photo.nouns import Box, PhotoText, Picture


def read_photo(picture: Picture, frame: Box | None = None) -> PhotoText:
    """The words within `frame` (the whole picture where it is None) as text, with their places on the whole picture.

    A page on which nothing is read gives an empty text. Raises BadValue where the frame lies outside the picture or is too
    small; HistkitError where the extra `photo` is not installed.
    """
    raise NotImplementedError
