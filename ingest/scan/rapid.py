"""rapidocr: finds lines of text in a picture and reads them, offline, with the models inside its package."""

import logging
from collections.abc import Sequence
from functools import lru_cache
from importlib.metadata import PackageNotFoundError, version
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from benchleaf.ingest.scan.readings import Quad, Reading

Array = Any  # a numpy array: numpy is there with the extra alone

_THREADS = 2
_DETECTION = 1600  # pixels of the long side at which lines are sought: 137 dots per inch on A4
_BATCH = 6
_NEEDED = ("rapidocr", "onnxruntime", "cv2", "numpy")
# The recogniser also knows East Asian writing; its full-width signs are plain signs set wide.
_PLAIN = {0x3000: " ", 0x3001: ",", 0x3002: ".", 0x2103: "°C", 0x2109: "°F"} | {
    code: chr(code - 0xFEE0) for code in range(0xFF01, 0xFF5F)
}


def rapid_version() -> str | None:
    """The installed version, or None if the engine or its models are missing."""
    try:
        if all(find_spec(name) for name in _NEEDED) and _models():
            return version("rapidocr")
    except (PackageNotFoundError, ValueError, ImportError):
        return None
    return None


@lru_cache(maxsize=1)
def _models() -> dict[str, Path]:
    """The models that the package carries, to find lines and to read them. Named, none is ever fetched."""
    spec = find_spec("rapidocr")
    if spec is None or not spec.submodule_search_locations:
        return {}
    folder = Path(next(iter(spec.submodule_search_locations))) / "models"
    found = {kind: sorted(folder.glob(f"*_{kind}_*.onnx")) for kind in ("det", "rec")}
    return {kind: paths[-1] for kind, paths in found.items()} if all(found.values()) else {}


@lru_cache(maxsize=1)
def _engine() -> Any:
    from rapidocr import RapidOCR

    models = _models()
    engine = RapidOCR(
        params={
            "Global.log_level": "critical",
            "Global.max_side_len": 10_000,
            "Global.text_score": 0.0,
            "Det.model_path": str(models["det"]),
            "Rec.model_path": str(models["rec"]),
            "Rec.rec_batch_num": _BATCH,
            "EngineConfig.onnxruntime.intra_op_num_threads": _THREADS,
            "EngineConfig.onnxruntime.inter_op_num_threads": 1,
        }
    )
    logging.getLogger("RapidOCR").setLevel(logging.CRITICAL)
    return engine


def lines_in(picture: Array) -> list[Quad]:
    """The lines of text in a grey picture, framed, top to bottom."""
    import cv2

    scale = min(1.0, _DETECTION / max(picture.shape))
    small = cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    found = _engine()(cv2.cvtColor(small, cv2.COLOR_GRAY2BGR), use_det=True, use_cls=False, use_rec=False)
    boxes = getattr(found, "boxes", None)
    if boxes is None:
        return []
    return [Quad(tuple((float(x) / scale, float(y) / scale) for x, y in box)) for box in boxes]


def cut_out(picture: Array, quad: Quad) -> Array:
    """One line's picture, made level, with a little room at its ends."""
    import cv2
    import numpy as np

    a, b, c, d = (np.array(p, np.float32) for p in quad.corners)
    wide, high = float(np.linalg.norm(b - a)), float(np.linalg.norm(d - a))
    room = (b - a) / max(wide, 1.0) * 0.12 * high
    size = (max(4, round(wide + 0.24 * high)), max(4, round(high)))
    corners = np.array([a - room, b + room, c + room, d - room], np.float32)
    target = np.array([(0, 0), (size[0], 0), size, (0, size[1])], np.float32)
    mapping = cv2.getPerspectiveTransform(corners, target)
    return cv2.warpPerspective(picture, mapping, size, flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE)


def read_lines(cuts: Sequence[Array]) -> list[Reading]:
    """What lines' pictures say, in their order."""
    import cv2

    if not cuts:
        return []
    engine = _engine()
    engine.return_word_box = True
    read = engine.recognize_txt([cv2.cvtColor(c, cv2.COLOR_GRAY2BGR) for c in cuts])
    return [_reading(text, info) for text, info in zip(read.txts, read.word_results, strict=True)]


def _reading(text: str, info: Any) -> Reading:
    """The characters that are no blanks, with their places, and the blanks between."""
    columns = [c for word in info.word_cols for c in word]
    whole = max(float(info.line_txt_len), 1.0)
    confidences = list(info.confs)
    if len(columns) != sum(not c.isspace() for c in text) or len(confidences) != len(text):
        columns = [whole * (i + 0.5) / max(len(text), 1) for i, c in enumerate(text) if not c.isspace()]
        confidences = [min(confidences, default=0.0)] * len(text)
    places: list[float] = []
    waiting = iter(columns)
    for char in text:
        last = places[-1] if places else 0.0
        places.append(last if char.isspace() else min(1.0, (next(waiting) + 0.5) / whole))
    return _plain(Reading(text, tuple(places), tuple(float(c) for c in confidences)))


def _plain(reading: Reading) -> Reading:
    """Wide signs made plain; a sign that stands for two keeps its place twice."""
    if reading.text.isascii():
        return reading
    rows = [
        (sign, place, confidence)
        for char, place, confidence in zip(reading.text, reading.places, reading.confidences, strict=True)
        for sign in _PLAIN.get(ord(char), char)
    ]
    return Reading("".join(r[0] for r in rows), tuple(r[1] for r in rows), tuple(r[2] for r in rows))
