"""Pictures of the source: the words' place, cut out of the original, kept by content."""

import datetime as dt
import hashlib
import io
import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from benchleaf.graph.errors import StoreProblem
from benchleaf.graph.model import Box, Document, SheetText
from benchleaf.graph.store import Store
from benchleaf.ingest.add import add_paths
from benchleaf.ingest.pictures.crops import Clip, clip_of_head, clip_of_statement, crops, kept_crop
from benchleaf.ingest.pictures.drawer import DPI
from benchleaf.ingest.sheets.pdf import read_pdf

NOW = dt.datetime(2026, 11, 25, 9, tzinfo=dt.UTC)
LINES = (
    "Brackwell Hoists",
    "Service letter BH-7",
    "Date: 05/06/1999",
    "Subject: Seals",
    "Models: H 40",
    "In manual HM 20, page 4-2, item 1, change 46 Nm to 52 Nm.",
)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "store", create=True) as opened:
        yield opened


def _letter(path: Path, rotate: int = 0) -> Path:
    """A letter of one sheet; its last line stands under a black bar that nothing else is near."""
    from reportlab.pdfgen.canvas import Canvas

    canvas = Canvas(str(path), pagesize=(595, 842), invariant=1)
    for n, words in enumerate(LINES):
        canvas.drawString(72, 760 - 40 * n, words)
    canvas.setPageRotation(rotate)
    canvas.showPage()
    canvas.save()
    return path


def _black(path: Path) -> int:
    from PIL import Image

    with Image.open(path) as picture:
        return sum(picture.convert("L").histogram()[:100])


def test_the_words_of_a_statement_are_in_its_picture(store: Store, tmp_path: Path) -> None:
    """The picture of a doubtful statement is its line and a margin: as wide and as high as the box says, with
    ink in it; the same place at the sheet's foot has none."""
    from PIL import Image

    add_paths(store, [_letter(tmp_path / "a.pdf")], NOW)
    (said,) = store.statements()
    clip = clip_of_statement(store, said)
    assert clip is not None and clip.box is not None
    foot = replace(clip, box=Box(clip.box.x0, 700.0, clip.box.x1, 712.0))
    made = crops(store, [clip, foot])
    with Image.open(made[clip]) as picture:
        wide, high = (
            (clip.box.x1 - clip.box.x0 + 36) * DPI / 72,
            (clip.box.bottom - clip.box.top + 36) * DPI / 72,
        )
        assert abs(picture.width - wide) < 2 and abs(picture.height - high) < 2
    assert _black(made[clip]) > 300 and _black(made[foot]) == 0


def test_no_line_above_or_below_is_cut_through(store: Store, tmp_path: Path) -> None:
    """Where the margin would cut a neighbouring line in half, it ends in the white between the two: the
    picture's first and last rows are blank, and the words' own ink is all there."""
    from PIL import Image
    from reportlab.pdfgen.canvas import Canvas

    canvas = Canvas(str(tmp_path / "tight.pdf"), pagesize=(595, 842), invariant=1)
    for n, words in enumerate(LINES):
        canvas.drawString(72, 760 - 19 * n, words)
    canvas.save()
    add_paths(store, [tmp_path / "tight.pdf"], NOW)
    (said,) = store.statements()
    clip = clip_of_statement(store, said)
    assert clip is not None and clip.box is not None
    foot = replace(clip, box=Box(clip.box.x0, clip.box.top - 19, clip.box.x1, clip.box.bottom - 19))
    for asked in (clip, foot):  # the last line, and the one before it, which has a line below
        with Image.open(crops(store, [asked])[asked]) as picture:
            grey = picture.convert("L")
            edges = [grey.crop((0, row, grey.width, row + 1)) for row in (0, grey.height - 1)]
            assert min(edge.getextrema()[0] for edge in edges) >= 128
            assert grey.height >= (clip.box.bottom - clip.box.top) * DPI / 72
            assert _black(crops(store, [asked])[asked]) > 200


@pytest.mark.parametrize("rotate", [0, 180])
def test_a_turned_sheet_is_cut_in_its_upright_frame(store: Store, tmp_path: Path, rotate: int) -> None:
    """However a PDF's sheet is turned, the cut at a word's box has the word's ink, and the cut at an empty
    place of that frame has none."""
    path = _letter(tmp_path / "a.pdf", rotate)
    add_paths(store, [path], NOW)
    (page,) = read_pdf(path.read_bytes())
    sha = store.files()[0].sha256
    word = Clip(sha, 1, next(w.box for w in page.words if w.text == "Subject:"))
    away = Clip(sha, 1, Box(page.width - 80, page.height - 80, page.width - 40, page.height - 60))
    made = crops(store, [word, away])
    assert _black(made[word]) > 50 and _black(made[away]) == 0


def test_a_head_is_the_top_of_the_sheet(store: Store, tmp_path: Path) -> None:
    """A doubt on a note's head is shown by the top of its first sheet."""
    from PIL import Image

    add_paths(store, [_letter(tmp_path / "a.pdf")], NOW)
    (note,) = store.notes()
    clip = clip_of_head(store, note)
    assert clip is not None and (clip.sheet, clip.box) == (1, None)
    with Image.open(crops(store, [clip])[clip]) as picture:
        assert abs(picture.width - 595 * DPI / 72) < 3 and abs(picture.height - 842 * 0.4 * DPI / 72) < 3


