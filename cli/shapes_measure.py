"""JSON shapes of values with units: the answer to `measure`, and the values of a step."""

from typing import TYPE_CHECKING

from benchleaf.cli.shapes import Json

if TYPE_CHECKING:
    from benchleaf.graph.measure import JudgedValue, MeasureAnswer
    from benchleaf.graph.quantities.reading import Quantity


def measure_shape(answer: "MeasureAnswer") -> Json:
    """The verdict and what it rests on; `by`, `low`, `high` and `nominal` in `unit`."""
    measured = answer.measured
    return {
        "measured": {
            "printed": measured.printed,
            "low": measured.low,
            "high": measured.high,
            "unit": measured.unit,
            "kind": measured.kind,
        },
        "unit": answer.unit,
        "verdict": answer.verdict,
        "by": answer.by,
        "values": [_judged_shape(v) for v in answer.values],
        "reasons": list(answer.reasons),
        "step": {
            "publication": answer.publication,
            "page": answer.page,
            "label": answer.label,
            "text": answer.text,
            "was": answer.was,
            "from": answer.origin,
            "changed_by": list(answer.changed_by),
            "depends_on": list(answer.depends_on),
            "doubts": list(answer.doubts),
            "by_ocr": answer.by_ocr,
            "unsure": list(answer.unsure),
        },
        "warnings": list(answer.warnings),
        "cautions": list(answer.cautions),
    }


def _judged_shape(value: "JudgedValue") -> Json:
    return {
        "printed": value.printed,
        "printed_unit": value.unit,
        "also": list(value.also),
        "low": value.low,
        "high": value.high,
        "nominal": value.nominal,
        "verdict": value.verdict,
        "by": value.by,
        "why": list(value.why),
    }


def values_shape(text: str | None) -> list[Json]:
    """The values of a step's words, for `procedure` and `page`; `also` are the same in further units."""
    from benchleaf.graph.quantities.reading import step_values

    return [_quantity_shape(q) for q in step_values(text)]


def _quantity_shape(q: "Quantity") -> Json:
    return {
        "printed": q.printed,
        "kind": q.kind,
        "unit": q.unit.name,
        "low": q.low,
        "high": q.high,
        "nominal": q.nominal,
        "also": [p.printed for p in q.pairs],
        "doubt": q.doubt or None,
    }
