"""Pages for trying the reading of photographs: invented formulas with their keys, set by Typst, then worn or photographed.

All formulas here are invented. The key of a line, (amount, unit, name), is what was set, not what some reader made of it.
"""

from __future__ import annotations

import random
from dataclasses import dataclass
from functools import cache
from io import BytesIO
from pathlib import Path

import numpy as np

NAMES = (
    "Powdered talc", "Orris root", "Precipitated chalk", "Oxide of zinc", "Rice starch", "Carmine", "Cuttlefish bone", "Myrrh",
    "Borax", "White sugar", "Castile soap", "Benzoin", "Camphor", "Gum tragacanth", "Glycerine", "Rose water", "Alcohol",
    "Oil of bergamot", "Oil of cloves", "Oil of lavender", "Oil of lemon", "Otto of roses", "Carbonate of magnesia", "Alum",
    "Spermaceti", "White wax", "Oil of almonds", "Tincture of musk", "Cinnamon", "Armenian bole", "Cream of tartar", "Charcoal",
    "Peruvian bark", "Bicarbonate of soda", "Gum arabic", "Starch", "Cochineal", "Lime water", "Elder-flower water", "Salicylic acid",
)  # fmt: skip
TITLES = ("Pearl Powder", "Violet Powder", "Tooth Powder", "Nursery Powder", "Cold Cream", "Almond Paste", "Hair Wash", "Pink Salve")
CLOSINGS = (
    "Mix, and pass through a fine sieve.",
    "Rub the oils with the sugar, then add the powders by degrees.",
    "Melt together by a gentle heat and stir until cold.",
    "Reduce all to a fine powder and mix well.",
    "Let it stand a week, shaking it daily, and filter.",
)
UNITS = (("oz.", "ounce"), ("lb.", "pound"), ("dr.", "drachm"), ("drachms", "drachm"), ("ounces", "ounce"), ("gr.", "grain"),
         ("grains", "grain"), ("drops", "drop"), ("pints", "pint"), ("parts", "part"))  # fmt: skip
VULGAR = {0.5: "½", 0.25: "¼", 0.75: "¾"}
STACKED = {0.5: (1, 2), 0.25: (1, 4), 0.75: (3, 4), 1 / 3: (1, 3), 2 / 3: (2, 3), 0.125: (1, 8)}
NUMBER_WORDS = {1: "one", 2: "two", 3: "three", 4: "four", 5: "five", 6: "six", 8: "eight", 10: "ten", 12: "twelve", 0.5: "half"}
ROMAN = {1: "j", 2: "ij", 3: "iij", 4: "iv", 5: "v", 6: "vj", 8: "viij", 10: "x", 12: "xij"}
SIGNS = (("℥", "ounce"), ("ʒ", "drachm"), ("℈", "scruple"), ("gr.", "grain"))

SORTS = ("list", "prose", "stacked", "signs")
STATES = ("clean", "worn", "phone", "bent")
TUNING = ("Libertinus Serif", "Old Standard TT", "EB Garamond 12", "STIXGeneral", "Goudy Bookletter 1911", "Liberation Serif")
JUDGING = ("New Computer Modern", "GFS Didot", "Baskervald ADF Std", "Junicode Two Beta", "Caladea", "DejaVu Serif", "Source Serif Pro")
"""Faces to look at while the rules are made, and others to judge them by."""
ALWAYS = ("Libertinus Serif", "New Computer Modern", "STIXGeneral", "DejaVu Serif")
"""Faces that come with what histkit is installed with."""


@dataclass(frozen=True)
class Key:
    """What a line holds: amount (in `unit`), unit by histkit's name, name as printed."""

    amount: float
    unit: str
    name: str


@dataclass(frozen=True)
class Page:
    """Typst mark-up of a page, its plain text, and the key of each line."""

    markup: str
    text: str
    keys: tuple[Key, ...]
    sort: str


