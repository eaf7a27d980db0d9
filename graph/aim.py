"""Which overrides speak of which step: by page and item key, with what no step answers to kept aside."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from benchleaf.graph.keys import key
from benchleaf.graph.model import Item, Override
from benchleaf.graph.places import same_place
from benchleaf.graph.values import value_spans


@dataclass(frozen=True, slots=True)
class Aimed:
    """Overrides by step (an index into the items asked about), and those that name none of the steps."""

    by_step: dict[int, tuple[Override, ...]]
    aside: tuple[Override, ...]
    warnings: tuple[str, ...]


def aim(items: Sequence[Item], overrides: Iterable[Override]) -> Aimed:
    """Sort the overrides of one publication to the items they name; an item's label may stand twice on a
    page.

    Refused overrides are kept: they are shown, and change nothing. A doubtful one that names no page is shown
    at every step it could mean; a settled one names both.
    """
    found: dict[int, list[Override]] = defaultdict(list)
    aside, warnings = [], []
    places: dict[str, list[int]] = defaultdict(list)
    for i, item in enumerate(items):
        places[key(item.label)].append(i)
    for o in overrides:
        steps = _steps(o, items, places)
        if len(steps) > 1 and o.standing == "settled":
            told = _told_apart(o, items, steps)
            if told is None:
                warnings.append(_twice(o, items[steps[0]]))
                aside.append(o)
                continue
            steps = [told]
        for i in steps:
            found[i].append(o)
        if not steps:
            aside.append(o)
    return Aimed({i: tuple(os) for i, os in found.items()}, tuple(aside), tuple(warnings))


def _steps(o: Override, items: Sequence[Item], places: dict[str, list[int]]) -> list[int]:
    item, page = o.target.item, o.target.page
    if item is None or (page is None and o.standing == "settled"):
        return []
    same = [i for i in places.get(key(item), []) if same_place(item, items[i].label)]
    return [i for i in same if page is None or same_place(page, items[i].page)]


def _told_apart(o: Override, items: Sequence[Item], steps: Sequence[int]) -> int | None:
    """Of steps with one label, the one whose words hold the old value."""
    if o.was is None:
        return None
    holding = [i for i in steps if value_spans(o.was, items[i].text)]
    return holding[0] if len(holding) == 1 else None


def _twice(o: Override, item: Item) -> str:
    said = f"page {item.page} has more than one step {item.label}"
    return f"{said}; {o.note} does not say which, and is not applied"
