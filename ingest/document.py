"""From the bytes of one file to a Document: a pure function, so that it can run in any worker."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from hashlib import sha256
from pathlib import PurePath

from benchleaf.graph.model import Document, Finding, Note, ScanSheet, SheetText, Source
from benchleaf.ingest.book.manual import Steps, read_manual
from benchleaf.ingest.bundle import bound_in, split_notes
from benchleaf.ingest.head.header import read_header
from benchleaf.ingest.head.opening import Known, completed
from benchleaf.ingest.kind import read_kind
from benchleaf.ingest.lists.lists import is_list, read_list
from benchleaf.ingest.lists.slips import is_slip
from benchleaf.ingest.lookalikes import doubted, strange_findings
from benchleaf.ingest.ocrtrust import counted_folios, header_doubt, marked, unsure_steps, weighed
from benchleaf.ingest.packfindings import pack_findings
from benchleaf.ingest.papers.findings import paper_findings
from benchleaf.ingest.papers.kinds import is_mail, is_workbook
from benchleaf.ingest.phrases.phrasebook import PhraseBook
from benchleaf.ingest.phrases.statements import read_statements
from benchleaf.ingest.phrases.whole import unbroken
from benchleaf.ingest.quantityfindings import quantity_findings
from benchleaf.ingest.scan.engines import EngineChoice
from benchleaf.ingest.scans import with_scans
from benchleaf.ingest.shapes import Header, LaidPage
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.pages import read_sheets
from benchleaf.ingest.sheets.secondopinion import second_opinion


@dataclass(frozen=True, slots=True)
class _Tools:
    """What notes are read with: the phrase book, and what the shop's manuals name."""

    book: PhraseBook | None
    known: Known


def read_document(
    data: bytes,
    name: str,
    book: PhraseBook | None = None,
    scans: Sequence[ScanSheet] = (),
    engine: EngineChoice = "auto",
    known: Known | None = None,
) -> Document:
    """Read one file: its type by content, its pages, and what a manual, a note or a list says.

    `scans` are sheets that OCR has read before; those are not read again. `known` are the models and numbers
    of the manuals that the shop holds: heads name units in words of their own. Raises RefusedFile if the file
    is of no known type, damaged, encrypted, has no text, or is a picture and nothing that reads pictures
    is installed.
    """
    tools = _Tools(book, known or Known())
    digest = sha256(data).hexdigest()
    if lists := _lists(data, name):
        document = _read_lists(lists, name, digest)
        return replace(document, findings=(*paper_findings(data, name), *document.findings))
    sheets_read, left_out = read_sheets(data, name)
    pages, read, told = with_scans(data, sheets_read, name, scans, engine)
    laid = lay_out(pages)
    sheets = tuple(_sheet_text(p) for p in laid)
    judged = None if is_slip(data) else read_kind(laid)
    kind = "slip" if judged is None else judged.kind
    findings = (
        *told,
        *left_out,
        *_picture_findings(laid, name),
        *strange_findings(sheets, name),
        *second_opinion(data, pages, name),
    )
    document = Document(digest, name, kind, sheets, findings=findings, scans=read)
    if judged is not None and judged.kind == "manual":
        return _with_manual(document, laid, tools, judged.steps)
    if document.kind in ("note", "other"):
        return _with_notes(document, laid, tools, is_mail(data))
    return document


def _lists(data: bytes, name: str) -> tuple[tuple[str, bytes], ...]:
    """The lists of superseded numbers in a file: a CSV file is one, a workbook may hold several."""
    if is_list(data):
        return ((name, data),)
    if not is_workbook(data):
        return ()
    from benchleaf.ingest.papers.workbook import workbook_lists

    return tuple((title, rows) for title, rows in workbook_lists(data) if is_list(rows))


