"""Starting the desk: at which address, under which names, and who may reach it."""

import socket
from collections.abc import Callable
from dataclasses import dataclass
from ipaddress import ip_address
from pathlib import Path
from typing import Any

from benchleaf.cli.desk.app import MOST_BYTES, Desk, application
from benchleaf.cli.desk.passphrase import kept_hash
from benchleaf.graph.errors import StoreProblem, WrongUse

THREADS = 4
_LOOPBACK_NAMES = ("127.0.0.1", "localhost", "[::1]")
_SET = "Set one first: benchleaf desk --set-pass-phrase."


@dataclass(frozen=True, slots=True)
class Place:
    """A desk and the address at which it is to answer; port 0 takes a free one."""

    desk: Desk
    host: str
    port: int

    @property
    def asks(self) -> bool:
        """Whether it asks for a pass phrase."""
        return self.desk.pass_hash is not None


def place(folder: Path, host: str, port: int) -> Place:
    """Where a desk over this store answers. Raises WrongUse for an address beyond this machine's loopback
    while no pass phrase is set, and for one that cannot be understood."""
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
        return Place(Desk(folder, own, kept), str(address), port)
    if kept is None:
        raise WrongUse(f"{address} can be reached by others, and no pass phrase is set", _SET)
    name = socket.gethostname().lower()
    hosts = (*_LOOPBACK_NAMES, str(address), name, f"{name.partition('.')[0]}.local")
    return Place(Desk(folder, hosts, kept, any_address=address.is_unspecified), str(address), port)


def serve(at: Place, told: Callable[[str], None]) -> int:
    """Serve until Ctrl-C; `told` hears the address once it answers. Raises StoreProblem as `listening`."""
    server = listening(at)
    told(address_of(at, server))
    server.run()  # ends by itself on Ctrl-C
    return 0


def listening(at: Place) -> Any:
    """waitress's server of the desk, listening but not yet running. Raises StoreProblem where the address is
    taken or not this machine's."""
    import waitress  # type: ignore[import-untyped]  # ships no types

    try:
        return waitress.create_server(
            application(at.desk),
            host=at.host,
            port=at.port,
            threads=THREADS,
            ident="benchleaf",
            max_request_body_size=MOST_BYTES + 2**20,  # the application's own page tells the limit
        )
    except OSError as error:
        raise StoreProblem(
            f"the desk cannot answer at {at.host}, port {at.port}: {error.strerror or error}",
            "Choose another --port, or end the program that answers there.",
        ) from error


def address_of(at: Place, server: Any) -> str:
    """The address for a browser on this machine."""
    port, shown = int(server.effective_port), {"0.0.0.0": "127.0.0.1", "::": "::1"}.get(at.host, at.host)
    return f"http://[{shown}]:{port}/" if ":" in shown else f"http://{shown}:{port}/"
