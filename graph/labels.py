"""Labels of inserted steps: the neighbour's label with a letter, 5a after 5, and 0a before the first."""

import re
from collections.abc import Sequence

from benchleaf.graph.keys import key
from benchleaf.graph.model import Item

_TRAIL = re.compile(r"(.{0,40}?)([0-9]{1,6})")


class Labels:
    """Gives each inserted step a label that stands nowhere else on its page or in its section."""

    def __init__(self, items: Sequence[Item]) -> None:
        self._items = items
        self._used = {(key(i.page), key(i.label)) for i in items} | {(i.section, key(i.label)) for i in items}

    def before(self, at: int, count: int) -> list[str]:
        """Labels for steps inserted before `items[at]`: they hang on the step before it."""
        return self._give(self._items[at], self._below(at), count)

    def after(self, at: int, count: int) -> list[str]:
        """Labels for steps inserted after `items[at]`."""
        return self._give(self._items[at], self._items[at].label, count)

    def _below(self, at: int) -> str:
        """The label of the step before; at the head of a page or section, the number below."""
        item = self._items[at]
        if at and self._items[at - 1].section == item.section and self._items[at - 1].page == item.page:
            return self._items[at - 1].label
        match = _TRAIL.fullmatch(item.label)
        return f"{match[1]}{max(int(match[2]) - 1, 0)}" if match else f"{item.label}0"

    def _give(self, item: Item, base: str, count: int) -> list[str]:
        labels: list[str] = []
        number = 0
        while len(labels) < count:
            label = f"{base}{_letters(number)}"
            places = {(key(item.page), key(label)), (item.section, key(label))}
            if not places & self._used:
                labels.append(label)
                self._used |= places
            number += 1
        return labels


def _letters(number: int) -> str:
    """a, b … z, aa, ab …"""
    head, last = divmod(number, 26)
    return (_letters(head - 1) if head else "") + chr(97 + last)
