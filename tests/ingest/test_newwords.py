"""New words of several steps, and words behind which the sentence goes on.

Wordings: common practice, no source; all numbers invented."""

import pytest
from benchleaf.graph.model import Override
from benchleaf.ingest.phrases.examples import header_of
from benchleaf.ingest.phrases.statements import read_statements


def overrides(text: str) -> list[Override]:
    """The overrides of a bare note."""
    return [s for s in read_statements(header_of(text), "note").statements if isinstance(s, Override)]


@pytest.mark.parametrize(
    "text",
    [
        "Steps 4 and 5 on page 71 of HB 35 are replaced by:\n\n4. Oil the ring.\n\n5. Fit the ring.",
        "Steps 4 and 5 on page 71 of HB 35 now read:\n\n(4) Oil the ring.\n\n(5) Fit the ring.",
        "Replace steps 4 and 5 on page 71 of HB 35 by the following: 4. Oil the ring. 5. Fit the ring.",
    ],
)
def test_numbered_list_gives_each_step_its_words(text: str) -> None:
    """In a list whose numbers are those of the replaced steps, each step has its own new words."""
    found = overrides(text)
    assert [(s.target.item, s.text) for s in found] == [("4", "Oil the ring."), ("5", "Fit the ring.")]
    assert all(s.standing == "settled" for s in found)


def test_one_text_for_several_steps_is_a_doubt() -> None:
    """One text for two steps may stand for the first and delete the second, or for both: a person decides."""
    found = overrides(
        "Steps 4 and 5 on page 71 of HB 35 are replaced by the following: Oil and fit the ring."
    )
    assert found and all(s.standing != "settled" for s in found)


def test_dotted_number_before_the_words_is_no_part_of_them() -> None:
    """A paragraph number such as 3.2.1 is taken off the new words though no mark stands behind it."""
    (found,) = overrides("Paragraph 3.2.1 on page 9 of HB 35 is changed to read:\n\n3.2.1 Inspect the faces.")
    assert found.text == "Inspect the faces."


def test_sentence_that_goes_on_behind_a_quotation_is_a_doubt() -> None:
    """Quoted words with more of the sentence behind them may be only part of what is meant."""
    found = overrides(
        'Step 4 on page 9 of HB 35 is changed to read "Oil the ring." unless dry plates are used.'
    )
    assert not any(s.standing == "settled" for s in found)


def test_first_half_of_a_change_is_no_new_step() -> None:
    """ "Change … “A” to “B”" changes words within the step; “A” is not its new text."""
    found = overrides('Change step 4 on page 9 of HB 35 "left hand" to "right hand".')
    assert not any(s.action == "replace" for s in found)
