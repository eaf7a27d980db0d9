"""The desk's pages for looking things up: search, pages, parts, steps, procedures, kits, weeks, papers."""

import datetime as dt
import re
from collections import deque
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path
from urllib.parse import unquote, urljoin, urlsplit

import pytest
from benchleaf.graph.model import Document, Item, Manual, ManualPage, Note, Override, SheetText, Supersession
from benchleaf.graph.store import Store
from desk_visit import Visit, visit
from small_store import ALL, build, note, source, target

EVIL = "<script>alert(1)</script><img src=x onerror=alert(2)> \"quoted\" & 'so'"
GOT = "5 friction disc, 5 steel disc"
QUESTIONS = (
    "/",
    "/?q=disc",
    "/?q=7731-21",
    "/page/VM-30/4-12",
    "/page/VM-30/4-13",
    "/part?number=7731-20",
    "/part?number=7731-99",
    "/step/VM-30/4-12/4",
    "/procedure",
    "/procedure?publication=VM-30&page=4-12&serial=5300",
    "/kit",
    "/kit?kit=7751-1&got=5 friction disc, 5 steel disc",
    "/kit/verdict?kit=7751-1&got=6 friction disc",
    "/week?week=2026-W48",
    "/missing",
    "/notes",
    "/note/VB 114",
    "/publications",
    "/publication?number=VM-30",
    "/measure?publication=VM-30&page=4-12&item=6",
    "/measure?publication=VM-30&page=4-12&item=6&value=1.3 mm",
)


