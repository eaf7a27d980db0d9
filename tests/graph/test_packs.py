"""The arithmetic of an alternating pack, and how steps word one."""

import time

import pytest
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.kits.pack import Order, admits, arithmetic, orders, read_pack
from hypothesis import given
from hypothesis import strategies as st


def _by_brute_force(friction: int, steel: int) -> set[Order]:
    found = set()
    for first in ("friction", "steel"):
        left, plates, kind = {"friction": friction, "steel": steel}, [], first
        while left[kind]:
            left[kind] -= 1
            plates.append(kind)
            kind = "steel" if kind == "friction" else "friction"
        if plates and not any(left.values()):
            found.add(Order(plates[0], plates[-1]))
    return found


@given(st.integers(0, 40), st.integers(0, 40))
def test_orders_equal_brute_force(friction: int, steel: int) -> None:
    """The orders are just those in which so many plates can be laid alternately (stacked one by one)."""
    assert set(orders(friction, steel)) == _by_brute_force(friction, steel)
    assert ("cannot" in arithmetic(friction, steel)) == (not _by_brute_force(friction, steel))


def test_negative_counts_are_wrong_use() -> None:
    """A count below zero is a misuse with a named error."""
    with pytest.raises(WrongUse):
        orders(-1, 0)


@pytest.mark.parametrize(
    ("words", "first", "last", "friction", "steel"),
    [
        ("Build up the pack from a friction disc, the two kinds in turn, so that a friction disc lies on top."
         " Count: 11 friction discs and 10 steel discs.", "friction", "friction", 11, 10),
        ("Build the pack with a steel disc at the bottom and another on top, friction and steel in turn."
         " It takes 10 friction discs and 11 steel discs.", "steel", "steel", 10, 11),
        ("Stack five friction and four steel discs, starting with one friction disc, alternating.",
         "friction", "friction", 5, 4),
        ("Fit 6 inner discs and 6 outer discs alternately, beginning with an outer disc.",
         "steel", "friction", 6, 6),
        ("Install 5 fibre plates and 6 plain plates. The first and last plates are plain plates.",
         "steel", "steel", 5, 6),
        ("Lay a steel plate in the bottom of the drum, then alternate friction and steel plates."
         " Finish with a steel plate. Friction plates: 7, steel plates: 8.", "steel", "steel", 7, 8),
        ("Stack the plates alternately, steel plates first and last: 8 steel, 7 lined.",
         "steel", "steel", 7, 8),
        ("Place steel discs (qty: 6) and friction discs (qty: 5) alternately so that a steel disc is at"
         " each end.",
         "steel", "steel", 5, 6),
        ("Insert 4 separator plates 2.5 mm thick and five bronze discs in turn; start and end with a"
         " bronze disc.",
         "friction", "friction", 5, 4),
        ("Discs with lining (9) and steel discs (10) in turn; a steel disc is on top.",
         "steel", "steel", 9, 10),
        ("First a steel disc, then a friction disc, alternating until all 6 of each are in.",
         "steel", "friction", 6, 6),
        ("The top plate must be a friction plate. Use 5 friction plates and 5 steel plates.",
         "steel", "friction", 5, 5),
        ("Alternate the plates beginning and ending with a steel plate; use 12 steel plates and 11"
         " friction plates.",
         "steel", "steel", 11, 12),
        ("Fit 7 clutch plates and 8 steel plates, a steel plate outermost at both ends.",
         "steel", "steel", 7, 8),
        ("Stack eleven friction disks and twelve steel disks with a steel disk first, alternately.",
         "steel", "steel", 11, 12),
        ("Starting with a steel plate, alternate 4 fiber plates and 4 steel plates.",
         "steel", "friction", 4, 4),
        ("Stack the friction and steel plates in turn. The first plate is a steel plate and the last"
         " plate is a"
         " friction plate.", "steel", "friction", None, None),
        ("Beginning with a lined plate, fit lined and plain plates alternately (9 x lined plate, 8 x"
         " plain plate).",
         "friction", "friction", 9, 8),
        ("Assemble 3 friction plates and 4 steel plates alternately.", None, None, 3, 4),
        ("Insert the discs in the basket in the order steel - friction - steel until eight friction "
         "and nine steel discs are fitted.",
         "steel", "steel", 8, 9),
        ("The pack consists of 7 lined discs and 8 steel discs. A steel disc lies against the "
         "piston and another against the end plate.",
         "steel", "steel", 7, 8),
        ("Alternately fit the outer (steel) plates, 5 pcs., and the inner (lined) plates, 4 pcs., "
         "beginning and ending with an outer plate.",
         "steel", "steel", 4, 5),
        ("Stack plates alternately. First plate: steel. Last plate: steel. Quantity: 9 steel, 8 "
         "friction.",
         "steel", "steel", 8, 9),
        ("Both end plates of the stack must be friction plates (6 friction, 5 steel).",
         "friction", "friction", 6, 5),
        ("Put in one steel plate, then one friction plate, and so on until 4 of each are in.",
         "steel", "friction", 4, 4),
        ("Assemble the disc pack with friction discs on the outside: 12 friction and 11 steel "
         "discs, laid alternately.",
         "friction", "friction", 12, 11),
        ("Load the drum: steel, friction, steel, friction. Use 5 of each.",
         "steel", "friction", 5, 5),
        ("Place a friction disc on the pressure plate, then a steel disc; continue so that the last "
         "disc is a friction disc. There are 8 friction discs and 7 steel discs.",
         "friction", "friction", 8, 7),
        ("Lay the 11 steel discs and the 10 friction discs alternately into the carrier; lowest and "
         "uppermost disc is a steel disc.",
         "steel", "steel", 10, 11),
        ("The first and the last disc are steel discs; between them friction and steel discs "
         "alternate (10 friction discs, 11 steel discs).",
         "steel", "steel", 10, 11),
        ("Assemble alternately 9 sintered plates and 10 counter plates. The plate next to the "
         "piston and the plate next to the end plate are counter plates.",
         "steel", "steel", 9, 10),
        ("Install in turn one intermediate plate and one clutch disc, 6 of each, with an "
         "intermediate plate at the bottom.",
         "steel", "friction", 6, 6),
        ("Fit discs in alternation; a friction disc must be on top and at the bottom. Quantities: "
         "friction disc 7, steel disc 6",
         "friction", "friction", 7, 6),
        ("Stack the friction discs (12) and the steel discs (13); begin and end the stack with "
         "steel.",
         "steel", "steel", 12, 13),
        ("Alternate friction plates (P/N 4410-21, 5 pieces) with steel plates (P/N 4410-22, 6 "
         "pieces), a steel plate at each end.",
         "steel", "steel", 5, 6),
        ("Place a steel plate against the piston. Alternate friction and steel plates and finish "
         "with a friction plate. 6 friction plates and 6 steel plates are required.",
         "steel", "friction", 6, 6),
        ("Build the stack so that steel plates form both ends. It takes 8 friction plates and 9 "
         "steel plates.",
         "steel", "steel", 8, 9),
        ("Fit the lower steel disc, then build the pack with alternating friction and steel discs "
         "(6 friction, 7 steel). The uppermost disc is steel.",
         "steel", "steel", 6, 7),
        ("Insert the friction disc (7) and the steel disc (8) in turn, starting with the steel disc "
         "(8).",
         "steel", None, None, None),
        ("Check that there are 6 friction discs and 7 steel discs in the kit.",
         None, None, 6, 7),
        ("Fit clutch pack: 1 steel plate, 1 lined plate, 1 steel plate and so on, finishing with a "
         "steel plate. Total 6 steel plates and 5 lined plates.",
         "steel", "steel", 5, 6),
        ("Assemble the brake stack: 15 rotating friction discs, 16 stationary steel discs, "
         "alternately, steel discs at both ends.",
         "steel", "steel", 15, 16),
        ("Build the pack from the bottom up: friction, steel, friction ... (7 friction / 6 steel).",
         "friction", "friction", 7, 6),
        ("A steel plate must be fitted first and last. Number of friction plates: 8; number of "
         "steel plates: 9.",
         "steel", "steel", 8, 9),
        ("Fit alternately beginning with an internally toothed plate: 5 internally toothed plates, "
         "4 externally toothed plates.",
         "friction", "friction", 5, 4),
        ("Set the discs in alternately; both the first and the last disc is a friction disc. 13 "
         "friction discs, 12 steel discs.",
         "friction", "friction", 13, 12),
    ],
)  # fmt: skip
def test_wordings_of_a_pack(words: str, first: str, last: str, friction: int, steel: int) -> None:
    """Many wordings tell counts and ends; with one end told the other follows (common practice, no
    source)."""
    found = read_pack(words)
    assert found is not None
    assert (found.first, found.last, found.friction, found.steel) == (first, last, friction, steel)


