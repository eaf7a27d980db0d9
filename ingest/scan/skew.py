"""How a picture's lines of text lie: level or upright, and by how many degrees they slant.

Text in level lines makes the darkness by rows rise and fall sharply; the sharper, the more level. It needs
Pillow alone.
"""

from array import array
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL import Image

_LONG = 1200  # pixels of the long side that the slant is measured on
_MOST, _COARSE, _FINE = 8.0, 1.0, 0.1  # degrees
_PARTS = 2
_MARGIN = 0.04  # share of the picture's sides left out: shadows and torn edges lie there


def lines_stand(picture: "Image.Image") -> bool:
    """True if the text runs upright in the picture, so that a quarter turn is needed."""
    dark = darkness(picture)
    level, upright = _best(dark), _best(_lying(dark))
    return upright[1] > 1.15 * level[1]


def slant(picture: "Image.Image") -> float:
    """Degrees by which lines of text fall to the right, within 8 degrees; 0 where no lines are seen."""
    dark = darkness(picture)
    angle, sharp = _best(dark)
    return angle if sharp > 1.005 * _sharpness(dark, 0.0) else 0.0


def darkness(picture: "Image.Image") -> "Image.Image":
    """A small picture of how much darker than the paper around it each place is."""
    from PIL import Image, ImageChops, ImageFilter, ImageStat

    wide, high = picture.size
    scale = min(1.0, _LONG / max(wide, high))
    small = picture.convert("L").resize(
        (max(8, round(wide * scale)), max(8, round(high * scale))), Image.Resampling.BOX
    )
    paper = small.filter(ImageFilter.MaxFilter(5)).filter(ImageFilter.GaussianBlur(12))
    dark = ImageChops.subtract(paper, small).filter(ImageFilter.GaussianBlur(0.8))
    floor = ImageStat.Stat(dark).mean[0]  # grain lifts it everywhere; text is far above it
    dark = dark.point(lambda v: max(0, round(v - floor)))
    across, down = round(dark.width * _MARGIN), round(dark.height * _MARGIN)
    return dark.crop((across, down, dark.width - across, dark.height - down))


def _lying(dark: "Image.Image") -> "Image.Image":
    from PIL import Image

    return dark.transpose(Image.Transpose.ROTATE_90)


def _best(dark: "Image.Image") -> tuple[float, float]:
    """The angle at which rows are sharpest, and how sharp they are."""
    steps = int(_MOST / _COARSE)
    tried = {a * _COARSE: _sharpness(dark, a * _COARSE) for a in range(-steps, steps + 1)}
    for reach, step in ((0.5, 0.25), (0.2, _FINE)):
        middle = max(tried, key=lambda a: tried[a])
        count = round(reach / step)
        for k in range(-count, count + 1):
            angle = round(middle + k * step, 3)
            if abs(angle) <= _MOST and angle not in tried:
                tried[angle] = _sharpness(dark, angle)
    angle = max(tried, key=lambda a: tried[a])
    return angle, tried[angle]


def _sharpness(dark: "Image.Image", angle: float) -> float:
    """How sharply darkness changes from row to row once the picture is turned back by an angle."""
    from PIL import Image

    # Turning smooths a little: an angle of nothing must not look sharper for being spared that.
    turned = dark.rotate(angle or 0.02, Image.Resampling.BILINEAR, fillcolor=0)
    # The halves of the width are judged alone, so that columns whose lines do not align still count.
    sums = turned.convert("F").resize((_PARTS, turned.height), Image.Resampling.BOX)
    by_row = array("f", sums.tobytes())
    return sum((b - a) ** 2 for part in range(_PARTS) for a, b in pairwise(by_row[part::_PARTS]))
