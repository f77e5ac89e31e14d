"""The table of old and new as HTML: a piece for a notebook, and a page that stands by itself.

Everything that came from a book or a maker is escaped. The page needs nothing from the network, follows the reader's light or
dark setting, prints in black on white, and tells search engines the steps (schema.org HowTo).
"""

from __future__ import annotations

import base64
import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from histkit.base.errors import BadValue
from histkit.base.text import clean, escape
from histkit.display.palette import THEMES, Theme
from histkit.display.tabular import Tabular
from histkit.telling.comparison import SAFETY, ComparisonTable

if TYPE_CHECKING:
    from histkit.base.nouns import Source
    from histkit.bench.batching import Batch
    from histkit.telling.comparison import Row
    from histkit.translating.translation import Translation

_INK = "color:var(--jp-ui-font-color1,inherit);background:transparent;"
_FIGURE = "text-align:right;font-variant-numeric:tabular-nums;white-space:nowrap;"
_RULES = "border-top:2px solid currentColor;border-bottom:2px solid currentColor;"
_STYLES = {
    "table": f"border-collapse:collapse;margin:.4em 0;{_RULES}{_INK}",
    "caption": f"caption-side:top;text-align:left;font-weight:600;font-size:1.1em;padding:.3em 0;{_INK}",
    "head": f"padding:.35em .8em;border-bottom:1px solid currentColor;vertical-align:bottom;text-align:left;{_INK}",
    "cell": f"padding:.3em .8em;vertical-align:top;text-align:left;font-weight:normal;max-width:26em;{_INK}",
    "figure": f"padding:.3em .8em;vertical-align:top;{_FIGURE}{_INK}",
    "total": f"padding:.4em .8em;border-top:1px solid currentColor;font-weight:600;text-align:left;{_INK}",
    "sum": f"padding:.4em .8em;border-top:1px solid currentColor;font-weight:600;{_FIGURE}{_INK}",
    "note": f"margin:.25em 0;font-size:.9em;max-width:60em;{_INK}",
}


def table(made: ComparisonTable, caption: str | None = None) -> str:
    """The table with caption, scoped headings, one group of rows for each printed line, totals in the foot, notes below.

    The caption is the title where no other one is given.
    """
    columns = made.columns()
    out = [
        f'<table class="histkit old-and-new" style="{_STYLES["table"]}">',
        f'<caption style="{_STYLES["caption"]}">{escape(caption or made.title)}</caption>',
    ]
    out.append("<thead><tr>")
    out += [f'<th scope="col" style="{_STYLES["head"]}{_right(c.numeric)}">{escape(c.heading)}</th>' for c in columns]
    out.append("</tr></thead>")
    digits = max((len(made.figures(row)[2].partition(".")[2]) for row in made.rows), default=0)
    for rows in made.blocks():
        out.append("<tbody>")
        for number, row in enumerate(rows):
            out.append("<tr>")
            if number == 0:
                scope = f'scope="rowgroup" rowspan="{len(rows)}"' if len(rows) > 1 else 'scope="row"'
                style = _STYLES["cell"] + ("font-style:italic;" if row.is_line else "")
                out.append(f'<th {scope} style="{style}">{_printed(row)}</th>')
            out.append(f'<td class="{_kind(row)}" style="{_STYLES["cell"]}">{_today(row)}</td>')
            out += [f'<td style="{_STYLES["figure"]}">{text}</td>' for text in _figures(made.figures(row), digits)]
            out.append(f'<td style="{_STYLES["cell"]}">{escape(row.change)}</td></tr>')
        out.append("</tbody>")
    out.append(f'<tfoot><tr><th scope="row" colspan="2" style="{_STYLES["total"]}">Total</th>')
    out += [f'<td style="{_STYLES["sum"]}">{text}</td>' for text in _figures(made.total_figures(), digits)]
    out.append(f'<td style="{_STYLES["total"]}"></td></tr></tfoot></table>')
    out += [f'<p class="note" style="{_STYLES["note"]}">{escape(note)}</p>' for note in made.all_notes()]
    return "".join(out)


