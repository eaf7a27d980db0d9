"""Figures, frames and tables on a sheet, and what is no part of the text."""

from benchleaf.ingest.shapes import LaidPage, Table
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.paragraphs import flow
from benchleaf.ingest.sheets.pdf import read_pdf
from drawing_board import BOLD, Board, sentence


def laid(board: Board) -> LaidPage:
    return lay_out(read_pdf(board.pdf()))[0]


def placed(page: LaidPage, place: str) -> list[str]:
    return [line.text for line in page.lines if line.place == place]


def paragraphs(page: LaidPage) -> list[str]:
    return ["TABLE" if isinstance(p, Table) else p.text for p in flow(page)]


def exploded_view(board: Board, x0: float, y0: float, x1: float, y1: float) -> None:
    """An ellipse with leaders to five callouts around it."""
    mx, my = (x0 + x1) / 2, (y0 + y1) / 2
    board.ellipse(x0 + 30, y0 + 15, x1 - 30, y1 - 15)
    spots = [(x0 + 8, y0 + 10), (x1 - 12, y0 + 12), (x0 + 8, y1 - 6), (x1 - 14, y1 - 8), (mx, y0 + 8)]
    for number, (x, y) in enumerate(spots, 1):
        board.rule(mx, my, x + 6, y - 3)
        board.text(x, y, str(number), 8)


def test_callouts_of_an_unframed_figure_are_no_text() -> None:
    """Callout numbers at the ends of leader lines belong to the figure though no frame holds it."""
    board = Board()
    one, two = sentence(1, 30), sentence(2, 30)
    board.step(50, 80, 480, "1.", one)
    exploded_view(board, 120, 140, 460, 330)
    board.text(50, 352, "Fig. 12  Clutch, exploded", 8)
    board.step(50, 380, 480, "2.", two)
    page = laid(board)
    assert sorted("".join(placed(page, "figure")).replace(" ", "")) == list("12345")
    assert paragraphs(page) == [f"1. {one}", "Fig. 12 Clutch, exploded", f"2. {two}"]


def test_a_framed_figure_is_no_notice() -> None:
    """A frame that holds a drawing is a figure, whatever short words stand in it."""
    board = Board()
    board.frame(50, 90, 545, 300)
    exploded_view(board, 100, 100, 500, 290)
    board.text(60, 285, "A-A", 8)
    page = laid(board)
    assert placed(page, "frame") == []
    assert "A-A" in " ".join(placed(page, "figure"))


def test_a_bitmap_with_numbers_on_it_is_a_figure() -> None:
    """Numbers set over a picture belong to the picture."""
    board = Board()
    board.prose(50, 80, 480, sentence(1, 40))
    board.image(150, 150, 400, 330)
    board.text(200, 200, "7", 9)
    board.text(300, 260, "8", 9)
    board.prose(50, 370, 480, sentence(2, 40))
    page = laid(board)
    assert sorted(placed(page, "figure")) == ["7", "8"]
    assert len(paragraphs(page)) == 2


def test_a_text_over_a_scan_is_text() -> None:
    """Where a bitmap covers the whole sheet (a scan with its text layer), the words are text."""
    board = Board()
    board.image(0, 0, 595, 842)
    board.prose(50, 80, 480, sentence(1, 40))
    page = laid(board)
    assert paragraphs(page) == [sentence(1, 40)]
    assert not page.picture


def test_a_sheet_of_only_a_bitmap_is_a_picture() -> None:
    """A sheet without words and with a bitmap is a picture that needs reading by machine."""
    board = Board()
    board.image(0, 0, 595, 842)
    board.sheet()
    board.text(72, 100, "text")
    assert [p.picture for p in lay_out(read_pdf(board.pdf()))] == [True, False]


