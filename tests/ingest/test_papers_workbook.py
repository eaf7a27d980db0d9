"""Workbooks: cells as they show, worksheets as sheets and as lists."""

import datetime as dt
import sys
import time
from typing import Any

import pytest
from benchleaf.graph.errors import RefusedFile
from benchleaf.ingest.lists.lists import is_list, read_list
from benchleaf.ingest.papers.cellforms import plain, shown
from benchleaf.ingest.papers.findings import paper_findings
from benchleaf.ingest.papers.workbook import read_workbook, workbook_lists
from hypothesis import given
from hypothesis import strategies as st
from papers_made import texts, workbook


@pytest.mark.parametrize(
    ("value", "form", "text"),
    [
        (12.0, "General", "12"),
        (1234, "00000000", "00001234"),
        (1234567, "000-0000", "123-4567"),
        (4471208, '0000"-"000', "4471-208"),
        (2.4, '0.00" mm"', "2.40 mm"),
        (0.125, "0.0%", "12.5%"),
        (1200, "#,##0", "1200"),
        (2.5, "0", "3"),
        (0.1 + 0.2, "General", "0.3"),
        (-3, "0;[Red]-0", "-3"),
        (4, "mm/dd", "4"),
        (True, "General", "TRUE"),
        (dt.datetime(2003, 5, 3), "dd/mm/yy", "2003-05-03"),
        ("00123", "@", "00123"),
        (None, "General", ""),
    ],
)
def test_cells_show_what_their_format_shows(value: object, form: str, text: str) -> None:
    """Number formats pad zeros and set decimals (ISO/IEC 29500-1, 18.8.31); dates come out as ISO 8601."""
    assert shown(value, form) == text


@given(st.one_of(st.floats(), st.integers(-(10**20), 10**20)), st.text('0#?,.%"mx \\[];-E+_*', max_size=20))
def test_any_number_in_any_format_shows_something(value: float, form: str) -> None:
    """No format makes a reader fail, however odd."""
    assert isinstance(shown(value, form), str)


@given(st.integers(-(10**14), 10**14), st.integers(0, 4))
def test_plain_numbers_keep_their_value(figures: int, places: int) -> None:
    """A number read as text is the same number."""
    assert float(plain(figures / 10**places)) == pytest.approx(figures / 10**places, rel=1e-14)


def slip(book: Any) -> None:
    book.active.append(["Kit 44-208 contains:"])
    book.active.append(["Part no.", "Description", "Qty"])
    book.active.append([44100, "disc", 6.0])
    book.active["A3"].number_format = "0000000"
    book.active.append([])
    book.active.append(["Fit the discs in oil and close the cover."])


def test_a_worksheet_is_a_sheet_with_tables_and_text() -> None:
    """Rows of several cells are a table, lone cells paragraphs, a blank row parts them."""
    assert texts(read_workbook(workbook(slip))) == [
        "Kit 44-208 contains:",
        [["Part no.", "Description", "Qty"], ["0044100", "disc", "6"]],
        "Fit the discs in oil and close the cover.",
    ]


def test_worksheets_as_lists() -> None:
    """A worksheet of old and new numbers is read by the same reader as a CSV list."""

    def build(book: Any) -> None:
        book.active.title = "Read me"
        book.active.append(["Our list"])
        numbers = book.create_sheet("Numbers")
        numbers.append(["Old number", "New number", "Remarks"])
        numbers.append(["0044-100", "0044-200", "interchangeable"])

    lists = dict(workbook_lists(workbook(build)))
    assert lists["Numbers"] == b"Old number,New number,Remarks\r\n0044-100,0044-200,interchangeable\r\n"
    assert is_list(lists["Numbers"]) and not is_list(lists["Read me"])
    (row,) = read_list(lists["Numbers"], "a.xlsx").rows
    assert row.old == ("0044-100",) and row.new == ("0044-200",)


def test_a_part_number_turned_into_a_date_is_a_doubt() -> None:
    """Spreadsheets make dates of numbers such as 5-7-2003: in a column of numbers a date settles nothing."""

    def build(book: Any) -> None:
        book.active.append(["Old number", "New number", "Date"])
        book.active.append([dt.datetime(2003, 5, 7), "0044-200", dt.datetime(2004, 1, 2)])

    ((_, data),) = workbook_lists(workbook(build))
    (row,) = read_list(data, "a.xlsx").rows
    assert row.standing == "doubtful" and "turned into a date" in row.why[0]
    assert row.date == dt.date(2004, 1, 2)


def test_hidden_and_struck_out_cells_are_left_out_and_told() -> None:
    """What the workbook does not show is no word on what is in force."""
    from openpyxl.cell.rich_text import CellRichText, TextBlock
    from openpyxl.cell.text import InlineFont
    from openpyxl.styles import Font

    def build(book: Any) -> None:
        one = book.active
        for row in (
            ["Part", "Qty", "Cost"],
            ["44-100", 6, 9],
            ["44-101", 5, 9],
            ["44-102", 4, 9],
            ["44-104", 3, 9],
        ):
            one.append(row)
        one.row_dimensions[3].hidden = True
        one.column_dimensions["C"].hidden = True
        one["B4"].font = Font(strike=True)
        one["A4"] = CellRichText([TextBlock(InlineFont(strike=True), "44-102"), " 44-103"])
        book.create_sheet("Old").append(["44-999"])
        book.worksheets[1].sheet_state = "hidden"

    data = workbook(build)
    assert texts(read_workbook(data)) == [[["Part", "Qty"], ["44-100", "6"], ["44-103", ""], ["44-104", "3"]]]
    told = {f.message.split(":")[0]: f.quote for f in paper_findings(data, "a.xlsx")}
    assert told["struck-out cells are left out, as not in force"] == "44-102 | 4"
    assert any("hidden worksheet “Old”" in message for message in told)
    assert "44-101 | 5" in next(q for m, q in told.items() if m.startswith("hidden rows"))


def test_formulas_without_a_kept_value_are_told() -> None:
    """A program that writes no values leaves blanks where a person sees numbers."""

    def build(book: Any) -> None:
        book.active.append(["Qty", 6])
        book.active.append(["Twice", "=B1*2"])

    assert "without a kept value" in paper_findings(workbook(build), "a.xlsx")[0].message


def test_a_stray_cell_in_the_last_row_costs_nothing() -> None:
    """A sheet has a million rows; only those that hold something are read."""

    def build(book: Any) -> None:
        book.active.append(["Part", "Qty"])
        book.active["XFD1048576"] = "stray"

    data = workbook(build)
    begun = time.perf_counter()
    assert workbook_lists(data)[0][1].startswith(b"Part,Qty,")
    assert read_workbook(data)
    assert time.perf_counter() - begun < 5


def test_a_blank_workbook_is_refused() -> None:
    """A workbook that shows nothing has its remedy named."""
    with pytest.raises(RefusedFile, match="no text"):
        read_workbook(workbook(lambda book: None))


def test_a_missing_library_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without openpyxl the refusal names the command that adds it."""
    data = workbook(slip)
    monkeypatch.setitem(sys.modules, "openpyxl", None)
    with pytest.raises(RefusedFile) as refused:
        read_workbook(data)
    assert "pip install 'benchleaf[office]'" in refused.value.remedy
