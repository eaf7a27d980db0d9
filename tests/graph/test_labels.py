"""Labels of inserted steps."""

from benchleaf.graph.labels import Labels
from benchleaf.graph.model import Item


def _items(*labels: str, page: str = "4-12", section: str | None = "Pack") -> list[Item]:
    return [Item(label, "words", page, 1, section) for label in labels]


def test_after_a_step_letters_follow() -> None:
    """Two steps after 5 are 5a and 5b; a manual's own 5a is not given again."""
    assert Labels(_items("5", "6")).after(0, 2) == ["5a", "5b"]
    assert Labels(_items("5", "5a", "6")).after(0, 1) == ["5b"]


def test_before_a_step_hangs_on_the_step_before() -> None:
    """A step before 6 is 5a, or 5b if one was inserted after 5 already."""
    labels = Labels(_items("5", "6"))
    assert labels.after(0, 1) == ["5a"]
    assert labels.before(1, 1) == ["5b"]


def test_before_the_first_step() -> None:
    """Before step 1 comes 0a; before a page's first step 7 comes 6a."""
    assert Labels(_items("1", "2")).before(0, 2) == ["0a", "0b"]
    assert Labels(_items("7")).before(0, 1) == ["6a"]


def test_label_is_not_given_twice_over_a_page_break() -> None:
    """A step after 6 on one page and one before 7 on the next get different labels within their section."""
    labels = Labels(_items("6") + _items("7", page="4-13"))
    assert labels.after(0, 1) + labels.before(1, 1) == ["6a", "6b"]


def test_labels_of_levels_and_letters() -> None:
    """Numbered levels and lettered steps get letters too, and more than 26 do not run out."""
    assert Labels(_items("2.3")).before(0, 1) == ["2.2a"]
    assert Labels(_items("A", "B")).before(1, 1) == ["Aa"]
    assert Labels(_items("5")).after(0, 28)[-2:] == ["5aa", "5ab"]
