"""JSON shapes of an arrived kit."""

from dataclasses import asdict
from typing import TYPE_CHECKING

from benchleaf.cli.shapes import Json, day

if TYPE_CHECKING:
    from benchleaf.cli.show_kit import KitShown
    from benchleaf.graph.kits.asfound import FoundAnswer, Match
    from benchleaf.graph.kits.consumption import Consumption, StepUse
    from benchleaf.graph.kits.holding import StandingHold
    from benchleaf.graph.kits.missingnote import MissingNote
    from benchleaf.graph.kits.packcheck import PackAnswer
    from benchleaf.graph.store import Hold
    from benchleaf.ingest.lists.slips import Slip


def kit_shape(shown: "KitShown") -> Json:
    """The interface's answer to `kit`; `holds` are those in effect."""
    answer = shown.answer
    return {
        "kit": answer.kit,
        "verdict": answer.verdict,
        "hold": answer.hold,
        "lines": [asdict(line) | {"because": list(line.because)} for line in answer.lines],
        "pack": None if answer.pack is None else _pack_shape(answer.pack),
        "steps": [asdict(step) for step in answer.steps],
        "reasons": list(answer.reasons),
        "near": list(answer.near),
        "missing_note": None if answer.missing is None else _missing_shape(answer.missing),
        "uses": _uses_shape(answer.consumption),
        "found": None if shown.found is None else _found_shape(shown.found),
        "holds": [standing_shape(h) for h in shown.holds],
        "slip": None if shown.paper is None else _slip_shape(shown.paper),
    }


def _slip_shape(paper: "Slip") -> Json:
    return {"unread": list(paper.unread), "others": list(paper.others), "by_ocr": paper.by_ocr}


def _pack_shape(pack: "PackAnswer") -> Json:
    order = None if pack.procedure_order is None else asdict(pack.procedure_order)
    return {
        "friction": pack.friction,
        "steel": pack.steel,
        "orders": [asdict(o) for o in pack.orders],
        "procedure_order": order,
        "fits": pack.fits,
    }


def _missing_shape(missing: "MissingNote") -> Json:
    return {
        "arithmetic": list(missing.arithmetic),
        "first_look": list(missing.first_look),
        "would_explain": list(missing.would_explain),
        "held": [
            {
                "number": h.number,
                "date": day(h.date),
                "subject": h.subject,
                "state": h.state,
                "standing": h.standing,
                "reasons": list(h.reasons),
            }
            for h in missing.held
        ],
        "more_held": missing.more_held,
        "cited_missing": [
            {"kind": m.kind, "number": m.number, "cited_by": list(m.cited_by)} for m in missing.cited_missing
        ],
        "assumed": list(missing.assumed),
        "ask": missing.ask,
    }


def _uses_shape(used: "Consumption") -> Json:
    return {
        "steps": [_use_shape(u) for u in used.uses],
        "not_used": [asdict(line) for line in used.unused],
        "not_in_kit": [_use_shape(u) for u in used.wanting],
        "differing": [_use_shape(d.use) | {"why": d.why} for d in used.differing],
    }


def _use_shape(use: "StepUse") -> Json:
    step = use.steps[0]
    return {
        "description": use.description,
        "part": use.part,
        "quantity": use.quantity,
        "renewed": use.renewed,
        "publication": step.publication,
        "page": step.page,
        "item": step.label,
        "note": None if step.origin == "manual" else step.origin,
    }


def _found_shape(found: "FoundAnswer") -> Json:
    return {
        "matches": [_match_shape(m) for m in found.matches],
        "parts": [
            {"part": p.part, "known": p.known, "sentences": list(p.sentences), "near": list(p.near)}
            for p in found.parts
        ],
        "sentences": list(found.sentences),
    }


def _match_shape(match: "Match") -> Json:
    return {
        "what": match.what,
        "note": match.note,
        "publication": match.publication,
        "page": match.page,
        "item": match.item,
        "date": day(match.date),
        "exact": match.exact,
        "differences": list(match.differences),
        "remarks": list(match.remarks),
        "mixed": match.mixed,
        "source": match.source,
    }


def standing_shape(hold: "StandingHold") -> Json:
    """A hold in effect: as it is written down, and as the papers judge it now."""
    return hold_shape(hold.hold) | {"verdict": hold.verdict, "reasons": list(hold.reasons)}


def hold_shape(hold: "Hold") -> Json:
    """A hold as it is written down."""
    return {
        "kit": hold.kit,
        "reason": hold.reason,
        "model": hold.model,
        "serial": hold.serial,
        "came": [{"part": r.part, "description": r.description, "quantity": r.quantity} for r in hold.came],
        "set_at": hold.set_at.isoformat(),
        "lifted_at": None if hold.lifted_at is None else hold.lifted_at.isoformat(),
        "lifted_by": hold.lifted_by,
        "lifted_reason": hold.lifted_reason,
    }
