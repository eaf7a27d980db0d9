"""A part number's answer, for people."""

from typing import TYPE_CHECKING

from benchleaf.cli.say import dated, listed, many, units
from benchleaf.cli.screen import Piece, Screen
from benchleaf.graph.keys import key, natural

if TYPE_CHECKING:
    from benchleaf.graph.part import PartAnswer, PartStep


def show_part(screen: Screen, answer: "PartAnswer") -> None:
    """The current number first; then the way to it, the problems, the uses."""
    if answer.part is None:
        _show_unknown(screen, answer)
        return
    screen.line(Piece(verdict_words(answer), "strong"))
    for problem in answer.problems:
        screen.line(Piece(f"CHECK: {problem}", "doubt"), hang=7)
    if answer.path:
        screen.blank()
        screen.line(Piece("The way", "head"))
    for step in answer.path:
        _show_step(screen, step)
    _show_uses(screen, answer)


def verdict_words(answer: "PartAnswer") -> str:
    """What the number is now, in a line."""
    same = [key(n) for n in answer.current] == [key(answer.part or "")]
    if same:
        return f"{answer.part}: current; nothing that is held replaces it."
    joint = "or" if answer.relation == "one of" else "and"
    several = "" if answer.relation == "one" else f" ({answer.relation})"
    return f"{answer.part}: now {listed(answer.current, joint)}{several}."


def _show_unknown(screen: Screen, answer: "PartAnswer") -> None:
    screen.line(Piece(f"{answer.asked}: no paper that is held names this number.", "bad"))
    if answer.near:
        screen.line(f"Near it (other parts, unless it was misread): {', '.join(answer.near)}")


def _show_step(screen: Screen, step: "PartStep") -> None:
    joint = "or" if step.relation == "one of" else "and"
    words = f"{listed(step.old)} -> {listed(step.new, joint)}"
    words += "" if step.relation == "one" else f" ({step.relation})"
    screen.line(Piece(words, "strong" if step.standing == "settled" else "doubt"), indent=2, hang=4)
    about = [dated(step.note, step.date) + (", read by OCR" if step.by_ocr else "")]
    about += [] if step.interchange == "unstated" else [f"interchange: {step.interchange}"]
    about += [f"old stock: {step.stock}"] if step.stock else []
    for_units = units(step.applies) if step.applies else "all units"
    about += [] if for_units == "all units" else [f"for {for_units}"]
    about += [f"DOUBT (statement {step.statement}), not followed"] if step.standing != "settled" else []
    screen.line("; ".join(about), indent=4)


def _show_uses(screen: Screen, answer: "PartAnswer") -> None:
    if answer.was:
        screen.blank()
        screen.line(f"It was: {', '.join(answer.was)}")
    if answer.in_kits:
        screen.blank()
        screen.line(f"In {many(len(answer.in_kits), 'kit')}: {', '.join(answer.in_kits)}")
    if not answer.used:
        return
    screen.blank()
    screen.line(Piece("Named in", "head"))
    order = sorted(
        answer.used, key=lambda u: (key(u.publication), natural(u.page or ""), natural(u.item or ""))
    )
    for use in order:
        by = "" if key(use.part) == key(answer.part or "") else f" (as {use.part})"
        place = f"item {use.item}" if use.item else "in the parts list"
        page = f", page {use.page}" if use.page else ""
        screen.line(f"{use.publication}{page}, {place}{by}", indent=2, hang=4)
