"""Working standings out again when papers arrive: a manual added after its notes settles them."""

from collections.abc import Iterable
from dataclasses import dataclass

from benchleaf.graph.model import Document, Override, Statement
from benchleaf.graph.standing import judge
from benchleaf.graph.store import Store


@dataclass(frozen=True, slots=True)
class Rejudged:
    """A statement whose standing, or the step it is aimed at, came out differently."""

    was: Statement
    now: Statement


def restand(store: Store, document: int, content: Document) -> tuple[Rejudged, ...]:
    """Judge the statements of a document just stored, and those of other notes that it may bear on; what
    changed.

    To be called inside the transaction that stored the document. A manual bears on every override that cites
    it or no publication; a note on the overrides of the same steps.
    """
    fresh = store.statements_of_document(document)
    changed = rejudge(store, sorted(fresh, key=_order))
    if content.manual is not None:
        changed += rejudge(store, store.unsettled_by_person_overrides(content.manual.number))
    judged = store.statements_of_document(document)
    ours = {s.id for s in fresh}
    return changed + rejudge_places(store, places_of(judged), without=ours)


Place = tuple[str | None, str | None]


def places_of(statements: Iterable[Statement]) -> set[Place]:
    """The pages that overrides are aimed at: publication and page."""
    return {(s.target.publication, s.target.page) for s in statements if isinstance(s, Override)}


def rejudge_places(
    store: Store, places: Iterable[Place], without: Iterable[int | None] = ()
) -> tuple[Rejudged, ...]:
    """Judge the overrides of pages anew, but for those of the ids in `without`; what changed."""
    left_out = set(without)
    changed: tuple[Rejudged, ...] = ()
    for publication, page in sorted(places, key=str):
        if publication is not None:
            others = store.overrides(publication, page)
            changed += rejudge(store, [o for o in others if o.id not in left_out])
    return changed


def _order(statement: Statement) -> tuple[str, int]:
    return (str(statement.date or ""), statement.id or 0)


def rejudge(store: Store, statements: Iterable[Statement]) -> tuple[Rejudged, ...]:
    """Work out the standing of statements anew; what changed. What a person settled stays. Inside a
    transaction."""
    changed = []
    for statement in statements:
        if statement.id is None or statement.settled_by not in (None, "rule"):
            continue
        cited = store.reading_target(statement.id) if isinstance(statement, Override) else None
        note = store.note_of_statement(statement.id)
        judged = judge(statement, store.reading_doubts(statement.id), cited, note, store)
        if judged != statement:
            store.replace_statement(judged)
            changed.append(Rejudged(statement, judged))
    return tuple(changed)
