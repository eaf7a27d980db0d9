"""The desk as an attacker meets it: on the network, in the same browser, with a copied cookie, in bytes."""

import http.client
import io
import socket
import sqlite3
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from benchleaf.cli.desk import guard, visitors
from benchleaf.cli.desk.app import MOST_PARTS, MOST_WORDS, Desk, application
from benchleaf.cli.desk.passphrase import keep, kept_hash
from benchleaf.cli.desk.serving import CONNECTIONS, HEAD_BYTES, address_of, listening, place
from benchleaf.cli.desk.show import DeskStore
from benchleaf.cli.desk.tries import HOUR, MOST_WRONG, Tries
from benchleaf.cli.desk.visitors import LONGEST, UNUSED, Visitors
from benchleaf.graph.db.connection import DATABASE
from desk_visit import Visit, visit

PHRASE = "four plain words here"


@dataclass
class Served:
    port: int
    folder: Path

    def raw(self, said: bytes, wait: float = 5.0) -> bytes:
        """What comes back for these very bytes."""
        with socket.create_connection(("127.0.0.1", self.port), timeout=wait) as line:
            line.sendall(said)
            found = b""
            try:
                while came := line.recv(65536):
                    found += came
            except OSError:
                pass
            return found

    def get(self, at: str = "/", **heads: str) -> http.client.HTTPResponse:
        call = http.client.HTTPConnection("127.0.0.1", self.port, timeout=20)
        call.request("GET", at, headers=heads)
        answer = call.getresponse()
        answer.read()
        return answer


@pytest.fixture(scope="module")
def served(held: Path) -> Iterator[Served]:
    """A desk over the store, answering on a loopback port as the command serves it."""
    at = place(held, "127.0.0.1", 0)
    server = listening(at)
    threading.Thread(target=server.run, daemon=True).start()
    yield Served(int(address_of(at, server).rstrip("/").rpartition(":")[2]), held)
    server.close()
    server.task_dispatcher.shutdown()


@pytest.fixture(scope="module")
def phrase_hash(tmp_path_factory: pytest.TempPathFactory) -> str:
    folder = tmp_path_factory.mktemp("phrase")
    keep(folder, PHRASE)
    return str(kept_hash(folder))


@pytest.fixture
def closed(held: Path, phrase_hash: str) -> Visit:
    return visit(held, pass_hash=phrase_hash)


OWN = b"Host: 127.0.0.1\r\n"
BAD = (400, 403)


