"""What a disk may hold after a power cut, from a record of what was asked of it.

A file's bytes are sure once it was synced, a name once its folder was. Of everything later any part may be
there: each sector of each write, the file's new length, each name, in any order. SQLite takes a sector that
is not written to as safe (its "powersafe overwrite", the default on every system), and so does this.
"""

import random
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path

from recorder import Event

SECTOR = 512
MODES = ("killed", "nothing", "names only", "bytes only", "any part", "any part")
"""Which of what was not synced is there: everything (no power cut, only a kill), nothing, and so on."""


@dataclass(slots=True)
class _File:
    """One file, whatever its names: its sure bytes and what was asked since."""

    sure: bytearray = field(default_factory=bytearray)
    since: list[Event] = field(default_factory=list)
    folder: bool = False


@dataclass(frozen=True, slots=True)
class _Naming:
    """A name given or taken away: in one folder, of one file."""

    event: Event
    file: _File | None


class Disk:
    """A disk that follows a record, event by event."""

    def __init__(self, start: Path) -> None:
        self._names: dict[Path, _File] = {}
        self._sure_names: dict[Path, _File] = {}
        self._namings: list[_Naming] = []
        for path in sorted(start.rglob("*")):
            file = _File(folder=True) if path.is_dir() else _File(bytearray(path.read_bytes()))
            self._names[path] = self._sure_names[path] = file
        self._names[start] = self._sure_names[start] = _File(folder=True)

    def follow(self, event: Event) -> None:
        """Takes one event in."""
        path = Path(event.path)
        match event.what:
            case "create" | "mkdir":
                self._name(event, path)
            case "write" | "truncate":
                self._names[path].since.append(event)
            case "sync":
                file = self._names[path]
                file.sure, file.since = _written(file, None, 1.0), []
            case "rename":
                self._namings.append(_Naming(event, self._names[path]))
                self._names[Path(event.other)] = self._names.pop(path)
            case "delete" if path in self._names:
                self._namings.append(_Naming(event, None))
                del self._names[path]
        if event.what == "syncdir" or event.folder_too:
            self._sync_folder(path if event.what == "syncdir" else path.parent)

    def _name(self, event: Event, path: Path) -> None:
        if path in self._names and event.what == "mkdir":
            return
        if path in self._names:
            self._names[path].since.append(Event("truncate", event.path, at=0))
            return
        self._names[path] = _File(folder=event.what == "mkdir")
        self._namings.append(_Naming(event, self._names[path]))

    def _sync_folder(self, folder: Path) -> None:
        for naming in self._namings:
            if Path(naming.event.path).parent == folder:
                _apply(self._sure_names, naming)
        self._namings = [n for n in self._namings if Path(n.event.path).parent != folder]

    def after_cut(self, mode: str, chance: random.Random) -> dict[Path, bytes | None]:
        """The paths that are there after a cut now, with their bytes; None for a folder."""
        bytes_kept = {"killed": 1.0, "bytes only": 1.0, "any part": chance.random()}.get(mode, 0.0)
        names_kept = {"killed": 1.0, "names only": 1.0, "any part": chance.random()}.get(mode, 0.0)
        names = dict(self._sure_names)
        for naming in self._namings:
            if chance.random() < names_kept:
                _apply(names, naming)
        return {
            path: None if file.folder else bytes(_written(file, chance, bytes_kept))
            for path, file in names.items()
            if all(parent in names for parent in path.parents if parent in self._names)
        }


def _apply(names: dict[Path, _File], naming: _Naming) -> None:
    event, path = naming.event, Path(naming.event.path)
    if event.what == "delete":
        names.pop(path, None)
    elif event.what == "rename" and naming.file is not None:
        names.pop(path, None)
        names[Path(event.other)] = naming.file
    elif naming.file is not None:
        names[path] = naming.file


def _written(file: _File, chance: random.Random | None, kept: float) -> bytearray:
    """The file's bytes if each sector written since the last sync is there with the chance `kept`."""
    held = bytearray(file.sure)

    def there() -> bool:
        return chance is None or chance.random() < kept

    for event in file.since:
        if event.what == "truncate":
            if there():
                del held[event.at :]
        else:
            for start, piece in _sectors(event):
                if there():
                    held.extend(bytes(max(0, start - len(held))))
                    held[start : start + len(piece)] = piece
    return held


def _sectors(event: Event) -> Iterable[tuple[int, bytes]]:
    end = event.at + len(event.data)
    edges = [event.at, *range((event.at // SECTOR + 1) * SECTOR, end, SECTOR), end]
    for start, stop in pairwise(edges):
        yield start, event.data[start - event.at : stop - event.at]
