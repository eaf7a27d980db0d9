"""The store's tables, as they are created: one row of SQL each. `schema.py` applies them in order.

Every number is kept twice: as printed, and as its key (see `keys.py`) for look-ups. Lists that are only read
back whole (models, reasons) are JSON texts; whatever is searched by has a column or a table of its own.
"""

FILES = (
    """CREATE TABLE file (
        id INTEGER PRIMARY KEY, sha256 TEXT NOT NULL UNIQUE, name TEXT NOT NULL,
        kind TEXT NOT NULL CHECK (kind IN ('manual', 'note', 'list', 'slip', 'other')),
        received TEXT NOT NULL, received_at TEXT NOT NULL) STRICT""",
    """CREATE TABLE sheet (
        id INTEGER PRIMARY KEY, file_id INTEGER NOT NULL REFERENCES file(id), sheet INTEGER NOT NULL,
        page TEXT,
        text TEXT NOT NULL, by_ocr INTEGER NOT NULL, picture INTEGER NOT NULL) STRICT""",
    "CREATE INDEX sheet_file ON sheet(file_id)",
    """CREATE TABLE finding (
        id INTEGER PRIMARY KEY, file_id INTEGER NOT NULL REFERENCES file(id), message TEXT NOT NULL,
        quote TEXT NOT NULL, source_file TEXT NOT NULL, source_sheet INTEGER NOT NULL, source_page TEXT,
        source_box TEXT, source_ocr INTEGER NOT NULL) STRICT""",
    "CREATE INDEX finding_file ON finding(file_id)",
)

MANUALS = (
    """CREATE TABLE publication (
        id INTEGER PRIMARY KEY, file_id INTEGER NOT NULL REFERENCES file(id), number TEXT NOT NULL,
        number_key TEXT NOT NULL, title TEXT, issuer TEXT, edition TEXT, date TEXT, models TEXT NOT NULL,
        file TEXT NOT NULL) STRICT""",
    "CREATE INDEX publication_number ON publication(number_key)",
    "CREATE INDEX publication_file ON publication(file_id)",
    """CREATE TABLE publication_part (
        id INTEGER PRIMARY KEY, publication_id INTEGER NOT NULL REFERENCES publication(id),
        part TEXT, part_key TEXT, description TEXT NOT NULL, quantity INTEGER, page TEXT) STRICT""",
    "CREATE INDEX publication_part_publication ON publication_part(publication_id)",
    "CREATE INDEX publication_part_key ON publication_part(part_key)",
    """CREATE TABLE page (
        id INTEGER PRIMARY KEY, publication_id INTEGER NOT NULL REFERENCES publication(id),
        page TEXT NOT NULL,
        page_key TEXT NOT NULL, sheet INTEGER NOT NULL, section TEXT) STRICT""",
    "CREATE INDEX page_publication ON page(publication_id, page_key)",
    """CREATE TABLE item (
        id INTEGER PRIMARY KEY, page_id INTEGER NOT NULL REFERENCES page(id),
        publication_id INTEGER NOT NULL REFERENCES publication(id), label TEXT NOT NULL,
        label_key TEXT NOT NULL,
        text TEXT NOT NULL, page TEXT NOT NULL, page_key TEXT NOT NULL, sheet INTEGER NOT NULL, section TEXT,
        box TEXT, notices TEXT NOT NULL, notice_text TEXT NOT NULL) STRICT""",
    "CREATE INDEX item_page ON item(page_id)",
    "CREATE INDEX item_publication ON item(publication_id, page_key, label_key)",
    "CREATE INDEX item_place ON item(page_key, label_key)",
    "CREATE INDEX item_label ON item(label_key)",
    """CREATE TABLE mention (
        id INTEGER PRIMARY KEY, item_id INTEGER NOT NULL REFERENCES item(id), printed TEXT NOT NULL,
        part_key TEXT NOT NULL, folded TEXT NOT NULL, whole INTEGER NOT NULL) STRICT""",
    "CREATE INDEX mention_item ON mention(item_id)",
    "CREATE INDEX mention_key ON mention(part_key)",
    "CREATE INDEX mention_folded ON mention(folded)",
)

