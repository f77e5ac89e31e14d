"""What a maker chooses, in parts: corrections, stand-ins, wishes, how it is pressed, how much is made. Each checks itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from histkit.base import fields as shapes
from histkit.base.checking import is_whole
from histkit.base.errors import BadValue
from histkit.base.fields import kept
from histkit.base.nouns import UNITS, Amount, Source
from histkit.bench.batch_record import Lot, day
from histkit.bench.extension import LEAST, MOST, Extension
from histkit.bench.scent import FILLS
from histkit.bench.scent_telling import UNITS as UNITS_OF_SCENT
from histkit.bench.weighing import Balance


@dataclass(frozen=True, slots=True)
class Correction:
    """What the maker put right in one line (counted from 0): a field left None stays as it was read."""

    line: int = kept(shapes.MISSING, "the line of a correction, counted from 0,", least=0)
    amount: Amount = kept(None, "a corrected amount, or the two ends of one,", least=0, below=1e9)
    unit: str | None = kept(None, "a corrected unit", choices=tuple(sorted(UNITS)))
    ingredient: str | None = kept(None, "the corrected name")
    leave_out: bool = kept(False, "whether the line is left out, as no ingredient")
    joins_above: bool = kept(False, "whether the line only goes on with the one above it")

    def __post_init__(self) -> None:
        try:
            shapes.check(self)
        except BadValue as error:
            raise BadValue(f"line {self.line + 1 if is_whole(self.line) else self.line!r}: {error}") from error


@dataclass(frozen=True, slots=True)
class Replacement:
    """One stand-in: `parts` are (ingredient id, grams for one gram of the removed)."""

    removed: str = kept(shapes.MISSING, "id of the ingredient that goes")
    parts: tuple[tuple[str, float], ...] = kept(
        shapes.MISSING,
        "what comes in its place: pairs of an id and grams for one gram of what goes; the grams of a stand-in",
        least=0,
    )
    reason: str = kept("", "why, in the maker's words")
    option: str = kept("", "the name of the option in the glossary")

    def __post_init__(self) -> None:
        shapes.check(self)


@dataclass(frozen=True, slots=True)
class Known:
    """What the maker vouches for: an unknown or contested name, or words in the title or directions, with the reason."""

    words: str = kept(shapes.MISSING, "the printed words, the name, or the id of the part")
    reason: str = kept(shapes.MISSING, "why it is known to be harmless, in the maker's words; it is printed on the sheet")

    def __post_init__(self) -> None:
        shapes.check(self)
        if not self.words.strip() or not self.reason.strip():
            raise BadValue("what is declared known has words, and a reason that is printed on the sheet")


@dataclass(frozen=True, slots=True)
class Constraints:
    """What the maker will not have among the stand-ins, and the product and region whose law counts."""

    avoid: tuple[str, ...] = kept((), "what is not wanted, in the words that `substitutes` knows")
    market: str = kept("EU", "the region whose law counts")
    product: str | None = kept(None, "the sort of product whose law counts; null: guessed from the title")

    def __post_init__(self) -> None:
        shapes.check(self)


@dataclass(frozen=True, slots=True)
class Pressing:
    """How the powder is pressed; shares (0–1) are of the finished cake, or of the powder where `of` says so."""

    binder: str | None = kept("magnesium-stearate", "id of the dry binder")
    binder_share: float = kept(0.05, "binder_share, the share of the dry binder,", least=0, below=1)
    oil: str | None = kept("jojoba-oil", "id of the liquid binder")
    oil_share: float = kept(0.03, "oil_share, the share of the liquid binder,", least=0, below=1)
    more_binders: tuple[tuple[str, float], ...] = kept(
        (), "further dry binders with their shares; such a share", least=0, below=1
    )
    more_oils: tuple[tuple[str, float], ...] = kept(
        (), "further liquid binders with their shares; such a share", least=0, below=1
    )
    of: str = kept("cake", "what the shares are of", choices=("cake", "powder"))
    oil_from: str = kept("share", "where the amount of oil comes from", choices=("share", "absorption", "drops"))
    oil_drops: float = kept(0.0, "the drops of oil (where oil_from is 'drops')", least=0)
    drops_powder_grams: float = kept(0.0, "the grams of powder that these drops go into", least=0)
    wetting: str | None = kept(None, "id of the liquid for wet pressing, which dries off")
    wetting_share: float = kept(0.2, "the grams of it for one gram of powder", least=0, below=10)
    cake: str = kept("", "the sort of cake whose published levels are shown, 'face powder'")
    press: str = kept("", "the way of pressing", choices=("", "thumb", "dowel", "clamp", "arbor"))
    pressure_mpa: float | None = kept(None, "the pressure in MPa, where it is known,", above=0)

    def __post_init__(self) -> None:
        shapes.check(self)


@dataclass(frozen=True, slots=True)
class Pack:
    """What is at hand of an ingredient and how it is sold: its lot, dates (2026-05-31), and the sizes of packs in grams."""

    ingredient: str = kept(shapes.MISSING, "id of the ingredient")
    lot: str = kept("", "the lot or charge on the pack")
    opened: str = kept("", "the date on which it was opened, as 2026-05-31")
    best_before: str = kept("", "the best-before date of the pack, as 2026-05-31")
    months: float | None = kept(None, "the months that it keeps once it is open,", above=0, most=600)
    sizes: tuple[float, ...] = kept((), "the sizes of the packs that are sold, grams; such a size", above=0)

    def __post_init__(self) -> None:
        shapes.check(self)
        day(self.opened, f"the date on which {self.ingredient} was opened")
        day(self.best_before, f"the best-before date of {self.ingredient}")

    def as_lot(self) -> Lot:
        """The pack as the record of a batch keeps it."""
        return Lot(self.lot, day(self.opened, "opened"), day(self.best_before, "best before"), self.months)


@dataclass(frozen=True, slots=True)
class Weighing:
    """How much is made, in which pans, and the balance it is weighed on (grams, millimetres)."""

    grams: float = kept(60.0, "the grams to make", above=0)
    readability: float = kept(0.01, "the readability of the balance, grams,", above=0)
    minimum: float = kept(0.2, "the least that the balance weighs well, grams,", least=0)
    pans: int = kept(0, "the number of pans", least=0, most=10_000)
    pan_diameter_mm: float = kept(44.0, "the diameter of a round pan", above=0)
    pan_depth_mm: float = kept(4.0, "the depth of a pan", above=0)
    pan_width_mm: float | None = kept(None, "the width of a rectangular pan (which then goes before the diameter)", above=0)
    pan_length_mm: float | None = kept(None, "the length of a rectangular pan", above=0)
    below_rim_mm: float = kept(0.0, "how far below the rim the cake ends", least=0)
    density_g_cm3: float | None = kept(None, "a measured density of the cake", above=0)
    make: str = kept("grams", "what decides the size of the batch", choices=("grams", "pans", "cupboard"))
    allowance: float = kept(0.1, "the share by which a batch for pans is larger, for what sticks to the tools,", least=0, most=1)
    cupboard: tuple[tuple[str, float], ...] = kept((), "what is at hand: pairs of an id and grams; such grams", above=0)
    repeatability: float | None = kept(None, "the standard deviation of repeated weighings, grams,", least=0)
    balance: str = kept("", "the name of the balance")
    error_limit: float = kept(0.05, "the share that a weighing may be off", above=0, below=1)
    number: str = kept("", "the batch number")
    notes: str = kept("", "notes on this batch")
    own_drops: tuple[tuple[str, float], ...] = kept(
        (),
        "the maker's own dropper: pairs of a liquid's id and the grams that 20 drops of it weigh; such grams",
        above=0,
        below=10,
    )
    together: bool = kept(False, "whether several small amounts of a sort share one dilution")
    made_on: str = kept("", "the date on which the batch was made, as 2026-05-31")
    packs: tuple[Pack, ...] = kept((), "the packs that a batch was made from, once it was made")

    def __post_init__(self) -> None:
        shapes.check(self)
        if (self.pan_width_mm is None) != (self.pan_length_mm is None):
            raise BadValue("a rectangular pan has both pan_width_mm and pan_length_mm")
        day(self.made_on, "the date on which the batch was made")

    def scales(self) -> Balance:
        """The balance."""
        return Balance(self.readability, self.minimum, self.repeatability, self.balance, self.own_drops)

    def pan(self) -> dict[str, Any]:
        """The size of a pan, by the names of a `Filling`."""
        if self.pan_width_mm is not None and self.pan_length_mm is not None:
            size = {"width_mm": self.pan_width_mm, "length_mm": self.pan_length_mm}
        else:
            size = {"diameter_mm": self.pan_diameter_mm}
        return {**size, "depth_mm": self.pan_depth_mm, "below_rim_mm": self.below_rim_mm}


COMPANIONS = ("formula", "list", "old list", "record")
"""What may stand beside a formula: another as printed, a label's list, a list whose order means nothing, a record in a file."""


