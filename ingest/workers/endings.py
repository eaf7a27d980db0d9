"""Why a worker ended before its file was read, in plain words."""

import signal
import sys

from benchleaf.graph.errors import RefusedFile

NO_MEMORY = 71
"""A worker's exit status when a file wants more memory than a reading may have."""
TIMED_OUT = 1  # what Python's own watch ends a process with, where the system has no timers
_SPLIT = "Split it into smaller files, or print it anew as PDF, and add those."


def memory_refusal() -> RefusedFile:
    """The refusal of a file whose reading runs out of memory."""
    return RefusedFile("needs more memory than the reading of one file may take", _SPLIT)


def refusal_of(status: int | None) -> RefusedFile:
    """The refusal of a file whose worker ended with an exit status; a signal's number below zero."""
    if status == NO_MEMORY:
        return memory_refusal()
    if status in _timers():
        return RefusedFile("takes longer to read than a file of so many pages may", _SPLIT)
    if status == -9:
        return RefusedFile(
            "its reading was ended from outside, most likely because the machine ran out of memory",
            "Close other programs, or give fewer workers, and add it again.",
        )
    how = _name(-status) if status is not None and status < 0 else f"exit status {status}"
    return RefusedFile(
        f"the reader broke down on it ({how}): the file may be damaged",
        "Fetch or scan the document again, or print it anew as PDF.",
    )


def _timers() -> tuple[int, ...]:
    if sys.platform == "win32":
        return (TIMED_OUT,)
    return (-signal.SIGPROF, -signal.SIGALRM, -signal.SIGXCPU)


def _name(number: int) -> str:
    try:
        return signal.Signals(number).name
    except ValueError:
        return f"signal {number}"
