"""Reading order over columns."""

import random

import pytest
from benchleaf.ingest.book.manual import read_manual
from benchleaf.ingest.shapes import LaidPage, Table
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.paragraphs import flow
from benchleaf.ingest.sheets.pdf import read_pdf
from drawing_board import BOLD, Board, sentence
from hypothesis import given, settings
from hypothesis import strategies as st


def laid(board: Board) -> LaidPage:
    return lay_out(read_pdf(board.pdf()))[0]


def paragraphs(page: LaidPage) -> list[str]:
    return ["TABLE" if isinstance(p, Table) else p.text for p in flow(page)]


def fill(
    board: Board,
    x: float,
    width: float,
    numbers: range,
    y: float = 80,
    bottom: float = 760,
    **options: object,
) -> list[str]:
    """Sentences down a column; gives those that had room."""
    drawn = []
    for number in numbers:
        text = sentence(number)
        if y > bottom - 60:
            break
        y = board.prose(x, y, width, text, **options) + 6
        drawn.append(text)
    return drawn


def steps(
    board: Board,
    x: float,
    width: float,
    first: int,
    y: float,
    bottom: float,
    mark: str = "{}.",
    hang: float = 22,
    **options: object,
) -> list[str]:
    drawn = []
    number = first
    while y < bottom - 40:
        text = sentence(number, 8 + number * 5 % 11)
        y = board.step(x, y, width, mark.format(number), text, hang, **options)
        drawn.append(f"{mark.format(number)} {text}")
        number += 1
    return drawn


def test_two_columns_read_one_after_the_other() -> None:
    """The left column is read to its foot before the right one."""
    board = Board()
    want = fill(board, 50, 235, range(0, 30)) + fill(board, 310, 235, range(30, 60))
    assert paragraphs(laid(board)) == want


def test_a_narrow_gutter_parts_justified_columns() -> None:
    """Twelve points between justified columns with wide odd blanks are a gutter; the blanks are none."""
    board = Board()
    want = fill(board, 50, 241, range(0, 30), justify=True) + fill(
        board, 303, 241, range(30, 60), justify=True
    )
    assert paragraphs(laid(board)) == want


def test_three_columns() -> None:
    """Three narrow columns are read from left to right."""
    board = Board()
    want = [
        t
        for i in range(3)
        for t in fill(board, 40 + i * 178, 160, range(i * 30, i * 30 + 30), size=8.5, leading=10)
    ]
    assert paragraphs(laid(board)) == want


def test_hanging_numbers_stay_with_their_text_in_each_column() -> None:
    """Step numbers left of the text are no column, in one, two or three columns."""
    for count, width in ((1, 500), (2, 240), (3, 158)):
        board = Board()
        want = []
        for i in range(count):
            want += steps(board, 45 + i * (width + 18), width, 1 + 40 * i, 80, 740)
        assert paragraphs(laid(board)) == want


def test_numbers_far_out_in_the_margin_stay_with_their_text() -> None:
    """Numbers hanging 40 points left of the text are read with it, not as a column of numbers."""
    board = Board()
    want = steps(board, 40, 500, 1, 80, 700, mark="{}", hang=44)
    assert paragraphs(laid(board)) == want


def test_headings_over_both_columns_end_a_band() -> None:
    """A heading over both columns is read after what stands above it and before what stands below."""
    board = Board()
    board.centre(60, "General description of the gearbox and its clutches", 14, BOLD)
    upper = fill(board, 50, 235, range(0, 4), bottom=400) + fill(board, 310, 235, range(10, 14), bottom=400)
    board.centre(440, "Taking the gearbox and its clutches apart on the bench", 14, BOLD)
    lower = fill(board, 50, 235, range(20, 24), y=470) + fill(board, 310, 235, range(30, 34), y=470)
    assert paragraphs(laid(board)) == [
        "General description of the gearbox and its clutches",
        *upper,
        "Taking the gearbox and its clutches apart on the bench",
        *lower,
    ]


def test_a_short_heading_at_the_left_ends_a_band_where_both_columns_pause() -> None:
    """A large heading at the left with nothing beside it, under which both columns begin anew, ends a
    band."""
    board = Board()
    upper = fill(board, 50, 235, range(0, 4), y=80, bottom=330) + fill(
        board, 310, 235, range(10, 14), y=80, bottom=330
    )
    board.text(50, 420, "Removal", 15, BOLD)
    lower = fill(board, 50, 235, range(20, 24), y=450) + fill(board, 310, 235, range(30, 34), y=450)
    assert paragraphs(laid(board)) == [*upper, "Removal", *lower]


def test_a_full_width_paragraph_over_and_under_columns() -> None:
    """Text over the whole width above and below columns is read in its place, short last lines included."""
    board = Board()
    top, foot = sentence(90, 24), sentence(91, 25)
    y = board.prose(50, 80, 495, top) + 14
    columns = fill(board, 50, 235, range(0, 5), y=y, bottom=560) + fill(
        board, 310, 235, range(10, 15), y=y, bottom=560
    )
    board.prose(50, 640, 495, foot)
    assert paragraphs(laid(board)) == [top, *columns, foot]


