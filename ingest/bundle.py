"""Several notes in one file: each with its own sheets."""

from collections.abc import Sequence

from benchleaf.ingest.shapes import LaidPage


def split_notes(pages: Sequence[LaidPage]) -> tuple[tuple[LaidPage, ...], ...]:
    """The sheets of each note in a file, in order."""
    return (tuple(pages),)
