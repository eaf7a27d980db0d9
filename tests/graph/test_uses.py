"""What steps fit, read from their own words. All wordings are invented; that these are how steps speak is
common practice, no source."""

import time

import pytest
from benchleaf.graph.kits.uses import read_uses
from hypothesis import given
from hypothesis import strategies as st

# words | uses as `description;part;quantity;n` (n: new), `-` for none told, separated by `|`; nothing: no use
WORDINGS = """
Fit two new seal rings (4471-33). => seal ring;4471-33;2;n
Tighten the 12 cover screws to 25 Nm in two stages. => cover screw;-;12;
Fit one retaining ring. => retaining ring;-;1;
Fit a new gasket 31.4490. => gasket;31.4490;1;n
Fit new O-rings (two). => O-ring;-;2;n
Insert the ten friction plates. => friction plate;-;10;
Fit both thrust washers. => thrust washer;-;2;
Insert 4 off dowel pins. => dowel pin;-;4;
Fit the retaining ring. => retaining ring;-;1;
Install sealing rings (5) and (6). => sealing ring;-;-;
Fit the M8 x 25 screws (12 pcs). => M8 x 25 screw;-;12;
Insert all eight springs. => spring;-;8;
Place a pair of washers on the shaft. => washer;-;2;
Fit the remaining six screws. => screw;-;6;
Pull off the cover with two M6 bolts as pullers. =>
Remove the 12 screws. =>
Lift off the cover with two screwdrivers. =>
Turn the shaft two revolutions. =>
Two fitters are needed for this step. =>
Press out the bush with a drift. =>
Press the bush out. =>
Replace the seal rings with new ones (4471-33). => seal ring;4471-33;-;n
Discard the gasket and fit a new one 88.1234. => gasket;88.1234;1;n
Coat the two seal rings with oil and fit them into the grooves. => seal ring;-;2;
Soak the new lined discs in oil. => lined disc;-;-;n
Tighten the drain plug on a new copper washer TK/4417. => drain plug;-;1;|copper washer;TK/4417;1;n
Do not re-use the gasket. => gasket;-;1;n
The two dowel pins are fitted with the slot outwards. => dowel pin;-;2;
New gasket, fitted dry. => gasket;-;1;n
Renew: the O-rings (two), one gasket 12.3456 and the circlip. => O-ring;-;2;n|gasket;12.3456;1;n|circlip;-;1;n
Fit a thrust washer on each side of the gear. => thrust washer;-;2;
Fit one washer to each bolt. => washer;-;-;
Fit the 12 screws, each with a new washer. => screw;-;12;|washer;-;-;n
Fit four of the six screws by hand. => screw;-;4;
Fit a dozen balls. => ball;-;12;
Fit 2 or 3 shims. => shim;-;-;
Fit two pairs of springs. => spring;-;4;
Fit 24 balls 8 mm in diameter. => ball;-;24;
Do not damage the two new seals. =>
Fit the piston without twisting the seal rings. => piston;-;1;
Fit new flanges 4471-88. => flange;4471-88;-;n
Insert three quarrels. => quarrel;-;3;
Fit the oil seal lip inwards. => oil seal;-;1;
Fit the washer chamfer side up. => washer;-;1;
Measure the gap between the two thrust washers. =>
Fit seal rings 4471-33 (2 off). => seal ring;4471-33;2;
Fit the M8x25 screws, 8 off. => M8x25 screw;-;8;
Secure it with the 12 screws M8 x 25 and new spring washers. => screw M8 x 25;-;12;|spring washer;-;-;n
Replace the cover and tighten the screws. => cover;-;1;|screw;-;-;
After fitting the two dowel pins, check the end play. => dowel pin;-;2;
Use two levers to raise the housing. =>
A disc that admits the feeler must not be used again. =>
If the bush is worn, renew it. => bush;-;1;
Check the clearance of the idler shaft; correct it with shims of 0.10 mm. => shim;-;-;
Tighten the flange nut to 335 Nm and stake the collar in two places. => flange nut;-;1;
Put in the 10 brake springs. => brake spring;-;10;
Screw in the plug with a new copper washer. => plug;-;1;|copper washer;-;1;n
Install roll pins 71-8801-05 flush. => roll pin;71-8801-05;-;
Prime the pump with oil before the hoses are connected. =>
Replace the entire set if any disc measures less than 0.118 in. =>
Pull the shaft seal from the flange with a hooked tool. =>
Install the speed ring, 44-902-1188, with the stamped side out. => speed ring;44-902-1188;1;
Install the ball and spring, and screw in plug (10). => ball;-;1;|spring;-;1;|plug;-;1;
Fit the piston ring with its step joint uppermost. => piston ring;-;1;
Oil the pistons and put them in, rollers in line with the cams. => piston;-;-;
Turn on the slotted nut and tighten it while the shaft is rotated. => slotted nut;-;1;
Make sure that the spindle can be spun. =>
Renew the oil seal TK/3916 at every overhaul. => oil seal;TK/3916;1;n
Lay a new square section ring in the groove of each cover. => square section ring;-;-;n
Turn in the eight screws by hand. => screw;-;8;
Distribute the cylinder springs evenly over the bores. 16 pcs. => cylinder spring;-;16;
Take out the plate and lay it with the lapped face up on paper. =>
Fit 12 x M8 screws. => M8 screw;-;12;
Fit 2 x seal ring. => seal ring;-;2;
Fit 2 4471-33 seal rings. => seal ring;4471-33;2;
Check each friction plate for wear. =>
Count the 16 springs. =>
Clean the two covers. =>
Hold the piston down by hand. =>
Undo the four nuts and take off the cover. =>
Slacken the six bolts one turn at a time. =>
Slide the gear onto the shaft. => gear;-;1;
Fit the seal into the seal groove. => seal;-;1;
Fill the seal groove with grease. =>
Measure the thickness of the three shims. =>
See page 31, item 4. =>
Warm the housing to 80 degrees for 10 minutes. =>
Repeat this three times. =>
Rotate the hub four turns. =>
Inspect the 9 discs. =>
Tighten the nuts in three stages. => nut;-;-;
Mark the two halves. =>
Apply 5 bar for 2 minutes. =>
Drive in the bush with a sleeve of 40 mm. => bush;-;1;
Draw down the cover using two long studs. =>
Drain the oil and discard the filter. =>
Insert a filter element (91-4477). => filter element;91-4477;1;
Press the bearing onto the shaft. => bearing;-;1;
Fit circlip (7). => circlip;-;1;
Fit washer, spring and nut. => washer;-;1;|spring;-;1;|nut;-;1;
Fit half-round key 4471-90. => half-round key;4471-90;1;
Place the three steel balls in the pockets. => steel ball;-;3;
Install another washer on top. => washer;-;1;
Use new screws. => screw;-;-;n
Use a new gasket. => gasket;-;1;n
Change the filter. => filter;-;1;n
The oil seal must be renewed. => oil seal;-;1;n
The screws must be removed. =>
Never fit used cover screws. =>
Unscrew the two plugs. =>
Knock out the two pins. =>
Fit the twenty-four springs. => spring;-;24;
Insert six (6) springs. => spring;-;6;
FIT TWO NEW SEAL RINGS (4471-33). => seal ring;4471-33;2;n
Fit two bushes. => bush;-;2;
Fit the cover assembly. => cover assembly;-;1;
Connect the hose. => hose;-;1;
Fit the inner race and the outer race. => inner race;-;1;|outer race;-;1;
Lower the drum into the housing. => drum;-;1;
Fasten the lid with 6 screws. => lid;-;1;|screw;-;6;
Seat the snap ring fully in its groove. => snap ring;-;1;
Fit new bolts (8 off). => bolt;-;8;n
Fit the shims as required. => shim;-;-;
Add one shim of 0.2 mm. => shim;-;1;
Fit the spring with the small end up. => spring;-;1;
Remove the old seal and fit a new seal 12.4477. => seal;12.4477;1;n
Blow out the passages. =>
Fit the pin (item 12, 4471-12). => pin;4471-12;1;
Fit the valve (part no. 4471-13). => valve;4471-13;1;
Fit the valve, part no. 4471-13. => valve;4471-13;1;
Fit a set of lined discs. => lined disc;-;-;
Stack 5 friction and 4 steel plates in turn. => friction plate;-;5;|steel plate;-;4;
Insert the sixteen brake springs in their pockets, twelve outer and four inner. => brake spring;-;16;
"""
ROWS = [tuple(line.split("=>")) for line in WORDINGS.strip().splitlines()]


