"""Reading in workers: limits, crashes, order, and the same answers as reading one file after the other."""

import datetime as dt
import os
import signal
import subprocess
import sys
import time
from concurrent.futures import Future
from pathlib import Path

import pytest
from benchleaf.graph.errors import BenchleafError, RefusedFile, WrongUse
from benchleaf.graph.store import Store
from benchleaf.ingest import allowance
from benchleaf.ingest.add import add_paths
from benchleaf.ingest.files import bytes_of, digest_of
from benchleaf.ingest.head.knownmodels import Known
from benchleaf.ingest.reread import chosen, reread
from benchleaf.ingest.workers.consulted import Consulted
from benchleaf.ingest.workers.jobs import Job, Paper, read
from benchleaf.ingest.workers.pool import WarmPool
from benchleaf.ingest.workers.readers import Here
from worker_tasks import crash, hog, leave, nap, number, peek, raised, spin, wait_long

NOW = dt.datetime(2026, 11, 25, 9)
MEMORY = 2_000_000_000
NOTE = """Brackwell Hoists
Service letter {number}
Date: 12 November 1999
Subject: Seals

Units H 40 and H 60 only. Seal 4471-208 has been replaced by seal 4471-3{at:02d}.
"""
posix = pytest.mark.skipif(sys.platform == "win32", reason="the system has neither timers nor bounds")


@pytest.fixture(scope="module")
def pool():
    with WarmPool(2, MEMORY) as opened:
        yield opened


@pytest.fixture
def store(tmp_path):
    with Store.open(tmp_path / "store", create=True) as opened:
        yield opened


def refusal(future) -> str:
    with pytest.raises(RefusedFile) as told:
        future.result(60)
    return told.value.sentence


def letter(folder: Path, at: int, name: str = "") -> Path:
    path = folder / (name or f"n{at:02d}.txt")
    path.write_text(NOTE.format(number=f"BH-{at}", at=at))
    return path


def manual(path: Path) -> Path:
    """A manual that names the models H 40 and H 60."""
    from reportlab.pdfgen.canvas import Canvas

    canvas = Canvas(str(path), invariant=1)
    for n, line in enumerate(
        ("Brackwell Hoists", "Workshop Manual", "Hoists H 40, H 60", "Publication No. HM 20")
    ):
        canvas.drawString(72, 700 - 24 * n, line)
    canvas.showPage()
    for folio in ("4-2", "4-3"):
        canvas.drawString(72, 800, "HM 20  Fitting the shaft")
        for n, step in enumerate(("Tighten the nut to 46 Nm.", "Turn the shaft.", "Fit the cover."), 1):
            canvas.drawString(72, 760 - 30 * n, f"{n}.")
            canvas.drawString(96, 760 - 30 * n, step)
        canvas.drawString(290, 40, folio)
        canvas.showPage()
    canvas.save()
    return path


def test_work_comes_back_from_other_processes_that_stay(pool):
    """Functions run in at most two processes, neither of them this one, and the same ones again and again."""
    told = {pool.submit(number).result(60) for _ in range(8)}
    assert os.getpid() not in told and 1 <= len(told) <= 2


@pytest.mark.parametrize(
    ("task", "args", "says"),
    [
        (leave, (3,), "broke down"),
        (hog, (), "more memory"),
        pytest.param(crash, (), "SIGSEGV", marks=posix),
        pytest.param(spin, (0.3,), "takes longer", marks=posix),
        pytest.param(wait_long, (0.1,), "takes longer", marks=posix),
        (raised, ("bad cell",), "bad cell"),
    ],
)
def test_a_task_that_breaks_a_worker_is_refused_and_the_next_is_done(pool, task, args, says):
    """Leaving, memory, a segmentation fault, endless computing, endless waiting and an error each refuse
    their own file in plain words with a remedy; what waits behind is carried out all the same."""
    bad = pool.submit(task, *args)
    others = [pool.submit(number) for _ in range(4)]
    assert says in refusal(bad)
    assert all(isinstance(f.result(60), int) for f in others)


def test_many_deaths_harm_no_neighbour(pool):
    """Twelve workers that die at once, between twelve that do not: every one is told apart."""
    mixed = [pool.submit(leave, 5) if n % 2 else pool.submit(number) for n in range(24)]
    for n, future in enumerate(mixed):
        if n % 2:
            assert "broke down" in refusal(future)
        else:
            assert isinstance(future.result(60), int)


