"""Applicability: the wordings are the trade's (public directives, recall reports, and from memory); all names
and numbers are invented."""

import datetime as dt
import time

import pytest
from benchleaf.graph.model import Applies
from benchleaf.ingest.head.serials import EDGE_UNSAID, merged, read_applies, statement_applies
from hypothesis import given, settings
from hypothesis import strategies as st


def read(text: str, field: str = "applies") -> Applies:
    applies = read_applies(text, field)  # type: ignore[arg-type]  # a literal at every call
    assert applies is not None, text
    return applies


BOUNDS = {
    "KX-4, from serial number 27384": ("27384", None),
    "KX-4 Serial numbers: 20109 to 21931": ("20109", "21931"),
    "KX-4, serial numbers 1200 through 1300 inclusive": ("1200", "1300"),
    "KX-4 S/N 1200 thru 1300": ("1200", "1300"),
    "KX-4 (S/N 12000 – 13000)": ("12000", "13000"),
    "KX-4 S/Ns 12000-13000": ("12000", "13000"),
    "KX-4 from S/N 20,109 up to and including 21,931": ("20109", "21931"),
    "KX-4 with serial no. 10 500 onwards": ("10500", None),
    "KX-4 serial numbers 10.500 to 11.500": ("10500", "11500"),
    "KX-4, serial number 18228 and on": ("18228", None),
    "KX-4, serial number 18228 and up": ("18228", None),
    "KX-4, S/N 18228 and subsequent": ("18228", None),
    "KX-4, starting with serial number 18228": ("18228", None),
    "KX-4 18228→": ("18228", None),
    "→18228": (None, "18228"),
    "KX-4 up to and including serial number 18228": (None, "18228"),
    "KX-4 through serial number 18228": (None, "18228"),
    "KX-4 serial number 18228 and below": (None, "18228"),
    "KX-4, from 18228": ("18228", None),
    "KX-4, 18228 to 19000": ("18228", "19000"),
    "KX-4 serial numbers A1000 to A2000": ("A1000", "A2000"),
    "KX-4 serial numbers 00120 to 00340": ("00120", "00340"),
    "KX-4 serial number 4-1000 and above": ("4-1000", None),
    "KX-4 from serial number 100, up to serial number 200": ("100", "200"),
    "between serial numbers 100 and 200": ("100", "200"),
    "KX-4 ab Seriennummer 12345": ("12345", None),
    "KX-4: from no. 1201 to no. 1305": ("1201", "1305"),
    "KX-4, all serial numbers": (None, None),
}


@pytest.mark.parametrize("text", BOUNDS)
def test_a_plain_range_is_read_without_doubt(text: str) -> None:
    """Each usual wording of a range gives its bounds, inclusive, open where it is open."""
    applies = read(text)
    assert (applies.serial_from, applies.serial_to, applies.unclear) == (*BOUNDS[text], ())
    assert applies.models == (("KX-4",) if "KX-4" in text else ())
    assert applies.as_printed == text


@pytest.mark.parametrize("word", ["prior to", "before", "up to", "below", "after"])
def test_an_unsaid_edge_keeps_the_bound_and_tells(word: str) -> None:
    """Whether `prior to 1500` includes 1500 is often unsaid: the bound stands, and the doubt says so."""
    applies = read(f"KX-4 {word} serial number 1500")
    assert "1500" in (applies.serial_from, applies.serial_to)
    assert applies.unclear[0].startswith(EDGE_UNSAID)


def test_what_is_left_out_of_a_range() -> None:
    """`{a} through {b}, except {c}` and runs among the exceptions."""
    applies = read("KX-4 with serial numbers 100 to 200, except 150 and 160 through 165")
    assert (applies.serial_from, applies.serial_to) == ("100", "200")
    assert applies.excepted == ("150", "160–165")  # the model's own dash
    assert read("KX-4 from serial number 300, except KX-4B").excepted == ("KX-4B",)


