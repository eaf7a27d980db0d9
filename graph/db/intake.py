"""Taking a read document into the store: all of it, in one transaction."""

import datetime as dt
import sqlite3
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from benchleaf.graph.db import rows
from benchleaf.graph.db.entries import SOURCE_COLUMNS, Entries, standing_columns
from benchleaf.graph.db.packs import Packs
from benchleaf.graph.db.scans import Scans
from benchleaf.graph.errors import StoreProblem
from benchleaf.graph.keys import folded, key
from benchleaf.graph.mentions import runs
from benchleaf.graph.model import (
    Contents,
    Document,
    DocumentKind,
    Finding,
    Item,
    KitLine,
    Manual,
    ManualPage,
    SheetText,
)


@dataclass(frozen=True, slots=True)
class HeldFile:
    """A file that the store holds; `sheets` is how many sheets were read from it."""

    id: int
    sha256: str
    name: str
    kind: DocumentKind
    received: dt.date
    sheets: int


class Intake(Entries, Packs, Scans):
    """Stores documents and says which are held."""

    def held(self, sha256: str) -> HeldFile | None:
        """The held file of that hash, or None."""
        found = self._files("WHERE sha256 = ?", sha256)
        return found[0] if found else None

    def files(self) -> tuple[HeldFile, ...]:
        """Every held file, in the order in which they were taken in."""
        return self._files("")

    def files_of(self, asked: str) -> tuple[HeldFile, ...]:
        """The files that hold the note or publication of that number, or were added under that name."""
        inside = "SELECT file_id FROM {} WHERE number_key = ?2 AND ?2 <> ''"
        where = f"name = ?1 OR id IN ({inside.format('note')}) OR id IN ({inside.format('publication')})"
        return self._files(f"WHERE {where}", asked, key(asked))

    def file_of_statement(self, id: int) -> HeldFile | None:
        """The file that a statement was read from; None for the shop's own notes."""
        found = self._files(
            """WHERE id = (SELECT file_id FROM note JOIN statement ON note.id = note_id
                           WHERE statement.id = ?)""",
            id,
        )
        return found[0] if found else None

    def _files(self, where: str, *values: object) -> tuple[HeldFile, ...]:
        sheets = "(SELECT count(*) FROM sheet WHERE file_id = file.id) AS sheets"
        found = self._rows(f"SELECT *, {sheets} FROM file {where} ORDER BY id", *values)
        return tuple(
            HeldFile(
                r["id"], r["sha256"], r["name"], r["kind"], dt.date.fromisoformat(r["received"]), r["sheets"]
            )
            for r in found
        )

    def insert(self, document: Document, received: dt.date, received_at: dt.datetime) -> int:
        """Stores a document with everything in it and every index over it; the id of its file.

        `received` is the day on which the shop got it and becomes the `received` of its notes; `received_at`
        is the moment of storing. Call it inside a transaction, after `keep_original`. The statements' ids are
        found by `statements_of_document`. Raises StoreProblem if the same bytes are held already.
        """
        values = (
            document.sha256,
            document.name,
            document.kind,
            received.isoformat(),
            received_at.isoformat(),
        )
        try:
            file = self._change(
                "INSERT INTO file (sha256, name, kind, received, received_at) VALUES (?, ?, ?, ?, ?)", *values
            )
        except sqlite3.IntegrityError as error:
            if self._row("SELECT id FROM file WHERE sha256 = ?", document.sha256):
                raise StoreProblem(f"{document.name} is held already.", "Nothing needs doing.") from error
            raise
        self.keep_scans(document.sha256, document.scans)
        self._insert_sheets(file, document.sheets)
        self._insert_findings(file, document.findings)
        if document.manual is not None:
            self._insert_manual(file, document.manual, pages_of_numbers(document))
        for note in document.notes:
            self._insert_note(file, note, received, listing=document.kind == "list")
        return file

    def _insert_sheets(self, file: int, sheets: Iterable[SheetText]) -> None:
        for s in sheets:
            columns = {"sheet": s.sheet, "page": s.page, "text": s.text, "by_ocr": int(s.by_ocr)}
            self._indexed("sheet", {"file_id": file, **columns, "picture": int(s.picture)})

    def _insert_findings(self, file: int, findings: Iterable[Finding]) -> None:
        sql = """INSERT INTO finding (file_id, message, quote, source_file, source_sheet, source_page,
                 source_box, source_ocr) VALUES (?, ?, ?, ?, ?, ?, ?, ?)"""
        self._change_many(sql, ((file, f.message, f.quote, *rows.write_source(f.source)) for f in findings))

    def _insert_manual(self, file: int, manual: Manual, pages: Mapping[str, str]) -> None:
        self._kept.clear()
        publication = self._insert("publication", {"file_id": file, **cover_columns(manual)})
        self._insert_inside(publication, manual, pages)

    def _insert_inside(self, publication: int, manual: Manual, pages: Mapping[str, str]) -> None:
        self._insert_parts(publication, manual.parts, pages)
        for kit in manual.kits:
            self._insert_kit(publication, kit)
        for page in manual.pages:
            self._insert_page(publication, page)

    def _insert_parts(self, publication: int, parts: Iterable[KitLine], pages: Mapping[str, str]) -> None:
        for line in parts:
            page = pages.get(key(line.part or ""))
            columns = {"part": line.part, "part_key": rows.key_or_none(line.part), "page": page}
            words = {"description": line.description, "quantity": line.quantity}
            self._insert("publication_part", {"publication_id": publication, **columns, **words})
            self._name_part(line.part)

    def _insert_kit(self, publication: int, kit: Contents) -> None:
        """A kit that the manual itself lists; whose word it is, and of when, the publication's row tells."""
        columns = {"kit": kit.kit, "kit_key": key(kit.kit), "quote": kit.quote, **standing_columns(kit)}
        source = dict(zip(SOURCE_COLUMNS, rows.write_source(kit.source), strict=True))
        said = {"publication_id": publication, **columns, **source, "confidence": float(kit.confidence)}
        number = self._insert("manual_kit", said)
        self._name_part(kit.kit)
        for side, lines in (("now", kit.lines), ("previous", kit.previous)):
            for line in lines:
                place = {"manual_kit_id": number, "side": side, "part": line.part}
                words = {"description": line.description, "quantity": line.quantity}
                self._insert("manual_kit_line", {**place, "part_key": rows.key_or_none(line.part), **words})
                self._name_part(line.part)

    def _insert_page(self, publication: int, page: ManualPage) -> None:
        columns = {
            "page": page.page,
            "page_key": key(page.page),
            "sheet": page.sheet,
            "section": page.section,
        }
        number = self._insert("page", {"publication_id": publication, **columns})
        for item in page.items:
            self._insert_item(publication, number, item)

    def _insert_item(self, publication: int, page: int, item: Item) -> None:
        columns: dict[str, object] = {
            "page_id": page,
            "publication_id": publication,
            "label": item.label,
            "label_key": key(item.label),
            "text": item.text,
            "page": item.page,
            "page_key": key(item.page),
            "sheet": item.sheet,
            "section": item.section,
            "box": rows.write_box(item.box),
            "by_ocr": int(item.by_ocr),
            "unsure": rows.write_list(item.unsure),
            "notices": rows.write_notices(item.notices),
            "notice_text": "\n".join(n.text for n in item.notices),
        }
        number = self._indexed("item", columns)
        self._keep_pack(publication, number, item.text)
        found = runs(" ; ".join((item.text, *(n.text for n in item.notices))))
        self._change_many(
            "INSERT INTO mention (item_id, printed, part_key, folded, whole) VALUES (?, ?, ?, ?, ?)",
            ((number, run.printed, run.key, folded(run.key), int(run.whole)) for run in found),
        )


def cover_columns(manual: Manual) -> dict[str, object]:
    """The columns of what a manual's cover says."""
    return {
        "number": manual.number,
        "number_key": key(manual.number),
        "title": manual.title,
        "issuer": manual.issuer,
        "edition": manual.edition,
        "date": rows.write_date(manual.date),
        "models": rows.write_list(manual.models),
        "file": manual.file,
    }


def pages_of_numbers(document: Document) -> dict[str, str]:
    """Key of a listed part number → the printed page on which it stands first."""
    if document.manual is None or not document.manual.parts:
        return {}
    found: dict[str, str] = {}
    for sheet in document.sheets:
        for run in runs(sheet.text) if sheet.page is not None else ():
            found.setdefault(run.key, sheet.page or "")
    return found
