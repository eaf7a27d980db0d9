"""Every line of a kit: its state, its reason, and whose word it is."""

import pytest
from benchleaf.graph.kits.expected import Expected
from benchleaf.graph.kits.matching import pair_up
from benchleaf.graph.kits.received import Received, parse_got
from benchleaf.graph.kits.succession import exchanges, linked_by
from benchleaf.graph.kits.verdict import KitLineAnswer, LinesVerdict, judge_lines
from benchleaf.graph.model import KitLine, Supersession
from fake_shelf import became, contains, lines
from hypothesis import given, settings
from hypothesis import strategies as st

RENAMED = became("44-1", "44-2", note="N 2")
SPLIT = became("55-1", ("55-8", "55-9"), relation="all of", note="N 5")
MERGED = became(("66-1", "66-2"), "66-9", relation="all of", note="N 6")


def judged(listed: list[KitLine], came: list[Received], *told: Supersession) -> LinesVerdict:
    pairs = pair_up(listed, came, linked_by(told), exchanges(told))
    return judge_lines(pairs, Expected("contents", tuple(listed), "N 1", before=tuple(listed)))


def one(listed: KitLine, came: Received, *told: Supersession) -> tuple[KitLineAnswer, bool]:
    """The only line's answer, and whether it holds the kit."""
    answer = judged([listed], [came], *told)
    (line,) = answer.lines
    return line, bool(answer.unexplained)


RING = KitLine("44-1", "seal ring", 2)


@pytest.mark.parametrize(
    ("came", "state", "holds", "source"),
    [
        (Received("", 2, "44-1"), "as listed", False, "N 1"),
        (Received("seal ring", 2), "as listed", False, "N 1"),
        (Received("", 3, "44-1"), "over", True, "N 1"),
        (Received("", 1, "44-1"), "short", True, "N 1"),
        (Received("", 0, "44-1"), "short", True, "N 1"),
        (Received("", 2, "44-2"), "superseded", False, "N 2"),
        (Received("", 1, "44-2"), "short", True, "N 2"),
        (Received("", None, "44-1"), "not counted", False, "N 1"),
        (Received("seal ring", 2, "99-9"), "not listed", True, "N 1"),
        (Received("seal ring", 2, "44-I"), "not listed", True, "N 1"),
    ],
)
def test_the_state_of_a_line(came: Received, state: str, holds: bool, source: str) -> None:
    """Each line says what became of it and whose word it is; a reason stands wherever it is not as listed."""
    line, held = one(RING, came, RENAMED)
    assert (line.state, held, line.source) == (state, holds, source)
    assert bool(line.reason) == (state != "as listed")


def test_a_look_alike_number_is_asked() -> None:
    """The reason says that the numbers look alike."""
    line, _ = one(RING, Received("", 2, "44-I"))
    assert "look alike" in line.reason


def test_a_set_for_one_number() -> None:
    """A split: both numbers are replaced lines; without the second the kit is held."""
    valve = [KitLine("55-1", "valve", 1)]
    both = judged(valve, [Received("body", 1, "55-8"), Received("spool", 1, "55-9")], SPLIT)
    assert [x.state for x in both.lines] == ["replaced", "replaced"] and not both.unexplained
    assert both.changed and all("55-1" in x.reason for x in both.lines)
    half = judged(valve, [Received("body", 1, "55-8")], SPLIT)
    assert half.unexplained and any("55-9" in w for w in half.unexplained)


def test_one_number_for_two_lines() -> None:
    """A merge: the one number replaces both lines, in their quantity only."""
    listed = [KitLine("66-1", "ring", 1), KitLine("66-2", "clip", 1)]
    good = judged(listed, [Received("ring with clip", 1, "66-9")], MERGED)
    assert [x.state for x in good.lines] == ["replaced"] and not good.unexplained
    assert judged(listed, [Received("ring with clip", 2, "66-9")], MERGED).unexplained


def test_a_merge_of_unequal_lines_is_asked() -> None:
    """Where the listed lines have other quantities nobody knows how many are meant: held."""
    listed = [KitLine("66-1", "ring", 1), KitLine("66-2", "clip", 3)]
    assert judged(listed, [Received("ring with clip", 1, "66-9")], MERGED).unexplained


