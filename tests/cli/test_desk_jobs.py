"""The desk's pages of units in work: opened, measured, changed, built and shipped in the browser's words."""

import datetime as dt
import html
import re
import time
from collections.abc import Callable
from pathlib import Path
from urllib.parse import urljoin, urlsplit

import pytest
from benchleaf.graph.jobs.answer import job_answer
from benchleaf.graph.jobs.job import Job
from benchleaf.graph.jobs.measured import enter_value
from benchleaf.graph.jobs.work import Told, change_job
from benchleaf.graph.kits.received import parse_got
from benchleaf.graph.model import Override
from benchleaf.graph.store import Store
from desk_visit import Visit, visit
from job_papers import NEW, OLD, RULE, new_note, old_note, put
from small_store import ALL, note, source, target
from test_desk_pages import EVIL, Tags

UNIT = {"number": "2611", "model": "VR 30", "serial": "5300", "kits": "7751-1", "page": "4-12"}
HIDDEN = re.compile(r'<input type="hidden" name="([a-z_]{1,40})" value="([^"]{0,400})">')
FORM = re.compile(r'<form[^>]{0,200}action="([^"]{1,200})"[^>]{0,200}>(.{0,9000}?)</form>', re.DOTALL)
TOLD = re.compile(r'<p class="told" role="(?:status|alert)">([^<]{1,900})</p>')


@pytest.fixture
def desk(fresh: Path) -> Visit:
    """A visitor who has opened job 2611, and so has given the initials once."""
    made = visit(fresh)
    answer = made.post("/jobs/open", {**UNIT, "initials": "AB"}, "/jobs")
    assert (answer.status_code, answer.headers["Location"]) == (302, "/job/2611")
    made.get("/job/2611")  # takes the message away
    return made


def forms(page: str, action: str) -> list[dict[str, str]]:
    """The hidden fields of each form of a page that goes there."""
    found = [body for at, body in FORM.findall(page) if at == action]
    return [{name: html.unescape(value) for name, value in HIDDEN.findall(body)} for body in found]


def at_step(page: str, label: str) -> dict[str, str]:
    (found,) = [f for f in forms(page, "/jobs/measure") if f["label"] == label]
    return found


def send(desk: Visit, action: str, fields: dict[str, str]) -> str:
    """Sends a form and gives back what is told on the page that it leads to."""
    answer = desk.client.post(action, data=fields)
    if answer.status_code == 302:
        answer = desk.get(answer.headers["Location"])
    return html.unescape(" ".join(TOLD.findall(answer.text)))


def job_of(fresh: Path, number: str = "2611") -> Job:
    with Store.open(fresh) as store:
        return store.job_or_stop(number)


def write(fresh: Path, work: Callable[[Store], object]) -> None:
    """What another person does meanwhile."""
    with Store.open(fresh, write=True) as store, store.transaction():
        work(store)


def on_hold(fresh: Path) -> None:
    came = parse_got("6 friction disc, 4 steel disc")
    write(fresh, lambda s: s.set_hold("7751-1", "one steel disc short", dt.datetime.now(dt.UTC), came))


def built(desk: Visit, **more: str) -> str:
    (form,) = forms(desk.get("/job/2611").text, "/jobs/built")
    return send(desk, "/jobs/built", {**form, **more})


def shipped(desk: Visit) -> str:
    (form,) = forms(desk.get("/job/2611").text, "/jobs/shipped")
    return send(desk, "/jobs/shipped", form)


