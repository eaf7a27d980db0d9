"""Sends the desk whatever a hostile visitor could: every address, method, parameter, form, file and header.

    python tests/faults/desk_scan.py 50000 [seed]

prints how many requests were sent and what came back; a fault stops it with the request that made it. The
requests are hypothesis's, made over the addresses and the forms that the desk itself has.
"""

import io
import random
import shutil
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any
from urllib.parse import quote, quote_from_bytes

sys.path.insert(0, str(Path(__file__).parents[1] / "cli"))  # the small store is that folder's

from benchleaf.cli.desk.app import Desk, application
from benchleaf.cli.desk.taking import Taking
from benchleaf.cli.main import benchleaf
from bs4 import BeautifulSoup
from click.testing import CliRunner
from flask import Flask, Response, request
from flask.testing import FlaskClient
from hypothesis import HealthCheck, Verbosity, given, seed, settings
from hypothesis import strategies as st
from small_store import build
from werkzeug.test import TestResponse

HELD = (
    *("VM-30", "4-12", "4-13", "3", "6", "VB 101", "VB 90", "VB 114", "7751-1", "7750-1", "7731-20", "2611"),
    *("SHOP-1", "VR 30", "5300", "1", "4", "7", "12", "2026-W48", "2026-11-24", "QZ", "yes", "no", "back"),
    *("6 x 7741-5 friction disc\n5 steel disc", "1.3 mm", "caution", "change-value", "30 N·m", "on"),
)
HOSTILE = (
    *("", " ", "\0", "\n", "\r\nSet-Cookie: a=b", "../../etc/passwd", "..\\..\\x", "/", "//x.example", "%00"),
    *("%2e%2e%2f", "<script>alert(1)</script>", "\"'><img src=x>", "{{7*7}}", "${7*7}", "' OR 1=1 --", "*"),
    *(
        '"',
        "NEAR(a b)",
        "a AND",
        "9" * 30,
        "-1",
        "1e999",
        "nan",
        "∞",
        "٣",
        "\u202eVB 101",
        "\ufeff",
        "é" * 50,
    ),
    *("0001-01-01", "9999-12-31", "9999-W53", "0000-W00", "2026-W99", "2026-02-30", "x" * 5000, ";" * 200),
    *("1 x a\n" * 300, "99999999999999 x 7741-5", "0 x 7741-5", "-3 x 7741-5", "\U0001f527", "̂" * 40, "1/0"),
    *("con", "nul.txt", "a" * 300, "a\tb", "http://x.example/", "javascript:1", "0" * 32 + ".png", "\\"),
)
NAMES = (
    *("at", "back", "built", "despite", "file", "from", "initials", "item", "kit", "kits", "label", "model"),
    *("note", "number", "on", "page", "phrase", "pictures", "publication", "q", "reason", "section", "seen"),
    *("serial", "since", "to", "unit", "value", "verdict", "week", "which", "got", "found", "pub", "action"),
    *(
        "text",
        "was",
        "now",
        "models",
        "serial_from",
        "serial_to",
        "subject",
        "all",
        "plate",
        "remark",
        "doubt",
    ),
    *("found_remark", "without", "lines", "relation", "interchange", "stock", "token", "date", "kit_lines"),
)
PARTS = "multipart/form-data"
HEADS = {
    "Range": ("bytes=0-10", "bytes=-1", "bytes=9-1", "bytes=0-1,3-4", "bytes=99999999-", "x=1", "bytes="),
    "If-Range": ("x", '"y"'),
    "If-None-Match": ("*", '"x"', "W/", '"' * 200),
    "If-Modified-Since": ("Mon, 01 Jan 1900 00:00:00 GMT", "x", "Tue, 99 Foo 9999 99:99:99 GMT"),
    "Accept": ("*/*;q=x", "text/html;q=9", ""),
    "Accept-Language": ("en;q=0.0.1", "*" * 400),
    "Cookie": ("x=y", "benchleaf-0=.a.b.c", "=;;=", "session=" + "é" * 20),
    "X-Token": ("x", "wröng", ""),
    "X-Forwarded-For": ("192.0.2.1", "<x>"),
    "X-Forwarded-Host": ("x.example",),
    "X-Original-URL": ("/adding",),
    "X-HTTP-Method-Override": ("DELETE",),
    "Transfer-Encoding": ("chunked", "gzip"),
    "Content-Length": ("0", "-1", "99999999999999999999", "x", "3"),
    "Content-Type": ("", "x", "text/html", "application/json", PARTS, PARTS + "; boundary=",
                     PARTS + "; boundary=" + "b" * 300, "application/x-www-form-urlencoded; charset=utf-7"),
    "Sec-Fetch-Site": ("cross-site", "x"),
    "Expect": ("100-continue",),
    "Authorization": ("Basic !!!", "Bearer x"),
    "Referer": ("http://x.example/", "é"),
    "User-Agent": ("", "\u00ff" * 100),
}  # fmt: skip
FILES = (
    *(
        b"",
        b"\0",
        b"part,qty\n7741-5,6\n",
        b"7741-5;6\n" * 50,
        b"\xff\xfe\x00",
        b"%PDF-1.7\n%%EOF",
        b"PK\x03\x04",
    ),
    *(
        b"\x89PNG\r\n\x1a\n" + b"\0" * 40,
        b"GIF89a\xff\xff\xff\xff",
        b"=cmd|' /C x'!A1,2\n",
        b"<svg onload=x>",
    ),
    *(b"\xff\xd8\xff\xe0" + b"\0" * 30, b"{" * 2000, b"a" * 70_000),
)
METHODS = ("GET",) * 6 + ("POST",) * 3 + (
    "HEAD", "OPTIONS", "PUT", "DELETE", "PATCH", "TRACE", "CONNECT", "PROPFIND", "get", "G\u00cbT",
)  # fmt: skip
PAGES = (
    *(
        "/",
        "/doubts",
        "/jobs",
        "/job/2611",
        "/kit?kit=7751-1&got=5+steel+disc",
        "/kit?kit=7750-1",
        "/shop-note",
    ),
    *(
        "/procedure?model=VR+30&serial=5300",
        "/measure?publication=VM-30&page=4-12&item=6",
        "/page/VM-30/4-12",
    ),
    *("/adding", "/part", "/week", "/door", "/step/VM-30/4-12/3", "/note/VB+120"),
)
INSIDE = ("Traceback", "werkzeug", "jinja2", "site-packages", "sqlite3", "benchleaf.db")
A_STORE = 400
"""Requests after which the scan takes an untouched store again."""


