"""Tables, sheets and whole pages as HTML.

Everything that came from a book or a maker is escaped. A page needs nothing from the network, follows the reader's light or
dark setting, and prints in black on white.
"""

from __future__ import annotations

import base64
import json
from collections.abc import Mapping, Sequence
from typing import Any, assert_never

from histkit.base.descriptions import (
    BOX,
    Bullets,
    Figure,
    Folded,
    Form,
    Head,
    Heading,
    Ledger,
    LedgerEntry,
    LedgerLine,
    Notes,
    Page,
    PageBlock,
    Paper,
    PaperBlock,
    Paragraph,
    Photo,
    Quote,
    Ticked,
    WeighingList,
)
from histkit.base.text import escape
from histkit.display import grids
from histkit.display.palette import Look, looks

_INK = "color:var(--jp-ui-font-color1,inherit);background:transparent;"
_FIGURE = "text-align:right;font-variant-numeric:tabular-nums;white-space:nowrap;"
_NOTE_LINE = f"<p>{'_' * 60}</p>"
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


# -- old beside new ---------------------------------------------------------------------------------------------------------


CARDS = """.old-and-new, .old-and-new caption, .old-and-new tbody, .old-and-new tfoot,
  .old-and-new tr, .old-and-new th, .old-and-new td {
    display: block !important; max-width: none !important; padding: .1rem 0 !important; }
  .old-and-new thead { position: absolute; clip-path: inset(50%); height: 1px; overflow: hidden; }
  .old-and-new tbody { border-bottom: 1px solid var(--hair, currentColor); padding: .5rem 0 !important; }
  .old-and-new td[data-head] { display: inline-block !important; padding-right: 1rem !important; }
  .old-and-new td[data-head]::before { content: attr(data-head) ": "; color: var(--muted, inherit); }"""
"""On a narrow screen each line of the table is a card: its words, then its figures with what they are."""


def ledger_table(ledger: Ledger) -> str:
    """The table with caption, scoped headings, one group of rows for each entry, totals in the foot, notes below."""
    heads = (ledger.printed_head, ledger.today_head, *ledger.figure_heads, ledger.change_head)
    out = [
        f'<table class="histkit old-and-new" style="{_STYLES["table"]}">',
        f'<caption style="{_STYLES["caption"]}">{escape(ledger.title)}</caption>',
        f"<thead><tr>{''.join(map(_head, heads))}</tr></thead>",
    ]
    digits = _most_digits(ledger)
    shorts = [head.short or head.words for head in ledger.figure_heads]
    out += [f"<tbody>{_entry(entry, digits, shorts)}</tbody>" for entry in ledger.entries]
    out.append(f'<tfoot><tr><th scope="row" colspan="2" style="{_STYLES["total"]}">{escape(ledger.total_words)}</th>')
    totals = zip(shorts, _figures(ledger.totals, digits), strict=True)
    out += [f'<td data-head="{escape(head)}" style="{_STYLES["sum"]}">{text}</td>' for head, text in totals]
    out.append(f'<td style="{_STYLES["total"]}"></td></tr></tfoot></table>')
    out += [f'<p class="note" style="{_STYLES["note"]}">{escape(remark)}</p>' for remark in ledger.remarks()]
    return "".join(out)


def _head(head: Head) -> str:
    align = "" if head.decimals is None else "text-align:right;"
    return f'<th scope="col" style="{_STYLES["head"]}{align}">{escape(head.words)}</th>'


def _entry(entry: LedgerEntry, digits: Sequence[int], heads: Sequence[str]) -> str:
    """The rows of an entry; the printed words span them."""
    scope = f'scope="rowgroup" rowspan="{len(entry.lines)}"' if len(entry.lines) > 1 else 'scope="row"'
    style = _STYLES["cell"] + ("font-style:italic;" if entry.in_book else "")
    printed = f'<th {scope} style="{style}">{escape(" ".join((entry.printed, *entry.signs)))}</th>'
    rows = [f"<tr>{printed if number == 0 else ''}{_line(line, digits, heads)}</tr>" for number, line in enumerate(entry.lines)]
    return "".join(rows)


def _line(line: LedgerLine, digits: Sequence[int], heads: Sequence[str]) -> str:
    tone = line.tone if line.tone in ("old", "new") else ""  # a class for the page's colours; the words say the same
    today = f"{'→ ' if line.place == 'instead' else ''}{escape(line.named)}"
    texts = zip(heads, _figures(line.figures, digits), strict=True)
    figures = "".join(f'<td data-head="{escape(head)}" style="{_STYLES["figure"]}">{text}</td>' for head, text in texts)
    change = f'<td style="{_STYLES["cell"]}">{escape(line.change)}</td>'
    return f'<td class="{tone}" style="{_STYLES["cell"]}">{today}</td>{figures}{change}'


def _most_digits(ledger: Ledger) -> tuple[int, ...]:
    """For each column of figures, the most digits after the point."""
    columns = zip(*(line.figures for line in ledger.lines), strict=True)
    most = tuple(max(len(figure.text.partition(".")[2]) for figure in column) for column in columns)
    return most or (0,) * len(ledger.figure_heads)


def _figures(figures: Sequence[Figure], digits: Sequence[int]) -> list[str]:
    """Figures with blanks as wide as a digit where others have more decimals, so that the points stand below each other."""
    out = []
    for figure, most in zip(figures, digits, strict=True):
        _, point, after = figure.text.partition(".")
        out.append(escape(figure.text) + "\u2007" * (max(0, most - len(after)) if point else 0))
    return out


