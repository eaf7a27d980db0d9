"""The options of `benchleaf pack`, in the groups that its help shows them in."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

F = TypeVar("F", bound=Callable[..., Any])

_FILE = click.Path(exists=True, dir_okay=False, path_type=Path)


def _option(flag: str, metavar: str, help: str, **more: Any) -> click.Option:
    return click.Option([flag], metavar=metavar, help=help, **more)


GROUPS: tuple[tuple[str, tuple[click.Option, ...]], ...] = (
    (
        "The pack",
        (
            _option("--friction", "PLATES", 'Friction plates: 5, or "5 x 2.50 ±0.05 mm", or as measured.'),
            _option("--steel", "PLATES", "Steel plates, likewise."),
            _option(
                "--other", "PIECE", 'More in the stack: "end plate 4.0 mm". Again for more.', multiple=True
            ),
            _option("--depth", "SIZE", 'What the pack goes into: "24.3 ±0.1 mm".'),
            _option(
                "--end-plates",
                "N",
                "End plates that friction plates rub on: 0, 1, 2.",
                type=click.Choice(["0", "1", "2"]),
                default="0",
            ),
            click.Option(["--single-sided"], is_flag=True, help="The plates are lined on one side only."),
        ),
    ),
    (
        "Before the change",
        (
            _option("--was-friction", "PLATES", "Friction plates before: what must the new ones be?"),
            _option("--was-steel", "PLATES", "Steel plates before."),
        ),
    ),
    (
        "Play to set",
        (
            _option("--measured", "SIZE", "Play or clearance that was measured."),
            _option("--fitted", "SIZE", "Selective part that was in place."),
            _option("--target", "SIZE", 'Clearance wanted: "0.8 to 1.2 mm".'),
            _option("--trial", "SIZE", "Trial shim that was in place."),
            _option("--end-play", "SIZE", "End play wanted."),
            _option("--preload", "SIZE", "Preload wanted, as a length."),
        ),
    ),
    (
        "To choose from",
        (
            _option("--need", "SIZE", "Look this up, in place of working it out."),
            _option("--choose", "ROWS", 'Selection table: "2.20-2.25 = A; 2.25-2.30 = B".'),
            _option("--table", "FILE", "Selection table as CSV: low, high, part, thickness.", type=_FILE),
            _option(
                "--tie",
                "lower|higher",
                "Row that owns an edge shared by two rows.",
                type=click.Choice(["lower", "higher"]),
                default="lower",
                show_default=True,
            ),
            _option("--sizes", "SIZES", 'Thicknesses at hand, one to fit: "2.0, 2.2, 2.4 mm".'),
            _option("--shims", "SIZES", 'Shims to add up, the fewest: "0.10, 2 x 0.15 mm".'),
        ),
    ),
    (
        "Torque of the pack",
        (
            _option("--inner-dia", "SIZE", "The lining's inner diameter."),
            _option("--outer-dia", "SIZE", "The lining's outer diameter."),
            _option("--mu", "FIGURE", "Coefficient of friction, the maker's.", type=float),
            _option("--force", "FORCE", 'Force on the pack: "8 kN". Or by the next three.'),
            _option("--pressure", "P", 'Pressure on the piston: "12 bar".'),
            _option("--area", "AREA", 'The piston\'s area: "4800 mm2".'),
            _option("--spring", "FORCE", 'Return springs together: "600 N"; "0 N" if none.'),
        ),
    ),
    (
        "Bolts",
        (
            _option("--bolt-torque", "TORQUE", "Torque asked for."),
            _option("--bolt-k", "FIGURE", "Or the maker's K, with force and diameter.", type=float),
            _option("--bolt-force", "FORCE", "The bolt's clamping force."),
            _option("--bolt-dia", "SIZE", "The bolt's diameter."),
            _option("--wrench", "SIZE", "The torque wrench's length, grip to square."),
            _option("--crowfoot", "SIZE", "Length that a crow-foot adds, in line."),
        ),
    ),
    (
        "The answer",
        (
            _option("--unit", "UNIT", "Unit of the answer and of bare sizes: mm or in.", multiple=True),
            click.Option(
                ["--json", "as_json"],
                is_flag=True,
                help="Print one JSON object and nothing else.",
            ),
        ),
    ),
)


class Grouped(click.Command):
    """A command whose help shows its options in the groups above."""

    def format_options(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write one section a group, all of them in columns of one width."""
        rows = [(title, [r for o in group if (r := o.get_help_record(ctx))]) for title, group in GROUPS]
        own = self.get_help_option(ctx)
        if own is not None and (record := own.get_help_record(ctx)):
            rows[-1][1].append(record)
        widest = max(len(first) for _, group in rows for first, _ in group)
        for title, group in rows:
            with formatter.section(title):
                formatter.write_dl([(first.ljust(widest), words) for first, words in group])


def options(function: F) -> F:
    """Add every option of the groups to a command's function."""
    held = getattr(function, "__click_params__", [])
    # click reads the list from its end, as decorators are applied from below
    added = [option for _, group in GROUPS for option in group]
    function.__click_params__ = [*held, *reversed(added)]  # type: ignore[attr-defined]  # click's own habit
    return function
