"""What a store holds, at a glance: heads and counts without the pages, steps and statements behind them."""

import datetime as dt
import re
from dataclasses import dataclass

from benchleaf.graph.db import rows
from benchleaf.graph.db.notes import Notes
from benchleaf.graph.keys import key
from benchleaf.graph.model import Note
from benchleaf.graph.places import best_places

_WORD = re.compile(r"[0-9]")


@dataclass(frozen=True, slots=True)
class BookHead:
    """A publication by its cover, with how many pages and numbered steps were read."""

    number: str
    title: str | None
    issuer: str | None
    edition: str | None
    date: dt.date | None
    models: tuple[str, ...]
    pages: int
    steps: int


@dataclass(frozen=True, slots=True)
class HeldPage:
    """A page by its publication and printed number."""

    publication: str
    page: str
    section: str | None = None


@dataclass(frozen=True, slots=True)
class Waiting:
    """How much waits for a person's eye: doubtful readings, and heads of notes that are not clear."""

    readings: int
    heads: int

    @property
    def doubts(self) -> int:
        """Both together."""
        return self.readings + self.heads


class Overview(Notes):
    """Reads heads and counts."""

    def book_heads(self) -> tuple[BookHead, ...]:
        """Every publication held, in order of number, then newest first."""
        sql = """SELECT number, title, issuer, edition, date, models,
                 (SELECT count(*) FROM page WHERE publication_id = publication.id) AS pages,
                 (SELECT count(*) FROM item WHERE publication_id = publication.id) AS steps
                 FROM publication ORDER BY number_key, coalesce(date, '') DESC, id DESC"""
        return tuple(
            BookHead(
                r["number"],
                r["title"],
                r["issuer"],
                r["edition"],
                rows.read_date(r["date"]),
                rows.read_list(r["models"]),
                r["pages"],
                r["steps"],
            )
            for r in self._rows(sql)
        )

    def heads_like(self, number: str) -> tuple[str, ...]:
        """The numbers, as printed, of the publications of that number, newest first."""
        sql = """SELECT number FROM publication WHERE number_key = ?
                 ORDER BY coalesce(date, '') DESC, id DESC"""
        return tuple(str(row["number"]) for row in self._rows(sql, key(number)))

    def models_held(self) -> tuple[str, ...]:
        """The models that the publications cover, each once."""
        return tuple(dict.fromkeys(model for _, models in self.covered() for model in models))

    def newest_notes(self, most: int) -> tuple[Note, ...]:
        """The notes received last, the last first, without their statements; lists are none."""
        sql = "SELECT * FROM note WHERE listing = 0 ORDER BY received DESC, date DESC, id DESC LIMIT ?"
        return self._filled(self._rows(sql, most))

    def notes_from(self, first: int, most: int) -> tuple[Note, ...]:
        """Some of the notes by date, the newest first, from the `first` (0 is the newest) on."""
        sql = """SELECT * FROM note WHERE listing = 0 ORDER BY coalesce(date, '9999') DESC, number_key, id
                 LIMIT ? OFFSET ?"""
        return self._filled(self._rows(sql, most, max(first, 0)))

    def note_count(self) -> int:
        """How many notes are held, lists left out."""
        return int(self._rows("SELECT count(*) FROM note WHERE listing = 0")[0][0])

    def waiting(self) -> Waiting:
        """What waits for a person's eye."""
        readings = self._rows("SELECT count(*) FROM statement WHERE standing = 'doubtful'")[0][0]
        heads = self._rows("SELECT count(*) FROM note WHERE listing = 0 AND unclear <> '[]'")[0][0]
        return Waiting(int(readings), int(heads))

    def pages_numbered(self, page: str) -> tuple[HeldPage, ...]:
        """The pages of that printed number, of whatever publication; each once."""
        if not _WORD.search(page):
            return ()
        sql = """SELECT DISTINCT number, page, section FROM page
                 JOIN publication ON publication.id = publication_id WHERE page_key = ?
                 ORDER BY number_key, page.id LIMIT 200"""
        found = [HeldPage(r["number"], r["page"], r["section"]) for r in self._rows(sql, key(page))]
        best = best_places(page, found, lambda p: p.page)
        return tuple({(key(p.publication), p.page): p for p in reversed(best)}.values())[::-1]
