"""Lists of kit contents that go on in the next sentence, name several kits, or stand in two columns.

All texts and numbers are invented; wordings are common practice, no source.
"""

import pytest
from benchleaf.graph.model import Applies, Box, Contents, KitLine, Override
from benchleaf.ingest.phrases.examples import header_of
from benchleaf.ingest.phrases.phrasebook import load
from benchleaf.ingest.phrases.statements import read_statements
from benchleaf.ingest.phrases.tabular import kit_lines
from benchleaf.ingest.shapes import Cell, Header, Paragraph, Table

KIT = "318 604 57"
BOX = Box(50, 100, 500, 120)


def contents(text: str) -> list[Contents]:
    found = read_statements(header_of(text), "note").statements
    return [s for s in found if isinstance(s, Contents)]


def told(lines: tuple[KitLine, ...]) -> list[tuple[int | None, str, str | None]]:
    return [(n.quantity, n.description, n.part) for n in lines]


@pytest.mark.parametrize(
    "rest",
    [
        "The rest of the kit is the same as in 318 604 22: 1 seal 330-10, 2 rings 330-20.",
        "The remaining parts are unchanged: 1 seal 330-10 and 2 rings 330-20.",
        "Otherwise the rest is as before: 1 seal 330-10, 2 rings 330-20.",
    ],
)
def test_the_rest_is_told(rest: str) -> None:
    """The lines of "the rest" belong to the kit and to what it held before."""
    one = contents(f"Kit {KIT} contains 9 plates 310-08 (previously 8 of 310-04). {rest}")[0]
    behind = [(1, "seal", "330-10"), (2, "ring", "330-20")]
    assert one.standing == "settled"
    assert told(one.lines) == [(9, "plate", "310-08"), *behind]
    assert told(one.previous) == [(8, "plate", "310-04"), *behind]


@pytest.mark.parametrize(
    "rest",
    [
        "The rest of the kit is unchanged.",
        "The rest of the kit is the same as in 318 604 22.",
        "All other parts remain as they were.",
    ],
)
def test_the_rest_is_not_told(rest: str) -> None:
    """A rest that is only said to stay is a doubt: the kit holds more than is listed."""
    one = contents(f"Kit {KIT} contains 6 plain plates and 5 lined plates. {rest}")[0]
    assert one.standing == "doubtful" and any("more than is listed" in w for w in one.why)


@pytest.mark.parametrize(
    ("text", "kits"),
    [
        (
            "Kits 318 604 22 and 318 604 57 contain one joint 340-06 instead of one gasket 340-02.",
            ["22", "57"],
        ),
        ("Kits 318 604 22, 318 604 23 and 318 604 57 each contain one joint 340-06.", ["22", "23", "57"]),
        ("From now on kits 318 604 22 and 318 604 57 both hold one joint 340-06.", ["22", "57"]),
    ],
)
def test_several_kits(text: str, kits: list[str]) -> None:
    """Each of the kits that a sentence names gets the line, and what it held before where that is said."""
    found = contents(text)
    assert sorted(c.kit for c in found) == [f"318 604 {k}" for k in kits]
    assert all(told(c.lines) == [(1, "joint", "340-06")] and c.standing == "settled" for c in found)
    if "instead" in text:
        assert all(told(c.previous) == [(1, "gasket", "340-02")] for c in found)


def _table() -> Table:
    rows = (
        ("Description", "Was", "Is now"),
        ("Lined plate 310-00", "4", "4"),
        ("Plain plate", "4 (320-00)", "5 (320-05)"),
        ("Cup", "1", "-"),
    )
    return Table(1, BOX, tuple(tuple(Cell(c, BOX) for c in row) for row in rows), True)


def test_counts_with_numbers_in_columns() -> None:
    """Cells that hold a count and a part number give both, before and now; a name's own number is its part,
    and what the kit held before and holds no more is a line of before."""
    found = kit_lines(load(), _table())
    assert found is not None and found.whole
    assert told(found.lines) == [(4, "lined plate", "310-00"), (5, "plain plate", "320-05")]
    assert told(found.previous) == [
        (4, "lined plate", "310-00"),
        (4, "plain plate", "320-00"),
        (1, "cup", None),
    ]


def test_number_stays_but_contents_change() -> None:
    """That a kit's number does not change denies nothing of its contents below."""
    lead = Paragraph(f"The number of kit {KIT} does not change, but its contents do:", BOX, 1)
    head = Header("XB 12/99", None, None, None, "maker", None, Applies(), (), (lead, _table()))
    found = [s for s in read_statements(head, "note").statements if isinstance(s, Contents)]
    assert [(c.kit, len(c.lines), c.standing) for c in found] == [(KIT, 2, "settled")]
    lead = Paragraph(f"The contents of kit {KIT} do not change:", BOX, 1)
    head = Header("XB 12/99", None, None, None, "maker", None, Applies(), (), (lead, _table()))
    found = [s for s in read_statements(head, "note").statements if isinstance(s, Contents)]
    assert not [c for c in found if c.standing == "settled"]


@pytest.mark.parametrize(
    ("text", "was", "now"),
    [
        ('In step 5 on page 3-1 of TM-88 change "7-1200" to "7-1300".', "7-1200", "7-1300"),
        ('In step 5 on page 3-1 of TM-88 for "330-10" read "330-12".', "330-10", "330-12"),
        (
            'In step 5 on page 3-1 of TM-88, in place of "a seal 330-10" read "a half 330-12 and a 330-14".',
            "a seal 330-10",
            "a half 330-12 and a 330-14",
        ),
        ("In step 5 on page 3-1 of TM-88 change 4-6 to 5-7 mm.", "4-6 mm", "5-7 mm"),
    ],
)
def test_numbers_as_old_and_new_words(text: str, was: str, now: str) -> None:
    """Part numbers in quotation marks are words, and lend one another no unit; values still do."""
    found = [s for s in read_statements(header_of(text), "note").statements if isinstance(s, Override)]
    assert [(o.was, o.now, o.standing) for o in found] == [(was, now, "settled")]