def told(text: str) -> list[str]:
    return [
        f"{u.description};{u.part or '-'};{'-' if u.quantity is None else u.quantity};{'n' * u.renewed}"
        for u in read_uses(text)
    ]


@pytest.mark.parametrize(("words", "uses"), ROWS, ids=[r[0].strip()[:60] for r in ROWS])
def test_wording(words: str, uses: str) -> None:
    """Each wording gives just these uses: what is fitted, with count, number and whether it is new."""
    assert told(words.strip()) == [u.strip() for u in uses.split("|") if u.strip()]


def test_there_are_many_wordings() -> None:
    """The list is broad: at least 120 wordings, a third of them without any use."""
    assert len(ROWS) >= 120
    assert sum(not uses.strip() for _, uses in ROWS) >= len(ROWS) // 4


def test_quote_is_in_the_words() -> None:
    """The quote is a piece of the step's own words."""
    text = "Fit two new seal rings (4471-33) and the circlip."
    assert [u.quote for u in read_uses(text)] == ["two new seal rings (4471-33)", "the circlip"]


@given(st.text(max_size=300))
def test_any_text(text: str) -> None:
    """No text raises, and every count is at least nought."""
    assert all(u.quantity is None or u.quantity >= 0 for u in read_uses(text))


PIECES = st.sampled_from(
    ["fit", "remove", "the", "two", "12", "new", "seal", "rings", "(4471-33)", "(5)", ",", ".", "and", "it"]
)


@given(st.lists(PIECES, max_size=60))
def test_any_words_of_the_trade(pieces: list[str]) -> None:
    """No order of the trade's words raises; descriptions are never blank."""
    assert all(u.description.strip() for u in read_uses(" ".join(pieces)))


@pytest.mark.parametrize("piece", ["fit the nut ", "1 ", "(1", "A1-", "a nut ", "with ", "it ", "new ", "-"])
def test_hostile_text_is_quick(piece: str) -> None:
    """20 kB of one piece over and over is read in under 50 ms (best of three)."""
    text = (piece * 20_000)[:20_000]
    read_uses("warm")
    best = 1.0
    for _ in range(3):
        start = time.perf_counter()
        read_uses(text)
        best = min(best, time.perf_counter() - start)
    assert best < 0.05
