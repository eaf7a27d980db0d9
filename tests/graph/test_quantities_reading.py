import time

import pytest
from benchleaf.graph.quantities.reading import read_quantities, step_values
from hypothesis import given
from hypothesis import strategies as st

READ = {
    "tighten to 80 ... 95 N·m (59–70 lbf·ft)": [(80, 95, "N·m")],
    "Gap 0.20-0.35 mm (.008-.014 in).": [(0.2, 0.35, "mm")],
    "not more than 0.3 mm": [(None, 0.3, "mm")],
    "between 2.4 and 3.0 mm": [(2.4, 3.0, "mm")],
    "min. 5 bar": [(5, None, "bar")],
    "from 110 °C to 120 °C": [(110, 120, "°C")],
    "17 to 19 bar": [(17, 19, "bar")],
    "35 +/- 3 Nm": [(32, 38, "N·m")],
    "2.5 -0.05 mm": [(2.45, 2.5, "mm")],
    "80 Nm + 90°": [(80, 80, "N·m"), (90, 90, "°")],
    "Maximum permissible wear 0.3 mm": [(None, 0.3, "mm")],
    "0.05 mm (0.002 in.) max.": [(None, 0.05, "mm")],
    "It must not drop below 5 bar.": [(5, None, "bar")],
    "Do not heat above 120 °C.": [(None, 120, "°C")],
    "must come free between 14 bar and 17 bar": [(14, 17, "bar")],
    "The oil must not grow hotter than 65 °C.": [(None, 65, "°C")],
    "Soak for fifteen minutes.": [(15, 15, "min")],
    "clearance 1,2 to 1,6 mm": [(1.2, 1.6, "mm")],
    "at 1 500 r/min": [(1500, 1500, "rpm")],
    "at 1,500 psi": [(1500, 1500, "psi")],
    "gap 0,35 mm; shim 1,250 mm": [(0.35, 0.35, "mm"), (1.25, 1.25, "mm")],
    "The spring carries 45 kg at a length of 30 mm.": [(45, 45, "kgf"), (30, 30, "mm")],
    "Heat to 120 C.": [(120, 120, "°C")],
    'a 3/8" rod, 1/8 in long': [(0.375, 0.375, "in"), (0.125, 0.125, "in")],
    "The pressure must rise to 95 to 105 lb./sq.in.": [(95, 105, "psi")],
    "Tighten to 29 N·m and the plug to 40 N·m.": [(29, 29, "N·m"), (40, 40, "N·m")],
    "20 Nm max. Clearance 0.3 mm": [(None, 20, "N·m"), (0.3, 0.3, "mm")],
}

NONE = [
    "Fit M8 x 1.25 screws (7731-20) 2 in the bore on page 4-12.",
    "Dated 2024-05-06, 06.05.2024 and 05/06/2024.",
    "Fit the 12 cover screws, 4 off, and 2 in each corner.",
    "Order 31-408-1109 or 0 714 226 077, item 5 C.",
    "See step 4 in the table.",
    'Change "29" to "31".',
    "Thread 3/8-16 UNC, 1/4-18 NPT.",
    "Serial 10233 min 5",
]


@pytest.mark.parametrize("text", READ)
def test_values_in_running_text(text: str) -> None:
    """Values with units are read with their bounds."""
    read = [(q.low, q.high, q.unit.name) for q in read_quantities(text)]
    expected = [(pytest.approx(low), pytest.approx(high), unit) for low, high, unit in READ[text]]
    assert read == expected


@pytest.mark.parametrize("text", NONE)
def test_numbers_that_are_no_values(text: str) -> None:
    """Threads, dates, part numbers, counts, references and quoted numbers are not taken for values."""
    assert read_quantities(text) == ()


def test_the_second_unit_is_a_pair() -> None:
    """What stands in brackets behind a value is the same value in further units."""
    (read,) = read_quantities("Torque 29 N·m (21 lbf·ft, 3.0 kgf·m).")
    assert [(p.nominal, p.unit.name) for p in read.pairs] == [(21, "lbf·ft"), (3, "kgf·m")]


def test_two_sentences_make_no_pair() -> None:
    """A torque in the next clause is a value of its own."""
    assert len(read_quantities("Tighten to 80 N·m, then 59 lbf·ft.")) == 2


@pytest.mark.parametrize(
    "text",
    [
        "If the wear exceeds 0.3 mm, renew the disc.",
        "Scrap any disc thinner than 4.30 mm.",
        "Scoring deeper than .003 in is cause for rejection.",
        "Discard plates with more than .010 in of dish.",
        "Do not start the unit within two hours.",
        "Three pits smaller than 1 mm are allowed.",
        "Should the gap be more than 0.3 mm, renew the disc.",
        "Raise the pressure up to 5 bar.",
        "Shim of 1,250 mm.",
        "0.3 and 0.6 mm",
    ],
)
def test_what_is_not_certain_says_so(text: str) -> None:
    """A condition, a doubtful comma and figures that share a unit carry a doubt."""
    assert [bool(q.doubt) for q in read_quantities(text)] == [True]


def test_sizes_are_no_step_values() -> None:
    """The size of a spanner or a seal is not something to be measured."""
    assert [q.unit.name for q in step_values("With a 12 mm Allen key tighten to 25 Nm.")] == ["N·m"]
    assert step_values("Fit the 25 x 40 x 7 mm seal.") == ()
    assert step_values("Connect a gauge of 0 to 60 bar.") == step_values("a 0 to 60 bar gauge") == ()
    assert len(step_values("Read 5 bar on the gauge.")) == 1
    assert step_values(None) == ()


HOSTILE = ["1m " * 6600, "1-" * 10000, '1" ' * 6600, "max " * 5000, "M8x" * 6600, "½" * 20000, "1/2-" * 5000]


@pytest.mark.parametrize("text", [*HOSTILE, "1.1." * 5000, "not more than " * 1500, "a" * 20000, " " * 20000])
def test_hostile_text_is_read_in_time(text: str) -> None:
    """Reading grows with the text: 20 kB packed with thousands of figures stay within two seconds even on a
    busy machine, and each pattern alone is far below 50 ms."""
    started = time.perf_counter()
    read_quantities(text)
    assert time.perf_counter() - started < 2.0


@given(st.text(alphabet='0123456789.,-+/±–()"” MmNinbarClftx°', max_size=120))
def test_any_text_is_read(text: str) -> None:
    """Whatever stands in a text, bounds are in order and places lie inside it."""
    for q in read_quantities(text):
        assert q.low is None or q.high is None or q.low <= q.high
        assert 0 <= q.start < q.end <= len(text)
