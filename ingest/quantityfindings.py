"""Two units printed for one value that disagree, as findings: in a manual's steps and in notes' overrides."""

from collections.abc import Iterator, Sequence

from benchleaf.graph.model import Finding, Item, Manual, Note, Override, Source
from benchleaf.graph.quantities.pairs import disagreements
from benchleaf.graph.quantities.reading import read_quantities
from benchleaf.graph.quantities.units import Units


def quantity_findings(
    manual: Manual | None, notes: Sequence[Note], name: str, units: Units | None = None
) -> tuple[Finding, ...]:
    """A finding for each pair of units that cannot be one value, with where it is printed.

    `name` is the file's name, used where the manual does not carry it; `units` the table with the shop's own.
    The units library is touched only where a text prints a pair.
    """
    found = [f for text, source in _texts(manual, notes, name) for f in _in_text(text, source, units)]
    return tuple(dict.fromkeys(found))


def _in_text(text: str, source: Source, units: Units | None) -> Iterator[Finding]:
    if not any(c.isdigit() for c in text):
        return
    for wrong in disagreements(read_quantities(text, units)):
        quote = " ".join(text[wrong.one.start : wrong.other.end].split())
        yield Finding(wrong.message, source, quote)


def _texts(manual: Manual | None, notes: Sequence[Note], name: str) -> Iterator[tuple[str, Source]]:
    for page in manual.pages if manual else ():
        for item in page.items:
            source = _place(item, manual.file or name if manual else name)
            yield item.text, source
            for notice in item.notices:
                yield notice.text, source
    for note in notes:
        for s in note.statements:
            if isinstance(s, Override):
                for text in (s.text, s.was, s.now):
                    if text:
                        yield text, s.source


def _place(item: Item, file: str) -> Source:
    return Source(file, item.sheet, item.page, item.box, item.by_ocr)
