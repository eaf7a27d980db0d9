"""Notes by the dice: heads of invented makers in many layouts, wordings and forms, with what they say."""

import datetime as dt
import io
import random
from dataclasses import dataclass

from reportlab.lib.pagesizes import A4
from reportlab.lib.styles import ParagraphStyle, getSampleStyleSheet
from reportlab.platypus import Flowable, Paragraph, SimpleDocTemplate, Spacer, Table, TableStyle

MONTHS = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
]
NUMBERS = [
    "SB-123",
    "14/2003",
    "2003-014",
    "SI 12/2003",
    "K-0045-A",
    "MB 97/3",
    "TI-88-004",
    "118",
    "PB.04.17",
    "GX 2001-07",
    "A-77",
    "SL204",
    "KD/SB/0031",
    "99-B-12",
    "TB 04-3",
    "M 11.02",
]
MODELS = [
    ("KR 12", "KR 14"),
    ("6HP", "8HP-70"),
    ("S5",),
    ("T-180.2", "T-240.2", "T-300.1"),
    ("210", "220"),
    ("MG335", "MG340"),
    ("Atlas 30",),
    ("AL4",),
    ("P2V45", "P2V60"),
    ("HX-10", "HX-10B", "HX-12"),
]
SUBJECTS = [
    "Change of clutch pack",
    "Revised end play",
    "Correction to overhaul manual",
    "New seal kit",
    "Improved retaining ring",
    "Service hint: oil level",
    "Parts information",
]
MAKERS = [
    "Norbeck Gear Works",
    "KESTREL DRIVES",
    "Halden & Voss",
    "Ostrava-Lind Pumps Ltd.",
    "Brandt Hydraulik GmbH",
]
KINDS = [
    "Technical Bulletin",
    "Service Bulletin",
    "SERVICE NOTE",
    "Service Information",
    "Technical Circular",
    "Service Letter",
    "Information",
    "Bulletin",
    "NOTICE",
    "Modification Notice",
]
BODY = [
    "Parts can be ordered from the depot in the usual way.",
    "Kit 4455-100 has been replaced by kit 4455-120.",
    "Step 5 on page 3-12 of manual OM 77 is deleted.",
    "Always wear eye protection when working with springs.",
    "Change 9 Nm to 11 Nm in item 4.",
]


@dataclass(frozen=True)
class Said:
    """What a note's head says, and how it is printed."""

    number: str
    date: dt.date
    printed_date: str
    models: tuple[str, ...]
    printed_models: str
    serial_from: str | None
    serial_to: str | None
    printed_serials: str | None
    subject: str
    maker: str
    kind: str


def said(dice: random.Random) -> Said:
    date = dt.date(dice.randint(1985, 2019), dice.randint(1, 12), dice.randint(1, 28))
    models = dice.choice(MODELS)
    gap = dice.choice([", ", " and ", "; ", " & "] if len(models) == 2 else [", "])
    first, last, serials = _serials(dice)
    return Said(
        dice.choice(NUMBERS),
        date,
        _date(dice, date),
        models,
        gap.join(models),
        first,
        last,
        serials,
        dice.choice(SUBJECTS),
        dice.choice(MAKERS),
        dice.choice(KINDS),
    )


def _date(dice: random.Random, d: dt.date) -> str:
    m = MONTHS[d.month - 1]
    return dice.choice(
        [
            f"{d.day} {m} {d.year}",
            f"{m} {d.day}, {d.year}",
            f"{m[:3]}. {d.day}, {d.year}",
            f"{d.day}-{m[:3]}-{d.year % 100:02d}",
            f"{d.day:02d}.{d.month:02d}.{d.year}",
            d.isoformat(),
            f"{d.year}/{d.month:02d}/{d.day:02d}",
            f"{d.day}th of {m}, {d.year}",
            f"{d.day} {m[:3]} {d.year}",
            f"{m.upper()} {d.day}, {d.year}",
        ]
    )


