"""Part numbers known for certain: those that a source with a text layer names, not only a picture."""

from benchleaf.graph.db.connection import OpenStore
from benchleaf.graph.keys import folded, key

_SEEN = "(NOT source_ocr OR standing = 'settled' AND settled_by <> 'rule')"  # by text, or by a person's eye
_NAMED = f"""
    SELECT 1 FROM superseded JOIN statement ON statement.id = statement_id
        WHERE part_key = ?1 AND {_SEEN} UNION ALL
    SELECT 1 FROM kit_line JOIN statement ON statement.id = statement_id
        WHERE part_key = ?1 AND {_SEEN} UNION ALL
    SELECT 1 FROM statement
        WHERE kind IN ('contents', 'withdrawn') AND subject_key = ?1 AND {_SEEN} UNION ALL
    SELECT 1 FROM mention JOIN item ON item.id = item_id
        WHERE part_key = ?1 AND whole AND NOT item.by_ocr UNION ALL
    SELECT 1 FROM publication_part JOIN publication ON publication.id = publication_id
        WHERE part_key = ?1 AND NOT EXISTS (
            SELECT 1 FROM sheet WHERE sheet.file_id = publication.file_id AND sheet.by_ocr
                AND (publication_part.page IS NULL OR sheet.page = publication_part.page)) UNION ALL
    SELECT 1 FROM manual_kit WHERE kit_key = ?1 AND NOT source_ocr UNION ALL
    SELECT 1 FROM manual_kit_line JOIN manual_kit ON manual_kit.id = manual_kit_id
        WHERE part_key = ?1 AND NOT source_ocr
    LIMIT 1"""


class Known(OpenStore):
    """Says which part numbers are known otherwise than by OCR."""

    def known_by_text(self, part: str) -> bool:
        """True if a statement, a step, a parts list or a kit list read from a text layer names the
        part, or a statement that a person settled."""
        return bool(key(part)) and self._row(_NAMED, key(part)) is not None

    def alike_by_text(self, part: str) -> tuple[str, ...]:
        """Other part numbers, as printed, that a text layer names and that look like this one: equal once
        look-alikes are folded (O 0, I 1, S 5, B 8, Z 2, G 6)."""
        sql = """SELECT part_key, printed FROM part WHERE folded = ?1 UNION
                 SELECT part_key, printed FROM mention WHERE folded = ?1 AND whole ORDER BY part_key"""
        found = {row["part_key"]: row["printed"] for row in self._rows(sql, folded(part))}
        return tuple(printed for k, printed in found.items() if k != key(part) and self.known_by_text(k))
