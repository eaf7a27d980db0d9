"""What every sheet says about itself: when it was made, from what, and that newer notes may exist."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchleaf.cli.say import many

if TYPE_CHECKING:
    from benchleaf.graph.store import Store

CHECK = "Check for newer notes before use."


@dataclass(frozen=True, slots=True)
class Stamp:
    """The day a sheet was made, the state of the store in words, and the notes that were considered."""

    made: dt.date
    state: str
    considered: tuple[str, ...]
    check: str = CHECK


def stamp(store: "Store", considered: Sequence[str], today: dt.date) -> Stamp:
    """The stamp of a sheet made today from this store."""
    notes, books = store.notes(), store.publications()
    newest = max((n for n in notes if n.received), key=lambda n: (n.received, n.number), default=None)
    words = f"{many(len(books), 'publication')} and {many(len(notes), 'note')} held"
    if newest is not None and newest.received is not None:
        words += f"; the newest came on {newest.received.isoformat()} ({newest.number})"
    return Stamp(today, words, tuple(dict.fromkeys(considered)))
