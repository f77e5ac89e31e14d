"""A server of Jupyter as a process of its own, which ends with the process that started it.

    python -m histkit.shell.served lab|pages FOLDER [more words for the server]

`servers` starts it. Its standard input is a pipe that only the parent holds: when the parent closes it, or dies however it may,
the pipe ends, and so does the server with its kernels. That way is the same on every system.
"""

from __future__ import annotations

import os
import signal
import sys
import tempfile
import threading
import time
from pathlib import Path

from histkit.shell.servers import command_line, front, settings

GRACE = 8
"""Seconds that the server has for ending its kernels once it is told to stop."""


def main(kind: str, folder: str, *more: str) -> int:
    """Serve `folder` until the parent ends or the server is stopped; the exit code."""
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(0))  # until the server has a handler of its own
    _follow_the_parent()
    with tempfile.TemporaryDirectory(prefix="histkit-server-") as own:
        # Jupyter's programs look for settings, which may be code, in the folder where they are started: this one is empty.
        os.chdir(own)
        paths = [str(settings(Path(own) / "settings")), *filter(None, [os.environ.get("JUPYTER_CONFIG_PATH")])]
        os.environ["JUPYTER_CONFIG_PATH"] = os.pathsep.join(paths)
        if kind == "pages":
            places = [str(front(Path(own) / "front", Path(folder))), *filter(None, [os.environ.get("JUPYTER_PATH")])]
            os.environ["JUPYTER_PATH"] = os.pathsep.join(places)
        try:
            return _launch(kind, [*command_line(kind, Path(folder)), *more])
        finally:
            os.chdir(os.path.expanduser("~"))  # noqa: PTH111 - a folder that is in use cannot be removed on Windows


def _launch(kind: str, words: list[str]) -> int:
    try:
        if kind == "lab":
            from jupyterlab.labapp import main as start
        else:
            from voila.app import main as start
        start(words)
    except KeyboardInterrupt:
        return 130
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else int(bool(end.code))
    return 0


def _follow_the_parent() -> None:
    """Stop this process as soon as standard input ends."""
    pipe = os.dup(0)  # not handed on to kernels
    nothing = os.open(os.devnull, os.O_RDONLY)
    os.dup2(nothing, 0)
    os.close(nothing)

    def watch() -> None:
        while os.read(pipe, 4096):
            pass
        if hasattr(signal, "pthread_kill"):
            signal.pthread_kill(threading.main_thread().ident or 0, signal.SIGTERM)
        else:
            signal.raise_signal(signal.SIGTERM)
        time.sleep(GRACE)
        os._exit(1)  # kernels look after their parent themselves

    threading.Thread(target=watch, daemon=True).start()


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
