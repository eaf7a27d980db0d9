"""Units in work: opened, built, shipped."""

import datetime as dt
from dataclasses import dataclass
from typing import Any, Literal

from benchleaf.graph.db import rows
from benchleaf.graph.db.connection import OpenStore
from benchleaf.graph.errors import NotHeld, WrongUse
from benchleaf.graph.keys import key

JobState = Literal["opened", "built", "shipped"]
_STATES: tuple[JobState, ...] = ("opened", "built", "shipped")


@dataclass(frozen=True, slots=True)
class Job:
    """A unit in work under the shop's own job number; the days on which it was opened, built and shipped."""

    number: str
    model: str | None
    serial: str | None
    kits: tuple[str, ...]
    state: JobState
    opened: dt.date
    built: dt.date | None = None
    shipped: dt.date | None = None


class Jobs(OpenStore):
    """Opens, moves on and lists jobs."""

    def jobs(self, state: JobState | None = None) -> tuple[Job, ...]:
        """Every job, or those in one state, in the order in which they were opened."""
        found = self._rows("SELECT * FROM job WHERE ?1 IS NULL OR state = ?1 ORDER BY opened, id", state)
        return tuple(map(_job, found))

    def job(self, number: str) -> Job | None:
        """The job of that number, or None."""
        row = self._row("SELECT * FROM job WHERE number_key = ?", key(number))
        return None if row is None else _job(row)

    def open_job(
        self, number: str, model: str | None, serial: str | None, kits: tuple[str, ...], on: dt.date
    ) -> Job:
        """Opens a job. Inside a transaction. Raises WrongUse if the number is empty or in use."""
        if not key(number):
            raise WrongUse("a job needs a number.")
        if self.job(number) is not None:
            raise WrongUse(f"job {number} is in use.", "Choose another number.")
        unit = {"number": number.strip(), "number_key": key(number), "model": model, "serial": serial}
        self._insert(
            "job", {**unit, "kits": rows.write_list(kits), "state": "opened", "opened": on.isoformat()}
        )
        return self._job_of(number)

    def move_job(self, number: str, state: JobState, on: dt.date) -> Job:
        """Sets a job built or shipped on a day. Inside a transaction.

        Raises NotHeld for an unknown job, WrongUse for a step back or a day before the last.
        """
        job = self._job_of(number)
        if _STATES.index(state) <= _STATES.index(job.state):
            raise WrongUse(f"job {job.number} is {job.state} already.")
        if on < (job.built or job.opened):
            raise WrongUse(f"job {job.number} was {job.state} later than {on.isoformat()}.")
        self._change(
            f"UPDATE job SET state = ?, {state} = ? WHERE number_key = ?", state, on.isoformat(), key(number)
        )
        return self._job_of(number)

    def fit_kit(self, number: str, kit: str) -> Job:
        """Adds a kit to a job. Inside a transaction. Raises NotHeld for an unknown job."""
        job = self._job_of(number)
        if key(kit) not in {key(k) for k in job.kits}:
            kits = rows.write_list((*job.kits, kit.strip()))
            self._change("UPDATE job SET kits = ? WHERE number_key = ?", kits, key(number))
        return self._job_of(number)

    def _job_of(self, number: str) -> Job:
        job = self.job(number)
        if job is None:
            raise NotHeld(f"there is no job {number}.", remedy="`benchleaf job` lists them.")
        return job


def _job(row: Any) -> Job:
    return Job(
        number=row["number"],
        model=row["model"],
        serial=row["serial"],
        kits=rows.read_list(row["kits"]),
        state=row["state"],
        opened=dt.date.fromisoformat(row["opened"]),
        built=rows.read_date(row["built"]),
        shipped=rows.read_date(row["shipped"]),
    )
