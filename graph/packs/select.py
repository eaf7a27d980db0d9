"""Choice of a selective part: out of a table of ranges, or the nearest thickness at hand. Millimetres.

Rows of selection tables often share an edge (2.20–2.25, 2.25–2.30). The tie rule is stated with the answer:
by default the lower row owns the edge, so that a measurement on it takes the lower row's part.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from benchleaf.graph.packs.size import EQUAL, Size

Tie = Literal["lower", "higher"]
Fault = Literal["gap", "overlap", "reversed"]


@dataclass(frozen=True, slots=True)
class Row:
    """One row: what is measured or needed lies between `low` and `high`, then `part`; `thickness` if told."""

    low: float
    high: float
    part: str
    thickness: float | None = None


@dataclass(frozen=True, slots=True)
class TableFault:
    """What is wrong with a table between (or in) two limits; `rows` are the parts concerned."""

    fault: Fault
    low: float
    high: float
    rows: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Choice:
    """Rows that hold a size: one is a choice, several are none. `edge` if the tie rule had to decide.

    `missed` if some of the size's range lies in no row.
    """

    rows: tuple[Row, ...]
    edge: bool = False
    missed: bool = False

    @property
    def row(self) -> Row | None:
        """The one row, if it is one and holds the whole range."""
        return self.rows[0] if len(self.rows) == 1 and not self.missed else None


def table_faults(rows: Sequence[Row]) -> tuple[TableFault, ...]:
    """Gaps and overlaps between neighbouring rows, and rows whose limits stand the wrong way round."""
    faults = [TableFault("reversed", r.low, r.high, (r.part,)) for r in rows if r.low > r.high + EQUAL]
    sound = sorted((r for r in rows if r.low <= r.high + EQUAL), key=lambda r: (r.low, r.high))
    reach = sound[:1]
    for row in sound[1:]:
        top = reach[-1]
        if row.low > top.high + EQUAL:
            faults.append(TableFault("gap", top.high, row.low, (top.part, row.part)))
        elif row.low < top.high - EQUAL:
            faults.append(TableFault("overlap", row.low, min(top.high, row.high), (top.part, row.part)))
        if row.high > top.high:
            reach.append(row)
    return tuple(faults)


def pick(rows: Sequence[Row], value: float, tie: Tie = "lower") -> Choice:
    """The row that holds one figure. On an edge that two rows share, the tie rule decides.

    >>> pick([Row(2.20, 2.25, "A"), Row(2.25, 2.30, "B")], 2.25).rows[0].part
    'A'
    """
    holding = sorted(
        (r for r in rows if r.low - EQUAL <= value <= r.high + EQUAL), key=lambda r: (r.low, r.high)
    )
    if len(holding) == 2 and abs(holding[0].high - value) <= EQUAL and abs(holding[1].low - value) <= EQUAL:
        return Choice((holding[0 if tie == "lower" else 1],), edge=True)
    return Choice(tuple(holding), missed=not holding)


def choose(rows: Sequence[Row], need: Size, tie: Tie = "lower") -> Choice:
    """The rows that a size may fall in, from its lower to its upper limit; several mean: measure closer."""
    picks = [pick(rows, value, tie) for value in _marks(rows, need)]
    found = dict.fromkeys(row for choice in picks for row in choice.rows)
    return Choice(tuple(found), any(p.edge for p in picks), any(p.missed for p in picks))


def _marks(rows: Sequence[Row], need: Size) -> list[float]:
    """The limits, and a figure in each stretch between the edges that lie between them."""
    edges = sorted(e for r in rows for e in (r.low, r.high) if need.low + EQUAL < e < need.high - EQUAL)
    ends = [need.low, *edges, need.high]
    inside = [(a + b) / 2 for a, b in pairwise(ends) if b - a > EQUAL]
    return [need.low] if need.exact else [need.low, *inside, need.high]


def nearest(sizes: Sequence[float], need: float) -> tuple[float, ...]:
    """The thickness at hand nearest to the one needed; two if they lie equally near."""
    off = min((abs(s - need) for s in sizes), default=0.0)
    return tuple(s for s in sorted(set(sizes)) if abs(s - need) <= off + EQUAL)