def _amount(chance: random.Random, stacked: bool) -> tuple[float, str, str]:
    """An amount: its value, its plain text, its mark-up."""
    kind = chance.random()
    whole = chance.choice((0, 1, 1, 2, 3, 5))
    if kind < (0.6 if stacked else 0.3):
        part = chance.choice(tuple(STACKED) if stacked else tuple(VULGAR))
        over, under = STACKED[part]
        front = str(whole) if whole else ""
        if stacked:
            return whole + part, f"{front} {over}/{under}".strip(), f"{front}#piece({over}, {under})"
        return whole + part, f"{front}{VULGAR[part]}", f"{front}{VULGAR[part]}"
    number = chance.choice((1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 16, 20, 24, 30))
    return float(number), str(number), str(number)


def _listed(chance: random.Random, names: list[str], stacked: bool) -> tuple[list[str], list[str], list[Key]]:
    marks, plain, keys = [], [], []
    leaders = chance.choice((" #leaders ", " #h(1fr) ", ", ", " #leaders "))
    first = chance.random() < 0.3
    for name in names:
        value, text, mark = _amount(chance, stacked)
        printed, unit = chance.choice(UNITS)
        amount, shown = f"{mark} {printed}", f"{text} {printed}"
        marks.append(f"{amount} {name}" if first else f"{name}{leaders}{amount}")
        plain.append(f"{shown} {name}" if first else f"{name}, {shown}")
        keys.append(Key(value, unit, name))
    return marks, plain, keys


def _prose(chance: random.Random, names: list[str]) -> tuple[list[str], list[str], list[Key]]:
    pieces, keys = [], []
    words = chance.random() < 0.5
    for name in names:
        printed, unit = chance.choice(UNITS)
        value = chance.choice((1, 2, 3, 4, 6, 8, 10, 12))
        shown = NUMBER_WORDS[value] if words else str(value)
        if chance.random() < 0.25 and not words:
            part = chance.choice(tuple(VULGAR))
            value, shown = value + part, f"{value}{VULGAR[part]}"
        low = name[0].lower() + name[1:]
        pieces.append(f"of {low}, {shown} {printed}" if chance.random() < 0.5 else f"{shown} {printed} of {low}")
        keys.append(Key(float(value), unit, name))
    text = f"Take {', '.join(pieces[:-1])}, and {pieces[-1]}."
    return [text], [text], keys


def _signed(chance: random.Random, names: list[str]) -> tuple[list[str], list[str], list[Key]]:
    marks, keys = [], []
    leaders = chance.choice((" #leaders ", " ", ", ", " #h(1fr) "))
    for name in names:
        sign, unit = chance.choice(SIGNS)
        value = chance.choice(tuple(ROMAN))
        shown = str(value) if chance.random() < 0.3 else ROMAN[value]
        apart = chance.random() < 0.5 or (sign.isascii() and shown.isdigit())  # 'gr.3.' would be three tenths in any text
        marks.append(f"{name}{leaders}{sign} {shown}." if apart else f"{name}{leaders}{sign}{shown}.")
        keys.append(Key(float(value), unit, name))
    plain = [f"{key.name}, {mark.rsplit(' ', 1)[-1]}" for key, mark in zip(keys, marks, strict=True)]
    return marks, plain, keys


def page(sort: str, seed: int) -> Page:
    """An invented formula of a sort."""
    chance = random.Random(f"{sort}{seed}")
    names = chance.sample(NAMES, chance.randint(4, 8))
    makers = {
        "list": lambda: _listed(chance, names, False),
        "stacked": lambda: _listed(chance, names, True),
        "prose": lambda: _prose(chance, names),
        "signs": lambda: _signed(chance, names),
    }
    marks, plain, keys = makers[sort]()
    title, closing = chance.choice(TITLES), chance.choice(CLOSINGS)
    breaks = " \\\n"
    markup = f"#align(center)[#title[{title}.]]\n\n{breaks.join(marks)}\n\n{closing}\n"
    return Page(markup, "\n".join([f"{title}.", *plain, closing]), tuple(keys), sort)


