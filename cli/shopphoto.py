"""The photo of a shop's own note: kept as an original under its hash, which stands as the note's file."""

import io
import re
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from benchleaf.graph.errors import RefusedFile, WrongUse

if TYPE_CHECKING:
    from benchleaf.graph.model import Note
    from benchleaf.graph.store import Store
    from PIL import Image

MOST_BYTES = 20 * 1024 * 1024
_MOST_PIXELS = 60_000_000
_SIDE = 1000  # pixels of the picture that is shown
_COLOURS = 128
_FORMATS = ("PNG", "JPEG", "WEBP", "TIFF", "BMP", "GIF")
_HASH = re.compile(r"[0-9a-f]{64}")
_AGAIN = "Give a JPEG or PNG of up to 20 MB and 60 million pixels."


def read_photo(path: Path) -> bytes:
    """A photo's bytes from its file. Raises WrongUse if it cannot be read or is too large."""
    try:
        if path.stat().st_size > MOST_BYTES:
            raise WrongUse(f"{path.name} is too large", _AGAIN)
        return path.read_bytes()
    except OSError as error:
        raise WrongUse(f"{path.name} cannot be read: {error.strerror}", "Check the name.") from error


def keep_photo(store: "Store", photo: bytes) -> str:
    """Keeps a photo as an original; its hash. Raises RefusedFile for what is no photo."""
    if len(photo) > MOST_BYTES:
        raise RefusedFile("the photo is too large", _AGAIN)
    _shown(photo)
    digest = sha256(photo).hexdigest()
    store.keep_original(digest, photo)
    return digest


def photo_of(note: "Note") -> str | None:
    """The hash of the photo that a shop's own note was written with, if there was one."""
    return note.file if note.source == "shop" and _HASH.fullmatch(note.file) else None


def photo_picture(store: "Store", note: "Note") -> Path | None:
    """The photo as a picture to show, drawn anew from its points (what else a camera wrote into the file is
    left out), made once; None without one. Raises StoreProblem if the folder cannot be written."""
    from benchleaf.ingest.pictures.drawer import drawer, kept, writing

    digest = photo_of(note)
    if digest is None:
        return None
    path = drawer(store, f"{digest} photo {_SIDE} {_COLOURS}")
    if path.is_file():
        return path
    original = store.original(digest)
    try:
        picture = _shown(original.read_bytes())
    except (OSError, RefusedFile):
        return None
    with writing(store):
        return kept(path, picture)


def _shown(photo: bytes) -> "Image.Image":
    """The photo upright and small enough to show. Raises RefusedFile for what cannot be opened."""
    import warnings

    from PIL import Image, ImageOps

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # Pillow warns of large pictures; these are refused here
            with Image.open(io.BytesIO(photo), formats=_FORMATS) as picture:
                if picture.width * picture.height > _MOST_PIXELS:
                    raise RefusedFile("the photo is too large", _AGAIN)
                picture.draft("RGB", (_SIDE, _SIDE))
                upright = ImageOps.exif_transpose(picture).convert("RGB")
        upright.thumbnail((_SIDE, _SIDE))
        return upright.quantize(_COLOURS)
    except RefusedFile:
        raise
    except Exception as error:  # Pillow's decoders raise many kinds for damaged files
        raise RefusedFile("that is no photo that can be opened", _AGAIN) from error
