"""One reading in a process of its own, for whoever has a single paper that came from outside."""

from pathlib import Path

from benchleaf.ingest.lists.slips import Slip, read_slip
from benchleaf.ingest.workers.readers import answer_of
from benchleaf.ingest.workers.sizing import readers_for


def slip_apart(file: Path, kit: str) -> Slip:
    """What `read_slip` gives, read by a worker within its limits: a damaged slip harms nothing else.

    Raises what `read_slip` raises, and RefusedFile for one that breaks the limits.
    """
    with readers_for(1) as readers:
        return answer_of(readers.submit(read_slip, file, kit))
