"""Words that narrow a change: a place, a use or an occasion. Common practice, no source."""

import pytest
from benchleaf.ingest.phrases.examples import header_of
from benchleaf.ingest.phrases.statements import read_statements

STEP = "Step 7 on page 34 of PB 22 is deleted"
PART = "4410-207 is replaced by 4410-209"
NARROW = (
    "{said} in the front pump.",
    "{said} for export.",
    "{said} for export units.",
    "{said} at the second overhaul.",
    "{said} during running-in.",
    "{said}, but only for the first overhaul.",
    "{said} as regards the rear pump.",
    "{said} on units built at the northern works.",
    "{said} in this case.",
    "{said} only in the French edition.",
    "In the front pump {said}.",
    "In an emergency {said}.",
)
PLAIN = (
    "{said}.",
    "{said} in full.",
    "{said} for easier assembly.",
    "{said} for these brakes.",
    "{said} on account of leaks.",
    "{said} from 1 May 1990.",
    "{said} with immediate effect.",
    "{said} in the new edition.",
    "For this reason, {said}.",
    "In addition {said}.",
    "On these units only, {said}.",
    "On gearboxes, {said}.",
)


@pytest.mark.parametrize("said", [STEP, PART])
@pytest.mark.parametrize("words", NARROW)
def test_a_narrowed_change_is_a_doubt_that_quotes_the_limit(words: str, said: str) -> None:
    """A change that holds in one place, for one use or on one occasion is never settled for all."""
    sentence = words.format(said=said)
    found = read_statements(header_of(sentence), "note").statements
    assert [s.standing for s in found] == ["doubtful"], found
    assert any(w.startswith("“") for s in found for w in s.why)


@pytest.mark.parametrize("said", [STEP, PART])
@pytest.mark.parametrize("words", PLAIN)
def test_reasons_and_formalities_narrow_nothing(words: str, said: str) -> None:
    """A reason, a formality, all units or those named before leave the change settled."""
    sentence = words.format(said=said[0].lower() + said[1:] if not words.startswith("{") else said)
    (one,) = read_statements(header_of(sentence), "note").statements
    assert one.standing == "settled", one.why


@pytest.mark.parametrize(
    "sentence",
    [
        'The words "with oil" in step 7 on page 34 of PB 22 are deleted.',
        "Step 7 on page 34 of PB 22 is replaced by the following when the pump is new: Fit the washer dry.",
        "The change from 4410-207 to 4410-209 is cancelled.",
        "4410-207, replaced by 4410-209, is again available.",
        "Kit 4410-300 is supplied with one friction disc fewer.",
    ],
)
def test_what_is_less_or_other_than_it_seems_is_a_doubt(sentence: str) -> None:
    """Quoted words of a step, a condition before new words, a change taken back and a count from the former
    contents are never settled."""
    found = read_statements(header_of(sentence), "note").statements
    assert found and all(s.standing == "doubtful" for s in found), found


@pytest.mark.parametrize(
    "words",
    ["Step 7 on page 34 of Q.V. 71x is deleted.", "Q.V. 71x, page 34, step 7 is deleted.",
     "Step 7 (page 34 of your Instruction Book Q.V. 71x) is deleted."],
)  # fmt: skip
def test_a_manual_that_was_not_read_is_never_taken_for_the_one_at_hand(words: str) -> None:
    """Letters and figures beside a step that may name a manual, and were not read as one, are a doubt; a
    manual that was read is none."""
    for one in read_statements(header_of(words), "note").statements:
        book = getattr(one, "target", None) and one.target.publication  # type: ignore[union-attr]
        assert one.standing == "doubtful" or book, one
    plain = "Step 7 on page 34 of QV 71 is deleted."
    (one,) = read_statements(header_of(plain), "note").statements
    assert one.standing == "settled"


@pytest.mark.parametrize(
    ("words", "discs"),
    [
        ("Kit 4410-300 is packed with 12 friction discs since March 1990.", "friction disc"),
        ("Kit 4410-300 contains 12 friction discs for the GX-4 and 10 for the GX-6.", None),
    ],
)
def test_a_kits_line_is_no_piece_of_a_clause(words: str, discs: str | None) -> None:
    """A day behind a line is no part of its name; a line broken off at "for the" is never settled."""
    said = read_statements(header_of(words), "note").statements
    named = [line.description for s in said if s.standing == "settled" for line in s.lines]  # type: ignore[union-attr]
    assert named == ([discs] if discs else [])
