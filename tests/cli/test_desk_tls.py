"""The desk over TLS: the shop's own certificate, each caller known by his address, none held up by others."""

import http.client
import json
import socket
import ssl
import sys
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from benchleaf.cli.desk.overtls import MOST_OF_ONE, certificate
from benchleaf.cli.desk.passphrase import keep
from benchleaf.cli.desk.serving import address_of, listening, place
from benchleaf.cli.desk.tries import FREE
from benchleaf.cli.main import benchleaf
from benchleaf.graph.errors import WrongUse
from click.testing import CliRunner
from small_store import build

trustme = pytest.importorskip(
    "trustme", reason="trustme, which makes certificates for tests, is not installed"
)

PHRASE = "four plain words here"


@dataclass
class Papers:
    cert: Path
    key: Path
    trust: ssl.SSLContext


@pytest.fixture(scope="module")
def papers(tmp_path_factory: pytest.TempPathFactory) -> Papers:
    """A certificate for 127.0.0.1, its key, and who trusts it."""
    folder = tmp_path_factory.mktemp("papers")
    signer = trustme.CA()
    made = signer.issue_cert("127.0.0.1")
    (folder / "desk.pem").write_bytes(b"".join(part.bytes() for part in made.cert_chain_pems))
    (folder / "desk.key").write_bytes(made.private_key_pem.bytes())
    trust = ssl.create_default_context()
    signer.configure_trust(trust)
    return Papers(folder / "desk.pem", folder / "desk.key", trust)


@dataclass
class Served:
    port: int
    inner: int
    trust: ssl.SSLContext

    def call(self, source: str = "127.0.0.1") -> http.client.HTTPSConnection:
        return http.client.HTTPSConnection(
            "127.0.0.1", self.port, timeout=20, context=self.trust, source_address=(source, 0)
        )


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory, papers: Papers) -> Iterator[Served]:
    folder = build(tmp_path_factory.mktemp("tls") / "store")
    keep(folder, PHRASE)
    at = place(folder, "127.0.0.1", 0, certificate(papers.cert, papers.key))
    server = listening(at)
    threading.Thread(target=server.run, daemon=True).start()
    assert address_of(at, server).startswith("https://127.0.0.1:")
    yield Served(server.effective_port, server._server.effective_port, papers.trust)
    server.close()


def answered(call: http.client.HTTPSConnection, method: str, at: str, **how: object) -> tuple[int, str, str]:
    call.request(method, at, **how)  # type: ignore[arg-type]  # a test's body and heads
    answer = call.getresponse()
    return answer.status, answer.headers.get("Set-Cookie", ""), answer.read().decode()


def test_pages_come_over_tls_with_a_cookie_for_tls_alone(served: Served) -> None:
    """The cookie is Secure, and its __Host- prefix lets no other name or port plant one (RFC 6265bis)."""
    status, cookie, page = answered(served.call(), "GET", "/door")
    assert status == 200
    assert "pass phrase" in page
    assert cookie.startswith("__Host-benchleaf-")
    assert "; Secure" in cookie and "Path=/" in cookie and "Domain" not in cookie


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux answers on all of 127.0.0.0/8 as it is")
def test_each_caller_is_known_by_his_own_address(served: Served) -> None:
    """The front hands on who is calling: one who tried too often holds up no other."""

    def tried(source: str) -> int:
        call = served.call(source)
        _, cookie, page = answered(call, "GET", "/door")
        token = page.partition('name="token" value="')[2].partition('"')[0]
        heads = {
            "Cookie": cookie.partition(";")[0],
            "Origin": f"https://127.0.0.1:{served.port}",
            "Content-Type": "application/x-www-form-urlencoded",
        }
        return answered(call, "POST", "/door", body=f"token={token}&phrase=wrong", headers=heads)[0]

    assert [tried("127.0.0.2") for _ in range(FREE)] == [403] * FREE
    assert tried("127.0.0.2") == 429
    assert tried("127.0.0.3") == 403


