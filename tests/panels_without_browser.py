"""Shared by the tests of the panels: fields by their names, and all that a panel shows."""


def widgets_in(panel):
    waiting = list(panel.children)
    while waiting:
        widget = waiting.pop(0)
        waiting = [*getattr(widget, "children", ()), *waiting]
        yield widget


def fields(panel):
    """Every widget of a panel that has a description, by it."""
    return {w.description: w for w in widgets_in(panel) if getattr(w, "description", "")}


def shown(panel):
    """All HTML of a panel."""
    return "".join(w.value for w in widgets_in(panel) if type(w).__name__ == "HTML")


FORMULA = "Venetian talc,   4 oz.\nWhite lead,   1 oz.\nCarmine,   1 drachm.\nOtto of rose,   10 drops."
