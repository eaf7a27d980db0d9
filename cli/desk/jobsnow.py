"""The jobs with their news, worked out once for every state of the store: each costs a whole procedure."""

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchleaf.cli.desk.holdsnow import state_of
from benchleaf.graph.jobs.answer import JobAnswer, job_answer
from benchleaf.graph.jobs.touched import TouchedJob, jobs_with_news
from benchleaf.graph.keys import key
from benchleaf.graph.quantities.units import OWN_UNITS

if TYPE_CHECKING:
    from pathlib import Path

    from benchleaf.graph.store import Store

Mark = tuple[object, ...]
MOST_KEPT = 20
"""Jobs whose cards are kept."""


@dataclass(frozen=True, slots=True)
class Jobs:
    """The jobs by their states, each with its news. A shipped one that something touches may come back."""

    opened: tuple[TouchedJob, ...]
    built: tuple[TouchedJob, ...]
    comebacks: tuple[TouchedJob, ...]
    shipped: tuple[TouchedJob, ...]

    @property
    def in_work(self) -> tuple[TouchedJob, ...]:
        """The jobs that are not shipped: open ones first."""
        return (*self.opened, *self.built)

    @property
    def waiting(self) -> tuple[TouchedJob, ...]:
        """The jobs in work of which somebody must look at something."""
        return tuple(t for t in self.in_work if t.news.waits or t.news.doubts)

    @property
    def count(self) -> int:
        """How many there are."""
        return len(self.in_work) + len(self.comebacks) + len(self.shipped)


class JobsNow:
    """Keeps the jobs' news of one store until the store, its units or the day changes."""

    def __init__(self) -> None:
        self._kept: tuple[Mark, Jobs] | None = None
        self._answers: dict[str, tuple[Mark, JobAnswer]] = {}

    def of(self, store: "Store", today: dt.date) -> Jobs:
        """Every job, and what is news to it."""
        mark, kept = _mark(store.folder, today), self._kept
        if mark is not None and kept is not None and kept[0] == mark:
            return kept[1]
        found = _by_state(jobs_with_news(store, store.jobs(), today))
        self._kept = None if mark is None else (mark, found)
        return found

    def answer(self, store: "Store", number: str, today: dt.date) -> JobAnswer:
        """Everything about one job. Raises NotHeld with the nearest numbers."""
        mark, kept = _mark(store.folder, today), self._answers.get(key(number))
        if mark is not None and kept is not None and kept[0] == mark:
            return kept[1]
        found = job_answer(store, number, today)
        if mark is not None:
            self._answers = dict([*self._answers.items()][-MOST_KEPT:]) | {key(number): (mark, found)}
        return found


def _by_state(found: tuple[TouchedJob, ...]) -> Jobs:
    shipped = [t for t in found if t.job.state == "shipped"]
    return Jobs(
        opened=tuple(t for t in found if t.job.state == "opened"),
        built=tuple(t for t in found if t.job.state == "built"),
        comebacks=tuple(t for t in shipped if _may_come_back(t)),
        shipped=tuple(t for t in shipped if not _may_come_back(t)),
    )


def _may_come_back(touched: TouchedJob) -> bool:
    """True for a shipped unit that something touches; another box of its kit on hold does not."""
    return touched.news.comeback or bool(touched.news.measured)


def _mark(folder: "Path", today: dt.date) -> Mark | None:
    """A mark that differs once the answers may; None where it cannot be told."""
    state = state_of(folder)
    return None if state is None else (state, _changed(folder / OWN_UNITS), today)


def _changed(path: "Path") -> int | None:
    """When a file was last written; None without one."""
    try:
        return path.stat().st_mtime_ns
    except OSError:
        return None
