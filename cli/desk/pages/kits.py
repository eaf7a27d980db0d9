"""An arrived kit: what came is typed, the verdict shows at once, and a hold is written down on request."""

import datetime as dt
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchleaf.cli.arrivals import lift, to_write, write_arrival
from benchleaf.cli.desk import signing
from benchleaf.cli.desk.show import asked, desk, download, holds, store, writing
from benchleaf.cli.sheets.files import file_name
from benchleaf.cli.sheets.kitview import KitView, kit_view
from benchleaf.cli.sheets.render import sheet
from benchleaf.cli.sheets.stamp import stamp
from benchleaf.cli.show_kit import KitShown
from benchleaf.graph.errors import BenchleafError, WrongUse
from benchleaf.graph.kits.asfound import found_answer
from benchleaf.graph.kits.kit import Received, kit_answer, parse_got
from flask import Blueprint, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

if TYPE_CHECKING:
    from benchleaf.ingest.lists.slips import Slip

blueprint = Blueprint("kits", __name__)
FIELDS = ("kit", "model", "serial", "got", "found")


@dataclass(frozen=True, slots=True)
class Arrival:
    """The form as it was sent: the kit, the unit it is for, what came and what was found, as typed."""

    kit: str | None
    model: str | None
    serial: str | None
    got: str | None
    found: str | None

    @property
    def came(self) -> tuple[Received, ...]:
        """What came. Raises WrongUse where the words cannot be read."""
        return parse_got(self.got) if self.got else ()

    @property
    def address(self) -> dict[str, Any]:
        """The fields that are filled, for an address."""
        named = zip(FIELDS, (self.kit, self.model, self.serial, self.got, self.found), strict=True)
        return {name: value for name, value in named if value}


def arrival_asked() -> Arrival:
    """The form's fields."""
    return Arrival(*(asked(name) for name in FIELDS))


def _view(arrival: Arrival, paper: "Slip | None" = None) -> KitView:
    held, kit = store(), arrival.kit or ""
    answer = kit_answer(held, kit, arrival.came, arrival.model, arrival.serial)
    inside = parse_got(arrival.found) if arrival.found else ()
    evidence = found_answer(held, answer.kit, arrival.model, inside) if inside else None
    shown = KitShown(answer, holds(answer.kit), paper, evidence, counted=bool(arrival.came))
    return kit_view(shown, arrival.model, arrival.serial)


@blueprint.get("/kit")
def kit() -> str | tuple[str, int]:
    """The arrival form, and the verdict on what is typed into it; of a kit on hold, on the held box."""
    arrival = arrival_asked()
    held = _held_box(arrival.kit) if arrival.kit and "got" not in request.args else None
    return _page(held or arrival)


def _held_box(kit: str) -> Arrival | None:
    """What came in the box that is on hold, the newest of them; None where its lines cannot be typed so."""
    for standing in reversed(holds(kit)):
        hold = standing.hold
        box = Arrival(kit, hold.model, hold.serial, as_typed(hold.came) or None, None)
        try:
            if box.came == hold.came:
                return box
        except WrongUse:
            continue
    return None


def _page(arrival: Arrival, paper: "Slip | None" = None, status: int = 200) -> str | tuple[str, int]:
    view, trouble = _judged(arrival, paper)
    page = render_template(
        "kit_desk.html",
        arrival=arrival,
        view=view,
        trouble=trouble,
        paper=paper,
        writes=view is not None and to_write(store(), view.answer, arrival.came),
        held=holds() if view is None else (),
        models=store().models_held(),
        sheet_at=url_for("kits.kit_sheet", **arrival.address),
    )
    unknown = view is not None and view.answer.verdict == "not-known" and not arrival.came
    return page, 404 if unknown else status


def _judged(arrival: Arrival, paper: "Slip | None" = None) -> "tuple[KitView | None, BenchleafError | None]":
    """The verdict, or what cannot be read in the words typed so far."""
    if arrival.kit is None:
        return None, None
    try:
        return _view(arrival, paper), None
    except WrongUse as trouble:
        return None, trouble