def test_a_misuse_keeps_its_name_over_the_pipe(pool):
    """A named error comes back with its message and its remedy."""
    with pytest.raises(BenchleafError) as told:
        pool.submit(peek, None).result(60)
    assert (told.value.message, told.value.remedy) == ("no pages", "Add some.")


@posix
def test_a_sheet_more_gives_time_more():
    """What is allowed adds to what is left, and nothing is armed once a reading has ended."""
    allowance.begin(100)
    try:
        allowance.allow(50)
        assert 149 < signal.getitimer(signal.ITIMER_PROF)[0] < 151
    finally:
        allowance.end()
    allowance.allow(50)
    assert signal.getitimer(signal.ITIMER_PROF)[0] == signal.getitimer(signal.ITIMER_REAL)[0] == 0


def test_the_sheets_of_a_pdf_give_it_time(tmp_path, monkeypatch):
    """Every sheet of a PDF adds to the time that its reading may take."""
    given = []
    monkeypatch.setattr("benchleaf.ingest.sheets.pdf.allow", given.append)
    from benchleaf.ingest.sheets.pdf import read_pdf

    assert len(read_pdf(manual(tmp_path / "m.pdf").read_bytes())) == len(given) == 3


def test_killed_by_ending_the_pool(tmp_path):
    """Ending the pool ends a worker that would compute for an hour, at once."""
    begun = time.monotonic()
    with WarmPool(1, MEMORY) as pool:
        first = pool.submit(number).result(60)
        pool.submit(nap, 3600)
        time.sleep(0.2)
    assert time.monotonic() - begun < 30
    assert _gone(first)


def _gone(pid: int) -> bool:
    for _ in range(100):
        try:
            os.kill(pid, 0)
        except ProcessLookupError:
            return True
        time.sleep(0.05)
    return False


@posix
@pytest.mark.parametrize("sign", [signal.SIGINT, signal.SIGKILL])
def test_no_worker_outlives_its_parent(tmp_path, sign):
    """Ctrl-C, or a kill of the process that adds, ends its workers, also one that is computing."""
    script = tmp_path / "parent.py"
    script.write_text(PARENT.format(tests=str(Path(__file__).parent)))
    with subprocess.Popen([sys.executable, str(script)], stdout=subprocess.PIPE, text=True) as parent:
        worker = int(parent.stdout.readline())
        parent.send_signal(sign)
        try:
            parent.wait(60)
        finally:
            parent.kill()
    assert _gone(worker)


PARENT = """
import signal, sys
signal.signal(signal.SIGINT, signal.default_int_handler)  # a suite that runs behind others has it ignored
sys.path.insert(0, {tests!r})
from benchleaf.ingest.workers.pool import WarmPool
from benchleaf.ingest.workers.readers import answer_of
from worker_tasks import nap, number

if __name__ == "__main__":
    with WarmPool(1, 2_000_000_000) as pool:
        print(pool.submit(number).result(), flush=True)
        answer_of(pool.submit(nap, 3600))
"""


def test_what_is_known_remembers_that_it_was_asked():
    """Looking at models or numbers is remembered; making one and comparing nothing is not."""
    known = Consulted(Known(("H 40",), ("HM 20",)))
    assert not known.asked
    assert known.models == ("H 40",) and known.asked
    assert Consulted(Known()).publications == ()


def test_a_note_asks_what_manuals_name_and_a_list_does_not(tmp_path):
    """A list of superseded numbers is the same whatever manuals are held; a note's head is not."""
    rows = tmp_path / "list.csv"
    rows.write_text("Old number,New number\n4471-208,4471-301\n4471-209,4471-302\n")
    told = {f.suffix: read(_job(f)) for f in (letter(tmp_path, 1), rows)}
    assert told[".txt"].asked and not told[".csv"].asked


def _job(file: Path, known: Known = Known()) -> Job:  # noqa: B008 - frozen
    return Job(Paper(file.name, digest_of(file), str(file)), known)


class Shuffled:
    """Reads here, but only when asked for the answer, so that all are begun with what was known at first."""

    width, sees_files = 3, True

    def __init__(self):
        self.read = 0

    def submit(self, function, /, *args):
        shuffled = self

        class Later(Future):
            def result(self, timeout=None):
                shuffled.read += 1
                return function(*args)

        return Later()


def test_a_manual_in_the_batch_is_known_to_the_notes_behind_it(store, tmp_path):
    """A note begun before the manual was stored is read again: its models are those of the manual."""
    files = [manual(tmp_path / "a.pdf"), letter(tmp_path, 1), letter(tmp_path, 2)]
    readers = Shuffled()
    add_paths(store, files, NOW, readers=readers)
    assert [n.applies.models for n in store.notes()] == [("H 40", "H 60")] * 2
    assert readers.read == 5  # the manual once, each note twice


