"""What runs in a worker: one function after the other, each within its limits, its answer sent back."""

import logging
import os
import pickle
import signal
import sys
import threading
from collections.abc import Callable
from multiprocessing import parent_process
from multiprocessing.connection import Connection
from typing import Any

from benchleaf.graph.errors import BenchleafError, RefusedFile
from benchleaf.ingest import allowance
from benchleaf.ingest.workers.endings import NO_MEMORY

_SWOLLEN = 1_500_000_000
"""Bytes of memory after which a worker makes room for a fresh one."""


def serve(connection: Connection, memory: int) -> None:
    """Answer what comes over the connection until it closes. `memory` bounds the address space, in bytes.

    An answer is pickled: whether it succeeded, what came of it, and whether the worker now ends.
    """
    _alone()
    allowance.bound_memory(memory)
    try:
        while True:
            function, args = connection.recv()
            answer, leaving = _answer(function, args)
            connection.send_bytes(answer)
            if leaving:
                return
    except (EOFError, OSError):  # the parent has ended, or wants no more
        return


def _alone() -> None:
    """Ctrl-C is the parent's to hear; a worker ends with its parent, and what it starts ends with it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    logging.disable()  # what libraries mutter over damaged files is told in benchleaf's own words
    if sys.platform != "win32":
        os.setpgrp()
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = parent_process()
    if parent is not None:
        parent.join()
        if sys.platform != "win32":
            os.killpg(0, signal.SIGKILL)
        os._exit(0)


def _answer(function: Callable[..., Any], args: tuple[Any, ...]) -> tuple[bytes, bool]:
    """The pickled answer, and whether it is the worker's last."""
    try:
        allowance.begin()
        came = _carried_out(function, args)
        leaving = _peak() > _SWOLLEN
        return pickle.dumps((*came, leaving), pickle.HIGHEST_PROTOCOL), leaving
    except MemoryError:
        os._exit(NO_MEMORY)  # whatever else is held here may be broken now
    finally:
        allowance.end()


def _carried_out(function: Callable[..., Any], args: tuple[Any, ...]) -> tuple[bool, object]:
    try:
        return True, function(*args)
    except MemoryError:
        raise
    except BenchleafError as told:
        return False, told
    except Exception as error:
        return False, RefusedFile(f"could not be read ({type(error).__name__}: {error})")


def _peak() -> int:
    """The most memory that this process ever held, in bytes; 0 where that is not told."""
    if sys.platform == "win32":
        return 0
    import resource

    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most if sys.platform == "darwin" else most * 1024
