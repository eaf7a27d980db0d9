"""Which other kit's lines came: offered, and explaining nothing."""

from benchleaf.graph.kits.matching import pair_up
from benchleaf.graph.kits.otherkits import other_kits
from benchleaf.graph.kits.received import Received, parse_got
from benchleaf.graph.model import KitLine
from fake_shelf import FakeShelf, became, contains, lines, note

FAMILY = became("7001-01", "7001-02")
OLD = lines(friction_disc=11, steel_disc=10)
NEW = lines(friction_disc=11, steel_disc=12)
SEALS = (KitLine("44-1", "seal ring", 2), KitLine("44-2", "gasket", 1))
SHELF = FakeShelf(
    notes=[
        note("N 0", "2000-01-01", contains("7001-01", OLD)),
        note("N 1", "2001-01-01", FAMILY, contains("7001-02", NEW)),
        note("N 2", "2002-01-01", contains("8100-05", SEALS)),
    ]
)


def asked(kit: str, expected: tuple[KitLine, ...], got: tuple[Received, ...]) -> tuple[str, ...]:
    return other_kits(SHELF, kit, pair_up(expected, got, lambda a, b: None), got)


def test_the_kit_before_in_the_new_box() -> None:
    """What came is just what the kit before contains: it is named with its note."""
    (told,) = asked("7001-02", NEW, parse_got("11 friction disc, 10 steel disc"))
    assert "kit 7001-01 (N 0)" in told and "just what" in told


def test_the_plates_of_the_kit_after() -> None:
    """The plates are the newer kit's, other lines are not: the plates are named."""
    (told,) = asked("7001-01", OLD, parse_got("11 friction disc, 12 steel disc, 1 gasket"))
    assert "the plates that came are those of kit 7001-02 (N 1)" in told


def test_two_kits_mixed() -> None:
    """Lines of a kit of another family are named by its number."""
    got = (
        *parse_got("11 friction disc, 12 steel disc"),
        Received("seal ring", 2, "44-1"),
        Received("", 1, "442"),
    )
    (told,) = asked("7001-02", NEW, got)
    assert "44-1 and 442 are lines of kit 8100-05 (N 2)" in told and "mixed" in told


def test_what_is_as_listed_is_like_no_other_kit() -> None:
    """Nothing is offered where nothing differs."""
    assert asked("7001-02", NEW, parse_got("11 friction disc, 12 steel disc")) == ()


def test_what_is_like_no_kit_names_none() -> None:
    """Counts that no kit of the family has name none."""
    assert asked("7001-02", NEW, parse_got("9 friction disc, 9 steel disc")) == ()
