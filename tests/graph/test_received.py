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
        (
            "10 friction discs 2.5 mm, 11 steel",
            [(10, "friction discs 2.5 mm", None), (11, "steel", None)],
        ),
        ("friction 10, steel 11", [(10, "friction", None), (11, "steel", None)]),
        ("10x K41-3011", [(10, "", "K41-3011")]),
        ("4471 33 x2", [(2, "", "4471 33")]),
        ("44 71 33 x 2", [(2, "", "44 71 33")]),
        ("two seal rings", [(2, "seal rings", None)]),
        ("none of the seal rings", [(0, "seal rings", None)]),
        ("seal rings: none\nmissing: gasket", [(0, "seal rings", None), (0, "gasket", None)]),
        ("No. 4471-33 x 2", [(2, "No.", "4471-33")]),
        ("seal rings 2 pcs; qty 3 shim", [(2, "seal rings", None), (3, "shim", None)]),
        ("11 steel (10 thin, 1 thick)", [(11, "steel (10 thin, 1 thick)", None)]),
        ("1 screw M6 x 20", [(1, "screw M6 x 20", None)]),
        ("1 bush, 28 mm", [(1, "bush, 28 mm", None)]),
        ("2 4410233", [(2, "", "4410233")]),
        ("AB 4410-21 6 pcs", [(6, "", "AB 4410-21")]),
        ("4 bolts, AB 4410-21", [(4, "bolts", None), (1, "", "AB 4410-21")]),
        ("3 shims, inner seal ring", [(3, "shims", None), (1, "inner seal ring", None)]),
        ("3 shims, O-ring, 2 bolts", [(3, "shims", None), (1, "O-ring", None), (2, "bolts", None)]),
        ("1 gasket, cover", [(1, "gasket, cover", None)]),
        ("screws AB 44-21, two packs of 4", [(8, "screws", "AB 44-21")]),
        ("one left and one right gasket", [(1, "left gasket", None), (1, "right gasket", None)]),
        ("upper and lower gasket", [(1, "upper gasket", None), (1, "lower gasket", None)]),
        ("9 inner lamella 4318.440", [(9, "inner lamella", "4318.440")]),
        ("6 disc (K41-3011), 5 disc [K41-3012]", [(6, "disc", "K41-3011"), (5, "disc", "K41-3012")]),
    ],
)
def test_forms_of_a_list(words: str, read: list[tuple[int, str, str | None]]) -> None:
    """Quantities before or after, number words, part numbers and measures are read as a person means them."""
    assert [(r.quantity, r.description, r.part) for r in parse_got(words)] == read


@pytest.mark.parametrize(
    ("words", "count", "name"),
    [
        ("1 pair thrust washers", 2, "thrust washers"),
        ("pair of thrust washers", 2, "thrust washers"),
        ("2 packs of 10 screws", 20, "screws"),
        ("2 x pack of 5 shims", 10, "shims"),
        ("box of 100 M6 screws", 100, "M6 screws"),
        ("2 dozen screws", 24, "screws"),
        ("half a dozen screws", 6, "screws"),
        ("1 set of 4 springs", 4, "springs"),
        ("1 set of springs", 1, "set of springs"),
        ("1 thrust washer, pair", 2, "thrust washer"),
    ],
)
def test_packs_are_counted_in_pieces(words: str, count: int, name: str) -> None:
    """Packs, pairs and dozens come to pieces; a set of no said size is one thing."""
    (line,) = parse_got(words)
    assert (line.quantity, line.description) == (count, name)
    assert bool(line.told) == (name != "set of springs")


@pytest.mark.parametrize(
    "words",
    [
        "2 packs screws",
        "1 pack screws",
        "2 bags of washers",
        "2 thrust washers, pair",
        "20 screws PK10",
        "2 seal rings per side",
        "10 or 11 discs",
        "about 10 discs",
        "discs about 10",
        "~10 discs",
        "10+ discs",
        "10-11 discs",
        "1,000 screws",
        "friction 10,11 steel",
        "10 of each friction and steel disc",
        "10 each friction and steel",
        "10 friction, steel",
        "10 friction discs x 2",
        "1 x 10 friction discs",
        "22 959 130",
        "a few shims",
        "some shims",
        "both seal rings",
        "2 nuts and bolts",
        "2.5 mm steel disc",
        "-3 discs",
    ],
)
def test_what_is_not_clear_is_asked(words: str) -> None:
    """A count that a person may mean otherwise is wrong use with a remedy, never a guess."""
    with pytest.raises(WrongUse) as raised:
        parse_got(words)
    assert raised.value.remedy


@pytest.mark.parametrize("words", ["friction disc, steel disc", "cover bolts", "", " , ", "229 591 30"])
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


@pytest.mark.parametrize("piece", ["1 ", "x 2 ", "(", "a, ", "12,", "none of ", "1 x a", "or 1 "])
def test_hostile_list_is_quick(piece: str) -> None:
    """Twenty kilobytes of nonsense are refused or read in under a fifth of a second."""
    started = time.process_time()
    with contextlib.suppress(WrongUse):
        parse_got(piece * (20000 // len(piece)))
    assert time.process_time() - started < 0.2
