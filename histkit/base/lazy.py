"""Names of a package that are loaded when they are first used."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from importlib import import_module
from typing import Any


def names_of(package: str, homes: Mapping[str, str]) -> Callable[[str], Any]:
    """The `__getattr__` of a package: `homes` are the modules that hold its names, '.lookup' within it. Raises AttributeError."""

    def load(name: str) -> Any:
        if name not in homes:
            raise AttributeError(f"module {package!r} has no attribute {name!r}")
        value = getattr(import_module(homes[name], package), name)
        setattr(sys.modules[package], name, value)  # the next use does not come here
        return value

    return load