@pytest.mark.parametrize(
    ("said", "status"),
    [
        (b"GET /../../../../etc/passwd HTTP/1.1\r\n" + OWN, (400, 404)),
        (b"GET /static/%2e%2e/%2e%2e/app.py HTTP/1.1\r\n" + OWN, (404,)),
        (b"GET /picture/..%2f..%2fbenchleaf.db HTTP/1.1\r\n" + OWN, (404,)),
        (b"GET http://elsewhere.example/ HTTP/1.1\r\nHost: elsewhere.example\r\n", (400, 403)),
        (b"GET / HTTP/1.1\r\nHost: elsewhere.example\r\n", (403,)),
        (b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nHost: elsewhere.example\r\n", (400, 403)),
        (b"GET / HTTP/1.0\r\n", (400, 403)),
        (b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX: a\r\n b: c\r\n", (200, 400)),
        (b"GET /\x00 HTTP/1.1\r\n" + OWN, (400, 404)),
        (b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX\x00: a\r\n", (400,)),
        (b"TRACE / HTTP/1.1\r\n" + OWN, (403, 405)),
        (b"CONNECT 127.0.0.1:80 HTTP/1.1\r\n" + OWN, (400, 403, 404, 405)),
        (b"POST /adding HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: -1\r\n", (400,)),
        (b"POST /adding HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 1_0\r\n", (400,)),
        (b"POST /adding HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 3\r\nContent-Length: 4\r\n", BAD),
        (b"POST /adding HTTP/1.1\r\nHost: 127.0.0.1\r\nTransfer-Encoding: gzip\r\n", (400, 501)),
        (b"POST /adding HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 999999999999\r\n", (413,)),
        (b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX: " + b"a" * (HEAD_BYTES + 10) + b"\r\n", (431, 400)),
        (b"GET /" + b"a" * (HEAD_BYTES + 10) + b" HTTP/1.1\r\n" + OWN, (431, 400, 414)),
    ],
)  # fmt: skip
def test_raw_requests_are_refused(served: Served, said: bytes, status: tuple[int, ...]) -> None:
    """Requests that no browser sends get an error, tell nothing, and the desk goes on answering.

    Source: the rules of RFC 9112 (sections 3 to 6) on request lines, Host and lengths.
    """
    answer = served.raw(said + b"Connection: close\r\n\r\n")
    first, _, rest = answer.partition(b"\r\n")
    assert int(first.split()[1]) in status, answer[:200]
    for inside in (b"root:", b"SQLite format", b"Traceback", b"import ", str(served.folder).encode()):
        assert inside not in rest
    assert served.get().status == 200


def test_a_length_and_chunks_together_hide_no_second_request(served: Served) -> None:
    """A request with both a length and chunks is one request or an error, never two (RFC 9112, 6.3)."""
    hidden = b"0\r\n\r\nGET /doubts HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n"
    head = b"POST /adding HTTP/1.1\r\nHost: 127.0.0.1\r\nTransfer-Encoding: chunked\r\nContent-Length: "
    answer = served.raw(head + str(len(hidden)).encode() + b"\r\nConnection: close\r\n\r\n" + hidden)
    assert answer.count(b"HTTP/1.") == 1
    assert b"200 OK" not in answer


def test_chunks_without_a_length_count_as_well(served: Served) -> None:
    """A form sent in chunks, its length told nowhere, is held to the same limit."""
    chunk = b"100000\r\n" + b"x" * 0x100000 + b"\r\n"
    many = guard.MOST_FORM_BYTES // 0x100000 + 2
    head = b"POST /kit/hold HTTP/1.1\r\nHost: 127.0.0.1\r\nOrigin: http://127.0.0.1:%d\r\n" % served.port
    head = head.replace(b"Host: 127.0.0.1", b"Host: 127.0.0.1:%d" % served.port)
    head += b"Transfer-Encoding: chunked\r\nConnection: close\r\n\r\n"
    answer = served.raw(head + chunk * many + b"0\r\n\r\n", 30)
    assert answer.startswith(b"HTTP/1.1 413"), answer[:100]


def test_a_shorter_body_than_was_said_is_waited_for_without_harm(served: Served) -> None:
    """A caller who promises more than he sends holds up nobody, and what he sent is not acted on."""
    with socket.create_connection(("127.0.0.1", served.port)) as line:
        line.sendall(b"POST /adding HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 1000\r\n\r\ntoken=x")
        assert served.get().status == 200
        line.settimeout(0.3)
        with pytest.raises(TimeoutError):
            line.recv(1)


def test_slow_callers_hold_up_nobody(served: Served) -> None:
    """Callers who send a request sign by sign take no thread: two thirds of the connections may do so.

    Source: the attack as OWASP describes slow HTTP requests, from memory.
    """
    slow = [socket.create_connection(("127.0.0.1", served.port)) for _ in range(CONNECTIONS * 2 // 3)]
    try:
        for line in slow:
            line.sendall(b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX: ")
        for line in slow:
            line.sendall(b"a")
        began = time.monotonic()
        assert served.get().status == 200
        assert time.monotonic() - began < 10
    finally:
        for line in slow:
            line.close()


def test_what_a_caller_says_of_himself_is_not_believed(served: Served) -> None:
    """No header moves a caller to another address or the desk to another name."""
    for name in ("X-Forwarded-Host", "X-Host", "X-Original-Host", "Forwarded"):
        assert served.get(**{name: "elsewhere.example", "Host": "127.0.0.1"}).status == 200
        assert served.get(**{name: "127.0.0.1", "Host": "elsewhere.example"}).status == 403


def test_a_caller_cannot_change_his_name_to_try_again(closed: Visit) -> None:
    """Tries are counted by where they come from, whatever X-Forwarded-For says."""
    for n in range(5):
        heads = {"X-Forwarded-For": f"192.0.2.{n}", "Forwarded": f"for=192.0.2.{n}"}
        closed.post("/door", {"phrase": "wrong"}, "/door", headers=heads)
    answer = closed.post("/door", {"phrase": PHRASE}, "/door", headers={"X-Forwarded-For": "192.0.2.99"})
    assert answer.status_code == 429


@pytest.mark.parametrize(
    ("heads", "status"),
    [
        ({"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors", "Sec-Fetch-Dest": "image"}, 403),
        ({"Sec-Fetch-Site": "same-site", "Sec-Fetch-Mode": "no-cors", "Sec-Fetch-Dest": "script"}, 403),
        ({"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "iframe"}, 403),
        ({"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "object"}, 403),
        ({"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "cors", "Sec-Fetch-Dest": "empty"}, 403),
        ({"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "document"}, 200),
        ({"Sec-Fetch-Site": "same-origin", "Sec-Fetch-Mode": "cors", "Sec-Fetch-Dest": "empty"}, 200),
        ({"Sec-Fetch-Site": "none", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "document"}, 200),
    ],
)
def test_no_page_elsewhere_loads_a_part_of_the_desk(held: Path, heads: dict[str, str], status: int) -> None:
    """A foreign page gets no picture, frame or answer of the desk, nor can it make it work through them; a
    link that a person follows leads here (W3C, Fetch Metadata Request Headers)."""
    for at in ("/", "/part?number=7731-20", "/static/desk.js"):
        assert visit(held).get(at, headers=heads).status_code == status


def test_no_answer_may_be_framed_guessed_at_or_passed_on(closed: Visit, held: Path) -> None:
    """Every answer, errors and redirects too, forbids frames and guessing of kinds, keeps its address from
    other sites, and grants no other origin a look (RFC 7034; WHATWG Fetch)."""
    for desk in (closed, visit(held)):
        for at in (
            "/",
            "/door",
            "/doubts",
            "/nothing",
            "/adding/x",
            "/static/desk.css",
            "/static/none",
            "/sheet.css",
        ):
            heads = desk.get(at, headers={"Origin": "http://x.example"}).headers
            assert "frame-ancestors 'none'" in heads["Content-Security-Policy"]
            assert heads["X-Frame-Options"] == "DENY"
            assert heads["X-Content-Type-Options"] == "nosniff"
            assert heads["Referrer-Policy"] == "same-origin"
            assert heads["Cross-Origin-Resource-Policy"] == "same-origin"
            assert not [name for name, _ in heads if name.lower().startswith("access-control")]


def test_private_pages_stay_in_no_cache(closed: Visit, held: Path) -> None:
    """Pages, sheets, JSON and redirects are kept by no cache; pictures of a desk with a pass phrase are asked
    for again each time (RFC 9111, section 5.2.2). Styles may be kept: they tell nothing."""
    opened = visit(held)
    for at in ("/", "/doubts", "/sheet/week", "/part?number=7731-20", "/nothing", "/kit/verdict?kit=7751-1"):
        assert opened.get(at).headers["Cache-Control"] == "no-store", at
        assert closed.get(at).headers["Cache-Control"] == "no-store", at
    scripted = opened.client.post("/adding", headers={"X-Token": opened.token("/adding")})
    assert scripted.is_json
    assert scripted.headers["Cache-Control"] == "no-store"
    assert opened.get("/static/desk.css").headers.get("Cache-Control") != "no-store"
    name = "0" * 32 + ".png"
    (held / "pictures").mkdir(exist_ok=True)
    (held / "pictures" / name).write_bytes(b"\x89PNG\r\n\x1a\n")
    try:
        closed.post("/door", {"phrase": PHRASE}, "/door")
        assert closed.get(f"/picture/{name}").headers["Cache-Control"] == "private, no-cache"
        assert "immutable" in opened.get(f"/picture/{name}").headers["Cache-Control"]
        assert closed.get(f"/picture/{name}", headers={"Range": "bytes=0-3"}).data == b"\x89PNG"
        assert closed.get(f"/picture/{name}", headers={"Range": "bytes=99-"}).status_code == 416
        closed.post("/door/leave", {}, "/door")
        assert closed.get(f"/picture/{name}").status_code == 302
    finally:
        (held / "pictures" / name).unlink()


@pytest.mark.parametrize("method", ["TRACE", "CONNECT", "PUT", "PATCH", "DELETE", "PROPFIND"])
def test_other_methods_do_nothing(method: str, held: Path) -> None:
    """Methods that no page takes are refused, with or without the token; TRACE gives nothing back."""
    desk = visit(held)
    for heads in ({}, {"X-Token": desk.token("/doubts"), "Cookie2": "x"}):
        answer = desk.client.open("/doubts", method=method, headers=heads)
        assert answer.status_code in (403, 405)
        assert "Cookie2" not in answer.text


def test_head_and_options_tell_no_more_than_a_page(closed: Visit) -> None:
    """Without the pass phrase HEAD and OPTIONS lead to the door too; HEAD has no body (RFC 9110, 9.3.2)."""
    for method in ("HEAD", "OPTIONS"):
        assert closed.client.open("/doubts", method=method).status_code == 302
    assert closed.client.head("/door").data == b""


def test_nobody_outside_makes_the_desk_read_a_form(held: Path, phrase_hash: str) -> None:
    """Whoever has not given the pass phrase is sent to the door before a byte of his form is looked at; so is
    a form without any visitor's token."""

    class Unread(io.BytesIO):
        def read(self, *_: object) -> bytes:
            raise AssertionError("the form was read")

        readline = readinto = read  # type: ignore[assignment]  # each way of reading

    about = {
        "CONTENT_TYPE": "multipart/form-data; boundary=b",
        "CONTENT_LENGTH": "999",
        "wsgi.input_terminated": True,
    }
    for desk, at, status in (
        (visit(held, pass_hash=phrase_hash), "/adding", 302),
        (visit(held), "/adding", 403),
    ):
        answer = desk.client.post(at, environ_overrides={**about, "wsgi.input": Unread()})
        assert answer.status_code == status


def test_many_fields_and_long_words_are_refused(held: Path) -> None:
    """More fields or longer words than a form of the desk has end in 413, and nothing is stored."""
    desk = visit(held)
    token = desk.token("/shop-note")
    # each with a byte: the form reader may take two empty ones for one where a chunk ends between them
    many = {"token": token, **{f"f{n}": (io.BytesIO(b"x"), "x") for n in range(MOST_PARTS + 1)}}
    assert desk.client.post("/shop-note", data=many).status_code == 413
    long = {"token": token, "text": "x" * (MOST_WORDS + 1)}
    split = {"token": token, **{f"f{n}": "x" * 1000 for n in range(MOST_WORDS // 1000 + 1)}}
    for data in (long, split):
        in_parts = data | {"photo": (io.BytesIO(b"x"), "x.png")}
        assert desk.client.post("/shop-note", data=data).status_code in (400, 413)
        assert desk.client.post("/shop-note", data=in_parts).status_code in (400, 413)
    long_part = long | {"photo": (io.BytesIO(b"x"), "x.png")}
    assert desk.client.post("/shop-note", data=long_part).status_code == 413
    assert "SHOP-" not in desk.get("/shop-notes").text
    nested = b"--b\r\nContent-Disposition: form-data; name=x\r\n" + b"X: y\r\n" * 200_000 + b"\r\n\r\n--b--"
    began = time.process_time()
    answer = desk.client.post(
        "/shop-note", data=nested, content_type="multipart/form-data; boundary=b", headers={"X-Token": token}
    )
    assert answer.status_code in (400, 413)
    assert time.process_time() - began < 5


def test_a_copied_cookie_opens_nothing_after_leaving(closed: Visit) -> None:
    """Leaving ends the visit at the desk, not only in the browser, and has the browser drop what it kept."""
    closed.post("/door", {"phrase": PHRASE}, "/door")
    closed.get("/door")  # a page with a form, as any visitor has one
    name = closed.client.application.config["SESSION_COOKIE_NAME"]
    stolen = closed.client.get_cookie(name)
    assert stolen is not None
    thief = closed.client.application.test_client()
    thief.set_cookie(name, stolen.value)
    assert thief.get("/doubts").status_code == 200
    answer = closed.post("/door/leave", {}, "/door")
    assert '"cache"' in answer.headers["Clear-Site-Data"]
    assert thief.get("/doubts").status_code == 302


def test_a_cookie_from_before_the_door_is_worth_nothing_behind_it(closed: Visit) -> None:
    """Whoever plants his own cookie in another's browser learns nothing when that one enters (fixation).

    Source: OWASP's description of session fixation, from memory.
    """
    token = closed.token("/door")
    name = closed.client.application.config["SESSION_COOKIE_NAME"]
    planted = closed.client.get_cookie(name)
    assert planted is not None
    closed.client.post("/door", data={"phrase": PHRASE, "token": token})
    assert closed.get("/doubts").status_code == 200
    thief = closed.client.application.test_client()
    thief.set_cookie(name, planted.value)
    assert thief.get("/doubts").status_code == 302
    assert closed.token("/door") != token


def test_a_cookie_that_says_it_is_in_is_not_believed(closed: Visit, held: Path, phrase_hash: str) -> None:
    """A cookie signed by another desk, or by this one before it was started anew, opens nothing."""
    other = visit(held, pass_hash=phrase_hash)
    other.post("/door", {"phrase": PHRASE}, "/door")
    other.get("/door")
    name = closed.client.application.config["SESSION_COOKIE_NAME"]
    theirs = other.client.get_cookie(name)
    assert theirs is not None
    closed.client.set_cookie(name, theirs.value)
    assert closed.get("/doubts").status_code == 302
    with closed.client.session_transaction() as session:
        session["in"] = True
    assert closed.get("/doubts").status_code == 302


def test_a_visit_ends_by_itself() -> None:
    """After a working day without a call, and after a day however busy; the oldest of too many goes."""
    now = [0.0]
    desk = Visitors(clock=lambda: now[0])
    idle, busy = desk.let_in(), desk.let_in()
    while now[0] <= LONGEST:
        assert desk.inside(busy)
        now[0] += UNUSED / 2
    assert not desk.inside(idle)
    assert not desk.inside(busy)
    assert not desk.inside(None)
    first = desk.let_in()
    for _ in range(visitors.MOST):
        desk.let_in()
    assert not desk.inside(first)


def test_all_callers_together_have_a_limit() -> None:
    """One who takes a new address for each try comes to an end; who sits at the machine may still enter."""
    now = [0.0]
    tries = Tries(clock=lambda: now[0])
    for n in range(MOST_WRONG):
        assert tries.admit(f"192.0.2.{n + 1}") == 0
    assert tries.admit("198.51.100.1") > 0
    assert tries.admit("127.0.0.1") == 0
    tries.passed("127.0.0.1")
    now[0] += HOUR
    assert tries.admit("198.51.100.1") == 0


def test_an_ipv4_caller_in_ipv6_clothes_is_himself() -> None:
    """Addresses mapped into IPv6 are not one caller (RFC 4291, section 2.5.5.2)."""
    tries = Tries(clock=lambda: 0.0)
    for _ in range(5):
        tries.admit("::ffff:192.0.2.1")
    assert tries.admit("192.0.2.1") > 0
    assert tries.admit("::ffff:192.0.2.2") == 0


READING = {
    sqlite3.SQLITE_SELECT, sqlite3.SQLITE_READ, sqlite3.SQLITE_FUNCTION, sqlite3.SQLITE_RECURSIVE,
    sqlite3.SQLITE_PRAGMA,
}  # fmt: skip


def test_no_page_that_is_only_looked_at_can_write(fresh: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """SQLite's authorizer sees no page do anything but read, and not one byte of the database changes."""
    seen: list[int] = []

    def only_reading(action: int, what: str | None, *_: object) -> int:
        seen.append(action)
        # what SQLite asks itself while it opens a search index; the file's bytes are compared below
        declared = action == sqlite3.SQLITE_UPDATE and what == "sqlite_master"
        return sqlite3.SQLITE_OK if action in READING or declared else sqlite3.SQLITE_DENY

    opened = DeskStore.open

    def watched(folder: Path, **how: float) -> DeskStore:
        store = opened(folder, **how)  # type: ignore[arg-type]  # the way in which a page opens it
        store.connection.set_authorizer(only_reading)
        return store

    monkeypatch.setattr(DeskStore, "open", watched)
    before = (fresh / DATABASE).read_bytes()
    made = application(Desk(fresh))
    client = made.test_client()
    words = {"publication": "VM-30", "page": "4-12", "item": "6", "number": "VB 101", "name": "x", "id": "x"}
    query = "q=disc&publication=VM-30&page=4-12&item=6&model=VR+30&serial=5300&kit=7751-1&got=5+steel+disc"
    asked = 0
    for rule in made.url_map.iter_rules():
        if "GET" in (rule.methods or ()):
            at = rule.rule
            for name, word in words.items():
                at = at.replace(f"<{name}>", word)
            for more in ("", query, f"{query}&number=7731-20&value=1.3+mm"):
                assert client.get(f"{at}?{more}").status_code < 500, at
                asked += 1
    assert asked > 90
    assert sqlite3.SQLITE_SELECT in seen
    assert (fresh / DATABASE).read_bytes() == before


def test_a_page_s_store_refuses_to_write(held: Path) -> None:
    """The connection is opened read-only and says so for every way of writing."""
    made = application(Desk(held))
    with made.test_request_context("/"):
        from benchleaf.cli.desk.show import store

        for sql in ("DELETE FROM note", "CREATE TEMP TABLE t (x)", "PRAGMA user_version = 9", "VACUUM"):
            with pytest.raises(sqlite3.Error):
                store().connection.execute(sql)
        assert store().connection.execute("PRAGMA query_only").fetchone()[0] == 1


def test_a_query_without_end_is_stopped_in_time(held: Path) -> None:
    """A page whose query would never end is answered with 503 soon after the limit, its thread free again."""
    made = application(Desk(held))

    def slow() -> str:
        from benchleaf.cli.desk.show import store

        endless = "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n) SELECT count(*) FROM n"
        return str(store()._rows(endless))

    made.view_functions["papers.publications"] = slow
    began = time.thread_time()
    answer = made.test_client().get("/publications")
    assert answer.status_code == 503
    assert "took too long" in answer.text
    assert time.thread_time() - began < 4 * guard.MOST_SECONDS
