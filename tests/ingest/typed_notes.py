"""Notes made of paragraphs and tables, for the tests of reading statements. Texts are invented."""

import datetime as dt
from collections.abc import Iterable

from benchleaf.graph.model import Applies, Box, Statement
from benchleaf.ingest.phrases.statements import StatementReading, read_statements
from benchleaf.ingest.shapes import Cell, Header, Paragraph, Table

BOX = Box(50, 100, 500, 112)


def paragraph(text: str, **more: object) -> Paragraph:
    return Paragraph(text, BOX, 1, "3", **more)  # type: ignore[arg-type]  # only flags and confidences are passed


def table(*rows: str) -> Table:
    cells = tuple(
        tuple(
            Cell(text.strip(), Box(50 + 90 * i, 200 + 12 * r, 130 + 90 * i, 210 + 12 * r))
            for i, text in enumerate(row.split("|"))
        )
        for r, row in enumerate(rows)
    )
    return Table(1, Box(50, 200, 400, 300), cells, True)


def read(
    *body: str | Paragraph | Table,
    applies: Applies | None = None,
    subject: str | None = None,
    supersedes: tuple[str, ...] = (),
) -> StatementReading:
    blocks = tuple(paragraph(b) if isinstance(b, str) else b for b in body)
    header = Header(
        "TI 99-3",
        dt.date(1999, 3, 12),
        subject,
        None,
        "maker",
        None,
        applies or Applies(),
        (),
        blocks,
        supersedes,
    )
    return read_statements(header, "ti.pdf")


def only(found: Iterable[Statement], kind: type[Statement]) -> list[Statement]:
    return [s for s in found if isinstance(s, kind)]
