"""What was found at teardown, against every configuration that invented papers know. Not mixing old and new
parts is common practice, no source."""

from dataclasses import replace

import pytest
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.kits.asfound import EVIDENCE, NOTHING, FoundAnswer, found_answer
from benchleaf.graph.kits.kit import kit_answer
from benchleaf.graph.kits.received import Received, parse_got
from benchleaf.graph.model import Applies, Contents, KitLine, Note
from fake_shelf import FakeShelf, became, cancels, contains, day, lines, manual, note, override
from hypothesis import given, settings
from hypothesis import strategies as st

FRICTION_ENDS = "Stack 11 friction discs and 10 steel discs in turn, a friction disc first and last."
STEEL_ENDS = "Stack 11 friction discs and 12 steel discs in turn, a steel disc first and last."
BOOK = manual(
    {"4-12": [("5", FRICTION_ENDS), ("6", "Tighten the pump screws to 9 Nm.")]}, date=day("1999-01-01")
)
FIRST = (KitLine("AB 4471-20", "friction disc", 11), KitLine("AB 4471-22", "steel disc", 10))
LATER = (KitLine("AB 4471-20", "friction disc", 11), KitLine("AB 4471-30", "steel disc", 12))
SWAP = became("7001-01", "7001-02", quote="kit 7001-02 replaces kit 7001-01")
DISC = became("AB 4471-22", "AB 4471-30")
STEP = override("replace", "5", text=STEEL_ENDS)
OLD = note("N 0", "2000-01-01", contains("7001-01", FIRST))
NEW = note(
    "N 1", "2001-01-01", SWAP, DISC, contains("7001-02", LATER, lines(friction_disc=11, steel_disc=10)), STEP
)


def _found(
    got: str, *notes: Note, kit: str | None = "7001-02", model: str | None = None, books=(BOOK,), **more
):
    return found_answer(FakeShelf(books, notes or (OLD, NEW)), kit, model, parse_got(got), **more)


def _names(answer: FoundAnswer, exact: bool = True) -> list[str]:
    return [m.what for m in answer.matches if m.exact is exact]


def test_the_pack_before_a_note_is_known_by_its_step_and_lists() -> None:
    """The old counts match the manual's step before the note, with page, item and words, the list of the
    older kit, and the contents that the note itself gives as before: oldest first, each with its source."""
    answer = _found("11 friction disc, 10 steel disc")
    assert _names(answer) == [
        "matches the pack before note N 1 (page 4-12, item 5 of RX 40)",
        "matches kit 7001-01 as listed by N 0 since 2000-01-01",
        "matches the contents before note N 1, which changed kit 7001-02",
    ]
    step, listed, before = answer.matches
    assert (step.note, step.publication, step.page, step.item) == (None, "RX 40", "4-12", "5")
    assert step.source == FRICTION_ENDS and step.differences == ()
    assert (listed.note, listed.date) == ("N 0", day("2000-01-01")) and before.note == "N 1"
    assert answer.sentences[-1] == EVIDENCE


def test_the_pack_since_a_note() -> None:
    """The new counts match the note's step and its list of the new kit."""
    answer = _found("11 friction disc, 12 steel disc")
    assert _names(answer) == [
        "matches kit 7001-02 as listed by N 1 since 2001-01-01",
        "matches the pack since note N 1 (page 4-12, item 5 of RX 40)",
    ]
    assert {m.note for m in answer.matches} == {"N 1"} and answer.matches[1].source == STEEL_ENDS


def test_a_manual_that_no_note_changes() -> None:
    """Without notes, and without a kit, the manual's own pack is what there is."""
    shelf = FakeShelf((BOOK,))
    answer = found_answer(shelf, None, "K7", parse_got("11 friction disc, 10 steel disc"))
    assert _names(answer) == ["matches the pack of the manual (page 4-12, item 5 of RX 40)"]
    other = found_answer(shelf, None, "Z9", parse_got("11 friction disc, 10 steel disc"))
    assert other.matches == () and "No paper held tells a pack or a kit" in other.sentences[0]


def test_nothing_known_matches() -> None:
    """Counts that no paper knows: somebody may have been inside, and the nearest with what differs."""
    answer = _found("11 friction disc, 11 steel disc")
    assert answer.matches == () and answer.sentences[0] == NOTHING
    assert "Nearest: " in answer.sentences[1] and "11 steel found, 10 told" in answer.sentences[1]
    assert answer.sentences[-1] == EVIDENCE


