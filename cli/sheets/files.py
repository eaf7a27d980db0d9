"""Where a sheet is written."""

import re
from pathlib import Path

from benchleaf.cli.whole import write_whole
from benchleaf.graph.errors import WrongUse

_UNFIT = re.compile(r"[^0-9A-Za-z.-]{1,200}")


def file_name(words: str) -> str:
    """A plain file name for a sheet.

    >>> file_name("page OHM 5204 1/14")
    'page_OHM_5204_1_14.html'
    """
    return f"{_UNFIT.sub('_', words).strip('_.')[:100] or 'sheet'}.html"


def save(path: Path, words: str) -> None:
    """Write a sheet. Raises WrongUse if that place cannot be written."""
    try:
        write_whole(path, words.encode("utf-8"))
    except OSError as error:
        raise WrongUse(
            f"the sheet cannot be written to {path}: {error.strerror}", "Choose another --out."
        ) from error
