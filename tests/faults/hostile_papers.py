"""Papers with hostile words, taken in by `add` as a shop takes them, and the commands that show them.

All invented. The hostile words are markup and script, terminal escapes, marks that turn the order of what is
shown, NUL, formulas, and letters that look like others.
"""

import json
import unicodedata
from collections.abc import Sequence
from email.message import EmailMessage
from pathlib import Path

from benchleaf.cli.main import benchleaf
from click.testing import CliRunner, Result

MARKUP = "<script>alert(1)</script><img src=x onerror=alert(2)> [bold]b[/bold] {{7*7}} {%x%}"
STEERING = "\x1b[31m\x1b]0;owned\x07\x9b2J\x08\x7f\u202egnp\u202c\u2066x\u2069\u200f\u00adq"
FORMULAS = (
    "=1+1|cmd",
    "+1",
    "-1+2",
    "@SUM(A1)",
    "\t=1",
    "\r=1",
    "\uff1d1+1",
    "\uff0b1",
    "\uff0d1",
    "\uff20A1",
)
LONG = "W" * 4000
_PROSE = "The clutch runs in oil and needs no care between two overhauls of the whole unit. " * 40
_STEER = (range(32), range(127, 160), (0xAD, 0x061C), range(0x200B, 0x2010), range(0x2028, 0x202F))
_HIDE = (range(0x2060, 0x2070), (0xFEFF,), range(0xD800, 0xE000))
UNFIT = frozenset(chr(code) for run in (*_STEER, *_HIDE) for code in run) - {"\n"}
"""Signs that steer a terminal or turn what is shown: none may come out."""

STEPS = (
    f"Soak the discs {MARKUP} in clean oil.",
    f"Fit the return spring 7731-20 {STEERING} with the press.",
    "Stack the discs in turn, starting with a steel disc and ending with a steel disc.",
    "Tighten the cover screws to 29 N·m.",
    f"Coat the gasket {LONG} with sealer.",
    "Check the running clearance: 1.2 to 1.6 mm.",
)


def _manual() -> str:
    front = f"SERVICE MANUAL\n\nPublication No. SM-70\nModels: V 12\nMarch 2019\n{MARKUP}\n\n{_PROSE}\n"
    sheets = [front]
    for page in ("2", "3", "4"):
        steps = STEPS if page == "2" else ("Wipe the case.", "Fit the cover.", "Turn the shaft by hand.")
        words = "\n".join(f"{n}. {text}" for n, text in enumerate(steps, 1))
        sheets.append(f"FITTING THE CLUTCH PACK {page[-1]}\n\n{words}\n\n\n{' ' * 40}{page}\n")
    return "\f".join(sheets)


def _note(number: int, words: str, subject: str = "Discs and screws") -> str:
    return (
        f"Ordel Transmissions\nService bulletin No. OL-{number}\nDate: {number} November 2019\n"
        f"Subject: {subject}\nModels: V 12\n\n{words}\n\n{_PROSE}\n"
    )


def _mail() -> bytes:
    mail = EmailMessage()
    mail["From"], mail["Subject"] = "Service <a@b.example>", "OL-8 <b>discs</b>"
    mail["Date"] = "Tue, 12 Nov 2019 10:00:00 +0100"
    mail.set_content("Bulletin OL-8\nModels: V 12\n\nKit 4410-281 has been replaced by kit 4410-282.\n")
    for name in ("../../evil.csv", "CON", "a\u202evsc.txt", "<img src=x>.txt"):
        mail.add_attachment(
            b"old number;new number\n71-001;71-002\n" + name.encode(), "text", "csv", filename=name
        )
    return mail.as_bytes()


def papers(folder: Path) -> Path:
    """The papers, each kind with hostile words in it."""
    folder.mkdir()
    rows = "".join(f"66-{n:03d};67-{n:03d};{words}\n" for n, words in enumerate(FORMULAS))
    made: dict[str, str | bytes] = {
        "manual.txt": _manual(),
        "ol1.txt": _note(1, "On page 2 of SM-70, item 4: change 29 Nm to 35 Nm.", MARKUP),
        "ol2.txt": _note(
            2, f"On page 2 of SM-70, item 1 is replaced by: Soak {MARKUP} {STEERING}.", STEERING
        ),
        "ol3.txt": _note(3, "Kit 4410-207 contains 5 friction discs and 6 steel discs.", FORMULAS[0]),
        "ol4.txt": _note(4, f"Spring 7731-20 has been replaced by spring 7731-24. {LONG}", f"{LONG}"),
        "ol5.txt": _note(5, "Item 5 on page 2 of SM-70 may be deleted \x1b[2J if <b>worn</b>.", "\u202eabc"),
        "ol6.html": "<h1>Bulletin OL-6</h1><p>Date: 3 May 2020<p>Models: V 12<p>&lt;script&gt;alert(1)"
        "&lt;/script&gt;<p>Kit 4410-261 has been replaced by kit 4410-262&#x202e;&#27;[31m.",
        "ol8.eml": _mail(),
        "list <b>=1+1.csv": f"old number;new number;remarks\n{rows}68-001;68-002;{MARKUP}{STEERING}\n",
    }
    for name, words in made.items():
        (folder / name).write_bytes(words if isinstance(words, bytes) else words.encode("utf-8"))
    return folder


