"""Words from a line's picture and reading: type, baseline, doubt. Letter proportions are from memory."""

import pytest
from benchleaf.ingest.scan.measures import Run, Type, evened_types, type_of, word_box
from benchleaf.ingest.scan.readings import Piece

np = pytest.importorskip("numpy", reason="numpy comes with the extra scan")
pytest.importorskip("cv2", reason="OpenCV comes with the extra scan")

from benchleaf.ingest.scan.sheetwords import _doubting  # noqa: E402  # after the skip


def numbers(shade: int) -> list[float]:
    """The confidences of 0 and 12 with a mark of a shade at the foot of the gap between them."""
    cut = np.random.default_rng(3).normal(245, 6, (40, 120)).clip(0, 255).astype(np.uint8)
    cut[10:30, 10:25] = cut[10:30, 45:80] = 20
    cut[26:30, 33:37] = shade
    own = [Piece("0", 10, 25, 0.99), Piece("12", 45, 80, 0.99)]
    return [p.confidence for p in _doubting(cut, own, Type(28.0, 30.0))]


def test_a_worn_decimal_point_makes_both_numbers_unsure() -> None:
    """0.12 with a point too faint to read is not 0 and 12 for sure, and agreement does not save it."""
    assert max(numbers(185)) < 0.5


def test_a_clean_gap_leaves_numbers_sure() -> None:
    """The paper's grain between two numbers is no mark."""
    assert numbers(245) == [0.99, 0.99]


@pytest.mark.parametrize(("gap", "sure"), [(6, False), (40, True)])
def test_a_decimal_read_as_two_numbers_is_unsure(gap: int, sure: bool) -> None:
    """`0.` close before `12` is one number in doubt; a step's number stands farther from what follows."""
    cut = np.full((40, 140), 245, np.uint8)
    own = [Piece("0.", 10, 30, 0.99), Piece("12", 30 + gap, 65 + gap, 0.99)]
    found = [p.confidence for p in _doubting(cut, own, Type(28.0, 30.0))]
    assert (min(found) > 0.9) is sure


@pytest.mark.parametrize(
    ("text", "top", "bottom"),
    [
        ("Hubs", 23.1, 30.0),
        ("Press (4)", 23.1, 32.1),
        ("mm", 25.3, 30.0),
        ("gap", 25.3, 32.1),
        ("1991", 23.1, 30.0),
    ],
)
def test_the_size_follows_from_the_ink_and_the_letters(text: str, top: float, bottom: float) -> None:
    """Ink of 6.9 points means 10-point type in capitals; small letters and descenders are allowed for."""
    kind = type_of(text, top, bottom)
    assert kind.size == pytest.approx(10, rel=0.03)
    assert kind.baseline == pytest.approx(30, abs=0.1)


def test_near_sizes_and_baselines_are_one() -> None:
    """Two stretches of one line measured a little apart get one size and one baseline; a heading keeps its
    own."""
    runs = [
        Run(60, 90, Type(9.7, 100.4), 2),
        Run(110, 400, Type(10.1, 100.0), 50),
        Run(60, 300, Type(14.0, 60.0), 20),
    ]
    small, long, heading = evened_types(runs)
    assert small.size == long.size
    assert small.baseline == long.baseline
    assert heading.size == pytest.approx(14)


def test_marks_alone_take_the_usual_size() -> None:
    """A dash tells no size."""
    runs = [Run(60, 66, Type(2.0, 100.0, sure=False), 1), Run(110, 400, Type(10.0, 100.0), 50)]
    assert evened_types(runs)[0].size == 10.0


def test_words_of_a_line_are_equally_tall() -> None:
    """A word's box is as tall as its type, whatever its letters."""
    box = word_box(10, 30, Type(10.0, 100.0))
    assert box.bottom - box.top == pytest.approx(11.2)
