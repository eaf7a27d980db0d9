"""PDF files to pages: what is refused and why, pictures, drawn shapes."""

import io

import pytest
from benchleaf.graph.errors import RefusedFile
from benchleaf.ingest.sheets.pages import read_pages
from benchleaf.ingest.sheets.pdf import read_pdf
from drawing_board import Board
from pypdfium2 import PdfDocument
from reportlab.lib import pdfencrypt


def small() -> bytes:
    board = Board()
    board.text(72, 100, "Fit the disc pack.")
    return board.pdf()


def no_pages() -> bytes:
    document, file = PdfDocument.new(), io.BytesIO()
    document.save(file)
    document.close()
    return file.getvalue()


@pytest.mark.parametrize(
    ("data", "word"),
    [
        (b"", "empty"),
        (b"GIF89a....", "not a PDF"),
        (b"%PDF-1.7\n" + b"garbage " * 300, "damaged"),
        (small()[:400], "damaged"),
        (no_pages(), "page"),
    ],
)
def test_what_is_no_readable_pdf_is_refused_with_a_remedy(data: bytes, word: str) -> None:
    """Empty, foreign, damaged and empty-of-pages files are refused in plain words, with what to do."""
    with pytest.raises(RefusedFile) as refused:
        read_pdf(data)
    assert word in refused.value.message
    assert refused.value.remedy


def test_a_locked_pdf_is_refused_as_encrypted() -> None:
    """A PDF that asks for a password is refused and says so; one with only an owner's password opens."""
    locked = Board(encrypt=pdfencrypt.StandardEncryption("secret", "owner"))
    locked.text(72, 100, "hidden")
    with pytest.raises(RefusedFile, match="encrypted"):
        read_pdf(locked.pdf())
    open_ = Board(encrypt=pdfencrypt.StandardEncryption("", "owner"))
    open_.text(72, 100, "shown")
    assert [w.text for w in read_pdf(open_.pdf())[0].words] == ["shown"]


def test_bytes_before_the_mark_do_not_hide_a_pdf() -> None:
    """A PDF's mark may stand anywhere in the first 1024 bytes (Adobe PDF Reference 1.7, appendix H, note 13;
    the place from memory)."""
    assert read_pages(b"\r\n" * 40 + small(), "x.bin")[0].words


def test_a_sheet_of_only_a_bitmap_has_an_image_and_no_words() -> None:
    """A scanned sheet without text layer has no words and its bitmap's box."""
    board = Board()
    board.image(0, 0, 595, 842)
    page = read_pdf(board.pdf())[0]
    assert page.words == ()
    assert page.images[0].x1 == pytest.approx(595, abs=1)
    assert not page.by_ocr


def test_a_blank_sheet_has_nothing_and_keeps_its_number() -> None:
    """Blank sheets count: the third sheet is sheet 3."""
    board = Board()
    board.text(72, 100, "one")
    board.sheet()
    board.sheet()
    board.text(72, 100, "three")
    pages = read_pdf(board.pdf())
    assert [(p.sheet, len(p.words)) for p in pages] == [(1, 1), (2, 0), (3, 1)]


def test_hidden_text_over_a_scan_counts_as_ocr() -> None:
    """Text drawn invisibly over a bitmap was read by a machine, and is marked so."""
    board = Board()
    board.image(0, 0, 595, 842)
    text = board.canvas.beginText(72, 700)
    text.setFont("Helvetica", 10)
    text.setTextRenderMode(3)
    text.textOut("Tighten to 25 Nm")
    board.canvas.drawText(text)
    page = read_pdf(board.pdf())[0]
    assert [w.text for w in page.words] == ["Tighten", "to", "25", "Nm"]
    assert page.by_ocr


def test_shapes_are_told_apart() -> None:
    """A level line is a stroke, a rectangle a frame, an ellipse and a slanted line other shapes."""
    board = Board()
    board.rule(50, 40, 545, 40)
    board.frame(100, 100, 300, 130)
    board.ellipse(100, 200, 200, 260)
    board.rule(100, 300, 150, 350)
    page = read_pdf(board.pdf())[0]
    assert [(round(s.x0), round(s.top), round(s.x1), round(s.bottom)) for s in page.strokes] == [
        (50, 40, 545, 40)
    ]
    assert [tuple(map(round, f)) for f in page.frames] == [(100, 100, 300, 130)]
    assert [tuple(map(round, c)) for c in page.curves] == [(100, 200, 200, 260), (100, 300, 150, 350)]


def test_white_and_thin_fills() -> None:
    """A white rectangle without outline is nothing; a thin filled one is a stroke; a grey one is a frame."""
    board = Board()
    board.canvas.setFillGray(1)
    board.frame(50, 50, 545, 700, fill=1, stroke=0)
    board.canvas.setFillGray(0)
    board.frame(50, 60, 545, 61, fill=1, stroke=0)
    board.canvas.setFillGray(0.8)
    board.frame(100, 100, 300, 130, fill=1, stroke=0)
    page = read_pdf(board.pdf())[0]
    assert len(page.strokes) == 1
    assert [tuple(map(round, f)) for f in page.frames] == [(100, 100, 300, 130)]


def test_a_frame_with_rounded_corners_is_a_frame() -> None:
    """Notices often stand in rounded boxes."""
    board = Board()
    board.canvas.roundRect(100, 700, 200, 40, 6)
    page = read_pdf(board.pdf())[0]
    assert len(page.frames) == 1 and not page.curves


def test_other_file_types_are_refused_by_name() -> None:
    """A file of a kind that is not taken is refused, its name given, and the types taken are said."""
    with pytest.raises(RefusedFile, match=r"sound\.wav") as refused:
        read_pages(b"RIFF\x24\x08\x00\x00WAVEfmt " + bytes(range(256)) * 4, "sound.wav")
    assert "PDF" in refused.value.remedy


def test_the_content_decides_not_the_name() -> None:
    """A PDF named .txt is read as a PDF, and text named .pdf as text."""
    assert read_pages(small(), "note.txt")[0].words[0].text == "Fit"
    assert [w.text for w in read_pages(b"Kit A replaces kit B.\n", "note.pdf")[0].words][:2] == ["Kit", "A"]


def test_reading_leaves_no_open_document() -> None:
    """Reading many times in one process works: documents and pages are closed."""
    data = small()
    for _ in range(300):
        assert len(read_pdf(data)[0].words) == 4
    assert io.BytesIO(data).read(4) == b"%PDF"