def test_a_job_is_opened_with_all_that_is_known(fresh: Path) -> None:
    """Everything that the form has is kept, signed, and the procedure in force is pinned."""
    more = {
        "built": "2018-05-01",
        "plate": "Ratio = 3.08\nCase: 44-1",
        "found": "5 friction disc, 6 steel disc",
        "found_remark": "burnt oil",
        "doubt": "housing of\nanother model",
        "publication": "VM-30",
        "initials": "AB",
    }
    visit(fresh).post("/jobs/open", {**UNIT, **more}, "/jobs")
    job = job_of(fresh)
    assert (job.model, job.serial, job.kits) == ("VR 30", "5300", ("7751-1",))
    assert job.date_of_build == dt.date(2018, 5, 1)
    assert job.plate == (("Ratio", "3.08"), ("Case", "44-1"))
    assert [(r.quantity, r.description) for r in job.found] == [(5, "friction disc"), (6, "steel disc")]
    assert [(d.words, d.initials) for d in job.doubts] == [("housing of another model", "AB")]
    assert [r.words for r in job.found_remarks] == ["burnt oil"]
    assert [(a.publication, a.page) for a in job.about] == [("VM-30", "4-12")]
    with Store.open(fresh) as store:
        (pin,) = store.pins("2611")
    assert (pin.occasion, pin.initials, len(pin.steps)) == ("opened", "AB", 7)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"initials": ""}, "Give one to eight letters"),
        ({"number": ""}, "A job needs a number"),
        ({"kits": "7751-1, 9999-9"}, "No paper held names kit 9999-9"),
        ({"page": "4-99"}, "4-99"),
        ({"built": "1.5.2018"}, "“1.5.2018” is no date"),
        ({"plate": "3.08"}, "Write it as"),
        ({"found": "some discs"}, "no quantity"),
        ({"doubt": "x" * 4001}, "more than 4000 signs"),
    ],
)
def test_what_cannot_be_opened_is_told_above_the_form(fresh: Path, wrong: dict[str, str], words: str) -> None:
    """Nothing is kept of a job that cannot be opened as it stands; the reason names no option of the command,
    and the form keeps what was typed."""
    answer = visit(fresh).post("/jobs/open", {**UNIT, "initials": "AB", **wrong}, "/jobs")
    assert answer.status_code == 400
    told = html.unescape(" ".join(TOLD.findall(answer.text)))
    assert words.lower() in told.lower() and "--" not in told and "benchleaf" not in told
    assert "doubt" in wrong or 'value="5300"' in answer.text
    with Store.open(fresh) as store:
        assert store.jobs() == ()


def test_a_number_is_given_once(desk: Visit, fresh: Path) -> None:
    """A job's number that is in use is refused, and the job that has it stays as it is."""
    before = job_of(fresh)
    answer = desk.post("/jobs/open", {**UNIT, "number": " 2611 ", "serial": "1"}, "/jobs")
    assert answer.status_code == 400 and "in use" in answer.text
    assert job_of(fresh) == before


def test_a_number_with_a_slash_has_its_page(fresh: Path) -> None:
    """A job's number may have any sign: with a slash in it its page is asked for by the number."""
    desk = visit(fresh)
    answer = desk.post("/jobs/open", {**UNIT, "number": "26/11", "initials": "AB"}, "/jobs")
    page = desk.get(answer.headers["Location"])
    assert page.status_code == 200 and "Job 26/11" in page.text
    assert send(desk, "/jobs/measure", {**at_step(page.text, "6"), "value": "1.3 mm"})
    assert job_of(fresh, "26/11").entries[0].verdict == "within"


def test_a_job_that_is_not_there_shows_those_near(desk: Visit) -> None:
    """An unknown number is answered as not found, with the nearest number as a link."""
    page = desk.get("/job/2612")
    assert page.status_code == 404 and 'href="/job/2611"' in page.text
    assert desk.get("/job").status_code == 400
    assert desk.get("/sheet/job?number=9").status_code == 404


def test_a_value_is_measured_at_its_step(desk: Visit, fresh: Path) -> None:
    """A value is judged by the range in force at its step and signed as before without asking again; a second
    one stands beside it. The manual's own range stands in the small store: 1.2 to 1.6 mm."""
    page = desk.get("/job/2611").text
    assert 'name="initials"' not in page
    fields = at_step(page, "6")
    assert "within the range: 1.2 to 1.6 mm" in send(desk, "/jobs/measure", {**fields, "value": "1.3 mm"})
    assert "ABOVE the range" in send(desk, "/jobs/measure", {**fields, "value": "1.9 mm"})
    said = [(e.value, e.verdict, e.initials) for e in job_of(fresh).entries]
    assert said == [("1.3 mm", "within", "AB"), ("1.9 mm", "above", "AB")]
    page = desk.get("/job/2611").text
    assert "<strong>1.3 mm</strong>" in page and "<strong>1.9 mm</strong>" in page


def test_a_value_leads_back_to_its_step(desk: Visit) -> None:
    """After a value the page is shown at the step where it was typed."""
    fields = at_step(desk.get("/job/2611").text, "6")
    answer = desk.client.post("/jobs/measure", data={**fields, "value": "1.3 mm"})
    assert answer.headers["Location"] == f"/job/2611#at-{fields['at']}"
    assert f'id="at-{fields["at"]}"' in desk.get("/job/2611").text
    answer = desk.client.post("/jobs/measure", data={**fields, "value": "1 mm", "at": '1"/../x'})
    assert answer.headers["Location"] == "/job/2611"