@settings(max_examples=60, deadline=None)
@given(st.integers(1, 9), st.integers(0, 30))
def test_by_side_is_right_for_one_or_two_only(each: int, came: int) -> None:
    """As many as listed by side, or twice that, is told and not held; any other number is held."""
    line, holds = one(KitLine(None, "seal ring per side", each), Received("seal ring", came))
    assert holds == (came not in (each, 2 * each))
    assert (line.difference is None) == (not holds) and "ask" in line.reason


def test_what_is_not_listed_and_not_counted_holds() -> None:
    """A line that nobody listed is strange also where its count is open."""
    answer = judged([RING], [Received("", 2, "44-1"), Received("gasket", None, "9-9", "6 PK")])
    assert answer.unexplained and answer.lines[1].state == "not listed" and "6 PK" in answer.lines[1].reason


def test_plates_in_packs_of_no_known_size_hold() -> None:
    """Plates that came in packs are not counted: held, with the reason; a small part is told."""
    line, holds = one(KitLine(None, "friction disc", 10), Received("friction disc", None, None, "1 PK"))
    assert holds and "1 PK" in line.reason
    line, holds = one(KitLine(None, "screw", 10), Received("screw", None, None, "1 PK"))
    assert not holds and "1 PK" in line.reason and line.state == "not counted"


def test_one_number_under_both_kinds_of_plates() -> None:
    """The listed number of a friction disc on a line of steel discs: one of the papers errs, held."""
    line, holds = one(KitLine("77-1", "friction disc", 5), Received("steel disc", 5, "77-1"))
    assert holds and line.state == "not listed"


@pytest.mark.parametrize(
    ("listed", "got", "holds"),
    [
        ("pair of thrust washers", "2 thrust washers", False),
        ("pair of thrust washers", "1 pair thrust washers", False),
        ("pair of thrust washers", "1 thrust washer", True),
        ("pack of 10 screws", "10 screws", False),
        ("pack of 10 screws", "2 packs of 5 screws", False),
        ("set of 4 springs", "1 set of 4 springs", False),
        ("set of 4 springs", "1 spring", True),
        ("screws (10 off)", "10 screws", False),
    ],
)
def test_packs_on_both_sides(listed: str, got: str, holds: bool) -> None:
    """A list in packs and a count in pieces, or the other way round, are compared in pieces."""
    answer = judged([KitLine(None, listed, 1)], list(parse_got(got)))
    assert bool(answer.unexplained) == holds


def test_every_older_word_counts_for_a_change() -> None:
    """A list that differs from the manual's own, or from the kit before, is changed by its note."""
    listed = lines(friction_disc=11, steel_disc=12)
    old = contains("1", lines(friction_disc=11, steel_disc=10))
    pairs = pair_up(listed, [Received("friction disc", 11), Received("steel disc", 12)], linked_by(()))
    same = Expected("contents", listed, "N 1", before=listed)
    assert not judge_lines(pairs, same).changed
    other = Expected("contents", listed, "N 1", before=listed, earlier=(old,))
    assert judge_lines(pairs, other).changed
    assert judge_lines(pairs, other).lines[1].because == ("N 1",)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(100, 130), st.integers(1, 9)), min_size=1, max_size=6, unique_by=lambda t: t[0]
    ),
    st.data(),
)
def test_differences_are_always_told(listed: list[tuple[int, int]], data: st.DataObject) -> None:
    """For any kit of numbers: every line that is over or short holds, and only those."""
    counts = [data.draw(st.integers(0, 9)) for _ in listed]
    answer = judged(
        [KitLine(f"9-{n}", "part", q) for n, q in listed],
        [Received("", c, f"9-{n}") for (n, _), c in zip(listed, counts, strict=True)],
    )
    wrong = [c != q for (_, q), c in zip(listed, counts, strict=True)]
    assert [x.state in ("over", "short") for x in answer.lines] == wrong
    assert len(answer.unexplained) == sum(wrong)