NOTES = (
    """CREATE TABLE note (
        id INTEGER PRIMARY KEY, file_id INTEGER REFERENCES file(id), listing INTEGER NOT NULL,
        number TEXT NOT NULL,
        number_key TEXT NOT NULL, date TEXT, subject TEXT, issuer TEXT,
        source TEXT NOT NULL CHECK (source IN ('maker', 'shop', 'unknown')), revision TEXT,
        applies TEXT NOT NULL,
        file TEXT NOT NULL, received TEXT NOT NULL, unclear TEXT NOT NULL, cites TEXT NOT NULL,
        own_words TEXT) STRICT""",
    "CREATE INDEX note_number ON note(number_key)",
    "CREATE INDEX note_file ON note(file_id)",
    "CREATE INDEX note_received ON note(received)",
    """CREATE TABLE statement (
        id INTEGER PRIMARY KEY, note_id INTEGER NOT NULL REFERENCES note(id), note TEXT NOT NULL,
        note_key TEXT NOT NULL,
        kind TEXT NOT NULL CHECK (kind IN ('supersession', 'override', 'contents', 'cancels', 'withdrawn')),
        date TEXT, quote TEXT NOT NULL, source_file TEXT NOT NULL, source_sheet INTEGER NOT NULL,
        source_page TEXT, source_box TEXT, source_ocr INTEGER NOT NULL,
        standing TEXT NOT NULL CHECK (standing IN ('settled', 'doubtful', 'refused')), why TEXT NOT NULL,
        confidence REAL NOT NULL, settled_by TEXT, read_why TEXT NOT NULL,
        relation TEXT CHECK (relation IN ('one', 'all of', 'one of')),
        interchange TEXT CHECK (interchange IN ('both ways', 'new for old', 'none', 'unstated')),
        stock TEXT CHECK (stock IN ('use up', 'scrap')),
        action TEXT CHECK (action IN
            ('replace', 'insert-after', 'insert-before', 'delete', 'change-value', 'caution')),
        publication TEXT, publication_key TEXT, page TEXT, page_key TEXT, item TEXT, item_key TEXT,
        read_publication TEXT, read_publication_key TEXT, read_page TEXT, read_item TEXT,
        text TEXT, was TEXT, now TEXT, applies TEXT,
        subject TEXT, subject_key TEXT,
        CHECK ((kind = 'supersession') = (relation IS NOT NULL)),
        CHECK ((kind = 'override') = (action IS NOT NULL)),
        CHECK ((kind IN ('contents', 'cancels', 'withdrawn')) = (subject IS NOT NULL))) STRICT""",
    "CREATE INDEX statement_note_id ON statement(note_id)",
    "CREATE INDEX statement_note ON statement(note_key)",
    "CREATE INDEX statement_kind ON statement(kind, standing)",
    "CREATE INDEX statement_target ON statement(publication_key, page_key)",
    "CREATE INDEX statement_read ON statement(kind, read_publication_key)",
    "CREATE INDEX statement_subject ON statement(kind, subject_key)",
    """CREATE TABLE superseded (
        id INTEGER PRIMARY KEY, statement_id INTEGER NOT NULL REFERENCES statement(id),
        side TEXT NOT NULL CHECK (side IN ('old', 'new')), part TEXT NOT NULL,
        part_key TEXT NOT NULL) STRICT""",
    "CREATE INDEX superseded_statement ON superseded(statement_id, part_key)",
    "CREATE INDEX superseded_key ON superseded(part_key, statement_id)",
    """CREATE TABLE kit_line (
        id INTEGER PRIMARY KEY, statement_id INTEGER NOT NULL REFERENCES statement(id),
        side TEXT NOT NULL CHECK (side IN ('now', 'previous')), part TEXT, part_key TEXT,
        description TEXT NOT NULL, quantity INTEGER) STRICT""",
    "CREATE INDEX kit_line_statement ON kit_line(statement_id)",
    "CREATE INDEX kit_line_key ON kit_line(part_key)",
)