@pytest.mark.parametrize(
    "words",
    [
        "Soak the friction discs in clean oil for 45 minutes.",
        "Check every friction disc and steel disc for wear. The limit is 2.1 mm.",
        "Fit the steel ring and the friction washer, then 2 springs.",
        "Tighten the pump screws crosswise, first to 8 Nm.",
        "Lift out the pack with 2 hooks; the end plate is on top.",
        "Renew the steel and friction discs if worn by more than 0.3 mm. First measure the friction discs.",
        "Stack 5 drive plates and 6 driven plates alternately, starting with a driven plate.",
        "",
    ],
)
def test_other_steps_are_no_pack(words: str) -> None:
    """A step that names plates without stacking them, or no plates, is none."""
    assert read_pack(words) is None


def test_contradicting_ends_are_not_decided() -> None:
    """Words that give both kinds as the first plate leave it open."""
    found = read_pack(
        "Start with a steel plate. Start with a friction plate. 5 friction plates and 5 steel plates."
    )
    assert found is not None and found.first is None


@pytest.mark.parametrize(
    ("words", "counts", "fits"),
    [
        ("Start with a steel disc, alternate friction and steel, a steel disc is on top.", (11, 12), True),
        ("Start with a steel disc, alternate friction and steel, a steel disc is on top.", (12, 11), False),
        ("Start with a steel disc, alternate friction and steel.", (11, 11), True),
        ("Stack 11 friction discs and 12 steel discs alternately.", (12, 11), None),
    ],
)
def test_order_of_a_step_against_counts(words: str, counts: tuple[int, int], fits: bool | None) -> None:
    """A step's order fits the counts if they can stack so; a step without an order is not judged."""
    found = read_pack(words)
    assert found is not None and admits(found, *counts) is fits


@pytest.mark.parametrize(
    "piece",
    [
        "steel plate ",
        "a friction disc first and last ",
        "5 ",
        "another ",
        "at both ",
        "discs (1) ",
        "outer (steel) ",
    ],
)
def test_hostile_text_is_quick(piece: str) -> None:
    """Twenty kilobytes of repeated words take under 50 ms (twice that allowed for a busy machine)."""
    hostile = piece * (20000 // len(piece))
    started = time.process_time()
    read_pack(hostile)
    assert time.process_time() - started < 0.1
