"""The verdict on a measured value: its words, the printed values beside it, and who made the step so."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchleaf.cli.say import dated, listed, ocr_mark
from benchleaf.cli.sheets.wording import measure_headline, measured_value_words

if TYPE_CHECKING:
    from benchleaf.graph.measure import MeasureAnswer
    from benchleaf.graph.store import Store


@dataclass(frozen=True, slots=True)
class MeasureView:
    """The answer in words. `by` says which notes made the step so, empty for the manual's own words."""

    answer: "MeasureAnswer"
    headline: str
    values: tuple[str, ...]
    by: str
    ocr: str
    checks: tuple[str, ...]

    @property
    def mood(self) -> str:
        """How the verdict is set: `good` is within, `hold` outside, `open` not to be told."""
        sure = {"within": "good", "below": "hold", "above": "hold"}
        return sure.get(self.answer.verdict, "open")


def measure_view(store: "Store", answer: "MeasureAnswer") -> MeasureView:
    """The answer with the words for a person."""
    names = answer.changed_by or (() if answer.origin == "manual" else (answer.origin,))
    notes = [(n, store.note(n)) for n in names]
    by = listed([dated(number, note.date if note else None) for number, note in notes])
    done = "Changed" if answer.changed_by else "Added"
    return MeasureView(
        answer=answer,
        headline=measure_headline(answer),
        values=tuple(measured_value_words(answer, v) for v in answer.values),
        by=f"{done} by {by}." if by else "",
        ocr=ocr_mark(answer.unsure) if answer.by_ocr else "",
        checks=(*answer.reasons, *answer.warnings),
    )
