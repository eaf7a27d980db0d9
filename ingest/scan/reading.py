"""Sheets that are pictures to pages of words.

What a word's confidence means: from rapidocr, the mean over its letters, or, with a figure in it, that of
its least sure sign; from tesseract alone, its own, at most 0.95. Where both read, agreement on a word with
a figure raises it to at least 0.97 and disagreement lowers it to at most 0.85 (see `agreement`).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchleaf.graph.model import Finding, ScanSheet, Source
from benchleaf.graph.standing import SURE_OCR
from benchleaf.ingest.allowance import AN_OCR_SHEET, allow
from benchleaf.ingest.scan.engines import EngineChoice, Engines, engines
from benchleaf.ingest.scan.pictures import pdf_turn, sheet_picture, sheet_size
from benchleaf.ingest.scan.placing import Placing, turned, upright
from benchleaf.ingest.scan.results import page_of, placing_of, written
from benchleaf.ingest.scan.sheetreading import read_sheet
from benchleaf.ingest.shapes import Page

if TYPE_CHECKING:
    from PIL import Image

_HANDFUL = 8  # words of a text layer, at most, that a stamp or a fax line adds to a picture
_COVERS = 0.5  # share of the sheet that its bitmaps cover
_ALONE = 0.1  # the same where the sheet has no words at all
_HARD = 0.25  # share of unsure words from which a sheet is said to be hard to read


@dataclass(frozen=True, slots=True)
class ScanReading:
    """All pages of a file, those that were pictures now with words; `kept` holds what was newly read."""

    pages: tuple[Page, ...]
    kept: tuple[ScanSheet, ...] = ()
    findings: tuple[Finding, ...] = ()


def is_scan(page: Page) -> bool:
    """True for a sheet that is a picture: bitmaps over most of it, with no words or a handful."""
    if page.by_ocr or len(page.words) > _HANDFUL:
        return False
    area = sum((b.x1 - b.x0) * (b.bottom - b.top) for b in page.images)
    return area > (_COVERS if page.words else _ALONE) * page.width * page.height


def read_scans(
    data: bytes,
    pages: Sequence[Page],
    kept: Mapping[int, ScanSheet],
    choice: EngineChoice = "auto",
    name: str = "",
) -> ScanReading:
    """Read every page that is a picture by OCR; `kept` readings, by sheet, are taken in place of a new one.

    Boxes of these pages are in points of the upright, straightened sheet (`upright_picture` draws it). `name`
    stands in the findings' source. Raises RefusedFile if a picture must be read and no engine is installed.
    """
    found: list[Page] = []
    new: list[ScanSheet] = []
    findings: list[Finding] = []
    for page in pages:
        if not is_scan(page):
            found.append(page)
            continue
        if page.sheet in kept:
            read = page_of(kept[page.sheet])
        else:
            able = engines(choice)
            allow(AN_OCR_SHEET)
            read, placing = read_sheet(data, page, able)
            new.append(ScanSheet(page.sheet, able.reader, written(read, placing)))
        found.append(read)
        findings.extend(_findings(read, name))
    return ScanReading(tuple(found), tuple(new), tuple(findings))


def _findings(page: Page, name: str) -> list[Finding]:
    """What should be known about a sheet's reading."""
    source = Source(name, page.sheet, by_ocr=True)
    if not page.words:
        return [Finding(f"sheet {page.sheet} is a picture on which no words were found", source)]
    unsure = sum(w.confidence < SURE_OCR for w in page.words)
    if unsure <= _HARD * len(page.words):
        return []
    message = f"sheet {page.sheet} is hard to read: {unsure} of {len(page.words)} words are unsure"
    return [Finding(message, source)]


def upright_picture(data: bytes, sheet: int, kept: ScanSheet | None, dpi: float = 150) -> "Image.Image":
    """A sheet (1-based) in grey, turned and straightened: its words' boxes fit it at dpi / 72 pixels a point.

    `kept` is the sheet's OCR reading; None for one with a text layer.

    Raises RefusedFile if the sheet cannot be drawn and StoreProblem if the kept reading is damaged.
    """
    picture = sheet_picture(data, sheet, max(dpi, 150.0))
    if kept is not None:
        return upright(picture, placing_of(kept), dpi)
    placing = Placing(*sheet_size(data, sheet))
    return upright(picture, turned(placing, pdf_turn(data, sheet)), dpi)


__all__ = ["EngineChoice", "Engines", "ScanReading", "is_scan", "read_scans", "upright_picture"]
