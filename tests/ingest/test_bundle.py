"""Several notes in one file: which sheets and lines belong to which. All papers are invented."""

import io
import random

import pytest
from benchleaf.ingest.bundle import bound_in, split_notes
from benchleaf.ingest.head.header import read_header
from benchleaf.ingest.shapes import LaidPage
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.pdf import read_pdf
from benchleaf.ingest.sheets.text import read_text
from drawing_board import Board
from drawn_manuals import LOOKS, Artist
from note_layouts import pdf_note, said, text_note

FIRST = """ORVEN GEAR LTD
SERVICE BULLETIN 14/2003
Date: 3 May 2003
Subject: Oil seals
Models: KX-4

Seal 4-1180 has been replaced by 4-1192.
"""
SECOND = """ORVEN GEAR LTD
SERVICE BULLETIN 15/2003
Date: 9 June 2003
Subject: Clutch hub
Models: KX-4

On page 31, item 7, change 45 Nm to 52 Nm.
"""


def laid(text: str) -> tuple[LaidPage, ...]:
    return lay_out(read_text(text.encode()))


def numbers(pages: tuple[LaidPage, ...]) -> list[str | None]:
    return [read_header(run, "").number for run in split_notes(pages)]


def joined(files: list[bytes]) -> bytes:
    import pypdfium2

    whole = pypdfium2.PdfDocument.new()
    for data in files:
        whole.import_pages(pypdfium2.PdfDocument(data))
    out = io.BytesIO()
    whole.save(out)
    return out.getvalue()


def test_notes_on_sheets_of_their_own_are_parted() -> None:
    """Two bulletins on two sheets are two runs, and the sheets keep their numbers."""
    runs = split_notes(laid(f"{FIRST}\f{SECOND}"))
    assert [[p.sheet for p in run] for run in runs] == [[1], [2]]
    assert numbers(laid(f"{FIRST}\f{SECOND}")) == ["14/2003", "15/2003"]


@pytest.mark.parametrize("between", ["\n\n" + "=" * 60 + "\n\n", "\n" + "-" * 50 + "\n\n\n", "\n\n\n\n"])
def test_notes_under_one_another_are_parted(between: str) -> None:
    """After a rule or much free space a new head begins a new note on the same sheet, its lines with it."""
    runs = split_notes(laid(FIRST + between + SECOND))
    assert [[p.sheet for p in run] for run in runs] == [[1], [1]]
    texts = [" ".join(li.text for p in run for li in p.lines) for run in runs]
    assert "4-1192" in texts[0] and "4-1192" not in texts[1]
    assert "52 Nm" in texts[1] and "52 Nm" not in texts[0]


@pytest.mark.parametrize(
    "sheet",
    [
        "ORVEN GEAR LTD\nSERVICE BULLETIN 14/2003   page 2 of 2\n\nThe old seal may be used up.\n",
        "SERVICE BULLETIN 14/2003\nDate: 3 May 2003\n\nThe old seal may be used up.\n",
        "ANNEX A\nSERVICE BULLETIN 11/2001\nDate: 2 April 2001\nSubject: Hub\n\nFor reference only.\n",
        "The old seal may be used up. Details of the earlier change are in papers that remain in force:\n\n"
        "Service Bulletin 9/2001 of 4 May 2001\nService Bulletin 11/2001 of 2 April 2001\n",
        "INDEX OF SERVICE BULLETINS\n\nNumber 9/2001, date 4 May 2001, oil pump\n"
        "Number 11/2001, date 2 April 2001, hub\n",
        "Related: Service Bulletin 9/2001 of 4 May 2001\nSubject of that bulletin: Oil pump\n\nKeep both.\n",
        "BULLETIN 15/2003 (continued)\nDate: 9 June 2003\nSubject: Hub\n\nKeep the old seal.\n",
    ],
)
def test_a_sheet_that_goes_on_stays(sheet: str) -> None:
    """A second sheet, an annex, a list of notes or words about other notes begin no new note."""
    assert len(split_notes(laid(f"{FIRST}\f{sheet}"))) == 1


