"""Which of several values of a step is meant: the one nearest behind the words given."""

import re
from collections.abc import Sequence

from benchleaf.graph.quantities.reading import Quantity


def narrowed(text: str, read: Sequence[Quantity], words: str) -> tuple[Quantity, ...]:
    """The values that the words point at: each place of the words gives the first value behind it in the same
    sentence, else the last one before it. Empty if the words do not stand in the text.

    >>> from benchleaf.graph.quantities.reading import read_quantities
    >>> text = "Tighten the cover screws to 25 N·m and the plug to 40 N·m."
    >>> [q.nominal for q in narrowed(text, read_quantities(text), "plug")]
    [40.0]
    """
    found: dict[int, Quantity] = {}
    for start, end in _places(text, words):
        q = _behind(text, read, end) or _ahead(text, read, start)
        if q is not None:
            found[q.start] = q
    return tuple(found[k] for k in sorted(found))


def _places(text: str, words: str) -> list[tuple[int, int]]:
    tokens = re.findall(r"\w+", words[:200])
    if not tokens:
        return []
    pattern = r"\b" + r"\W{1,4}".join(map(re.escape, tokens)) + r"(?:s|es)?\b"
    return [m.span() for m in re.finditer(pattern, text, re.IGNORECASE)]


def _behind(text: str, read: Sequence[Quantity], end: int) -> Quantity | None:
    after = [q for q in read if q.end > end]
    return after[0] if after and not _parted(text[end : max(end, after[0].start)]) else None


def _ahead(text: str, read: Sequence[Quantity], start: int) -> Quantity | None:
    before = [q for q in read if q.start < start]
    return before[-1] if before and not _parted(text[min(before[-1].end, start) : start]) else None


def _parted(between: str) -> bool:
    """Whether a sentence ends between the two."""
    return re.search(r"[.!?;]\s{1,3}[A-Z0-9]|\n\s*\n", between) is not None
