"""The procedure in force, as a sheet to work from."""

import datetime as dt
from collections.abc import Mapping
from itertools import groupby
from typing import TYPE_CHECKING

from benchleaf.cli.say import dated, listed, ocr_mark
from benchleaf.cli.screen import Piece, Screen

if TYPE_CHECKING:
    from benchleaf.graph.procedure import ProcedureAnswer, Step

_IN = 6
Dates = Mapping[str, dt.date | None]


def show_procedure(screen: Screen, answer: "ProcedureAnswer", dates: Dates) -> None:
    """Holds; unit, kits, date and notes; what to heed; steps; what was left out. `dates` are the notes'."""
    screen.line(Piece("PROCEDURE IN FORCE", "strong"))
    for hold in answer.holds:
        screen.line(Piece(f"HOLD — {hold.sentence}", "bad"), hang=7)
    _show_head(screen, answer, dates)
    for text in answer.cautions:
        screen.line(Piece(text, "strong"), indent=2, hang=4)
    held = {hold.sentence for hold in answer.holds}
    for warning in (w for w in answer.warnings if w not in held):
        screen.line(Piece(f"CHECK: {warning}", "doubt"), hang=7)
    for heading, steps in groupby(answer.steps, key=_heading):
        screen.blank()
        screen.line(Piece(heading, "head"))
        for step in steps:
            screen.blank()
            _show_step(screen, step, dates)
    if not answer.steps:
        screen.line("No steps were found there.")
    _show_left_out(screen, answer, dates)
    screen.blank()
    screen.line(Piece("Check for newer notes before use.", "strong"))


def _show_head(screen: Screen, answer: "ProcedureAnswer", dates: Dates) -> None:
    unit = answer.unit
    built = f"built {unit.built.isoformat()}" if unit.built else ""
    serial = f"serial {unit.serial}" if unit.serial else "serial not given"
    model = f"model {unit.model}" if unit.model else "model not given"
    screen.labelled("Unit", ", ".join(w for w in (model, serial, built) if w), width=10)
    screen.labelled("Kits", ", ".join(answer.kits) or "none named", width=10)
    screen.labelled("As of", answer.on.isoformat() if answer.on else "all notes held", width=10)
    considered = ", ".join(_who(number, dates) for number in dates) or "none that is held"
    screen.labelled("Notes", considered, width=10)


def _heading(step: "Step") -> str:
    section = f" — {step.section}" if step.section else ""
    return f"{step.publication}, page {step.page}{section}"


def _show_step(screen: Screen, step: "Step", dates: Dates) -> None:
    by = listed([_who(number, dates) for number in step.changed_by])
    if step.text is None:
        screen.labelled(step.label, Piece(f"— deleted by {by or 'a note'}", "quiet"))
    else:
        screen.labelled(step.label, step.text)
        origin = (
            f"added by {_who(step.origin, dates)}" if step.item is None else f"changed by {by}" if by else ""
        )
        if origin:
            screen.line(Piece(origin, "good"), indent=_IN)
        if step.by_ocr:
            screen.line(Piece(ocr_mark(step.unsure), "doubt"), indent=_IN, hang=_IN + 2)
    for notice in step.notices:
        screen.line(Piece(f"{notice.kind}: {notice.text}", "strong"), indent=_IN, hang=_IN + 2)
    if step.depends_on:
        screen.line(
            Piece(f"DEPENDS ON {', '.join(step.depends_on)}: see what is left out", "doubt"), indent=_IN
        )
    if step.doubts:
        numbers = ", ".join(str(d) for d in step.doubts)
        screen.line(Piece(f"DOUBT: see statement {numbers} in benchleaf doubts", "doubt"), indent=_IN)


def _show_left_out(screen: Screen, answer: "ProcedureAnswer", dates: Dates) -> None:
    if not answer.left_out:
        return
    screen.blank()
    screen.line(Piece("Left out", "head"))
    for left in answer.left_out:
        where = f", step {left.step}" if left.step else ""
        where += f" on page {left.page}" if left.page else ""
        screen.line(f"{_who(left.note, dates)}{where}: {left.why}", indent=2, hang=4)


def _who(number: str, dates: Dates) -> str:
    return dated(number, dates.get(number))
