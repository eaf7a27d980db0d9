"""Heads that OCR read: labels are forgiven one misread sign, values never."""

import datetime as dt
from dataclasses import replace

import pytest
from benchleaf.ingest.head.dates import read_date
from benchleaf.ingest.head.header import read_header
from benchleaf.ingest.shapes import Header
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.text import read_text

BODY = "\n\nReplace the plate as shown in the manual.\n"


def head(text: str, by_ocr: bool = True) -> Header:
    """The head of a typed sheet, as if OCR had read it."""
    pages = tuple(replace(p, by_ocr=by_ocr) for p in lay_out(read_text((text + BODY).encode())))
    return read_header(pages, "note.png")


@pytest.mark.parametrize(
    "fields",
    [
        "Service Bulletin N0. SB-14\nDatc: 12.03.1999\nSubjcct: New kit\nModcls: KX-4, KX-6\n"
        "Serial N0.: 1001 to 1999",
        "Bulletin No.SB-14\nDate:12.03.1999\nSubjectNew kit\nModels:KX-4, KX-6\nSeriol numbers:1001 to 1999",
        "Service Bulletin SB-14\nDate12.03.1999\nSubject. New kit\nMode1s affected; KX-4, KX-6\n"
        "Serial Nos, 1001 to 1999",
    ],
)
def test_misread_labels(fields: str) -> None:
    """One letter wrong, a figure for a letter, no blank, no colon: the field is found."""
    h = head("Harrow Gear Co.\n" + fields)
    assert (h.number, h.date, h.subject) == ("SB-14", dt.date(1999, 3, 12), "New kit")
    assert (h.applies.models, h.applies.serial_from, h.applies.serial_to) == (
        ("KX-4", "KX-6"),
        "1001",
        "1999",
    )
    assert h.unclear == ()


def test_a_printed_sheet_is_not_forgiven() -> None:
    """On a sheet with a text layer an unknown label stays unknown, and what it names is told."""
    h = head("Bulletin No. 14\nDate: 12.03.1999\nModcls: KX-4, KX-6", by_ocr=False)
    assert h.applies.models == () and any("KX-4" in d for d in h.unclear)


@pytest.mark.parametrize(
    ("printed", "day"),
    [
        ("l2.O3.1999", dt.date(1999, 3, 12)),
        ("I2 May 1999", dt.date(1999, 5, 12)),
        ("12 May l999", dt.date(1999, 5, 12)),
        ("12.03.199g", dt.date(1999, 3, 12)),
    ],
)
def test_letters_for_figures_in_a_date_are_told(printed: str, day: dt.date) -> None:
    """The likely day is given with a doubt that names what is printed."""
    read = read_date(printed)
    assert read.date == day and read.doubt is not None and printed in read.doubt


def test_a_number_with_letters_is_no_date() -> None:
    """`99-B-12` alone at the head is the note's number, not 12 August."""
    h = head("Harrow Gear Co.\nBulletin 99-B-12\n20 July 1993\nUnits affected: KX-4")
    assert (h.number, h.date) == ("99-B-12", dt.date(1993, 7, 20))
