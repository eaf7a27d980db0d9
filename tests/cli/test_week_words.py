"""The weekly report's words: groups by unit, one line a change."""

import io

from benchleaf.cli.screen import Screen
from benchleaf.cli.show_week import _show_parts, by_unit, show_missing
from benchleaf.graph.missing import Missing
from benchleaf.graph.week import WeekPart, WeekStep
from rich.console import Console


def changed(page: str, item: str, *models: str) -> WeekStep:
    return WeekStep("VM-30", page, item, "VB 1", "delete", None, None, None, "settled", models, 1)


def drawn() -> tuple[Screen, io.StringIO]:
    held = io.StringIO()
    return Screen(Console(file=held, width=80, force_terminal=False)), held


def test_each_step_stands_once_under_the_units_it_holds_for() -> None:
    """A step for two models stands under both together; pages and items are in the order of their numbers."""
    both, one, late = (
        changed("4-9", "2", "A 10", "A 9"),
        changed("4-9", "10", "A 9"),
        changed("4-10", "1", "A 9"),
    )
    assert by_unit([late, one, both]) == [(["A 9", "A 10"], (both,)), (["A 9"], (one, late))]


def test_units_with_the_same_steps_share_a_group_and_unnamed_ones_come_last() -> None:
    """Two models with the very same list are told once; steps for no named unit stand at the end."""
    shared, loose = changed("1", "1", "B 2", "B 1"), changed("1", "2")
    assert by_unit([loose, shared]) == [(["B 1", "B 2"], (shared,)), (["Units not named"], (loose,))]


def test_one_change_told_by_two_papers_is_one_line() -> None:
    """The same supersession in a bulletin and in a list is one line for both; a doubtful one is apart."""
    screen, held = drawn()
    _show_parts(
        screen,
        [
            WeekPart(("1-1",), ("1-2",), "one", "VB 1", "settled"),
            WeekPart(("1-1",), ("1-2",), "one", "list", "settled"),
            WeekPart(("1-1",), ("1-2",), "one", "VB 3", "doubtful"),
            WeekPart(("2-1",), (), "one", "VB 2", "settled"),
        ],
    )
    assert held.getvalue().splitlines()[2:] == [
        "  1-1 -> 1-2 (VB 1, list)",
        "  1-1 -> 1-2 (VB 3); DOUBT",
        "  2-1 -> nothing: no longer supplied (VB 2)",
    ]


def test_missing_papers_name_who_cites_them_and_what_is_near() -> None:
    """A line a paper: its kind and number, the citing notes, and held numbers that it may be a slip for."""
    screen, held = drawn()
    show_missing(
        screen,
        [
            Missing("publication", "VM-31", ("VB 1", "VB 2"), ("page 3, item 1",), ("VM-30",)),
            Missing("page", "9-1", ("VB 3",), ("VM-30",)),
            Missing("note", "VB 7", ("VB 9",)),
        ],
    )
    assert held.getvalue().splitlines() == [
        "  publication VM-31 (page 3, item 1), cited by VB 1 and VB 2; held and near:",
        "    VM-30",
        "  page 9-1 of VM-30, cited by VB 3",
        "  note VB 7, cited by VB 9",
    ]
