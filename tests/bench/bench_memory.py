"""The most memory that one long document takes; run by hand: python tests/bench/bench_memory.py [PDF].

    --sheets N ...   the lengths that are read (default 100 500 900 3000)

Each length is read in a process of its own, which tells the most that it ever held (`ru_maxrss`), the
processor seconds, and what it held before it read anything. The sheets are drawn full: 52 lines of numbered
work, some 480 words each, under a running head and a page number. A PDF that is named is repeated to those
lengths instead.
"""

import argparse
import io
import json
import random
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

_TEXT = """turn the shaft by hand and check that it runs freely on all rollers before the cover is fitted
with new seals clean both faces measure end float remove shims until it lies between limits tighten evenly"""
WORDS = _TEXT.split()

_CHILD = """
import json, resource, sys, time
from benchleaf.ingest.document import read_document
from benchleaf.ingest.phrases.phrasebook import load
load()
scale = 2**20 if sys.platform == 'darwin' else 2**10
def most():
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / scale
data, before, begun = open(sys.argv[1], 'rb').read(), most(), time.process_time()
document = read_document(data, 'long.pdf')
items = sum(len(p.items) for p in document.manual.pages) if document.manual else 0
print(json.dumps([len(document.sheets), items, before, most(), time.process_time() - begun]))
"""


def drawn(sheets: int) -> bytes:
    """A manual of so many full sheets, always the same."""
    from reportlab.lib.pagesizes import A4
    from reportlab.pdfgen.canvas import Canvas

    held, pick = io.BytesIO(), random.Random(7)
    canvas = Canvas(held, A4, invariant=1)
    for sheet in range(1, sheets + 1):
        canvas.setFont("Helvetica", 8)
        canvas.drawString(60, 815, f"Orsund Gears   Overhaul manual OG 40   Section {1 + sheet // 20}")
        canvas.drawCentredString(297, 25, f"{sheet}")
        canvas.setFont("Helvetica", 9)
        for line in range(52):
            first = f"{1 + line // 4}. " if line % 4 == 0 else "    "
            text = first + " ".join(pick.choices(WORDS, k=15))[:92]
            canvas.drawString(60 if line % 4 == 0 else 74, 790 - 14.5 * line, text.strip())
        canvas.showPage()
    canvas.save()
    return held.getvalue()


def repeated(data: bytes, sheets: int) -> bytes:
    """A PDF of so many sheets, those of another one again and again."""
    import pypdfium2

    source, made = pypdfium2.PdfDocument(data), pypdfium2.PdfDocument.new()
    while len(made) < sheets:
        made.import_pages(source, list(range(min(len(source), sheets - len(made)))))
    held = io.BytesIO()
    made.save(held)
    return held.getvalue()


def measured(data: bytes) -> Sequence[float]:
    """Sheets, items, megabytes before and at most, and processor seconds of one reading in a child."""
    with tempfile.TemporaryDirectory() as room:
        path = Path(room) / "long.pdf"
        path.write_bytes(data)
        done = subprocess.run([sys.executable, "-c", _CHILD, path], check=True, capture_output=True)
    told: list[float] = json.loads(done.stdout)
    return told


def main() -> None:
    """Read the options, measure, print."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    asked.add_argument("pdf", nargs="?", type=Path)
    asked.add_argument("--sheets", type=int, nargs="+", default=[100, 500, 900, 3000])
    told = asked.parse_args()
    source = told.pdf.read_bytes() if told.pdf else None
    print(" sheets   items   file MB   before MB   at most MB   CPU s")
    for length in told.sheets:
        data = drawn(length) if source is None else repeated(source, length)
        sheets, items, before, most, seconds = measured(data)
        size = len(data) / 1e6
        print(f"{sheets:7}{items:8}{size:10.1f}{before:12.0f}{most:13.0f}{seconds:8.1f}", flush=True)


if __name__ == "__main__":
    main()
