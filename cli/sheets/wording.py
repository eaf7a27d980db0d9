"""The wording of the tables on the terminal, for the sheets and the desk, so that both say the same."""

from benchleaf.cli.show_kit import VERDICTS as KIT_VERDICTS
from benchleaf.cli.show_kit import on_hold as kit_hold_words
from benchleaf.cli.show_measure import headline as measure_headline
from benchleaf.cli.show_measure import value_words as measured_value_words
from benchleaf.cli.show_part import verdict_words as part_verdict

__all__ = ["KIT_VERDICTS", "kit_hold_words", "measure_headline", "measured_value_words", "part_verdict"]
