"""A shop's own note: written on the desk or by the command, with a photo, never taken for the maker's."""

import io
import re
from hashlib import sha256
from html import unescape
from pathlib import Path

import pytest
from benchleaf.cli.sheets.noteview import OWNER, shop_note_view
from benchleaf.cli.sheets.render import sheet
from benchleaf.cli.sheets.stamp import stamp
from benchleaf.cli.shopphoto import photo_of, photo_picture
from benchleaf.graph.errors import RefusedFile, WrongUse
from benchleaf.graph.store import Store
from desk_visit import Visit, visit
from small_store import RECEIVED

STEP = {"pub": "VM-30", "page": "4-12", "item": "4", "initials": "QZ"}
CAUTION = {**STEP, "action": "caution", "text": "Check the threads."}
AT = "/shop-note"


def photo(side: int = 40, form: str = "JPEG") -> bytes:
    from PIL import Image

    written = io.BytesIO()
    exif = Image.Exif()
    exif[0x010E] = "taken at home"
    Image.new("RGB", (side, side * 2), (90, 30, 20)).save(written, form, exif=exif)
    return written.getvalue()


@pytest.fixture
def desk(fresh: Path) -> Visit:
    return visit(fresh)


def write(desk: Visit, **fields: object):
    return desk.post(AT, {**CAUTION, **fields}, AT, follow_redirects=True)


def held(folder: Path, number: str = "SHOP-1"):
    with Store.open(folder) as store:
        return store.note(number)


def test_a_note_is_written_and_marked_as_the_shop_s(desk: Visit, fresh: Path) -> None:
    """The form stores what the command `note` would: the step, signed; its page says whose it is."""
    text = unescape(write(desk).text)
    note = held(fresh)
    assert note is not None
    assert note.source == "shop"
    assert (note.statements[0].settled_by, note.statements[0].target.item) == ("QZ", "4")
    assert OWNER in text
    assert "Check the threads." in re.sub(r"<[^>]+>", "", text)
    page = unescape(desk.get("/page/VM-30/4-12").text)
    assert "SHOP-1" in page
    assert "the shop's own and not the maker's" in page


def test_the_form_is_filled_from_the_page_s_link(desk: Visit) -> None:
    """The address names the step: its numbers stand in the form, and what it says stands above."""
    text = unescape(desk.get(f"{AT}?pub=VM-30&page=4-12&item=4").text)
    for value in ("VM-30", "4-12", "4"):
        assert f'value="{value}"' in text
    assert "Tighten the cover screws to 29 N·m." in text


def test_what_cannot_be_stored_comes_back_as_it_was_filled(desk: Visit, fresh: Path) -> None:
    """A step not held, missing words, a strange action or no initials: a plain message, and nothing is lost
    of what was typed."""
    for wrong, words in (
        ({"item": "99"}, "no single item 99"),
        ({"text": ""}, "needs new words"),
        ({"action": "explode"}, "does not say what the note does"),
        ({"initials": "..."}, "no initials"),
        ({"action": "change-value", "was": "77", "now": "78"}, "does not say '77'"),
    ):
        answer = write(desk, **{"subject": "why it was", **wrong})
        assert answer.status_code == 400
        assert words in unescape(answer.text), wrong
        assert "why it was" in answer.text
    assert held(fresh) is None


def test_a_value_s_note_leaves_the_words_field_out(desk: Visit, fresh: Path) -> None:
    """What stands in fields of another action does no harm: they are left out."""
    write(desk, action="change-value", was="29 N·m", now="30 N·m")
    note = held(fresh)
    assert note is not None
    assert (note.statements[0].was, note.statements[0].now, note.statements[0].text) == (
        "29 N·m",
        "30 N·m",
        None,
    )


def test_a_photo_is_kept_as_an_original_and_shown_without_what_the_camera_wrote(
    desk: Visit, fresh: Path
) -> None:
    """The photo lies in the store under its hash; the page shows a picture drawn anew, with no Exif data."""
    data = photo()
    text = write(desk, photo=(io.BytesIO(data), "IMG_1.JPG")).text
    note = held(fresh)
    assert note is not None
    assert photo_of(note) == sha256(data).hexdigest()
    with Store.open(fresh) as store:
        assert store.original(sha256(data).hexdigest()).read_bytes() == data
    (at,) = re.findall(r'src="(/picture/[0-9a-f]{32}\.png)"', text)
    shown = desk.get(at)
    assert shown.mimetype == "image/png"
    assert b"taken at home" not in shown.data
    from PIL import Image

    assert Image.open(io.BytesIO(shown.data)).size == (40, 80)


