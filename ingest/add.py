"""Taking files into the store: one document, one transaction; one refused file never stops the others."""

import datetime as dt
import os
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import cast, get_args

from benchleaf.graph.errors import BenchleafError, RefusedFile, WrongUse
from benchleaf.graph.model import Document, DocumentKind, Finding, ScanSheet
from benchleaf.graph.restand import restand
from benchleaf.graph.store import HeldFile, Store
from benchleaf.ingest.dayorder import settle_day_order
from benchleaf.ingest.document import read_document
from benchleaf.ingest.head.opening import Known
from benchleaf.ingest.papers.kinds import is_mail
from benchleaf.ingest.phrases.phrasebook import PhraseBook, load
from benchleaf.ingest.scan.engines import EngineChoice

_DEEPEST = 4  # enclosed mails within enclosed mails
OCR_VARIABLE = "BENCHLEAF_OCR"
OWN_WORDINGS = "phrases.toml"
"""The shop's own wordings, beside the database in the store's folder."""


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


def find_files(paths: Sequence[Path], store: Path | None = None) -> list[Path]:
    """Files as named, and those in named folders at any depth, sorted; links are not followed, and the
    store's own folder is left out."""
    found: dict[Path, None] = {}
    for path in paths:
        for file in _below(path, store.resolve() if store else None):
            found[file] = None
    return list(found)


def _below(path: Path, store: Path | None) -> Iterator[Path]:
    if not path.is_dir():
        yield path
    elif store is None or path.resolve() != store:
        for child in sorted(path.iterdir()):
            if not child.is_symlink():
                yield from _below(child, store)


def add_paths(
    store: Store,
    paths: Sequence[Path],
    now: dt.datetime,
    book: PhraseBook | None = None,
    progress: Callable[[FileOutcome, int], None] | None = None,
) -> AddReport:
    """Take files and folders into the store. `progress` is called with each outcome and the number of files.

    Raises StoreProblem if the store itself cannot be written; a bad file is only an outcome.
    """
    files = find_files(paths, store.folder)
    book = book or own_book(store)
    outcomes: list[FileOutcome] = []
    for file in files:
        for outcome in add_file(store, file, now, book):
            outcomes.append(outcome)
            if progress is not None:
                progress(outcome, len(files))
    manuals = {o.number for o in outcomes if o.outcome == "read" and o.document == "manual" and o.number}
    if manuals:
        from benchleaf.ingest.unnamed import name_units  # it reads again, and reading again takes in

        name_units(store, manuals, book)
    if any(outcome.outcome == "read" for outcome in outcomes):
        settle_day_order(store)
    return AddReport(tuple(outcomes))


def own_book(store: Store) -> PhraseBook | None:
    """The phrase book with the shop's own wordings, if `phrases.toml` lies in its store; else None.

    Raises WrongUse if that file is malformed or one of its patterns is slow.
    """
    own = store.folder / OWN_WORDINGS
    return load(own) if own.is_file() else None


def add_file(store: Store, file: Path, now: dt.datetime, book: PhraseBook | None = None) -> list[FileOutcome]:
    """Take one file in, and what an e-mail encloses, each as a file of its own; or say why not."""
    try:
        data = _bytes_of(file)
    except RefusedFile as refusal:
        return [FileOutcome(str(file), "refused", reason=refusal.sentence)]
    outcomes = [add_bytes(store, data, file.name, str(file), now, book)]
    if is_mail(data) and outcomes[0].outcome != "refused":
        outcomes += _enclosures(store, data, str(file), now, book, _DEEPEST)
    return outcomes


def _enclosures(
    store: Store, mail: bytes, path: str, now: dt.datetime, book: PhraseBook | None, depth: int
) -> Iterator[FileOutcome]:
    """What became of a mail's enclosures, those of enclosed mails behind them."""
    from benchleaf.ingest.papers.mail import read_mail

    for enclosure in read_mail(mail).enclosures:
        inner = f"{path}/{enclosure.name}"
        outcome = add_bytes(store, enclosure.data, enclosure.name, inner, now, book)
        yield outcome
        if depth and outcome.outcome != "refused" and is_mail(enclosure.data):
            yield from _enclosures(store, enclosure.data, inner, now, book, depth - 1)


def add_bytes(
    store: Store, data: bytes, name: str, path: str, now: dt.datetime, book: PhraseBook | None = None
) -> FileOutcome:
    """Take one paper in by its bytes; `path` is what the outcome calls it. One transaction, or none."""
    digest = sha256(data).hexdigest()
    held = store.held(digest)
    if held is not None:
        return _held_outcome(store, path, held)
    try:
        document = read_whole(data, name, book, known=known_to(store))
    except RefusedFile as refusal:
        return FileOutcome(path, "refused", reason=refusal.sentence)
    store.keep_original(digest, data)
    with store.transaction():
        number = store.insert(document, now.date(), now)
        restand(store, number, document)
    return _read_outcome(store, path, number, document)


def read_whole(
    data: bytes,
    name: str,
    book: PhraseBook | None = None,
    scans: Sequence[ScanSheet] = (),
    known: Known | None = None,
) -> Document:
    """A document with at least some words.

    Raises RefusedFile for any other file, whatever is wrong with it.
    """
    try:
        document = read_document(data, name, book, scans, engine_chosen(), known)
    except BenchleafError:
        raise
    except Exception as error:  # damaged files make readers fail in ways nobody can list; the batch goes on
        raise RefusedFile(f"could not be read ({type(error).__name__}: {error})") from error
    if all(s.picture for s in document.sheets):
        raise RefusedFile(
            "no words were read in the picture", "Scan it again, straight and at 200 dpi or more."
        )
    if not any(s.text.strip() for s in document.sheets):
        raise RefusedFile("holds no text")
    return document


def known_to(store: Store) -> Known:
    """What the manuals that are held name: models and numbers that the heads of notes will name too."""
    held = store.covered()
    models = tuple(dict.fromkeys(m for _, covered in held for m in covered))
    return Known(models, tuple(dict.fromkeys(number for number, _ in held)))


def engine_chosen() -> EngineChoice:
    """What the shop chose to read pictures with, by the variable BENCHLEAF_OCR; `auto` if nothing.

    Raises WrongUse for a name that is not known.
    """
    chosen = os.environ.get(OCR_VARIABLE, "auto").strip().lower() or "auto"
    if chosen not in get_args(EngineChoice):
        known = ", ".join(get_args(EngineChoice))
        raise WrongUse(f"{OCR_VARIABLE} is “{chosen}”, which is not known.", f"Set it to one of: {known}.")
    return cast(EngineChoice, chosen)


def _bytes_of(file: Path) -> bytes:
    try:
        if not file.exists():
            raise RefusedFile("no such file", "check the name")
        if not file.is_file():
            raise RefusedFile("is not a regular file")
        return file.read_bytes()
    except OSError as error:
        raise RefusedFile(f"cannot be opened ({error.strerror})") from error


def _held_outcome(store: Store, path: str, held: HeldFile) -> FileOutcome:
    document = store.document(held.sha256)
    number = None if document is None else _number(document)
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
