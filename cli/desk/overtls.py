"""TLS before the desk, by Python's own ssl and asyncio: what a caller sends is handed on, byte for byte, to
the server behind, which reads it. No caller waits for another's handshake.

The server behind listens on loopback and answers nobody but this front.
"""

import asyncio
import hashlib
import socket
import ssl
import threading
from collections import Counter
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from benchleaf.graph.errors import WrongUse

HANDSHAKE = 10.0
"""Seconds within which a caller has said what TLS needs."""
LONGEST = 900.0
"""Seconds after which a connection is cut; a browser opens another by itself."""
MOST, MOST_OF_ONE = 64, 24
"""Connections at a time: of all callers, and of one (browsers open six to a place)."""
_CHUNK = 65536
_PAUSE = 0.5  # seconds before the next caller is taken where the machine had no room for one
_PEM_FIRST = "Give the certificate with those that signed it, and the key, as PEM files."


@dataclass(frozen=True, slots=True)
class Certificate:
    """The shop's certificate and its key, ready for use, and the fingerprint by which a person knows it."""

    context: ssl.SSLContext
    fingerprint: str


def certificate(cert: Path, key: Path | None) -> Certificate:
    """Reads the PEM files; the key may stand in the certificate's own. Raises WrongUse where they cannot be
    read, do not belong together, or the key asks for a pass phrase of its own."""
    context = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
    context.minimum_version = ssl.TLSVersion.TLSv1_2

    def locked() -> str:
        raise WrongUse(f"the key in {key or cert} is encrypted", "Give one without a pass phrase of its own.")

    try:
        context.load_cert_chain(cert, key, password=locked)
        return Certificate(context, _fingerprint(cert.read_text(encoding="latin-1")))
    except (OSError, ValueError) as error:  # an SSLError is an OSError
        words = getattr(error, "reason", None) or getattr(error, "strerror", None) or "it is no PEM file"
        raise WrongUse(f"--cert, --key: {cert} cannot be used: {words}", _PEM_FIRST) from error


def _fingerprint(pem: str) -> str:
    """SHA-256 of the first certificate, as browsers show it."""
    first = pem[pem.index("-----BEGIN CERTIFICATE") :].partition("-----END CERTIFICATE-----")
    return hashlib.sha256(ssl.PEM_cert_to_DER_cert(f"{first[0]}{first[1]}")).digest().hex(":").upper()


class Callers:
    """Who is calling, by the port from which the front speaks to the server behind. Safe from threads: each
    change is one step of a dict."""

    def __init__(self) -> None:
        self._by_port: dict[str, str] = {}

    def only(self, application: Callable[..., Any]) -> Callable[..., Any]:
        """The WSGI application, answering none but the front, and told the caller's own address."""

        def called(environ: dict[str, Any], start: Callable[..., Any]) -> Any:
            caller = self._by_port.get(str(environ.get("REMOTE_PORT")))
            if caller is None:
                start("403 Forbidden", [("Content-Type", "text/plain"), ("Content-Length", "0")])
                return [b""]
            environ["REMOTE_ADDR"] = environ["REMOTE_HOST"] = caller
            return application(environ, start)

        return called

    def come(self, port: int, caller: str) -> None:
        """Notes a caller."""
        self._by_port[str(port)] = caller

    def gone(self, port: int) -> None:
        """Forgets a caller."""
        self._by_port.pop(str(port), None)


class Front:
    """Takes calls over TLS at an address and hands them to the server behind, which it runs and ends."""

    def __init__(
        self, proof: Certificate, host: str, port: int, behind: Callable[[], Any], callers: Callers
    ) -> None:
        """Listens from now on. `behind` gives the server behind. Raises OSError where the address is taken or
        not this machine's."""
        family = socket.AF_INET6 if ":" in host else socket.AF_INET
        self._listening = socket.create_server((host, port), family=family, backlog=MOST)
        self._listening.setblocking(False)
        self.effective_port = int(self._listening.getsockname()[1])
        self._context, self._callers = proof.context, callers
        self._open: Counter[str] = Counter()
        self._server = behind()
        self._end: Callable[[], object] = self._listening.close

    def run(self) -> None:
        """Serves until the server behind ends."""
        threading.Thread(target=asyncio.run, args=(self._take(),), daemon=True).start()
        self._server.run()

    def close(self) -> None:
        """Takes no more calls, and ends the server behind."""
        self._end()
        self._server.close()
        self._server.task_dispatcher.shutdown()

    async def _take(self) -> None:
        loop, task = asyncio.get_running_loop(), asyncio.current_task()
        if task is not None:
            self._end = lambda: loop.call_soon_threadsafe(task.cancel)
        with self._listening, suppress(asyncio.CancelledError):  # so `close` ends it
            await self._take_all(loop)

    async def _take_all(self, loop: asyncio.AbstractEventLoop) -> None:
        carried: set[asyncio.Task[None]] = set()
        while True:
            try:
                caller, address = await loop.sock_accept(self._listening)
            except OSError:
                await asyncio.sleep(_PAUSE)
                continue
            if self._open.total() >= MOST or self._open[address[0]] >= MOST_OF_ONE:
                caller.close()
                continue
            self._open[address[0]] += 1
            task = loop.create_task(self._carry(caller, str(address[0])))
            carried.add(task)
            task.add_done_callback(carried.discard)

    async def _carry(self, caller: socket.socket, name: str) -> None:
        """One caller's connection, from its handshake to its end; what goes wrong with it ends only it."""
        try:
            async with asyncio.timeout(LONGEST):
                await self._handed_on(caller, name)
        except (OSError, asyncio.IncompleteReadError, TimeoutError):
            pass  # he went away, spoke no TLS, or was too slow
        finally:
            caller.close()
            self._open[name] -= 1
            if not self._open[name]:
                del self._open[name]

    async def _handed_on(self, caller: socket.socket, name: str) -> None:
        loop = asyncio.get_running_loop()
        caller.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)  # a page comes in two pieces
        said = asyncio.StreamReader(loop=loop)
        protocol = asyncio.StreamReaderProtocol(said, loop=loop)
        transport, _ = await loop.connect_accepted_socket(
            lambda: protocol, caller, ssl=self._context, ssl_handshake_timeout=HANDSHAKE
        )
        answer = asyncio.StreamWriter(transport, protocol, said, loop)
        try:
            inside, outside = await asyncio.open_connection("127.0.0.1", self._server.effective_port)
            port = int(outside.get_extra_info("sockname")[1])
            self._callers.come(port, name)
            try:
                await _first_of(_pump(said, outside), _pump(inside, answer))
            finally:
                self._callers.gone(port)
                outside.close()
        finally:
            answer.close()


async def _first_of(*pumps: Any) -> None:
    """Until one side has nothing more to say."""
    tasks = [asyncio.ensure_future(pump) for pump in pumps]
    try:
        await asyncio.wait(tasks, return_when=asyncio.FIRST_COMPLETED)
    finally:
        for task in tasks:
            task.cancel()
        await asyncio.gather(*tasks, return_exceptions=True)


async def _pump(source: asyncio.StreamReader, sink: asyncio.StreamWriter) -> None:
    while words := await source.read(_CHUNK):
        sink.write(words)
        await sink.drain()
