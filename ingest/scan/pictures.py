"""Picture files to pages without words, and any sheet of a PDF or picture file as a grey picture."""

import io
import math
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from benchleaf.graph.errors import RefusedFile
from benchleaf.graph.model import Box
from benchleaf.ingest.shapes import Page
from benchleaf.ingest.sheets.pdf import is_pdf, reading_turn

if TYPE_CHECKING:
    from PIL import Image

_MOST_PIXELS = 200_000_000
_LONGEST_SIDE = 60_000  # pixels
_MOST_FRAMES = 2000
_NO_DPI = frozenset((1, 72, 96))  # what cameras and screens write without knowing
_A4, _LETTER = (595.28, 841.89), (612.0, 792.0)  # points; ISO 216 and ANSI/ASME Y14.1, from memory
_LEAST_INCHES, _MOST_INCHES = 3.0, 48.0  # a sheet's long side that a stated resolution may give
_MAGIC = (b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff", b"II*\x00", b"MM\x00*", b"GIF87a", b"GIF89a")
_FORMATS = ("PNG", "JPEG", "TIFF", "BMP", "GIF", "WEBP")
_AGAIN = "Scan or photograph the sheet again."


def is_picture(data: bytes) -> bool:
    """True for PNG, JPEG, TIFF, BMP, GIF and WebP, told by their first bytes."""
    if data.startswith(_MAGIC):
        return True
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return True
    return data[:2] == b"BM" and data[6:10] == b"\0\0\0\0" and len(data) > 26


def picture_pages(data: bytes) -> tuple[Page, ...]:
    """A page for each frame of a picture file: no words, and one image over the whole sheet.

    Sizes are in points, by the file's resolution or, where that says nothing, as A4 or Letter by the sides'
    ratio. Raises RefusedFile for a damaged picture and for one of more than 200 million pixels.
    """
    with _opened(data) as picture:
        found = []
        for index in range(_frames(picture)):
            width, height = _size(_frame(picture, index))
            whole = Box(0.0, 0.0, width, height)
            found.append(Page(index + 1, width, height, (), images=(whole,)))
        return tuple(found)


def sheet_picture(data: bytes, sheet: int, most_dpi: float) -> "Image.Image":
    """One sheet (1-based) as displayed, in grey, at its own resolution up to a limit in dots per inch.

    Raises RefusedFile if it cannot be drawn.
    """
    return _pdf_sheet(data, sheet, most_dpi) if is_pdf(data) else _file_frame(data, sheet, most_dpi)


def sheet_size(data: bytes, sheet: int) -> tuple[float, float]:
    """The displayed size of a sheet (1-based) in points. Raises RefusedFile if it cannot be opened."""
    if not is_pdf(data):
        with _opened(data) as picture:
            return _size(_frame(picture, sheet - 1))
    import pypdfium2  # type: ignore[import-untyped]  # ships no types

    try:
        document = pypdfium2.PdfDocument(data)
        try:
            width, height = document[sheet - 1].get_size()
            return float(width), float(height)
        finally:
            document.close()
    except pypdfium2.PdfiumError as error:
        raise RefusedFile(f"sheet {sheet} of the PDF is damaged", _AGAIN) from error


def pdf_turn(data: bytes, sheet: int) -> int:
    """Degrees clockwise by which reading turns a PDF's sheet beyond its displayed orientation."""
    return reading_turn(data, sheet) if is_pdf(data) else 0


@contextmanager
def _opened(data: bytes) -> Iterator["Image.Image"]:
    import warnings

    from PIL import Image

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # Pillow warns of large pictures; `_checked` refuses them
            picture = Image.open(io.BytesIO(data), formats=_FORMATS)
            with picture:
                yield _checked(picture)
    except (RefusedFile, MemoryError):
        raise
    except Image.DecompressionBombError as error:
        raise _too_large() from error
    except Exception as error:  # Pillow's decoders raise many kinds for damaged files
        raise RefusedFile("the picture is damaged and cannot be opened", _AGAIN) from error


def _too_large() -> RefusedFile:
    return RefusedFile("the picture is too large: over 200 million pixels", "Scan it at 300 dots per inch.")


def _checked(picture: "Image.Image") -> "Image.Image":
    if picture.width * picture.height > _MOST_PIXELS or max(picture.size) > _LONGEST_SIDE:
        raise _too_large()
    return picture


def _frames(picture: "Image.Image") -> int:
    """How many frames are sheets: all of a TIFF, one of an animation."""
    count = int(getattr(picture, "n_frames", 1)) if picture.format == "TIFF" else 1
    if count > _MOST_FRAMES:
        raise RefusedFile(f"the picture has {count} frames", "Split it into files of fewer sheets.")
    return count


def _frame(picture: "Image.Image", index: int) -> "Image.Image":
    picture.seek(index)
    return _checked(picture)


def _size(picture: "Image.Image") -> tuple[float, float]:
    """The displayed sheet's size in points."""
    wide, high = picture.size
    dpi = _dpi(picture)
    if _lies(picture):
        wide, high = high, wide
    if dpi is not None:
        return wide * 72 / dpi, high * 72 / dpi
    return guessed_size(wide, high)


def _lies(picture: "Image.Image") -> bool:
    return picture.getexif().get(0x0112, 1) in (5, 6, 7, 8)  # Exif's orientations that swap the sides


def _dpi(picture: "Image.Image") -> float | None:
    """The resolution stated in the file, where it can be meant."""
    across, down = picture.info.get("dpi", (0, 0))
    try:
        across, down = float(across), float(down)
    except (TypeError, ValueError, ZeroDivisionError):
        return None
    if not (math.isfinite(across) and across > 0 and abs(across - down) < 0.02 * across):
        return None
    if round(across) in _NO_DPI or not _LEAST_INCHES <= max(picture.size) / across <= _MOST_INCHES:
        return None
    return across


def guessed_size(wide: float, high: float) -> tuple[float, float]:
    """A sheet's size in points by its sides' ratio: A4 or Letter, upright or lying, the long side kept."""
    ratio = max(wide, high) / max(1.0, min(wide, high))
    short, long = min((_A4, _LETTER), key=lambda s: abs(s[1] / s[0] - ratio))
    if abs(long / short - ratio) > 0.12:
        short = long / ratio
    return (long, short) if wide > high else (short, long)


def _file_frame(data: bytes, sheet: int, most_dpi: float) -> "Image.Image":
    from PIL import ImageOps

    with _opened(data) as picture:
        frame = _frame(picture, sheet - 1)
        width, _ = _size(frame)
        grey = ImageOps.exif_transpose(_grey(frame))
        assert grey is not None  # None comes back only from a call that changes its picture in place
        factor = int(grey.width / (width / 72) / most_dpi)
        return grey.reduce(factor) if factor > 1 else grey


def _grey(picture: "Image.Image") -> "Image.Image":
    """The picture in grey on white paper, its orientation mark kept."""
    from PIL import Image

    exif = picture.getexif()
    if picture.mode.startswith("I"):  # 16-bit scans
        grey = picture.convert("I").point(lambda v: v * (1 / 256)).convert("L")
    elif picture.mode in ("RGBA", "LA", "PA") or "transparency" in picture.info:
        drawn = picture.convert("RGBA")
        paper = Image.new("RGBA", drawn.size, "white")
        grey = Image.alpha_composite(paper, drawn).convert("L")
    else:
        grey = picture.convert("L")
    grey.info["exif"] = exif.tobytes()
    grey.getexif().update(exif)
    return grey


def _pdf_sheet(data: bytes, sheet: int, most_dpi: float) -> "Image.Image":
    import pypdfium2

    try:
        document = pypdfium2.PdfDocument(data)
        try:
            page = document[sheet - 1]
            width, height = page.get_size()
            most = math.sqrt(_MOST_PIXELS / 4 / max(1.0, width * height)) * 72
            dpi = min(most, most_dpi, max(150.0, _native_dpi(page)))
            picture: Image.Image = page.render(scale=dpi / 72, grayscale=True).to_pil().convert("L")
            page.close()
            return picture
        finally:
            document.close()
    except pypdfium2.PdfiumError as error:
        raise RefusedFile(f"sheet {sheet} of the PDF is damaged", _AGAIN) from error


def _native_dpi(page: Any) -> float:
    """The finest resolution of the bitmaps on a PDF's page; 200 where there is none."""
    import pypdfium2.raw as raw  # type: ignore[import-untyped]  # ships no types

    found = [0.0]
    for item in page.get_objects(filter=[raw.FPDF_PAGEOBJ_IMAGE], max_depth=3):
        x0, y0, x1, y1 = item.get_bounds()
        pixels = sorted(item.get_px_size())
        inches = sorted((max(x1 - x0, 1.0) / 72, max(y1 - y0, 1.0) / 72))
        if (x1 - x0) * (y1 - y0) > 0.05 * page.get_width() * page.get_height():
            found.append(pixels[1] / inches[1])
    return max(found) or 200.0
