"""Files that swell, nest, loop or lie about their size: refused or marked, the batch goes on."""

import contextlib
import datetime as dt
import io
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from benchleaf.graph.errors import BenchleafError
from benchleaf.graph.store import Store
from benchleaf.ingest.add import add_paths
from benchleaf.ingest.sheets.soundness import unsound
from benchleaf.ingest.workers.pool import WarmPool
from bombs import (
    boxed,
    deep_objects,
    forms_in_forms,
    jpeg,
    looping_tree,
    mail,
    many_pages,
    nested,
    no_pages,
    office,
    picture_in_pdf,
    png,
    swelling,
    tiff,
    web_page,
)
from damage import sound

NOW = dt.datetime(2026, 11, 25, 9)
MEMORY = 3_000_000_000
FULL = os.environ.get("BENCHLEAF_FAULTS") == "full"
"""Bombs that take minutes to go off are smaller without it."""
REFUSED = {
    "empty.pdf": ("empty", b""),
    "no-pages.pdf": ("no pages", no_pages()),
    "claims.pdf": ("damaged", many_pages(50_000, 1)),
    "large.png": ("200 million pixels", png(60_000, 60_000)),
    "large.tif": ("200 million pixels", tiff(60_000, 60_000)),
    "large.jpg": ("200 million pixels", jpeg(65_000, 65_000)),
    "swells.xlsx": ("swells", office("xl/workbook.xml", 600)),
    "swells.docx": ("swells", office("word/document.xml", 600)),
    "deep.eml": ("levels", mail(5_000)),
}
MARKED = {
    "swells.pdf": swelling(3000, 2),
    "swells-once.pdf": swelling(600, 1),
}
BORNE = {
    "nested.pdf": nested(1_000_000 if FULL else 10_000),
    "deep.pdf": deep_objects(50_000),
    "loop.pdf": looping_tree(),
    "giant.pdf": boxed(b"0 0 1000000000 1000000000"),
    "tiny.pdf": boxed(b"0 0 0.0001 0.0001"),
    "odd.pdf": boxed(b"500 500 -100 -100"),
    "calls.pdf": forms_in_forms(25 if FULL else 6, 4),
    "picture.pdf": picture_in_pdf(30_000 if FULL else 9_000),
    "deep.html": web_page(100_000),
}


def locked() -> bytes:
    """A bulletin with a password."""
    from reportlab.lib.pdfencrypt import StandardEncryption
    from reportlab.pdfgen.canvas import Canvas

    held = io.BytesIO()
    canvas = Canvas(held, encrypt=StandardEncryption("secret", ownerPassword="owner", strength=128))
    canvas.drawString(72, 700, "Seal 4471-208 has been replaced by seal 4471-301.")
    canvas.save()
    return held.getvalue()


@pytest.fixture(scope="module")
def added(tmp_path_factory):
    """What became of all of them, added at once with a sound letter behind."""
    room = tmp_path_factory.mktemp("bombs")
    papers = room / "papers"
    papers.mkdir()
    files = {name: data for name, (_, data) in REFUSED.items()} | MARKED | BORNE | {"locked.pdf": locked()}
    for name, data in files.items():
        assert len(data) < 8_000_000, name
        (papers / name).write_bytes(data)
    (papers / "z.txt").write_text("Brackwell Hoists\nService letter BH-Z\nDate: 1 May 2000\n\nAll is well.\n")
    with Store.open(room / "store", create=True) as store, WarmPool(2, MEMORY) as readers:
        report = add_paths(store, [papers], NOW, readers=readers)
    return {Path(f.path).name: f for f in report.files}


def test_the_batch_goes_on_to_its_end(added):
    """The sound letter behind all of them is read."""
    assert added["z.txt"].outcome == "read"
    assert len(added) == len(REFUSED) + len(MARKED) + len(BORNE) + 2


@pytest.mark.parametrize("name", sorted(REFUSED))
def test_refused_with_its_reason(added, name):
    """A file that cannot be a paper is refused, and the reason says why."""
    assert added[name].outcome == "refused", added[name]
    assert REFUSED[name][0] in (added[name].reason or "")


def test_a_locked_file_is_refused_with_the_remedy(added):
    """A PDF with a password is refused, and the reason says what to do."""
    assert added["locked.pdf"].outcome == "refused"
    assert "without a password" in (added["locked.pdf"].reason or "")


@pytest.mark.parametrize("name", sorted(MARKED))
def test_marked_or_refused(added, name):
    """A PDF whose content swells to gigabytes is refused, or read with a finding that says so."""
    told = added[name]
    assert told.outcome == "refused" or any("swells" in f.message for f in told.findings), told


@pytest.mark.parametrize("name", sorted(BORNE))
def test_borne(added, name):
    """What nests, loops, calls itself or lies about its size ends as read or as refused with a reason."""
    told = added[name]
    assert told.outcome == "read" or told.reason, told
    assert "Traceback" not in (told.reason or "")


def test_a_small_swelling_file_is_small():
    """7 kB suffice for three gigabytes, and looking at the file does not unpack them all."""
    data = MARKED["swells.pdf"]
    assert len(data) < 30_000
    assert unsound(data) == ("a part of it swells to hundreds of megabytes",)
    assert unsound(sound(1)) == ()


@pytest.mark.skipif(
    signal.getsignal(signal.SIGINT) is signal.SIG_IGN, reason="what runs in the background ignores Ctrl-C"
)
@pytest.mark.skipif(sys.platform != "linux", reason="what runs is looked up in /proc")
def test_ctrl_c_leaves_no_worker_and_a_whole_store(tmp_path):
    """Ctrl-C while a worker toils at a bomb: status 130, no process left, the letter before it is stored."""
    papers = tmp_path / "papers"
    papers.mkdir()
    (papers / "a.txt").write_text("Brackwell Hoists\nService letter BH-9\nDate: 1 May 2000\n\nAll is well.\n")
    (papers / "b.pdf").write_bytes(forms_in_forms(25, 4))
    line = [sys.executable, "-m", "benchleaf.cli.main", "--store", str(tmp_path / "store")]
    with subprocess.Popen(
        [*line, "add", "--workers", "2", str(papers)], stderr=subprocess.PIPE, start_new_session=True
    ) as run:
        _until(lambda: _numbers(tmp_path / "store") == ["BH-9"])
        workers = _below(run.pid)
        run.send_signal(signal.SIGINT)
        assert run.wait(60) == 130
        assert b"Stopped" in run.stderr.read()
    assert workers
    _until(lambda: not any(map(_lives, workers)))
    assert _numbers(tmp_path / "store") == ["BH-9"]
    check = subprocess.run([*line, "check", "--json"], capture_output=True, check=False)
    assert check.returncode == 0, check.stdout


def _numbers(folder: Path) -> list[str]:
    try:
        with Store.open(folder) as store:
            return [note.number for note in store.notes()]
    except BenchleafError:
        return []


def _until(done) -> None:
    until = time.monotonic() + 120
    while not done():
        assert time.monotonic() < until, "it did not come to pass"
        time.sleep(0.1)


def _below(pid: int) -> list[int]:
    above = {}
    for stat in Path("/proc").glob("[0-9]*/stat"):
        with contextlib.suppress(OSError):
            above[int(stat.parent.name)] = int(stat.read_text().rpartition(")")[2].split()[1])
    found = {pid}
    while more := {one for one, other in above.items() if other in found} - found:
        found |= more
    return sorted(found - {pid})


def _lives(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True
