"""Makes `histkit/photo/sign_shapes.csv`: how ℥ ʒ ℈, and what may be taken for them, look as pieces of ink in faces with these signs.

    python tests/sign_shapes.py FOLDER_WITH_FONT_FILES

Each glyph is drawn in every face of `FACES` that has it, sharp and blurred, thick and thin, a little larger and smaller, and what comes out is gathered round a few
middles; only these are kept. None of the faces that `tests/photo/judge.py` judges by is among them.
"""

from __future__ import annotations

import csv
import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from histkit.photo.signs import ACROSS, DOWN, coded, seen_as

FACES = (
    "FreeSerif.otf", "FreeSerifItalic.otf", "STIX-Regular.otf", "STIX-Italic.otf", "Symbola_hint.ttf",
    "Cardo104s.ttf", "Cardoi99.ttf", "LinLibertine_RZ.otf", "LinLibertine_RZI.otf", "LinLibertine_R.otf", "LinLibertine_RI.otf", "EBGaramond12-Regular.otf",
    "EBGaramond12-Italic.otf", "OldStandard-Regular.otf", "OldStandard-Italic.otf", "GentiumPlus-Regular.ttf", "GentiumPlus-Italic.ttf",
    "CharisSIL-Regular.ttf", "GoudyBookletter1911.otf", "LiberationSerif-Regular.ttf", "LiberationSerif-Italic.ttf",
)  # fmt: skip
SIGNS = "℥ʒ℈"
OTHERS = "0123456789ivxjlcsagzytqIVXEeBZSLJ"
MIDDLES = {True: 8, False: 2}
"""Middles that a sign, and another letter, are gathered round."""
HIGH = 20.0
TABLE = Path(__file__).resolve().parents[1] / "histkit" / "photo" / "sign_shapes.csv"


def drawn(font: Path, letter: str) -> list[np.ndarray]:
    """The features of a letter in a face, drawn in several states; none where the face has it not."""
    from fontTools.ttLib import TTFont
    from PIL import Image, ImageDraw, ImageFont

    if ord(letter) not in TTFont(font, lazy=True).getBestCmap():
        return []
    from cv2 import GaussianBlur

    face = ImageFont.truetype(str(font), 200)
    x_height = -face.getbbox("x", anchor="ls")[1]
    face = ImageFont.truetype(str(font), round(200 * 4 * HIGH / x_height))  # four times as large, then made small
    image = Image.new("L", (480, 560), 0)
    ImageDraw.Draw(image).text((120, 320), letter, fill=255, font=face, anchor="ls")
    small = np.asarray(image.resize((120, 140), Image.Resampling.BOX), dtype=np.float64) / 255
    made = []
    for blur in (0.5, 1.0, 1.6):
        for threshold in (0.32, 0.5, 0.62):
            ink = GaussianBlur(small, (0, 0), blur) > threshold
            rows, columns = np.flatnonzero(ink.any(axis=1)), np.flatnonzero(ink.any(axis=0))
            if len(rows):
                box = (columns[0], rows[0], columns[-1] + 1, rows[-1] + 1)
                made += [seen_as(ink, box, 80.0, HIGH * scale) for scale in (0.88, 1.0, 1.12)]
    return made


def gathered(features: np.ndarray, count: int) -> np.ndarray:
    """The middles of these features: each moved to those nearest to it until nothing changes."""
    chance = np.random.default_rng(7)
    middles = features[chance.choice(len(features), min(count, len(features)), replace=False)]
    for _ in range(40):
        nearest = np.square(features[:, None] - middles[None]).sum(axis=2).argmin(axis=1)
        middles = np.array([features[nearest == n].mean(axis=0) if (nearest == n).any() else middles[n] for n in range(len(middles))])
    return middles


def main(folder: Path) -> None:
    files = {path.name: path for path in sorted([*folder.rglob("*.otf"), *folder.rglob("*.ttf")])}
    used = [name for name in FACES if name in files]
    with TABLE.open("w", encoding="utf-8", newline="") as out:
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(["letter", "sign", "width", "rise", "fall", "shape"])
        for letter in SIGNS + OTHERS:
            features = [f for name in used for f in drawn(files[name], letter)]
            for middle in gathered(np.array(features), MIDDLES[letter in SIGNS]):
                writer.writerow([letter, letter if letter in SIGNS else "", *coded(middle)])
    print(f"{len(used)} faces: {', '.join(used)}; {ACROSS} × {DOWN}")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
