"""From a file's bytes to pages: the kind is told by the content, never by the name."""

from benchleaf.graph.errors import RefusedFile
from benchleaf.graph.model import Finding
from benchleaf.ingest.papers.findings import office_reading
from benchleaf.ingest.papers.kinds import refusal
from benchleaf.ingest.scan.pictures import is_picture, picture_pages
from benchleaf.ingest.shapes import Page
from benchleaf.ingest.sheets.pdf import is_pdf, read_pdf
from benchleaf.ingest.sheets.text import is_text, read_text


def read_pages(data: bytes, name: str) -> tuple[Page, ...]:
    """The sheets of a file of any kind that is taken. The sheets of pictures bear no words yet.

    Raises RefusedFile, with the remedy, for anything else and for a file that cannot be read.
    """
    return read_sheets(data, name)[0]


def read_sheets(data: bytes, name: str) -> tuple[tuple[Page, ...], tuple[Finding, ...]]:
    """The sheets, and what an office paper's reader has to say of them. Raises what `read_pages` raises."""
    if not data.strip():
        raise RefusedFile(f"{name} is empty", "Fetch the file again and add it once more.")
    if is_pdf(data):
        return read_pdf(data), ()
    if is_picture(data):
        return picture_pages(data), ()
    if (problem := refusal(data)) is not None:
        raise problem
    if (paper := office_reading(data)) is not None:
        return paper.pages, paper.findings(name)
    if _beheaded(data):
        raise RefusedFile("the beginning of the PDF is missing", "Fetch or scan the document again.")
    if is_text(data):
        return read_text(data), ()
    raise RefusedFile(
        f"{name} is of no kind that benchleaf reads",
        "Taken are PDF, pictures, plain text, web pages, e-mails, .docx, .xlsx and .csv. "
        "Save or print the document as a PDF and add that.",
    )


def _beheaded(data: bytes) -> bool:
    """True for the remainder of a PDF, which may be plain letters throughout and is no text all the same."""
    return b"endobj" in data and (b"startxref" in data or b"endstream" in data)
