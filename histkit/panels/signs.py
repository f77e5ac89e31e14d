"""Buttons for the signs that few keyboards have; each puts its sign where the cursor of a field stood last."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import anywidget
import traitlets

_HERE = Path(__file__).parent
STYLES = "".join((_HERE / name).read_text(encoding="utf-8") for name in ("page.css", "photo.css"))
"""How the marked page, the photograph and what belongs to them look."""
SIGNS = [
    ["½", "one half"],
    ["¼", "one quarter"],
    ["¾", "three quarters"],
    ["⅓", "one third"],
    ["⅔", "two thirds"],
    ["⅛", "one eighth"],
    ["⅜", "three eighths"],
    ["℥", "ounce"],
    ["ʒ", "drachm"],
    ["℈", "scruple"],
]


class Signs(anywidget.AnyWidget):  # type: ignore[misc, unused-ignore]
    """The bar of signs; `signs` are pairs of a sign and its name."""

    _esm = (_HERE / "signs.js").read_text(encoding="utf-8")
    _css = STYLES
    signs: traitlets.List[list[Any]] = traitlets.List(SIGNS).tag(sync=True)
