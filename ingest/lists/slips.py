"""What came in the box, from a packing slip: a CSV file, a worksheet, or a table in a PDF, a text, a Word
file, a web page, a photo or a scan, or an e-mail, in its text or in what it encloses."""

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from benchleaf.graph.errors import RefusedFile
from benchleaf.graph.keys import key
from benchleaf.graph.kits.packing import Count
from benchleaf.graph.kits.received import Received
from benchleaf.ingest.lists.slipcolumns import Columns, Row, columns_of, joined_heads
from benchleaf.ingest.lists.slipcounts import cell, counted
from benchleaf.ingest.lists.slippages import SlipPages, SlipTable, page_tables
from benchleaf.ingest.papers.kinds import is_html, is_mail, is_workbook

_MAILS = 3  # mails enclosed in one another that are looked into
_TYPE_IT = 'Type what came: --got "10 friction disc, 11 steel disc".'
_HEADS = 40
"""A heading row is looked for in so many rows."""


@dataclass(frozen=True, slots=True)
class Slip:
    """The lines of a packing slip, and the rows below its heading that could not be read, as printed.

    `others` are the kits whose lines were left out, where the slip has a column of kits. `by_ocr` tells that
    a machine read it from a picture: a quantity that it was not sure of is not counted, and says so.
    """

    lines: tuple[Received, ...]
    unread: tuple[str, ...]
    others: tuple[str, ...] = ()
    by_ocr: bool = False


def is_slip(data: bytes) -> bool:
    """True for a CSV that says what came: a column of quantities beside one of parts, and no line of prose.

    A table with old and new numbers is a supersession list, which is asked first."""
    if is_workbook(data):
        return any(is_slip(rows) for _, rows in _worksheets(data))
    if data[:5] == b"%PDF-" or b"\0" in data[:4096] or is_mail(data) or is_html(data):
        return False
    try:
        rows = [row for row in _csv_rows(data[:65536]) if any(cell.strip() for cell in row)]
    except RefusedFile:
        return False
    found = _headed(rows)
    if found is None or (found[1].part is None and found[1].kit is None):
        return False
    at, columns, first = found
    if at > 6 or any(len(" ".join(row).split()) > 10 for row in rows[:at]):
        return False  # running text above a table is a note's
    below = rows[first:]
    numbered = sum(counted(row, columns) is not None for row in below)
    return numbered > 0 and 2 * numbered >= len(below)


def read_slip(file: Path, kit: str) -> Slip:
    """What a packing slip says came of one kit. Raises RefusedFile if it has no table that says so, or if it
    is a picture and nothing that reads pictures is installed."""
    data = file.read_bytes()
    read = _slips(data, file.name, kit)
    if is_mail(data) and not any(slip.lines for slip in read):
        read = _enclosed(data, kit, _MAILS) or read
    lines = tuple(line for slip in read for line in slip.lines)
    others = tuple(dict.fromkeys(other for slip in read for other in slip.others))
    if not lines:
        raise RefusedFile(_nothing(file.name, kit, others), _TYPE_IT)
    unread = tuple(dict.fromkeys(row for slip in read for row in slip.unread))
    return Slip(lines, unread, others, any(slip.by_ocr for slip in read))


def _slips(data: bytes, name: str, kit: str) -> list[Slip]:
    """What the tables of a file of any kind say."""
    found = _tables(data, name)
    slips = [slip for table in found.tables if (slip := slip_of(table.rows, kit, table)) is not None]
    return [*slips, Slip((), found.told)] if found.told and slips else slips


def _tables(data: bytes, name: str) -> SlipPages:
    if is_workbook(data):
        return SlipPages(tuple(SlipTable(tuple(_csv_rows(rows))) for _, rows in _worksheets(data)))
    if name.lower().endswith((".csv", ".tsv")) and not data.startswith(b"PK"):
        return SlipPages((SlipTable(tuple(_csv_rows(data))),))
    return page_tables(data, name)


def _worksheets(data: bytes) -> tuple[tuple[str, bytes], ...]:
    from benchleaf.ingest.papers.workbook import workbook_lists

    return workbook_lists(data)


