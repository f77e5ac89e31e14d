"""The shell. Thin: every command is one call into the package; the options that commands share are in `shelloptions`, what
an answer or an error looks like is in `answering`."""

from __future__ import annotations

import io
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from histkit.base.errors import BadValue
from histkit.base.nouns import Spread
from histkit.display.grids import to_text
from histkit.glossary.nouns import Ingredient
from histkit.shell.answering import Shell, kindly, print_json, say
from histkit.shell.corpus import app as corpus
from histkit.shell.options import BatchOptions, FormulaOptions, PressOptions, grouped, made, pixels

if TYPE_CHECKING:
    from histkit.bench.batching import Batch

app = typer.Typer(
    cls=Shell,
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    help="From a printed antique toilet or pharmacy formula to a powder that can be weighed, pressed and shown. "
    "Nothing here replaces a safety assessor, a physician or your local rules.",
)

app.add_typer(corpus, name="corpus")


@app.callback()
def main_options(
    glossary_folder: Annotated[
        Path | None,
        typer.Option("--glossary", help="A folder with tables of your own (names.csv …) that add to the glossary."),
    ] = None,
) -> None:
    if glossary_folder is not None:
        from histkit import glossary

        with kindly():
            glossary.use(glossary_folder)


Json = Annotated[bool, typer.Option("--json", help="Answer as JSON.")]


def _spread(spread: Spread | None) -> dict[str, float] | None:
    return None if spread is None else {"low": spread.low, "best": spread.best, "high": spread.high}


@app.command()
def demo(
    out: Annotated[Path, typer.Option(help="Folder for the tables and pictures.")] = Path("out"),
    json_answer: Json = False,
) -> None:
    """Take an invented powder from printed words to bench sheet, tables and pictures."""
    from histkit.shell import demo as demonstration

    with kindly():
        silent: Callable[[str], None] = lambda _text: None  # noqa: E731
        written = demonstration.run(out, tell=silent if json_answer else say)
        if json_answer:
            print_json({"folder": str(out.resolve()), "files": [str(p.resolve()) for p in written]})
        else:
            say(f"Written to {out.resolve()}:")
            for path in written:
                say(f"  {path.name}")


@app.command()
@grouped
def translate(
    formula: FormulaOptions,
    explain: Annotated[bool, typer.Option(help="Say for each line how it was read and weighed.")] = False,
    json_answer: Json = False,
) -> None:
    """What a printed formula means: each line in grams, with its doubts and cautions."""
    with kindly():
        translation = formula.record().translation()
        if json_answer:
            lines = [
                {
                    "raw": t.line.raw,
                    "name": t.name,
                    "ingredient": t.ingredient.id if t.ingredient else None,
                    "measure": t.line.measure_text(),
                    "grams": _spread(t.grams),
                    "share": _spread(t.share),
                    "cautions": [{"level": c.level, "text": c.text, "law": c.law} for c in t.cautions],
                    "doubts": [d.text for d in t.doubts],
                }
                for t in translation.lines
            ]
            print_json(
                {
                    "title": translation.formula.title,
                    "convention": translation.convention.id,
                    "why": translation.why_convention(),
                    "lines": lines,
                    "directions": translation.formula.directions,
                    "unread": translation.formula.unread,
                }
            )
            return
        say(translation.to_text())
        if matters := [m for m in translation.what_matters() if m.effect > 0.001]:
            say("\nWhat matters most:")
            for matter in matters[:5]:
                say(f"  {100 * matter.effect:5.1f} % of the mass: {matter.text}")
        if explain:
            for t in translation.lines:
                say("\n" + t.explain())


