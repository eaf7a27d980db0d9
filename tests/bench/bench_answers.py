"""How long answers take; run by hand, nothing else beside it:

    python tests/bench/bench_answers.py                 # 100,000 parts, 20,000 notes, 200 manuals
    python tests/bench/bench_answers.py --parts 2000 --notes 400 --manuals 5     # a small one
    python tests/bench/bench_answers.py --growth        # a list of 1k, 10k, 100k and a million rows
    python tests/bench/bench_answers.py --pdfgrep       # beside what a user would do otherwise

Times are processor time of this process in milliseconds, median and 99th percentile; whole commands are timed
in pairs with `python -c "import click, sqlite3"`, so that what else runs on the machine weighs on both.
"""

import argparse
import contextlib
import csv
import datetime as dt
import hashlib
import random
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from benchleaf.graph.circles import circles
from benchleaf.graph.errors import BenchleafError
from benchleaf.graph.kits.kit import kit_answer, parse_got
from benchleaf.graph.missing import missing_answer
from benchleaf.graph.page import page_answer
from benchleaf.graph.part import part_answer
from benchleaf.graph.procedure import ProcedureQuestion, procedure_answer
from benchleaf.graph.store import Store
from benchleaf.graph.week import week_answer
from benchleaf.ingest.lists.streamed import take_list
from big_store import NAMES, NOW, WORDS, BigStore, Size, fill

ASKED = 100  # questions of a kind
FEW = {"week": 15, "missing": 3, "procedure, whole book": 20}
PAIRS = 15
GROWTH = (1_000, 10_000, 100_000, 1_000_000)
GOT = "8 friction discs, 9 steel discs, 2 seal rings, 1 return spring, 1 snap ring"

Question = Callable[[Store], object]


def questions(big: BigStore, dice: random.Random) -> dict[str, Callable[[], Question]]:
    """By name, what makes a question at random."""

    def any_of(count: int) -> int:
        return dice.randrange(count)

    def page(last: int = 0) -> tuple[str, str]:
        return big.manual(any_of(big.size.manuals)), big.page(last + any_of(last or big.size.pages))

    def procedure(whole: bool = False) -> ProcedureQuestion:
        n = any_of(big.size.manuals)
        where = {} if whole else {"publication": big.manual(n), "page": big.page(any_of(big.size.pages))}
        return ProcedureQuestion(model=big.model(n), serial=str(any_of(90_000)), **where)

    def asking(answer: Callable[..., object], *given: object) -> Question:
        return lambda store: answer(store, *given)

    got, week = parse_got(GOT), dt.timedelta(days=7)
    unknown = "KD {:04d}-{:03d}7"
    return {
        "page": lambda: asking(page_answer, *page()),
        "page, not held": lambda: asking(page_answer, *page(big.size.pages)),
        "part": lambda: asking(part_answer, big.part(any_of(big.size.parts))),
        "part, unknown": lambda: asking(part_answer, unknown.format(any_of(99), any_of(999))),
        "kit": lambda: asking(kit_answer, big.kit(any_of(big.kits)), got),
        "kit, unknown": lambda: asking(kit_answer, f"ZK {any_of(99999):05d}-999", got),
        "procedure": lambda: asking(procedure_answer, procedure()),
        "procedure, whole book": lambda: asking(procedure_answer, procedure(whole=True)),
        "find, a word": lambda: asking(Store.search, dice.choice(WORDS)),
        "find, two common words": lambda: asking(Store.search, " ".join(dice.sample(WORDS, 2))),
        "find, a phrase": lambda: asking(Store.search, f'"{dice.choice(NAMES)}" {dice.choice(WORDS)}'),
        "find, a number": lambda: asking(Store.search, big.part(any_of(big.size.parts))),
        "note, unknown": lambda: asking(
            Store.near_numbers, "note", f"NB {any_of(99):02d}-{any_of(999):03d}7"
        ),
        "model, unknown": lambda: asking(Store.near_numbers, "model", f"GX {any_of(999)}7"),
        "week": lambda: asking(week_answer, None, None, NOW.date() - week * any_of(150)),
        "missing": lambda: missing_answer,
    }


def timed(store: Store, asked: Iterator[Question]) -> list[float]:
    """The processor time of each question in milliseconds, sorted; not held is an answer too."""
    taken = []
    for question in asked:
        started = time.process_time()
        with contextlib.suppress(BenchleafError):
            question(store)
        taken.append((time.process_time() - started) * 1000)
    return sorted(taken)


def show(name: str, taken: list[float]) -> None:
    """One line of the table."""
    last = taken[min(len(taken) - 1, int(len(taken) * 0.99))]
    print(f"| {name} | {statistics.median(taken):.1f} | {last:.1f} |", flush=True)


def answers(folder: Path, big: BigStore) -> None:
    """Every kind of question in process."""
    print("| question | median ms | 99 % ms |\n| --- | --- | --- |")
    made = questions(big, random.Random(5))
    with Store.open(folder) as store:
        for name, make in made.items():
            show(name, timed(store, (make() for _ in range(FEW.get(name, ASKED)))))


def whole_commands(folder: Path, big: BigStore) -> None:
    """Whole commands as the ratio to an interpreter with click and sqlite3, pair by pair."""
    floor = [sys.executable, "-c", "import click, sqlite3"]
    start = [sys.executable, "-m", "benchleaf.cli.main", "--store", str(folder)]
    for typed in (
        ["page", big.manual(1), big.page(3)],
        ["page", big.manual(1), big.page(3), "--json"],
        ["part", big.part(100)],
        ["procedure", "--pub", big.manual(1), "--page", big.page(3), "--model", big.model(1)],
        ["kit", big.kit(1), "--got", GOT],
        ["find", "drum"],
        ["--help"],
    ):
        ratios = [_wall([*start, *typed]) / _wall(floor) for _ in range(PAIRS)]
        print(f"| {' '.join(typed)} | {statistics.median(ratios):.1f} × |", flush=True)


