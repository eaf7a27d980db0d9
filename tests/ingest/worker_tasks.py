"""What the tests have carried out in workers: functions that end badly, each in its own way."""

import os
import time

from benchleaf.graph.errors import WrongUse
from benchleaf.ingest import allowance


def number() -> int:
    return os.getpid()


def leave(status: int) -> None:
    os._exit(status)


def crash() -> None:
    import ctypes

    ctypes.string_at(0)


def hog() -> int:
    return len(bytearray(2_500_000_000))


def spin(seconds: float) -> None:
    """Computes for ever within one call that never lets go of the interpreter."""
    allowance.begin(seconds)
    import re

    re.match(r"(a|aa)+$", "a" * 200 + "b")


def wait_long(seconds: float) -> None:
    """Waits for ever, using no processor."""
    allowance.begin(seconds)
    time.sleep(3600)


def nap(seconds: float) -> None:
    time.sleep(seconds)


def raised(words: str) -> None:
    raise ValueError(words)


def peek(_: object) -> None:
    raise WrongUse("no pages", "Add some.")