@blueprint.get("/kit/verdict")
def verdict() -> str:
    """The verdict alone, for the page to show while he types; nothing is written."""
    arrival = arrival_asked()
    view, trouble = _judged(arrival)
    writes = view is not None and to_write(store(), view.answer, arrival.came)
    sheet_at = url_for("kits.kit_sheet", **arrival.address)
    return render_template(
        "kit_verdict.html", arrival=arrival, view=view, trouble=trouble, writes=writes, sheet_at=sheet_at
    )


@blueprint.post("/kit/slip")
def slip() -> str | tuple[str, int]:
    """A packing slip: its lines are put into the box, to be compared with the paper."""
    from benchleaf.ingest.workers.apart import slip_apart

    arrival, sent = arrival_asked(), request.files.get("slip")
    if arrival.kit is None:
        raise WrongUse("no kit number is given", "Type the kit's number, and send the slip again.")
    if sent is None or not sent.filename:
        raise WrongUse("no slip was sent", "Choose its file or photo first.")
    with tempfile.TemporaryDirectory() as folder:
        suffix = "".join(sign for sign in Path(sent.filename).suffix[1:8] if sign.isalnum())
        path = Path(folder) / f"slip.{suffix}"
        sent.save(path)
        paper = slip_apart(path, arrival.kit)
    return _page(replace(arrival, got=as_typed(paper.lines)), paper)


def as_typed(lines: Sequence[Received]) -> str:
    """Lines in the words that a person would type, one a line; what was not counted has no figure."""
    words = (
        " ".join(w for w in ("?" if r.quantity is None else f"{r.quantity} x", r.part, r.description) if w)
        for r in lines
    )
    return "\n".join(words)


@blueprint.post("/kit/hold")
def hold() -> AnyResponse:
    """Write the arrival down: its hold, or the end of one, as the command does."""
    arrival = arrival_asked()
    if arrival.kit is None or not arrival.came:
        raise WrongUse("nothing is said to have come", "Say which kit, and what came in it.")
    answer = kit_answer(store(), arrival.kit, arrival.came, arrival.model, arrival.serial)
    if to_write(store(), answer, arrival.came):
        now = dt.datetime.now().astimezone()
        with writing() as opened:
            done = write_arrival(opened, answer, arrival.came, arrival.model, arrival.serial, now)
        flash(done.told or ("The hold is written down." if done.holds else "It is written down."))
        if _held_box(answer.kit) == replace(arrival, kit=answer.kit, got=as_typed(arrival.came), found=None):
            return redirect(url_for("kits.kit", kit=answer.kit))
    else:
        flash("There was nothing to write down: the kit is not on hold.")
    return redirect(url_for("kits.kit", **arrival.address))


@blueprint.post("/kit/lift")
def lift_hold() -> AnyResponse:
    """Lift the kit's hold, with initials and a reason, kept for ever."""
    number = asked("kit")
    if number is None:
        raise WrongUse("no kit number is given", "Open the kit first.")
    if asked("reason") is None:
        raise WrongUse("lifting a hold needs a reason", "Go back and say why the kit may be used.")
    by, now = signing.signer(), dt.datetime.now().astimezone()
    with writing() as opened:
        lifted = lift(opened, number, by, asked("reason") or "", now)
    for one in lifted:
        day = one.set_at.date().isoformat()
        flash(f"Kit {one.kit}: the hold of {day} is lifted by {by}: {one.lifted_reason}")
    return redirect(url_for("kits.kit", **arrival_asked().address))


@blueprint.get("/sheet/kit")
def kit_sheet() -> AnyResponse:
    """The kit as a sheet: one file, whole in itself."""
    arrival = arrival_asked()
    view = _view(arrival)
    made = stamp(store(), view.considered, desk().today())
    return download(sheet("kit.html", stamp=made, kit=view), file_name(f"kit {view.answer.kit}"))
