"""Tables, ruled and aligned."""

import pytest
from benchleaf.ingest.shapes import LaidPage, Table
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.paragraphs import flow
from benchleaf.ingest.sheets.pdf import read_pdf
from drawing_board import BOLD, Board, sentence

KIT = [
    ["Qty", "Part No.", "Description"],
    ["9", "AB 6805-065", "Friction disc"],
    ["10", "AB 9003-284", "Steel disc"],
    ["2", "AB 4579-939", "Seal ring, outer"],
]
NUMBERS = [
    ["Old number", "New number"],
    ["885 530 34", "288 220 69"],
    ["547 595 67", "464 723 15"],
    ["646 456 98", "560 907 77"],
]


def laid(board: Board) -> LaidPage:
    return lay_out(read_pdf(board.pdf()))[0]


def cells(table: Table) -> list[list[str]]:
    return [[c.text for c in row] for row in table.rows]


@pytest.mark.parametrize("rows", [KIT, NUMBERS])
@pytest.mark.parametrize("ruled", [True, False])
def test_ruled_and_aligned_tables_give_their_cells(rows: list[list[str]], ruled: bool) -> None:
    """A table gives its cells row by row, ruled or only aligned, between paragraphs and at its place."""
    board = Board()
    board.prose(60, 80, 440, sentence(1, 30))
    bottom = board.table(66, 130, [90, 90, 110], rows, ruled=ruled)
    board.prose(60, bottom + 30, 440, sentence(2, 30))
    page = laid(board)
    before, table, after = flow(page)
    assert isinstance(table, Table) and not isinstance(before, Table) and not isinstance(after, Table)
    assert cells(table) == rows
    assert table.ruled is ruled
    assert {line.place for line in page.lines if table.box.top < line.box.top < table.box.bottom} == {"table"}


def test_a_frame_of_rectangles_for_each_cell_is_a_table() -> None:
    """Some programs draw each cell as a rectangle of its own."""
    board = Board()
    for r, row in enumerate(NUMBERS):
        for c, cell in enumerate(row):
            board.frame(60 + 100 * c, 100 + 18 * r, 160 + 100 * c, 118 + 18 * r)
            board.text(64 + 100 * c, 113 + 18 * r, cell, 9)
    (table,) = laid(board).tables
    assert cells(table) == NUMBERS


def test_a_table_with_open_sides() -> None:
    """Level rules and inner upright ones without the outer sides still bound the outer cells."""
    board = Board()
    for r in range(len(KIT) + 1):
        board.rule(60, 100 + 18 * r, 400, 100 + 18 * r)
    for x in (100, 220):
        board.rule(x, 100, x, 100 + 18 * len(KIT))
    for r, row in enumerate(KIT):
        for x, cell in zip((64, 104, 224), row, strict=True):
            board.text(x, 113 + 18 * r, cell, 9)
    (table,) = laid(board).tables
    assert cells(table) == KIT


def test_level_rules_alone_leave_the_alignment() -> None:
    """With only level rules between the rows the columns come from the alignment."""
    board = Board()
    board.table(60, 100, [60, 120, 120], KIT, ruled=False)
    for r in range(len(KIT) + 1):
        board.rule(60, 100 + 16 * r, 360, 100 + 16 * r)
    (table,) = laid(board).tables
    assert cells(table) == KIT


def test_a_cell_over_several_places_has_its_text_first() -> None:
    """In a boxed header the subject's cell spans three places: its text is in the first, the others are
    blank."""
    board = Board()
    board.frame(60, 100, 500, 140)
    board.rule(60, 120, 500, 120)
    board.rule(140, 100, 140, 140)
    board.rule(300, 100, 300, 120)
    board.rule(360, 100, 360, 120)
    for x, y, text in (
        (64, 114, "Bulletin No."),
        (144, 114, "12-07"),
        (304, 114, "Date"),
        (364, 114, "1998-01-03"),
        (64, 134, "Subject"),
        (144, 134, "Change of the kit for the intermediate shaft"),
    ):
        board.text(x, y, text, 9)
    (table,) = laid(board).tables
    assert cells(table) == [
        ["Bulletin No.", "12-07", "Date", "1998-01-03"],
        ["Subject", "Change of the kit for the intermediate shaft", "", ""],
    ]


def test_wrapped_cells_are_one_text() -> None:
    """Two lines in one ruled cell are one text; a part number cut at its hyphen keeps it."""
    board = Board()
    board.table(60, 100, [80, 150], [["Part", "Remarks"], ["", ""]], high=34)
    board.lines(64, 146, ["AB 6805-", "065"], 9, 11)
    board.lines(
        144,
        146,
        [
            "fits all units with the",
            "clear-",
        ],
        9,
        11,
    )
    page = laid(board)
    assert cells(page.tables[0])[1] == ["AB 6805-065", "fits all units with the clear-"]


def test_wrapped_cells_of_an_aligned_table_go_on() -> None:
    """A line under a later column only goes on with that column's cell."""
    board = Board()
    board.text(60, 100, "Number", 9)
    board.text(180, 100, "Description", 9)
    board.text(60, 116, "44 12 07", 9)
    board.lines(180, 116, ["Friction disc, sintered,", "with wide grooves"], 9, 10.5)
    board.text(60, 144, "44 12 08", 9)
    board.text(180, 144, "Steel disc", 9)
    (table,) = laid(board).tables
    assert cells(table) == [
        ["Number", "Description"],
        ["44 12 07", "Friction disc, sintered, with wide grooves"],
        ["44 12 08", "Steel disc"],
    ]