def _read_lists(lists: Sequence[tuple[str, bytes]], name: str, digest: str) -> Document:
    readings = [read_list(data, name) for _, data in lists]
    sheets = tuple(
        SheetText(number, None, "\n".join(s.quote for s in reading.rows[:1000]))
        for number, reading in enumerate(readings, 1)
    )
    first = readings[0].note
    if len(readings) > 1:  # one file, one list: its rows are told by their places
        rows = tuple(s for reading in readings for s in reading.note.statements)
        first = replace(first, statements=rows)
    findings = tuple(f for reading in readings for f in reading.findings)
    return Document(digest, name, "list", sheets, notes=(first,), findings=findings)


def _with_manual(document: Document, laid: Sequence[LaidPage], tools: _Tools, steps: Steps) -> Document:
    """The manual, and the notes that somebody bound in behind it; `steps` are those of all sheets."""
    own, bound = bound_in(laid)
    reading = read_manual(own, document.name, tools.book, steps if own is laid else None)
    manual = marked(reading.manual, own)
    found = [r for part in bound if (r := _note(document, part, tools, True)) is not None]
    told = (
        *reading.findings,
        *counted_folios(own, document.name),
        *unsure_steps(manual),
        *(f for _, said in found for f in said),
    )
    return _checked(replace(document, manual=manual), [n for n, _ in found], told)


def _checked(document: Document, notes: Sequence[Note], told: Iterable[Finding]) -> Document:
    """The document with its notes and findings, those among them that its words give against themselves: two
    units that disagree, pack steps that contradict each other."""
    found = (
        *document.findings,
        *told,
        *quantity_findings(document.manual, notes, document.name),
        *pack_findings(document.manual, notes, document.name),
    )
    return replace(document, notes=tuple(notes), findings=found)


def _with_notes(document: Document, laid: Sequence[LaidPage], tools: _Tools, mail: bool) -> Document:
    """Every note in the file; one that has neither number nor file to itself goes by the file's name."""
    parts = split_notes(laid)
    found = [r for part in parts if (r := _note(document, part, tools, mail or len(parts) > 1)) is not None]
    if not found:
        return replace(document, kind="other")
    told = (f for _, said in found for f in said)
    return _checked(replace(document, kind="note"), [note for note, _ in found], told)


def _note(
    document: Document, laid: Sequence[LaidPage], tools: _Tools, covering: bool
) -> tuple[Note, tuple[Finding, ...]] | None:
    """One note with its findings. Any paper with a number and a date of its own is a note, whatever it calls
    itself; covering words (a mail, a sheet before bulletins) without a number are one only if they state
    something."""
    header = completed(read_header(laid, document.name), laid, document.name, tools.known)
    if document.kind == "other" and (header.number is None or header.date is None):
        return None
    numbered = header.number is not None
    header = header if numbered else _numbered_by_file(header, document.name)
    if (doubt := header_doubt(header, laid)) is not None:
        header = replace(header, unclear=(*header.unclear, doubt))
    said = read_statements(header, document.name, tools.book)
    if covering and not numbered and not said.statements:
        return None
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
        statements=tuple(doubted(unbroken(s)) for s in said.statements),
        cites=said.cited,
    )
    return weighed(note, laid), (*header.findings, *said.findings)


def _numbered_by_file(header: Header, name: str) -> Header:
    stem = PurePath(name).stem
    doubt = f"no number was found on the note; it goes by its file name, {stem}"
    return replace(header, number=stem, unclear=(*header.unclear, doubt))


def _sheet_text(page: LaidPage) -> SheetText:
    lines = (line.text for line in (*page.heads, *page.lines, *page.feet))
    return SheetText(page.sheet, page.folio, "\n".join(lines), page.by_ocr, page.picture)


def _picture_findings(laid: Sequence[LaidPage], name: str) -> Iterator[Finding]:
    pictures = [p.sheet for p in laid if p.picture]
    if pictures:
        yield Finding(
            f"{picture_words(len(pictures))} in which no words were read", Source(name, pictures[0])
        )


def picture_words(count: int) -> str:
    """How many pages are pictures, in words."""
    return "1 page is a picture" if count == 1 else f"{count} pages are pictures"
