"""Starts JupyterLab, or the plain pages of Voilà, in a maker's folder: for this machine alone, and no code of the folder with it.

The folder is data. A `pandas.py` or `voila.py` that lies there is imported neither by the server nor by a kernel: both run with
Python's safe path. The server itself is the process in `served`.
"""

from __future__ import annotations

import importlib.util
import json
import os
import re
import secrets
import shutil
import subprocess
import sys
import webbrowser
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from histkit.base.errors import HistkitError
from histkit.base.files import write_atomically
from histkit.base.text import escape

LAB_ONLY = "lab-only"
"""The tag of cells that speak of JupyterLab's menu, which plain pages have not."""

HERE = Path(__file__).parent
"""Where the front of the pages (`pages`) and the small extension of JupyterLab that runs our notebooks (`labextensions`) lie."""

POLICY = "default-src 'self' ws://127.0.0.1:* 'unsafe-inline' 'unsafe-eval' data: blob:; frame-ancestors 'self'"
"""What plain pages may load: what this machine serves. Voilà's template asks for icons from elsewhere, which nothing uses."""

IDLE = 600
"""Seconds after which a kernel is ended that no page is connected to: a page in a closed browser is gone, a laptop may sleep."""

_PLAIN_NAME = re.compile(r"[A-Za-z0-9_-]+")
_ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+")


def settings(folder: Path) -> Path:
    """Write settings for JupyterLab and Voilà into `folder`, made where it is missing; the folder.

    JupyterLab asks the network for no news and no extensions. Voilà refuses a Host that is not this machine (as Jupyter's own
    server does), serves no files, loads nothing from elsewhere, limits its kernels and ends those that no page uses.
    """
    off = {"@jupyterlab/apputils-extension:announcements": True, "@jupyterlab/extensionmanager-extension:plugin": True}
    (folder / "labconfig").mkdir(parents=True, exist_ok=True)
    write_atomically(folder / "labconfig" / "page_config.json", json.dumps({"disabledExtensions": off}))
    pages = {
        "Voila": {
            "tornado_settings": {
                "allow_remote_access": False,
                "local_hostnames": ["localhost"],
                "headers": {"Content-Security-Policy": POLICY},
            }
        },
        "VoilaConfiguration": {
            "template": "histkit",
            "multi_kernel_manager_class": "histkit.shell.kernels.FewKernels",
            "file_allowlist": [],
        },
        "FewKernels": {"cull_idle_timeout": IDLE, "cull_interval": 60, "surroundings": {"SERVER_SOFTWARE": "voila"}},
        "TagRemovePreprocessor": {"enabled": True, "remove_cell_tags": [LAB_ONLY]},
    }
    write_atomically(folder / "voila.json", json.dumps(pages))
    return folder


def front(folder: Path, notebooks: Path) -> Path:
    """Put what plain pages look like into `folder`, with a bar that leads to each of the `notebooks`; the folder.

    It is a place for JUPYTER_PATH.
    """
    shutil.copytree(HERE / "pages", folder, dirs_exist_ok=True)
    write_atomically(folder / "voila" / "templates" / "histkit" / "bar.html.j2", bar(notebooks))
    return folder


def bar(notebooks: Path) -> str:
    """The bar between the pages, as a template: a link for each notebook that says in its metadata what it is called there."""
    links = []
    for path in sorted(notebooks.glob("*.ipynb")):
        words = _in_the_bar(path)
        if words and _PLAIN_NAME.fullmatch(path.stem):
            here = f"{{% if resources['metadata']['name'] == '{path.stem}' %}} aria-current=\"page\"{{% endif %}}"
            address = f"{{{{ resources.base_url }}}}voila/render/{path.name}"
            links.append(f'<li><a href="{address}"{here}>{escape(re.sub(r"[{}%#]", "", words))}</a></li>')
    return f'<nav class="histkit-bar" aria-label="Pages"><ol>{"".join(links)}</ol></nav>\n'


def _in_the_bar(path: Path) -> str:
    try:
        words = json.loads(path.read_text(encoding="utf-8"))["metadata"]["histkit"]["bar"]
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return ""
    return words if isinstance(words, str) else ""


