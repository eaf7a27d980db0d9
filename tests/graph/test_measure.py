from dataclasses import replace
from typing import Any

import pytest
from benchleaf.graph.errors import NotHeld, WrongUse
from benchleaf.graph.measure import MeasureAnswer, MeasureQuestion, measure_answer
from benchleaf.graph.model import Applies
from fake_shelf import PUB, FakeShelf, manual, note, override

STEPS = [
    ("1", "Blow the feed hole through with compressed air of 4 to 5 bar."),
    ("2", "Tighten the cover screws to 29 N·m and the plug to 40 N·m."),
    ("3", "The clearance must be 1.2 to 1.6 mm (.047 to .063 in)."),
    ("4", "Fit the cover."),
    ("5", "Tighten to 80 to 95 N·m (59 to 80 lbf·ft)."),
]


def asked(value: str, item: str, *notes: Any, **fields: Any) -> MeasureAnswer:
    store = FakeShelf([manual({"4-12": STEPS})], notes)
    return measure_answer(store, MeasureQuestion(value, PUB, "4.12", item, **({"model": "K7"} | fields)))


def changed(**fields: Any) -> Any:
    return override("change-value", "3", was="1.2 to 1.6 mm (.047 to .063 in)", now="1.0 to 1.3 mm", **fields)


def test_within_the_manuals_own_range() -> None:
    """Without notes the manual's range decides, and nothing is said to have changed it."""
    answer = asked("1.35 mm", "3")
    assert (answer.verdict, answer.changed_by, answer.was, answer.reasons) == ("within", (), None, ())
    (value,) = answer.values
    assert (value.printed, value.also, value.low, value.high) == (
        "1.2 to 1.6 mm",
        (".047 to .063 in",),
        1.2,
        1.6,
    )


def test_the_note_that_changed_the_range() -> None:
    """A note's range in force decides; the answer names the note and what the manual said."""
    answer = asked("1.35 mm", "3", note("B 1", "2021-01-01", changed()))
    assert answer.verdict == "above"
    assert answer.by == pytest.approx(0.05)
    assert answer.changed_by == ("B 1",)
    assert answer.was == STEPS[2][1]


def test_the_note_holds_for_other_units_only() -> None:
    """A note for later serials leaves the manual's range to an earlier unit; without a serial all is in
    doubt."""
    later = note("B 1", "2021-01-01", changed(), applies=Applies(models=("K7",), serial_from="500"))
    assert asked("1.5 mm", "3", later, serial="400").verdict == "within"
    assert asked("1.5 mm", "3", later, serial="600").verdict == "above"
    unsure = asked("1.5 mm", "3", later)
    assert unsure.verdict == "in doubt"
    assert "depends on" in " ".join(unsure.reasons)


def test_a_doubtful_reading_on_the_step() -> None:
    """A doubtful override of the step keeps any verdict from looking settled."""
    doubtful = changed(standing="doubtful", why=("not sure",), settled_by=None)
    answer = asked("1.35 mm", "3", note("B 1", "2021-01-01", doubtful))
    assert answer.verdict == "in doubt"
    assert "statement 1" in " ".join(answer.reasons)


def test_a_note_whose_step_is_unknown() -> None:
    """A doubtful note on the page that gives a value of the kind, its step unknown, is a doubt; one of
    another kind is not."""
    loose = override("replace", None, text="Tighten to 33 N·m.", standing="doubtful", settled_by=None)
    told = note("B 1", "2021-01-01", replace(loose, why=("no step",)))
    assert asked("1.35 mm", "3", told).verdict == "within"
    assert asked("29 Nm", "2", told, which="cover screws").verdict == "in doubt"


def test_several_values_need_words() -> None:
    """Of two torques one must be named, unless all judge alike."""
    answer = asked("29 Nm", "2")
    assert answer.verdict == "in doubt"
    assert "--which" in " ".join(answer.reasons)
    assert asked("29 Nm", "2", which="cover screws").verdict == "within"
    assert asked("29 Nm", "2", which="flange").verdict == "not said"


def test_not_said() -> None:
    """A step without a value of the kind says nothing, and so does a deleted one."""
    assert asked("2 bar", "3").verdict == "not said"
    gone = asked("1.35 mm", "3", note("B 1", "2021-01-01", override("delete", "3")))
    assert (gone.verdict, gone.text) == ("not said", None)
    assert "deleted by B 1" in " ".join(gone.reasons)


def test_printed_units_at_odds() -> None:
    """79 lbf·ft is 107 N·m: within one printing and above the other is in doubt."""
    answer = asked("79 lbf ft", "5")
    assert answer.verdict == "in doubt"
    assert "disagree" in " ".join(answer.reasons)
    assert asked("65 lbf ft", "5").verdict == "within"


def test_the_shops_unit() -> None:
    """The answer is in the shop's unit; a value without one takes it; another kind is refused."""
    answer = asked("1.7 mm", "3", unit="in")
    assert (answer.unit, answer.verdict) == ("in", "above")
    assert answer.by == pytest.approx(0.1 / 25.4)
    assert answer.values[0].high == pytest.approx(0.063)
    assert asked("1.35", "3", unit="mm").verdict == "within"
    with pytest.raises(WrongUse):
        asked("1.35 mm", "3", unit="bar")


def test_air_and_pressure_are_cautioned() -> None:
    """A step about compressed air gives the standing cautions, which defer to the maker; another none."""
    answer = asked("4.5 bar", "1")
    assert answer.verdict == "within"
    assert any("Values are the maker's" in c for c in answer.cautions)
    assert asked("1.35 mm", "3").cautions == ()


def test_an_ocr_figure_that_is_not_sure() -> None:
    """Where OCR was not sure of the range's figure, the verdict is in doubt."""
    book = manual({"4-12": STEPS})
    page = book.pages[0]
    items = tuple(replace(i, by_ocr=True, unsure=("1.6",)) for i in page.items)
    store = FakeShelf([replace(book, pages=(replace(page, items=items),))])
    assert measure_answer(store, MeasureQuestion("1.35 mm", PUB, "4-12", "3")).verdict == "in doubt"
    assert measure_answer(store, MeasureQuestion("4.5 bar", PUB, "4-12", "1")).verdict == "within"


def test_an_unknown_step() -> None:
    """A step that is not there is told with those that are."""
    with pytest.raises(NotHeld) as refusal:
        asked("1 mm", "77")
    assert "1, 2, 3" in refusal.value.remedy


def test_a_label_that_stands_twice() -> None:
    """Two steps of one label on the page: nothing is settled."""
    store = FakeShelf([manual({"4-12": [("1", "Gap 1 to 2 mm."), ("1", "Gap 1 to 3 mm.")]})])
    answer = measure_answer(store, MeasureQuestion("1.5 mm", PUB, "4-12", "1"))
    assert answer.verdict == "in doubt"
    assert "2 times" in " ".join(answer.reasons)
