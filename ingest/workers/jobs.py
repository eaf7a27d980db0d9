"""One reading as a job: a pure function of a file's bytes that any process can run."""

import tempfile
from dataclasses import dataclass, replace
from functools import lru_cache
from hashlib import sha256
from pathlib import Path

from benchleaf.graph.errors import BenchleafError, RefusedFile
from benchleaf.graph.model import Document, ScanSheet
from benchleaf.ingest import allowance
from benchleaf.ingest.files import bytes_of
from benchleaf.ingest.head.knownmodels import Known
from benchleaf.ingest.phrases.phrasebook import PhraseBook, load
from benchleaf.ingest.scan.engines import EngineChoice
from benchleaf.ingest.workers.consulted import Consulted

OWN_WORDINGS = "phrases.toml"
"""The shop's own wordings, beside the database in the store's folder."""


@dataclass(frozen=True, slots=True)
class Paper:
    """A file to read: its name, where its bytes lie (or the bytes), and the hash that they must have. `kept`
    is True for an original of the store."""

    name: str
    sha256: str
    path: str | None = None
    data: bytes | None = None
    kept: bool = False

    def content(self) -> bytes:
        """The file's bytes. Raises RefusedFile if they cannot be had or are no longer the same."""
        try:
            data = bytes_of(Path(self.path or "")) if self.data is None else self.data
        except RefusedFile as refusal:
            if not self.kept:
                raise
            raise RefusedFile(f"the original {refusal.message}", "Run `benchleaf check`.") from refusal
        if sha256(data).hexdigest() == self.sha256:
            return data
        if self.kept:
            raise RefusedFile("the original has changed", "Run `benchleaf check`.")
        raise RefusedFile("the file changed while it was being read", "Add it again once it is whole.")

    def carried(self) -> "Paper":
        """The paper with its bytes, for a worker that cannot see the file. Raises what `content` raises."""
        return replace(self, path=None, data=self.content())


@dataclass(frozen=True, slots=True)
class Job:
    """A paper with all that its reading depends on: the readings of its pictures that are held, what reads
    pictures, what the held manuals name, and the shop's own wordings (the bytes of their file)."""

    paper: Paper
    known: Known
    engine: EngineChoice = "auto"
    scans: tuple[ScanSheet, ...] = ()
    wordings: bytes | None = None


@dataclass(frozen=True, slots=True)
class Reading:
    """What a reading gave: the document, or why the file is refused. `asked` is whether it depended on what
    the held manuals name: with other manuals it might have come out otherwise."""

    document: Document | None
    refusal: str = ""
    asked: bool = True


@dataclass(frozen=True, slots=True)
class Enclosed:
    """A file that an e-mail encloses."""

    name: str
    data: bytes


def read(job: Job) -> Reading:
    """Read one paper. Whatever is wrong with it is a refusal; MemoryError alone is raised."""
    known = Consulted(job.known)
    try:
        document = read_whole(job, known)
    except RefusedFile as refusal:
        return Reading(None, refusal.sentence, known.asked)
    return Reading(document, asked=known.asked)


def read_whole(job: Job, known: Known) -> Document:
    """A document with at least some words.

    Raises RefusedFile for any other file, whatever is wrong with it.
    """
    from benchleaf.ingest.document import read_document

    data = job.paper.content()
    allowance.allow(allowance.A_MEGABYTE * len(data) / 1_000_000)
    try:
        book = book_of(job.wordings)
        document = read_document(data, job.paper.name, book, job.scans, job.engine, known)
    except (BenchleafError, MemoryError):
        raise
    except RecursionError as error:
        raise RefusedFile("is nested too deeply to be read", "Print it as PDF and add that.") from error
    except Exception as error:  # damaged files make readers fail in ways nobody can list; the batch goes on
        raise RefusedFile(f"could not be read ({type(error).__name__}: {error})") from error
    if all(s.picture for s in document.sheets):
        raise RefusedFile(
            "no words were read in the picture", "Scan it again, straight and at 200 dpi or more."
        )
    if not any(s.text.strip() for s in document.sheets):
        raise RefusedFile("holds no text")
    return document


def unpack(paper: Paper) -> tuple[Enclosed, ...]:
    """What an e-mail encloses; nothing for any other file. Raises RefusedFile if it cannot be read."""
    from benchleaf.ingest.papers.kinds import is_mail
    from benchleaf.ingest.papers.mail import read_mail

    data = paper.content()
    if not is_mail(data):
        return ()
    return tuple(Enclosed(e.name, e.data) for e in read_mail(data).enclosures)


def check_wordings(wordings: bytes) -> None:
    """Raises WrongUse, naming the phrase, if the shop's own wordings are malformed or slow."""
    book_of(wordings)


@lru_cache(maxsize=1)
def book_of(wordings: bytes | None) -> PhraseBook | None:
    """The phrase book with the shop's own wordings; None without any. Raises what `check_wordings` raises."""
    if wordings is None:
        return None
    with tempfile.TemporaryDirectory() as room:
        own = Path(room) / OWN_WORDINGS
        own.write_bytes(wordings)
        return load(own)