def test_words_about_other_notes_do_not_cut_a_sheet() -> None:
    """A note that cites others with number and date, each in a paragraph of its own, stays whole."""
    cites = (
        "Service Bulletin 9/2001 of 4 May 2001 remains in force.\n\n\nSee also Service Bulletin 11/2001.\n"
    )
    assert len(split_notes(laid(f"{FIRST}\n\n\n{cites}"))) == 1


def test_a_letter_before_a_note_is_a_run_of_its_own() -> None:
    """The covering letter has neither number nor steps; the bulletin behind it is read by itself."""
    letter = "ORVEN GEAR LTD\n\nDear customer,\n\nplease find enclosed our latest bulletin for your file.\n"
    assert numbers(laid(f"{letter}\f{FIRST}")) == [None, "14/2003"]


def test_no_sheet_is_lost_or_doubled() -> None:
    """Blank sheets and those without a head stay in their run, in order."""
    runs = split_notes(laid(f"{FIRST}\f\fMore words of it.\f{SECOND}\fAnd these."))
    assert [[p.sheet for p in run] for run in runs] == [[1, 2, 3], [4, 5]]
    assert split_notes(()) == ()


@pytest.mark.parametrize("seed", range(40))
def test_notes_of_any_layout_are_parted(seed: int) -> None:
    """Two or three drawn notes of invented makers in one file come apart, whatever their heads look like;
    each by itself stays whole."""
    dice = random.Random(seed)
    files, want = [], []
    for _ in range(dice.choice([2, 3])):
        note = said(dice)
        data = pdf_note(dice, note)
        alone = lay_out(read_pdf(data))
        assert len(split_notes(alone)) == 1
        number = read_header(alone, "").number
        if number not in want:
            files.append(data)
            want.append(number)
    assert numbers(lay_out(read_pdf(joined(files)))) == want


@pytest.mark.parametrize("seed", range(30))
def test_a_typed_note_by_itself_stays_whole(seed: int) -> None:
    """No single text note, whatever its head, is cut."""
    dice = random.Random(500 + seed)
    assert len(split_notes(laid(text_note(dice, said(dice))))) == 1


def test_notes_bound_in_behind_a_manual_are_found() -> None:
    """The manual keeps its own sheets, the bulletins behind it are runs of their own; alone it has none."""
    dice = random.Random(3)
    manual = Artist(LOOKS[0], 1).draw().data
    own = lay_out(read_pdf(manual))
    assert bound_in(own) == (own, ())
    sheets, notes = bound_in(lay_out(read_pdf(joined([manual, pdf_note(dice, said(dice))]))))
    assert len(sheets) == len(own) and len(notes) == 1


def test_a_last_sheet_of_the_manual_is_no_note() -> None:
    """A sheet that bears the manual's own running foot is the manual's, whatever its head resembles."""
    board = Board()
    for sheet, (heading, steps) in enumerate(
        (("TESTING", (25, 26, 27)), ("BLEEDING", (28,)), ("STORING", (29, 30)))
    ):
        even = sheet % 2 == 1
        board.canvas.drawString(72, 810, f"B{sheet + 7}" if even else "Handbook QH 612")
        board.canvas.drawString(430, 810, "Handbook QH 612" if even else f"B{sheet + 7}")
        board.canvas.drawString(72, 30, "Orven Brake & Drive Co.")
        board.canvas.drawString(380, 30, "QH 612 Issue 1 May 1994")
        board.canvas.drawString(72, 770, heading)
        for n, step in enumerate(steps):
            board.canvas.drawString(72, 740 - 40 * n, f"{step}")
            board.canvas.drawString(
                96, 740 - 40 * n, "Tighten the lock nuts to 120 Nm and enter it on the sheet."
            )
        board.canvas.showPage()
    own, bound = bound_in(lay_out(read_pdf(board.pdf())))
    assert [p.sheet for p in own] == [1, 2, 3] and not bound