def test_columns_of_unequal_length() -> None:
    """The right column may end early: what remains of the left one is still read before it."""
    board = Board()
    want = fill(board, 50, 235, range(0, 30)) + fill(board, 310, 235, range(30, 34))
    assert paragraphs(laid(board)) == want


def test_a_figure_beside_text() -> None:
    """Text beside a figure is read on; the figure's numbers stay out of it."""
    board = Board()
    board.ellipse(60, 100, 260, 300)
    board.rule(70, 110, 160, 200)
    board.text(58, 108, "1", 8)
    board.text(158, 198, "2", 8)
    board.text(60, 320, "Fig. 3", 8)
    want = fill(board, 310, 235, range(0, 6), y=100, bottom=420)
    below = fill(board, 50, 495, range(10, 13), y=470)
    page = laid(board)
    got = paragraphs(page)
    assert [t for t in got if t != "Fig. 3"] == [*want, *below]
    assert "Fig. 3" in got
    assert sorted(line.text for line in page.lines if line.place == "figure") == ["1", "2"]


def test_lists_in_two_columns_go_down_not_across() -> None:
    """Short numbered lines in two columns are read down the columns: their numbers run on."""
    board = Board()
    names = [
        "piston",
        "seal ring",
        "wave spring",
        "hub",
        "carrier",
        "end plate",
        "circlip",
        "gasket",
        "dowel",
        "cover",
        "screw",
        "washer",
    ]
    for i, name in enumerate(names):
        board.text(60 + 250 * (i // 6), 100 + 14 * (i % 6), f"{i + 1}. {name}")
    assert paragraphs(laid(board)) == [f"{i + 1}. {name}" for i, name in enumerate(names)]


def test_a_table_of_two_columns_is_read_across() -> None:
    """Short cells on the same lines under a header row are a table, not columns of text."""
    board = Board()
    board.text(60, 90, "Limits of wear", 10, BOLD)
    rows = [
        ("Part", "Limit"),
        ("Lug width of the disc", "0.5 mm"),
        ("Play of the shaft", "0.12 mm"),
        ("Height of the spring", "41 mm"),
        ("Runout of the hub", "0.05 mm"),
    ]
    for i, (a, b) in enumerate(rows):
        board.text(60, 110 + 14 * i, a)
        board.text(300, 110 + 14 * i, b)
    page = laid(board)
    assert [[c.text for c in r] for r in page.tables[0].rows] == [list(r) for r in rows]


@settings(max_examples=40, deadline=None)
@given(
    seed=st.integers(0, 10_000),
    gutter=st.integers(13, 40),
    justify=st.booleans(),
    size=st.sampled_from([7.5, 9, 10.5]),
    shift=st.integers(0, 9),
    hanging=st.booleans(),
)
def test_random_text_in_two_columns_reads_back_in_order(
    seed: int, gutter: int, justify: bool, size: float, shift: int, hanging: bool
) -> None:
    """Whatever the gutter, size, justification, line phase and numbering, two columns read back as drawn."""
    pick = random.Random(seed)
    board = Board()
    width = (495 - gutter) / 2
    want: list[str] = []
    for side in range(2):
        y = 80.0 + shift * side
        number = 1 + side * 50
        while y < 700:
            text = sentence(pick.randrange(1000) * 100 + number, pick.randrange(6, 30))
            x = 50 + side * (width + gutter)
            if hanging:
                y = board.step(x, y, width, f"({number})", text, 24, size, size * 1.2, justify=justify)
                want.append(f"({number}) {text}")
            else:
                y = board.prose(x, y, width, text, size, size * 1.2, justify) + size * 0.7
                want.append(text)
            number += 1
    page = laid(board)
    assert [w for line in page.lines for w in line.text.split()] == " ".join(want).split()
    assert paragraphs(page) == want


@pytest.mark.parametrize("lower", [0, 12, 24, 60])
@pytest.mark.parametrize("bold", [True, False])
def test_short_columns_whose_count_begins_anew_under_a_heading(lower: int, bold: bool) -> None:
    """Few steps a column: a heading beside a step of the other column takes no line and parts no step."""
    board = Board()
    y = 80.0
    for number in (1, 2):
        y = board.step(50, y, 230, f"{number}.", sentence(number, 12))
    board.text(50, y + 8, "Fitting the pack", 11, "Helvetica-Bold" if bold else "Helvetica")
    board.step(50, y + 26, 230, "1.", sentence(3, 12))
    y = 80.0 + lower
    for number in (2, 3):
        y = board.step(310, y, 230, f"{number}.", sentence(number + 5, 14))
    board.centre(800, "4-2", 9)
    pages = read_manual(lay_out(read_pdf(board.pdf())), "x").manual.pages
    assert [(i.label, i.text) for p in pages for i in p.items] == [
        ("1", sentence(1, 12)),
        ("2", sentence(2, 12)),
        ("1", sentence(3, 12)),
        ("2", sentence(7, 14)),
        ("3", sentence(8, 14)),
    ]
