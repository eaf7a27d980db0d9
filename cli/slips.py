"""What came in the box: the reading lives with the other readers and is offered here to the commands."""

from benchleaf.ingest.lists.slips import Slip, read_slip, slip_of

__all__ = ["Slip", "read_slip", "slip_of"]
