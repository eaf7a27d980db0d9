"""What OCR read is kept and used again. No outside source."""

import pytest
from benchleaf.graph.errors import RefusedFile, StoreProblem
from benchleaf.graph.model import Box, ScanSheet, Source
from benchleaf.ingest.scan import reading
from benchleaf.ingest.scan.placing import Placing, straightened, turned
from benchleaf.ingest.scan.reading import is_scan, read_scans, upright_picture
from benchleaf.ingest.scan.results import assembled, page_of, placing_of, written
from benchleaf.ingest.shapes import Page, Word
from PIL import Image, ImageDraw
from scanpictures import as_pdf, as_png, skewed

WORDS = (
    Word("Old", Box(60, 60, 80, 71), 10.0, True, 0.995),
    Word("88-104", Box(160, 60, 200, 71), 10.0, False, 0.85),
    Word("Neu", Box(60, 80, 80, 91), 10.0, False, 0.9),
    Word("4471", Box(160, 80, 200, 91), 10.0, False, 0.97),
)
STROKES = tuple(Box(50, y, 250, y) for y in (55.0, 75.0, 95.0)) + tuple(
    Box(x, 55, x, 95) for x in (50.0, 150.0, 250.0)
)


def kept(placing: Placing | None = None) -> ScanSheet:
    page = assembled(1, 300, 400, WORDS, STROKES)
    return ScanSheet(1, "some engine 1, benchleaf scan 1", written(page, placing or Placing(300, 400)))


def scan(words: tuple[Word, ...] = ()) -> Page:
    return Page(1, 300, 400, words, images=(Box(0, 0, 300, 400),))


def test_a_kept_page_is_the_page_that_was_read() -> None:
    """Words, confidences, strokes and the ruled table come back as they were."""
    page = page_of(kept())
    assert page.words == WORDS
    assert page.strokes == STROKES
    assert page.by_ocr
    assert [[c.text for c in row] for row in page.tables[0].rows] == [["Old", "88-104"], ["Neu", "4471"]]


def test_the_lie_of_the_sheet_is_kept() -> None:
    """Turn, slant and corners come back with the reading."""
    placing = straightened(turned(Placing(400, 300), 270), 1.5)
    back = placing_of(kept(placing))
    assert (back.turn, back.skew) == (270, 1.5)
    for (x, y), (u, v) in zip(back.corners, placing.corners, strict=True):
        assert (x, y) == pytest.approx((u, v), abs=1e-5)


def test_a_kept_sheet_needs_no_engine(monkeypatch: pytest.MonkeyPatch) -> None:
    """A sheet read before is not read again, even where no engine is installed any more."""

    def none_there(choice: str) -> None:
        raise RefusedFile("no OCR is installed")

    monkeypatch.setattr(reading, "engines", none_there)
    found = read_scans(b"", [scan()], {1: kept()})
    assert found.pages[0].words == WORDS
    assert found.kept == ()


def test_without_an_engine_a_picture_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """A picture that nobody can read is refused, with the command that adds the engine."""
    monkeypatch.setattr("benchleaf.ingest.scan.engines.rapid_version", lambda: None)
    monkeypatch.setattr("benchleaf.ingest.scan.engines.tesseract_version", lambda: None)
    with pytest.raises(RefusedFile) as refused:
        read_scans(b"", [scan()], {})
    assert "pip install 'benchleaf[scan]'" in refused.value.remedy


def test_pages_with_words_are_left_alone() -> None:
    """A page with a text layer of its own passes unread, picture or not."""
    words = tuple(Word(f"w{i}", Box(i, 0, i + 1, 10)) for i in range(40))
    page = scan(words)
    assert not is_scan(page)
    assert read_scans(b"", [page], {}).pages == (page,)


def test_a_stamp_on_a_scan_does_not_hide_it() -> None:
    """A handful of words that a fax adds leaves the page a picture; a small photo beside them does not."""
    assert is_scan(scan((Word("FAX", Box(0, 0, 20, 10)), Word("12:40", Box(30, 0, 60, 10)))))
    beside = Page(1, 300, 400, (Word("Photo", Box(0, 0, 20, 10)),), images=(Box(10, 30, 60, 80),))
    assert not is_scan(beside)


@pytest.mark.parametrize("body", [b"", b"no zlib", b"x\x9c\x03\x00\x00\x00\x00\x01"])
def test_a_damaged_reading_is_told(body: bytes) -> None:
    """A kept reading that cannot be unpacked raises the store's error and nothing else."""
    with pytest.raises(StoreProblem):
        page_of(ScanSheet(3, "", body))
    with pytest.raises(StoreProblem):
        placing_of(ScanSheet(3, "", body))


def test_a_sheet_hard_to_read_is_told() -> None:
    """Half of the words under the bar gives a finding that names the sheet."""
    found = read_scans(b"", [scan()], {1: kept()}, name="x.pdf")
    assert found.findings == ()
    weak = assembled(1, 300, 400, [w._replace(confidence=0.5) for w in WORDS], ())
    body = written(weak, Placing(300, 400))
    told = read_scans(b"", [scan()], {1: ScanSheet(1, "", body)}, name="x.pdf").findings
    assert [t.source for t in told] == [Source("x.pdf", 1, by_ocr=True)]
    assert "4 of 4 words" in told[0].message


def test_the_upright_picture_fits_the_boxes() -> None:
    """A mark on a turned, slanting sheet stands where its box says once the sheet is drawn upright."""
    sheet = Image.new("L", (600, 800), 255)
    ImageDraw.Draw(sheet).rectangle((120, 120, 200, 142), fill=0)
    lying = skewed(sheet, 3).rotate(90, expand=True)
    placing = straightened(turned(Placing(400, 300), 90), 3)
    for data in (as_png(lying, 144), as_pdf([lying], 144)):
        drawn = upright_picture(data, 1, kept(placing), 144)
        assert drawn.size == (600, 800)
        assert drawn.getpixel((126, 126)) < 60
        assert drawn.getpixel((194, 137)) < 60
        assert drawn.getpixel((160, 160)) > 200
