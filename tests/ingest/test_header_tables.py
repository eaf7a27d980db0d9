"""Heads drawn as tables: units by rows, a form that holds the body, small print. All is invented."""

import datetime as dt
import io

from benchleaf.ingest.head.header import read_header
from benchleaf.ingest.shapes import Header, Paragraph
from benchleaf.ingest.shapes import Table as ReadTable
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.pdf import read_pdf
from note_layouts import _BOLD, _GRID, _LARGE, _p
from reportlab.lib.pagesizes import A4
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, PageBreak, SimpleDocTemplate, Spacer, Table, TableStyle

KIT = "Kit 4455-100 has been replaced by kit 4455-120."
USUAL = (
    "Parts can be ordered from the depot in the usual way at any time of the year, as long as stocks last."
)


def drawn(flow: list[Flowable], running: str = "") -> Header:
    out = io.BytesIO()

    def head(canvas: Canvas, document: object) -> None:
        if running:
            canvas.setFont("Helvetica", 8)
            canvas.drawString(60, 815, f"{running}  Page {canvas.getPageNumber()}")

    SimpleDocTemplate(out, pagesize=A4).build(flow, onFirstPage=head, onLaterPages=head)
    return read_header(lay_out(read_pdf(out.getvalue())), "note.pdf")


def texts(header: Header) -> list[str]:
    return [e.text for e in header.body if isinstance(e, Paragraph)]


def units(rows: list[list[str]]) -> list[Flowable]:
    return [
        _p("Halden & Voss", _LARGE),
        Table([["Bulletin", "TB 12"], ["Date", "3 May 2003"]], style=_GRID, colWidths=[100, 200]),
        Spacer(1, 8),
        _p("Units affected", _BOLD),
        Table(rows, style=_GRID, colWidths=[100] * len(rows[0])),
        Spacer(1, 8),
        _p(KIT),
    ]


def test_a_table_of_units_with_one_range() -> None:
    """Rows with the same range are one range for all the models."""
    h = drawn(units([["Model", "Serial numbers"], ["KR 12", "100 to 900"], ["KR 14", "100 to 900"]]))
    assert (h.number, h.date) == ("TB 12", dt.date(2003, 5, 3))
    assert (h.applies.models, h.applies.serial_from, h.applies.serial_to) == (
        ("KR 12", "KR 14"),
        "100",
        "900",
    )
    assert h.unclear == () and texts(h)[-1] == KIT


def test_a_table_of_units_with_a_range_each() -> None:
    """Rows with different ranges: both models, no bounds, a doubt."""
    h = drawn(units([["Model", "Serial numbers"], ["KR 12", "100 to 900"], ["KR 14", "300 to 1200"]]))
    assert (h.applies.models, h.applies.serial_from, h.applies.serial_to) == (("KR 12", "KR 14"), None, None)
    assert h.applies.unclear and h.unclear


def test_a_table_of_units_with_bounds_apart() -> None:
    """First and last serial number in columns of their own."""
    h = drawn(units([["Model", "Serial number from", "to"], ["KR 12", "1000", "9000"]]))
    assert (h.applies.models, h.applies.serial_from, h.applies.serial_to) == (("KR 12",), "1000", "9000")


def test_a_form_that_holds_the_body() -> None:
    """A last row over the form's width is the body, in whole sentences."""
    style = TableStyle([("GRID", (0, 0), (-1, -1), 0.5, "black"), ("SPAN", (0, 3), (2, 3))])
    rows = [
        ["SERVICE BULLETIN", "", "No. 44-7"],
        ["Subject: Seal", "", "Date: 3 May 2003"],
        ["Models: KR 12", "S/N: 4000 and up", "Page 1 of 1"],
        [_p(f"{KIT} {USUAL}"), "", ""],
    ]
    h = drawn([Table(rows, style=style, colWidths=[200, 130, 130])])
    assert (h.number, h.date, h.subject) == ("44-7", dt.date(2003, 5, 3), "Seal")
    assert (h.applies.models, h.applies.serial_from, h.unclear) == (("KR 12",), "4000", ())
    assert f"{KIT} {USUAL}" in texts(h)


def test_small_print_over_values() -> None:
    """Label and value in one cell, the label in small print above."""
    rows = [
        [_p("<font size=7>Bulletin No.</font><br/>MB 97/3"), _p("<font size=7>Date</font><br/>3 May 2003")],
        [_p("<font size=7>Subject</font><br/>New seal"), _p("<font size=7>Models</font><br/>P2V45, P2V60")],
    ]
    h = drawn(
        [
            _p("BRANDT", _LARGE),
            Table(rows, style=_GRID, colWidths=[200, 200]),
            Spacer(1, 8),
            _p(USUAL),
            Spacer(1, 8),
            _p(KIT),
        ]
    )
    assert (h.number, h.date, h.subject, h.issuer) == ("MB 97/3", dt.date(2003, 5, 3), "New seal", "BRANDT")
    assert h.applies.models == ("P2V45", "P2V60") and texts(h)[-1] == KIT


def test_a_parts_table_is_no_head() -> None:
    """A table of old and new numbers with a model column stays whole in the body."""
    rows = [["Model", "Old number", "New number"], ["KB 10", "44-1", "44-2"], ["KB 20", "45-1", "45-2"]]
    h = drawn(
        [
            _p("Service Letter 88-4, 3 May 1988", _BOLD),
            _p("Applies to: KB 10"),
            Spacer(1, 8),
            Table(rows, style=_GRID),
        ]
    )
    tables = [e for e in h.body if isinstance(e, ReadTable)]
    assert [[c.text for c in r] for r in tables[0].rows] == rows
    assert (h.number, h.applies.models) == ("88-4", ("KB 10",))


def test_units_named_on_a_later_sheet_are_told() -> None:
    """A field of units on sheet 2 may limit a part of the note: a doubt. Running heads are no subject."""
    flow = [
        _p("Service Bulletin TB 12", _LARGE),
        _p("Date: 3 May 2003"),
        _p("Models: KR 12"),
        _p(USUAL),
        PageBreak(),
        _p("Models: KR 99"),
        _p(KIT),
    ]
    h = drawn(flow, "Halden & Voss TB 12")
    assert (h.number, h.date, h.issuer) == ("TB 12", dt.date(2003, 5, 3), "Halden & Voss")
    assert h.applies.models == ("KR 12",) and any("KR 99" in d for d in h.applies.unclear)
    assert "Page" not in (h.subject or "")


def test_a_form_of_kind_subject_and_concerned_units() -> None:
    """A form whose first row gives kind, number and date, and whose others are a subject and what it
    concerns: the units with their limit are read, so that nothing in the note holds for all."""
    rows = [
        ["Workshop circular", "WK 31", "3 May 2003"],
        ["Subject", "Plunger", ""],
        ["Concerns", "type KR 12 up to and including serial number 900", ""],
    ]
    form = Table(rows, style=_GRID, colWidths=[100, 280, 80])
    h = drawn([_p("Halden & Voss", _LARGE), form, Spacer(1, 8), _p(KIT)])
    assert (h.number, h.date, h.subject) == ("WK 31", dt.date(2003, 5, 3), "Plunger")
    assert (h.applies.models, h.applies.serial_from, h.applies.serial_to) == (("KR 12",), None, "900")
