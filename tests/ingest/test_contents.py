"""Kit lines in prose and lists. Wordings: common practice, no source; numbers invented."""

import pytest
from benchleaf.ingest.phrases.contents import Lines, quantity, read_lines, singular
from benchleaf.ingest.phrases.references import tag
from hypothesis import given
from hypothesis import strategies as st


def read(text: str) -> Lines:
    tagged = tag(text)
    return read_lines(tagged, 0, len(tagged.folded))


def told(lines: Lines) -> list[tuple[int | None, str]]:
    return [(line.quantity, line.description) for line in lines.lines]


FRICTION_AND_STEEL = [(10, "friction disc"), (11, "steel disc")]


@pytest.mark.parametrize(
    "text",
    [
        "10 friction discs and 11 steel discs",
        "10 friction discs, 11 steel discs.",
        "ten friction and eleven steel discs",
        "friction disc (Qty: 10), steel disc (Qty: 11)",
        "10 pcs. friction disc, 11 pcs. steel disc",
        "10 x friction disc; 11 x steel disc",
        "friction disc 10, steel disc 11",
        "10 Friction disc 11 Steel disc",
        "Friction disc - 10 off, steel disc - 11 off",
        "friction disc x 10, steel disc x 11",
        "10 friction discs plus 11 steel discs",
        "friction disc: 10; steel disc: 11",
        "10 off friction disc, 11 off steel disc",
        "10 friction discs (RG 7711-001) and 11 steel discs (RG 7711-002)",
    ],
)
def test_forms_of_a_list(text: str) -> None:
    """Counts and names come out alike in every form, in the singular and in lower case."""
    read_as = read(text)
    assert told(read_as) == FRICTION_AND_STEEL and read_as.whole


@pytest.mark.parametrize(
    "text",
    [
        "10 friction discs and 11 steel discs (previously 10 and 9)",
        "10 friction discs and 11 steel discs instead of 10 and 9",
        "10 friction discs and 11 steel discs (was 10 friction discs and 9 steel discs)",
        "10 (was 10) friction discs and 11 (was 9) steel discs",
        "10 friction discs and 11 steel discs instead of the previous 10 and 9",
    ],
)
def test_previous_counts_follow_the_lines(text: str) -> None:
    """What the kit held before comes in the order of the lines."""
    read_as = read(text)
    assert [(p.quantity, p.description) for p in read_as.previous] == [
        (10, "friction disc"),
        (9, "steel disc"),
    ]


def test_as_required_has_no_quantity() -> None:
    """A line "as required" has no quantity."""
    assert told(read("2 seal rings and shims as required")) == [(2, "seal ring"), (None, "shim")]


def test_six_of_each() -> None:
    """ "6 of each" counts for every name behind it."""
    assert told(read("6 each friction and steel discs")) == [(6, "friction disc"), (6, "steel disc")]


def test_part_numbers_stay_with_their_lines() -> None:
    """A number in brackets or behind the name belongs to its line."""
    lines = read("10 friction discs (RG 7711-001), 11 x steel disc RG 7711-002").lines
    assert [line.part for line in lines] == ["RG 7711-001", "RG 7711-002"]


@pytest.mark.parametrize(
    "text", ["all parts needed", "no springs", "which are supplied as a set", "the usual parts and more"]
)
def test_other_words_are_no_lines(text: str) -> None:
    """Words without a count and a name are not read whole."""
    assert not read(text).whole


@pytest.mark.parametrize(
    ("printed", "single"),
    [
        ("Friction discs", "friction disc"),
        ("Thrust washers", "thrust washer"),
        ("Bushes", "bush"),
        ("O-rings", "o-ring"),
        ("Assemblies", "assembly"),
        ("Seal rings for the piston", "seal ring for the piston"),
        ("Boxes", "box"),
        ("Brass", "brass"),
        ("Steel disc", "steel disc"),
        ("Ball races", "ball race"),
    ],
)
def test_singular(printed: str, single: str) -> None:
    """Descriptions are kept in the singular and in lower case."""
    assert singular(printed) == single


@given(st.integers(1, 12), st.integers(1, 12))
def test_words_and_digits_count_alike(friction: int, steel: int) -> None:
    """Number words and digits give the same lines."""
    words = [
        "one",
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "eleven",
        "twelve",
    ]
    digits = read(f"{friction} friction discs and {steel} steel discs")
    assert told(digits) == told(
        read(f"{words[friction - 1]} friction discs and {words[steel - 1]} steel discs")
    )
    assert quantity(words[friction - 1]) == friction
