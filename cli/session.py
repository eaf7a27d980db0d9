"""Which store a call works on."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from benchleaf.graph.store import Store


@dataclass(frozen=True, slots=True)
class Session:
    """One call of the command line: the store's folder as asked for, or None for the usual one.

    `words` is how a line to type must name the store, so that it works when it is copied.
    """

    asked: Path | None = None
    words: tuple[str, ...] = ()

    @property
    def folder(self) -> Path:
        """The store's folder: the one asked for, else the platform's user data folder."""
        if self.asked is not None:
            return self.asked
        import platformdirs

        return platformdirs.user_data_path("benchleaf", appauthor=False)

    def read(self) -> "Store":
        """The store, opened for reading. Raises StoreProblem if there is none."""
        from benchleaf.graph.store import Store

        return Store.open(self.folder)

    def write(self, *, create: bool = False) -> "Store":
        """The store, opened for writing; `create` makes it if there is none yet."""
        from benchleaf.graph.store import Store

        return Store.open(self.folder, write=True, create=create)