def command_line(kind: str, folder: Path) -> list[str]:
    """The words for JupyterLab (`kind` "lab") or Voilà ("pages") that serve `folder` to this machine alone."""
    if kind == "pages":
        # Voilà takes the token from the environment, where other users of the machine cannot read it.
        return [str(folder), "--no-browser", "--Voila.ip=127.0.0.1", "--Voila.auto_token=True"]
    words = [
        f"--ServerApp.root_dir={folder}",
        f"--LabApp.extra_labextensions_path={HERE / 'labextensions'}",
        "--ServerApp.ip=127.0.0.1",
        "--ServerApp.kernel_manager_class=histkit.shell.kernels.ReadyKernels",
        "--LanguageServerManager.autodetect=False",  # it would run programs that it finds in the folder's node_modules
    ]
    if first := _first(folder):
        words.append(f"--LabApp.default_url=/lab/tree/{first}")
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        words.append("--allow-root")  # it listens to this machine alone
    return words


def _first(folder: Path) -> str:
    """The name of the notebook to begin with; nothing where there is none."""
    return next((path.name for path in sorted(folder.glob("*.ipynb"))), "")


def safe_environment() -> dict[str, str]:
    """The environment with Python's safe path, for a server and its kernels: the folder they work in is no place for modules.

    What PYTHONPATH says relative to that folder, an empty entry included, is left out.
    """
    places = [place for place in os.environ.get("PYTHONPATH", "").split(os.pathsep) if Path(place).is_absolute()]
    safe = {**os.environ, "PYTHONSAFEPATH": "1", "PYTHONPATH": os.pathsep.join(places)}
    return safe if places else {name: value for name, value in safe.items() if name != "PYTHONPATH"}


def program(kind: str, folder: Path, *more: str) -> list[str]:
    """The command that serves `folder` ("lab" or "pages"), with `more` words for the server."""
    return [sys.executable, "-m", "histkit.shell.served", kind, str(folder.resolve()), *more]


@contextmanager
def started(
    kind: str, folder: Path, *more: str, token: str = "", stderr: int | IO[str] | None = None
) -> Iterator[subprocess.Popen[str]]:
    """A server as a process of its own, stopped at the end of the block, or when this process ends.

    `kind` is "lab" or "pages", `more` further words for it; with a `token`, whoever asks must know it.
    """
    command = program(kind, folder, *more)
    environment = safe_environment() | ({"JUPYTER_TOKEN": token} if token else {})
    with subprocess.Popen(
        command, env=environment, stdin=subprocess.PIPE, stderr=stderr, text=True, encoding="utf-8", errors="replace"
    ) as server:
        assert server.stdin is not None  # it is a pipe
        try:
            yield server
        finally:
            server.stdin.close()
            server.wait()


def open_lab(folder: Path, browser: bool = True) -> int:
    """Start JupyterLab in `folder`, for this machine alone, and wait until it ends; its exit code."""
    with started("lab", folder, *([] if browser else ["--no-browser"])) as server:
        try:
            return server.wait()
        except KeyboardInterrupt:
            pass  # the server was interrupted too, or is stopped now
    return server.returncode


def open_app(folder: Path, browser: bool = True, say: Callable[[str], None] = print) -> int:
    """Serve the notebooks of `folder` as plain pages, for this machine alone, until it is stopped; the server's exit code.

    `say` is given what the server says; as soon as it says where it is, also the address of the start page. The address holds a
    random token: a browser that opened it once keeps a cookie, and nobody else gets in.

    Raises:
        HistkitError: Voilà, which does it, is not installed.
    """
    if importlib.util.find_spec("voila") is None:
        raise HistkitError(
            "the notebooks are shown as plain pages by Voilà, which is not installed here. "
            "Install it with: python -m pip install 'histkit[app]'. Or leave --app out and use them in JupyterLab."
        )
    token = secrets.token_urlsafe(32)
    with started("pages", folder, token=token, stderr=subprocess.PIPE) as server:
        assert server.stderr is not None  # it is a pipe
        opened = False
        try:
            for line in server.stderr:
                say(line.rstrip())
                address = _ADDRESS.search(line)
                if address and not opened:
                    opened = True
                    start = f"{address[0]}/?token={token}"
                    say(f"The pages are at {start} (end with Ctrl+C).")
                    if browser:
                        webbrowser.open(start)
            return server.wait()
        except KeyboardInterrupt:
            pass  # the server was interrupted too, or is stopped now
    return server.returncode
