"""The steps in force that a kit concerns: the whole section of each step that is tied to the kit.

A step is tied to a kit if it is the kit's pack step (unless only its counts tie it), names the kit or one
before it, or is changed or joined by a bound override, in force there, of a note that brings the kit or one
before it. A section is the run of neighbouring items under one heading; where a manual has no headings, the
page. Nothing tied, nothing concerned.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from benchleaf.graph.binding import Family, bindings
from benchleaf.graph.book import book, items_of
from benchleaf.graph.chapter import Chapter, Step
from benchleaf.graph.chosen import Chosen
from benchleaf.graph.keys import key
from benchleaf.graph.kits.packstep import PackStep, overrides_bringing
from benchleaf.graph.model import Item
from benchleaf.graph.overrides import Case
from benchleaf.graph.places import same_place
from benchleaf.graph.shelf import Shelf


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a kit is spoken of; `note` where an override is what ties it."""

    publication: str
    page: str
    item: str
    note: str | None = None


def concerned_steps(store: Shelf, kit: str, packs: Sequence[PackStep], case: Case) -> tuple[Step, ...]:
    """The steps in force, with this kit, of every section that the kit concerns, each once, in page order."""
    family = Family(store, [kit])
    kits = (kit, *(k for k in family.older(kit) if key(k) != key(kit)))
    case = replace(case, kits=(kit,), any_unit=True)
    found: list[Step] = []
    for places in _by_book(_places(store, kits, packs)):
        if not store.publications_like(places[0].publication):
            continue
        manual = book(store, places[0].publication)
        items = items_of(manual)
        for run, tied in _sections(items, places):
            steps = Chapter(store, Chosen(manual, items[run.start : run.stop]), case).run().steps
            if any(p.note is None or _changed(steps, p.note) for p in tied):
                found += steps
    return tuple(found)


def _changed(steps: Sequence[Step], note: str) -> bool:
    return any(key(note) in {key(s.origin), *map(key, s.changed_by)} for s in steps)


def _places(store: Shelf, kits: Sequence[str], packs: Sequence[PackStep]) -> Iterator[_Place]:
    """Where the kit is spoken of, or where what is spoken of stands."""
    for pack in packs:
        if pack.link != "counts":
            yield _Place(pack.step.publication, pack.step.page, pack.step.item or "")
    for number in kits:
        for m in store.mentions(number):
            if m.page and m.item:
                yield _Place(m.publication, m.page, m.item)
    overrides = tuple(o for number in kits for o in overrides_bringing(store, number))
    for o in bindings(store, overrides):
        if o.target.publication and o.target.page:
            yield _Place(o.target.publication, o.target.page, o.target.item or "", o.note)


def _by_book(places: Iterator[_Place]) -> list[list[_Place]]:
    found: dict[str, list[_Place]] = {}
    for place in places:
        found.setdefault(key(place.publication), []).append(place)
    return list(found.values())


def _sections(items: Sequence[Item], places: Sequence[_Place]) -> list[tuple[range, list[_Place]]]:
    """The runs of items in which the places lie, in the book's order, each with its places."""
    found: dict[range, list[_Place]] = {}
    for place in places:
        on_page = [i for i, item in enumerate(items) if same_place(place.page, item.page)]
        home = [i for i in on_page if same_place(place.item, items[i].label)] or on_page[:1]
        for i in home:
            found.setdefault(_run(items, i), []).append(place)
    return sorted(found.items(), key=lambda pair: pair[0].start)


def _run(items: Sequence[Item], at: int) -> range:
    """The neighbours of an item under the same heading, else on the same page."""

    def together(i: int) -> bool:
        one, home = items[i], items[at]
        return one.section == home.section if home.section else one.section is None and one.page == home.page

    first = last = at
    while first > 0 and together(first - 1):
        first -= 1
    while last + 1 < len(items) and together(last + 1):
        last += 1
    return range(first, last + 1)
