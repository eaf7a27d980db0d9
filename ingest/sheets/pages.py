"""From a file's bytes to pages: the kind is told by the content, never by the name."""

from benchleaf.graph.errors import RefusedFile
from benchleaf.ingest.shapes import Page
from benchleaf.ingest.sheets.pdf import is_pdf, read_pdf
from benchleaf.ingest.sheets.text import is_text, read_text


def read_pages(data: bytes, name: str) -> tuple[Page, ...]:
    """The sheets of a PDF or a plain text file.

    Raises RefusedFile, with the remedy, for anything else and for a PDF that cannot be read.
    """
    if not data.strip():
        raise RefusedFile(f"{name} is empty", "Fetch the file again and add it once more.")
    if is_pdf(data):
        return read_pdf(data)
    if is_text(data):
        return read_text(data)
    raise RefusedFile(
        f"{name} is neither a PDF nor plain text",
        "Types taken are PDF and plain text (.txt, .csv). Save or print the document as a PDF and add that.",
    )
