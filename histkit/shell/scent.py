"""The command about the scent."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Annotated, Any

import typer

from histkit.base.errors import BadValue
from histkit.shell.answering import Json, kindly, print_json, say, say_written, spread_json
from histkit.shell.options import BatchOptions, FormulaOptions, Loose, PressOptions, pixels, read_pairs, record_of, with_options


@with_options
def scent(
    formula: FormulaOptions,
    pressing: PressOptions,
    weighing: BatchOptions,
    strength: Annotated[float | None, typer.Option(help="The whole scent so many times as strong: 0.5 for half.")] = None,
    part: Annotated[
        list[str] | None,
        typer.Option("--part", help="One part so many times as much, as id=times: jasmine-oil=0.5. Repeatable."),
    ] = None,
    fill: Annotated[str | None, typer.Option(help="What fills up then: powder (default), or scent: it stays as strong.")] = None,
    add: Annotated[
        list[str] | None,
        typer.Option("--add", help="A scent to add for 100 g of powder, as id=amount unit: sandalwood-oil='3 drop'. Repeatable."),
    ] = None,
    picture: Annotated[Path | None, typer.Option("--picture", help="Also draw what flies off first: .png .svg .pdf.")] = None,
    size: Annotated[str, typer.Option(help="Size of a picture in pixels.")] = "3840x2160",
    loose: Loose = False,
    json_answer: Json = False,
) -> None:
    """The scent: how strong it is, what flies off first, limits, allergens, cost, old bases taken apart, stocks, test strips."""
    with kindly():
        across = pixels(size)
        record = record_of(formula, pressing, weighing, loose=True if loose else None)
        changes: dict[str, Any] = {"strength": strength, "fill": fill}
        changes["changed"] = read_pairs("--part", part, "jasmine-oil=0.5") if part else None
        changes["added"] = (*record.scenting.added, *map(_added, add)) if add else None
        chosen = replace(record.scenting, **{key: value for key, value in changes.items() if value is not None})
        _known_parts(record, chosen.changed)
        record = replace(record, scenting=chosen)
        now = record.scent()
        written = []
        if picture is not None:
            written = now.to_picture(picture, across, before=record.scent(as_printed=True) if now != record.scent(True) else None)
        if json_answer:
            print_json(
                {
                    "grams": now.total,
                    "scent_grams": spread_json(now.grams),
                    "share": now.oil_share,
                    "parts": [{"ingredient": p.ingredient.id, "grams": spread_json(p.grams), "said": p.said} for p in now.parts],
                    "notes": now.by_note,
                    "allergens": dict(now.allergens),
                    "findings": [{"level": f.level, "about": f.about, "text": f.text} for f in now.findings],
                    "verdict": now.verdict(),
                    "bought": {b.ingredient.id: b.grams for b in now.bought()},
                    "written": [str(path) for path in written],
                }
            )
            return
        say(now.to_text())
        say_written(written)


def _known_parts(record: Any, changed: tuple[tuple[str, float], ...]) -> None:
    """Raises BadValue where a part is to be changed that the formula does not have."""
    held = [p.ingredient.id for p in record.scent(as_printed=True).parts] if changed else []
    for key, _ in changed:
        if key not in held:
            raise BadValue(f"--part {key}: this is not among the scents of the formula, which are {', '.join(held)}")


def _added(words: str) -> Any:
    from histkit.keeping.records import AddedScent

    key, _, rest = words.partition("=")
    amount, _, unit = rest.strip().partition(" ")
    try:
        figure = float(amount)
    except ValueError:
        raise BadValue(f"--add {words!r}: write for instance sandalwood-oil='3 drop'") from None
    return AddedScent(key.strip(), figure, unit.strip() or "drop")
