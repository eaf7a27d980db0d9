"""What came, as a person types it."""

import contextlib
import time

import pytest
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.kits.received import Received, parse_got
from hypothesis import given
from hypothesis import strategies as st


@pytest.mark.parametrize(
    ("words", "read"),
    [
        ("10 friction disc, 11 steel disc", [(10, "friction disc", None), (11, "steel disc", None)]),
        ("10 friction discs,11 steel discs", [(10, "friction discs", None), (11, "steel discs", None)]),
        ("ten friction and eleven steel", [(10, "friction", None), (11, "steel", None)]),
        ("1 ring, retaining; 2 seal", [(1, "ring, retaining", None), (2, "seal", None)]),
        ("2 x AB 4410-21 seal ring", [(2, "seal ring", "AB 4410-21")]),
        (
            "disc x10\nsteel disc: 11\nseal (2)",
            [(10, "disc", None), (11, "steel disc", None), (2, "seal", None)],
        ),
        ("5 friction disc 2,5 mm, 6 steel", [(5, "friction disc 2,5 mm", None), (6, "steel", None)]),
        ("229 591 30 x 1", [(1, "", "229 591 30")]),
        ("3 pcs. gaskets 229 591 30", [(3, "gaskets", "229 591 30")]),
        ("no retaining ring + 0 seal", [(0, "retaining ring", None), (0, "seal", None)]),
        ("1 O-ring 20x2", [(1, "O-ring 20x2", None)]),
    ],
)
def test_forms_of_a_list(words: str, read: list[tuple[int, str, str | None]]) -> None:
    """Quantities before or after, number words, part numbers and measures are read as a person means them."""
    assert [(r.quantity, r.description, r.part) for r in parse_got(words)] == read


@pytest.mark.parametrize("words", ["friction disc, steel disc", "", " , ", "229 591 30"])
def test_piece_without_a_quantity_is_wrong_use(words: str) -> None:
    """A piece without a quantity raises WrongUse with the form to use."""
    with pytest.raises(WrongUse) as raised:
        parse_got(words)
    assert "--got" in raised.value.remedy


NAMES = st.sampled_from(["friction disc", "steel disc", "seal ring", "gasket", "wave spring"])


@given(st.lists(st.tuples(st.integers(0, 99), NAMES), min_size=1, max_size=6))
def test_what_is_written_is_read_back(made: list[tuple[int, str]]) -> None:
    """Any list of quantities and names is read back as it was written."""
    words = ", ".join(f"{count} {name}" for count, name in made)
    assert parse_got(words) == tuple(Received(name, count) for count, name in made)


@pytest.mark.parametrize("piece", ["1 ", "x 2 ", "(", "a, ", "12,"])
def test_hostile_list_is_quick(piece: str) -> None:
    """Twenty kilobytes of nonsense are refused or read in under a fifth of a second."""
    started = time.process_time()
    with contextlib.suppress(WrongUse):
        parse_got(piece * (20000 // len(piece)))
    assert time.process_time() - started < 0.2