_PREAMBLE = """#set page(width: {width}mm, height: auto, margin: 8mm, fill: white)
#set text(font: ("{face}", "DejaVu Serif", "DejaVu Sans"), size: {size}pt, lang: "en", features: ("lnum",))
#set par(leading: {leading}em, justify: {justify})
#let title(body) = text(size: 1.1em, upper(body))
#let leaders = box(width: 1fr, repeat[ . ])
#let piece(over, under) = box(baseline: 33%, inset: (x: 0.05em), stack(dir: ttb, spacing: 0.12em,
  align(center, text(size: 0.58em, str(over))), line(length: 0.42em, stroke: 0.05em),
  align(center, text(size: 0.58em, str(under)))))
"""


def folders(more: Path | None = None) -> tuple[Path, ...]:
    """Where faces lie: those of Matplotlib, of the installed packages, Debian's, and one folder more."""
    import matplotlib

    found = [Path(matplotlib.get_data_path()) / "fonts" / "ttf", Path("/usr/share/fonts")]
    for package in ("font_source_serif_pro", "font_source_sans_pro"):
        try:
            found.append(Path(__import__(package).__file__).parent / "files")
        except ImportError:
            continue
    return (*found, *([more] if more else []))


@cache
def _fonts(paths: tuple[Path, ...]):
    import typst

    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=True, font_paths=[str(p) for p in paths if p.is_dir()])


def faces_there(names: tuple[str, ...], more: Path | None = None) -> tuple[str, ...]:
    """Those of the faces that this machine has."""
    families = set(_fonts(folders(more)).families())
    return tuple(name for name in names if name in families)


def markup_of(body: str, face: str, size: float = 10, width: int = 95, leading: float = 0.65, justify: bool = True) -> str:
    """A whole Typst document."""
    preamble = _PREAMBLE.format(face=face, size=size, width=width, leading=leading, justify=str(justify).lower())
    return preamble + body


def set_page(markup: str, dpi: int = 300, more: Path | None = None, form: str = "png") -> bytes:
    """A document as PNG or PDF."""
    import typst

    extra = {"ppi": float(dpi)} if form == "png" else {}
    compiler = typst.Compiler(markup.encode(), font_paths=_fonts(folders(more)))
    made = compiler.compile(format=form, **extra)
    return made[0] if isinstance(made, list) else made


def set_image(markup: str, dpi: int = 300, more: Path | None = None):
    """A document as a grey picture of Pillow."""
    from PIL import Image

    return Image.open(BytesIO(set_page(markup, dpi, more))).convert("L")


def aged(image, state: str, seed: int, back=None):
    """The picture as a clean scan, a worn one, or as a telephone sees it, the page flat or bent (RGB)."""
    from PIL import Image

    chance = np.random.default_rng(seed)
    if state == "clean":
        return image.convert("RGB")
    ink = 1 - np.asarray(image, dtype=np.float64) / 255
    made = _worn(ink, chance, back) if state == "worn" else _seen_by_phone(_bent(ink, chance) if state == "bent" else ink, chance)
    picture = Image.fromarray((np.clip(made, 0, 1) * 255).astype(np.uint8), "RGB" if made.ndim == 3 else "L").convert("RGB")
    kept = BytesIO()
    picture.save(kept, "JPEG", quality=80 if state == "worn" else 72)
    return Image.open(kept).convert("RGB")


def _blurred(values, sigma: float):
    import cv2

    return cv2.GaussianBlur(values, (0, 0), sigma)


