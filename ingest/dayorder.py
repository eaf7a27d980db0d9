"""05/06/2016 read in the maker's own order, once another of his papers proves it.

A slashed date with both numbers up to twelve is a doubt. A maker keeps to one order: any date of his with a
number over twelve (8/31/2014) tells which. Two proofs that disagree leave the doubt. Where a paper names no
maker, papers of the same series of numbers for the same units are his, unless two makers name themselves in
that series (common practice, no source).
"""

import re
from collections.abc import Iterable, Sequence

from benchleaf.graph.keys import key
from benchleaf.graph.model import Note
from benchleaf.graph.restand import rejudge
from benchleaf.graph.store import Store
from benchleaf.ingest.head.dates import find_dates, order_of, read_date
from benchleaf.ingest.head.issuers import names_department

_PRINTED = re.compile(r"“([0-9 /]{5,14})” may be ")
_LONGEST = 60_000
_SERIES = re.compile(r"([A-Za-z]{1,6}(?:[ ./-]?[A-Za-z]{1,6}){0,2})[ ./-]{0,2}[0-9]")
_LEAST_LETTERS = 2  # `A 12` or `12/2003` may be anybody's


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


def series_of(number: str) -> str | None:
    """The letters that a note's number begins with; None where they are too few to tell a series.

    >>> series_of("TD/B 120"), series_of("14/2003"), series_of("M 12")
    ('TDB', None, None)
    """
    found = _SERIES.match(number.strip())
    letters = key(found[1]) if found else ""
    return letters if len(letters) >= _LEAST_LETTERS else None


def _proved(store: Store) -> list[tuple[Note, bool]]:
    """Notes with an ambiguous date, and whether their maker puts the day first, where that is proved."""
    notes = store.notes()
    unsure = [n for n in notes if any(map(printed_date, n.unclear))]
    makers = {name: _order(store.words_of_issuer(name)) for name in {_maker(n) for n in unsure} if name}
    found = ((n, makers[m] if (m := _maker(n)) else _of_series(store, n, notes)) for n in unsure)
    return [(n, proof) for n, proof in found if proof is not None]


def _maker(note: Note) -> str:
    """The maker who signs a note; "" where none does: a `Service Department` may be anybody's."""
    return "" if not note.issuer or names_department(note.issuer) else note.issuer.lower()


def _of_series(store: Store, note: Note, notes: Sequence[Note]) -> bool | None:
    """The order of the papers that share a nameless note's series and a model; None where two makers may
    share the series."""
    series, models = series_of(note.number), {key(m) for m in note.applies.models}
    kin = [n for n in notes if series and n.source != "shop" and series_of(n.number) == series]
    if len({_maker(n) for n in kin} - {""}) > 1:
        return None
    kin = [n for n in kin if models & {key(m) for m in n.applies.models}]
    return _order(words for n in kin for words in store.words_of_file(n.file))


def _order(texts: Iterable[str]) -> bool | None:
    proofs = {order_of(find_dates(text[:_LONGEST])) for text in texts} - {None}
    return proofs.pop() if len(proofs) == 1 else None


def _redate(store: Store, note: Note, day_first: bool) -> None:
    printed = next(p for doubt in note.unclear if (p := printed_date(doubt)))
    rest = tuple(doubt for doubt in note.unclear if printed_date(doubt) is None)
    store.redate(note, read_date(printed, day_first).date, rest)
    rejudge(store, store.statements(note=note.number))
