"""Taking files into the store: one document, one transaction; one refused file never stops the others."""

import datetime as dt
import tempfile
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from benchleaf.graph.errors import RefusedFile
from benchleaf.graph.model import Document, DocumentKind, Finding
from benchleaf.graph.restand import restand
from benchleaf.graph.store import HeldFile, Store
from benchleaf.ingest.dayorder import settle_day_order
from benchleaf.ingest.files import beginning_of, digest_of, find_files
from benchleaf.ingest.lists.lists import list_name
from benchleaf.ingest.lists.streamed import is_long_list, take_list
from benchleaf.ingest.ocrchoice import OCR_VARIABLE, engine_chosen
from benchleaf.ingest.workers.ahead import Ahead, Awaited
from benchleaf.ingest.workers.jobs import Paper
from benchleaf.ingest.workers.readers import Here, Readers

__all__ = ["OCR_VARIABLE", "AddReport", "FileOutcome", "add_paths", "engine_chosen", "find_files"]

_DEEPEST = 4  # enclosed mails within enclosed mails


@dataclass(frozen=True, slots=True)
class FileOutcome:
    """What became of one file: read, held already, or refused with a reason."""

    path: str
    outcome: str
    sha256: str | None = None
    document: DocumentKind | None = None
    number: str | None = None
    pages: int = 0
    pages_by_ocr: int = 0
    statements: int = 0
    doubts: int = 0
    reason: str | None = None
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class AddReport:
    """Every file with its outcome, in the order in which they were taken."""

    files: tuple[FileOutcome, ...]

    def count(self, outcome: str) -> int:
        """How many files had this outcome."""
        return sum(f.outcome == outcome for f in self.files)


def add_paths(
    store: Store,
    paths: Sequence[Path],
    now: dt.datetime,
    progress: Callable[[FileOutcome, int], None] | None = None,
    readers: Readers | None = None,
    rows: Callable[[str, int], None] | None = None,
) -> AddReport:
    """Take files and folders into the store. `progress` is called with each outcome and the number of files,
    `rows` with the path of a long list and the number of its rows stored so far; `readers` read them, without
    any this process does.

    Raises StoreProblem if the store itself cannot be written, WrongUse if the shop's own wordings are
    malformed or slow; a bad file is only an outcome.
    """
    files = find_files(paths, store.folder)
    ahead = Ahead.of(store, readers or Here())
    outcomes: list[FileOutcome] = []
    with tempfile.TemporaryDirectory(prefix="benchleaf-") as room:
        for outcome in _Intake(store, ahead, now, Path(room), rows).outcomes(files):
            outcomes.append(outcome)
            if progress is not None:
                progress(outcome, len(files))
    manuals = {o.number for o in outcomes if o.outcome == "read" and o.document == "manual" and o.number}
    if manuals:
        from benchleaf.ingest.unnamed import name_units  # it reads again, and reading again takes in

        name_units(store, manuals, ahead)
    if any(outcome.outcome == "read" for outcome in outcomes):
        settle_day_order(store)
    return AddReport(tuple(outcomes))


@dataclass(frozen=True, slots=True)
class _Given:
    """A file to take in: where it lies, what it is called, what the outcome calls it."""

    file: Path
    name: str
    path: str


@dataclass(frozen=True, slots=True)
class _Refused:
    reason: str


@dataclass(frozen=True, slots=True)
class _Reading:
    """A paper that is being read; `awaited` is None for one that the store holds."""

    paper: Paper
    awaited: Awaited | None