def _enclosed(data: bytes, kit: str, depth: int) -> list[Slip]:
    """What the first enclosure that is a slip for the kit says; what cannot be read is passed over."""
    from benchleaf.ingest.papers.mail import read_mail

    for one in read_mail(data).enclosures:
        try:
            found = _slips(one.data, one.name, kit)
        except RefusedFile:
            continue
        if depth and is_mail(one.data) and not any(slip.lines for slip in found):
            found = _enclosed(one.data, kit, depth - 1)
        if any(slip.lines for slip in found):
            return found
    return []


def _nothing(name: str, kit: str, others: Sequence[str]) -> str:
    if others:
        return f"{name} is for kit {', '.join(others)}, not for {kit}"
    return f"{name} has no table with a column of quantities and one of part numbers or descriptions"


def slip_of(rows: Sequence[Row], kit: str, table: SlipTable | None = None) -> Slip | None:
    """The lines of a table; None if no row of it reads like the heading of a packing slip. `table` tells what
    OCR was not sure of."""
    found = _headed(rows)
    if found is None:
        return None
    return _Below(found[1], kit, table or SlipTable(())).slip(rows, found[2])


def _headed(rows: Sequence[Row]) -> tuple[int, Columns, int] | None:
    """The place of the heading row, the columns that it names, and where the lines begin."""
    for at, row in enumerate(rows[:_HEADS]):
        two = joined_heads(row, rows[at + 1]) if at + 1 < len(rows) else None
        columns = columns_of(two, rows[at + 2 :]) if two is not None else None
        if columns is not None:
            return at, columns, at + 2
        columns = columns_of(row, rows[at + 1 :])
        if columns is not None:
            return at, columns, at + 1
    return None


class _Below:
    """The rows below the heading of one table."""

    def __init__(self, columns: Columns, kit: str, table: SlipTable) -> None:
        self.columns, self.kit, self.table = columns, kit, table

    def slip(self, rows: Sequence[Row], first: int) -> Slip:
        lines, unread, others = [], [], []
        for at, row in enumerate(rows[first:], first):
            of_kit, line = cell(row, self.columns.kit), self._line(row, at)
            if of_kit and key(of_kit) != key(self.kit):
                others.append(of_kit)
            elif line is not None:
                lines.append(line)
            elif any(c.strip() for c in row):
                unread.append(" | ".join(c.strip() for c in row if c.strip()))
        return Slip(tuple(lines), tuple(unread), tuple(dict.fromkeys(others)), self.table.by_ocr)

    def _line(self, row: Row, at: int) -> Received | None:
        number, words = cell(row, self.columns.part), cell(row, self.columns.description)
        read = counted(row, self.columns)
        if read is None or not (number or words):
            return None
        if read[0].pieces == 1 and number and key(number) == key(self.kit):
            return None  # the kit's own line above its contents
        count, name = self._trusted(row, at, read[0]), read[1]
        return Received(name or number, count.pieces, number or None, count.told)

    def _trusted(self, row: Row, at: int, count: Count) -> Count:
        """A count that OCR was not sure of is none; a number that it was not sure of is told."""
        c = self.columns
        doubted = [place for place in (c.quantity, c.size, c.unit) if (at, place) in self.table.unsure]
        if doubted:
            return Count(None, f"unsure: OCR read “{cell(row, doubted[0])}”; look at the slip or count")
        if c.part is not None and (at, c.part) in self.table.unsure:
            said = f"OCR was not sure of the number {cell(row, c.part)}: compare with the slip"
            return Count(count.pieces, "; ".join(t for t in (count.told, said) if t))
        return count


def _csv_rows(data: bytes) -> list[Row]:
    text = _decoded(data)
    try:
        dialect: type[csv.Dialect] = csv.Sniffer().sniff(text[:4000], delimiters=",;\t|")
    except csv.Error:
        dialect = csv.excel
    try:
        return list(csv.reader(io.StringIO(text, newline=""), dialect))
    except csv.Error as problem:
        raise RefusedFile(f"the file cannot be read as CSV ({problem})", "Save it as CSV again.") from problem


def _decoded(data: bytes) -> str:
    for encoding in ("utf-8-sig", "cp1252"):
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    return data.decode("latin-1")
