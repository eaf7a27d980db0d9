"""A later and an old note for the small store, and ways to run `job`. All invented."""

import datetime as dt
from pathlib import Path

from benchleaf.graph.model import Contents, Document, KitLine, Override
from benchleaf.graph.store import Store
from small_store import ALL, RECEIVED, note, source, target

RULE = {"settled_by": "rule"}
OLD, NEW = dt.date(2018, 2, 2), dt.date(2024, 1, 1)
OPEN = (
    *["job", "open", "2611", "--model", "VR 30", "--serial", "5300", "--kit", "7751-1"],
    *["--page", "4-12", "--initials", "AB"],
)


def old_note() -> Document:
    """Dated before every other note, and brought last."""
    said = Override(
        note="VB 77", date=OLD, quote="Clean them.", source=source("vb-77.pdf"), action="insert-before",
        target=target("4"), text="Clean the threads.", applies=ALL, **RULE,
    )  # fmt: skip
    return note("VB 77", OLD, "Threads", said)


def new_note() -> Document:
    """Another clearance, and other contents of the kit."""
    value = Override(
        note="VB 130", date=NEW, quote="now", source=source("vb-130.pdf"), action="change-value",
        target=target("6"), was="1.2 to 1.6 mm", now="1.4 to 1.6 mm", applies=ALL, **RULE,
    )  # fmt: skip
    lines = (KitLine("7741-5", "friction disc", 6), KitLine("7741-6", "steel disc", 6))
    contents = Contents(
        note="VB 130",
        date=NEW,
        quote="contains",
        source=source("vb-130.pdf"),
        kit="7751-1",
        lines=lines,
        **RULE,
    )
    return note("VB 130", NEW, "Clearance", value, contents)


def put(folder: Path, *papers: Document) -> None:
    """Take papers into the store, on the day on which it received all others."""
    with Store.open(folder, write=True) as store:
        for paper in papers:
            with store.transaction():
                store.insert(paper, RECEIVED.date(), RECEIVED)
