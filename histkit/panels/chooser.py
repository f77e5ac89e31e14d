"""A button that chooses a file of any size that a photograph may have."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from histkit.panels.signs import STYLES

LARGEST = 100_000_000
"""Bytes of a file above which it is not taken: no photograph or scan of a page has as many."""


class Chooser(anywidget.AnyWidget):  # type: ignore[misc, unused-ignore]
    """The button with its `words`; `chosen` is given the name and the bytes of a file, `refused` a sentence."""

    _esm = (Path(__file__).parent / "chooser.js").read_text(encoding="utf-8")
    _css = STYLES
    words = traitlets.Unicode().tag(sync=True)
    accept = traitlets.Unicode().tag(sync=True)

    def __init__(self, words: str, accept: str, chosen: Callable[[str, bytes], None], refused: Callable[[str], None]) -> None:
        super().__init__(words=words, accept=accept)
        self._chosen, self._refused = chosen, refused
        self._pieces: list[bytes] = []
        self._takes = False
        self.on_msg(lambda _, message, buffers: self.handle(message, buffers))

    def handle(self, message: dict[str, Any], buffers: Any = ()) -> None:
        """A file begins, a piece of it, or its end."""
        if "begins" in message:
            self._pieces, self._takes = [], message["size"] <= LARGEST
            if not self._takes:
                self._refused(f"{message['begins']} has more than {LARGEST // 1_000_000} MB: save the page by itself first")
        elif "ends" in message and self._takes:
            data, self._pieces, self._takes = b"".join(self._pieces), [], False
            self._chosen(str(message["ends"]), data)
        elif self._takes:
            self._pieces += [bytes(buffer) for buffer in buffers]
