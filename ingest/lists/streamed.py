"""A long list of superseded numbers, read and stored row by row: however long it is, no more of it than a
portion is in memory, and it is stored whole or not at all."""

import datetime as dt
from collections.abc import Callable
from dataclasses import replace
from io import BytesIO
from pathlib import Path

from benchleaf.graph.db.bulk import ListFile, ListTaken
from benchleaf.graph.store import Store
from benchleaf.ingest.files import beginning_of
from benchleaf.ingest.lists.lists import is_list, iter_list, read_list

LONG = 4_000_000
"""Bytes from which a list is stored as it is read; shorter ones go the way of all papers, to the same end."""


def is_long_list(file: Path) -> bool:
    """Whether a file is a list, and long. Raises RefusedFile if it cannot be read."""
    beginning = beginning_of(file)
    return len(beginning) > 0 and file.stat().st_size >= LONG and is_list(beginning)


def take_list(
    store: Store,
    data: bytes,
    name: str,
    digest: str,
    now: dt.datetime,
    progress: Callable[[int], None] | None = None,
) -> ListTaken:
    """Takes a list into the store in one transaction; how much there was. `progress` is called with the rows
    stored so far. Raises StoreProblem if the store cannot be written."""
    head = read_list(data[:65536], name).note
    file = ListFile(digest, name, replace(head, statements=()), now.date(), now)
    store.keep_original(digest, data)
    with store.transaction():
        return store.insert_list(file, iter_list(BytesIO(data), name), progress)
