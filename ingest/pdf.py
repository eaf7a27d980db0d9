"""PDF files to pages: words, drawn shapes, ruled tables; damaged and locked files are refused in plain words."""

import re
from typing import Any

from benchleaf.graph.errors import RefusedFile
from benchleaf.graph.model import Finding, Source
from benchleaf.ingest.rules import Drawing, drawing
from benchleaf.ingest.ruledtables import ruled
from benchleaf.ingest.shapes import Page
from benchleaf.ingest.words import Sheet, TextLayer, text_layer

_MAGIC = b"%PDF-"
_MAGIC_WITHIN = 1024
_PASSWORD, _SECURITY = 4, 5


def is_pdf(data: bytes) -> bool:
    """True if the bytes begin as a PDF does (its mark within the first 1024 bytes)."""
    return _MAGIC in data[:_MAGIC_WITHIN]


def read_pdf(data: bytes) -> tuple[Page, ...]:
    """The sheets of a PDF in order.

    Raises RefusedFile if it is empty, encrypted, damaged, not a PDF or has no pages.
    """
    document = _opened(data)
    try:
        if len(document) == 0:
            raise RefusedFile("the PDF has no pages", "Fetch the file again from where it came from.")
        return tuple(_page(document, index) for index in range(len(document)))
    finally:
        document.close()


def _opened(data: bytes) -> Any:
    import pypdfium2

    if not data:
        raise RefusedFile("the file is empty", "Fetch the file again and add it once more.")
    if not is_pdf(data):
        raise RefusedFile("not a PDF", "Save or print the document as a PDF and add that.")
    try:
        return pypdfium2.PdfDocument(data)
    except pypdfium2.PdfiumError as error:
        if error.err_code in (_PASSWORD, _SECURITY):
            raise RefusedFile("the PDF is encrypted", "Save a copy without a password and add that.") from error
        raise RefusedFile("the PDF is damaged and cannot be opened", "Fetch or scan the document again.") from error


def _page(document: Any, index: int) -> Page:
    import pypdfium2

    try:
        page = document[index]
    except pypdfium2.PdfiumError as error:
        raise RefusedFile(f"sheet {index + 1} of the PDF is damaged", "Fetch or scan the document again.") from error
    try:
        sheet = Sheet(*page.get_bbox(), page.get_rotation())
        return _read(index + 1, sheet, _text(page, sheet), drawing(page, sheet))
    finally:
        page.close()


def _text(page: Any, sheet: Sheet) -> TextLayer:
    text_page = page.get_textpage()
    try:
        return text_layer(text_page, sheet)
    finally:
        text_page.close()


def _read(number: int, sheet: Sheet, text: TextLayer, drawn: Drawing) -> Page:
    return Page(
        sheet=number,
        width=sheet.width,
        height=sheet.height,
        words=text.words,
        strokes=drawn.strokes,
        frames=drawn.frames,
        curves=drawn.curves,
        images=drawn.images,
        tables=ruled(number, text.words, drawn.strokes, drawn.frames),
        by_ocr=text.hidden * 2 > len(text.words),
    )