@dataclass(frozen=True)
class Form:
    """A form of a page: where it goes, how, and what its fields hold."""

    action: str
    method: str
    fields: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Asked:
    """One request; `token` says whether it carries the visitor's own."""

    at: str
    method: str
    query: str
    fields: tuple[tuple[str, str], ...]
    files: tuple[tuple[str, str, bytes], ...]
    heads: tuple[tuple[str, str], ...]
    token: bool
    raw: bytes | None


class NothingRead(Taking):
    """Receives files as the desk does, and reads none: reading has its own faults, tried elsewhere."""

    def _read(self, batch: Any, room: Path, paths: Any) -> None:
        self._end(replace(batch, state="failed", problem="not read"), room)


@dataclass
class Scanned:
    """What was sent and what came back."""

    sent: int = 0
    statuses: Counter[int] = field(default_factory=Counter)
    methods: Counter[str] = field(default_factory=Counter)
    pages: Counter[str] = field(default_factory=Counter)


WORDS = st.one_of(
    st.sampled_from(HELD),
    st.sampled_from(HOSTILE),
    st.text(st.characters(exclude_categories=["Cs"]), max_size=30),
)
PIECE = st.one_of(WORDS.map(lambda w: quote(w, safe="")), st.binary(max_size=8).map(quote_from_bytes))


def pairs(names: st.SearchStrategy[str], most: int) -> st.SearchStrategy[tuple[tuple[str, str], ...]]:
    return st.lists(st.tuples(names, WORDS), max_size=most).map(tuple)


NAME = st.one_of(st.sampled_from(NAMES), st.sampled_from(HOSTILE))
QUERY = st.one_of(
    st.just(""),
    pairs(NAME, 6).map(lambda ps: "&".join(f"{quote(n)}={quote(w)}" for n, w in ps)),
    st.binary(max_size=30).map(quote_from_bytes),
)
HEAD = st.sampled_from([(name, value) for name, values in HEADS.items() for value in values])
FILE = st.tuples(st.sampled_from(("files", "photo", "slip", "x")), WORDS, st.sampled_from(FILES))
RAW = st.one_of(st.none(), st.none(), st.none(), st.binary(max_size=200), st.just(b"a=1&" * 3000))


