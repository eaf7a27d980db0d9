"""05/06/2016 read in the maker's own order, once another of his papers proves it.

A slashed date with both numbers up to twelve is a doubt. A maker keeps to one order: any date of his with a
number over twelve (8/31/2014) tells which. Two proofs that disagree leave the doubt.
"""

import re

from benchleaf.graph.model import Note
from benchleaf.graph.restand import rejudge
from benchleaf.graph.store import Store
from benchleaf.ingest.head.dates import find_dates, order_of, read_date

_PRINTED = re.compile(r"“([0-9 /]{5,14})” may be ")
_LONGEST = 60_000


def printed_date(doubt: str) -> str | None:
    """The date that a doubt says can be read two ways, as printed; None if the doubt is another."""
    found = _PRINTED.match(doubt)
    return found[1] if found else None


def settle_day_order(store: Store) -> int:
    """Put right every ambiguous date whose maker's order is proved; how many notes were changed."""
    settled = _proved(store)
    if settled:
        with store.transaction():
            put_day_order(store)
    return len(settled)


def put_day_order(store: Store) -> None:
    """As `settle_day_order`, inside a transaction that is open already."""
    for note, day_first in _proved(store):
        _redate(store, note, day_first)


def _proved(store: Store) -> list[tuple[Note, bool]]:
    """Notes with an ambiguous date, and whether their maker puts the day first, where that is proved."""
    unsure = [n for n in store.notes() if n.issuer and any(map(printed_date, n.unclear))]
    proofs = {issuer: _order(store, issuer) for issuer in {n.issuer for n in unsure if n.issuer}}
    return [(n, proof) for n in unsure if (proof := proofs[n.issuer or ""]) is not None]


def _order(store: Store, issuer: str) -> bool | None:
    proofs = {order_of(find_dates(text[:_LONGEST])) for text in store.words_of_issuer(issuer)} - {None}
    return proofs.pop() if len(proofs) == 1 else None


def _redate(store: Store, note: Note, day_first: bool) -> None:
    printed = next(p for doubt in note.unclear if (p := printed_date(doubt)))
    rest = tuple(doubt for doubt in note.unclear if printed_date(doubt) is None)
    store.redate(note, read_date(printed, day_first).date, rest)
    rejudge(store, store.statements(note=note.number))
