"""Supersession lists as CSV. Traps of spreadsheets: common practice,
no source. All part numbers are invented."""

import datetime as dt
import io
import tracemalloc
from collections.abc import Iterator

import pytest
from benchleaf.graph.model import Finding, Supersession, Withdrawn
from benchleaf.ingest.lists.lists import ListReading, is_list, iter_list, read_list
from hypothesis import given, settings
from hypothesis import strategies as st


def listed(text: str, encoding: str = "utf-8") -> ListReading:
    data = text.encode(encoding)
    assert is_list(data)
    return read_list(data, "changes_2014.csv")


def changes(reading: ListReading) -> list[tuple[tuple[str, ...], tuple[str, ...]]]:
    return [(r.old, r.new) for r in reading.rows if isinstance(r, Supersession)]


@pytest.mark.parametrize("delimiter", [";", ",", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_any_delimiter_and_encoding(delimiter: str, encoding: str) -> None:
    """The delimiter and the encoding are found by the content."""
    text = (
        delimiter.join(["Old number", "New number", "Remarks"])
        + "\n"
        + delimiter.join(["A-100", "A-101", "für"])
    )
    reading = listed(text, encoding)
    assert changes(reading) == [(("A-100",), ("A-101",))]
    assert reading.rows[0].quote == "A-100 | A-101 | für"


HEADS = [
    "Old number;New number",
    "Old Part No.;New Part No.",
    "Part No.;Superseded by",
    "Part number;Replaced by",
    "Was;Now",
    "Previous number;Current number",
    "Alte Nummer;Neue Nummer",
    "OLD;NEW",
    "Obsolete part;Use instead",
    "From;To",
]


@pytest.mark.parametrize("heads", HEADS)
def test_heads_by_vocabulary(heads: str) -> None:
    """Columns are known by their heads, in any usual words."""
    assert changes(listed(heads + "\nA-100;A-101\n")) == [(("A-100",), ("A-101",))]


def test_a_column_of_what_is_replaced_turns_the_row_round() -> None:
    """`Part number | Replaces`: the part number is the new one."""
    assert changes(listed("Part number;Replaces;Description\nB-2;B-1;disc\n")) == [(("B-1",), ("B-2",))]


def test_heads_may_follow_a_title_and_a_date() -> None:
    """The heads stand anywhere in the first rows; a date above them is the list's."""
    reading = listed(
        "Parts changes, issued 3 March 2001\n\n;;\nOld number;New number;Remarks\nA-100;A-101;\n"
    )
    assert reading.rows[0].date == dt.date(2001, 3, 3)
    assert reading.note.date == dt.date(2001, 3, 3)
    assert (reading.note.number, reading.rows[0].note) == ("changes_2014", "changes_2014")


def test_several_new_numbers() -> None:
    """`A + B`, `A; B` and two columns are a set; `A or B` a choice; `A, B` does not say which."""
    reading = listed(
        "Old number,New number,New number 2\nA-1,B-1 + B-2,\nA-2,B-1; B-2,\nA-3,B-1,B-2\n"
        'A-4,B-1 or B-2,\nA-5,"B-1, B-2",\n'
    )
    rows = [r for r in reading.rows if isinstance(r, Supersession)]
    assert [r.new for r in rows] == [("B-1", "B-2")] * 5
    assert [r.relation for r in rows] == ["all of", "all of", "all of", "one of", "all of"]
    assert [bool(r.why) for r in rows] == [False, False, False, False, True]


def test_several_old_numbers() -> None:
    """`A + B` became one; `A; B` are two changes."""
    reading = listed("Old number|New number\nA-1 + A-2|B-1\nA-3; A-4|B-2\n")
    assert changes(reading) == [(("A-1", "A-2"), ("B-1",)), (("A-3",), ("B-2",)), (("A-4",), ("B-2",))]


def test_no_new_number_is_withdrawn_only_in_so_many_words() -> None:
    """Blank with `NLA` is withdrawn; blank alone, or ordered elsewhere, is a finding."""
    reading = listed(
        "Old number;New number;Remarks\nA-1;;NLA\nA-2;discontinued;\nA-3;;\nA-4;;NSS, order assembly\n"
    )
    assert [r.part for r in reading.rows if isinstance(r, Withdrawn)] == ["A-1", "A-2"]
    assert [f.message.split(":")[0] for f in reading.findings] == ["row 4", "row 5"]


@pytest.mark.parametrize(
    ("remark", "interchange", "stock"),
    [
        ("interchangeable", "both ways", None),
        ("Not interchangeable", "none", None),
        ("new for old only", "new for old", None),
        ("use up existing stock", "unstated", "use up"),
        ("scrap", "unstated", "scrap"),
        ("", "unstated", None),
        ("fully interchangeable, use up stock", "both ways", "use up"),
    ],
)
def test_remarks(remark: str, interchange: str, stock: str | None) -> None:
    """Interchange and stock are read from the remarks."""
    row = listed(f'Old number;New number;Remarks\nA-1;A-2;"{remark}"\n').rows[0]
    assert isinstance(row, Supersession)
    assert (row.interchange, row.stock, row.standing) == (interchange, stock, "settled")


def test_a_condition_is_a_doubt() -> None:
    """`conditionally interchangeable` is neither: the row is doubtful."""
    row = listed("Old number;New number;Remarks\nA-1;A-2;conditionally interchangeable, see note\n").rows[0]
    assert isinstance(row, Supersession)
    assert (row.interchange, row.standing) == ("unstated", "doubtful") and row.why


BAD = {
    "=1+2;A-2": "formula",
    "1.2E+11;A-2": "rounded",
    "A-1;A 1": "same",
    ";A-2": "no old number",
    "disc;A-2": "no part number",
    "A-1;plate": "no part number",
    "A-1;@SUM(1)": "formula",
}


@pytest.mark.parametrize("row", BAD)
def test_a_bad_row_is_a_finding_with_its_row_number(row: str) -> None:
    """Rows that cannot be trusted are left out and told, and the rows around them are read."""
    reading = listed(f"Old number;New number\nA-7;A-8\n{row}\nA-9;A-10\n")
    assert changes(reading) == [(("A-7",), ("A-8",)), (("A-9",), ("A-10",))]
    assert len(reading.findings) == 1
    assert reading.findings[0].message.startswith("row 3: ") and BAD[row] in reading.findings[0].message


@pytest.mark.parametrize(
    "row", ["Mar-45;A-2", "2003-05-07;A-2", "12345.0;A-2", "A-1;A-2;;;stray", "A-1;A-2;05/06/2016"]
)
def test_a_suspect_row_is_a_doubt(row: str) -> None:
    """What a spreadsheet may have turned into something else, and rows out of step, are doubtful."""
    reading = listed(f"Old number;New number;Date\n{row}\n")
    assert [r.standing for r in reading.rows] == ["doubtful"] and reading.rows[0].why


def test_other_dates_of_the_list_settle_the_order() -> None:
    """19/06/2016 further down proves that the list writes the day first."""
    reading = listed("Old number;New number;Date\nA-1;A-2;05/06/2016\nA-3;A-4;19/06/2016\n")
    assert [(r.date, r.standing) for r in reading.rows] == [
        (dt.date(2016, 6, 5), "settled"),
        (dt.date(2016, 6, 19), "settled"),
    ]


def test_quoted_line_breaks_and_text_tricks() -> None:
    """A cell may run over lines; `="00123"` and `'00123` keep their zeros."""
    reading = listed('Old number,New number,Remarks\n"=""00123""",\'00124,"new for old,\nonly"\n')
    assert changes(reading) == [(("00123",), ("00124",))]


def test_repeated_heads_and_blank_rows_are_passed_over() -> None:
    """Heads that stand again on each printed page are no rows."""
    reading = listed("Old number;New number\nA-1;A-2\n;\nOld number;New number\nA-3;A-4\n")
    assert len(reading.rows) == 2 and not reading.findings


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"%PDF-1.4 old number;new number",
        b"Part;Description;Quantity\n1;disc;4\n",
        b"\0\1\2",
        b"Dear sir, the old number, and the new number are as follows.\nfoo, bar\n",
        b"Old number  New number\nA-1  A-2\n",
    ],
)
def test_other_files_are_no_lists(data: bytes) -> None:
    """PDFs, letters and packing slips are not taken for lists."""
    assert not is_list(data)


