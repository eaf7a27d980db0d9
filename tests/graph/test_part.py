"""The answer on a part number: current, earlier, where used, what is wrong."""

from benchleaf.graph.model import Applies, KitLine
from benchleaf.graph.part import part_answer
from fake_shelf import FakeShelf, became, cancels, contains, day, lines, manual, note, withdrawn

SHELF = FakeShelf(
    [manual({"4-12": [("1", "Fit seal ring 4410-21 dry.")]})],
    [
        note("N 1", "2001-02-03", became("4410-21", "4410-35", interchange="none")),
        note("N 2", "2003-02-03", became("4410-35", "4498-02")),
        note("N 3", "2004-02-03", contains("7001-01", [KitLine("4498-02", "seal ring", 2)])),
        note("N 4", "2005-02-03", cancels("N 2")),
    ],
)


def test_old_number_leads_to_the_current_one_with_its_way() -> None:
    """A number typed without its hyphen leads to the current one; the way names notes, dates, interchange."""
    answer = part_answer(SHELF, "441021")
    assert (answer.part, answer.current, answer.relation) == ("4410-21", ("4498-02",), "one")
    assert [(s.old, s.new, s.note, s.interchange) for s in answer.path] == [
        (("4410-21",), ("4410-35",), "N 1", "none"),
        (("4410-35",), ("4498-02",), "N 2", "unstated"),
    ]


def test_supersession_of_a_cancelled_note_counts_and_is_told() -> None:
    """The number at the parts desk did change; that the note was cancelled is told as a problem."""
    answer = part_answer(SHELF, "4410-35")
    assert answer.current == ("4498-02",)
    assert any("N 2" in p and "cancelled by N 4" in p for p in answer.problems)


def test_current_number_knows_what_it_was_where_it_is_used_and_its_kits() -> None:
    """Earlier numbers nearest first; steps that name them; kits that contain it."""
    answer = part_answer(SHELF, "4498-02")
    assert answer.was == ("4410-35", "4410-21")
    assert [(u.publication, u.page, u.item, u.part) for u in answer.used] == [
        ("RX 40", "4-12", "1", "4410-21")
    ]
    assert answer.in_kits == ("7001-01",)
    assert answer.current == ("4498-02",) and answer.path == ()


def test_unknown_number_offers_near_ones_and_takes_none() -> None:
    """A number one reading error away is offered, not taken: one digit apart is another part."""
    answer = part_answer(SHELF, "44IO-21")
    assert (answer.part, answer.current, answer.near) == (None, (), ("4410-21",))


def test_as_of_date() -> None:
    """As of a date, only what was dated up to then counts."""
    assert part_answer(SHELF, "4410-21", day("2002-01-01")).current == ("4410-35",)


def test_doubtful_successor_is_shown_and_not_followed() -> None:
    """A doubtful reading is in the way with its standing, in the problems with its id, and changes
    nothing."""
    doubtful = became("4410-21", "4410-99", standing="doubtful", why=("read by OCR",))
    answer = part_answer(FakeShelf((), [note("N 1", "2001-02-03", doubtful)]), "4410-21")
    assert answer.current == ("4410-21",)
    assert [s.standing for s in answer.path] == ["doubtful"]
    assert "reading 1" in answer.problems[0] and "read by OCR" in answer.problems[0]


def test_withdrawn_part_is_told() -> None:
    """A part no longer supplied keeps its number, and the problem is named."""
    answer = part_answer(FakeShelf((), [note("N 1", "2001-02-03", withdrawn("4410-21"))]), "4410-21")
    assert answer.current == ("4410-21",) and "no longer supplied" in answer.problems[0]


def test_successors_by_unit_are_a_choice() -> None:
    """Two notes for different models give a choice by unit; the later does not simply win."""
    shelf = FakeShelf(
        (),
        [
            note("N 1", "2001-02-03", became("4410-21", "4410-35"), applies=Applies(models=("K7",))),
            note("N 2", "2003-02-03", became("4410-21", "4498-02"), applies=Applies(models=("K9",))),
        ],
    )
    answer = part_answer(shelf, "4410-21")
    assert set(answer.current) == {"4410-35", "4498-02"} and answer.relation == "one of"
    assert any("K7" in p for p in answer.problems)


def test_interchange_none_is_told() -> None:
    """A successor that is no plain substitute is named as a problem."""
    assert any("cannot be fitted in place" in p for p in part_answer(SHELF, "4410-21").problems)


def test_empty_store_and_kit_lines_without_numbers() -> None:
    """A part known only by nothing is unknown; kit lines without numbers do no harm."""
    shelf = FakeShelf((), [note("N 1", "2001-02-03", contains("7001-01", lines(seal_ring=2)))])
    assert part_answer(shelf, "7001-01").current == ("7001-01",)
    assert part_answer(FakeShelf(), "7001-01").part is None
