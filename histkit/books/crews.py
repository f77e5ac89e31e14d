"""Who works out the parts of a run: this process, several processes of this machine, or the workers of a Dask scheduler."""

from __future__ import annotations

import concurrent.futures
import contextlib
import logging
from collections.abc import Iterator
from concurrent.futures.process import BrokenProcessPool
from importlib import import_module
from typing import Any, Protocol

from histkit.base.errors import BadValue, HistkitError
from histkit.books.parts import Part, worked_out

TRIES = 3
"""How often work is given out anew after workers died without finishing anything."""


class Crew(Protocol):
    """Who does the work. `submit` gives out a part, `wait` returns the finished among those given out."""

    width: int

    def submit(self, part: Part) -> Any: ...

    def wait(self, waiting: set[Any]) -> set[Any]: ...

    def result(self, task: Any) -> bytes:
        """The bytes; raises LookupError where the worker died and the part must be given out again."""
        ...

    def close(self, stopped: bool) -> None: ...


def crew(jobs: int, scheduler: str) -> Crew:
    """Who works out the parts, ready to begin.

    Raises:
        BadValue: no Dask scheduler answers at that address, or Dask is not installed.
    """
    if scheduler:
        return Cluster(scheduler)
    return Alone() if jobs == 1 else Processes(jobs)


class Alone:
    """This process."""

    width = 1

    def submit(self, part: Part) -> Any:
        return _Done(worked_out(part))

    def wait(self, waiting: set[Any]) -> set[Any]:
        return waiting

    def result(self, task: Any) -> bytes:
        data: bytes = task.data
        return data

    def close(self, stopped: bool) -> None:
        pass


class _Done:
    def __init__(self, data: bytes) -> None:
        self.data = data


class Processes:
    """Several processes of this machine. When one is killed they are started anew, and what was under way is given out again."""

    def __init__(self, jobs: int) -> None:
        self.width = jobs
        self._pool = self._new()

    def _new(self) -> concurrent.futures.ProcessPoolExecutor:
        import multiprocessing

        # started fresh, so that nothing of this process (threads, locks) is copied half-way
        return concurrent.futures.ProcessPoolExecutor(
            self.width, mp_context=multiprocessing.get_context("spawn"), initializer=_quiet
        )

    def submit(self, part: Part) -> Any:
        try:
            return self._pool.submit(worked_out, part)
        except BrokenProcessPool:
            self._pool.shutdown(wait=False, cancel_futures=True)
            self._pool = self._new()
            return self._pool.submit(worked_out, part)

    def wait(self, waiting: set[Any]) -> set[Any]:
        return concurrent.futures.wait(waiting, return_when=concurrent.futures.FIRST_COMPLETED).done

    def result(self, task: Any) -> bytes:
        try:
            data: bytes = task.result()
        except (BrokenProcessPool, concurrent.futures.CancelledError) as error:
            raise LookupError(str(error)) from error
        return data

    def close(self, stopped: bool) -> None:
        if stopped:
            for process in list((self._pool._processes or {}).values()):
                process.terminate()
        self._pool.shutdown(wait=not stopped, cancel_futures=True)


def _quiet() -> None:
    """Ctrl-C is for the process that gives out the work."""
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)


class Cluster:
    """The workers of a Dask scheduler."""

    def __init__(self, address: str) -> None:
        try:
            distributed: Any = import_module("distributed")
        except ImportError:
            raise BadValue(
                "a scheduler needs Dask, which is not installed here: pip install 'histkit[corpus]', on this machine and on "
                "those of the workers; without it --jobs uses the processors of this machine"
            ) from None
        self._distributed = distributed
        self._address = address
        # what Dask reports with tracebacks is said here in a sentence; it gives these two levels of their own
        self._levels = {log: log.level for log in map(logging.getLogger, ("distributed", "distributed.client"))}
        try:
            if not address.startswith("inproc:"):  # a client that was half made would go on trying behind our back
                import_module("distributed.comm.addressing").get_address_host_port(address)
            self._client = distributed.Client(address, timeout=20, set_as_default=False)
        except (OSError, ValueError, TimeoutError) as error:
            raise BadValue(
                f"no Dask scheduler answers at {address!r}: {error}; the address looks like tcp://127.0.0.1:8786"
            ) from None
        for log in self._levels:
            log.setLevel(logging.CRITICAL)
        self.width = 1  # until the first part is given out

    @contextlib.contextmanager
    def _answering(self) -> Iterator[None]:
        """Whatever goes wrong while the scheduler is asked, in one sentence."""
        try:
            yield
        except (OSError, TimeoutError, RuntimeError, concurrent.futures.CancelledError) as error:
            raise HistkitError(
                f"the Dask scheduler at {self._address} answers no more ({str(error) or type(error).__name__}); what is done is "
                "kept: when it runs again, the same command goes on from there"
            ) from None

    def submit(self, part: Part) -> Any:
        with self._answering():
            self.width = max(1, sum(self._client.nthreads().values()))
            return self._client.submit(worked_out, part, key=f"histkit-{part.key}", pure=True, retries=TRIES)

    def wait(self, waiting: set[Any]) -> set[Any]:
        with self._answering(), self._client.as_current():
            done: set[Any] = self._distributed.wait(list(waiting), return_when="FIRST_COMPLETED").done
        return done

    def result(self, task: Any) -> bytes:
        try:
            with self._answering():
                error = task.exception() if task.status == "error" else None
                data: bytes = b"" if error is not None else task.result()
        finally:
            task.release()
        if isinstance(error, self._distributed.KilledWorker):
            task.cancel()
            raise LookupError(str(error)) from error
        if error is not None:
            raise HistkitError(
                f"a worker of {self._address} failed ({type(error).__name__}: {error}); what is done is kept"
            ) from error
        return data

    def close(self, stopped: bool) -> None:
        with contextlib.suppress(OSError, TimeoutError):
            self._client.close()
        for log, level in self._levels.items():
            log.setLevel(level)
