"""A kit whose counts are explained but cannot be stacked: the moment that saves the unit."""

import pytest
from benchleaf.cli.main import benchleaf
from click.testing import CliRunner

LETTER = """From: Brackwell Hoists
Number: BH-7
Date: 3 March 1990
Subject: Plate kit
Models: H 40

Kit 4471-208 has been replaced by kit 4471-301.

The new kit 4471-301 contains 8 lined plates and 9 steel plates (previously 8 and 8).
"""
COVER = ("Brackwell Hoists", "Workshop Manual", "Hoist H 40", "Publication No. HM 20")
STEPS = (
    "Lay the lined plates in clean oil for at least 30 minutes.",
    "Start with a steel plate, then a lined plate, and go on in turn. The last plate is a lined plate.",
    "The pack takes 8 lined plates and 8 steel plates in turn, steel plate first and lined plate last.",
    "Fit the retaining ring.",
    "Check that every plate moves freely.",
)


@pytest.fixture
def papers(tmp_path):
    from reportlab.pdfgen.canvas import Canvas

    (tmp_path / "letter.txt").write_text(LETTER)
    canvas = Canvas(str(tmp_path / "manual.pdf"), invariant=1)
    for n, line in enumerate(COVER):
        canvas.drawString(72, 700 - 24 * n, line)
    canvas.showPage()
    for folio, first in (("4-2", 0), ("4-3", 3)):
        canvas.drawString(72, 800, "HM 20  Building the pack")
        for n, step in enumerate(STEPS[first : first + 3], 1):
            canvas.drawString(72, 760 - 30 * n, f"{n}.")
            canvas.drawString(96, 760 - 30 * n, step)
        canvas.drawString(290, 40, folio)
        canvas.showPage()
    canvas.save()
    return tmp_path


def test_counts_that_a_letter_explains_still_wait_if_they_cannot_be_stacked(papers):
    """A steel plate more by letter, and no letter that changes the order: HOLD, exit 1, and why."""
    store = ["--store", str(papers / "store")]
    runner = CliRunner()
    assert runner.invoke(benchleaf, [*store, "add", str(papers)]).exit_code == 0
    kit = ["kit", "4471-301", "--got", "8 lined plate, 9 steel plate", "--model", "H 40"]
    answer = runner.invoke(benchleaf, [*store, *kit])
    assert answer.exit_code == 1
    assert answer.stdout.startswith("HOLD")
    said = " ".join(answer.stdout.split())
    assert "explained, but its plates cannot be stacked as the step asks" in said
    assert "can only stack with a steel plate first and last" in said
