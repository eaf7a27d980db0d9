"""Photos of the shop's own notes: kept as originals, copied by a backup, missed by the check."""

import datetime as dt
import hashlib
from pathlib import Path

from benchleaf.graph.db.backup import backup
from benchleaf.graph.db.upkeep import check
from benchleaf.graph.model import Note
from benchleaf.graph.store import Store
from fake_shelf import SOURCE, override

NOW = dt.datetime(2026, 11, 25, 9, tzinfo=dt.UTC)
PHOTO = b"not really a picture"


def test_a_photo_is_backed_up_and_checked(tmp_path: Path) -> None:
    """The photo of a shop note is in the backup, and a check tells when it is gone."""
    sha256 = hashlib.sha256(PHOTO).hexdigest()
    with Store.open(tmp_path / "store", create=True) as store:
        store.keep_original(sha256, PHOTO)
        said = override("caution", "5", text="Look at the groove.", settled_by="AB", source=SOURCE)
        note = Note("", NOW.date(), None, None, "shop", None, said.applies, file=sha256, statements=(said,))
        with store.transaction():
            kept = store.shop_note(note, NOW)
        assert store.photos() == {sha256: kept.number}
        backup(store, tmp_path / "copy")
        assert (tmp_path / "copy" / "originals" / sha256).read_bytes() == PHOTO
        assert not check(store).problems
        store.original(sha256).unlink()
        (problem,) = check(store).problems
        assert f"the photo of {kept.number}" in problem.message
