"""The procedure in force for a unit, kits and a date."""

import time

import pytest
from benchleaf.graph.cautions import cautions
from benchleaf.graph.errors import NotHeld, WrongUse
from benchleaf.graph.model import Applies
from benchleaf.graph.procedure import ProcedureQuestion, procedure_answer
from fake_shelf import FakeShelf, became, contains, day, lines, manual, note, override

BOOK = manual(
    {
        "4-12": [
            ("1", "Blow dry air into the feed hole."),
            ("2", "Tighten to 90 Nm."),
            ("3", "Turn the shaft."),
        ],
        "4-13": [("4", "Heat the race to 100 °C."), ("5", "Fit the key.")],
    }
)
PUMP = manual({"7-1": [("1", "Fill the pump.")]}, number="RX 70", models=("K9",), section="Oil pump")


def _ask(*notes, books=(BOOK, PUMP), **question):
    return procedure_answer(FakeShelf(books, notes), ProcedureQuestion(**question))


def test_steps_keep_page_order_and_say_where_they_are_from() -> None:
    """Inserted, deleted and changed steps stand in order with label, origin and the notes behind them."""
    answer = _ask(
        note("N 1", "2001-01-01", override("insert-after", "2", text="Stake the collar.")),
        note("N 2", "2002-01-01", override("insert-before", "1", text="Clean the shaft.")),
        note("N 3", "2003-01-01", override("delete", "3")),
        note("N 4", "2004-01-01", override("change-value", "2", was="90 Nm", now="95 Nm")),
        publication="RX 40",
        page="4-12",
        model="K7",
    )
    assert [(s.label, s.text, s.origin, s.changed_by, s.item) for s in answer.steps] == [
        ("0a", "Clean the shaft.", "N 2", (), None),
        ("1", "Blow dry air into the feed hole.", "manual", (), "1"),
        ("2", "Tighten to 95 Nm.", "manual", ("N 4",), "2"),
        ("2a", "Stake the collar.", "N 1", (), None),
        ("3", None, "N 3", ("N 3",), "3"),
    ]


def test_later_note_changes_an_inserted_step() -> None:
    """A note that speaks of step 2a changes the step that another note inserted under that label."""
    answer = _ask(
        note("N 1", "2001-01-01", override("insert-after", "2", text="Stake to 2 mm.")),
        note("N 2", "2002-01-01", override("change-value", "2a", was="2 mm", now="3 mm")),
        publication="RX 40",
        page="4-12",
        model="K7",
    )
    step = next(s for s in answer.steps if s.label == "2a")
    assert (step.text, step.origin, step.changed_by) == ("Stake to 3 mm.", "N 1", ("N 2",))


def test_unknown_serial_is_said_at_the_step() -> None:
    """A step whose override depends on the serial keeps its words and says what it depends on."""
    limited = note("N 1", "2001-01-01", override("delete", "3"), applies=Applies(serial_from="400"))
    answer = _ask(limited, publication="RX 40", page="4-12", model="K7")
    step = answer.steps[2]
    assert step.text == "Turn the shaft." and step.depends_on == ("serial",)
    assert answer.left_out[0].note == "N 1" and "depends on serial" in answer.left_out[0].why
    assert _ask(limited, publication="RX 40", page="4-12", model="K7", serial="401").steps[2].text is None


def test_as_of_a_date() -> None:
    """As of a date only notes dated up to then count."""
    later = note("N 1", "2005-01-01", override("delete", "3"))
    answer = _ask(later, publication="RX 40", page="4-12", model="K7", on=day("2004-12-31"))
    assert answer.steps[2].text == "Turn the shaft." and "2004-12-31" in answer.left_out[0].why


def test_doubts_are_named_at_the_step_and_left_out_with_their_reasons() -> None:
    """A doubtful reading changes nothing, stands at its step by id, and its reasons are told."""
    doubtful = note("N 1", "2001-01-01", override("delete", "3", standing="doubtful", why=("a question",)))
    answer = _ask(doubtful, publication="RX 40", page="4-12", model="K7")
    assert answer.steps[2].doubts == (1,) and answer.left_out[0].why == "not settled: a question"


def test_doubt_without_a_step_is_warned_of() -> None:
    """A doubtful reading for a page of the procedure that names no held step becomes a warning."""
    doubtful = note("N 1", "2001-01-01", override("delete", "9", standing="doubtful", why=("no item 9",)))
    answer = _ask(doubtful, publication="RX 40", page="4-12", model="K7")
    assert any("N 1" in w and "no item 9" in w for w in answer.warnings)


def test_section_words_find_the_section() -> None:
    """A few words of a heading, misspelt a little, find its steps; other words raise with the headings."""
    answer = _ask(model="K9", section="oil pumps")
    assert [s.publication for s in answer.steps] == ["RX 70"]
    with pytest.raises(NotHeld) as raised:
        _ask(publication="RX 40", section="planetary carrier")
    assert raised.value.near == ("Disc pack",)


