"""Paste a formula, say which book, look at every line and put right what was read wrongly."""

from __future__ import annotations

import re
from dataclasses import replace

import ipywidgets as widgets

from histkit import demo
from histkit.errors import BadValue
from histkit.model import KINDS, UNITS, Amount, Line, Source, amount_text
from histkit.panels.desk import Desk, desk
from histkit.panels.parts import (
    ROW,
    WIDE,
    Panel,
    alert,
    button,
    choice,
    heading,
    kindly,
    live,
    offer,
    result,
    show,
    text_field,
    told,
)
from histkit.records import Correction, Record
from histkit.tabular import escape

COUNTRIES = (
    ("not known", ""),
    ("Britain (GB)", "GB"),
    ("United States (US)", "US"),
    ("Ireland (IE)", "IE"),
    ("France (FR)", "FR"),
    ("Germany (DE)", "DE"),
    ("Austria (AT)", "AT"),
    ("Switzerland (CH)", "CH"),
    ("Italy (IT)", "IT"),
    ("Spain (ES)", "ES"),
    ("Netherlands (NL)", "NL"),
    ("Sweden (SE)", "SE"),
    ("Russia (RU)", "RU"),
)


def translation_view(record: Record) -> str:
    """The table of all lines in today's names and grams, what matters most, and what could not be placed."""

    def view() -> str:
        if not record.text.strip():
            return told("Paste a formula above, one line for each ingredient or a whole sentence, just as the book prints it.")
        translation = record.translation()
        out = [translation.to_html()]
        matters = [m for m in translation.what_matters() if m.effect > 0.001][:4]
        if matters:
            items = "".join(f"<li>{escape(f'{100 * m.effect:.1f} % of the mass: {m.text}')}</li>" for m in matters)
            out.append(f"{told('The doubts that matter most:')}<ol>{items}</ol>")
        if translation.formula.unread:
            out.append(alert("Not read as ingredients: " + " … ".join(" ".join(u.split()) for u in translation.formula.unread)))
        return "".join(out)

    return live(kindly(view))


def line_view(record: Record, index: int) -> str:
    """How one line came about, with the glossary's entry for it."""

    def view() -> str:
        translation = record.translation()
        if not 0 <= index < len(translation.lines):
            return ""
        t = translation.lines[index]
        steps = "".join(f"<li>{escape(step)}</li>" for step in t.explain().split("\n"))
        card = (
            t.ingredient.to_html()
            if t.ingredient
            else alert("The glossary does not know this name: find out what it is before you use it.")
        )
        return f"<ul>{steps}</ul>{card}"

    return live(kindly(view))


def amount_of(words: str) -> Amount:
    """The amount a maker typed: '2', '0.5', '1/2', '1 1/2', '5 to 8'; None for nothing.

    Raises:
        BadValue: the words are no amount.
    """
    text = words.strip().replace("–", "-").replace(",", ".")
    if not text:
        return None
    parts = [p for p in re.split(r"\s*(?:to|-)\s*", text) if p]
    figures = []
    for part in parts:
        found = re.fullmatch(r"(?:(\d+(?:\.\d+)?)\s*)?(?:(\d+)/(\d+))?", part)
        if not found or not (found[1] or found[2]) or (found[3] and int(found[3]) == 0):
            raise BadValue(f"{words!r} is no amount: write 2, 0.5, 1/2, 1 1/2 or 5 to 8")
        figures.append(float(found[1] or 0) + (int(found[2]) / int(found[3]) if found[2] else 0.0))
    if len(figures) == 1:
        return figures[0]
    if len(figures) == 2:
        return (min(figures), max(figures))
    raise BadValue(f"{words!r} is no amount: write 2, 0.5, 1/2, 1 1/2 or 5 to 8")


def source_of(book: str, author: str, year: str, country: str, kind: str | None, page: str, before: Source) -> Source:
    """The source a maker typed.

    Raises:
        BadValue: the year is no year.
    """
    digits = year.strip()
    if digits and not digits.isdigit():
        raise BadValue(f"{year!r} is no year: write four figures, such as 1872, or leave it empty")
    return replace(
        before,
        title=book.strip(),
        author=author.strip(),
        year=int(digits) if digits else None,
        country=country,
        kind=kind,
        page=page.strip(),
    )


def is_demo(record: Record) -> bool:
    """Whether the invented formula lies on the desk, its invented source untouched."""
    invented = [demo.record(name) for name in demo.names()]
    return any(record.text == d.text and record.source == d.source for d in invented)


def reading_panel(table: Desk | None = None) -> None:
    """Show the panel for reading and translating a formula."""
    table = table or desk()
    show(build(table), translation_view(table.record))


