"""Long lists of superseded numbers: stored as they are read, to the same end as short ones. All numbers are
invented; no source."""

import datetime as dt
import hashlib
import random
from collections import defaultdict
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import pytest
from benchleaf.graph.circles import circles
from benchleaf.graph.db import bulk
from benchleaf.graph.db.bulk import PORTION, ListFile, Row
from benchleaf.graph.keys import key
from benchleaf.graph.part import part_answer
from benchleaf.graph.restand import restand
from benchleaf.graph.store import Store
from benchleaf.ingest.add import add_paths
from benchleaf.ingest.document import read_document
from benchleaf.ingest.lists import streamed
from benchleaf.ingest.lists.lists import iter_list
from benchleaf.ingest.lists.streamed import take_list

NOW = dt.datetime(2026, 11, 25, 9, tzinfo=dt.UTC)
Rows = list[tuple[tuple[str, ...], tuple[str, ...], str]]
ODD = "KD 1;KD 1;;\nKD 7;no longer supplied;;\n;KD 8;;\nKD 9;KD 10, KD 11;;only if fitted with KD 12\n"


def rows_of(count: int, rings: int, seed: int = 5) -> Rows:
    """Chains of one to five links, some ending in a split, some with a merge on the way, and a few rings."""
    dice, rows, at = random.Random(seed), [], 0
    while len(rows) < count:
        length = dice.randint(1, 5)
        names = [f"KD {n // 1000:04d}-{n % 1000:03d}" for n in range(at, at + length + 4)]
        for n in range(length):
            date = f"{1990 + 5 * n}-{dice.randint(1, 12):02d}-03"
            old, new = (names[n],), (names[n + 1],)
            if n == length - 1 and dice.random() < 0.2:
                new = (names[n + 1], names[n + 2])
            elif n and dice.random() < 0.1:
                old = (names[n], names[length + 3])
            rows.append((old, new, date))
        at += length + 4
    for n in range(rings):
        three = [f"RG {n:03d}-{i}" for i in range(3)]
        rows += [((three[i],), (three[(i + 1) % 3],), "") for i in range(3)]
    return rows


def csv_of(rows: Rows) -> bytes:
    lines = [f"{' + '.join(old)};{' + '.join(new)};{date};" for old, new, date in rows]
    return ("Old number;New number;Date;Remarks\n" + "\n".join(lines) + "\n").encode()


def ends(rows: Rows, number: str) -> set[str]:
    """What a number became, by a walk over plain dictionaries."""
    became: dict[str, set[str]] = defaultdict(set)
    for old, new, _ in rows:
        for one in old:
            became[one] |= set(new)
    found, ahead, seen = set(), [number], set()
    while ahead:
        at = ahead.pop()
        seen.add(at)
        found |= set() if became.get(at) else {at}
        ahead += [n for n in became.get(at, ()) if n not in seen]
    return found


def taken(folder: Path, data: bytes, rows: list[int] | None = None) -> Store:
    store = Store.open(folder, create=True)
    take_list(
        store, data, "list.csv", hashlib.sha256(data).hexdigest(), NOW, None if rows is None else rows.append
    )
    return store


def dump(store: Store) -> list[object]:
    """Everything that the list's rows left in the store, without the database's own ids."""
    asked = {
        "file": "sha256, name, kind, received", "sheet": "sheet, page, text, by_ocr, picture",
        "finding": "message, quote, source_file, source_sheet, source_page",
        "note": "number, number_key, date, subject, source, applies, file, received, unclear, cites, listing",
        "statement": "note, note_key, kind, date, quote, source_file, source_sheet, standing, why,"
        " confidence, settled_by, read_why, read_body, relation, interchange, stock, subject, subject_key",
        "superseded": "statement_id, side, part, part_key", "part": "part_key, folded, printed",
        "part_search": "part_key, folded",
    }  # fmt: skip
    return [
        sorted(map(tuple, store.connection.execute(f"SELECT {columns} FROM {table}")), key=repr)
        for table, columns in asked.items()
    ]