@app.command()
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
        if match is None:
            if json_answer:
                print_json(None)
            else:
                say(f"The glossary knows no {words!r}.", err=True)
            raise typer.Exit(1)
        if json_answer:
            entry = match.ingredient
            print_json(
                {
                    "id": entry.id,
                    "name": entry.name,
                    "label_name": entry.inci,
                    "cas": entry.cas,
                    "kind": entry.kind,
                    "via": match.via,
                    "score": match.score,
                    "description": entry.description,
                    "roles": [r.role for r in entry.roles],
                    "cautions": [{"level": c.level, "text": c.text, "law": c.law, "source": c.source} for c in entry.cautions],
                    "alternatives": [i.id for i in match.alternatives],
                    "doubts": [d.text for d in match.doubts],
                    "instead": [
                        {"option": s.option, "parts": dict(s.parts), "kept": s.kept, "changes": s.changes} for s in entry.stands
                    ],
                }
            )
            return
        say(_card(match.ingredient))
        for doubt in match.doubts:
            say(f"\nDoubt: {doubt.text} {doubt.effect}".rstrip())


def _card(entry: Ingredient) -> str:
    import textwrap

    grid = entry._grid()
    width = max(len(row[0]) for row in grid.texts())
    out = [entry.name, "=" * len(entry.name)]
    for label, text in grid.texts():
        wrapped = textwrap.wrap(text, 96 - width) or ["–"]
        out += [f"{label.ljust(width)}  {wrapped[0]}", *(" " * (width + 2) + more for more in wrapped[1:])]
    return "\n".join(out)


@app.command()
@grouped
def press(formula: FormulaOptions, pressing: PressOptions, weighing: BatchOptions, json_answer: Json = False) -> None:
    """Turn a loose powder into a pressed one and say what to weigh; published levels stand beside the choice."""
    with kindly():
        record = made(formula, pressing, weighing, loose=False)
        pressed, batch = record.pressed(), record.batch()
        assert pressed is not None
        need, pressure = record.pans_need(), record.pressure()
        if json_answer:
            parts = [{"ingredient": p.ingredient.id, "share": p.share} for p in record.final().parts]
            warnings = [*pressed.warnings, *batch.warnings]
            levels = [
                {"cake": v.cake, "binder": v.words, "low": v.low, "high": v.high, "source": v.source} for v in pressed.levels
            ]
            print_json(
                {
                    "composition": parts,
                    "weighings": _weighings(batch),
                    "warnings": warnings,
                    "notes": list(pressed.notes),
                    "levels": levels,
                    "pan_fill": _spread(need.fill if need else None),
                    "pressure": pressure and {"mpa": _spread(pressure.mpa), "words": pressure.words, "source": pressure.source},
                }
            )
            return
        say(pressed.to_text() + "\n")
        say(to_text(pressed.levels_grid()) + "\n")
        if need is not None:
            say(need.text() + "\n")
        if pressure is not None:
            say(f"Pressure ({pressure.press}): {pressure.mpa} MPa, {pressure.words}.\n")
        say(batch.to_text())


def _weighings(batch: Batch) -> list[dict[str, Any]]:
    return [
        {
            "ingredient": w.ingredient.id,
            "name": w.ingredient.name,
            "grams": w.grams,
            "aliquot": w.aliquot is not None,
            "weigh": w.aliquot.take if w.aliquot else w.direct,
            "steps": list(w.aliquot.steps(w.ingredient.name, batch.balance)) if w.aliquot else [],
            "rounding": w.error_share,
            "note": w.note,
        }
        for w in batch.weighings
    ]


Loose = Annotated[bool, typer.Option("--loose", help="Leave it a loose powder.")]
SHEETS = ".html .md .pdf"