def _wall(words: list[str]) -> float:
    started = time.perf_counter()
    subprocess.run(words, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False)
    return time.perf_counter() - started


def list_of(rows: int, file: Path) -> int:
    """Writes a list of chains, splits and merges with a few rings of two; how many rings."""
    dice, at, written, rings = random.Random(3), 0, 0, 0
    part = BigStore(Size()).part
    with file.open("w", newline="", encoding="utf-8") as opened:
        lines = csv.writer(opened, delimiter=";")
        lines.writerow(("Old number", "New number", "Date", "Remarks"))
        while written < rows:
            length = dice.randint(2, 5)
            for n in range(at, at + length):
                new = part(n + 1) if dice.random() > 0.04 else f"{part(n + 1)} + {part(n + 2)}"
                lines.writerow((part(n), new, f"{1990 + 5 * (n - at)}-{dice.randint(1, 12):02d}-03", ""))
            written += length
            if dice.random() < 0.0005:
                ring = (part(at + length + 3), part(at + length + 4))
                lines.writerows([(*ring, "", ""), (*ring[::-1], "", "")])
                written, rings = written + 2, rings + 1
            at += length + 5
    return rings


def growth(room: Path) -> None:
    """Lists of more and more rows: taking in, looking up, looking for rings."""
    print("| rows | add s | peak MB | store MB | part ms | 99 % | unknown ms | rings found / put in | s |")
    for rows in GROWTH:
        file, folder = room / f"{rows}.csv", room / f"s{rows}"
        put_in, data = list_of(rows, file), file.read_bytes()
        with Store.open(folder, create=True) as store:
            started = time.process_time()
            take_list(store, data, "list.csv", hashlib.sha256(data).hexdigest(), NOW)
            added, dice = time.process_time() - started, random.Random(1)
            part = BigStore(Size()).part
            known = timed(store, (_part(part(dice.randrange(rows))) for _ in range(500)))
            other = timed(store, (_part(f"{part(dice.randrange(rows))}x") for _ in range(50)))
            started = time.process_time()
            found, looked = len(list(circles(store))), time.process_time() - started
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        size = (folder / "benchleaf.db").stat().st_size / 1e6
        middle, last = statistics.median(known), known[int(len(known) * 0.99)]
        print(
            f"| {rows} | {added:.1f} | {peak:.0f} | {size:.0f} | {middle:.2f} | {last:.2f} |"
            f" {statistics.median(other):.2f} | {found} / {put_in} | {looked:.1f} |",
            flush=True,
        )


def _part(number: str) -> Question:
    return lambda store: part_answer(store, number)


def beside_pdfgrep(room: Path, manuals: int = 20, pages: int = 60) -> None:
    """The same part number looked for by pdfgrep in drawn manuals, and by `find` in a store of them."""
    from reportlab.pdfgen.canvas import Canvas

    if shutil.which("pdfgrep") is None:
        print("pdfgrep is not installed (Debian's package of that name)")
        return
    big, drawn = BigStore(Size(parts=10_000, notes=100, manuals=manuals, pages=pages)), room / "drawn"
    fill(room / "pdfs", big.size)
    drawn.mkdir()
    with Store.open(room / "pdfs") as store:
        for manual in store.publications():
            sheets = Canvas(str(drawn / f"{manual.number}.pdf"))
            for page in manual.pages:
                for at, item in enumerate(page.items):
                    sheets.drawString(50, 780 - 20 * at, f"{item.label}. {item.text}")
                sheets.drawString(290, 30, page.page)
                sheets.showPage()
            sheets.save()
        number = next(s["printed"] for s in store.connection.execute("SELECT printed FROM mention LIMIT 1"))
    wall = [_wall(["pdfgrep", "-rnF", number, str(drawn)]) for _ in range(5)]
    start = [sys.executable, "-m", "benchleaf.cli.main", "--store", str(room / "pdfs"), "find", number]
    ours = [_wall(start) for _ in range(5)]
    ratio = statistics.median(wall) / statistics.median(ours)
    print(f"{manuals * pages} pages: pdfgrep {statistics.median(wall):.1f} s, find {ratio:.0f} times as fast")


def main() -> None:
    """Make what is asked for, time it, print tables."""
    given = argparse.ArgumentParser(description=__doc__)
    for name in ("parts", "notes", "manuals", "pages"):
        given.add_argument(f"--{name}", type=int, default=getattr(Size(), name))
    given.add_argument("--keep", type=Path, help="a folder whose store is made once and used again")
    given.add_argument("--growth", action="store_true")
    given.add_argument("--pdfgrep", action="store_true")
    typed = given.parse_args()
    with tempfile.TemporaryDirectory() as name:
        if typed.growth:
            growth(Path(name))
        elif typed.pdfgrep:
            beside_pdfgrep(Path(name))
        else:
            big = BigStore(Size(typed.parts, typed.notes, typed.manuals, typed.pages))
            folder = typed.keep or Path(name) / "store"
            if not (folder / "benchleaf.db").is_file():
                fill(folder, big.size)
            answers(folder, big)
            whole_commands(folder, big)


if __name__ == "__main__":
    main()
