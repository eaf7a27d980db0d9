"""The desk's guard: who may call it, what a form needs, the door, and what no page ever shows."""

import io
import json
import os
import signal
import socket
import stat
import subprocess
import sys
import urllib.request
from pathlib import Path

import pytest
from benchleaf.cli.commands.desk import NoDesk
from benchleaf.cli.desk import guard
from benchleaf.cli.desk.app import WORKING_DAY, Desk, application
from benchleaf.cli.desk.pages import BLUEPRINTS
from benchleaf.cli.desk.passphrase import FILE, fits, keep, kept_hash
from benchleaf.cli.desk.serving import place
from benchleaf.cli.desk.tries import FREE, Tries
from benchleaf.cli.main import benchleaf
from benchleaf.graph.errors import StoreProblem, WrongUse
from benchleaf.graph.store import Store
from click.testing import CliRunner, Result
from desk_visit import Visit, visit
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from small_store import build

PHRASE = "four plain words here"


@pytest.fixture
def open_desk(held: Path) -> Visit:
    return visit(held)


@pytest.fixture(scope="module")
def phrase_hash(tmp_path_factory: pytest.TempPathFactory) -> str:
    folder = tmp_path_factory.mktemp("phrase")
    keep(folder, PHRASE)
    found = kept_hash(folder)
    assert found
    return found


@pytest.fixture
def closed_desk(held: Path, phrase_hash: str) -> Visit:
    return visit(held, pass_hash=phrase_hash)


@pytest.mark.parametrize("host", ["elsewhere.example", "127.0.0.1.example", "", "[::", "127.0.0.1@x.example"])
def test_a_foreign_host_is_refused(host: str, open_desk: Visit) -> None:
    """A page elsewhere reaches in by a name of its own that points here: that name is not answered.

    Source: OWASP's description of DNS rebinding, from memory.
    """
    answer = open_desk.get("/", headers={"Host": host})
    assert answer.status_code in (400, 403)
    assert "VM-30" not in answer.text


@pytest.mark.parametrize("host", ["localhost", "localhost:7350", "127.0.0.1:1", "[::1]:7350", "LOCALHOST"])
def test_the_machine_s_own_names_are_answered(host: str, open_desk: Visit) -> None:
    """The loopback's names, with any port."""
    assert open_desk.get("/", headers={"Host": host}).status_code == 200


def test_any_address_in_figures_is_answered_only_where_all_were_opened(held: Path) -> None:
    """A desk on every address of the machine answers by figures, and still by no foreign name."""
    wide = visit(held, any_address=True)
    assert wide.get("/", headers={"Host": "192.0.2.9:7350"}).status_code == 200
    assert wide.get("/", headers={"Host": "desk.example"}).status_code == 403
    assert visit(held).get("/", headers={"Host": "192.0.2.9"}).status_code == 403


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "http://elsewhere.example"},
        {"Origin": "null"},
        {"Origin": "https://localhost"},
        {"Origin": "http://localhost:81"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
    ],
)
def test_a_form_from_another_place_is_refused(headers: dict[str, str], open_desk: Visit) -> None:
    """A change with a foreign Origin, even with the right token, is refused (RFC 6454, section 7)."""
    answer = open_desk.post("/doubts/7", {"verdict": "no"}, "/doubts", headers=headers)
    assert answer.status_code == 403


def test_every_change_needs_the_form_s_token(held: Path) -> None:
    """No rule of the desk that takes a POST answers without the token, or with a wrong one."""
    made = application(Desk(held))
    posts = [r for r in made.url_map.iter_rules() if "POST" in (r.methods or ())]
    assert len(posts) >= 6
    for rule in posts:
        at = rule.rule.replace("<int:number>", "1").replace("<path:number>", "x")
        at = "/".join("x" if part.startswith("<") else part for part in at.split("/"))
        for data in ({}, {"token": "wrong"}, {"token": "wröng"}):
            assert made.test_client().post(at, data=data).status_code == 403, rule.rule
    with Store.open(held) as store:
        assert store.settlements() == ()