@pytest.mark.parametrize(
    "data", [b"no photo", b"%PDF-1.4", b"<svg onload='alert(1)'/>", b"\xff\xd8\xff torn"]
)
def test_what_is_no_photo_is_refused_and_no_note_is_written(data: bytes, desk: Visit, fresh: Path) -> None:
    """Only a picture that opens is kept; otherwise nothing is stored."""
    answer = write(desk, photo=(io.BytesIO(data), "x.png"))
    assert answer.status_code == 400
    assert "no photo that can be opened" in answer.text
    assert held(fresh) is None
    with Store.open(fresh) as store:
        assert not store.original(sha256(data).hexdigest()).exists()


def test_a_picture_of_too_many_points_is_refused(tmp_path: Path, fresh: Path) -> None:
    """A small file may say that it is enormous: it is refused by its size before it is drawn."""
    from benchleaf.cli.shopphoto import keep_photo
    from PIL import Image

    written = io.BytesIO()
    Image.new("1", (9000, 9000)).save(written, "PNG")
    assert len(written.getvalue()) < 100_000
    with Store.open(fresh, write=True) as store, pytest.raises(RefusedFile, match="too large"):
        keep_photo(store, written.getvalue())


def test_the_command_takes_a_photo_too(run, fresh: Path, tmp_path: Path) -> None:
    """`note --photo FILE` keeps the same; a file that is no photo stops it."""
    file = tmp_path / "groove.jpg"
    file.write_bytes(photo())
    line = [
        "note",
        "--pub",
        "VM-30",
        "--page",
        "4-12",
        "--item",
        "4",
        "--action",
        "caution",
        "--text",
        "Look.",
    ]
    result = run(*line, "--photo", str(file), "--initials", "QZ", store=fresh)
    assert result.exit_code == 0, result.stderr
    note = held(fresh)
    assert note is not None
    assert photo_of(note) == sha256(file.read_bytes()).hexdigest()
    file.write_bytes(b"no photo")
    assert run(*line, "--photo", str(file), "--initials", "QZ", store=fresh).exit_code == 1
    assert held(fresh, "SHOP-2") is None


def test_the_sheet_says_large_whose_note_it_is_and_holds_its_photo(desk: Visit, fresh: Path) -> None:
    """The sheet to hand on is one file: the mark as its heading, the step, who wrote it, the photo inside."""
    write(desk, photo=(io.BytesIO(photo()), "x.jpg"))
    with Store.open(fresh) as store:
        view = shop_note_view(store, "shop 1")
        words = sheet("note.html", view=view, stamp=stamp(store, ["SHOP-1"], RECEIVED.date()))
    assert re.search(rf"<h1[^>]*>{re.escape(OWNER).replace(chr(39), '(?:&#39;|.)')}</h1>", words)
    assert "written by QZ" in words
    assert "data:image/png;base64," in words
    assert 'src="http' not in words and "<script" not in words
    assert "Check for newer notes before use." in words
    answer = desk.get("/shop-note/SHOP-1/sheet")
    assert answer.headers["Content-Disposition"].startswith("attachment")


def test_a_maker_s_note_is_no_shop_note(held_store: Path) -> None:
    """A maker's note is not shown under the shop's mark."""
    with Store.open(held_store) as store, pytest.raises(WrongUse, match="not a note that was written here"):
        shop_note_view(store, "VB 101")
    assert visit(held_store).get("/shop-note/VB 101").status_code == 400
    assert visit(held_store).get("/shop-note/SHOP-9").status_code == 404


@pytest.fixture(name="held_store")
def _held_store(fresh: Path) -> Path:
    return fresh


def test_a_photo_that_is_gone_leaves_the_note_whole(desk: Visit, fresh: Path) -> None:
    """Without its original the note is still shown, only without the photo."""
    data = photo()
    write(desk, photo=(io.BytesIO(data), "x.jpg"))
    note = held(fresh)
    assert note is not None
    with Store.open(fresh) as store:
        store.original(sha256(data).hexdigest()).unlink()
        picture = photo_picture(store, note)
        if picture is not None:
            picture.unlink()
        assert photo_picture(store, note) is None
    assert desk.get("/shop-note/SHOP-1").status_code == 200
