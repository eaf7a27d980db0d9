"""PDF files to pages: words, drawn shapes, ruled tables; damaged and locked files are refused in plain
words."""

from typing import Any

from benchleaf.graph.errors import RefusedFile
from benchleaf.ingest.allowance import A_SHEET, allow
from benchleaf.ingest.shapes import Page, Table
from benchleaf.ingest.sheets.glyphs import Sheet
from benchleaf.ingest.sheets.grid import grids
from benchleaf.ingest.sheets.outlines import Drawing
from benchleaf.ingest.sheets.plumber import Plumber
from benchleaf.ingest.sheets.pressed import held_small
from benchleaf.ingest.sheets.ruledtables import framed_words, merged, ruled
from benchleaf.ingest.sheets.rules import drawing
from benchleaf.ingest.sheets.words import TextLayer, text_layer

_MAGIC = b"%PDF-"
_MAGIC_WITHIN = 1024
_PASSWORD, _SECURITY = 4, 5  # pdfium's codes


def is_pdf(data: bytes) -> bool:
    """True if the bytes begin as a PDF does (its mark within the first 1024 bytes)."""
    return _MAGIC in data[:_MAGIC_WITHIN]


def read_pdf(data: bytes) -> tuple[Page, ...]:
    """The sheets of a PDF in order, those of a long one held small.

    Raises RefusedFile if it is empty, encrypted, damaged, not a PDF or has no pages.
    """
    document = _opened(data)
    plumber = Plumber(data)
    try:
        return held_small(_page(document, plumber, index) for index in range(len(document)))
    finally:
        plumber.close()
        document.close()


def _opened(data: bytes) -> Any:
    import pypdfium2  # type: ignore[import-untyped]  # ships no types

    if not data:
        raise RefusedFile("the file is empty", "Fetch the file again and add it once more.")
    if not is_pdf(data):
        raise RefusedFile("not a PDF", "Save or print the document as a PDF and add that.")
    try:
        return pypdfium2.PdfDocument(data)
    except pypdfium2.PdfiumError as error:
        raise _refusal(data, error.err_code) from error


def _refusal(data: bytes, code: int | None) -> RefusedFile:
    """Why a PDF does not open. pdfium keeps an old code where the file opens but has no pages."""
    if _opens(data):
        return RefusedFile("the PDF has no pages", "Fetch the file again from where it came from.")
    if code in (_PASSWORD, _SECURITY):
        return RefusedFile("the PDF is encrypted", "Save a copy without a password and add that.")
    return RefusedFile("the PDF is damaged and cannot be opened", "Fetch or scan the document again.")


def _opens(data: bytes) -> bool:
    import pypdfium2.raw as raw  # type: ignore[import-untyped]  # ships no types

    document = raw.FPDF_LoadMemDocument64(data, len(data), None)
    if not document:
        return False
    raw.FPDF_CloseDocument(document)
    return True


def _page(document: Any, plumber: Plumber, index: int) -> Page:
    import pypdfium2

    allow(A_SHEET)
    try:
        page = document[index]
    except pypdfium2.PdfiumError as error:
        raise RefusedFile(
            f"sheet {index + 1} of the PDF is damaged", "Fetch or scan the document again."
        ) from error
    try:
        sheet, text = _upright(page)
        drawn, tables = _tables(plumber, index, sheet, text, drawing(page, sheet))
        return _read(index + 1, sheet, text, drawn, tables)
    finally:
        page.close()


def _upright(page: Any) -> tuple[Sheet, TextLayer]:
    """The sheet and its words, turned so that its text reads level where nearly all of it is set sideways."""
    left, bottom, right, top = page.get_bbox()
    sheet = Sheet(left, bottom, right, top, page.get_rotation())
    text = _text(page, sheet)
    if text.turn:
        sheet = sheet._replace(turn=(sheet.turn - text.turn) % 360)
        text = _text(page, sheet)
    return sheet, text


def reading_turn(data: bytes, sheet: int) -> int:
    """Degrees clockwise by which `read_pdf` turned a sheet (1-based) beyond its displayed orientation.

    0 nearly always; a sheet whose text is set sideways is turned so that it reads level, its boxes with it.
    """
    document = _opened(data)
    try:
        page = document[sheet - 1]
        turned = (_upright(page)[0].turn - page.get_rotation()) % 360
        page.close()
        return int(turned)
    finally:
        document.close()


def _text(page: Any, sheet: Sheet) -> TextLayer:
    text_page = page.get_textpage()
    try:
        return text_layer(text_page, sheet)
    finally:
        text_page.close()


def _tables(
    plumber: Plumber, index: int, sheet: Sheet, text: TextLayer, drawn: Drawing
) -> tuple[Drawing, tuple[Table, ...]]:
    """The shapes and ruled tables of a sheet: by pdfplumber where a grid with words in it is drawn.

    pdfium's own shapes serve where pdfplumber fails or finds less.
    """
    found = grids(drawn.strokes, drawn.frames)
    own = ruled(index + 1, text.words, found)
    if not framed_words(text.words, found, sheet.width * sheet.height):
        return drawn, own
    plumbed = plumber.read(index, sheet)
    if plumbed is None:
        return drawn, own
    tables = merged(ruled(index + 1, text.words, plumbed.grids), own, found)
    strokes, frames = plumbed.drawing.strokes, plumbed.drawing.frames
    return (drawn._replace(strokes=strokes, frames=frames) if strokes or frames else drawn), tables


def _read(number: int, sheet: Sheet, text: TextLayer, drawn: Drawing, tables: tuple[Table, ...]) -> Page:
    return Page(
        sheet=number,
        width=sheet.width,
        height=sheet.height,
        words=text.words,
        strokes=drawn.strokes,
        frames=drawn.frames,
        curves=drawn.curves,
        images=drawn.images,
        tables=tables,
        by_ocr=text.hidden * 2 > len(text.words),
    )
