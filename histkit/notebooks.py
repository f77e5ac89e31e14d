"""Puts the notebooks that histkit ships into a maker's folder and opens JupyterLab there."""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path

from histkit.errors import BadValue
from histkit.records import write_atomically

_STAMP = ".histkit-notebooks.json"
"""Remembers what was put there, so that a notebook the maker changed can be told from one left as it was."""


def shipped() -> Path:
    """Where the notebooks lie: inside an installed wheel, or at the top level of a checkout."""
    inside = Path(__file__).parent / "_notebooks"
    return inside if inside.is_dir() else Path(__file__).parent.parent / "notebooks"


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
        known: dict[str, str] = json.loads(stamp.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        known = {}
    told = []
    for notebook in sorted(shipped().glob("*.ipynb")):
        data, target = notebook.read_bytes(), folder / notebook.name
        if target.exists():
            present = _digest(target.read_bytes())
            if present == _digest(data):
                told.append(f"{target}: already there")
                continue
            if present != known.get(notebook.name):
                told.append(f"{target}: you changed it, so it is left alone")
                continue
        write_atomically(target, data)
        known[notebook.name] = _digest(data)
        told.append(f"{target}: written")
    write_atomically(stamp, json.dumps(known, indent=1))
    return told


def quiet_settings(folder: Path) -> Path:
    """A configuration folder for JupyterLab that switches off what would ask the network for news and extensions."""
    (folder / "labconfig").mkdir(parents=True, exist_ok=True)
    off = {"@jupyterlab/apputils-extension:announcements": True, "@jupyterlab/extensionmanager-extension:plugin": True}
    write_atomically(folder / "labconfig" / "page_config.json", json.dumps({"disabledExtensions": off}))
    return folder


def open_lab(folder: Path, browser: bool = True) -> int:
    """Start JupyterLab in `folder`, for this machine alone, and wait until it ends; its exit code."""
    command = [sys.executable, "-m", "jupyterlab", f"--ServerApp.root_dir={folder.resolve()}", "--ServerApp.ip=127.0.0.1"]
    first = next(iter(sorted(folder.glob("*.ipynb"))), None)
    if first is not None:
        command.append(f"--LabApp.default_url=/lab/tree/{first.name}")
    if not browser:
        command.append("--no-browser")
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        command.append("--allow-root")  # it listens to this machine alone
    with tempfile.TemporaryDirectory() as settings:
        paths = [str(quiet_settings(Path(settings))), *filter(None, [os.environ.get("JUPYTER_CONFIG_PATH")])]
        environment = {**os.environ, "JUPYTER_CONFIG_PATH": os.pathsep.join(paths)}
        return subprocess.run(command, env=environment, check=False).returncode
