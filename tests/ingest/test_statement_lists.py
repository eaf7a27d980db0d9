"""Steps that a list names, citations without words of their own, and units left out.

Wordings: common practice, no source; all numbers invented."""

from benchleaf.graph.model import Applies, Override
from benchleaf.ingest.phrases.examples import header_of
from benchleaf.ingest.phrases.judging import holds_for
from benchleaf.ingest.phrases.statements import read_statements


def _overrides(text: str) -> list[Override]:
    return [s for s in read_statements(header_of(text), "note").statements if isinstance(s, Override)]


def test_a_quotation_ends_the_new_words() -> None:
    """A list entry below quoted new words is no part of them."""
    (one,) = _overrides(
        'At item 3 on page 4 of HB 35 add the caution:\n\n"Springs jump out."\n\n* Paint may be renewed.'
    )
    assert one.text == "Springs jump out."


def test_a_numbered_list_of_new_words_is_a_doubt() -> None:
    """A numbered list below one step may name steps of its own, so it is whole and doubtful."""
    (one,) = _overrides(
        "Item 5 on page 4 of HB 35 is replaced by the following:\n\n1. Fit a shim.\n\n2. Turn the hub."
    )
    assert one.standing == "doubtful" and one.text == "1. Fit a shim. 2. Turn the hub."


def test_a_range_after_old_is_one_value() -> None:
    """ "old 4 to 6 mm" changes nothing from 4 to 6."""
    assert all(s.standing != "settled" for s in _overrides("Item 3 on page 4 of HB 35: play old 4 to 6 mm"))


def test_a_deletion_beside_another_step_is_plain() -> None:
    """New words for another step in the next sentence do not doubt a deletion."""
    found = _overrides(
        "Item 2 on page 4 of HB 35 is deleted. Item 3 on the same page now reads: Fit the ring."
    )
    assert {(s.action, s.standing) for s in found} == {("delete", "settled"), ("replace", "settled")}


def test_numbers_with_stops_are_steps() -> None:
    """ "4.2.7 on page 12" cites a step, and a manual between a step and its page is no step."""
    (one,) = _overrides("The torque of 30 Nm in 4.2.7 on page 12 of HB 35 is changed to 35 Nm.")
    assert (one.target.page, one.target.item) == ("12", "4.2.7")
    (two,) = _overrides("The play in operation (5), PX/27 page 19, is raised from 4 mm to 6 mm.")
    assert (two.target.publication, two.target.page, two.target.item) == ("PX/27", "19", "5")


def test_a_model_left_out_keeps_the_heads_serial_numbers() -> None:
    """A sentence that leaves out a model still holds for the head's serial range."""
    head = Applies(models=("QX 9", "QX 12"), serial_from="100", serial_to="200", excepted=("150",))
    kept = holds_for(head, Applies(excepted=("QX 9",)))
    assert (kept.serial_from, kept.serial_to, kept.excepted) == ("100", "200", ("150", "QX 9"))
    own = holds_for(head, Applies(serial_from="120", excepted=("QX 9",)))
    assert (own.serial_from, own.serial_to, own.excepted) == ("120", None, ("QX 9",))