# -- blocks of a sheet and of a page --------------------------------------------------------------------------------------------


def paper(described: Paper) -> str:
    """A sheet as a section; it prints on one or two pages."""
    body = "".join(_block(block, "h4") for block in described.blocks)
    return f'<section class="histkit-bench-sheet"><h3>{escape(described.title)}</h3>{body}</section>'


def _block(block: PaperBlock | PageBlock, heading: str) -> str:
    """One block; `heading` is the tag of its headings."""
    match block:
        case Heading(words):
            return f"<{heading}>{escape(words)}</{heading}>"
        case Bullets(entries):
            lines = (f"<li><strong>{escape(who)}</strong>: {escape(words)}</li>" for who, words in entries)
            return f"<ul>{''.join(lines)}</ul>"
        case Form():
            return f"<p>{escape(block.text())}</p>"
        case Ticked(steps):
            return f"<ol>{''.join(f'<li>{BOX} {escape(step)}</li>' for step in steps)}</ol>"
        case WeighingList():
            return grids.to_html(block.grid())
        case Notes(words):
            return f"<{heading}>{escape(words)}</{heading}>{_NOTE_LINE * 3}"
        case Ledger():
            return ledger_table(block)
        case Paper():
            return f'<div class="sheet">{paper(block)}</div>'
        case Paragraph() | Quote() | Folded() | Photo():
            return _text_block(block)
    assert_never(block)


def _text_block(block: Paragraph | Quote | Folded | Photo) -> str:
    match block:
        case Paragraph(words, "warning"):
            return f"<p><strong>{escape(words)}</strong></p>"
        case Paragraph(words, "aside"):
            return f'<p class="aside">{escape(words)}</p>'
        case Paragraph(words):
            return f"<p>{escape(words)}</p>"
        case Quote(words):
            return f"<blockquote><p>{escape(words)}</p></blockquote>"
        case Folded(summary, text):
            return f"<details><summary>{escape(summary)}</summary><pre>{escape(text)}</pre></details>"
        case Photo(data, spoken):
            encoded = base64.b64encode(data).decode("ascii")
            return f'<figure><img alt="{escape(spoken)}" src="data:image/png;base64,{encoded}"></figure>'
    assert_never(block)


# -- a page ---------------------------------------------------------------------------------------------------------------


_POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"
"""A page may use its own styles and the pictures inside it, and load or run nothing at all."""


def page(described: Page, first: str = "") -> str:
    """The whole page, its title as the heading; `first` is HTML, escaped already, that stands before everything else."""
    body = "\n".join([f"<h1>{escape(described.title)}</h1>", first, *(_block(block, "h2") for block in described.blocks)])
    return document(described.title, body, described.linked_data)


def paper_page(described: Paper) -> str:
    """A sheet as a page of its own, to print."""
    return document(described.title, paper(described))


def document(title: str, body: str, linked_data: Mapping[str, Any] | None = None) -> str:
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
        f"<title>{escape(title)}</title>\n<style>\n{_style_sheet()}</style>{script}\n</head>\n"
        f"<body>\n<main>\n{body}\n</main>\n</body>\n</html>\n"
    )


def _colours(look: Look) -> str:
    return "".join(f"--{name}:{look.colour(name)};" for name in ("paper", "ink", "muted", "old", "new", "hair"))


def _style_sheet() -> str:
    light, dark = looks()["paper"], looks()["dark"]
    return f""":root {{ color-scheme: light dark; {_colours(light)} }}
@media (prefers-color-scheme: dark) {{ :root {{ {_colours(dark)} }} }}
body {{ margin: 0; background: var(--paper); color: var(--ink); font: 1.06rem/1.5 "DejaVu Sans", Verdana, sans-serif; }}
main {{ max-width: 72rem; margin: 0 auto; padding: 2rem 1.2rem 4rem; overflow-x: auto; }}
h1 {{ font-size: 1.7rem; line-height: 1.2; margin: 0 0 .3rem; }}
h2, h3, h4 {{ line-height: 1.25; margin: 2rem 0 .5rem; }}
.aside, .note {{ color: var(--muted) !important; }}
td.old {{ color: var(--old) !important; }}
td.new {{ color: var(--new) !important; }}
img {{ max-width: 100%; height: auto; }}
pre {{ white-space: pre-wrap; overflow-wrap: anywhere; border-left: 2px solid var(--hair); padding-left: 1rem; }}
blockquote {{ margin: .5rem 0; padding-left: 1rem; border-left: 2px solid var(--hair); font-style: italic; }}
summary {{ cursor: pointer; }}
@media screen and (max-width: 40rem) {{
  main {{ padding: 1rem .9rem 3rem; }}
  h1 {{ font-size: 1.4rem; }}
  .histkit th, .histkit td {{ padding: .2rem .35rem !important; }}
  {CARDS}
  .marked tr {{ display: flex; flex-wrap: wrap; }}
  .marked td:first-child {{ flex: 1 0 100%; }}
  .marked td:nth-child(2) {{ flex: 1 1 5em; padding-left: 0 !important; }}
}}
@media print {{
  :root {{ color-scheme: light; {_colours(light)} --paper: #ffffff; --ink: #000000; }}
  body {{ font-size: 10pt; }}
  main {{ max-width: none; padding: 0; overflow: visible; }}
  tbody, tr, figure {{ break-inside: avoid; }}
  thead {{ display: table-header-group; }}
  .sheet {{ break-before: page; }}
}}
"""