def test_a_missing_quotation_mark_is_told() -> None:
    """A quotation mark that never closes is a finding, not a silent loss."""
    reading = read_list(b'Old number;New number\nA-1;A-2\n"A-3;A-4\n' + b"A-5;A-6\n" * 30000, "x.csv")
    assert changes(reading)[0] == (("A-1",), ("A-2",))
    assert reading.findings


class Endless(io.RawIOBase):
    """A list made as it is read."""

    def __init__(self, rows: int) -> None:
        self.rows = self.lines(rows)
        self.held = b""

    @staticmethod
    def lines(rows: int) -> Iterator[bytes]:
        yield b"Old number;New number;Date;Remarks\n"
        for i in range(rows):
            yield b"A-%d;B-%d;12.05.1999;interchangeable\n" % (i, i)

    def read(self, size: int = -1) -> bytes:
        while len(self.held) < size and (line := next(self.rows, None)):
            self.held += line
        chunk, self.held = self.held[:size], self.held[size:]
        return chunk


def test_a_long_list_is_read_in_bounded_memory() -> None:
    """40 000 rows, 1.6 MB, are read with a few hundred kB at any time."""
    tracemalloc.start()
    try:
        count = sum(1 for _ in iter_list(Endless(40_000), "long.csv"))  # type: ignore[arg-type]  # reads are enough
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert count == 40_000
    assert peak < 3_000_000


@settings(deadline=None)
@given(st.binary(max_size=300))
def test_no_bytes_raise(data: bytes) -> None:
    """Whatever a file holds, reading it as a list raises nothing."""
    is_list(data)
    read_list(b"Old number;New number\n" + data, "x.csv")


parts = st.from_regex(r"[A-Z]{0,2} ?[0-9]{3,5}(-[0-9]{2,3}[A-Z]?)?", fullmatch=True).map(str.strip)


@settings(deadline=None)
@given(st.lists(st.tuples(parts, parts), max_size=20), st.sampled_from(";,\t|"))
def test_any_list_reads_back(rows: list[tuple[str, str]], delimiter: str) -> None:
    """Every row gives its change, or a finding if old and new are one number."""
    text = f"Old number{delimiter}New number\n" + "".join(f"{a}{delimiter}{b}\n" for a, b in rows)
    reading = read_list(text.encode(), "x.csv")
    assert changes(reading) == [
        ((a,), (b,))
        for a, b in rows
        if a.replace(" ", "").replace("-", "") != b.replace(" ", "").replace("-", "")
    ]
    assert len(reading.rows) + len(reading.findings) == len(rows)
    assert all(isinstance(f, Finding) for f in reading.findings)
