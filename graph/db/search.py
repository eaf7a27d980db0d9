"""Search: the words of items, notes and sheets, and part numbers whole or in part."""

import itertools
import re
from collections.abc import Container, Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Literal

from benchleaf.graph.db.connection import OpenStore
from benchleaf.graph.keys import key

HitKind = Literal["item", "note", "sheet", "part"]

_QUOTED_OR_WORD = re.compile(r'"([^"]{1,400}+)"|([^\s"]{1,200}+)')
_MOST_WORDS = 20
_SNIPPET_WORDS = 16
_SHORTEST_PIECE = 3  # characters: the trigram index knows nothing shorter


@dataclass(frozen=True, slots=True)
class Hit:
    """One place found. `part` is a part number as printed; `file` and `sheet` say where the words stand,
    where a file holds them; `snippet` is the words around the hit, for a part where its number stands first.
    """

    kind: HitKind
    publication: str | None
    note: str | None
    page: str | None
    item: str | None
    part: str | None
    file: str | None
    sheet: int | None
    snippet: str


def phrases(words: str) -> tuple[str, ...]:
    """The user's words as phrases: what stands between quotation marks is one, every other word is one.

    >>> phrases('seal "return spring" --')
    ('seal', 'return spring')
    """
    found = (quoted or word for quoted, word in _QUOTED_OR_WORD.findall(words.replace("\0", " ")))
    return tuple(phrase for phrase in found if any(c.isalnum() for c in phrase))[:_MOST_WORDS]


def query(words: str, *, beginnings: bool = False) -> str:
    """The full-text query for the user's words: every phrase in quotation marks, so that none is an operator.
    With `beginnings`, each phrase's last word may go on (`disc` finds `discs`)."""
    star = " *" if beginnings else ""
    return " AND ".join('"' + phrase.replace('"', " ") + '"' + star for phrase in phrases(words))


