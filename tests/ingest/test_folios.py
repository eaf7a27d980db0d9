"""Printed page numbers and running heads."""

from collections.abc import Callable, Sequence

import pytest
from benchleaf.ingest.shapes import LaidPage
from benchleaf.ingest.sheets.folios import read_folio
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.pdf import read_pdf
from drawing_board import BOLD, Board, sentence
from hypothesis import given
from hypothesis import strategies as st

Place = Callable[[Board, str, int], None]


def foot_centre(board: Board, text: str, sheet: int) -> None:
    board.centre(810, text, 8)


def foot_outer(board: Board, text: str, sheet: int) -> None:
    board.right(545, 810, text, 8) if sheet % 2 else board.text(50, 810, text, 8)


def foot_inner(board: Board, text: str, sheet: int) -> None:
    foot_outer(board, text, sheet + 1)


def head_outer(board: Board, text: str, sheet: int) -> None:
    board.right(545, 36, text, 8) if sheet % 2 else board.text(50, 36, text, 8)


def head_centre(board: Board, text: str, sheet: int) -> None:
    board.centre(36, text, 8)


def manual(
    folios: Sequence[str | None],
    place: Place,
    head: Callable[[int], str] | None = None,
    heading: Callable[[int], str] | None = None,
) -> tuple[LaidPage, ...]:
    """Sheets of steps with a printed number each; None draws a cover."""
    board = Board()
    for sheet, folio in enumerate(folios, 1):
        if folio is None:
            board.text(60, 200, "Workshop Manual", 22)
            board.text(60, 240, "Edition 3  1992", 12)
        else:
            if head is not None:
                board.text(50, 50, head(sheet), 8)
            y = 80.0
            if heading is not None:
                board.text(50, y, heading(sheet), 12, BOLD)
                y += 20
            for number in range(1, 8 + sheet % 3):
                y = board.step(50, y, 480, f"{number}.", sentence(sheet * 20 + number))
            place(board, folio, sheet)
        board.sheet()
    return lay_out(read_pdf(board.pdf()))


@pytest.mark.parametrize("place", [foot_centre, foot_outer, foot_inner, head_outer, head_centre])
@pytest.mark.parametrize(
    "folios",
    [
        [None, "31", "32", "33", "34"],
        [None, "4-62", "4-63", "4-64", "5-1", "5-2"],
        ["2A-7", "2A-8", "2A-9"],
        ["C9", "C10", "C11", "D1"],
        [None, "14-218", "14-219", "14-220"],
        ["55-20-03", "55-20-04", "55-21-01", "55-21-02"],
        ["i", "ii", "iii", "iv", "v"],
        [None, "i", "ii", "1", "2", "3", "4"],
    ],
)
def test_printed_numbers_of_all_forms_and_places(folios: list[str | None], place: Place) -> None:
    """The printed number is found in every form of the trade, at head or foot, inner, outer or centre."""
    pages = manual(folios, place)
    assert [p.folio for p in pages] == folios
    assert not any(line.text in folios for p in pages for line in p.lines)


@pytest.mark.parametrize(
    ("printed", "folio"),
    [
        ("Page 31", "31"),
        ("- 31 -", "31"),
        ("– 31 –", "31"),
        ("4-200 Change 1", "4-200"),
        ("Seite 31", "31"),
        ("Page 4-31", "4-31"),
        ("[31]", "31"),
    ],
)
def test_what_is_printed_round_the_number_is_left_aside(printed: str, folio: str) -> None:
    """`Page 31`, `- 31 -` and `4-200 Change 1` are the pages 31, 31 and 4-200."""
    found = read_folio(printed)
    assert found is not None and found[0] == folio


@pytest.mark.parametrize(
    "text", ["Fitting the pack", "31 Nm", "TB 97-04", "1992-03-12", "12.09.1997", "mm", "did", "Fig. 3", ""]
)
def test_what_is_no_page_number(text: str) -> None:
    """Words, values, dates and note numbers are no page numbers."""
    found = read_folio(text)
    assert found is None


def test_a_count_of_pages_yields_to_a_printed_number() -> None:
    """`Page 3 of 12` is the page number only where nothing better is printed."""

    def both(board: Board, text: str, sheet: int) -> None:
        board.text(50, 810, f"Page {sheet} of 12", 8)
        board.right(545, 810, text, 8)

    def lone(board: Board, text: str, sheet: int) -> None:
        board.text(50, 810, f"Page {sheet} of 12", 8)

    assert [p.folio for p in manual(["4-7", "4-8", "4-9"], both)] == ["4-7", "4-8", "4-9"]
    assert [p.folio for p in manual(["x", "x", "x"], lone)] == ["1", "2", "3"]


def test_a_number_that_does_not_rise_is_no_page_number() -> None:
    """A year or a form number that returns unchanged on each sheet is a running foot, not a page number."""

    def year(board: Board, text: str, sheet: int) -> None:
        board.centre(810, "1992", 8)

    pages = manual(["x"] * 4, year)
    assert [p.folio for p in pages] == [None] * 4
    assert [[f.text for f in p.feet] for p in pages] == [["1992"]] * 4


def test_the_number_may_stand_in_the_running_head() -> None:
    """A number beside the title in one head row is found at the outer end, alternating left and right."""

    def head(board: Board, text: str, sheet: int) -> None:
        if sheet % 2:
            board.text(50, 36, "Marine Gear R4", 8)
            board.right(545, 36, text, 8)
        else:
            board.text(50, 36, text, 8)
            board.right(545, 36, "Disassembly", 8)

    pages = manual(["4-17", "4-18", "4-19", "4-20"], head)
    assert [p.folio for p in pages] == ["4-17", "4-18", "4-19", "4-20"]
    assert all(len(p.heads) == 1 for p in pages)


