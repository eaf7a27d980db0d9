"""A mail's header as lines above its text: those that the text does not say itself."""

import datetime as dt
import re
from dataclasses import replace

from benchleaf.graph.model import Box
from benchleaf.ingest.papers.blocks import Reading
from benchleaf.ingest.shapes import Page, Table
from benchleaf.ingest.sheets.text import MARGIN, read_text

_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
    "November", "December",
)  # fmt: skip

_PARTS = re.compile(r"\s[-–—|]\s|[:;,|]\s|\s?[()\[\]]\s?")


def headed(
    body: Reading, subject: str | None, sender: str | None, date: dt.date | None, alone: bool = True
) -> Reading:
    """The sheets with the header's lines on the first one. A number in the subject is the mail's own if it
    stands `alone`, with no enclosures: else it is theirs.

    A bulletin in the text speaks for itself: its own date of issue is not the day of the mail, and its own
    subject is no `Please see below`.
    """
    own_number, own_date, own_subject = _says(body)
    title = _title(subject) if subject and not own_number else None
    lines = [title, ""] if title and alone else []
    if subject and not (own_number and own_subject) and subject not in lines:
        lines.append(f"{'Mail about' if title and not alone else 'Subject'}: {subject}")
    if date is not None and not own_date:
        lines.append(f"Date: {date.day} {_MONTHS[date.month - 1]} {date.year}")
    lines += [f"From: {sender}"] if sender else []
    if not lines and not body.pages:
        lines = ["E-mail without text"]
    if not lines:
        return body
    above = read_text("\n".join(lines).encode())[0]
    if not body.pages:
        return replace(body, pages=(above,))
    return replace(body, pages=(_joined(above, body.pages[0]), *body.pages[1:]))


def _title(subject: str) -> str | None:
    """The part of a subject by which a note names itself: `Service letter 12/2004`."""
    from benchleaf.ingest.head.notetitles import read_title

    parts = [p.strip() for p in _PARTS.split(subject) if p and p.strip()]
    return next((p for p in parts if read_title(p) is not None), None)


def _says(body: Reading) -> tuple[bool, bool, bool]:
    """Whether the text itself says a number, a date of issue, and a subject."""
    from benchleaf.ingest.head.header import read_header
    from benchleaf.ingest.sheets.layout import lay_out

    if not body.pages:
        return False, False, False
    header = read_header(lay_out(body.pages), "")
    return header.number is not None, header.date is not None, header.subject is not None


def _joined(above: Page, page: Page) -> Page:
    """One sheet with the words of another above its own."""
    down = max((w.box.bottom for w in above.words), default=0.0)

    def moved(box: Box) -> Box:
        return box._replace(top=box.top + down, bottom=box.bottom + down)

    def table(one: Table) -> Table:
        rows = tuple(tuple(replace(c, box=moved(c.box)) for c in row) for row in one.rows)
        return replace(one, box=moved(one.box), rows=rows)

    return replace(
        page,
        width=max(page.width, above.width),
        height=page.height + down + MARGIN,
        words=(*above.words, *(w._replace(box=moved(w.box)) for w in page.words)),
        frames=tuple(map(moved, page.frames)),
        tables=tuple(map(table, page.tables)),
    )
