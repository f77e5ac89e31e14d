"""Puts the notebooks that histkit ships into a maker's folder and opens JupyterLab there, or serves them as plain pages."""

from __future__ import annotations

import contextlib
import hashlib
import importlib.util
import json
import os
import re
import subprocess
import sys
import tempfile
import webbrowser
from collections.abc import Callable, Iterator
from pathlib import Path

from histkit.base.errors import BadValue, HistkitError
from histkit.base.files import write_atomically
from histkit.base.tables import PACKAGE

_STAMP = ".histkit-notebooks.json"
"""Remembers what was put there, so that a notebook the maker changed can be told from one left as it was."""

LAB_ONLY = "lab-only"
"""The tag of cells that speak of JupyterLab's menu, which plain pages have not."""
OWN_ALONE = "default-src 'self' ws://127.0.0.1:* 'unsafe-inline' 'unsafe-eval' data: blob:"
"""What plain pages may load: what this machine serves. Voilà's template asks for icons from elsewhere, which nothing uses."""

_ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+")


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
    known: dict[str, str] = read if isinstance(read, dict) else {}
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
    """A configuration folder that keeps JupyterLab and Voilà from asking the network for news, extensions and styles."""
    (folder / "labconfig").mkdir(parents=True, exist_ok=True)
    off = {"@jupyterlab/apputils-extension:announcements": True, "@jupyterlab/extensionmanager-extension:plugin": True}
    write_atomically(folder / "labconfig" / "page_config.json", json.dumps({"disabledExtensions": off}))
    pages = {
        "Voila": {"tornado_settings": {"headers": {"Content-Security-Policy": OWN_ALONE}}},
        "TagRemovePreprocessor": {"enabled": True, "remove_cell_tags": [LAB_ONLY]},
    }
    write_atomically(folder / "voila.json", json.dumps(pages))
    return folder


@contextlib.contextmanager
def _quiet_environment() -> Iterator[dict[str, str]]:
    """The environment for a server of Jupyter with `quiet_settings` in front of what is configured already."""
    with tempfile.TemporaryDirectory() as settings:
        paths = [str(quiet_settings(Path(settings))), *filter(None, [os.environ.get("JUPYTER_CONFIG_PATH")])]
        yield {**os.environ, "JUPYTER_CONFIG_PATH": os.pathsep.join(paths)}


def _first(folder: Path) -> str:
    """The name of the notebook to begin with; nothing where there is none."""
    return next((path.name for path in sorted(folder.glob("*.ipynb"))), "")


def open_lab(folder: Path, browser: bool = True) -> int:
    """Start JupyterLab in `folder`, for this machine alone, and wait until it ends; its exit code."""
    command = [sys.executable, "-m", "jupyterlab", f"--ServerApp.root_dir={folder.resolve()}", "--ServerApp.ip=127.0.0.1"]
    if first := _first(folder):
        command.append(f"--LabApp.default_url=/lab/tree/{first}")
    if not browser:
        command.append("--no-browser")
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        command.append("--allow-root")  # it listens to this machine alone
    with _quiet_environment() as environment:
        return subprocess.run(command, env=environment, check=False).returncode


def app_command(folder: Path) -> list[str]:
    """What serves the notebooks of `folder` as plain pages to this machine alone, on a port that is free.

    Raises:
        HistkitError: Voilà, which does it, is not installed.
    """
    if importlib.util.find_spec("voila") is None:
        raise HistkitError(
            "the notebooks are shown as plain pages by Voilà, which is not installed here. "
            "Install it with: python -m pip install 'histkit[app]'. Or leave --app out and use them in JupyterLab."
        )
    return [sys.executable, "-m", "voila", str(folder.resolve()), "--no-browser", "--Voila.ip=127.0.0.1"]


def open_app(folder: Path, browser: bool = True, tell: Callable[[str], None] = print) -> int:
    """Serve the notebooks of `folder` as plain pages, for this machine alone, until it is stopped; the server's exit code.

    `tell` is given what the server says; as soon as it says where it is, also the address of the start page.

    Raises:
        HistkitError: Voilà is not installed.
    """
    command = app_command(folder)
    with (
        _quiet_environment() as environment,
        subprocess.Popen(command, env=environment, stderr=subprocess.PIPE, text=True, encoding="utf-8") as server,
    ):
        assert server.stderr is not None  # it is a pipe
        opened = False
        try:
            for line in server.stderr:
                tell(line.rstrip())
                found = _ADDRESS.search(line)
                if found and not opened:
                    opened = True
                    start = f"{found[0]}/voila/render/{_first(folder)}"
                    tell(f"The pages are at {start} (end with Ctrl+C).")
                    if browser:
                        webbrowser.open(start)
            return server.wait()
        except KeyboardInterrupt:
            server.terminate()
            return server.wait()
