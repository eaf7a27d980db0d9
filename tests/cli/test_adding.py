"""`add`: what is said of every file, and the exit status."""

import io
import json
from pathlib import Path

from benchleaf.cli.screen import Screen
from benchleaf.ingest import add
from rich.console import Console


def shown(*files) -> str:
    from benchleaf.cli.show_add import show_add

    held = io.StringIO()
    show_add(Screen(Console(file=held, width=80, force_terminal=False)), add.AddReport(files))
    return held.getvalue()


def test_a_line_a_file_and_the_totals() -> None:
    """Each file has its outcome and, if refused, its reason; the totals follow."""
    from benchleaf.graph.model import Finding, Source

    picture = Finding("12 pages are pictures: needs OCR", Source("m.pdf", 3))
    text = shown(
        add.FileOutcome("m.pdf", "read", "0" * 64, "manual", "VM-30", 48, 0, 0, 0, None, (picture,)),
        add.FileOutcome("n.pdf", "read", "1" * 64, "note", "VB 1", 2, 0, 3, 1),
        add.FileOutcome("n2.pdf", "held", "1" * 64, "note", pages=2),
        add.FileOutcome("x.pdf", "refused", reason="encrypted; print it anew"),
    )
    assert text.splitlines() == [
        "read     m.pdf: manual VM-30, 48 pages",
        "         12 pages are pictures: needs OCR",
        "read     n.pdf: note VB 1, 2 pages, 3 statements, 1 doubt",
        "held     n2.pdf: held already, byte for byte",
        "REFUSED  x.pdf: encrypted; print it anew",
        "",
        "4 files: 2 read, 1 held, 1 refused; 52 pages, 3 statements.",
        "1 doubt to look at: benchleaf doubts",
    ]


def test_a_note_is_read_once_and_a_bad_file_does_not_stop_it(run, tmp_path: Path) -> None:
    """A text note is read, then held; a file of no known type is refused with a reason: status 1."""
    papers = tmp_path / "papers"
    papers.mkdir()
    (papers / "a.txt").write_text(
        "SERVICE NOTE 12-3\nDate: 4 May 2021\nModels: VR 30\n\nFor information only.\n", encoding="utf-8"
    )
    (papers / "b.bin").write_bytes(b"\x00\x01\x02\xff" * 64)
    result = run("add", str(papers), "--json", store=tmp_path / "store")
    assert result.exit_code == 1
    shape = json.loads(result.stdout)
    assert [f["outcome"] for f in shape["files"]] == ["read", "refused"]
    names = {
        "path",
        "sha256",
        "outcome",
        "document",
        "number",
        "pages",
        "pages_by_ocr",
        "statements",
        "reason",
    }
    assert all(names <= set(f) for f in shape["files"])
    assert shape["files"][1]["reason"]
    assert set(shape["totals"]) == {"read", "held", "refused", "pages", "statements", "doubts"}
    again = run("add", str(papers / "a.txt"), "--json", store=tmp_path / "store")
    assert again.exit_code == 0
    assert [f["outcome"] for f in json.loads(again.stdout)["files"]] == ["held"]


def test_a_path_that_is_not_there_is_wrong_use(run, tmp_path: Path) -> None:
    """A misspelt path: status 2, and no store is made."""
    assert run("add", str(tmp_path / "none.pdf"), store=tmp_path / "store").exit_code == 2
    assert not (tmp_path / "store").exists()


def test_an_empty_folder_is_not_done(run, tmp_path: Path) -> None:
    """Nothing to read is not an answer: status 1."""
    (tmp_path / "empty").mkdir()
    result = run("add", str(tmp_path / "empty"), store=tmp_path / "store")
    assert result.exit_code == 1
    assert "No files" in result.stdout


def test_a_terminal_sees_progress(tmp_path: Path) -> None:
    """On a terminal the bar counts the files."""
    from test_terminal import on_terminal

    file = tmp_path / "a.txt"
    file.write_text("SERVICE NOTE 12-3\nDate: 4 May 2021\n\nFor information only.\n", encoding="utf-8")
    assert "1/1" in on_terminal("--store", str(tmp_path / "one"), "add", str(file))


def test_no_progress_off_a_terminal(run, tmp_path: Path) -> None:
    """In a pipe standard error stays empty."""
    file = tmp_path / "a.txt"
    file.write_text("SERVICE NOTE 12-3\nDate: 4 May 2021\n\nFor information only.\n", encoding="utf-8")
    assert run("add", str(file), store=tmp_path / "two").stderr == ""
