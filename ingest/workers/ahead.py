"""Readings begun a few files ahead of the one whose turn it is, and ended in the files' order.

The outcome is that of reading one file after the other: a reading that asked what the held manuals name is
done again if they name something else by the time its turn comes.
"""

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar

from benchleaf.graph.errors import RefusedFile, WrongUse
from benchleaf.graph.model import ScanSheet
from benchleaf.graph.store import Store
from benchleaf.ingest.head.knownmodels import Known
from benchleaf.ingest.ocrchoice import engine_chosen
from benchleaf.ingest.workers.endings import memory_refusal
from benchleaf.ingest.workers.jobs import (
    OWN_WORDINGS,
    Enclosed,
    Job,
    Paper,
    Reading,
    check_wordings,
    read,
    unpack,
)
from benchleaf.ingest.workers.readers import Readers, answer_of

One = TypeVar("One")
Begun = TypeVar("Begun")


@dataclass(frozen=True, slots=True)
class Awaited:
    """A reading under way, and what it was begun with."""

    job: Job
    future: Future[Reading]


@dataclass(frozen=True, slots=True)
class Ahead:
    """Has papers read for a store: `begin` some, `end` each when its turn comes."""

    store: Store
    readers: Readers
    wordings: bytes | None

    @classmethod
    def of(cls, store: Store, readers: Readers) -> "Ahead":
        """Raises WrongUse if the shop's own wordings are malformed or slow."""
        wordings = own_wordings(store)
        if wordings is not None:
            try:
                answer_of(readers.submit(check_wordings, wordings))
            except (RefusedFile, MemoryError) as slow:
                raise WrongUse(
                    f"{OWN_WORDINGS} cannot be read: {slow}", "Look at what was changed in it last."
                ) from slow
        return cls(store, readers, wordings)

    def begin(self, paper: Paper, scans: tuple[ScanSheet, ...] = ()) -> Awaited:
        """Have a paper read, with what the held manuals name by now."""
        job = Job(paper, known_to(self.store), engine_chosen(), scans, self.wordings)
        return self._submitted(job)

    def _submitted(self, job: Job) -> Awaited:
        if self.readers.sees_files:
            return Awaited(job, self.readers.submit(read, job))
        try:
            carried = replace(job, paper=job.paper.carried())
        except RefusedFile as refusal:
            gone: Future[Reading] = Future()
            gone.set_exception(refusal)
            return Awaited(job, gone)
        return Awaited(job, self.readers.submit(read, carried))

    def end(self, awaited: Awaited) -> Reading:
        """What was read, once more where that asked what held manuals name and another has come since."""
        reading = _told(awaited)
        while reading.asked and (known := known_to(self.store)) != awaited.job.known:
            awaited = self._submitted(replace(awaited.job, known=known))
            reading = _told(awaited)
        return reading

    def enclosed(self, paper: Paper) -> tuple[Enclosed, ...]:
        """What an e-mail encloses; nothing for another paper, and for one that cannot be unpacked."""
        try:
            given = paper if self.readers.sees_files else paper.carried()
            return answer_of(self.readers.submit(unpack, given))
        except (RefusedFile, MemoryError):
            return ()

    def in_order(self, ones: Iterable[One], begin: Callable[[One], Begun]) -> Iterator[tuple[One, Begun]]:
        """Each with what `begin` gave for it, in order; a few are begun before their turn."""
        waiting: deque[tuple[One, Begun]] = deque()
        width = self.readers.width
        most = 1 if width == 1 else 2 * width + 2  # while a long one is read, others are
        for one in ones:
            waiting.append((one, begin(one)))
            if len(waiting) >= most:
                yield waiting.popleft()
        while waiting:
            yield waiting.popleft()


def known_to(store: Store) -> Known:
    """What the manuals that are held name: models and numbers that the heads of notes will name too."""
    held = store.covered()
    models = tuple(dict.fromkeys(m for _, covered in held for m in covered))
    return Known(models, tuple(dict.fromkeys(number for number, _ in held)))


def own_wordings(store: Store) -> bytes | None:
    """The bytes of `phrases.toml` in the store's folder, if there is one. Raises WrongUse if it cannot be
    read."""
    own: Path = store.folder / OWN_WORDINGS
    try:
        return own.read_bytes() if own.is_file() else None
    except OSError as problem:
        raise WrongUse(f"{own} cannot be read: {problem.strerror}.", "Check its permissions.") from problem


def _told(awaited: Awaited) -> Reading:
    try:
        return answer_of(awaited.future)
    except RefusedFile as refusal:
        return Reading(None, refusal.sentence, asked=False)
    except MemoryError:
        return Reading(None, memory_refusal().sentence, asked=False)
