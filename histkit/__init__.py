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
    from histkit import records as records
    from histkit.batching import Aliquot as Aliquot
    from histkit.batching import Balance as Balance
    from histkit.batching import Batch as Batch
    from histkit.batching import Weighing as Weighing
    from histkit.batching import batch as batch
    from histkit.blending import solve_blend as solve_blend
    from histkit.comparison import ComparisonTable as ComparisonTable
    from histkit.comparison import compare as compare
    from histkit.composition import Change as Change
    from histkit.composition import Composition as Composition
    from histkit.composition import Part as Part
    from histkit.errors import (
        BadValue as BadValue,
    )
    from histkit.errors import (
        Forbidden as Forbidden,
    )
    from histkit.errors import (
        HistkitError as HistkitError,
    )
    from histkit.errors import (
        ReadingError as ReadingError,
    )
    from histkit.errors import (
        TableError as TableError,
    )
    from histkit.errors import (
        UnknownName as UnknownName,
    )
    from histkit.model import (
        Caution as Caution,
    )
    from histkit.model import (
        Doubt as Doubt,
    )
    from histkit.model import (
        Formula as Formula,
    )
    from histkit.model import (
        Ingredient as Ingredient,
    )
    from histkit.model import (
        Line as Line,
    )
    from histkit.model import (
        Match as Match,
    )
    from histkit.model import (
        Source as Source,
    )
    from histkit.model import (
        Spread as Spread,
    )
    from histkit.pressing import PressedFormula as PressedFormula
    from histkit.pressing import pan_fill as pan_fill
    from histkit.pressing import press as press
    from histkit.reading import read as read
    from histkit.records import Record as Record
    from histkit.substitution import substitutes as substitutes
    from histkit.translation import Translation as Translation
    from histkit.translation import translate as translate
    from histkit.trials import Trial as Trial
    from histkit.trials import TrialLog as TrialLog
    from histkit.trials import ladder as ladder
    from histkit.trials import propose as propose

# Where each public name lives. Submodules of the same name as a function (there is none) would shadow it.
_HOMES = {
    "glossary": "glossary:",
    "measures": "measures:",
    "records": "records:",
    **dict.fromkeys(("Aliquot", "Balance", "Batch", "Weighing", "batch"), "batching"),
    **dict.fromkeys(("ComparisonTable", "compare"), "comparison"),
    **dict.fromkeys(("Change", "Composition", "Part"), "composition"),
    **dict.fromkeys(("BadValue", "Forbidden", "HistkitError", "ReadingError", "TableError", "UnknownName"), "errors"),
    **dict.fromkeys(("Caution", "Doubt", "Formula", "Ingredient", "Line", "Match", "Source", "Spread"), "model"),
    **dict.fromkeys(("PressedFormula", "pan_fill", "press"), "pressing"),
    "read": "reading",
    "Record": "records",
    "solve_blend": "blending",
    "substitutes": "substitution",
    **dict.fromkeys(("Translation", "translate"), "translation"),
    **dict.fromkeys(("Trial", "TrialLog", "ladder", "propose"), "trials"),
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
