"""Model names in lists. The forms are common practice in the trade, no source; all names are invented."""

import time

import pytest
from benchleaf.ingest.head.models import read_models
from hypothesis import given, settings
from hypothesis import strategies as st

LISTS = {
    "KX-4, KX-4B, KX-6": ("KX-4", "KX-4B", "KX-6"),
    "R90 and R120": ("R90", "R120"),
    "R90 & R120": ("R90", "R120"),
    "types 6HP, 8HP-70": ("6HP", "8HP-70"),
    "4-speed box S5": ("S5",),
    "KX 4, KX 4 B and KX 6": ("KX 4", "KX 4 B", "KX 6"),
    "gearboxes of type KR 12 and KR 14": ("KR 12", "KR 14"),
    "Models 210, 220": ("210", "220"),
    "KX-4/KX-6": ("KX-4", "KX-6"),
    "F44, F45/2 & F46": ("F44", "F45/2", "F46"),
    "KX-4 and -6": ("KX-4", "KX-6"),
    "KX-4 (all versions), KX-6": ("KX-4", "KX-6"),
    "Gearboxes of the KX family (KX-4, KX-6)": ("KX-4", "KX-6"),
    "Orion, Vega": ("Orion", "Vega"),
    "Atlas 30": ("Atlas 30",),
    "3-stage reducer R3": ("R3",),
    "T-180.2; T-240.2": ("T-180.2", "T-240.2"),
    "6 S 850": ("6 S 850",),
    "Type 40, Type 42 / Type 60": ("Type 40", "Type 42", "Type 60"),
    "Type 40": ("Type 40",),
    "Type 40, 42 and 60": ("40", "42", "60"),
    "Type 6H": ("6H",),
    "Type: MW-35": ("MW-35",),
    "Anchor winch 4WD-18, 4WD-22": ("4WD-18", "4WD-22"),
    "PTO clutch Type 40, Type 42": ("Type 40", "Type 42"),
    "RT 52 · RT 52 L · RT 64": ("RT 52", "RT 52 L", "RT 64"),
    "RT 52 / RT 52 L / RT 64": ("RT 52", "RT 52 L", "RT 64"),
    "all units": (),
    "": (),
}


@pytest.mark.parametrize("text", LISTS)
def test_a_list_gives_its_names_as_printed(text: str) -> None:
    """Names come in order and as printed; nouns around them are left off; nothing is in doubt."""
    reading = read_models(text)
    assert (reading.models, reading.unclear) == (LISTS[text], ())


def test_names_left_out_are_told_apart() -> None:
    """`all models except KX-4B` names no model and leaves one out."""
    reading = read_models("all models except KX-4B")
    assert (reading.models, reading.excepted) == ((), ("KX-4B",))


def test_a_named_type_can_be_left_out() -> None:
    """The word stays with the number on either side of `except`, with an ordinary blank."""
    reading = read_models("Type 40 and Type 42, but not Type 60")
    assert (reading.models, reading.excepted) == (("Type 40", "Type 42"), ("Type 60",))


@pytest.mark.parametrize("text", ["KX-4 through KX-8", "R90/120", "KX-4*", "KX-4 with oil cooler"])
def test_what_may_mean_more_is_a_doubt(text: str) -> None:
    """A run of models, a shared stem, a wild card and a further limit are doubts."""
    assert read_models(text).unclear


names = st.from_regex(r"[A-Z]{1,3}-?[1-9][0-9]{0,2}[A-D]?", fullmatch=True)


@settings(deadline=None)
@given(
    st.lists(names, min_size=1, max_size=6, unique=True), st.sampled_from([", ", "; ", " & ", " and ", " / "])
)
def test_any_list_reads_back(listed: list[str], separator: str) -> None:
    """Any list of letter-and-figure names, parted in any usual way, gives those names."""
    assert read_models(separator.join(listed)).models == tuple(listed)


@pytest.mark.parametrize("piece", ["1 ", "KX-4 ", "(", "A-", "and "])
def test_hostile_text_is_fast(piece: str) -> None:
    """20 kB of near-names take well under a second."""
    start = time.process_time()
    read_models((piece * 20000)[:20000])
    assert time.process_time() - start < 0.5
