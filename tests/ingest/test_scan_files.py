"""Picture files to pages. The formats' first bytes are from memory; sizes follow from the pixels drawn."""

import io

import pytest
from benchleaf.graph.errors import RefusedFile
from benchleaf.graph.model import Box
from benchleaf.ingest.scan import pictures
from benchleaf.ingest.scan.pictures import guessed_size, is_picture, picture_pages, sheet_picture
from PIL import Image
from scanpictures import as_pdf, as_png, as_tiff

SHEET = Image.new("L", (827, 1169), 255)


def saved(kind: str, picture: Image.Image = SHEET, **options: object) -> bytes:
    held = io.BytesIO()
    picture.save(held, kind, **options)
    return held.getvalue()


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "TIFF", "BMP", "GIF", "WEBP"])
def test_pictures_are_told_by_their_bytes(kind: str) -> None:
    """The usual picture formats are known, and give one page with one image over all of it."""
    data = saved(kind)
    assert is_picture(data)
    (page,) = picture_pages(data)
    assert page.words == ()
    assert page.images == (Box(0.0, 0.0, page.width, page.height),)


@pytest.mark.parametrize(
    "data", [b"", b"%PDF-1.4", b"BM", b"BMW gearbox notes", b"RIFF....WAVE", b"GIF8 tools"]
)
def test_other_files_are_no_pictures(data: bytes) -> None:
    """A PDF, a sound and a text that begins with BM are no pictures."""
    assert not is_picture(data)


def test_the_resolution_gives_the_size() -> None:
    """827 pixels at 100 dots per inch are 595 points; 72 points are an inch."""
    (page,) = picture_pages(as_png(SHEET, 100))
    assert page.width == pytest.approx(595.4, abs=0.2)
    assert page.height == pytest.approx(841.7, abs=0.2)


@pytest.mark.parametrize(
    ("wide", "high", "size"),
    [(3000, 4243, (595.28, 841.89)), (3300, 2550, (792.0, 612.0)), (2550, 3300, (612.0, 792.0))],
)
def test_without_a_resolution_the_sides_tell_the_paper(
    wide: int, high: int, size: tuple[float, float]
) -> None:
    """A side ratio of 1.41 is A4 (ISO 216), of 1.29 Letter (ANSI/ASME Y14.1); both from memory."""
    assert guessed_size(wide, high) == pytest.approx(size)


def test_a_camera_s_72_dots_per_inch_mean_nothing() -> None:
    """A large photo marked 72 dots per inch is taken as a sheet of paper."""
    (page,) = picture_pages(saved("JPEG", SHEET.resize((2400, 3394)), dpi=(72, 72)))
    assert (page.width, page.height) == pytest.approx((595.28, 841.89))


def test_every_frame_of_a_tiff_is_a_page() -> None:
    """A fax of three sheets has three pages, numbered from 1."""
    pages = picture_pages(as_tiff([SHEET, SHEET, SHEET]))
    assert [p.sheet for p in pages] == [1, 2, 3]


def test_a_phone_s_orientation_mark_is_obeyed() -> None:
    """A JPEG marked as lying (Exif orientation 6) is seen upright: its top left stays its top left."""
    upright = SHEET.copy()
    upright.paste(0, (0, 0, 200, 100))
    lying = upright.rotate(90, expand=True)
    exif = Image.Exif()
    exif[0x0112] = 6
    data = saved("JPEG", lying, exif=exif)
    (page,) = picture_pages(data)
    assert page.height > page.width
    seen = sheet_picture(data, 1, 300)
    assert seen.size == SHEET.size
    assert seen.getpixel((100, 50)) < 60
    assert seen.getpixel((700, 1100)) > 200


def test_see_through_paper_is_white() -> None:
    """A screenshot with a transparent ground is dark on white."""
    picture = Image.new("RGBA", (400, 500), (0, 0, 0, 0))
    picture.paste((0, 0, 0, 255), (10, 10, 100, 40))
    seen = sheet_picture(saved("PNG", picture), 1, 300)
    assert seen.getpixel((300, 400)) == 255
    assert seen.getpixel((50, 20)) == 0


def test_a_bomb_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """A picture with more pixels than the limit is refused before it is unpacked."""
    monkeypatch.setattr(pictures, "_MOST_PIXELS", 100_000)
    with pytest.raises(RefusedFile, match="too large"):
        picture_pages(as_png(SHEET))


def test_two_hundred_million_pixels_are_the_limit() -> None:
    """A PNG that claims 20,000 by 20,000 pixels is refused by its head alone."""
    head = bytearray(as_png(Image.new("1", (8, 8))))
    at = head.index(b"IHDR")
    head[at + 4 : at + 12] = (20_000).to_bytes(4, "big") * 2
    import zlib

    head[at + 17 : at + 21] = zlib.crc32(bytes(head[at : at + 17])).to_bytes(4, "big")
    with pytest.raises(RefusedFile, match="too large"):
        picture_pages(bytes(head))


@pytest.mark.parametrize("cut", [30, 300])
def test_a_damaged_picture_is_refused(cut: int) -> None:
    """A picture file that breaks off is refused in plain words."""
    data = saved("JPEG", Image.effect_noise((500, 500), 50))[:cut]
    with pytest.raises(RefusedFile, match="damaged"):
        sheet_picture(data, 1, 300)


def test_a_pdf_sheet_is_drawn_at_its_scan_s_resolution() -> None:
    """A scan of 827 pixels over 8.27 inches is drawn at least at 150 dots per inch, a fine one at its own."""
    assert sheet_picture(as_pdf([SHEET], 100), 1, 300).width == pytest.approx(827 * 1.5, abs=2)
    fine = SHEET.resize((1654, 2339))
    assert sheet_picture(as_pdf([fine], 200), 1, 300).width == pytest.approx(1654, abs=2)