def test_a_list_taken_row_by_row_is_stored_as_one_taken_whole(tmp_path: Path) -> None:
    """Files, findings, statements, numbers and the index of a list are the same by both ways, rows that
    cannot be read and doubtful ones included; and the store is whole."""
    data = csv_of(rows_of(400, 2)) + ODD.encode()
    with Store.open(tmp_path / "whole", create=True) as whole, taken(tmp_path / "rows", data) as by_rows:
        document = read_document(data, "list.csv")
        whole.keep_original(document.sha256, data)
        with whole.transaction():
            restand(whole, whole.insert(document, NOW.date(), NOW), document)
        assert dump(by_rows) == dump(whole)
        assert {s.standing for s in by_rows.statements()} == {"settled", "doubtful"}
        found = by_rows.connection.execute("SELECT count(*) FROM finding").fetchone()[0]
        assert found == len(document.findings) >= 2


def test_chains_splits_and_merges_are_those_of_a_dictionary(tmp_path: Path) -> None:
    """What a number became, over some thousand rows, is where a walk over plain dictionaries ends."""
    rows, told = rows_of(6000, 0), list[int]()
    with taken(tmp_path / "s", csv_of(rows), told) as store:
        assert told == [PORTION, len(rows)]
        for old, _, _ in random.Random(1).sample(rows, 300):
            for one in old:
                answer = part_answer(store, one)
                assert {key(n) for n in answer.current} == {key(n) for n in ends(rows, one)}


def test_every_ring_of_a_long_list_is_found(tmp_path: Path) -> None:
    """Of rings put in among thousands of rows each is told with its three numbers, and nothing else is."""
    with taken(tmp_path / "s", csv_of(rows_of(3000, 7))) as store:
        told = sorted(circles(store))
        assert len(told) == 7
        assert all(f"RG {n:03d}-{i}" in told[n] for n in range(7) for i in range(3))


def test_a_list_is_stored_whole_or_not_at_all(tmp_path: Path) -> None:
    """A reading that breaks off behind the first portion leaves no row of the list and no known number."""
    data = csv_of(rows_of(PORTION + 500, 0))

    def broken() -> Iterator[Row]:
        for at, row in enumerate(iter_list(BytesIO(data), "list.csv")):
            if at > PORTION + 100:
                raise OSError("the stick was pulled out")
            yield row

    with Store.open(tmp_path / "s", create=True) as store:
        head = read_document(data[:4000], "list.csv").notes[0]
        file = ListFile(64 * "a", "list.csv", head, NOW.date(), NOW)
        with pytest.raises(OSError, match="stick"), store.transaction():
            store.insert_list(file, broken())
        counts = [store.connection.execute(f"SELECT count(*) FROM {t}").fetchone()[0] for t in
                  ("file", "note", "statement", "superseded", "part", "sheet")]  # fmt: skip
        assert counts == [0] * 6 and store.printed("KD 0000-001") is None


def test_no_more_than_a_portion_is_read_ahead(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whenever a portion was stored, just as many rows were read: none waits in memory for the list's end."""
    monkeypatch.setattr(bulk, "PORTION", 250)
    data, read, stored = csv_of(rows_of(1200, 0)), [], []

    def rows() -> Iterator[Row]:
        for row in iter_list(BytesIO(data), "list.csv"):
            read.append(1)
            yield row

    with Store.open(tmp_path / "s", create=True) as store, store.transaction():
        head = read_document(data[:4000], "list.csv").notes[0]
        file = ListFile(64 * "a", "list.csv", head, NOW.date(), NOW)
        taken = store.insert_list(file, rows(), lambda count: stored.append((count, len(read))))
    assert stored[:4] == [(n, n) for n in (250, 500, 750, 1000)] and taken.statements == len(read)


def test_a_long_file_goes_row_by_row_and_its_outcome_is_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """`add` tells of a long list what it tells of a short one, with its rows on the way; added again it is
    held already."""
    file, told = tmp_path / "list.csv", []
    file.write_bytes(csv_of(rows_of(300, 1)) + ODD.encode())
    outcomes = []
    for name, least in (("short", 10**9), ("long", 1000)):
        monkeypatch.setattr(streamed, "LONG", least)
        with Store.open(tmp_path / name, create=True) as store:
            report = add_paths(store, [file], NOW, rows=lambda path, count: told.append((path, count)))
            outcomes.append(report.files[0])
            again = add_paths(store, [file], NOW).files[0]
            assert (again.outcome, again.number) == ("held", "list")
    assert outcomes[0] == outcomes[1] and outcomes[1].statements > 300
    assert [path for path, _ in told] == [str(file)]
