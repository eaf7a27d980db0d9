"""Sentences behind a change that narrow it or take it back. Common practice, no source."""

import pytest
from benchleaf.ingest.phrases.examples import header_of
from benchleaf.ingest.phrases.statements import read_statements

STEP = "Step 7 on page 34 of PB 22 is deleted."
PART = "4410-207 is replaced by 4410-209."
NARROWING = (
    "This does not apply to the GX-4.",
    "The GX-4 is excepted.",
    "This holds only for the GX-4.",
    "On export units it remains.",
    "It is reinstated from serial number 5000.",
    "This was a mistake.",
    "Please ignore this instruction.",
    "The above applies only if kit 4410-300 is used.",
    "Units before serial number 4000 are not affected.",
    "Please note that the change does not apply to units with an oil cooler.",
)
OF_PARTS = (
    "Units before serial number 4000 continue with 4410-207.",
    "For units before serial number 4000 order 4410-207.",
    "The old part must be used on the GX-4.",
    "Use the new part only with kit 4410-300.",
    "4410-209 must not be fitted without shim 4410-212.",
)
HARMLESS = (
    "All other steps remain unchanged.",
    "The old part remains available.",
    "This is no matter of safety.",
    "This applies to all units.",
    "It saves time.",
    "The reason is a change of supplier.",
    "Please note this in your books.",
)


@pytest.mark.parametrize("gap", [" ", "\n\n"])
@pytest.mark.parametrize(
    ("change", "sequel"), [*((c, s) for c in (STEP, PART) for s in NARROWING), *((PART, s) for s in OF_PARTS)]
)
def test_a_change_that_is_narrowed_behind_it_is_a_doubt(change: str, sequel: str, gap: str) -> None:
    """The later sentence is quoted in the reason, in the same paragraph or at the head of the next."""
    said = read_statements(header_of(f"{change}{gap}{sequel}"), "note").statements
    assert said[0].standing == "doubtful"
    assert any(sequel[:20] in why for why in said[0].why), said[0].why


@pytest.mark.parametrize("change", [STEP, PART])
@pytest.mark.parametrize("sequel", HARMLESS)
def test_harmless_sentences_behind_it_leave_a_change_settled(change: str, sequel: str) -> None:
    """What stays as it was, reasons and courtesies narrow nothing."""
    said = read_statements(header_of(f"{change} {sequel}"), "note").statements
    assert [s.standing for s in said] == ["settled"], [s.why for s in said]


def test_one_number_with_two_successors_is_left_open() -> None:
    """A note that replaces one number twice, by place, settles neither; two numbers once each it does."""
    twice = "4410-207 (front) is replaced by 4410-209, 4410-207 (rear) by 4410-210."
    said = read_statements(header_of(twice), "note").statements
    assert [s.standing for s in said] == ["doubtful", "doubtful"]
    once = "4410-207 (front) is replaced by 4410-209, 4410-208 (rear) by 4410-210."
    said = read_statements(header_of(once), "note").statements
    assert [s.standing for s in said] == ["settled", "settled"]
