"""A progress bar on standard error, on a terminal only."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import PurePath

from benchleaf.cli.clean import one_line


@contextmanager
def progress(title: str) -> Iterator[Callable[[str, int | None], None]]:
    """Gives a function to call with each finished file and the number of all, or (then without a
    number) with words on the file in work; silent off a terminal."""
    if not sys.stderr.isatty():
        yield lambda file, total: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn

    name = TextColumn("{task.fields[file]}", markup=False)
    bar = Progress(TextColumn(title), BarColumn(), MofNCompleteColumn(), name, console=Console(stderr=True))
    with bar:
        task = bar.add_task(title, total=None, file="")

        def step(file: str, total: int | None) -> None:
            done = None if total is None else 1
            bar.update(task, total=total, advance=done, file=one_line(PurePath(file).name))

        yield step
