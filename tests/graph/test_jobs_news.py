"""What is news to a job: steps, notes that were not considered, kits, doubts, comebacks. All papers are
invented."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from benchleaf.graph.jobs.answer import job_answer
from benchleaf.graph.jobs.job import About
from benchleaf.graph.jobs.measured import enter_value
from benchleaf.graph.jobs.news import JobNews, job_news
from benchleaf.graph.jobs.touched import jobs_touched
from benchleaf.graph.jobs.work import Told, build_job, change_job, open_job, ship_job
from benchleaf.graph.model import Applies, Cancels, Contents, ManualPage, Statement, Withdrawn
from benchleaf.graph.store import Store
from benchleaf.graph.week import week_answer
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from store_papers import DAY, NOW, SOURCE, became, document, item, line, manual, note, override, put

RULE = {"settled_by": "rule"}
LATER = NOW + dt.timedelta(hours=1)
TEXTS = {
    "1": "Fit seal KB 4410-21 with oil.",
    "2": "Check the running clearance: 1.2 to 1.6 mm.",
    "3": "Tighten the cover screws to 29 N·m.",
    "4": "Turn the hub by hand.",
}


def _contents(kit: str, friction: int, **more: object) -> Contents:
    lines = (line("KB 9100-5", "friction disc", friction),)
    return Contents(note="", date=None, quote="q", source=SOURCE, kit=kit, lines=lines, **{**RULE, **more})


def _book(folder: Path) -> Store:
    pages = (
        ManualPage("4-10", 1, "Fitting", tuple(item(n, t, "4-10") for n, t in TEXTS.items())),
        ManualPage("4-11", 2, "Cover", (item("1", "Fit the cover.", "4-11", 2),)),
    )
    store = Store.open(folder, create=True)
    put(store, document("m", "manual", manual=manual(pages=pages)))
    put(store, document("k", notes=(note("K 1", _contents("KB 9000-1", 5)),)))
    return store


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with _book(tmp_path / "s") as opened:
        yield opened


def _open(store: Store, number: str = "W 1", *, kits: tuple[str, ...] = (), serial: str = "5210") -> None:
    told = Told(model="DR 40", serial=serial, kits=kits, about=(About("RM 55", "4-10"),))
    with store.transaction():
        open_job(store, number, told, "AB", NOW)


def _add(
    store: Store,
    number: str,
    *said: Statement,
    date: dt.date = dt.date(2020, 1, 1),
    revision: str | None = None,
) -> None:
    told = replace(note(number, *said, date=date), revision=revision)
    put(store, document(f"{number}{date}", notes=(told,)))


def _news(store: Store, number: str = "W 1") -> JobNews:
    return job_news(store, store.job_or_stop(number), DAY)


def _changes(news: JobNews) -> list[tuple[str, str, tuple[str, ...]]]:
    return [(s.label, s.what, s.notes) for s in news.steps]


def test_an_old_note_found_later_is_news(store: Store) -> None:
    """A note dated long before the pin was not considered: its step shows with was and now, and the note with
    the reason in words."""
    _open(store)
    said = override(
        "RM 55", "4-10", "3", action="change-value", text=None, was="29 N·m", now="31 N·m", **RULE
    )
    _add(store, "N 5", said, date=dt.date(1999, 1, 1))
    news = _news(store)
    (step,) = news.steps
    assert (step.was, step.now) == (TEXTS["3"], TEXTS["3"].replace("29", "31"))
    assert _changes(news) == [("3", "changed", ("N 5",))]
    (told,) = news.notes
    assert "changes a value in step 3 on page 4-10 of RM 55" in told.sentence
    assert "was not considered when the job was opened on 2026-11-24" in told.sentence
    assert news.waits and not news.comeback


def test_added_deleted_and_cautioned_steps_show(store: Store) -> None:
    """A step added, one deleted and a caution added, each by its note, in the order of the page."""
    _open(store)
    _add(
        store,
        "N 5",
        override("RM 55", "4-10", "1", action="insert-after", text="Let it soak.", **RULE),
        override("RM 55", "4-10", "2", action="delete", text=None, **RULE),
        override("RM 55", "4-10", "4", action="caution", text="CAUTION: Hot.", **RULE),
    )
    news = _news(store)
    assert _changes(news) == [
        ("1a", "added", ("N 5",)),
        ("2", "deleted", ("N 5",)),
        ("4", "cautioned", ("N 5",)),
    ]
    added, deleted, cautioned = news.steps
    assert (added.was, added.now) == (None, "Let it soak.") and deleted.now is None
    assert cautioned.was == TEXTS["4"] and cautioned.now == f"{TEXTS['4']}\nCAUTION: Hot."


def test_another_step_added_before_does_not_disturb_the_first(store: Store) -> None:
    """Where a later note adds a step too, labels move on; only the new step is news."""
    _add(store, "N 5", override("RM 55", "4-10", "1", action="insert-after", text="Let it soak.", **RULE))
    _open(store)
    more = override("RM 55", "4-10", "1", action="insert-after", text="Wipe it.", **RULE)
    _add(store, "N 4", more, date=dt.date(2019, 1, 1))
    assert [(s.what, s.now) for s in _news(store).steps] == [("added", "Wipe it.")]


def test_a_cancelled_note_gives_the_old_step_back(store: Store) -> None:
    """A note that cancels one which made a step is news, and is named for the step that reads otherwise."""
    _add(store, "N 5", override("RM 55", "4-10", "3", text="Tighten to 40 N·m.", **RULE))
    _open(store)
    gone = Cancels(note="", date=None, quote="q", source=SOURCE, cancels="N 5", **RULE)
    _add(store, "N 6 B", gone, date=dt.date(2021, 1, 1))
    news = _news(store)
    assert _changes(news) == [("3", "changed", ("N 6 B",))]
    assert news.notes[0].why == ("cancels N 5, which made steps of this job",)


def test_what_cannot_touch_the_unit_is_no_news(store: Store) -> None:
    """Another page, another model, another serial number, a refused reading, another kit: nothing."""
    _open(store, kits=("KB 9000-1",))
    other = Applies(models=("DR 41",))
    late = Applies(models=("DR 40",), serial_from="6000")
    _add(
        store,
        "N 5",
        override("RM 55", "4-11", "1", **RULE),
        override("RM 55", "4-10", "1", applies=other, **RULE),
        override("RM 55", "4-10", "1", applies=late, **RULE),
        override("RM 55", "4-10", "1", standing="refused"),
        _contents("KB 7777-1", 5),
        became("KB 7000", "KB 7001", **RULE),
    )
    news = _news(store)
    assert news.empty and not news.waits and news.doubts == ()


def test_a_doubtful_reading_changes_no_step_and_is_told(store: Store) -> None:
    """It stands among the doubts, and its note is news with the doubt said."""
    _open(store)
    _add(store, "N 5", override("RM 55", "4-10", "1", standing="doubtful", why=("which step?",)))
    news = _news(store)
    assert news.steps == () and [s.note for s in news.doubts] == ["N 5"]
    assert "if a doubtful reading is right" in news.notes[0].sentence


def test_kits_told_otherwise_or_replaced_are_news(store: Store) -> None:
    """Other contents, and a kit that was replaced, with the notes that say so."""
    _open(store, kits=("KB 9000-1",))
    said = (_contents("KB 9000-1", 6), became("KB 9000-1", "KB 9000-2", **RULE))
    _add(store, "N 5", *said, date=dt.date(2021, 1, 1))
    (kit,) = _news(store).kits
    assert ([x.quantity for x in kit.was], [x.quantity for x in kit.now]) == ([5], [6])
    assert (kit.replaced_by, kit.notes, kit.changed) == (("KB 9000-2",), ("N 5",), True)


def test_parts_that_the_steps_and_kits_name_are_watched(store: Store) -> None:
    """A seal named in a step was replaced, and what replaced it again; a disc of the kit is no longer
    supplied."""
    _open(store, kits=("KB 9000-1",))
    _add(store, "N 5", became("KB 4410-21", "KB 4410-31", **RULE))
    _add(store, "N 6", became("KB 4410-31", "KB 4410-41", **RULE))
    gone = Withdrawn(note="", date=None, quote="q", source=SOURCE, part="KB 9100-5", **RULE)
    _add(store, "N 7", gone)
    told = {n.note.number: n.why for n in _news(store).notes}
    assert "named in step 1 on page 4-10 of RM 55" in told["N 5"][0]
    assert "in place of" in told["N 6"][0] and "in kit KB 9000-1" in told["N 7"][0]


def test_building_considers_what_was_news(store: Store) -> None:
    """The build tells what had been news, pins it, and nothing is news afterwards; the first pin stays."""
    _open(store)
    _add(store, "N 5", override("RM 55", "4-10", "1", **RULE))
    with store.transaction():
        built = build_job(store, "W 1", "CD", LATER)
    assert [n.note.number for n in built.before.notes] == ["N 5"]
    answer = job_answer(store, "W 1", DAY)
    assert answer.news.empty
    assert [[n.number for n in p.notes] for p in answer.pins] == [[], ["N 5"]]


def test_another_revision_of_a_considered_note_is_news(store: Store) -> None:
    """The number alone does not make it considered."""
    _add(store, "N 5", override("RM 55", "4-10", "1", **RULE), revision="A")
    _open(store)
    _add(store, "N 5", override("RM 55", "4-10", "1", **RULE), date=dt.date(2021, 5, 5), revision="B")
    (told,) = _news(store).notes
    assert told.note.revision == "B" and "another date or revision" in told.missed


def test_shipped_jobs_are_possible_comebacks_after_those_in_work(store: Store) -> None:
    """The week's notes give the open job first, then the shipped one with the reason; the same twice; a job
    opened with the note considered is not among them."""
    for number in ("W 1", "W 2"):
        _open(store, number)
    with store.transaction():
        build_job(store, "W 1", "CD", LATER)
        ship_job(store, "W 1", "CD", LATER)
    _add(store, "N 5", override("RM 55", "4-10", "1", **RULE), date=dt.date(2001, 1, 1))
    _open(store, "W 3")
    answer = week_answer(store, None, None, DAY)
    assert [(t.job.number, t.notes) for t in answer.jobs] == [("W 2", ("N 5",)), ("W 1", ("N 5",))]
    shipped = answer.jobs[1].news
    assert shipped.comeback and "shipped on 2026-11-24 without N 5" in shipped.comeback_words
    assert [_changes(t.news) for t in answer.jobs] == [[("1", "changed", ("N 5",))]] * 2
    assert week_answer(store, None, None, DAY) == answer
    empty = week_answer(store, "2026-W02", None, DAY)
    assert empty.jobs == () and empty.notes == ()


def test_only_the_weeks_notes_are_told_with_a_job(store: Store) -> None:
    """Another note that was not considered either stays out of what one week's notes change."""
    _open(store)
    _add(store, "N 5", override("RM 55", "4-10", "1", **RULE))
    _add(store, "N 6", override("RM 55", "4-10", "2", **RULE))
    held = store.note("N 6")
    assert held is not None
    (touched,) = jobs_touched(store, [held], DAY)
    assert (touched.notes, _changes(touched.news)) == (("N 6",), [("2", "changed", ("N 6",))])


