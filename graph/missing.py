"""What is cited but not held: publications, pages of held publications, notes."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from benchleaf.graph.keys import key, natural
from benchleaf.graph.lean import Lean
from benchleaf.graph.model import Cancels, Citation, Note, Override, Statement, Target
from benchleaf.graph.shelf import Shelf


@dataclass(frozen=True, slots=True)
class Missing:
    """One thing not held: its number, the notes that cite it, and where: a page's publication, or the places
    cited in a publication. `near` are held numbers that it may be a slip for."""

    kind: Literal["publication", "page", "note"]
    number: str
    cited_by: tuple[str, ...]
    where: tuple[str, ...] = ()
    near: tuple[str, ...] = ()


def missing_answer(store: Shelf) -> tuple[Missing, ...]:
    """Everything that any note cites and the store does not hold; refused readings cite nothing."""
    if isinstance(store, Lean):
        return missing_among(store, (*store.overrides_astray(), *store.cancellations()), store.notes_citing())
    said = (*store.statements(kind="override"), *store.cancellations())
    return missing_among(store, said, store.notes())


def missing_among(
    store: Shelf, statements: Iterable[Statement], notes: Iterable[Note] = ()
) -> tuple[Missing, ...]:
    """The same for some statements and notes only."""
    search = _Search(store)
    for note in notes:
        for citation in note.cites:
            search.spoken_of(citation, note.number)
    for s in statements:
        if s.standing == "refused":
            continue
        if isinstance(s, Override):
            search.place(s.target, s.note)
        elif isinstance(s, Cancels) and not search.holds(s.cancels):
            search.add("note", s.cancels, s.note, None)
    return search.result()


Kind = Literal["publication", "page", "note"]


def _in_order(place: str) -> tuple[object, str]:
    return natural(place), place


class _Search:
    def __init__(self, store: Shelf) -> None:
        self.store = store
        self.pages: dict[str, frozenset[str] | None] = {}
        self.found: dict[tuple[Kind, str, str], tuple[str, list[str], list[str]]] = {}

    def spoken_of(self, citation: Citation, note: str) -> None:
        """Note what a note speaks of without changing it."""
        if citation.kind == "publication":
            self.place(Target(citation.number, citation.page), note)
        elif not self.holds(citation.number):
            self.add("note", citation.number, note, None)

    def holds(self, note: str) -> bool:
        """Whether a note of that number is held."""
        if isinstance(self.store, Lean):
            return self.store.holds_note(note)
        return self.store.note_head(note) is not None

    def place(self, target: Target, note: str) -> None:
        """Note a publication or page if it is not held."""
        publication, page = target.publication, target.page
        if publication is None:
            return
        held = self._held(publication)
        if held is None:
            item = f", item {target.item}" if target.item else ""
            self.add("publication", publication, note, f"page {page}{item}" if page else None)
        elif page is not None and key(page) not in held:
            self.add("page", page, note, publication)

    def _held(self, publication: str) -> frozenset[str] | None:
        if key(publication) not in self.pages:
            self.pages[key(publication)] = self._page_keys(publication)
        return self.pages[key(publication)]

    def _page_keys(self, publication: str) -> frozenset[str] | None:
        if isinstance(self.store, Lean):
            return self.store.page_keys(publication)
        found = self.store.publications_like(publication)
        return frozenset(key(p.page) for m in found for p in m.pages) if found else None

    def add(self, kind: Kind, number: str, note: str, where: str | None) -> None:
        """Add one citation."""
        within = key(where or "") if kind == "page" else ""
        _, notes, places = self.found.setdefault((kind, key(number), within), (number, [], []))
        notes.append(note)
        places += [where] if where else []

    def result(self) -> tuple[Missing, ...]:
        """What was found, by kind and number."""
        answers = [self._missing(kind, *entry) for (kind, _, _), entry in self.found.items()]
        ranks = ("publication", "page", "note")
        return tuple(
            sorted(answers, key=lambda m: (ranks.index(m.kind), m.where[:1], natural(m.number), m.number))
        )

    def _missing(self, kind: Kind, number: str, notes: list[str], places: list[str]) -> Missing:
        cited = tuple(sorted(dict.fromkeys(notes), key=lambda n: (natural(n), n)))
        where = tuple(dict.fromkeys(places)) if kind == "page" else tuple(sorted(set(places), key=_in_order))
        near = self.store.near_numbers(kind, number, where[0] if kind == "page" and where else None)
        return Missing(kind, number, cited, where, near)
