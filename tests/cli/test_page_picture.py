"""`page --json` names the picture of the page, or says why there is none."""

import io
import json
from dataclasses import replace
from hashlib import sha256
from pathlib import Path

from benchleaf.graph.store import Store
from drawn_sheets import note_with_photo, page_sheet, photo
from reportlab.pdfgen.canvas import Canvas
from small_store import RECEIVED, build, manual

BLOCK = (100.0, 200.0, 60.0, 30.0)
"""A black block on the third sheet: from the left, from the top, wide and high, in points."""


def printed_store(folder: Path) -> Path:
    """A store whose manual is a PDF of three sheets."""
    written = io.BytesIO()
    canvas = Canvas(written, (500, 700), invariant=True)
    for sheet in (1, 2, 3):
        if sheet == 3:
            x, top, wide, high = BLOCK
            canvas.rect(x, 700 - top - high, wide, high, stroke=0, fill=1)
        canvas.showPage()
    canvas.save()
    digest = sha256(written.getvalue()).hexdigest()
    with Store.open(folder, write=True, create=True) as store:
        store.keep_original(digest, written.getvalue())
        with store.transaction():
            store.insert(replace(manual(), sha256=digest), RECEIVED.date(), RECEIVED)
    return folder


def asked(run, store: Path) -> dict:
    result = run("page", "VM-30", "4-12", "--json", store=store)
    assert result.exit_code == 0
    return json.loads(result.stdout)


def test_the_picture_shows_the_page_in_the_measure_that_is_told(run, tmp_path: Path) -> None:
    """The PNG is that of the page's own sheet: what stands at a place in points stands there at the told
    dots per inch; asked again, it is the same file, not drawn again."""
    from PIL import Image

    store = printed_store(tmp_path / "store")
    page = asked(run, store)
    assert page["picture_why"] is None
    scale = page["picture_dpi"] / 72
    x, top, wide, high = (side * scale for side in BLOCK)
    with Image.open(page["picture"]) as picture:
        grey = picture.convert("L")
        assert grey.size == (round(500 * scale), round(700 * scale))
        assert grey.getpixel((int(x + wide / 2), int(top + high / 2))) == 0
        assert all(grey.getpixel((int(x + wide / 2), int(y))) > 200 for y in (top - 5, top + high + 5))
    made = Path(page["picture"]).stat().st_mtime_ns
    assert asked(run, store)["picture"] == page["picture"]
    assert Path(page["picture"]).stat().st_mtime_ns == made


def test_without_json_nothing_is_drawn(run, tmp_path: Path) -> None:
    """The table for people costs no picture."""
    store = printed_store(tmp_path / "store")
    assert run("page", "VM-30", "4-12", store=store).exit_code == 0
    assert not (store / "pictures").exists()


def test_why_there_is_no_picture(run, tmp_path: Path) -> None:
    """Null, with the reason: the original is lost, or holds typed words only."""
    page = asked(run, build(tmp_path / "lost"))
    assert (page["picture"], page["picture_dpi"]) == (None, None)
    assert page["picture_why"] == "the original of vm30.pdf is not in the store"
    words = b"1. Soak the friction discs."
    digest = sha256(words).hexdigest()
    with Store.open(tmp_path / "typed", write=True, create=True) as store:
        store.keep_original(digest, words)
        with store.transaction():
            store.insert(replace(manual(), sha256=digest), RECEIVED.date(), RECEIVED)
    assert "typed words" in asked(run, tmp_path / "typed")["picture_why"]


def test_where_no_picture_can_be_kept_the_page_is_told_all_the_same(run, tmp_path: Path) -> None:
    """A folder that takes no picture is a reason, not an error."""
    store = printed_store(tmp_path / "store")
    (store / "pictures").write_text("in the way")
    page = asked(run, store)
    assert page["picture"] is None and "cannot be kept" in page["picture_why"]
    assert [i["item"] for i in page["items"]] == ["1", "2", "3", "4", "5", "6"]


def test_a_shop_photo_stands_beside_the_mark(fresh: Path) -> None:
    """The photo of the shop's own note stands with its step on the sheet and on the desk, told as the shop's;
    a maker's note has none."""
    from benchleaf.cli.shopphoto import photo_picture
    from desk_visit import visit

    assert "SHOP PHOTO" not in page_sheet(fresh)
    note_with_photo(fresh)
    sheet, desk = page_sheet(fresh), visit(fresh).get("/page/VM-30/4-12").text
    with Store.open(fresh) as store:
        note = store.note("SHOP-1")
        assert note is not None and note.file == sha256(photo()).hexdigest()
        shown = photo_picture(store, note)
    assert shown is not None and f'src="/picture/{shown.name}"' in desk
    for page in (sheet, desk):
        assert page.count("SHOP PHOTO, not the maker's") == 1
        own = page[page.index('id="step-4"') : page.index('id="step-5"')]
        assert "SHOP PHOTO" in own and own.index("VB 101") < own.index("SHOP PHOTO")
