"""Tables in notes of plain text, aligned or boxed, from bytes to statements. Makers and numbers are invented;
layouts are common practice, no source."""

import pytest
from benchleaf.graph.model import Contents, Override, Statement, Supersession, Withdrawn
from benchleaf.ingest.document import read_document

HEAD = "PARTS NEWS No. 77-4\n\nDate: 12 March 1987\nSubject: Changes\nModels: K 40\n\n"


def stated(text: str) -> tuple[Statement, ...]:
    return read_document((HEAD + text).encode(), "n.txt").notes[0].statements


def told(one: Statement) -> str:
    if isinstance(one, Supersession):
        return f"{'+'.join(one.old)}>{'+'.join(one.new)} {one.interchange} {one.stock}"
    if isinstance(one, Contents):
        lists = (
            ",".join(f"{x.quantity} {x.description}" for x in part) for part in (one.lines, one.previous)
        )
        return f"{one.kit}: {' < '.join(lists)}"
    return f"{one.part} withdrawn" if isinstance(one, Withdrawn) else type(one).__name__


ROWS = "40-1177     40-1182\n40-1178     40-1183\n"
PAIRS = ["40-1177>40-1182 unstated None", "40-1178>40-1183 unstated None"]


@pytest.mark.parametrize(
    ("text", "wants"),
    [
        (f"Superseded numbers (old number / new number):\n\n{ROWS}", PAIRS),
        (f"Replaced numbers.\n\nPart No.    Replaced by\n{ROWS}", PAIRS),
        (
            "New parts.\n\nPart No.    Replaces\n40-1182     40-1177\n40-1183     40-1178\n",
            PAIRS,
        ),
        (
            "Replaced.\n\nOld No.     New No.     Interch.    Stock\n"
            "40-1177     40-1182     Yes         Use up\n40-1178     40-1183     No          Scrap\n",
            ["40-1177>40-1182 both ways use up", "40-1178>40-1183 none scrap"],
        ),
        (
            "Old part    New part    Old part    New part\n40-1177     40-1182     40-1178     40-1183\n",
            PAIRS,
        ),
        (
            "Changes of numbers (old ........ new):\n\n40-1177 ........ 40-1182\n40-1178 ........ 40-1183\n",
            PAIRS,
        ),
        (
            "Changes.\n\nCancelled No.    Use instead    Reason\n40-1177          40-1182        New lip\n"
            "40-1178          -              No replacement\n",
            ["40-1177>40-1182 unstated None", "40-1178 withdrawn"],
        ),
    ],
)
def test_tables_of_numbers(text: str, wants: list[str]) -> None:
    """Old and new numbers are told by their heads or the words above, in whatever order they stand."""
    found = stated(text)
    assert sorted(map(told, found)) == wants and {s.standing for s in found} == {"settled"}


def test_columns_without_a_head_are_a_doubt() -> None:
    """Without heads, and with no word on which column is the old one, the order is a doubt."""
    found = stated(f"The following part numbers have been superseded:\n\n{ROWS}")
    assert sorted(map(told, found)) == PAIRS
    assert {s.standing for s in found} == {"doubtful"}


@pytest.mark.parametrize(
    "lead", ["The following numbers are not superseded:", "Are these numbers superseded?"]
)
def test_denied_table_settles_nothing(lead: str) -> None:
    """A table stands under its introduction's denial or question."""
    assert [s for s in stated(f"{lead}\n\nOld number  New number\n{ROWS}") if s.standing == "settled"] == []


@pytest.mark.parametrize(
    ("text", "wants"),
    [
        (
            "The contents of kit 60-1141 are:\n\nItem   Description        Part No.     Qty\n"
            "1      Friction plate     40-1177      6\n2      Steel plate        40-1178      7\n",
            ["60-1141: 6 friction plate,7 steel plate < "],
        ),
        (
            "Contents of kit 60-1141\n\nDescription       Formerly    Now\nFriction plate    6           6\n"
            "Steel plate       6           7\n",
            ["60-1141: 6 friction plate,7 steel plate < 6 friction plate,6 steel plate"],
        ),
        (
            "Kit contents.\n\nKit No.    Friction plate    Steel plate\n60-1141    6                 6\n"
            "60-1142    6                 7\n",
            ["60-1141: 6 friction plate,6 steel plate < ", "60-1142: 6 friction plate,7 steel plate < "],
        ),
    ],
)
def test_tables_of_kits(text: str, wants: list[str]) -> None:
    """A list of one kit, counts before and after, and a kit a row; an "Item" of counts names nothing."""
    found = stated(text)
    assert sorted(map(told, found)) == wants and {s.standing for s in found} == {"settled"}


