"""A small store for the tests of the command line: one manual, some notes, put in through Store.insert."""

import datetime as dt
from pathlib import Path

from benchleaf.graph.model import (
    Applies,
    Box,
    Cancels,
    Contents,
    Document,
    Finding,
    Item,
    KitLine,
    Manual,
    ManualPage,
    Note,
    Notice,
    Override,
    SheetText,
    Source,
    Statement,
    Supersession,
    Target,
)
from benchleaf.graph.store import Store

RECEIVED = dt.datetime(2026, 11, 24, 9, 0, tzinfo=dt.UTC)
ALL = Applies(models=("VR 30",), as_printed="VR 30, all units")
LATE = Applies(models=("VR 30",), serial_from="5200", as_printed="VR 30 from serial 5200")
SECTION = "Fitting the clutch pack"

STEPS = {
    "1": "Soak the friction discs in clean oil for 30 minutes.",
    "2": "Fit the return spring (7731-20) with the spring compressor.",
    "3": "Stack the discs in turn, starting with a steel disc and ending with a steel disc.\n"
    "Count: 5 friction discs and 6 steel discs.",
    "4": "Tighten the cover screws to 29 N·m.",
    "5": "Coat the cover gasket with sealer.",
    "6": "Check the running clearance: 1.2 to 1.6 mm.",
}


def target(item: str | None, page: str | None = "4-12") -> Target:
    return Target("VM-30", page, item)


def source(file: str, page: str = "1") -> Source:
    return Source(file, 1, page, Box(72, 100, 520, 130))


def manual() -> Document:
    caution = Notice("CAUTION", "Hands clear of the spring.")
    items = tuple(
        Item(label, text, "4-12", 3, SECTION, (caution,) if label == "2" else (), Box(60, 90, 500, 120))
        for label, text in STEPS.items()
    )
    pages = (ManualPage("4-12", 3, SECTION, items), ManualPage("4-13", 4, SECTION, ()))
    book = Manual(
        "VM-30", "Service manual", "Vellmar", "2nd", dt.date(2019, 3, 1), ("VR 30",), pages, "vm30.pdf"
    )
    sheets = tuple(SheetText(p.sheet, p.page, "\n".join(i.text for i in p.items)) for p in pages)
    return Document("a" * 64, "vm30.pdf", "manual", sheets, manual=book)


def note(
    number: str,
    day: dt.date,
    subject: str,
    *statements: Statement,
    applies: Applies = ALL,
    findings: tuple[Finding, ...] = (),
) -> Document:
    file = f"{number.lower().replace(' ', '-')}.pdf"
    paper = Note(number, day, subject, "Vellmar", "maker", None, applies, file, statements=statements)
    digest = number.encode().hex().ljust(64, "0")[:64]
    sheets = (SheetText(1, "1", f"{number}\n{subject}"),)
    return Document(digest, file, "note", sheets, notes=(paper,), findings=findings)


def notes() -> list[Document]:
    one, two, three = dt.date(2021, 5, 4), dt.date(2022, 2, 8), dt.date(2023, 9, 30)
    rule = {"settled_by": "rule"}
    old_kit = (KitLine("7740-5", "friction disc", 5), KitLine("7740-6", "steel disc", 6))
    new_kit = (KitLine("7741-5", "friction disc", 6), KitLine("7741-6", "steel disc", 5))
    said = "Replaces item 3 on page 4-12 of VM-30."
    new_stack = "Stack the discs in turn, starting with a friction disc and ending with a friction disc."
    return [
        note(
            "VB 101",
            one,
            "Cover screws",
            Override(
                note="VB 101", date=one, quote="29 N·m should read 31 N·m.", source=source("vb-101.pdf"),
                action="change-value", target=target("4"), was="29 N·m", now="31 N·m", applies=ALL, **rule,
            ),
            Override(
                note="VB 101", date=one, quote="Delete item 5.", source=source("vb-101.pdf"),
                action="delete", target=target("5"), applies=ALL, **rule,
            ),
        ),
        note(
            "VB 114",
            two,
            "Kit 7750 becomes 7751",
            Supersession(
                note="VB 114", date=two, quote="Kit 7750 has been replaced by 7751.",
                source=source("vb-114.pdf"), old=("7750-1",), new=("7751-1",), interchange="new for old",
                **rule,
            ),
            Contents(
                note="VB 114", date=two, quote="Kit 7751 contains six and five.", source=source("vb-114.pdf"),
                kit="7751-1", lines=new_kit, previous=old_kit, **rule,
            ),
            Override(
                note="VB 114", date=two, quote=said, source=source("vb-114.pdf"),
                action="replace", target=target("3"), text=new_stack, applies=LATE, **rule,
            ),
            applies=LATE,
        ),
        note(
            "VB 120",
            three,
            "Return spring; soaking",
            Supersession(
                note="VB 120", date=three, quote="7731-20 now 7731-24", source=source("vb-120.pdf"),
                old=("7731-20",), new=("7731-24",), **rule,
            ),
            Override(
                note="VB 120", date=three, quote="Soak longer.", source=source("vb-120.pdf"),
                standing="doubtful", why=("the words do not say which item is meant",), confidence=0.6,
                action="replace", target=target(None), applies=ALL,
                text="Soak the friction discs for 60 minutes.",
            ),
            Override(
                note="VB 120", date=three, quote="Add after item 6: turn the hub.",
                source=source("vb-120.pdf"), action="insert-after", target=target("6"),
                text="Turn the hub by hand: it must not bind.",
                applies=ALL, **rule,
            ),
            Cancels(
                note="VB 120", date=three, quote="cancels VB 90", source=source("vb-120.pdf"),
                cancels="VB 90", **rule,
            ),
        ),
        note(
            "VB 90",
            dt.date(2020, 1, 15),
            "Clearance",
            Override(
                note="VB 90", date=dt.date(2020, 1, 15), quote="was 1.2 to 1.6 mm, now 1.0 to 1.4 mm",
                source=source("vb-90.pdf"), action="change-value", target=target("6"),
                was="1.2 to 1.6 mm", now="1.0 to 1.4 mm", applies=ALL, **rule,
            ),
        ),
    ]  # fmt: skip


def build(folder: Path, *more: Document) -> Path:
    """A store in the folder, with the manual, the notes and whatever more is given."""
    with Store.open(folder, write=True, create=True) as store:
        for document in (manual(), *notes(), *more):
            with store.transaction():
                store.insert(document, RECEIVED.date(), RECEIVED)
    return folder