@dataclass(frozen=True, slots=True)
class _Intake:
    """Takes files in, in their order, each in one transaction; `room` is a folder for what mails enclose."""

    store: Store
    ahead: Ahead
    now: dt.datetime
    room: Path
    rows: Callable[[str, int], None] | None = None

    def outcomes(self, files: Sequence[Path]) -> Iterator[FileOutcome]:
        """What became of each file, and behind an e-mail of what it encloses, each as a file of its own."""
        return self._taken((_Given(f, f.name, str(f)) for f in files), _DEEPEST)

    def _taken(self, given: Iterable[_Given], depth: int) -> Iterator[FileOutcome]:
        for one, begun in self.ahead.in_order(given, self._begun):
            if isinstance(begun, _Refused):
                yield FileOutcome(one.path, "refused", reason=begun.reason)
                continue
            outcome = self._ended(one, begun)
            yield outcome
            if depth >= 0 and outcome.outcome != "refused" and _is_mail(one.file):
                yield from self._enclosures(one, begun.paper, depth - 1)

    def _enclosures(self, mail: _Given, paper: Paper, depth: int) -> Iterator[FileOutcome]:
        """What became of a mail's enclosures, those of enclosed mails behind them."""
        with tempfile.TemporaryDirectory(dir=self.room) as folder:
            given = []
            for at, one in enumerate(self.ahead.enclosed(paper)):
                file = Path(folder) / str(at)
                file.write_bytes(one.data)
                given.append(_Given(file, one.name, f"{mail.path}/{one.name}"))
            yield from self._taken(given, depth)

    def _begun(self, one: _Given) -> _Reading | _Refused:
        try:
            digest = digest_of(one.file)
            paper = Paper(one.name, digest, str(one.file.absolute()))
            return _Reading(paper, self._await(one, paper))
        except RefusedFile as refusal:
            return _Refused(refusal.sentence)

    def _await(self, one: _Given, paper: Paper) -> Awaited | None:
        if self.store.held(paper.sha256) or is_long_list(one.file):
            return None
        return self.ahead.begin(paper)

    def _listed(self, one: _Given, paper: Paper) -> FileOutcome:
        """A long list, taken in as it is read."""
        try:
            data = paper.content()
        except RefusedFile as refusal:
            return FileOutcome(one.path, "refused", reason=refusal.sentence)
        step = self.rows
        progress = None if step is None else lambda count: step(one.path, count)
        told = take_list(self.store, data, one.name, paper.sha256, self.now, progress)
        return FileOutcome(
            path=one.path,
            outcome="read",
            sha256=paper.sha256,
            document="list",
            number=list_name(one.name),
            pages=1,
            statements=told.statements,
            doubts=told.doubts,
            findings=told.findings,
        )

    def _ended(self, one: _Given, begun: _Reading) -> FileOutcome:
        """One transaction, or none."""
        held = self.store.held(begun.paper.sha256)
        if held is not None:  # perhaps only since its reading was begun: another file had the same bytes
            return _held_outcome(self.store, one.path, held)
        if begun.awaited is None and is_long_list(one.file):
            return self._listed(one, begun.paper)
        reading = self.ahead.end(begun.awaited or self.ahead.begin(begun.paper))
        if reading.document is None:
            return FileOutcome(one.path, "refused", reason=reading.refusal)
        try:
            data = begun.paper.content()
        except RefusedFile as changed:
            return FileOutcome(one.path, "refused", reason=changed.sentence)
        self.store.keep_original(begun.paper.sha256, data)
        with self.store.transaction():
            held = self.store.held(begun.paper.sha256)  # another program may have been first
            if held is None:
                number = self.store.insert(reading.document, self.now.date(), self.now)
                restand(self.store, number, reading.document)
        if held is not None:
            return _held_outcome(self.store, one.path, held)
        return _read_outcome(self.store, one.path, number, reading.document)


def _is_mail(file: Path) -> bool:
    from benchleaf.ingest.papers.kinds import is_mail

    try:
        return is_mail(beginning_of(file))
    except RefusedFile:
        return False


def _held_outcome(store: Store, path: str, held: HeldFile) -> FileOutcome:
    number = store.number_of_file(held.id)
    return FileOutcome(path, "held", held.sha256, held.kind, number, held.sheets)


def _read_outcome(store: Store, path: str, number: int, document: Document) -> FileOutcome:
    statements = store.statements_of_document(number)
    return FileOutcome(
        path=path,
        outcome="read",
        sha256=document.sha256,
        document=document.kind,
        number=_number(document),
        pages=len(document.sheets),
        pages_by_ocr=sum(s.by_ocr for s in document.sheets),
        statements=len(statements),
        doubts=sum(s.standing == "doubtful" for s in statements),
        findings=document.findings,
    )


def _number(document: Document) -> str | None:
    if document.manual is not None:
        return document.manual.number
    return document.notes[0].number if document.notes else None
