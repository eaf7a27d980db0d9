"""The weekly report as a sheet: each step with its words before and after, by unit."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchleaf.cli.show_week import by_unit
from benchleaf.graph.model import Target

if TYPE_CHECKING:
    from benchleaf.graph.store import Store
    from benchleaf.graph.week import WeekAnswer, WeekStep


@dataclass(frozen=True, slots=True)
class StepChange:
    """A step that a note of the week speaks of, with what it said (None for a step that is added) and what
    it says by that note (None for one that is deleted). `cancelled_by` is the note that cancelled that
    note."""

    step: "WeekStep"
    was: str | None
    now: str | None
    cancelled_by: str | None = None


@dataclass(frozen=True, slots=True)
class UnitChanges:
    """The steps that hold for some models."""

    models: tuple[str, ...]
    changes: tuple[StepChange, ...]


@dataclass(frozen=True, slots=True)
class WeekView:
    """The report, its steps by unit."""

    answer: "WeekAnswer"
    units: tuple[UnitChanges, ...]

    @property
    def title(self) -> str:
        """The week's name, or the span's."""
        return f"Week {self.answer.week}" if self.answer.week else "Report"


def week_view(store: "Store", answer: "WeekAnswer") -> WeekView:
    """The report with the words of each step before and after."""
    gone = {note.number: note.cancelled_by for note in answer.notes}
    units = [
        UnitChanges(tuple(models), tuple(step_change(store, s, gone.get(s.note)) for s in steps))
        for models, steps in by_unit(answer.steps)
    ]
    return WeekView(answer, tuple(units))


def step_change(store: "Store", step: "WeekStep", cancelled_by: str | None = None) -> StepChange:
    """What a step said before the note, and what it says by it; the manual's own words where the note quotes
    none."""
    if step.action in ("insert-after", "insert-before", "caution"):
        return StepChange(step, None, step.text, cancelled_by)
    if step.action == "change-value":
        return StepChange(step, step.was, step.now, cancelled_by)
    items = store.item(Target(step.publication, step.page, step.item))
    printed = items[0].text if len(items) == 1 else step.was
    return StepChange(step, printed, step.text, cancelled_by)
