"""Adding files on the desk: received, read in a process of its own, told file by file."""

import io
import re
import time
from html import unescape
from pathlib import Path

import pytest
from benchleaf.cli.desk.taking import Busy, Taking
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.store import Store
from desk_visit import Visit, visit

LETTER = (
    "Vellmar\nService bulletin VB 170\nDate: 3 May 2024\nSubject: Cover screws\nModels: VR 30\n\n"
    "In manual VM-30, page 4-12, item 4 is replaced by the following:\n\n"
    '"Tighten the cover screws to 33 N·m."\n'
)


def send(desk: Visit, *files: tuple[str, bytes], **how):
    sent = [(io.BytesIO(data), name) for name, data in files]
    return desk.post("/adding", {"files": sent}, "/adding", **how)


def outcome(desk: Visit, at: str) -> str:
    """The page of a batch once it is read, at most a minute later."""
    for _ in range(300):
        answer = desk.get(at)
        if "Refresh" not in answer.headers:
            return unescape(answer.text)
        time.sleep(0.2)
    pytest.fail("the reading did not end")


def plain(text: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", text).split())


def test_files_are_read_and_each_is_told(fresh: Path) -> None:
    """A read, a held and a refused file each have their line, with the reason; the originals are kept."""
    desk = visit(fresh)
    answer = send(desk, ("vb170.txt", LETTER.encode()), ("torn.pdf", b"%PDF-1.4 torn"))
    assert answer.status_code == 302
    text = plain(outcome(desk, answer.headers["Location"]))
    assert "2 files: 1 read, 0 held already, 1 refused" in text
    assert "READ: vb170.txt" in text
    assert "note VB 170" in text
    assert "REFUSED: torn.pdf" in text
    with Store.open(fresh) as store:
        held = store.note("VB 170")
        assert held is not None
        assert held.file == "vb170.txt"
    again = send(desk, ("other name.txt", LETTER.encode()))
    assert "1 held already" in plain(outcome(desk, again.headers["Location"]))


def test_the_first_papers_make_the_store(tmp_path: Path) -> None:
    """A desk over a folder without a store says so, takes the first papers and then shows them."""
    desk = visit(tmp_path / "new")
    assert "Nothing is held yet" in desk.get("/doubts").text
    at = send(desk, ("vb170.txt", LETTER.encode())).headers["Location"]
    assert "1 read" in outcome(desk, at)
    assert desk.get("/doubts").status_code == 200
    with Store.open(tmp_path / "new") as store:
        assert store.note("VB 170") is not None


def test_the_page_asks_again_by_itself_while_files_are_read(fresh: Path, monkeypatch) -> None:
    """While a batch is read its page refreshes without script, and a second batch is told to wait."""
    import threading

    from benchleaf.cli.desk import taking

    go, real = threading.Event(), taking._child
    monkeypatch.setattr(taking, "_child", lambda *given: (go.wait(30), real(*given))[1])
    desk = visit(fresh)
    at = send(desk, ("vb170.txt", LETTER.encode())).headers["Location"]
    page = desk.get(at)
    assert page.headers["Refresh"] == "1"
    assert "vb170.txt" in page.text
    assert "read just now" in unescape(desk.get("/adding").text)
    second = send(desk, ("x.txt", b"x"), follow_redirects=True)
    assert "Wait until they are done" in second.text
    go.set()
    assert "1 read" in outcome(desk, at)


def test_a_script_is_told_the_address(fresh: Path) -> None:
    """A script's sending, told by its token header, is answered with the batch's address as JSON."""
    desk = visit(fresh)
    token = desk.token("/adding")
    data = {"files": [(io.BytesIO(LETTER.encode()), "vb170.txt")]}
    answer = desk.client.post("/adding", data=data, headers={"X-Token": token})
    assert "1 read" in outcome(desk, answer.get_json()["at"])
    none = desk.client.post("/adding", data={}, headers={"X-Token": token})
    assert (none.status_code, "no file" in none.get_json()["problem"]) == (409, True)


def test_no_file_is_told(fresh: Path) -> None:
    """The form sent without a file comes back with a plain message."""
    desk = visit(fresh)
    assert "no file was chosen" in desk.post("/adding", {}, "/adding", follow_redirects=True).text


HOSTILE = [
    "../../../up.txt", "/etc/up.txt", "..\\..\\up.txt", "C:\\up.txt", "..", ".", "a\x00b.txt", "-rf.txt",
    "x" * 400 + ".txt", "ü" * 300 + ".txt", "a\nb.txt", "<b>up</b>.txt", "~/up.txt", "$(up).txt",
    "con.txt", "\u202etxt.exe", "..txt", " .txt ",
]  # fmt: skip


@pytest.mark.parametrize("name", HOSTILE)
def test_a_name_is_never_a_path(name: str, tmp_path: Path, monkeypatch) -> None:
    """Whatever a file is called, it lands in the batch's own folder, and nothing else is made anywhere."""
    from benchleaf.cli.desk import taking

    room, seen = tmp_path / "room", []
    room.mkdir()
    path = taking._received(room, 3, taking._shown(name), lambda p: seen.append(p) or p.write_bytes(b"x"))
    assert seen == [path]
    assert path.parent == room / "00003"
    assert path.resolve().parent == (room / "00003").resolve()
    assert len(path.name.encode()) <= 255
    assert [p for p in tmp_path.rglob("*") if p.is_file()] == [path]


def test_names_and_findings_never_become_markup(fresh: Path) -> None:
    """A file's name with markup in it is shown as it is."""
    desk = visit(fresh)
    at = send(desk, ("<img src=x onerror=alert(1)>.txt", b"nothing of use")).headers["Location"]
    outcome(desk, at)
    raw = desk.get(at).text
    assert "<img src=x" not in raw
    assert "&lt;img src=x" in raw


def test_an_unknown_batch_is_not_found(fresh: Path) -> None:
    """A batch of an earlier desk is not remembered: a clear page."""
    assert visit(fresh).get("/adding/0011223344556677").status_code == 404


def test_the_temporary_folder_is_gone_afterwards(fresh: Path, tmp_path: Path, monkeypatch) -> None:
    """Nothing that was received lies about when the batch is read, whether it was read or could not be."""
    import tempfile

    room = tmp_path / "rooms"
    room.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(room))
    desk = visit(fresh)
    outcome(desk, send(desk, ("vb170.txt", LETTER.encode())).headers["Location"])
    assert [p for p in room.iterdir() if p.name.startswith("benchleaf-desk-")] == []

    def torn(path: Path) -> None:
        raise OSError("no room")

    taking = Taking(fresh)
    with pytest.raises(OSError, match="no room"):
        taking.begin([("a.txt", torn)])
    assert taking.reading() is None
    assert [p for p in room.iterdir() if p.name.startswith("benchleaf-desk-")] == []


