"""Selection tables: a CSV file, or typed as `2.20-2.25 = A; 2.25-2.30 = B`."""

import csv
import re
from pathlib import Path
from typing import TYPE_CHECKING

from benchleaf.graph.errors import WrongUse

if TYPE_CHECKING:
    from benchleaf.cli.packwords import Reader
    from benchleaf.graph.packs.select import Row

_HEADS = {
    "low": {"low", "from", "min", "minimum", "lower", "over", "above"},
    "high": {"high", "to", "max", "maximum", "upper", "upto", "through"},
    "range": {"range", "measured", "clearance", "gap", "dimension", "size", "endplay", "between"},
    "part": {
        "part",
        "partnumber",
        "partno",
        "number",
        "no",
        "pn",
        "code",
        "mark",
        "letter",
        "fit",
        "use",
        "shim",
    },
    "thickness": {"thickness", "thick"},
}
_UNIT = re.compile(r"[(\[]\s{0,3}(?P<u>mm|in|inch|inches|thou|µm|cm)\.?\s{0,3}[)\]]", re.IGNORECASE)
_MOST = 5000


def typed_rows(words: str, reader: "Reader") -> "tuple[Row, ...]":
    """Rows typed in one line, parted by semicolons. Raises WrongUse for a row that cannot be read."""
    from benchleaf.graph.packs.select import Row

    rows = []
    for part in (p.strip() for p in re.split(r"[;\n]", words)):
        if not part:
            continue
        limits, sign, fit = part.partition("=")
        if not sign or not fit.strip():
            raise WrongUse(f"--choose: {part!r} names no part", 'write "2.20-2.25 = A; 2.25-2.30 = B"')
        size = reader.size("--choose", limits.strip())
        rows.append(Row(size.low, size.high, fit.strip()))
    if not rows:
        raise WrongUse("--choose holds no rows", 'write "2.20-2.25 = A; 2.25-2.30 = B"')
    return tuple(rows)


def file_rows(file: Path, reader: "Reader") -> "tuple[Row, ...]":
    """Rows of a CSV file: columns low, high, part, and thickness if it has one; or a range in one column.

    Without a head line the columns are taken in that order. Raises WrongUse naming the line that cannot be
    read: a table with a row missing could choose the wrong part.
    """
    lines = _lines(file)
    if not lines:
        raise WrongUse(f"{file.name} holds no rows", "give a CSV file with low, high and part")
    heads = _heads(lines[0][1])
    units = [_unit(cell) for cell in lines[0][1]] if heads else []
    columns = heads or dict(zip(("low", "high", "part", "thickness"), range(4), strict=True))
    if "part" not in columns or not ({"low", "high"} <= columns.keys() or "range" in columns):
        raise WrongUse(f"{file.name} has no columns for the limits and the part", "name them low, high, part")
    return tuple(_row(file, at, cells, columns, units, reader) for at, cells in lines[1 if heads else 0 :])


def _lines(file: Path) -> list[tuple[int, list[str]]]:
    text = file.read_text(encoding="utf-8-sig", errors="replace").replace("\0", "")
    first = text.partition("\n")[0]
    sign = max(";\t,", key=first.count)
    try:
        rows = [
            (at, [c.strip() for c in row])
            for at, row in enumerate(csv.reader(text.splitlines(), delimiter=sign), 1)
        ]
    except csv.Error as wrong:
        raise WrongUse(f"{file.name} is no CSV file: {wrong}", "save the table as CSV") from wrong
    rows = [(at, cells) for at, cells in rows if any(cells)]
    if len(rows) > _MOST:
        raise WrongUse(f"{file.name} has over {_MOST} rows", "give the one selection table")
    return rows


def _heads(cells: list[str]) -> dict[str, int]:
    """Columns by name; empty if the first line is no head but figures."""
    found: dict[str, int] = {}
    for place, cell in enumerate(cells):
        plain = re.sub(r"[^a-z]", "", _UNIT.sub("", cell).lower())
        for name, synonyms in _HEADS.items():
            if plain in synonyms:
                found.setdefault(name, place)
    return found


def _unit(cell: str) -> str | None:
    found = _UNIT.search(cell)
    return found["u"] if found else None


def _row(
    file: Path, at: int, cells: list[str], columns: dict[str, int], units: list[str | None], reader: "Reader"
) -> "Row":
    from benchleaf.graph.packs.select import Row

    where = f"{file.name} line {at}"

    def cell(name: str) -> tuple[str, str | None]:
        place = columns.get(name, len(cells))
        unit = units[place] if place < len(units) else None
        return (cells[place] if place < len(cells) else ""), unit

    part, thickness = cell("part")[0], cell("thickness")
    thick = reader.size(where, *thickness).middle if thickness[0] else None
    if not part and thick is None:
        raise WrongUse(f"{where} names no part", "fill the row or take it out")
    if "low" in columns and "high" in columns:
        low, high = (reader.size(where, *cell(name)).middle for name in ("low", "high"))
    else:
        size = reader.size(where, *cell("range"))
        low, high = size.low, size.high
    return Row(low, high, part or thickness[0], thick)