def test_a_deleted_step_has_no_form(desk: Visit) -> None:
    """Nothing is measured at a step that a note deletes: step 5, by VB 101."""
    labels = [f["label"] for f in forms(desk.get("/job/2611").text, "/jobs/measure")]
    assert labels == ["1", "2", "3", "4", "6", "6a"]


def test_a_value_for_words_that_changed_meanwhile_is_not_kept(desk: Visit, fresh: Path) -> None:
    """A form that shows an older range takes no value: the new one must be looked at first."""
    fields = at_step(desk.get("/job/2611").text, "6")
    put(fresh, new_note())
    told = send(desk, "/jobs/measure", {**fields, "value": "1.3 mm"})
    assert "“1.3 mm” is not written down" in told and "reads otherwise by now" in told
    assert job_of(fresh).entries == ()
    page = desk.get("/job/2611").text
    assert "In force now:</strong> Check the running clearance: 1.4 to 1.6 mm." in page
    told = send(desk, "/jobs/measure", {**at_step(page, "6"), "value": "1.3 mm"})
    assert "BELOW the range: 1.4 to 1.6 mm" in told


@pytest.mark.parametrize(("day", "taken"), [(OLD, False), (NEW, True)])
def test_a_value_never_lands_at_another_step(desk: Visit, fresh: Path, day: dt.date, taken: bool) -> None:
    """The label of an inserted step may come to mean the step of another note: a form is then refused, and
    each step in force has one form, with its own words."""
    page = desk.get("/job/2611").text
    form = at_step(page, "6a")
    put(fresh, note("VB 140", day, "Hub", Override(
        note="VB 140", date=day, quote="Add after item 6.", source=source("vb-140.pdf"),
        action="insert-after", target=target("6"), text="Oil the hub.", applies=ALL, **RULE,
    )))  # fmt: skip
    with Store.open(fresh) as store:
        steps = job_answer(store, "2611", dt.date.today()).now.steps
    inserted = {s.label: (s.origin, s.text) for s in steps if s.item is None}
    assert sorted(inserted) == ["6a", "6b"]
    assert (inserted["6a"][0] == "VB 120") == taken
    told = send(desk, "/jobs/measure", {**form, "value": "done"})
    assert ("done is written down" in told, len(job_of(fresh).entries)) == (taken, int(taken))
    assert ("“done” is not written down" in told) != taken
    labels = [f["label"] for f in forms(desk.get("/job/2611").text, "/jobs/measure")]
    assert sorted(labels) == ["1", "2", "3", "4", "6", "6a", "6b"]


def test_news_stand_first_and_a_new_step_has_its_form(desk: Visit, fresh: Path) -> None:
    """News come before the unit and the steps, was and now as a difference of words; a step that a note adds
    can be measured at, and what is kept there shows there."""
    put(fresh, old_note(), new_note())
    page = desk.get("/job/2611").text
    places = [page.index(words) for words in ("News: look before", ">Unit<", "as pinned when opened")]
    assert places == sorted(places)
    assert "<del>1.2</del>" in page and "<ins>1.4</ins>" in page
    assert 'href="/note/VB%2077"' in page
    assert "done is written down" in send(desk, "/jobs/measure", {**at_step(page, "3a"), "value": "done"})
    assert desk.get("/job/2611").text.count("<strong>done</strong>") >= 1


def test_a_kit_on_hold_refuses_the_build(desk: Visit, fresh: Path) -> None:
    """The build is refused with the hold's reason until a reason is given despite it, which is kept."""
    on_hold(fresh)
    page = desk.get("/job/2611").text
    assert "HOLD" in page and "Despite the hold, because…" in page
    told = built(desk)
    assert "Job 2611 is not built" in told and "steel disc" in told and "--" not in told
    assert job_of(fresh).state == "opened"
    assert "is built" in built(desk, despite="counted again, it was whole")
    job = job_of(fresh)
    assert job.state == "built" and [d.words for d in job.despite] == ["counted again, it was whole"]


def test_built_and_shipped(desk: Visit, fresh: Path) -> None:
    """A job is built, may be built again, and is shipped; afterwards nothing is measured or built on it."""
    assert forms(desk.get("/job/2611").text, "/jobs/shipped") == []
    assert "Job 2611 is built" in built(desk)
    assert "Job 2611 is built" in built(desk)
    assert "Job 2611 is shipped" in shipped(desk)
    job = job_of(fresh)
    assert (job.state, job.by("built"), job.by("shipped")) == ("shipped", "AB", "AB")
    page = desk.get("/job/2611").text
    assert not [f for action in ("measure", "built", "shipped") for f in forms(page, f"/jobs/{action}")]
    with Store.open(fresh) as store:
        assert [p.occasion for p in store.pins("2611")] == ["opened", "built", "built"]


