"""The verdict on a measured value, for people."""

import datetime as dt
from collections.abc import Mapping
from typing import TYPE_CHECKING

from benchleaf.cli.say import dated, listed, ocr_mark
from benchleaf.cli.screen import Piece, Screen
from benchleaf.graph.quantities.pairs import plain

if TYPE_CHECKING:
    from benchleaf.graph.measure import JudgedValue, MeasureAnswer

_WIDTH = 10
Dates = Mapping[str, dt.date | None]


def show_measure(screen: Screen, answer: "MeasureAnswer", dates: Dates) -> None:
    """The verdict, what was measured, the printed values, where they are from, and what to heed."""
    good = answer.verdict == "within"
    screen.line(Piece(headline(answer), "good" if good else "doubt"))
    screen.labelled("Measured", answer.measured.printed, width=_WIDTH)
    screen.labelled("Step", f"{answer.publication}, page {answer.page}, step {answer.label}", width=_WIDTH)
    for value in answer.values:
        screen.labelled("Printed", value_words(answer, value), width=_WIDTH)
    _show_origin(screen, answer, dates)
    for reason in answer.reasons:
        screen.line(Piece(f"CHECK: {reason}", "doubt"), hang=7)
    for warning in answer.warnings:
        screen.line(Piece(f"CHECK: {warning}", "doubt"), hang=7)
    for text in answer.cautions:
        screen.line(Piece(text, "strong"), indent=2, hang=4)


def headline(answer: "MeasureAnswer") -> str:
    """The verdict in a line."""
    if answer.verdict in ("below", "above"):
        return f"{answer.verdict.upper()} by {plain(answer.by)} {answer.unit}"
    if answer.verdict == "not said":
        return f"NOT SAID: the step gives no {answer.measured.kind}"
    return answer.verdict.upper()


def value_words(answer: "MeasureAnswer", value: "JudgedValue") -> str:
    """The paper's words, the same in the shop's unit, and how the measured value stands to it."""
    words = value.printed + (f" ({', '.join(value.also)})" if value.also else "")
    off = f" by {plain(value.by)} {answer.unit}" if value.verdict in ("below", "above") else ""
    shop = f"; in {answer.unit}: {_range(value)}" if value.unit != answer.unit else ""
    return f"{words}{shop}; {value.verdict}{off}"


def _range(value: "JudgedValue") -> str:
    low, high = value.low, value.high
    if low is None and high is None:
        return "not known"
    if low is None or high is None:
        return f"at most {plain(high)}" if high is not None else f"at least {plain(low or 0.0)}"
    return plain(low) if low == high else f"{plain(low)} to {plain(high)}"


def _show_origin(screen: Screen, answer: "MeasureAnswer", dates: Dates) -> None:
    by = listed([dated(number, dates.get(number)) for number in answer.changed_by])
    screen.labelled("In force", answer.text or "the step is deleted", width=_WIDTH)
    if answer.changed_by:
        screen.labelled("Changed by", by, width=_WIDTH)
    elif answer.origin != "manual":
        screen.labelled("Added by", dated(answer.origin, dates.get(answer.origin)), width=_WIDTH)
    if answer.was:
        screen.labelled("Manual", answer.was, width=_WIDTH)
    if answer.by_ocr:
        screen.line(Piece(ocr_mark(answer.unsure), "doubt"), hang=2)
