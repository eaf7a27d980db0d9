"""Every wording of applicability that the trade uses, as it stands behind a label at a note's head."""

import datetime as dt

import pytest
from benchleaf.ingest.head.serials import read_applies

BOUNDS = {
    "1001 through 1999 inclusive": ("1001", "1999"),
    "1001 thru 1999": ("1001", "1999"),
    "1001 and on": ("1001", None),
    "1001 & subs.": ("1001", None),
    "1001 and subsequent": ("1001", None),
    "1001 ff": ("1001", None),
    "up to & including 2500": (None, "2500"),
    "up to and incl. 2500": (None, "2500"),
    "2500 and prior": (None, "2500"),
    "→2500": (None, "2500"),
    "2500→": ("2500", None),
    "2500 >>": ("2500", None),
    "1001…1999": ("1001", "1999"),
    "AB 1001 to AB 1999": ("AB 1001", "AB 1999"),
    "1001A through 1999A": ("1001A", "1999A"),
    "78-1001 to 78-1999": ("78-1001", "78-1999"),
    "from start of production through 1999": (None, "1999"),
    "start of production to 1999": (None, "1999"),
    "from 1001 to end of production": ("1001", None),
    "dal n. 1001 in poi": ("1001", None),
    "dal 1001 al 1999": ("1001", "1999"),
    "fino al 1999 compreso": (None, "1999"),
    "bis einschl. 1999": (None, "1999"),
    "bis und mit 1999": (None, "1999"),
    "BIS EINSCHLIESSLICH 1999": (None, "1999"),
    "från och med 1001": ("1001", None),
    "fr.o.m. 1001 t.o.m. 1999": ("1001", "1999"),
    "jusqu'au 1999 inclus": (None, "1999"),
    "du 1001 au 1999": ("1001", "1999"),
    "up to but not including 2500": (None, "2499"),
    "before 2500 (exclusive)": (None, "2499"),
}


@pytest.mark.parametrize("text", BOUNDS)
def test_sure_bounds(text: str) -> None:
    """Each wording gives its bounds without a doubt; a bound said to be left out is the number before it
    (wordings from published notices' common forms and common practice, no single source)."""
    read = read_applies(text, "serials")
    assert read is not None
    assert (read.serial_from, read.serial_to, read.unclear) == (*BOUNDS[text], ())


@pytest.mark.parametrize(
    "text",
    [
        "prior to 2500",
        "before 2500",
        "bis 1999",
        "fino al 1999",
        "före 1999",
        "prima del 1999",
        "1001/1999",
        "1001 to date",
        "1001 to present",
        "from 5001 (DX) and 7001 (DY)",
        "KX-4: 100 to 200, KX-6: 300 to 400",
        "1001 to 1999, not all units involved",
        "AB 1001",
        "starting with 7",
    ],
)
def test_unsure_bounds_are_told(text: str) -> None:
    """What may be read two ways, or differs by model, is never read without a doubt."""
    read = read_applies(text, "serials")
    assert read is not None and read.unclear


def test_ranges_per_sort_of_unit_leave_the_bounds_open() -> None:
    """`from 5001 (DX) and 7001 (DY)`: no one range holds for both, so none is given."""
    read = read_applies("KX-4 from serial number 5001 (DX) and 7001 (DY)", "models")
    assert read is not None and (read.models, read.serial_from, read.serial_to) == (("KX-4",), None, None)
    assert read.unclear


@pytest.mark.parametrize("word", ["except", "excluding", "utom", "außer", "escluso", "but not"])
def test_numbers_left_out(word: str) -> None:
    """An exception is kept with its run."""
    read = read_applies(f"1001 to 1999 {word} 1500 through 1520", "serials")
    assert read is not None and (read.serial_from, read.serial_to) == ("1001", "1999")
    assert read.excepted == ("1500–1520",)


def test_a_family_is_no_model() -> None:
    """`all KX models` names a family: taken for a model it would leave KX-4 out."""
    read = read_applies("all KX models", "models")
    assert read is not None and read.unclear


def test_single_letters_are_models_only_behind_the_noun() -> None:
    """`Models A and C` are two; a bare `B` is none."""
    read = read_applies("Models A and C", "models")
    assert read is not None and read.models == ("A", "C")
    assert read_applies("B", "models") is None


def test_capitals_join_models_too() -> None:
    """A telex writes AND in capitals; its E may be Italian for `and`, which is told."""
    read = read_applies("TYPES HA AND HB", "models")
    assert read is not None and read.models == ("HA", "HB")
    told = read_applies("OV 40 E OV 50", "models")
    assert told is not None and told.models == ("OV 40", "OV 50") and told.unclear


def test_days_of_manufacture() -> None:
    """Month to month covers both months whole; date codes are told, not guessed."""
    read = read_applies("KX-4, built between May 1999 and June 2001", "models")
    assert read is not None and read.unclear == ()
    assert (read.built_from, read.built_to) == (dt.date(1999, 5, 1), dt.date(2001, 6, 30))
    code = read_applies("KX-4, date code 9912/0045", "models")
    assert code is not None and code.built_from is None and code.unclear
