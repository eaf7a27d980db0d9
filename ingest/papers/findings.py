"""What is to be said of the reading of an office paper: text left out, pictures unread, numbers unsure."""

from benchleaf.graph.model import Finding
from benchleaf.ingest.papers.kinds import is_html, is_mail, is_word, is_workbook


def paper_findings(data: bytes, name: str) -> tuple[Finding, ...]:
    """The findings about an e-mail, a web page, a Word file or a workbook; none for any other file.

    Raises RefusedFile where the file's own reader does.
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
        return ()
    return reading(data).findings(name)
