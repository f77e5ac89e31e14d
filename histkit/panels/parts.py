"""Pieces that the panels are built of: fields with names, results as HTML, errors as sentences."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets as widgets
from IPython.display import HTML, display

from histkit.errors import HistkitError
from histkit.tabular import escape

WIDE = widgets.Layout(width="100%", max_width="64em")
ROW = widgets.Layout(display="flex", flex_flow="row wrap", align_items="flex-end", width="100%")
_LABEL = "color:var(--jp-ui-font-color1,#1b1b1b);background:transparent;"
_ALERT = (
    "border-left:4px solid var(--jp-error-color1,#a3321b);padding:.4em .8em;margin:.3em 0;max-width:60em;"
    "color:var(--jp-ui-font-color1,#1b1b1b);background:var(--jp-layout-color2,#f3f3f3);"
)
_GOOD = _ALERT.replace("--jp-error-color1,#a3321b", "--jp-brand-color1,#1f5f7a")


def heading(text: str) -> widgets.HTML:
    return widgets.HTML(f'<h3 style="margin:.8em 0 .2em;{_LABEL}">{escape(text)}</h3>')


def told(text: str) -> str:
    """A plain paragraph."""
    return f'<p style="margin:.3em 0;max-width:60em;{_LABEL}">{escape(text)}</p>'


def alert(text: str) -> str:
    """Something that went wrong or must be seen, read out by screen readers."""
    return f'<div role="alert" style="{_ALERT}">{escape(text)}</div>' if text else ""


def good(text: str) -> str:
    """Something that was done."""
    return f'<div role="status" style="{_GOOD}">{escape(text)}</div>' if text else ""


def kindly(view: Callable[[], str]) -> str:
    """What a view shows, or a sentence where it cannot: panels never show a traceback.

    With HISTKIT_RAISE=1, as in the tests, what nobody expected is raised.
    """
    try:
        return view()
    except HistkitError as error:
        return alert(str(error))
    except Exception as error:
        if os.environ.get("HISTKIT_RAISE") == "1":
            raise
        return alert(
            f"This could not be worked out ({type(error).__name__}: {error}). "
            "Your text and choices are kept; change one and try again."
        )


def result() -> widgets.HTML:
    """A place for results, read out when it changes."""
    return widgets.HTML(layout=widgets.Layout(width="100%", overflow="auto"))


def live(html: str) -> str:
    """A result wrapped so that screen readers tell its changes, and so that a wide table can be scrolled."""
    return f'<div aria-live="polite" style="overflow-x:auto;">{html}</div>'


def _labelled(label: str, width: str) -> dict[str, Any]:
    """What every field has: its whole label beside it, and no more than the width of the page."""
    layout = widgets.Layout(width=width, max_width="100%")
    return {"description": label, "style": {"description_width": "initial"}, "layout": layout}


def text_field(label: str, value: str, width: str = "24em", placeholder: str = "") -> widgets.Text:
    return widgets.Text(value=value, placeholder=placeholder, continuous_update=False, **_labelled(label, width))


def choice(label: str, options: Sequence[tuple[str, Any]], value: Any, width: str = "26em") -> widgets.Dropdown:
    return widgets.Dropdown(options=list(options), value=value, **_labelled(label, width))


def offer(field: widgets.Dropdown, options: Sequence[tuple[str, Any]], value: Any) -> None:
    """Give a list new options and choose one of them; the first one where `value` is none of them."""
    if list(field.options) != list(options):
        field.options = list(options)
    values = [v for _, v in options]
    chosen = value if value in values else values[0]
    if field.value != chosen:
        field.value = chosen


def tick(label: str, value: bool = False) -> widgets.Checkbox:
    return widgets.Checkbox(
        value=value, description=label, indent=False, layout=widgets.Layout(width="auto", margin="0 1.2em 0 0")
    )


def button(label: str, action: Callable[[], None], hint: str = "") -> widgets.Button:
    """A button with words on it. The action tells its own errors."""
    made = widgets.Button(description=label, tooltip=hint or label, layout=widgets.Layout(width="auto"))
    made.on_click(lambda _: action())
    return made


def number(label: str, value: float, low: float, high: float, step: float, width: str = "16em") -> widgets.BoundedFloatText:
    return widgets.BoundedFloatText(value=value, min=low, max=high, step=step, **_labelled(label, width))


def whole_number(label: str, value: int, low: int, high: int, width: str) -> widgets.BoundedIntText:
    return widgets.BoundedIntText(value=value, min=low, max=high, **_labelled(label, width))


def slider(label: str, value: float, low: float, high: float, step: float) -> tuple[widgets.HBox, widgets.BoundedFloatText]:
    """A number box with its slider: the box has the name and takes exact figures, the slider follows it."""
    box = number(label, value, low, high, step, "20em")
    track = widgets.FloatSlider(
        value=value,
        min=low,
        max=high,
        step=step,
        readout=False,
        continuous_update=True,
        tooltip=label,
        layout=widgets.Layout(width="16em"),
    )
    widgets.link((box, "value"), (track, "value"))
    return widgets.HBox([box, track], layout=ROW), box


class Panel(widgets.VBox):
    """A panel whose plain text is its name, not a list of its widgets."""

    def __init__(self, name: str, children: Sequence[Any]) -> None:
        self.name = name
        super().__init__(list(children), layout=widgets.Layout(width="100%"))

    def __repr__(self) -> str:
        return f"<{self.name}>"


def show(panel: Panel, plain: str) -> None:
    """Display a panel, and under it a plain copy of its result for where widgets do not live: a reopened notebook, a web page."""
    copy = (
        f'<details style="margin-top:.6em;{_LABEL}"><summary>Plain copy of the result, '
        f'from when this notebook was last run</summary><div style="overflow-x:auto;">{plain}</div></details>'
    )
    display(panel)  # type: ignore[no-untyped-call]
    display(HTML(copy))  # type: ignore[no-untyped-call]
