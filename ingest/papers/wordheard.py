"""What the reading of a Word file leaves out or takes in by a rule, gathered to be told once."""

from collections.abc import Iterator

from benchleaf.ingest.papers.blocks import Said, quoted


class Heard:
    """Words by what became of them, each with the sheet where it stands."""

    def __init__(self) -> None:
        self.sheet = 1
        self.deleted: list[tuple[int, str]] = []
        self.inserted: list[tuple[int, str]] = []
        self.struck: list[tuple[int, str]] = []
        self.hidden: list[tuple[int, str]] = []
        self.pictures = 0
        self.elsewhere = 0

    def keep(self, where: list[tuple[int, str]], text: str) -> None:
        """Remember words under the sheet that is being read."""
        if text.strip():
            where.append((self.sheet, text))

    def said(self) -> Iterator[Said]:
        """The findings, in plain words."""
        if self.deleted or self.inserted:
            sheet = min(s for s, _ in (*self.deleted, *self.inserted))
            yield Said(
                "the file holds tracked changes: inserted text is read, deleted text is left out, "
                "as if all were accepted",
                sheet,
                _told(self.deleted, self.inserted),
            )
        if self.struck:
            yield Said("struck-out text is left out, as not in force", self.struck[0][0], _words(self.struck))
        if self.hidden:
            yield Said("hidden text is left out", self.hidden[0][0], _words(self.hidden))
        if self.pictures:
            some = "1 picture is" if self.pictures == 1 else f"{self.pictures} pictures are"
            yield Said(f"{some} in the file: words in pictures are not read; add them as files of their own")
        if self.elsewhere:
            yield Said("the file takes in another file, which is not read: open it and save it as PDF")


def _words(found: list[tuple[int, str]]) -> str:
    return quoted(" ".join(words for _, words in found))


def _told(deleted: list[tuple[int, str]], inserted: list[tuple[int, str]]) -> str:
    parts = [f"{what}: {_words(found)}" for what, found in (("out", deleted), ("in", inserted)) if found]
    return "; ".join(parts)
