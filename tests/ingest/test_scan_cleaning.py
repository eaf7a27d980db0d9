"""Pictures evened before reading, the paper found in a photo, ruled lines found. No outside source."""

import pytest
from scanpictures import noisy, pale, photographed, picture_of, shadowed, speckled, steps_sheet, table_sheet

np = pytest.importorskip("numpy", reason="numpy comes with the extra scan")
pytest.importorskip("cv2", reason="OpenCV comes with the extra scan")

from benchleaf.ingest.scan.cleaning import evened, ink, paper_in, unspecked  # noqa: E402  # after the skip
from benchleaf.ingest.scan.placing import Placing  # noqa: E402  # after the skip
from benchleaf.ingest.scan.results import assembled  # noqa: E402  # after the skip
from benchleaf.ingest.scan.rules import ruled_lines  # noqa: E402  # after the skip
from benchleaf.ingest.shapes import Word  # noqa: E402  # after the skip
from benchleaf.ingest.sheets.pdf import read_pdf  # noqa: E402  # after the skip


def test_a_shadow_is_taken_out() -> None:
    """Paper in the shadow and in the light is white afterwards, ink is ink in both."""
    clean = np.asarray(picture_of(steps_sheet(), 100))
    even = evened(np.asarray(shadowed(picture_of(steps_sheet(), 100))), 100)
    assert float((even > 200).mean()) > 0.9
    dark = clean < 60
    assert float((even[dark] < 150).mean()) > 0.95


def test_pale_ink_becomes_dark() -> None:
    """Grey ink on grey paper is stretched to dark on white."""
    even = evened(np.asarray(pale(picture_of(steps_sheet(), 100))), 100)
    assert int(even.min()) < 30
    assert int(np.median(even)) > 230


def test_a_blank_sheet_stays_white() -> None:
    """The grain of blank paper is not made into ink."""
    from PIL import Image

    even = evened(np.asarray(noisy(Image.new("L", (600, 800), 235), 10)), 100)
    assert float((ink(even) > 0).mean()) < 0.001


def test_a_negative_is_turned_over() -> None:
    """White text on black, as old photostats have it, becomes dark on white."""
    even = evened(255 - np.asarray(picture_of(steps_sheet(), 100)), 100)
    assert int(np.median(even)) > 200


def test_specks_are_dropped_and_points_kept() -> None:
    """Single black pixels go where there are many; the ink of the text stays."""
    clean = np.asarray(picture_of(steps_sheet(), 200))
    even = unspecked(np.asarray(speckled(picture_of(steps_sheet(), 200))), 200)
    assert int((ink(even) > 0).sum()) == pytest.approx(int((ink(clean) > 0).sum()), rel=0.03)


def test_the_paper_is_found_on_a_dark_desk() -> None:
    """The corners of a sheet photographed at an angle are found within two hundredths of the photo's side."""
    photo = photographed(picture_of(steps_sheet(), 100))
    wide, high = picture_of(steps_sheet(), 100).size
    placing = paper_in(np.asarray(photo), Placing(600, 800))
    expected = (
        ((0.12 + 0.06) * wide, 0.1 * high),
        ((1.12 - 0.06) * wide, 0.12 * high),
        ((1.12 + 0.024) * wide, 1.1 * high),
        ((0.12 - 0.024) * wide, 1.1 * high),
    )
    for (x, y), (px, py) in zip(placing.corners, expected, strict=True):
        assert x == pytest.approx(px / photo.width, abs=0.02)
        assert y == pytest.approx(py / photo.height, abs=0.02)
    assert (placing.width, placing.height) == pytest.approx((595.28, 841.89))


def test_a_scan_is_no_photo() -> None:
    """A scanned sheet keeps its own corners."""
    placing = Placing(595, 842)
    assert paper_in(np.asarray(picture_of(steps_sheet(), 100)), placing) == placing


def test_ruled_lines_make_the_table_that_was_drawn() -> None:
    """The strokes found in a picture give the same rows as the drawn ones with the same words."""
    sheet = table_sheet()
    page = read_pdf(sheet.pdf)[0]
    lines = ruled_lines(ink(np.asarray(picture_of(sheet, 200))), 200)
    words = [Word(w.text, w.box, w.size) for w in page.words]
    found = assembled(1, page.width, page.height, words, lines.strokes)
    assert [[c.text for c in row] for row in found.tables[0].rows] == [
        [c.text for c in row] for row in page.tables[0].rows
    ]
    assert len(found.tables) == 1


def test_letters_are_no_ruled_lines() -> None:
    """A sheet of text alone has no ruled lines."""
    assert ruled_lines(ink(np.asarray(picture_of(steps_sheet(), 200))), 200).strokes == ()
