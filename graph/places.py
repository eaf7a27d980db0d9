"""Which printed page or item number is meant: keys first, then the places of the separators."""

from collections.abc import Callable, Iterable
from typing import TypeVar

from benchleaf.graph.keys import key, natural

Thing = TypeVar("Thing")


def same_place(one: str, other: str) -> bool:
    """Whether two printed page or item numbers can be the same one.

    Their keys are equal, and if both are written with separators, these stand at the same places: `4-10` is
    not `41-0`, while `410`, typed without any, may be either.

    >>> same_place("4-10", "4.10"), same_place("4-10", "410"), same_place("4-10", "41-0")
    (True, True, False)
    """
    if key(one) != key(other):
        return False
    return natural(one) == natural(other) or _unseparated(one) or _unseparated(other)


def _unseparated(printed: str) -> bool:
    return natural(printed) == natural(key(printed))


def best_places(asked: str, held: Iterable[Thing], place: Callable[[Thing], str]) -> tuple[Thing, ...]:
    """Of the things held, those at the asked place; those written just as asked win over the others."""
    same = tuple(thing for thing in held if same_place(asked, place(thing)))
    alike = tuple(thing for thing in same if natural(asked) == natural(place(thing)))
    return alike or same
