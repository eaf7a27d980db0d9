"""The cut-outs that sheets show: the words of statements and of printed steps."""

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from benchleaf.ingest.pictures.crops import Clip, clip_of_statement, crops

if TYPE_CHECKING:
    from benchleaf.graph.model import Statement
    from benchleaf.graph.procedure import Step
    from benchleaf.graph.store import Store


def statement_crops(store: "Store", statements: "Iterable[Statement]") -> dict[int, Path]:
    """By the statement's id: the picture of its own words, where one can be drawn."""
    clips: dict[int, Clip] = {}
    for said in statements:
        clip = clip_of_statement(store, said)
        if clip is not None and said.id is not None:
            clips[said.id] = clip
    made = crops(store, clips.values())
    return {id: made[clip] for id, clip in clips.items() if clip in made}


def step_crops(store: "Store", steps: "Iterable[Step]") -> dict[tuple[str, str, str], Path]:
    """By publication, page and label: the picture of the step as the manual prints it."""
    clips: dict[tuple[str, str, str], Clip] = {}
    for step in steps:
        file = store.file_of_page(step.publication, step.page)
        if file is not None and step.box is not None and step.sheet is not None:
            clips[step.publication, step.page, step.label] = Clip(file, step.sheet, step.box)
    made = crops(store, clips.values())
    return {at: made[clip] for at, clip in clips.items() if clip in made}
