"""JSON shape of a pack's arithmetic: every value with its unit beside it."""

from collections.abc import Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING

from benchleaf.cli.packunits import Shop
from benchleaf.cli.shapes import Json

if TYPE_CHECKING:
    from benchleaf.graph.packs.answer import PackAnswer
    from benchleaf.graph.packs.fillanswer import Filling
    from benchleaf.graph.packs.said import Kind
    from benchleaf.graph.packs.select import Row
    from benchleaf.graph.packs.size import Size
    from benchleaf.graph.packs.stack import Sum
    from benchleaf.graph.packs.stackanswer import Swap


def pack_shape(answer: "PackAnswer", shop: Shop, notes: Sequence[str]) -> Json:
    """The whole answer; what was not reached is null."""
    return {
        "counts": {"friction": answer.friction, "steel": answer.steel},
        "orders": [asdict(order) for order in answer.orders],
        "faces": answer.faces,
        "faces_before": answer.faces_before,
        "share": None if answer.share is None else round(answer.share, 6),
        "height": _sum(answer.height, shop),
        "clearance": _sum(answer.clearance, shop),
        **_swap_shape(answer.swap, shop),
        **_filling_shape(answer.filling, shop),
        "force": _value(answer.force, "force", shop),
        "torque": _capacity(answer, shop),
        "thread": _value(answer.thread, "torque", shop),
        "wrench": _value(answer.wrench, "torque", shop),
        "findings": [shop.said(said) for said in (*answer.faults, *answer.findings)],
        "missing": list(answer.missing),
        "cautions": list(answer.cautions),
        "notes": list(notes),
        "formulas": [{"of": f.of, "rule": f.rule, "figures": shop.said(f.figures)} for f in answer.formulas],
        "fits": answer.fits,
    }


def _number(value: float, kind: "Kind", shop: Shop) -> float:
    return round(shop.shown(value, kind), 6) + 0.0  # no minus zero


def _value(value: float | None, kind: "Kind", shop: Shop) -> Json | None:
    if value is None:
        return None
    return {"value": _number(value, kind, shop), "unit": shop.unit(kind)}


def _length(value: float, shop: Shop) -> Json:
    return {"value": _number(value, "length", shop), "unit": shop.length}


def _size(size: "Size | None", shop: Shop) -> Json | None:
    if size is None:
        return None
    low, high = (_number(v, "length", shop) for v in (size.low, size.high))
    return {"value": _number(size.middle, "length", shop), "low": low, "high": high, "unit": shop.length}


def _sum(found: "Sum | None", shop: Shop) -> Json | None:
    if found is None:
        return None
    worst, rss = (_number(v, "length", shop) for v in (found.worst, found.rss))
    return _length(found.nominal, shop) | {"worst": worst, "rss": rss}


def _swap_shape(swap: "Swap | None", shop: Shop) -> Json:
    shape: Json = {"needed": None, "difference": None, "pairs": []}
    if swap is None:
        return shape
    if swap.needed is not None:
        each = _size(swap.needed.each, shop)
        shape["needed"] = {"kind": swap.needed.kind, "count": swap.needed.count, "thickness": each}
    if swap.difference is not None:
        shape["difference"] = _length(swap.difference, shop)
    for pair in swap.pairs.pairs if swap.pairs is not None else ():
        both = {"friction": _length(pair.friction, shop), "steel": _length(pair.steel, shop)}
        shape["pairs"].append(both | {"why": pair.why})
    return shape


def _filling_shape(filling: "Filling | None", shop: Shop) -> Json:
    shape: Json = {"to_fit": None, "choice": None, "nearest": [], "shim": None}
    if filling is None:
        return shape
    if filling.fill is not None:
        sure = _size(filling.fill.sure, shop)
        shape["to_fit"] = {"name": filling.name, "aim": _size(filling.fill.aim, shop), "will_do": sure}
    if filling.choice is not None:
        rows, looked_up = [_row(r, shop) for r in filling.choice.rows], _size(filling.looked_up, shop)
        decided = filling.choice.row is not None
        shape["choice"] = {
            "looked_up": looked_up,
            "rows": rows,
            "decided": decided,
            "by_tie": filling.choice.edge,
        }
    shape["nearest"] = [_length(size, shop) for size in filling.nearest]
    if filling.shims is not None:
        pieces = [_length(t, shop) for t in filling.shims.thicknesses]
        total = _length(filling.shims.total, shop)
        shape["shim"] = {"pieces": pieces, "total": total, "fits": filling.shims.within}
    return shape


def _row(row: "Row", shop: Shop) -> Json:
    limits = {"low": _length(row.low, shop), "high": _length(row.high, shop)}
    return {"part": row.part, **limits, "thickness": _value(row.thickness, "length", shop)}


def _capacity(answer: "PackAnswer", shop: Shop) -> Json | None:
    if answer.capacity is None:
        return None
    found = answer.capacity
    return {
        "uniform_wear": _value(found.wear, "torque", shop),
        "uniform_pressure": _value(found.pressure, "torque", shop),
        "radius_wear": _length(found.radius_wear, shop),
        "radius_pressure": _length(found.radius_pressure, shop),
    }
