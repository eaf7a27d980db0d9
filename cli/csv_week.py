"""The weekly report as CSV: one table, a row for each note, step, part, kit, job and missing paper."""

import csv
import io
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from benchleaf.cli.clean import one_line
from benchleaf.cli.say import lines_words, listed, units
from benchleaf.cli.show_week import job_words

if TYPE_CHECKING:
    from benchleaf.graph.missing import Missing
    from benchleaf.graph.week import WeekAnswer, WeekKit, WeekPart, WeekStep

COLUMNS: tuple[str, ...] = (
    *("week", "kind", "number", "unit", "publication", "page", "item", "what", "was", "now"),
    *("note", "date", "received", "standing", "statement"),
)
_FORMULA = ("=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20", "\u2212")  # full-width forms, minus
Row = Mapping[str, object]


def week_csv(answer: "WeekAnswer") -> str:
    """The report as CSV (RFC 4180: quoted where needed, lines end in CR LF), in the order of the report.

    A week without notes has one row that says so. No cell can be taken for a formula.
    """
    out = io.StringIO(newline="")
    table = csv.DictWriter(out, COLUMNS, restval="", extrasaction="raise", lineterminator="\r\n")
    table.writeheader()
    week = answer.week or f"{answer.first.isoformat()} to {answer.last.isoformat()}"
    for row in _rows(answer):
        table.writerow({name: cell(value) for name, value in {"week": week, **row}.items()})
    return out.getvalue()


def cell(value: object) -> str:
    """A value as a spreadsheet takes it for words: in one line, with an apostrophe before what it would take
    for a formula.

    >>> cell("=1+1"), cell("-5 mm"), cell(None), cell(7)
    ("'=1+1", "'-5 mm", '', '7')
    """
    words = "" if value is None else one_line(str(value))
    return f"'{words}" if words.startswith(_FORMULA) else words


def _rows(answer: "WeekAnswer") -> Iterator[Row]:
    if not answer.notes:
        yield {"kind": "none", "what": "no notes were received; nothing changes"}
    for note in answer.notes:
        gone = f"cancelled by {note.cancelled_by}" if note.cancelled_by else ""
        dates = {"date": note.date, "received": note.received, "what": note.subject, "standing": gone}
        yield {"kind": "note", "number": note.number, "unit": units(note.applies), **dates}
    yield from map(_step, answer.steps)
    yield from map(_part, answer.parts)
    yield from map(_kit, answer.kits)
    yield from _jobs(answer)
    yield from map(_missing, answer.missing)


def _step(s: "WeekStep") -> Row:
    place = {"publication": s.publication, "page": s.page, "item": s.item, "unit": ", ".join(s.models)}
    said = {"what": s.action, "was": s.was, "now": s.now or s.text, "note": s.note}
    return {"kind": "step", **place, **said, "standing": s.standing, "statement": s.statement}


def _part(p: "WeekPart") -> Row:
    new = listed(p.new, "or" if p.relation == "one of" else "and") or "no longer supplied"
    said = {"number": listed(p.old), "was": listed(p.old), "now": new, "note": p.note}
    return {"kind": "part", **said, "what": p.relation, "standing": p.standing}


def _kit(k: "WeekKit") -> Row:
    said = {"was": lines_words(k.was), "now": lines_words(k.now), "note": k.note, "standing": k.standing}
    return {"kind": "kit", "number": k.kit, "what": "contents", **said}


def _jobs(answer: "WeekAnswer") -> Iterator[Row]:
    """A row for each step that reads otherwise; for a job without one, a row for the job alone."""
    for touched in answer.jobs:
        job = touched.job
        own = {"kind": "job", "number": job.number, "unit": job.words, "standing": job.state}
        words, notes = job_words(touched), listed(touched.notes)
        if not touched.news.steps:
            yield {**own, "what": words, "note": notes}
        for s in touched.news.steps:
            place = {"publication": s.publication, "page": s.page, "item": s.label}
            said = {"what": f"{words}: {s.what}", "was": s.was, "now": s.now}
            yield {**own, **place, **said, "note": listed(s.notes) or notes}


def _missing(m: "Missing") -> Row:
    near = f"held and near: {', '.join(m.near)}" if m.near else ""
    where = {"publication": ", ".join(m.where)}
    return {"kind": "missing", "number": m.number, "what": m.kind, "note": listed(m.cited_by), **where} | {
        "now": near
    }
