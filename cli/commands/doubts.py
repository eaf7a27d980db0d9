"""`benchleaf doubts`: readings that wait for a person's eye."""

from pathlib import Path
from typing import TYPE_CHECKING

import click
from benchleaf.cli.options import as_json, examples
from benchleaf.cli.session import Session

if TYPE_CHECKING:
    from collections.abc import Sequence

    from benchleaf.graph.stakes import Doubt, HeadDoubt
    from benchleaf.graph.store import Store
    from benchleaf.ingest.pictures.crops import Clip

EXAMPLES = examples("doubts", 'doubts --note "SB 14-2"', "doubts --pictures", "doubts --json")


@click.command("doubts", epilog=EXAMPLES)
@click.option("--note", metavar="N", help="Only what this note says.")
@click.option(
    "--pictures",
    is_flag=True,
    help="Cut the words' place out of the original and name the picture; a hundred new ones at a time.",
)
@as_json
@click.pass_obj
def command(session: Session, note: str | None, pictures: bool, as_json: bool) -> int:
    """Readings that wait for a person's eye, grouped by what hangs on them.

    Units in work come first, then steps of held manuals, contents of kits, part numbers, notes in force,
    heads of notes (a date that can be read two ways, units that are not clear), and last what is aimed at
    papers not held.

    Each with its number, the words, where they stand, why benchleaf is not sure, and the line to type when
    you are. Until then no doubt changes a step, a part number or a kit.
    """
    from benchleaf.cli.lookup import note_or_near
    from benchleaf.graph.stakes import doubts, head_doubts

    with session.read() as store:
        if note is not None:
            note_or_near(store, note)
        found, heads = doubts(store, note), head_doubts(store, note)
        wanted = pictures or as_json
        of_doubts, of_heads = _pictures(store, found, heads, make=pictures) if wanted else ({}, {})
    if as_json:
        from benchleaf.cli.shapes import show
        from benchleaf.cli.shapes_papers import doubt_shape, head_doubt_shape

        readings = [doubt_shape(d, session.words, of_doubts.get(d.statement.id or 0)) for d in found]
        notes = [head_doubt_shape(h, session.words, of_heads.get(i)) for i, h in enumerate(heads)]
        show({"doubts": readings, "notes": notes})
    else:
        from benchleaf.cli.screen import Screen
        from benchleaf.cli.show_doubts import show_doubts

        show_doubts(Screen(), found, heads, session.words, of_doubts)
    return 0


def _pictures(
    store: "Store", found: "Sequence[Doubt]", heads: "Sequence[HeadDoubt]", *, make: bool
) -> tuple[dict[int, Path], dict[int, Path]]:
    """Pictures by statement, and by place among the heads; those kept already, or made where asked."""
    from benchleaf.ingest.pictures.crops import clip_of_head, clip_of_statement, crops

    places = {d.statement.id or 0: clip_of_statement(store, d.statement) for d in found}
    tops = {i: clip_of_head(store, h.note) for i, h in enumerate(heads)}
    wanted: list[Clip] = [clip for clip in (*places.values(), *tops.values()) if clip is not None]
    made = crops(store, wanted) if make else crops(store, wanted, most=0)
    return _of(places, made), _of(tops, made)


def _of(places: "dict[int, Clip | None]", made: "dict[Clip, Path]") -> dict[int, Path]:
    return {id: made[clip] for id, clip in places.items() if clip is not None and clip in made}
