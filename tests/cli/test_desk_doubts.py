"""Settling doubts on the desk: what is shown, what a yes, no and back do, and who signs."""

import datetime as dt
import re
from html import unescape
from pathlib import Path

import pytest
from benchleaf.cli.desk.doubtview import changed, fields_of, head_fields, outcome
from benchleaf.cli.desk.doubtview import seen as mark_of
from benchleaf.graph.model import Applies, Contents, KitLine, Override, Statement, Supersession, Withdrawn
from benchleaf.graph.store import Store
from desk_visit import Visit, visit
from small_store import build, note, source, target

_SEEN = re.compile(r'action="/doubts/([^"]+)"[\s\S]{0,400}?name="seen" value="([0-9a-f]+)"')


@pytest.fixture
def desk(fresh: Path) -> Visit:
    return visit(fresh)


def seen(desk: Visit) -> dict[str, str]:
    """By the form's end of address: the mark of what it shows."""
    return {unescape(at): mark for at, mark in _SEEN.findall(desk.get("/doubts").text)}


def settle(desk: Visit, number: str, verdict: str, **fields: str) -> str:
    """Sends a doubt's form; the text of the page that comes back."""
    data = {"verdict": verdict, "seen": seen(desk).get(number, ""), "initials": "QZ", **fields}
    answer = desk.post(f"/doubts/{number}", data, "/doubts", follow_redirects=True)
    assert answer.status_code == 200
    return unescape(answer.text)


def standing(folder: Path, id: int) -> tuple[str, str | None]:
    with Store.open(folder) as store:
        said = store.statement(id)
    assert said is not None
    return said.standing, said.settled_by


def test_a_doubt_is_shown_with_words_reason_and_what_hangs_on_it(desk: Visit) -> None:
    """The page tells the statement, its quotation, its place, why it is in doubt and what a yes changes."""
    text = unescape(desk.get("/doubts").text)
    for words in ("Soak longer.", "the words do not say which item is meant", "vb-120.pdf", "page 4-12"):
        assert words in text
    assert "Soak the friction discs for 60 minutes." in text
    assert "Before a yes:" in text


def test_a_yes_with_its_step_settles(desk: Visit, fresh: Path) -> None:
    """The same as `settle 7 yes --item 1`: settled by those initials, and in force on the page."""
    text = settle(desk, "7", "yes", item="1", page="4-12", publication="VM-30")
    assert "settled by QZ" in text
    assert standing(fresh, 7) == ("settled", "QZ")
    assert "No doubts" in text
    page = re.sub(r"<[^>]+>", "", unescape(desk.get("/page/VM-30/4-12").text))
    assert "60 minutes" in page


def test_a_yes_that_lacks_something_settles_nothing(desk: Visit, fresh: Path) -> None:
    """Without the step nothing is settled; the message names the field and no command's option."""
    text = settle(desk, "7", "yes")
    assert "not settled" in text
    assert "“Step”" in text
    assert "--item" not in text
    assert standing(fresh, 7)[0] == "doubtful"


def test_a_no_refuses_and_back_takes_it_back(desk: Visit, fresh: Path) -> None:
    """No refuses; the list of what people settled offers to take it back, and then it is a doubt again."""
    assert "refused by QZ" in settle(desk, "7", "no")
    assert standing(fresh, 7) == ("refused", "QZ")
    text = settle(desk, "7", "back")
    assert standing(fresh, 7)[0] == "doubtful"
    assert "Soak longer." in text


def test_initials_are_asked_once(desk: Visit, fresh: Path) -> None:
    """After the first form the session signs; someone else can be asked for anew."""
    assert 'name="initials"' in desk.get("/doubts").text
    settle(desk, "7", "no")
    assert 'name="initials"' not in desk.get("/doubts").text
    answer = desk.post("/doubts/7", {"verdict": "back"}, "/doubts", follow_redirects=True)
    assert answer.status_code == 200
    assert standing(fresh, 7)[0] == "doubtful"
    desk.post("/doubts/signer", {}, "/doubts")
    assert 'name="initials"' in desk.get("/doubts").text


@pytest.mark.parametrize("initials", ["", "...", "rule", "A1", "a much too long name"])
def test_nobody_settles_unsigned(initials: str, desk: Visit, fresh: Path) -> None:
    """Without a person's initials nothing is settled."""
    text = settle(desk, "7", "no", initials=initials)
    assert "not settled" in text
    assert standing(fresh, 7)[0] == "doubtful"


