"""Blanks between words, from the recogniser and from the ink. Widths are in ems of 20 pixels."""

from benchleaf.ingest.scan.blanks import pieces, word_confidence
from benchleaf.ingest.scan.readings import Reading

EM = 20
LETTER, SLIT, BLANK = 9, 1, 6


def line(printed: str, read: str, narrow: str = "") -> tuple[Reading, list[bool]]:
    """A line's ink as printed (`_` is a slit wider than usual) and its reading with other blanks."""
    ink: list[bool] = [False] * 4
    places: list[float] = []
    for char in printed:
        if char == " ":
            ink += [False] * BLANK
        elif char == "_":
            ink += [False] * 4
        else:
            places.append(len(ink) + LETTER / 2)
            ink += [True] * LETTER + [False] * SLIT
    ink += [False] * 4
    waiting, last, spread = iter(places), 0.0, []
    for char in read:
        last = last if char == " " else next(waiting)
        spread.append(last / len(ink))
    return Reading(read, tuple(spread), (0.99,) * len(read)), ink


def texts(printed: str, read: str) -> list[str]:
    reading, ink = line(printed, read)
    return [p.text for p in pieces(reading, ink, EM)]


def test_the_reading_s_own_blanks_part_words() -> None:
    """Words come out as read, with the ends that the ink shows."""
    reading, ink = line("Fit the cone", "Fit the cone")
    found = pieces(reading, ink, EM)
    assert [p.text for p in found] == ["Fit", "the", "cone"]
    assert found[0].x0 == 4
    assert found[0].x1 == 4 + 3 * LETTER + 2 * SLIT
    assert not any(p.split for p in found)


def test_a_blank_that_the_ink_shows_is_put_in() -> None:
    """A dropped blank between words comes back."""
    assert texts("Kit AH3650 has been fitted", "KitAH3650has been fitted") == [
        "Kit",
        "AH3650",
        "has",
        "been",
        "fitted",
    ]


def test_a_number_that_the_ink_alone_parts_off_is_marked() -> None:
    """Words on both sides of a blank that only the ink shows are marked as in doubt."""
    reading, ink = line("Kit AH3650 has been fitted", "KitAH3650 has been fitted")
    assert [p.split for p in pieces(reading, ink, EM)] == [True, True, False, False, False]


def test_two_ones_side_by_side_stay_one_number() -> None:
    """The room around a figure 1 is no blank: 11 is not 1 1."""
    assert texts("(1_1) Fit the new cone", "(11) Fit the new cone") == ["(11)", "Fit", "the", "new", "cone"]


def test_a_hyphen_keeps_its_number_together() -> None:
    """A blank that is read inside a number and not seen in the ink is dropped, and the number marked."""
    reading, ink = line("cone 4471-22B to the hub", "cone 4471 -22B to the hub")
    found = pieces(reading, ink, EM)
    assert [p.text for p in found] == ["cone", "4471-22B", "to", "the", "hub"]
    assert [p.split for p in found] == [False, True, False, False, False]


def test_a_point_stays_with_its_word() -> None:
    """A full stop set a little apart is no word."""
    assert texts("by 0 118 341_.", "by 0 118 341.") == ["by", "0", "118", "341."]


def test_numerals_in_the_margin_stand_alone() -> None:
    """A step's number far from its text is a word, whether the reading shows the blank or not."""
    assert texts("1.      Fit the cone", "1.Fit the cone") == ["1.", "Fit", "the", "cone"]


def test_a_line_without_ink_keeps_its_words() -> None:
    """Where the ink cannot be seen the reading's places serve."""
    reading, ink = line("Fit the cone", "Fit the cone")
    assert [p.text for p in pieces(reading, [False] * len(ink), EM)] == ["Fit", "the", "cone"]


def test_a_number_is_as_sure_as_its_least_sure_sign() -> None:
    """A word with a figure takes its least confidence, any other the mean."""
    assert word_confidence("44A", [0.99, 0.5, 0.99]) == 0.5
    assert word_confidence("hub", [1.0, 0.7, 1.0]) == 0.9
