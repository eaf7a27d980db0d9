"""Part numbers that settled statements put in each other's place with no way out, over a whole store."""

from collections.abc import Iterator

from benchleaf.graph.rings import rings
from benchleaf.graph.store import Store
from benchleaf.graph.supersession import current


def circles(store: Store) -> Iterator[str]:
    """A sentence for each ring that the dates do not open. A million statements are looked at by their links
    alone; whole ones are read of the rings only."""
    for ring in rings(store.settled_links()):
        inside = [s for s in store.supersessions_within(ring) if s.standing == "settled"]
        yield from current(min(store.part_keys(ring)), inside).problems