def test_a_job_without_a_pin_says_so(store: Store) -> None:
    """What an older store opened was not pinned: every note that touches it may be news."""
    _add(store, "N 5", override("RM 55", "4-10", "1", **RULE))
    with store.transaction():
        store.open_job("W 9", "DR 40", "5210", (), DAY)
    news = _news(store, "W 9")
    assert "no procedure was pinned" in news.remarks[0] and news.steps == ()
    assert [n.note.number for n in news.notes] == ["N 5"]
    with store.transaction():
        store.open_job("W 8", None, None, (), DAY)
    assert _news(store, "W 8").notes == ()


def test_a_paper_that_went_is_told_and_nothing_breaks(store: Store) -> None:
    """Where a manual is read without the page, the pinned steps are gone and a sentence says why."""
    _open(store)
    pages = (ManualPage("4-11", 2, "Cover", (item("1", "Fit the cover.", "4-11", 2),)),)
    with store.transaction():
        store.reread(document("m", "manual", manual=manual(pages=pages)))
    news = _news(store)
    assert any("is not to be found" in r for r in news.remarks) and len(news.steps) == len(TEXTS)


def test_a_kit_fitted_later_is_considered_from_the_build_on(store: Store) -> None:
    """The job itself was changed: notes on the new kit are news until it is built."""
    _open(store)
    with store.transaction():
        change_job(store, "W 1", Told(kits=("KB 9000-1",)), "CD", LATER)
    news = _news(store)
    assert [n.note.number for n in news.notes] == ["K 1"] and "a kit fitted" in news.remarks[0]
    with store.transaction():
        build_job(store, "W 1", "CD", LATER)
    assert _news(store).empty


