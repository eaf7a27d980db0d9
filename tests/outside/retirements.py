"""The ISO 639-3 retirement table, as supersession statements and as a plain dictionary walk.

Source: ISO 639-3 Code Set, "Deprecated/retired code element mappings", SIL International (registration
authority), as carried by the PyPI package python-iso639. A language code that is retired is changed to
another (C, D, M), split into several (S, with a remedy sentence that names them), or dropped (N): just what
becomes of a part number.
"""

import csv
import datetime as dt
import importlib.resources
import re
from dataclasses import dataclass

from benchleaf.graph.model import (
    Applies,
    Document,
    Note,
    SheetText,
    Source,
    Statement,
    Supersession,
    Withdrawn,
)


@dataclass(frozen=True)
class Retirement:
    """One row: the retired code, why (C D M S N), the codes that took its place, the remedy, since when."""

    code: str
    reason: str
    news: tuple[str, ...]
    remedy: str
    effective: dt.date


def retirements() -> list[Retirement]:
    """Every row of the table."""
    table = importlib.resources.files("iso639") / "_data" / "iso-639-3_Retirements.tab"
    rows = csv.DictReader(table.read_text(encoding="utf-8").splitlines(), delimiter="\t")
    return [_row(row) for row in rows]


def _row(row: dict[str, str]) -> Retirement:
    news = (
        (row["Change_To"],) if row["Change_To"] else tuple(re.findall(r"\[([a-z]{3})\]", row["Ret_Remedy"]))
    )
    news = news if row["Ret_Reason"] != "N" else ()
    return Retirement(
        row["Id"], row["Ret_Reason"], news, row["Ret_Remedy"], dt.date.fromisoformat(row["Effective"].strip())
    )


def as_document(rows: list[Retirement]) -> Document:
    """The table as one list of statements."""
    statements = tuple(_statement(r) for r in rows if r.news or r.reason == "N")
    note = Note("ISO 639-3", None, None, None, "unknown", None, Applies(), statements=statements)
    return Document("0" * 64, "retirements", "list", (SheetText(1, None, "retirements"),), notes=(note,))


def _statement(row: Retirement) -> Statement:
    where = Source("retirements", 1)
    if not row.news:
        return Withdrawn(note="ISO 639-3", date=row.effective, quote=row.code, source=where, part=row.code)
    return Supersession(
        note="ISO 639-3",
        date=row.effective,
        quote=row.remedy or row.code,
        source=where,
        old=(row.code,),
        new=row.news,
        relation="all of" if len(row.news) > 1 else "one",
    )


def walk(code: str, rows: dict[str, Retirement], on: dt.date) -> set[str]:
    """What a code became up to a day, by plain recursion over the table: the answer to compare with."""
    row = rows.get(code)
    if row is None or not row.news or row.effective > on or code in row.news:
        return {code}
    return {end for new in row.news for end in walk(new, rows, on)}
