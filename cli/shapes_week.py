"""JSON shapes of the weekly report and of what is missing."""

from dataclasses import asdict
from typing import TYPE_CHECKING

from benchleaf.cli.shapes import Json, line_shape, note_shape
from benchleaf.cli.shapes_job import week_job_shape

if TYPE_CHECKING:
    from benchleaf.graph.missing import Missing
    from benchleaf.graph.week import WeekAnswer, WeekKit, WeekPart, WeekStep


def week_shape(answer: "WeekAnswer") -> Json:
    """The interface's answer to `week`."""
    return {
        "week": answer.week,
        "from": answer.first.isoformat(),
        "to": answer.last.isoformat(),
        "notes": [note_shape(n) for n in answer.notes],
        "steps": [_step_shape(s) for s in answer.steps],
        "parts": [_part_shape(p) for p in answer.parts],
        "kits": [_kit_shape(k) for k in answer.kits],
        "jobs": [week_job_shape(j) for j in answer.jobs],
        "doubts": answer.doubts,
        "missing": [missing_shape(m) for m in answer.missing],
    }


def _step_shape(step: "WeekStep") -> Json:
    return asdict(step) | {"models": list(step.models)}


def _part_shape(part: "WeekPart") -> Json:
    return {
        "from": list(part.old),
        "to": list(part.new),
        "relation": part.relation,
        "note": part.note,
        "standing": part.standing,
        "by_ocr": part.by_ocr,
    }


def _kit_shape(kit: "WeekKit") -> Json:
    return {
        "kit": kit.kit,
        "was": [line_shape(line) for line in kit.was],
        "now": [line_shape(line) for line in kit.now],
        "note": kit.note,
        "standing": kit.standing,
        "by_ocr": kit.by_ocr,
    }


def missing_shape(missing: "Missing") -> Json:
    """One thing that is cited but not held."""
    return {
        "kind": missing.kind,
        "number": missing.number,
        "cited_by": list(missing.cited_by),
        "where": list(missing.where),
        "near": list(missing.near),
    }
