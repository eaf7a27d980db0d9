"""JSON shapes of taking in, searching and upkeep."""

from typing import TYPE_CHECKING

from benchleaf.cli.shapes import Json, source_shape

if TYPE_CHECKING:
    from benchleaf.graph.model import Finding
    from benchleaf.ingest.add import AddReport, FileOutcome


def add_shape(report: "AddReport") -> Json:
    """The interface's answer to `add`."""
    totals: Json = {name: report.count(name) for name in ("read", "held", "refused")}
    for name in ("pages", "statements", "doubts"):
        totals[name] = sum(getattr(f, name) for f in report.files)
    return {"files": [_file_shape(f) for f in report.files], "totals": totals}


def _file_shape(file: "FileOutcome") -> Json:
    return {
        "path": file.path,
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
