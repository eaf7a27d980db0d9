"""Sheets that are pictures, read by OCR on the way to a document; what was read before is not read again."""

from collections.abc import Sequence
from typing import Literal

from benchleaf.graph.errors import RefusedFile
from benchleaf.graph.model import Finding, ScanSheet, Source
from benchleaf.ingest.shapes import Page

Engine = Literal["auto", "rapidocr", "tesseract", "both"]
"""What reads pictures; `auto` takes what is installed, both for numbers that matter."""

Scanned = tuple[tuple[Page, ...], tuple[ScanSheet, ...], tuple[Finding, ...]]


def with_scans(
    data: bytes, pages: tuple[Page, ...], name: str, kept: Sequence[ScanSheet], engine: Engine
) -> Scanned:
    """The pages with the words of those that are pictures, what OCR read anew, and what is to be told.

    Raises RefusedFile if every page is a picture and nothing that reads pictures is installed; where some
    have words, a finding says so instead.
    """
    if not any(is_picture_page(page) for page in pages):
        return pages, (), ()
    from benchleaf.ingest.scan.reading import read_scans

    try:
        reading = read_scans(data, pages, {sheet.sheet: sheet for sheet in kept}, engine)
    except RefusedFile as refusal:
        if all(is_picture_page(page) for page in pages):
            raise
        first = next(page.sheet for page in pages if is_picture_page(page))
        told = f"pages that are pictures were left out: {refusal.message}; {refusal.remedy}"
        return pages, (), (Finding(told, Source(name, first)),)
    return reading.pages, reading.kept, ()


def is_picture_page(page: Page) -> bool:
    """True for a sheet with a bitmap and no words, or so few beside a bitmap over the sheet that it must be a
    scan with a stamp."""
    if not page.images:
        return False
    if not page.words:
        return True
    area = max((b.x1 - b.x0) * (b.bottom - b.top) for b in page.images)
    return len(page.words) < _STAMP and area > _COVERS * page.width * page.height


_STAMP = 12  # words that a viewer or a scanner may have set on a picture
_COVERS = 0.6
