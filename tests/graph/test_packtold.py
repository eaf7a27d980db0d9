"""Contradictions about a pack within and between steps. That kinds must be equal in number or differ by one
is common practice, no source; the wordings are invented."""

import time

import pytest
from benchleaf.graph.chapter import Step
from benchleaf.graph.kits.packtold import (
    Told,
    against_each_other,
    against_lines,
    own_contradictions,
    told_against,
)
from benchleaf.graph.model import KitLine
from hypothesis import given
from hypothesis import strategies as st

GOOD = "Stack 5 friction and 4 steel plates alternately, beginning and ending with a friction plate."


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("Stack 5 friction and 4 steel plates in turn, beginning and ending with a steel plate.", "order"),
        ("Alternate 6 friction and 9 steel plates.", "cannot alternate"),
        (
            "Stack the plates in turn, starting with a steel plate. The first plate is a friction plate.",
            "first",
        ),
        ("Starting with a steel disc, install 7 lined discs and 6 steel discs alternately.", "order"),
    ],
)
def test_step_against_itself(text: str, word: str) -> None:
    """Counts that cannot stack as the step asks, or two firsts, are told."""
    assert len(own_contradictions(text)) == 1
    assert word in own_contradictions(text)[0]


@pytest.mark.parametrize(
    "text",
    [
        GOOD,
        "Stack 9 friction and 10 steel plates in turn, beginning with a steel plate.",
        "Alternate 6 friction and 8 steel plates, two steel plates together at the end.",
        "Stack 5 friction and 4 steel plates in turn; model RT 64 takes two more of each.",
        "Stack 5 friction and 7 steel plates in turn, with a thicker steel plate at each end.",
        "Insert the sixteen springs, twelve outer and four inner.",
        "Remove 5 friction and 4 steel plates, beginning with a steel plate.",
        "Fit 5 friction and 8 steel plates as shown.",
        "",
    ],
)
def test_sound_or_unsure_steps_are_silent(text: str) -> None:
    """Sound counts, variants, plates outside the alternation and removal claim nothing."""
    assert own_contradictions(text) == ()


def told(text: str, section: str | None = "Pack", place: str = "step 1") -> Told:
    return Told(text, section, place)


OTHER = "Stack 6 friction and 5 steel plates alternately."


def test_other_counts_in_one_section() -> None:
    """Two steps of one section that count one pack differently contradict each other."""
    why = against_each_other(told(GOOD), told(OTHER, place="step 9"))
    assert why == "step 1 counts 5 friction and 4 steel plates, step 9 6 friction and 5 steel plates"


@pytest.mark.parametrize(
    "other",
    [
        told(OTHER, section="Other pack"),
        told(OTHER, section=None),
        told("Stack 6 friction and 5 steel plates alternately in the reverse drum."),
        told("On model RT 64 stack 6 friction and 5 steel plates alternately."),
        told(GOOD),
    ],
)
def test_other_packs_are_left_alone(other: Told) -> None:
    """Another section, another name of the pack, a variant, or the same counts are no contradiction."""
    assert against_each_other(told(GOOD), other) is None


def plates(friction: int, steel: int) -> list[KitLine]:
    return [KitLine(None, "friction plate", friction), KitLine(None, "steel plate", steel)]


def test_step_against_kit_lines() -> None:
    """A kit of other counts contradicts the step; a multiple of them does not."""
    assert against_lines(GOOD, "step 1", plates(5, 4), "the kit gives") is None
    assert against_lines(GOOD, "step 1", plates(10, 8), "the kit gives") is None
    assert against_lines(GOOD, "step 1", plates(5, 5), "the kit gives") == (
        "step 1 counts 5 friction and 4 steel plates, the kit gives 5 friction and 5 steel"
    )


def test_order_against_kit_lines() -> None:
    """A step without counts whose order the kit's plates cannot make contradicts it."""
    text = "Stack the friction and steel plates alternately, beginning and ending with a steel plate."
    assert "asks for a steel plate first and last" in (
        against_lines(text, "step 1", plates(5, 4), "in it") or ""
    )
    assert against_lines(text, "step 1", plates(4, 5), "in it") is None


def test_told_against() -> None:
    """Steps in force are compared with themselves and the others of their section."""
    one = Step("1", "RX 40", "31", "1", GOOD, (), "manual", (), section="Pack")
    other = Step("9", "RX 40", "32", "9", OTHER, (), "manual", (), section="Pack")
    assert told_against(one, [one]) == ()
    assert told_against(one, [one, other])[0].startswith("two steps contradict each other: step 1 on page 31")


@given(st.integers(1, 30), st.integers(1, 30))
def test_bare_counts_are_told_only_if_they_cannot_stack(friction: int, steel: int) -> None:
    """For any counts above one, alternation is doubted only where the kinds differ by more than one."""
    said = own_contradictions(f"Alternate {friction} friction plates and {steel} steel plates.")
    if abs(friction - steel) <= 1 or 1 in (friction, steel):
        assert said == ()
    else:
        assert len(said) == 1


@given(st.text(max_size=300))
def test_any_text(text: str) -> None:
    """No text raises."""
    own_contradictions(text)


@pytest.mark.parametrize(
    "piece", ["steel plate ", "5 steel plates 4 friction discs in turn ", "first <F> ", "("]
)
def test_hostile_text_is_quick(piece: str) -> None:
    """20 kB of one piece are read in under 50 ms (best of three)."""
    text, best = (piece * 20_000)[:20_000], 1.0
    for _ in range(3):
        start = time.perf_counter()
        own_contradictions(text)
        best = min(best, time.perf_counter() - start)
    assert best < 0.05
