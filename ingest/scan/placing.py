"""Where the upright page lies in its picture: quarter turns, slant and a photo's perspective in one mapping.

The four corners of the upright page are kept as shares of the picture's width and height. From them the
upright picture can be drawn again at any resolution, so that boxes in points always fit it.
"""

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL import Image

Point = tuple[float, float]
Corners = tuple[Point, Point, Point, Point]  # top left, top right, bottom right, bottom left

WHOLE: Corners = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))


@dataclass(frozen=True, slots=True)
class Placing:
    """The upright page: its size in points, and its corners as shares of the picture's width and height.

    `turn` is how far the picture was turned clockwise (0, 90, 180, 270), `skew` the degrees by which its
    lines fell to the right after that; both are kept for the record only.
    """

    width: float
    height: float
    corners: Corners = WHOLE
    turn: int = 0
    skew: float = 0.0


def turned(placing: Placing, degrees: int) -> Placing:
    """The placing with the page turned clockwise by quarter turns."""
    steps = degrees // 90 % 4
    a, b, c, d = placing.corners
    ring = (a, b, c, d)
    corners = (ring[-steps % 4], ring[(1 - steps) % 4], ring[(2 - steps) % 4], ring[(3 - steps) % 4])
    wide, high = placing.width, placing.height
    wide, high = (high, wide) if steps % 2 else (wide, high)
    return Placing(wide, high, corners, (placing.turn + degrees) % 360, placing.skew)


def straightened(placing: Placing, skew: float) -> Placing:
    """The placing turned about the page's middle, so that lines that fall by `skew` degrees become level."""
    to_picture = _mapping(placing.corners)
    cos, sin = math.cos(math.radians(skew)), math.sin(math.radians(skew))
    found: list[Point] = []
    for u, v in WHOLE:
        x, y = (u - 0.5) * placing.width, (v - 0.5) * placing.height
        x, y = x * cos - y * sin, x * sin + y * cos
        found.append(_mapped(to_picture, x / placing.width + 0.5, y / placing.height + 0.5))
    corners = (found[0], found[1], found[2], found[3])
    return Placing(placing.width, placing.height, corners, placing.turn, placing.skew + skew)


def upright(picture: "Image.Image", placing: Placing, dpi: float) -> "Image.Image":
    """The upright page drawn from its picture at a resolution; what lies beside the picture is white."""
    from PIL import Image

    wide, high = max(1, round(placing.width * dpi / 72)), max(1, round(placing.height * dpi / 72))
    if placing.corners == WHOLE:
        return picture.resize((wide, high), Image.Resampling.LANCZOS)
    picture = _reduced(picture, placing, wide, high)
    corners = tuple((x * picture.width, y * picture.height) for x, y in placing.corners)
    a, b, c, d, e, f, g, h = _mapping((corners[0], corners[1], corners[2], corners[3]))
    data = (a / wide, b / high, c, d / wide, e / high, f, g / wide, h / high)
    white = 255 if len(picture.getbands()) == 1 else (255,) * len(picture.getbands())
    return picture.transform(
        (wide, high), Image.Transform.PERSPECTIVE, data, Image.Resampling.BICUBIC, fillcolor=white
    )


def _reduced(picture: "Image.Image", placing: Placing, wide: int, high: int) -> "Image.Image":
    """The picture brought near the size wanted, since the mapping takes single pixels and no means."""
    a, b, _, d = placing.corners
    across = math.hypot((b[0] - a[0]) * picture.width, (b[1] - a[1]) * picture.height)
    down = math.hypot((d[0] - a[0]) * picture.width, (d[1] - a[1]) * picture.height)
    factor = int(min(across / wide, down / high))
    return picture.reduce(factor) if factor > 1 else picture


Mapping = tuple[float, float, float, float, float, float, float, float]


def _mapping(corners: Corners) -> Mapping:
    """The projective mapping of the unit square onto four corners (after Heckbert, 1989, from memory)."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = corners
    ax, ay, bx, by = x1 - x2, y1 - y2, x3 - x2, y3 - y2
    sx, sy = x0 - x1 + x2 - x3, y0 - y1 + y2 - y3
    whole = ax * by - bx * ay or 1e-12
    g, h = (sx * by - bx * sy) / whole, (ax * sy - sx * ay) / whole
    return (x1 - x0 + g * x1, x3 - x0 + h * x3, x0, y1 - y0 + g * y1, y3 - y0 + h * y3, y0, g, h)


def _mapped(mapping: Mapping, u: float, v: float) -> Point:
    a, b, c, d, e, f, g, h = mapping
    below = g * u + h * v + 1
    return ((a * u + b * v + c) / below, (d * u + e * v + f) / below)
