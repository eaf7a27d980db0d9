"""An arrived kit as a sheet: the same words as the command line, whole in itself."""

import re
from pathlib import Path

from benchleaf.cli.arrivals import to_write, write_arrival
from benchleaf.cli.sheets.kitview import kit_view
from benchleaf.cli.sheets.render import sheet
from benchleaf.cli.sheets.stamp import stamp
from benchleaf.cli.show_kit import KitShown
from benchleaf.graph.kits.holding import standing_holds
from benchleaf.graph.kits.kit import kit_answer, parse_got
from benchleaf.graph.store import Store
from small_store import RECEIVED

GOT = "5 friction disc, 5 steel disc"


def words(page: str) -> str:
    return " ".join(re.sub(r"<style>.*?</style>|<[^>]{1,300}>", " ", page, flags=re.DOTALL).split())


def kit_sheet(folder: Path, got: str) -> str:
    with Store.open(folder) as store:
        came = parse_got(got) if got else ()
        answer = kit_answer(store, "7751-1", came, "VR 30")
        shown = KitShown(answer, standing_holds(store, "7751-1"), counted=bool(came))
        view = kit_view(shown, "VR 30", "5300")
        return sheet("kit.html", stamp=stamp(store, view.considered, RECEIVED.date()), kit=view)


def test_the_verdict_is_the_command_lines(fresh: Path, run) -> None:
    """The sheet's headline and every reason stand on the terminal too, word for word."""
    page = words(kit_sheet(fresh, GOT))
    told = " ".join(
        run("kit", "7751-1", "--got", GOT, "--model", "VR 30", "--json", store=fresh).stdout.split()
    )
    assert "HOLD — kit 7751-1: unexplained" in page and '"verdict": "unexplained"' in told
    assert "6 expected, 5 came, 1 too few" in page and "6 expected, 5 came, 1 too few" in told
    assert "For model VR 30, serial 5300." in page


def test_a_kit_that_was_not_counted_says_so(held: Path) -> None:
    """Without a count no verdict is given."""
    page = words(kit_sheet(held, ""))
    assert "NOT COUNTED" in page and "HOLD" not in page


def test_the_sheet_asks_for_nothing_else(held: Path) -> None:
    """No address of any kind stands in it, and it bears the stamp of every sheet."""
    page = kit_sheet(held, GOT)
    assert not re.findall(r'(?:href|src)="(?!data:)', page)
    assert "Check for newer notes before use." in page and "VB 114" in words(page)


def test_a_box_held_before_is_told(fresh: Path) -> None:
    """The same box, held once and lifted by a person, is told with that person's reason when written down
    again."""
    with Store.open(fresh, write=True) as store:
        came = parse_got(GOT)
        answer = kit_answer(store, "7750-1", came)
        assert to_write(store, answer, came) and not to_write(store, answer, ())
        assert write_arrival(store, answer, came, None, None, RECEIVED).told == ""
        with store.transaction():
            store.lift_hold("7750-1", "AB", "counted again", RECEIVED)
        again = write_arrival(store, answer, came, None, None, RECEIVED)
    assert again.told.endswith("AB lifted it on 2026-11-24: counted again")