def test_framed_notices_are_frames_wherever_they_stand() -> None:
    """A notice in a rectangle, in four strokes, in a double rectangle or on grey is one frame with its
    box."""
    board = Board()
    first = board.step(50, 80, 480, "1.", sentence(1))
    board.frame(72, 120, 530, 140)
    board.text(76, 134, "CAUTION  Wear eye protection.", 9, BOLD)
    for a, b in (
        ((72, 200), (530, 200)),
        ((72, 235), (530, 235)),
        ((72, 200), (72, 235)),
        ((530, 200), (530, 235)),
    ):
        board.rule(*a, *b)
    board.lines(
        76, 213, ["NOTE  Keep the parts in order. Mark them", "with paint where the marks are worn."], 9, 13
    )
    board.frame(70, 298, 532, 322)
    board.frame(72, 300, 530, 320)
    board.text(76, 314, "WARNING  Springs are under load.", 9)
    board.canvas.setFillGray(0.85)
    board.frame(72, 380, 530, 400, fill=1, stroke=0)
    board.canvas.setFillGray(0)
    board.text(76, 394, "NOTE  Hot oil burns.", 9)
    page = laid(board)
    assert first < 120
    assert paragraphs(page)[1:] == [
        "CAUTION Wear eye protection.",
        "NOTE Keep the parts in order. Mark them with paint where the marks are worn.",
        "WARNING Springs are under load.",
        "NOTE Hot oil burns.",
    ]
    frames = [line.frame for line in page.lines if line.frame is not None]
    assert len(frames) == 5 and len(set(frames)) == 4
    assert [round(v) for v in frames[0]] == [72, 120, 530, 140]


def test_a_signal_word_in_a_cell_beside_its_text_is_a_notice() -> None:
    """A two-celled box with WARNING at the left and its text at the right is a frame, not a table."""
    board = Board()
    board.table(60, 100, [90, 380], [["WARNING", "Springs are under load. Use the press."]])
    page = laid(board)
    assert page.tables == ()
    assert placed(page, "frame") == ["WARNING Springs are under load. Use the press."]


def test_a_border_round_the_sheet_is_no_frame() -> None:
    """A rectangle round the whole sheet leaves the text as text."""
    board = Board()
    board.frame(30, 30, 565, 812)
    board.prose(50, 80, 480, sentence(1, 60))
    page = laid(board)
    assert placed(page, "frame") == []
    assert paragraphs(page) == [sentence(1, 60)]


def test_margin_bars_and_underlines_are_no_figures() -> None:
    """Change bars in the margin and rules under headings leave the text untouched."""
    board = Board()
    board.text(50, 80, "Removal", 12, BOLD)
    board.rule(50, 83, 110, 83)
    board.rule(40, 95, 40, 140)
    board.prose(50, 104, 480, sentence(1, 50))
    page = laid(board)
    assert {line.place for line in page.lines} == {"text"}
    assert paragraphs(page) == ["Removal", sentence(1, 50)]


def test_bullets_drawn_as_discs_are_no_figures() -> None:
    """Small filled circles before lines are bullets: the text stays text."""
    board = Board()
    for i in range(4):
        board.canvas.circle(56, 842 - (97 + 14 * i), 2, fill=1)
        board.text(66, 100 + 14 * i, f"Part {i} of the pack in order")
    page = laid(board)
    assert {line.place for line in page.lines} == {"text"}
    assert len(page.lines) == 4


def test_a_figure_in_one_column_leaves_the_other_in_order() -> None:
    """A figure at the top of the right column is passed over; the left column is read first."""
    board = Board()
    left, right = [sentence(i, 30) for i in range(6)], [sentence(i, 30) for i in range(10, 13)]
    y = 80.0
    for text in left:
        y = board.prose(50, y, 235, text) + 6
    exploded_view(board, 310, 70, 545, 220)
    board.text(310, 240, "Fig. 4", 8)
    y = 262.0
    for text in right:
        y = board.prose(310, y, 235, text) + 6
    got = paragraphs(laid(board))
    assert [t for t in got if t != "Fig. 4"] == left + right


