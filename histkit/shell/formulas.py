"""The commands about what is printed and what stands in for it: translate, find, substitutes, blend."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from typing import TYPE_CHECKING, Annotated, Any

import typer

from histkit.base.errors import BadValue, quoted
from histkit.base.grid import Column, Grid
from histkit.base.text import Cell
from histkit.display.grids import ACROSS, to_text
from histkit.glossary.nouns import worst_level
from histkit.shell.answering import Json, cautions_json, kindly, print_json, say, say_prose, spread_json
from histkit.shell.options import FormulaOptions, with_options

if TYPE_CHECKING:
    from histkit.composing.substitution import Suggestion
    from histkit.glossary.nouns import Ingredient, Match
    from histkit.translating.translation import Translation


_INDENTED: dict[str, Any] = {"initial_indent": "  ", "subsequent_indent": "    "}


@with_options
def translate(
    formula: FormulaOptions,
    explain: Annotated[bool, typer.Option(help="Say for each line how it was read and weighed.")] = False,
    json_answer: Json = False,
) -> None:
    """What a printed formula means: each line in grams, with its doubts and cautions."""
    with kindly():
        translation = formula.record().translation()
        if json_answer:
            print_json(_translation_json(translation))
            return
        say(to_text(_in_short(translation)))
        if unread := [" ".join(words.split()) for words in translation.formula.unread]:
            say("\nNot read as ingredients:")
            say("\n".join(textwrap.fill(words, ACROSS, **_INDENTED) for words in unread))
        if matters := [m for m in translation.what_matters() if m.effect > 0.001]:
            say("\nWhat matters most:")
            for matter in matters[:5]:
                say(textwrap.fill(f"{100 * matter.effect:.1f} % of the mass: {matter.text}", ACROSS, **_INDENTED))
        if explain:
            say_prose(f"\nMeasures: {translation.why_convention()}")
            for line in translation.lines:
                say("\n" + line.explain())


def _in_short(translation: Translation) -> Grid:
    """The lines in today's names and weights, with the sentence on measures and each doubt once."""
    from histkit.telling.marking import marked
    from histkit.telling.printing import SAFETY

    page = marked(translation.formula, translation)
    columns = (
        Column("printed", "As printed"), Column("today", "Today"), Column("grams", "Grams", 0), Column("share", "Share", 0),
        Column("caution", "Caution"),
    )  # fmt: skip
    rows: list[tuple[Cell, ...]] = []
    doubts: list[str] = list(page.remarks)
    for row in sorted(page.lines, key=lambda row: row.line or 0):
        t = translation.lines[row.line or 0]
        name = t.name if t.ingredient else t.line.set_aside or f"{t.name} (not in the glossary)"
        caution = "MUST NOT BE USED" if row.poison else worst_level(t.cautions) or ""
        rows.append((" ".join(t.line.raw.split()), name, row.grams.removesuffix(" g"), row.share, caution))
        told = [text for mark in row.marks for text in mark.doubts if not any(note.endswith(text) for note in page.remarks)]
        doubts += [f"Line {(row.line or 0) + 1}: {text}" for text in told]
    source = translation.formula.source
    notes = [page.measures, *doubts, *([f"Source: {source.citation()}."] if source and source.title else []), SAFETY]
    return Grid(columns, tuple(rows), translation.formula.title or "Translation", tuple(filter(None, notes)))


def _translation_json(translation: Translation) -> dict[str, Any]:
    lines = [
        {
            "raw": t.line.raw,
            "name": t.name,
            "ingredient": t.ingredient.id if t.ingredient else None,
            "measure": t.line.measure_text(),
            "grams": spread_json(t.grams),
            "share": spread_json(t.share),
            "cautions": cautions_json(t.cautions),
            "doubts": [d.text for d in t.doubts],
        }
        for t in translation.lines
    ]
    return {
        "title": translation.formula.title,
        "convention": translation.convention.id,
        "why": translation.why_convention(),
        "lines": lines,
        "directions": translation.formula.directions,
        "unread": translation.formula.unread,
    }


def find(
    name: Annotated[
        list[str], typer.Argument(help="A printed name, such as 'pulv. rad. irid. flor.' or zinc.", show_default=False)
    ],
    json_answer: Json = False,
) -> None:
    """What an archaic name is today, and what must be known of it."""
    from histkit import glossary

    with kindly():
        words = " ".join(name)
        match = glossary.find(words)
        if json_answer:
            print_json(match and _match_json(match))
        elif match is None:
            say(f"The glossary knows no {quoted(words)}. {_near_words(glossary.near(words))}", err=True)
        else:
            say(_card(match.ingredient))
            say_prose(f"\n{words!r}: {glossary.seen_in_words(words)}.")
            for doubt in match.doubts:
                say_prose(f"\nDoubt: {doubt.text} {doubt.effect}".rstrip())
        if match is None:
            raise typer.Exit(1)


def _near_words(names: Iterable[str]) -> str:
    found = ", ".join(names)
    return f"Near it: {found}." if found else "No name is near it."


