"""Packing slips: which column says what came, and what is not guessed at."""

import json
from pathlib import Path

import pytest
from benchleaf.ingest.slips import read_slip, slip_of
from benchleaf.graph.errors import RefusedFile
from benchleaf.graph.received import Received
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


def test_kit_by_slip(run, fresh: Path, tmp_path: Path) -> None:
    """`kit --slip` judges what the slip says came, and shows the rows it could not read."""
    good = csv(
        tmp_path, "Part no,Description,Qty\n7741-5,friction disc,6\n7741-6,steel disc,5\nPacked by,H.,\n"
    )
    result = run("kit", "7751-1", "--slip", str(good), store=fresh)
    assert result.exit_code == 0
    assert "Not read on the slip: Packed by | H." in result.stdout
    shape = json.loads(run("kit", "7751-1", "--slip", str(good), "--json", store=fresh).stdout)
    assert shape["verdict"] == "explained"
    assert shape["slip"]["unread"] == ["Packed by | H."]


def test_slip_and_count_together_are_wrong_use(run, tmp_path: Path) -> None:
    """--got and --slip may not contradict each other: one of them."""
    file = csv(tmp_path, "Part no,Qty\n7741-5,6\n")
    assert run("kit", "7751-1", "--slip", str(file), "--got", "6 friction disc").exit_code == 2
