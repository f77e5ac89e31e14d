"""Puts the notebooks that histkit ships into a maker's folder; `servers` opens them there."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

from histkit.base.errors import BadValue
from histkit.base.files import write_atomically
from histkit.base.tables import PACKAGE

_STAMP = ".histkit-notebooks.json"
"""Remembers what was put there, so that a notebook the maker changed can be told from one left as it was."""


def shipped() -> Path:
    """Where the notebooks lie: inside an installed wheel, or at the top level of a checkout."""
    inside = PACKAGE / "_notebooks"
    return inside if inside.is_dir() else PACKAGE.parent / "notebooks"


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def put(folder: Path) -> list[str]:
    """Copy the notebooks into `folder`; a notebook changed there is left alone. Returns one sentence for each.

    Raises:
        BadValue: `folder` is a file.
    """
    if folder.exists() and not folder.is_dir():
        raise BadValue(f"{folder} is a file; give a folder for the notebooks")
    folder.mkdir(parents=True, exist_ok=True)
    stamp = folder / _STAMP
    try:
        read = json.loads(stamp.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        read = None
    put_here: dict[str, str] = read if isinstance(read, dict) else {}
    sentences = []
    for notebook in sorted(shipped().glob("*.ipynb")):
        data, target = notebook.read_bytes(), folder / notebook.name
        if target.exists():
            present = _digest(target.read_bytes())
            if present == _digest(data):
                sentences.append(f"{target}: already there")
                continue
            if present != put_here.get(notebook.name):
                sentences.append(f"{target}: you changed it, so it is left alone")
                continue
        write_atomically(target, data)
        put_here[notebook.name] = _digest(data)
        sentences.append(f"{target}: written")
    write_atomically(stamp, json.dumps(put_here, indent=1))
    return sentences
