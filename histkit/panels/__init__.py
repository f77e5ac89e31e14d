"""The maker's face: ipywidgets panels over one record. They show and change choices; every number comes from the core.

Each function gives one panel; all panels of a notebook share one `Desk`, which keeps the record in a file.
"""

from histkit.panels.batch import batch_panel
from histkit.panels.beside import beside_panel
from histkit.panels.find import find_panel
from histkit.panels.library import library_panel
from histkit.panels.pictures import pictures_panel
from histkit.panels.pressing import pressing_panel
from histkit.panels.reading import reading_panel
from histkit.panels.scent import scent_panel
from histkit.panels.shade import shade_panel
from histkit.panels.state import Desk, desk
from histkit.panels.substitutes import substitutes_panel
from histkit.panels.summary import summary_panel

__all__ = [
    "Desk",
    "batch_panel",
    "beside_panel",
    "desk",
    "find_panel",
    "library_panel",
    "pictures_panel",
    "pressing_panel",
    "reading_panel",
    "scent_panel",
    "shade_panel",
    "substitutes_panel",
    "summary_panel",
]
