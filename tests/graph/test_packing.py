"""Units of packing. The words are common practice, no source."""

import time

import pytest
from benchleaf.graph.kits.packing import Packing, in_pieces, packing_of, pieces, unit_size
from benchleaf.graph.model import KitLine
from hypothesis import given
from hypothesis import strategies as st


@pytest.mark.parametrize(
    ("words", "name", "size"),
    [
        ("packs of 10 screws", "screws", 10),
        ("box of 100 M6 bolts", "M6 bolts", 100),
        ("bag of twelve clips", "clips", 12),
        ("pair thrust washers", "thrust washers", 2),
        ("pair of thrust washers", "thrust washers", 2),
        ("thrust washer (pair)", "thrust washer", 2),
        ("set of 4 springs", "springs", 4),
        ("springs (set of 4)", "springs", 4),
        ("dozen screws", "screws", 12),
        ("half a dozen nuts", "nuts", 6),
        ("screws PK10", "screws", 10),
        ("screws /10", "screws", 10),
        ("screws, 10 per pack", "screws", 10),
        ("screws (10 off)", "screws", 10),
        ("packs screws", "screws", None),
        ("bag of washers", "washers", None),
        ("pack hub", "pack hub", 1),
        ("gasket set", "gasket set", 1),
        ("friction disc 2.5 mm", "friction disc 2.5 mm", 1),
        ("box of 10 mm screws", "10 mm screws", None),
        ("O-ring 20x2", "O-ring 20x2", 1),
        ("ring, spare", "ring, spare", 1),
    ],
)
def test_sizes_of_units(words: str, name: str, size: int | None) -> None:
    """What is in a unit is read where it is said, open where it is not, and a measure is no size."""
    packing = packing_of(words)
    assert (packing.name, packing.size) == (name, size)


@pytest.mark.parametrize("words", ["AR", "shim a/r", "grease, as required", "shim (as req'd)"])
def test_as_required(words: str) -> None:
    """Every usual way of saying "as required" leaves the quantity open."""
    packing = packing_of(words)
    assert packing.required and pieces(3, packing).pieces is None


@pytest.mark.parametrize("words", ["seal ring per side", "each side seal ring", "seal ring per clutch"])
def test_by_side(words: str) -> None:
    """A quantity by side or clutch is told apart from the name."""
    assert packing_of(words).each and "seal ring" in packing_of(words).name


def test_a_unit_behind_the_name_is_asked() -> None:
    """Two of “washer (pair)” may be two pieces or two pairs: no count; one can only be one pair."""
    behind = packing_of("washer (pair)")
    assert pieces(2, behind).pieces is None and "pieces or packs" in pieces(2, behind).told
    assert pieces(1, behind).pieces == 2
    assert pieces(10, packing_of("screws (10 off)")).pieces == 10


def test_a_listed_line_in_pieces() -> None:
    """A listed pair is two pieces; a listed pack of unknown size has no count and says why."""
    assert in_pieces(KitLine("9-1", "pair of thrust washers", 1))[0] == KitLine("9-1", "thrust washers", 2)
    line, told, _ = in_pieces(KitLine(None, "bag of washers", 1))
    assert line.quantity is None and "not said" in told
    assert in_pieces(KitLine(None, "seal ring", 4)) == (KitLine(None, "seal ring", 4), "", "")


@pytest.mark.parametrize(
    ("unit", "size"),
    [("EA", 1), ("pcs", 1), ("", 1), ("PR", 2), ("Pair", 2), ("DZ", 12), ("PK10", 10), ("Box of 50", 50),
     ("/10", 10), ("PK", None), ("SET", None), ("BOX", None), ("m", None), ("kg", None)],
)  # fmt: skip
def test_the_unit_column(unit: str, size: int | None) -> None:
    """A slip's unit of issue: pieces, pairs and dozens have a size, packs and sets only where it is said."""
    assert unit_size(unit) == size


@given(st.integers(0, 99), st.integers(2, 200))
def test_packs_multiply(packs: int, size: int) -> None:
    """Any number of packs of any size is their product."""
    assert pieces(packs, packing_of(f"packs of {size} screws")).pieces == packs * size


@given(st.text(max_size=60), st.integers(0, 50))
def test_any_words_are_counted_or_open(words: str, quantity: int) -> None:
    """No words raise; a count is never less than the quantity, as a unit has at least one piece."""
    count = pieces(quantity, packing_of(words)).pieces
    assert count is None or count >= quantity


@pytest.mark.parametrize("piece", ["pack of ", "per side ", "10 per ", "(", "box a ", "a ", "pk1 "])
def test_hostile_words_are_quick(piece: str) -> None:
    """Twenty kilobytes of nonsense take under a tenth of a second for all the patterns together."""
    started = time.process_time()
    assert isinstance(packing_of(piece * (20000 // len(piece))), Packing)
    assert time.process_time() - started < 0.1
