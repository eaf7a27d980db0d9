"""How a held note stands for a unit: settled, doubtful, cancelled, for other units, or unread."""

import datetime as dt
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Literal

from benchleaf.graph.applicability import Unit, covers, words
from benchleaf.graph.cancelled import Cancelled, cancelled_notes, unsure_cancellations
from benchleaf.graph.keys import key
from benchleaf.graph.model import Note
from benchleaf.graph.shelf import Shelf

NoteState = Literal["settled", "doubtful", "cancelled", "other units", "unread"]


@dataclass(frozen=True, slots=True)
class Gone:
    """Notes out of force, and those that a doubtful reading may have taken out of it, by key."""

    cancelled: Mapping[str, Cancelled]
    unsure: Mapping[str, str]


def gone_notes(store: Shelf, on: dt.date | None, among: Collection[str] | None = None) -> Gone:
    """What is out of force on a day (None: whatever the date); `among` are the notes that matter."""
    return Gone(cancelled_notes(store, on, among), unsure_cancellations(store, on, among))


def note_state(note: Note, unit: Unit, gone: Gone) -> tuple[NoteState, str]:
    """The state and the words for it. A note whose readings are all refused counts as unread."""
    ended = gone.cancelled.get(key(note.number))
    if ended is not None:
        return "cancelled", "; ".join((f"cancelled by {ended.by}", *ended.doubts))
    cover = covers(note.applies, unit)
    if cover.answer == "no":
        return "other units", f"for other units: {words(note.applies)}"
    said = [s for s in note.statements if s.standing != "refused"]
    only = f"; for some units only: {words(note.applies)}" if cover.answer == "depends" else ""
    unsure = f"; {gone.unsure[key(note.number)]}" if key(note.number) in gone.unsure else ""
    if not said:
        return "unread", f"nothing was read from it that counts: read the paper itself{only}{unsure}"
    doubts = [str(s.id) for s in said if s.standing == "doubtful"]
    if doubts:
        which = f"doubtful reading{'s' if len(doubts) > 1 else ''} {', '.join(doubts)}"
        return "doubtful", f"{which}: settle {'them' if len(doubts) > 1 else 'it'} first{only}{unsure}"
    return ("doubtful" if unsure else "settled"), f"settled{only}{unsure}"
