"""Warm workers: processes that stay, each with a pipe of its own: a file that kills one harms no other.

A shared queue would not do: a worker that dies at once leaves it open whose file it was, and the pools of
pebble and of the standard library then give up every file that waits.
"""

import contextlib
import multiprocessing
import os
import pickle
import signal
import sys
import threading
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from multiprocessing.connection import Connection, wait
from multiprocessing.context import ForkServerContext, SpawnContext
from multiprocessing.process import BaseProcess
from typing import Any, Self

from benchleaf.graph.errors import BenchleafError
from benchleaf.ingest.workers.endings import refusal_of
from benchleaf.ingest.workers.readers import Answer, Given
from benchleaf.ingest.workers.worker import serve

_starting = threading.Lock()
"""multiprocessing keeps a list of children that two threads must not put in order at once."""


class NoWorker(BenchleafError):
    """The system does not let a worker be started."""


def context() -> ForkServerContext | SpawnContext:
    """How workers are started: forked from a server process that has everything imported, where there is such
    a thing and the system's own libraries bear it (Linux); else as new processes (macOS, Windows).

    Never forked from this process: it has threads, and a database open.
    """
    if sys.platform != "linux" or "forkserver" not in multiprocessing.get_all_start_methods():
        return multiprocessing.get_context("spawn")
    server = multiprocessing.get_context("forkserver")
    server.set_forkserver_preload(["__main__", "benchleaf.ingest.workers.warm"])
    return server


class Worker:
    """One process and the pipe to it."""

    def __init__(self, memory: int) -> None:
        own = context()
        here, there = own.Pipe()
        try:
            with _starting:
                self.process: BaseProcess = own.Process(target=serve, args=(there, memory), daemon=True)
                self.process.start()
        except OSError as error:
            raise NoWorker(
                f"no process can be started to read in: {error}.",
                "Close other programs, or set BENCHLEAF_WORKERS=0 to read in this one.",
            ) from error
        there.close()
        self._pipe: Connection = here
        self.ended = False

    def answer(self, function: Callable[..., Answer], args: tuple[Any, ...]) -> Answer:
        """What a function gives in the worker. Raises what it raises, and RefusedFile if the worker died."""
        try:
            self._pipe.send((function, args))
            wait([self._pipe, self.process.sentinel])
            good, came, self.ended = pickle.loads(self._pipe.recv_bytes())
        except (EOFError, OSError):
            raise refusal_of(self.end()) from None
        if not good:
            raise came
        answer: Answer = came
        return answer

    def end(self) -> int | None:
        """Ends the process, with all that it started; its exit status, below zero for a signal."""
        self.ended = True
        with _starting:
            self.process.join(0.5)  # it may be ending by itself
            self.kill()
            self.process.join()
            return self.process.exitcode

    def kill(self) -> None:
        """Kills the process and its group."""
        if self.process.pid and sys.platform != "win32":
            with contextlib.suppress(ProcessLookupError, PermissionError):
                os.killpg(self.process.pid, signal.SIGKILL)
        self.process.kill()


class WarmPool:
    """Workers that start when they are needed and then stay; see `Readers`.

    `width` of them at most; `memory` bounds each one's address space, in bytes.
    """

    sees_files = True

    def __init__(self, width: int, memory: int) -> None:
        self.width = width
        self._memory = memory
        self._own = threading.local()
        self._workers: set[Worker] = set()
        self._closed = False
        self._threads = ThreadPoolExecutor(width, "reading")

    def submit(
        self, function: Callable[Given, Answer], /, *args: Given.args, **kwargs: Given.kwargs
    ) -> Future[Answer]:
        """Has a function carried out by the next free worker."""
        assert not kwargs
        return self._threads.submit(self._done, function, args)

    def _done(self, function: Callable[..., Answer], args: tuple[Any, ...]) -> Answer:
        worker: Worker | None = getattr(self._own, "worker", None)
        if worker is None or worker.ended:
            if worker is not None:
                worker.end()
                self._workers.discard(worker)
            worker = self._own.worker = Worker(self._memory)
            self._workers.add(worker)
            if self._closed:
                worker.kill()
        return worker.answer(function, args)

    def __enter__(self) -> Self:
        """The pool itself."""
        return self

    def __exit__(self, *problem: object) -> None:
        """Kills every worker; what they were reading is lost, and nothing of it was stored."""
        self._closed = True
        self._threads.shutdown(wait=False, cancel_futures=True)
        for worker in tuple(self._workers):
            worker.kill()
        self._threads.shutdown()  # whoever waited for a worker has heard of its end by now
        for worker in tuple(self._workers):
            worker.end()
