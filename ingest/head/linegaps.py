"""Free height between the lines of a head: where a value ends and a paragraph begins."""

from collections.abc import Sequence
from itertools import pairwise

from benchleaf.ingest.head.segments import Row, Segment

_WIDEST = 0.9  # type sizes from which free height parts a value from what follows, whatever the page
_CLOSE = 0.5  # type sizes up to which lines belong together, whatever the page
_WIDER = 1.6  # times the page's own gap between lines from which it is a gap between paragraphs


def goes_on(rows: Sequence[Row], above: Segment, line: Segment, hung: bool) -> bool:
    """True if no gap between paragraphs parts a line from the one above it. `hung` is True for a line under
    the value of a label beside it: forms set these as wide apart as their fields."""
    gap = line.box.top - above.box.bottom
    if gap > _WIDEST * above.size:
        return False
    return hung or gap <= _CLOSE * above.size or gap <= _WIDER * _usual(rows, above)


def _usual(rows: Sequence[Row], above: Segment) -> float:
    """The smallest gap between lines of a like size on the page, in points: that between lines of one
    paragraph, however wide they are set."""
    gaps = [
        b.box.top - a.box.bottom
        for over, under in pairwise(rows)
        for a, b in ((over.segments[0], under.segments[0]),)
        if a.table is None
        and b.table is None
        and abs(a.size - above.size) < 1.5
        and abs(b.size - a.size) < 1.5
    ]
    return max(0.0, min(gaps, default=0.0))
