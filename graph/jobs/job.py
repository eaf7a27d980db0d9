"""A job: one unit in the shop under the shop's own number, and everything that was written down about it.

Only data, without rules. What a job is now follows from its changes, which are kept for ever.
"""

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from benchleaf.graph.applicability import Unit
from benchleaf.graph.model import KitLine, Notice

if TYPE_CHECKING:
    from benchleaf.graph.kits.received import Received

JobState = Literal["opened", "built", "shipped"]
STATES: tuple[JobState, ...] = ("opened", "built", "shipped")
Occasion = Literal["opened", "built"]
ChangeKind = Literal[
    "opened",
    "built",
    "shipped",
    "unit",
    "plate",
    "doubt",
    "kit",
    "without kit",
    "about",
    "found",
    "found remark",
    "remark",
    "entry",
    "despite hold",
]


@dataclass(frozen=True, slots=True)
class Change:
    """One thing written down about a job: of which kind, by whom and when. `body` are its words, by name.

    `initials` are empty only for what a store of before version 5 held: it did not keep them.
    """

    kind: ChangeKind
    day: dt.date
    at: dt.datetime
    initials: str
    body: tuple[tuple[str, str], ...] = ()

    def word(self, name: str) -> str | None:
        """One word of the body by its name; None where it has none."""
        return next((value for own, value in self.body if own == name), None)


@dataclass(frozen=True, slots=True)
class About:
    """What a job is about: a procedure by publication, page and words of a section's heading."""

    publication: str | None = None
    page: str | None = None
    section: str | None = None

    @property
    def words(self) -> str:
        """The procedure in words."""
        said = (self.publication, f"page {self.page}" if self.page else "", f"“{self.section or ''}”")
        return ", ".join(w for w in said if w and w != "“”") or "the whole publication of the model"


@dataclass(frozen=True, slots=True)
class Signed:
    """Words with who wrote them and when."""

    words: str
    initials: str
    day: dt.date


@dataclass(frozen=True, slots=True)
class Entry:
    """What was measured at a step. `verdict` says how it stands to the range that was in force at the time
    (None: it was not judged); `printed` are the step's own words for the range, `why` what must be known of
    the judgement, `which` the words beside the value meant, where a step gives several."""

    publication: str
    page: str
    label: str
    value: str
    initials: str
    at: dt.datetime
    verdict: str | None = None
    printed: tuple[str, ...] = ()
    why: tuple[str, ...] = ()
    which: str | None = None


@dataclass(frozen=True, slots=True)
class Job:
    """A unit in work, as its changes make it: unit, plate, doubts about its identity, kits, procedure, what
    was found at teardown, remarks, measured values, and the days of its states.

    `date_of_build` is the unit's own, `built` the day on which the shop built it.
    """

    number: str
    model: str | None
    serial: str | None
    kits: tuple[str, ...]
    state: JobState
    opened: dt.date
    built: dt.date | None = None
    shipped: dt.date | None = None
    date_of_build: dt.date | None = None
    plate: tuple[tuple[str, str], ...] = ()
    doubts: tuple[Signed, ...] = ()
    about: tuple[About, ...] = ()
    found: "tuple[Received, ...]" = ()
    found_remarks: tuple[Signed, ...] = ()
    remarks: tuple[Signed, ...] = ()
    despite: tuple[Signed, ...] = ()
    entries: tuple[Entry, ...] = ()
    signed: tuple[tuple[JobState, str], ...] = ()

    @property
    def unit(self) -> Unit:
        """The unit on the bench."""
        return Unit(self.model, self.serial, self.date_of_build)

    @property
    def words(self) -> str:
        """The unit in words."""
        said = (self.model, f"serial {self.serial}" if self.serial else "")
        return " ".join(w for w in said if w) or "unit not known"

    def by(self, state: JobState) -> str:
        """The initials of who brought it into a state; empty where they were not kept."""
        return dict(self.signed).get(state, "")


@dataclass(frozen=True, slots=True)
class PinnedStep:
    """A step as it stood when it was pinned. `item` is None for one that a note inserted, `text` None for a
    deleted one; `printed` are the manual's own words."""

    publication: str
    page: str
    label: str
    item: str | None
    text: str | None
    notices: tuple[Notice, ...]
    origin: str
    changed_by: tuple[str, ...]
    section: str | None = None
    printed: str | None = None


@dataclass(frozen=True, slots=True)
class PinnedNote:
    """A note that was considered: number, date and revision."""

    number: str
    date: dt.date | None
    revision: str | None


@dataclass(frozen=True, slots=True)
class PinnedKit:
    """A kit as the papers told it: its lines, whose word that was, and the numbers that were current."""

    kit: str
    lines: tuple[KitLine, ...]
    note: str | None
    current: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Pin:
    """What was in force when a job was opened or built, kept for ever: steps, notes considered, kits, and in
    words the state of the store."""

    occasion: Occasion
    day: dt.date
    at: dt.datetime
    initials: str
    steps: tuple[PinnedStep, ...]
    notes: tuple[PinnedNote, ...]
    kits: tuple[PinnedKit, ...]
    state: str
