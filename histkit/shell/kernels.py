"""The kernels behind notebooks and plain pages: one is ready before it is asked for, and there are not too many.

Only the servers load this module, by the names that stand in their settings (`servers`).
"""

from __future__ import annotations

import asyncio
import os
from typing import Any

from jupyter_core.utils import ensure_async
from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager
from jupyter_server.utils import ApiPath
from tornado.ioloop import IOLoop
from tornado.web import HTTPError
from traitlets import Dict, Float, Integer

WARM = "__import__('histkit.panels.warming').panels.warming.warm()"
"""What a kernel does before anybody asks for it, in one expression that leaves no name behind."""


class ReadyKernels(AsyncMappingKernelManager):
    """Keeps one kernel ready, with the panels and the glossary loaded: a page that is opened takes it, and the next is made.

    Who asks for another kind of kernel, or for one in another folder, gets one made for it, as ever.
    """

    pause = Float(4.0, config=True, help="Seconds after which the next kernel is made: the page that took one is at work then.")
    surroundings = Dict(config=True, help="What stands in the environment of a kernel beside that of the server.")

    def __init__(self, **how: Any) -> None:
        super().__init__(**how)  # type: ignore[no-untyped-call]
        self._ready: asyncio.Task[str] | None = None
        self._closing = False
        IOLoop.current().add_callback(self._make_ready)

    @property
    def waiting(self) -> str:
        """The id of the kernel that no page has taken yet; '' while there is none."""
        ready = self._ready
        return ready.result() if ready is not None and ready.done() and ready.exception() is None else ""

    def _make_ready(self) -> None:
        if self._ready is None and not self._closing:
            self._ready = asyncio.ensure_future(self._make())

    async def _make(self) -> str:
        words = [f"--IPKernelApp.exec_lines={WARM}"]
        environment = {**os.environ, **self.surroundings}
        return str(await super().start_kernel(path=ApiPath(""), env=environment, extra_arguments=words))

    async def start_kernel(self, *, kernel_id: str | None = None, path: str | None = None, **how: Any) -> str:  # type: ignore[override]
        """A kernel, as the base class starts it, or the one that is ready; its id."""
        ours = kernel_id is None and how.get("kernel_name") in (None, self.default_kernel_name)
        if ours and self._ready is not None and self._folder(path or "") == self._folder(""):
            taken, self._ready = self._ready, None
            IOLoop.current().call_later(self.pause, self._make_ready)
            try:
                ready = await taken
                if ready in self and await ensure_async(self.get_kernel(ready).is_alive()):
                    return ready
            except Exception as error:  # whatever kept it from being ready, the page still gets a kernel
                self.log.warning("the kernel that was to be ready is not: %s", error)
        return str(await super().start_kernel(kernel_id=kernel_id, path=None if path is None else ApiPath(path), **how))

    def _folder(self, path: str) -> str:
        """Where a kernel works that is asked for at `path`."""
        return str(self.cwd_for_path(path))  # type: ignore[no-untyped-call]

    async def shutdown_all(self, now: bool = False) -> None:  # type: ignore[override]
        """End all kernels, that which is being made among them, and make no more."""
        self._closing = True
        if self._ready is not None:
            await asyncio.wait([self._ready])
        await super().shutdown_all(now=now)

    def list_kernels(self) -> list[Any]:
        """The kernels that pages use: without the one that waits."""
        used = super().list_kernels()  # type: ignore[no-untyped-call]
        return [model for model in used if model["id"] != self.waiting]


class FewKernels(ReadyKernels):
    """Starts at most `most` kernels for pages; a page beyond them gets the error 503 with a sentence."""

    most = Integer(12, config=True, help="Kernels at once: the six notebooks twice. One takes about 150 MB.")
    _starting = 0

    async def start_kernel(self, **how: Any) -> str:  # type: ignore[override]
        """Start a kernel, as the base class does; its id.

        Raises:
            HTTPError: there are `most` already.
        """
        used = len(self.list_kernel_ids()) - bool(self.waiting) + self._starting
        if used >= self.most:
            words = f"{self.most} pages are open, and no more can be. Close some of them, then load this one again."
            raise HTTPError(503, words, reason=words)
        self._starting += 1
        try:
            return await super().start_kernel(**how)
        finally:
            self._starting -= 1
