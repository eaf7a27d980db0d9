"""What OCR read on a sheet, kept so that no sheet is read twice."""

from collections.abc import Iterable

from benchleaf.graph.db.connection import OpenStore
from benchleaf.graph.model import ScanSheet


class Scans(OpenStore):
    """Keeps and gives back the results of OCR by the hash of the original."""

    def scans(self, sha256: str) -> tuple[ScanSheet, ...]:
        """Every kept result for an original, by sheet; a sheet read by several readers has one of each."""
        found = self._rows("SELECT * FROM scan WHERE sha256 = ? ORDER BY sheet, id", sha256)
        return tuple(ScanSheet(row["sheet"], row["reader"], bytes(row["body"])) for row in found)

    def keep_scans(self, sha256: str, scans: Iterable[ScanSheet]) -> None:
        """Keeps results; one by the same reader for the same sheet takes the earlier one's place. Inside a
        transaction."""
        self._change_many(
            """INSERT INTO scan (sha256, sheet, reader, body) VALUES (?, ?, ?, ?)
               ON CONFLICT (sha256, sheet, reader) DO UPDATE SET body = excluded.body""",
            ((sha256, scan.sheet, scan.reader, scan.body) for scan in scans),
        )
