"""settle, note, kit --lift, check, backup: the commands that write, and who signs."""

import datetime as dt
import json
from pathlib import Path

import pytest
from benchleaf.graph.store import Store

NOTE = ["note", "--pub", "vm30", "--page", "4-12", "--item", "4", "--initials", "QZ"]


def test_settling_needs_initials(run, fresh: Path) -> None:
    """Without initials nothing is settled: wrong use, with the remedy."""
    result = run("settle", "7", "yes", "--item", "1", store=fresh)
    assert result.exit_code == 2
    assert "--initials" in result.stderr
    with Store.open(fresh) as store:
        assert store.settlements() == ()


@pytest.mark.parametrize("initials", ["...", "rule", "RULE", "a much too long name", "A1", " "])
def test_initials_are_a_person_s(initials: str, run, fresh: Path) -> None:
    """Blanks to fill, the name of the rules, digits and sentences are no initials."""
    assert run("settle", "7", "no", "--initials", initials, store=fresh).exit_code == 2


def test_yes_with_a_correction_settles_and_shows_on_the_page(run, fresh: Path) -> None:
    """A doubt about the item, settled with its item, is in force on the page; both words are kept."""
    result = run("settle", "7", "yes", "--item", "1", "--initials", "QZ", store=fresh)
    assert result.exit_code == 0
    assert "settled by QZ" in result.stdout
    page = json.loads(run("page", "VM-30", "4-12", "--json", store=fresh).stdout)
    assert page["items"][0]["in_force"]["text"] == "Soak the friction discs for 60 minutes."
    assert json.loads(run("doubts", "--json", store=fresh).stdout)["doubts"] == []
    with Store.open(fresh) as store:
        (kept,) = store.settlements()
    assert (kept.statement, kept.verdict, kept.initials) == (7, "yes", "QZ")


def test_the_line_that_doubts_shows_settles_once_its_blanks_are_filled(run, fresh: Path) -> None:
    """What `doubts` says to type works when the blanks are filled, and not before."""
    import shlex

    line = next(r for r in run("doubts", store=fresh).stdout.splitlines() if " settle " in r)
    words = shlex.split(line)[1:]
    assert run(*words, store=fresh).exit_code != 0
    answers = {"--item": "1", "--initials": "QZ"}
    pairs = zip(["", *words], words, strict=False)
    filled = [answers[before] if word == "..." else word for before, word in pairs]
    assert run(*filled, store=fresh).exit_code == 0


def test_initials_may_come_from_the_environment(run, fresh: Path) -> None:
    """BENCHLEAF_INITIALS signs where --initials does not."""
    result = run("settle", "7", "no", "--json", store=fresh, env={"BENCHLEAF_INITIALS": "QZ"})
    assert result.exit_code == 0
    shape = json.loads(result.stdout)["statement"]
    assert (shape["standing"], shape["settled_by"]) == ("refused", "QZ")


def test_an_incomplete_yes_is_refused(run, fresh: Path) -> None:
    """Yes to an override that still names no item is wrong use and changes nothing."""
    result = run("settle", "7", "yes", "--initials", "QZ", store=fresh)
    assert result.exit_code == 2
    assert "--item" in result.stderr


def test_an_unknown_statement(run, fresh: Path) -> None:
    """A number that no statement has: not held, status 1."""
    assert run("settle", "700", "no", "--initials", "QZ", store=fresh).exit_code == 1


def test_a_shop_s_note_is_in_force_and_marked(run, fresh: Path) -> None:
    """The shop's note changes the value on the page, under its own number, said to be the shop's."""
    words = [*NOTE, "--action", "change-value", "--was", "31 N·m", "--now", "33 N·m"]
    result = run(*words, store=fresh)
    assert result.exit_code == 0, result.output
    assert "SHOP-1" in result.stdout and "the shop's own" in result.stdout
    page = run("page", "VM-30", "4-12", store=fresh).stdout
    assert "[was: 29] 33 N·m" in page
    assert "SHOP-1" in page and "the shop's own" in page
    (note,) = [
        n for n in json.loads(run("notes", "--json", store=fresh).stdout)["notes"] if n["source"] == "shop"
    ]
    assert (note["number"], note["date"]) == ("SHOP-1", dt.date.today().isoformat())


@pytest.mark.parametrize("action", ["replace", "insert-after", "insert-before", "caution"])
def test_worded_actions_need_words(action: str, run, fresh: Path) -> None:
    """replace, insert and caution need --text, and take it."""
    assert run(*NOTE, "--action", action, store=fresh).exit_code == 2
    result = run(*NOTE, "--action", action, "--text", "Oil the thread.", "--json", store=fresh)
    assert result.exit_code == 0
    (said,) = json.loads(result.stdout)["statements"]
    assert (said["action"], said["text"], said["settled_by"]) == (action, "Oil the thread.", "QZ")
    assert said["target"] == {"publication": "VM-30", "page": "4-12", "item": "4"}


