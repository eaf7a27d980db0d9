"""The publications held: their pages and items, and where a part number stands in them."""

import json
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from benchleaf.graph.db import rows
from benchleaf.graph.db.manualkits import ManualKits
from benchleaf.graph.keys import book_key, key, natural
from benchleaf.graph.model import Contents, Item, KitLine, Manual, ManualPage, Target
from benchleaf.graph.places import best_places

_NEWEST = "ORDER BY coalesce(publication.date, '') DESC, publication.id DESC"


@dataclass(frozen=True, slots=True)
class Mention:
    """Where a part number stands: a publication's item, or its parts list (then `item`, and `page` if the
    number was found on no numbered sheet, are None)."""

    publication: str
    page: str | None
    item: str | None


class Manuals(ManualKits):
    """Reads manuals, pages and items."""

    def publications(self) -> tuple[Manual, ...]:
        """Every manual held, with its pages and their items, in order of number, then newest first."""
        order = "ORDER BY number_key, coalesce(date, '') DESC, id DESC"
        return self.once(("publications",), lambda: self._manuals("", order))

    def covered(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """The number of every manual held, with the models that it covers; without its pages."""
        return self.once(("covered",), self._covered)

    def _covered(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        found = self._rows("SELECT number, models FROM publication ORDER BY number_key, id")
        return tuple((str(row["number"]), tuple(rows.read_list(row["models"]))) for row in found)

    def _book(self, number: str) -> str:
        """The key under which a publication is held that goes by this number; with or without the word for
        a publication before it, as long as no two differ in that word alone."""
        asked, plain = key(number), book_key(number)
        if self._row("SELECT 1 FROM publication WHERE number_key = ?", asked) is not None:
            return asked
        held = self.once(("books",), lambda: {key(found): book_key(found) for found, _ in self.covered()})
        like = [] if asked in held else [own for own, known in held.items() if known == plain]
        return like[0] if len(like) == 1 else asked

    def covers(self) -> tuple[Manual, ...]:
        """Every manual held by its cover, with its first page alone and that without steps, in the order of
        `publications`."""
        return self.once(("covers",), self._covers)

    def _covers(self) -> tuple[Manual, ...]:
        sql = """SELECT publication.*, page.page AS first, page.sheet, page.section FROM publication
                 LEFT JOIN page ON page.id = (SELECT min(id) FROM page WHERE publication_id = publication.id)
                 ORDER BY number_key, coalesce(date, '') DESC, publication.id DESC"""
        return tuple(_manual(row, _first_page(row), (), ()) for row in self._rows(sql))

    def page_keys(self, publication: str) -> frozenset[str] | None:
        """The keys of the pages held of a publication, of every edition; None if it is not held."""
        sql = """SELECT page_key FROM publication LEFT JOIN page ON publication_id = publication.id
                 WHERE number_key = ?"""
        found = self._rows(sql, self._book(publication))
        return frozenset(row["page_key"] for row in found if row["page_key"] is not None) if found else None

    def leaves_like(self, number: str, page: str) -> tuple[Manual, ...]:
        """The held editions of one publication with no more of their pages than the first and those of that
        number; only the latter have their items. Parts lists and kits are left out."""
        found = self._rows(f"SELECT * FROM publication WHERE number_key = ? {_NEWEST}", self._book(number))
        sql = """SELECT * FROM page WHERE publication_id = ?1 AND (page_key = ?2 OR id =
                 (SELECT min(id) FROM page WHERE publication_id = ?1)) ORDER BY id"""
        pages = {row["id"]: self._rows(sql, row["id"], key(page)) for row in found}
        asked = [p["id"] for told in pages.values() for p in told if p["page_key"] == key(page)]
        items = self._items_of(asked)
        return tuple(_manual(r, [_page(p, items[p["id"]]) for p in pages[r["id"]]], (), ()) for r in found)

    def packs_like(self, number: str) -> tuple[Manual, ...]:
        """The held editions of one publication with no more of their pages than the first and those with a
        step that speaks of stacking a pack, and of their items only such. Parts lists and kits are left
        out."""
        asked = self._book(number)
        found = self._rows(f"SELECT * FROM publication WHERE number_key = ? {_NEWEST}", asked)
        sql = """SELECT item.* FROM publication JOIN item_pack ON item_pack.publication_id = publication.id
                 JOIN item ON item.id = item_id WHERE number_key = ? ORDER BY item.id"""
        items: dict[int, list[Item]] = defaultdict(list)
        for row in self._rows(sql, asked):
            items[row["page_id"]].append(rows.read_item(row))
        sql = """SELECT * FROM page WHERE publication_id = ?1 AND (id IN (SELECT value FROM json_each(?2))
                 OR id = (SELECT min(id) FROM page WHERE publication_id = ?1)) ORDER BY id"""
        pages = {row["id"]: self._rows(sql, row["id"], json.dumps(list(items))) for row in found}
        return tuple(_manual(r, [_page(p, items[p["id"]]) for p in pages[r["id"]]], (), ()) for r in found)

    def publication(self, number: str) -> Manual | None:
        """The held manual of that number; of several editions or parts, the one of the newest date (then the
        last taken in). See `publications_like` for all of them."""
        found = self.publications_like(number)
        return found[0] if found else None

    def publications_like(self, number: str) -> tuple[Manual, ...]:
        """Every held manual of that number, newest first: editions, or one edition in several files."""
        where = "WHERE number_key = ?"
        asked = self._book(number)
        return self.once(("publication", asked), lambda: self._manuals(where, _NEWEST, asked))

    def page(self, publication: str, page: str) -> ManualPage | None:
        """The page as the newest edition that has it shows it, with its items; None if there is none, or if
        the number as typed fits two pages (`410` for 4-10 and 41-0: `near_numbers` names them)."""
        sql = f"""SELECT page.*, publication.id AS edition FROM page JOIN publication
                  ON publication.id = page.publication_id WHERE publication.number_key = ? AND page_key = ?
                  {_NEWEST}, page.id"""
        held = self._rows(sql, self._book(publication), key(page))
        found = best_places(page, held, lambda row: str(row["page"]))
        if not found or len({natural(row["page"]) for row in found}) > 1:
            return None
        newest = [row for row in found if row["edition"] == found[0]["edition"]]
        items = self._items_of([row["id"] for row in newest])
        return _page(newest[0], [item for row in newest for item in items[row["id"]]])

    def item(self, target: Target) -> tuple[Item, ...]:
        """Every held item at the target, newest edition first; publication or page may be None (any).

        Empty if the target names no item.
        """
        if target.item is None:
            return ()
        asked = {"label_key": target.item, "number_key": target.publication, "page_key": target.page}
        keys = {column: key(number) for column, number in asked.items() if number is not None}
        if target.publication is not None:
            keys["number_key"] = self._book(target.publication)
        where = " AND ".join(f"{column} = ?" for column in keys)
        sql = f"""SELECT item.* FROM item JOIN publication ON publication.id = item.publication_id
                  WHERE {where} {_NEWEST}, item.id"""
        found = [rows.read_item(row) for row in self._rows(sql, *keys.values())]
        at_item = best_places(target.item, found, lambda item: item.label)
        return at_item if target.page is None else best_places(target.page, at_item, lambda item: item.page)

    def publication_of_item(self, item: int) -> str | None:
        """The number, as printed, of the publication that holds the item of that id."""
        sql = "SELECT number FROM publication JOIN item ON publication_id = publication.id WHERE item.id = ?"
        row = self._row(sql, item)
        return None if row is None else str(row["number"])

    def file_of_page(self, publication: str, page: str) -> str | None:
        """The SHA-256 of the file that shows the page (see `page`), for its picture."""
        shown = self.page(publication, page)
        if shown is None:
            return None
        sql = f"""SELECT sha256 FROM file JOIN publication ON file_id = file.id JOIN page
                  ON publication_id = publication.id WHERE number_key = ? AND page.page = ? AND sheet = ?
                  {_NEWEST}"""
        row = self._row(sql, self._book(publication), shown.page, shown.sheet)
        return None if row is None else str(row["sha256"])

    def mentions(self, part: str) -> tuple[Mention, ...]:
        """Where the part number stands in the items, parts lists and kit lists of the manuals held."""
        sql = """SELECT DISTINCT publication.number, item.page, item.label, item.id
                 FROM mention JOIN item ON item.id = item_id
                 JOIN publication ON publication.id = publication_id
                 WHERE part_key = ? ORDER BY publication.number_key, item.id"""
        in_items = (Mention(row["number"], row["page"], row["label"]) for row in self._rows(sql, key(part)))
        listed = """SELECT DISTINCT number, page FROM publication_part JOIN publication
                    ON publication.id = publication_id WHERE part_key = ? ORDER BY number_key"""
        in_lists = (Mention(row["number"], row["page"], None) for row in self._rows(listed, key(part)))
        kits = (*self.manual_contents(part), *self.manual_contents_with(part))
        in_kits = (Mention(kit.note, kit.source.page, None) for kit in kits)
        return tuple(dict.fromkeys((*in_items, *in_lists, *in_kits)))

    def printed(self, part_key: str) -> str | None:
        """A part number as the sources write it, or None if none of them has it.

        Statements and parts lists come first, then the words of items, where the number must stand whole:
        `4410-21` is not known from an item that says `KB 4410-21`.
        """
        row = self._row("SELECT printed FROM part WHERE part_key = ?", key(part_key)) or self._row(
            "SELECT printed FROM mention WHERE part_key = ? AND whole ORDER BY id", key(part_key)
        )
        return None if row is None else str(row["printed"])

    def _manuals(self, where: str, order: str, *values: object) -> tuple[Manual, ...]:
        found = self._rows(f"SELECT * FROM publication {where} {order}", *values)
        numbers = json.dumps([row["id"] for row in found])
        inside = "publication_id IN (SELECT value FROM json_each(?)) ORDER BY id"
        pages = self._rows(f"SELECT * FROM page WHERE {inside}", numbers)
        items = self._items_of([row["id"] for row in pages])
        of_manual: dict[int, list[ManualPage]] = defaultdict(list)
        for row in pages:
            of_manual[row["publication_id"]].append(_page(row, items[row["id"]]))
        parts: dict[int, list[KitLine]] = defaultdict(list)
        for row in self._rows(f"SELECT * FROM publication_part WHERE {inside}", numbers):
            parts[row["publication_id"]].append(rows.read_kit_line(row))
        kits = self._kits_of(row["id"] for row in found)
        return tuple(_manual(row, of_manual[row["id"]], parts[row["id"]], kits[row["id"]]) for row in found)

    def _items_of(self, pages: list[int]) -> dict[int, list[Item]]:
        found: dict[int, list[Item]] = defaultdict(list)
        sql = "SELECT * FROM item WHERE page_id IN (SELECT value FROM json_each(?)) ORDER BY id"
        for row in self._rows(sql, json.dumps(pages)):
            found[row["page_id"]].append(rows.read_item(row))
        return found


def _first_page(row: Any) -> tuple[ManualPage, ...]:
    return () if row["first"] is None else (ManualPage(row["first"], row["sheet"], row["section"]),)


def _page(row: Any, items: Iterable[Item]) -> ManualPage:
    return ManualPage(row["page"], row["sheet"], row["section"], tuple(items))


def _manual(
    row: Any, pages: Iterable[ManualPage], parts: Iterable[KitLine], kits: Iterable[Contents]
) -> Manual:
    return Manual(
        number=row["number"],
        title=row["title"],
        issuer=row["issuer"],
        edition=row["edition"],
        date=rows.read_date(row["date"]),
        models=rows.read_list(row["models"]),
        pages=tuple(pages),
        file=row["file"],
        parts=tuple(parts),
        kits=tuple(kits),
    )
