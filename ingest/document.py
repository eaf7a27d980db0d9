"""From the bytes of one file to a Document: a pure function, so that it can run in any worker."""

from collections.abc import Sequence
from dataclasses import replace
from hashlib import sha256
from pathlib import PurePath

from benchleaf.graph.model import Document, Finding, Note, SheetText, Source
from benchleaf.ingest.book.manual import read_manual
from benchleaf.ingest.head.header import read_header
from benchleaf.ingest.kind import kind_of
from benchleaf.ingest.lists.lists import is_list, read_list
from benchleaf.ingest.lists.slips import is_slip
from benchleaf.ingest.phrases.phrasebook import PhraseBook
from benchleaf.ingest.phrases.statements import read_statements
from benchleaf.ingest.shapes import Header, LaidPage
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.pages import read_pages
from benchleaf.ingest.sheets.secondopinion import second_opinion


def read_document(data: bytes, name: str, book: PhraseBook | None = None) -> Document:
    """Read one file: its type by content, its pages, and what a manual, a note or a list says.

    Raises RefusedFile if the file is of no known type, damaged, encrypted, or has no text at all.
    """
    digest = sha256(data).hexdigest()
    if is_list(data):
        return _read_list(data, name, digest)
    pages = read_pages(data, name)
    laid = lay_out(pages)
    sheets = tuple(_sheet_text(p) for p in laid)
    kind = "slip" if is_slip(data) else kind_of(laid)
    findings = (*_picture_findings(laid, name), *second_opinion(data, pages, name))
    document = Document(digest, name, kind, sheets, findings=findings)
    if document.kind == "manual":
        reading = read_manual(laid, name)
        return replace(document, manual=reading.manual, findings=(*document.findings, *reading.findings))
    if document.kind in ("note", "other"):
        return _with_note(document, laid, book)
    return document


def _read_list(data: bytes, name: str, digest: str) -> Document:
    reading = read_list(data, name)
    sheet = SheetText(1, None, "\n".join(s.quote for s in reading.rows[:1000]))
    return Document(digest, name, "list", (sheet,), notes=(reading.note,), findings=reading.findings)


def _with_note(document: Document, laid: Sequence[LaidPage], book: PhraseBook | None) -> Document:
    """Any paper with a number and a date of its own is a note, whatever it calls itself."""
    header = read_header(laid, document.name)
    if document.kind == "other" and (header.number is None or header.date is None):
        return document
    document = replace(document, kind="note")
    if header.number is None:
        header = _numbered_by_file(header, document.name)
    said = read_statements(header, document.name, book)
    note = Note(
        number=header.number or "",
        date=header.date,
        subject=header.subject,
        issuer=header.issuer,
        source=header.source,
        revision=header.revision,
        applies=header.applies,
        file=document.name,
        unclear=header.unclear,
        statements=said.statements,
        cites=said.cited,
    )
    findings = (*document.findings, *header.findings, *said.findings)
    return replace(document, notes=(note,), findings=findings)


def _numbered_by_file(header: Header, name: str) -> Header:
    stem = PurePath(name).stem
    doubt = f"no number was found on the note; it goes by its file name, {stem}"
    return replace(header, number=stem, unclear=(*header.unclear, doubt))


def _sheet_text(page: LaidPage) -> SheetText:
    lines = (line.text for line in (*page.heads, *page.lines, *page.feet))
    return SheetText(page.sheet, page.folio, "\n".join(lines), page.by_ocr, page.picture)


def _picture_findings(laid: Sequence[LaidPage], name: str) -> tuple[Finding, ...]:
    pictures = [p.sheet for p in laid if p.picture]
    if not pictures:
        return ()
    message = f"{picture_words(len(pictures))}: needs OCR"
    return (Finding(message, Source(name, pictures[0])),)


def picture_words(count: int) -> str:
    """How many pages are pictures, in words."""
    return "1 page is a picture" if count == 1 else f"{count} pages are pictures"
