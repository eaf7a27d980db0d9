"""JSON shapes of an arrived kit."""

from collections.abc import Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING

from benchleaf.cli.shapes import Json

if TYPE_CHECKING:
    from benchleaf.graph.kits.kit import KitAnswer
    from benchleaf.graph.kits.packcheck import PackAnswer
    from benchleaf.graph.store import Hold
    from benchleaf.ingest.lists.slips import Slip


def kit_shape(answer: "KitAnswer", holds: "Sequence[Hold]", paper: "Slip | None") -> Json:
    """The interface's answer to `kit`; `holds` are those written down and not lifted."""
    return {
        "kit": answer.kit,
        "verdict": answer.verdict,
        "hold": answer.hold,
        "lines": [asdict(line) | {"because": list(line.because)} for line in answer.lines],
        "pack": None if answer.pack is None else _pack_shape(answer.pack),
        "steps": [asdict(step) for step in answer.steps],
        "reasons": list(answer.reasons),
        "near": list(answer.near),
        "holds": [hold_shape(h) for h in holds],
        "slip": None if paper is None else {"unread": list(paper.unread), "others": list(paper.others)},
    }


def _pack_shape(pack: "PackAnswer") -> Json:
    order = None if pack.procedure_order is None else asdict(pack.procedure_order)
    return {
        "friction": pack.friction,
        "steel": pack.steel,
        "orders": [asdict(o) for o in pack.orders],
        "procedure_order": order,
        "fits": pack.fits,
    }


def hold_shape(hold: "Hold") -> Json:
    """A hold as it is written down."""
    return {
        "kit": hold.kit,
        "reason": hold.reason,
        "set_at": hold.set_at.isoformat(),
        "lifted_at": None if hold.lifted_at is None else hold.lifted_at.isoformat(),
        "lifted_by": hold.lifted_by,
        "lifted_reason": hold.lifted_reason,
    }
