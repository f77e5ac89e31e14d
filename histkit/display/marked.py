"""The marked page as HTML: alive, with buttons, in a panel; at rest, with nothing but its own styles, in a saved page.

What a stretch was taken for is told by form and not by colour alone: names have a plain line beneath, amounts are bold above a
double one, directions slant, what was not read stands in brackets, a doubt is dotted and bears a mark. All words are escaped.
"""

from __future__ import annotations

from collections.abc import Iterable

from histkit.base.marks import Mark, MarkedPage, MarkedRow
from histkit.base.text import escape

_STYLES = {
    "page": "background:#f7f2e8;color:#26221d;border:1px solid #d9cfbf;border-radius:4px;padding:1.2em 1.4em;max-width:56em;"
    "font:1.15em/1.7 'Libertinus Serif','EB Garamond',Georgia,'DejaVu Serif',serif;",
    "title": "font-size:1.15em;font-weight:600;text-align:center;letter-spacing:.04em;",
    "name": "border-bottom:2px solid #8c7443;",
    "amount": "font-weight:700;border-bottom:3px double #1f5f73;",
    "direction": "font-style:italic;",
    "unread": "border:1px dashed #6b3f7a;padding:0 .25em;",
    "doubt": "border-bottom:3px dotted #8a5a00;background:#fff3d6;",
    "words": "",
    "poison": "border:2px solid #a3341f;color:#8f2b18;background:#fff;font:700 .66em/1.4 sans-serif;letter-spacing:.06em;"
    "padding:.1em .45em;margin-left:.5em;border-radius:3px;white-space:nowrap;",
    "fate": "border:1px solid #2f6b45;color:#245536;background:#fff;font:600 .72em/1.4 sans-serif;padding:.1em .45em;"
    "margin-left:.5em;border-radius:3px;",
    "figure": "text-align:right;white-space:nowrap;font:600 .85em/1.7 sans-serif;font-variant-numeric:tabular-nums;"
    "padding-left:1em;",
    "today": "font:.85em/1.7 sans-serif;color:#5d554b;padding-left:1em;",
    "caution": "border-left:6px solid #a3341f;background:#fff;color:#26221d;font:1em/1.45 sans-serif;padding:.5em .8em;"
    "margin:0 0 .5em;max-width:60em;",
    "small": "font:.85em/1.5 sans-serif;color:#5d554b;margin:.5em 0 0;max-width:66em;",
}  # fmt: skip
POISON, UNKNOWN = "POISON", "find out what it is"
LEGEND = (
    ("name", "ingredient"),
    ("amount", "amount"),
    ("doubt", "look here"),
    ("direction", "direction"),
    ("unread", "not read"),
)


def at_rest(page: MarkedPage) -> str:
    """The page as HTML that needs no style sheet, no script and nothing from elsewhere: for saved notebooks and pages."""
    rows, notes = [], list(page.remarks)
    for row in page.rows:
        rows.append(_resting_row(row, notes))
    cautions = "".join(f'<p style="{_STYLES["caution"]}"><strong>{escape(text)}</strong></p>' for text in page.cautions)
    samples = (f'<span style="{_STYLES[key]}">{words}</span>' for key, words in LEGEND)
    legend = " ".join(f'<span style="margin-right:1em;">{sample}</span>' for sample in samples)
    small = [f'<p style="{_STYLES["small"]}">{legend}</p>']
    small += [f'<p style="{_STYLES["small"]}">{escape(page.measures)}</p>'] if page.measures else []
    small += [
        f'<ol style="{_STYLES["small"]}padding-left:1.4em;">{"".join(f"<li>{escape(text)}</li>" for text in notes)}</ol>'
        if notes
        else ""
    ]
    plain = "width:100%;border-collapse:collapse;table-layout:auto;font-size:inherit;background:transparent;color:inherit;"
    table = f'<table class="marked" style="{plain}">{"".join(rows)}</table>'
    return f'{cautions}<div style="{_STYLES["page"]}">{table}{"".join(small)}</div>'


def _resting_row(row: MarkedRow, notes: list[str]) -> str:
    print_ = "".join(_resting_mark(mark, notes) for mark in row.marks) + "".join(
        f'<span style="{_STYLES[style]}">{escape(words)}</span>' for style, words in _labels(row)
    )
    plain = "background:transparent;color:inherit;border:0;text-align:left;padding:.1em 0;white-space:normal;"
    if row.line is None:
        title = any(mark.kind == "title" for mark in row.marks)
        style = f"{plain}{_STYLES['title'] if title else ''}"
        return f'<tr style="background:transparent;"><td colspan="4" style="{style}">{print_}</td></tr>'
    cells = [f'<td style="{plain}">{print_}</td>', f'<td style="{plain}{_STYLES["today"]}">{escape(row.today)}</td>']
    cells += [f'<td style="{plain}{_STYLES["figure"]}">{escape(words)}</td>' for words in (row.grams, row.share)]
    return f'<tr style="background:transparent;">{"".join(cells)}</tr>'


