"""JSON shapes of jobs."""

from typing import TYPE_CHECKING

from benchleaf.cli.shapes import Json, day, line_shape
from benchleaf.cli.shapes_kit import standing_shape

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from benchleaf.graph.jobs.answer import JobAnswer
    from benchleaf.graph.jobs.job import Entry, Job, Pin
    from benchleaf.graph.jobs.news import JobNews, KitNews, NoteNews, StepNews
    from benchleaf.graph.jobs.touched import TouchedJob
    from benchleaf.graph.model import Statement


def job_shape(answer: "JobAnswer") -> Json:
    """The interface's answer to every `job` command on one job."""
    job = answer.job
    return {
        **_head(job),
        "date_of_build": day(job.date_of_build),
        "plate": dict(job.plate),
        "doubts": [d.words for d in job.doubts],
        "about": [{"publication": a.publication, "page": a.page, "section": a.section} for a in job.about],
        "found": [{"part": r.part, "description": r.description, "quantity": r.quantity} for r in job.found],
        "found_remarks": [r.words for r in job.found_remarks],
        "evidence": _evidence_shape(answer),
        "remarks": [r.words for r in job.remarks],
        "despite_holds": [
            {"reason": d.words, "initials": d.initials, "day": day(d.day)} for d in job.despite
        ],
        "entries": [entry_shape(e) for e in job.entries],
        "pins": [_pin_shape(p) for p in answer.pins],
        "news": news_shape(answer.news),
        "changes": [
            {"at": c.at.isoformat(), "day": day(c.day), "initials": c.initials, "kind": c.kind}
            | {"body": [{"name": name, "value": value} for name, value in c.body]}
            for c in answer.changes
        ],
    }


def list_shape(jobs: "Iterable[TouchedJob]") -> Json:
    """The jobs, in work first, each with what is news to it."""
    return {"jobs": [{**_head(t.job), "news": news_shape(t.news)} for t in jobs]}


def _head(job: "Job") -> Json:
    return {
        "job": job.number,
        "state": job.state,
        "unit": {"model": job.model, "serial": job.serial, "built": day(job.date_of_build)},
        "kits": list(job.kits),
        "opened": day(job.opened),
        "built": day(job.built),
        "shipped": day(job.shipped),
        "initials": {state: initials or None for state, initials in job.signed},
    }


def _evidence_shape(answer: "JobAnswer") -> Json | None:
    found = answer.evidence
    if found is None:
        return None
    matches = [
        {"what": m.what, "note": m.note, "exact": m.exact, "differences": list(m.differences)}
        for m in found.matches
    ]
    return {"matches": matches, "sentences": list(found.sentences)}


def entry_shape(entry: "Entry") -> Json:
    """A measured value by its step."""
    return {
        "publication": entry.publication,
        "page": entry.page,
        "item": entry.label,
        "value": entry.value,
        "which": entry.which,
        "verdict": entry.verdict,
        "printed": list(entry.printed),
        "why": list(entry.why),
        "initials": entry.initials,
        "at": entry.at.isoformat(),
    }


def _pin_shape(pin: "Pin") -> Json:
    return {
        "at": pin.at.isoformat(),
        "day": day(pin.day),
        "occasion": pin.occasion,
        "initials": pin.initials,
        "notes": [n.number for n in pin.notes],
        "considered": [{"number": n.number, "date": day(n.date), "revision": n.revision} for n in pin.notes],
        "steps": len(pin.steps),
        "kits": [{"kit": k.kit, "lines": [line_shape(x) for x in k.lines], "note": k.note} for k in pin.kits],
        "state": pin.state,
    }


def news_shape(news: "JobNews") -> Json:
    """What is news to a job, and what waits."""
    return {
        "waits": news.waits,
        "comeback": news.comeback,
        "why": news.comeback_words or None,
        "steps": steps_shape(news.steps),
        "notes": [n.note.number for n in news.notes],
        "reasons": [_note_shape(n) for n in news.notes],
        "kits": [_kit_shape(k) for k in news.kits],
        "holds": [standing_shape(h) for h in news.holds],
        "doubts": [_doubt_shape(s) for s in news.doubts],
        "measured": [m.sentence for m in news.measured],
        "remarks": list(news.remarks),
    }


def steps_shape(steps: "Sequence[StepNews]") -> list[Json]:
    """Steps that stand otherwise than they were pinned."""
    return [
        {
            "publication": s.publication,
            "page": s.page,
            "item": s.label,
            "what": s.what,
            "was": s.was,
            "now": s.now,
            "notes": list(s.notes),
        }
        for s in steps
    ]


def _note_shape(news: "NoteNews") -> Json:
    note = news.note
    return {
        "note": note.number,
        "date": day(note.date),
        "received": day(note.received),
        "why": list(news.why),
        "missed": news.missed,
    }


def _kit_shape(kit: "KitNews") -> Json:
    return {
        "kit": kit.kit,
        "was": [line_shape(x) for x in kit.was],
        "now": [line_shape(x) for x in kit.now],
        "replaced_by": list(kit.replaced_by),
        "notes": list(kit.notes),
    }


def _doubt_shape(statement: "Statement") -> Json:
    return {"statement": statement.id, "note": statement.note, "why": list(statement.why)}


def week_job_shape(touched: "TouchedJob") -> Json:
    """A job that the notes of a week touch."""
    job, news = touched.job, touched.news
    return {
        "job": job.number,
        "state": job.state,
        "unit": {"model": job.model, "serial": job.serial, "built": day(job.date_of_build)},
        "steps": steps_shape(news.steps),
        "notes": list(touched.notes),
        "kits": [k.kit for k in news.kits],
        "comeback": news.comeback,
        "why": [n.sentence for n in news.notes],
    }
