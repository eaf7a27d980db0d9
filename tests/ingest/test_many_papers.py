"""Papers within papers: several notes in a file, a mail's enclosures, notes behind a manual, pictures."""

import datetime as dt
import io
from email.message import EmailMessage
from pathlib import Path

import pytest
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.store import Store
from benchleaf.ingest.add import OCR_VARIABLE, add_paths, engine_chosen
from drawing_board import Board

NOW = dt.datetime(2026, 11, 25, 9)
ONE = """Brackwell Hoists
Service letter BH-7
Date: 12 November 1999
Subject: Seals
Models: H 40

Seal 4471-208 has been replaced by seal 4471-301.
"""
TWO = ONE.replace("BH-7", "BH-8").replace("12 November", "19 December").replace("4471", "5510")


@pytest.fixture
def store(tmp_path: Path):
    with Store.open(tmp_path / "store", create=True) as opened:
        yield opened


def mail(**files: bytes) -> EmailMessage:
    made = EmailMessage()
    made["From"], made["To"], made["Subject"] = "desk@example.org", "shop@example.org", "Two letters"
    made["Date"], made["Message-ID"] = "Mon, 3 Jan 2000 09:00:00 +0000", "<1@example.org>"
    made.set_content("Please find our letters enclosed.\n")
    for name, data in files.items():
        made.add_attachment(data, maintype="text", subtype="plain", filename=f"{name}.txt")
    return made


def test_two_letters_in_one_file_are_two_notes(store: Store, tmp_path: Path) -> None:
    """Each has its number, its date and its own statements; the file is one."""
    path = tmp_path / "both.txt"
    path.write_text(f"{ONE}\f{TWO}")
    (taken,) = add_paths(store, [path], NOW).files
    assert (taken.outcome, taken.document, taken.statements) == ("read", "note", 2)
    assert {n.number: n.date for n in store.notes()} == {
        "BH-7": dt.date(1999, 11, 12),
        "BH-8": dt.date(1999, 12, 19),
    }
    assert [s.note for s in store.statements()] == ["BH-7", "BH-8"]


def test_what_a_mail_encloses_is_taken_in(store: Store, tmp_path: Path) -> None:
    """Each enclosure is a file of its own; the covering words are no note; added again, all are held."""
    path = tmp_path / "letters.eml"
    path.write_bytes(mail(bh7=ONE.encode(), bh8=TWO.encode()).as_bytes())
    taken = add_paths(store, [path], NOW).files
    assert [Path(f.path).name for f in taken] == ["letters.eml", "bh7.txt", "bh8.txt"]
    assert [f.document for f in taken] == ["other", "note", "note"]
    assert [n.number for n in store.notes()] == ["BH-7", "BH-8"]
    assert {f.outcome for f in add_paths(store, [path], NOW).files} == {"held"}


def test_a_bad_enclosure_does_not_stop_the_others(store: Store, tmp_path: Path) -> None:
    """A damaged enclosure is refused under its own name; the letter beside it is read."""
    path = tmp_path / "letters.eml"
    made = mail(bh7=ONE.encode())
    made.add_attachment(b"%PDF-1.7\nnothing", maintype="application", subtype="pdf", filename="bad.pdf")
    path.write_bytes(made.as_bytes())
    outcomes = {Path(f.path).name: f.outcome for f in add_paths(store, [path], NOW).files}
    assert outcomes == {"letters.eml": "read", "bh7.txt": "read", "bad.pdf": "refused"}


def test_the_reader_of_pictures_is_chosen_by_name(monkeypatch: pytest.MonkeyPatch) -> None:
    """BENCHLEAF_OCR takes the known readers only."""
    monkeypatch.setenv(OCR_VARIABLE, "Tesseract")
    assert engine_chosen() == "tesseract"
    monkeypatch.setenv(OCR_VARIABLE, "magic")
    with pytest.raises(WrongUse, match="BENCHLEAF_OCR is “magic”"):
        engine_chosen()


def picture(text: str) -> bytes:
    """A typed sheet as a PNG at 200 dpi."""
    import pypdfium2

    board = Board()
    for n, line in enumerate(text.splitlines()):
        board.canvas.setFont("Courier", 11)
        board.canvas.drawString(72, 760 - 18 * n, line)
    out = io.BytesIO()
    pypdfium2.PdfDocument(board.pdf())[0].render(scale=200 / 72, grayscale=True).to_pil().save(out, "PNG")
    return out.getvalue()


def test_a_scan_is_read_once_and_marked(store: Store, tmp_path: Path) -> None:
    """A picture of a letter gives the letter's statement, marked as read by OCR; the reading is kept."""
    pytest.importorskip("rapidocr", reason="the extra [scan] is not installed")
    path = tmp_path / "bh7.png"
    path.write_bytes(picture(ONE))
    (taken,) = add_paths(store, [path], NOW).files
    assert (taken.outcome, taken.pages_by_ocr, taken.number) == ("read", 1, "BH-7")
    (said,) = store.statements()
    assert said.source.by_ocr and (said.old, said.new) == (("4471-208",), ("4471-301",))  # type: ignore[attr-defined]
    assert len(store.scans(taken.sha256 or "")) == 1


def test_a_note_that_came_before_its_manual_is_read_again(store: Store, tmp_path: Path) -> None:
    """Only the manual tells that `Tarvel 40` in a head without labels is a model; order must not matter."""
    letter = tmp_path / "a.txt"
    letter.write_text(
        "TL 14 / 12 November 1999 / Tarvel 40\n\nOn page 4-2 of HM 20 item 1, change 46 Nm to 52 Nm.\n"
    )
    add_paths(store, [letter], NOW)
    assert [n.applies.models for n in store.notes()] == [()]
    board = Board()
    for n, line in enumerate(
        ("Brackwell Hoists", "Workshop Manual", "Tarvel 40, Tarvel 60", "Publication No. HM 20")
    ):
        board.canvas.drawString(72, 700 - 24 * n, line)
    board.canvas.showPage()
    for folio in ("4-2", "4-3"):
        for n in (1, 2, 3):
            board.canvas.drawString(72, 760 - 30 * n, f"{n}.")
            board.canvas.drawString(96, 760 - 30 * n, "Tighten the nut to 46 Nm and turn the shaft.")
        board.canvas.drawString(290, 40, folio)
        board.canvas.showPage()
    manual = tmp_path / "m.pdf"
    manual.write_bytes(board.pdf())
    add_paths(store, [manual], NOW)
    assert [n.applies.models for n in store.notes()] == [("Tarvel 40",)]
    assert [s.standing for s in store.statements()] == ["settled"]
