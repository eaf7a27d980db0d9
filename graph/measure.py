"""A value measured at the bench, judged against what the step in force prints."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from benchleaf.graph.cautions import cautions
from benchleaf.graph.errors import NotHeld, WrongUse
from benchleaf.graph.keys import key
from benchleaf.graph.model import Target
from benchleaf.graph.places import best_places
from benchleaf.graph.procedure import ProcedureAnswer, ProcedureQuestion, Step, procedure_answer
from benchleaf.graph.quantities.amount import Amount, read_amount
from benchleaf.graph.quantities.judge import Judged, MeasureVerdict, difference, in_unit, judge
from benchleaf.graph.quantities.reading import Quantity, step_values
from benchleaf.graph.quantities.units import Unit, Units, packaged, same_kind
from benchleaf.graph.quantities.which import narrowed
from benchleaf.graph.shelf import Shelf

_NEAR = 12


@dataclass(frozen=True, slots=True)
class MeasureQuestion:
    """What was measured (`2.47 mm`) and at which step; `which` are words that stand before the value meant.

    `unit` is the shop's unit for the answer, and the value's where it names none. The rest as in
    `ProcedureQuestion`.
    """

    value: str
    publication: str
    page: str
    item: str
    model: str | None = None
    serial: str | None = None
    kits: tuple[str, ...] = ()
    on: dt.date | None = None
    built: dt.date | None = None
    which: str | None = None
    unit: str | None = None


@dataclass(frozen=True, slots=True)
class JudgedValue:
    """One printed value of the step: how the measured one stands to it and by how far, in the answer's unit.

    `printed` are the paper's words, `unit` the unit they are in, `also` its further printed units; `low`,
    `high` and `nominal` are in the answer's unit.
    """

    printed: str
    unit: str
    also: tuple[str, ...]
    low: float | None
    high: float | None
    nominal: float | None
    verdict: MeasureVerdict
    by: float
    why: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MeasureAnswer:
    """The verdict, what it rests on, and why it is in doubt if it is.

    `unit` is the unit of `values` and `by`. `was` is the manual's own wording where notes changed the step.
    `text` is None for a deleted step.
    """

    measured: Amount
    unit: str
    verdict: MeasureVerdict
    by: float
    values: tuple[JudgedValue, ...]
    reasons: tuple[str, ...]
    publication: str
    page: str
    label: str
    text: str | None
    was: str | None
    origin: str
    changed_by: tuple[str, ...]
    depends_on: tuple[str, ...]
    doubts: tuple[int, ...]
    by_ocr: bool
    unsure: tuple[str, ...]
    warnings: tuple[str, ...]
    cautions: tuple[str, ...]


def measure_answer(store: Shelf, question: MeasureQuestion, units: Units | None = None) -> MeasureAnswer:
    """The verdict on a measured value. Raises `WrongUse` for a value or unit that cannot be read, `NotHeld`
    with the nearest for an unknown publication, page or step. `units` is the table with the shop's own."""
    table = units or packaged()
    measured = read_amount(question.value, question.unit, table)
    own, unit = table.named(measured.unit), table.named(question.unit or measured.unit)
    if not same_kind(unit, own):
        raise WrongUse(f"{unit.name} is no unit of {measured.kind}", "give one of that kind, or leave it out")
    steps, answer = _steps(store, question)
    read, reasons = _values(steps, own, table, question.which)
    judged = [judge(measured, q, table) for q in read]
    verdict = _verdict(judged, reasons)
    reasons += [r for s in steps for r in _step_reasons(s, read)]
    reasons += _unplaced(store, answer, own, table)
    sure = verdict == "not said" or not reasons
    step = steps[0]
    values = tuple(_shown(j, own, unit) for j in judged)
    return MeasureAnswer(
        measured=measured,
        unit=unit.name,
        verdict=verdict if sure else "in doubt",
        by=min((v.by for v in values), default=0.0),
        values=values,
        reasons=tuple(dict.fromkeys((*reasons, *(w for j in judged for w in j.why)))),
        publication=step.publication,
        page=step.page,
        label=step.label,
        text=step.text,
        was=_was(store, step),
        origin=step.origin,
        changed_by=step.changed_by,
        depends_on=step.depends_on,
        doubts=step.doubts,
        by_ocr=step.by_ocr,
        unsure=step.unsure,
        warnings=answer.warnings,
        cautions=cautions(_texts(steps)),
    )


