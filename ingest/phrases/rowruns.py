"""Rows of a table that go on with the one above: a second new number beside no old one."""

from collections.abc import Sequence
from dataclasses import replace

from benchleaf.graph.model import Statement, Supersession
from benchleaf.ingest.phrases.tabular import Columns, numbers_of
from benchleaf.ingest.shapes import Cell

_BELOW = "the row below names a further number with none beside it: it is taken with this one"


def carried_on(above: Statement, found: Columns, row: Sequence[Cell]) -> Supersession | None:
    """The change of the row above with the numbers of a row that fills only one of the two columns; None
    where the row is none such. It is a doubt: that both are meant is not said."""
    if not isinstance(above, Supersession):
        return None
    cells = {name: found.cell(row, name).strip() for name in ("old", "new")}
    old, new = (numbers_of(cells[name]) for name in ("old", "new"))
    if bool(cells["old"]) == bool(cells["new"]) or not (old or new):
        return None
    return replace(
        above,
        old=(*above.old, *old),
        new=(*above.new, *new),
        relation="all of" if new else above.relation,
        standing="doubtful" if above.standing == "settled" else above.standing,
        why=tuple(dict.fromkeys((*above.why, _BELOW))),
        quote=f"{above.quote} / {' | '.join(c.text.strip() for c in row if c.text.strip())}",
    )
