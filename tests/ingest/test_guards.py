"""Guards: each trips on its words, and not on words that only look like them."""

import pytest
from benchleaf.graph.model import Override
from benchleaf.ingest.phrases.examples import header_of
from benchleaf.ingest.phrases.guards import DOUBT, REFUSE, VOID, carried, trips, worst
from benchleaf.ingest.phrases.phrasebook import Guard, load
from benchleaf.ingest.phrases.statements import read_statements

BOOK = load()


@pytest.mark.parametrize("guard", BOOK.guards, ids=lambda g: g.name)
def test_guard_examples(guard: Guard) -> None:
    """A guard trips on each of its examples and on none of its counter-examples."""
    for text in guard.yes:
        assert any(p.search(text) for p in guard.patterns), text
    for text in guard.no:
        assert not any(p.search(text) for p in guard.patterns), text


def test_denial_voids_only_its_own_clause() -> None:
    """A denial before a match in its clause voids it; in another clause it makes a doubt."""
    assert worst(trips(BOOK, "It is not so that ", "", "")) == VOID
    assert worst(trips(BOOK, "It is not so; ", "", "")) == DOUBT
    assert worst(trips(BOOK, "", "", ", but not yet")) == DOUBT
    assert worst(trips(BOOK, "From March ", "", " for easier assembly")) is None


def test_hearsay_refuses_and_question_voids() -> None:
    """Hearsay is refused with a reason, a question is no statement."""
    assert worst(trips(BOOK, "Customers reported that ", "", "")) == REFUSE
    assert worst(trips(BOOK, "", "", "", "Has it?")) == VOID


def test_denied_supersession_gives_nothing_and_no_finding() -> None:
    """A sentence that denies a supersession was understood: no statement, no finding."""
    reading = read_statements(
        header_of("318 604 57 does not replace 318 604 22; both remain available."), "note"
    )
    assert reading.statements == () and reading.findings == ()


def test_see_also_gives_nothing() -> None:
    """A mere reference overrides nothing."""
    reading = read_statements(header_of("See also HB 350, page 18, item 9."), "note")
    assert reading.statements == () and reading.findings == ()


def test_hearsay_is_kept_refused_with_its_reason() -> None:
    """What customers report is kept, refused, with the reason in plain words."""
    (said,) = read_statements(
        header_of("Customers reported that 318 604 57 replaces 318 604 22."), "note"
    ).statements
    assert said.standing == "refused" and "reported" in said.why[0]


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("If the unit is new, item 3 on page 4 of HB 350 is deleted.", "condition"),
        ("318 604 22 will be replaced by 318 604 57.", "will"),
        ("318 604 22 may be replaced by 318 604 57.", "may"),
        ("318 604 22 is replaced by 318 604 57, but not yet.", "denies"),
        ("It is planned to delete item 3 on page 4 of HB 350.", "not in force"),
    ],
)
def test_doubts_say_why(text: str, word: str) -> None:
    """Condition, possibility and future make a doubt that names its words."""
    (said,) = read_statements(header_of(text), "note").statements
    assert said.standing == "doubtful" and any(word in w for w in said.why)


def test_earlier_sentence_hands_its_doubt_on() -> None:
    """A step named in a denied or supposed sentence is in doubt in the next one too; a misprint mentioned
    is none."""
    assert carried(BOOK, "If it is worn, see to item 3.") and carried(BOOK, "Step 8 has not been revised.")
    assert not carried(BOOK, "A misprint has been found in HB 350.")
    text = "Step 8 on page 14 of HB 350 has not been revised. It now reads: “Fit the ring.”"
    assert all(s.standing != "settled" for s in read_statements(header_of(text), "note").statements)


STEP = "step 5 on page 9 of HB 350"


def test_reason_of_a_note_is_no_hearsay() -> None:
    """ "Because of many questions:" says why the note was written; a report of a change stays hearsay."""
    for text in (f"Because of many questions: {STEP} is deleted.", f"Owing to enquiries, {STEP} is deleted."):
        (one,) = read_statements(header_of(text), "note").statements
        assert one.standing == "settled", text
    found = read_statements(header_of(f"Following reports that {STEP} is deleted, we looked at it."), "note")
    assert all(s.standing == "refused" for s in found.statements)


@pytest.mark.parametrize(
    "text",
    (
        f"The fitter of the yard wanted to skip {STEP}.",
        "We have seen that a copy of HB 350 in the store has step 5 on page 9 crossed out by hand.",
        f"In one yard {STEP} had been crossed out by hand.",
        f"One of our men tried to leave out {STEP}.",
    ),
)
def test_what_somebody_did_is_no_instruction(text: str) -> None:
    """What somebody wished or did, and what stands in somebody's copy, changes nothing."""
    found = read_statements(header_of(text), "note").statements
    assert all(s.standing == "refused" for s in found), text


def test_request_in_the_past_tense_is_still_read() -> None:
    """ "We wanted to tell you that …" tells what follows."""
    found = read_statements(header_of(f"We wanted to tell you that {STEP} is dropped."), "note").statements
    assert [s.standing for s in found] == ["doubtful"]


@pytest.mark.parametrize(
    "text",
    (
        "Turn to page 9 of HB 350, and in step 5 strike out 40 Nm and write in 45 Nm.",
        "Cross out 40 Nm and write in 45 Nm in step 5 on page 9 of HB 350.",
        "In step 5 on page 9 of HB 350 cross out 40 Nm and pencil in 45 Nm.",
        "Strike out 40 Nm in step 5 on page 9 of HB 350 and write 45 Nm.",
        "Will you therefore take HB 350, turn to page 9, and in step 5 strike out 40 Nm and write in 45 Nm.",
    ),
)
def test_value_struck_out_is_no_step_struck_out(text: str) -> None:
    """A value that is struck out, and another written in, change the value; the step stays."""
    (one,) = read_statements(header_of(text), "note").statements
    assert isinstance(one, Override)
    assert (one.action, one.target.item, one.was, one.now) == ("change-value", "5", "40 Nm", "45 Nm")


def test_step_struck_out_is_still_read() -> None:
    """A step struck out and written anew is replaced; "can be deleted" stays a doubt."""
    text = f"Strike out {STEP} and write in: Fit the ring dry."
    (one,) = read_statements(header_of(text), "note").statements
    assert isinstance(one, Override) and (one.action, one.text) == ("replace", "Fit the ring dry.")
    (one,) = read_statements(header_of(f"{STEP.capitalize()} can be deleted."), "note").statements
    assert one.standing == "doubtful"


def test_so_that_gives_no_reason_behind_is() -> None:
    """ "It is not so that …" denies, "it will be so that …" plans: what follows is not settled."""
    for frame in ("It is not so that", "We intend it so that", "From next year it will be so that"):
        found = read_statements(header_of(f"{frame} {STEP} is deleted."), "note").statements
        assert not [s for s in found if s.standing == "settled"], frame
