"""Packing slips: which column says what came, and what is not guessed at."""

from pathlib import Path

import pytest
from benchleaf.graph.errors import RefusedFile
from benchleaf.graph.kits.received import Received
from benchleaf.ingest.document import read_document
from benchleaf.ingest.lists.slips import is_slip, read_slip, slip_of
from hypothesis import given
from hypothesis import strategies as st

HEAD = ["Part No.", "Description", "Qty"]


def csv(tmp_path: Path, text: str, encoding: str = "utf-8") -> Path:
    file = tmp_path / "slip.csv"
    file.write_bytes(text.encode(encoding))
    return file


@pytest.mark.parametrize("mark", [",", ";", "\t", "|"])
def test_any_usual_separator(mark: str, tmp_path: Path) -> None:
    """Comma, semicolon, tab and bar part the columns alike."""
    rows = [HEAD, ["7741-5", "friction disc", "6"], ["7741-6", "steel disc", "5"]]
    slip = read_slip(csv(tmp_path, "\r\n".join(mark.join(row) for row in rows)), "7751-1")
    assert slip.lines == (Received("friction disc", 6, "7741-5"), Received("steel disc", 5, "7741-6"))
    assert slip.unread == ()


def test_what_was_shipped_counts_and_not_what_was_ordered(tmp_path: Path) -> None:
    """Of several columns of quantities the one of what came is read (common practice, no source)."""
    head = "Item no,Ordered qty,Description,Qty shipped,Back order"
    slip = read_slip(csv(tmp_path, f"{head}\n7741-5,6,friction disc,4,2\n"), "7751-1")
    assert slip.lines == (Received("friction disc", 4, "7741-5"),)


def test_a_slip_that_tells_only_orders_is_refused(tmp_path: Path) -> None:
    """What was ordered is no word on what came."""
    with pytest.raises(RefusedFile):
        read_slip(csv(tmp_path, "Part no,Qty ordered\n7741-5,6\n"), "7751-1")


def test_rows_that_cannot_be_read_are_named(tmp_path: Path) -> None:
    """A row without a plain count is kept as unread, never guessed: 1,000 may be one or a thousand."""
    text = "Part no;Description;Qty\n7741-5;friction disc;six?\n7741-6;steel disc;5\n9;shim;1,000\n;Total;\n"
    slip = read_slip(csv(tmp_path, text), "7751-1")
    assert slip.lines == (Received("steel disc", 5, "7741-6"),)
    assert slip.unread == ("7741-5 | friction disc | six?", "9 | shim | 1,000", "Total")


def test_lines_of_other_kits_are_left_out(tmp_path: Path) -> None:
    """Where a column names kits, only the asked kit's lines count, however its number is typed."""
    text = "Kit,Part No.,Qty\n7751-1,7741-5,6\n7760-1,7741-6,5\n"
    slip = read_slip(csv(tmp_path, text), "77511")
    assert [line.part for line in slip.lines] == ["7741-5"]
    assert slip.others == ("7760-1",)


def test_a_slip_for_another_kit_is_refused(tmp_path: Path) -> None:
    """The refusal names the kit that the slip is for."""
    with pytest.raises(RefusedFile, match="7760-1"):
        read_slip(csv(tmp_path, "Kit,Part No.,Qty\n7760-1,7741-6,5\n"), "7751-1")


def test_windows_and_byte_order_marks(tmp_path: Path) -> None:
    """Slips written by spreadsheets: cp1252, and UTF-8 with a byte order mark."""
    text = "Part no,Description,Qty\n7741-5,Scheibe für Gehäuse,6\n"
    for encoding in ("cp1252", "utf-8-sig"):
        assert (
            read_slip(csv(tmp_path, text, encoding), "7751-1").lines[0].description == "Scheibe für Gehäuse"
        )


@given(st.lists(st.lists(st.text(max_size=12), max_size=5), max_size=8))
def test_any_table_is_read_or_not_but_never_fails(rows: list[list[str]]) -> None:
    """Every row below a heading is a line, another kit's, or unread: none is lost, and nothing raises."""
    slip = slip_of([HEAD, *rows], "7751-1")
    assert slip is not None
    assert len(slip.lines) + len(slip.unread) == sum(any(cell.strip() for cell in row) for row in rows)
    slip_of(rows, "7751-1")


def test_a_table_of_a_kit_is_told_a_slip() -> None:
    """A CSV with kit, part and quantity is a slip, also under a line or two of preface."""
    data = b"Kit,Part No.,Description,Qty\nV9-1,V3-11,Lined plate,8\nV9-1,V3-26,Steel plate 2.00,9\n"
    assert is_slip(data) and read_document(data, "box.csv").kind == "slip"
    assert is_slip(b"Slip;4471;;\n\nPart no;Name;Qty shipped;Qty due\n77-1;ring;2;0\n")


@pytest.mark.parametrize(
    "text",
    [
        "Old number,New number\n77-1,77-2\n",
        "Part no,Price\n77-1,4.20\n",
        "Service note 12 of 3 May 2003\n\nThe kit has been changed, and from now on it holds what the table"
        " below says it holds:\n\nPart no,Qty\n77-1,2\n",
        "",
    ],
)
def test_what_says_not_what_came_is_no_slip(text: str) -> None:
    """A supersession list, a price list and a note with a table of contents are no slips."""
    assert not is_slip(text.encode())
