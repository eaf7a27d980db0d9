"""The desk in Debian's Chromium: a real server on a loopback port, over the demo store.

Skipped, with the reason, where the browser, its driver, selenium or (for the accessibility of the pages)
axe-core is missing; `BENCHLEAF_AXE` is the path of axe-core's `axe.min.js`.
"""

import datetime as dt
import json
import os
import re
import shutil
import threading
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest
from benchleaf.cli.desk.serving import address_of, listening, place
from benchleaf.cli.main import benchleaf
from benchleaf.graph.jobs.job import About
from benchleaf.graph.jobs.work import Told, open_job
from benchleaf.graph.store import Store
from click.testing import CliRunner

webdriver = pytest.importorskip("selenium.webdriver", reason="selenium is not installed")
from selenium.common.exceptions import WebDriverException  # noqa: E402  # selenium is there
from selenium.webdriver.common.by import By  # noqa: E402
from selenium.webdriver.common.keys import Keys  # noqa: E402
from selenium.webdriver.support.expected_conditions import staleness_of  # noqa: E402
from selenium.webdriver.support.ui import Select, WebDriverWait  # noqa: E402

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")
DRIVER = shutil.which("chromedriver")
AXE = os.environ.get("BENCHLEAF_AXE", "")
SECONDS = 30
BOOK, PAGE = "OHM 5204", "1-14"

pytestmark = [
    pytest.mark.skipif(BROWSER is None, reason="chromium is not installed"),
    pytest.mark.skipif(DRIVER is None, reason="chromedriver (Debian: chromium-driver) is not installed"),
]


