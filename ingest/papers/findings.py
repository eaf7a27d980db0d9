"""Office papers by their kind, and what is to be said of their reading: text left out, pictures unread."""

from benchleaf.graph.model import Finding
from benchleaf.ingest.papers.blocks import Reading
from benchleaf.ingest.papers.kinds import is_html, is_mail, is_word, is_workbook


def office_reading(data: bytes) -> Reading | None:
    """An e-mail, a web page, a Word file or a workbook as read; None for any other file.

    Its reader is loaded when first met. Raises RefusedFile where that reader does.
    """
    if is_word(data):
        from benchleaf.ingest.papers.word import word_reading as reading
    elif is_workbook(data):
        from benchleaf.ingest.papers.workbook import workbook_reading as reading
    elif is_mail(data):
        from benchleaf.ingest.papers.mail import mail_reading as reading
    elif is_html(data):
        from benchleaf.ingest.papers.web import html_reading as reading
    else:
        return None
    return reading(data)


def paper_findings(data: bytes, name: str) -> tuple[Finding, ...]:
    """The findings about an office paper; none for any other file. Raises what `office_reading` raises."""
    found = office_reading(data)
    return found.findings(name) if found else ()
