"""JSON shapes of taking in, searching and upkeep."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from benchleaf.cli.shapes import Json, day, source_shape, statement_shape

if TYPE_CHECKING:
    from pathlib import Path

    from benchleaf.graph.model import Finding
    from benchleaf.graph.stakes import Doubt, HeadDoubt, Stake
    from benchleaf.ingest.add import AddReport, FileOutcome
    from benchleaf.ingest.reread import FileReread, RereadReport


def add_shape(report: "AddReport") -> Json:
    """The interface's answer to `add`."""
    totals: Json = {name: report.count(name) for name in ("read", "held", "refused")}
    for name in ("pages", "statements", "doubts"):
        totals[name] = sum(getattr(f, name) for f in report.files)
    return {"files": [_file_shape(f) for f in report.files], "totals": totals}


def _file_shape(file: "FileOutcome") -> Json:
    return {
        "path": file.path.encode("utf-8", "backslashreplace").decode("utf-8"),  # names may be no UTF-8
        "sha256": file.sha256,
        "outcome": file.outcome,
        "document": file.document,
        "number": file.number,
        "pages": file.pages,
        "pages_by_ocr": file.pages_by_ocr,
        "statements": file.statements,
        "reason": file.reason,
        "findings": [finding_shape(f) for f in file.findings],
    }


def finding_shape(finding: "Finding") -> Json:
    """Something odd about the data, with its source."""
    return {"message": finding.message, "source": source_shape(finding.source), "quote": finding.quote}


def doubt_shape(doubt: "Doubt", start: Sequence[str], picture: "Path | None") -> Json:
    """A doubtful STATEMENT with what hangs on it, the line that settles it, and its picture."""
    from benchleaf.cli.show_doubts import settle_line

    line = settle_line(doubt.statement, start)
    added = {"stake": _stake_shape(doubt.stake), "settle": line, "picture": _path(picture)}
    return statement_shape(doubt.statement) | added


def head_doubt_shape(doubt: "HeadDoubt", start: Sequence[str], picture: "Path | None") -> Json:
    """A note whose head is not clear, and why."""
    from benchleaf.cli.show_doubts import head_line

    note = doubt.note
    return {
        "note": note.number,
        "file": note.file,
        "date": day(note.date),
        "unclear": list(note.unclear),
        "stake": _stake_shape(doubt.stake),
        "settle": head_line(note, start),
        "picture": _path(picture),
    }


def _stake_shape(stake: "Stake") -> Json:
    return {"kind": stake.kind, "rank": stake.rank, "title": stake.title, "jobs": list(stake.jobs)}


def _path(picture: "Path | None") -> str | None:
    return None if picture is None else str(picture)


def reread_shape(report: "RereadReport") -> Json:
    """What reading held originals again changed."""
    totals: Json = {name: report.count(name) for name in ("same", "changed", "refused")}
    counts = {n: sum(len(getattr(f, n)) for f in report.files) for n in ("new", "gone", "changed", "kept")}
    totals["statements"] = counts | {"unchanged": sum(f.unchanged for f in report.files)}
    totals |= {name: sum(len(getattr(f, name)) for f in report.files) for name in ("items", "heads")}
    return {"files": [_reread_shape(f) for f in report.files], "totals": totals, "dry_run": report.dry_run}


def _reread_shape(file: "FileReread") -> Json:
    return {
        "file": file.file,
        "sha256": file.sha256,
        "outcome": file.outcome,
        "reason": file.reason,
        "new": [statement_shape(s) for s in file.new],
        "gone": [statement_shape(s) for s in file.gone],
        "changed": [{"was": statement_shape(c.was), "now": statement_shape(c.now)} for c in file.changed],
        "unchanged": file.unchanged,
        "kept": [{"statement": statement_shape(k.statement), "found": k.found} for k in file.kept],
        "items": [{"page": i.page, "item": i.item, "was": i.was, "now": i.now} for i in file.items],
        "kits": list(file.kits),
        "heads": [{"note": h.note, "field": h.field, "was": h.was, "now": h.now} for h in file.heads],
    }
