"""Tables of units at a note's head: a model in each row, with its serial numbers beside it."""

import re
from collections.abc import Sequence
from dataclasses import replace

from benchleaf.graph.model import Applies
from benchleaf.ingest.head.fields import FieldBook, plain
from benchleaf.ingest.head.ranges import SERIAL_WORD
from benchleaf.ingest.head.units import merged, read_applies
from benchleaf.ingest.shapes import LaidPage, Table

_FROM = ("from", "first", "start", "beginning", "starting with", "ab", "von")
_TO = ("to", "through", "thru", "last", "end", "ending with", "up to", "bis")


def unit_tables(page: LaidPage, book: FieldBook) -> tuple[int, ...]:
    """The tables of a page that list models with serial numbers and nothing of parts."""
    return tuple(i for i, t in enumerate(page.tables) if _columns(t, book) is not None)


def read_unit_table(table: Table, book: FieldBook, day_first: bool | None = None) -> Applies | None:
    """The units of such a table.

    Rows with different ranges fit no single one: the models are kept, the bounds left open and told."""
    columns = _columns(table, book)
    if columns is None:
        return None
    parts = [p for row in table.rows[1:] if (p := _row([c.text for c in row], columns, day_first))]
    if not parts:
        return None
    printed = "; ".join(p.as_printed for p in parts)
    if len({(p.serial_from, p.serial_to, p.built_from, p.built_to) for p in parts}) == 1:
        return replace(merged(tuple(parts)), as_printed=printed)
    plain_parts = tuple(Applies(models=p.models, excepted=p.excepted, unclear=p.unclear) for p in parts)
    both = merged(plain_parts)
    doubt = "the serial numbers differ by model, see the table of units"
    return replace(both, as_printed=printed, unclear=(*both.unclear, doubt))


def _columns(table: Table, book: FieldBook) -> dict[int, str] | None:
    """What each column holds (models, serials, from, to), or None if the table is none of units."""
    if len(table.rows) < 2 or not table.rows:
        return None
    heads = [c.text for c in table.rows[0]]
    kinds = {i: kind for i, h in enumerate(heads) if (kind := _kind(h, book))}
    known = set(kinds.values())
    if "models" not in known or not known & {"serials", "from", "to"}:
        return None
    if not any("serial" in plain(h) or SERIAL_WORD.search(h) for h in heads) or any(
        plain(h) in book.parts for h in heads
    ):
        return None
    return kinds


def _kind(head: str, book: FieldBook) -> str | None:
    label = plain(head)
    words = label.split()
    if re.search(r"[0-9]", head):
        return None
    if SERIAL_WORD.search(head) or label in _FROM or label in _TO:
        if words and (words[-1] in _FROM or words[0] in _FROM):
            return "from"
        return "to" if words and (words[-1] in _TO or words[0] in _TO) else "serials"
    hit = book.field_of(head)
    return "models" if hit is not None and hit.field == "models" else None


def _row(cells: Sequence[str], columns: dict[int, str], day_first: bool | None) -> Applies | None:
    texts = {kind: cells[i].strip() for i, kind in columns.items() if i < len(cells) and cells[i].strip()}
    models = read_applies(texts.get("models", ""), "models", day_first)
    if models is None or not models.models:
        return None
    serials = texts.get("serials") or _bounds(texts.get("from", ""), texts.get("to", ""))
    read = read_applies(serials, "serials", day_first) if serials else None
    joined = merged((models, replace(read, models=()))) if read else models
    return replace(joined, as_printed=f"{texts['models']}: {serials}" if serials else texts["models"])


def _bounds(first: str, last: str) -> str:
    if first and last and last.strip("-–—. ") and first.strip("-–—. "):
        return f"{first} to {last}"
    if first.strip("-–—. "):
        return f"from {first}"
    return f"up to and including {last}" if last.strip("-–—. ") else ""
