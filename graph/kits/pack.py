"""The arithmetic of an alternating pack: from the counts follow the orders in which the plates can stack."""

from dataclasses import dataclass

from benchleaf.graph.errors import WrongUse
from benchleaf.graph.kits.packwords import PackWords, read_pack
from benchleaf.graph.kits.plates import Plate

__all__ = ["Order", "PackWords", "admits", "arithmetic", "orders", "read_pack"]


@dataclass(frozen=True, slots=True)
class Order:
    """A way to stack: the kind of the first plate (at the bottom) and of the last (on top)."""

    first: Plate
    last: Plate


def orders(friction: int, steel: int) -> tuple[Order, ...]:
    """The orders in which so many friction and steel plates can alternate; none if they cannot.

    First and last of one kind means one more of that kind; different kinds means equal counts (common
    practice, no source). Counts are plates, not faces.

    >>> orders(5, 4)
    (Order(first='friction', last='friction'),)
    """
    if friction < 0 or steel < 0:
        raise WrongUse("a count of plates cannot be below zero", "give the counts as whole numbers")
    if friction == steel:
        return (Order("friction", "steel"), Order("steel", "friction")) if friction else ()
    if abs(friction - steel) != 1:
        return ()
    more: Plate = "friction" if friction > steel else "steel"
    return (Order(more, more),)


def arithmetic(friction: int, steel: int) -> str:
    """The same in plain words, for a person at the parts counter."""
    counts = f"{friction} friction and {steel} steel plates"
    if not orders(friction, steel):
        return f"{counts} cannot alternate: the kinds must be equal in number, or one of them one more"
    if friction == steel:
        return (
            f"{counts} are equal in number: one end of the pack is a friction plate, the other a steel plate"
        )
    more = "friction" if friction > steel else "steel"
    return f"{counts} can only stack with a {more} plate first and last"


def admits(words: PackWords, friction: int, steel: int) -> bool | None:
    """Whether a step's order can be stacked from these counts; None if the step tells no order."""
    if words.first is None and words.last is None:
        return None
    return any(
        (words.first is None or words.first == order.first)
        and (words.last is None or words.last == order.last)
        for order in orders(friction, steel)
    )
