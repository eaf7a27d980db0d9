"""The steps in force as a sheet to work by: words, who changed them, and lines for what is measured."""

from dataclasses import dataclass
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

from benchleaf.cli.sheets.crops import statement_crops, step_crops
from benchleaf.graph.model import Override

if TYPE_CHECKING:
    from benchleaf.graph.procedure import ProcedureAnswer, Step
    from benchleaf.graph.store import Store


@dataclass(frozen=True, slots=True)
class Change:
    """A note's hand in a step: its statement, and the cut-out of the note's own words."""

    said: Override
    crop: Path | None


@dataclass(frozen=True, slots=True)
class StepView:
    """A step with the changes that hold for it; `crop` shows it as the manual prints it, where asked for."""

    step: "Step"
    changes: tuple[Change, ...]
    crop: Path | None


@dataclass(frozen=True, slots=True)
class Stretch:
    """Steps that follow each other under one heading of one publication."""

    publication: str
    section: str | None
    steps: tuple[StepView, ...]


@dataclass(frozen=True, slots=True)
class ProcedureView:
    """The whole procedure, by headings."""

    answer: "ProcedureAnswer"
    stretches: tuple[Stretch, ...]


def procedure_view(store: "Store", answer: "ProcedureAnswer", *, pictures: bool = False) -> ProcedureView:
    """The procedure with the cut-outs of the notes that changed it, and of every printed step if asked."""
    said = {id: s for step in answer.steps for id in step.applied if (s := store.statement(id)) is not None}
    cut = statement_crops(store, said.values())
    printed = step_crops(store, answer.steps) if pictures else {}

    def view(step: "Step") -> StepView:
        held = [said[id] for id in step.applied if id in said]
        hands = [o for o in held if isinstance(o, Override) and _own(step, o)]
        changes = tuple(Change(o, cut.get(o.id or 0)) for o in hands)
        return StepView(step, changes, printed.get((step.publication, step.page, step.label)))

    runs = groupby(map(view, answer.steps), key=lambda v: (v.step.publication, v.step.section))
    return ProcedureView(answer, tuple(Stretch(p, section, tuple(run)) for (p, section), run in runs))


def _own(step: "Step", o: Override) -> bool:
    """An insertion is told with the step that it brings, not with the one it stands beside."""
    return step.item is None or o.action not in ("insert-after", "insert-before")