def _right(numeric: bool) -> str:
    return "text-align:right;" if numeric else ""


def _kind(row: Row) -> str:
    """A class for the page's colours; the words say the same."""
    return "old" if row.fate in ("replaced", "left out", "forbidden", "gone") else "" if row.is_line else "new"


def _printed(row: Row) -> str:
    return escape(row.marked())


def _today(row: Row) -> str:
    return f"→ {escape(row.today)}" if row.fate == "stand-in" else escape(row.today)


def _figures(texts: Sequence[str], digits: int) -> list[str]:
    """Figures with blanks as wide as a digit where others have more decimals, so that the points stand below each other."""
    then, now, grams = texts
    _, point, after = grams.partition(".")
    missing = digits - len(after) if point else 0
    return [escape(then), escape(now), escape(grams) + "\u2007" * max(0, missing)]


# -- a page ---------------------------------------------------------------------------------------------------------------


_POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"
"""A page may use its own styles and the pictures inside it, and load or run nothing at all."""


def page(
    made: Tabular,
    batch: Batch | None = None,
    translation: Translation | None = None,
    pictures: Sequence[str | Path] = (),
) -> str:
    """A whole page: the table, what to weigh and do (with a `batch`), cautions, how each line was read (with a `translation`).

    Of any other noun than a table of old and new, the page shows that noun alone (a batch: its bench sheet). `pictures` are
    PNG files to put into the page itself. Nothing is loaded from elsewhere.

    Raises:
        BadValue: a picture is no PNG file or cannot be read.
    """
    from histkit.telling import captions as text

    if not isinstance(made, ComparisonTable):
        return document(made._grid().caption or "histkit", made.to_html())
    body = [f"<h1>{escape(made.title)}</h1>", f'<p class="source">{escape(made.citation())}</p>']
    body += [_picture(Path(p), made) for p in pictures]
    body.append(table(made, "Old and new"))
    book_says = " ".join(clean(translation.formula.directions).split()) if translation is not None else ""
    if book_says:
        body.append(f"<h2>What the book says to do</h2><blockquote><p>{escape(book_says)}</p></blockquote>")
    if batch is not None:
        body.append(f'<div class="sheet">{batch.to_html()}</div>')
    cautions = text.cautions(batch, translation)
    if cautions:
        body.append("<h2>Cautions</h2><ul>")
        body += [f"<li><strong>{escape(name)}</strong>: {escape(words)}</li>" for name, words in cautions]
        body.append("</ul>")
    if translation is not None:
        body.append("<h2>How each line was read</h2>")
        body += [
            f"<details><summary>{escape(row.marked())}</summary><pre>{escape(t.explain())}</pre></details>"
            for row, t in zip(made.lines, translation.lines, strict=True)
        ]
    body.append(f'<p class="safety">{escape(SAFETY)}</p>')
    if made.source is not None:
        body.append(_source(made.source))
    return document(made.title, "\n".join(body), how_to(made, batch, translation))


def _source(source: Source) -> str:
    """The book as it is cited, and in the two forms that reference managers read."""
    from histkit.telling import captions as text

    forms = (("BibTeX", text.bibtex(source)), ("CSL-JSON", json.dumps([text.csl_json(source)], ensure_ascii=False, indent=1)))
    folded = "".join(f"<details><summary>{name}</summary><pre>{escape(words)}</pre></details>" for name, words in forms)
    return f"<h2>Source</h2><p>{escape(source.citation())}.</p>{folded}"


def bench_page(batch: Batch) -> str:
    """The bench sheet of a batch as a page of its own, to print."""
    name = batch.composition.name or "batch"
    return document(f"Bench sheet: {name}", batch.to_html())


