"""The worksheets of a workbook as rows of text: what is hidden or struck out is left out and told."""

import datetime as dt
import io
import warnings
from bisect import bisect
from collections.abc import Iterator
from contextlib import redirect_stdout
from itertools import groupby
from typing import Any, NamedTuple

from benchleaf.graph.errors import RefusedFile
from benchleaf.ingest.papers.blocks import Said, quoted
from benchleaf.ingest.papers.cellforms import shown
from benchleaf.ingest.papers.extras import office
from benchleaf.ingest.papers.zips import cell_count, guard

MOST_CELLS = 2_000_000
_AGAIN = "Open it in a spreadsheet and save it as .xlsx or CSV."


class Shown(NamedTuple):
    """What a cell shows, whether in bold, and the day if it holds one."""

    text: str
    bold: bool
    day: dt.date | None = None


class Sheet(NamedTuple):
    """One worksheet: its title and its rows, each with its number and its cells from the first column on."""

    title: str
    rows: tuple[tuple[int, tuple[Shown, ...]], ...]


class Held(NamedTuple):
    """The worksheets that show, and what is to be said."""

    sheets: tuple[Sheet, ...]
    said: tuple[Said, ...]


class _Style(NamedTuple):
    form: str
    struck: bool
    bold: bool


class _Told:
    """What is left out of a worksheet."""

    def __init__(self, sheet: int) -> None:
        self.sheet = sheet
        self.struck: list[str] = []
        self.hidden: list[str] = []

    def said(self) -> Iterator[Said]:
        if self.struck:
            yield Said(
                "struck-out cells are left out, as not in force", self.sheet, quoted(" | ".join(self.struck))
            )
        if self.hidden:
            yield Said(
                f"hidden rows or columns are left out ({len(self.hidden)} cells): show them, save again",
                self.sheet,
                quoted(" | ".join(self.hidden)),
            )


def held(data: bytes) -> Held:
    """The worksheets of a workbook. Raises RefusedFile if it is damaged, locked or too large, or if openpyxl
    is missing."""
    with office("a workbook"):
        import openpyxl  # noqa: F401 - asked for before anything is unpacked
    guard(data)
    if (count := cell_count(data)) > MOST_CELLS:
        raise RefusedFile(f"the workbook has {count:,} cells", "Save the part you need as CSV.")
    try:
        with warnings.catch_warnings(), redirect_stdout(io.StringIO()):  # openpyxl prints what puzzles it
            warnings.simplefilter("ignore")
            return _read(data)
    except RefusedFile:
        raise
    except Exception as bad:  # openpyxl raises whatever it stumbles on in a damaged file
        raise RefusedFile(f"the workbook is damaged ({type(bad).__name__})", _AGAIN) from bad


def _read(data: bytes) -> Held:
    import openpyxl

    book = openpyxl.load_workbook(io.BytesIO(data), data_only=True, rich_text=True)
    sheets: list[Sheet] = []
    said: list[Said] = []
    for one in book.worksheets:
        if one.sheet_state != "visible":
            said.append(Said(f"the hidden worksheet “{one.title}” is left out: show it to have it read"))
            continue
        told = _Told(len(sheets) + 1)
        sheets.append(Sheet(one.title, tuple(_rows(one, told))))
        said.extend(told.said())
    said.extend(_around(data))
    return Held(tuple(sheets), tuple(said))


def _rows(one: Any, told: _Told) -> Iterator[tuple[int, tuple[Shown, ...]]]:
    """The rows that hold something. Only cells that are there are asked for: a stray cell in the last of a
    million rows would else make millions of blank ones."""
    gone_columns = _hidden_columns(one)
    gone_rows = sorted(at for at, row in one.row_dimensions.items() if row.hidden)
    gone = frozenset(gone_rows)
    styles: dict[int, _Style] = {}
    for at, cells in groupby(sorted(one._cells), key=lambda place: place[0]):
        row: dict[int, Shown] = {}
        for place in cells:
            cell = one._cells[place]
            if cell.value is None:
                continue
            text = _shown(cell, styles, told)
            if at in gone or place[1] in gone_columns:
                told.hidden.extend([text.text] if text.text else [])
            elif text.text:
                row[place[1]] = text
        if row:
            above = bisect(gone_rows, at)  # a row that does not show parts no table
            yield at - above, tuple(row.get(i, Shown("", False)) for i in range(1, max(row) + 1))


def _hidden_columns(one: Any) -> set[int]:
    return {
        at
        for column in one.column_dimensions.values()
        if column.hidden
        for at in range(column.min or 0, (column.max or -1) + 1)
    }


def _shown(cell: Any, styles: dict[int, _Style], told: _Told) -> Shown:
    style = styles.get(cell.style_id)
    if style is None:
        style = _Style(cell.number_format or "General", bool(cell.font.strike), bool(cell.font.b))
        styles[cell.style_id] = style
    value = cell.value
    text = _rich(value, told) if isinstance(value, list) else shown(value, style.form)
    if style.struck and text:
        told.struck.append(text)
        text = ""
    day = value.date() if isinstance(value, dt.datetime) else value if isinstance(value, dt.date) else None
    return Shown(text, style.bold, day if text else None)


def _rich(value: list[Any], told: _Told) -> str:
    """The text of a cell whose words differ in dress."""
    kept = []
    for part in value:
        struck = not isinstance(part, str) and bool(getattr(part.font, "strike", False))
        if struck:
            told.struck.append(str(part))
        kept.append(" " if struck else str(part))
    return shown("".join(kept), "@")


def _around(data: bytes) -> Iterator[Said]:
    """What the file holds beside its cells' values."""
    import zipfile

    import openpyxl

    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        names = packed.namelist()
        formulas = any(b"<f>" in packed.read(n) or b"<f " in packed.read(n) for n in names if _is_sheet(n))
    pictures = sum(n.startswith("xl/media/") for n in names)
    if pictures:
        some = "1 picture is" if pictures == 1 else f"{pictures} pictures are"
        yield Said(f"{some} in the workbook: words in pictures are not read; add them as files of their own")
    if formulas:
        known = openpyxl.load_workbook(io.BytesIO(data), data_only=True)
        asked = openpyxl.load_workbook(io.BytesIO(data))
        yield from _unkept(known, asked)


def _unkept(known: Any, asked: Any) -> Iterator[Said]:
    """Formulas whose value was not kept in the file."""
    lost = [
        f"{one.title}!{cell.coordinate}"
        for one in asked.worksheets
        for place, cell in one._cells.items()
        if cell.data_type == "f" and known[one.title]._cells[place].value is None
    ]
    if lost:
        yield Said(
            f"formulas without a kept value read as blank ({len(lost)}): open it, save it, add it again",
            quote=quoted(", ".join(lost)),
        )


def _is_sheet(name: str) -> bool:
    return name.startswith("xl/worksheets/") and name.endswith(".xml")
