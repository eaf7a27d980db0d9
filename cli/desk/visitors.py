"""Who has been let in, kept by the desk itself: a cookie that was copied opens nothing once its visitor left,
or the day is over."""

import secrets
import threading
import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field

UNUSED = 12 * 3600.0
"""Seconds; a visitor who asks for nothing in this time is out: a working day."""
LONGEST = 24 * 3600.0
"""Seconds after which the pass phrase is asked for again, however busy he is."""
MOST = 500


@dataclass(slots=True)
class _Visit:
    begun: float
    used: float


@dataclass(slots=True)
class Visitors:
    """The visitors of one desk by a secret sign; safe from several threads. All end with the desk."""

    clock: Callable[[], float] = time.monotonic
    _held: OrderedDict[str, _Visit] = field(default_factory=OrderedDict)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def let_in(self) -> str:
        """A new visitor's sign."""
        sign, now = secrets.token_urlsafe(24), self.clock()
        with self._lock:
            self._held[sign] = _Visit(now, now)
            while len(self._held) > MOST:
                self._held.popitem(last=False)
        return sign

    def inside(self, sign: object) -> bool:
        """True for the sign of a visitor who is in; he is then seen to be there."""
        now = self.clock()
        with self._lock:
            visit = self._held.get(sign) if isinstance(sign, str) else None
            if visit is None:
                return False
            if now - visit.used > UNUSED or now - visit.begun > LONGEST:
                del self._held[str(sign)]
                return False
            visit.used = now
            self._held.move_to_end(str(sign))
            return True

    def leave(self, sign: object) -> None:
        """Forgets a visitor."""
        with self._lock:
            if isinstance(sign, str):
                self._held.pop(sign, None)