def test_every_stage_of_a_step_is_known() -> None:
    """A value changed, then the step replaced, then deleted: each wording is a configuration, the changed
    value's too."""
    change = override("change-value", "5", was="10 steel discs", now="12 steel discs")
    notes = (
        note("N 1", "2001-01-01", change),
        note(
            "N 2",
            "2002-01-01",
            override("replace", "5", text="Stack 9 friction discs and 8 steel discs in turn."),
        ),
        note("N 3", "2003-01-01", override("delete", "5")),
    )
    for got, stage in (("11 friction disc, 10 steel disc", "the pack before note N 1"),
                       ("11 friction disc, 12 steel disc", "the pack before note N 2"),
                       ("9 friction disc, 8 steel disc", "the pack before note N 3")):  # fmt: skip
        answer = _found(got, *notes, kit=None)
        assert _names(answer) == [f"matches {stage} (page 4-12, item 5 of RX 40)"]
    early = _found("11 friction disc, 10 steel disc", *notes, kit=None, on=day("2000-12-31"))
    assert _names(early) == ["matches the pack of the manual (page 4-12, item 5 of RX 40)"]


def test_inserted_doubtful_and_cancelled_words_are_told_as_such() -> None:
    """An inserted step counts; a doubtful reading is named as one and moves no stage; a cancelled note's
    stage says by which note; a note for some units says for which."""
    late = Applies(models=("K7",), serial_from="5200", as_printed="from 5200")
    small, other = (f"Stack {f} friction discs and {s} steel discs in turn." for f, s in ((3, 2), (7, 6)))
    odd = override("replace", "5", text=STEEL_ENDS, standing="doubtful", why=("odd",))
    notes = (
        note("N 1", "2001-01-01", override("insert-after", "6", text=small)),
        note("N 2", "2002-01-01", odd),
        note("N 3", "2003-01-01", override("replace", "5", text=other), applies=late),
        note("N 4", "2004-01-01", cancels("N 3")),
    )
    (inserted,) = _found("3 friction disc, 2 steel disc", *notes, kit=None).matches
    assert inserted.what.startswith("matches the step that N 1 inserts")
    (doubtful,) = _found("11 friction disc, 12 steel disc", *notes, kit=None).matches
    assert "doubtful reading 2 of note N 2" in doubtful.what and any(
        "settle it first" in r for r in doubtful.remarks
    )
    (gone,) = _found("7 friction disc, 6 steel disc", *notes, kit=None).matches
    assert any("N 3 was cancelled by N 4" in r for r in gone.remarks)
    assert any("N 3 holds here for" in r and "5200" in r for r in gone.remarks)
    (before,) = _found("11 friction disc, 10 steel disc", *notes, kit=None).matches
    assert before.what.startswith("matches the pack before note N 3")


def test_a_manuals_own_kit_list() -> None:
    """A kit that the manual itself lists is a configuration with the publication as its source."""
    listed = Contents(
        kit="7001-01", lines=FIRST, note="RX 40", date=day("1999-01-01"), quote="Disc kit 7001-01:",
        source=replace(OLD.statements[0].source, page="7-2"),
    )  # fmt: skip
    answer = _found("11 friction disc, 10 steel disc", NEW, books=(replace(BOOK, kits=(listed,)),))
    match = next(m for m in answer.matches if "kit 7001-01 as listed by RX 40" in m.what)
    assert (match.note, match.publication, match.page, match.exact) == (None, "RX 40", "7-2", True)
    assert match.source == "Disc kit 7001-01:"


def test_numbers_tell_before_or_after_a_note() -> None:
    """The old disc was superseded by the note, the new one came with it, and each says what follows; a number
    that no paper names offers near ones."""
    answer = _found("11 friction disc, 10 x AB 4471-22 steel disc")
    (part,) = answer.parts
    assert part.replaced_by == ("N 1",) and part.came_with == ()
    assert "superseded by AB 4471-30 in note N 1 of 2001-01-01" in part.sentences[0]
    (part,) = _found("11 friction disc, 12 x AB 4471-30 steel disc").parts
    assert part.came_with == ("N 1",) and "built or opened after that" in part.sentences[0]
    (part,) = _found("11 friction disc, 12 x AB 4471-3O steel disc").parts
    assert not part.known and part.near == ("AB 4471-30",)


def test_a_doubtful_number_is_told_and_not_followed() -> None:
    """A doubtful supersession gives a doubt with the part, and no before or after."""
    doubtful = note("N 1", "2001-01-01", replace(DISC, standing="doubtful"))
    (part,) = _found("10 x AB 4471-22 steel disc", OLD, doubtful, kit=None).parts
    assert part.replaced_by == () and any("settle it first" in s for s in part.sentences)


