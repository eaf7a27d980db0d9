"""Where an upright page lies in its picture. Geometry: computed by hand; no outside source."""

import pytest
from benchleaf.ingest.scan.placing import WHOLE, Placing, straightened, turned, upright
from PIL import Image, ImageDraw
from scanpictures import skewed


def marked(wide: int = 200, high: int = 300) -> Image.Image:
    """A white sheet with a dark square near its top left corner."""
    picture = Image.new("L", (wide, high), 255)
    ImageDraw.Draw(picture).rectangle((20, 20, 60, 60), fill=0)
    return picture


def test_four_quarter_turns_are_none() -> None:
    """A page turned four times by 90 degrees lies as it lay."""
    placing = Placing(200, 300)
    for _ in range(4):
        placing = turned(placing, 90)
    assert placing == Placing(200, 300)


@pytest.mark.parametrize("turn", [90, 180, 270])
def test_a_turned_sheet_is_drawn_upright(turn: int) -> None:
    """A sheet that lies turned counterclockwise is drawn upright once turned clockwise as far."""
    lying = marked().rotate(turn, expand=True)
    placing = turned(Placing(float(lying.width), float(lying.height)), turn)
    drawn = upright(lying, placing, 72)
    assert drawn.size == (200, 300)
    assert drawn.getpixel((40, 40)) < 40
    assert drawn.getpixel((160, 260)) > 215


def test_a_slanting_sheet_is_drawn_straight() -> None:
    """A sheet whose lines fall by 5 degrees is drawn with its mark where it belongs."""
    drawn = upright(skewed(marked(), 5), straightened(Placing(200, 300), 5), 72)
    assert drawn.getpixel((25, 25)) < 60
    assert drawn.getpixel((56, 56)) < 60
    assert drawn.getpixel((68, 40)) > 200


def test_a_page_can_be_drawn_at_any_resolution() -> None:
    """Boxes in points fit the picture at dpi / 72 pixels a point."""
    drawn = upright(marked(), Placing(200, 300), 144)
    assert drawn.size == (400, 600)
    assert drawn.getpixel((80, 80)) < 40


def test_a_mere_page_has_the_whole_picture() -> None:
    """Without turn or slant the page's corners are the picture's."""
    assert Placing(10, 10).corners == WHOLE
