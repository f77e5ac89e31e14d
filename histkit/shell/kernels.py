"""The kernels behind the plain pages: no more of them than a maker has pages open.

Only the server loads this module, by the name that stands in its settings (`servers.settings`).
"""

from __future__ import annotations

from typing import Any

from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager
from tornado.web import HTTPError
from traitlets import Integer


class FewKernels(AsyncMappingKernelManager):
    """Starts at most `most` kernels; a page beyond them gets the error 503 with a sentence."""

    most = Integer(12, config=True, help="Kernels at once: the six notebooks twice. One takes about 150 MB.")
    _starting = 0

    async def start_kernel(self, **how: Any) -> str:  # type: ignore[override]
        """Start a kernel, as the base class does; its id.

        Raises:
            HTTPError: there are `most` already.
        """
        if len(self.list_kernel_ids()) + self._starting >= self.most:
            words = f"{self.most} pages are open, and no more can be. Close some of them, then load this one again."
            raise HTTPError(503, words, reason=words)
        self._starting += 1
        try:
            return str(await super().start_kernel(**how))
        finally:
            self._starting -= 1