def test_other_numbers_and_lines_are_no_exact_match() -> None:
    """Counts that agree under other numbers, or with more beside them, match but not exactly, and say how."""
    answer = _found("11 friction disc, 10 x AB 4471-30 steel disc, 1 gasket")
    kit = next(m for m in answer.matches if "7001-01 as listed" in m.what)
    assert not kit.exact and kit.differences == (
        "AB 4471-30 was found where AB 4471-22 is listed (linked by N 1)",
        "not listed: 1 gasket",
    )
    step = next(m for m in answer.matches if "pack before" in m.what)
    assert step.exact and answer.matches[0] == step  # the step names no numbers


def test_plates_not_counted_are_no_exact_match() -> None:
    """One kind alone fits several packs: matches, none exact, and each says what was not counted."""
    answer = _found("11 friction disc")
    assert _names(answer) == [] and len(answer.matches) == 5
    assert all(any("plates not counted" in r for r in m.remarks) for m in answer.matches)
    assert any("matches wholly" in s for s in answer.sentences)


@pytest.mark.parametrize(
    ("got", "mixed"),
    [
        ("11 friction disc, 6 x AB 4471-22 steel disc, 6 x AB 4471-30 steel disc", True),
        ("11 friction disc, 12 x AB 4471-30 steel disc, 0 x AB 4471-22 steel disc", False),
        ("11 friction disc, 12 x AB 4471-30 steel disc", False),
    ],
)
def test_old_and_new_parts_together_are_mixed(got: str, mixed: bool) -> None:
    """Both numbers in one pack: told as mixed, on the match too; one of them alone, or none left, is not."""
    answer = _found(got)
    assert any("do not intermix unless a note says so" in s for s in answer.sentences) is mixed
    assert answer.matches and all(m.mixed is mixed for m in answer.matches)


def test_parts_of_one_note_are_mixed_across_numbers() -> None:
    """The old disc of one pair beside the new disc of another pair that the same note changed is a mixture;
    where the note says that both ways fit, it is none; over several notes it is one."""
    pair = (became("AB 10-001", "AB 10-002"), became("AB 20-001", "AB 20-002"))
    got = "4 x AB 10-001 friction disc, 4 x AB 20-002 steel disc"
    said = _found(got, note("N 1", "2001-01-01", *pair), kit=None).sentences
    assert any("AB 10-001 is of before note N 1 and AB 20-002 of after it" in s for s in said)
    free = tuple(replace(s, interchange="both ways") for s in pair)
    said = _found(got, note("N 1", "2001-01-01", *free), kit=None).sentences
    assert not any("intermix" in s for s in said)
    chain = (note("N 1", "2001-01-01", became("AB 10-001", "AB 10-002")),
             note("N 2", "2002-01-01", became("AB 10-002", "AB 10-003")))  # fmt: skip
    said = _found("1 x AB 10-001 ring, 1 x AB 10-003 ring", *chain, kit=None).sentences
    assert any("replaced it over several notes" in s for s in said)


def test_an_unknown_kit_is_told_and_all_is_compared() -> None:
    """A kit that no paper names is said so, with near numbers, and the rest is compared."""
    answer = _found("11 friction disc, 10 steel disc", kit="7OO1-02")
    assert answer.kit is None and "near: 7001-02" in answer.sentences[0] and answer.matches


def test_nothing_found_is_wrong_use() -> None:
    """Without a line there is nothing to compare."""
    with pytest.raises(WrongUse):
        found_answer(FakeShelf((BOOK,)), None, None, ())


@given(st.integers(0, 14), st.integers(0, 14))
@settings(max_examples=60, deadline=None)
def test_exact_matches_are_those_with_these_counts(friction: int, steel: int) -> None:
    """For any counts: the exact matches are just the configurations of those counts, no verdict changes, and
    the worth of the evidence is always told."""
    shelf = FakeShelf((BOOK,), (OLD, NEW))
    got = (Received("friction disc", friction), Received("steel disc", steel))
    verdict = kit_answer(shelf, "7001-02", got)
    answer = found_answer(shelf, "7001-02", None, got)
    told = {(11, 10): 3, (11, 12): 2}.get((friction, steel), 0)
    assert sum(m.exact for m in answer.matches) == len(answer.matches) == told
    assert answer.sentences[-1] == EVIDENCE and (NOTHING in answer.sentences) is (told == 0)
    assert kit_answer(shelf, "7001-02", got) == verdict