def build(table: Desk) -> Panel:
    """The panel itself."""
    record = table.record
    text = widgets.Textarea(
        value=record.text,
        description="Formula",
        continuous_update=False,
        rows=10,
        placeholder="Paste the formula here, just as the book prints it",
        layout=WIDE,
    )
    book = text_field("Book", record.source.title, "34em")
    author = text_field("Author", record.source.author)
    year = text_field("Year", str(record.source.year or ""), "10em")
    page = text_field("Page", record.source.page, "12em")
    known = {code for _, code in COUNTRIES}
    country = choice("Country", COUNTRIES, record.source.country if record.source.country in known else "", "18em")
    kind = choice("Sort of book", [("not known", ""), *((k, k) for k in KINDS)], record.source.kind or "")
    conventions = _conventions()
    measures = choice(
        "Measures", conventions, record.convention if record.convention in {k for _, k in conventions} else "", "40em"
    )
    lines = choice("Line", [("–", -1)], -1, "36em")
    amount, ingredient = text_field("Amount", "", "14em", "2, 1/2, 5 to 8"), text_field("Ingredient", "", "30em")
    unit = choice("Unit", [("as read", ""), *((u, u) for u in sorted(UNITS))], "", "16em")
    trouble, shown, detail = result(), result(), result()

    filling = False

    def changed(_: object = None) -> None:
        nonlocal filling
        if filling:
            return
        base = table.record.source
        if text.value != table.record.text and is_demo(table.record):
            # a formula of the maker's own does not come from the invented book
            filling, base = True, Source()
            for field in (book, author, year, page, country, kind):
                field.value = ""
            filling = False
        try:
            source = source_of(book.value, author.value, year.value, country.value, kind.value or None, page.value, base)
        except BadValue as error:
            trouble.value = alert(str(error))
            return
        trouble.value = ""
        same = text.value == table.record.text
        table.change(
            text=text.value,
            source=source,
            convention=measures.value or None,
            corrections=table.record.corrections if same else (),
            title=table.record.title if same else "",
        )

    for field in (text, book, author, year, page, country, kind, measures):
        field.observe(changed, names="value")

    def pick(_: object = None) -> None:
        detail.value = line_view(table.record, lines.value) if lines.value >= 0 else ""
        formula_lines = _lines(table.record)
        if 0 <= lines.value < len(formula_lines):
            line = formula_lines[lines.value]
            amount.value, ingredient.value = amount_text(line.amount), line.full_name
            unit.value = line.unit if line.unit in UNITS else ""

    def put_right() -> None:
        index = lines.value
        if index < 0:
            trouble.value = alert("Choose a line first.")
            return
        try:
            figure = amount_of(amount.value)
            line = _lines(table.record)[index]
            name = ingredient.value.strip()
            new = Correction(index, figure, unit.value or None, name if name and name != line.full_name else None)
        except BadValue as error:
            trouble.value = alert(str(error))
            return
        trouble.value = ""
        others = tuple(c for c in table.record.corrections if c.line != index)
        table.change(corrections=(*others, new))

    def leave_out() -> None:
        if lines.value >= 0:
            others = tuple(c for c in table.record.corrections if c.line != lines.value)
            table.change(corrections=(*others, Correction(lines.value, leave_out=True)))

    def undo() -> None:
        table.change(corrections=tuple(c for c in table.record.corrections if c.line != lines.value))

    def refresh(new: Record) -> None:
        shown.value = translation_view(new)
        before = lines.value
        options = [("–", -1), *((f"{n + 1}. {' '.join(line.raw.split())[:60]}", n) for n, line in enumerate(_lines(new)))]
        offer(lines, options, before)
        pick()

    lines.observe(pick, names="value")
    table.watch(refresh)
    told_trouble = result()
    table.observe(lambda change: setattr(told_trouble, "value", alert(change["new"])), names="trouble")
    told_trouble.value = alert(table.trouble)
    return Panel(
        "reading panel",
        [
            heading("1. The formula, and which book it comes from"),
            text,
            widgets.HBox([book, author, year, page], layout=ROW),
            widgets.HBox([country, kind, measures], layout=ROW),
            told_trouble,
            trouble,
            heading("2. What it means"),
            shown,
            heading("3. Look at a line, and put it right where it was read wrongly"),
            lines,
            widgets.HBox([amount, unit, ingredient], layout=ROW),
            widgets.HBox(
                [
                    button("Put this line right", put_right),
                    button("Leave this line out", leave_out),
                    button("Back to how it was read", undo),
                ],
                layout=ROW,
            ),
            detail,
        ],
    )


def _lines(record: Record) -> tuple[Line, ...]:
    from histkit.errors import HistkitError

    try:
        return record.formula().lines
    except HistkitError:
        return ()


def _conventions() -> list[tuple[str, str]]:
    from histkit import measures

    return [("chosen from the book", ""), *((c.name, key) for key, c in measures.conventions.items())]
