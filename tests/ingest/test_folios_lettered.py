"""Page numbers of letter and figure with a blank, a stroke or a stop between. All papers are invented."""

import pytest
from benchleaf.ingest.sheets.folios import read_folio
from test_folios import Place, foot_centre, foot_outer, head_outer, manual


@pytest.mark.parametrize("place", [foot_centre, foot_outer, head_outer])
@pytest.mark.parametrize(
    "folios",
    [
        [None, "E 4", "E 5", "E 6", "F 1"],
        ["E-4", "E-5", "E-6", "F-1"],
        ["E.4", "E.5", "E.6", "F.1"],
        [None, "6 - 1", "6 - 2", "6 - 3", "7 - 1"],
        ["6 – 9", "6 – 10", "6 – 11"],
        ["III/1", "III/2", "III/3", "IV/1"],
        ["III - 8", "III - 9", "III - 10"],
        ["II 1", "II 2", "II 3", "III 1"],
        ["5/1", "5/2", "5/3", "5/4", "6/1"],
        ["E 4", "E 4A", "E 5", "E 6"],
    ],
)
def test_a_letter_and_a_figure_are_one_page_number(folios: list[str | None], place: Place) -> None:
    """A page's letter belongs to its number, whatever stands between the two."""
    assert [p.folio for p in manual(folios, place)] == folios


@pytest.mark.parametrize(
    ("printed", "folios"),
    [
        (["1/4", "2/4", "3/4", "4/4"], ["1", "2", "3", "4"]),
        (["S. 7", "S. 8", "S. 9"], ["7", "8", "9"]),
        (["Bl. 7", "Bl. 8", "Bl. 9"], ["7", "8", "9"]),
        (["Page E 7", "Page E 8", "Page E 9"], ["E 7", "E 8", "E 9"]),
    ],
)
def test_words_and_counts_are_no_part_of_a_page_number(printed: list[str], folios: list[str]) -> None:
    """`2/4` on a sheet of four is its second sheet; a word for a page before the number is no chapter."""
    assert [p.folio for p in manual(printed, foot_centre)] == folios


@pytest.mark.parametrize("text", ["E 4 mm", "Form E 4", "MIX 4", "E4 E5", "6 - 1 - 2 - 3", "3 screws"])
def test_other_words_are_no_page_numbers(text: str) -> None:
    """Sizes, forms and runs of numbers are no page numbers."""
    assert read_folio(text) is None
