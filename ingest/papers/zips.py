"""Guards for office files, which are zips of XML: too much inflated, or entities that swell."""

import io
import zipfile
import zlib
from collections.abc import Iterator

from benchleaf.graph.errors import RefusedFile

MOST_BYTES = 200_000_000
"""Bytes that one member may have when inflated; all together twice that."""
MOST_MEMBERS = 10_000
_CHUNK = 1 << 20
_KEPT = 64  # bytes carried over, so that a word over two chunks is seen
_REMEDY = "Print it as PDF and add that."
_DECLARED = tuple(w.encode(c) for w in ("<!DOCTYPE", "<!ENTITY") for c in ("utf-8", "utf-16-le", "utf-16-be"))


def guard(data: bytes) -> None:
    """Raises RefusedFile for a zip that inflates to too much, is damaged or locked, or declares entities.

    ISO/IEC 29500-2 allows no document type declaration in the parts of an office file, so that none is lost.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            _sized(packed)
            for member in packed.infolist():
                if member.filename.lower().endswith((".xml", ".rels")):
                    _checked(packed, member)
    except (zipfile.BadZipFile, zlib.error, EOFError, ValueError, NotImplementedError, OSError) as damage:
        raise RefusedFile(
            f"the file is damaged ({damage})", "Fetch it again, or print it as PDF."
        ) from damage
    except RuntimeError as locked:  # zipfile's word for a member with a password
        raise RefusedFile(
            "the file is locked with a password", "Save it without one and add that."
        ) from locked


def _sized(packed: zipfile.ZipFile) -> None:
    members = packed.infolist()
    if len(members) > MOST_MEMBERS:
        raise RefusedFile(f"the file has {len(members):,} parts, more than any office file needs", _REMEDY)
    swollen = max((m.file_size for m in members), default=0)
    if swollen > MOST_BYTES or sum(m.file_size for m in members) > 2 * MOST_BYTES:
        raise RefusedFile("the file swells to hundreds of megabytes when it is unpacked", _REMEDY)


def _checked(packed: zipfile.ZipFile, member: zipfile.ZipInfo) -> None:
    for chunk in _chunks(packed, member):
        if any(sign in chunk for sign in _DECLARED):
            raise RefusedFile("the file declares entities, which office files never do", _REMEDY)


def _chunks(packed: zipfile.ZipFile, member: zipfile.ZipInfo) -> Iterator[bytes]:
    kept = b""
    with packed.open(member) as part:
        while chunk := part.read(_CHUNK):
            yield kept + chunk
            kept = chunk[-_KEPT:]


def cell_count(data: bytes) -> int:
    """How many cells the worksheets of a workbook hold, told without reading them. `data` is guarded."""
    count = 0
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        for member in packed.infolist():
            if member.filename.startswith("xl/worksheets/"):
                for chunk in _chunks(packed, member):
                    fresh = chunk[_KEPT - 3 :] if len(chunk) > _KEPT else chunk
                    count += fresh.count(b"<c ") + fresh.count(b"<c>")
    return count