@app.command()
@grouped
def batch(
    formula: FormulaOptions,
    pressing: PressOptions,
    weighing: BatchOptions,
    loose: Loose = False,
    to: Annotated[
        list[Path] | None, typer.Option("--to", help=f"Where to write the bench sheet: {SHEETS}. May be given again.")
    ] = None,
    json_answer: Json = False,
) -> None:
    """What to weigh, in which order: the bench sheet, on the screen or as a file to print."""
    from histkit.display import sheets

    with kindly():
        record = made(formula, pressing, weighing, loose=True if loose else None)
        made_batch, straight = record.batch(), record.straight_from()
        written = [str(sheets.save_sheet(path, made_batch)) for path in to or ()]
        if json_answer:
            sheet = made_batch.bench_sheet()
            print_json(
                {
                    "grams": made_batch.grams,
                    "weighings": _weighings(made_batch),
                    "warnings": list(made_batch.warnings),
                    "price": sheet.price,
                    "straight_from": straight,
                    "written": written,
                }
            )
        elif not to:
            say(made_batch.to_text() + "\n")
            limit = 100 * made_batch.error_limit
            say(
                f"From {straight:g} g on, everything is weighed straight and rounding changes nothing by more than {limit:g} %.\n"
            )
            say(made_batch.bench_sheet().to_text())
        else:
            for path_text in written:
                say(f"written: {path_text}")


@app.command()
@grouped
def label(
    formula: FormulaOptions,
    pressing: PressOptions,
    loose: Loose = False,
    rinse_off: Annotated[bool, typer.Option("--rinse-off", help="It is rinsed off; otherwise it stays on the skin.")] = False,
    may_contain: Annotated[
        list[str] | None, typer.Option("--may-contain", help="Id of a colour that may be in it. May be given again.")
    ] = None,
    json_answer: Json = False,
) -> None:
    """A draft of the list of ingredients for a label; a safety assessor has to check it."""
    with kindly():
        draft = made(formula, pressing, BatchOptions(), loose=True if loose else None).label(rinse_off, tuple(may_contain or ()))
        if json_answer:
            entries = [{"name": e.name, "share": e.share, "note": e.note} for e in draft.entries]
            allergens = [{"name": e.name, "share": e.share} for e in draft.allergens]
            print_json({"draft": draft.text(), "entries": entries, "allergens": allergens, "notes": list(draft.notes)})
            return
        say(draft.text() + "\n")
        say(draft.to_text())


@app.command()
@grouped
def effects(
    formula: FormulaOptions, pressing: PressOptions, weighing: BatchOptions, loose: Loose = False, json_answer: Json = False
) -> None:
    """What all changes do: cover, oil absorption, density, cautions, before and after."""
    with kindly():
        found = made(formula, pressing, weighing, loose=True if loose else None).effects()
        if json_answer:
            rows = [
                {
                    "effect": e.key,
                    "unit": e.unit,
                    "before": _spread(e.before.value),
                    "after": _spread(e.after.value),
                    "without": e.without,
                }
                for e in found.rows
            ]
            print_json(
                {
                    "rows": rows,
                    "cautions_gone": [{"ingredient": who, "text": c.text} for who, c in found.cautions_gone],
                    "cautions_new": [{"ingredient": who, "text": c.text} for who, c in found.cautions_new],
                }
            )
            return
        say(found.to_text())