DECISIONS = (
    """CREATE TABLE settlement (
        id INTEGER PRIMARY KEY, statement_id INTEGER NOT NULL REFERENCES statement(id),
        verdict TEXT NOT NULL CHECK (verdict IN ('yes', 'no')), initials TEXT NOT NULL, at TEXT NOT NULL,
        changes TEXT NOT NULL) STRICT""",
    "CREATE INDEX settlement_statement ON settlement(statement_id)",
    """CREATE TRIGGER settlement_kept BEFORE UPDATE ON settlement
        BEGIN SELECT RAISE(ABORT, 'settlements are kept for ever'); END""",
    """CREATE TRIGGER settlement_not_deleted BEFORE DELETE ON settlement
        BEGIN SELECT RAISE(ABORT, 'settlements are kept for ever'); END""",
    """CREATE TABLE hold (
        id INTEGER PRIMARY KEY, kit TEXT NOT NULL, kit_key TEXT NOT NULL, reason TEXT NOT NULL,
        set_at TEXT NOT NULL,
        lifted_at TEXT, lifted_by TEXT, lifted_reason TEXT) STRICT""",
    "CREATE INDEX hold_kit ON hold(kit_key)",
)

PARTS = (
    """CREATE TABLE part (
        id INTEGER PRIMARY KEY, part_key TEXT NOT NULL UNIQUE, folded TEXT NOT NULL,
        printed TEXT NOT NULL) STRICT""",
    "CREATE INDEX part_folded ON part(folded)",
)

JOBS = (
    """CREATE TABLE job (
        id INTEGER PRIMARY KEY, number TEXT NOT NULL, number_key TEXT NOT NULL UNIQUE, model TEXT,
        serial TEXT,
        kits TEXT NOT NULL, state TEXT NOT NULL CHECK (state IN ('opened', 'built', 'shipped')),
        opened TEXT NOT NULL, built TEXT, shipped TEXT) STRICT""",
)

# Since version 3. What reading gave is kept beside what people made of it, so that a settlement can be taken
# back and a paper read again: `read_body` is a statement as it was read, `read_head` a note's head.
READINGS = (
    "ALTER TABLE statement ADD COLUMN read_body TEXT",
    "ALTER TABLE note ADD COLUMN read_head TEXT",
    "ALTER TABLE item ADD COLUMN by_ocr INTEGER NOT NULL DEFAULT 0",
    "ALTER TABLE item ADD COLUMN unsure TEXT NOT NULL DEFAULT '[]'",
    """CREATE TABLE scan (
        id INTEGER PRIMARY KEY, sha256 TEXT NOT NULL, sheet INTEGER NOT NULL, reader TEXT NOT NULL,
        body BLOB NOT NULL, UNIQUE (sha256, sheet, reader)) STRICT""",
)

_KEPT = (
    """CREATE TRIGGER {0}_kept BEFORE UPDATE ON {0}
        BEGIN SELECT RAISE(ABORT, 'settlements are kept for ever'); END""",
    """CREATE TRIGGER {0}_not_deleted BEFORE DELETE ON {0}
        BEGIN SELECT RAISE(ABORT, 'settlements are kept for ever'); END""",
)

# A verdict may also be "back"; SQLite changes no CHECK, so the table is made anew.
SETTLEMENTS = (
    """CREATE TABLE settlement_new (
        id INTEGER PRIMARY KEY, statement_id INTEGER NOT NULL REFERENCES statement(id),
        verdict TEXT NOT NULL CHECK (verdict IN ('yes', 'no', 'back')), initials TEXT NOT NULL,
        at TEXT NOT NULL, changes TEXT NOT NULL) STRICT""",
    """INSERT INTO settlement_new (id, statement_id, verdict, initials, at, changes)
        SELECT id, statement_id, verdict, initials, at, changes FROM settlement""",
    "DROP TABLE settlement",
    "ALTER TABLE settlement_new RENAME TO settlement",
    "CREATE INDEX settlement_statement ON settlement(statement_id)",
    *(trigger.format("settlement") for trigger in _KEPT),
    """CREATE TABLE head_settlement (
        id INTEGER PRIMARY KEY, note_id INTEGER NOT NULL REFERENCES note(id),
        verdict TEXT NOT NULL CHECK (verdict IN ('yes', 'back')), initials TEXT NOT NULL, at TEXT NOT NULL,
        fields TEXT NOT NULL, changes TEXT NOT NULL) STRICT""",
    "CREATE INDEX head_settlement_note ON head_settlement(note_id)",
    *(trigger.format("head_settlement") for trigger in _KEPT),
)