class Search(OpenStore):
    """Full-text and part-number search."""

    def search(self, words: str, limit: int = 50) -> tuple[Hit, ...]:
        """Part numbers, items, notes and sheets with all the words, in that order, best first; `limit` at
        most.

        A word matches whole words; if nothing is found so, words that begin with it. Part numbers match from
        three characters on, wherever these stand in the number.
        """
        return self._search(words, limit, bare=False)

    def notes_saying(self, words: str, limit: int) -> frozenset[str]:
        """The numbers of the notes among what `search` finds, without working out the words around them."""
        return frozenset(hit.note for hit in self._search(words, limit, bare=True) if hit.note)

    def _search(self, words: str, limit: int, *, bare: bool) -> tuple[Hit, ...]:
        found = dict.fromkeys(self._part_hits(words, limit))
        found |= dict.fromkeys(self._mentioned(words, limit))
        for beginnings in (False, True):
            asked = query(words, beginnings=beginnings)
            bodies = self._bodies(asked, limit, bare=bare) if asked else iter(())
            first = next(bodies, None)
            if first is not None:
                found |= _up_to(limit - len(found), itertools.chain((first,), bodies), found)
                break
        return tuple(found)[:limit]

    def _bodies(self, asked: str, limit: int, *, bare: bool) -> Iterator[Hit]:
        """Items, notes, sheets, each looked for when it is its turn: a common word fills the list early.

        A snippet costs more than to find its place; `bare` hits have the row's own number instead.
        """
        items = list(self._item_hits(asked, limit, bare=bare))
        yield from items
        covered = {(hit.file, hit.sheet) for hit in items}
        notes = list(self._note_hits(asked, limit, bare=bare))
        yield from notes
        named = {hit.note for hit in notes}
        sheets = [
            hit for hit in self._sheet_hits(asked, limit, bare=bare) if (hit.file, hit.sheet) not in covered
        ]
        yield from (hit for hit in sheets if hit.kind == "note" and hit.note not in named)
        yield from (hit for hit in sheets if hit.kind == "sheet")

    def _item_hits(self, asked: str, limit: int, *, bare: bool = False) -> Iterator[Hit]:
        around = f"""(SELECT {_snippet("item_search")} FROM item_search
                      WHERE item_search MATCH ?1 AND rowid = best.id)"""
        sql = f"""WITH best AS MATERIALIZED (SELECT rowid AS id, rank AS far FROM item_search
                      WHERE item_search MATCH ?1 ORDER BY rank, rowid LIMIT ?2)
                  SELECT number, item.page, label, file.name, item.sheet,
                  {"best.id" if bare else around} AS snippet
                  FROM best JOIN item ON item.id = best.id
                  JOIN publication ON publication.id = publication_id JOIN file ON file.id = file_id
                  ORDER BY best.far, item.id"""
        yield from map(_item_hit, self._rows(sql, asked, limit))

    def _note_hits(self, asked: str, limit: int, *, bare: bool) -> Iterator[Hit]:
        around = "CAST(note.id AS TEXT)" if bare else _snippet("note_search")
        sql = f"""SELECT note.number, file.name, {around} AS snippet
                  FROM note_search JOIN note ON note.id = note_search.rowid
                  LEFT JOIN file ON file.id = file_id
                  WHERE note_search MATCH ? ORDER BY note_search.rank, note.id LIMIT ?"""
        for row in self._rows(sql, asked, limit):
            yield Hit("note", None, row["number"], None, None, None, row["name"], None, row["snippet"])

    def _sheet_hits(self, asked: str, limit: int, *, bare: bool) -> Iterator[Hit]:
        around = "CAST(sheet.id AS TEXT)" if bare else _snippet("sheet_search")
        sql = f"""SELECT sheet.page, sheet.sheet, file.name, {around} AS snippet,
                  (SELECT number FROM note WHERE file_id = file.id ORDER BY id LIMIT 1) AS note,
                  (SELECT number FROM publication WHERE file_id = file.id ORDER BY id LIMIT 1) AS publication
                  FROM sheet_search JOIN sheet ON sheet.id = sheet_search.rowid
                  JOIN file ON file.id = sheet.file_id
                  WHERE sheet_search MATCH ? ORDER BY sheet_search.rank, sheet.id LIMIT ?"""
        for r in self._rows(sql, asked, limit):
            kind: HitKind = "note" if r["note"] and not r["publication"] else "sheet"
            note = r["note"] if kind == "note" else None
            yield Hit(
                kind, r["publication"], note, r["page"], None, None, r["name"], r["sheet"], r["snippet"]
            )

    def _part_hits(self, words: str, limit: int) -> Iterator[Hit]:
        asked = key(words)
        if len(asked) < _SHORTEST_PIECE or not any(c.isdigit() for c in asked):
            return
        # keys are digits and capitals, and "[" comes right after "Z": the range is "begins with"
        sql = """SELECT printed, part_key FROM part WHERE id IN
                 (SELECT id FROM (SELECT id FROM part WHERE part_key >= ?1 AND part_key < ?1 || '[' LIMIT ?3)
                  UNION SELECT rowid FROM part_search(?2) LIMIT 1000)
                 ORDER BY instr(part_key, ?1), part_key LIMIT ?3"""
        for row in self._rows(sql, asked, f'part_key : "{asked}"', limit):
            yield Hit("part", None, None, None, None, row["printed"], None, None, row["printed"])

    def _mentioned(self, words: str, limit: int) -> Iterable[Hit]:
        """Items that hold the number in another spelling than the one typed."""
        asked = key(words)
        if not any(c.isdigit() for c in asked):
            return []
        sql = """SELECT number, item.page, label, file.name, item.sheet, item.text AS snippet
                 FROM item JOIN publication ON publication.id = publication_id JOIN file ON file.id = file_id
                 WHERE item.id IN (SELECT item_id FROM mention WHERE part_key = ?) ORDER BY item.id LIMIT ?"""
        found = self._rows(sql, asked, limit)
        if not found:
            return []
        direct = {(hit.file, hit.sheet, hit.item) for hit in self._item_hits(query(words), limit)}
        hits = (_item_hit(row) for row in found)
        return [hit for hit in hits if (hit.file, hit.sheet, hit.item) not in direct]


def _up_to(most: int, hits: Iterable[Hit], known: Container[Hit]) -> dict[Hit, None]:
    """The first hits that are not known yet."""
    new: dict[Hit, None] = {}
    for hit in hits:
        if len(new) >= most:
            break
        if hit not in known:
            new[hit] = None
    return new


def _snippet(index: str) -> str:
    return f"snippet({index}, -1, '', '', '…', {_SNIPPET_WORDS})"


def _item_hit(row: Any) -> Hit:
    snippet = " ".join(str(row["snippet"]).split())
    return Hit(
        "item", row["number"], None, row["page"], row["label"], None, row["name"], row["sheet"], snippet
    )