@dataclass(frozen=True, slots=True)
class Companion:
    """Something that is set side by side with the formula."""

    text: str = kept(shapes.MISSING, "the formula or list as printed; for a record the name of its file")
    form: str = kept("formula", "what it is", choices=COMPANIONS)
    name: str = kept("", "what it is called; its title where empty")
    source: Source = kept(Source, "the book that it is from")
    one_percent_from: str = kept("", "for a label's list: the name from which on all is below 1 %, where it is known")

    def __post_init__(self) -> None:
        shapes.check(self)
        if not self.text.strip():
            raise BadValue("what is set side by side with the formula has a text")


@dataclass(frozen=True, slots=True)
class AddedScent:
    """A scent that the maker adds to the formula's own."""

    ingredient: str = kept(shapes.MISSING, "id of what is added for its scent")
    amount: float = kept(shapes.MISSING, "how much of it is added", above=0, below=1e6)
    unit: str = kept("drop", "the unit of that", choices=UNITS_OF_SCENT)

    def __post_init__(self) -> None:
        shapes.check(self)


@dataclass(frozen=True, slots=True)
class Scenting:
    """How strong the scent is beside what the formula prints, and what is added to it."""

    strength: float = kept(1.0, "how many times as strong the whole scent is; 0 is unscented", least=0, below=20)
    changed: tuple[tuple[str, float], ...] = kept(
        (), "pairs of a scent's id and how many times as much of it is taken; such a number", least=0, below=20
    )
    fill: str = kept("powder", "what fills up where a part is lessened", choices=FILLS)
    added: tuple[AddedScent, ...] = kept((), "what is added")
    per_grams: float = kept(100.0, "the grams of powder that it is added to", above=0)

    def __post_init__(self) -> None:
        shapes.check(self)


@dataclass(frozen=True, slots=True)
class TakenExtension:
    """A colour extension that goes into the powder."""

    pigment: str = kept(shapes.MISSING, "id of the pigment of a colour extension")
    base: str = kept("talc", "id of the powder that it is ground into")
    share: float = kept(0.2, "the share of pigment in it", least=LEAST, most=MOST)
    per_cent: float | None = kept(
        None, "per cent of the powder that is this extension; null: the pigment of the formula goes in as it,", above=0, most=90
    )

    def __post_init__(self) -> None:
        shapes.check(self)

    def extension(self) -> Extension:
        """The extension itself. Raises BadValue or UnknownName for what cannot be ground."""
        return Extension(self.pigment, self.base, self.share)