@pytest.fixture(scope="module")
def papers(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store with the demo's papers."""
    folder = tmp_path_factory.mktemp("demo") / "store"
    with as_file(files("benchleaf.corpus_demo").joinpath("papers")) as found:
        result = CliRunner().invoke(benchleaf, ["--store", str(folder), "add", str(found)])
    assert result.exit_code == 0, result.output
    return folder


@dataclass
class Desk:
    address: str
    folder: Path


@pytest.fixture
def desk(papers: Path, tmp_path: Path) -> Iterator[Desk]:
    """A desk over a copy of the demo store, listening on a free loopback port."""
    folder = tmp_path / "store"
    shutil.copytree(papers, folder)
    at = place(folder, "127.0.0.1", 0)
    server = listening(at)
    running = threading.Thread(target=server.run, daemon=True)
    running.start()
    yield Desk(address_of(at, server).rstrip("/"), folder)
    server.close()
    server.task_dispatcher.shutdown()


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """One Chromium for all tests, that asks for nothing but the desk."""
    options = webdriver.ChromeOptions()
    options.binary_location = str(BROWSER)
    quiet = ("disable-gpu", "disable-background-networking", "disable-component-update", "no-first-run")
    for word in (
        "headless=new",
        "window-size=1280,900",
        "host-resolver-rules=MAP * ~NOTFOUND , EXCLUDE 127.0.0.1",
    ):
        options.add_argument(f"--{word}")
    for word in quiet:
        options.add_argument(f"--{word}")
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        options.add_argument("--no-sandbox")  # as root Chromium refuses to start with it
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    made = webdriver.Chrome(options=options, service=webdriver.ChromeService(str(DRIVER)))
    made.set_page_load_timeout(SECONDS)
    yield made
    made.quit()


@pytest.fixture(autouse=True)
def fresh_visitor(browser: Any) -> Iterator[None]:
    """Each test is a new visitor; afterwards no page may have broken the content security policy."""
    yield
    said = [entry["message"] for entry in browser.get_log("browser")]
    browser.delete_all_cookies()
    assert not [words for words in said if "Content Security Policy" in words]


def words_of(browser: Any) -> str:
    return " ".join(browser.find_element(By.TAG_NAME, "main").text.split())


def wait_for(browser: Any, words: str) -> str:
    """The page's words once they hold these."""

    def said(driver: Any) -> str:
        found = words_of(driver)
        return found if words in found else ""

    waiting = WebDriverWait(browser, SECONDS, ignored_exceptions=[WebDriverException])  # between two pages
    return str(waiting.until(said, f"the page never said {words!r}"))


def leave_by(browser: Any, button: Any) -> None:
    """Presses a button and waits until its page is gone: what a page's script brings is not the next page."""
    page = browser.find_element(By.TAG_NAME, "html")
    button.click()
    # between two pages the driver may fail in ways of its own before it says that the page is gone
    WebDriverWait(browser, SECONDS, ignored_exceptions=[WebDriverException]).until(staleness_of(page))


def test_search_leads_to_the_page(browser: Any, desk: Desk) -> None:
    """A search from the first page, by keyboard alone, leads to the page that says it."""
    browser.get(desk.address)
    browser.switch_to.active_element.send_keys("retaining ring", Keys.ENTER)
    WebDriverWait(browser, SECONDS).until(lambda b: "q=retaining" in b.current_url)
    link = browser.find_element(By.CSS_SELECTOR, "main a[href*='/page/OHM']")
    named = re.search(r"page ([0-9]+-[0-9]+)", link.text)
    assert named, link.text
    link.send_keys(Keys.ENTER)
    text = wait_for(browser, f"page {named[1]}")
    assert BOOK in text
    assert "retaining ring" in text.lower()


def test_marks_lie_over_the_words_of_their_steps(browser: Any, desk: Desk) -> None:
    """On the page as a picture each marked step's box covers the words that the PDF's text layer has for that
    step, as another reader (pdfplumber) finds them: at least nine tenths of their area, and little else."""
    browser.get(f"{desk.address}/page/{quote(BOOK)}/{PAGE}")
    marks = browser.execute_script(_MARKS)
    assert len(marks) >= 2
    for mark in marks:
        words = printed_words(desk.folder, mark["item"])
        shared = overlap(mark["box"], words)
        assert shared / area(words) >= 0.9, (mark, words)
        assert area(words) / area(mark["box"]) >= 0.6, (mark, words)


_MARKS = """
const image = document.querySelector("figure.paper svg image");
const whole = image.getBoundingClientRect();
const wide = Number(image.getAttribute("width")) / whole.width;
return Array.from(document.querySelectorAll("rect.mark"), (mark) => {
  const seen = mark.getBoundingClientRect();
  const box = [seen.left, seen.top, seen.right, seen.bottom].map(
    (side, at) => side - (at % 2 ? whole.top : whole.left));
  return {item: mark.dataset.item, box: box.map((side) => side * wide)};
});
"""
Box = tuple[float, float, float, float]


def printed_words(folder: Path, item: str) -> Box:
    """The box in points around the words of a step, found in the original by pdfplumber."""
    import pdfplumber
    from benchleaf.graph.model import Target

    with Store.open(folder) as store:
        (step,) = store.item(Target(BOOK, PAGE, item))
        original = store.original(str(store.file_of_page(BOOK, PAGE)))
    wanted = re.sub(r"\W", "", step.text)
    with pdfplumber.open(original) as document:
        found = document.pages[step.sheet - 1].extract_words(use_text_flow=True)
    for first in range(len(found)):
        said = ""
        for last in range(first, len(found)):
            said += re.sub(r"\W", "", found[last]["text"])
            if said == wanted:
                run = found[first : last + 1]
                return (
                    min(w["x0"] for w in run),
                    min(w["top"] for w in run),
                    max(w["x1"] for w in run),
                    max(w["bottom"] for w in run),
                )
            if not wanted.startswith(said):
                break
    pytest.fail(f"the words of step {item} are not in the text layer")


def area(box: Any) -> float:
    return float(max(0.0, box[2] - box[0]) * max(0.0, box[3] - box[1]))


def overlap(one: Any, two: Any) -> float:
    low, high = map(max, one[:2], two[:2]), map(min, one[2:], two[2:])
    return area((*low, *high))


def test_a_kit_that_nothing_explains_goes_on_hold(browser: Any, desk: Desk) -> None:
    """The arrival form, filled in, gives the verdict; written down, the kit is on hold in the store."""
    browser.get(f"{desk.address}/kit")
    came = {"kit": "K41-9014", "model": "RT 52", "serial": "20600"}
    came["got"] = "6 lined plate, 7 steel plate, 2 seal ring, 1 retaining ring"
    for name, value in came.items():
        browser.find_element(By.ID, name).send_keys(value)
    leave_by(browser, browser.find_element(By.CSS_SELECTOR, "form[data-live] button"))
    assert "hold" in wait_for(browser, "seal ring").lower()
    with Store.open(desk.folder) as store:
        assert store.holds() == ()
    leave_by(browser, browser.find_element(By.XPATH, "//button[contains(., 'Write it down')]"))
    wait_for(browser, "HOLD")
    with Store.open(desk.folder) as store:
        assert [hold.kit for hold in store.holds()] == ["K41-9014"]


def test_a_doubt_is_settled_with_its_page(browser: Any, desk: Desk) -> None:
    """The doubt about a step that stands on several pages: its page chosen, signed, settled; and then shown
    on that page. The initials are not asked again."""
    browser.get(f"{desk.address}/doubts")
    doubt = browser.find_element(By.CSS_SELECTOR, "article.doubt[id^='doubt-']")
    id = int(doubt.get_attribute("id").removeprefix("doubt-"))
    assert doubt.find_element(By.CSS_SELECTOR, "img.crop").get_property("naturalWidth") > 50
    doubt.find_element(By.NAME, "page").send_keys(PAGE)
    doubt.find_element(By.NAME, "initials").send_keys("QZ")
    doubt.find_element(By.CSS_SELECTOR, "button[value='yes']").click()
    text = wait_for(browser, "settled by QZ")
    assert "Someone else signs" in text
    with Store.open(desk.folder) as store:
        said = store.statement(id)
    assert said is not None
    assert (said.standing, said.settled_by) == ("settled", "QZ")


def test_a_file_is_dropped_and_read(browser: Any, desk: Desk) -> None:
    """A file dropped on the frame is named, sent, read, and told; a markup name stays words."""
    letter = (
        "Tollmark Driveline\\nService bulletin TD 9\\nDate: 3 May 1997\\nSubject: Rear cover\\n"
        "Models: RT 52\\n\\nIn manual OHM 5204, page 1-14, item 1 is deleted.\\n"
    )
    browser.get(f"{desk.address}/adding")
    browser.execute_script(
        """
        const carried = new DataTransfer();
        carried.items.add(new File([arguments[0]], "<b>td9</b>.txt", {type: "text/plain"}));
        const drop = document.getElementById("drop");
        const how = {dataTransfer: carried, bubbles: true, cancelable: true};
        drop.dispatchEvent(new DragEvent("dragover", how));
        drop.dispatchEvent(new DragEvent("drop", how));
        """,
        letter.replace("\\n", "\n"),
    )
    assert browser.find_element(By.ID, "picked").text == "<b>td9</b>.txt"
    browser.find_element(By.ID, "add").click()
    text = wait_for(browser, "1 read")
    assert "TD 9" in text
    with Store.open(desk.folder) as store:
        assert store.note("TD 9") is not None


def test_a_shop_note_is_written_with_a_photo(browser: Any, desk: Desk, tmp_path: Path) -> None:
    """From the form of a step to the note with its photo, marked as the shop's."""
    from PIL import Image

    Image.new("RGB", (300, 200), (80, 90, 100)).save(tmp_path / "groove.jpg")
    browser.get(f"{desk.address}/shop-note?pub={quote(BOOK)}&page={PAGE}&item=6")
    Select(browser.find_element(By.NAME, "action")).select_by_value("caution")
    browser.find_element(By.NAME, "text").send_keys("Check the groove for burrs.")
    browser.find_element(By.NAME, "photo").send_keys(str(tmp_path / "groove.jpg"))
    browser.find_element(By.NAME, "initials").send_keys("QZ")
    browser.find_element(By.XPATH, "//button[contains(., 'Keep the note')]").click()
    text = wait_for(browser, "SHOP NOTE, not the maker's")
    assert "Check the groove for burrs." in text
    assert browser.find_element(By.CSS_SELECTOR, "img.photo").get_property("naturalWidth") == 300


def test_the_doubts_are_reachable_by_keyboard(browser: Any, desk: Desk) -> None:
    """Every link, field and button of the page is reached by the Tab key (WCAG 2.2, criterion 2.1.1)."""
    browser.get(f"{desk.address}/doubts")
    wanted = browser.execute_script(
        "return Array.from(document.querySelectorAll('a[href], button, input:not([type=hidden]), select,"
        " textarea, summary')).filter((e) => e.checkVisibility()).length"
    )
    reached = set()
    browser.find_element(By.TAG_NAME, "body").send_keys("")
    for _ in range(wanted + 5):
        browser.switch_to.active_element.send_keys(Keys.TAB)
        reached.add(browser.switch_to.active_element.id)
    assert wanted > 10
    assert len(reached) >= wanted


STEP = f"{quote(BOOK)}&page={PAGE}"
PAGES = [
    "/",
    "/?q=ring",
    "/?q=nothing-like-it",
    f"/page/{quote(BOOK)}/{PAGE}",
    "/doubts",
    "/adding",
    "/shop-notes",
    f"/shop-note?pub={STEP}&item=6",
    "/nothing",
    "/kit",
    f"/procedure?publication={STEP}&model=RT+52&serial=20600",
    f"/measure?publication={STEP}&item=6",
    f"/step?publication={STEP}&item=6",
    "/part?number=K41-9030",
    "/part?number=K41-2086",
    "/kit?kit=K41-9014&model=RT+52&serial=20600&got=6+lined+plate%2C+7+steel+plate",
    "/jobs",
    "/job/2611",
    f"/jobs?publication={STEP}&model=RT+52",
]


@pytest.mark.skipif(not AXE, reason="BENCHLEAF_AXE does not name axe-core's axe.min.js")
@pytest.mark.parametrize("width", [1280, 800])
def test_axe_finds_nothing_serious(browser: Any, desk: Desk, width: int) -> None:
    """On no page axe-core finds a serious or critical fault, and no page is wider than the window."""
    with Store.open(desk.folder, write=True) as store, store.transaction():
        told = Told(model="RT 52", serial="20600", kits=("K41-9014",), about=(About(BOOK, PAGE),))
        open_job(store, "2611", told, "QZ", dt.datetime.now(dt.UTC))
    script = Path(AXE).read_text(encoding="utf-8")
    browser.set_window_size(width, 900)
    served = browser.execute_script
    faults: list[str] = []
    browser.get(desk.address)
    rest = {a.get_attribute("href") for a in browser.find_elements(By.CSS_SELECTOR, "nav a[href]")}
    asked = dict.fromkeys((*(desk.address + page for page in PAGES), *sorted(map(str, rest))))
    for address in asked:
        browser.get(address)
        served(script)
        found = browser.execute_async_script(
            "const done = arguments[0]; axe.run().then((r) => done(r.violations));"
        )
        faults += [
            f"{address}: {fault['id']}: {json.dumps([n['html'][:200] for n in fault['nodes']][:3])}"
            for fault in found
            if fault["impact"] in ("serious", "critical")
        ]
        if served("return document.documentElement.scrollWidth > window.innerWidth + 1"):
            faults.append(f"{address}: wider than the window")
        if (browser.title == "There is no such page.") != address.endswith("/nothing"):
            faults.append(f"{address}: is titled “{browser.title}”")
    browser.set_window_size(1280, 900)
    assert not faults, "\n".join(faults)
