"""Office papers made in the tests by the libraries that read them, and what is read of them. All invented."""

import io
import zipfile
from collections.abc import Callable, Sequence
from email.message import EmailMessage
from typing import Any

from benchleaf.graph.model import Contents, Override, Statement, Supersession
from benchleaf.ingest.head.header import read_header
from benchleaf.ingest.phrases.statements import read_statements
from benchleaf.ingest.shapes import Header, Page, Table
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.paragraphs import flow


def texts(pages: Sequence[Page]) -> list[Any]:
    """Paragraphs as text and tables as rows of texts, in reading order."""
    found: list[Any] = []
    for page in lay_out(pages):
        for one in flow(page):
            found.append(rows(one) if isinstance(one, Table) else one.text)
    return found


def rows(table: Table) -> list[list[str]]:
    return [[cell.text for cell in row] for row in table.rows]


def header(pages: Sequence[Page]) -> Header:
    return read_header(lay_out(pages), "paper")


def told(pages: Sequence[Page]) -> list[tuple[object, ...]]:
    """What the statements of a bulletin say, without where they stand."""
    return [said(s) for s in read_statements(header(pages), "paper").statements]


def said(one: Statement) -> tuple[object, ...]:
    base = (type(one).__name__, one.standing)
    if isinstance(one, Override):
        return (*base, one.action, one.target, one.text, one.was, one.now)
    if isinstance(one, Supersession):
        return (*base, one.old, one.new, one.relation)
    if isinstance(one, Contents):
        return (*base, one.kit, one.lines)
    return base


def word(build: Callable[[Any], None]) -> bytes:
    """A Word file that a function fills."""
    import docx

    document = docx.Document()
    build(document)
    out = io.BytesIO()
    document.save(out)
    return out.getvalue()


def xml(text: str) -> Any:
    """A piece of a Word file's XML."""
    from docx.oxml import parse_xml
    from docx.oxml.ns import nsdecls

    head, sep, tail = text.partition(">")
    cut = len(head) - 1 if head.endswith("/") else len(head)
    return parse_xml(f"{head[:cut]} {nsdecls('w')}{head[cut:]}{sep}{tail}")


def workbook(build: Callable[[Any], None]) -> bytes:
    """A workbook that a function fills."""
    import openpyxl

    book = openpyxl.Workbook()
    build(book)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def zipped(members: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, data in members.items():
            packed.writestr(name, data)
    return out.getvalue()


def replaced(data: bytes, member: str, change: Callable[[bytes], bytes]) -> bytes:
    """An office file with one member changed."""
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        return zipped(
            {n: change(packed.read(n)) if n == member else packed.read(n) for n in packed.namelist()}
        )


def mail(subject: str = "Papers", date: str = "Mon, 03 May 2004 10:00:00 +0200") -> EmailMessage:
    """An e-mail with a header and no text."""
    message = EmailMessage()
    message["Subject"], message["From"], message["Date"] = subject, "Service <service@example.org>", date
    message["To"], message["Message-ID"] = "shop@example.org", "<1@example.org>"
    return message