def _worn(ink, chance, back):
    """Uneven ink, specks, breaks, a slight skew, paper darker at one side, the other page showing through."""
    import cv2

    height, width = ink.shape
    patches = _blurred(chance.normal(size=ink.shape), 25)
    patches = patches / np.abs(patches).max()
    grain = _blurred(chance.normal(size=ink.shape), 0.9)
    grain = grain / grain.std()
    ink = _blurred(ink, float(chance.uniform(0.7, 1.1)))
    ink = np.clip((ink - 0.42 - 0.10 * patches - 0.07 * grain) * 3.2 + 0.5, 0, 1)
    specks = _blurred((chance.random(ink.shape) > 0.9998).astype(np.float64), 1.1) * 5
    ink = np.clip(ink + np.clip(specks, 0, 0.8), 0, 1)
    if back is not None:
        other = 1 - np.asarray(back.resize((width, height)).transpose(0), dtype=np.float64) / 255
        ink = np.maximum(ink, 0.16 * _blurred(other, 2.0))
    turn = cv2.getRotationMatrix2D((width / 2, height / 2), float(chance.uniform(-1.5, 1.5)), 1.0)
    ink = cv2.warpAffine(ink, turn, (width, height))
    across = np.linspace(0, 1, width)[None, :]
    paper = 0.90 - 0.14 * across * chance.uniform(0.3, 1) + 0.03 * patches
    return paper * (1 - 0.86 * ink) + chance.normal(scale=0.02, size=ink.shape)


def _bent(ink, chance):
    """As the page of a thick book lies: its lines rise or fall towards the back, at the head otherwise than at the foot."""
    import cv2

    ink = np.pad(ink, 80)
    tall, wide = ink.shape
    x, y = np.meshgrid(np.arange(wide, dtype=np.float32), np.arange(tall, dtype=np.float32))
    to_the_back = x / wide if chance.random() < 0.5 else 1 - x / wide
    head, foot = chance.uniform(-0.05, 0.05, size=2) * wide
    fall = (head + (foot - head) * y / tall) * to_the_back**2
    return cv2.remap(ink, x, (y - fall).astype(np.float32), cv2.INTER_LINEAR)


def _seen_by_phone(ink, chance):
    """About 240 dpi: perspective, shade across the page, a little out of focus, coloured light, noise, the table at the edges."""
    import cv2

    ink = cv2.resize(ink, None, fx=0.8, fy=0.8, interpolation=cv2.INTER_AREA)
    width = ink.shape[1]
    margin = int(0.06 * width)
    canvas = np.pad(ink, margin, constant_values=0)
    paper = np.pad(np.ones_like(ink), margin, constant_values=0.35)
    tall, wide = canvas.shape
    corners = np.float32([(0, 0), (wide, 0), (wide, tall), (0, tall)])
    shifted = corners + np.float32(chance.uniform(-0.028, 0.028, size=(4, 2)) * (wide, wide))
    change = cv2.getPerspectiveTransform(corners, shifted.astype(np.float32))
    canvas = cv2.warpPerspective(canvas, change, (wide, tall))
    paper = cv2.warpPerspective(paper, change, (wide, tall), borderValue=0.35)
    slope = np.linspace(0, 1, wide)[None, :] * chance.uniform(-0.35, 0.35) + np.linspace(0, 1, tall)[:, None] * chance.uniform(-0.3, 0.3)
    light = np.clip(0.80 + slope, 0.42, 1.0)
    grey = paper * light * (1 - 0.82 * _blurred(canvas, float(chance.uniform(0.8, 1.25))))
    colour = grey[:, :, None] * np.array([1.0, 0.95, 0.86])
    return colour + chance.normal(scale=0.018, size=colour.shape)


def rendered(sort: str, seed: int, face: str, state: str, more: Path | None = None):
    """A page of a sort in a face and a state: (picture, Page)."""
    chance = random.Random(f"{sort}{seed}{face}")
    made = page(sort, seed)
    size, leading = chance.choice((9, 10, 11)), chance.choice((0.55, 0.65, 0.8))
    image = set_image(markup_of(made.markup, face, size, chance.choice((80, 95, 105)), leading), 300, more)
    back = set_image(markup_of(page("prose", seed + 7000).markup, face), 150, more) if state == "worn" else None
    return aged(image, state, seed, back), made