def test_a_sheet_whose_number_fell_off_keeps_the_others() -> None:
    """One sheet without a number neither stops the count nor gets an invented number."""
    pages = manual(["31", "32", "33", "34"], lambda b, t, s: foot_centre(b, t, s) if s != 3 else None)
    assert [p.folio for p in pages] == ["31", "32", None, "34"]


def test_inserted_pages_with_letters() -> None:
    """A page inserted after 4-12 is numbered 4-12A or 4-12.1, and the count goes on after it."""
    folios = ["4-11", "4-12", "4-12A", "4-13", "4-14"]
    assert [p.folio for p in manual(folios, foot_outer)] == folios


def test_callouts_and_quantities_near_the_edge_do_not_pass_for_numbers() -> None:
    """Step numbers at the foot of the text and figures in a head row are not taken for page numbers."""

    def busy(board: Board, text: str, sheet: int) -> None:
        board.text(50, 740, f"{9 + sheet}", 10)
        board.text(72, 740, "Fit the drain plug.", 10)
        board.text(50, 36, f"Section 4, 19{80 + sheet * 3}", 8)
        foot_centre(board, text, sheet)

    pages = manual(["31", "32", "33"], busy)
    assert [p.folio for p in pages] == ["31", "32", "33"]
    assert all(any(line.text.endswith("Fit the drain plug.") for line in p.lines) for p in pages)


def test_a_head_that_names_the_section_is_taken_off_and_the_heading_is_not() -> None:
    """The running head with the manual's number goes; the section's heading under it stays, though both
    change."""
    titles = ["Fitting the pack", "Oil pump", "Closing the housing", "Setting the bands", "Test on the stand"]
    pages = manual(
        ["18", "19", "20", "21", "22"],
        foot_centre,
        head=lambda s: f"RM 300  {titles[s - 1]}",
        heading=lambda s: titles[s - 1],
    )
    assert [[h.text for h in p.heads] for p in pages] == [[f"RM 300 {t}"] for t in titles]
    assert [p.lines[0].text for p in pages] == titles


def test_headings_at_the_same_height_stay_without_any_running_head() -> None:
    """Where each sheet begins with its section's heading and there is no running head, nothing is taken
    off."""
    titles = ["Fitting the pack", "Oil pump", "Closing the housing", "Setting the bands"]
    board = Board()
    for sheet, title in enumerate(titles):
        board.text(50, 50, title, 12, BOLD)
        y = 80.0
        for number in range(1, 9):
            y = board.step(50, y, 480, f"{number}.", sentence(sheet * 20 + number))
        board.centre(810, str(31 + sheet), 8)
        board.sheet()
    pages = lay_out(read_pdf(board.pdf()))
    assert [p.lines[0].text for p in pages] == titles
    assert all(p.heads == () for p in pages)


def test_first_steps_at_the_same_height_stay() -> None:
    """Sheets that all begin with a step at the same height lose no step."""
    board = Board()
    for sheet in range(4):
        y = 60.0
        for number in range(1, 12):
            y = board.step(50, y, 480, f"{number}.", sentence(sheet * 20 + number))
        board.centre(810, str(31 + sheet), 8)
        board.sheet()
    for page in lay_out(read_pdf(board.pdf())):
        assert page.lines[0].text.startswith("1. Mark")
        assert page.heads == ()


def test_heads_that_alternate_left_and_right() -> None:
    """Left sheets carry the manual's title, right sheets the chapter: both are taken off."""
    board = Board()
    for sheet in range(6):
        if sheet % 2:
            board.text(50, 40, "Workshop manual R4", 8)
        else:
            board.right(545, 40, "Chapter 4 Assembly", 8)
        board.prose(50, 80, 480, sentence(sheet, 60))
        board.sheet()
    pages = lay_out(read_pdf(board.pdf()))
    assert all(len(p.heads) == 1 for p in pages)
    assert all(p.lines[0].text.startswith("Mark") for p in pages)


def test_one_sheet_loses_only_a_lone_number_at_its_foot() -> None:
    """On a single sheet a number alone at the foot is the page number; nothing else is taken off."""
    board = Board()
    board.text(60, 40, "Service Note 12", 9)
    board.text(60, 80, "Kit A is replaced.")
    board.centre(815, "3", 9)
    (page,) = lay_out(read_pdf(board.pdf()))
    assert page.folio == "3"
    assert [line.text for line in page.lines] == ["Service Note 12", "Kit A is replaced."]


def test_a_note_of_two_sheets_keeps_its_words() -> None:
    """On two sheets only what stands on both at the same place is taken off."""
    board = Board()
    for sheet in range(2):
        board.text(60, 40, "Bulletin 12/98", 9)
        board.text(60, 90, sentence(sheet))
        board.text(60, 815, f"Page {sheet + 1} of 2", 8)
        board.sheet()
    pages = lay_out(read_pdf(board.pdf()))
    assert [[h.text for h in p.heads] for p in pages] == [["Bulletin 12/98"]] * 2
    assert [[line.text for line in p.lines] for p in pages] == [[sentence(0)], [sentence(1)]]


@given(st.integers(1, 3000))
def test_every_plain_number_reads_as_itself(value: int) -> None:
    """A number alone is the page number of its value, also with a chapter before it."""
    assert read_folio(str(value)) == (str(value), "", value, 0.9)
    found = read_folio(f"4-{value}")
    assert found is not None and found[:3] == (f"4-{value}", "4", value)
