"""Look an old name up."""

from __future__ import annotations

from histkit import glossary
from histkit.base.errors import quoted
from histkit.panels.parts import Panel, alert, kindly, listed, live, paragraph, result, show, text_field


def find_view(name: str) -> str:
    """The glossary's entry for a printed name, or a sentence that it knows none."""

    def view() -> str:
        if not name.strip():
            return paragraph("Type a name as a book prints it.")
        match = glossary.find(name)
        if match is None:
            near = ", ".join(glossary.near(name))
            more = f"Near it: {near}." if near else "Look at the page again, or try a part of the name."
            return alert(f"The glossary knows no {quoted(' '.join(name.split()))}. {more}")
        doubts = "".join(alert(f"{d.text} {d.effect}".strip()) for d in match.doubts)
        others = [f"{a.name}: {a.description}" for a in match.alternatives]
        return doubts + match.ingredient.to_html() + (paragraph("It may also be:") + listed(others) if others else "")

    return live(kindly(view))


def find_panel(name: str = "flake white") -> None:
    """Show the look-up."""
    match = glossary.find(name)
    show(build(name), None, lambda _: match.ingredient if match else None, f"The glossary knows no {quoted(name)}.")


def build(name: str) -> Panel:
    """The panel itself."""
    field, shown = text_field("Old name", name, "30em"), result()
    shown.value = find_view(name)
    field.observe(lambda change: setattr(shown, "value", find_view(change["new"])), names="value")
    return Panel("look-up panel", [field, shown])
