"""A bar of fields beside the text: labels above their values in a narrow column of its own."""

from collections.abc import Sequence

from benchleaf.ingest.head.fields import FieldBook
from benchleaf.ingest.head.headrows import is_sentence
from benchleaf.ingest.head.segments import Row, Segment, grouped

_LEAST_LABELS = 3
_SAME_EDGE = 4.0  # points


def with_bar_apart(rows: Sequence[Row], book: FieldBook) -> tuple[Row, ...]:
    """The rows with a bar's own rows set in front of the text's first sentence, not mixed with the text that
    stands at the same height. Without a bar the rows are as they were."""
    loose = [s for row in rows for s in row.segments if s.table is None]
    bar = _bar(loose, book)
    if not bar:
        return tuple(rows)
    taken = {id(s) for s in bar}
    rest = grouped([s for row in rows for s in row.segments if id(s) not in taken])
    at = next((i for i, r in enumerate(rest) if any(is_sentence(s.text) for s in r.segments)), len(rest))
    return (*rest[:at], *grouped(bar), *rest[at:])


def _bar(segments: Sequence[Segment], book: FieldBook) -> list[Segment]:
    labels = [s for s in segments if book.field_of(s.text) is not None]
    for first in labels:
        column = [s for s in segments if abs(s.box.x0 - first.box.x0) <= _SAME_EDGE]
        own = [s for s in labels if any(s is c for c in column)]
        if len(own) < _LEAST_LABELS or len(column) < 1.5 * len(own):
            continue
        right = max(s.box.x1 for s in column)
        beside = [s for s in segments if not any(s is c for c in column)]
        overlapping = [s for s in beside if s.box.x0 < right and s.box.x1 > first.box.x0]
        if not overlapping and beside and _values_below(column, own):
            return column
    return []


def _values_below(column: Sequence[Segment], labels: Sequence[Segment]) -> bool:
    """True if nearly every label has a value right under it, not another label."""
    ordered = sorted(column, key=lambda s: s.box.top)
    named = [any(s is label for label in labels) for s in ordered]
    filled = odd = at = 0
    while at < len(ordered) - 1:
        if not named[at]:
            at += 1
        elif not named[at + 1]:
            filled, at = filled + 1, at + 2
        elif at + 2 >= len(ordered) or named[at + 2]:
            at += 2  # a value that reads as a label: `Clutch` below `Group`
        else:
            odd, at = odd + 1, at + 1
    return filled >= _LEAST_LABELS - 1 and filled >= 3 * odd
