"""`week --csv`: the weekly report as a table that a spreadsheet takes for words."""

import csv
import datetime as dt
import io
from pathlib import Path

import pytest
from benchleaf.cli.csv_week import COLUMNS, cell, week_csv
from benchleaf.graph.jobs.job import About
from benchleaf.graph.jobs.work import Told, open_job
from benchleaf.graph.store import Store
from benchleaf.graph.week import week_answer
from hypothesis import given
from hypothesis import strategies as st
from job_papers import new_note, put
from small_store import RECEIVED, note

WEEK = ("week", "--week", "2026-W48")


def _rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_every_part_of_the_report_has_its_rows(run) -> None:
    """Notes, steps with was and now, parts, kits and what is missing, each under the same columns."""
    result = run(*WEEK, "--csv", "-")
    assert result.exit_code == 0
    rows = _rows(result.stdout_bytes.decode("utf-8"))
    assert list(rows[0]) == list(COLUMNS) and {r["week"] for r in rows} == {"2026-W48"}
    kinds = [r["kind"] for r in rows]
    assert kinds == sorted(kinds, key=["note", "step", "part", "kit", "job", "missing"].index)
    assert kinds.count("note") == 4
    value = next(r for r in rows if r["kind"] == "step" and r["item"] == "4")
    assert (value["was"], value["now"], value["note"], value["page"]) == (
        "29 N·m",
        "31 N·m",
        "VB 101",
        "4-12",
    )
    kit = next(r for r in rows if r["kind"] == "kit")
    assert kit["number"] == "7751-1" and "6 friction disc" in kit["now"]


def test_jobs_have_rows(fresh: Path) -> None:
    """A row for each step of a job that reads otherwise."""
    at = dt.datetime(2026, 11, 24, 10, 0, tzinfo=dt.UTC)
    with Store.open(fresh, write=True) as store, store.transaction():
        open_job(store, "2611", Told(model="VR 30", about=(About(page="4-12"),)), "AB", at)
    put(fresh, new_note())
    with Store.open(fresh) as store:
        answer = week_answer(store, "2026-W48", None, at.date())
    (row,) = (r for r in _rows(week_csv(answer)) if r["kind"] == "job")
    assert (row["number"], row["item"], row["note"], row["standing"]) == ("2611", "6", "VB 130", "opened")
    assert "1.2 to 1.6" in row["was"] and "1.4 to 1.6" in row["now"]


def test_an_empty_week_says_so(run) -> None:
    """One row that says that nothing was received."""
    (row,) = _rows(run("week", "--week", "2026-W02", "--csv", "-").stdout)
    assert (row["kind"], row["what"]) == ("none", "no notes were received; nothing changes")


def test_a_file_is_written_the_same_twice(run, tmp_path: Path) -> None:
    """The same bytes, with the mark of UTF-8 that spreadsheets ask for; standard output stays empty."""
    one, two = tmp_path / "one.csv", tmp_path / "two.csv"
    for file in (one, two):
        result = run(*WEEK, "--csv", str(file))
        assert result.exit_code == 0 and result.stdout == ""
    assert one.read_bytes() == two.read_bytes() and one.read_bytes().startswith(b"\xef\xbb\xbfweek,kind")


def test_wrong_use(run, tmp_path: Path) -> None:
    """Not with --json, and not into a folder that is not there."""
    assert run("week", "--csv", "-", "--json").exit_code == 2
    result = run("week", "--csv", str(tmp_path / "none" / "w.csv"))
    assert result.exit_code == 2 and "cannot be written" in result.stderr


def test_help_tells_how_to_run_it_weekly(run) -> None:
    """A line for cron and one for Windows' Task Scheduler."""
    text = run("week", "--help").stdout
    assert "0 15 * * 5 benchleaf week" in text and "schtasks /create /sc weekly" in text


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t=", "\r=", " ="])
def test_no_subject_is_taken_for_a_formula(tmp_path: Path, sign: str) -> None:
    """A cell that begins with =, +, - or @ gets an apostrophe before it (OWASP, "CSV Injection": these signs,
    tab and carriage return begin a formula)."""
    with Store.open(tmp_path / "s", create=True) as store:
        with store.transaction():
            store.insert(note("VB 1", dt.date(2020, 1, 1), f"{sign}1+1|cmd"), RECEIVED.date(), RECEIVED)
        text = week_csv(week_answer(store, "2026-W48", None, RECEIVED.date()))
    (row,) = _rows(text)
    assert row["what"] == f"'{sign.strip()}1+1|cmd"


@given(st.text())
def test_a_cell_is_one_line_and_never_a_formula(words: str) -> None:
    """Whatever a document says."""
    made = cell(words)
    assert not made.startswith(("=", "+", "-", "@", "\t", "\r")) and "\n" not in made