def test_a_list_of_serials_is_a_range_with_holes() -> None:
    """`S/Ns {a}, {b}, {c} through {d}` says the same as the outer range without what lies between."""
    applies = read("KX-4 S/Ns 101, 105, 110 through 118")
    assert (applies.serial_from, applies.serial_to) == ("101", "118")
    assert applies.excepted == ("102–104", "106–109")  # the model's own dash
    assert applies.unclear == ()


@settings(deadline=None)
@given(st.lists(st.tuples(st.integers(1000, 99999), st.integers(0, 400)), min_size=1, max_size=5))
def test_a_list_of_runs_holds_just_its_serials(listed: list[tuple[int, int]]) -> None:
    """Bounds and exceptions together name exactly the serial numbers of the list."""
    runs = [(a, a + n) for a, n in listed]
    printed = ", ".join(f"{a} through {b}" if b > a else f"{a}" for a, b in runs)
    applies = read(f"S/Ns {printed}")
    first, last = int(applies.serial_from or 0), int(applies.serial_to or 0)
    holes = [tuple(map(int, e.split("–"))) for e in applies.excepted]  # the model's own dash
    covered = {n for n in range(first, last + 1) if not any(h[0] <= n <= h[-1] for h in holes)}
    assert covered == {n for a, b in runs for n in range(a, b + 1)}


@pytest.mark.parametrize(
    "text",
    [
        "KX-4 from serial 100, KX-6 from serial 200",
        "KX-4 (S/N 1200 and up), KX-6 (S/N 3400 and up)",
        "KX-4: all; KX-6: from serial number 400",
        "KX-4 from serial number 300 and KX-6",
    ],
)
def test_ranges_by_model_are_a_doubt_and_no_range(text: str) -> None:
    """Different ranges for different models fit no single range: both models, no bounds, a doubt."""
    applies = read(text)
    assert (applies.models, applies.serial_from, applies.serial_to) == (("KX-4", "KX-6"), None, None)
    assert applies.unclear


def test_the_same_range_for_each_model_is_one_range() -> None:
    """Repeating a range for each model says one range."""
    applies = read("KX-4 (S/N 1200 and up), KX-6 (S/N 1200 and up)")
    assert (applies.models, applies.serial_from, applies.unclear) == (("KX-4", "KX-6"), "1200", ())


BUILT = {
    "KX-4 built 12 May 1999 to 3 June 2001": (dt.date(1999, 5, 12), dt.date(2001, 6, 3)),
    "KX-4 built from March 1996 to June 1997": (dt.date(1996, 3, 1), dt.date(1997, 6, 30)),
    "KX-4 manufactured between 1 March 1996 and 30 June 1997": (dt.date(1996, 3, 1), dt.date(1997, 6, 30)),
    "KX-4 built from 1998 on": (dt.date(1998, 1, 1), None),
    "KX-4 built 1998 to 2001": (dt.date(1998, 1, 1), dt.date(2001, 12, 31)),
    "KX-4 built on or before 3 March 1998": (None, dt.date(1998, 3, 3)),
}


@pytest.mark.parametrize("text", BUILT)
def test_days_of_manufacture(text: str) -> None:
    """Months and years as upper bounds reach to their last day."""
    applies = read(text)
    assert (applies.built_from, applies.built_to, applies.unclear) == (*BUILT[text], ())
    assert (applies.serial_from, applies.serial_to, applies.models) == (None, None, ("KX-4",))


@pytest.mark.parametrize(
    "text",
    [
        "KX-4 date code 712 to 845",
        "KX-4 equipped with pump 123-456",
        "KX-4 units that have incorporated SB 97-02",
        "KX-4, not all units involved",
        "KX-4 with oil cooler",
        "KX-4 built before 3 March 1998",
        "KX-4, from 1998",
        "KX-4 serial numbers 200 to 100",
        "KX-4 serial numbers A100 to B200",
        "S/Ns 101, 105, A22",
        "KX-4, serial numbers see list 44",
    ],
)
def test_what_cannot_be_held_is_told(text: str) -> None:
    """A limit that fits no bound is a doubt, never dropped in silence."""
    assert read(text).unclear


