"""How fast `add` takes papers in, with one worker and with two: python tests/bench/bench_adding.py, by hand.

    --bulletins N   so many drawn bulletins of three sheets (default 300)
    --papers DIR    PDFs of the world beside them (else BENCHLEAF_DEBIAN_DOCS, if that is set)
    --scans N       so many sheets as pictures, for OCR (default 0: slow)
    --rounds N      medians over so many rounds (default 5), both ways in turn

Prints pages a second by the clock, the ratio of two workers to one, and the most memory held at a time: by
the program that writes the store, and by all its workers together (Linux: shared pages counted once). On a
busy machine only the ratio means much.
"""

import argparse
import io
import os
import random
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from dataclasses import dataclass
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

WORDS = [
    "Turn",
    "the",
    "shaft",
    "by",
    "hand",
    "and",
    "check",
    "that",
    "it",
    "runs",
    "freely",
    "on",
    "all",
    "rollers",
    "before",
    "fitting",
    "the",
    "cover",
]


@dataclass(frozen=True, slots=True)
class Round:
    """One `add` of everything: seconds by the clock, pages, megabytes held by writer and workers."""

    seconds: float
    pages: int
    writer: float
    workers: float


def bulletin(number: int, sheets: int = 3) -> bytes:
    """A drawn bulletin that replaces a part and changes a value."""
    held, pick = io.BytesIO(), random.Random(number)
    canvas = Canvas(held, invariant=1)
    for sheet in range(sheets):
        lines = [f"Brackwell Hoists  Service bulletin BH-{number}", f"Sheet {sheet + 1}"]
        if sheet == 0:
            lines += ["Date: 12 November 1999", "Subject: Seals", "Models: H 40", ""]
            lines += [f"Seal 4471-{number} has been replaced by seal 4472-{number}."]
        lines += [" ".join(pick.choices(WORDS, k=13)) + "." for _ in range(26)]
        for at, line in enumerate(lines):
            canvas.drawString(60, 780 - 20 * at, line)
        canvas.showPage()
    canvas.save()
    return held.getvalue()


def scan(number: int) -> bytes:
    """The first sheet of a bulletin as a picture at 200 dots per inch."""
    import pypdfium2

    document = pypdfium2.PdfDocument(bulletin(number, 1))
    picture = document[0].render(scale=200 / 72).to_pil().convert("L")
    held = io.BytesIO()
    picture.save(held, "PNG")
    return held.getvalue()


def add(papers: Path, workers: int) -> Round:
    """Add a folder to a new store in a process of its own."""
    import json

    with tempfile.TemporaryDirectory() as room:
        line = [sys.executable, "-m", "benchleaf.cli.main", "--store", f"{room}/store", "add", "--json"]
        begun = time.perf_counter()
        with subprocess.Popen([*line, "--workers", str(workers), str(papers)], stdout=subprocess.PIPE) as run:
            watch = Watch(run.pid)
            watch.start()
            told = json.loads(run.communicate()[0])
        seconds = time.perf_counter() - begun
        watch.join()
    return Round(seconds, told["totals"]["pages"], watch.writer / 1e6, watch.workers / 1e6)


class Watch(threading.Thread):
    """Looks at a process and all below it until it ends; the most bytes that each held."""

    def __init__(self, pid: int) -> None:
        super().__init__(daemon=True)
        self.pid, self.writer, self.workers = pid, 0, 0

    def run(self) -> None:
        while Path(f"/proc/{self.pid}/smaps_rollup").exists():
            own = _held(self.pid)
            if not own:
                return
            self.writer = max(self.writer, own)
            self.workers = max(self.workers, sum(map(_held, _below(self.pid))))
            time.sleep(0.2)


def _below(pid: int) -> list[int]:
    found = []
    for tasks in Path(f"/proc/{pid}/task").glob("*/children"):
        try:
            children = [int(word) for word in tasks.read_text().split()]
        except OSError:
            continue
        for child in children:
            found += [child, *_below(child)]
    return found


def _held(pid: int) -> int:
    try:
        rows = Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines()
    except OSError:
        return 0
    return next((int(row.split()[1]) * 1024 for row in rows if row.startswith("Pss:")), 0)


def compare(title: str, papers: Path, rounds: int) -> None:
    """One worker and two, in turn, and the medians."""
    told: dict[int, list[Round]] = {1: [], 2: []}
    for _ in range(rounds):
        for workers, rows in told.items():
            rows.append(add(papers, workers))
    for workers, rows in told.items():
        rate = statistics.median(row.pages / row.seconds for row in rows)
        print(
            f"{title:12} {workers} worker{'s' * (workers > 1)}: {rows[0].pages} pages, {rate:.1f} a second "
            f"({rate * 60:.0f} a minute), writer {max(r.writer for r in rows):.0f} MB, "
            f"workers {max(r.workers for r in rows):.0f} MB"
        )
    ratio = statistics.median(one.seconds / two.seconds for one, two in zip(told[1], told[2], strict=True))
    print(f"{title:12} two to one: {ratio:.2f}")


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("--bulletins", type=int, default=300)
    asked.add_argument("--papers", type=Path, default=os.environ.get("BENCHLEAF_DEBIAN_DOCS"))
    asked.add_argument("--scans", type=int, default=0)
    asked.add_argument("--rounds", type=int, default=5)
    given = asked.parse_args()
    with tempfile.TemporaryDirectory() as room:
        drawn, pictures, world = (Path(room) / name for name in ("drawn", "pictures", "world"))
        for folder in (drawn, pictures, world):
            folder.mkdir()
        for number in range(given.bulletins):
            (drawn / f"b{number:05d}.pdf").write_bytes(bulletin(number))
        for number in range(given.scans):
            (pictures / f"s{number:04d}.png").write_bytes(scan(number))
        for at, pdf in enumerate(sorted(Path(given.papers).rglob("*.pdf")) if given.papers else ()):
            (world / f"{at:03d}-{pdf.name}").write_bytes(pdf.read_bytes())
        for title, folder in (("bulletins", drawn), ("world", world), ("scans", pictures)):
            if any(folder.iterdir()):
                compare(title, folder, given.rounds)


if __name__ == "__main__":
    main()
