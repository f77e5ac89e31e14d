"""Swatches as a record keeps them, and the study that they make together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from itertools import pairwise

from histkit import glossary
from histkit.base import fields as shapes
from histkit.base.checking import is_number, positive
from histkit.base.errors import BadValue, quoted
from histkit.base.fields import kept
from histkit.base.grid import Column, Grid
from histkit.base.text import Cell, listed
from histkit.bench.extension import LEAST, MOST, Extension
from histkit.shade.cards import LIGHTS, Card, read_card
from histkit.shade.colour import Colour, depth_called
from histkit.shade.slopes import Slopes
from histkit.shade.study import IN_A_HUNDRED, Addition, Prediction, Study, Swatch

MOST_IN_A_HUNDRED = 100.0
"""Grams of one addition in 100 g of powder beyond which no correction goes (own judgement)."""
NOTHING = 1e-6
"""Grams below which nothing is added."""
ROLES = ("base", "tint", "powder", "target")


@dataclass(frozen=True, slots=True)
class GroundIn:
    """What was ground into a powder: a colour extension, or more of a plain powder."""

    what: str = kept(shapes.MISSING, "id of the pigment of an extension, or of a plain powder,")
    grams: float = kept(shapes.MISSING, "the grams that were ground in", above=0, below=1e6)
    share: float | None = kept(None, "the share of pigment in the extension; null: a plain powder", least=LEAST, most=MOST)
    base: str = kept("talc", "id of the powder that the pigment is ground into")

    def __post_init__(self) -> None:
        shapes.check(self)

    @property
    def name(self) -> str:
        """What it is called, the same as in what is proposed."""
        return glossary.name_of(self.what) if self.share is None else Extension(self.what, self.base, self.share).name


@dataclass(frozen=True, slots=True)
class KeptSwatch:
    """A swatch and what it is: the bare base, a tint of one pigment, the powder as it is now, or what it is to look like.

    A powder may say what was ground in since the powder kept before it; then it tells what that did.
    """

    name: str = kept(shapes.MISSING, "the name of a swatch")
    role: str = kept(shapes.MISSING, "what a swatch is", choices=ROLES)
    channels: tuple[float, float, float] = kept(
        shapes.MISSING, "red, green and blue of a swatch, as shares of white in linear light; such a share", least=0, most=1.05
    )
    pigments: tuple[tuple[str, float], ...] = kept(
        (), "what colour is in a swatch: pairs of an id and its share of the mass; such a share", above=0, below=1
    )
    error: float = kept(0.01, "what the channels of a swatch may be off, as a share,", least=0, below=1)
    added: tuple[GroundIn, ...] = kept((), "what was ground in since the swatch of the powder that was kept before")
    into: float = kept(100.0, "the grams of powder that it was ground into", above=0, below=1e6)

    def __post_init__(self) -> None:
        shapes.check(self)

    def swatch(self) -> Swatch:
        """The swatch itself."""
        return Swatch(self.name, self.channels, self.pigments, self.error)


def study_of(swatches: Sequence[KeptSwatch]) -> Study:
    """The study of the kept swatches: one base, and tints.

    Raises BadValue where there is no base, or more than one, or no tint.
    """
    bases = [s for s in swatches if s.role == "base"]
    if len(bases) != 1:
        raise BadValue(f"keep one swatch of the bare base; {len(bases) or 'none'} {'is' if not bases else 'are'} kept")
    return Study(bases[0].swatch(), tuple(s.swatch() for s in swatches if s.role == "tint"))


def target_of(swatches: Sequence[KeptSwatch], named: str = "") -> Colour:
    """The colour that the powder is to have: that of the swatch kept as the target, of a class of skin ('tan'), or '#bc9a86'.

    Raises BadValue where none is kept, or several are, or nothing is called so.
    """
    if named:
        return Colour.from_hex(named) if named.startswith("#") else depth_called(named).middle
    targets = [s for s in swatches if s.role == "target"]
    if len(targets) != 1:
        raise BadValue(f"keep one swatch as the target; {len(targets)} are kept")
    return targets[0].swatch().colour


def forecast(swatches: Sequence[KeptSwatch], shares: Mapping[str, float], target: str = "") -> tuple[Prediction, float | None]:
    """What the base with these shares of pigments will look like, and how far (CIEDE2000) from the target; None without a target.

    Raises BadValue where base or tints are missing, or a pigment has no tint.
    """
    made = study_of(swatches).predict(shares)
    if not target and not any(s.role == "target" for s in swatches):
        return made, None
    return made, made.colour.difference(target_of(swatches, target))


def swatches_grid(swatches: Sequence[KeptSwatch | Swatch]) -> Grid:
    """The colours of swatches in figures: L*a*b*, the angle and class of the skin that each would be, and the hex of a screen."""
    columns = (
        Column("name", "Swatch"),
        Column("lightness", "L*", 1),
        Column("a", "a*", 1),
        Column("b", "b*", 1),
        Column("ita", "ITA, degrees", 0),
        Column("depth", "As a skin"),
        Column("hex", "On a screen, about"),
        Column("error", "May be off"),
    )
    rows: list[tuple[Cell, ...]] = []
    for s in swatches:
        colour = (s.swatch() if isinstance(s, KeptSwatch) else s).colour
        rows.append((s.name, *colour.axes, colour.ita, colour.depth or "none", colour.hex, f"{s.error:.1%}"))
    note = "L*a*b* under daylight (D65, 2 degrees). A screen shows a colour only about: compare pressed powders, not screens."
    return Grid(columns, tuple(rows), "Swatches in figures", (note,))


def next_addition(
    swatches: Sequence[KeptSwatch], grams: float, share: float = 0.2, part: float = 0.5, target: str = ""
) -> Addition:
    """What to add to so many grams of the powder whose swatch was kept last, of extensions that hold `share` of pigment.

    Raises BadValue where base, tint, powder or target is missing.
    """
    now, study = last_powder(swatches).swatch(), study_of(swatches)
    extensions = [Extension(pigment, share=share) for pigment in study.pigments]
    return study.next_addition(now, target_of(swatches, target), grams, extensions, part)


def last_powder(swatches: Sequence[KeptSwatch]) -> KeptSwatch:
    """The powder as it is now: the one that was kept last. Raises BadValue where none is kept."""
    powders = [s for s in swatches if s.role == "powder"]
    if not powders:
        raise BadValue("keep a pressed swatch of the powder as it is now")
    return powders[-1]


def after_grinding(before: KeptSwatch, added: Sequence[GroundIn], into: float) -> tuple[tuple[str, float], ...]:
    """The pigments of a powder, pairs of id and share, once this was ground into so many grams of it."""
    whole = positive(into, "grams of powder") + sum(a.grams for a in added)
    grams = {pigment: share * into for pigment, share in before.pigments}
    for a in added:
        if a.share is not None:
            grams[a.what] = grams.get(a.what, 0.0) + a.share * a.grams
    return tuple((pigment, mass / whole) for pigment, mass in grams.items())


def measured_slopes(swatches: Sequence[KeptSwatch], share: float = 0.2) -> Slopes:
    """What a gram of each addition does to 100 g of the powder, as the kept batches showed it.

    Of what was never added it is what the tints let expect, where a study is kept, of extensions that hold `share` of pigment.
    Raises BadValue where no powder says what was ground in, or several things went in at once of which one is not known.
    """
    powders = [s for s in swatches if s.role == "powder"]
    steps = [(before, after) for before, after in pairwise(powders) if after.added]
    if not steps:
        raise BadValue("keep the powder as it is now, grind something in, and keep it again with what was ground in")
    plain = tuple(dict.fromkeys(a.what for _, after in steps for a in after.added if a.share is None))
    slopes = Slopes((), IN_A_HUNDRED)
    with suppress(BadValue):  # without base and tints only what was measured counts
        study = study_of(swatches)
        known = {pigment: value for pigment, value in steps[0][0].pigments if pigment in study.pigments}
        slopes = study.slopes(known, [Extension(pigment, share=share) for pigment in study.pigments], plain)
    for before, after in steps:
        added: dict[str, float] = {}
        for a in after.added:
            added[a.name] = added.get(a.name, 0.0) + 100 * a.grams / after.into
        slopes = slopes.learned(added, before.swatch().colour, after.swatch().colour)
    return slopes


def next_by_batches(
    swatches: Sequence[KeptSwatch], grams: float, part: float = 0.5, share: float = 0.2, target: str = ""
) -> Addition:
    """What to add to so many grams of the powder that was kept last, by what the real batches showed.

    Raises BadValue as `measured_slopes`, and where there is no target or no such part.
    """
    positive(grams, "grams of powder")
    if not (is_number(part) and 0 < part <= 1):
        raise BadValue(f"the part of the way is a share above 0, up to 1, not {quoted(part)}")
    slopes, wanted = measured_slopes(swatches, share), target_of(swatches, target)
    now = last_powder(swatches).swatch().colour
    whole = slopes.correction(now, wanted, MOST_IN_A_HUNDRED)
    reached = slopes.after(now, whole)
    notes = []
    if max(whole.values()) > NOTHING:
        notes.append("Grind it in, press a swatch, photograph it beside the card, and keep it with what was ground in.")
    guessed = [name for name in slopes.expected if whole[name] > 0]
    if guessed:
        notes.append(f"Not yet measured on a batch, but expected from the swatches: {listed(guessed)}.")
    if reached.difference(wanted) >= 1:
        notes.append("What was ground in so far does not lead to the target: another colour is wanted, or more base.")
    return Addition(
        tuple((name, part * amount * grams / 100) for name, amount in whole.items()),
        tuple((name, amount * grams / 100) for name, amount in whole.items()),
        slopes.after(now, {name: part * amount for name, amount in whole.items()}),
        now.difference(wanted),
        reached.difference(wanted),
        tuple(notes),
    )


def proposed(
    swatches: Sequence[KeptSwatch], grams: float, part: float, share: float, by_batches: bool = False, target: str = ""
) -> tuple[GroundIn, ...]:
    """What is proposed to add now, as what is ground in. Raises BadValue as the ways of proposing do, and where it is nothing."""
    ways = next_by_batches(swatches, grams, part, share, target) if by_batches else None
    addition = ways or next_addition(swatches, grams, share, part, target)
    pigments = dict.fromkeys(key for s in swatches for key, _ in s.pigments)
    known = [GroundIn(key, 1.0, share) for key in pigments] + [a for s in swatches for a in s.added]
    called = {a.name: a for a in known}
    taken = tuple(replace(called[name], grams=amount) for name, amount in addition.grams if amount > NOTHING)
    if not taken:
        raise BadValue("nothing is to be added now")
    return taken


@dataclass(frozen=True, slots=True)
class KeptCard:
    """A colour card as its maker's sheet gives it: a line for each patch, how many are in a row, and for which daylight."""

    text: str = kept("", "a colour card: a line for each patch, its name and L*, a*, b*, or its name and #bc9a86")
    columns: int = kept(6, "the patches in a row of the colour card", least=1, most=100)
    light: str = kept("D65", "the daylight that its L*a*b* are for", choices=LIGHTS)

    def __post_init__(self) -> None:
        shapes.check(self)

    def card(self) -> Card:
        """The card. Raises BadValue that names the line which is no patch."""
        return read_card(self.text, self.columns, self.light)
