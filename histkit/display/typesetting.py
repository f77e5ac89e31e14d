"""Typst sets everything that is to be seen: one template of ours, the data for it, and the same fonts on every machine.

Data goes in as JSON and is set as strings; nothing that a user typed is ever read as markup. Fonts: Libertinus Serif comes
with Typst, Source Sans with a package of its own, DejaVu (for ℥ ʒ ℈ ℞ and whatever else the two lack) with Matplotlib; fonts of
the system are left alone, so that a picture looks the same everywhere.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from histkit.base.errors import HistkitError

TEMPLATES = Path(__file__).parent / "templates"
_PPI = 72
"""One point is one pixel."""


@cache
def _folders() -> tuple[Path, ...]:
    """The folders of the fonts. Raises HistkitError where a package with fonts is missing."""
    found = []
    for package, folder in (("font_source_sans_pro", "files"), ("matplotlib", "mpl-data/fonts/ttf")):
        spec = find_spec(package)
        if spec is None or spec.origin is None:
            raise HistkitError(f"the fonts of the package {package.replace('_', '-')} are missing: pip install histkit again")
        found.append(Path(spec.origin).parent / folder)
    return tuple(found)


@cache
def _fonts() -> Any:
    import typst

    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=True, font_paths=list(_folders()))


@cache
def families() -> frozenset[str]:
    """The names of the faces that can be had."""
    return frozenset(_fonts().families())


@cache
def covers(character: str) -> bool:
    """Whether one of the faces has the character: DejaVu Sans, the last of them, has all that the others have."""
    from matplotlib.font_manager import get_font

    path = _folders()[1] / "DejaVuSans.ttf"
    return bool(get_font(str(path)).get_char_index(ord(character)))


def _compiler(template: str, data: str, **inputs: str) -> Any:
    import typst

    return typst.Compiler(TEMPLATES / f"{template}.typ", root=TEMPLATES, font_paths=_fonts(), sys_inputs={"data": data, **inputs})


def report(template: str, data: Mapping[str, Any]) -> dict[str, Any]:
    """What the template says of its own setting: frames, size of type, whether something would not fit."""
    found = json.loads(_compiler(template, json.dumps(data)).query("<report>", field="value", one=True))
    assert isinstance(found, dict)
    return found


def shown(template: str, data: Mapping[str, Any], frame: int = 0) -> list[dict[str, Any]]:
    """Every piece of text that is set in a frame (0: in all), in its order: words, size, colour, page and place."""
    found = json.loads(_compiler(template, json.dumps(data), audit="1", only=str(frame)).query("<shown>", field="value"))
    assert isinstance(found, list)
    return found


def parts(template: str, data: Mapping[str, Any], frame: int) -> list[dict[str, Any]]:
    """Where the rows of a frame stand: number, y and height, in pixels."""
    found = json.loads(_compiler(template, json.dumps(data), only=str(frame)).query("<parts>", field="value"))
    assert isinstance(found, list)
    return found


def render(template: str, data: Mapping[str, Any], kind: str, frame: int = 0) -> bytes:
    """The bytes of one frame as a "png" or "svg", or of a "pdf" with that frame (0: with all pages)."""
    made = _compiler(template, json.dumps(data), only=str(frame)).compile(format=kind, ppi=_PPI)
    if isinstance(made, list):
        made = made[0]
    assert isinstance(made, bytes)
    return made