@pytest.mark.parametrize("what", ["built", "shipped"])
@pytest.mark.parametrize("meanwhile", ["note", "entry", "hold", "unit"])
def test_a_stale_form_settles_nothing(desk: Visit, fresh: Path, what: str, meanwhile: str) -> None:
    """A job is set built or shipped only as it was shown: not after a note, a value, a hold or another unit
    came, which would be pinned as considered though nobody saw it."""
    if what == "shipped":
        built(desk)
    (form,) = forms(desk.get("/job/2611").text, f"/jobs/{what}")
    now = dt.datetime.now(dt.UTC)
    changes: dict[str, Callable[[], None]] = {
        "note": lambda: put(fresh, new_note()),
        "entry": lambda: write(
            fresh, lambda s: enter_value(s, "2611", "VM-30", "4-12", "6", "1.9 mm", "CD", now)
        ),
        "hold": lambda: on_hold(fresh),
        "unit": lambda: write(fresh, lambda s: change_job(s, "2611", Told(serial="5100"), "CD", now)),
    }
    before = job_of(fresh).state
    changes[meanwhile]()
    assert "changed meanwhile" in send(desk, f"/jobs/{what}", form)
    assert job_of(fresh).state == before


def test_news_to_a_built_job_are_told_when_it_is_built(desk: Visit, fresh: Path) -> None:
    """Whoever sets it built is told which news are pinned as considered by that."""
    put(fresh, new_note())
    assert "pinned as considered by you" in desk.get("/job/2611").text
    assert "not considered: VB 130" in built(desk)
    assert "Nothing changed since it was built" in desk.get("/job/2611").text


def test_more_is_written_down(desk: Visit, fresh: Path) -> None:
    """The change form adds what is filled in and leaves the rest; a kit can be taken out."""
    (form,) = forms(desk.get("/job/2611").text, "/jobs/change")
    more = {
        "remark": "customer\nwants it soon",
        "plate": "Ratio = 3.1",
        "without": "7751-1",
        "serial": "5310",
    }
    assert "written down for job 2611" in send(desk, "/jobs/change", {**form, **more})
    job = job_of(fresh)
    assert [r.words for r in job.remarks] == ["customer wants it soon"]
    assert (job.plate, job.kits, job.model, job.serial) == ((("Ratio", "3.1"),), (), "VR 30", "5310")
    told = send(desk, "/jobs/change", form)
    assert "Nothing is said" in told and "benchleaf" not in told
    answer = desk.client.post("/jobs/change", data={**form, "remark": "kept words", "kits": "9999-9"})
    assert answer.status_code == 400 and "kept words" in answer.text and "9999-9" in answer.text
    assert len(job_of(fresh).remarks) == 1


def test_the_list_tells_what_waits_in_words(desk: Visit, fresh: Path) -> None:
    """Open jobs come first, then built ones, then shipped ones with news as possible comebacks."""
    built(desk)
    shipped(desk)
    for number in ("7", "8"):
        desk.post("/jobs/open", {**UNIT, "number": number}, "/jobs")
    (form,) = forms(desk.get("/job/8").text, "/jobs/built")
    send(desk, "/jobs/built", form)
    page = desk.get("/jobs").text
    assert "1 shipped job that no note touches" in page and "possible comeback" not in page.lower()
    on_hold(fresh)
    page = desk.get("/jobs").text
    assert page.count("HOLD on 7751-1") == 3 and "possible comeback" not in page.lower()
    put(fresh, new_note())
    page = desk.get("/jobs").text
    order = [page.index(words) for words in (">Open ", ">Built, not", ">Shipped: possible comebacks")]
    assert order == sorted(order)
    assert "POSSIBLE COMEBACK; " in page and page.count("not considered: VB 130") == 3
    assert "1 shipped job" not in page
    home = desk.get("/").text
    assert "POSSIBLE COMEBACK" in home and 'href="/job/2611"' in home and 'href="/job/7"' in home


def test_the_procedure_opens_a_job_with_what_was_asked(fresh: Path) -> None:
    """From the procedure in force to the form that opens a job with just that, filled in."""
    desk = visit(fresh)
    page = desk.get("/procedure?publication=VM-30&page=4-12&model=VR 30&serial=5300&kits=7751-1").text
    (link,) = [at for at in Tags(page).links() if at.startswith("/jobs?")]
    form = desk.get(link)
    for words in ('value="VR 30"', 'value="5300"', 'value="4-12"', 'value="7751-1"'):
        assert words in form.text
    assert "<option selected>VM-30</option>" in form.text


