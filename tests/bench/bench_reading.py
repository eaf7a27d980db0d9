"""How many pages a second are read; run by hand: python tests/bench/bench_reading.py [FOLDER] [options].

Every reader gets the same files in turn and the rounds are repeated, so that a busy machine slows all alike:
what counts are the ratios to pdfplumber's words. Times are CPU seconds of one process on one core, those of
poppler's program its own; the medians over the rounds are printed. What was kept of a paper is forgotten
before it is read again. At the end stands what a process takes before it has read its first note.

FOLDER holds real PDFs, such as manuals of Debian's documentation packages (`apt-get download octave-doc
bash-doc r-doc-pdf` and `dpkg -x`); without it the folder that BENCHLEAF_DEBIAN_DOCS names is taken. Bulletins
are drawn from a seed beside them.
`--memory N` reads one PDF of N pages, repeated from the first manual, in a process of its own and prints the
most memory that it held.
"""

import argparse
import datetime as dt
import functools
import gc
import io
import os
import random
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from benchleaf.graph.store import Store
from benchleaf.ingest.document import read_document
from benchleaf.ingest.phrases.phrasebook import load
from benchleaf.ingest.sheets.pdf import read_pdf

VARIABLE = "BENCHLEAF_DEBIAN_DOCS"
NOW = dt.datetime(2026, 11, 25, 9, tzinfo=dt.UTC)
LARGEST = 3_000_000  # bytes: larger files would be most of the time
WORKS = ("Orsund Gears", "Brunnvik Drives", "Halvard Pumps")
PARTS = ("thrust washer", "clutch hub", "shift fork", "pump rotor", "seal ring", "brake piston", "spacer")


class Paper(NamedTuple):
    """One file of a run."""

    name: str
    data: bytes
    pages: int


Reader = Callable[[Sequence[Paper]], float]
"""Reads papers and gives the CPU seconds that it took."""


def bulletin(number: int, pick: random.Random) -> bytes:
    """One drawn note of a page, some with a framed caution and a ruled table of numbers."""
    from reportlab.lib.pagesizes import A4
    from reportlab.pdfgen.canvas import Canvas

    held = io.BytesIO()
    page = Canvas(held, A4, invariant=True)
    works, height = pick.choice(WORKS), A4[1]
    page.setFont("Helvetica-Bold", 13)
    page.drawString(60, height - 70, f"{works}   Service Letter OG-{number}")
    page.setFont("Helvetica", 10)
    day = f"{pick.randint(1, 28)} {pick.choice(('March', 'May', 'October'))} {pick.randint(1988, 2019)}"
    for at, line in enumerate((f"Date: {day}", f"Models: OG {pick.randint(2, 9)}", "Subject: Changed parts")):
        page.drawString(60, height - 95 - 14 * at, line)
    y = height - 160
    for _ in range(pick.randint(3, 14)):
        old, new = (f"{pick.randint(1000, 9999)}-{pick.randint(10, 99)}" for _ in range(2))
        thing, item = pick.choice(PARTS), pick.randint(1, 20)
        for line in (
            f"The {thing} {old} has been replaced by {new}. On page {pick.randint(2, 90)}, item {item},",
            f"the torque is {pick.randint(20, 60)} Nm instead of {pick.randint(61, 90)} Nm.",
        ):
            page.drawString(60, y, line)
            y -= 14
        y -= 8
    if pick.random() < 0.4:
        page.rect(56, y - 34, 400, 30)
        page.drawString(64, y - 22, "CAUTION: do not mix old and new parts in one unit.")
    page.save()
    return held.getvalue()


def counted(path: Path) -> int:
    """The sheets of a PDF, 0 if it does not open."""
    import pypdfium2

    try:
        return len(pypdfium2.PdfDocument(path))
    except pypdfium2.PdfiumError:
        return 0


def real(folder: Path, most: int) -> list[Paper]:
    """PDFs of a folder, spread over their sizes, up to so many pages together."""
    found = sorted((p for p in folder.rglob("*.pdf") if p.stat().st_size < LARGEST), key=lambda p: p.name)
    random.Random(7).shuffle(found)
    papers: list[Paper] = []
    for path in found:
        pages = counted(path)
        if 0 < pages <= most - sum(p.pages for p in papers):
            papers.append(Paper(path.name, path.read_bytes(), pages))
    return papers


def drawn(count: int) -> list[Paper]:
    """Bulletins from a fixed seed."""
    pick = random.Random(26)
    return [Paper(f"og_{n}.pdf", bulletin(n, pick), 1) for n in range(1, count + 1)]


def forget() -> None:
    """Empties what the package keeps of texts that it has read; what it keeps of its own data stays."""
    held = [o for o in gc.get_objects() if isinstance(o, functools._lru_cache_wrapper)]
    for kept in (o for o in held if str(o.__module__).startswith("benchleaf.")):
        if kept.cache_parameters()["maxsize"] is not None:
            kept.cache_clear()


def timed(read: Callable[[Paper], object]) -> Reader:
    """A reader in this process."""

    def run(papers: Sequence[Paper]) -> float:
        started = time.process_time()
        for paper in papers:
            read(paper)
        return time.process_time() - started

    return run


def plumber(paper: Paper) -> None:
    """pdfplumber's words alone, every page closed."""
    import pdfplumber

    with pdfplumber.open(io.BytesIO(paper.data)) as document:
        for page in document.pages:
            page.extract_words()
            page.close()


