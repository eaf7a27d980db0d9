"""Hundreds of damaged bulletins added to a store at once: `python tests/faults/damaged_papers.py [HOW MANY]`.

Prints, for each way of damage, how many were refused, read as the sound file is, read and said to be
damaged, and read otherwise without a word. Ends with status 1 if any of the last is of a way that is always
told, or if the batch did not go on to its end.
"""

import sys
import tempfile
from collections import Counter
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from benchleaf.graph.store import Store
from benchleaf.ingest.add import FileOutcome, add_paths
from benchleaf.ingest.document import read_document
from benchleaf.ingest.workers.readers import Readers
from benchleaf.ingest.workers.sizing import readers_for
from damage import Damaged, damaged

NOW = datetime(2026, 11, 25, 9)
CAN_GO_UNTOLD = frozenset({"flipped", "blanked"})
"""Ways that change letters in place, which nothing vouches for in parts of a file that are not packed."""


@dataclass(slots=True)
class Told:
    """What became of damaged files: counts by way and outcome, and those whose loss nobody was told of."""

    counts: Counter[tuple[str, str]] = field(default_factory=Counter)
    silent: list[str] = field(default_factory=list)
    last: bool = False

    @property
    def bad(self) -> list[str]:
        """Files of a way that is always to be told, read otherwise without a word."""
        return [name for name in self.silent if name[5:-4] not in CAN_GO_UNTOLD]


def add_all(room: Path, files: list[Damaged], readers: Readers) -> Told:
    """Add all files and a sound letter behind; what was said of each, against what it said when sound."""
    papers = room / "papers"
    papers.mkdir()
    for file in files:
        (papers / file.name).write_bytes(file.data)
    (papers / "z.txt").write_text("Brackwell Hoists\nService letter BH-Z\nDate: 1 May 2000\n\nAll is well.\n")
    told = Told()
    with Store.open(room / "store", create=True) as store:
        report = add_paths(store, [papers], NOW, readers=readers)
        outcomes = {Path(f.path).name: f for f in report.files}
        told.last = outcomes["z.txt"].outcome == "read"
        for file in files:
            word = _judged(store, file, outcomes[file.name])
            told.counts[file.way, word] += 1
            if word == "SILENT":
                told.silent.append(file.name)
    return told


def _judged(store: Store, file: Damaged, outcome: FileOutcome) -> str:
    if outcome.outcome == "refused":
        assert outcome.reason, file.name
        return "refused"
    held = store.document(outcome.sha256 or "")
    assert held is not None, file.name
    if any("damaged" in f.message or "compare it with the paper" in f.message for f in outcome.findings):
        return "told"
    whole = read_document(file.sound, file.name)
    same = [s.text for s in held.sheets] == [s.text for s in whole.sheets]
    return "same" if same else "SILENT"


def main(count: int) -> int:
    with tempfile.TemporaryDirectory() as room, readers_for(None) as readers:
        told = add_all(Path(room), list(damaged(count)), readers)
    for (way, word), number in sorted(told.counts.items()):
        print(f"{way:12}{word:10}{number:6}")
    totals = Counter(word for _, word in told.counts.elements())
    print(", ".join(f"{number} {word}" for word, number in sorted(totals.items())), told.silent)
    return 0 if told.last and not told.bad else 1


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 600))
