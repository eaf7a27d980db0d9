"""What the program imports is declared, what is declared is used, heavy libraries wait until they are needed,
and the table of licences in DEVELOPERS.md is that of what is installed."""

import ast
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest
from licence_table import HEAD, licence, remark, table
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parent.parent
ROOMS = ("cli", "graph", "ingest", "corpus_demo")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
CLUSTER = "cluster"
UNSEEN = {"onnxruntime", "lxml"}
"""Used without an import: rapidocr runs on the one, beautifulsoup4 and python-docx parse with the other."""
HEAVY = ("cv2", "distributed", "docx", "flask", "lxml", "networkx", "numpy", "onnxruntime", "openpyxl",
         "pdfplumber",
         "PIL", "pint", "pypdfium2", "rapidfuzz", "rapidocr", "sqlite_utils", "waitress")  # fmt: skip


def declared(*extras: str) -> dict[str, Requirement]:
    """The packages of the project and of these extras, by name."""
    lines = [*PROJECT["dependencies"], *(r for e in extras for r in PROJECT["optional-dependencies"][e])]
    return {canonicalize_name(Requirement(line).name): Requirement(line) for line in lines}


def imported(path: Path) -> Iterator[str]:
    """The packages that a module imports anywhere, by their first names."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    typing_only = {
        id(inner)
        for node in ast.walk(tree)
        if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING"
        for inner in ast.walk(node)
    }
    for node in ast.walk(tree):
        if id(node) in typing_only:
            continue
        if isinstance(node, ast.Import):
            yield from (alias.name.partition(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield node.module.partition(".")[0]


def product() -> dict[str, set[str]]:
    """Every package from outside that the product imports, with the modules that do."""
    found: dict[str, set[str]] = {}
    for room in ROOMS:
        for path in (ROOT / room).rglob("*.py"):
            for name in imported(path):
                if name not in sys.stdlib_module_names and name != "benchleaf":
                    found.setdefault(name, set()).add(str(path.relative_to(ROOT)))
    return found


def owners(name: str) -> set[str]:
    return {canonicalize_name(owner) for owner in packages_distributions().get(name, [name])}


def test_what_is_imported_is_declared() -> None:
    """Each package that the product imports is one of the project's or of an extra's, or comes with one of
    them (Flask's werkzeug, rapidocr's cv2); drawing the demo's papers needs reportlab, as the tests do."""
    known = set(declared("scan", "office", "desk", CLUSTER))
    of_one = {"werkzeug": "flask", "cv2": "rapidocr", "pdfminer": "pdfplumber", "dask": "distributed"}
    for name, where in product().items():
        owned = owners(name) | {of_one.get(name, "")}
        drawn = all(path.startswith("corpus_demo") for path in where)
        assert owned & known or (drawn and owned & set(declared("test"))), (name, sorted(where)[:3])


def test_what_is_declared_is_used() -> None:
    """Nothing is installed for nothing: each declared package is imported somewhere in the product."""
    used = {owner for name in product() for owner in owners(name)}
    for name in declared("scan", "office", "desk"):
        assert name in used | UNSEEN, f"{name} is declared and imported nowhere"


def test_every_range_has_both_ends() -> None:
    """A shop that installs next year gets no version that nobody has tried."""
    for name, need in declared("scan", "office", "desk").items():
        signs = {spec.operator for spec in need.specifier}
        assert ">=" in signs and "<" in signs, name


@pytest.mark.parametrize("line", [["--version"], ["--help"], ["part", "--help"]], ids=" ".join)
def test_heavy_libraries_wait(line: list[str]) -> None:
    """What needs none of them imports none of them."""
    program = (
        "import sys\nfrom benchleaf.cli.main import benchleaf\n"
        "benchleaf(sys.argv[1:], standalone_mode=False)\n"
        "print(*sorted({n.partition('.')[0] for n in sys.modules}), file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", program, *line], capture_output=True, text=True, check=True)
    assert not set(done.stderr.split()) & set(HEAVY)


def test_the_licences_are_told() -> None:
    """No direct dependency hides its licence, and the marks fall on those that ask more than to be named."""
    for name in declared("scan", "office", "desk"):
        assert licence(name) != "not stated", name
    for words in ("LGPL-3.0-or-later", "MPL-2.0 AND MIT", "GNU General Public License"):
        assert "not permissive" in remark(words)
    for words in ("MIT", "BSD-3-Clause", "Apache-2.0 OR BSD-2-Clause", "Zope Public License", "PSF-2.0"):
        assert remark(words) == words


def test_the_table_of_licences_is_current() -> None:
    """DEVELOPERS.md tells the licence of every declared package as it is installed, and names every package
    on the way, of whatever version, whose licence asks more. What others ask for besides may come and go."""
    words = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert HEAD in words
    told = {tuple(cell.strip() for cell in row.split("|")[1:3]) for row in words.splitlines() if "|" in row}
    rows = [tuple(cell.strip() for cell in row.split("|")[1:3]) for row in table().splitlines()[2:]]
    ours = set(declared("scan", "office", "desk"))
    assert not [row for row in rows if (row[0] in ours or "not permissive" in row[1]) and row not in told]
