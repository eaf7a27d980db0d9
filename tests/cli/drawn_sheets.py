"""The sheets of the small store, as tests compare them: every kind, over what a shop would print."""

import datetime as dt
import io
import re
from collections.abc import Callable
from pathlib import Path

from benchleaf.cli.arrivals import write_arrival
from benchleaf.cli.sheets.jobview import job_view
from benchleaf.cli.sheets.kitview import kit_view
from benchleaf.cli.sheets.noteview import shop_note_view
from benchleaf.cli.sheets.pageview import page_view
from benchleaf.cli.sheets.procedureview import procedure_view
from benchleaf.cli.sheets.render import sheet
from benchleaf.cli.sheets.stamp import stamp
from benchleaf.cli.sheets.weekview import week_view
from benchleaf.cli.shopnote import Wish, stored_note
from benchleaf.cli.show_kit import KitShown
from benchleaf.graph.jobs.answer import job_answer
from benchleaf.graph.jobs.job import About
from benchleaf.graph.jobs.measured import enter_value
from benchleaf.graph.jobs.work import Told, open_job
from benchleaf.graph.kits.holding import standing_holds
from benchleaf.graph.kits.kit import kit_answer, parse_got
from benchleaf.graph.model import Applies, Document, Override
from benchleaf.graph.page import page_answer
from benchleaf.graph.procedure import ProcedureQuestion, procedure_answer
from benchleaf.graph.store import Store
from benchleaf.graph.week import week_answer
from job_papers import NEW, RULE, new_note, old_note, put
from small_store import ALL, note, source, target

DAY = dt.date(2026, 11, 25)
AT = dt.datetime(2026, 11, 24, 9, 30, tzinfo=dt.UTC)
Drawn = Callable[[Path], str]


def page_sheet(folder: Path) -> str:
    with Store.open(folder) as store:
        answer = page_answer(store, "VM-30", "4-12")
        return sheet("page.html", stamp=stamp(store, answer.notes, DAY), page=page_view(store, answer))


def procedure_sheet(folder: Path) -> str:
    with Store.open(folder) as store:
        asked = ProcedureQuestion(page="4-12", model="VR 30", serial="5300", on=DAY)
        answer = procedure_answer(store, asked)
        view = procedure_view(store, answer)
        return sheet("procedure.html", stamp=stamp(store, (), DAY), procedure=view)


def week_sheet(folder: Path) -> str:
    with Store.open(folder) as store:
        view = week_view(store, week_answer(store, "2026-W48", None, DAY))
        return sheet("week.html", stamp=stamp(store, (), DAY), week=view)


def kit_sheet(got: str) -> Drawn:
    """An arrived kit, counted so."""

    def drawn(folder: Path) -> str:
        with Store.open(folder) as store:
            came = parse_got(got)
            answer = kit_answer(store, "7751-1", came, "VR 30", "5300")
            view = kit_view(KitShown(answer, standing_holds(store, "7751-1"), counted=True), "VR 30", "5300")
            return sheet("kit.html", stamp=stamp(store, view.considered, DAY), kit=view)

    return drawn


def short_box(folder: Path) -> None:
    """A box with a disc too few, written down as on hold."""
    came = parse_got(GOT_FEW)
    with Store.open(folder, write=True) as store:
        write_arrival(store, kit_answer(store, "7751-1", came), came, None, None, AT)


def job_sheet(folder: Path) -> str:
    """Job 2611 as it stands in the store."""
    with Store.open(folder) as store:
        view = job_view(job_answer(store, "2611", DAY))
        return sheet("job.html", stamp=stamp(store, view.considered, DAY), job=view)


def note_sheet(folder: Path) -> str:
    with Store.open(folder) as store:
        view = shop_note_view(store, "SHOP-1")
        return sheet("note.html", stamp=stamp(store, ("SHOP-1",), DAY), view=view)


def deleting_note() -> Document:
    """Takes the soaking out."""
    said = Override(
        note="VB 131", date=NEW, quote="Delete item 1.", source=source("vb-131.pdf"), action="delete",
        target=target("1"), applies=ALL, **RULE,
    )  # fmt: skip
    return note("VB 131", NEW, "Soaking", said)


def job_with_news(folder: Path) -> None:
    """Opened and measured; then an old note is found, a newer one comes, and another deletes a step."""
    told = Told(
        model="VR 30",
        serial="5300",
        date_of_build=dt.date(2018, 5, 1),
        plate=(("Ratio", "3.08"),),
        doubts=("housing of another model",),
        kits=("7751-1",),
        about=(About(page="4-12"),),
        found=parse_got("5 friction disc, 6 steel disc"),
        remarks=("hub worn",),
    )
    with Store.open(folder, write=True) as store, store.transaction():
        open_job(store, "2611", told, "AB", AT)
        for value, step in (("1.25 mm", "6"), ("1.9 mm", "6"), ("31 N·m", "4"), ("done", "2")):
            enter_value(store, "2611", "VM-30", "4-12", step, value, "CD", AT)
    put(folder, old_note(), new_note(), deleting_note())


def photo() -> bytes:
    """A photo of nothing much."""
    from PIL import Image

    written = io.BytesIO()
    Image.new("RGB", (60, 40), (90, 30, 20)).save(written, "JPEG")
    return written.getvalue()


def note_with_photo(folder: Path) -> None:
    """The shop's own note on the cover screws, with a photo."""
    wish = Wish(
        *["VM-30", "4-12", "4", "change-value", None, "31 N·m", "33 N·m"],
        Applies(models=("VR 30",), serial_from="5200"),
        "Screws came loose on three units",
    )
    with Store.open(folder, write=True) as store:
        stored_note(store, wish, "QZ", AT, photo())


GOT_ALL, GOT_FEW = "6 friction disc, 5 steel disc", "5 friction disc, 5 steel disc"
SHEETS: dict[str, Drawn] = {
    "page": page_sheet,
    "procedure": procedure_sheet,
    "week": week_sheet,
    "kit_as_listed": kit_sheet(GOT_ALL),
    "kit_hold": kit_sheet(GOT_FEW),
    "job": job_sheet,
    "job_week": week_sheet,
    "note": note_sheet,
    "note_page": page_sheet,
}
"""By the name of the golden file."""
BEFORE: dict[str, Callable[[Path], None]] = {
    "kit_hold": short_box,
    "job": job_with_news,
    "job_week": job_with_news,
    "note": note_with_photo,
    "note_page": note_with_photo,
}
"""What happened in the store before the sheet is drawn; the others are drawn of the store as it is."""


def drawn(name: str, folder: Path) -> str:
    """The sheet of that name, of a store that may be changed."""
    if name in BEFORE:
        BEFORE[name](folder)
    return SHEETS[name](folder)


def body(page: str) -> str:
    """A sheet's markup without its style and the bytes of its pictures, which another version of the
    libraries may write otherwise."""
    bare = re.sub(r"<style>.*?</style>", "<style></style>", page, flags=re.DOTALL)
    bare = re.sub(r"(data:image/png;base64,)[0-9A-Za-z+/=]+", r"\1", bare)
    return re.sub(r"\n\s*\n+", "\n", re.sub(r"[ \t]+", " ", bare)).strip() + "\n"
