"""How pictures look: three looks of our own in `looks.csv`, or a maker's own in a small table like it; with their contrast.

Old things are drawn in rust and new ones in blue: the two stay apart for people who cannot tell red from green, differ in
lightness as well, and never carry a meaning that is not also in words or signs.
"""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from histkit.base.descriptions import Tone
from histkit.base.errors import BadValue, quoted
from histkit.base.files import write_atomically
from histkit.base.tables import read
from histkit.base.text import csv_text

LEAST_CONTRAST = 4.5
"""WCAG 2.2, success criterion 1.4.3 (level AA): contrast of text against its background."""

LEAST_GRAPHIC_CONTRAST = 3.0
"""WCAG 2.2, success criterion 1.4.11: contrast of graphic objects that carry meaning, such as bars."""

TEXTS, BARS = ("ink", "muted", "old", "new"), ("was", "now", "came")
COLOURS = ("paper", *TEXTS, *BARS, "hair")
_FACES = {"printed face": "printed", "today face": "today"}
_RANGES = {"margin": (5.0, 15.0), "plate": (60.0, 100.0)}


@dataclass(frozen=True, slots=True)
class Look:
    """Colours as #rrggbb by name, the faces of the book's words and of today's, and two shares (0–1).

    `paper` lies behind, `ink`, `muted` (what stands back), `old` (what went) and `new` are colours of text, `was`, `now` and
    `came` (what stands in or was added) of bars, `hair` of thin lines that only decorate. `margin` is the share of each side
    that stays empty, `plate` how much of the film the plate behind the text of a transparent picture covers.
    """

    name: str
    colours: tuple[tuple[str, str], ...]
    printed: str
    today: str
    margin: float
    plate: float

    def colour(self, name: str) -> str:
        """The colour of that name."""
        return dict(self.colours)[name]

    def tone(self, tone: Tone) -> str:
        """The colour of text of that tone."""
        return self.colour(tone)


@cache
def looks() -> dict[str, Look]:
    """Our own looks by name, in the order of the table."""
    rows = read("display/looks")
    names = dict.fromkeys(row["look"] for row in rows)
    return {name: _made(name, {row["name"]: row["value"] for row in rows if row["look"] == name}) for name in names}


def look(name: str | Path | Look) -> Look:
    """The look of that name; or the one in a file (.csv), a table with the columns name and value like `looks.csv`.

    What the file leaves out is as in "paper".

    Raises:
        BadValue: there is no such look or file, or a row of it says what no picture can have; it names the line.
    """
    if isinstance(name, Look):
        return name
    if str(name).lower().endswith(".csv"):
        return _read(Path(name))
    try:
        return looks()[str(name)]
    except KeyError:
        known = ", ".join(map(repr, looks()))
        raise BadValue(f"a look is one of {known}, or a file of your own that ends in .csv, not {quoted(name)}") from None


def own(path: Path) -> Path:
    """The file of a maker's own look; where there is none yet it is written, as a table like "paper" to be changed.

    Raises:
        RecordError: it cannot be written.
    """
    if not path.exists():
        rows = [row for row in read("display/looks") if row["look"] == "paper"]
        table = csv_text([("name", "value", "meaning"), *((row["name"], row["value"], row["meaning"]) for row in rows)])
        write_atomically(path, table)
    return path


def _read(path: Path) -> Look:
    """A maker's own look."""
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            reader = csv.DictReader(file)
            heads = [head.strip() for head in reader.fieldnames or ()]
            lines = [(number, dict(zip(heads, row.values(), strict=False))) for number, row in enumerate(reader, start=2)]
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise BadValue(f"{path}: the look cannot be read as a table in UTF-8: {error}") from error
    if not {"name", "value"} <= set(heads):
        raise BadValue(f"{path}, line 1: a look has the columns name and value, not {', '.join(heads) or 'none'}")
    ours = looks()["paper"]
    values = {**dict(ours.colours), "printed face": ours.printed, "today face": ours.today}
    values |= {"margin": f"{100 * ours.margin:g}", "plate": f"{100 * ours.plate:g}"}
    where: dict[str, int] = {}
    for number, row in lines:
        name, value = str(row["name"] or "").strip(), str(row["value"] or "").strip()
        if not name:
            continue
        if fault := _fault(name, value):
            raise BadValue(f"{path}, line {number}: {fault}")
        values[name] = value
        where[name] = number
    made = _made(path.stem, values)
    for name, least in (*((n, LEAST_CONTRAST) for n in TEXTS), *((n, LEAST_GRAPHIC_CONTRAST) for n in BARS)):
        found = contrast(made.colour(name), made.colour("paper"))
        if found < least:
            line, paper_colour = where.get(name) or where.get("paper") or 1, made.colour("paper")
            raise BadValue(
                f"{path}, line {line}: {name} {made.colour(name)} on paper {paper_colour} has a contrast of {found:.1f}; "
                f"it must be at least {least:g}, so take a {'darker' if luminance(paper_colour) > 0.18 else 'lighter'} one"
            )
    return made


def _fault(name: str, value: str) -> str:
    """What is wrong with a row, and what would be right; '' where nothing is."""
    if name in COLOURS:
        return "" if re.fullmatch(r"#[0-9a-fA-F]{6}", value) else f"{name} is a colour like #1f5468, not {quoted(value)}"
    if name in _FACES:
        from histkit.display.typesetting import families

        return "" if value in families() else f"the {name} is one of {', '.join(sorted(families()))}, not {quoted(value)}"
    if name in _RANGES:
        low, high = _RANGES[name]
        fits = re.fullmatch(r"\d+(\.\d+)?", value) and low <= float(value) <= high
        return "" if fits else f"{name} is per cent from {low:g} to {high:g}, not {quoted(value)}"
    return f"a look has no {quoted(name)}; it has {', '.join((*COLOURS, *_FACES, *_RANGES))}"


def _made(name: str, values: dict[str, str]) -> Look:
    colours = tuple((colour, values[colour].lower()) for colour in COLOURS)
    faces = (values["printed face"], values["today face"])
    return Look(name, colours, *faces, float(values["margin"]) / 100, float(values["plate"]) / 100)


def luminance(colour: str) -> float:
    """Relative luminance of #rrggbb, as WCAG 2.2 defines it."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, two: str) -> float:
    """Contrast ratio of two colours, 1 to 21, as WCAG 2.2 defines it."""
    light, dark = sorted((luminance(one), luminance(two)), reverse=True)
    return (light + 0.05) / (dark + 0.05)