def test_two_kits_side_by_side() -> None:
    """Kits side by side give the newer kit with what the one before it held."""
    found = stated(
        "Kit 60-1142 replaces kit 60-1141.\n\n                  Kit 60-1141    Kit 60-1142\n"
        "Friction plate    6              6\nSteel plate       6              7\n"
        "Gasket            -              1\n"
    )
    wants = "60-1142: 6 friction plate,7 steel plate,1 gasket < 6 friction plate,6 steel plate"
    assert [told(s) for s in found if isinstance(s, Contents)] == [wants]


@pytest.mark.parametrize(
    ("text", "wants"),
    [
        (
            "The shops order by the right-hand column.\n\nCatalogue No.   Name      We ship\n"
            "40-1177         Ring      40-1182\n40-1178         Pin       40-1183\n",
            PAIRS,
        ),
        (
            "The following are not kept any longer.\n\nList no.      Order instead\n"
            "40-1177       40-1182\n40-1178       40-1183\n",
            PAIRS,
        ),
        ("Changes.\n\nOut         In\n40-1177     40-1182\n40-1178     40-1183\n", PAIRS),
        (
            "Changes.\n\nPast No.                 Present No.\n417.0633                 417.0635 + 417.0636\n"
            "417.2204.11 + 417.2205   417.2209.15\n",
            [
                "417.0633>417.0635+417.0636 unstated None",
                "417.2204.11+417.2205>417.2209.15 unstated None",
            ],
        ),
    ],
)
def test_columns_named_by_what_is_done(text: str, wants: list[str]) -> None:
    """The list's own number beside what is shipped or ordered instead, and numbers joined by a sign."""
    found = stated(text)
    assert [told(s) for s in found] == wants
    assert all(s.standing == "settled" for s in found), [s.why for s in found]


def test_several_numbers_for_several_are_a_doubt() -> None:
    """Two old and two new numbers in one row do not say which becomes which."""
    (one,) = stated(
        "Changes.\n\nOld number              New number\n40-1177 and 40-1178     40-1182 and 40-1183\n"
    )
    assert one.standing == "doubtful"


def test_counts_that_were_none() -> None:
    """A thing that the kit did not hold before, under "Was" and "Is now", has no count before."""
    (one,) = stated(
        "Kit 40-2200 is made up anew.\n\nPart             Was      Is now\n"
        "lined disc       7        8\nplain disc       8        9\nwave spring      none     4\n"
    )
    assert told(one) == "40-2200: 8 lined disc,9 plain disc,4 wave spring < 7 lined disc,8 plain disc"


def test_order_by_new_number_puts_a_change_in_force() -> None:
    """Parts that "will be supplied" from elsewhere are changed where the note says to order the new."""
    found = stated(
        "These parts will be supplied from our works. Please order by new part number.\n\n"
        f"Old number  New number\n{ROWS}"
    )
    assert [told(s) for s in found] == PAIRS and all(s.standing == "settled" for s in found)
    later = stated(f"These parts will be renumbered.\n\nOld number  New number\n{ROWS}")
    assert all(s.standing != "settled" for s in later)


@pytest.mark.parametrize(
    "heads",
    [
        "Present value    New value",
        "Printed figure   Correct figure",
        "Old limit        Present limit",
        "Handbook says    Revised value",
        "Former setting   Setting in future",
    ],
)
def test_values_under_heads_of_any_wording(heads: str) -> None:
    """Two columns of values under heads for before and after are a change of value, whatever the wording."""
    text = (
        "The wear limits in handbook HB 35 have changed.\n\n"
        f"Page      Step      {heads}\n"
        "4-3       5         2.75 mm          2.90 mm\n4-3       6         0.15 mm          0.10 mm\n"
    )
    found = [s for s in stated(text) if isinstance(s, Override)]
    assert [(s.action, s.target.item, s.was, s.now) for s in found] == [
        ("change-value", "5", "2.75 mm", "2.90 mm"),
        ("change-value", "6", "0.15 mm", "0.10 mm"),
    ]