def document(title: str, body: str, linked_data: dict[str, Any] | None = None) -> str:
    """A page around `body`, which must be escaped already. `linked_data` goes in as JSON-LD."""
    script = ""
    if linked_data:
        # A '<' inside the JSON could end the script; as an escape it is the same JSON.
        data = (
            json.dumps(linked_data, ensure_ascii=False, indent=1)
            .replace("<", "\\u003c")
            .replace(">", "\\u003e")
            .replace("&", "\\u0026")
        )
        script = f'\n<script type="application/ld+json">\n{data}\n</script>'
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">\n'
        f"<title>{escape(title)}</title>\n<style>\n{_sheet()}</style>{script}\n</head>\n"
        f"<body>\n<main>\n{body}\n</main>\n</body>\n</html>\n"
    )


def _colours(theme: Theme) -> str:
    return (
        f"--paper:{theme.paper};--ink:{theme.ink};--muted:{theme.muted};--old:{theme.old};--new:{theme.new};--hair:{theme.hair};"
    )


def _sheet() -> str:
    light, dark = THEMES["light"], THEMES["dark"]
    return f""":root {{ color-scheme: light dark; {_colours(light)} }}
@media (prefers-color-scheme: dark) {{ :root {{ {_colours(dark)} }} }}
body {{ margin: 0; background: var(--paper); color: var(--ink); font: 1.06rem/1.5 "DejaVu Sans", Verdana, sans-serif; }}
main {{ max-width: 72rem; margin: 0 auto; padding: 2rem 1.2rem 4rem; overflow-x: auto; }}
h1 {{ font-size: 1.7rem; line-height: 1.2; margin: 0 0 .3rem; }}
h2, h3, h4 {{ line-height: 1.25; margin: 2rem 0 .5rem; }}
.source, .safety, .note {{ color: var(--muted) !important; }}
td.old {{ color: var(--old) !important; }}
td.new {{ color: var(--new) !important; }}
img {{ max-width: 100%; height: auto; }}
pre {{ white-space: pre-wrap; overflow-wrap: anywhere; border-left: 2px solid var(--hair); padding-left: 1rem; }}
blockquote {{ margin: .5rem 0; padding-left: 1rem; border-left: 2px solid var(--hair); font-style: italic; }}
summary {{ cursor: pointer; }}
@media print {{
  :root {{ color-scheme: light; {_colours(light)} --paper: #ffffff; --ink: #000000; }}
  body {{ font-size: 10pt; }}
  main {{ max-width: none; padding: 0; overflow: visible; }}
  tbody, tr, figure {{ break-inside: avoid; }}
  thead {{ display: table-header-group; }}
  .sheet {{ break-before: page; }}
}}
"""


def _picture(path: Path, made: ComparisonTable) -> str:
    from histkit.display.pictures import alt_text

    try:
        data = path.read_bytes()
    except OSError as error:
        raise BadValue(f"the picture {path} cannot be read: {error.strerror or error}") from error
    if not data.startswith(b"\x89PNG\r\n\x1a\n"):
        raise BadValue(f"{path} is no PNG picture: only .png files go into a page")
    words = escape(" ".join(alt_text(made).split()))
    return f'<figure><img alt="{words}" src="data:image/png;base64,{base64.b64encode(data).decode("ascii")}"></figure>'


def how_to(made: ComparisonTable, batch: Batch | None = None, translation: Translation | None = None) -> dict[str, Any]:
    """The formula as schema.org HowTo: supplies with their amounts, steps, the book it is based on."""
    from histkit.telling import captions as text

    supplies = []
    for row in made.rows:
        grams = made.figures(row)[2]
        if row.grams is not None:
            supplies.append({"@type": "HowToSupply", "name": clean(row.today), "requiredQuantity": f"{grams} g"})
    data: dict[str, Any] = {"@context": "https://schema.org", "@type": "HowTo", "name": clean(made.title), "supply": supplies}
    if made.source is not None:
        data["isBasedOn"] = {"@type": "Book", "name": clean(made.source.title) or "untitled source"}
        if made.source.author:
            data["isBasedOn"]["author"] = clean(made.source.author)
        if made.source.year:
            data["isBasedOn"]["datePublished"] = str(made.source.year)
    steps = text.steps(batch, translation)
    if steps:
        data["step"] = [{"@type": "HowToStep", "position": n, "text": words} for n, words in enumerate(steps, start=1)]
    return data
