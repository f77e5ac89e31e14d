"""A formula to look at: its printed page with the readings marked, and one page that holds all of it, to hand on."""

from __future__ import annotations

from dataclasses import replace

from histkit import glossary
from histkit.base.errors import BadValue, Forbidden
from histkit.base.marks import MarkedPage
from histkit.base.text import escape, listed
from histkit.display import html
from histkit.display.marked import at_rest
from histkit.keeping.choices import Replacement
from histkit.keeping.photograph import told
from histkit.keeping.record import Record
from histkit.telling import pages
from histkit.telling.marking import marked


def chosen_words(replacement: Replacement) -> str:
    """What stands in, in words: 'replaced by zinc oxide and titanium dioxide', 'left out'."""
    names = [glossary.name_of(part) for part, _ in replacement.parts]
    return f"replaced by {listed(names)}" if names else "left out"


def page_of(record: Record) -> MarkedPage:
    """The printed page of a record, marked. Raises a HistkitError where nothing can be read."""
    here = {r.removed: chosen_words(r) for r in record.replacements}
    printed = replace(record, corrections=()).formula() if record.corrections else record.formula()
    return marked(printed, record.translation(), here, [c.line for c in record.corrections], record.weighing.readability)


def page_to_share(record: Record) -> str:
    """One HTML page of a formula that needs nothing from elsewhere and runs nothing: the printed page with its readings, old
    beside new, what to weigh where that is allowed, the cautions, how each line was read, and the source.

    Raises a HistkitError where nothing can be read or no line has a weight.
    """
    try:
        batch = record.batch()
    except (BadValue, Forbidden):
        batch = None  # what keeps it from the bench stands on the page
    described = pages.describe(record.table(), batch, record.translation())
    photographed = "" if record.photograph is None else f"<p>{escape(told(record.photograph, len(record.to_compare())))}</p>"
    return html.page(described, f"<h2>The printed page</h2>{at_rest(page_of(record))}{photographed}")
