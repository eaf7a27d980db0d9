"""What came in the box, from a packing slip: a CSV file, or a PDF or text file with a table."""

import csv
import io
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from benchleaf.graph.errors import RefusedFile
from benchleaf.graph.keys import key
from benchleaf.graph.kits.received import Received

# What suppliers head these columns with (from memory, common practice).
_PART = re.compile(
    r"\b(?:part|item|stock|article|material|order|cat(?:alogue)?)\.?\s{0,2}(?:no|number|nr|num|code|#)|\bp/?n\b"
    r"|^part$|^sku$|^article$",
    re.I,
)
_DESCRIPTION = re.compile(r"\b(?:description|designation|name|denomination|title|text)\b", re.I)
_CAME = re.compile(r"\b(?:shipped|delivered|supplied|received|packed|despatched|dispatched)\b", re.I)
_COUNTED = re.compile(r"\b(?:qty|quantity|quant|pcs|pieces|off|count)\b", re.I)
_NOT_COME = re.compile(r"\b(?:ordered|back[ -]?order(?:ed)?|outstanding|to follow|due|price|unit)\b", re.I)
_COUNT = re.compile(r"([0-9]{1,5})(?:[.,]0{1,2})?\s{0,2}(?:pcs?\.?|pieces?|ea\.?|each|off|nos?\.?)?", re.I)
_KIT = re.compile(r"^(?:kit|set)(?:\s{0,2}(?:no|number|nr|num)\.?)?$", re.I)
_TYPE_IT = 'Type what came: --got "10 friction disc, 11 steel disc".'
_HEADS = 40
"""A heading row is looked for in so many rows."""

Row = Sequence[str]


@dataclass(frozen=True, slots=True)
class Slip:
    """The lines of a packing slip, and the rows below its heading that could not be read, as printed.

    `others` are the kits whose lines were left out, where the slip has a column of kits.
    """

    lines: tuple[Received, ...]
    unread: tuple[str, ...]
    others: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Columns:
    """The places of a table's columns; None for one that it has not."""

    quantity: int
    part: int | None
    description: int | None
    kit: int | None


def is_slip(data: bytes) -> bool:
    """True for a CSV that says what came: a column of quantities beside one of parts, and no line of prose.

    A table with old and new numbers is a supersession list, which is asked first."""
    if data[:5] == b"%PDF-" or b"\0" in data[:4096]:
        return False
    try:
        rows = [row for row in _csv_rows(data[:65536]) if any(cell.strip() for cell in row)]
    except RefusedFile:
        return False
    at = next((i for i, row in enumerate(rows[:_HEADS]) if _columns(row) is not None), None)
    columns = _columns(rows[at]) if at is not None else None
    if at is None or columns is None or (columns.part is None and columns.kit is None):
        return False
    if at > 6 or any(len(" ".join(row).split()) > 10 for row in rows[:at]):
        return False  # running text above a table is a note's
    below = rows[at + 1 :]
    counted = sum(_COUNT.fullmatch(_cell(row, columns.quantity)) is not None for row in below)
    return counted > 0 and 2 * counted >= len(below)


def read_slip(file: Path, kit: str) -> Slip:
    """What a packing slip says came of one kit. Raises RefusedFile if it has no table that says so."""
    data = file.read_bytes()
    comma = file.suffix.lower() in (".csv", ".tsv")
    tables = [_csv_rows(data)] if comma else list(_page_tables(data, file.name))
    read = [slip for rows in tables if (slip := slip_of(rows, kit)) is not None]
    lines = tuple(line for slip in read for line in slip.lines)
    others = tuple(dict.fromkeys(other for slip in read for other in slip.others))
    if not lines:
        raise RefusedFile(_nothing(file.name, kit, others), _TYPE_IT)
    return Slip(lines, tuple(row for slip in read for row in slip.unread), others)


def _nothing(name: str, kit: str, others: Sequence[str]) -> str:
    if others:
        return f"{name} is for kit {', '.join(others)}, not for {kit}"
    return f"{name} has no table with a column of quantities and one of part numbers or descriptions"


def slip_of(rows: Sequence[Row], kit: str) -> Slip | None:
    """The lines of a table; None if no row of it reads like the heading of a packing slip."""
    for at, row in enumerate(rows[:_HEADS]):
        columns = _columns(row)
        if columns is not None:
            return _below(rows[at + 1 :], columns, kit)
    return None


def _columns(row: Row) -> _Columns | None:
    """The columns that a heading row names; None if this is no heading row."""
    heads = [" ".join(cell.split())[:60] for cell in row]
    kit = _first(heads, _KIT, ())
    description = _first(heads, _DESCRIPTION, (kit,))
    free = [i for i in range(len(heads)) if i not in (kit, description)]
    counted = [i for i in free if not _NOT_COME.search(heads[i])]
    quantity = next((i for i in counted if _CAME.search(heads[i])), None)
    if quantity is None:
        quantity = next((i for i in counted if _COUNTED.search(heads[i])), None)
    part = _first(heads, _PART, (quantity, description, kit))
    if quantity is None or (part is None and description is None):
        return None
    return _Columns(quantity, part, description, kit)


def _first(heads: Sequence[str], pattern: "re.Pattern[str]", taken: Iterable[int | None]) -> int | None:
    used = set(taken)
    return next((i for i, head in enumerate(heads) if i not in used and pattern.search(head)), None)


def _below(rows: Iterable[Row], columns: _Columns, kit: str) -> Slip:
    lines, unread, others = [], [], []
    for row in rows:
        number, words = _cell(row, columns.part), _cell(row, columns.description)
        count, of_kit = _COUNT.fullmatch(_cell(row, columns.quantity)), _cell(row, columns.kit)
        if of_kit and key(of_kit) != key(kit):
            others.append(of_kit)
        elif count is not None and (number or words):
            lines.append(Received(words or number, int(count[1]), number or None))
        elif any(cell.strip() for cell in row):
            unread.append(" | ".join(cell.strip() for cell in row if cell.strip()))
    return Slip(tuple(lines), tuple(unread), tuple(dict.fromkeys(others)))


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
