"""Layouts of heads: a bar of fields beside the text, dot leaders, a title with a date, small labels above."""

import datetime as dt
import io

import pytest
from benchleaf.ingest.head.header import read_header
from benchleaf.ingest.shapes import Header
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.pages import read_pages
from benchleaf.ingest.sheets.text import read_text
from reportlab.pdfgen import canvas

FIELDS = (
    ("Bulletin No.", "SB-14"),
    ("Date of issue", "12 March 1999"),
    ("Group", "Clutch"),
    ("Models affected", "KX-4, KX-6"),
    ("Serial numbers", "1001 to 1999"),
)
BODY = "In the manual, page 42, item 5, replace the wording by the text below."


def check(h: Header) -> None:
    """The five fields are read, without a doubt."""
    assert (h.number, h.date, h.unclear) == ("SB-14", dt.date(1999, 3, 12), ())
    assert (h.applies.models, h.applies.serial_from, h.applies.serial_to) == (
        ("KX-4", "KX-6"),
        "1001",
        "1999",
    )


def text_head(text: str) -> Header:
    """The head of a typed sheet."""
    return read_header(lay_out(read_text(text.encode())), "note.txt")


@pytest.mark.parametrize("left", [True, False])
def test_a_bar_beside_the_text(left: bool) -> None:
    """Labels above values in a bar, the body at the same height."""
    data = io.BytesIO()
    sheet = canvas.Canvas(data)
    bar, text = (48, 200) if left else (430, 50)
    sheet.setFont("Helvetica-Bold", 14)
    sheet.drawString(text, 785, "Harrow Lane Gear Co. Ltd.")
    y = 770
    for label, value in FIELDS:
        sheet.setFont("Helvetica-Bold", 8)
        sheet.drawString(bar, y, label)
        sheet.setFont("Helvetica", 9)
        sheet.drawString(bar, y - 11, value)
        y -= 28
    sheet.setFont("Helvetica", 10)
    for line in range(8):
        sheet.drawString(text, 740 - 13 * line, BODY)
    sheet.save()
    check(read_header(lay_out(read_pages(data.getvalue(), "note.pdf")), "note.pdf"))


def test_dot_leaders() -> None:
    """Dots lead from label to value."""
    lines = [f"{label} {'.' * (24 - len(label))} {value}" for label, value in FIELDS]
    check(text_head("Harrow Lane Gear Co. Ltd.\n\n" + "\n".join(lines) + f"\n\n{BODY}\n"))


@pytest.mark.parametrize("title", ["SERVICE BULLETIN 12 March 1999", "Technical Circular, 12 Mar 1999"])
def test_a_title_with_a_date_has_no_number(title: str) -> None:
    """The day is no number of the note; that stands under its own label."""
    named = "\n".join(f"{label}: {value}" for label, value in FIELDS if label != "Date of issue")
    check(text_head(f"Harrow Lane Gear Co. Ltd.\n{title}\n{named}\n\n{BODY}\n"))
    alone = text_head(f"Harrow Lane Gear Co. Ltd.\n{title}\nModels: KX-4\n\n{BODY}\n")
    assert (alone.number, alone.date) == (None, dt.date(1999, 3, 12))


def test_a_telex() -> None:
    """Capitals, no colons, short labels."""
    h = text_head(
        "HARROW GEARS\nSERVICE BULLETIN\nREF SB 14\nDTD 12 MAR 1999\nSUBJ CLUTCH PLATES\n"
        "APPLIC TYPES HA AND HB\nSER NOS 1001 THRU 1999\n\n"
        "IN THE MANUAL, PAGE 42, REPLACE THE WORDING BY THE TEXT BELOW.\n"
    )
    assert (h.number, h.date, h.subject) == ("SB 14", dt.date(1999, 3, 12), "CLUTCH PLATES")
    assert (h.applies.models, h.applies.serial_from, h.applies.serial_to) == (("HA", "HB"), "1001", "1999")


def test_the_note_superseded_is_not_the_note() -> None:
    """`Circular 98` beside `Supersedes` is another note."""
    h = text_head(
        "Harrow Gears\nNo.            117\nSupersedes     Circular 98\nDate           12 March 1999\n\n"
        + BODY
        + "\n"
    )
    assert h.number == "117"


def test_units_in_the_first_sentence() -> None:
    """Without a field of units the text's first sentence names them, to be looked at."""
    h = text_head(
        "Harrow Gears\nService Bulletin SB 77\n8 May 1969\n\nOn QW 20 units up to and including No. 4411 the "
        "input shaft nut is to be tightened to 120 lbf ft.\n"
    )
    assert (h.applies.models, h.applies.serial_to) == (("QW 20",), "4411") and h.unclear


def test_an_unread_date_is_told() -> None:
    """A date in words that were not understood is a doubt."""
    h = text_head(
        "Harrow Gears\nService Bulletin SB 77\nDate: 31 Brumal 1969\n\nFit two shims as shown here.\n"
    )
    assert h.date is None and any("date could not be read" in d for d in h.unclear)


@pytest.mark.parametrize(
    ("printed", "day"),
    [
        ("12.XI.1978", dt.date(1978, 11, 12)),
        ("12 maj 1987", dt.date(1987, 5, 12)),
        ("12MAY60", dt.date(1960, 5, 12)),
        ("30-4-63", dt.date(1963, 4, 30)),
    ],
)
def test_forms_of_dates(printed: str, day: dt.date) -> None:
    """Roman months, Swedish months and two-digit years under the date's label."""
    h = text_head(f"Harrow Gears\nBulletin No.: 7\nDate: {printed}\n\nFit two shims as the picture shows.\n")
    assert (h.date, h.unclear) == (day, ())


@pytest.mark.parametrize("printed", ["week 46/1978", "KW 46/1978", "3/78", "Nov. '78"])
def test_dates_without_a_day_are_told(printed: str) -> None:
    """A week gives its Monday (ISO 8601), a month its first, each with a doubt."""
    h = text_head(f"Harrow Gears\nBulletin No.: 7\nDate: {printed}\n\nFit two shims as the picture shows.\n")
    assert h.date in (dt.date(1978, 11, 13), dt.date(1978, 3, 1), dt.date(1978, 11, 1)) and h.unclear
