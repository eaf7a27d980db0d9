"""Damaged bulletins added at once: never partly read without a word, and the batch goes on to its end.

Sixty of them; `python tests/faults/damaged_papers.py` adds six hundred.
"""

import pytest
from benchleaf.ingest.document import read_document
from benchleaf.ingest.sheets import soundness
from benchleaf.ingest.workers.pool import WarmPool
from damage import WAYS, damaged, sound
from damaged_papers import CAN_GO_UNTOLD, add_all


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    with WarmPool(2, 2_000_000_000) as readers:
        return add_all(tmp_path_factory.mktemp("damaged"), list(damaged(60)), readers)


def test_the_letter_behind_them_is_read(told):
    """Sixty damaged files do not keep the sound letter behind them from being read."""
    assert told.last
    assert sum(told.counts.values()) == 60


def test_no_words_are_lost_without_a_word(told):
    """What was cut off, torn out, repeated, swapped or mangled is refused, read as it was, or told of."""
    assert told.bad == []


def test_few_changed_letters_go_untold(told):
    """Bits flipped and bytes blanked in place can change letters that nothing vouches for; in parts that are
    packed (three of four of these files) they are told too."""
    assert {name[5:-4] for name in told.silent} <= CAN_GO_UNTOLD
    assert len(told.silent) <= 3


def test_every_way_does_damage(told):
    """Each way of damage leads to a refusal or a finding for some file: none of them is harmless."""
    assert {way for way, word in told.counts if word in ("refused", "told")} >= set(WAYS) - {"lines"}


def test_sound_files_are_told_to_be_sound():
    """Undamaged bulletins, packed and not, have no finding about damage."""
    for number in range(4):
        assert soundness.unsound(sound(number)) == ()
        assert not [f for f in read_document(sound(number), "s.pdf").findings if "damaged" in f.message]


def test_a_broken_part_is_told():
    """One letter changed in a packed part: the checksum over it tells (RFC 1950)."""
    data = bytearray(sound(1))
    at = data.index(b"stream", 200) + 60
    data[at] = data[at] + 1 if data[at] < 0x60 else 0x40
    assert soundness.unsound(bytes(data)) == ("a part of it is broken",)
