"""Which OCR engines there are, and which of them read."""

from dataclasses import dataclass
from typing import Literal

from benchleaf.graph.errors import RefusedFile
from benchleaf.ingest.scan.rapid import rapid_version
from benchleaf.ingest.scan.tesseract import tesseract_version

EngineChoice = Literal["auto", "rapidocr", "tesseract", "both"]
"""What reads pictures; `auto` takes what is installed, both for numbers that matter."""

_OWN = "benchleaf scan 1"
_ADD = "pip install 'benchleaf[scan]'"


@dataclass(frozen=True, slots=True)
class Engines:
    """The engines that read, by version; None for one that does not."""

    rapidocr: str | None
    tesseract: str | None

    @property
    def reader(self) -> str:
        """Their names and versions and this reader's own, as the store keeps them."""
        named = [("rapidocr", self.rapidocr), ("tesseract", self.tesseract)]
        return " + ".join(f"{name} {version}" for name, version in named if version) + f", {_OWN}"


def engines(choice: EngineChoice = "auto") -> Engines:
    """The engines for a choice: `auto` takes rapidocr, and tesseract for the second reading if it is there.

    Raises RefusedFile naming the command that adds what is missing.
    """
    rapid = rapid_version() if choice != "tesseract" else None
    other = tesseract_version() if choice != "rapidocr" else None
    if choice in ("rapidocr", "both") and rapid is None:
        raise RefusedFile("the sheet is a picture and rapidocr is not installed", f"Add it: {_ADD}")
    if choice in ("tesseract", "both") and other is None:
        raise RefusedFile(
            "the sheet is a picture and tesseract is not installed",
            "Add it, on Debian: apt install tesseract-ocr",
        )
    if rapid is None and other is None:
        raise RefusedFile("the sheet is a picture and no OCR is installed", f"Add it: {_ADD}")
    return Engines(rapid, other)
