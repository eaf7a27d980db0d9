"""What becomes of a problem: one clear message, its remedy, its exit status."""

import errno
import io
import json
import os
import sys
from collections.abc import Sequence
from dataclasses import dataclass

import click
from benchleaf.cli.clean import clean, one_line
from benchleaf.graph.errors import BenchleafError, NotHeld

_REPORT = "This is a defect in benchleaf, not in your papers. Please report it; BENCHLEAF_TRACE=1 shows more."


@dataclass(frozen=True, slots=True)
class Trouble:
    """A problem as the user hears of it. `near` are the nearest things held; `status` the exit status."""

    message: str
    remedy: str = ""
    near: tuple[str, ...] = ()
    status: int = 1


_LISTS: dict[str, tuple[str, ...]] = {
    "page": ("items", "notes"),
    "procedure": ("kits", "steps", "left_out", "warnings"),
    "kit": ("lines", "steps", "reasons"),
    "job": (),
    "measure": ("ranges", "warnings"),
    "pack": ("orders", "pairs", "nearest", "findings", "missing", "cautions", "notes", "formulas"),
}
"""The lists of a command's answer: with nothing to answer they are empty, never missing."""


def report(problem: Exception, *, as_json: bool, command: str = "") -> int:
    """Tell the user on standard error, and as JSON on standard output where asked; give the exit status."""
    told = trouble_of(problem)
    if os.environ.get("BENCHLEAF_TRACE") == "1":
        import traceback

        traceback.print_exception(problem)
    if as_json:
        shape = {"message": told.message, "near": list(told.near), "remedy": told.remedy}
        empty: dict[str, object] = {name: [] for name in _LISTS.get(command, ())}
        click.echo(json.dumps({**empty, "error": shape}, indent=2))
    if isinstance(problem, click.UsageError):
        held = io.StringIO()
        problem.show(held)
        click.echo(clean(held.getvalue()), err=True, nl=False)
        if isinstance(problem, click.NoSuchOption) and problem.option_name == "--store":
            click.echo("--store stands before the command's name: benchleaf --store DIR COMMAND", err=True)
    else:
        click.echo(words(told), err=True)
    return told.status


def trouble_of(problem: Exception) -> Trouble:
    """The problem in the user's words."""
    if isinstance(problem, NotHeld):
        return Trouble(
            clean(problem.message), clean(problem.remedy), tuple(map(clean, problem.near)), problem.status
        )
    if isinstance(problem, BenchleafError):
        return Trouble(clean(problem.message), clean(problem.remedy), (), problem.status)
    if isinstance(problem, click.ClickException):
        return Trouble(clean(problem.format_message()), "See benchleaf --help.", (), problem.exit_code)
    if isinstance(problem, OSError) and problem.filename:
        return Trouble(f"{one_line(str(problem.filename))}: {problem.strerror or problem}.")
    return Trouble(f"Unexpected: {type(problem).__name__}: {one_line(str(problem))}", _REPORT)


def words(told: Trouble) -> str:
    """The message, what is near, and the remedy, a line each."""
    near = f"Held and near: {', '.join(told.near)}" if told.near else ""
    return "\n".join(line for line in (f"benchleaf: {told.message}", near, told.remedy) if line)


def json_wanted(typed: Sequence[str]) -> bool:
    """True if `--json` stands among the typed words, before a `--`."""
    before = typed[: typed.index("--")] if "--" in typed else typed
    return "--json" in before


def reader_left() -> int:
    """Whoever read our output closed it (`| head`): end quietly, with no second error at exit."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return 1


def is_answer_lost(problem: OSError) -> bool:
    """True if standard output took no more: its disk is full, or its file may not grow."""
    return problem.filename is None and problem.errno in (errno.ENOSPC, errno.EFBIG, errno.EIO)


def answer_lost(problem: OSError) -> int:
    """Say that the answer went nowhere; what a command stores is stored by then."""
    click.echo(f"benchleaf: the answer could not be written: {problem.strerror}", err=True)
    click.echo("Free some space, or write it elsewhere, and ask again.", err=True)
    return reader_left()
