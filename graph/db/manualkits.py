"""What the manuals themselves say that kits contain."""

import json
from collections import defaultdict
from collections.abc import Iterable
from typing import Any

from benchleaf.graph.db import rows
from benchleaf.graph.db.connection import OpenStore
from benchleaf.graph.keys import key
from benchleaf.graph.model import Contents, KitLine

_FROM = (
    "SELECT manual_kit.*, number, date FROM manual_kit JOIN publication ON publication.id = publication_id"
)
_BY_DATE = "ORDER BY coalesce(date, ''), manual_kit.id"


class ManualKits(OpenStore):
    """Reads the kits that manuals list. Their `note` is the publication's number, their `id` is None: they
    are no statements of notes, and nobody settles them."""

    def manual_contents(self, kit: str) -> tuple[Contents, ...]:
        """What the manuals held say of one kit's contents, by the publication's date: every edition."""
        return self._kits(f"{_FROM} WHERE kit_key = ? {_BY_DATE}", key(kit))

    def manual_contents_with(self, part: str) -> tuple[Contents, ...]:
        """What the manuals held say of the kits with a part among their lines, present or previous."""
        inside = "manual_kit.id IN (SELECT manual_kit_id FROM manual_kit_line WHERE part_key = ?)"
        return self._kits(f"{_FROM} WHERE {inside} {_BY_DATE}", key(part))

    def _kits_of(self, publications: Iterable[int]) -> dict[int, list[Contents]]:
        """The kits of some publications, by the publication's id, in the order in which they were read."""
        wanted = json.dumps(list(publications))
        inside = "publication_id IN (SELECT value FROM json_each(?)) ORDER BY manual_kit.id"
        found = self._rows(f"{_FROM} WHERE {inside}", wanted)
        kits: dict[int, list[Contents]] = defaultdict(list)
        for row, contents in zip(found, self._with_lines(found), strict=True):
            kits[row["publication_id"]].append(contents)
        return kits

    def _kits(self, sql: str, *values: object) -> tuple[Contents, ...]:
        return self._with_lines(self._rows(sql, *values))

    def _with_lines(self, found: list[Any]) -> tuple[Contents, ...]:
        if not found:
            return ()
        inside = "manual_kit_id IN (SELECT value FROM json_each(?)) ORDER BY id"
        sql = f"SELECT * FROM manual_kit_line WHERE {inside}"
        lines: dict[tuple[int, str], list[KitLine]] = defaultdict(list)
        for row in self._rows(sql, json.dumps([row["id"] for row in found])):
            lines[row["manual_kit_id"], row["side"]].append(rows.read_kit_line(row))
        return tuple(_contents(r, lines[r["id"], "now"], lines[r["id"], "previous"]) for r in found)


def _contents(row: Any, now: Iterable[KitLine], previous: Iterable[KitLine]) -> Contents:
    return Contents(
        note=row["number"],
        date=rows.read_date(row["date"]),
        quote=row["quote"],
        source=rows.read_source(row),
        standing=row["standing"],
        why=rows.read_list(row["why"]),
        confidence=row["confidence"],
        settled_by=row["settled_by"],
        kit=row["kit"],
        lines=tuple(now),
        previous=tuple(previous),
    )
