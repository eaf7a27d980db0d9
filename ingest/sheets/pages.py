"""From a file's bytes to pages: the kind is told by the content, never by the name."""

from benchleaf.graph.errors import RefusedFile
from benchleaf.ingest.papers.kinds import is_html, is_mail, is_word, is_workbook, refusal
from benchleaf.ingest.scan.pictures import is_picture, picture_pages
from benchleaf.ingest.shapes import Page
from benchleaf.ingest.sheets.pdf import is_pdf, read_pdf
from benchleaf.ingest.sheets.text import is_text, read_text


def read_pages(data: bytes, name: str) -> tuple[Page, ...]:
    """The sheets of a file of any kind that is taken. The sheets of pictures bear no words yet.

    Raises RefusedFile, with the remedy, for anything else and for a file that cannot be read.
    """
    if not data.strip():
        raise RefusedFile(f"{name} is empty", "Fetch the file again and add it once more.")
    if is_pdf(data):
        return read_pdf(data)
    if is_picture(data):
        return picture_pages(data)
    if (problem := refusal(data)) is not None:
        raise problem
    pages = _office_pages(data)
    if pages is not None:
        return pages
    if is_text(data):
        return read_text(data)
    raise RefusedFile(
        f"{name} is of no kind that benchleaf reads",
        "Taken are PDF, pictures, plain text, web pages, e-mails, .docx, .xlsx and .csv. "
        "Save or print the document as a PDF and add that.",
    )


def _office_pages(data: bytes) -> tuple[Page, ...] | None:
    """The sheets of an office paper; None if it is none. Its readers are loaded when first met."""
    if is_word(data):
        from benchleaf.ingest.papers.word import read_word

        return read_word(data)
    if is_workbook(data):
        from benchleaf.ingest.papers.workbook import read_workbook

        return read_workbook(data)
    if is_mail(data):
        from benchleaf.ingest.papers.mail import read_mail

        return read_mail(data).pages
    if is_html(data):
        from benchleaf.ingest.papers.web import read_html

        return read_html(data)
    return None
