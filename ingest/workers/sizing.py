"""How many workers the machine bears, and how much memory each may take."""

import os
import sys
from pathlib import Path

from benchleaf.ingest.workers.pool import WarmPool
from benchleaf.ingest.workers.readers import Here, Readers

EACH = 1_000_000_000
"""Bytes that a worker may come to hold: OCR engines are large."""
BOUND = 4_000_000_000
"""Bytes of address space that a worker may have. It is more than what is held: engines reserve what they may
never use."""
_MOST = 32


def readers_for(asked: int | None) -> Readers:
    """As many warm workers as asked for, or as the machine bears; none for 0: then this process reads."""
    width = sized() if asked is None else asked
    return WarmPool(min(width, _MOST), BOUND) if width else Here()


def sized() -> int:
    """One worker a core, as far as there is memory for them, and at least one."""
    free = free_memory()
    return max(1, min(cores(), free // EACH) if free else cores())


def cores() -> int:
    """The processor cores that this process may use."""
    if sys.platform == "linux":
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def free_memory() -> int:
    """Bytes of memory to be had, within what a container grants; 0 where the system does not tell."""
    found = [_told("/proc/meminfo", "MemAvailable:") * 1024, _granted()]
    return min((f for f in found if f), default=0)


def _granted() -> int:
    """What a container may still take (Linux control groups, version 2)."""
    room = Path("/sys/fs/cgroup")
    most, now = (_number(room / name) for name in ("memory.max", "memory.current"))
    return max(1, most - now) if most else 0


def _number(file: Path) -> int:
    try:
        return int(file.read_text())
    except (OSError, ValueError):
        return 0


def _told(file: str, name: str) -> int:
    try:
        lines = Path(file).read_text().splitlines()
        return next((int(line.split()[1]) for line in lines if line.startswith(name)), 0)
    except (OSError, ValueError, IndexError):
        return 0
