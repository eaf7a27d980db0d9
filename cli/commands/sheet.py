"""`benchleaf sheet`: an answer as one HTML file, to print or to look at."""

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
from benchleaf.cli.options import DAY, as_json, examples
from benchleaf.cli.session import Session
from benchleaf.cli.unitoptions import AskedUnit, of_unit
from benchleaf.graph.errors import WrongUse

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from benchleaf.graph.store import Store

EXAMPLES = examples(
    "sheet page MS-40 4-12",
    "sheet procedure --model G8 --page 4-12 --pictures --pdf",
    "sheet week --week 2026-W48 --out week.html",
)


@click.group("sheet", epilog=EXAMPLES)
def command() -> None:
    """An answer as one HTML file, to print or to look at.

    The file holds its pictures and asks for nothing else. With --pdf a Chromium on this machine prints it.
    Every sheet bears its date, the state of the store and the notes considered. Every one takes --json, which
    tells the files written.
    """


def written(function: "Callable[..., Any]") -> "Callable[..., Any]":
    """Add what every sheet is asked: where to write it, on what paper, and whether as PDF too."""
    for option in (
        as_json,
        click.option("--paper", type=click.Choice(["A4", "Letter"]), help="For --pdf; else the printer's."),
        click.option("--pdf", is_flag=True, help="Print it to PDF beside the HTML file, by Chromium."),
        click.option(
            "--out", metavar="FILE", type=click.Path(path_type=Path), help="The HTML file to write."
        ),
    ):
        function = option(function)
    return function


@command.command("page")
@click.argument("pub")
@click.argument("page")
@written
@click.pass_obj
def page_sheet(session: Session, /, pub: str, page: str, **how: Any) -> int:
    """A manual page as printed, its overridden steps marked, the notes' own words beside them."""
    from benchleaf.cli.sheets.pageview import page_view
    from benchleaf.graph.page import page_answer

    with session.read() as store:
        answer = page_answer(store, pub, page)
        name = f"page {answer.publication} {answer.page}"
        return _write(store, "page.html", answer.notes, name, how, page=page_view(store, answer))


@command.command("procedure")
@click.option("--pub", "--publication", "publication", metavar="PUB", help="The publication.")
@click.option("--page", metavar="P", help="Only this printed page.")
@click.option("--section", metavar="WORDS", help="Only the section with such a heading.")
@of_unit
@click.option("--pictures", is_flag=True, help="Show every step as the manual prints it, too.")
@written
@click.pass_obj
def procedure_sheet(
    session: Session,
    /,
    publication: str | None,
    page: str | None,
    section: str | None,
    asked: AskedUnit,
    pictures: bool,
    **how: Any,
) -> int:
    """The steps in force for a unit, with a line for the measured value and the initials at each."""
    from benchleaf.cli.sheets.procedureview import procedure_view
    from benchleaf.graph.procedure import ProcedureQuestion, procedure_answer

    question = ProcedureQuestion(
        publication, page, section, asked.model, asked.serial, asked.kits, asked.on, asked.built
    )
    with session.read() as store:
        answer = procedure_answer(store, question)
        notes = [n for s in answer.steps for n in s.changed_by] + [n.note for n in answer.left_out]
        name = " ".join(w for w in ("procedure", asked.model, asked.serial, publication, page, section) if w)
        view = procedure_view(store, answer, pictures=pictures)
        return _write(store, "procedure.html", notes, name, how, procedure=view)


@command.command("kit")
@click.argument("number", metavar="NUMBER...", nargs=-1, required=True)
@click.option("--got", metavar="WORDS", help="What came, counted by hand.")
@click.option("--model", metavar="M", help="The unit's model.")
@click.option("--serial", metavar="S", help="The unit's serial number.")
@written
@click.pass_obj
def kit_sheet(
    session: Session,
    /,
    number: tuple[str, ...],
    got: str | None,
    model: str | None,
    serial: str | None,
    **how: Any,
) -> int:
    """An arrived kit: verdict, lines, pack, and the note that seems to be missing."""
    from benchleaf.cli.sheets.kitview import kit_view
    from benchleaf.cli.show_kit import KitShown
    from benchleaf.graph.kits.holding import standing_holds
    from benchleaf.graph.kits.kit import kit_answer, parse_got

    came = parse_got(got) if got else ()
    with session.read() as store:
        answer = kit_answer(store, " ".join(number), came, model, serial)
        shown = KitShown(answer, standing_holds(store, answer.kit), counted=bool(came))
        view = kit_view(shown, model, serial)
        return _write(store, "kit.html", view.considered, f"kit {answer.kit}", how, kit=view)


@command.command("job")
@click.argument("number")
@written
@click.pass_obj
def job_sheet(session: Session, /, number: str, **how: Any) -> int:
    """A job's card: its news, its unit, and the pinned steps with what was measured."""
    from benchleaf.cli.sheets.jobview import job_view
    from benchleaf.graph.jobs.answer import job_answer

    with session.read() as store:
        view = job_view(job_answer(store, number, dt.date.today()))
        return _write(store, "job.html", view.considered, f"job {view.answer.job.number}", how, job=view)


@command.command("note")
@click.argument("number")
@written
@click.pass_obj
def note_sheet(session: Session, /, number: str, **how: Any) -> int:
    """A shop's own note to hand on, marked as the shop's and not the maker's."""
    from benchleaf.cli.sheets.noteview import shop_note_view

    with session.read() as store:
        view = shop_note_view(store, number)
        return _write(store, "note.html", (view.note.number,), f"note {view.note.number}", how, view=view)


@command.command("week")
@click.option("--week", metavar="WEEK", help="An ISO week, such as 2026-W48. Without it: this week.")
@click.option("--since", metavar="DATE", type=DAY, help="From that day to today.")
@written
@click.pass_obj
def week_sheet(session: Session, /, week: str | None, since: dt.date | None, **how: Any) -> int:
    """The weekly report: each step with its words before and after."""
    from benchleaf.cli.sheets.weekview import week_view
    from benchleaf.graph.week import week_answer

    with session.read() as store:
        answer = week_answer(store, week, since, dt.date.today())
        name = f"week {answer.week or answer.first.isoformat()}"
        notes = [n.number for n in answer.notes]
        return _write(store, "week.html", notes, name, how, week=week_view(store, answer))


def _write(
    store: "Store", template: str, notes: "Sequence[str]", name: str, how: dict[str, Any], **view: Any
) -> int:
    """Write the sheet, and print it where asked; say where it lies."""
    from benchleaf.cli.sheets.files import file_name, save
    from benchleaf.cli.sheets.pdf import print_pdf
    from benchleaf.cli.sheets.render import sheet
    from benchleaf.cli.sheets.stamp import stamp

    if how["paper"] and not how["pdf"]:
        raise WrongUse("--paper is for --pdf", "Add --pdf, or choose the paper when you print.")
    out = how["out"] or Path(file_name(name))
    words = sheet(template, paper=how["paper"] or "", stamp=stamp(store, notes, dt.date.today()), **view)
    save(out, words)
    pdf = print_pdf(out, out.with_suffix(".pdf")) if how["pdf"] else None
    if how["as_json"]:
        from benchleaf.cli.shapes import show

        show({"sheet": str(out), "pdf": None if pdf is None else str(pdf)})
    else:
        click.echo(f"Written: {pdf or out}")
    return 0
