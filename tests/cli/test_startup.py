"""What each command imports: nothing heavy before it is needed. Which packages are heavy was
measured; no source."""

import datetime as dt
import json
import subprocess
import sys
from pathlib import Path

import pytest
from benchleaf.cli.main import COMMANDS
from benchleaf.graph.model import (
    Applies,
    Document,
    Item,
    Manual,
    ManualPage,
    Note,
    SheetText,
    Source,
    Supersession,
)
from benchleaf.graph.store import Store

HEAVY = frozenset(
    (
        *("networkx", "rapidfuzz", "rich", "pint", "jinja2", "flask", "waitress", "sqlite_utils", "pebble"),
        *("pdfplumber", "pypdfium2", "PIL", "numpy", "onnxruntime", "rapidocr", "distributed"),
        *("lxml", "bs4", "docx", "openpyxl"),
    )
)
PRINT = frozenset({"rich"})
"""What answers for people are printed with; as JSON they do without."""

# A command as typed → the heavy packages that it needs.
NEEDS: dict[tuple[str, ...], frozenset[str]] = {
    ("page", "RX-1", "4-1"): PRINT,
    ("page", "RX-1", "4-1", "--json"): frozenset(),
    ("part", "KD", "104-2"): PRINT | {"networkx"},
    ("part", "KD", "104-2", "--json"): frozenset({"networkx"}),
    ("procedure", "--pub", "RX-1", "--page", "4-1"): PRINT,
    ("procedure", "--pub", "RX-1", "--page", "4-1", "--json"): frozenset(),
    ("find", "drum"): PRINT,
    ("find", "drum", "--json"): frozenset(),
    ("notes", "--json"): frozenset(),
    ("publications", "--json"): frozenset(),
    ("statements", "--json"): frozenset(),
    ("doubts", "--json"): frozenset(),
    ("missing", "--json"): frozenset(),
    ("week", "--json"): frozenset(),
    ("week", "--csv", "-"): frozenset(),
}
RUN = """
import json, sys
sys.argv = ["benchleaf", *json.loads(sys.argv[1])]
try:
    from benchleaf.cli.main import main
    main()
except SystemExit as end:
    status = end.code
print(json.dumps([status, sorted({name.split(".")[0] for name in sys.modules})]), file=sys.stderr)
"""


def imported(*typed: str) -> tuple[int, frozenset[str]]:
    """The status of a call in a fresh interpreter, and the heavy packages that it imported."""
    done = subprocess.run([sys.executable, "-c", RUN, json.dumps(typed)], capture_output=True, text=True)
    status, names = json.loads(done.stderr.strip().splitlines()[-1])
    return status, HEAVY & set(names)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store with a manual of one page and a list of one row."""
    step = Item("1", "Fit the drum with seal KD 104-2.", "4-1", 1)
    book = Manual("RX-1", None, None, "1", None, ("GX 4",), (ManualPage("4-1", 1, None, (step,)),), "m.pdf")
    source = Source("list.csv", 1)
    row = Supersession(
        note="list",
        date=None,
        quote="w",
        source=source,
        settled_by="rule",
        old=("KD 104-1",),
        new=("KD 104-2",),
    )
    listed = Note("list", None, None, None, "unknown", None, Applies(), "list.csv", statements=(row,))
    made = tmp_path_factory.mktemp("made") / "store"
    with Store.open(made, create=True) as store, store.transaction():
        now = dt.datetime(2026, 11, 25, 9, tzinfo=dt.UTC)
        sheet = SheetText(1, "4-1", step.text)
        store.insert(Document(64 * "a", "m.pdf", "manual", (sheet,), manual=book), now.date(), now)
        store.insert(Document(64 * "b", "list.csv", "list", (), notes=(listed,)), now.date(), now)
    return made


@pytest.mark.parametrize("typed", NEEDS, ids=" ".join)
def test_a_command_imports_nothing_heavy_that_it_does_not_need(typed: tuple[str, ...], folder: Path) -> None:
    """Each command, answered from a small store, imports no heavy package but those it needs."""
    status, heavy = imported("--store", str(folder), *typed)
    assert (status, heavy - NEEDS[typed]) == (0, frozenset())


@pytest.mark.parametrize("typed", [(), *((name,) for name in COMMANDS)], ids=str)
def test_a_help_page_imports_nothing_heavy(typed: tuple[str, ...]) -> None:
    """The help of every command, and of the program, is there without any heavy package."""
    assert imported(*typed, "--help") == (0, frozenset())
