"""Soap that forms in a powder: a fatty acid and an alkali that are weighed into it make a binder where they meet.

By equivalents (`soaps.csv`): one of the acid takes one of the alkali, and what is freed (water, carbonic acid gas) flies off.
What has no partner stays as it is; alkali that stays is caustic.
"""

from __future__ import annotations

from dataclasses import dataclass

from histkit.base.bibliography import sourced
from histkit.base.grid import Column, Grid
from histkit.composing.composition import Composition, resolve
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient

TRACE = 0.0005
"""Share of the cake below which what is left over is not told (own judgement)."""


@dataclass(frozen=True, slots=True)
class Soap(Tabular):
    """A soap that forms in a cake, shares of the cake (0–1): what goes in, what comes of it, what of either stays as it was.

    `takes` are the grams of alkali that one gram of the acid takes; `judged_as` is the id whose published levels bear on it, ''
    where none do.
    """

    words: str
    acid: Ingredient
    alkali: Ingredient
    acid_share: float
    alkali_share: float
    share: float
    acid_left: float
    alkali_left: float
    takes: float
    judged_as: str

    def note(self) -> str:
        """What comes of them, in one sentence."""
        acid, alkali = f"{self.acid.name} {100 * self.acid_share:.3g} %", f"{self.alkali.name} {100 * self.alkali_share:.3g} %"
        made = f"{100 * self.share:.3g} % of {self.words}"
        text = f"{acid} and {alkali} of the cake make {made} where they meet wet: it binds, and counts as a binder"
        return text + (f"; {100 * self.acid_left:.2g} % of {self.acid.name} stays free" if self.acid_left >= TRACE else "")

    def warning(self) -> str:
        """That alkali stays free; '' where none does."""
        if self.alkali_left < TRACE:
            return ""
        return (
            f"{100 * self.alkali_left:.2g} % of {self.alkali.name} stays free in the cake and is caustic: 1 g of {self.acid.name}"
            f" takes {self.takes:.3g} g of it at most. Take less of it, or have a safety assessor judge it."
        )

    def _grid(self) -> Grid:
        columns = (Column("soap", "Soap"), Column("share", "In the cake, %", 2), Column("note", "How it comes"))
        return Grid(columns, ((self.words, 100 * self.share, self.note()),), "Soap that forms")


def soaps_formed(cake: Composition) -> tuple[Soap, ...]:
    """The soaps that form of what a cake is weighed from, in the order of `soaps.csv`; what one has taken the next has not."""
    there = {part.ingredient.id: part.share for part in cake.parts}
    out = []
    for row in sourced("bench/soaps"):
        acid, alkali = row["acid"], row["alkali"]
        weights = float(row["acid_equivalent"]), float(row["alkali_equivalent"])
        moles = min(there.get(acid, 0.0) / weights[0], there.get(alkali, 0.0) / weights[1])
        if moles <= 0:
            continue
        before = there[acid], there[alkali]
        there[acid], there[alkali] = before[0] - moles * weights[0], before[1] - moles * weights[1]
        made = moles * (sum(weights) - float(row["freed"]))
        left = there[acid], there[alkali]
        names = (row["words"], resolve(acid), resolve(alkali))
        out.append(Soap(*names, *before, made, *left, weights[1] / weights[0], row["soap"]))
    return tuple(out)
