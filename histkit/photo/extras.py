"""The packages of the extra `photo`, loaded when something is read, and one sentence where they are missing."""

from __future__ import annotations

from importlib import import_module
from importlib.util import find_spec
from typing import Any

from histkit.base.errors import HistkitError

PACKAGES = ("rapidocr", "tesserocr", "pypdfium2", "pillow_heif", "cv2")
"""What is imported of the extra, one module of each package that reads."""


def is_ready() -> bool:
    """Whether the packages that read pictures are installed here."""
    return all(find_spec(name) is not None for name in PACKAGES)


def needed(module: str) -> Any:
    """A module of the extra. Raises HistkitError, saying how it is installed, where it is not there."""
    try:
        return import_module(module)
    except ImportError:
        raise HistkitError("a photographed page needs a few more packages: pip install 'histkit[photo]'") from None
