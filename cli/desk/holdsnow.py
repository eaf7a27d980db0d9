"""The holds in effect, judged once for every state of the store, since judging one is judging a kit."""

from pathlib import Path
from typing import TYPE_CHECKING

from benchleaf.graph.db.connection import DATABASE
from benchleaf.graph.keys import key
from benchleaf.graph.kits.holding import StandingHold, standing_holds

if TYPE_CHECKING:
    from benchleaf.graph.store import Store

_COUNTER = slice(24, 28)
"""Where an SQLite file counts its changes (SQLite's file format, 1.3.7)."""
State = tuple[bytes, int, int]


class HoldsNow:
    """Keeps the judged holds of one store until the store changes."""

    def __init__(self) -> None:
        self._state: State | None = None
        self._holds: tuple[StandingHold, ...] = ()

    def of(self, store: "Store") -> tuple[StandingHold, ...]:
        """Every hold in effect, oldest first."""
        state = state_of(store.folder)
        if state is None or state != self._state:
            self._holds, self._state = standing_holds(store), state
        return self._holds

    def of_kit(self, store: "Store", kit: str) -> tuple[StandingHold, ...]:
        """The holds in effect on one kit number."""
        return tuple(h for h in self.of(store) if key(h.kit) == key(kit))


def state_of(folder: Path) -> State | None:
    """A mark that differs after every change of the store; None where it cannot be told."""
    try:
        with (folder / DATABASE).open("rb") as file:
            about = (folder / DATABASE).stat()
            return file.read(100)[_COUNTER], about.st_mtime_ns, about.st_size
    except OSError:
        return None