def requests(rules: list[str], forms: list[Form]) -> st.SearchStrategy[Asked]:
    """Requests over the desk's addresses, and its own forms with some fields changed."""

    @st.composite
    def any_address(draw: Callable[..., Any]) -> Asked:
        rule = draw(st.sampled_from(rules))
        at = "/".join(draw(PIECE) if p.startswith("<") else p for p in rule.split("/"))
        if draw(st.integers(0, 19)) == 0:
            at += draw(PIECE)
        return Asked(
            at, draw(st.sampled_from(METHODS)), draw(QUERY), draw(pairs(NAME, 8)),
            tuple(draw(st.lists(FILE, max_size=2))), tuple(draw(st.lists(HEAD, max_size=3))),
            draw(st.integers(0, 9)) > 0, draw(RAW),
        )  # fmt: skip

    @st.composite
    def own_form(draw: Callable[..., Any]) -> Asked:
        form = draw(st.sampled_from(forms))
        changed = [(n, draw(WORDS) if draw(st.integers(0, 2)) == 0 else w) for n, w in form.fields]
        more = (*changed, *draw(pairs(NAME, 2)), ("initials", "QZ"))
        asked = "&".join(f"{quote(n)}={quote(w)}" for n, w in more) if form.method == "GET" else ""
        files = tuple(draw(st.lists(FILE, max_size=1)))
        heads = tuple(draw(st.lists(HEAD, max_size=1)))
        return Asked(form.action, form.method, asked, more, files, heads, draw(st.integers(0, 19)) > 0, None)

    return st.one_of(any_address(), own_form()) if forms else any_address()


class Scan:
    """A desk over a copy of a small store, and its visitor."""

    def __init__(self, room: Path) -> None:
        self.room, self.told = room, Scanned()
        self._kept = room / "kept"
        build(self._kept)
        self._prepare()
        self.renew()
        self.rules = sorted({r.rule for r in self.made.url_map.iter_rules()})
        self.forms = [f for page in PAGES for f in self._forms_of(page)]

    def _prepare(self) -> None:
        """A job, a hold and a shop's note, so that their pages have something to show."""
        for line in (
            "job open 2611 --model 'VR 30' --serial 5300 --kit 7751-1 --page 4-12 --initials AB",
            "kit 7751-1 --got '5 friction disc, 5 steel disc' --model 'VR 30'",
            "note --pub VM-30 --page 4-12 --item 3 --action caution --text 'Look twice.' --initials AB",
        ):
            done = CliRunner().invoke(benchleaf, f"--store {self._kept} {line}")
            assert not isinstance(done.exception, Exception), (line, done.exception)

    def renew(self) -> None:
        """An untouched store, and a visitor whom the desk has not seen."""
        store = self.room / "store"
        shutil.rmtree(store, ignore_errors=True)
        shutil.copytree(self._kept, store)
        self.made: Flask = application(Desk(store))
        self.made.logger.disabled = True  # a fault is looked for in the answer
        self.made.extensions["taking"] = NothingRead(store)
        self.made.after_request(self._counted)
        self.client: FlaskClient = self.made.test_client()
        self.token = self._token()

    def _counted(self, answer: Response) -> Response:
        self.told.pages[request.endpoint or "none"] += 1
        return answer

    def _token(self) -> str:
        found = BeautifulSoup(self.client.get("/adding").text, "html.parser").find("input", {"name": "token"})
        assert found is not None
        return str(found["value"])

    def _forms_of(self, page: str) -> Iterator[Form]:
        soup = BeautifulSoup(self.client.get(page).text, "html.parser")
        for form in soup.find_all("form"):
            named = form.find_all(["input", "textarea", "select", "button"], attrs={"name": True})
            fields = tuple(
                (str(e["name"]), str(e.get("value", e.text))) for e in named if e["name"] != "token"
            )
            yield Form(str(form.get("action") or page), str(form.get("method", "get")).upper(), fields)

    def send(self, asked: Asked) -> TestResponse:
        """Sends a request, and judges the answer: no fault, nothing of the insides, all guards on."""
        if self.told.sent and self.told.sent % A_STORE == 0:
            self.renew()
        sent = self._sent(asked)
        with watched(self.room) as written:
            answer = self.client.open(**sent)
        assert not written, (written[:5], asked)
        self.told.sent += 1
        self.told.statuses[answer.status_code] += 1
        self.told.methods[asked.method] += 1
        self._judge(asked, answer)
        self.client.delete_cookie("x")
        return answer

    def _sent(self, asked: Asked) -> dict[str, Any]:
        heads = dict(asked.heads)
        heads.setdefault("Origin", "http://localhost")
        if asked.token and asked.method not in ("GET", "HEAD", "OPTIONS"):
            heads["X-Token"] = self.token
        sent: dict[str, Any] = {
            "path": asked.at, "method": asked.method, "query_string": asked.query, "headers": heads,
        }  # fmt: skip
        if asked.raw is not None:
            sent["data"] = asked.raw
        elif asked.method not in ("GET", "HEAD", "OPTIONS"):
            files = [(name, (io.BytesIO(data), called)) for name, called, data in asked.files]
            values: dict[str, list[Any]] = {}
            for name, value in (*asked.fields, *files):
                values.setdefault(name, []).append(value)
            sent["data"] = values
        return sent

    def _judge(self, asked: Asked, answer: TestResponse) -> None:
        assert answer.status_code < 500 or answer.status_code == 503, (answer.status_code, asked)
        page = answer.get_data()
        for inside in (*INSIDE, str(self.room)):
            assert inside.encode() not in page, (inside, asked)
        for name, value in answer.headers:
            assert "\n" not in value and "\r" not in value, (name, value, asked)
        assert "default-src 'none'" in answer.headers["Content-Security-Policy"], asked
        assert answer.headers["X-Content-Type-Options"] == "nosniff", asked
        assert not answer.headers.get("Location", "/").startswith(("//", "/\\")), asked
        if answer.mimetype == "text/html":
            assert b"<script>alert(1)" not in page and b"<img src=x>" not in page, asked