@pytest.mark.parametrize(
    ("words", "status"),
    [
        (["--action", "delete", "--text", "x"], 2),
        (["--action", "change-value", "--was", "29 N·m"], 2),
        (["--action", "change-value", "--was", "99 N·m", "--now", "3 N·m"], 2),
        (["--action", "delete", "--item", "44"], 1),
        (["--action", "delete", "--page", "4-99"], 1),
        (["--action", "delete", "--pub", "VM-31"], 1),
    ],
)
def test_a_note_that_cannot_be_is_refused(words: list[str], status: int, run, fresh: Path) -> None:
    """Words that the action cannot use, a value that the step has not, a step that is not held."""
    assert run(*NOTE, *words, store=fresh).exit_code == status
    assert len(json.loads(run("notes", "--json", store=fresh).stdout)["notes"]) == 4


def test_a_note_for_some_units(run, fresh: Path) -> None:
    """--model and --serial-from limit the note."""
    words = ["--action", "delete", "--model", "VR 30", "--serial-from", "6000"]
    assert run(*NOTE, *words, store=fresh).exit_code == 0
    ask = ["procedure", "--page", "4-12", "--model", "VR 30", "--json", "--serial"]
    for serial, deleted in (("5999", False), ("6000", True)):
        steps = json.loads(run(*ask, serial, store=fresh).stdout)["steps"]
        assert (next(s for s in steps if s["label"] == "4")["text"] is None) is deleted


HOLD = ["kit", "7751-1", "--got", "6 friction disc, 6 steel disc"]


def test_a_hold_is_written_down_once_and_lifted_by_a_person(run, fresh: Path) -> None:
    """An unexplained kit is put on hold, once; lifting the hold needs initials and a reason."""
    assert run(*HOLD, store=fresh).stdout.startswith("HOLD — kit 7751-1")
    run(*HOLD, store=fresh)
    with Store.open(fresh) as store:
        (hold,) = store.holds()
    assert "steel disc: 5 expected, 6 came" in hold.reason
    lift = ["kit", "7751-1", "--lift"]
    assert run(*lift, "--reason", "x", store=fresh).exit_code == 2
    assert run(*lift, "--initials", "QZ", store=fresh).exit_code == 2
    result = run(*lift, "--initials", "QZ", "--reason", "one disc went back", "--json", store=fresh)
    assert result.exit_code == 0
    (lifted,) = json.loads(result.stdout)["lifted"]
    assert (lifted["lifted_by"], lifted["lifted_reason"]) == ("QZ", "one disc went back")
    assert run(*lift, "--initials", "QZ", "--reason", "again", store=fresh).exit_code == 1


def test_a_good_count_writes_no_hold_and_names_an_open_one(run, fresh: Path) -> None:
    """A kit that is as it should be is not held; a hold of before stays, and shows, until it is lifted."""
    good = ["kit", "7751-1", "--got", "6 friction disc, 5 steel disc"]
    run(*good, store=fresh)
    with Store.open(fresh) as store:
        assert store.holds() == ()
    run(*HOLD, store=fresh)
    text = run(*good, store=fresh).stdout
    assert text.startswith("Kit 7751-1: explained")
    assert "On hold since" in text and "--lift" in text


def test_neither_an_uncounted_nor_an_unknown_kit_writes_a_hold(run, fresh: Path) -> None:
    """Asking what a kit should hold, or a misspelt number, leaves nothing behind."""
    run("kit", "7751-1", store=fresh)
    run("kit", "7759-1", "--got", "6 friction disc", store=fresh)
    with Store.open(fresh) as store:
        assert store.holds() == ()


def test_a_hold_on_a_store_that_cannot_be_written_is_still_told(
    run, fresh: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The verdict stands though it cannot be written down, which standard error says."""
    from benchleaf.graph.errors import StoreProblem

    def locked(self: object, *, create: bool = False) -> None:
        raise StoreProblem("the store is busy.", "Try again.")

    monkeypatch.setattr("benchleaf.cli.session.Session.write", locked)
    result = run(*HOLD, "--json", store=fresh)
    assert result.exit_code == 1
    assert json.loads(result.stdout)["hold"] is True
    assert "could not be written down" in result.stderr


def test_check_of_a_whole_store(run, fresh: Path) -> None:
    """The small store lacks its originals, and `check` says so for every file, with status 1."""
    result = run("check", store=fresh)
    assert result.exit_code == 1
    assert "5 problems." in result.stdout and "is missing" in result.stdout
    shape = json.loads(run("check", "--json", store=fresh).stdout)
    assert shape["whole"] is False and len(shape["problems"]) == 5
    assert shape["counts"]["notes"] == 4


def test_check_and_backup_of_a_store_without_files(run, tmp_path: Path) -> None:
    """An empty store is whole; its copy is a store that is whole, too."""
    Store.open(tmp_path / "one", create=True).close()
    assert run("check", store=tmp_path / "one").stdout.startswith("The store is whole.")
    result = run("backup", str(tmp_path / "two"), store=tmp_path / "one")
    assert result.exit_code == 0
    assert run("check", "--json", store=tmp_path / "two").exit_code == 0
    assert json.loads(run("backup", str(tmp_path / "three"), "--json", store=tmp_path / "one").stdout) == {
        "backup": str(tmp_path / "three")
    }


def test_backup_onto_itself_is_wrong_use(run, tmp_path: Path) -> None:
    """A copy over the store itself is refused."""
    Store.open(tmp_path / "one", create=True).close()
    assert run("backup", str(tmp_path / "one"), store=tmp_path / "one").exit_code == 2
