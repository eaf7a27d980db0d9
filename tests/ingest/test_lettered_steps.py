"""Steps numbered by chapter letter and figure, and what typists do to lines. All papers are invented."""

import pytest
from benchleaf.graph.model import Override, Supersession
from benchleaf.ingest.document import read_document
from benchleaf.ingest.phrases.examples import header_of
from benchleaf.ingest.phrases.statements import read_statements

MANUAL = """Manual KV-3
Press brakes
\f
A. REMOVAL

A-1  Shut off the air and lock the cock.

A-2  Take off the guard and keep the screws.

A-3  Draw the key with a puller.

                 - 3 -
\f
B. DISMANTLING

B-1  Mark the hub and the ring before any part is
     taken off.

B-2  Slack off the spring caps half a turn at a time.

B-3  Lift out the springs and lay them in order.

                 - 4 -
"""


def test_steps_of_letter_and_figure_are_items_of_their_page() -> None:
    """`B-2` under the heading `B.` is the step, its label as printed."""
    manual = read_document(MANUAL.encode(), "manual.txt").manual
    assert manual is not None
    assert [(p.page, [i.label for i in p.items]) for p in manual.pages if p.items] == [
        ("3", ["A-1", "A-2", "A-3"]),
        ("4", ["B-1", "B-2", "B-3"]),
    ]


@pytest.mark.parametrize(
    "words",
    [
        "Step B-2 on page 4 of KV-3 is deleted.",
        "Instruction B-2 on page 4 of KV-3 is deleted.",
        "Instruction B-2, page 4 of Manual KV-3, is deleted.",
        "B-2 on page 4 of KV-3 is deleted.",
    ],
)
def test_a_step_of_letter_and_figure_is_cited_as_printed(words: str) -> None:
    """Neither a bulletin nor a manual is taken for it."""
    (one,) = read_statements(header_of(words), "note").statements
    assert isinstance(one, Override)
    assert (one.target.page, one.target.item) == ("4", "B-2")


def test_a_value_keeps_its_leading_point() -> None:
    """`.045 inch` is not 045 inch."""
    said = "The gap in step B-2 on page 4 of KV-3 goes up from .045 inch to .060 inch."
    (one,) = read_statements(header_of(said), "note").statements
    assert isinstance(one, Override) and (one.was, one.now) == (".045 inch", ".060 inch")


def test_a_line_that_a_typist_broke_early_goes_on() -> None:
    """A sentence broken early before a small letter or a decimal point is one paragraph still."""
    letter = (
        "SERVICE LETTER SL-201              January 9, 1961\n\nUNITS: KB-18\n\nGentlemen:\n\n"
        "The new spring is a little stiffer and the plates want more room to come\n"
        "free. For that reason the gap in step B-2 on page 4 of KV-3 goes up from .045 inch to\n"
        ".060 inch. Please mark your copy in ink, and write to us about every spring that\n"
        "was found broken.\n"
    )
    (note,) = read_document(letter.encode(), "letter.txt").notes
    assert [(s.was, s.now) for s in note.statements if isinstance(s, Override)] == [
        (".045 inch", ".060 inch")
    ]


ROWS = (
    "<tr><td{span}>441-20-07</td><td{span}>Stop</td><td>441-20-61</td><td>Screw</td></tr>"
    "<tr>{gap}<td>441-20-62</td><td>Cap</td></tr>"
)


@pytest.mark.parametrize(
    "rows",
    [
        ROWS.format(span=' rowspan="2"', gap=""),
        ROWS.format(span="", gap="<td></td><td></td>"),
    ],
)
def test_a_second_new_number_below_is_taken_with_the_first(rows: str) -> None:
    """One old number beside two rows of new ones became both: a doubt, never the first of them alone."""
    page = (
        "<h1>Change notice</h1><p>CN 05-001, 17 February 2005</p><table><tr><th>Old P/N</th>"
        f"<th>Description</th><th>New P/N</th><th>Description</th></tr>{rows}</table>"
    )
    (note,) = read_document(page.encode(), "n.html").notes
    (one,) = [s for s in note.statements if isinstance(s, Supersession)]
    assert (one.old, one.new, one.standing) == (("441-20-07",), ("441-20-61", "441-20-62"), "doubtful")
    assert one.relation == "all of"
