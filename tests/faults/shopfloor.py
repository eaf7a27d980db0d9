"""A small shop to be struck by faults: its store, its day's work as commands, and what a fault may leave.

All papers are invented. A day is a list of command lines; the state of a store is one fingerprint of every
row of every table, moments of writing left out, so that two runs of one day can be compared.
"""

import contextlib
import datetime as dt
import hashlib
import io
import os
import re
import shlex
import sqlite3
from contextlib import closing
from pathlib import Path
from unittest import mock

from benchleaf.cli.main import benchleaf
from benchleaf.graph.db.upkeep import check
from benchleaf.graph.model import (
    Applies,
    Contents,
    Document,
    Item,
    KitLine,
    Manual,
    ManualPage,
    Note,
    Override,
    SheetText,
    Source,
    Statement,
    Supersession,
    Target,
)
from benchleaf.graph.restand import restand
from benchleaf.graph.store import Store

NOW = dt.datetime(2026, 11, 20, 9, 0, tzinfo=dt.UTC)
ALL = Applies(models=("V 12",), as_printed="V 12, all units")
STEPS = (
    "Soak the friction discs in clean oil for 30 minutes.",
    "Fit the return spring 7731-20 with the spring compressor.",
    "Stack the discs in turn, starting with a steel disc and ending with a steel disc.",
    "Tighten the cover screws to 29 N·m.",
    "Coat the cover gasket with sealer.",
    "Check the running clearance: 1.2 to 1.6 mm.",
)
_MOMENT = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9:.]{8,15}[+0-9:]{0,6}")
_NOT_KEPT = ("sqlite_", "item_search", "sheet_search", "note_search", "part_search", "part_terms")

Day = tuple[tuple[str, ...], ...]


def keep(store: Store, document: Document, data: bytes) -> None:
    """Take a document in as adding a file does."""
    store.keep_original(document.sha256, data)
    with store.transaction():
        restand(store, store.insert(document, NOW.date(), NOW), document)


def build(folder: Path) -> Path:
    """A store with one manual of six steps and three notes: two with readings that wait for a person."""
    with Store.open(folder, create=True) as store:
        keep(store, *_manual())
        for number in (1, 2, 3):
            keep(store, *_note(number))
    return folder


def _paper(name: str, kind: str, words: str, **parts: object) -> tuple[Document, bytes]:
    data = words.encode()
    sheets = (SheetText(1, "4-12", words),)
    digest = hashlib.sha256(data).hexdigest()
    return Document(digest, name, kind, sheets, **parts), data  # type: ignore[arg-type]  # real fields


def _manual() -> tuple[Document, bytes]:
    section = "Fitting the clutch pack"
    items = tuple(Item(str(n), text, "4-12", 1, section) for n, text in enumerate(STEPS, 1))
    pages = (ManualPage("4-12", 1, section, items),)
    book = Manual("SM-70", "Service manual", "Ordel", "2nd", dt.date(2019, 3, 1), ("V 12",), pages, "sm.txt")
    return _paper("sm.txt", "manual", "\n".join(STEPS), manual=book)


def _note(number: int) -> tuple[Document, bytes]:
    name, day, file = f"OL-{number}", dt.date(2021, 5, number), f"ol{number}.txt"
    source = Source(file, 1)
    about = {"note": name, "date": day, "source": source}
    lines = (KitLine("7741-5", "friction disc", 6), KitLine("7741-6", "steel disc", 5))
    doubt = {"standing": "doubtful", "why": ("the words do not say which item is meant",)}
    said: tuple[Statement, ...] = (
        Supersession(quote="became", old=(f"7731-2{number}",), new=(f"7731-3{number}",), **about),
        Override(
            quote="change", action="change-value", target=Target("SM-70", "4-12", "4"), was="29 N·m",
            now=f"3{number} N·m", applies=ALL, **about, **doubt,
        ),
        Override(
            quote="longer", action="replace", target=Target("SM-70", "4-12", None), applies=ALL,
            text=f"Soak the discs for {number}0 minutes.", **about, **doubt,
        ),
        Contents(quote="contains", kit="7751-1", lines=lines, **about),
    )  # fmt: skip
    unclear = ("05/06/2021 can be read two ways",) if number == 2 else ()
    head = Note(name, day, "Screws", "Ordel", "maker", None, ALL, file, unclear=unclear, statements=said)
    return _paper(file, "note", f"{name}: screws, discs and a kit", notes=(head,))


