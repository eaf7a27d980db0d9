"""Which steps of the manuals speak of stacking a pack, and what they count: kept beside the steps, since a
kit is held against the packs of every book held."""

from benchleaf.graph.db.connection import OpenStore
from benchleaf.graph.keys import key
from benchleaf.graph.lean import Counts


class Packs(OpenStore):
    """Keeps and finds pack steps.

    What is kept is what `read_pack` gave: whoever changes what that reads adds a migration
    that fills the table anew.
    """

    def packs_in(self, number: str) -> frozenset[int]:
        """The ids of the steps of one publication, of every edition, that speak of stacking a pack."""
        sql = """SELECT item_id FROM publication JOIN item_pack ON publication_id = publication.id
                 WHERE number_key = ?"""
        return frozenset(row["item_id"] for row in self._rows(sql, key(number)))

    def books_counting(self, counts: Counts) -> frozenset[str]:
        """The keys of the publications with a step whose pack counts just these plates; None for a kind that
        the step does not count."""
        sql = """SELECT DISTINCT number_key FROM item_pack JOIN publication ON publication.id = publication_id
                 WHERE friction IS ? AND steel IS ?"""
        return frozenset(str(row["number_key"]) for row in self._rows(sql, *counts))

    def _keep_pack(self, publication: int, item: int, text: str) -> None:
        """Keeps what a step's words say of a pack, if they speak of one."""
        told = counts_of(text)
        if told is not None:
            sql = "INSERT INTO item_pack (item_id, publication_id, friction, steel) VALUES (?, ?, ?, ?)"
            self._change(sql, item, publication, *told)


def counts_of(text: str) -> Counts | None:
    """The plates that a step's words count, if they speak of a pack at all."""
    from benchleaf.graph.kits.packwords import read_pack

    told = read_pack(text)
    return None if told is None else (told.friction, told.steel)
