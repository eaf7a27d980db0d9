"""Which overrides speak of which step: by page and item key, with what no step answers to kept aside."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from benchleaf.graph.keys import key
from benchleaf.graph.model import Item, Override
from benchleaf.graph.values import value_spans


@dataclass(frozen=True, slots=True)
class Aimed:
    """Overrides by step (an index into the items asked about), and those that name none of the steps."""

    by_step: dict[int, tuple[Override, ...]]
    aside: tuple[Override, ...]
    warnings: tuple[str, ...]


def aim(items: Sequence[Item], overrides: Iterable[Override]) -> Aimed:
    """Sort the overrides of one publication to the items they name; an item's label may stand twice on a page.

    Refused overrides are kept: they are shown, and change nothing. An override that names no page goes to the
    only item of that label, if there is just one.
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
    if o.target.item is None:
        return []
    page = o.target.page
    same = places.get(key(o.target.item), [])
    return [i for i in same if page is None or key(items[i].page) == key(page)]


def _told_apart(o: Override, items: Sequence[Item], steps: Sequence[int]) -> int | None:
    """Of steps with one label, the one whose words hold the old value."""
    if o.was is None:
        return None
    holding = [i for i in steps if value_spans(o.was, items[i].text)]
    return holding[0] if len(holding) == 1 else None


def _twice(o: Override, item: Item) -> str:
    return f"page {item.page} has more than one step {item.label}; {o.note} does not say which, and is not applied"
