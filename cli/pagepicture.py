"""The picture of a manual page for those who ask by program, and why there is none."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from benchleaf.graph.errors import StoreProblem

if TYPE_CHECKING:
    from benchleaf.graph.page import PageAnswer
    from benchleaf.graph.store import Store


@dataclass(frozen=True, slots=True)
class PagePicture:
    """The page as printed, a PNG in the store, drawn at `dpi` dots per inch (a box of the answer counts in
    points, 72 to the inch); without one `why` says why, in plain words."""

    path: Path | None
    dpi: int | None
    why: str | None = None


def page_picture(store: "Store", answer: "PageAnswer") -> PagePicture:
    """The picture of a page, made where it is not kept yet."""
    from benchleaf.ingest.pictures.whole import WHOLE_DPI, sheet_picture

    file = store.file_of_page(answer.publication, answer.page)
    if file is None or not store.original(file).is_file():
        return PagePicture(None, None, f"the original of {answer.file} is not in the store")
    try:
        made = sheet_picture(store, file, answer.sheet)
    except StoreProblem as problem:
        return PagePicture(None, None, problem.sentence)
    if made is None:
        why = f"sheet {answer.sheet} of {answer.file} has no picture: typed words, or it cannot be drawn"
        return PagePicture(None, None, why)
    return PagePicture(made.path, WHOLE_DPI)
