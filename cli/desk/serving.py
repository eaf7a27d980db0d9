"""Starting the desk: at which address, under which names, and who may reach it."""

import socket
from collections.abc import Callable
from dataclasses import dataclass
from ipaddress import ip_address
from pathlib import Path
from typing import Any

from benchleaf.cli.desk.app import MOST_BYTES, Desk, application
from benchleaf.cli.desk.overtls import Callers, Certificate, Front
from benchleaf.cli.desk.passphrase import kept_hash
from benchleaf.graph.errors import StoreProblem, WrongUse
from flask import Flask

THREADS = 4
CONNECTIONS, IDLE = 100, 60
"""Connections at a time, and the seconds after which a silent one is closed."""
HEAD_BYTES = 64 * 1024
"""The longest head of a request, its address included."""
_LOOPBACK_NAMES = ("127.0.0.1", "localhost", "[::1]")
_SET = "Set one first: benchleaf desk --set-pass-phrase."
_IN_CLEAR = "everyone in that network could read the pass phrase and the papers: there is no certificate"
_COVER = (
    "Give one with --cert and --key (README, “On a tablet”, tells how to make it), or say --unencrypted to "
    "go without."
)


@dataclass(frozen=True, slots=True)
class Place:
    """A desk and the address at which it is to answer; port 0 takes a free one."""

    desk: Desk
    host: str
    port: int
    proof: Certificate | None = None

    @property
    def asks(self) -> bool:
        """Whether it asks for a pass phrase."""
        return self.desk.pass_hash is not None

    @property
    def in_clear(self) -> bool:
        """Whether others could read what goes over the network."""
        return self.proof is None and not ip_address(self.host).is_loopback


def place(
    folder: Path, host: str, port: int, proof: Certificate | None = None, *, unencrypted: bool = False
) -> Place:
    """Where a desk over this store answers, over TLS with a certificate. Raises WrongUse for an address
    beyond this machine's loopback while no pass phrase is set or, unless `unencrypted`, without a
    certificate, and for one that cannot be understood."""
    kept = kept_hash(folder)
    found = "127.0.0.1" if host.strip().lower() == "localhost" else host.strip().strip("[]")
    try:
        address = ip_address(found)
    except ValueError as error:
        raise WrongUse(
            f"--host: {host!r} is no address", "Give one in figures, such as 192.0.2.7, or 0.0.0.0 for all."
        ) from error
    if address.is_loopback:
        own = (*_LOOPBACK_NAMES, str(address))
        return Place(Desk(folder, own, kept, over_tls=proof is not None), str(address), port, proof)
    if kept is None:
        raise WrongUse(f"{address} can be reached by others, and no pass phrase is set", _SET)
    if proof is None and not unencrypted:
        raise WrongUse(_IN_CLEAR, _COVER)
    name = socket.gethostname().lower()
    hosts = (*_LOOPBACK_NAMES, str(address), name, f"{name.partition('.')[0]}.local")
    wide = address.is_unspecified
    made = Desk(folder, hosts, kept, any_address=wide, over_tls=proof is not None)
    return Place(made, str(address), port, proof)


def serve(at: Place, told: Callable[[str], None]) -> int:
    """Serve until Ctrl-C; `told` hears the address once it answers. Raises StoreProblem as `listening`."""
    server = listening(at)
    told(address_of(at, server))
    server.run()  # ends by itself on Ctrl-C
    return 0


def listening(at: Place) -> Any:
    """The server of the desk, listening but not yet running: waitress's own, or a front that speaks TLS
    before one on loopback. Raises StoreProblem where the address is taken or not this machine's."""
    try:
        if at.proof is None:
            return _server(application(at.desk), at.host, at.port, "http")
        made, callers = application(at.desk), Callers()
        made.wsgi_app = callers.only(made.wsgi_app)  # type: ignore[method-assign]  # Flask's documented place
        return Front(at.proof, at.host, at.port, lambda: _server(made, "127.0.0.1", 0, "https"), callers)
    except OSError as error:
        raise StoreProblem(
            f"the desk cannot answer at {at.host}, port {at.port}: {error.strerror or error}",
            "Choose another --port, or end the program that answers there.",
        ) from error


def _server(made: Flask, host: str, port: int, scheme: str) -> Any:
    import waitress  # type: ignore[import-untyped]  # ships no types

    return waitress.create_server(
        made,
        host=host,
        port=port,
        threads=THREADS,
        ident="benchleaf",
        url_scheme=scheme,
        connection_limit=CONNECTIONS,
        channel_timeout=IDLE,
        max_request_header_size=HEAD_BYTES,
        max_request_body_size=MOST_BYTES + 2**20,  # the application's own page tells the limit
    )


def address_of(at: Place, server: Any) -> str:
    """The address for a browser on this machine."""
    port, shown = int(server.effective_port), {"0.0.0.0": "127.0.0.1", "::": "::1"}.get(at.host, at.host)
    scheme = "http" if at.proof is None else "https"
    return f"{scheme}://[{shown}]:{port}/" if ":" in shown else f"{scheme}://{shown}:{port}/"
