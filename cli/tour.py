"""The demo: an invented maker's papers in a folder, and the main job done on them by the commands."""

import io
import json
import os
import shlex
import sys
import tempfile
import tomllib
from collections.abc import Iterator, Sequence
from contextlib import chdir, contextmanager, redirect_stdout
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from typing import Any

from benchleaf.cli.main import benchleaf
from benchleaf.cli.say import command
from benchleaf.graph.errors import BenchleafError, WrongUse

FOLDER = "benchleaf-demo"
STORE, PAPERS = "store", "papers"
_KINDS = (".pdf", ".txt", ".csv")


@dataclass(frozen=True, slots=True)
class Stop:
    """One thing to show: its title, why a shop asks it, and what is typed after `benchleaf --store store`."""

    title: str
    argv: tuple[str, ...]
    why: str = ""


_ADD = Stop(
    "The papers go into the store",
    ("add", PAPERS),
    "Manual, letters, lists and slips, as they lie in the folder. Adding them again changes nothing.",
)


def read_tour() -> tuple[Stop, ...]:
    """The stops of the tour: the papers taken in, then those of the demo's own data."""
    text = files("benchleaf.corpus_demo").joinpath("tour.toml").read_text(encoding="utf-8")
    stops = tomllib.loads(text)["stop"]
    return (_ADD, *(Stop(s["title"], tuple(map(str, s["argv"])), s.get("why", "")) for s in stops))


def settled_folder(asked: Path | None) -> Path:
    """The demo's folder with its papers: the one asked for, else ./benchleaf-demo, else a temporary one.

    Raises WrongUse if there are other things in it.
    """
    folder = asked or Path(FOLDER)
    try:
        _fill(folder)
    except OSError as problem:
        if asked is not None:
            raise BenchleafError(
                f"{folder} cannot be written: {problem.strerror}", "Name another folder."
            ) from problem
        folder = Path(tempfile.mkdtemp(prefix=f"{FOLDER}-"))
        _fill(folder)
    return folder


def _fill(folder: Path) -> None:
    ours = (folder / PAPERS).is_dir()
    if folder.exists() and not ours and any(folder.iterdir()):
        raise WrongUse(f"{folder} holds other things", "Name an empty or a new folder.")
    (folder / PAPERS).mkdir(parents=True, exist_ok=True)
    for paper in files("benchleaf.corpus_demo").joinpath(PAPERS).iterdir():
        if paper.name.lower().endswith(_KINDS):
            (folder / PAPERS / paper.name).write_bytes(paper.read_bytes())


def walk(folder: Path, stops: Sequence[Stop]) -> int:
    """Show every stop: its title, why, the line typed and the answer; then what to type next."""
    from benchleaf.cli.screen import Piece, Screen

    screen = Screen()
    screen.line(f"The demo's papers and store are in {folder}.")
    worst = 0
    for number, stop in enumerate(stops, 1):
        screen.blank()
        screen.line(Piece(f"{number}. {stop.title}", "head"))
        if stop.why:
            screen.line(stop.why)
        screen.typed(f"$ {typed(stop)}")
        screen.blank()
        sys.stdout.flush()
        status = _run(folder, stop.argv)
        if status and stop == _ADD:
            return status
        worst = max(worst, status)
    screen.blank()
    screen.line(Piece("Your turn", "head"))
    screen.typed(shlex.join(["cd", str(folder)]))
    for line in ("doubts", "missing", "notes", "find spring", "--help"):
        screen.typed(command("--store", STORE, *line.split()))
    return 1 if worst > 1 else 0


def typed(stop: Stop) -> str:
    """The line as a person would type it in the demo's folder."""
    return command("--store", STORE, *stop.argv)


def _run(folder: Path, argv: Sequence[str]) -> int:
    with _inside(folder):
        return benchleaf.run(["--store", STORE, *argv], prog_name="benchleaf")


@contextmanager
def _inside(folder: Path) -> Iterator[None]:
    """In the demo's folder, with nothing from the caller's surroundings that would change an answer."""
    kept = os.environ.pop("BENCHLEAF_STORE", None)
    try:
        with chdir(folder):
            yield
    finally:
        if kept is not None:
            os.environ["BENCHLEAF_STORE"] = kept


def take_tour(folder: Path, stops: Sequence[Stop]) -> dict[str, Any]:
    """Every stop with its answer as JSON, as one object."""
    told = []
    for stop in stops:
        held = io.StringIO()
        with redirect_stdout(held):
            status = _run(folder, [*stop.argv, "--json"])
        told.append(
            {
                "title": stop.title,
                "why": stop.why,
                "typed": typed(stop),
                "status": status,
                "answer": json.loads(held.getvalue()),
            }
        )
    return {"folder": str(folder), "store": str(folder / STORE), "stops": told}
