"""Jobs and rows: how changes and pins stand in the database, and what job follows from its changes."""

import datetime as dt
import json
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from benchleaf.graph.db import rows
from benchleaf.graph.db.holds import read_came
from benchleaf.graph.jobs.job import (
    About,
    Change,
    Entry,
    Job,
    JobState,
    Pin,
    PinnedKit,
    PinnedNote,
    PinnedStep,
    Signed,
)
from benchleaf.graph.keys import key
from benchleaf.graph.model import KitLine, Notice

Row = Any


def read_change(row: Row) -> Change:
    """A change from its row."""
    return Change(
        kind=row["kind"],
        day=dt.date.fromisoformat(row["day"]),
        at=dt.datetime.fromisoformat(row["at"]),
        initials=row["initials"],
        body=tuple((name, value) for name, value in json.loads(row["body"])),
    )


def job_of(number: str, changes: Sequence[Change]) -> Job:
    """The job that its changes make, in the order in which they were written."""
    work = _Work(number)
    for change in changes:
        work.take(change)
    return work.job()


class _Work:
    """A job put together from its changes."""

    def __init__(self, number: str) -> None:
        self.number = number
        self.days: dict[JobState, dt.date] = {}
        self.signed: dict[JobState, str] = {}
        self.named: dict[str, Any] = {}
        self.unit: dict[str, str | None] = {}
        self.plate: dict[str, tuple[str, str]] = {}
        self.kits: dict[str, str] = {}
        self.lists: dict[str, list[Any]] = {}

    def take(self, change: Change) -> None:
        """One change more."""
        match change.kind:
            case "opened" | "built" | "shipped":
                self.days[change.kind] = change.day
                self.signed[change.kind] = change.initials
            case "unit":
                self.unit.update(change.body)
            case "plate":
                for name, value in change.body:
                    self.plate[" ".join(name.casefold().split())] = (name, value)
            case "kit":
                self.kits[key(change.word("kit") or "")] = change.word("kit") or ""
            case "without kit":
                self.kits.pop(key(change.word("kit") or ""), None)
            case _:
                self.lists.setdefault(change.kind, []).append(_READ[change.kind](change))

    def job(self) -> Job:
        """The job as it is now."""
        states: tuple[JobState, ...] = ("shipped", "built", "opened")
        return Job(
            number=self.number,
            model=self.unit.get("model") or None,
            serial=self.unit.get("serial") or None,
            kits=tuple(self.kits.values()),
            state=next((s for s in states if s in self.days), "opened"),
            opened=self.days["opened"],
            built=self.days.get("built"),
            shipped=self.days.get("shipped"),
            date_of_build=rows.read_date(self.unit.get("built") or None),
            plate=tuple(self.plate.values()),
            doubts=tuple(self.lists.get("doubt", ())),
            about=tuple(dict.fromkeys(self.lists.get("about", ()))),
            found=tuple(r for lines in self.lists.get("found", ()) for r in lines),
            found_remarks=tuple(self.lists.get("found remark", ())),
            remarks=tuple(self.lists.get("remark", ())),
            despite=tuple(self.lists.get("despite hold", ())),
            entries=tuple(self.lists.get("entry", ())),
            signed=tuple(self.signed.items()),
        )


def _signed(change: Change) -> Signed:
    return Signed(change.word("words") or "", change.initials, change.day)


def _about(change: Change) -> About:
    return About(change.word("publication"), change.word("page"), change.word("section"))


def _entry(change: Change) -> Entry:
    return Entry(
        publication=change.word("publication") or "",
        page=change.word("page") or "",
        label=change.word("label") or "",
        value=change.word("value") or "",
        initials=change.initials,
        at=change.at,
        verdict=change.word("verdict"),
        printed=tuple(json.loads(change.word("printed") or "[]")),
        why=tuple(json.loads(change.word("why") or "[]")),
        which=change.word("which"),
    )


_READ: dict[str, Callable[[Change], Any]] = {
    "doubt": _signed,
    "remark": _signed,
    "found remark": _signed,
    "despite hold": _signed,
    "about": _about,
    "found": lambda change: read_came(change.word("lines")),
    "entry": _entry,
}


def write_pin(pin: Pin) -> str:
    """What a pin holds, as one JSON text."""
    body = {
        "steps": [_step_out(s) for s in pin.steps],
        "notes": [[n.number, rows.write_date(n.date), n.revision] for n in pin.notes],
        "kits": [[k.kit, _lines_out(k.lines), k.note, list(k.current)] for k in pin.kits],
        "state": pin.state,
    }
    return json.dumps(body, ensure_ascii=False)


def _step_out(step: PinnedStep) -> dict[str, Any]:
    named = {name: getattr(step, name) for name in _STEP_WORDS}
    lists = {"notices": [[n.kind, n.text] for n in step.notices], "changed_by": list(step.changed_by)}
    return {name: value for name, value in {**named, **lists}.items() if value not in (None, [])}


_STEP_WORDS = ("publication", "page", "label", "item", "text", "origin", "section", "printed")


def _lines_out(lines: Iterable[KitLine]) -> list[list[Any]]:
    return [[line.part, line.description, line.quantity] for line in lines]


def read_pin(row: Row) -> Pin:
    """A pin from its row."""
    body = json.loads(row["body"])
    return Pin(
        occasion=row["occasion"],
        day=dt.date.fromisoformat(row["day"]),
        at=dt.datetime.fromisoformat(row["at"]),
        initials=row["initials"],
        steps=tuple(_step_in(s) for s in body["steps"]),
        notes=tuple(PinnedNote(n, rows.read_date(date), rev) for n, date, rev in body["notes"]),
        kits=tuple(
            PinnedKit(kit, tuple(KitLine(*x) for x in lines), note, tuple(now))
            for kit, lines, note, now in body["kits"]
        ),
        state=body["state"],
    )


def _step_in(named: dict[str, Any]) -> PinnedStep:
    words: dict[str, Any] = {name: named.get(name) for name in _STEP_WORDS}
    notices = tuple(Notice(*pair) for pair in named.get("notices", ()))
    return PinnedStep(**words, notices=notices, changed_by=tuple(named.get("changed_by", ())))