def test_other_methods_than_get_and_post_are_refused(open_desk: Visit) -> None:
    """PUT and DELETE need a token too, and no page takes them."""
    assert open_desk.client.put("/doubts").status_code == 403
    answer = open_desk.client.delete("/", headers={"X-Token": open_desk.token("/doubts")})
    assert answer.status_code == 405


def test_pages_load_nothing_but_the_desk_s_own(open_desk: Visit) -> None:
    """The policy names no inline script or style and no other place (W3C Content Security Policy Level 3)."""
    for at in ("/", "/doubts", "/adding", "/nothing", "/static/writing.css"):
        policy = open_desk.get(at).headers["Content-Security-Policy"]
        assert "default-src 'none'" in policy
        assert "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy and "http" not in policy and "*" not in policy


def test_the_cookie_is_out_of_reach_of_scripts_and_other_sites(open_desk: Visit) -> None:
    """HttpOnly and SameSite=Strict (RFC 6265bis), and it ends by time."""
    cookie = open_desk.get("/doubts").headers["Set-Cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Strict" in cookie
    assert "Expires=" in cookie


def test_unknown_addresses_and_faults_show_no_trace(held: Path) -> None:
    """404, 405 and a fault are pages of the desk's own, without the program's insides."""
    made = application(Desk(held))

    def fault() -> str:
        raise RuntimeError("the inside of it")

    made.add_url_rule("/fault", "fault", fault)
    client = made.test_client()
    for at, status in (("/nothing", 404), ("/fault", 500), ("/page/NO-1/1", 404), ("/doubts/9", 405)):
        answer = client.get(at)
        assert answer.status_code == status
        assert "<main" in answer.text
        for inside in ("Traceback", "the inside of it", "RuntimeError", str(held), ".py"):
            assert inside not in answer.text


def test_too_large_a_form_is_refused_with_a_clear_page(open_desk: Visit) -> None:
    """A form over its limit is answered with 413 in plain words, before anything is stored."""
    big = io.BytesIO(b"x" * (guard.MOST_FORM_BYTES + 1))
    data = {"token": open_desk.token("/shop-note"), "photo": (big, "x.png")}
    answer = open_desk.client.post("/shop-note", data=data)
    assert answer.status_code == 413
    assert "too large" in answer.text
    open_desk.client.application.config["MAX_CONTENT_LENGTH"] = 1000
    files = {"token": open_desk.token("/adding"), "files": (io.BytesIO(b"y" * 2000), "y.txt")}
    assert open_desk.client.post("/adding", data=files).status_code == 413


@pytest.mark.parametrize(
    "at",
    ["/picture/../benchleaf.db", "/picture/..%2Fbenchleaf.db", "/picture/" + "0" * 32 + ".png/../x",
     "/picture/%2Fetc%2Fpasswd", "/static/../app.py", "/static/%2e%2e/guard.py", "/static/..%5Cguard.py",
     "/picture/" + "0" * 31 + "\u0660.png"],
)  # fmt: skip
def test_no_path_leads_outside(at: str, open_desk: Visit) -> None:
    """Only pictures by their own names and the desk's own styles are files that a browser gets."""
    assert open_desk.get(at).status_code == 404


def test_reading_pages_cannot_write(held: Path) -> None:
    """A page's store is read-only, and a query that goes on too long is stopped with a clear page."""
    made = application(Desk(held))

    def writes() -> str:
        from benchleaf.cli.desk.show import store

        store().connection.execute("DELETE FROM note")
        return "written"

    def slow() -> str:
        from benchleaf.cli.desk.show import store

        guard.bounded(store(), 0.05)
        endless = "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n) SELECT count(*) FROM n"
        store()._rows(endless)
        return "counted"

    made.add_url_rule("/writes", "writes", writes)
    made.add_url_rule("/slow", "slow", slow)
    client = made.test_client()
    assert client.get("/writes").status_code == 500
    answer = client.get("/slow")
    assert answer.status_code == 503
    assert "took too long" in answer.text
    with Store.open(held) as store:
        assert store.notes()


def test_without_the_pass_phrase_nothing_is_shown(closed_desk: Visit) -> None:
    """Every address but the door and the styles leads to the door; nothing of the store is told."""
    for at in ("/", "/page/VM-30/4-12", "/doubts", "/adding", "/picture/" + "0" * 32 + ".png", "/nothing"):
        answer = closed_desk.get(at)
        assert answer.status_code == 302, at
        assert answer.headers["Location"].startswith("/door?")
    assert "VM-30" not in closed_desk.get("/door").text
    assert closed_desk.get("/static/writing.css").status_code == 200


def test_the_pass_phrase_opens_and_leaving_closes(closed_desk: Visit) -> None:
    """The right phrase leads to the page asked for; after leaving, the door is shut again."""
    asked = {"phrase": PHRASE, "to": "/doubts"}
    answer = closed_desk.post("/door", asked, "/door")
    assert (answer.status_code, answer.headers["Location"]) == (302, "/doubts")
    assert closed_desk.get("/doubts").status_code == 200
    closed_desk.post("/door/leave", {}, "/door")
    assert closed_desk.get("/doubts").status_code == 302


@pytest.mark.parametrize(
    "to", ["//x.example", "http://x.example", "/\\x.example", "\\\\x.example", "javascript:1", "/a\nb", ""]
)
def test_the_door_leads_nowhere_else(to: str, closed_desk: Visit) -> None:
    """After the door comes a page of this desk, whatever the address asked for (no open redirect)."""
    answer = closed_desk.post("/door", {"phrase": PHRASE, "to": to}, "/door")
    assert answer.headers["Location"] == "/"


def test_wrong_tries_must_wait(closed_desk: Visit) -> None:
    """After five wrong tries even the right phrase waits, with the seconds told (RFC 6585, status 429)."""
    for _ in range(FREE):
        assert closed_desk.post("/door", {"phrase": "wrong"}, "/door").status_code == 403
    answer = closed_desk.post("/door", {"phrase": PHRASE}, "/door")
    assert answer.status_code == 429
    assert int(answer.headers["Retry-After"]) > 0
    assert closed_desk.get("/doubts").status_code == 302


def test_waits_grow_and_end() -> None:
    """Each try after a wait costs a longer one, up to a limit; another caller is not held up."""
    now = [0.0]
    tries = Tries(clock=lambda: now[0])
    waits = []
    for _ in range(FREE):
        assert tries.admit("192.0.2.1") == 0
    for _ in range(8):
        wait = tries.admit("192.0.2.1")
        waits.append(wait)
        now[0] += wait
        assert tries.admit("192.0.2.1") == 0
    assert waits == sorted(waits)
    assert waits[0] == 30
    assert waits[-1] == 900
    assert tries.admit("192.0.2.2") == 0
    tries.passed("192.0.2.1")
    assert tries.admit("192.0.2.1") == 0


def test_an_ipv6_caller_is_one_caller_in_his_own_net() -> None:
    """The last half of an IPv6 address is the caller's to choose (RFC 4291, section 2.5.1)."""
    tries = Tries(clock=lambda: 0.0)
    for n in range(FREE):
        assert tries.admit(f"2001:db8:1:2::{n + 1:x}") == 0
    assert tries.admit("2001:db8:1:2::ffff") > 0
    assert tries.admit("2001:db8:1:3::1") == 0


def test_a_session_ends_by_time(held: Path, phrase_hash: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """A cookie older than a working day opens nothing."""
    import itsdangerous.timed

    desk = visit(held, pass_hash=phrase_hash)
    desk.post("/door", {"phrase": PHRASE}, "/door")
    assert desk.get("/doubts").status_code == 200
    real = itsdangerous.timed.time.time
    later = real() + WORKING_DAY.total_seconds() + 60
    monkeypatch.setattr(itsdangerous.timed.TimestampSigner, "get_timestamp", lambda self: int(later))
    assert desk.get("/doubts").status_code == 302


def test_the_pass_phrase_is_kept_hashed_for_its_owner(tmp_path: Path) -> None:
    """The file holds a scrypt hash and not the words, and others cannot read it."""
    path = keep(tmp_path, PHRASE)
    words = path.read_text()
    assert words.startswith("scrypt:")
    assert PHRASE not in words
    if os.name != "nt":
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert fits(words.strip(), PHRASE)
    assert not fits(words.strip(), PHRASE + " ")
    with pytest.raises(WrongUse):
        keep(tmp_path, "short")


def test_another_address_needs_a_pass_phrase_and_a_certificate(tmp_path: Path) -> None:
    """Loopback needs neither; another address is refused until a pass phrase is set and, unless the shop says
    that it goes without, a certificate given; a name is no address."""
    for host in ("127.0.0.1", "localhost", "::1", "127.8.8.8"):
        assert place(tmp_path, host, 0).desk.pass_hash is None
    for host in ("0.0.0.0", "192.0.2.7", "::"):
        with pytest.raises(WrongUse, match="pass phrase"):
            place(tmp_path, host, 0)
    with pytest.raises(WrongUse, match="no address"):
        place(tmp_path, "desk.example", 0)
    keep(tmp_path, PHRASE)
    with pytest.raises(WrongUse, match="no certificate"):
        place(tmp_path, "192.0.2.7", 0)
    assert place(tmp_path, "0.0.0.0", 0, unencrypted=True).desk.any_address
    assert not place(tmp_path, "192.0.2.7", 0, unencrypted=True).desk.any_address
    assert place(tmp_path, "192.0.2.7", 0, unencrypted=True).in_clear
    assert not place(tmp_path, "127.0.0.1", 0).in_clear
    assert place(tmp_path, "127.0.0.1", 0).asks
    (tmp_path / FILE).write_bytes(b"\xff\xfe")
    with pytest.raises(StoreProblem):
        place(tmp_path, "127.0.0.1", 0)


def desk_command(folder: Path, *words: str, typed: str = "") -> Result:
    line = ["--store", str(folder), "desk", *words]
    return CliRunner().invoke(benchleaf, line, input=typed, standalone_mode=False)


def test_the_command_sets_the_phrase_and_asks_twice(fresh: Path) -> None:
    """`desk --set-pass-phrase` keeps what was typed twice; two different ones are asked for again."""
    typed = f"{PHRASE}\nanother one here\n{PHRASE}\n{PHRASE}\n"
    result = desk_command(fresh, "--set-pass-phrase", typed=typed)
    assert result.exit_code == 0, result.output
    assert PHRASE not in result.output
    assert fits(str(kept_hash(fresh)), PHRASE)


def test_without_flask_the_extra_is_named(held: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the desk's libraries are missing, the message says what to install."""
    monkeypatch.setitem(sys.modules, "waitress", None)
    problem = desk_command(held, "--no-open").exception
    assert isinstance(problem, NoDesk)
    assert "waitress" in problem.message
    assert "pip install 'benchleaf[desk]'" in problem.remedy


def test_a_taken_port_is_told(held: Path) -> None:
    """A port on which another program answers ends in a clear error, not in a trace."""
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        problem = desk_command(held, "--no-open", "--port", str(other.getsockname()[1])).exception
    assert isinstance(problem, StoreProblem)
    assert "Choose another --port" in problem.remedy


PATHS = st.text(st.characters(codec="utf-8", exclude_categories=["Cs"]), max_size=40)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(rule=st.integers(0, 200), parts=st.lists(PATHS, min_size=6, max_size=6), asked=PATHS)
def test_no_address_ends_in_a_fault(held: Path, rule: int, parts: list[str], asked: str) -> None:
    """Whatever stands in an address or a search, the answer is a page and never the fault page."""
    from urllib.parse import quote

    client = _client(held)
    rules = sorted(r.rule for r in client.application.url_map.iter_rules() if "GET" in (r.methods or ()))
    words = iter(parts)
    pieces = [
        quote(next(words), safe="") if p.startswith("<") else p for p in rules[rule % len(rules)].split("/")
    ]
    names = ("q", "pub", "page", "item", "model", "serial", "kit", "on", "week", "note", "from", "to", "got")
    query = "&".join(f"{name}={quote(asked)}" for name in names)
    answer = client.get(f"{'/'.join(pieces)}?{query}")
    assert answer.status_code != 500, rules[rule % len(rules)]


_CLIENTS: dict[Path, object] = {}


def _client(held: Path):
    if held not in _CLIENTS:
        _CLIENTS[held] = application(Desk(held)).test_client()
    return _CLIENTS[held]


@pytest.fixture(scope="module")
def played_with(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store on which forms may do what they do."""
    return build(tmp_path_factory.mktemp("played") / "store")


FORM_FIELDS = (
    *("verdict", "seen", "initials", "note", "file", "pub", "page", "item", "action", "text", "was", "now"),
    *("models", "kit", "got", "reason", "model", "serial", "found", "to", "phrase", "lines", "back", "from"),
    *("relation", "date", "hold"),
)
WORDS = st.one_of(
    PATHS, st.sampled_from(["yes", "no", "back", "QZ", "caution", "VM-30", "4-12", "7", "7750-1"])
)


@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    rule=st.integers(0, 60),
    number=st.integers(0, 12),
    said=st.dictionaries(st.sampled_from(FORM_FIELDS), WORDS),
)
def test_no_form_ends_in_a_fault(played_with: Path, rule: int, number: int, said: dict[str, str]) -> None:
    """Whatever a form with the right token says, the answer is a page and never the fault page."""
    client = _client(played_with)
    found = [r for r in client.application.url_map.iter_rules() if "POST" in (r.methods or ())]
    chosen = sorted(r.rule for r in found)[rule % len(found)]
    at = chosen.replace("<int:number>", str(number)).replace("<path:number>", "VB 101")
    at = "/".join("x" if part.startswith("<") else part for part in at.split("/"))
    token = Visit(client).token("/adding")
    assert client.post(at, data={**said, "token": token}).status_code != 500, at


@pytest.mark.skipif(
    signal.getsignal(signal.SIGINT) is signal.SIG_IGN, reason="what runs in the background ignores Ctrl-C"
)
@pytest.mark.skipif(os.name == "nt", reason="Windows has no SIGINT for a child process")
def test_the_desk_starts_answers_and_ends_with_ctrl_c(held: Path) -> None:
    """The command tells its address, answers there and nowhere but on loopback, and ends by SIGINT with 0."""
    program = (
        "import sys; from benchleaf.cli.main import benchleaf;"
        "benchleaf(['--store', sys.argv[1], 'desk', '--no-open', '--json', '--port', '0'])"
    )
    line = [sys.executable, "-c", program, str(held)]
    with subprocess.Popen(line, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        try:
            assert process.stdout is not None
            shape = json.loads("".join(process.stdout.readline() for _ in range(3)))
            assert shape["desk"].startswith("http://127.0.0.1:")
            with urllib.request.urlopen(shape["desk"], timeout=20) as answer:
                assert answer.status == 200
                assert answer.headers["Server"] == "benchleaf"
            process.send_signal(signal.SIGINT)
            assert process.wait(20) == 0
        finally:
            process.kill()


def test_every_page_module_is_served() -> None:
    """Each module of the desk's pages is registered: a page forgotten would be a dead link."""
    import pkgutil

    from benchleaf.cli.desk import pages

    modules = {m.name for m in pkgutil.iter_modules(pages.__path__)}
    served = {b.import_name.rpartition(".")[2] for b in BLUEPRINTS}
    assert modules == served
