"""Applicability: which units a note's head, or one of its sentences, holds for."""

from benchleaf.ingest.head.limits import statement_applies
from benchleaf.ingest.head.ranges import EDGE_UNSAID
from benchleaf.ingest.head.units import merged, read_applies

__all__ = ["EDGE_UNSAID", "merged", "read_applies", "statement_applies"]