ACTIONS = st.sampled_from(["replace", "insert-after", "insert-before", "delete", "change-value", "caution"])
OVERRIDES = st.tuples(
    ACTIONS, st.sampled_from(list(TEXTS)), st.text("abcdef N·m0123456789", min_size=1, max_size=20)
)


def _statement(told: tuple[str, str, str]) -> Statement:
    action, label, words = told
    text = None if action in ("delete", "change-value") else words
    value = {"was": "1.2", "now": words} if action == "change-value" else {}
    return override("RM 55", "4-10", label, action=action, text=text, **value, **RULE)


@given(
    st.lists(OVERRIDES, max_size=4),
    OVERRIDES,
    st.dates(dt.date(1980, 1, 1), dt.date(2026, 11, 24)),
    st.booleans(),
)
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_news_is_empty_after_a_pin_and_a_note_on_a_pinned_step_always_shows(
    tmp_path_factory: pytest.TempPathFactory,
    before: list[tuple[str, str, str]],
    later: tuple[str, str, str],
    date: dt.date,
    built: bool,
) -> None:
    """Whatever was held when it was pinned; whatever the later note does to which step, and whatever its
    date."""
    with _book(tmp_path_factory.mktemp("jobs") / "s") as store:
        if before:
            _add(store, "N 1", *map(_statement, before))
        _open(store, kits=("KB 9000-1",))
        if built:
            with store.transaction():
                build_job(store, "W 1", "CD", LATER)
        assert _news(store).empty
        _add(store, "N 9", _statement(later), date=date)
        news = _news(store)
        assert [n.note.number for n in news.notes] == ["N 9"] and news.waits
        assert [t.notes for t in week_answer(store, None, None, DAY).jobs] == [("N 9",)]


