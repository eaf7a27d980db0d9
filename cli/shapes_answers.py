"""JSON shapes of the answers."""

from typing import TYPE_CHECKING

from benchleaf.cli.shapes import Json, applies_shape, day

if TYPE_CHECKING:
    from benchleaf.graph.part import PartAnswer, PartStep


def part_shape(answer: "PartAnswer") -> Json:
    """The interface's answer to `part`."""
    return {
        "asked": answer.asked,
        "part": answer.part,
        "current": list(answer.current),
        "relation": answer.relation,
        "path": [_part_step_shape(s) for s in answer.path],
        "was": list(answer.was),
        "used": [
            {"publication": u.publication, "page": u.page, "item": u.item, "part": u.part} for u in answer.used
        ],
        "in_kits": list(answer.in_kits),
        "problems": list(answer.problems),
        "near": list(answer.near),
    }


def _part_step_shape(step: "PartStep") -> Json:
    return {
        "from": list(step.old),
        "to": list(step.new),
        "note": step.note,
        "date": day(step.date),
        "relation": step.relation,
        "interchange": step.interchange,
        "stock": step.stock,
        "standing": step.standing,
        "statement": step.statement,
        "applies": None if step.applies is None else applies_shape(step.applies),
    }