def test_a_picture_is_made_once(store: Store, tmp_path: Path) -> None:
    """What is kept is not drawn again, also for other words in the same place; no half file is left by it."""
    add_paths(store, [_letter(tmp_path / "a.pdf")], NOW)
    clip = clip_of_statement(store, store.statements()[0])
    assert clip is not None and kept_crop(store, clip) is None
    (path,) = crops(store, [clip, clip]).values()
    before = path.stat().st_mtime_ns
    assert crops(store, [clip]) == {clip: path} and path.stat().st_mtime_ns == before
    assert [p.name for p in path.parent.iterdir()] == [path.name]
    assert crops(store, [clip], most=0) == {clip: path}


def test_so_many_at_a_time(store: Store, tmp_path: Path) -> None:
    """No more than asked are made in one call; the next call goes on."""
    add_paths(store, [_letter(tmp_path / "a.pdf")], NOW)
    sha = store.files()[0].sha256
    clips = [Clip(sha, 1, Box(72.0, float(top), 200.0, top + 10.0)) for top in range(50, 750, 100)]
    assert len(crops(store, clips, most=3)) == 3
    assert len(crops(store, clips, most=3)) == 6


@pytest.mark.parametrize(
    ("sheet", "box"), [(9, Box(0, 0, 9, 9)), (1, Box(-500, -500, 9000, 9000)), (1, Box(5, 5, 5, 5))]
)
def test_a_place_off_the_sheet(store: Store, tmp_path: Path, sheet: int, box: Box) -> None:
    """A sheet that is not there gives no picture; a box beyond the sheet's edge is cut at the edge."""
    add_paths(store, [_letter(tmp_path / "a.pdf")], NOW)
    clip = Clip(store.files()[0].sha256, sheet, box)
    assert (clip in crops(store, [clip])) == (sheet == 1)


def test_text_and_lost_originals_have_no_picture(store: Store, tmp_path: Path) -> None:
    """A letter in plain text has none, and neither has an original that is gone."""
    (tmp_path / "a.txt").write_text("\n".join(LINES), encoding="utf-8")
    add_paths(store, [tmp_path / "a.txt"], NOW)
    clip = Clip(store.files()[0].sha256, 1, Box(1, 1, 9, 9))
    assert crops(store, [clip]) == {}
    store.original(clip.sha256).unlink()
    assert crops(store, [clip]) == {}


def test_a_photo_is_cut_by_its_points(store: Store) -> None:
    """Of a picture file that no OCR has turned, the box is in points of the displayed sheet."""
    from PIL import Image, ImageDraw

    picture = Image.new("L", (1240, 1754), 255)
    ImageDraw.Draw(picture).rectangle((400, 800, 500, 820), fill=0)
    held = io.BytesIO()
    picture.save(held, format="PNG", dpi=(150, 150))
    data = held.getvalue()
    sha = hashlib.sha256(data).hexdigest()
    store.keep_original(sha, data)
    with store.transaction():
        store.insert(Document(sha, "p.png", "other", (SheetText(1, None, ""),)), NOW.date(), NOW)
    scale = 72 / 150
    clip = Clip(sha, 1, Box(400 * scale, 800 * scale, 500 * scale, 820 * scale))
    away = replace(clip, box=Box(10, 10, 20, 20))
    made = crops(store, [clip, away])
    assert _black(made[clip]) > 1500 and _black(made[away]) == 0


def test_a_folder_that_cannot_be_written(store: Store, tmp_path: Path) -> None:
    """Where the pictures' folder cannot be made, the remedy is told."""
    add_paths(store, [_letter(tmp_path / "a.pdf")], NOW)
    (store.folder / "pictures").write_text("in the way", encoding="utf-8")
    clip = clip_of_statement(store, store.statements()[0])
    assert clip is not None
    with pytest.raises(StoreProblem):
        crops(store, [clip])


def test_doubts_names_the_pictures(store: Store, tmp_path: Path) -> None:
    """`doubts --pictures` names a picture for every doubt and every head; without it only what is kept."""
    from benchleaf.cli.main import benchleaf
    from click.testing import CliRunner

    add_paths(store, [_letter(tmp_path / "a.pdf")], NOW)

    def ask(*words: str) -> str:
        call = ["--store", str(store.folder), "doubts", *words]
        return CliRunner().invoke(benchleaf, call).stdout

    before = json.loads(ask("--json"))
    assert [d["picture"] for d in (*before["doubts"], *before["notes"])] == [None, None]
    made = json.loads(ask("--pictures", "--json"))
    paths = [d["picture"] for d in (*made["doubts"], *made["notes"])]
    assert len(set(paths)) == 2 and all(Path(p).is_file() for p in paths)
    assert json.loads(ask("--json")) == made
    assert paths[0] in ask("--pictures") and paths[0] not in ask()
