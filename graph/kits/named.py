"""What a bare number on the counter is called in the papers: a person reads the number off the part and types
nothing else."""

from collections.abc import Iterable
from dataclasses import replace

from benchleaf.graph.keys import key
from benchleaf.graph.kits.received import Received
from benchleaf.graph.model import Manual
from benchleaf.graph.shelf import Shelf


def named(store: Shelf, received: Iterable[Received]) -> tuple[Received, ...]:
    """What came, with the papers' names where only a number was typed; unknown numbers stay bare."""
    found = []
    for line in received:
        bare = line.part is not None and not line.description.strip()
        name = _name(store, line.part or "") if bare else None
        found.append(replace(line, description=name) if name else line)
    return tuple(found)


def _name(store: Shelf, part: str) -> str | None:
    """The name by which a kit's list, else a parts list has the number."""
    for said in store.contents_with(part):
        for line in (*said.lines, *said.previous):
            if line.part and key(line.part) == key(part) and line.description:
                return line.description
    books = dict.fromkeys(m.publication for m in store.mentions(part) if m.item is None)
    listed = (_in_parts(m, part) for number in books for m in store.publications_like(number))
    return next((name for name in listed if name), None)


def _in_parts(manual: Manual, part: str) -> str | None:
    same = (p.description for p in manual.parts if p.part and key(p.part) == key(part))
    return next((name for name in same if name), None)
