"""What came in the box, from a packing slip: a CSV file, a worksheet, or a table in a PDF, a text, a Word
file, a web page or an e-mail, in its text or in what it encloses."""

import csv
import io
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from benchleaf.graph.errors import RefusedFile
from benchleaf.graph.keys import key
from benchleaf.graph.kits.received import Received
from benchleaf.ingest.lists.slipcolumns import Columns, Row, columns_of, joined_heads
from benchleaf.ingest.papers.kinds import is_html, is_mail, is_workbook

_PIECES = r"(?:pcs?\.?|pces?\.?|pieces?|ea\.?|each|off|nos?\.?|stk?\.?|stück|pz\.?|pzas?\.?|pi[eè]ces?)"
_COUNT = re.compile(rf"([0-9]{{1,5}})(?:[.,]0{{1,2}})?\s{{0,2}}{_PIECES}?", re.I)
_TIMES = re.compile(
    r"([0-9]{1,4})\s{0,2}(?:(?:packs?|packets?|pkts?\.?|boxes|box|bags?|cartons?)\s{0,2}(?:[x×*]|of|à|@)|[x×*])"
    rf"\s{{0,2}}([0-9]{{1,4}})\s{{0,2}}{_PIECES}?",
    re.I,
)
_PIECE = re.compile(r"(?:pcs?|pce|pieces?|ea|each|no|nos|off|st|stk|stück|pz|pza|unit[ée]?s?|u|1)\.?", re.I)
_MAILS = 3  # mails enclosed in one another that are looked into
_TYPE_IT = 'Type what came: --got "10 friction disc, 11 steel disc".'
_HEADS = 40
"""A heading row is looked for in so many rows."""


@dataclass(frozen=True, slots=True)
class Slip:
    """The lines of a packing slip, and the rows below its heading that could not be read, as printed.

    `others` are the kits whose lines were left out, where the slip has a column of kits.
    """

    lines: tuple[Received, ...]
    unread: tuple[str, ...]
    others: tuple[str, ...] = ()


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
    counted = sum(_count(row, columns) is not None for row in below)
    return counted > 0 and 2 * counted >= len(below)


def read_slip(file: Path, kit: str) -> Slip:
    """What a packing slip says came of one kit. Raises RefusedFile if it has no table that says so."""
    data = file.read_bytes()
    read = _slips(data, file.name, kit)
    if is_mail(data) and not any(slip.lines for slip in read):
        read = _enclosed(data, kit, _MAILS) or read
    lines = tuple(line for slip in read for line in slip.lines)
    others = tuple(dict.fromkeys(other for slip in read for other in slip.others))
    if not lines:
        raise RefusedFile(_nothing(file.name, kit, others), _TYPE_IT)
    return Slip(lines, tuple(row for slip in read for row in slip.unread), others)


def _slips(data: bytes, name: str, kit: str) -> list[Slip]:
    """What the tables of a file of any kind say."""
    return [slip for rows in _tables(data, name) if (slip := slip_of(rows, kit)) is not None]


def _tables(data: bytes, name: str) -> list[list[Row]]:
    if is_workbook(data):
        return [_csv_rows(rows) for _, rows in _worksheets(data)]
    if name.lower().endswith((".csv", ".tsv")) and not data.startswith(b"PK"):
        return [_csv_rows(data)]
    return list(_page_tables(data, name))


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


def slip_of(rows: Sequence[Row], kit: str) -> Slip | None:
    """The lines of a table; None if no row of it reads like the heading of a packing slip."""
    found = _headed(rows)
    return _below(rows[found[2] :], found[1], kit) if found is not None else None


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


def _below(rows: Iterable[Row], columns: Columns, kit: str) -> Slip:
    lines, unread, others = [], [], []
    for row in rows:
        number, words = _cell(row, columns.part), _cell(row, columns.description)
        count, of_kit = _count(row, columns), _cell(row, columns.kit)
        if of_kit and key(of_kit) != key(kit):
            others.append(of_kit)
        elif count is not None and (number or words):
            lines.append(Received(words or number, count, number or None))
        elif any(cell.strip() for cell in row):
            unread.append(" | ".join(cell.strip() for cell in row if cell.strip()))
    return Slip(tuple(lines), tuple(unread), tuple(dict.fromkeys(others)))


def _count(row: Row, columns: Columns) -> int | None:
    """How many pieces a line counts; None where that is not said beyond doubt.

    `2 x 10` is twenty pieces. A pack's size beside a count leaves open what is counted, unless packs are.
    """
    text = _cell(row, columns.quantity)
    if (times := _TIMES.fullmatch(text)) is not None:
        return int(times[1]) * int(times[2])
    counted = _COUNT.fullmatch(text)
    unit, size = _cell(row, columns.unit), _COUNT.fullmatch(_cell(row, columns.size))
    if counted is None or (unit and not _PIECE.fullmatch(unit)):
        return None
    if columns.packs:
        return int(counted[1]) * int(size[1]) if size is not None else None
    if _cell(row, columns.size) and (size is None or int(size[1]) != 1):
        return None
    return int(counted[1])


def _cell(row: Row, place: int | None) -> str:
    return " ".join(row[place].split()) if place is not None and place < len(row) else ""


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


def _page_tables(data: bytes, name: str) -> Iterable[list[Row]]:
    from benchleaf.ingest.sheets.layout import lay_out
    from benchleaf.ingest.sheets.pages import read_pages

    for page in lay_out(read_pages(data, name)):
        for table in page.tables:
            yield [[cell.text for cell in row] for row in table.rows]
