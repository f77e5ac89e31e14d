"""The two engines, each loaded once, from models inside their wheels; nothing is fetched.

The first finds stretches of print and reads each (RapidOCR's models on ONNX Runtime: it knows ½ ¼ ¾, and is good at figures);
the second reads a whole picture into words (Tesseract with its English model: it is good at running words, and knows no
fraction). Both give words with boxes on the picture that they were shown.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING, Any

import numpy as np

from histkit.base.errors import HistkitError
from histkit.photo.extras import needed

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from histkit.photo.preparing import Pixels

FIRST, SECOND = "rapidocr", "tesseract"
_LOCK = Lock()
"""Neither engine may be asked by two threads at once."""
MOST_SIDE = 2600
"""Pixels of the longer side on which the first engine looks for print."""


@dataclass(frozen=True, slots=True)
class Seen:
    """A word as an engine saw it: its box in pixels of the prepared picture, its confidence from 0 to 1.

    `cells` says for each letter where it begins and ends across, where the engine knows.
    """

    text: str
    left: float
    top: float
    right: float
    bottom: float
    confidence: float
    cells: tuple[tuple[float, float], ...] = ()
    was: str = ""
    """How it was read at first, where its figures were then read one by one or parted, or a sign told by its shape; "-" where
    nothing was."""
    kind: str = "fraction"
    """The kind of doubt of a word that was read otherwise at first."""

    @property
    def middle(self) -> float:
        """The height of its middle."""
        return (self.top + self.bottom) / 2

    def moved(self, across: float, down: float) -> Seen:
        """The same word further right and down."""
        cells = tuple((left + across, right + across) for left, right in self.cells)
        edges = (self.left + across, self.top + down, self.right + across, self.bottom + down)
        return Seen(self.text, *edges, self.confidence, cells, self.was, self.kind)


def cells_of(word: Seen) -> tuple[tuple[float, float], ...]:
    """Where each letter of a word begins and ends across; where no engine said it, all are taken to be of one width."""
    if len(word.cells) == len(word.text):
        return word.cells
    step = (word.right - word.left) / max(1, len(word.text))
    return tuple((word.left + n * step, word.left + (n + 1) * step) for n in range(len(word.text)))


@dataclass(frozen=True, slots=True, eq=False)
class Stretch:
    """What the first engine found as one stretch of print: its corners (left upper first, clockwise), its words, from left on."""

    corners: NDArray[np.float64]
    words: tuple[Seen, ...]
    confidence: float


# -- the first engine ---------------------------------------------------------------------------------------------------


@cache
def _first() -> Any:
    os.environ["ORT_DISABLE_TELEMETRY"] = "1"  # since 1.29 it would tell its maker of each model that is loaded; read on import
    needed("onnxruntime").disable_telemetry_events()
    rapidocr = needed("rapidocr")
    models = Path(rapidocr.__file__).parent / "models"
    paths = {}
    for part, pattern in (("Det", "*_det_*.onnx"), ("Rec", "*_rec_*.onnx"), ("Cls", "*cls*.onnx")):
        found = sorted(models.glob(pattern))
        if not found:
            raise HistkitError(f"the models of rapidocr are not in its wheel ({models}): pip install 'histkit[photo]' anew")
        paths[f"{part}.model_path"] = str(found[0])
    settings = {
        **paths,
        "Global.log_level": "critical",
        "Global.max_side_len": MOST_SIDE,
        "Global.text_score": 0.0,
        "EngineConfig.onnxruntime.intra_op_num_threads": 1,  # the same sums in the same order: the same answer each time
        "EngineConfig.onnxruntime.inter_op_num_threads": 1,
    }
    return rapidocr.RapidOCR(params=settings)


def corners_of_print(colour: Pixels) -> NDArray[np.float64]:
    """The corners (n × 4 × 2) of every stretch of print that the first engine finds."""
    with _LOCK:
        found = _first()(_bgr(colour), use_det=True, use_cls=False, use_rec=False)
    boxes = getattr(found, "boxes", None)
    if boxes is None or len(boxes) == 0:
        return np.zeros((0, 4, 2))
    return np.asarray(boxes, dtype=np.float64)


def turned_over(colour: Pixels, corners: NDArray[np.float64]) -> float:
    """The share of these stretches that the first engine takes for upside down."""
    votes = []
    with _LOCK:
        for quad in corners:
            answer = _first()(_bgr(cut_out(colour, quad)), use_det=False, use_cls=True, use_rec=False)
            result = getattr(answer, "cls_res", None)
            if result:
                votes.append(str(result[0][0]) == "180" and float(result[0][1]) > 0.6)
    return sum(votes) / len(votes) if votes else 0.0


def stretches(colour: Pixels, corners: Iterable[NDArray[np.float64]]) -> tuple[Stretch, ...]:
    """What the first engine reads in each of these stretches; those in which it reads nothing are left out."""
    made = []
    with _LOCK:
        for quad in corners:
            piece = cut_out(colour, quad)
            if min(piece.shape[:2]) < 4:
                continue
            answer = _first()(_bgr(piece), use_det=False, use_cls=False, use_rec=True, return_word_box=True)
            if answer.txts and answer.txts[0].strip() and answer.word_results[0] is not None:
                words = _words_of(answer.txts[0], answer.word_results[0], quad)
                if words:
                    made.append(Stretch(quad, words, float(answer.scores[0])))
    return tuple(made)


def figures_alone(colour: Pixels, boxes: Iterable[tuple[float, float, float, float]]) -> list[str]:
    """What the first engine reads in each of these small boxes (left, top, right, bottom), each set alone on paper, larger."""
    cv2 = needed("cv2")
    height, width = colour.shape[:2]
    read = []
    with _LOCK:
        for left, top, right, bottom in boxes:
            x, y = max(0, int(left) - 1), max(0, int(top) - 1)
            piece = colour[y : min(height, int(bottom) + 2), x : min(width, int(right) + 2)]
            if min(piece.shape[:2]) < 3:
                read.append("")
                continue
            scale = 32 / piece.shape[0]
            large = cv2.resize(piece, None, fx=scale, fy=scale, interpolation=cv2.INTER_CUBIC)
            paper = tuple(int(value) for value in np.percentile(large.reshape(-1, 3), 95, axis=0))
            framed = cv2.copyMakeBorder(large, 8, 8, 24, 24, cv2.BORDER_CONSTANT, value=paper)
            answer = _first()(_bgr(framed), use_det=False, use_cls=False, use_rec=True)
            read.append(answer.txts[0].strip() if answer.txts else "")
    return read


def _bgr(colour: Pixels) -> Pixels:
    return np.ascontiguousarray(colour[:, :, ::-1])


def cut_out(colour: Pixels, quad: NDArray[np.float64]) -> Pixels:
    """A stretch of print as a level picture of its own."""
    cv2 = needed("cv2")
    width = max(1, round(float(max(np.linalg.norm(quad[0] - quad[1]), np.linalg.norm(quad[3] - quad[2])))))
    height = max(1, round(float(max(np.linalg.norm(quad[0] - quad[3]), np.linalg.norm(quad[1] - quad[2])))))
    level = np.array([[0, 0], [width, 0], [width, height], [0, height]], dtype=np.float32)
    change = cv2.getPerspectiveTransform(quad.astype(np.float32), level)
    made: Pixels = cv2.warpPerspective(colour, change, (width, height), flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE)
    return made


def _words_of(text: str, info: Any, quad: NDArray[np.float64]) -> tuple[Seen, ...]:
    """The words of a stretch, the place of each letter taken from the column in which the engine saw it."""
    columns = [column for group in info.word_cols for column in group]
    length = float(info.line_txt_len) or 1.0
    places = [(column + 0.5) / length for column in columns]
    confidences = list(info.confs)
    letters = [(number, letter) for number, letter in enumerate(text) if not letter.isspace()]
    if len(letters) != len(places) or len(confidences) != len(text):
        places = [(number + 0.5) / max(1, len(text)) for number, _ in letters]
        confidences = [float(np.mean(confidences or [0.0]))] * len(text)
    edges = _edges(places)
    words: list[Seen] = []
    current: list[int] = []
    for n, (number, _) in enumerate(letters):
        if current and number != letters[current[-1]][0] + 1:
            words.append(_word(current, letters, edges, confidences, quad))
            current = []
        current.append(n)
    if current:
        words.append(_word(current, letters, edges, confidences, quad))
    return tuple(words)


def _edges(places: list[float]) -> list[tuple[float, float]]:
    """Where each letter begins and ends, as shares of the stretch: halfway to its neighbours, and not far from its middle."""
    if not places:
        return []
    gaps = sorted(b - a for a, b in pairwise(places) if b > a)
    usual = gaps[len(gaps) // 2] if gaps else 0.5
    found = []
    for n, place in enumerate(places):
        before = (place - places[n - 1]) / 2 if n else usual / 2
        after = (places[n + 1] - place) / 2 if n + 1 < len(places) else usual / 2
        reach = 0.75 * usual
        found.append((max(0.0, place - min(before, reach)), min(1.0, place + min(after, reach))))
    return found


def _word(
    numbers: list[int],
    letters: list[tuple[int, str]],
    edges: list[tuple[float, float]],
    confidences: list[float],
    quad: NDArray[np.float64],
) -> Seen:
    text = "".join(letters[n][1] for n in numbers)
    sure = min(float(confidences[letters[n][0]]) for n in numbers)
    first, last = edges[numbers[0]][0], edges[numbers[-1]][1]

    def at(share: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        return quad[0] + share * (quad[1] - quad[0]), quad[3] + share * (quad[2] - quad[3])

    corners = np.array([*at(first), *at(last)])
    cells = tuple((float(at(a)[0][0]), float(at(b)[0][0])) for a, b in (edges[n] for n in numbers))
    (left, top), (right, bottom) = corners.min(axis=0), corners.max(axis=0)
    return Seen(text, float(left), float(top), float(right), float(bottom), sure, cells)


# -- the second engine --------------------------------------------------------------------------------------------------


@cache
def _second() -> Any:
    tesserocr, tessdata = needed("tesserocr"), needed("tessdata")
    folder = Path(tessdata.data_path())
    if not (folder / "eng.traineddata").is_file():
        raise HistkitError(f"the English model of Tesseract is not in {folder}: pip install 'histkit[photo]' anew")
    return tesserocr.PyTessBaseAPI(path=str(folder), lang="eng", psm=tesserocr.PSM.SINGLE_BLOCK)


def words_of_second(grey: Pixels, sparse: bool = False) -> tuple[Seen, ...]:
    """The words that the second engine reads on a grey picture of one column; `sparse` for scattered words."""
    from PIL import Image

    tesserocr = needed("tesserocr")
    words = []
    with _LOCK:
        engine = _second()
        engine.SetPageSegMode(tesserocr.PSM.SPARSE_TEXT if sparse else tesserocr.PSM.SINGLE_BLOCK)
        engine.SetImage(Image.fromarray(grey))
        engine.SetSourceResolution(300)
        engine.Recognize()
        found = engine.GetIterator()
        if found is not None:
            for place in tesserocr.iterate_level(found, tesserocr.RIL.WORD):
                word = _second_word(place, tesserocr.RIL.WORD)
                if word is not None:
                    words.append(word)
        engine.Clear()
    return tuple(words)


def _second_word(place: Any, level: Any) -> Seen | None:
    try:
        text = place.GetUTF8Text(level).strip()
    except RuntimeError:  # it found a place without a word
        return None
    box = place.BoundingBox(level)
    if not text or box is None:
        return None
    left, top, right, bottom = (float(edge) for edge in box)
    return Seen(text, left, top, right, bottom, float(place.Confidence(level)) / 100)
