"""Limits inside one sentence of the body: the units, and the exact words that name them."""

import time

import pytest
from benchleaf.ingest.head.serials import statement_applies

KNOWN = ("QW 20", "QW 30")
SURE = {
    "On units from serial 1200 the clearance in step 3 is 0.4 mm.": ((), "1200", None, ()),
    "On QW 20 units up to and including No. 4411 fit two shims.": (("QW 20",), None, "4411", ()),
    "On gearboxes →1200 the bolt torque is 40 Nm.": ((), None, "1200", ()),
    "On units from No. 1200 the nut is tightened to 40 Nm.": ((), "1200", None, ()),
    "Gearboxes numbered 1200 to 1350 have the nut tightened to 40 Nm.": ((), "1200", "1350", ()),
    "S/N 1200-1350: tighten to 40 Nm.": ((), "1200", "1350", ()),
    "From serial 1200 through 1350, except 1300, tighten to 40 Nm.": ((), "1200", "1350", ("1300",)),
    "S/Ns 1200, 1201 and 1203: tighten to 40 Nm.": ((), "1200", "1203", ("1202",)),
    "From serial number 1200, 12 shims are fitted.": ((), "1200", None, ()),
}


@pytest.mark.parametrize("sentence", SURE)
def test_sure_limits(sentence: str) -> None:
    """The limit is read without a doubt, and its words stand in the sentence as they are printed."""
    read = statement_applies(sentence, KNOWN)
    assert read is not None and read.unclear == ()
    assert (read.models, read.serial_from, read.serial_to, read.excepted) == SURE[sentence]
    assert all(words in sentence for words in read.as_printed.split("; "))


@pytest.mark.parametrize(
    "sentence",
    [
        "On QW 20 units up to No. 4411 the clearance is 0.4 mm.",
        "Units before serial 1200 keep the old shim.",
        "On QW 30 from serial 500 and QW 20 from serial 900, omit step 6.",
        "On machines up to 1999 inclusive, the nut is tightened to 40 Nm.",
        "On all units except QW 30 tighten to 40 Nm.",
        "Except on QW 30, tighten to 40 Nm in step 6.",
        "On units modified to SB 12 omit step 6.",
        "Omit step 6 on units with lock-up.",
        "Omit step 6 on units without retarder.",
        "Tighten to 40 Nm on units whose serial number begins with A.",
        "On units that have incorporated SB 12 omit step 6.",
    ],
)
def test_unsure_limits_are_told(sentence: str) -> None:
    """A limit that fits no bounds for certain is a doubt."""
    read = statement_applies(sentence, KNOWN)
    assert read is not None and read.unclear


def test_a_model_left_out_is_not_one_named() -> None:
    """`Except on QW 30` does not hold for QW 30."""
    read = statement_applies("Except on QW 30, tighten to 40 Nm.", KNOWN)
    assert read is not None and (read.models, read.excepted) == ((), ("QW 30",))


@pytest.mark.parametrize(
    "sentence",
    [
        "Tighten the nut to 40 Nm.",
        "Replace steps 3 to 5 on page 12.",
        "Fit the ring with its lip to the rear, up to 12 mm deep.",
        "Part No. 5-100 replaces part No. 5-099.",
        "Read item No. 12 from page 14 on.",
        "In bulletin No. 1200 change 40 Nm to 45 Nm.",
        "Run the pumps up to 1500 rpm for ten minutes.",
    ],
)
def test_other_numbers_are_no_limit(sentence: str) -> None:
    """Parts, pages, values and notes are no units."""
    assert statement_applies(sentence, KNOWN) is None


@pytest.mark.parametrize(
    "piece", ["except ", "units from ", "serial ", "1200, ", "QW 20, ", "on units with "]
)
def test_hostile_sentences_are_fast(piece: str) -> None:
    """20 kB of near-limits take well under a second of work."""
    start = time.process_time()
    statement_applies((piece * 20000)[:20000], KNOWN)
    assert time.process_time() - start < 1.0
