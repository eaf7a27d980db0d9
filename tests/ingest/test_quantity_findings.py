import sys

from benchleaf.graph.model import (
    Applies,
    Box,
    Item,
    Manual,
    ManualPage,
    Note,
    Notice,
    Override,
    Source,
    Target,
)
from benchleaf.ingest.quantityfindings import quantity_findings

WRONG, RIGHT = "Tighten to 80 N·m (75 lbf·ft).", "Tighten to 80 N·m (59 lbf·ft)."


def book(text: str, notice: str = "") -> Manual:
    notices = (Notice("CAUTION", notice),) if notice else ()
    item = Item("3", text, "4-12", 7, None, notices, Box(1, 2, 3, 4), by_ocr=True)
    pages = (ManualPage("4-12", 7, None, (item,)),)
    return Manual("RX 40", None, None, None, None, (), pages, "rx40.pdf")


def told(**fields: str) -> Note:
    override = Override(
        note="B 1", date=None, quote="q", source=Source("b1.pdf", 1, "1"), action="change-value",
        target=Target("RX 40", "4-12", "3"), **fields,
    )  # fmt: skip
    return Note("B 1", None, None, None, "maker", None, Applies(), statements=(override,))


def test_a_step_whose_units_disagree() -> None:
    """A step's two units that cannot be one value are a finding with page, box and words."""
    (found,) = quantity_findings(book(WRONG), (), "x.pdf")
    assert "80 N·m is 59 lbf·ft, but 75 lbf·ft" in found.message
    assert found.source == Source("rx40.pdf", 7, "4-12", Box(1, 2, 3, 4), True)
    assert found.quote == "80 N·m (75 lbf·ft"


def test_notices_and_notes_are_looked_at() -> None:
    """The same holds for caution boxes and for what notes put in place."""
    assert len(quantity_findings(book(RIGHT, WRONG), (), "x.pdf")) == 1
    (found,) = quantity_findings(None, [told(was=RIGHT, now=WRONG)], "x.pdf")
    assert found.source.file == "b1.pdf"


def test_what_agrees_is_no_finding() -> None:
    """Units that agree within rounding are not told."""
    assert quantity_findings(book(RIGHT), [told(now="29 N·m (22 lbf·ft)")], "x.pdf") == ()


def test_without_pairs_the_units_library_rests() -> None:
    """Texts without two units for one value never import pint."""
    import subprocess

    code = (
        "import sys; from benchleaf.graph.quantities.reading import read_quantities as r;"
        "from benchleaf.graph.quantities.pairs import disagreements as d;"
        "d(r('Tighten to 80 N·m, heat to 90 °C.')); sys.exit('pint' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
