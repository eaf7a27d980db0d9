"""JSON shapes of the answers."""

from typing import TYPE_CHECKING

from benchleaf.cli.shapes import Json, applies_shape, day, source_shape
from benchleaf.cli.shapes_kit import standing_shape
from benchleaf.cli.shapes_measure import values_shape

if TYPE_CHECKING:
    from benchleaf.cli.pagepicture import PagePicture
    from benchleaf.graph.model import Box, Notice
    from benchleaf.graph.page import OverrideView, PageAnswer, PageItem
    from benchleaf.graph.part import PartAnswer, PartStep, PartUse
    from benchleaf.graph.procedure import NotApplied, ProcedureAnswer, Step


def part_shape(answer: "PartAnswer") -> Json:
    """The interface's answer to `part`."""
    return {
        "asked": answer.asked,
        "part": answer.part,
        "current": list(answer.current),
        "relation": answer.relation,
        "path": [_part_step_shape(s) for s in answer.path],
        "was": list(answer.was),
        "used": [_use_shape(u) for u in answer.used],
        "in_kits": list(answer.in_kits),
        "problems": list(answer.problems),
        "near": list(answer.near),
    }


def _use_shape(use: "PartUse") -> Json:
    return {"publication": use.publication, "page": use.page, "item": use.item, "part": use.part}


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
        "by_ocr": step.by_ocr,
    }


def page_shape(answer: "PageAnswer", picture: "PagePicture") -> Json:
    """The interface's answer to `page`."""
    return {
        "publication": answer.publication,
        "page": answer.page,
        "sheet": answer.sheet,
        "section": answer.section,
        "file": answer.file,
        "items": [_item_shape(i) for i in answer.items],
        "notes": list(answer.notes),
        "others": [_view_shape(v) for v in answer.others],
        "warnings": list(answer.warnings),
        "picture": None if picture.path is None else str(picture.path),
        "picture_dpi": picture.dpi,
        "picture_why": picture.why,
    }


def _item_shape(item: "PageItem") -> Json:
    return {
        "item": item.item,
        "text": item.text,
        "notices": [_notice_shape(n) for n in item.notices],
        "box": _box_shape(item.box),
        "in_force": {"text": item.in_force.text, "by": list(item.in_force.by)},
        "overrides": [_view_shape(v) for v in item.overrides],
        "warnings": list(item.warnings),
        "by_ocr": item.by_ocr,
        "unsure": list(item.unsure),
        "values": values_shape(item.in_force.text),
    }


def _view_shape(view: "OverrideView") -> Json:
    return {
        "statement": view.statement,
        "note": view.note,
        "date": day(view.date),
        "action": view.action,
        "text": view.text,
        "was": view.was,
        "now": view.now,
        "applies": applies_shape(view.applies),
        "kits": list(view.kits),
        "standing": view.standing,
        "settled_by": view.settled_by,
        "in_force": view.in_force,
        "why_not": view.why_not,
        "why": list(view.why),
        "quote": view.quote,
        "source": source_shape(view.source),
    }


def _notice_shape(notice: "Notice") -> Json:
    return {"kind": notice.kind, "text": notice.text}


def _box_shape(box: "Box | None") -> list[float] | None:
    return None if box is None else list(box)


def procedure_shape(answer: "ProcedureAnswer") -> Json:
    """The interface's answer to `procedure`."""
    built = day(answer.unit.built)
    return {
        "unit": {"model": answer.unit.model, "serial": answer.unit.serial, "built": built},
        "kits": list(answer.kits),
        "on": day(answer.on),
        "steps": [_step_shape(s) for s in answer.steps],
        "left_out": [_left_out_shape(n) for n in answer.left_out],
        "warnings": list(answer.warnings),
        "cautions": list(answer.cautions),
        "holds": [standing_shape(h) for h in answer.holds],
    }


def _step_shape(step: "Step") -> Json:
    return {
        "label": step.label,
        "publication": step.publication,
        "page": step.page,
        "item": step.item,
        "section": step.section,
        "text": step.text,
        "notices": [_notice_shape(n) for n in step.notices],
        "from": step.origin,
        "changed_by": list(step.changed_by),
        "depends_on": list(step.depends_on),
        "doubts": list(step.doubts),
        "sheet": step.sheet,
        "box": _box_shape(step.box),
        "by_ocr": step.by_ocr,
        "unsure": list(step.unsure),
        "values": values_shape(step.text),
    }


def _left_out_shape(left: "NotApplied") -> Json:
    return {
        "note": left.note,
        "why": left.why,
        "statement": left.statement,
        "page": left.page,
        "step": left.step,
    }
