"""The pass phrase of a desk that others may reach: its hash in the store's folder, for the owner only."""

import os
from pathlib import Path

from benchleaf.graph.db.schema import settle_file
from benchleaf.graph.errors import StoreProblem, WrongUse

FILE = "desk-pass-phrase"
"""Beside the database in the store's folder."""
LEAST = 12
"""Signs; common practice, no source."""
_MOST = 1000  # more would only cost time in hashing
_METHOD = "scrypt:32768:8:1"
_OWNER_ONLY = 0o600


def kept_hash(folder: Path) -> str | None:
    """The hash of the pass phrase; None where none is set. Raises StoreProblem if it cannot be read."""
    path = folder / FILE
    try:
        return path.read_text(encoding="ascii").strip() or None
    except FileNotFoundError:
        return None
    except (OSError, UnicodeDecodeError) as error:
        raise StoreProblem(
            f"the pass phrase's hash in {path} cannot be read: {error}", "Set it anew: --set-pass-phrase."
        ) from error


def keep(folder: Path, phrase: str) -> Path:
    """Keeps the hash of a pass phrase; its file. Raises WrongUse for a short one, StoreProblem if the folder
    cannot be written."""
    from werkzeug.security import generate_password_hash

    if len(phrase.strip()) < LEAST or len(phrase) > _MOST:
        raise WrongUse(
            f"a pass phrase has {LEAST} to {_MOST} signs", "Take several words that belong to no sentence."
        )
    path = folder / FILE
    try:
        _write(path, generate_password_hash(phrase, method=_METHOD))
    except OSError as error:
        raise StoreProblem(f"the pass phrase cannot be kept in {folder}: {error}", "Check it.") from error
    return path


def _write(path: Path, words: str) -> None:
    """Writes the file readable by its owner alone, from its first moment."""
    temporary = path.with_name(f"{path.name}.{os.getpid()}.part")
    temporary.unlink(missing_ok=True)
    try:
        handle = os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_EXCL, _OWNER_ONLY)
        with os.fdopen(handle, "w", encoding="ascii") as file:
            file.write(f"{words}\n")
        settle_file(temporary, path)
    finally:
        temporary.unlink(missing_ok=True)


def fits(kept: str, phrase: str) -> bool:
    """True if the pass phrase is the one whose hash is kept."""
    from werkzeug.security import check_password_hash

    return len(phrase) <= _MOST and check_password_hash(kept, phrase)
