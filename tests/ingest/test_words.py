"""Words of a PDF's text layer: their text, their boxes, their weight."""

import io

import pytest
from benchleaf.ingest.sheets.pdf import read_pdf
from drawing_board import BOLD, Board
from reportlab.lib.pagesizes import A4
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas


def texts(board: Board) -> list[str]:
    return [w.text for w in read_pdf(board.pdf())[0].words]


def test_a_word_has_its_box_size_and_weight() -> None:
    """A word drawn at a place has its box there in points from the top left corner, its font size and
    weight."""
    board = Board()
    board.text(100, 200, "Tighten", size=12)
    board.text(100, 300, "CAUTION", size=12, font=BOLD)
    plain, bold = read_pdf(board.pdf())[0].words
    assert plain.text == "Tighten"
    assert plain.box.x0 == pytest.approx(100, abs=0.5)
    assert plain.box.x1 == pytest.approx(100 + pdfmetrics.stringWidth("Tighten", "Helvetica", 12), abs=0.6)
    assert 186 < plain.box.top < 194 and 199 < plain.box.bottom < 205
    assert (plain.size, plain.bold, bold.bold) == (12, False, True)


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_a_turned_sheet_reads_as_displayed(turn: int) -> None:
    """With the page's rotation entry set, boxes are in the displayed orientation whatever the turn."""
    board = Board(400, 300)
    c = board.canvas
    c.setPageRotation(turn)
    move = {0: (0, 0), 90: (300, 0), 180: (400, 300), 270: (0, 400)}[turn]
    c.translate(*move)
    c.rotate(turn)
    c.setFont("Helvetica", 10)
    c.drawString(50, 300 - 60, "upper left words")
    c.line(50, 300 - 80, 150, 300 - 80)
    page = read_pdf(board.pdf())[0]
    assert (page.width, page.height) == (400, 300)
    assert [w.text for w in page.words] == ["upper", "left", "words"]
    assert page.words[0].box.x0 == pytest.approx(50, abs=1)
    assert 50 < page.words[0].box.top < page.words[0].box.bottom < 65
    assert page.strokes[0].top == pytest.approx(80, abs=1)


def test_a_cropped_sheet_counts_from_its_visible_corner() -> None:
    """With a crop box, places count from the visible corner, and words cut away are gone."""
    board = Board(600, 800)
    board.canvas.setCropBox((100, 100, 500, 700))
    board.text(120, 130, "seen")
    board.text(10, 790, "unseen")
    page = read_pdf(board.pdf())[0]
    assert (page.width, page.height) == (400, 600)
    assert [w.text for w in page.words] == ["seen"]
    assert page.words[0].box.x0 == pytest.approx(20, abs=1)
    assert page.words[0].box.bottom == pytest.approx(32, abs=2)


def test_ligatures_soft_hyphens_and_fixed_blanks_are_made_plain() -> None:
    """fi and fl ligatures become letters, a no-break blank parts words, a raised 2 stays raised."""
    import reportlab

    folder = reportlab.__path__[0]
    pdfmetrics.registerFont(TTFont("Vera", f"{folder}/fonts/Vera.ttf"))
    board = Board()
    board.text(72, 100, "\ufb01nal \ufb02ange 20\u00a0Nm 4 mm\u00b2", font="Vera")
    assert texts(board) == ["final", "flange", "20", "Nm", "4", "mm\u00b2"]


def test_text_drawn_glyph_by_glyph_gives_whole_words() -> None:
    """Each letter placed on its own, as some programs draw, still gives words."""
    board = Board()
    x = 72.0
    for letter in "Fit the disc pack":
        board.text(x, 100, letter, size=11)
        x += pdfmetrics.stringWidth(letter, "Helvetica", 11) + 0.15
    assert texts(board) == ["Fit", "the", "disc", "pack"]


