"""Places on a page that are no step, sections that are no manual, quotation marks within quoted words."""

import pytest
from benchleaf.graph.model import Override
from benchleaf.ingest.document import read_document
from test_statements import read

HEAD = "Manual HB 350 is corrected."
FIRST = "Page 19, item 1: Change “left” to “right”."


def overrides(*paragraphs: str) -> list[Override]:
    """The overrides of a note with these paragraphs."""
    return [s for s in read(*paragraphs).statements if isinstance(s, Override)]


@pytest.mark.parametrize(
    ("place", "page"),
    [
        ("Page 20, footnote, l.2", "20"),
        ("Page 20, l.-14", "20"),
        ("Page 20, para -1, l.3", "20"),
        ("Page 20, boxed text", "20"),
        ("Page 20, ll.-6/-4", "20"),
        ("Page 20, ll.3+4", "20"),
        ("Page 20, tab. 13.1", "20"),
        ("Page 20, 2.-1", "20"),
        ("Page 19, footnote 2", "19"),
    ],
)
def test_place_that_is_no_step_takes_none(place: str, page: str) -> None:
    """An entry with a page of its own takes no step from the entry before: it is a doubt about its page.
    Common practice, no source."""
    found = overrides(HEAD, FIRST, f"{place}: Replace “upper” with “lower”.")
    one = next(o for o in found if o.now == "lower")
    assert (one.target.page, one.target.item, one.was) == (page, None, "upper")
    assert one.standing == "doubtful" and "the words do not say which item is meant" in one.why


@pytest.mark.parametrize("section", ["para 1 of 2.1.4", "item 2 of A.1"])
def test_section_is_no_manual(section: str) -> None:
    """A number with stops behind "of" is a section, not the manual of the entries below it."""
    found = overrides(HEAD, f"Page 19, {section}: Change “left” to “right”.", "Page 30, item 4: “a” → “b”.")
    assert found and {o.target.publication for o in found} <= {"HB 350", None}


def test_quotation_marks_in_pairs() -> None:
    """A quotation within quoted words does not end them."""
    (one,) = overrides(
        HEAD, "Page 19, item 1: Replace: “set to “raw” mode first” → “set to “fine” mode first”."
    )
    assert (one.was, one.now) == ("set to “raw” mode first", "set to “fine” mode first")


def test_open_quotation_is_a_doubt() -> None:
    """A quotation that is never closed settles nothing, and the next entry is no part of it."""
    found = overrides(
        HEAD, "Page 19, item 1: Change: “the rod” → “the ring.", "Page 20, item 2: “nut” → “bolt”."
    )
    assert ("20", "2", "nut", "bolt") in [(o.target.page, o.target.item, o.was, o.now) for o in found]
    assert all(o.standing != "settled" for o in found if o.target.page == "19")
    assert not any("Page" in (o.now or o.text or "") for o in found)


@pytest.mark.parametrize("arrow", ["→", "->", "=>"])
def test_arrow_is_no_new_text(arrow: str) -> None:
    """ "Correct: A → B" does not make a step read "A → B", nor "A"."""
    for said in (f"rodd {arrow} rod", f"“rodd” {arrow} “rod”"):
        found = overrides(HEAD, f"Page 19, item 1: Correct: {said}")
        assert not [o for o in found if o.text and o.standing == "settled"]


@pytest.mark.parametrize(
    "said",
    [
        "The text states: “Fit the ring.”",
        "The step reads at present: “Fit the ring.”",
        "In the sketch, the second occurrence of “rod” → “ring”",
    ],
)
def test_present_words_and_one_of_several_are_doubts(said: str) -> None:
    """What a text says now is no new text, and one place of several is not told by its words."""
    assert not [o for o in overrides(HEAD, f"Page 19, item 1: {said}") if o.standing == "settled"]


@pytest.mark.parametrize(
    "said",
    [
        "Replace: “rod” with “ring”",
        "Change “rod” by “ring”",
        "Replace “rod” by: “ring”",
        "Change: “rod” → “ring”",
    ],
)
def test_colon_behind_the_verb(said: str) -> None:
    """A colon behind the verb, or "by" for "to", changes nothing."""
    (one,) = overrides(f"Manual HB 350, page 19, item 1: {said}.")
    assert (one.action, one.was, one.now, one.standing) == ("change-value", "rod", "ring", "settled")


@pytest.mark.parametrize("verb", ["Delete", "Remove", "Delete the word"])
def test_words_to_be_deleted_are_not_offered_as_new(verb: str) -> None:
    """Words that are struck out of a step settle nothing."""
    assert not [o for o in overrides(HEAD, f"Page 19, item 1: {verb} “rod”.") if o.standing == "settled"]


def test_reason_that_is_planned_holds_for_what_follows() -> None:
    """What is missing may be a reason; what is only planned or supposed makes a doubt of what follows."""
    step = "so that step 4 on page 9 of HB 350 is deleted."
    assert [o.standing for o in overrides(f"There is neither a rod nor a ring, {step}")] == ["settled"]
    for reason in ("It is not so that", "Next year there will be no ring,", "There is perhaps no ring,"):
        said = (
            f"{reason} {step}" if reason.endswith(",") else f"{reason} step 4 on page 9 of HB 350 is deleted."
        )
        assert not [o for o in overrides(said) if o.standing == "settled"]


def test_the_place_of_new_words_holds_them_too() -> None:
    """Where the new words stand in the paragraph below their announcement, the statement's place is that of
    both, so that a picture of it shows what the step becomes."""
    head = "Corvane Gears\nService letter CG-12\nDate: 3 May 1999\nModels: CG 4\n\n"
    above = "In manual HB 350, page 19, step 4 is replaced by the following:"
    typed = f"{head}{above}\n\nOil the ring.\n\nSpares are held.\n"
    read_whole = read_document(typed.encode(), "cg12.txt")
    (note,) = read_whole.notes
    assert not [f for f in read_whole.findings if "unread" in f.message]
    (said,) = (s for s in note.statements if isinstance(s, Override))
    assert said.text == "Oil the ring." and said.source.box is not None
    pitch = 12.0  # points from line to line of a typed paper
    assert 2 * pitch < said.source.box.bottom - said.source.box.top < 3 * pitch