@app.command()
def substitutes(
    name: Annotated[list[str], typer.Argument(help="A printed name or an id: white lead.", show_default=False)],
    role: Annotated[str | None, typer.Option(help="What it has to do: opacity, slip, binder …")] = None,
    avoid: Annotated[
        list[str] | None,
        typer.Option("--avoid", help="talc, starch, animal, nut, gluten, fragrance … or an id. May be given again."),
    ] = None,
    market: Annotated[str, typer.Option(help="Region whose law is shown: EU, US, UK …")] = "EU",
    form: Annotated[str | None, typer.Option(help="loose, pressed, leave-on, rinse-off or oral.")] = None,
    have: Annotated[
        list[str] | None,
        typer.Option("--have", help="Id of something in the cupboard; nothing else is then offered. Again for more."),
    ] = None,
    limit: Annotated[int, typer.Option(help="How many computed ones at most.")] = 8,
    json_answer: Json = False,
) -> None:
    """What can stand in for an ingredient: the glossary's own answers first, then what comes nearest by its work."""
    from histkit import glossary
    from histkit.composing.substitution import substitutes as ranked
    from histkit.composing.substitution import suggestions_grid

    with kindly():
        words = " ".join(name)
        match = None if words in glossary.ingredients else glossary.find(words)
        found = match.ingredient if match else glossary.ingredient(words)
        answers = ranked(found, role, avoid or (), market, form, have, limit)
        if json_answer:
            print_json(
                [
                    {
                        "option": s.option,
                        "parts": dict(s.parts),
                        "kept": s.kept,
                        "changes": s.changes,
                        "reason": s.reason,
                        "curated": s.curated,
                        "cautions": [{"level": c.level, "text": c.text, "law": c.law} for c in s.cautions],
                    }
                    for s in answers
                ]
            )
        elif answers:
            say(to_text(suggestions_grid(answers, f"In place of {found.name} ({found.id})")))
        else:
            say(f"Nothing stands in for {found.name} with these wishes: take one of them off.", err=True)
        if not answers:
            raise typer.Exit(1)


