"""What one reading may take of time and memory: more time with every sheet that there is to read.

Nothing is limited unless a worker asked for it. On POSIX the system's own timers end a process that
oversteps, whatever it is doing; elsewhere a watch inside Python does, and memory has no bound.
"""

import faulthandler
import sys
import time

BASE = 60.0
"""Processor seconds for any file at all."""
A_SHEET, AN_OCR_SHEET, A_MEGABYTE = 2.0, 90.0, 20.0
"""Processor seconds more for each sheet, for each that OCR reads, and for each megabyte of a file. A sheet
takes some 0.05, OCR some 6."""
_SLOWER = 5.0  # seconds by the clock for each processor second: other programs want the machine too
_running = False
_until = 0.0  # by the clock, where the system has no timers


def bound_memory(most: int) -> None:
    """Bound the address space of this process, in bytes, where the system can (POSIX)."""
    if sys.platform != "win32":
        import resource

        _, hard = resource.getrlimit(resource.RLIMIT_AS)
        bound = most if hard == resource.RLIM_INFINITY else min(most, hard)
        resource.setrlimit(resource.RLIMIT_AS, (bound, hard))


def begin(seconds: float = BASE) -> None:
    """From now on this process may take so many processor seconds; then it ends at once."""
    global _running
    _running = True
    _set(seconds, seconds * _SLOWER)


def allow(seconds: float) -> None:
    """There is more to read: so many processor seconds more. Nothing happens where nothing is limited."""
    if _running:
        processor, clock = _left()
        _set(processor + seconds, clock + seconds * _SLOWER)


def end() -> None:
    """The reading is done: nothing is limited any more."""
    global _running
    if _running:
        _running = False
        _set(0.0, 0.0)


if sys.platform != "win32":
    import signal

    def _left() -> tuple[float, float]:
        return signal.getitimer(signal.ITIMER_PROF)[0], signal.getitimer(signal.ITIMER_REAL)[0]

    def _set(processor: float, clock: float) -> None:
        signal.setitimer(signal.ITIMER_PROF, processor)
        signal.setitimer(signal.ITIMER_REAL, clock)

else:

    def _left() -> tuple[float, float]:
        return 0.0, _until - time.monotonic()

    def _set(processor: float, clock: float) -> None:
        global _until
        faulthandler.cancel_dump_traceback_later()
        _until = time.monotonic() + clock
        if clock:
            faulthandler.dump_traceback_later(clock, exit=True, file=_nowhere)

    _nowhere = open("nul", "w")  # noqa: PTH123, SIM115 - what the watch would print is for no one