@pytest.mark.parametrize("verdict", ["", "maybe", "YES"])
def test_what_is_no_verdict_settles_nothing(verdict: str, desk: Visit, fresh: Path) -> None:
    """Only yes, no and back are answers."""
    assert "not settled" in settle(desk, "7", verdict)
    assert standing(fresh, 7)[0] == "doubtful"


def test_a_form_that_shows_what_no_longer_stands_settles_nothing(desk: Visit, fresh: Path) -> None:
    """Two people on one doubt: the second is told to look again, and the first one's word stands."""
    old = seen(desk)["7"]
    settle(desk, "7", "no")
    data = {"verdict": "yes", "seen": old, "initials": "AB", "item": "1"}
    text = desk.post("/doubts/7", data, "/doubts", follow_redirects=True).text
    assert "changed meanwhile" in text
    assert standing(fresh, 7) == ("refused", "QZ")


def test_an_unknown_statement_or_note_is_not_held(desk: Visit) -> None:
    """A number that nobody read ends in a page that says so."""
    for at in ("/doubts/9999", "/doubts/head/NO-9"):
        assert desk.post(at, {"verdict": "no", "initials": "QZ"}, "/doubts").status_code == 404
    assert desk.get("/doubts?note=NO-9").status_code == 404


def test_what_becomes_of_holds_is_told_as_the_command_tells_it(
    desk: Visit, fresh: Path, tmp_path: Path, run
) -> None:
    """A no to the reading that explained a kit brings its hold back; taking the no back ends it again."""
    letter = tmp_path / "vb130.txt"
    letter.write_text(
        "Vellmar\nService bulletin VB 130\nDate: 3 May 2024\nSubject: Clutch kit\nModels: VR 30\n\n"
        "Kit 7750-1 now contains 5 friction discs and 5 steel discs.\n\n"
        "In manual VM-30, page 4-12, item 3 is replaced by the following:\n\n"
        '"Stack the discs in turn, starting with a friction disc and ending with a steel disc. '
        'Count: 5 friction discs and 5 steel discs."\n',
        encoding="utf-8",
    )
    assert run("kit", "7750-1", "--got", "5 friction disc, 5 steel disc", store=fresh).exit_code == 1
    assert "the hold is over" in run("add", str(letter), store=fresh).stderr
    with Store.open(fresh) as store:
        (said,) = [s for s in store.statements(note="VB 130") if isinstance(s, Contents)]
        assert store.holds() == ()
    text = settle(desk, str(said.id), "no", seen=mark_of(said))
    assert "refused by QZ" in text
    with Store.open(fresh) as store:
        assert [hold.kit for hold in store.holds()] == ["7750-1"]
    assert re.search(r'role="status">[^<]*7750-1[^<]*hold', text)
    text = settle(desk, str(said.id), "back")
    assert "7750-1: the hold is over" in text
    with Store.open(fresh) as store:
        assert store.holds() == ()


@pytest.fixture
def unclear(tmp_path: Path) -> Path:
    """A store with a note whose date can be read two ways."""
    paper = note("VB 140", dt.date(2016, 6, 5), "Seal ring", Withdrawn(
        note="VB 140", date=dt.date(2016, 6, 5), quote="7799-1 is gone.", source=source("vb-140.pdf"),
        part="7799-1", settled_by="rule"))  # fmt: skip
    from dataclasses import replace

    head = replace(paper.notes[0], unclear=("“05/06/2016” may be 5 June 2016 or 6 May 2016",))
    return build(tmp_path / "unclear", replace(paper, notes=(head,)))


def test_a_head_is_settled_with_its_date_and_taken_back(unclear: Path) -> None:
    """As `settle --note`: the date put right, nothing unclear left; back restores what was read."""
    desk = visit(unclear)
    assert "may be 5 June 2016 or 6 May 2016" in unescape(desk.get("/doubts").text)
    (at,) = [name for name in seen(desk) if name.startswith("head/")]
    text = settle(desk, at, "yes", date="2016-05-06", file="vb-140.pdf")
    assert "settled by QZ" in text
    with Store.open(unclear) as store:
        held = store.note("VB 140")
    assert held is not None
    assert (held.date, held.unclear) == (dt.date(2016, 5, 6), ())
    settle(desk, "head/VB 140", "back")
    with Store.open(unclear) as store:
        held = store.note("VB 140")
    assert held is not None
    assert held.date == dt.date(2016, 6, 5)
    assert held.unclear