def test_the_server_behind_answers_nobody_else(served: Served) -> None:
    """Its plain port on loopback refuses whoever does not come through the front."""
    call = http.client.HTTPConnection("127.0.0.1", served.inner, timeout=10)
    call.request("GET", "/door")
    answer = call.getresponse()
    assert answer.status == 403
    assert answer.read() == b""


@pytest.mark.filterwarnings("ignore:ssl.TLSVersion.TLSv1_1:DeprecationWarning")  # it is what must fail
def test_a_caller_without_tls_gets_nothing(served: Served) -> None:
    """Plain HTTP and old TLS are cut off (RFC 8996 forbids TLS below 1.2)."""
    with socket.create_connection(("127.0.0.1", served.port), timeout=15) as line:
        line.sendall(b"GET /door HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")
        assert b"HTTP/1" not in line.recv(1000)
    old = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    old.check_hostname, old.verify_mode = False, ssl.CERT_NONE
    old.maximum_version = ssl.TLSVersion.TLSv1_1
    with socket.create_connection(("127.0.0.1", served.port), timeout=15) as line, pytest.raises(OSError):
        old.wrap_socket(line)


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux answers on all of 127.0.0.0/8 as it is")
def test_silent_callers_hold_up_nobody(served: Served) -> None:
    """Callers who connect and say nothing fill only their own share of the connections."""
    silent = [
        socket.create_connection(("127.0.0.1", served.port), source_address=("127.0.0.9", 0))
        for _ in range(2 * MOST_OF_ONE)
    ]
    try:
        began = time.monotonic()
        assert answered(served.call(), "GET", "/door")[0] == 200
        assert time.monotonic() - began < 8
    finally:
        for line in silent:
            line.close()


def test_what_is_no_certificate_is_told(papers: Papers, tmp_path: Path) -> None:
    """A wrong file, a key of another certificate and an encrypted key each end in plain words."""
    other = tmp_path / "other.key"
    other.write_bytes(trustme.CA().issue_cert("127.0.0.1").private_key_pem.bytes())
    empty = tmp_path / "empty.pem"
    empty.write_text("no certificate\n")
    for cert, key in ((empty, None), (papers.cert, other), (papers.cert, None), (tmp_path / "none", None)):
        with pytest.raises(WrongUse, match="cannot be used"):
            certificate(cert, key)
    from cryptography.hazmat.primitives.serialization import (
        BestAvailableEncryption,
        Encoding,
        PrivateFormat,
        load_pem_private_key,
    )

    plain = load_pem_private_key(papers.key.read_bytes(), None)
    locked = tmp_path / "locked.key"
    how = BestAvailableEncryption(b"x")
    locked.write_bytes(plain.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, how))
    with pytest.raises(WrongUse, match="encrypted"):
        certificate(papers.cert, locked)


def test_the_fingerprint_is_what_a_browser_shows(papers: Papers) -> None:
    """SHA-256 over the certificate's DER form, as the ssl module computes it from a live connection's."""
    from hashlib import sha256

    first = papers.cert.read_text().split("-----END CERTIFICATE-----")[0] + "-----END CERTIFICATE-----\n"
    expected = sha256(ssl.PEM_cert_to_DER_cert(first)).hexdigest()
    assert certificate(papers.cert, papers.key).fingerprint.replace(":", "").lower() == expected


def test_another_address_without_a_certificate_is_refused(fresh: Path) -> None:
    """The command names both ways out: a certificate, or saying that it goes unencrypted."""
    keep(fresh, PHRASE)
    line = ["--store", str(fresh), "desk", "--no-open", "--json", "--host", "192.0.2.7"]
    problem = CliRunner().invoke(benchleaf, line, standalone_mode=False).exception
    assert isinstance(problem, WrongUse)
    assert "--cert" in problem.remedy and "--unencrypted" in problem.remedy
    assert json.dumps(problem.message)
    alone = CliRunner().invoke(benchleaf, [*line, "--key", __file__], standalone_mode=False).exception
    assert isinstance(alone, WrongUse)
    assert "--cert" in alone.message
