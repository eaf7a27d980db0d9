"""Things asked for by number: found, or answered with the nearest that are held."""

import datetime as dt
from collections.abc import Iterable
from typing import TYPE_CHECKING

from benchleaf.graph.errors import NotHeld

if TYPE_CHECKING:
    from benchleaf.graph.model import Note, Statement
    from benchleaf.graph.store import Store


def note_or_near(store: "Store", number: str) -> "Note":
    """The note of this number. Raises NotHeld with the nearest numbers."""
    found = store.note(number)
    if found is None:
        near = store.near_numbers("note", number)
        raise NotHeld(f"there is no note {number} in the store", near, "See benchleaf notes.")
    return found


def note_dates(store: "Store", origins: Iterable[str]) -> dict[str, dt.date | None]:
    """The dates of the notes among these origins of steps, by number; "manual" is none."""
    found = {number: store.note_head(number) for number in dict.fromkeys(origins) if number != "manual"}
    return {number: note.date if note else None for number, note in found.items()}


def statement_or_stop(store: "Store", number: int) -> "Statement":
    """The statement of this number. Raises NotHeld if there is none."""
    found = store.statement(number)
    if found is None:
        raise NotHeld(f"there is no statement {number} in the store", (), "See benchleaf doubts.")
    return found
