"""Standing: what may be taken as settled, and the reason for every doubt."""

from dataclasses import replace

import pytest
from benchleaf.graph.model import (
    Applies,
    Item,
    Manual,
    ManualPage,
    Note,
    Override,
    Source,
    Supersession,
    Target,
)
from benchleaf.graph.standing import judge, take_aim
from fake_shelf import FakeShelf, day

ITEMS = (
    Item("3", "Tighten the nut to 46 N·m.", "4-12", 1),
    Item("4", "Tighten the screws to 9 Nm, wait, and again to 9 Nm.", "4-12", 1),
)
BOOK = Manual("RX 40", None, None, None, None, ("K 7", "K 9"), (ManualPage("4-12", 1, None, ITEMS),))
OTHER = replace(BOOK, number="RX 50", models=("L 2",))
NOTE = Note("VB 1", day("1999-03-12"), None, None, "maker", None, Applies(models=("K 7",)))


def change(was="46 Nm", **fields) -> Override:
    target = fields.pop("target", Target("rx40", "4.12", "3"))
    given = {
        "note": "VB 1",
        "date": NOTE.date,
        "quote": "q",
        "source": Source("n.txt", 1),
        "applies": NOTE.applies,
    }
    return Override(**{**given, **fields}, action="change-value", target=target, was=was, now="52 Nm")


def judged(statement, shelf=None, note=NOTE, read=()):
    cited = statement.target if isinstance(statement, Override) else None
    return judge(statement, read, cited, note, shelf or FakeShelf([BOOK]))


def test_a_change_that_meets_everything_is_settled_by_rule():
    """Target held, value there once (in either spelling of the newton metre), note dated: settled."""
    got = judged(change())
    assert (got.standing, got.settled_by, got.why) == ("settled", "rule", ())
    assert got.target == Target("RX 40", "4-12", "3")


@pytest.mark.parametrize(
    ("statement", "reason"),
    [
        (change("47 Nm"), "does not say “47 Nm”"),
        (change("9 Nm", target=Target("RX 40", "4-12", "4")), "stands 2 times"),
        (change(target=Target("RX 99", "4-12", "3")), "RX 99 is cited but not held"),
        (change(target=Target("RX 40", "4-13", "3")), "page 4-13 of RX 40 is cited but not held"),
        (change(target=Target("RX 40", "4-12", "8")), "has no item 8 (it has 3, 4)"),
        (change(target=Target("RX 40", "4-12", None)), "do not say which item"),
        (change(applies=Applies(models=("Z 1",))), "the note names Z 1, but RX 40 covers K 7, K 9"),
        (change(applies=Applies(models=("K 7",), unclear=("not all units",))), "not all units"),
        (change(date=None), "no date that could be read"),
        (change(source=Source("n.png", 1, by_ocr=True), confidence=0.7), "read by OCR with confidence 0.70"),
    ],
)
def test_what_is_not_certain_is_a_doubt_with_its_reason(statement, reason):
    """Each thing that a rule cannot be sure of leaves the statement doubtful and says why in plain words."""
    got = judged(statement)
    assert got.standing == "doubtful" and got.settled_by is None
    assert any(reason in why for why in got.why), got.why


def test_doubts_of_reading_stay():
    """A guard that tripped in reading is not outvoted by a target that is held."""
    assert judged(change(), read=["the sentence is a question"]).why == ("the sentence is a question",)


def test_a_doubt_about_the_notes_head_is_a_doubt_about_its_steps_only():
    """An ambiguous date leaves an override doubtful, and a supersession as it is."""
    unsure = replace(NOTE, unclear=("the date may be read two ways",))
    new = Supersession(note="VB 1", date=None, quote="q", source=Source("n", 1), old=("A-1",), new=("A-2",))
    assert judged(change(), note=unsure).standing == "doubtful"
    assert judged(new, note=unsure).standing == "settled"


def test_without_a_publication_the_models_decide():
    """A note that names no publication means the held manual that covers its models; with two, a doubt."""
    nowhere = change(target=Target(None, "4-12", "3"))
    assert judged(nowhere, FakeShelf([BOOK, OTHER])).target.publication == "RX 40"
    twice = judged(nowhere, FakeShelf([BOOK, replace(OTHER, models=("K 7",))]))
    assert twice.standing == "doubtful" and "any of RX 40, RX 50" in twice.why[0]


def test_without_a_page_a_single_item_of_that_number_is_taken():
    """An item number that stands once in the publication needs no page."""
    aim = take_aim(Target("RX 40", None, "4"), Applies(), FakeShelf([BOOK]))
    assert aim.target.page == "4-12" and aim.doubts == ()


def test_a_later_note_may_quote_the_value_of_an_earlier_one():
    """46 became 52 by one note; the next note changes 52: its old value stands in the earlier note."""
    first = replace(judged(change()), id=1)
    shelf = FakeShelf([BOOK], [replace(NOTE, statements=(first,))])
    later = change("52 Nm", note="VB 2", date=day("2001-01-01"))
    assert judged(later, shelf).standing == "settled"
    assert judged(replace(later, date=day("1998-01-01")), shelf).standing == "doubtful"


def test_what_a_person_settled_or_reading_refused_is_not_judged_again():
    """A person's word and a refusal stand, whatever is held."""
    for kept in (replace(change("47 Nm"), settled_by="AB"), replace(change("47 Nm"), standing="refused")):
        assert judged(kept) == kept