def test_quantities_may_be_set_to_the_right() -> None:
    """Right-aligned numbers under a centred heading are one column; blank cells stay blank."""
    board = Board()
    for r, (name, q, remark) in enumerate(
        [
            ("Description", "Qty", "Remarks"),
            ("Friction disc", "12", ""),
            ("Steel disc", "9", "new"),
            ("Shim, 0.2 mm", "100", ""),
        ]
    ):
        board.text(60, 100 + 15 * r, name)
        board.right(220, 100 + 15 * r, q)
        board.text(260, 100 + 15 * r, remark)
    (table,) = laid(board).tables
    assert cells(table) == [
        ["Description", "Qty", "Remarks"],
        ["Friction disc", "12", ""],
        ["Steel disc", "9", "new"],
        ["Shim, 0.2 mm", "100", ""],
    ]


def test_steps_with_wide_hanging_numbers_are_no_table() -> None:
    """Numbers and text in two columns are steps, however wide the gap between them."""
    board = Board()
    y = 100.0
    for number in range(1, 7):
        y = board.step(60, y, 440, f"{number}", sentence(number, 5 + number * 3), hang=40)
    page = laid(board)
    assert page.tables == ()
    assert len(flow(page)) == 6


def test_fields_and_values_in_columns_are_lines_not_a_table() -> None:
    """`Date:   12 May 1997` under each other are fields, each a paragraph of its own."""
    board = Board()
    for r, (name, value) in enumerate(
        [
            ("Number:", "B 12/97"),
            ("Date:", "12 May 1997"),
            ("Subject:", "Change of kit"),
            ("Models:", "R4, R6"),
        ]
    ):
        board.text(60, 100 + 14 * r, name)
        board.text(160, 100 + 14 * r, value)
    page = laid(board)
    assert page.tables == ()
    assert [p.text for p in flow(page) if not isinstance(p, Table)] == [
        "Number: B 12/97",
        "Date: 12 May 1997",
        "Subject: Change of kit",
        "Models: R4, R6",
    ]


def test_justified_text_is_no_table() -> None:
    """Wide blanks of justified narrow text that stand above each other make no table."""
    for seed in range(12):
        board = Board()
        y = 80.0
        for number in range(9):
            y = board.prose(60, y, 150, sentence(seed * 50 + number, 40), justify=True) + 5
        page = laid(board)
        assert page.tables == ()


def test_a_table_in_one_of_two_columns() -> None:
    """A small table inside the left column stays there, and the right column is read after it."""
    board = Board()
    board.prose(50, 80, 235, sentence(1, 40))
    bottom = board.table(50, 150, [80, 80], NUMBERS, ruled=False)
    board.prose(50, bottom + 20, 235, sentence(2, 60))
    board.prose(310, 80, 235, sentence(3, 120))
    kinds = [cells(p) if isinstance(p, Table) else p.text for p in flow(laid(board))]
    assert kinds == [sentence(1, 40), NUMBERS, sentence(2, 60), sentence(3, 120)]


def test_a_wide_table_under_two_columns() -> None:
    """A table over the whole width under two columns is read after both."""
    board = Board()
    board.prose(50, 80, 235, sentence(1, 80))
    board.prose(310, 80, 235, sentence(2, 80))
    rows = [
        ["Part", "Number", "Limit new", "Limit worn"],
        ["Disc", "11-20", "3.40 mm", "3.10 mm"],
        ["Spring", "11-21", "41.0 mm", "39.5 mm"],
        ["Hub", "11-22", "0.02 mm", "0.08 mm"],
    ]
    board.table(50, 330, [140, 120, 120, 115], rows, ruled=False)
    kinds = [cells(p) if isinstance(p, Table) else p.text for p in flow(laid(board))]
    assert kinds == [sentence(1, 80), sentence(2, 80), rows]


def test_a_bold_header_marks_a_table_of_words() -> None:
    """A bold first row makes a table though no cell holds a figure."""
    board = Board()
    for r, row in enumerate(
        [("Trouble", "Remedy"), ("Clutch slips", "Renew the discs"), ("Pump is noisy", "Bleed the pump")]
    ):
        for c, cell in enumerate(row):
            board.text(60 + 200 * c, 100 + 15 * r, cell, 10, BOLD if r == 0 else "Helvetica")
    (table,) = laid(board).tables
    assert cells(table)[0] == ["Trouble", "Remedy"]


def test_a_number_alone_on_a_near_line_belongs_to_the_row_above() -> None:
    """Two old numbers above each other that one new number replaces are one row, no row and stray line."""
    board = Board()
    board.prose(60, 80, 440, sentence(1, 30))
    rows = [("CATALOG", "SHIP"), ("885-530-34", "288-220-69"), ("547-595-67", "464-723-15")]
    for i, (old, new) in enumerate(rows):
        board.text(66, 120 + 18 * i, old, 9)
        board.text(200, 120 + 18 * i, new, 9)
    board.text(66, 167, "547-595-68", 9)
    board.text(66, 185, "646-456-98", 9)
    board.text(200, 185, "560-907-77", 9)
    board.text(200, 196, "560-907-78", 9)
    (table,) = laid(board).tables
    assert cells(table) == [
        ["CATALOG", "SHIP"],
        ["885-530-34", "288-220-69"],
        ["547-595-67 547-595-68", "464-723-15"],
        ["646-456-98", "560-907-77 560-907-78"],
    ]


def test_names_in_small_letters_before_counts_are_a_table() -> None:
    """A kit list whose things are written small is no running text where counts stand behind each."""
    rows = [["Part", "Was", "Is now"], ["lined disc", "7", "8"], ["wave spring", "none", "4"]]
    board = Board()
    board.prose(60, 80, 440, sentence(1, 30))
    board.table(66, 130, [150, 90, 90], rows, ruled=False)
    (table,) = laid(board).tables
    assert cells(table) == rows
