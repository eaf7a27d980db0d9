"""Packing slips as photos and scans, read by OCR; the sheets are drawn and damaged here."""

from pathlib import Path

import pytest
from benchleaf.graph.errors import RefusedFile
from benchleaf.graph.kits.received import Received
from benchleaf.graph.model import Box
from benchleaf.ingest.lists.slippages import SlipTable, _table
from benchleaf.ingest.lists.slips import read_slip, slip_of
from benchleaf.ingest.scan import reading
from benchleaf.ingest.shapes import Cell, LaidPage, Line, Table, Word
from scanpictures import Board, Sheet, as_pdf, as_png, jpeg, photographed, picture_of

ROWS = (
    ("Part No.", "Description", "Ordered", "Shipped"),
    ("K41-3011", "Friction disc 2.5 mm", "10", "10"),
    ("K41-3012", "Steel disc 2.0 mm", "11", "11"),
    ("K41-4410", "Seal ring", "4", "2"),
)
CAME = {"K413011": 10, "K413012": 11, "K414410": 2}


def slip_sheet() -> Sheet:
    """A slip with a ruled table, a head above and a line below."""
    board = Board()
    board.say(56, 50, "Packing slip 20331", 16)
    board.say(56, 90, "Kit 4471-208   3 March 2004", 11)
    at = (56, 156, 326, 416, 516)
    for row, cells in enumerate(ROWS):
        for x, text in zip(at, cells, strict=False):
            board.say(x + 5, 142 + 24 * row, text, 11, "Helvetica")
    for row in range(len(ROWS) + 1):
        board.line(at[0], 136 + 24 * row, at[-1], 136 + 24 * row)
    for x in at:
        board.line(x, 136, x, 136 + 24 * len(ROWS))
    board.say(56, 300, "Packed with care.", 11)
    return board.done()


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    pytest.importorskip("rapidocr")
    folder, clean = tmp_path_factory.mktemp("slips"), picture_of(slip_sheet())
    data = {
        "slip.png": as_png(clean),
        "slip.pdf": as_pdf([clean]),
        "photo.png": as_png(jpeg(photographed(clean, 0.03), 60)),
    }
    for name, content in data.items():
        (folder / name).write_bytes(content)
    return {name: folder / name for name in data}


@pytest.mark.parametrize("name", ["slip.png", "slip.pdf"])
def test_a_scanned_slip(name: str, made: dict[str, Path]) -> None:
    """A picture and a scanned PDF give what was shipped, and tell that OCR read it."""
    slip = read_slip(made[name], "4471-208")
    assert slip.by_ocr
    assert {line.part: line.quantity for line in slip.lines} == {
        "K41-3011": 10,
        "K41-3012": 11,
        "K41-4410": 2,
    }


def test_a_photo_gives_no_wrong_count(made: dict[str, Path]) -> None:
    """From a bad photo a count is right or open, or the whole is refused: never another number."""
    try:
        slip = read_slip(made["photo.png"], "4471-208")
    except RefusedFile:
        return
    assert slip.lines
    for line in slip.lines:
        if line.quantity is not None:
            assert CAME.get("".join((line.part or "").split()).replace("-", "")) == line.quantity


def test_unsure_counts_are_not_counted() -> None:
    """A quantity that OCR was not sure of is none, and says what was read; a number so read is told."""
    rows = [["Part no", "Description", "Qty"], ["44-100", "disc", "6"], ["44-200", "ring", "2"]]
    table = SlipTable(tuple(rows), frozenset({(1, 2), (2, 0)}), by_ocr=True)
    slip = slip_of(rows, "1", table)
    assert slip is not None and slip.by_ocr
    assert slip.lines == (Received("disc", None, "44-100"), Received("ring", 2, "44-200"))
    assert "unsure" in slip.lines[0].told and "6" in slip.lines[0].told
    assert "not sure of the number 44-200" in slip.lines[1].told


def _page(confidence: float, *, by_ocr: bool) -> LaidPage:
    box = Box(10, 10, 20, 20)
    word = Word("6", Box(12, 11, 18, 19), confidence=confidence)
    table = Table(1, box, ((Cell("6", box),),), True)
    return LaidPage(1, 100, 100, (Line((word,), word.box, 1),), tables=(table,), by_ocr=by_ocr)


def test_which_cells_are_sure() -> None:
    """A cell is as sure as the words with figures in it; typed pages are sure."""
    for page, unsure in (
        (_page(0.99, by_ocr=True), 0),
        (_page(0.5, by_ocr=True), 1),
        (_page(0.5, by_ocr=False), 0),
    ):
        (table,) = page.tables
        assert len(_table(page, table.rows).unsure) == unsure


def test_without_a_reader_of_pictures_the_remedy_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where nothing reads pictures the refusal says what to do, and nothing is counted."""

    def missing(choice: object = "auto") -> None:
        raise RefusedFile("the file is a picture", "Install the scan extra.")

    monkeypatch.setattr(reading, "engines", missing)
    file = tmp_path / "slip.png"
    file.write_bytes(as_png(picture_of(slip_sheet(), 60), 60))
    with pytest.raises(RefusedFile) as raised:
        read_slip(file, "4471-208")
    assert raised.value.remedy
