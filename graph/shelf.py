"""The shelf: what the answers of this room ask of a store. `Store` has these methods, and so may a test's
fake."""

import datetime as dt
from collections.abc import Collection, Sequence
from typing import Literal, Protocol, runtime_checkable

from benchleaf.graph.model import (
    Cancels,
    Contents,
    Item,
    Manual,
    Note,
    Override,
    Statement,
    Supersession,
    Target,
    Withdrawn,
)

NumberKind = Literal["publication", "note", "page", "model"]


class Mention(Protocol):
    """A step that names a part: publication, page and item as printed."""

    @property
    def publication(self) -> str:
        """The publication's number."""

    @property
    def page(self) -> str | None:
        """The printed page number; None if not known."""

    @property
    def item(self) -> str | None:
        """The item's label; None for a parts list."""


class Place(Protocol):
    """A place that a search found: a step, a note, a sheet or a part number."""

    @property
    def kind(self) -> str:
        """One of "item", "note", "sheet", "part"."""

    @property
    def note(self) -> str | None:
        """The note's number, if a note it is."""

    @property
    def publication(self) -> str | None:
        """The publication's number, if a step it is."""

    @property
    def page(self) -> str | None:
        """The printed page number."""

    @property
    def file(self) -> str | None:
        """The file's name."""

    @property
    def sheet(self) -> int | None:
        """The sheet of the file."""


@runtime_checkable
class Searched(Protocol):
    """A shelf that can be searched by words, as the store can."""

    def search(self, words: str, limit: int = 50) -> Sequence[Place]:
        """What holds all the words; a phrase stands between quotation marks."""


class Shelf(Protocol):
    """Reading access to everything held. Numbers are compared by key; see `benchleaf.graph.keys`."""

    def publications(self) -> tuple[Manual, ...]:
        """Every publication held, its pages carrying their items."""

    def publications_like(self, number: str) -> tuple[Manual, ...]:
        """The held editions of one publication."""

    def item(self, target: Target) -> tuple[Item, ...]:
        """The held items that match a target."""

    def notes(self) -> tuple[Note, ...]:
        """Every note held, by date."""

    def note(self, number: str) -> Note | None:
        """One note, with its statements; of several revisions the newest."""

    def note_head(self, number: str) -> Note | None:
        """The same without its statements: a list of numbers can have a million."""

    def notes_like(self, number: str) -> tuple[Note, ...]:
        """Every held revision of a note, newest first."""

    def statements(
        self, *, note: str | None = None, kind: str | None = None, standing: str | None = None
    ) -> tuple[Statement, ...]:
        """Statements of one note, kind or standing."""

    def overrides(self, publication: str, page: str | None = None) -> tuple[Override, ...]:
        """Overrides of one publication or page, of every standing; doubtful ones that name no publication
        or no page are among them where they could be meant."""

    def supersessions(self, keys: Collection[str]) -> tuple[Supersession, ...]:
        """The whole connected neighbourhood of some part keys."""

    def contents(self, kit: str) -> tuple[Contents, ...]:
        """What is said of one kit's contents, of every standing."""

    def manual_contents(self, kit: str) -> tuple[Contents, ...]:
        """What the manuals themselves say of one kit's contents; `note` is the publication's number."""

    def contents_with(self, part: str) -> tuple[Contents, ...]:
        """Kits said to contain a part."""

    def withdrawals(self, part: str) -> tuple[Withdrawn, ...]:
        """Statements that a part is no longer supplied."""

    def cancellations(self) -> tuple[Cancels, ...]:
        """Every statement that takes a note out of force."""

    def mentions(self, part: str) -> tuple[Mention, ...]:
        """The steps that name a part."""

    def printed(self, part_key: str) -> str | None:
        """A part number as written in the sources, or None if it is not held."""

    def near_parts(self, part: str) -> tuple[str, ...]:
        """Part numbers one typing or reading error away."""

    def near_numbers(self, kind: NumberKind, asked: str, within: str | None = None) -> tuple[str, ...]:
        """Held numbers of a kind close to the one asked."""

    def received_between(self, first: dt.date, last: dt.date) -> tuple[Note, ...]:
        """Notes received from `first` to `last`, both included."""
