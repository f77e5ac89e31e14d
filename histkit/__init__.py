"""histkit: from a printed antique toilet or pharmacy formula to a powder that can be weighed, pressed and shown.

    source = histkit.Source(title="…", year=1872, country="GB", kind="trade receipt book")
    formula = histkit.read(text, source=source)
    translation = histkit.translate(formula)
    composition = translation.composition().replace("lead-carbonate", {"zinc-oxide": 0.7, "titanium-dioxide": 0.3})
    pressed = histkit.press(composition, binder="magnesium-stearate", binder_share=0.05, oil="jojoba-oil", oil_share=0.03)
    batch = histkit.batch(pressed.composition, grams=60, balance=histkit.Balance(readability=0.01, minimum=0.2))
    histkit.compare(translation, batch).to_picture("old-and-new.png", size=(3840, 2160))

Every name is loaded when it is first used, so that importing the package costs almost nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"

if TYPE_CHECKING:
    from histkit import glossary as glossary
    from histkit import measures as measures
    from histkit import photo as photo
    from histkit import shade as shade
    from histkit.base.errors import BadValue as BadValue
    from histkit.base.errors import Forbidden as Forbidden
    from histkit.base.errors import HistkitError as HistkitError
    from histkit.base.errors import ReadingError as ReadingError
    from histkit.base.errors import RecordError as RecordError
    from histkit.base.errors import TableError as TableError
    from histkit.base.errors import UnknownName as UnknownName
    from histkit.base.nouns import Doubt as Doubt
    from histkit.base.nouns import Source as Source
    from histkit.base.nouns import Spread as Spread
    from histkit.bench.batching import Batch as Batch
    from histkit.bench.batching import batch as batch
    from histkit.bench.ladders import ladder as ladder
    from histkit.bench.pans import pan_fill as pan_fill
    from histkit.bench.pressing import PressedFormula as PressedFormula
    from histkit.bench.pressing import press as press
    from histkit.bench.proposals import propose as propose
    from histkit.bench.scent import Scent as Scent
    from histkit.bench.scent import scent as scent
    from histkit.bench.trials import Trial as Trial
    from histkit.bench.trials import TrialLog as TrialLog
    from histkit.bench.weighing import Aliquot as Aliquot
    from histkit.bench.weighing import Balance as Balance
    from histkit.bench.weighing import Weighing as Weighing
    from histkit.composing.blending import solve_blend as solve_blend
    from histkit.composing.composition import Change as Change
    from histkit.composing.composition import Composition as Composition
    from histkit.composing.composition import Part as Part
    from histkit.composing.substitution import substitutes as substitutes
    from histkit.glossary.nouns import Caution as Caution
    from histkit.glossary.nouns import Ingredient as Ingredient
    from histkit.glossary.nouns import Match as Match
    from histkit.keeping import records as records
    from histkit.keeping.records import Record as Record
    from histkit.reading import read as read
    from histkit.reading.formula import Formula as Formula
    from histkit.reading.formula import Line as Line
    from histkit.telling.comparing import compare as compare
    from histkit.telling.comparison import ComparisonTable as ComparisonTable
    from histkit.telling.listed import IngredientList as IngredientList
    from histkit.telling.listed import ingredient_list as ingredient_list
    from histkit.telling.versions import Versions as Versions
    from histkit.telling.versions import versions as versions
    from histkit.translating.translation import Translation as Translation
    from histkit.translating.translator import translate as translate

# Where each public name lives. Submodules of the same name as a function (there is none) would shadow it.
_HOMES = {
    "glossary": "glossary:",
    "measures": "measures:",
    "photo": "photo:",
    "records": "keeping.records:",
    "shade": "shade:",
    **dict.fromkeys(("Batch", "batch"), "bench.batching"),
    **dict.fromkeys(("Aliquot", "Balance", "Weighing"), "bench.weighing"),
    "ComparisonTable": "telling.comparison",
    "compare": "telling.comparing",
    **dict.fromkeys(("Change", "Composition", "Part"), "composing.composition"),
    **dict.fromkeys(
        ("BadValue", "Forbidden", "HistkitError", "ReadingError", "RecordError", "TableError", "UnknownName"), "base.errors"
    ),
    **dict.fromkeys(("Doubt", "Source", "Spread"), "base.nouns"),
    **dict.fromkeys(("Caution", "Ingredient", "Match"), "glossary.nouns"),
    **dict.fromkeys(("Formula", "Line"), "reading.formula"),
    **dict.fromkeys(("PressedFormula", "press"), "bench.pressing"),
    **dict.fromkeys(("IngredientList", "ingredient_list"), "telling.listed"),
    **dict.fromkeys(("Versions", "versions"), "telling.versions"),
    "pan_fill": "bench.pans",
    "read": "reading",
    "Record": "keeping.records",
    **dict.fromkeys(("Scent", "scent"), "bench.scent"),
    "solve_blend": "composing.blending",
    "substitutes": "composing.substitution",
    "Translation": "translating.translation",
    "translate": "translating.translator",
    **dict.fromkeys(("Trial", "TrialLog"), "bench.trials"),
    "ladder": "bench.ladders",
    "propose": "bench.proposals",
}

__all__ = [  # noqa: PLE0604  (names are loaded lazily through __getattr__)
    *_HOMES,
    "__version__",
]


def __getattr__(name: str) -> Any:
    home = _HOMES.get(name)
    if home is None:
        raise AttributeError(f"module 'histkit' has no attribute {name!r}")
    module = import_module(f"histkit.{home.rstrip(':')}")
    value = module if home.endswith(":") else getattr(module, name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted(__all__)
