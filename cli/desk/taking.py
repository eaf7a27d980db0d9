"""Adding files from the desk: received into a folder of their own, read by a process of its own, one batch at
a time."""

import json
import os
import re
import secrets
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Literal

from benchleaf.cli.clean import one_line
from benchleaf.graph.errors import BenchleafError, WrongUse

State = Literal["reading", "done", "failed"]
_UNFIT = re.compile(r"[^\w .()+-]")
_LONGEST_STEM, _LONGEST_ENDING = 180, 20  # bytes
_REMEMBERED = 20
"""Batches whose outcome can still be looked at."""


class Busy(BenchleafError):
    """A batch is being read already."""


@dataclass(frozen=True, slots=True)
class Taken:
    """What became of a file: its name, its outcome, what it is, why it was refused, and what was odd."""

    name: str
    outcome: str
    document: str | None
    number: str | None
    pages: int
    by_ocr: int
    statements: int
    reason: str | None
    findings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Batch:
    """Files that are being read, or were. `told` is what became of holds, `doubts` how many readings wait."""

    id: str
    names: tuple[str, ...]
    begun: float
    state: State = "reading"
    files: tuple[Taken, ...] = ()
    doubts: int = 0
    told: tuple[str, ...] = ()
    problem: str = ""

    @property
    def seconds(self) -> int:
        """How long it has been read by now."""
        return int(time.monotonic() - self.begun)

    def count(self, outcome: str) -> int:
        """How many files had this outcome."""
        return sum(f.outcome == outcome for f in self.files)


Save = Callable[[Path], None]
"""Writes one received file to the path given."""


@dataclass(slots=True)
class Taking:
    """The batches of one desk; safe from several threads."""

    store: Path
    _batches: dict[str, Batch] = field(default_factory=dict)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def find(self, id: str) -> Batch | None:
        """The batch of this id, as it stands."""
        with self._lock:
            return self._batches.get(id)

    def reading(self) -> Batch | None:
        """The batch that is being read now."""
        with self._lock:
            return self._reading()

    def begin(self, files: Iterable[tuple[str, Save]]) -> Batch:
        """Receives the files by their names and begins to read them. Raises Busy while another batch is
        read, and WrongUse for no file."""
        named = [(_shown(name), save) for name, save in files]
        if not named:
            raise WrongUse("no file was chosen", "Choose one or more files, or drop them.")
        with self._lock:
            if self._reading() is not None:
                raise Busy("other files are being read just now", "Wait until they are done, then add these.")
            batch = Batch(secrets.token_hex(8), tuple(name for name, _ in named), time.monotonic())
            self._put(batch)
        room = Path(tempfile.mkdtemp(prefix="benchleaf-desk-"))
        try:
            paths = [_received(room, at, name, save) for at, (name, save) in enumerate(named)]
        except BaseException:
            self._end(replace(batch, state="failed", problem="The files could not be received."), room)
            raise
        threading.Thread(target=self._read, args=(batch, room, paths), daemon=True).start()
        return batch

    def _reading(self) -> Batch | None:
        return next((b for b in self._batches.values() if b.state == "reading"), None)

    def _put(self, batch: Batch) -> None:
        self._batches[batch.id] = batch
        for old in list(self._batches)[:-_REMEMBERED]:
            del self._batches[old]

    def _read(self, batch: Batch, room: Path, paths: list[Path]) -> None:
        ended = replace(batch, state="failed", problem="The reading stopped.")
        try:
            ended = _outcome(batch, _child(self.store, paths), paths)
        except OSError as error:
            ended = replace(ended, problem=f"The reading could not be begun: {error.strerror}")
        finally:
            self._end(ended, room)

    def _end(self, batch: Batch, room: Path) -> None:
        shutil.rmtree(room, ignore_errors=True)
        with self._lock:
            self._put(batch)


def _shown(name: str) -> str:
    """A file's own name, without what may stand before it."""
    return one_line(re.split(r"[/\\]", name)[-1])[:200] or "file without a name"


def _received(room: Path, at: int, name: str, save: Save) -> Path:
    """The file in a folder of its own, under what is plain in its name: the name is kept with the paper, and
    its ending tells some kinds."""
    from benchleaf.ingest.papers.enclosures import is_device

    stem, dot, ending = _UNFIT.sub("_", name).strip(" .").rpartition(".")
    if not dot:
        stem, ending = ending, ""
    plain = f"{_cut(stem, _LONGEST_STEM)}{dot}{_cut(ending, _LONGEST_ENDING)}"
    folder = room / f"{at:05d}"
    folder.mkdir()
    plain = plain.strip(" .") or "file"
    path = folder / (f"_{plain}" if is_device(plain) else plain)
    save(path)
    return path


def _cut(words: str, most: int) -> str:
    """The words, cut to so many bytes."""
    return words.encode("utf-8", "replace")[:most].decode("utf-8", "ignore")


def _child(store: Path, paths: list[Path]) -> "subprocess.CompletedProcess[bytes]":
    """Reads the files in a process of its own: a damaged file can take none of the desk with it."""
    line = [sys.executable, "-m", "benchleaf.cli.main", "--store", str(store), "add", "--json", "--"]
    quiet = {name: value for name, value in os.environ.items() if name != "BENCHLEAF_TRACE"}
    return subprocess.run(
        [*line, *map(str, paths)], capture_output=True, stdin=subprocess.DEVNULL, env=quiet, check=False
    )


def _outcome(batch: Batch, ended: "subprocess.CompletedProcess[bytes]", paths: list[Path]) -> Batch:
    """The batch with what the reading process told."""
    told = tuple(one_line(w) for w in ended.stderr.decode("utf-8", "replace").splitlines() if w.strip())
    try:
        shape = json.loads(ended.stdout)
        if "error" in shape:
            words = f"{shape['error']['message']} {shape['error']['remedy']}"
            return replace(batch, state="failed", problem=one_line(words))
        names = {str(path): name for path, name in zip(paths, batch.names, strict=True)}
        files = tuple(_taken(file, names) for file in shape["files"])
        return replace(batch, state="done", files=files, doubts=shape["totals"]["doubts"], told=told)
    except (ValueError, KeyError, TypeError):
        last = told[-1] if told else f"it ended with {ended.returncode}"
        return replace(batch, state="failed", problem=f"The reading stopped: {last}")


def _taken(file: "dict[str, object]", names: dict[str, str]) -> Taken:
    """A file from the reading process's answer, under the name that it was given with."""
    path = str(file["path"])
    above = next((p for p in names if path == p or path.startswith(f"{p}/")), None)
    found = file["findings"]
    assert isinstance(found, list)
    return Taken(
        name=path if above is None else f"{names[above]}{path[len(above) :]}",
        outcome=str(file["outcome"]),
        document=_words(file["document"]),
        number=_words(file["number"]),
        pages=int(str(file["pages"])),
        by_ocr=int(str(file["pages_by_ocr"])),
        statements=int(str(file["statements"])),
        reason=_words(file["reason"]),
        findings=tuple(str(f["message"]) for f in found),
    )


def _words(value: object) -> str | None:
    return None if value is None else str(value)
