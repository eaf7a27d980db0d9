"""Lines at a note's head that limit its units in words that are not read. Common practice, no source."""

import pytest
from benchleaf.graph.model import Note
from benchleaf.ingest.document import read_document
from benchleaf.ingest.head.knownmodels import Known

PAPER = """SERVICE LETTER SL 44/88                     14 March 1988
{line}

Subject: thrust washer

Step 7 on page 34 of PB 22 is deleted.
"""
KNOWN = Known(("GX-4", "GX-6", "GX-9"), ("PB 22",))


def note_with(line: str) -> Note:
    (note,) = read_document(PAPER.format(line=line).encode(), "note.txt", known=KNOWN).notes
    return note


@pytest.mark.parametrize(
    "line",
    [
        "Machines affected: GX-4 nos. 4000/4999",
        "Concerns GX-4 before 4000",
        "Ending with machine 3999",
        "GX-4 (7GH4000-UP)",
        "GX-4 of 1987 production",
        "Applies to GX-4 in tractors type T-90",
        "To all GX-4 delivered to Norway",
        "Nos. 4000 - on",
        ">= 4000",
        "4000 ff.",
    ],
)
def test_a_limit_that_was_not_read_is_a_doubt_about_the_units(line: str) -> None:
    """The note holds for no unit for certain where its head limits it in a way that was not read."""
    note = note_with(line)
    read = note.applies.serial_from or note.applies.serial_to or note.applies.built_from
    assert read or any("was not wholly understood" in why for why in note.applies.unclear), note.applies


@pytest.mark.parametrize(
    ("line", "models"),
    [
        ("Models: GX-4, GX-6", ("GX-4", "GX-6")),
        ("Model: GX-4/6/9", ("GX-4", "GX-6", "GX-9")),
        ("To all owners of GX-4 gearboxes", ("GX-4",)),
        ("Concerning GX-4 and GX-6 clutches", ("GX-4", "GX-6")),
    ],
)
def test_a_line_that_only_names_units_is_no_doubt(line: str, models: tuple[str, ...]) -> None:
    """Models, their nouns and words of address limit nothing further; a stroke goes on a list of models."""
    applies = note_with(line).applies
    assert applies.models[: len(models)] == models and not applies.unclear, applies


@pytest.mark.parametrize("line", ["Serial numbers: 4000-4999", "GX-4 serial no. 4000 onward"])
def test_a_range_that_was_read_is_no_doubt(line: str) -> None:
    """Figures that are bounds of the range are accounted for."""
    applies = note_with(line).applies
    assert applies.serial_from == "4000" and not applies.unclear, applies