# Since version 3, G is folded like 6.
FOLDS = (
    "UPDATE part SET folded = replace(folded, 'G', '6')",
    "UPDATE mention SET folded = replace(folded, 'G', '6')",
)

# Since version 4. With a hold is kept what came: a JSON list of lines, and the unit it came for. What a
# manual itself says that a kit contains stands apart from the statements of notes: no person settles it.
KITS = (
    "ALTER TABLE hold ADD COLUMN came TEXT",
    "ALTER TABLE hold ADD COLUMN model TEXT",
    "ALTER TABLE hold ADD COLUMN serial TEXT",
    """CREATE TABLE manual_kit (
        id INTEGER PRIMARY KEY, publication_id INTEGER NOT NULL REFERENCES publication(id),
        kit TEXT NOT NULL, kit_key TEXT NOT NULL, quote TEXT NOT NULL, source_file TEXT NOT NULL,
        source_sheet INTEGER NOT NULL, source_page TEXT, source_box TEXT, source_ocr INTEGER NOT NULL,
        standing TEXT NOT NULL CHECK (standing IN ('settled', 'doubtful', 'refused')), why TEXT NOT NULL,
        confidence REAL NOT NULL, settled_by TEXT) STRICT""",
    "CREATE INDEX manual_kit_publication ON manual_kit(publication_id)",
    "CREATE INDEX manual_kit_key ON manual_kit(kit_key)",
    """CREATE TABLE manual_kit_line (
        id INTEGER PRIMARY KEY, manual_kit_id INTEGER NOT NULL REFERENCES manual_kit(id),
        side TEXT NOT NULL CHECK (side IN ('now', 'previous')), part TEXT, part_key TEXT,
        description TEXT NOT NULL, quantity INTEGER) STRICT""",
    "CREATE INDEX manual_kit_line_kit ON manual_kit_line(manual_kit_id)",
    "CREATE INDEX manual_kit_line_key ON manual_kit_line(part_key)",
)

# Since version 5. A job is its number; all else of it is what was written down, each line with initials and
# time, and what was pinned: both are only ever added to.
_LASTING = (
    """CREATE TRIGGER {0}_kept BEFORE UPDATE ON {0}
        BEGIN SELECT RAISE(ABORT, 'what is written of a job is kept for ever'); END""",
    """CREATE TRIGGER {0}_not_deleted BEFORE DELETE ON {0}
        BEGIN SELECT RAISE(ABORT, 'what is written of a job is kept for ever'); END""",
)

WORK = (
    "ALTER TABLE job RENAME TO job_before",
    """CREATE TABLE job (
        id INTEGER PRIMARY KEY, number TEXT NOT NULL, number_key TEXT NOT NULL UNIQUE) STRICT""",
    "INSERT INTO job (id, number, number_key) SELECT id, number, number_key FROM job_before",
    """CREATE TABLE job_change (
        id INTEGER PRIMARY KEY, job_id INTEGER NOT NULL REFERENCES job(id), kind TEXT NOT NULL,
        day TEXT NOT NULL, at TEXT NOT NULL, initials TEXT NOT NULL, body TEXT NOT NULL) STRICT""",
    "CREATE INDEX job_change_job ON job_change(job_id)",
    """INSERT INTO job_change (job_id, kind, day, at, initials, body)
        SELECT id, 'opened', opened, opened || 'T00:00:00+00:00', '', '[]' FROM job_before ORDER BY id""",
    """INSERT INTO job_change (job_id, kind, day, at, initials, body)
        SELECT id, 'unit', opened, opened || 'T00:00:00+00:00', '',
            json_array(json_array('model', coalesce(model, '')), json_array('serial', coalesce(serial, '')))
        FROM job_before WHERE model IS NOT NULL OR serial IS NOT NULL ORDER BY id""",
    """INSERT INTO job_change (job_id, kind, day, at, initials, body)
        SELECT job_before.id, 'kit', opened, opened || 'T00:00:00+00:00', '',
            json_array(json_array('kit', kit.value))
        FROM job_before, json_each(job_before.kits) AS kit ORDER BY job_before.id, kit.key""",
    """INSERT INTO job_change (job_id, kind, day, at, initials, body)
        SELECT id, 'built', built, built || 'T00:00:00+00:00', '', '[]'
        FROM job_before WHERE built IS NOT NULL ORDER BY id""",
    """INSERT INTO job_change (job_id, kind, day, at, initials, body)
        SELECT id, 'shipped', shipped, shipped || 'T00:00:00+00:00', '', '[]'
        FROM job_before WHERE shipped IS NOT NULL ORDER BY id""",
    "DROP TABLE job_before",
    """CREATE TABLE job_pin (
        id INTEGER PRIMARY KEY, job_id INTEGER NOT NULL REFERENCES job(id),
        occasion TEXT NOT NULL CHECK (occasion IN ('opened', 'built')), day TEXT NOT NULL, at TEXT NOT NULL,
        initials TEXT NOT NULL, body TEXT NOT NULL) STRICT""",
    "CREATE INDEX job_pin_job ON job_pin(job_id)",
    *(trigger.format(table) for table in ("job", "job_change", "job_pin") for trigger in _LASTING),
)

