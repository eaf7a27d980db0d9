"""`benchleaf desk`: the answers as local web pages."""

from pathlib import Path
from typing import TYPE_CHECKING

import click
from benchleaf.cli.options import as_json, examples
from benchleaf.cli.session import Session
from benchleaf.graph.errors import BenchleafError, WrongUse

if TYPE_CHECKING:
    from benchleaf.cli.desk.serving import Place

EXAMPLES = examples(
    "desk",
    "desk --port 8080 --no-open",
    "desk --set-pass-phrase",
    "desk --host 192.0.2.7 --cert desk.pem --key desk.key --no-open",
)
_PEM = click.Path(exists=True, dir_okay=False, path_type=Path)


class NoDesk(BenchleafError):
    """What the desk runs on is not installed."""


@click.command("desk", epilog=EXAMPLES)
@click.option("--port", metavar="N", type=click.IntRange(0, 65535), default=7350, show_default=True)
@click.option(
    "--host",
    metavar="ADDRESS",
    default="127.0.0.1",
    show_default=True,
    help="This machine's address that answers; another than its own loopback needs a pass phrase and a"
    " certificate.",
)
@click.option("--cert", metavar="FILE", type=_PEM, help="A certificate (PEM), to be called by https.")
@click.option("--key", metavar="FILE", type=_PEM, help="Its key (PEM), if not in the same file.")
@click.option("--unencrypted", is_flag=True, help="Answer at another address without a certificate.")
@click.option("--no-open", "quiet", is_flag=True, help="Do not open a browser.")
@click.option("--set-pass-phrase", "set_phrase", is_flag=True, help="Ask for a pass phrase, keep it hashed.")
@as_json
@click.pass_obj
def command(
    session: Session,
    /,
    port: int,
    host: str,
    cert: Path | None,
    key: Path | None,
    unencrypted: bool,
    quiet: bool,
    set_phrase: bool,
    as_json: bool,
) -> int:
    """The answers as pages for a browser: search, pages, procedures, kits, doubts, adding papers.

    Only this machine reaches them, unless --host names another of its addresses; then everyone in that
    network does who knows the pass phrase. With --cert it goes encrypted; with --unencrypted instead,
    everyone in that network can read along, the pass phrase too. It ends with Ctrl-C. With --json the address
    is printed as an object.
    """
    _installed()
    if set_phrase:
        return _set_phrase(session, as_json=as_json)
    if key is not None and cert is None:
        raise WrongUse("--key is given without --cert", "Give the certificate too.")
    from benchleaf.cli.desk.overtls import certificate
    from benchleaf.cli.desk.serving import place, serve

    proof = None if cert is None else certificate(cert, key)
    at = place(session.folder, host, port, proof, unencrypted=unencrypted)
    return serve(at, lambda address: _told(at, address, quiet=quiet, as_json=as_json))


def _installed() -> None:
    try:
        import flask  # noqa: F401  # only whether it is there
        import waitress  # type: ignore[import-untyped]  # noqa: F401  # only whether it is there
    except ImportError as error:
        raise NoDesk(
            f"the desk needs {error.name}, which is not installed",
            "Type: pip install 'benchleaf[desk]'",
        ) from error


def _set_phrase(session: Session, *, as_json: bool) -> int:
    from benchleaf.cli.desk.passphrase import keep

    if not session.folder.is_dir():
        raise WrongUse(f"there is no store in {session.folder} yet", "Add your papers first: benchleaf add.")
    phrase = click.prompt("Pass phrase", hide_input=True, confirmation_prompt="Again", err=True)
    kept = keep(session.folder, phrase)
    if as_json:
        from benchleaf.cli.shapes import show

        show({"pass_phrase": str(kept)})
    else:
        click.echo(
            f"Kept, hashed, in {kept}. The desk asks for it from its next start; without the file not."
        )
    return 0


def _told(at: "Place", address: str, *, quiet: bool, as_json: bool) -> None:
    """Where the desk answers, told once it does."""
    if as_json:
        from benchleaf.cli.shapes import show

        show({"desk": address} | ({"fingerprint": at.proof.fingerprint} if at.proof else {}))
    else:
        click.echo(f"The desk is at {address}  (it ends with Ctrl-C)")
        if at.asks:
            click.echo("It asks for the pass phrase.")
        if at.proof:
            click.echo(f"Its certificate's SHA-256 fingerprint: {at.proof.fingerprint}")
    if at.in_clear:
        click.echo("What goes over the network is not encrypted, the pass phrase neither.", err=True)
    if not quiet:
        import webbrowser

        webbrowser.open(address)
