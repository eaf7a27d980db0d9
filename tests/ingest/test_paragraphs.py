"""Lines to paragraphs."""

import pytest
from benchleaf.ingest.shapes import Paragraph, Table
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.lines import mended
from benchleaf.ingest.sheets.paragraphs import flow
from benchleaf.ingest.sheets.pdf import read_pdf
from drawing_board import BOLD, Board, sentence, wrap


def paragraphs(board: Board) -> list[str]:
    (page,) = lay_out(read_pdf(board.pdf()))
    return ["TABLE" if isinstance(p, Table) else p.text for p in flow(page)]


@pytest.mark.parametrize(
    ("lines", "text"),
    [
        (["Measure the clear-", "ance now."], "Measure the clearance now."),
        (["using drift T-", "458 and a press."], "using drift T-458 and a press."),
        (["order AB 1234-", "567 instead."], "order AB 1234-567 instead."),
        (["between 4-", "5 mm"], "between 4-5 mm"),
        (["the Smith-", "Type coupling"], "the Smith-Type coupling"),
        (["from 3 -", "5 mm"], "from 3 - 5 mm"),
        (["the clutch", "pack"], "the clutch pack"),
        (["fit the ring -", "then the cover"], "fit the ring - then the cover"),
        (["a three-", "and four-speed box"], "a three- and four-speed box"),
        (["the O-", "ring"], "the O-ring"),
        (["V-", "belt drive"], "V-belt drive"),
        (["clear-", ""], "clear-"),
        (["a double-", "row bearing"], "a double-row bearing"),
    ],
)
def test_words_cut_at_line_ends_are_mended(lines: list[str], text: str) -> None:
    """A word's hyphen at a line end falls away; that of a number, a single letter or a capital stays."""
    assert mended(lines) == text


def test_wrapped_steps_are_one_paragraph_each() -> None:
    """Each step is a paragraph, its number at its head, also where the steps follow without extra space."""
    board = Board()
    y, want = 80.0, []
    for number in range(1, 9):
        text = sentence(number, 6 + 5 * (number % 4))
        y = board.step(60, y, 300, f"{number}.", text) - 4
        want.append(f"{number}. {text}")
    assert paragraphs(board) == want


def test_a_number_that_begins_a_line_of_a_step_goes_on() -> None:
    """A line that begins with a value is no new step."""
    board = Board()
    board.text(60, 100, "4.")
    board.lines(
        82,
        100,
        [
            "Tighten the nut crosswise in two stages, first to 12 Nm and then to",
            "45 Nm while turning the shaft, and stake the collar. The play must be",
            "3. Fit nothing else here and go on reading until the end of this line",
        ],
    )
    got = paragraphs(board)
    assert got[0].startswith("4. Tighten") and "to 45 Nm while" in got[0]


def test_lettered_substeps_are_paragraphs_of_their_own() -> None:
    """a) and b) under a step stand apart from it, and from each other."""
    board = Board()
    board.text(60, 100, "4.")
    board.lines(
        82,
        100,
        [
            "Apply an unbroken bead of sealant to the face.",
            "a)   Wait five minutes.",
            "b)   Do not start the unit within two hours.",
        ],
    )
    assert paragraphs(board) == [
        "4. Apply an unbroken bead of sealant to the face.",
        "a) Wait five minutes.",
        "b) Do not start the unit within two hours.",
    ]


def test_double_spaced_typing_is_not_cut_into_lines() -> None:
    """Where all lines stand two apart, that is the text's own spacing; a wider gap ends a paragraph."""
    board = Board()
    one, two = sentence(1, 70), sentence(2, 70)
    y = board.prose(60, 80, 440, one, leading=24)
    board.prose(60, y + 16, 440, two, leading=24)
    assert paragraphs(board) == [one, two]


def test_an_indented_first_line_begins_a_paragraph() -> None:
    """Paragraphs set without space between them are known by the indent of their first line."""
    board = Board()
    y, want = 80.0, []
    for number in range(4):
        text = sentence(number, 50)
        first = " ".join(wrap(text, 306)[0])
        board.text(84, y, first)
        y = board.prose(60, y + 12, 330, text[len(first) :])
        want.append(text)
    assert paragraphs(board) == want


def test_short_lines_under_each_other_stay_apart() -> None:
    """Lines that end although the next word had room are lines of their own: addresses, lists, titles."""
    board = Board()
    board.lines(
        60,
        100,
        [
            "Marine gear R4, R6",
            "Publication No. R 77 Edition 2 1988",
            "Edited by the service department of the works",
        ],
    )
    assert len(paragraphs(board)) == 3


def test_headings_stand_apart_by_weight_and_size() -> None:
    """A bold or larger line directly above text is a paragraph of its own, and says so."""
    board = Board()
    board.text(60, 100, "Removal of the shaft", 10, BOLD)
    board.prose(60, 112, 300, sentence(1, 30))
    (page,) = lay_out(read_pdf(board.pdf()))
    head, text = flow(page)
    assert isinstance(head, Paragraph) and isinstance(text, Paragraph)
    assert (head.bold, text.bold) == (True, False)
    assert head.text == "Removal of the shaft" and text.text == sentence(1, 30)


def test_a_bold_word_inside_a_sentence_parts_nothing() -> None:
    """Bold numbers within running text leave the paragraph whole."""
    board = Board()
    x = board.text(60, 100, "Order part ")
    x = board.text(x, 100, "11-2233", font=BOLD)
    board.text(x, 100, " instead of the earlier one, and send the earlier one back to the")
    board.text(60, 112, "depot with the card filled in.")
    assert paragraphs(board) == [
        "Order part 11-2233 instead of the earlier one, and send the earlier one back to the "
        "depot with the card filled in."
    ]


def test_a_colon_in_running_text_begins_no_field() -> None:
    """`Count: 11 discs` at a line's head inside a step goes on with the step."""
    board = Board()
    board.text(60, 100, "5.")
    board.lines(
        82,
        100,
        [
            "Build up the pack from a steel disc, the two kinds in turn, until a steel disc lies on top.",
            "Count: 11 friction discs and 12 steel discs.",
        ],
    )
    assert len(paragraphs(board)) == 1


def test_where_a_paragraph_stands_is_kept() -> None:
    """A paragraph knows its sheet, its printed page and the box round its lines."""
    board = Board()
    for sheet in range(3):
        board.prose(60, 100, 300, sentence(sheet, 30))
        board.centre(810, str(41 + sheet))
        board.sheet()
    page = lay_out(read_pdf(board.pdf()))[1]
    (only,) = flow(page)
    assert isinstance(only, Paragraph)
    assert (only.sheet, only.folio) == (2, "42")
    assert only.box.x0 == pytest.approx(60, abs=1) and 88 < only.box.top < 95


def test_centred_and_ragged_titles_do_not_swallow_text() -> None:
    """A centred title of two lines is one or two paragraphs, and the text under it another."""
    board = Board()
    board.centre(80, "Fitting the clutch pack", 14, BOLD)
    board.centre(98, "of the intermediate shaft", 14, BOLD)
    board.prose(60, 130, 440, sentence(1, 40))
    assert paragraphs(board)[-1] == sentence(1, 40)
