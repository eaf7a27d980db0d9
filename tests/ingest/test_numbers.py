"""Part numbers in running text. Shapes are common practice, no source; all numbers are invented."""

import time

import pytest
from benchleaf.graph.keys import key
from benchleaf.ingest.phrases.numbers import codes, part_numbers, shapes
from benchleaf.ingest.phrases.references import tag
from benchleaf.ingest.phrases.tags import CODE, PART, VALUE, fold
from hypothesis import given
from hypothesis import strategies as st

SHAPES = (
    "318 604 22",
    "0750-111-222",
    "04.115.561 H",
    "7R/1234",
    "F12-34B",
    "A 123 456 78 01",
    "RG 4410-207",
    "K-20719",
    "8E0325429",
    "0734 310 113",
    "KX 4471",
    "55-881-00",
    "1 315 302 123",
    "4471-208.315",
    "TK-44/12-B",
)


@pytest.mark.parametrize("printed", SHAPES)
@pytest.mark.parametrize(
    "text", ["Kit {} is new.", "Fit seal ({}).", "{} replaces it.", "use {}, then", "KIT {} IS NEW AND GOOD"]
)
def test_shape_is_one_number(printed: str, text: str) -> None:
    """Each shape of number is found whole, whatever stands around it, in capitals too."""
    assert [s.text for s in part_numbers(text.format(printed))] == [printed]


@pytest.mark.parametrize(
    "text",
    [
        "tighten to 9 Nm",
        "60 bar",
        "0.25-0.35 mm",
        "12 March 1999",
        "in 1999",
        "10 friction discs",
        "3.4 mm (0.134 in)",
        "1 500 rpm",
        "29 N·m (21 lbf·ft)",
        "page 26",
        "wait 5 minutes",
        "10.06.1990",
        "1999-03-12",
        "3/8 in.",
        "item 12",
    ],
)
def test_quantity_and_date_are_no_number(text: str) -> None:
    """A quantity with its unit, a date, a year, a count and a page are no part number."""
    assert not [t for t in tag(text).tags.values() if t.kind in (CODE, PART)]


def test_words_in_capitals_are_no_prefix() -> None:
    """In a text in capitals the words KIT, PART, USE and AND stay out of the number."""
    text = "KIT 318 604 22 AND PART 318 604 23: USE 318 604 57 NOW"
    assert [s.text for s in part_numbers(text)] == ["318 604 22", "318 604 23", "318 604 57"]


def test_number_broken_at_its_hyphen_is_one() -> None:
    """A number broken at its hyphen by a line end has the key of the whole number."""
    assert [key(s.text) for s in part_numbers("Kit RG 4410-\n207 and 0750- 111-222.".replace("\n", " "))] == [
        "RG4410207",
        "0750111222",
    ]


@given(
    st.sampled_from(SHAPES),
    st.sampled_from(["Kit {} has been replaced.", "the seal ring {}, which", "({})", "see {} for"]),
    st.sampled_from([" ", "\n", "  ", "\u00a0"]),
)
def test_any_blank_will_do(printed: str, text: str, blank: str) -> None:
    """A line end, a double or an unbreakable blank within a number changes nothing but its print."""
    tags = fold(text.format(printed.replace(" ", blank))).tags.values()
    assert [key(t.text) for t in tags if t.kind == CODE] == [key(printed)]


def test_count_behind_a_number_is_told_by_the_shape_of_the_others() -> None:
    """ "318 604 22 11 discs" is a number and a count once another number shows where numbers end."""
    known = shapes("Kit 318 604 22 is superseded.")
    assert [s.text for s in codes("disc 318 604 91 11 discs", known=known)] == ["318 604 91"]


def test_value_keeps_both_units() -> None:
    """A value printed in two units is one value."""
    values = [
        t.text
        for t in fold("change 29 N·m (21 lbf·ft) to 3.4 mm [0.134 in] now").tags.values()
        if t.kind == VALUE
    ]
    assert values == ["29 N·m (21 lbf·ft)", "3.4 mm [0.134 in]"]


@pytest.mark.parametrize(
    "piece",
    [
        "1 ",
        "1.1",
        '" ',
        "9 Nm",
        "A",
        "1-",
        "'a ",
        "“",
        "1 234 567 ",
        "12 jan ",
        " (9 Nm ",
        "0",
        "A1/",
        "12-12-1999-",
    ],
)
def test_hostile_text_is_folded_quickly(piece: str) -> None:
    """20 kB of anything are folded in well under a second."""
    text = (piece * 20000)[:20000]
    started = time.process_time()
    fold(text)
    assert time.process_time() - started < 0.6
