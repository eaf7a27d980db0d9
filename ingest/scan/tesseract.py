"""Debian's tesseract, run as a program: words of a whole sheet, one line's text, the turn of a sheet."""

import csv
import io
import os
import re
import shutil
import subprocess
from functools import lru_cache
from typing import TYPE_CHECKING

from benchleaf.ingest.scan.readings import Token

if TYPE_CHECKING:
    from PIL import Image

_PATIENCE = 40.0  # seconds for one call; a sheet takes two
_ROTATE = re.compile(r"^Rotate: ([0-9]{1,3})$", re.MULTILINE)
_SURE = re.compile(r"^Orientation confidence: ([0-9.]{1,9})$", re.MULTILINE)
_WORD_LEVEL = "5"


@lru_cache(maxsize=1)
def tesseract_version() -> str | None:
    """The installed version, or None if the program or its language data is missing."""
    if shutil.which("tesseract") is None or not _languages():
        return None
    said = _run(["--version"], b"")
    words = said.split(None, 2) if said else []
    return words[1] if len(words) > 1 else None


@lru_cache(maxsize=1)
def _languages() -> tuple[str, ...]:
    said = _run(["--list-langs"], b"") or ""
    return tuple(line.strip() for line in said.splitlines()[1:] if line.strip())


def _language() -> str:
    plain = [name for name in _languages() if name not in ("osd", "equ", "snum")]
    return "eng" if "eng" in plain else (plain or ["eng"])[0]


def _run(arguments: list[str], given: bytes) -> str | None:
    try:
        done = subprocess.run(
            ["tesseract", *arguments],
            input=given,
            capture_output=True,
            timeout=_PATIENCE,
            check=False,
            env={**os.environ, "OMP_THREAD_LIMIT": "1"},
        )
    except (OSError, subprocess.TimeoutExpired):
        return None
    return done.stdout.decode("utf-8", "replace") if done.returncode == 0 else None


def _png(picture: "Image.Image") -> bytes:
    held = io.BytesIO()
    picture.save(held, "PNG", compress_level=1)
    return held.getvalue()


def tokens_in(picture: "Image.Image", dpi: float, layout: int = 3) -> list[Token]:
    """The words of a sheet's picture with their boxes; none if the program fails.

    `layout` is tesseract's page segmentation mode: 3 finds columns, 7 takes the picture as one line.
    """
    arguments = ["stdin", "stdout", "--dpi", str(round(dpi)), "--psm", str(layout), "-l", _language(), "tsv"]
    said = _run(arguments, _png(picture)) or ""
    rows = csv.DictReader(io.StringIO(said), delimiter="\t", quoting=csv.QUOTE_NONE)
    return [t for t in map(_token, rows) if t is not None]


def _token(row: dict[str, str]) -> Token | None:
    text = (row.get("text") or "").strip()
    if row.get("level") != _WORD_LEVEL or not text:
        return None
    try:
        left, top, wide, high = (float(row[k]) for k in ("left", "top", "width", "height"))
        line = (int(row["block_num"]), int(row["par_num"]), int(row["line_num"]))
        return Token(text, left, top, left + wide, top + high, max(0.0, float(row["conf"])) / 100, line)
    except (KeyError, ValueError):
        return None


def turn_of(picture: "Image.Image", dpi: float) -> int | None:
    """Degrees clockwise that make a picture upright, or None where the program is not sure."""
    if "osd" not in _languages():
        return None
    said = _run(["stdin", "stdout", "--dpi", str(round(dpi)), "--psm", "0", "-l", "osd"], _png(picture)) or ""
    turn, sure = _ROTATE.search(said), _SURE.search(said)
    if turn is None or sure is None or float(sure.group(1)) < 2.0:
        return None
    return int(turn.group(1)) % 360