def test_a_figure_across_columns_ends_a_band() -> None:
    """A figure over both columns parts the text above from the text below."""
    board = Board()
    above = [sentence(i, 40) for i in (1, 2)]
    below = [sentence(i, 40) for i in (3, 4)]
    for x, text in zip((50, 310), above, strict=True):
        board.prose(x, 80, 235, text)
    exploded_view(board, 60, 200, 540, 400)
    for x, text in zip((50, 310), below, strict=True):
        board.prose(x, 440, 235, text)
    assert paragraphs(laid(board)) == above + below


def test_a_label_that_hangs_beside_a_figure_stays_with_its_step() -> None:
    """A step number close to a figure at its left is the step's, not a callout."""
    board = Board()
    exploded_view(board, 50, 90, 290, 300)
    want = []
    y = 100.0
    for number in range(1, 8):
        text = sentence(number, 12)
        y = board.step(300, y, 245, f"{number}.", text)
        want.append(f"{number}. {text}")
    assert paragraphs(laid(board)) == want


def test_an_upright_title_in_the_margin_is_no_text() -> None:
    """A title turned upright in the margin does not mix with the lines beside it."""
    board = Board()
    c = board.canvas
    c.saveState()
    c.translate(25, 300)
    c.rotate(90)
    c.setFont("Helvetica", 9)
    c.drawString(0, 0, "SERVICE MANUAL R4")
    c.restoreState()
    text = sentence(1, 200)
    board.prose(40, 350, 480, text)
    page = laid(board)
    assert paragraphs(page) == [text]


def test_a_sheet_with_its_text_turned_reads_as_text() -> None:
    """A wide table set sideways on an upright sheet is read along its own direction."""
    board = Board()
    c = board.canvas
    c.translate(595, 0)
    c.rotate(90)
    c.setFont("Helvetica", 10)
    c.drawString(60, 500, "1. Fit the pack and measure the")
    c.drawString(60, 488, "play at three places.")
    assert paragraphs(laid(board)) == ["1. Fit the pack and measure the play at three places."]


def test_a_scan_cut_into_strips_keeps_its_words() -> None:
    """Where a scan is stored as strips with a hidden text layer, short lines stay text too."""
    board = Board()
    for i in range(5):
        board.image(60, 80 + 100 * i, 535, 178 + 100 * i)
    board.prose(80, 110, 430, sentence(1, 60))
    board.text(80, 220, "Tighten to 25 Nm.")
    board.prose(80, 260, 430, sentence(2, 60))
    page = laid(board)
    assert {line.place for line in page.lines} == {"text"}
    assert "Tighten to 25 Nm." in paragraphs(page)


def test_a_title_on_an_ornament_is_text() -> None:
    """A title set over a small ornament or logo is not lost as a callout."""
    board = Board()
    board.ellipse(50, 60, 300, 90)
    board.text(80, 80, "Service Bulletin", 14, BOLD)
    board.prose(50, 130, 480, sentence(1, 40))
    assert paragraphs(laid(board))[0] == "Service Bulletin"


def test_a_block_diagram_is_a_figure() -> None:
    """Boxes joined by lines with a word in each are a diagram, no notices and no table."""
    board = Board()
    board.prose(50, 80, 480, sentence(1, 40))
    for i, name in enumerate(("Pump", "Valve", "Clutch")):
        x = 80 + 150 * i
        board.frame(x, 180, x + 80, 220)
        board.text(x + 10, 204, name)
        board.frame(x, 260, x + 80, 300)
        board.rule(x + 40, 220, x + 40, 260)
        if i:
            board.rule(x - 70, 200, x, 200)
            board.rule(x - 70, 280, x, 280)
    board.prose(50, 340, 480, sentence(2, 40))
    page = laid(board)
    assert placed(page, "frame") == [] and page.tables == ()
    assert paragraphs(page) == [sentence(1, 40), sentence(2, 40)]
