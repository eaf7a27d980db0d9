"""How text lies in a picture. Angles are the ones the test turns by."""

import pytest
from benchleaf.ingest.scan.skew import lines_stand, slant
from PIL import Image
from scanpictures import noisy, picture_of, shadowed, skewed, steps_sheet


@pytest.fixture(scope="module")
def sheet() -> Image.Image:
    return picture_of(steps_sheet(columns=2, size=8), 100)


@pytest.mark.parametrize("degrees", [-6.0, -1.5, 0.0, 0.7, 4.0])
def test_the_slant_is_measured(sheet: Image.Image, degrees: float) -> None:
    """The slant of two columns of text is found within 0.3 degrees."""
    assert slant(skewed(sheet, degrees)) == pytest.approx(degrees, abs=0.3)


def test_noise_and_shadow_do_not_hide_the_slant(sheet: Image.Image) -> None:
    """Grain and a shadow over one side leave the measure within 0.4 degrees."""
    assert slant(noisy(shadowed(skewed(sheet, 2.5)))) == pytest.approx(2.5, abs=0.4)


def test_lines_that_stand_upright_are_told(sheet: Image.Image) -> None:
    """A sheet on its side has standing lines, one upright or upside down has not."""
    assert lines_stand(sheet.rotate(90, expand=True))
    assert lines_stand(skewed(sheet.rotate(-90, expand=True), 2))
    assert not lines_stand(sheet)
    assert not lines_stand(sheet.rotate(180))


def test_a_blank_sheet_has_no_slant() -> None:
    """White paper gives no angle."""
    assert slant(Image.new("L", (600, 800), 255)) == 0.0