def _steps(store: Shelf, question: MeasureQuestion) -> tuple[tuple[Step, ...], ProcedureAnswer]:
    """The steps of the page that answer to the label, as they are in force, and the page's whole answer."""
    q = question
    asked = ProcedureQuestion(q.publication, q.page, None, q.model, q.serial, q.kits, q.on, q.built)
    answer = procedure_answer(store, asked)
    steps = best_places(q.item, answer.steps, lambda s: s.label)
    if steps:
        return steps, answer
    near = tuple(s.label for s in answer.steps)[:_NEAR]
    remedy = f"its steps are {', '.join(near)}" if near else ""
    raise NotHeld(f"page {q.page} of {q.publication} has no step {q.item}", near, remedy)


def _texts(steps: Sequence[Step]) -> list[str]:
    return [t for s in steps for t in (s.text, *(n.text for n in s.notices)) if t]


def _values(
    steps: Sequence[Step], unit: Unit, units: Units, which: str | None
) -> tuple[list[Quantity], list[str]]:
    """The printed values of the measured kind, narrowed by the words if any, and what is doubtful so far."""
    found: list[Quantity] = []
    for text in _texts(steps):
        same = [q for q in step_values(text, units) if same_kind(q.unit, unit)]
        found += narrowed(text, same, which) if which else same
    reasons = [f"step {steps[0].label} stands {len(steps)} times on the page"] if len(steps) > 1 else []
    if which and not found:
        reasons.append(f"the step has no such value near the words {which!r}")
    if not found and all(s.text is None for s in steps):
        reasons.append(f"the step is deleted by {' and '.join(steps[0].changed_by)}")
    return found, reasons


def _verdict(judged: Sequence[Judged], reasons: list[str]) -> MeasureVerdict:
    """The one verdict of all values; several that differ are a doubt."""
    verdicts = list(dict.fromkeys(j.verdict for j in judged))
    if not verdicts:
        return "not said"
    if len(verdicts) == 1:
        return verdicts[0]
    reasons.append("the step gives several values of this kind: say which one is meant (--which WORDS)")
    return "in doubt"


def _step_reasons(step: Step, read: Sequence[Quantity]) -> list[str]:
    """Why the step in force is not certain to be the right one, or its figures not certain to be right."""
    said = [f"what is in force depends on {' and '.join(step.depends_on)}"] if step.depends_on else []
    if step.doubts:
        numbers = ", ".join(map(str, step.doubts))
        said.append(f"a doubtful reading may change this step (statement {numbers} in benchleaf doubts)")
    printed = " ".join(p.printed for q in read for p in (q, *q.pairs))
    unsure = [word for word in step.unsure if key(word) and key(word) in key(printed)]
    if unsure:
        said.append(f"read by OCR, not sure of {', '.join(unsure)}: compare with the paper")
    return said


def _unplaced(store: Shelf, answer: ProcedureAnswer, unit: Unit, units: Units) -> list[str]:
    """Notes on this page that no step answers to, and that give a value of the kind measured."""
    said = []
    loose = {left.statement: left for left in answer.left_out if left.statement and left.step is None}
    for publication in dict.fromkeys(s.publication for s in answer.steps):
        for o in store.overrides(publication):
            if o.id in loose and any(
                same_kind(q.unit, unit) for t in (o.text, o.now) for q in step_values(t, units)
            ):
                place = f"and its step is not known (statement {o.id})"
                said.append(f"{o.note} gives a {unit.kind} on this page {place}")
    return said


def _shown(judged: Judged, own: Unit, unit: Unit) -> JudgedValue:
    low, high, nominal = in_unit(judged.quantity, unit)
    return JudgedValue(
        printed=judged.quantity.printed,
        unit=judged.quantity.unit.name,
        also=tuple(p.printed for p in judged.quantity.pairs),
        low=low,
        high=high,
        nominal=nominal,
        verdict=judged.verdict,
        by=difference(judged.by, own, unit),
        why=judged.why,
    )


def _was(store: Shelf, step: Step) -> str | None:
    """The manual's own words of a step that notes changed."""
    if not step.changed_by or step.item is None:
        return None
    own = store.item(Target(step.publication, step.page, step.item))
    return own[0].text if own and own[0].text != step.text else None