def test_an_option_with_or_without_is_no_limit() -> None:
    """`with or without {option}` limits nothing."""
    assert read("KX-4 with or without power take-off").unclear == ()


def test_a_kit_condition() -> None:
    """`only when kit {part} is fitted` names the kit and no model."""
    applies = read("KX-4 only when kit AB 123-456 is fitted")
    assert (applies.models, applies.kits, applies.unclear) == (("KX-4",), ("AB 123-456",), ())


def test_all_units_names_nothing_and_is_said() -> None:
    """`all units` is a reading without bounds; `see below` is none."""
    assert read("all units").as_printed == "all units"
    assert read_applies("see below") is None


def test_under_a_serial_label_bare_numbers_are_serials() -> None:
    """The label decides: `12345` under `Serial numbers` is one serial number."""
    assert read("12345", "serials").serial_from == "12345"
    assert read("20109 to 21931", "serials").serial_to == "21931"
    assert read("KX-4: 100 to 200; KX-6: 300 to 400", "serials").unclear


def test_fields_of_one_head_are_merged() -> None:
    """Models of one field and bounds of another make one; two different bounds make a doubt."""
    one = merged((read("KX-4"), read("100 to 200", "serials")))
    assert (one.models, one.serial_from, one.serial_to, one.unclear) == (("KX-4",), "100", "200", ())
    two = merged((read("KX-4 from serial number 5"), read("100 to 200", "serials")))
    assert two.serial_from is None and two.unclear


WORDS = [
    "{a} to {b}",
    "{a} through {b}",
    "{a} thru {b} inclusive",
    "{a} – {b}",
    "from {a} to {b}",
    "{a} up to and including {b}",
    "between {a} and {b}",
]
LABELS = ["serial numbers ", "Serial numbers: ", "S/N ", "S/Ns: ", "serial nos. ", "Serial No. "]


@settings(deadline=None)
@given(
    st.integers(1, 99999),
    st.integers(1, 9999),
    st.sampled_from(WORDS),
    st.sampled_from(LABELS),
    st.sampled_from(["KX-4", "KX-4, KX-6", "R90 and R120", ""]),
    st.sampled_from(["{n}", "{n:,}", "{n:06d}", "K{n:05d}"]),
)
def test_any_range_reads_back(first: int, more: int, words: str, label: str, models: str, form: str) -> None:
    """Any range in any of the wordings, under any label, after any models, reads back as it was printed."""
    a, b = form.format(n=first), form.format(n=first + more)
    text = f"{models} {label}{words.format(a=a, b=b)}".strip()
    applies = read(text)
    plain = (a.replace(",", ""), b.replace(",", ""))
    assert (applies.serial_from, applies.serial_to, applies.unclear) == (*plain, ()), text
    assert len(applies.models) == len([m for m in models.replace(" and ", ", ").split(", ") if m])


SENTENCES = {
    "For units from serial number 20500 on, fit two shims.": Applies(serial_from="20500"),
    "KX-6 only: fit item 5.": Applies(models=("KX-6",)),
    "For types KR 12 and KR 14 use 5 discs.": Applies(models=("KR 12", "KR 14")),
    "When kit AB 123-456 is fitted, tighten to 30 Nm.": Applies(kits=("AB 123-456",)),
    "Kit 5 replaces kit 4 for units up to and including serial no. 30,500.": Applies(serial_to="30500"),
    "Applies only to KX-4B.": Applies(models=("KX-4B",)),
    "Fit two shims (model P40).": Applies(models=("P40",)),
}


@pytest.mark.parametrize("sentence", SENTENCES)
def test_a_sentence_limits_itself(sentence: str) -> None:
    """The words of a sentence that limit it to units or kits are read from it."""
    applies = statement_applies(sentence)
    wanted = SENTENCES[sentence]
    assert applies is not None and applies.as_printed in sentence
    assert (applies.models, applies.serial_from, applies.serial_to, applies.kits) == (
        wanted.models,
        wanted.serial_from,
        wanted.serial_to,
        wanted.kits,
    )


