"""A step's history as a picture: the manual's words, then each note by date with the words it changed."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from benchleaf.cli.changes import Stretch, changed_words
from benchleaf.cli.say import dated, does, units

if TYPE_CHECKING:
    from benchleaf.graph.page import OverrideView, PageAnswer, PageItem

State = Literal["printed", "in force", "in doubt", "not in force", "now"]
WIDE, LEFT = 760.0, 34.0
"""The width of the picture, and where its words begin."""
SIGNS, HEAD, LINE, ROOM = 84, 24.0, 21.0, 20.0
"""Signs a line, the height of a heading and of a line, and the room between two stages."""


@dataclass(frozen=True, slots=True)
class WordLine:
    """A line of words, in runs that stayed, went or came, and where it stands."""

    runs: tuple[Stretch, ...]
    y: float


@dataclass(frozen=True, slots=True)
class Stage:
    """One point of the history: what it is, in what state, who says so, and the words."""

    head: str
    state: State
    note: str | None
    why: tuple[WordLine, ...]
    words: tuple[WordLine, ...]
    top: float
    bottom: float


@dataclass(frozen=True, slots=True)
class StepHistory:
    """The step, and the stages from the manual's own words to what is in force."""

    answer: "PageAnswer"
    item: "PageItem"
    stages: tuple[Stage, ...]
    high: float


def step_history(answer: "PageAnswer", item: "PageItem", printed: dt.date | None) -> StepHistory:
    """The history of one step of a page; `printed` is the manual's date."""
    edge, stages = 8.0, []
    running: str | None = item.text
    day = f" ({printed.isoformat()})" if printed else ""
    told: list[tuple[str, State, str | None, str, Sequence[Stretch]]] = [
        (f"The manual prints{day}", "printed", None, "", changed_words(item.text, item.text))
    ]
    for view in item.overrides:
        after = _after(running or "", view)
        told.append((_head(view), _state(view), view.note, _why(view), changed_words(*after)))
        if view.in_force and not view.action.startswith("insert") and view.action != "caution":
            running = after[1]
    told.append(_last(item))
    for head, state, note, why, words in told:
        stage = _stage(head, state, note, why, words, edge)
        stages.append(stage)
        edge = stage.bottom + ROOM
    return StepHistory(answer, item, tuple(stages), edge)


def _last(item: "PageItem") -> tuple[str, State, str | None, str, Sequence[Stretch]]:
    if item.in_force.text is None:
        return "In force: the step is deleted", "now", None, "Do not do this step.", ()
    same = changed_words(item.in_force.text, item.in_force.text)
    if not item.in_force.by:
        return "In force: the manual's own words", "now", None, "", same
    return f"In force, by {' and '.join(item.in_force.by)}", "now", None, "", same


def _state(view: "OverrideView") -> State:
    if view.in_force:
        return "in force"
    return "in doubt" if view.standing == "doubtful" else "not in force"


def _head(view: "OverrideView") -> str:
    shop = ", the shop's own and not the maker's," if view.note.upper().startswith("SHOP-") else ""
    return f"{dated(view.note, view.date)}{shop} {does(view.action)}"


def _why(view: "OverrideView") -> str:
    """In force or not, and why; for which units and kits it holds."""
    holds = units(view.applies)
    whose = "" if holds == "all units" else f" for {holds}"
    whose += f" with kit {' or '.join(view.kits)}" if view.kits and not view.applies.kits else ""
    if view.in_force:
        return f"In force{whose}."
    if view.standing == "doubtful":
        return f"DOUBT, it changes nothing yet: {'; '.join(view.why) or 'not settled'}."
    return f"Not in force: {view.why_not or 'not settled'}."


def _after(words: str, view: "OverrideView") -> tuple[str, str]:
    """What the step said, and what it says by the note."""
    if view.action in ("insert-after", "insert-before", "caution"):
        return "", view.text or ""
    if view.action == "delete":
        return words, ""
    if view.action == "change-value" and view.was and view.now:
        return (words, words.replace(view.was, view.now)) if view.was in words else (view.was, view.now)
    return words, view.text or view.now or ""


def _stage(
    head: str, state: State, note: str | None, why: str, words: Sequence[Stretch], top: float
) -> Stage:
    y = top + HEAD
    reasons = _lined([Stretch("same", why)], y) if why else ()
    y += len(reasons) * LINE
    lines = _lined(words, y)
    return Stage(head, state, note, reasons, lines, top, y + len(lines) * LINE)


def _lined(stretches: Sequence[Stretch], top: float) -> tuple[WordLine, ...]:
    """The words in lines, each word with its mark; marks that follow each other make one run."""
    lines: list[list[Stretch]] = [[]]
    used = 0
    for mark, word in ((s.mark, w) for s in stretches for w in _pieces(s.text)):
        if used and used + 1 + len(word) > SIGNS:
            lines.append([])
            used = 0
        row = lines[-1]
        if row and row[-1].mark == mark:
            row[-1] = Stretch(mark, f"{row[-1].text} {word}")
        else:
            row.append(Stretch(mark, word))
        used += len(word) + (1 if used else 0)
    return tuple(WordLine(tuple(row), top + (i + 0.75) * LINE) for i, row in enumerate(lines) if row)


def _pieces(text: str) -> list[str]:
    """The words of a text; one longer than a line is cut."""
    return [w[i : i + SIGNS] for w in text.split() for i in range(0, len(w), SIGNS)]