@app.command()
@grouped
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
    region: Annotated[str, typer.Option(help="Whose legal limits hold: EU, US … Default: all.")] = "",
    json_answer: Json = False,
) -> None:
    """Solve for the shares of several stand-ins that keep the work of what goes."""
    from histkit.composing.blending import KEPT

    with kindly():
        solved = formula.record().blend(remove, with_, tuple(keep or KEPT), _bounds(bound or ()), region=region)
        if json_answer:
            shares = {key: solved.composition.share(key) for key, _ in solved.parts}
            print_json(
                {
                    "removed": solved.removed,
                    "grams_for_one": dict(solved.parts),
                    "shares": shares,
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


@app.command()
@grouped
def trials(
    formula: FormulaOptions,
    pressing: PressOptions,
    around: Annotated[
        float | None, typer.Option(help="Share around which to try. Default: the suggestion, or the chosen share.")
    ] = None,
    count: Annotated[int, typer.Option(help="How many small presses.")] = 5,
    grams: Annotated[float, typer.Option(help="Grams of each.")] = 5.0,
    step: Annotated[float, typer.Option(help="How far apart the shares are.")] = 0.01,
    vary: Annotated[str, typer.Option(help="binder or oil.")] = "binder",
    json_answer: Json = False,
) -> None:
    """Small trial presses: what came of those in a record, a suggestion for the next one, a ladder to weigh."""
    with kindly():
        if vary not in ("binder", "oil"):
            raise BadValue(f"--vary is binder or oil, not {vary!r}")
        varied: Any = vary
        record = made(formula, pressing, BatchOptions(), loose=False)
        log = record.log()
        tried = any(t.held() is not None or t.gave() is not None or t.faults() for t in log.trials)
        proposal = record.proposal(varied) if tried else None
        middle = around if around is not None else proposal.share.best if proposal else None
        rungs = record.ladder(varied, count, grams, step, middle)
        if json_answer:
            suggested = proposal and {
                "share": _spread(proposal.share),
                "holds": proposal.holds,
                "gives": proposal.gives,
                "reason": proposal.reason,
            }
            steps = [
                {
                    "trial": s.trial.number,
                    "binder_share": s.trial.binder_share,
                    "oil_share": s.trial.oil_share,
                    "weighings": _weighings(s.batch),
                }
                for s in rungs.steps
            ]
            print_json({"suggestion": suggested, "powder_grams": rungs.powder_grams, "ladder": steps})
            return
        if log.trials:
            say(log.to_text() + "\n")
        if proposal:
            say(proposal.to_text() + "\n")
        say(rungs.to_text())
        say(f"\nBlend {rungs.powder_grams:g} g of the powder first.")


@app.command()
def record(
    file: Annotated[Path | None, typer.Argument(help="A record (.json).", show_default=False)] = None,
    schema: Annotated[bool, typer.Option("--schema", help="Print the JSON Schema of record files.")] = False,
    restore: Annotated[bool, typer.Option("--restore", help="Put the last good state from its history back.")] = False,
    json_answer: Json = False,
) -> None:
    """Look whether a record file is whole, put an earlier state back, or print the form of such files."""
    from histkit import records

    with kindly():
        if schema:
            print_json(records.schema())
            return
        if file is None:
            raise BadValue("name a record file, or ask for --schema")
        aside = records.restore(file) if restore else None
        found = records.load(file)
        answer = {
            "file": str(file),
            "title": found.formula().title if found.text.strip() else "",
            "replacements": len(found.replacements),
            "pressed": found.pressing is not None,
            "trials": len(found.trials),
            "batches": len(found.batches),
            "set_aside": str(aside) if aside else None,
        }
        if json_answer:
            print_json(answer)
            return
        if aside:
            say(f"The last good state was put back; what stood there is now {aside}.")
        say(
            f"{file} is whole: {answer['title'] or 'without a title'}, {answer['replacements']} stand-ins,"
            f" {'pressed' if found.pressing else 'loose'}, {answer['trials']} trials, {answer['batches']} batches made."
        )


@app.command()
@grouped
def table(
    formula: FormulaOptions,
    pressing: PressOptions,
    weighing: BatchOptions,
    to: Annotated[
        list[Path] | None,
        typer.Option("--to", help="Where to write it: .html .md .csv .xlsx .png .svg .pdf. May be given again."),
    ] = None,
    size: Annotated[str, typer.Option(help="Size of a picture in pixels.")] = "3840x2160",
    loose: Loose = False,
    json_answer: Json = False,
) -> None:
    """The table that sets old beside new, on the screen or as files."""
    from histkit.base.files import write_atomically

    with kindly():
        across = pixels(size)
        shown = made(formula, pressing, weighing, loose=True if loose else None).table()
        written: list[str] = []
        for path in to or ():
            ending = path.suffix.lower()
            if ending == ".csv":
                shown.to_csv(path)
            elif ending == ".xlsx":
                shown.to_xlsx(path)
            elif ending == ".html":
                from histkit.display import html

                write_atomically(path, html.page(shown))
            elif ending == ".md":
                write_atomically(path, shown.to_markdown())
            elif ending in (".png", ".svg", ".pdf"):
                shown.to_picture(path, size=across)
            else:
                raise BadValue(f"--to {path}: the name ends in .html, .md, .csv, .xlsx, .png, .svg or .pdf")
            written.append(str(path))
        if json_answer:
            frame = shown.to_frame().astype(object)
            print_json({"rows": frame.where(frame.notna(), None).to_dict(orient="records"), "written": written})
        elif not to:
            say(shown.to_text())
        else:
            for path_text in written:
                say(f"written: {path_text}")


@app.command()
def lab(
    folder: Annotated[
        Path, typer.Argument(help="Where the notebooks go; notebooks that you changed are never overwritten.")
    ] = Path("histkit-notebooks"),
    browser: Annotated[bool, typer.Option(help="Open a browser window.")] = True,
    start: Annotated[bool, typer.Option(help="Start JupyterLab; with --no-start only put the notebooks there.")] = True,
    as_app: Annotated[
        bool, typer.Option("--app", help="Serve them with Voilà as plain pages, for who wants no notebook.")
    ] = False,
) -> None:
    """Put the notebooks into a folder and open JupyterLab there."""
    from histkit.shell import notebooks

    with kindly():
        told = notebooks.put(folder)
        for line in told:
            say(line)
        if start:
            ended = notebooks.open_app(folder, browser, say) if as_app else notebooks.open_lab(folder, browser)
            raise typer.Exit(ended)


def main() -> None:
    """Entry point of the `histkit` command."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")  # a terminal that has no ʒ shows its number, and nothing breaks off
    app()


if __name__ == "__main__":
    main()