@pytest.mark.parametrize(
    "sentence",
    [
        "AB 123 has been replaced with kit AB 456.",
        "In OM 210, page 20, item 5, change 9 Nm to 11 Nm.",
        "The following part numbers have changed.",
        "On KX-6, fit 3 shims.",
        "Tighten to 30 Nm from below.",
    ],
)
def test_a_sentence_without_a_limit_has_none(sentence: str) -> None:
    """Publications, parts and names not known as models limit nothing."""
    assert statement_applies(sentence) is None


def test_a_known_model_limits() -> None:
    """`On KX-6, …` limits once KX-6 is known as a model."""
    applies = statement_applies("On KX-6, fit 3 shims.", known=("KX-4", "KX-6"))
    assert applies is not None and applies.models == ("KX-6",)


@settings(deadline=None)
@given(st.text(alphabet="0123456789 ,.-–to&andfromserial/NKX()→", max_size=120))
def test_no_text_raises(text: str) -> None:
    """Whatever is printed, reading it raises nothing."""
    read_applies(text)
    read_applies(text, "serials")
    statement_applies(text)


@pytest.mark.parametrize(
    "piece",
    [
        "1 ",
        "1,",
        "and ",
        "1",
        "A-",
        "from ",
        "serial number ",
        "123 to ",
        "with ",
        "not all units ",
        "built ",
        "kit 1 ",
        "equipped with ",
        " ",
        "12 May ",
        "For A1, ",
        "units ",
    ],
)
def test_hostile_text_is_fast(piece: str) -> None:
    """20 kB of near-ranges take well under a second."""
    text = (piece * 20000)[:20000]
    start = time.process_time()
    read_applies(text)
    read_applies(text, "serials")
    statement_applies(text)
    assert time.process_time() - start < 0.8


LETTERED = {
    "KX3/2, K65411–K68217": ("K65411", "K68217"),
    "KX3/1 / KX3/2, from K59880 to K60669": ("K59880", "K60669"),
    "KX4/2, from K55185 up to and including K60570": ("K55185", "K60570"),
    "RG 140, through V65829": (None, "V65829"),
    "RG 140 and RG 200, from V50010 on": ("V50010", None),
    "RG 140, V12469 and on": ("V12469", None),
    "KX4/2, units up to and including No. K52111": (None, "K52111"),
    "KX4/2, →K6511": (None, "K6511"),
    "from V50010 on": ("V50010", None),
}


@pytest.mark.parametrize("text", LETTERED)
def test_serials_with_a_letter_beside_the_models(text: str) -> None:
    """A letter and four digits or more with a bound or a run, unlike the models, are serial numbers."""
    applies = read(text)
    assert (applies.serial_from, applies.serial_to, applies.unclear) == (*LETTERED[text], ())
    assert not any(len(m) == 6 for m in applies.models if m[0] in "KV" and m[1:].isdigit())


def test_models_that_look_like_such_serials_stay_models() -> None:
    """Where the listed models have the same form, nothing is taken for a serial number."""
    assert read("K4000 and K5000 from K6000 on").serial_from is None
    assert read("K4000 to K6000").serial_from is None


@pytest.mark.parametrize(
    "text",
    [
        "KX-4, from 67929 to 68944, not 68758",
        "KX-4, 67929 through 68944 but not 68758",
        "KX-4, S/N 67929 to 68944 excluding 68758",
        "KX-4, serial numbers 67929 to 68944 with the exception of 68758",
        "KX-4, from 67929 to 68944, except No. 68758",
    ],
)
def test_what_a_range_leaves_out(text: str) -> None:
    """Every wording for an exception gives the number that is left out, without a doubt."""
    applies = read(text)
    assert (applies.serial_from, applies.serial_to) == ("67929", "68944")
    assert (applies.excepted, applies.unclear) == (("68758",), ())
