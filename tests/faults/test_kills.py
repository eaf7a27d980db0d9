"""kill -9 in the middle of the shop's work; the whole search is the script kills.py."""

import os

import kills
import pytest

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="the children are forked, which needs POSIX")


def test_after_a_kill_nothing_acknowledged_is_lost_and_nothing_is_half_there() -> None:
    """`add`, `settle` and `job` killed at some of their steps and at random moments: the store opens, `check`
    finds nothing, every row is as after one of the commits around the kill, and a killed `add` that is
    repeated ends as if nothing had happened."""
    for day, counts in kills.main(["--small", "4"]).items():
        assert counts["found"] == {}, day
        assert counts["kills at steps"] == 8 and counts["kills at moments"] > 0, day
        assert counts["commits"] >= counts["commands"], day


def test_the_search_by_kills_can_fail() -> None:
    """With every change committed alone, the same kills find documents that are partly there."""
    counts = kills.main(["--small", "4", "--only", "settle", "--broken"])
    assert counts["settle"]["found"]
