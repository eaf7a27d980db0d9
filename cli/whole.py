"""A file written whole or not at all."""

import os
from pathlib import Path


def write_whole(path: Path, data: bytes) -> None:
    """Writes a file beside its place and renames it, so that a full disk leaves an earlier one as it was;
    what is no file (a pipe, a device) is written to as it is. Raises OSError."""
    if path.exists() and not path.is_file():
        path.write_bytes(data)
        return
    final = path.resolve()  # a link stays a link
    temporary = final.with_name(f"{final.name[:100]}.{os.getpid()}.part")
    try:
        temporary.write_bytes(data)
        temporary.replace(final)
    finally:
        temporary.unlink(missing_ok=True)
