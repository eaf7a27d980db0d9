"""The libraries that only office papers need: an extra, named where it is missing."""

from collections.abc import Iterator
from contextlib import contextmanager

from benchleaf.graph.errors import RefusedFile

COMMAND = "pip install 'benchleaf[office]'"
"""What adds the libraries."""


@contextmanager
def office(kind: str) -> Iterator[None]:
    """Imports inside it that fail raise RefusedFile, which names the kind of file and the command."""
    try:
        yield
    except ImportError as missing:
        raise RefusedFile(
            f"{kind} cannot be read: {missing.name or 'a library'} is not installed",
            f"Add it with: {COMMAND}",
        ) from missing
