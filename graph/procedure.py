"""The procedure in force for a unit, the kits at hand and a date: steps in order, each saying where it is
from."""

import datetime as dt
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchleaf.graph.applicability import Unit
from benchleaf.graph.binding import Family, plate_counts
from benchleaf.graph.cautions import cautions
from benchleaf.graph.chapter import Chapter, NotApplied, Step
from benchleaf.graph.chosen import choose
from benchleaf.graph.errors import NotHeld
from benchleaf.graph.keys import key
from benchleaf.graph.model import Override
from benchleaf.graph.overrides import Case
from benchleaf.graph.shelf import Shelf
from benchleaf.graph.store import Store
from benchleaf.graph.supersession import current

if TYPE_CHECKING:
    from benchleaf.graph.kits.holding import StandingHold

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
    on. `holds` are the holds in effect on the kits that these steps use, each told first among the
    warnings."""

    unit: Unit
    kits: tuple[str, ...]
    on: dt.date | None
    steps: tuple[Step, ...]
    left_out: tuple[NotApplied, ...]
    warnings: tuple[str, ...]
    cautions: tuple[str, ...]
    holds: "tuple[StandingHold, ...]" = ()


def procedure_answer(store: Shelf, question: ProcedureQuestion) -> ProcedureAnswer:
    """The steps asked for, as they stand for this unit and these kits on this date.

    Raises `NotHeld` with the nearest for an unknown publication, page, section or model.
    """
    unit = Unit(question.model, question.serial, question.built)
    case = Case(unit, question.kits, question.on)
    chosen = choose(store, question.publication, question.page, question.section, question.model)
    works = [Chapter(store, c, case).run() for c in chosen]
    steps = tuple(s for w in works for s in w.steps)
    holds = _holds(store, question.kits, works)
    warnings = [h.sentence for h in holds]
    warnings += [w for work in works for w in work.warnings]
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
        holds=holds,
    )


def _holds(store: Shelf, named: Sequence[str], works: Sequence[Chapter]) -> "tuple[StandingHold, ...]":
    """The holds in effect on the kits that these steps use, judged by everything held: what lies in the box
    does not depend on the day asked for."""
    if isinstance(store, Store) and not store.holds(lifted=True):
        return ()  # what judges kits is imported only where there is a hold to judge
    from benchleaf.graph.kits.holding import Held, standing_holds

    if not isinstance(store, Held):
        return ()
    standing = standing_holds(store)
    if not standing:
        return ()
    assumed = {key(k) for work in works for k in _assumed(store, named, work)}
    steps = {(key(s.publication), key(s.page), key(s.item or s.label)) for w in works for s in w.steps}
    return tuple(h for h in standing if _used(store, h, named, assumed, steps))


def _used(
    store: Shelf,
    hold: "StandingHold",
    named: Sequence[str],
    assumed: Collection[str],
    steps: Collection[tuple[str, str, str]],
) -> bool:
    """Whether a kit on hold would be used: it is named, it is assumed, or these are its steps.

    A kit of the same family as a named one is not meant, nor is an older kit where none is named. Where other
    kits are named, only a step that names this one uses it: most links of a kit to a step are looser.
    """
    number = key(hold.kit)
    if number in {key(k) for k in named}:
        return True
    if Family(store, [hold.kit]).kin(hold.kit, named) != "none":
        return False
    if number in assumed:
        return True
    newest = current(hold.kit, store.supersessions([number])).numbers
    if number not in {key(n) for n in newest}:
        return False
    by_name = {(m.publication, m.page, m.item) for m in store.mentions(hold.kit)}
    loose = () if named else ((s.publication, s.page, s.item) for s in hold.steps)
    places = {(key(p), key(page or ""), key(item or "")) for p, page, item in (*by_name, *loose)}
    return not places.isdisjoint(steps)


def _assumed(store: Shelf, named: Sequence[str], work: Chapter) -> list[str]:
    """The kits to which steps shown are bound by the notes in force, and what replaced them, where none of
    the kits named is of their family."""
    found: list[str] = []
    for o, binding in work.known.bound.items():
        shown = any(_shaped(s, o) for s in work.steps)
        if shown and all(work.known.family.kin(k, binding.kits) == "none" for k in named):
            for kit in binding.kits:
                found += [kit, *current(kit, store.supersessions([key(kit)]), work.case.on).numbers]
    return found


def _shaped(step: Step, o: Override) -> bool:
    """Whether an override is in force in a step, or inserted it."""
    here = o.target.page is None or key(o.target.page) == key(step.page)
    same = step.item is None or key(step.item) == key(o.target.item or "")
    return here and same and o.note in (step.origin, *step.changed_by)


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
    from benchleaf.graph.kits.expected import expected_contents
    from benchleaf.graph.kits.packcheck import check_pack
    from benchleaf.graph.kits.packstep import Links

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
