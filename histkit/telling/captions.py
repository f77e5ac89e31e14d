"""The text for under a video or for a web log: formula in grams and per cent, steps, cautions, what changed and why, source.

Also the source in the forms that reference managers read (BibTeX, CSL-JSON).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from histkit.base.nouns import Source
from histkit.base.text import clean, markdown_cell
from histkit.glossary.nouns import CAUTION_LEVELS
from histkit.telling.printing import SAFETY

if TYPE_CHECKING:
    from histkit.bench.batching import Batch
    from histkit.telling.comparison import ComparisonTable, Row
    from histkit.translating.translation import Translation


MOST = 1500
"""Characters of the short text: what the field under a film holds without a fold."""
_MORE = "Doubts, steps and cautions in full are in the long text."
_FIRST_CARE = ("Wear a dust mask, work away from flames, test on the inner arm first; at any reaction stop and ask a physician.",)


def under_the_video(table: ComparisonTable, batch: Batch | None = None, translation: Translation | None = None) -> str:
    """Markdown with everything a viewer needs to make it and to judge it. Without a `batch` there are shares but no grams."""
    out = [f"# {markdown_cell(table.title)}", "", f"After {markdown_cell(table.citation())}.", ""]
    out += ["## The formula", "", *_formula(table), ""]
    changes = [row for row in table.rows if row.change and row.fate not in ("kept", "stand-in")]
    if changes:
        out += ["## What changed and why", "", *(f"- {_change(row)}" for row in changes), ""]
    if done := steps(batch, translation):
        out += ["## Steps", "", *(f"{n}. {markdown_cell(words)}" for n, words in enumerate(done, start=1)), ""]
    if table.footnotes:
        out += ["## What is doubtful", ""]
        for note in table.footnotes:
            rows = [row.printed for row in table.rows if note.sign in row.signs]
            out.append(f"- {markdown_cell('; '.join(rows))}: {markdown_cell(note.text)}")
        out.append("")
    out += ["## Cautions", ""]
    out += [f"- **{markdown_cell(name)}**: {markdown_cell(words)}" for name, words in cautions(batch, translation)]
    out += [f"- {markdown_cell(SAFETY)}", ""]
    out += ["## Source", "", markdown_cell(table.citation()) + ".", ""]
    if table.basis:
        out += [markdown_cell(table.basis), ""]
    return "\n".join(out)


def in_short(table: ComparisonTable, batch: Batch | None = None, most: int = MOST) -> str:
    """The same in plain characters for a field that holds little: source, grams, what changed and why, safety; `most` characters.

    What does not fit is left to the long text, which it then names; the safety stands in it however short it is.
    """
    head = [clean(table.title), f"After {clean(table.citation())}."]
    rows = [row for row in table.rows if not (table.has_now and row.now is None)]
    made = [_amount_in_short(table, row) for row in rows]
    grams = table.total_figures()[2]
    title = f"Makes {grams} g:" if table.has_grams else "Per cent by weight:"
    changed = [
        f"{clean(row.printed or row.today)}: {clean(row.change.partition(':')[0])}{f' ({clean(row.why)})' if row.why else ''}."
        for row in table.rows
        if row.fate in ("replaced", "left out", "forbidden")
    ]
    doubts = []
    for note in table.footnotes:
        names = ", ".join(dict.fromkeys(clean(row.today) for row in table.rows if note.sign in row.signs))
        doubts.append(f"{names}: {clean(note.text)}")
    safety = [*(_FIRST_CARE if batch is not None else ()), SAFETY]
    blocks = [head, [title, *made], changed and ["What changed:", *changed], doubts and ["Doubtful:", *doubts], safety]
    # Given up in this order where it is too much: doubts, the end of the list, the reasons of changes.
    for spare in (3, None):
        text = _joined(blocks)
        if len(text) <= most:
            return text
        if spare is not None:
            blocks[spare] = [_MORE]
    while len(_joined(blocks)) > most and len(blocks[1]) > 3:
        blocks[1] = [*blocks[1][:-2], "…"]
    while len(_joined(blocks)) > most and len(blocks[2]) > 2:
        blocks[2] = [*blocks[2][:-2], "…"]
    text = _joined(blocks)
    return text if len(text) <= most else _joined([[clean(table.title)[: most // 4]], [_MORE], [SAFETY]])[:most]


def _joined(blocks: Sequence[Sequence[str]]) -> str:
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"


def _amount_in_short(table: ComparisonTable, row: Row) -> str:
    then, now, grams = table.figures(row)
    share = now if table.has_now else then
    return f"{grams} g {clean(row.today)}" if row.grams is not None else f"{share} % {clean(row.today)}"


def _formula(table: ComparisonTable) -> list[str]:
    out = []
    for row in table.rows:
        then, now, grams = table.figures(row)
        if table.has_now and row.now is None:
            continue
        amount = f"{grams} g" if row.grams is not None else ""
        share = f"{now if table.has_now else then} %"
        out.append(f"- {markdown_cell(row.today)}: {f'{amount} ({share})' if amount else share}")
    grams = table.total_figures()[2]
    if table.has_grams:
        out += ["", f"Makes {grams} g."]
    return out


def _change(row: Row) -> str:
    who = row.printed or row.today
    return f"{markdown_cell(who)}: {markdown_cell(row.change)}"


def steps(batch: Batch | None, translation: Translation | None) -> list[str]:
    """What to do, in order: the weighings and the steps of the bench sheet; without a batch what the book says."""
    if batch is None:
        book_says = " ".join(clean(translation.formula.directions).split()) if translation is not None else ""
        return [f"The book says: {book_says}"] if book_says else []
    return [f"{clean(step.text()).rstrip('.')}." for step in batch.bench_sheet().steps]


def cautions(batch: Batch | None, translation: Translation | None) -> list[tuple[str, str]]:
    """(ingredient, caution) of what is weighed and of what the book had, the gravest first, each once."""
    ranks: dict[tuple[str, str], int] = {}
    if batch is not None:
        for ingredient, caution in batch.cautions:
            ranks.setdefault((ingredient.name, f"{caution.text} {caution.law}".strip()), CAUTION_LEVELS.index(caution.level))
    if translation is not None:
        for line in translation.lines:
            for caution in line.cautions:
                if batch is None or caution.level == "forbidden":
                    ranks.setdefault((line.name, f"{caution.text} {caution.law}".strip()), CAUTION_LEVELS.index(caution.level))
    return sorted(ranks, key=lambda pair: ranks[pair])


# -- the source for reference managers -----------------------------------------------------------------------------------


def bibtex(source: Source) -> str:
    """The source as a BibTeX entry."""
    fields = [
        ("author", f"{{{_tex(source.author)}}}" if source.author else ""),
        ("title", _tex(source.title or "untitled source")),
        ("year", str(source.year) if source.year else ""),
        ("address", _tex(source.place)),
        ("pages", _tex(re.sub(r"^pp?\.\s*", "", source.page))),
        ("url", clean(source.url).replace("{", "%7B").replace("}", "%7D")),
    ]
    body = ",\n".join(f"  {key} = {{{value}}}" for key, value in fields if value)
    return f"@book{{{_key(source)},\n{body}\n}}\n"


def csl_json(source: Source) -> dict[str, Any]:
    """The source as an item of CSL-JSON."""
    data: dict[str, Any] = {"id": _key(source), "type": "book", "title": clean(source.title) or "untitled source"}
    if source.author:
        data["author"] = [{"literal": clean(source.author)}]
    if source.year:
        data["issued"] = {"date-parts": [[source.year]]}
    for key, value in (("publisher-place", source.place), ("page", source.page), ("URL", source.url)):
        if value:
            data[key] = clean(value)
    return data


def _key(source: Source) -> str:
    words = re.findall(r"[a-z0-9]+", f"{source.author} {source.title}".casefold())
    name = next((w for w in words if len(w) > 3), "source")
    return f"{name}{source.year or ''}"


_TEX = {character: f"\\{character}" for character in "{}&%#_$"} | {
    "\\": r"\textbackslash{}",
    "~": r"\textasciitilde{}",
    "^": r"\textasciicircum{}",
}


def _tex(text: str) -> str:
    return "".join(_TEX.get(character, character) for character in clean(text))
