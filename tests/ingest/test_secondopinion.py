"""Findings about how a PDF was read."""

import pytest
import reportlab
from benchleaf.ingest.sheets.pdf import read_pdf
from benchleaf.ingest.sheets.secondopinion import second_opinion
from drawing_board import Board
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont


def told(data: bytes) -> list[str]:
    return [f.message for f in second_opinion(data, read_pdf(data), "note.pdf")]


def test_a_sound_pdf_has_no_findings() -> None:
    """Two readers that agree on a sound file say nothing; plain text is not asked about."""
    board = Board()
    board.text(72, 100, "Fit the disc pack.")
    board.frame(60, 60, 300, 120)
    board.sheet()
    board.text(72, 100, "Second sheet.")
    assert told(board.pdf()) == []
    assert second_opinion(b"plain text", (), "note.txt") == ()


def test_letters_without_a_meaning_are_told() -> None:
    """A font without its table to Unicode gives no letters but signs of doubt, and a finding with the
    sheet."""
    pdfmetrics.registerFont(TTFont("Vera", f"{reportlab.__path__[0]}/fonts/Vera.ttf"))
    board = Board(pageCompression=0)
    board.text(72, 100, "éüßöäåñç", font="Vera")
    data = board.pdf().replace(b"/ToUnicode", b"/XoUnicode").replace(b"/Encoding", b"/Xncoding")
    (message,) = told(data)
    assert "sheet 1" in message and "letters" in message
    assert "é" not in "".join(w.text for w in read_pdf(data)[0].words)


def test_text_drawn_as_outlines_is_told() -> None:
    """A sheet of many small curves and no words is no blank sheet."""
    board = Board()
    for i in range(200):
        x = 60 + 8 * (i % 40)
        board.ellipse(x, 100 + 12 * (i // 40), x + 5, 108 + 12 * (i // 40))
    (message,) = told(board.pdf())
    assert "outlines" in message


def test_a_file_on_which_the_readers_differ_is_told() -> None:
    """Where the page tree's own count is wrong, the readers count differently or one fails: that is told."""
    board = Board(pageCompression=0)
    for number in range(3):
        board.text(72, 100, f"Sheet {number}")
        board.sheet()
    data = board.pdf().replace(b"/Count 3", b"/Count 2")
    if len(read_pdf(data)) == 3:
        pytest.skip("this pdfium counts the sheets themselves")
    assert any("sheets" in m for m in told(data))
