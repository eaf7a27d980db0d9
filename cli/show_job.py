"""Jobs for people: what is news first, then the unit and what is kept of it."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from benchleaf.cli.changes import changed_words
from benchleaf.cli.say import command, dated, lines_words, listed, many
from benchleaf.cli.screen import Column, Piece, Screen, Style, Words
from benchleaf.graph.jobs.job import STATES

if TYPE_CHECKING:
    from collections.abc import Iterable

    from benchleaf.graph.jobs.answer import JobAnswer
    from benchleaf.graph.jobs.job import Entry, Job, Signed
    from benchleaf.graph.jobs.news import JobNews, KitNews, StepNews
    from benchleaf.graph.jobs.touched import TouchedJob

_WIDE = 10
_VERDICTS = {
    "within": "within the range",
    "below": "BELOW the range",
    "above": "ABOVE the range",
    "not said": "the step gives no such range",
    "in doubt": "IN DOUBT",
}


def show_job(screen: Screen, answer: "JobAnswer", start: Sequence[str] = ()) -> None:
    """News, unit, as found, measured values, what was pinned."""
    job = answer.job
    screen.line(Piece(f"JOB {job.number}: {state_words(job)}", "strong"))
    show_news(screen, answer, start)
    _show_unit(screen, job)
    _show_found(screen, answer)
    _show_entries(screen, job.entries)
    _show_signed(screen, "Remarks", job.remarks)
    _show_signed(screen, "Built despite a hold", job.despite)
    _show_pins(screen, answer)


def state_words(job: "Job") -> str:
    """Each state that a job went through, with its day and initials."""
    days = {"opened": job.opened, "built": job.built, "shipped": job.shipped}
    reached = [(state, day) for state in STATES if (day := days[state])]
    return ", ".join(_by(f"{state} {day.isoformat()}", job.by(state)) for state, day in reached)


def _by(words: str, initials: str) -> str:
    return f"{words} ({initials})" if initials else words


def show_news(screen: Screen, answer: "JobAnswer", start: Sequence[str] = ()) -> None:
    """What somebody must look at, the loudest first."""
    news = answer.news
    if news.comeback:
        screen.line(Piece(news.comeback_words.upper().partition(":")[0] + ":", "bad"), _after(news))
    for hold in news.holds:
        screen.line(Piece(f"HOLD — {hold.sentence}", "bad"), hang=7)
    for value in news.measured:
        screen.line(Piece(f"MEASURE: {value.sentence}", "bad"), hang=7)
    for words in news.remarks:
        screen.line(Piece(f"CHECK: {words}", "doubt"), hang=7)
    if news.empty and answer.pin is not None:
        pin = answer.pin
        screen.line(f"Nothing changed since it was {pin.occasion} on {pin.day.isoformat()}.")
    _show_steps(screen, news.steps)
    _show_notes(screen, news)
    _show_kits(screen, news.kits)
    if news.doubts:
        ids = ", ".join(str(s.id) for s in news.doubts)
        screen.blank()
        screen.line(Piece(f"DOUBT: {many(len(news.doubts), 'reading')} could touch it ({ids}):", "doubt"))
        for note in dict.fromkeys(s.note for s in news.doubts):
            screen.typed(command(*start, "doubts", "--note", note))


def _after(news: "JobNews") -> str:
    return news.comeback_words.partition(":")[2]


def _show_steps(screen: Screen, steps: "Sequence[StepNews]") -> None:
    if not steps:
        return
    screen.blank()
    screen.line(Piece("Steps that read otherwise now", "head"))
    for s in steps:
        show_step_news(screen, s)


def show_step_news(screen: Screen, s: "StepNews", indent: int = 2) -> None:
    """A step, what became of it and by which notes, and its words before and after in one run."""
    by = f" by {listed(s.notes)}" if s.notes else ""
    where = f"{s.publication}, page {s.page}, step {s.label}"
    screen.line(f"{where}: {s.what}{by}", indent=indent, hang=indent + 2)
    run = changed_words(s.was or "", s.now or "")
    pieces: list[Words] = [x.text if x.mark == "same" else Piece(x.text, x.mark) for x in run]
    screen.line(*pieces, indent=indent + 4, hang=indent + 4)


def _show_notes(screen: Screen, news: "JobNews") -> None:
    if not news.notes:
        return
    screen.blank()
    screen.line(Piece("Notes that were not considered", "head"))
    for note in news.notes:
        screen.line(note.sentence, indent=2, hang=4)


def _show_kits(screen: Screen, kits: "Sequence[KitNews]") -> None:
    if not kits:
        return
    screen.blank()
    screen.line(Piece("Kits", "head"))
    for kit in kits:
        by = f" ({listed(kit.notes)})" if kit.notes else ""
        if kit.replaced_by:
            screen.line(f"{kit.kit} has been replaced by {listed(kit.replaced_by)}{by}", indent=2, hang=4)
        if kit.changed:
            screen.line(f"{kit.kit} is told otherwise{by}", indent=2, hang=4)
            screen.labelled("was", lines_words(kit.was), indent=4, width=5)
            screen.labelled("now", lines_words(kit.now), indent=4, width=5)


def _show_unit(screen: Screen, job: "Job") -> None:
    screen.blank()
    built = f", built {job.date_of_build.isoformat()}" if job.date_of_build else ""
    screen.labelled("Unit", job.words + built, width=_WIDE)
    for name, value in job.plate:
        screen.labelled("Plate", f"{name} = {value}", width=_WIDE)
    for doubt in job.doubts:
        screen.labelled("DOUBT", Piece(_by(doubt.words, doubt.initials), "doubt"), width=_WIDE)
    screen.labelled("Kits", ", ".join(job.kits) or "none named", width=_WIDE)
    about = "; ".join(a.words for a in job.about) or "the whole publication of the model"
    screen.labelled("About", about, width=_WIDE)


def _show_found(screen: Screen, answer: "JobAnswer") -> None:
    job, found = answer.job, answer.evidence
    if not job.found and not job.found_remarks:
        return
    screen.blank()
    screen.line(Piece("As found at teardown", "head"))
    for line in job.found:
        count = "not counted:" if line.quantity is None else str(line.quantity)
        words = " ".join(w for w in (count, line.description, line.part or "") if w)
        screen.line(words, indent=2, hang=4)
    for remark in job.found_remarks:
        screen.line(_by(remark.words, remark.initials), indent=2, hang=4)
    for match in found.matches if found else ():
        screen.line(f"{match.what} (“{match.source}”)", indent=2, hang=4)
        for words in match.differences:
            screen.line(words, indent=6, hang=8)
    for words in found.sentences if found else ():
        screen.line(Piece(words, "strong"), indent=2, hang=4)


def entry_words(entry: "Entry") -> str:
    """How a measured value stands to the range in force at the time; empty for what is no measured value."""
    if entry.verdict is None:
        return "; ".join(entry.why)
    said = _VERDICTS.get(entry.verdict, entry.verdict)
    printed = f": {listed(entry.printed, 'or')}" if entry.printed else ""
    why = f" ({'; '.join(entry.why)})" if entry.why and entry.verdict == "in doubt" else ""
    return said + printed + why


def show_entry(screen: Screen, entry: "Entry") -> None:
    """One value that was just written down."""
    where = f"{entry.publication}, page {entry.page}, step {entry.label}"
    screen.line(f"{where}: {entry.value} ({entry.initials})", hang=2)
    wrong = entry.verdict in ("below", "above", "in doubt")
    if entry_words(entry):
        style: Style = "bad" if wrong else "good" if entry.verdict == "within" else ""
        screen.line(Piece(entry_words(entry), style))


def _show_entries(screen: Screen, entries: "Sequence[Entry]") -> None:
    if not entries:
        return
    screen.blank()
    screen.line(Piece("Measured", "head"))
    columns = [Column("Page", whole=True), Column("Step", whole=True), Column("Value"), Column("Range")]
    columns += [Column("By", whole=True), Column("On", whole=True)]
    rows: list[list[Words]] = []
    for e in entries:
        wrong = e.verdict in ("below", "above", "in doubt")
        verdict = Piece(entry_words(e), "bad" if wrong else "")
        value = f"{e.value} ({e.which})" if e.which else e.value
        rows.append([e.page, e.label, value, verdict, e.initials, e.at.date().isoformat()])
    screen.table(columns, rows)


def _show_signed(screen: Screen, title: str, lines: "Sequence[Signed]") -> None:
    if not lines:
        return
    screen.blank()
    screen.line(Piece(title, "head"))
    for line in lines:
        screen.line(f"{line.day.isoformat()} {_by(line.words, line.initials)}", indent=2, hang=4)


def _show_pins(screen: Screen, answer: "JobAnswer") -> None:
    if not answer.pins:
        return
    screen.blank()
    screen.line(Piece("Pinned", "head"))
    for pin in answer.pins:
        notes = listed([dated(n.number, n.date) for n in pin.notes]) or "no note"
        said = f"{pin.occasion} {pin.day.isoformat()}: {many(len(pin.steps), 'step')}; considered: {notes}"
        screen.line(f"{said}; {pin.state}", indent=2, hang=4)


def show_jobs(screen: Screen, jobs: "Iterable[TouchedJob]") -> None:
    """A line each: in work first, then shipped."""
    columns = [Column("Job", whole=True), Column("State", whole=True), Column("Unit"), Column("Kits")]
    columns += [Column("Since", whole=True), Column("News")]
    rows: list[list[Words]] = []
    for t in jobs:
        job = t.job
        since = job.shipped or job.built or job.opened
        news = Piece(news_words(t.news), "bad" if t.news.waits else "")
        kits = ", ".join(job.kits)
        rows.append([job.number, job.state, job.words, kits, since.isoformat(), news])
    if rows:
        screen.table(columns, rows)
    else:
        screen.line("No jobs.")


def news_words(news: "JobNews") -> str:
    """What waits, in a few words."""
    said = ["POSSIBLE COMEBACK"] if news.comeback else []
    said += [f"HOLD on {listed(list(dict.fromkeys(h.kit for h in news.holds)))}"] if news.holds else []
    said += [f"{many(len(news.steps), 'step')} changed"] if news.steps else []
    said += [f"not considered: {listed([n.note.number for n in news.notes])}"] if news.notes else []
    said += [f"kit {listed([k.kit for k in news.kits])} changed"] if news.kits else []
    said += ["measured values judged otherwise"] if news.measured else []
    said += [f"{many(len(news.doubts), 'doubt')}"] if news.doubts else []
    return "; ".join(said) or "none"


def show_before(screen: Screen, news: "JobNews") -> None:
    """What had been news until a job was built: whoever built it should have seen it."""
    if news.empty:
        return
    screen.line(Piece("CHECK: this was news until now, and is pinned now as considered:", "doubt"), hang=7)
    _show_steps(screen, news.steps)
    _show_notes(screen, news)
    _show_kits(screen, news.kits)
    screen.blank()
