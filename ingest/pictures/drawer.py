"""The drawer of pictures in the store: a sheet drawn from its original, and where a picture is kept.

Pictures are named by what they show, so that each is made once. What lies in the drawer can be made again at
any time.
"""

import os
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import blake2b
from pathlib import Path
from typing import TYPE_CHECKING

from benchleaf.graph.db.schema import settle_file
from benchleaf.graph.errors import RefusedFile, StoreProblem
from benchleaf.graph.store import Store

if TYPE_CHECKING:
    from PIL import Image

PICTURES = "pictures"
"""The folder in the store."""
DPI = 150
_ONE_AT_A_TIME = threading.Lock()  # pdfium is not thread-safe


def upright_sheet(store: Store, sha256: str, sheet: int, dpi: float = DPI) -> "Image.Image | None":
    """A sheet as it was read, turned and straightened; None for what has no picture."""
    from benchleaf.ingest.scan.pictures import is_picture
    from benchleaf.ingest.scan.reading import upright_picture
    from benchleaf.ingest.sheets.pdf import is_pdf

    original = store.original(sha256)
    if not original.is_file():
        return None
    data = original.read_bytes()
    if not (is_pdf(data) or is_picture(data)):
        return None
    scans = {scan.sheet: scan for scan in store.scans(sha256)}
    try:
        with _ONE_AT_A_TIME:
            return upright_picture(data, sheet, scans.get(sheet), dpi)
    except (RefusedFile, StoreProblem):
        return None


def drawer(store: Store, marks: str) -> Path:
    """Where the picture described by `marks` is kept, whether or not it is there."""
    return store.folder / PICTURES / f"{blake2b(marks.encode(), digest_size=16).hexdigest()}.png"


def kept(path: Path, picture: "Image.Image") -> Path:
    """Write a picture under its name, lasting before this returns."""
    path.parent.mkdir(exist_ok=True)
    temporary = path.with_name(f"{path.name}.{os.getpid()}.part")
    try:
        picture.save(temporary, format="PNG", optimize=True)
        settle_file(temporary, path)
    finally:
        temporary.unlink(missing_ok=True)
    return path


@contextmanager
def writing(store: Store) -> Iterator[None]:
    """Turns a failed write into StoreProblem with its remedy."""
    try:
        yield
    except OSError as error:
        raise StoreProblem(
            f"pictures cannot be kept in {store.folder / PICTURES}: {error}", "Check room and permissions."
        ) from error