def test_contents_of_a_kit_that_a_step_names_are_news(store: Store) -> None:
    """A job without a kit of its own, whose step names one: what a note says of that kit touches it."""
    _add(store, "N 5", override("RM 55", "4-10", "4", text="Fit kit KB 9000-1.", **RULE))
    _open(store)
    _add(store, "N 6", _contents("KB 9000-1", 7), date=dt.date(2022, 1, 1))
    (told,) = _news(store).notes
    assert told.why == ("tells what kit KB 9000-1 (named in step 4 on page 4-10 of RM 55) contains",)


def test_another_publication_with_the_same_page_is_no_news(store: Store) -> None:
    """A step is meant by publication and page together."""
    pages = (ManualPage("4-10", 1, "Other", (item("1", "Fit another seal.", "4-10"),)),)
    put(store, document("m2", "manual", manual=manual(number="RM 66", pages=pages)))
    told = Told(model="DR 40", about=(About("RM 55", "4-10"),))
    with store.transaction():
        open_job(store, "W 1", told, "AB", NOW)
    _add(store, "N 5", override("RM 66", "4-10", "1", **RULE))
    assert _news(store).empty


def test_a_value_that_the_new_range_judges_otherwise_waits(store: Store) -> None:
    """Within when it was measured, below by the note that came since: said until a new value is written down,
    also after the build has considered the note."""
    _open(store)
    with store.transaction():
        enter_value(store, "W 1", None, "4-10", "2", "1.25 mm", "CD", NOW)
    assert _news(store).measured == ()
    value = {"action": "change-value", "text": None, "was": "1.2 to 1.6 mm", "now": "1.4 to 1.6 mm"}
    _add(store, "N 5", override("RM 55", "4-10", "2", **value, **RULE))
    with store.transaction():
        build_job(store, "W 1", "CD", LATER)
    news = _news(store)
    assert news.empty and news.waits
    (told,) = news.measured
    assert told.verdict == "below" and "1.25 mm at step 2 on page 4-10 was within" in told.sentence
    with store.transaction():
        enter_value(store, "W 1", None, "4-10", "2", "1.45 mm", "CD", LATER)
    assert not _news(store).waits