def test_a_head_with_a_wrong_date_settles_nothing(unclear: Path) -> None:
    """What is no date is told, in the field's words."""
    desk = visit(unclear)
    text = settle(desk, "head/VB%20140", "yes", date="5.6.16")
    assert "not settled" in text
    assert "“Date, year-month-day”" in text


RULE = {"note": "N", "date": None, "quote": "q", "source": source("n.pdf")}
STATEMENTS: list[Statement] = [
    Override(
        **RULE, action="replace", target=target("3"), text="New\nwords.", applies=Applies(models=("A", "B"))
    ),
    Supersession(**RULE, old=("1-2", "1-3"), new=("1-4",)),
    Contents(**RULE, kit="7", lines=(KitLine("9-1", "friction disc", 5), KitLine(None, "gasket", None))),
    Withdrawn(**RULE, part="1-2"),
]


@pytest.mark.parametrize("said", STATEMENTS, ids=lambda s: type(s).__name__)
def test_a_form_sent_as_it_was_shown_corrects_nothing(said: Statement) -> None:
    """Only what a person changed goes with the yes as a correction; a browser's line ends change nothing."""
    fields = fields_of(said)
    sent = {f.name: f.value.replace("\n", "\r\n") for f in fields}
    assert changed(fields, sent) == {}
    assert changed(fields, {**sent, "other": "x"}) == {}
    first = fields[0].name
    assert changed(fields, {**sent, first: "else"}) == {first: "else"}


def test_an_emptied_field_is_a_correction(held: Path) -> None:
    """An empty text takes a value away, as the command's empty option does."""
    with Store.open(held) as store:
        paper = store.note("VB 114")
    assert paper is not None
    assert changed(head_fields(paper), {"serial_from": "", "models": "VR 30"}) == {"serial_from": ""}


def test_what_a_yes_would_change_is_the_step_s_own_words(held: Path) -> None:
    """A changed value is shown inside the step's words, once and whole; otherwise as values alone."""
    with Store.open(held) as store:
        one = Override(**RULE, action="change-value", target=target("4"), was="29 N·m", now="31 N·m")
        assert outcome(store, one).now == "Tighten the cover screws to 31 N·m."
        part = Override(**RULE, action="change-value", target=target("4"), was="9 N·m", now="31 N·m")
        assert outcome(store, part).now == "31 N·m"
        gone = Override(**RULE, action="delete", target=target("5"))
        assert outcome(store, gone).was == "Coat the cover gasket with sealer."
        assert outcome(store, gone).now is None


def test_words_of_documents_stay_words(tmp_path: Path) -> None:
    """Markup in a note's words, reasons and file name is shown as it is and never becomes markup."""
    bad = "<script>alert(1)</script><img src=x onerror=alert(1)>"
    day = dt.date(2024, 1, 1)
    said = Override(note="VB 150", date=day, quote=bad, source=source(f'"><b>{bad}.pdf'), standing="doubtful",
        why=(bad,), action="replace", target=target("1"), text=bad)  # fmt: skip
    folder = build(tmp_path / "hostile", note("VB 150", day, bad, said))
    text = visit(folder).get("/doubts").text
    assert "<script>alert" not in text
    assert "<img src=x" not in text
    assert "&lt;script&gt;" in text


def test_many_doubts_come_a_part_at_a_time(tmp_path: Path) -> None:
    """Each doubt brings a form and a picture: the page shows 20 and leads to the rest; none is lost."""
    day = dt.date(2024, 1, 1)
    many = [
        Override(note="VB 160", date=day, quote=f"q{n}", source=source("n.pdf"), standing="doubtful",
                 why=("w",), action="caution", target=target("1"), text=f"t{n}")
        for n in range(95)
    ]  # fmt: skip
    desk = visit(build(tmp_path / "many", note("VB 160", day, "Many", *many)))
    found: set[str] = set()
    for first in range(0, 100, 20):
        found |= set(re.findall(r'id="doubt-([0-9]+)"', desk.get(f"/doubts?from={first}").text))
    assert len(found) == 96
