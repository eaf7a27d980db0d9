"""Working standings out again when papers arrive: a manual added after its notes settles them."""

from collections.abc import Iterable

from benchleaf.graph.model import Document, Override, Statement
from benchleaf.graph.standing import judge
from benchleaf.graph.store import Store


def restand(store: Store, document: int, content: Document) -> None:
    """Judge the statements of a new document, and those of other notes that it may bear on.

    To be called inside the transaction that inserted the document. A manual bears on every override that
    cites it or no publication; a note on the overrides of the same steps.
    """
    fresh = store.statements_of_document(document)
    rejudge(store, sorted(fresh, key=_order))
    if content.manual is not None:
        rejudge(store, store.unsettled_by_person_overrides(content.manual.number))
    judged = store.statements_of_document(document)
    places = {(s.target.publication, s.target.page) for s in judged if isinstance(s, Override)}
    ours = {s.id for s in fresh}
    for publication, page in sorted(places, key=str):
        if publication is not None:
            others = store.overrides(publication, page)
            rejudge(store, [o for o in others if o.id not in ours])


def _order(statement: Statement) -> tuple[str, int]:
    return (str(statement.date or ""), statement.id or 0)


def rejudge(store: Store, statements: Iterable[Statement]) -> None:
    """Work out the standing of statements anew; what a person settled stays. Inside a transaction."""
    for statement in statements:
        if statement.id is None or statement.settled_by not in (None, "rule"):
            continue
        cited = store.reading_target(statement.id) if isinstance(statement, Override) else None
        note = store.note_of_statement(statement.id)
        judged = judge(statement, store.reading_doubts(statement.id), cited, note, store)
        if judged != statement:
            store.replace_statement(judged)
