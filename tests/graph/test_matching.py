"""Which line of what came is which line of what was expected."""

from itertools import permutations

import pytest
from benchleaf.graph.kits.matching import LEAST, best_pairs, pair_up, same_name
from benchleaf.graph.kits.partnames import name_words
from benchleaf.graph.kits.plates import plate_kind
from benchleaf.graph.kits.received import Received
from benchleaf.graph.model import KitLine
from hypothesis import given, settings
from hypothesis import strategies as st


def _no_link(one: str, other: str) -> None:
    return None


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("friction disc", "friction"),
        ("disk, lined", "friction"),
        ("fibre plates", "friction"),
        ("clutch disc", "friction"),
        ("inner plate", "friction"),
        ("steel disc", "steel"),
        ("separator plate", "steel"),
        ("plain plates", "steel"),
        ("outer disc", "steel"),
        ("unlined disc", "steel"),
        ("steel", "steel"),
        ("steel ring", None),
        ("end plate", None),
        ("pressure plate, steel", None),
        ("seal ring", None),
    ],
)
def test_names_of_plates(name: str, kind: str | None) -> None:
    """Makers' names tell friction from steel plates; end plates and steel rings are neither (common
    practice)."""
    assert plate_kind(name) == kind


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("friction disc", "lined plates", True),
        ("steel disc", "friction disc", False),
        ("seal ring", "sealing rings", True),
        ("seal ring", "retaining ring", False),
        ("retaining ring", "snap ring", True),
        ("circlip", "ring, retaining", True),
        ("O-ring", "o ring", True),
        ("shim 0.10 mm", "shim 0.20 mm", False),
        ("shim 0,10 mm", "shim 0.1 mm", True),
        ("wave spring", "cup spring", False),
        ("gasket", "gaskets", True),
    ],
)
def test_names_of_parts(one: str, other: str, same: bool) -> None:
    """Number, order of words and synonyms do not matter; another kind, another size do."""
    assert (same_name(one, other) >= LEAST) is same
    assert same_name(one, other) == same_name(other, one)


def test_name_words_are_singular() -> None:
    """Plurals and -ing forms come to one word."""
    assert name_words("sealing rings") == name_words("seal ring")


def test_numbers_win_over_names() -> None:
    """A line with the listed number is that line, whatever it is called."""
    expected = [KitLine("4410-21", "seal ring", 2), KitLine("4410-22", "seal ring", 2)]
    came = [Received("seal ring", 2, "441022"), Received("ring", 2, "441021")]
    pairs = pair_up(expected, came, _no_link)
    assert [(p.expected, p.received) for p in pairs] == [(expected[0], came[1]), (expected[1], came[0])]


def test_superseded_number_is_linked_and_a_stranger_is_marked() -> None:
    """A successor's number is linked by its note; a number nothing links is a stranger."""
    expected = [KitLine("4410-21", "seal ring", 2)]
    linked = pair_up(expected, [Received("seal ring", 2, "4410-35")], lambda a, b: ("N 1",))
    assert linked[0].because == ("N 1",) and not linked[0].stranger
    strange = pair_up(expected, [Received("seal ring", 2, "4410-22")], _no_link)
    assert strange[0].stranger


def test_two_thicknesses_counted_as_one_heap() -> None:
    """Where the list has two lines of steel plates and the person one heap, their sum is compared."""
    expected = [KitLine(None, "steel disc 2.5 mm", 5), KitLine(None, "steel disc 3.0 mm", 1)]
    pairs = pair_up(expected, [Received("steel discs", 6)], _no_link)
    assert len(pairs) == 1 and pairs[0].expected is not None and pairs[0].expected.quantity == 6


def test_one_line_counted_in_two_heaps() -> None:
    """Two heaps of one name are added up."""
    pairs = pair_up([KitLine(None, "seal", 5)], [Received("seal", 2), Received("Seal", 3)], _no_link)
    assert len(pairs) == 1 and pairs[0].received is not None and pairs[0].received.quantity == 5


def test_heap_with_an_unknown_count_is_unknown() -> None:
    """Two heaps of which one was not counted have no sum."""
    pairs = pair_up([KitLine(None, "seal", 5)], [Received("seal", 2), Received("seal", None)], _no_link)
    assert pairs[0].received is not None and pairs[0].received.quantity is None


def _best(scores: list[list[float]]) -> float:
    rows, columns = len(scores), len(scores[0])
    padded = [*range(columns), *[-1] * rows]
    return max(
        sum(s for i, j in enumerate(p) if j >= 0 and (s := scores[i][j]) >= LEAST)
        for p in set(permutations(padded, rows))
    )


SCORES = st.integers(1, 3).flatmap(
    lambda n: st.lists(st.lists(st.integers(50, 100), min_size=n, max_size=n), min_size=1, max_size=3)
)


@settings(max_examples=60, deadline=None)
@given(SCORES)
def test_pairing_is_the_best_of_all(scores: list[list[float]]) -> None:
    """The pairing's sum equals the best over all permutations (brute force)."""
    found = best_pairs(scores)
    assert len(set(found.values())) == len(found)
    assert sum(scores[i][j] for i, j in found.items()) == _best(scores)
