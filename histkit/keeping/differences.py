"""What changed from one state of a record to the next, in words that a maker knows."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import fields
from typing import Any

from histkit import glossary
from histkit.keeping.choices import Pressing, Replacement
from histkit.keeping.photograph import Photograph
from histkit.keeping.record import Record

WORDS = {
    "convention": "the measures",
    "title": "the name of the formula",
    "notes": "the notes",
    "currency": "the currency",
    "prices": "the prices",
    "constraints": "what is not wanted, or whose law counts",
    "known": "what the maker vouches for",
    "beside": "what stands side by side with it",
    "scenting": "the scent",
    "viewers": "what stands beside the grams",
    "swatches": "the swatches of its shade",
    "card": "the colour card",
    "extensions": "the colour extensions in it",
    "packs": "lots, dates and packs",
    "kept_as": "the name of its file",
}
"""What an entry of a record is called where all that can be said is that it changed."""
SHOWN = 40
"""Characters of a text that are quoted."""


def differences(before: Record | None, after: Record) -> tuple[str, ...]:
    """What changed, a phrase for each thing; `before` None: it was saved for the first time. () where nothing did."""
    if before is None:
        return (f"first kept: {_beginning(after)}",)
    out: list[str] = []
    for field in fields(Record):
        old, new = getattr(before, field.name), getattr(after, field.name)
        if old != new:
            say = _SAYINGS.get(field.name)
            out += say(old, new) if say else [f"{WORDS[field.name]} changed"]
    return tuple(out)


def _beginning(record: Record) -> str:
    return _quoted(record.title or record.text) if record.title or record.text.strip() else "an empty page"


def _quoted(text: str) -> str:
    """The beginning of a text in quotation marks, on one line."""
    words = " ".join(text.split())
    return f"'{words}'" if len(words) <= SHOWN else f"'{words[:SHOWN].rstrip()} …'"


def _text(old: str, new: str) -> list[str]:
    if not new.strip():
        return [f"the text was emptied; it was {_quoted(old)}"]
    if not old.strip():
        return [f"the text was put in: {_quoted(new)}"]
    old_lines, new_lines = ([" ".join(line.split()) for line in text.split("\n") if line.strip()] for text in (old, new))
    gone = [line for line in old_lines if line not in new_lines]
    come = [line for line in new_lines if line not in old_lines]
    if len(gone) == len(old_lines):
        return [f"another text: {_quoted(new)}"]
    out = [f"out of the text: {_quoted(line)}" for line in gone] + [f"into the text: {_quoted(line)}" for line in come]
    return out or ["the lines of the text stand otherwise"]


def _source(old: Any, new: Any) -> list[str]:
    out = []
    for field in fields(new):
        was, now = getattr(old, field.name), getattr(new, field.name)
        if was != now:
            out.append(f"the book's {field.name.replace('_', ' ')}: {_value(was)} → {_value(now)}")
    return out


def _value(value: Any) -> str:
    if value is None or value == "" or value == ():
        return "nothing"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        return str(value) if isinstance(value, int) else f"{value:g}"
    return _quoted(str(value))


def _corrections(old: Iterable[Any], new: Iterable[Any]) -> list[str]:
    was, now = {c.line: c for c in old}, {c.line: c for c in new}
    lines = sorted({*was, *now})
    put = [line for line in lines if line in now and now[line] != was.get(line)]
    back = [line for line in lines if line not in now]
    return [f"line {line + 1} was put right" for line in put] + [f"line {line + 1} is read as printed again" for line in back]


def _replacements(old: Iterable[Replacement], new: Iterable[Replacement]) -> list[str]:
    was, now = {r.removed: r for r in old}, {r.removed: r for r in new}
    out = []
    for key, chosen in now.items():
        if chosen != was.get(key):
            parts = ", ".join(f"{grams:.3g} g {glossary.name_of(part)}" for part, grams in chosen.parts)
            out.append(f"in place of {glossary.name_of(key)}: {parts or 'nothing, it is left out'}")
    out += [f"{glossary.name_of(key)} is kept as printed" for key in was if key not in now]
    return out or ["the stand-ins stand in another order"]


def _figures(what: dict[str, str]) -> Callable[[Any, Any], list[str]]:
    """Says each changed field of a part by the words of `what`, or by its name."""

    def say(old: Any, new: Any) -> list[str]:
        out = []
        for field in fields(new):
            was, now = getattr(old, field.name), getattr(new, field.name)
            if was != now:
                plain = not isinstance(was, tuple) and not isinstance(now, tuple)
                words = what.get(field.name, field.name.replace("_", " "))
                out.append(f"{words}: {_value(was)} → {_value(now)}" if plain else f"{words} changed")
        return out

    return say


_how_pressed = _figures({
    "binder_share": "share of the binder", "oil_share": "share of the oil", "of": "what the shares are of",
    "press": "pressed with", "pressure_mpa": "pressure, MPa", "wetting": "liquid for wet pressing", "cake": "sort of cake",
})  # fmt: skip


def _pressing(old: Pressing | None, new: Pressing | None) -> list[str]:
    if new is None:
        return ["it stays a loose powder"]
    if old is None:
        return ["it is pressed into a cake"]
    return _how_pressed(old, new)


def _number_of(what: str) -> Callable[[Any, Any], list[str]]:
    """Says how many there are now, of trials and batches."""

    def say(old: Any, new: Any) -> list[str]:
        return [f"{what}: {len(old)} → {len(new)}"] if len(old) != len(new) else [f"{what}: more was noted"]

    return say


def _photograph(old: Photograph | None, new: Photograph | None) -> list[str]:
    if new is None:
        return ["the text is from no photograph"]
    if old is None or not new.is_of(old):
        return [f"the text is from the photograph {_quoted(new.name)}"]
    if len(old.compared) != len(new.compared):
        return [f"lines compared with the photograph: {len(old.compared)} → {len(new.compared)}"]
    return ["the photograph changed"]


_SAYINGS: dict[str, Callable[[Any, Any], list[str]]] = {
    "text": _text,
    "source": _source,
    "corrections": _corrections,
    "replacements": _replacements,
    "pressing": _pressing,
    "weighing": _figures({
        "grams": "grams to make", "readability": "smallest step of the balance, g", "minimum": "least it weighs well, g",
        "pan_diameter_mm": "pan across, mm", "pan_depth_mm": "depth of a pan, mm", "make": "what decides the batch",
        "cupboard": "what is at hand", "number": "batch number", "notes": "notes on the batch",
        "density_g_cm3": "density of the cake",
        "own_drops": "grams of 20 drops of the own dropper", "together": "one dilution for several",
    }),
    "photograph": _photograph,
    "trials": _number_of("test presses"),
    "batches": _number_of("batches made"),
}  # fmt: skip
