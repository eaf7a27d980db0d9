"""`benchleaf pack`: the arithmetic of an alternating pack."""

from typing import TYPE_CHECKING, Any

import click
from benchleaf.cli.options import examples
from benchleaf.cli.packoptions import Grouped, options

if TYPE_CHECKING:
    from benchleaf.cli.packunits import Shop
    from benchleaf.graph.packs.answer import PackAnswer

EXAMPLES = examples(
    "pack --friction 5 --steel 4",
    'pack --friction "5 x 2.50 ±0.05 mm" --steel "4 x 1.80 mm" \\\n'
    '    --other "end plate 4.0 mm" --depth "24.3 ±0.1 mm"',
    'pack --friction 6 --was-friction "5 x 2.40 mm"',
    'pack --fitted "2.20 mm" --measured "1.35 mm" \\\n'
    '    --target "0.8 to 1.2 mm" --sizes "2.2, 2.4, 2.6 mm"',
    'pack --trial "0.50 mm" --measured "0.32 mm" \\\n    --end-play "0.10 mm" --shims "0.10, 0.15, 0.30 mm"',
    'pack --need "2.25 mm" --choose "2.20-2.25 = A; 2.25-2.30 = B"',
    'pack --friction 6 --steel 6 --end-plates 1 --inner-dia "80 mm" \\\n'
    '    --outer-dia "120 mm" --mu 0.1 --force "8 kN"',
    'pack --bolt-torque "40 lbf·ft" --wrench "18 in" \\\n    --crowfoot "2 in" --unit in',
)


@click.command("pack", cls=Grouped, epilog=EXAMPLES)
@options
def command(as_json: bool, unit: tuple[str, ...], **given: Any) -> int:
    """The arithmetic of an alternating pack.

    Give what you have; everything that follows from it is worked out, with its formula, and what the next
    result still needs is named. Sizes may be typed in any unit and with tolerances: 2.5 mm ±0.05, 2.45 to
    2.55 mm, .098 in. Plates measured one by one: "2.48, 2.50, 2.51 mm". No value is built in. Exit status
    1 if the plates cannot alternate, the pack does not go in, nothing fits, or more is needed.
    """
    from benchleaf.cli.packgiven import Given, question_of
    from benchleaf.cli.packunits import shop_of
    from benchleaf.cli.packwords import Reader
    from benchleaf.graph.packs.answer import pack_answer

    shop = shop_of(unit)
    reader = Reader(shop.length)
    answer = pack_answer(question_of(Given(given, reader)))
    _print(answer, shop, reader.notes, as_json=as_json)
    return 0 if answer.fits and answer.answered else 1


def _print(answer: "PackAnswer", shop: "Shop", notes: tuple[str, ...], *, as_json: bool) -> None:
    if as_json:
        from benchleaf.cli.shapes import show
        from benchleaf.cli.shapes_pack import pack_shape

        show(pack_shape(answer, shop, notes))
    else:
        from benchleaf.cli.screen import Screen
        from benchleaf.cli.show_pack import show_pack

        show_pack(Screen(), answer, shop, notes)
