"""How long `kit` takes on a store of many parts; run by hand: python tests/bench/bench_kit.py [PARTS].

Prints medians over twenty calls in this process, with and without a model, and beside them a plain look-up of
the same part, as a ratio. The store is made in a temporary folder: one list of supersessions, two hundred
kits by notes, a manual with a pack step.
"""

import datetime as dt
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from benchleaf.graph.kits.kit import kit_answer, parse_got
from benchleaf.graph.part import part_answer
from benchleaf.graph.store import Store
from benchleaf.ingest.add import add_paths

NOW = dt.datetime(2026, 11, 25, 9, tzinfo=dt.UTC)
CALLS = 20
KITS = 200


def papers(folder: Path, parts: int) -> list[Path]:
    """A list with `parts` numbers and a note for each kit."""
    listed = folder / "list.csv"
    rows = (f"Q{n:06d}-A,Q{n:06d}-B,2011-05-03" for n in range(parts // 2))
    listed.write_text("old number,new number,date\n" + "\n".join(rows) + "\n", encoding="utf-8")
    notes = []
    for n in range(KITS):
        note = folder / f"note{n}.txt"
        note.write_text(
            f"Orsund Gears\nService letter OG-{n}\nDate: 3 May 2012\nModels: OG 4\n\n"
            f"Kit Q9{n:05d}-K contains 10 friction discs Q{n:06d}-A, 11 steel discs Q{n + 300:06d}-A"
            f" and 2 seal rings Q{n + 600:06d}-A.\n",
            encoding="utf-8",
        )
        notes.append(note)
    return [listed, *notes]


def median_ms(work: Callable[[], object]) -> float:
    """The median of some calls, in milliseconds."""
    taken = []
    for _ in range(CALLS):
        started = time.perf_counter()
        work()
        taken.append((time.perf_counter() - started) * 1000)
    return statistics.median(taken)


def main() -> None:
    """Build the store, time the calls, print."""
    parts = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        with Store.open(folder / "store", create=True) as store:
            report = add_paths(store, papers(folder, parts), NOW)
            print(f"{parts} parts, {KITS} kits, {report.count('read')} papers read")
            got = parse_got("10 friction discs, 11 steel discs, 2 seal rings")
            plain = median_ms(lambda: part_answer(store, "Q000700-A"))
            for words, model in (("kit", None), ("kit, with a model", "OG 4")):
                taken = median_ms(lambda m=model: kit_answer(store, "Q900007-K", got, m))
                print(f"{words}: {taken:.1f} ms, {taken / plain:.1f} times a part look-up ({plain:.1f} ms)")
            wrong = parse_got("10 friction discs, 10 steel discs, 2 seal rings")
            taken = median_ms(lambda: kit_answer(store, "Q900007-K", wrong))
            print(f"kit with a difference: {taken:.1f} ms")


if __name__ == "__main__":
    main()
