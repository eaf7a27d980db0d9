"""The originals: every file taken in, unchanged, under the hash of its bytes."""

import os
from collections.abc import Iterator
from pathlib import Path

from benchleaf.graph.db.connection import ORIGINALS, OpenStore
from benchleaf.graph.db.schema import keep_file, settle_file, sync_folder
from benchleaf.graph.errors import StoreProblem, WrongUse

_HEX = frozenset("0123456789abcdef")


def sha256_of(path: Path) -> str:
    """The SHA-256 of a file's bytes, read in pieces."""
    import hashlib

    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


class Originals(OpenStore):
    """Keeps and finds the original files of a store."""

    def original(self, sha256: str) -> Path:
        """Where the file of that hash is kept (whether or not it is there)."""
        if len(sha256) != 64 or not _HEX.issuperset(sha256):
            raise WrongUse(f"not a SHA-256: {sha256!r}")
        return self.folder / ORIGINALS / sha256

    def keep_original(self, sha256: str, data: bytes) -> None:
        """Writes the file's bytes under their hash, lasting before it returns; a kept one is left as it is.

        Call it before the row that names the file is stored: a kill in between leaves a file too many, never
        one too few. Raises WrongUse if the bytes have another hash, StoreProblem if they cannot be written.
        """
        if not self.writable:
            raise WrongUse("the store was opened only to read.")
        import hashlib

        if hashlib.sha256(data).hexdigest() != sha256:
            raise WrongUse("the bytes do not have the hash they are to be kept under.")
        final = self.original(sha256)
        try:
            if final.is_file() and final.stat().st_size == len(data) and sha256_of(final) == sha256:
                keep_file(final)  # a run that was killed may have left it without making it lasting
            else:
                self._write(final, data)
        except OSError as error:
            raise StoreProblem(
                f"the original cannot be kept: {error}", "Check room and permissions."
            ) from error

    def _write(self, final: Path, data: bytes) -> None:
        final.parent.mkdir(exist_ok=True)
        sync_folder(final.parent.parent)
        temporary = final.with_name(f"{final.name}.{os.getpid()}.part")
        try:
            temporary.write_bytes(data)
            settle_file(temporary, final)
        finally:
            temporary.unlink(missing_ok=True)

    def original_files(self) -> Iterator[Path]:
        """Every kept file, half-written ones of a killed run left out, in order of hash."""
        folder = self.folder / ORIGINALS
        if folder.is_dir():
            yield from sorted(p for p in folder.iterdir() if p.is_file() and _HEX.issuperset(p.name))
