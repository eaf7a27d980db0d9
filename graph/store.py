"""The store: one folder with `benchleaf.db` and the originals, and everything that is asked of it."""

from pathlib import Path
from typing import Self

from benchleaf.graph.db.connection import BUSY_SECONDS, open_to_read, open_to_write
from benchleaf.graph.db.heads import HeadSettlement
from benchleaf.graph.db.holds import Hold, Holds
from benchleaf.graph.db.intake import HeldFile
from benchleaf.graph.db.jobs import Jobs
from benchleaf.graph.db.known import Known
from benchleaf.graph.db.manuals import Mention
from benchleaf.graph.db.near import Near
from benchleaf.graph.db.redating import Redating
from benchleaf.graph.db.rereading import Rereading
from benchleaf.graph.db.search import Hit, Search
from benchleaf.graph.db.settlements import Change, Settlement

__all__ = ["Change", "HeadSettlement", "HeldFile", "Hit", "Hold", "Mention", "Settlement", "Store"]


class Store(Rereading, Holds, Jobs, Redating, Near, Known, Search):
    """An open store; a context manager that closes it.

    Reading needs nothing more. Every change stands inside `with store.transaction():`.
    """

    @classmethod
    def open(
        cls, folder: Path, *, write: bool = False, create: bool = False, busy: float = BUSY_SECONDS
    ) -> Self:
        """Opens the store in a folder, read-only unless `write`; `create` makes what is missing (and writes).

        `busy` is how many seconds to wait for another writer. Raises StoreProblem if there is no store yet,
        if the file there is another program's, newer than this program, damaged, or not to be reached.
        """
        if write or create:
            return cls(folder, open_to_write(folder, busy, create=create), writable=True)
        return cls(folder, open_to_read(folder, busy), writable=False)
