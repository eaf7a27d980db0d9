"""Rules, boxes and tables typed with signs, in plain text and in PDFs set in typewriter face."""

import pytest
from benchleaf.ingest.shapes import LaidPage, Page, Table
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.paragraphs import flow
from benchleaf.ingest.sheets.pdf import read_pdf
from benchleaf.ingest.sheets.text import read_text
from drawing_board import Board


def as_text(text: str) -> tuple[Page, ...]:
    return read_text(text.encode())


def as_pdf(text: str) -> tuple[Page, ...]:
    board = Board()
    board.lines(50, 80, text.split("\n"), font="Courier")
    return read_pdf(board.pdf())


def told(page: LaidPage) -> list[str | list[list[str]]]:
    return [[[c.text for c in row] for row in p.rows] if isinstance(p, Table) else p.text for p in flow(page)]


READERS = pytest.mark.parametrize("read", [as_text, as_pdf])

NUMBERS = """Change your lists as follows.

Description   Former number   Present number   Remarks
------------------------------------------------------
Seal ring     56/100          19/705
Bearing       96 839 69       93 962 64        new material
Gasket, for
  the cover   88/940          24/667
Plate         87/014          92/968           thicker

Orders already placed are delivered unchanged."""


@READERS
def test_a_header_with_a_rule_beneath_makes_a_table(read) -> None:  # type: ignore[no-untyped-def]
    """The header is the first row; a column that few rows fill is kept; numbers with blanks stay whole."""
    (page,) = lay_out(read(NUMBERS))
    assert told(page) == [
        "Change your lists as follows.",
        [
            ["Description", "Former number", "Present number", "Remarks"],
            ["Seal ring", "56/100", "19/705", ""],
            ["Bearing", "96 839 69", "93 962 64", "new material"],
            ["Gasket, for the cover", "88/940", "24/667", ""],
            ["Plate", "87/014", "92/968", "thicker"],
        ],
        "Orders already placed are delivered unchanged.",
    ]


@READERS
@pytest.mark.parametrize("sign", ["-", "=", "_"])
def test_rules_are_no_words(read, sign: str) -> None:  # type: ignore[no-untyped-def]
    """A row of signs is a stroke and ends what is above it; signs within a sentence stay words."""
    rule = sign * 30
    (page,) = lay_out(read(f"{rule}\nSERVICE LETTER\n{rule}\nSign here: ____ and - or -- wait."))
    assert told(page) == ["SERVICE LETTER", "Sign here: ____ and - or -- wait."]


@READERS
def test_a_closing_rule_ends_the_table(read) -> None:  # type: ignore[no-untyped-def]
    """Text right under the closing rule is no row, and each part of a broken rule names a column."""
    text = (
        "Item                 Qty  Part No.\n-------------------  ---  --------\n"
        "Friction disc         10  11-2000\nLong named ring gear   1  11-2001\n"
        "==================================\nAll parts come from the depot."
    )
    (page,) = lay_out(read(text))
    assert told(page) == [
        [
            ["Item", "Qty", "Part No."],
            ["Friction disc", "10", "11-2000"],
            ["Long named ring gear", "1", "11-2001"],
        ],
        "All parts come from the depot.",
    ]


@READERS
def test_an_underlined_title_over_fields_is_no_table(read) -> None:  # type: ignore[no-untyped-def]
    """Fields under a title with a rule beneath are no rows of it."""
    fields = "NUMBER          12/97\nUNIT            R4, R6"
    text = f"GEAR WORKS    SERVICE LETTER\n============================\n{fields}"
    (page,) = lay_out(read(text))
    assert all(t.rows[0][0].text != "GEAR WORKS" for t in page.tables)


@READERS
def test_a_box_of_signs_gives_clean_cells(read) -> None:  # type: ignore[no-untyped-def]
    """Cells between bars have no bars, a wrapped cell is joined, every rule parts rows."""
    text = (
        "+----------+-----------------+\n| Number   | SL 4-93         |\n+----------+-----------------+\n"
        "| Subject  | Correction to   |\n|          | the manual      |\n+----------+-----------------+\n"
        "| Units    | R4, R6          |\n+----------+-----------------+"
    )
    (page,) = lay_out(read(text))
    assert told(page) == [
        [["Number", "SL 4-93"], ["Subject", "Correction to the manual"], ["Units", "R4, R6"]]
    ]
    assert page.tables[0].ruled


@READERS
@pytest.mark.parametrize(
    "text",
    [
        "| Old   | New   | Remark |\n|-------|-------|--------|\n"
        "| 11-20 | 11-21 |        |\n| 11-30 | 11-31 | thick  |",
        "+-------+-------+--------+\n| Old   | New   | Remark |\n+-------+-------+--------+\n"
        "| 11-20 | 11-21 |        |\n| 11-30 | 11-31 | thick  |\n+-------+-------+--------+",
        " Old   | New   | Remark\n-------+-------+-------\n 11-20 | 11-21 |\n 11-30 | 11-31 | thick",
        "Old   | New   | Remark\n----------------------\n11-20 | 11-21 |\n11-30 | 11-31 | thick",
        "|Old|New|Remark|\n|---|---|---|\n|11-20|11-21||\n|11-30|11-31|thick|",
    ],
)
def test_bars_between_cells(read, text: str) -> None:  # type: ignore[no-untyped-def]
    """Whether the outer bars are typed or not, and bars cling to the words or not, the cells are the same."""
    (page,) = lay_out(read(text))
    assert told(page) == [[["Old", "New", "Remark"], ["11-20", "11-21", ""], ["11-30", "11-31", "thick"]]]


@READERS
def test_a_box_of_one_cell_frames_a_notice(read) -> None:  # type: ignore[no-untyped-def]
    """Signs around one cell make a frame: its words stand in it without the bars."""
    edge = "+----------------------+"
    text = f"1. Lift the cover.\n\n{edge}\n| CAUTION              |\n| Springs under load.  |\n{edge}"
    (page,) = lay_out(read(text))
    assert [(line.text, line.place) for line in page.lines] == [
        ("1. Lift the cover.", "text"),
        ("CAUTION", "frame"),
        ("Springs under load.", "frame"),
    ]


@READERS
def test_bars_in_a_running_line_part_no_cells(read) -> None:  # type: ignore[no-untyped-def]
    """One line with bars is text, also with a rule beneath it; dashes far apart are words."""
    (page,) = lay_out(read("PUB 7 | Clutches | 4-2\n======================\n\nLift the cover."))
    assert page.tables == () and page.lines[0].text == "PUB 7 | Clutches | 4-2"
    (page,) = lay_out(
        read("A      B      C      D      E\n-      -      -      -      -\n1      2      3      4      5")
    )
    assert "- - - - -" in [line.text for line in page.lines]
