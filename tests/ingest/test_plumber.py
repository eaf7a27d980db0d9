"""Ruled tables through pdfplumber: where it is asked, what it gives, and what holds when it fails."""

import io
from collections.abc import Iterator

import pdfplumber
import pypdfium2
import pytest
from benchleaf.ingest.shapes import Page
from benchleaf.ingest.sheets.pdf import read_pdf
from drawing_board import Board
from pdfplumber.page import Page as PlumberPage

ROWS = [["Part", "Old", "New"], ["Disc", "11-20", "11-21"], ["Seal ring", "11-30", "11-31"]]


def texts(page: Page) -> list[list[list[str]]]:
    return [[[c.text for c in row] for row in table.rows] for table in page.tables]


def ruled() -> Board:
    board = Board()
    board.text(60, 60, "Change these numbers in your lists.")
    board.table(160, 200, [100, 80, 80], ROWS)
    return board


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[int]]:
    """The sheets whose tables pdfplumber was asked for."""
    sheets: list[int] = []
    find = PlumberPage.find_tables

    def counted(self: PlumberPage, *args: object, **options: object) -> object:
        sheets.append(self.page_number)
        return find(self, *args, **options)

    monkeypatch.setattr(PlumberPage, "find_tables", counted)
    yield sheets


def test_a_ruled_table_is_read_through_pdfplumber(asked: list[int]) -> None:
    """Only the sheet with a drawn grid is asked of pdfplumber; the cells hold pypdfium2's words."""
    board = Board()
    board.text(60, 60, "A sheet of words, its head parted by a rule.")
    board.rule(60, 70, 500, 70)
    board.sheet()
    board.text(60, 60, "Change these numbers in your lists.")
    board.table(160, 200, [100, 80, 80], ROWS)
    first, second = read_pdf(board.pdf())
    assert asked == [2]
    assert texts(first) == []
    assert texts(second) == [ROWS]


def test_lines_of_a_header_alone_do_not_ask_pdfplumber(asked: list[int]) -> None:
    """Single horizontal lines, as over and under a table's header, are no grid: the quick reading serves."""
    board = Board()
    board.table(160, 200, [100, 80, 80], ROWS, ruled=False)
    board.rule(160, 200, 420, 200)
    board.rule(160, 216, 420, 216)
    read_pdf(board.pdf())
    assert asked == []


def test_a_failing_pdfplumber_falls_back(monkeypatch: pytest.MonkeyPatch) -> None:
    """If pdfplumber raises, on opening or on a sheet, the table is read from pdfium's shapes."""
    data = ruled().pdf()

    def broken(*args: object, **options: object) -> None:
        raise ValueError("damaged")

    with monkeypatch.context() as patch:
        patch.setattr(pdfplumber, "open", broken)
        assert texts(read_pdf(data)[0]) == [ROWS]
    with monkeypatch.context() as patch:
        patch.setattr(PlumberPage, "find_tables", broken)
        assert texts(read_pdf(data)[0]) == [ROWS]


def test_where_pdfplumber_finds_no_table_the_grid_reading_holds(monkeypatch: pytest.MonkeyPatch) -> None:
    """A table that pdfplumber does not see is kept as the drawn strokes tell it."""
    data = ruled().pdf()
    monkeypatch.setattr(PlumberPage, "find_tables", lambda self, *args, **options: [])
    assert texts(read_pdf(data)[0]) == [ROWS]


def test_cells_at_a_side_that_is_not_drawn_are_kept() -> None:
    """A table without outer uprights keeps its first and last column, which pdfplumber leaves out."""
    board = Board()
    board.table(160, 200, [100, 80, 80], ROWS, ruled=False)
    for y in (200, 216, 232, 248):
        board.rule(160, y, 420, y)
    for x in (260, 340):
        board.rule(x, 200, x, 248)
    assert texts(read_pdf(board.pdf())[0]) == [ROWS]


@pytest.mark.parametrize(
    ("media", "crop"),
    [
        ((50, 40, 595, 800), None),
        ((-20, -30, 595, 842), None),
        (None, (50, 60, 500, 700)),
        ((20, 10, 590, 830), (50, 60, 500, 700)),
    ],
)
def test_cut_sheets_have_their_cells_where_the_words_are(
    asked: list[int], media: tuple[int, ...] | None, crop: tuple[int, ...] | None
) -> None:
    """Media and crop boxes that do not begin at 0 move both readers' places alike."""
    document, file = pypdfium2.PdfDocument(ruled().pdf()), io.BytesIO()
    if media:
        document[0].set_mediabox(*media)
    if crop:
        document[0].set_cropbox(*crop)
    document.save(file)
    document.close()
    (page,) = read_pdf(file.getvalue())
    assert asked == [1]
    assert texts(page) == [ROWS]


def test_a_spanning_cell_stands_in_its_first_place(asked: list[int]) -> None:
    """A heading over all columns takes the first cell of its row, the others stay blank."""
    board = ruled()
    board.frame(160, 184, 420, 200)
    board.text(164, 195, "Changed parts", 9)
    (page,) = read_pdf(board.pdf())
    assert asked == [1]
    assert texts(page) == [[["Changed parts", "", ""], *ROWS]]


def test_white_rectangles_are_no_cells(asked: list[int]) -> None:
    """Rectangles filled or drawn in white, as behind text, are neither frames nor cells."""
    board = Board()
    board.canvas.setFillColorRGB(1, 1, 1)
    board.canvas.setStrokeColorRGB(1, 1, 1)
    board.frame(150, 90, 420, 150, fill=1)
    board.canvas.setFillColorRGB(0, 0, 0)
    board.canvas.setStrokeColorRGB(0, 0, 0)
    board.table(160, 200, [100, 80, 80], ROWS)
    (page,) = read_pdf(board.pdf())
    assert texts(page) == [ROWS]
    assert all(f.top >= 199 for f in page.frames)