def test_a_reader_that_falls_over_is_told(fresh: Path, monkeypatch) -> None:
    """If the reading process dies, the batch says so, and the next one can begin."""
    import subprocess

    from benchleaf.cli.desk import taking

    dead = subprocess.CompletedProcess([], -9, b"", b"")
    monkeypatch.setattr(taking, "_child", lambda *given: dead)
    desk = visit(fresh)
    text = outcome(desk, send(desk, ("a.txt", b"a")).headers["Location"])
    assert "The reading stopped" in text
    assert send(desk, ("a.txt", b"a")).headers["Location"].startswith("/adding/")


def test_one_batch_at_a_time(tmp_path: Path, monkeypatch) -> None:
    """Two batches begun at once: one is read, the other is told to wait."""
    import subprocess
    import threading

    from benchleaf.cli.desk import taking

    go, dead = threading.Event(), subprocess.CompletedProcess([], 1, b"", b"")
    monkeypatch.setattr(taking, "_child", lambda *given: (go.wait(30), dead)[1])
    both = Taking(tmp_path)
    both.begin([("a.txt", lambda p: p.write_bytes(b"a"))])
    with pytest.raises(Busy):
        both.begin([("b.txt", lambda p: p.write_bytes(b"b"))])
    with pytest.raises(WrongUse):
        both.begin([])
    go.set()