def test_kerning_shifts_make_blanks_only_when_wide() -> None:
    """A small shift between glyphs is kerning; one of a blank's width parts words though no blank is
    drawn."""
    board = Board()
    text = board.canvas.beginText(72, 700)
    text.setFont("Helvetica", 10)
    text._code.append("[(Fi) 60 (t) -300 (t) 40 (he) -280 (d) -50 (isc)] TJ")
    board.canvas.drawText(text)
    assert texts(board) == ["Fit", "the", "disc"]


@pytest.mark.parametrize("spacing", [1.0, 2.5, 4.0])
def test_letter_spaced_text_keeps_its_words(spacing: float) -> None:
    """Widely spaced letters are words where real blanks part them."""
    board = Board()
    board.text(72, 100, "CAUTION Hot oil can burn", spacing=spacing)
    board.text(72, 130, "plain words below")
    assert texts(board) == ["CAUTION", "Hot", "oil", "can", "burn", "plain", "words", "below"]


def test_letters_typed_with_blanks_are_one_word() -> None:
    """`W A R N I N G` typed with blanks is one word; single letters of a text are not joined."""
    board = Board()
    board.text(72, 100, "W A R N I N G")
    board.text(72, 130, "Ports A and B or C, D")
    assert texts(board) == ["WARNING", "Ports", "A", "and", "B", "or", "C,", "D"]


def test_text_drawn_twice_to_look_bold_is_one_bold_word() -> None:
    """A word drawn twice with a tiny shift is one word, and bold."""
    board = Board()
    board.text(72, 100, "NOTE")
    board.text(72.4, 100, "NOTE")
    words = read_pdf(board.pdf())[0].words
    assert [w.text for w in words] == ["NOTE"]


def test_the_same_word_on_two_lines_stays_twice() -> None:
    """Two equal words one line apart are two words."""
    board = Board()
    board.lines(72, 100, ["Ring", "Ring"], leading=12)
    assert texts(board) == ["Ring", "Ring"]


def test_a_hyphen_at_a_line_end_stays_with_its_line() -> None:
    """pdfium joins words over a hyphen at the line end; here each line keeps its own part."""
    board = Board()
    board.lines(72, 100, ["Measure the clear-", "ance at three places"])
    assert texts(board) == ["Measure", "the", "clear-", "ance", "at", "three", "places"]


def test_text_inside_a_moved_form_stands_where_it_is_seen() -> None:
    """Text in a form that is drawn scaled and moved has its displayed place and size."""
    bytes_ = io.BytesIO()
    c = Canvas(bytes_, pagesize=A4)
    c.beginForm("stamp")
    c.setFont("Helvetica", 10)
    c.drawString(0, 0, "stamped")
    c.endForm()
    c.saveState()
    c.translate(200, 500)
    c.scale(2, 2)
    c.doForm("stamp")
    c.restoreState()
    c.save()
    (word,) = read_pdf(bytes_.getvalue())[0].words
    assert word.box.x0 == pytest.approx(200, abs=1)
    assert word.size == pytest.approx(20, abs=0.5)


def test_a_scaled_text_matrix_counts_for_the_size() -> None:
    """A font set at size 1 and scaled by the text matrix has the size seen."""
    board = Board()
    text = board.canvas.beginText()
    text.setFont("Helvetica", 1)
    text.setTextTransform(9, 0, 0, 9, 72, 700)
    text.textOut("scaled")
    board.canvas.drawText(text)
    (word,) = read_pdf(board.pdf())[0].words
    assert word.size == pytest.approx(9, abs=0.1)


def test_upright_text_in_the_margin_is_a_word_of_its_own() -> None:
    """A title turned by 90 degrees in the margin gives tall boxes, and does not disturb the text beside
    it."""
    board = Board()
    c = board.canvas
    c.saveState()
    c.translate(30, 300)
    c.rotate(90)
    c.setFont("Helvetica", 9)
    c.drawString(0, 0, "SERVICE MANUAL")
    c.restoreState()
    board.text(72, 400, "Plain text")
    words = {w.text: w.box for w in read_pdf(board.pdf())[0].words}
    assert set(words) == {"SERVICE", "MANUAL", "Plain", "text"}
    assert words["SERVICE"].bottom - words["SERVICE"].top > 30