_WRITES = (
    "open",
    "os.mkdir",
    "os.rename",
    "os.remove",
    "os.rmdir",
    "os.link",
    "os.symlink",
    "os.truncate",
    "shutil.move",
)
_watch: dict[str, Any] = {"on": False, "room": "", "found": []}


def _hears(event: str, told: tuple[Any, ...]) -> None:
    """Python's own word on every file opened for writing, made or moved (PEP 578)."""
    if not _watch["on"] or event not in _WRITES or not told:
        return
    if event == "open" and (len(told) < 3 or not _writes(told[1], told[2])):
        return
    for where in told[: 2 if event in ("os.rename", "os.link", "os.symlink", "shutil.move") else 1]:
        if isinstance(where, (str, bytes, Path)):
            path = Path(where.decode("utf-8", "replace") if isinstance(where, bytes) else where)
            if event in ("os.remove", "os.rmdir") and isinstance(told[-1], int) and told[-1] >= 0:
                path = Path(f"/proc/self/fd/{told[-1]}").resolve() / path  # named from an open folder
            if not path.resolve().is_relative_to(_watch["room"]) and "__pycache__" not in path.parts:
                _watch["found"].append((event, str(where)))


def _writes(mode: object, flags: object) -> bool:
    if isinstance(mode, str):
        return any(sign in mode for sign in "wax+")
    return isinstance(flags, int) and bool(flags & 0x3)  # neither "read only"


sys.addaudithook(_hears)


@contextmanager
def watched(room: Path) -> Iterator[list[tuple[str, str]]]:
    """The files that were written outside of a folder meanwhile; temporary ones belong into it too."""
    before, found = tempfile.tempdir, _watch["found"]
    tempfile.tempdir = str(room)
    found.clear()
    _watch.update(on=True, room=room.resolve())
    try:
        yield found
    finally:
        _watch["on"] = False
        tempfile.tempdir = before


def scan(count: int, number: int, room: Path, told: Callable[[Scanned], None] = lambda _: None) -> Scanned:
    """Sends so many requests. Raises AssertionError with the request that made a fault."""
    made = Scan(room)

    @seed(number)
    @settings(max_examples=count, deadline=None, database=None, verbosity=Verbosity.quiet,
              suppress_health_check=list(HealthCheck))  # fmt: skip
    @given(requests(made.rules, made.forms))
    def each(asked: Asked) -> None:
        made.send(asked)
        if made.told.sent % 1000 == 0:
            told(made.told)

    each()
    return made.told


def main() -> int:
    """The scan as a command."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 50_000
    number = int(sys.argv[2]) if len(sys.argv) > 2 else random.randrange(2**32)
    print(f"seed {number}", flush=True)
    with tempfile.TemporaryDirectory() as folder:
        done = scan(count, number, Path(folder), lambda t: print(t.sent, dict(t.statuses), flush=True))
    print(f"{done.sent} requests; statuses {dict(sorted(done.statuses.items()))}")
    print(f"methods {dict(done.methods.most_common())}")
    print(f"pages {dict(done.pages.most_common())}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