def _serials(dice: random.Random) -> tuple[str | None, str | None, str | None]:
    first = dice.randint(1000, 60000)
    last = first + dice.randint(50, 9000)
    a, b = ((f"{n:,}" if dice.random() < 0.15 else str(n)) for n in (first, last))
    form = dice.randint(0, 9)
    if form < 2:
        return None, None, None
    if form < 6:
        words = [
            f"{a} to {b}",
            f"{a} through {b}",
            f"{a} thru {b} inclusive",
            f"{a} – {b}",
            f"{a} - {b}",
            f"{a} up to and including {b}",
            f"from {a} to {b}",
        ]
        return str(first), str(last), dice.choice(words)
    if form < 9:
        words = [
            f"{a} and on",
            f"{a} and up",
            f"from {a}",
            f"from {a} onwards",
            f"{a} onwards",
            f"{a}→",
            f"{a} and subsequent",
            f"starting with {a}",
        ]
        return str(first), None, dice.choice(words)
    return None, str(first), dice.choice([f"up to and including {a}", f"→{a}", f"through {a}"])


def units(dice: random.Random, n: Said) -> list[tuple[str, str]]:
    """The fields that name models and serial numbers: apart, on one line, or in one value."""
    label = dice.choice(
        [
            "Models",
            "Models affected",
            "Applies to",
            "Types",
            "Units affected",
            "Applicability",
            "Effectivity",
            "Valid for",
            "Machines",
            "Affected types",
            "Gearboxes concerned",
        ]
    )
    serials = dice.choice(
        [
            "Serial numbers",
            "Serial Nos.",
            "S/N",
            "Serials",
            "Serial number",
            "Serial range",
            "Affected serial numbers",
        ]
    )
    if n.printed_serials is None:
        return [(label, n.printed_models)]
    form = dice.randint(0, 3)
    if form == 1:
        return [(label, f"{n.printed_models}, {in_words(n.printed_serials, dice)}")]
    if form == 2:
        return [(label, f"{n.printed_models} {serials}: {n.printed_serials}")]
    return [(label, n.printed_models), (serials, n.printed_serials)]


def in_words(serials: str, dice: random.Random) -> str:
    """A range with the word for serial numbers at its place in running text."""
    word = dice.choice(["serial number", "serial no.", "S/N", "serial numbers"])
    for lead in ("from ", "up to and including ", "through ", "→", "starting with "):
        if serials.startswith(lead):
            return f"{lead}{' ' if lead == '→' else ''}{word} {serials[len(lead) :]}"
    return f"{word} {serials}"


def text_note(dice: random.Random, n: Said) -> str:
    layout = dice.randint(0, 6)
    fields = units(dice, n)
    if layout == 0:
        number = dice.choice(["Bulletin No.", "Note", "Number", "Ref.", "Document no.", "Information no."])
        day = dice.choice(["Date", "Issued", "Date of issue"])
        subject = dice.choice(["Subject", "Re", "Title", "Concerning"])
        rows = [(number, n.number), (day, n.printed_date), (subject, n.subject), *fields]
        lines = [n.maker, n.kind, "", *(f"{a}:".ljust(24) + b for a, b in rows)]
    elif layout == 1:
        rows = [
            ("From", n.maker),
            ("To", "all service stations"),
            ("Date", n.printed_date),
            ("Subject", n.subject),
            ("Bulletin No.", n.number),
            *fields,
        ]
        lines = [f"{a}: {b}" for a, b in rows]
    elif layout == 2:
        lines = [
            n.maker.upper(),
            f"{n.kind} No. {n.number}    Date: {n.printed_date}    Page 1 of 1",
            f"Subject: {n.subject}",
            "   ".join(f"{a}: {b}" for a, b in fields),
        ]
    elif layout == 3:
        lines = [
            f"{n.kind.upper()} {n.number} / {n.printed_date}",
            f"Re: {n.subject}. " + " ".join(f"{a}: {b}" for a, b in fields),
        ]
    elif layout == 4:
        lines = [
            n.maker,
            "",
            f"{n.kind} {n.number}",
            n.printed_date,
            "",
            "To all workshops",
            "",
            n.subject,
            "",
            *(f"{a}: {b}" for a, b in fields),
        ]
    elif layout == 5:
        bounds = f", {in_words(n.printed_serials, dice)}" if n.printed_serials else ""
        lines = [
            n.maker,
            "",
            f"This bulletin, No. {n.number} of {n.printed_date}, applies to gearboxes",
            f"type {n.printed_models}{bounds}.",
        ]
    else:
        lines = [
            f"{n.maker.ljust(50)}{n.kind} {n.number}",
            f"{'12 Mill Lane, Norham'.ljust(50)}{n.printed_date}",
            "",
            f"Title: {n.subject}",
            *(f"{a}: {b}" for a, b in fields),
        ]
    return "\n".join([*lines, "", *("\n\n".join(dice.sample(BODY, 3)).split("\n")), ""])