def test_workers_store_what_one_process_stores(tmp_path, pool):
    """The rows of the store are the same after reading here and in two workers, whatever came back first."""
    papers = tmp_path / "papers"
    papers.mkdir()
    manual(papers / "m.pdf")
    for at in range(9):
        letter(papers, at, f"{'az'[at % 2]}{at}.txt")
    (papers / "copy.txt").write_bytes((papers / "a0.txt").read_bytes())
    (papers / "b.bin").write_bytes(b"\0\1\2\xff" * 64)
    told = []
    for name, readers in (("one", Here()), ("two", pool)):
        with Store.open(tmp_path / name, create=True) as store:
            report = add_paths(store, [papers], NOW, readers=readers)
            again = reread(store, chosen(store, ()), readers=readers)
            told.append((report, again.count("same"), tuple(store.connection.iterdump())))
    assert told[0] == told[1]
    assert [f.outcome for f in told[0][0].files].count("held") == 1


def test_files_enclosed_in_a_mail_stand_behind_it(store, tmp_path, pool):
    """A mail's enclosures, and those of a mail in it, come right behind it and before the next file."""
    inner = _mail("inner", [("deep.txt", NOTE.format(number="BH-9", at=9).encode(), "text/plain")])
    mail = _mail(
        "outer",
        [
            ("one.txt", NOTE.format(number="BH-8", at=8).encode(), "text/plain"),
            ("inner.eml", inner, "message/rfc822"),
        ],
    )
    (tmp_path / "a.eml").write_bytes(mail)
    report = add_paths(store, [tmp_path / "a.eml", letter(tmp_path, 1)], NOW, readers=pool)
    names = [Path(f.path).name for f in report.files]
    assert names == ["a.eml", "one.txt", "inner.eml", "deep.txt", "n01.txt"]
    assert {f.number for f in report.files} >= {"BH-8", "BH-9", "BH-1"}


def _mail(subject, enclosed) -> bytes:
    from email import message_from_bytes, policy
    from email.message import EmailMessage

    mail = EmailMessage()
    mail["From"], mail["To"], mail["Subject"] = "a@example.org", "b@example.org", subject
    mail["Date"], mail["MIME-Version"] = "Mon, 5 Jan 2026 10:00:00 +0000", "1.0"
    mail["Message-ID"] = f"<{subject}@example.org>"
    mail.set_content("See the papers enclosed with this mail.")
    for name, data, kind in enclosed:
        if kind == "message/rfc822":
            mail.add_attachment(message_from_bytes(data, policy=policy.default), filename=name)
        else:
            mail.add_attachment(data.decode(), filename=name)
    return bytes(mail)


def test_a_file_that_changes_meanwhile_is_refused(tmp_path):
    """A reading is of the bytes that were hashed: a file that grew since is refused, with what to do."""
    path = letter(tmp_path, 1)
    job = _job(path)
    path.write_text(path.read_text() + "more")
    assert "changed while it was being read" in read(job).refusal


def test_a_pipe_never_makes_it_wait(tmp_path):
    """A named pipe without a writer is refused at once; so is a folder or a device."""
    if not hasattr(os, "mkfifo"):
        pytest.skip("there are no named pipes")
    os.mkfifo(tmp_path / "pipe")
    for odd in (tmp_path / "pipe", tmp_path, Path(os.devnull)):
        with pytest.raises(RefusedFile, match="not a regular file"):
            bytes_of(odd)


def test_a_huge_file_is_refused_by_its_size(tmp_path):
    """A sparse file of 3 GB is refused before a byte of it is read, with the remedy."""
    with (tmp_path / "huge.pdf").open("wb") as file:
        file.truncate(3_000_000_000)
    begun = time.monotonic()
    with pytest.raises(RefusedFile, match=r"larger than 2 GB.*") as told:
        digest_of(tmp_path / "huge.pdf")
    assert "Split it" in told.value.sentence and time.monotonic() - begun < 5


def test_a_malformed_wording_stops_workers_too(store, tmp_path, pool):
    """The shop's own phrases are checked once in a worker, and the batch does not begin."""
    (store.folder / "phrases.toml").write_text("[[phrase]\n")
    with pytest.raises(WrongUse, match=r"phrases\.toml"):
        add_paths(store, [letter(tmp_path, 1)], NOW, readers=pool)
    assert store.notes() == ()
