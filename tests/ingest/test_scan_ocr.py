"""Sheets read by OCR from pictures drawn here, damaged as scanners and phones do.

The shares demanded lie under those measured on these drawings, so that another version of the engine may
differ a little; no outside source.
"""

import sys

import pytest
from benchleaf.graph.standing import SURE_OCR
from benchleaf.ingest.scan.engines import EngineChoice
from benchleaf.ingest.scan.pictures import picture_pages
from benchleaf.ingest.scan.rapid import rapid_version
from benchleaf.ingest.scan.reading import read_scans
from benchleaf.ingest.scan.tesseract import tesseract_version
from benchleaf.ingest.shapes import LaidPage, Page
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.pages import read_pages
from PIL import Image
from scanpictures import (
    STEPS,
    Board,
    as_pdf,
    as_png,
    noisy,
    photographed,
    picture_of,
    skewed,
    steps_sheet,
    table_sheet,
)

with_rapid = pytest.mark.skipif(
    rapid_version() is None, reason="rapidocr is not installed: pip install 'benchleaf[scan]'"
)
with_tesseract = pytest.mark.skipif(tesseract_version() is None, reason="tesseract is not installed")


def read(picture: Image.Image, choice: EngineChoice = "rapidocr") -> Page:
    data = as_png(picture)
    return read_scans(data, picture_pages(data), {}, choice).pages[0]


def share(expected: tuple[str, ...], page: Page) -> float:
    """The share of the expected words that were read, each as often as it was printed."""
    left = [w.text for w in page.words]
    hits = 0
    for word in expected:
        if word in left:
            left.remove(word)
            hits += 1
    return hits / len(expected)


def figures(words: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(w for w in words if any(c.isdigit() for c in w))


def laid(page: Page) -> LaidPage:
    return lay_out([page])[0]


@with_rapid
def test_a_crooked_grainy_scan_in_a_pdf_is_read_in_order() -> None:
    """Two columns at a slant of 3 degrees come out as lines in reading order, each step's number before its
    words."""
    sheet = steps_sheet("Times-Roman", 9, 2, 18)
    data = as_pdf([noisy(skewed(picture_of(sheet), 3), 12)])
    reading = read_scans(data, read_pages(data, "scan.pdf"), {}, "rapidocr")
    (page,) = reading.pages
    assert page.by_ocr
    assert share(sheet.words, page) > 0.97
    assert share(figures(sheet.words), page) > 0.97
    lines = [line.text for line in laid(page).lines]
    wanted = [f"{number}. {STEPS[number - 1][0]}" for number in range(1, 9)]
    assert [line for line in lines if line[:1].isdigit() and ". " in line[:4]] == wanted
    assert reading.kept[0].sheet == 1
    assert reading.kept[0].reader.startswith("rapidocr ")


@with_rapid
@pytest.mark.parametrize("turn", [90, 180])
def test_a_turned_sheet_is_read_upright(turn: int) -> None:
    """A sheet fed sideways or upside down gives the same words, on an upright page."""
    sheet = table_sheet()
    page = read(picture_of(sheet).rotate(turn, expand=True))
    assert page.height > page.width
    assert share(sheet.words, page) > 0.97


@with_rapid
def test_a_photo_on_a_dark_desk_is_read() -> None:
    """A sheet photographed at an angle is squared up and read; its ruled table has its rows."""
    sheet = table_sheet()
    page = read(photographed(picture_of(sheet)))
    assert share(sheet.words, page) > 0.95
    assert ["88 104 317", "88 104 922", "Shim 0.20", "4"] in [
        [c.text for c in row] for table in page.tables for row in table.rows
    ]


@with_rapid
def test_small_numbers_in_the_margin_are_not_lost() -> None:
    """Single figures far from other text, which detectors pass over, are read."""
    board = Board()
    for number, top in enumerate(range(100, 500, 50), 1):
        board.say(70, top, str(number), 9, "Helvetica")
        board.say(180, top, "Fit the cone and the ring to the hub.", 10)
    board.say(300, 780, "7", 9)
    page = read(picture_of(board.done()))
    assert sorted(w.text for w in page.words if w.text.isdigit()) == sorted([*"12345678", "7"])


@with_rapid
def test_sizes_and_weight_are_told() -> None:
    """Sizes come within a tenth of the drawn ones, and a heading in bold is bold."""
    board = Board()
    board.say(60, 80, "Fitting the output shaft", 14, "Helvetica-Bold")
    for top in range(110, 350, 16):
        board.say(60, top, "Press the bearing home and check that the shaft turns freely.", 10, "Helvetica")
    lines = laid(read(picture_of(board.done()))).lines
    assert lines[0].bold
    assert lines[0].size == pytest.approx(14, rel=0.1)
    assert not any(line.bold for line in lines[1:])
    assert all(line.size == pytest.approx(10, rel=0.1) for line in lines[1:])


@with_rapid
@with_tesseract
def test_numbers_read_by_both_engines_are_sure() -> None:
    """On a clean sheet nearly all words with figures pass the bar, and none that passes is wrong."""
    sheet = table_sheet()
    page = read(picture_of(sheet), "both")
    told = [w for w in page.words if any(c.isdigit() for c in w.text)]
    sure = [w.text for w in told if w.confidence >= SURE_OCR]
    assert len(sure) > 0.9 * len(told)
    assert set(sure) <= set(sheet.words)


@with_tesseract
def test_tesseract_alone_reads_a_crooked_sheet_upside_down(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without rapidocr and what comes with it the sheet is turned, straightened and read; its lines hold
    together."""
    for name in ("cv2", "numpy", "rapidocr", "onnxruntime"):
        monkeypatch.setitem(sys.modules, name, None)
    sheet = steps_sheet()
    page = read(skewed(picture_of(sheet), 2).rotate(180), "tesseract")
    assert share(sheet.words, page) > 0.95
    assert f"1. {STEPS[0][0]}" in [line.text for line in laid(page).lines]


@with_rapid
def test_a_blank_sheet_has_no_words() -> None:
    """The grain of blank paper is not read as writing; the sheet is told."""
    data = as_png(noisy(Image.new("L", (1654, 2339), 240), 10))
    reading = read_scans(data, picture_pages(data), {}, "rapidocr")
    assert reading.pages[0].words == ()
    assert "no words" in reading.findings[0].message