_LOOK_ALIKES = (
    ("O", "0"),
    ("Q", "0"),
    ("I", "1"),
    ("L", "1"),
    ("S", "5"),
    ("B", "8"),
    ("Z", "2"),
    ("G", "6"),
)
ODD_NUMBER = "number_key GLOB '*[^0-9A-Z]*'"  # it has letters of other scripts


def folded_by(column: str) -> str:
    """The SQL that folds the look-alikes of a key of digits and plain letters, as `keys.folded` does; an
    index is built of it, so that a change of either needs a migration."""
    for sign, alike in _LOOK_ALIKES:
        column = f"replace({column}, '{sign}', '{alike}')"
    return column


# The models that an applicability names, as far as its JSON text gives them first: up to the first bracket.
# SQLite's own JSON functions are refused in an index while trusted_schema is off.
FIRST_MODELS = "substr(applies, 1, instr(applies, ']'))"
HAS_MODELS = """substr(applies, 1, 11) = '{"models": '"""

HAS_KITS = """instr(applies, '"kits": [') > 0"""
CITES_BOOKS = """instr(cites, '["publication", ') > 0"""

# Since version 6. What near numbers and the packs of all books are looked for by: indexes over what is there
# already, and what `read_pack` makes of the steps.
LOOKING = (
    f"CREATE INDEX note_folded ON note({folded_by('number_key')}) WHERE listing = 0",
    f"CREATE INDEX note_odd ON note(number) WHERE listing = 0 AND {ODD_NUMBER}",
    f"CREATE INDEX note_models ON note({FIRST_MODELS}) WHERE {HAS_MODELS}",
    f"CREATE INDEX statement_models ON statement({FIRST_MODELS}) WHERE kind = 'override' AND {HAS_MODELS}",
    f"CREATE INDEX note_kits ON note(number_key) WHERE {HAS_KITS}",
    f"CREATE INDEX note_citing ON note(number_key) WHERE {CITES_BOOKS}",
    "CREATE INDEX kit_line_name ON kit_line(description, side, statement_id, quantity)",
    """CREATE TABLE item_pack (
        item_id INTEGER PRIMARY KEY REFERENCES item(id) ON DELETE CASCADE,
        publication_id INTEGER NOT NULL REFERENCES publication(id) ON DELETE CASCADE,
        friction INTEGER, steel INTEGER) STRICT""",
    "CREATE INDEX item_pack_publication ON item_pack(publication_id)",
    "CREATE INDEX item_pack_counts ON item_pack(friction, steel)",
)

# Index → (its content table, the columns indexed, the tokenizer). Rows are written by hand beside their
# content: triggers on a virtual table are refused while trusted_schema is off.
SEARCH = {
    "item_search": ("item", ("text", "notice_text"), "unicode61 remove_diacritics 2"),
    "sheet_search": ("sheet", ("text",), "unicode61 remove_diacritics 2"),
    "note_search": ("note", ("number", "subject", "own_words"), "unicode61 remove_diacritics 2"),
    "part_search": ("part", ("part_key", "folded"), "trigram"),
}
