"""Sheets that are pictures, read by OCR on the way to a document; what was read before is not read again."""

from collections.abc import Sequence
from dataclasses import replace

from benchleaf.graph.errors import RefusedFile
from benchleaf.graph.model import Finding, ScanSheet, Source
from benchleaf.ingest.scan.pounds import with_pounds
from benchleaf.ingest.scan.reading import EngineChoice, is_scan, read_scans
from benchleaf.ingest.scan.specks import without_specks
from benchleaf.ingest.shapes import Page

Scanned = tuple[tuple[Page, ...], tuple[ScanSheet, ...], tuple[Finding, ...]]


def with_scans(
    data: bytes, pages: tuple[Page, ...], name: str, kept: Sequence[ScanSheet], engine: EngineChoice
) -> Scanned:
    """The pages with the words of those that are pictures, what OCR read anew, and what is to be told.

    Raises RefusedFile if every page is a picture and nothing that reads pictures is installed; where some
    have words, a finding says so instead.
    """
    bare = tuple(_bared(page) for page in pages)
    if not any(map(is_scan, bare)):
        return pages, (), ()
    try:
        reading = read_scans(data, bare, {sheet.sheet: sheet for sheet in kept}, engine, name)
    except RefusedFile as refusal:
        if all(map(is_scan, pages)):
            raise
        first = next(page.sheet for page in bare if is_scan(page))
        told = f"pages that are pictures were not read: {refusal.sentence}"
        return tuple(map(_doubted, pages)), (), (Finding(told, Source(name, first)),)
    mended = tuple(with_pounds(without_specks(page)) for page in reading.pages)
    return mended, reading.kept, reading.findings


def _bared(page: Page) -> Page:
    """A page without the words that another OCR hid behind its picture: nothing tells how sure it was."""
    bare = replace(page, words=(), by_ocr=False)
    return bare if page.by_ocr and is_scan(bare) else page


def _doubted(page: Page) -> Page:
    """A page whose hidden words are all that can be had: none of them is sure."""
    if not page.by_ocr:
        return page
    return replace(page, words=tuple(w._replace(confidence=min(w.confidence, _HIDDEN)) for w in page.words))


_HIDDEN = 0.85  # below the bar from which a reading by OCR may settle