def test_model_alone_takes_its_publications() -> None:
    """A model alone gives every step of the publications that name it."""
    answer = _ask(model="k-7")
    assert [s.label for s in answer.steps] == ["1", "2", "3", "4", "5"]


def test_nothing_narrowing_is_warned_of() -> None:
    """All steps of several sections at once are warned of."""
    both = manual({"1-1": [("1", "A.")]}, number="RX 90", section="Other")
    answer = _ask(model="K7", books=(BOOK, both))
    assert any("no page or section" in w for w in answer.warnings)


def test_unknown_things_raise_with_the_nearest() -> None:
    """Unknown publication, page and model raise NotHeld with what is near; nothing asked is wrong use."""
    for question in ({"publication": "RX 41"}, {"publication": "RX 40", "page": "4-19"}, {"model": "K77"}):
        with pytest.raises(NotHeld) as raised:
            _ask(**question)
        assert raised.value.near
    with pytest.raises(WrongUse):
        _ask(kits=("7001-01",))


def test_model_that_no_paper_names_is_not_answered() -> None:
    """A mistyped model with a publication would silently lose its notes: it raises; one that a note names
    is fine."""
    with pytest.raises(NotHeld):
        _ask(publication="RX 40", page="4-12", model="K1")
    named = note("N 1", "2001-01-01", override("delete", "3"), applies=Applies(models=("K1",)))
    answer = _ask(named, publication="RX 40", page="4-12", model="K1")
    assert answer.steps[2].text is None and any("does not name model K1" in w for w in answer.warnings)


def test_page_in_two_books_needs_the_publication() -> None:
    """A page number that two publications have is not guessed."""
    other = manual({"4-12": [("1", "A.")]}, number="RX 90")
    with pytest.raises(WrongUse):
        _ask(page="4-12", books=(BOOK, other))
    assert _ask(page="7-1", model="K9").steps[0].text == "Fill the pump."


def test_dangerous_work_shows_its_cautions() -> None:
    """Air and heat bring their standing cautions and defer to the maker; harmless steps bring none."""
    answer = _ask(publication="RX 40", model="K7")
    assert any("air" in c.lower() for c in answer.cautions) and any("Hot" in c for c in answer.cautions)
    assert "local codes" in answer.cautions[-1]
    assert _ask(books=(manual({"1": [("1", "Fit the key.")]}),), model="K7").cautions == ()


def test_unknown_kit_is_warned_of() -> None:
    """A kit number that no paper names is told."""
    answer = _ask(publication="RX 40", page="4-12", model="K7", kits=("7001-01",))
    assert any("7001-01 is not known" in w for w in answer.warnings)


PACK = manual(
    {"4-12": [("5", "Stack 11 friction discs and 10 steel discs in turn, a friction disc first and last.")]}
)
NEW_KIT = (
    became("7001-01", "7001-02"),
    contains("7001-02", lines(friction_disc=11, steel_disc=12), lines(friction_disc=11, steel_disc=10)),
)


def test_kit_that_does_not_stack_as_the_step_asks_is_warned_of() -> None:
    """A new kit whose plates cannot stack as the step in force asks: a note is missing, and it is said."""
    asked = {"books": (PACK,), "publication": "RX 40", "model": "K7", "kits": ("7001-02",)}
    answer = _ask(note("N 1", "2001-01-01", *NEW_KIT), **asked)
    assert any("can only stack with a steel plate first and last" in w for w in answer.warnings)
    steel = override("replace", "5", text="Stack the friction and steel discs in turn, steel first and last.")
    answer = _ask(note("N 1", "2001-01-01", *NEW_KIT, steel), **asked)
    assert not any("can only stack" in w for w in answer.warnings)


def test_replaced_kit_is_told() -> None:
    """A kit that has been replaced is named with what replaced it."""
    answer = _ask(
        note("N 1", "2001-01-01", *NEW_KIT), books=(PACK,), publication="RX 40", model="K7", kits=("7001-01",)
    )
    assert any("7001-01 has been replaced by 7001-02 (N 1)" in w for w in answer.warnings)


def test_model_named_on_another_page_is_known() -> None:
    """A model that a note names for another page of the book is no mistyped model."""
    named = note("N 1", "2001-01-01", override("delete", "5", page="4-13"), applies=Applies(models=("K1",)))
    assert _ask(named, publication="RX 40", page="4-12", model="K1").steps


@pytest.mark.parametrize("piece", ["blow a a ", "press it it it ", "12,", "spring", "9999 "])
def test_cautions_are_quick_on_hostile_text(piece: str) -> None:
    """Twenty kilobytes of repeated words take under 50 ms (twice that allowed for a busy machine)."""
    started = time.process_time()
    cautions([piece * (20000 // len(piece))])
    assert time.process_time() - started < 0.1