def papers(folder: Path, *, letters: bool) -> list[Path]:
    """Papers to be added; with `letters` also such as need the phrase book, which takes seconds to load."""
    folder.mkdir(parents=True, exist_ok=True)
    made = {
        "book.txt": "SERVICE MANUAL\n\nFITTING THE PUMP\n\n"
        + "\n".join(f"{n}. {text}" for n, text in enumerate(STEPS, 1)),
        "list.csv": "Old number,New number,Date\n"
        + "".join(f"88-{n:03d},89-{n:03d},2001-02-03\n" for n in range(40)),
        "list two.csv": "Old number,New number,Date\n90-001,91-001,2002-02-03\n",
    }
    if letters:
        made["letter.txt"] = (
            "Ordel Transmissions\nService letter OL-9\nDate: 12 November 1999\nSubject: Seals\n"
            "Models: V 12\n\n"
            "Seal 4471-208 has been replaced by seal 4471-301.\n"
            "On page 4-12 of SM-70, item 4: change 29 Nm to 35 Nm.\n"
        )
    for name, words in made.items():
        (folder / name).write_text(words, encoding="utf-8")
    return [folder / name for name in made]


def days(folder: Path, *, letters: bool = False) -> dict[str, Day]:
    """The work of three days, by name; `folder` receives the papers to be added."""
    each = papers(folder / "single", letters=letters)
    papers(folder / "several", letters=False)
    for n, path in enumerate(sorted((folder / "several").iterdir())):
        path.write_bytes(path.read_bytes().replace(b"001,", b"00%d,7" % n) + b" ")
    picture = folder / "photo.png"
    picture.write_bytes(_png())
    note = typed("note --pub SM-70 --page 4-12 --item 5 --action caution --initials AB --text")
    job = typed("2611 --initials AB")
    return {
        "add": (*(("add", str(path)) for path in each), ("add", str(folder / "several"))),
        "settle": (
            typed("settle 2 yes --item 4 --initials AB"),
            typed("settle 6 no --initials AB"),
            typed("settle 3 yes --item 1 --initials CD"),
            typed("settle 2 back --initials AB"),
            typed("settle --note OL-2 yes --date 2021-05-06 --initials AB"),
        ),
        "job": (
            typed("job open 2611 --model V12 --serial 100 --kit 7751-1 --page 4-12 --initials AB"),
            ("job", "change", *job, "--remark", "gasket torn"),
            ("job", "measure", "2611", "1.35 mm", "--page", "4-12", "--step", "6", "--initials", "AB"),
            ("kit", "7751-1", "--got", "6 friction disc, 4 steel disc", "--model", "V12", "--serial", "100"),
            typed("kit 7751-1 --lift --initials AB --reason found"),
            (*note, "Mind the groove.", "--photo", str(picture)),
            ("job", "build", *job),
            ("job", "ship", *job),
        ),
    }


def typed(line: str) -> tuple[str, ...]:
    """A command line as words."""
    return tuple(shlex.split(line))


def _png() -> bytes:
    from PIL import Image

    held = io.BytesIO()
    Image.new("RGB", (40, 30), "navy").save(held, "PNG")
    return held.getvalue()


def run(store: Path, words: tuple[str, ...]) -> tuple[int, str, str]:
    """Carry out one command in this process, papers read in it too (a pool of workers cannot be shared with
    forked children); its exit status, what it printed and what it told."""
    out, err = io.StringIO(), io.StringIO()
    alone = mock.patch.dict(os.environ, {"BENCHLEAF_WORKERS": "0"})
    with alone, contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        status = benchleaf.run(["--store", str(store), *words], prog_name="benchleaf")
    return status, out.getvalue(), err.getvalue()


def state(database: Path) -> str:
    """The fingerprint of every row of every table of a closed store, moments of writing left out."""
    with closing(sqlite3.connect(f"{database.resolve().as_uri()}?mode=ro", uri=True)) as connection:
        return state_of(connection)


def state_of(connection: sqlite3.Connection) -> str:
    """The same of an open connection."""
    sql = "SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name"
    names = [str(row[0]) for row in connection.execute(sql)]
    digest = hashlib.sha256()
    for name in names:
        if not name.startswith(_NOT_KEPT):
            rows = [repr(tuple(row)) for row in connection.execute(f"SELECT * FROM {name}").fetchall()]
            digest.update(_MOMENT.sub("T", f"{name} {sorted(rows)}").encode())
    return digest.hexdigest()


def faults_of(store: Path, allowed: list[str] | None = None) -> list[str]:
    """What is wrong in a store after a fault, in words: that it cannot be opened, what `check` finds, that
    its state is none of those allowed. It is opened for reading first, as the shop would."""
    try:
        with Store.open(store) as opened:
            found = [f"check: {p.kind}" for p in check(opened).problems]
        if allowed is not None and state(store / "benchleaf.db") not in allowed:
            found.append("acknowledged work is lost, or a part of a document is there")
        return list(dict.fromkeys(found))
    except Exception as error:  # whatever it is, it is the finding
        words = str(error).replace(str(store), "the store")
        return [f"cannot be opened: {type(error).__name__}: {words}"]
