"""Units in work: opened, built, shipped. Whatever is written down about one is kept for ever."""

import datetime as dt
import itertools
import json
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from benchleaf.graph.db.connection import OpenStore
from benchleaf.graph.errors import NotHeld, WrongUse
from benchleaf.graph.keys import key, natural

if TYPE_CHECKING:
    from benchleaf.graph.jobs.job import Change, ChangeKind, Job, JobState, Pin

_NEAREST = 3


class Jobs(OpenStore):
    """Opens, changes, moves on and lists jobs."""

    def jobs(self, state: "JobState | None" = None) -> "tuple[Job, ...]":
        """Every job, or those in one state, in the order in which they were opened."""
        from benchleaf.graph.db.jobrows import job_of, read_change

        sql = """SELECT job.number, job_change.* FROM job_change JOIN job ON job.id = job_id
                 ORDER BY job_id, job_change.id"""
        grouped = itertools.groupby(self._rows(sql), key=lambda row: (row["job_id"], row["number"]))
        found = [job_of(number, [read_change(row) for row in rows]) for (_, number), rows in grouped]
        wanted = [job for job in found if state is None or job.state == state]
        return tuple(sorted(wanted, key=lambda job: job.opened))

    def job(self, number: str) -> "Job | None":
        """The job of that number, or None."""
        from benchleaf.graph.db.jobrows import job_of

        row = self._row("SELECT number FROM job WHERE number_key = ?", key(number))
        return None if row is None else job_of(row["number"], self.job_changes(number))

    def job_changes(self, number: str) -> "tuple[Change, ...]":
        """Everything ever written down about a job, oldest first."""
        from benchleaf.graph.db.jobrows import read_change

        sql = """SELECT job_change.* FROM job_change JOIN job ON job.id = job_id
                 WHERE number_key = ? ORDER BY job_change.id"""
        return tuple(map(read_change, self._rows(sql, key(number))))

    def pins(self, number: str) -> "tuple[Pin, ...]":
        """What was in force when the job was opened and whenever it was built, oldest first."""
        from benchleaf.graph.db.jobrows import read_pin

        sql = """SELECT job_pin.* FROM job_pin JOIN job ON job.id = job_id
                 WHERE number_key = ? ORDER BY job_pin.id"""
        return tuple(map(read_pin, self._rows(sql, key(number))))

    def newest_pin(self, number: str) -> "Pin | None":
        """What was last pinned; None for a job that a store of before version 5 opened and that was not
        built since."""
        from benchleaf.graph.db.jobrows import read_pin

        sql = """SELECT job_pin.* FROM job_pin JOIN job ON job.id = job_id WHERE number_key = ?
                 ORDER BY job_pin.id DESC LIMIT 1"""
        row = self._row(sql, key(number))
        return None if row is None else read_pin(row)

    def near_jobs(self, number: str) -> tuple[str, ...]:
        """The numbers of jobs one typing error away, the nearest first."""
        from rapidfuzz.distance import OSA

        held = self._rows("SELECT number, number_key FROM job ORDER BY id")
        found = [(OSA.distance(row["number_key"], key(number)), row["number"]) for row in held]
        near = sorted((far, natural(n), n) for far, n in found if far <= max(1, len(key(number)) // 4))
        return tuple(n for _, _, n in near)[:_NEAREST]

    def open_job(
        self,
        number: str,
        model: str | None,
        serial: str | None,
        kits: tuple[str, ...],
        on: dt.date,
        *,
        initials: str = "",
        at: dt.datetime | None = None,
    ) -> "Job":
        """Opens a job. Inside a transaction. Raises WrongUse if the number is empty or in use."""
        if not key(number):
            raise WrongUse("a job needs a number.")
        held = self.job(number)
        if held is not None:
            raise WrongUse(f"the number of job {held.number} is in use.", "Choose another number.")
        self._insert("job", {"number": " ".join(number.split()), "number_key": key(number)})
        now = at or dt.datetime.combine(on, dt.time(), dt.UTC)
        self._keep_change(number, "opened", (), initials, now, on)
        unit = [(name, value) for name, value in (("model", model), ("serial", serial)) if value]
        if unit:
            self._keep_change(number, "unit", unit, initials, now, on)
        for kit in dict.fromkeys(kits):
            self._keep_change(number, "kit", [("kit", kit.strip())], initials, now, on)
        return self.job_or_stop(number)

    def change_job(
        self,
        number: str,
        kind: "ChangeKind",
        body: Iterable[tuple[str, str]],
        initials: str,
        at: dt.datetime,
    ) -> "Job":
        """Writes one thing down about a job; nothing that was written before goes away. Inside a transaction.

        Raises NotHeld for an unknown job."""
        self.job_or_stop(number)
        self._keep_change(number, kind, list(body), initials, at, at.date())
        return self.job_or_stop(number)

    def move_job(
        self,
        number: str,
        state: "JobState",
        on: dt.date,
        *,
        initials: str = "",
        at: dt.datetime | None = None,
    ) -> "Job":
        """Sets a job built or shipped on a day. Inside a transaction.

        A built job may be built again, until it is shipped. Raises NotHeld for an unknown job, WrongUse for a
        step back or a day before the last.
        """
        from benchleaf.graph.jobs.job import STATES

        job = self.job_or_stop(number)
        again = state == job.state == "built"
        if STATES.index(state) <= STATES.index(job.state) and not again:
            raise WrongUse(f"job {job.number} is {job.state} already.")
        if on < (job.built or job.opened):
            raise WrongUse(
                f"job {job.number} was {job.state} later than {on.isoformat()}.", "Check the machine's clock."
            )
        self._keep_change(number, state, (), initials, at or dt.datetime.combine(on, dt.time(), dt.UTC), on)
        return self.job_or_stop(number)

    def fit_kit(self, number: str, kit: str, *, initials: str = "", at: dt.datetime | None = None) -> "Job":
        """Adds a kit to a job. Inside a transaction. Raises NotHeld for an unknown job."""
        job = self.job_or_stop(number)
        if key(kit) not in {key(k) for k in job.kits}:
            now = at or dt.datetime.combine(job.built or job.opened, dt.time(), dt.UTC)
            self._keep_change(number, "kit", [("kit", kit.strip())], initials, now, now.date())
        return self.job_or_stop(number)

    def pin_job(self, number: str, pin: "Pin") -> None:
        """Keeps what is in force for a job, for ever. Inside a transaction. Raises NotHeld for an unknown
        job."""
        from benchleaf.graph.db.jobrows import write_pin

        self.job_or_stop(number)
        row = {"job_id": self._job_id(number), "occasion": pin.occasion, "day": pin.day.isoformat()}
        self._insert(
            "job_pin",
            {**row, "at": pin.at.isoformat(), "initials": pin.initials, "body": write_pin(pin)},
        )

    def job_or_stop(self, number: str) -> "Job":
        """The job of that number. Raises NotHeld with the nearest numbers."""
        job = self.job(number)
        if job is None:
            raise NotHeld(
                f"there is no job {number}.", self.near_jobs(number), "`benchleaf job list` lists them."
            )
        return job

    def _job_id(self, number: str) -> int:
        return int(self._rows("SELECT id FROM job WHERE number_key = ?", key(number))[0]["id"])

    def _keep_change(
        self,
        number: str,
        kind: str,
        body: Sequence[tuple[str, str]],
        initials: str,
        at: dt.datetime,
        day: dt.date,
    ) -> None:
        said = {"kind": kind, "body": json.dumps(list(map(list, body)), ensure_ascii=False)}
        signed = {"initials": initials.strip(), "at": at.isoformat(), "day": day.isoformat()}
        self._insert("job_change", {"job_id": self._job_id(number), **signed, **said})
