"""`benchleaf page`: a manual page with every note that overrides it."""

import click
from benchleaf.cli.options import as_json, examples
from benchleaf.cli.session import Session

EXAMPLES = examples("page MS-40 4-12", "page ms40 4.12", "page MS-40 4-12 --json")


@click.command("page", epilog=EXAMPLES)
@click.argument("pub")
@click.argument("page")
@as_json
@click.pass_obj
def command(session: Session, pub: str, page: str, as_json: bool) -> int:
    """A manual page with every note that overrides it.

    Each step shows its old words struck and the new words beside them, with the number and date of the note
    that made them; doubtful readings with the reason; cancelled ones in a line. No unit is meant: see
    `benchleaf procedure` for what holds for yours.
    """
    from benchleaf.graph.page import page_answer

    with session.read() as store:
        answer = page_answer(store, pub, page)
        if as_json:
            from benchleaf.cli.pagepicture import page_picture
            from benchleaf.cli.shapes import show
            from benchleaf.cli.shapes_answers import page_shape

            show(page_shape(answer, page_picture(store, answer)))
            return 0
    from benchleaf.cli.screen import Screen
    from benchleaf.cli.show_page import show_page

    show_page(Screen(), answer)
    return 0