def shop(folder: Path) -> Path:
    """A store with all of them, a job and a shop's own note with hostile words."""
    store = folder / "store"
    taken = call(store, "add", "--json", str(papers(folder / "papers")))
    assert [f["path"] for f in json.loads(taken.stdout)["files"] if f["outcome"] != "read"] == []
    unit = ("--pub", "SM-70", "--page", "2")
    own = (
        "note",
        *unit,
        "--item",
        "3",
        "--action",
        "caution",
        "--text",
        f"{MARKUP} {STEERING}",
        "--subject",
        MARKUP,
    )
    job = (
        "job",
        "open",
        "J<1>",
        "--model",
        "V 12",
        *unit,
        "--remark",
        f"{MARKUP} {STEERING}",
        "--found",
        "3 discs",
    )
    for line in (own, job):
        told = call(store, *line, "--initials", "AB")
        assert told.exit_code == 0, (line, told.stdout, told.stderr)
    return store


def call(store: Path, *words: str) -> Result:
    """Runs one command on a store, as from a plain shell."""
    plain = dict.fromkeys(("BENCHLEAF_INITIALS", "BENCHLEAF_TRACE", "COLUMNS", "NO_COLOR"))
    return CliRunner().invoke(benchleaf, list(words), env={**plain, "BENCHLEAF_STORE": str(store)})


def commands(store: Path) -> list[tuple[str, ...]]:
    """Command lines that show what the store holds, each with what was found in it."""
    held = json.loads(call(store, "publications", "--json").stdout)["publications"]
    notes = json.loads(call(store, "notes", "--json").stdout)["notes"]
    doubts = json.loads(call(store, "doubts", "--json").stdout)["doubts"]
    book, unit = held[0]["number"], ("--model", "V 12")
    pages = [p["page"] for p in held[0]["pages"] if p["items"]]
    return [
        *(
            ("notes",),
            ("publications",),
            ("publications", "--pages"),
            ("statements",),
            ("doubts",),
            ("check",),
        ),
        *(("missing",), ("week",), ("reread",), ("job", "list"), ("find", "script"), ("find", "=1+1")),
        *(("statements", "--note", n["number"]) for n in notes),
        *(("page", book, page) for page in pages),
        *(("procedure", "--pub", book, "--page", page, *unit) for page in pages[:2]),
        *(("part", number) for number in ("7731-20", "66-001", "4410-261", "\u041066-001", MARKUP, STEERING)),
        *(("kit", "4410-207", "--got", got) for got in ("5 friction disc, 6 steel disc", f"3 {MARKUP} disc")),
        ("measure", "1.3 mm", "--pub", book, "--page", pages[0], "--item", "6"),
        *(("settle", str(d["id"]), "maybe") for d in doubts[:1]),
        *(("find", words) for words in (MARKUP, STEERING, "\ud800", LONG)),
    ]


def sheets(store: Path, folder: Path) -> dict[str, bytes]:
    """Every kind of sheet, by name, as written."""
    made: dict[str, bytes] = {}
    book, page = "SM-70", "2"
    kinds: Sequence[tuple[str, ...]] = (
        ("page", book, page),
        ("procedure", "--pub", book, "--page", page, "--model", "V 12"),
        ("kit", "4410-207", "--got", "5 friction disc, 7 {{7*7}} disc"),
        ("week",),
        ("job", "J<1>"),
    )
    for kind in kinds:
        out = folder / f"{kind[0]}.html"
        result = call(store, "sheet", *kind, "--out", str(out))
        assert out.exists(), (kind, result.stdout, result.stderr)
        made[kind[0]] = out.read_bytes()
    return made


def unfit(words: str) -> list[str]:
    """The signs in an output that steer, by name."""
    return sorted({f"U+{ord(s):04X} {unicodedata.name(s, '')}" for s in words if s in UNFIT})
