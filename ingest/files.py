"""Files as they lie on the disk: found, opened without ever waiting, hashed, and refused by size."""

import os
import stat
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path
from typing import BinaryIO

from benchleaf.graph.errors import RefusedFile

MOST_BYTES = 2_000_000_000
"""No paper is larger; a disk's image or a film is."""
_PIECE = 1 << 20
_BEGINNING = 1 << 16


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


def digest_of(file: Path) -> str:
    """The SHA-256 of a file's bytes. Raises RefusedFile if it is no readable file or too large a one."""
    digest = sha256()
    for piece in _pieces(file):
        digest.update(piece)
    return digest.hexdigest()


def bytes_of(file: Path) -> bytes:
    """A file's bytes. Raises RefusedFile if it is no readable file or too large a one."""
    return b"".join(_pieces(file))


def beginning_of(file: Path) -> bytes:
    """A file's first bytes, which tell what it is. Raises what `bytes_of` raises."""
    with _opened(file) as opened:
        return opened.read(_BEGINNING)


def _pieces(file: Path) -> Iterator[bytes]:
    """The file piece by piece; one that grows while it is read is refused like one that is too large."""
    seen = 0
    with _opened(file) as opened:
        while piece := opened.read(_PIECE):
            seen += len(piece)
            _fits(seen)
            yield piece


@contextmanager
def _opened(file: Path) -> Iterator[BinaryIO]:
    try:
        if not file.exists():
            raise RefusedFile("no such file", "check the name")
        if not file.is_file():
            raise _no_file()
        with open(file, "rb", buffering=0, opener=_at_once) as opened:
            _fits(os.fstat(opened.fileno()).st_size)
            yield opened
    except OSError as error:
        raise RefusedFile(f"cannot be opened ({error.strerror})") from error


def _at_once(path: str, flags: int) -> int:
    """Opens a regular file and nothing else: a pipe would wait for its writer, a device may never end."""
    descriptor = os.open(path, flags | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0))
    if not stat.S_ISREG(os.fstat(descriptor).st_mode):
        os.close(descriptor)
        raise _no_file()  # it was put in the file's place just now
    return descriptor


def _no_file() -> RefusedFile:
    return RefusedFile("is not a regular file", "Copy what it holds into a file and add that.")


def _fits(size: int) -> None:
    if size > MOST_BYTES:
        raise RefusedFile(
            f"is larger than {MOST_BYTES // 1_000_000_000} GB, or grows while it is read",
            "Split it into smaller files, or wait until it is whole, and add those.",
        )