def _match_json(match: Match) -> dict[str, Any]:
    from histkit.glossary import seen_in_words

    entry = match.ingredient
    return {
        "id": entry.id,
        "name": entry.name,
        "label_name": entry.inci,
        "cas": entry.cas,
        "kind": entry.kind,
        "via": match.via,
        "score": match.score,
        "in_print": seen_in_words(match.name),
        "description": entry.description,
        "roles": [r.role for r in entry.roles],
        "cautions": [{"level": c.level, "text": c.text, "law": c.law, "source": c.source} for c in entry.cautions],
        "alternatives": [i.id for i in match.alternatives],
        "doubts": [d.text for d in match.doubts],
        "instead": [{"option": s.option, "parts": dict(s.parts), "kept": s.kept, "changes": s.changes} for s in entry.stands],
    }


def _card(entry: Ingredient) -> str:
    rows = entry._grid().texts()
    width = max(len(row[0]) for row in rows)
    out = [entry.name, "=" * len(entry.name)]
    for heading, text in rows:
        wrapped = textwrap.wrap(text, ACROSS - 2 - width) or ["–"]
        out += [f"{heading.ljust(width)}  {wrapped[0]}", *(" " * (width + 2) + more for more in wrapped[1:])]
    return "\n".join(out)


def substitutes(
    name: Annotated[list[str], typer.Argument(help="A printed name or an id: white lead.", show_default=False)],
    role: Annotated[str | None, typer.Option(help="What it has to do: opacity, slip, binder …")] = None,
    avoid: Annotated[
        list[str] | None,
        typer.Option("--avoid", help="talc, starch, animal, nut, gluten, fragrance … or an id. May be given again."),
    ] = None,
    market: Annotated[str, typer.Option(help="Region whose law is shown: EU, GB, US or CA.")] = "EU",
    form: Annotated[str | None, typer.Option(help="loose, pressed, leave-on, rinse-off or oral.")] = None,
    have: Annotated[
        list[str] | None,
        typer.Option("--have", help="Id of something in the cupboard; nothing else is then offered. Again for more."),
    ] = None,
    limit: Annotated[int, typer.Option(help="How many computed ones at most.")] = 8,
    product: Annotated[
        str | None, typer.Option(help="Sort of product: face-powder, tooth-powder … What its law bars is not offered.")
    ] = None,
    json_answer: Json = False,
) -> None:
    """What can stand in for an ingredient: the glossary's own answers first, then what comes nearest by its work."""
    from histkit import glossary
    from histkit.composing.substitution import substitutes as ranked
    from histkit.composing.substitution import suggestions_grid

    with kindly():
        words = " ".join(name)
        match = None if words in glossary.ingredients else glossary.find(words)
        replaced = match.ingredient if match else glossary.ingredient(words)
        answers = ranked(replaced, role, avoid or (), market, form, have, limit, product)
        if json_answer:
            print_json(list(map(_suggestion_json, answers)))
        elif answers:
            say(to_text(suggestions_grid(answers, f"In place of {replaced.name} ({replaced.id})")))
        else:
            say(f"Nothing stands in for {replaced.name} with these wishes: take one of them off.", err=True)
        if not answers:
            raise typer.Exit(1)


def _suggestion_json(suggestion: Suggestion) -> dict[str, Any]:
    return {
        "option": suggestion.option,
        "parts": dict(suggestion.parts),
        "kept": suggestion.kept,
        "changes": suggestion.changes,
        "reason": suggestion.reason,
        "curated": suggestion.curated,
        "cautions": cautions_json(suggestion.cautions),
    }


@with_options
def blend(
    formula: FormulaOptions,
    remove: Annotated[list[str], typer.Option("--remove", help="Id of what goes. May be given again.")],
    with_: Annotated[list[str], typer.Option("--with", help="Id of a stand-in. May be given again.")],
    keep: Annotated[
        list[str] | None,
        typer.Option("--keep", help="opacity, opacity-in-oil, oil-absorption, bulk-density, slip … Default: all five."),
    ] = None,
    bound: Annotated[
        list[str] | None, typer.Option("--bound", help="Shares of the whole for a stand-in, as id=low:high. May be given again.")
    ] = None,
    region: Annotated[str, typer.Option(help="Whose legal limits hold: EU, GB, US or CA. Default: all.")] = "",
    json_answer: Json = False,
) -> None:
    """Solve for the shares of several stand-ins that keep the work of what goes."""
    from histkit.composing.quantities import KEPT

    with kindly():
        solved = formula.record().blend(remove, with_, tuple(keep or KEPT), _bounds(bound or ()), region=region)
        if json_answer:
            print_json(
                {
                    "removed": solved.removed,
                    "grams_for_one": dict(solved.parts),
                    "shares": {key: solved.composition.share(key) for key, _ in solved.parts},
                    "missed": dict(solved.missed),
                    "at_bounds": solved.at_bounds,
                    "notes": solved.notes,
                }
            )
            return
        say(solved.to_text() + "\n")
        say(solved.effects.to_text() + "\n")
        words = ",".join(f"{key}:{ratio:.4g}" for key, ratio in solved.parts)
        say("To take it: " + " ".join(f"--instead {gone}={words}" for gone in solved.removed))


def _bounds(entries: Iterable[str]) -> dict[str, tuple[float, float]]:
    out = {}
    for entry in entries:
        name, _, run = entry.partition("=")
        low, _, high = run.partition(":")
        try:
            out[name.strip()] = (float(low or 0), float(high or 1))
        except ValueError:
            raise BadValue(f"--bound {entry!r}: write for instance titanium-dioxide=0.02:0.1") from None
    return out