def test_who_signs_can_change(desk: Visit, fresh: Path) -> None:
    """After another signer is asked for, the next form asks for initials, and signs with them."""
    page = desk.get("/job/2611").text
    (form,) = forms(page, "/jobs/signer")
    assert desk.client.post("/jobs/signer", data=form).headers["Location"] == "/job/2611"
    page = desk.get("/job/2611").text
    fields = at_step(page, "6")
    assert 'name="initials"' in page
    assert "letters as your initials" in send(desk, "/jobs/measure", {**fields, "value": "1.3 mm"})
    assert send(desk, "/jobs/measure", {**fields, "value": "1.3 mm", "initials": "CD"})
    assert [e.initials for e in job_of(fresh).entries] == ["CD"]


@pytest.mark.parametrize("what", ["open", "measure", "built", "shipped", "change", "signer"])
def test_every_change_needs_the_token(desk: Visit, fresh: Path, what: str) -> None:
    """Nothing is written, and nobody signed out, by a form without its token."""
    before = job_of(fresh)
    fields = {**UNIT, "number": "2611", "remark": "x", "initials": "AB"}
    assert desk.client.post(f"/jobs/{what}", data=fields).status_code == 403
    assert job_of(fresh) == before


def test_hostile_words_stay_words(fresh: Path) -> None:
    """What is typed about a job is shown as words: on its page, in the list, at the start, on its sheet."""
    desk = visit(fresh)
    said = {
        "number": EVIL,
        "plate": EVIL,
        "doubt": EVIL,
        "found_remark": EVIL,
    }
    answer = desk.post("/jobs/open", {**UNIT, **said, "serial": EVIL, "initials": "AB"}, "/jobs")
    assert answer.status_code == 302, TOLD.findall(answer.text)
    at = answer.headers["Location"]
    fields = at_step(desk.get(at).text, "1")
    send(desk, "/jobs/measure", {**fields, "value": EVIL, "which": EVIL})
    put(fresh, new_note())
    (sheet,) = [link for link in Tags(desk.get(at).text).links() if link.startswith("/sheet/job")]
    for page in (at, "/jobs", "/", sheet):
        shown = desk.get(page)
        assert shown.status_code == 200
        assert (
            "<b>bold" not in shown.text
            and "<script>alert" not in shown.text
            and "<img src=x" not in shown.text
        )
        assert "&lt;script&gt;alert" in shown.text


def test_every_page_is_whole_and_every_link_answers(desk: Visit, fresh: Path) -> None:
    """One h1, labels, heads with a scope, no id twice, nothing inline; every link of the pages is served."""
    put(fresh, old_note(), new_note())
    on_hold(fresh)
    seen: set[str] = set()
    for page in ("/jobs", "/job/2611", "/job?number=2611"):
        tags = Tags(desk.get(page).text)
        heads = [tag for tag, _ in tags.tags if tag == "h1"]
        assert len(heads) == 1
        labels = {a.get("for") for tag, a in tags.tags if tag == "label"}
        for tag, a in tags.tags:
            assert "style" not in a and not any(name.startswith("on") for name in a)
            if tag in ("input", "select", "textarea") and a.get("type") != "hidden":
                assert a.get("id") in labels, a
        ids = [a["id"] for _, a in tags.tags if a.get("id")]
        assert len(ids) == len(set(ids))
        seen |= {urljoin(page, at) for at in tags.links()}
    for at in sorted(seen):
        assert desk.get(urlsplit(at)._replace(fragment="").geturl()).status_code == 200, at


def test_the_sheet_is_whole_in_itself(desk: Visit) -> None:
    """The sheet asks for nothing from anywhere, and is offered as a file."""
    answer = desk.get("/sheet/job?number=2611")
    assert 'filename="job_2611.html"' in answer.headers["Content-Disposition"]
    links = Tags(answer.text).links()
    assert all(at.startswith(("#", "data:")) for at in links), links


def test_the_pages_answer_quickly(desk: Visit, fresh: Path) -> None:
    """The list and a job answer within a second, cold, on a slow machine; warm far sooner."""
    for page in ("/jobs", "/job/2611"):
        began = time.perf_counter()
        assert desk.get(page).status_code == 200
        assert time.perf_counter() - began < 1.0
