"""A manual page for people: old words struck, new words beside them, and who said so."""

from typing import TYPE_CHECKING

from benchleaf.cli.changes import changed_words
from benchleaf.cli.say import dated, does, ocr_mark, place, units
from benchleaf.cli.screen import Piece, Screen, Words

if TYPE_CHECKING:
    from benchleaf.graph.page import OverrideView, PageAnswer, PageItem

_IN = 6
"""Places by which what belongs to a step is set in."""
_INSERTS = {"insert-after": "after this step", "insert-before": "before this step"}


def show_page(screen: Screen, answer: "PageAnswer") -> None:
    """The page's head, its steps, and what no step answers to."""
    screen.line(Piece(f"{answer.publication}, page {answer.page}", "head"))
    if answer.section:
        screen.line(answer.section)
    screen.line(Piece(f"{answer.file}, sheet {answer.sheet}", "quiet"))
    screen.line(f"Notes on this page: {', '.join(answer.notes) or 'none that is held'}.", hang=2)
    for warning in answer.warnings:
        screen.line(Piece(f"CHECK: {warning}", "doubt"), hang=7)
    for item in answer.items:
        screen.blank()
        _show_item(screen, item)
    if not answer.items:
        screen.line("No numbered steps were read on this page.")
    if answer.others:
        screen.blank()
        screen.line(Piece("No step of this page answers to these", "head"))
        for view in answer.others:
            _show_unplaced(screen, view)


def _show_item(screen: Screen, item: "PageItem") -> None:
    screen.labelled(item.item, *_words(item))
    if item.by_ocr:
        screen.line(Piece(ocr_mark(item.unsure), "doubt"), indent=_IN, hang=_IN + 2)
    for notice in item.notices:
        screen.line(Piece(f"{notice.kind}: {notice.text}", "strong"), indent=_IN, hang=_IN + 2)
    for view in item.overrides:
        if view.in_force:
            _show_in_force(screen, view)
    for view in item.overrides:
        if view.standing == "doubtful":
            _show_doubt(screen, view)
    left = [v for v in item.overrides if not v.in_force and v.standing != "doubtful"]
    if left:
        said = "; ".join(f"{dated(v.note, v.date)}, {v.why_not}" for v in left)
        screen.line(Piece(f"Not in force: {said}", "quiet"), indent=_IN, hang=_IN + 2)
    for warning in item.warnings:
        if _told(warning, item):
            continue
        screen.line(Piece(f"CHECK: {warning}", "doubt"), indent=_IN, hang=_IN + 2)


def _told(warning: str, item: "PageItem") -> bool:
    """True of a warning that only says which units and kits a note holds for: its line has told that."""
    return any(warning.startswith(f"{view.note} holds ") for view in item.overrides if view.in_force)


def _words(item: "PageItem") -> list[Words]:
    if item.in_force.text is None:
        return [Piece(item.text, "was"), " — deleted"]
    stretches = changed_words(item.text, item.in_force.text)
    return [s.text if s.mark == "same" else Piece(s.text, s.mark) for s in stretches]


def _show_in_force(screen: Screen, view: "OverrideView") -> None:
    screen.line(f"{_who(view)} {does(view.action)}{_for(view)}{_ocr(view)}", indent=_IN, hang=_IN + 2)
    if view.text and view.action in _INSERTS:
        words = Piece(f"{_INSERTS[view.action]}: {view.text}", "now")
        screen.line(words, indent=_IN + 2)
    if view.text and view.action == "caution":
        screen.line(Piece(view.text, "now"), indent=_IN + 2)


def _show_doubt(screen: Screen, view: "OverrideView") -> None:
    why = "; ".join(view.why) or "not settled"
    doubt = Piece(f"DOUBT (statement {view.statement}): {why}", "doubt")
    screen.line(doubt, indent=_IN, hang=_IN + 2)
    said = f"if it holds, {_who(view)} {does(view.action)}{_for(view)}{_said(view)}{_ocr(view)}"
    screen.line(said, indent=_IN + 2)


def _show_unplaced(screen: Screen, view: "OverrideView") -> None:
    if view.standing == "doubtful":
        _show_doubt(screen, view)
    else:
        screen.line(
            f"{_who(view)} {does(view.action)}{_said(view)}; {view.why_not}", indent=_IN, hang=_IN + 2
        )
    screen.line(Piece(f"“{view.quote}” ({place(view.source)})", "quiet"), indent=_IN + 2)


def _who(view: "OverrideView") -> str:
    shop = ", the shop's own," if view.note.upper().startswith("SHOP-") else ""
    return dated(view.note, view.date) + shop


def _ocr(view: "OverrideView") -> str:
    return " (read by OCR)" if view.source.by_ocr else ""


def _for(view: "OverrideView") -> str:
    words = units(view.applies)
    kits = f"; with kit {' or '.join(view.kits)}" if view.kits and not view.applies.kits else ""
    return (f", for {words}" if words != "all units" else "") + kits


def _said(view: "OverrideView") -> str:
    if view.was and view.now:
        return f": was {view.was}, now {view.now}"
    return f": {view.text}" if view.text else ""
