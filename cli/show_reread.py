"""What reading papers again changed, for people."""

from typing import TYPE_CHECKING

from benchleaf.cli.say import dated, many, standing_words, statement_words
from benchleaf.cli.screen import Column, Piece, Screen

if TYPE_CHECKING:
    from benchleaf.graph.model import Statement
    from benchleaf.ingest.reread import FileReread, Outcome, RereadReport

_MOST = 10
"""So many steps of one manual are shown; the rest are counted."""


def show_reread(screen: Screen, report: "RereadReport") -> None:
    """A table of the papers that are read otherwise, what is different in each, and the totals."""
    if not report.files:
        screen.line("The store holds no originals.")
        return
    shown = [f for f in report.files if f.outcome != "same" or any(not k.found for k in f.kept)]
    if shown:
        heads = ("New", "Gone", "Changed", "Same", "Steps")
        columns = [Column("Paper"), Column("Outcome"), *(Column(h, whole=True, right=True) for h in heads)]
        screen.table(columns, [_row(f) for f in shown])
        for file in shown:
            _show_file(screen, file)
        screen.blank()
    screen.line(_totals(report))
    if report.dry_run:
        screen.line("Only looked: the store is as it was.")


def _row(file: "FileReread") -> list[str]:
    counts = (len(file.new), len(file.gone), len(file.changed), file.unchanged, len(file.items))
    return [file.file, file.outcome, *map(str, counts)]


def _show_file(screen: Screen, file: "FileReread") -> None:
    screen.blank()
    screen.line(Piece(file.file, "head"))
    if file.reason is not None:
        screen.line(Piece(f"REFUSED, left as it was read before: {file.reason}", "bad"), indent=2, hang=4)
    for head in file.heads:
        words = f"{head.note}, {head.field}: was {head.was or 'not there'}, now {head.now or 'not there'}"
        screen.line(words, indent=2, hang=4)
    for statement in file.new:
        _show_statement(screen, "new", statement)
    for statement in file.gone:
        _show_statement(screen, "gone", statement)
    for change in file.changed:
        _show_statement(screen, "was", change.was)
        _show_statement(screen, "now", change.now)
    for kept in file.kept:
        if not kept.found:
            _show_statement(screen, "kept", kept.statement)
    if file.kits:
        screen.line(f"kits that the manual lists otherwise: {', '.join(file.kits)}", indent=2, hang=4)
    for item in file.items[:_MOST]:
        screen.line(f"page {item.page}, item {item.item}:", indent=2)
        screen.line(f"was: {item.was or 'not there'}", indent=4, hang=6)
        screen.line(f"now: {item.now or 'not there'}", indent=4, hang=6)
    if len(file.items) > _MOST:
        screen.line(f"and {many(len(file.items) - _MOST, 'more step')} like these", indent=2)


def _show_statement(screen: Screen, label: str, statement: "Statement") -> None:
    words = f"{dated(statement.note, statement.date)}: {statement_words(statement)}"
    screen.labelled(label, f"{statement.id or ''} {words}".strip(), indent=2)
    told = standing_words(statement)
    if label == "kept":
        told = "; ".join(statement.why)
    screen.line(told, indent=8)


def _totals(report: "RereadReport") -> str:
    counts = ", ".join(f"{report.count(o)} {w}" for o, w in _OUTCOMES)
    kept = sum(len(f.kept) for f in report.files)
    words = f"{many(len(report.files), 'paper')} read again: {counts}"
    return f"{words}; {many(kept, 'reading')} settled by a person kept." if kept else f"{words}."


_OUTCOMES: tuple[tuple["Outcome", str], ...] = (
    ("same", "the same"),
    ("changed", "changed"),
    ("refused", "refused"),
)
