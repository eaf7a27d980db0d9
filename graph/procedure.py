"""The procedure in force for a unit, the kits at hand and a date: steps in order, each saying where it is
from."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from benchleaf.graph.applicability import Unit
from benchleaf.graph.binding import Family, plate_counts
from benchleaf.graph.cautions import cautions
from benchleaf.graph.chapter import Chapter, NotApplied, Step
from benchleaf.graph.chosen import choose
from benchleaf.graph.errors import NotHeld
from benchleaf.graph.keys import key
from benchleaf.graph.kits.expected import expected_contents
from benchleaf.graph.kits.packcheck import check_pack
from benchleaf.graph.kits.packstep import Links
from benchleaf.graph.overrides import Case
from benchleaf.graph.shelf import Shelf
from benchleaf.graph.supersession import current

__all__ = ["NotApplied", "ProcedureAnswer", "ProcedureQuestion", "Step", "procedure_answer"]


@dataclass(frozen=True, slots=True)
class ProcedureQuestion:
    """What is asked: where (publication, page, section words), for which unit and kits, as of `on`.

    `on` None sets no limit: every note counts, whatever its date.
    """

    publication: str | None = None
    page: str | None = None
    section: str | None = None
    model: str | None = None
    serial: str | None = None
    kits: tuple[str, ...] = ()
    on: dt.date | None = None
    built: dt.date | None = None


@dataclass(frozen=True, slots=True)
class ProcedureAnswer:
    """The steps in force. `cautions` are standing lines for dangerous work; `warnings` sentences to act
    on."""

    unit: Unit
    kits: tuple[str, ...]
    on: dt.date | None
    steps: tuple[Step, ...]
    left_out: tuple[NotApplied, ...]
    warnings: tuple[str, ...]
    cautions: tuple[str, ...]


def procedure_answer(store: Shelf, question: ProcedureQuestion) -> ProcedureAnswer:
    """The steps asked for, as they stand for this unit and these kits on this date.

    Raises `NotHeld` with the nearest for an unknown publication, page, section or model.
    """
    unit = Unit(question.model, question.serial, question.built)
    case = Case(unit, question.kits, question.on)
    chosen = choose(store, question.publication, question.page, question.section, question.model)
    works = [Chapter(store, c, case).run() for c in chosen]
    steps = tuple(s for w in works for s in w.steps)
    warnings = [w for work in works for w in work.warnings]
    warnings += _model_warnings(store, question, works) + _wide(question, steps)
    warnings += [w for kit in question.kits for w in _kit_warnings(store, kit, case, steps)]
    return ProcedureAnswer(
        unit=unit,
        kits=question.kits,
        on=question.on,
        steps=steps,
        left_out=tuple(dict.fromkeys(n for w in works for n in w.left_out)),
        warnings=tuple(dict.fromkeys(warnings)),
        cautions=cautions(t for s in steps for t in (s.text or "", *(n.text for n in s.notices))),
    )


def _wide(question: ProcedureQuestion, steps: Sequence[Step]) -> list[str]:
    if question.page is None and question.section is None and len({s.section for s in steps}) > 1:
        return ["no page or section is named: these are all steps held, in the order of their pages"]
    return []


def _kit_warnings(store: Shelf, kit: str, case: Case, steps: Sequence[Step]) -> list[str]:
    """A kit that no paper names, that was replaced, or whose plates do not stack as one of these steps
    asks."""
    printed = store.printed(key(kit))
    if printed is None:
        near = store.near_parts(kit)
        return [f"kit {kit} is not known here" + (f"; near: {', '.join(near)}" if near else "")]
    found = current(printed, store.supersessions([key(kit)]), case.on)
    said = []
    if key(printed) not in {key(n) for n in found.numbers}:
        notes = ", ".join(dict.fromkeys(s.note for s in found.path))
        said.append(f"kit {printed} has been replaced by {' and '.join(found.numbers)} ({notes})")
    return said + _order_warnings(store, printed, case, steps)


def _order_warnings(store: Shelf, kit: str, case: Case, steps: Sequence[Step]) -> list[str]:
    family = Family(store, [kit])
    expected = expected_contents(store, kit, family, case.on)
    if expected.basis != "contents":
        return []
    shown = {(s.publication, s.page, s.label) for s in steps}
    linked = Links(store, kit, family, case, expected).find()
    if not any((p.step.publication, p.step.page, p.step.label) in shown for p in linked):
        return []
    verdict = check_pack(plate_counts(expected.lines), linked)
    return [f"kit {kit}: {reason}" for reason in verdict.reasons] if verdict.hold else []


def _model_warnings(store: Shelf, question: ProcedureQuestion, works: Sequence[Chapter]) -> list[str]:
    """A model that neither the publication nor any of its notes names would silently lose every note."""
    if question.model is None:
        return (
            ["no model is named: notes for certain models are left out"]
            if any(w.for_models for w in works)
            else []
        )
    asked, said = key(question.model), []
    for work in works:
        covered = {key(m) for m in work.chosen.manual.models}
        if asked in covered:
            continue
        if covered and asked not in work.for_models:
            near = store.near_numbers("model", question.model)
            named = ", ".join(work.chosen.manual.models)
            raise NotHeld(
                f"{work.chosen.manual.number} covers {named}, and no note on it names {question.model}",
                near or work.chosen.manual.models,
                f"did you mean {', '.join(near or work.chosen.manual.models)}?",
            )
        book = work.chosen.manual.number
        said.append(f"{book} does not name model {question.model}: check that it is the right book")
    return said
