"""What became of added files, for people."""

from typing import TYPE_CHECKING

from benchleaf.cli.say import many
from benchleaf.cli.screen import Piece, Screen, Style

if TYPE_CHECKING:
    from benchleaf.graph.model import Finding
    from benchleaf.ingest.add import AddReport, FileOutcome

_MOST = 5
"""So many findings of one file are shown; the rest are counted."""
_STYLES: dict[str, Style] = {"read": "good", "held": "quiet", "refused": "bad"}


def show_add(screen: Screen, report: "AddReport") -> None:
    """A line a file, what was odd about it, and the totals."""
    if not report.files:
        screen.line("No files were found there.")
        return
    for file in report.files:
        _show_file(screen, file)
    screen.blank()
    screen.line(totals(report))
    doubts = sum(f.doubts for f in report.files)
    if doubts:
        screen.line(f"{many(doubts, 'doubt')} to look at: benchleaf doubts")


def totals(report: "AddReport") -> str:
    """The counts, in one sentence."""
    pages, statements = sum(f.pages for f in report.files), sum(f.statements for f in report.files)
    counts = ", ".join(f"{report.count(o)} {o}" for o in ("read", "held", "refused"))
    read = f"{many(pages, 'page')}, {many(statements, 'statement')}"
    return f"{many(len(report.files), 'file')}: {counts}; {read}."


def _show_file(screen: Screen, file: "FileOutcome") -> None:
    label = "REFUSED" if file.outcome == "refused" else file.outcome
    screen.labelled(label, f"{file.path}: ", Piece(_words(file), _STYLES.get(file.outcome, "")), width=9)
    for finding in file.findings[:_MOST]:
        screen.line(Piece(f"{finding.message}{_where(finding)}", "doubt"), indent=9)
    if len(file.findings) > _MOST:
        screen.line(f"and {len(file.findings) - _MOST} more like these", indent=9)


def _where(finding: "Finding") -> str:
    """The sheet, but not with a count of sheets, which speaks of several."""
    return "" if finding.message[:1].isdigit() else f" (sheet {finding.source.sheet})"


def _words(file: "FileOutcome") -> str:
    if file.outcome == "refused":
        return file.reason or "no reason was given"
    if file.outcome == "held":
        return "held already, byte for byte"
    words = [" ".join(w for w in (file.document, file.number) if w), many(file.pages, "page")]
    words += [f"{file.pages_by_ocr} by OCR"] if file.pages_by_ocr else []
    words += [many(file.statements, "statement")] if file.statements else []
    words += [many(file.doubts, "doubt")] if file.doubts else []
    return ", ".join(w for w in words if w)
