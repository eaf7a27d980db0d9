"""The weekly report for people, by unit; and what is missing."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from benchleaf.cli.say import dated, does, lines_words, listed, many, step, units
from benchleaf.cli.screen import Piece, Screen
from benchleaf.cli.show_job import show_step_news
from benchleaf.graph.keys import natural
from benchleaf.graph.model import Target

if TYPE_CHECKING:
    from benchleaf.graph.jobs.touched import TouchedJob
    from benchleaf.graph.missing import Missing
    from benchleaf.graph.week import WeekAnswer, WeekKit, WeekPart, WeekStep

_NO_MODEL = "Units not named"


def show_week(screen: Screen, answer: "WeekAnswer") -> None:
    """The notes, then what they change: steps by unit, part numbers, kits, jobs; then what is open."""
    title = f"Week {answer.week}" if answer.week else "Report"
    screen.line(Piece(f"{title}, {answer.first.isoformat()} to {answer.last.isoformat()}", "head"))
    if not answer.notes:
        screen.line("No notes were received. Nothing changes.")
        return
    screen.line(f"{many(len(answer.notes), 'note')} received.")
    gone = {note.number: note.cancelled_by for note in answer.notes if note.cancelled_by}
    for note in answer.notes:
        words = f"{note.subject or 'no subject'}; for {units(note.applies)}{_cancelled(note.number, gone)}"
        screen.line(f"{dated(note.number, note.date)}: {words}", indent=2, hang=4)
    for models, steps in by_unit(answer.steps):
        screen.blank()
        screen.line(Piece(", ".join(models), "head"))
        for changed in steps:
            _show_step(screen, changed, gone)
    _show_parts(screen, answer.parts)
    _show_kits(screen, answer.kits)
    _show_jobs(screen, answer.jobs)
    _show_end(screen, answer)


def by_unit(steps: "Iterable[WeekStep]") -> "list[tuple[list[str], tuple[WeekStep, ...]]]":
    """The steps by the units that they hold for, in the order of their pages; each step stands once."""
    groups: dict[tuple[str, ...], list[WeekStep]] = {}
    for changed in sorted(steps, key=_place):
        models = tuple(sorted(changed.models, key=natural)) or (_NO_MODEL,)
        groups.setdefault(models, []).append(changed)
    order = sorted(groups, key=lambda models: (models == (_NO_MODEL,), -len(models), models))
    return [(list(models), tuple(groups[models])) for models in order]


def _place(changed: "WeekStep") -> tuple[object, ...]:
    return (changed.publication or "", natural(changed.page or ""), natural(changed.item or ""))


def _cancelled(number: str, gone: Mapping[str, str]) -> str:
    return f" — cancelled by {gone[number]}" if number in gone else ""


def _ocr(by_ocr: bool) -> str:
    return " (read by OCR)" if by_ocr else ""


def _show_step(screen: Screen, changed: "WeekStep", gone: Mapping[str, str]) -> None:
    where = step(Target(changed.publication, changed.page, changed.item))
    said = f": was {changed.was}, now {changed.now}" if changed.was and changed.now else ""
    said = f": {changed.text}" if changed.text and not said else said
    end = _ocr(changed.by_ocr) + _cancelled(changed.note, gone)
    screen.line(f"{where}: {changed.note} {does(changed.action)}{said}{end}", indent=2, hang=4)
    if changed.standing != "settled":
        screen.line(Piece(f"DOUBT (statement {changed.statement}): changes nothing yet", "doubt"), indent=4)


def _show_parts(screen: Screen, parts: "Sequence[WeekPart]") -> None:
    if not parts:
        return
    screen.blank()
    screen.line(Piece("Part numbers", "head"))
    notes: dict[WeekPart, list[str]] = {}
    for part in parts:
        notes.setdefault(replace(part, note=""), []).append(part.note)
    for part, told in notes.items():
        new = listed(part.new, "or" if part.relation == "one of" else "and") or "nothing: no longer supplied"
        relation = "" if part.relation == "one" else f" ({part.relation})"
        doubt = _ocr(part.by_ocr) + ("" if part.standing == "settled" else "; DOUBT")
        screen.line(f"{listed(part.old)} -> {new}{relation} ({', '.join(told)}){doubt}", indent=2, hang=4)


def _show_kits(screen: Screen, kits: "Sequence[WeekKit]") -> None:
    if not kits:
        return
    screen.blank()
    screen.line(Piece("Kits", "head"))
    for kit in kits:
        doubt = _ocr(kit.by_ocr) + ("" if kit.standing == "settled" else "; DOUBT")
        screen.line(f"{kit.kit} ({kit.note}){doubt}", indent=2, hang=4)
        screen.labelled("was", lines_words(kit.was), indent=4, width=5)
        screen.labelled("now", lines_words(kit.now), indent=4, width=5)


def _show_jobs(screen: Screen, jobs: "Sequence[TouchedJob]") -> None:
    if not jobs:
        return
    screen.blank()
    screen.line(Piece("Jobs that these notes touch", "head"))
    for touched in jobs:
        job, news = touched.job, touched.news
        title = f"job {job.number} ({job.words}), {job.state}"
        screen.line(Piece(f"{title}: {job_words(touched)}", "bad"), indent=2, hang=4)
        for note in news.notes:
            screen.line(note.sentence, indent=4, hang=6)
        for changed in news.steps:
            show_step_news(screen, changed, indent=4)


def job_words(touched: "TouchedJob") -> str:
    """What the notes mean for a job, in a few words."""
    return "POSSIBLE COMEBACK" if touched.news.comeback else "look before it goes on"


def _show_end(screen: Screen, answer: "WeekAnswer") -> None:
    if answer.missing:
        screen.blank()
        screen.line(Piece("Cited but not held", "head"))
        show_missing(screen, answer.missing)
    screen.blank()
    if answer.doubts:
        screen.line(f"{many(answer.doubts, 'doubt')} to look at: benchleaf doubts")
    else:
        screen.line("No doubts.")


def show_missing(screen: Screen, missing: "Iterable[Missing]") -> None:
    """A line each: what is not held, who cites it, where, and what is near."""
    for one in missing:
        where = f" ({', '.join(one.where)})" if one.where else ""
        if one.kind == "page":
            where = f" of {listed(one.where)}"
        near = f"; held and near: {', '.join(one.near)}" if one.near else ""
        cited = f"cited by {listed(one.cited_by)}"
        screen.line(f"{one.kind} {one.number}{where}, {cited}{near}", indent=2, hang=4)
