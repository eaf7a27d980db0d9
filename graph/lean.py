"""What a store answers from few rows, and a shelf without a database need not: the answers ask for it where
it is there, and read everything where it is not. Both ways give the same answer."""

from collections.abc import Collection
from typing import Protocol, runtime_checkable

from benchleaf.graph.model import Cancels, Contents, Manual, Note, Override, Statement

Counts = tuple[int | None, int | None]
"""Friction and steel plates; None for a kind that is not counted."""


@runtime_checkable
class Lean(Protocol):
    """A shelf that finds what is asked without reading whole books and every note."""

    def cancellations_of(self, notes: Collection[str]) -> tuple[Cancels, ...]:
        """Every statement that takes one of these notes, or one that cancels it, out of force."""

    def note_heads(self, number: str) -> tuple[Note, ...]:
        """Every held revision of a note, newest first, without its statements."""

    def notes_headed(self, model: str | None, publications: Collection[str]) -> tuple[Note, ...]:
        """Notes without their statements, by date, then number, lists left out: every revision of those that
        name kits in their heads, or that model, or cite one of the publications; perhaps others."""

    def notes_numbered(self, numbers: Collection[str]) -> tuple[Note, ...]:
        """Every revision of the notes of these numbers, without statements, in the same order; no lists."""

    def notes_newest(self, numbers: Collection[str], *, whole: bool = False) -> dict[str, Note]:
        """Key → the newest revision of the note of each of these numbers, without its statements unless
        `whole`; without those that only lists bear."""

    def notes_saying(self, words: str, limit: int) -> frozenset[str]:
        """The numbers of the notes among what a search for these words finds."""

    def contents_counting(self, counts: Counts) -> tuple[Contents, ...]:
        """What notes say of kits whose present lines may count just these plates, by id; perhaps others."""

    def kits_counting(self, counts: Counts) -> tuple[tuple[str, str], ...]:
        """Of those whose present lines count just these plates: the note and the kit, by id."""

    def holds_note(self, number: str) -> bool:
        """Whether a note, or a list, of that number is held."""

    def notes_citing(self) -> tuple[Note, ...]:
        """The notes that speak of others or of books without changing them, without their statements, in the
        order of `notes`."""

    def overrides_astray(self) -> tuple[Override, ...]:
        """The overrides, but for refused ones, whose publication, or page of it, is not held; by id."""

    def overrides_on(self, publication: str, pages: Collection[str]) -> tuple[Override, ...]:
        """Those of `overrides` of one publication that name one of these pages (keys), or no page."""

    def models_overridden(self, publication: str) -> tuple[str, ...]:
        """The models for which the overrides of one publication are meant, each as printed."""

    def astray_of_notes(self, numbers: Collection[str]) -> tuple[Statement, ...]:
        """Of the newest revision of each note, in this order: such overrides, and every cancellation, by
        id."""

    def astray_on(self, publication: str) -> tuple[Override, ...]:
        """Those of `overrides` of one publication whose publication, or page of it, is not held."""

    def page_keys(self, publication: str) -> frozenset[str] | None:
        """The keys of the pages held of a publication, of every edition; None if it is not held."""

    def leaves_like(self, number: str, page: str) -> tuple[Manual, ...]:
        """The held editions of one publication with no more of their pages than the first and those of that
        number; only the latter have their steps. Parts lists and kits are left out."""

    def packs_like(self, number: str) -> tuple[Manual, ...]:
        """The held editions of one publication with no more of their pages than the first and those with a
        step that speaks of stacking a pack, and of their steps only such. Parts lists and kits are left
        out."""

    def covers(self) -> tuple[Manual, ...]:
        """Every publication held by its cover, with its first page alone and that without steps, in the order
        of `publications`."""

    def packs_in(self, number: str) -> frozenset[int]:
        """The ids of the steps of one publication, of every edition, that speak of stacking a pack."""

    def books_counting(self, counts: Counts) -> frozenset[str]:
        """The keys of the publications with a step whose pack counts just these plates."""