def poppler(papers: Sequence[Paper]) -> float:
    """CPU seconds of `pdftotext -bbox` on each paper."""
    import resource  # POSIX only: without it, no such row

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "paper.pdf"
        started = resource.getrusage(resource.RUSAGE_CHILDREN)
        for paper in papers:
            path.write_bytes(paper.data)
            subprocess.run(["pdftotext", "-bbox", path, os.devnull], check=False, capture_output=True)
        ended = resource.getrusage(resource.RUSAGE_CHILDREN)
    return ended.ru_utime + ended.ru_stime - started.ru_utime - started.ru_stime


def stored(papers: Sequence[Paper]) -> float:
    """The whole pipeline and the insert into a new store."""
    with tempfile.TemporaryDirectory() as folder, Store.open(Path(folder) / "store", create=True) as store:
        started = time.process_time()
        for paper in papers:
            document = read_document(paper.data, paper.name)
            with store.transaction():
                store.insert(document, NOW.date(), NOW)
        return time.process_time() - started


def readers() -> dict[str, Reader]:
    """What is compared, by name; pdfplumber is the measure."""
    found: dict[str, Reader] = {
        "pdfplumber, words alone": timed(plumber),
        "pypdfium2, words alone": timed(lambda p: read_pdf(p.data)),
        "whole pipeline": timed(lambda p: read_document(p.data, p.name)),
        "whole pipeline and store": stored,
    }
    if shutil.which("pdftotext"):
        found["poppler, pdftotext -bbox"] = poppler
    return found


def table(title: str, papers: Sequence[Paper], rounds: int) -> Iterator[str]:
    """The medians of all readers on some papers, as lines."""
    pages = sum(p.pages for p in papers)
    taken: dict[str, list[float]] = {name: [] for name in readers()}
    for _ in range(rounds):
        for name, read in readers().items():
            forget()
            taken[name].append(read(papers))
    yield f"{title}: {len(papers)} files, {pages} pages, medians of {rounds}"
    measure = statistics.median(taken["pdfplumber, words alone"])
    for name, seconds in taken.items():
        middle = statistics.median(seconds)
        yield f"  {name:28}{pages / middle:9.1f} pages/s{measure / middle:8.2f} times pdfplumber"


def repeated(data: bytes, pages: int) -> bytes:
    """A PDF of so many pages, those of another one again and again."""
    import pypdfium2

    source = pypdfium2.PdfDocument(data)
    made = pypdfium2.PdfDocument.new()
    while len(made) < pages:
        made.import_pages(source, list(range(min(len(source), pages - len(made)))))
    held = io.BytesIO()
    made.save(held)
    return held.getvalue()


_CHILD = """
import resource, sys, time
from benchleaf.ingest.document import read_document
data = open(sys.argv[1], 'rb').read()
document = read_document(data, 'large.pdf')
most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
print(f'  {len(document.sheets)} pages: at most {most:.0f} MB, {time.process_time():.0f} s CPU')
"""


def memory(paper: Paper, pages: int) -> None:
    """Reads one large PDF in a child and prints the most memory that it held."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "large.pdf"
        path.write_bytes(repeated(paper.data, pages))
        print(f"{paper.name}, repeated ({path.stat().st_size / 1e6:.0f} MB)", flush=True)
        subprocess.run([sys.executable, "-c", _CHILD, str(path)], check=True)


_START = """
import sys, time
at = [time.process_time()]
import benchleaf.ingest.document
at.append(time.process_time())
from benchleaf.ingest.phrases.phrasebook import load
load()
at.append(time.process_time())
benchleaf.ingest.document.read_document(sys.stdin.buffer.read(), "first.txt")
at.append(time.process_time())
print(*(b - a for a, b in zip(at, at[1:])))
"""
_NOTE = b"""SERVICE LETTER OG-14
Date: 12 March 1998
Models: OG 5

The thrust washer 4410-20 has been replaced by 4410-21.
On page 14, item 3, the torque is 29 Nm instead of 31 Nm.
"""


def start(rounds: int) -> str:
    """CPU seconds of a fresh process: imports, the phrase book, the first note; medians."""
    run = [sys.executable, "-c", _START]
    told = [subprocess.run(run, input=_NOTE, capture_output=True, check=True).stdout for _ in range(rounds)]
    spent = zip(*(map(float, line.split()) for line in told), strict=True)
    imports, book, note = (statistics.median(s) for s in spent)
    return f"start: imports {imports:.2f} s, the phrase book {book:.2f} s, the first note {note:.2f} s"


def main() -> None:
    """Read the options, time, print."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    asked.add_argument("folder", nargs="?", type=Path, default=os.environ.get(VARIABLE))
    asked.add_argument("--pages", type=int, default=600, help="real pages, at most")
    asked.add_argument("--bulletins", type=int, default=5000)
    asked.add_argument("--rounds", type=int, default=5)
    asked.add_argument("--memory", type=int, metavar="N", help="read a PDF of N pages instead")
    told = asked.parse_args()
    papers = real(Path(told.folder), told.pages) if told.folder else []
    if told.memory and papers:
        memory(max(papers, key=lambda p: p.pages), told.memory)
        return
    for owner in (*load().phrases, *load().guards):
        owner.patterns  # noqa: B018 - made once a process: no part of the time that a page takes
    for title, held in (("real PDFs", papers), ("bulletins", drawn(told.bulletins))):
        if held:
            print("\n".join(table(title, held, told.rounds)), flush=True)
    print(start(told.rounds))


if __name__ == "__main__":
    main()
