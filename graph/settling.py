"""A person's word on a reading or on a note's head, and what hangs on it judged anew."""

import datetime as dt
from collections.abc import Mapping

from benchleaf.graph.db.heads import HeadVerdict
from benchleaf.graph.db.settlements import Verdict
from benchleaf.graph.model import Note, Statement
from benchleaf.graph.restand import places_of, rejudge, rejudge_places
from benchleaf.graph.store import Store


def settle(
    store: Store,
    id: int,
    verdict: Verdict,
    initials: str,
    at: dt.datetime,
    fields: Mapping[str, str] | None = None,
) -> Statement:
    """A person's yes, no or back to a statement (see `Store.settle`), in one transaction; the statement as it
    stands then. Overrides of the same steps are judged anew: they may quote its words."""
    with store.transaction():
        before = store.statement(id)
        after = store.settle(id, verdict, initials, at, fields)
        rejudge(store, [after])
        touched = places_of(s for s in (before, after) if s is not None)
        rejudge_places(store, touched, without={id})
        held = store.statement(id)
    assert held is not None  # settled above
    return held


def settle_head(
    store: Store,
    number: str,
    verdict: HeadVerdict,
    initials: str,
    at: dt.datetime,
    fields: Mapping[str, str] | None = None,
    file: str | None = None,
) -> Note:
    """A person's yes or back to a note's head (see `Store.settle_head`), in one transaction; the note as it
    stands then. What it states, and the overrides of the same steps, are judged anew."""
    with store.transaction():
        note = store.settle_head(number, verdict, initials, at, fields, file)
        rejudge(store, note.statements)
        rejudge_places(store, places_of(note.statements), without={s.id for s in note.statements})
        notes = [n for n in store.notes_like(number) if n.file == note.file]
    return next((n for n in notes if _ids(n) == _ids(note)), note)


def _ids(note: Note) -> tuple[int | None, ...]:
    return tuple(s.id for s in note.statements)