_STYLES = getSampleStyleSheet()
_PLAIN = _STYLES["Normal"]
_BOLD = ParagraphStyle("bold", parent=_PLAIN, fontName="Helvetica-Bold", fontSize=12)
_LARGE = ParagraphStyle("large", parent=_PLAIN, fontName="Helvetica-Bold", fontSize=16, leading=20)
_GRID = TableStyle([("GRID", (0, 0), (-1, -1), 0.7, "black"), ("VALIGN", (0, 0), (-1, -1), "TOP")])


def _p(text: str, style: ParagraphStyle = _PLAIN) -> Paragraph:
    return Paragraph(text.replace("&", "&amp;"), style)


def pdf_note(dice: random.Random, n: Said) -> bytes:
    layout = dice.randint(0, 6)
    fields = units(dice, n)
    lines = [_p(f"{a}: {b}") for a, b in fields]
    if layout == 0:  # pairs of label and value in a ruled box
        rows = [
            ["Bulletin No.", n.number, "Date", n.printed_date],
            ["Subject", n.subject, "", ""],
            *([a, b, "", ""] for a, b in fields),
        ]
        flow: list[Flowable] = [_p(n.maker, _LARGE), Table(rows, style=_GRID, colWidths=[110, 190, 60, 120])]
    elif layout == 1:  # a row of labels over a row of values
        rows = [
            [dice.choice(["Bulletin No.", "Number", "Note no."]), "Date", "Subject"],
            [n.number, n.printed_date, n.subject],
        ]
        flow = [
            _p(f"{n.maker} {n.kind}", _LARGE),
            Table(rows, style=_GRID, colWidths=[120, 120, 220]),
            Spacer(1, 8),
            *lines,
        ]
    elif layout == 2:  # labels at left, values at right, in any order
        rows = [
            ["Number", n.number],
            ["Date", n.printed_date],
            ["Subject", n.subject],
            ["From", n.maker],
            *([a, b] for a, b in fields),
        ]
        dice.shuffle(rows)
        flow = [_p(n.kind, _LARGE), Table(rows, style=_GRID, colWidths=[120, 350])]
    elif layout == 3:  # aligned without rules
        rows = [
            ["Bulletin No.:", n.number, "Date:", n.printed_date],
            ["Subject:", n.subject, "", ""],
            *([f"{a}:", b, "", ""] for a, b in fields),
        ]
        flow = [_p(n.maker, _LARGE), Table(rows, colWidths=[120, 190, 60, 120])]
    elif layout == 4:  # a small box at the right side
        box = Table([["No.", n.number], ["Date", n.printed_date]], style=_GRID)
        left = [_p(n.maker, _LARGE), _p("12 Mill Lane, Norham"), _p(n.kind, _BOLD)]
        flow = [
            Table([[left, box]], colWidths=[300, 160]),
            Spacer(1, 8),
            _p(f"Subject: {n.subject}", _BOLD),
            *lines,
        ]
    elif layout == 5:  # title lines
        flow = [
            _p(n.maker),
            _p(f"{n.kind} {n.number}", _LARGE),
            _p(n.printed_date),
            Spacer(1, 6),
            _p("To all dealers"),
            _p(n.subject, _BOLD),
            *lines,
        ]
    else:  # labels over values, then pairs
        rows = [["Bulletin No.", "Date", "Page"], [n.number, n.printed_date, "1 of 1"]]
        pairs = [["Subject", n.subject], *([a, b] for a, b in fields)]
        flow = [
            _p(n.maker, _LARGE),
            Table(rows, style=_GRID, colWidths=[150, 150, 100]),
            Table(pairs, style=_GRID, colWidths=[120, 350]),
        ]
    flow.append(Spacer(1, 12))
    for sentence in dice.sample(BODY, 3):
        flow += [_p(sentence), Spacer(1, 8)]
    out = io.BytesIO()
    SimpleDocTemplate(out, pagesize=A4).build(flow)
    return out.getvalue()
