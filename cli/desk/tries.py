"""How often a pass phrase may be tried: a few times freely, then after waiting, longer each time; and by all
callers together so often in an hour, for one caller can take many addresses."""

import threading
import time
from collections import OrderedDict, deque
from collections.abc import Callable
from dataclasses import dataclass, field
from ipaddress import IPv6Address, ip_address

FREE = 5
"""Tries without waiting."""
FIRST_WAIT, LONGEST_WAIT = 30.0, 900.0
"""Seconds; each further try doubles the wait."""
MOST_CALLERS = 1000
MOST_WRONG, HOUR = 60, 3600.0
"""Wrong tries of all callers in an hour. Who sits at the machine itself may go on: nobody locks him out."""


@dataclass(slots=True)
class _Record:
    count: int = 0
    free_at: float = 0.0


@dataclass(slots=True)
class Tries:
    """Counts tries by caller. Safe from several threads: a try is counted before it is judged, so that tries
    sent at once are not all free."""

    clock: Callable[[], float] = time.monotonic
    _held: OrderedDict[str, _Record] = field(default_factory=OrderedDict)
    _all: deque[float] = field(default_factory=deque)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def admit(self, caller: str) -> int:
        """Counts a try and gives 0, or the seconds still to wait (the try then does not count)."""
        with self._lock:
            record = self._record(caller)
            left = max(record.free_at - self.clock(), self._all_must_wait(caller))
            if left > 0:
                return max(1, round(left))
            self._all.append(self.clock())
            record.count += 1
            if record.count >= FREE:
                wait = min(FIRST_WAIT * 2.0 ** min(record.count - FREE, 10), LONGEST_WAIT)
                record.free_at = self.clock() + wait
            return 0

    def passed(self, caller: str) -> None:
        """Forgets a caller who gave the pass phrase."""
        with self._lock:
            self._held.pop(_name(caller), None)
            if self._all:
                self._all.pop()

    def _all_must_wait(self, caller: str) -> float:
        now = self.clock()
        while self._all and now - self._all[0] >= HOUR:
            self._all.popleft()
        if len(self._all) < MOST_WRONG or _at_the_machine(caller):
            return 0.0
        return self._all[0] + HOUR - now

    def _record(self, caller: str) -> _Record:
        name = _name(caller)
        record = self._held.setdefault(name, _Record())
        self._held.move_to_end(name)
        while len(self._held) > MOST_CALLERS:
            self._held.popitem(last=False)
        return record


def _name(caller: str) -> str:
    """One name for a caller: of an IPv6 address the first half, for its owner can choose the rest."""
    try:
        address = ip_address(caller)
    except ValueError:
        return caller
    if not isinstance(address, IPv6Address):
        return str(address)
    mapped = address.ipv4_mapped
    return address.exploded[:19] if mapped is None else str(mapped)


def _at_the_machine(caller: str) -> bool:
    try:
        return ip_address(caller).is_loopback
    except ValueError:
        return False