class Tags(HTMLParser):
    """What a page is made of: its tags with their attributes, its headings and its words."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def links(self) -> set[str]:
        return {str(a[n]) for _, a in self.tags for n in ("href", "src") if a.get(n)}


@pytest.fixture(scope="module")
def desk(held: Path) -> Visit:
    return visit(held, today=lambda: dt.date(2026, 11, 24))


@pytest.fixture
def own(fresh: Path) -> Visit:
    return visit(fresh)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Visit:
    from benchleaf.cli.main import benchleaf
    from click.testing import CliRunner

    folder = tmp_path_factory.mktemp("desk") / "demo"
    assert CliRunner().invoke(benchleaf, ["demo", str(folder)]).exit_code == 0
    return visit(folder / "store")


def goes_to(desk: Visit, words: str) -> str | None:
    answer = desk.get("/", query_string={"q": words})
    return unquote(answer.headers["Location"]) if answer.status_code == 302 else None


@pytest.mark.parametrize("question", QUESTIONS)
def test_every_page_answers_with_a_heading(desk: Visit, question: str) -> None:
    """Every page is whole: a title, one h1 (the verdict's fragment apart), headings in order."""
    answer = desk.get(question)
    unknown = "99" in question
    assert answer.status_code == (404 if unknown else 200)
    levels = [int(t[1]) for t, _ in Tags(answer.text).tags if re.fullmatch("h[1-6]", t)]
    if "/verdict" not in question:
        assert levels[0] == 1 and levels.count(1) == 1
        assert all(after <= before + 1 for before, after in pairwise(levels))


@pytest.mark.parametrize("question", QUESTIONS)
def test_nothing_is_styled_or_scripted_inline(desk: Visit, question: str) -> None:
    """The content security policy forbids inline style and script: no page has any."""
    page = desk.get(question)
    for tag, attributes in Tags(page.text).tags:
        assert "style" not in attributes and not any(n.startswith("on") for n in attributes)
        assert tag != "style" and (tag != "script" or attributes.get("src", "").startswith("/static/"))
    assert "'unsafe-inline'" not in page.headers["Content-Security-Policy"]


@pytest.mark.parametrize("question", QUESTIONS)
def test_every_field_has_a_label_and_every_head_a_scope(desk: Visit, question: str) -> None:
    """Every visible field is named by a label, every table head says what it heads, no id stands twice."""
    tags = Tags(desk.get(question).text).tags
    labels = {a.get("for") for t, a in tags if t == "label"}
    for tag, a in tags:
        if tag in ("input", "select", "textarea") and a.get("type") != "hidden":
            assert a.get("id") in labels, a
        assert tag != "th" or a.get("scope") in ("col", "row")
        assert tag != "img" or a.get("alt")
    ids = [a["id"] for _, a in tags if a.get("id")]
    assert len(ids) == len(set(ids))


def test_one_meaning_leads_straight_there(desk: Visit) -> None:
    """A part, a note, a page with and without its publication, a step: each leads straight to its page."""
    assert goes_to(desk, "7731 20") == "/part?number=7731-20"
    assert goes_to(desk, "vb114") == "/note/VB 114"
    assert goes_to(desk, "VM-30 4-12") == "/page/VM-30/4-12"
    assert goes_to(desk, "4-12") == "/page/VM-30/4-12"
    assert goes_to(desk, "vm30, page 4-13") == "/page/VM-30/4-13"
    assert goes_to(desk, "VM-30 page 4-12 step 6") == "/step/VM-30/4-12/6"
    assert goes_to(desk, "VM-30") == "/publication?number=VM-30"


def test_words_lead_nowhere_by_themselves(desk: Visit) -> None:
    """Words are searched, never taken for a number; the hits stand under their kinds."""
    assert goes_to(desk, "return spring") is None
    page = desk.get("/?q=discs").text
    assert "Steps" in page and "VM-30, page 4-12, step 1" in page
    assert "/page/VM-30/4-12#step-1" in page


def test_several_meanings_are_all_offered(fresh: Path) -> None:
    """A number that is a page and a part leads to neither by itself: both are offered."""
    with Store.open(fresh, write=True) as store, store.transaction():
        say = Supersession(note="VB 150", date=dt.date(2024, 1, 1), quote="now", source=source("v.pdf"),
                           old=("4-12",), new=("4-19",), settled_by="rule")  # fmt: skip
        store.insert(note("VB 150", dt.date(2024, 1, 1), "Rings", say), dt.date(2026, 11, 24),
                     dt.datetime(2026, 11, 24, tzinfo=dt.UTC))  # fmt: skip
    desk = visit(fresh)
    assert goes_to(desk, "4-12") is None
    page = desk.get("/?q=4-12").text
    assert "/part?number=4-12" in page and "/page/VM-30/4-12" in page


def test_an_unknown_number_offers_near_ones(desk: Visit) -> None:
    """Nothing near is ever taken: the search offers it, the part's own page says 404 and offers it too."""
    found = desk.get("/?q=7731-21")
    assert found.status_code == 200 and "7731-20" in found.text and "Near it" in found.text
    part = desk.get("/part?number=7731-21")
    assert part.status_code == 404 and "/part?number=7731-20" in part.text
    assert desk.get("/note/VB 115").status_code == 404
    page = desk.get("/page/VM-30/4-14")
    assert page.status_code == 404 and "4-13" in page.text
    step = desk.get("/step/VM-30/4-12/77")
    assert step.status_code == 404 and "Its steps are 1, 2, 3" in step.text
    kit = desk.get("/kit?kit=7751-2")
    assert kit.status_code == 404 and "/kit?kit=7751-1" in kit.text


def test_the_start_page_tells_what_waits(own: Visit, fresh: Path) -> None:
    """Doubts are counted, holds in effect are told, the newest notes and the publications are linked."""
    page = own.get("/").text
    assert "1 doubt to look at" in page and "No kit is on hold." in page
    assert "/note/VB%20120" in page and "/publication?number=VM-30" in page
    own.post("/kit/hold", {"kit": "7750-1", "got": GOT}, "/kit?kit=7750-1&got=" + GOT)
    assert "/kit?kit=7750-1" in own.get("/").text


def test_a_page_leads_to_its_neighbours_and_notes(desk: Visit) -> None:
    """From a page one comes to the next, to each note on it, to its procedure and its sheet."""
    links = Tags(desk.get("/page/VM-30/4-12").text).links()
    assert "/page/VM-30/4-13" in links and "/note/VB%20101" in links
    assert "/procedure?publication=VM-30&page=4-12" in links
    sheet = desk.get("/sheet/page?publication=VM-30&page=4-12")
    assert "attachment" in sheet.headers["Content-Disposition"] and "<style>" in sheet.text


def test_a_parts_history_is_drawn_in_words(desk: Visit) -> None:
    """The picture has the numbers and the note as text, the current number strong."""
    page = desk.get("/part?number=7731-20").text
    picture = page[page.index("<svg") : page.index("</svg>")]
    assert ">7731-20</text>" in picture and ">VB 120 (2023-09-30)</text>" in picture
    strong = re.findall(r'class="knot strong"[^>]{1,80}number=([^"]{1,20})"', picture)
    assert strong == ["7731-24"]


def test_a_steps_history_tells_what_each_note_did(desk: Visit) -> None:
    """A cancelled note is shown with why it does not hold, one in force with its words, then what is in
    force."""
    torque = desk.get("/step/VM-30/4-12/4").text
    assert '<tspan class="was">29</tspan>' in torque and '<tspan class="now">31</tspan>' in torque
    assert "In force, by VB 101" in torque
    cancelled = desk.get("/step/VM-30/4-12/6").text
    assert "Not in force: cancelled by VB 120" in cancelled
    assert "In force: the manual&#39;s own words" in cancelled


def test_the_procedure_holds_for_the_unit_asked(desk: Visit) -> None:
    """The late serial gets the new stack, the early one the manual's; the sheet has the same words."""
    at = "/procedure?publication=VM-30&page=4-12&model=VR 30&serial="
    late, early = desk.get(f"{at}5300").text, desk.get(f"{at}5100").text
    assert "VB 114 (2022-02-08) replaces the step" in late
    assert "VB 114 (2022-02-08) replaces the step" not in early
    sheet = desk.get("/sheet/procedure?publication=VM-30&page=4-12&serial=5300").text
    assert "Check for newer notes before use." in sheet


def test_a_kit_is_judged_while_typed_and_held_on_request(own: Visit, fresh: Path) -> None:
    """The form, the live verdict and the written hold agree; looking writes nothing."""
    asked = {"kit": "7750-1", "got": GOT, "model": "VR 30"}
    whole = own.get("/kit", query_string=asked)
    live = own.get("/kit/verdict", query_string=asked)
    assert "HOLD — kit 7750-1: unexplained" in whole.text and "HOLD — kit 7750-1" in live.text
    with Store.open(fresh) as store:
        assert store.holds() == ()
    done = own.post("/kit/hold", asked, "/kit?kit=7750-1&got=" + GOT, follow_redirects=True)
    assert "The hold is written down." in done.text and "On hold since" in done.text
    with Store.open(fresh) as store:
        (hold,) = store.holds()
        assert hold.model == "VR 30" and [r.quantity for r in hold.came] == [5, 5]
    own.post("/kit/hold", asked, "/kit?kit=7750-1&got=" + GOT)
    with Store.open(fresh) as store:
        assert len(store.holds()) == 1


def test_a_hold_is_lifted_with_initials_and_a_reason(own: Visit, fresh: Path) -> None:
    """Without a reason the hold stays; with one it is lifted in that person's name."""
    asked, at = {"kit": "7750-1", "got": GOT}, "/kit?kit=7750-1&got=" + GOT
    own.post("/kit/hold", asked, at)
    assert own.post("/kit/lift", {**asked, "initials": "AB", "reason": " "}, at).status_code == 400
    with Store.open(fresh) as store:
        assert len(store.holds()) == 1
    done = own.post(
        "/kit/lift", {**asked, "initials": "AB", "reason": "came by post"}, at, follow_redirects=True
    )
    assert "is lifted by AB: came by post" in done.text
    with Store.open(fresh) as store:
        assert store.holds() == ()


def test_a_hold_needs_the_forms_own_token(own: Visit, fresh: Path) -> None:
    """A form sent without the page's token changes nothing."""
    assert own.client.post("/kit/hold", data={"kit": "7750-1", "got": GOT}).status_code == 403
    with Store.open(fresh) as store:
        assert store.holds() == ()


def test_what_cannot_be_read_is_said_beside_the_form(desk: Visit) -> None:
    """Words without a quantity are no error page: the form stays, with what to do in words of a page."""
    answer = desk.get("/kit", query_string={"kit": "7750-1", "got": "friction disc"})
    assert answer.status_code == 200 and "no quantity in" in answer.text
    assert "--got" not in answer.text


def test_a_slip_fills_the_box(own: Visit) -> None:
    """A packing slip's lines stand in the box as typed words, and are judged as those."""
    from io import BytesIO

    slip = b"Part,Description,Qty\n7740-5,friction disc,5\n7740-6,steel disc,5\n"
    sent = {"kit": "7750-1", "slip": (BytesIO(slip), "slip.csv")}
    page = own.post("/kit/slip", sent, "/kit", content_type="multipart/form-data")
    assert page.status_code == 200
    assert "5 x 7740-5 friction disc\n5 x 7740-6 steel disc" in page.text
    assert "HOLD — kit 7750-1" in page.text


def test_a_note_shows_what_it_says_and_touches(desk: Visit) -> None:
    """Each statement stands with its standing and its words, and leads to what it touches."""
    page = desk.get("/note/VB 120").text
    assert "DOUBT: the words do not say which item is meant" in page
    assert "/part?number=7731-24" in page and "/note/VB%2090" in page
    assert "Cancelled by" in desk.get("/note/VB 90").text


def one_step(words: str, number: str = "XM 9", page: str = "9-1") -> Document:
    item = Item("1", words, page, 1, "Rings")
    book = Manual(number, "Book", None, None, None, (), (ManualPage(page, 1, "Rings", (item,)),), "x.pdf")
    return Document("e" * 64, "x.pdf", "manual", (SheetText(1, page, words),), manual=book)


def test_a_measured_value_is_judged(tmp_path: Path) -> None:
    """The value within the step's range is told so, one below it by how much; what is no value is misuse."""
    desk = visit(build(tmp_path / "store", one_step("Check the clearance: 1.2 to 1.6 mm.")))
    at = "/measure?publication=XM 9&page=9-1&item=1&value="
    assert ">WITHIN<" in desk.get(f"{at}1.3 mm").text
    assert "BELOW by 0.2 mm" in desk.get(f"{at}1.0 mm").text
    assert desk.get(f"{at}much").status_code == 400


def test_a_day_that_is_none_is_told(desk: Visit) -> None:
    """A date that cannot be read is the asker's, not the desk's, trouble."""
    assert desk.get("/procedure?publication=VM-30&on=30.6.24").status_code == 400
    assert desk.get("/week?week=soon").status_code == 400


def hostile() -> tuple[Document, Document]:
    item = Item("1", EVIL, "9-1", 1, EVIL)
    book = Manual("XM <9>", EVIL, EVIL, EVIL, None, (EVIL,), (ManualPage("9-1", 1, EVIL, (item,)),), "x.pdf")
    manual = Document("e" * 64, "x.pdf", "manual", (SheetText(1, "9-1", EVIL),), manual=book)
    day = dt.date(2024, 2, 2)
    change = Override(note="XB <b>7", date=day, quote=EVIL, source=source("y.pdf"), action="replace",
                      target=target("3"), text=EVIL, applies=ALL, settled_by="rule")  # fmt: skip
    doubt = Override(note="XB <b>7", date=day, quote=EVIL, source=source("y.pdf"), action="replace",
                     why=(EVIL,), target=target("4"), text=EVIL, standing="doubtful")  # fmt: skip
    said = Supersession(note="XB <b>7", date=day, quote=EVIL, source=source("y.pdf"),
                        old=("<i>55-1",), new=("<i>55-2",), settled_by="rule")  # fmt: skip
    paper = Note("XB <b>7", day, EVIL, EVIL, "maker", EVIL, ALL, "<u>.pdf", unclear=(EVIL,),
                 statements=(change, doubt, said))  # fmt: skip
    return manual, Document("f" * 64, "<u>.pdf", "note", (SheetText(1, "1", EVIL),), notes=(paper,))


def test_text_of_papers_never_becomes_markup(tmp_path: Path) -> None:
    """HTML in a step's words, a heading, a note's number or subject, or a part number stays words, on every
    page and in every sheet that can be reached."""
    desk = visit(build(tmp_path / "store", *hostile()))
    pages = crawl(desk)
    shown = [page for page in pages.values() if "alert(1)" in page]
    assert len(shown) >= 8
    for at, page in pages.items():
        tags = Tags(page).tags
        assert not [t for t, a in tags if t == "script" and "src" not in a], at
        assert not [a for t, a in tags if t in ("img", "b", "i", "u") and a.get("src", "") in ("x", "")], at
        assert not [a for _, a in tags if any(n.startswith("on") for n in a)], at


def test_words_typed_never_become_markup(desk: Visit) -> None:
    """What is typed into any field comes back as words."""
    for field in ("/?q=", "/part?number=", "/note/", "/kit?got=1 disc&kit=", "/kit?kit=7750-1&got=",
                  "/procedure?section=", "/procedure?model=", "/week?week=",
                  "/measure?publication=VM-30&page=4-12&item="):  # fmt: skip
        page = desk.get(field + EVIL.replace("&", "%26")).text
        assert "<script>alert" not in page and "<img src=x" not in page, field


def test_an_address_cannot_lead_elsewhere(desk: Visit) -> None:
    """What stands in the address never becomes part of another site's address on the page."""
    for at in ("/procedure?model=VR 30&", "/week?", "/kit?kit=7750-1&"):
        page = desk.get(f"{at}_external=1&_scheme=javascript&_anchor=x&_method=POST").text
        assert not [link for link in Tags(page).links() if urlsplit(link).scheme or urlsplit(link).netloc]


def crawl(desk: Visit, most: int = 500) -> dict[str, str]:
    """Every page that can be reached from the start page, by its address; each must answer. Weeks are
    endless: six of them."""
    waiting, pages, weeks = deque(["/"]), dict[str, str](), 0
    seen = {"/"}
    while waiting and len(pages) < most:
        at = waiting.popleft()
        answer = desk.get(at)
        assert answer.status_code in (200, 302), f"{at}: {answer.status_code}"
        pages[at] = answer.text if answer.mimetype == "text/html" else ""
        inside = {answer.headers["Location"]} if answer.status_code == 302 else set[str]()
        for link in sorted(inside | Tags(pages[at]).links()):
            bare = urljoin(at, link).split("#")[0]
            if not bare or urlsplit(bare).scheme or bare in seen:
                continue
            weeks += "/week" in bare
            if "/week" not in bare or weeks <= 6:
                seen.add(bare)
                waiting.append(bare)
    return pages


def test_every_link_answers(held: Path) -> None:
    """No link on any page of the small store leads nowhere."""
    assert len(crawl(visit(held))) > 40


def test_every_link_of_the_demo_answers(demo: Visit) -> None:
    """No link on any page of the demo leads nowhere; the pages with pictures are among them."""
    pages = crawl(demo, most=250)
    assert any("/picture/" in at for at in pages)


def test_numbers_with_a_slash_have_pages(tmp_path: Path) -> None:
    """A publication, a page and a note whose numbers have a slash in them can be reached."""
    paper = one_step("Fit the ring.", "X/9", "9/1")
    say = Supersession(note="B/14", date=None, quote="now", source=source("v.pdf"), old=("9/55",),
                       new=("9/56",), settled_by="rule")  # fmt: skip
    desk = visit(build(tmp_path / "store", paper, note("B/14", dt.date(2024, 1, 1), "Rings", say)))
    pages = crawl(desk)
    assert any("Fit the ring." in p and at.startswith("/page") for at, p in pages.items())
    assert any(at.startswith("/step") and "X/9" in at for at in pages)
    assert any(at.startswith("/note?number=B") for at in pages)


def test_a_kit_on_hold_shows_the_box_that_is_held(own: Visit) -> None:
    """From the hold on the start page one comes to what came in that box, and to its verdict."""
    asked = {"kit": "7750-1", "got": GOT, "model": "VR 30"}
    sent = own.post("/kit/hold", asked, "/kit?kit=7750-1&got=" + GOT)
    assert sent.headers["Location"] == "/kit?kit=7750-1"
    page = own.get("/kit?kit=7750-1").text
    assert "5 x friction disc\n5 x steel disc" in page and "HOLD — kit 7750-1: unexplained" in page
    assert "NOT COUNTED" in own.get("/kit?kit=7750-1&got=").text