def _resting_mark(mark: Mark, notes: list[str]) -> str:
    text = escape(mark.text)
    if mark.kind == "words" and not mark.doubts:
        return text
    before, core, after = _stripped(text)
    tag = {"amount": "strong", "direction": "em"}.get(mark.kind, "span")
    style = _STYLES[mark.kind] if mark.kind != "title" else ""
    style += _STYLES["doubt"] if mark.doubts else ""
    signs = []
    for doubt in mark.doubts:
        number = next((n for n, note in enumerate(notes, start=1) if note == doubt or note.endswith(f": {doubt}")), 0)
        if not number:
            notes.append(doubt)
            number = len(notes)
        signs.append(str(number))
    sign = f"<sup>{', '.join(signs)}</sup>" if signs else ""
    return f'{before}<{tag} style="{style}" title="{escape(" ".join(mark.doubts))}">{core}</{tag}>{sign}{after}'


def _stripped(text: str) -> tuple[str, str, str]:
    """(blanks before, the words, blanks after)."""
    core = text.strip()
    at = text.find(core)
    return text[:at], core, text[at + len(core) :]


def _labels(row: MarkedRow) -> Iterable[tuple[str, str]]:
    if row.poison:
        yield "poison", POISON
    if row.line is not None and not row.known:
        yield "poison", UNKNOWN
    if row.fate:
        yield "fate", row.fate
    if row.changed:
        yield "fate", row.changed


# -- alive --------------------------------------------------------------------------------------------------------------


def alive(page: MarkedPage) -> str:
    """The page as HTML, something to press for each name and amount: `panels/page.css` dresses it, `page.js` opens the form."""
    rows = "".join(_live_row(row, n) for n, row in enumerate(page.rows))
    legend = "".join(f'<span class="hk-{key}">{words}</span>' for key, words in LEGEND)
    remarks = "".join(f"<li>{escape(text)}</li>" for text in page.remarks)
    why = (
        f"<details class='hk-why-measures'><summary>{escape(page.measures)} <u>Why, and what else it could be</u></summary>"
        f"<p>{escape(page.why)}</p></details>"
        if page.measures
        else ""
    )
    return (
        f'<div class="hk-paper">{rows}<p class="hk-legend" aria-hidden="true">{legend}</p></div>'
        f"{why}{f'<ul class=hk-remarks>{remarks}</ul>' if remarks else ''}"
    )


def _live_row(row: MarkedRow, number: int) -> str:
    marks = "".join(_live_mark(mark, row, f"{number}-{n}") for n, mark in enumerate(row.marks))
    labels = "".join(f'<span class="hk-label hk-{style}">{escape(words)}</span>' for style, words in _labels(row))
    if row.line is None:
        title = any(mark.kind == "title" for mark in row.marks)
        return f'<div class="hk-row hk-alone{" hk-heading" if title else ""}">{marks}</div>'
    classes = " ".join(["hk-row", *(["hk-bad"] if row.poison else []), *(["hk-aside"] if row.aside else [])])
    return (
        f'<div class="{classes}" data-row="{row.line}"><div class="hk-print">{marks}{labels}</div>'
        f'<div class="hk-today">{escape(row.today)}</div><div class="hk-grams">{escape(row.grams)}</div>'
        f'<div class="hk-share">{escape(row.share)}</div></div>'
    )


def _live_mark(mark: Mark, row: MarkedRow, key: str) -> str:
    before, core, after = _stripped(escape(mark.text))
    if row.line is not None and mark.kind in ("name", "amount"):
        what = "ingredient" if mark.kind == "name" else "amount"
        why = escape(" ".join(mark.doubts))
        doubt = f'<span class="hk-tip" role="tooltip" id="hk-tip-{key}">{why}</span>' if mark.doubts else ""
        label = f"{' '.join(mark.text.split())}, {what} of line {row.line + 1}{', doubtful' if mark.doubts else ''}"
        classes = f"hk-press hk-{mark.kind}{' hk-doubt' if mark.doubts else ''}"
        described = f' aria-describedby="hk-tip-{key}"' if mark.doubts else ""
        return (
            f'{before}<span class="hk-hold"><span role="button" tabindex="0" class="{classes}" '
            f'data-line="{row.line}" data-part="{mark.kind}" aria-expanded="false" aria-label="{escape(label)}"{described}>'
            f"{core}</span>{doubt}</span>{after}"
        )
    if mark.kind == "unread":
        told = '<span class="hk-hidden"> (not read)</span>'
        return f'{before}<span class="hk-unread" title="not read as an ingredient">{core}{told}</span>{after}'
    return f'{before}<span class="hk-{mark.kind}">{core}</span>{after}'
