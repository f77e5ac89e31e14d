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


def page_in(panel):
    """The marked page of a panel."""
    return next(w for w in widgets_in(panel) if type(w).__name__ == "PageWidget")


def put_right(panel, line, **values):
    """Put right a line (counted from 1) in its small form; what is said back."""
    return page_in(panel).handle({"does": "put_right", "line": line - 1, "values": values})


def shown(panel):
    """All HTML of a panel, the marked page and what stands beside it too."""
    out = []
    for widget in widgets_in(panel):
        if type(widget).__name__ == "HTML":
            out.append(widget.value)
        elif type(widget).__name__ == "PageWidget":
            out += [widget.html, *(f"{one['title']} {one['text']} {one['taken']}" for one in widget.grave)]
    return "".join(out)


FORMULA = "Venetian talc,   4 oz.\nWhite lead,   1 oz.\nCarmine,   1 drachm.\nOtto of rose,   10 drops."
