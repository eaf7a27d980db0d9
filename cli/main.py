"""The command `benchleaf`: a group that imports a command's module only when that command is called."""

import io
import sys
from collections.abc import Callable, Sequence
from importlib import import_module
from pathlib import Path
from typing import Any

import click
from benchleaf.cli import trouble
from benchleaf.cli.clean import clean
from benchleaf.cli.session import Session
from click.core import ParameterSource

# The help page is written here and not in the commands, so that showing it imports none of them.
SECTIONS: tuple[tuple[str, tuple[tuple[str, str], ...]], ...] = (
    (
        "At the bench",
        (
            ("page", "A manual page with every note that overrides it."),
            ("procedure", "The steps in force for a unit, a kit and a date."),
            ("part", "What a number became, what it was, where it is used."),
            ("kit", "An arrived kit against the notes and the manual."),
            ("job", "Units in work: opened, built, shipped."),
            ("pack", "The arithmetic of an alternating pack, clearances and shims."),
            ("measure", "A measured value against the step in force."),
            ("find", "Search the words and the part numbers."),
            ("sheet", "An answer as one file to print or to look at."),
            ("desk", "The same answers as local pages for a browser."),
        ),
    ),
    (
        "Papers",
        (
            ("add", "Take files and folders into the store."),
            ("notes", "The notes that the store holds."),
            ("publications", "The manuals that the store holds."),
            ("statements", "What was read out of the notes."),
            ("missing", "What is cited but not held."),
            ("reread", "Read held papers again, with the wordings known now."),
            ("week", "The weekly report."),
        ),
    ),
    (
        "Judging",
        (
            ("doubts", "Readings that wait for a person's eye."),
            ("settle", "Say yes or no to a reading."),
            ("note", "Write a shop's own note on a step."),
        ),
    ),
    (
        "Keeping",
        (
            ("check", "Is the store whole?"),
            ("backup", "Make a copy of the store."),
            ("demo", "Build a demo store and walk the main job."),
        ),
    ),
)
COMMANDS = {name: line for _, rows in SECTIONS for name, line in rows}


class LazyGroup(click.Group):
    """The commands of `SECTIONS`, each in the module of its name; every problem ends in one clear message."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The names of all commands, in the order of the help page."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import the one command that is called; None if there is none of that name."""
        if cmd_name not in COMMANDS:
            return None
        found = import_module(f"benchleaf.cli.commands.{cmd_name}").command
        assert isinstance(found, click.Command)
        return found

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command that is meant; a misspelt one is answered with the nearest names."""
        if args and args[0] not in COMMANDS and not args[0].startswith("-"):
            from difflib import get_close_matches

            near = get_close_matches(args[0].lower(), COMMANDS, n=3)
            hint = f" Did you mean {' or '.join(near)}?" if near else " See benchleaf --help."
            ctx.fail(f"There is no command {clean(args[0])!r}.{hint}")
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the help page's list of commands from the static lines."""
        widest = max(map(len, COMMANDS))
        for title, rows in SECTIONS:
            with formatter.section(title):
                formatter.write_dl([(name.ljust(widest), line) for name, line in rows])

    def main(self, *args: Any, standalone_mode: bool = True, **extra: Any) -> Any:
        """Run; in stand-alone mode leave the process with the exit status of interface: 0, 1, 2 or 130."""
        if not standalone_mode:
            return self._click(*args, **extra)
        typed = args[0] if args else extra.pop("args", None)
        sys.exit(self.run(list(sys.argv[1:] if typed is None else typed), **extra))

    def _click(self, *args: Any, **extra: Any) -> Any:
        run: Callable[..., Any] = super().main
        return run(*args, standalone_mode=False, **extra)

    def run(self, typed: Sequence[str], **extra: Any) -> int:
        """Carry out what was typed after the program's name; the exit status. Every problem is told here."""
        try:
            return self._told(typed, **extra)
        except OSError as problem:  # the problem was to be told as JSON, and that could not be written either
            return trouble.answer_lost(problem)

    def _told(self, typed: Sequence[str], **extra: Any) -> int:
        try:
            status = self._click(list(typed), **extra)
            sys.stdout.flush()
        except (click.Abort, KeyboardInterrupt):
            click.echo("Stopped.", err=True)
            return 130
        except BrokenPipeError:
            return trouble.reader_left()
        except OSError as problem:
            if trouble.is_answer_lost(problem):
                return trouble.answer_lost(problem)
            return trouble.report(problem, as_json=trouble.json_wanted(typed))
        except Exception as problem:
            command = next((word for word in typed if word in COMMANDS), "")
            return trouble.report(problem, as_json=trouble.json_wanted(typed), command=command)
        return status if isinstance(status, int) else 0


@click.group(
    cls=LazyGroup,
    invoke_without_command=True,
    no_args_is_help=False,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 79},
)
@click.option(
    "--store",
    "folder",
    metavar="DIR",
    type=click.Path(file_okay=False, path_type=Path),
    envvar="BENCHLEAF_STORE",
    show_envvar=True,
    help="The folder that keeps the papers and what was read from them. Without it: your user data folder.",
)
@click.version_option(package_name="benchleaf", prog_name="benchleaf", message="%(prog)s %(version)s")
@click.pass_context
def benchleaf(ctx: click.Context, folder: Path | None) -> int:
    """What the book says now, for this unit and this kit, and where that is written.

    Numbers of parts, pages and notes may be typed with or without their spaces, hyphens and dots. Every
    command takes --json. Exit status: 0 answered; 1 not answered or not all done; 2 wrong use.
    """
    named = ctx.get_parameter_source("folder") is ParameterSource.COMMANDLINE
    ctx.obj = Session(folder, ("--store", str(folder)) if named else ())
    if ctx.invoked_subcommand is None:
        click.echo(ctx.get_help(), err=True)
        return 2
    return 0


def main() -> None:
    """Run the command line."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")  # a narrow encoding must cost a sign, not the answer
    benchleaf(prog_name="benchleaf")


if __name__ == "__main__":
    main()
