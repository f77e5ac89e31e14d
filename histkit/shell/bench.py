"""The commands for the bench: press, batch, label, effects, trials."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from histkit.base.errors import BadValue
from histkit.display.grids import to_text
from histkit.shell.answering import Json, kindly, print_json, say, say_prose, say_written, spread_json
from histkit.shell.options import BalanceOptions, BatchOptions, FormulaOptions, Loose, PressOptions, record_of, with_options

if TYPE_CHECKING:
    from histkit.base.nouns import Spread
    from histkit.bench.batch_record import BatchRecord, ShoppingList
    from histkit.bench.batching import Batch
    from histkit.bench.ladders import IncrementalLadder, Ladder
    from histkit.bench.proposals import Proposal
    from histkit.bench.sheet import BenchSheet
    from histkit.bench.trials import Trial, TrialLog
    from histkit.keeping.records import Record

SHEETS = ".html .md .pdf"


@with_options
def press(formula: FormulaOptions, pressing: PressOptions, weighing: BatchOptions, json_answer: Json = False) -> None:
    """Turn a loose powder into a pressed one and say what to weigh; published levels stand beside the choice."""
    with kindly():
        record = record_of(formula, pressing, weighing, loose=False)
        if json_answer:
            print_json(_press_json(record))
            return
        pressed, need, pressure = record.pressed(), record.pans_need(), record.pressure()
        assert pressed is not None
        sheet = record.batch().to_text()
        say(pressed.to_text() + "\n")
        say(to_text(pressed.levels_grid()) + "\n")
        if (base := record.base()) is not None:
            say_prose(base.text() + "\n")
        if need is not None:
            say_prose(need.text() + "\n")
        if pressure is not None:
            say_prose(f"Pressure ({pressure.press}): {pressure.mpa} MPa, {pressure.words}.\n")
        if (card := record.press_card()) is not None:
            say(card.to_text() + "\n")
        say(sheet)


def _press_json(record: Record) -> dict[str, Any]:
    pressed, batch, pressure = record.pressed(), record.batch(), record.pressure()
    assert pressed is not None
    levels = [{"cake": v.cake, "binder": v.words, "low": v.low, "high": v.high, "source": v.source} for v in pressed.levels]
    return {
        "composition": [{"ingredient": p.ingredient.id, "share": p.share} for p in record.final().parts],
        "weighings": _weighings_json(batch),
        "warnings": [*pressed.warnings, *batch.warnings],
        "notes": list(pressed.notes),
        "levels": levels,
        "pan_fill": spread_json(record.pan_fill()),
        "pressure": pressure and {"mpa": spread_json(pressure.mpa), "words": pressure.words, "source": pressure.source},
    }


def _weighings_json(batch: Batch) -> list[dict[str, Any]]:
    from histkit.bench.sequence import dilution_steps, letter_of

    return [
        {
            "ingredient": w.ingredient.id,
            "name": w.ingredient.name,
            "grams": w.grams,
            "content": w.content,
            "aliquot": w.diluted,
            "mixture": letter_of(w, batch),
            "with": [i.id for i, _, _ in w.joint.parts if i != w.ingredient] if w.joint else [],
            "weigh": w.aliquot.take if w.aliquot else w.joint.take if w.joint else w.direct,
            "steps": list(dilution_steps(w, batch)),
            "rounding": w.error_share,
            "whole_error": w.whole_error,
            "wasted": w.wasted,
            "note": w.note,
        }
        for w in batch.weighings
    ]


@with_options
def batch(
    formula: FormulaOptions,
    pressing: PressOptions,
    weighing: BatchOptions,
    loose: Loose = False,
    to: Annotated[
        list[Path] | None, typer.Option("--to", help=f"Where to write the bench sheet: {SHEETS}. May be given again.")
    ] = None,
    shopping: Annotated[
        bool, typer.Option("--shopping", help="Say what to buy for it, in packs where their sizes are kept.")
    ] = False,
    lots: Annotated[bool, typer.Option("--lots", help="The record of the batch: lots, dates, cost and waste.")] = False,
    json_answer: Json = False,
) -> None:
    """What to weigh, in which order: the bench sheet, on the screen or as a file to print."""
    from histkit.telling import files

    with kindly():
        record = record_of(formula, pressing, weighing, loose=True if loose else None)
        weighed, straight = record.batch(), record.straight_from()
        written = [str(files.save_sheet(path, weighed)) for path in to or ()]
        if json_answer:
            print_json(
                {
                    "grams": weighed.grams,
                    "weighings": _weighings_json(weighed),
                    "warnings": list(weighed.warnings),
                    "price": weighed.bench_sheet().price,
                    "straight_from": straight,
                    "written": written,
                    **({"shopping": _shopping_json(record.shopping_list())} if shopping else {}),
                    **({"lots": _lots_json(record.batch_record())} if lots else {}),
                }
            )
        elif to:
            say_written(written)
        else:
            say(weighed.to_text() + "\n")
            limit = 100 * weighed.error_limit
            say_prose(
                f"From {straight:g} g on, everything is weighed straight and rounding changes nothing by more than {limit:g} %.\n"
            )
            _say_sheet(weighed.bench_sheet())
            if shopping:
                say("\n" + record.shopping_list().to_text())
            if lots:
                say("\n" + record.batch_record().to_text())


def _say_sheet(sheet: BenchSheet) -> None:
    """The sheet on the screen: what to weigh with what to beware of, the steps, the press card, the dilutions."""
    say(sheet.to_text())
    say("\nDo, step by step\n")
    say_prose("\n".join(f"{number}. {step.text()}" for number, step in enumerate(sheet.steps, 1)))
    headed = (("Press card", sheet.press_card), ("How exact the dilutions are, and what is left over", sheet.accounts))
    for head, entries in (*headed, ("Lots and dates", sheet.lots)):
        if entries:
            say(f"\n{head}\n")
            say_prose("\n".join(f"{what}: {words}" for what, words in entries))


def _shopping_json(bought: ShoppingList) -> dict[str, Any]:
    lines = [
        {
            "ingredient": line.ingredient.id,
            "needed": line.needed,
            "have": line.have,
            "missing": line.missing,
            "packs": [{"grams": grams, "count": count} for grams, count in line.packs],
            "price": line.cost,
        }
        for line in bought.lines
    ]
    return {"lines": lines, "price": bought.cost, "currency": bought.currency}


def _lots_json(made: BatchRecord) -> dict[str, Any]:
    rows = [
        {
            "ingredient": row.ingredient.id,
            "lot": row.lot.lot if row.lot else "",
            "opened": row.lot.opened if row.lot else None,
            "keeps_until": row.lot.keeps_until if row.lot else None,
            "used": row.used,
            "left_over": row.wasted,
            "cost": row.cost,
            "lost": row.lost,
        }
        for row in made.rows
    ]
    about = {"number": made.number, "made_on": made.made_on, "best_before": made.best_before, "notes": list(made.notes())}
    return {**about, "parts": rows, "cost": made.cost, "lost": made.lost, "currency": made.currency}


@with_options
def label(
    formula: FormulaOptions,
    pressing: PressOptions,
    loose: Loose = False,
    rinse_off: Annotated[
        bool, typer.Option("--rinse-off", help="It is rinsed off; otherwise the product or the title decides.")
    ] = False,
    may_contain: Annotated[
        list[str] | None, typer.Option("--may-contain", help="Id of a colour that may be in it. May be given again.")
    ] = None,
    json_answer: Json = False,
) -> None:
    """A draft of the list of ingredients for a label; a safety assessor has to check it."""
    with kindly():
        # Binders that nobody asked for are on no label.
        as_printed = not formula.file.endswith(".json") and not pressing.any
        record = record_of(formula, pressing, BatchOptions(), loose=True if loose or as_printed else None)
        draft = record.label(rinse_off or None, tuple(may_contain or ()))
        if json_answer:
            entries = [{"name": e.name, "share": e.share, "note": e.note} for e in draft.entries]
            allergens = [{"name": e.name, "share": e.share} for e in draft.allergens]
            print_json({"draft": draft.text(), "entries": entries, "allergens": allergens, "notes": list(draft.notes)})
            return
        say(draft.text() + "\n")
        say(draft.to_text())


@with_options
def effects(
    formula: FormulaOptions, pressing: PressOptions, weighing: BatchOptions, loose: Loose = False, json_answer: Json = False
) -> None:
    """What all changes do: cover, oil absorption, density, cautions, before and after."""
    with kindly():
        changes = record_of(formula, pressing, weighing, loose=True if loose else None).effects()
        if json_answer:
            rows = [
                {
                    "effect": e.key,
                    "unit": e.unit,
                    "before": spread_json(e.before.value),
                    "after": spread_json(e.after.value),
                    "without": e.without,
                }
                for e in changes.rows
            ]
            print_json(
                {
                    "rows": rows,
                    "cautions_gone": [{"ingredient": who, "text": c.text} for who, c in changes.cautions_gone],
                    "cautions_new": [{"ingredient": who, "text": c.text} for who, c in changes.cautions_new],
                }
            )
            return
        say(changes.to_text())


@with_options
def trials(
    formula: FormulaOptions,
    pressing: PressOptions,
    balance: BalanceOptions,
    around: Annotated[
        float | None, typer.Option(help="Share around which to try. Default: the suggestion, or the chosen share.")
    ] = None,
    count: Annotated[int, typer.Option(help="How many small presses.")] = 5,
    grams: Annotated[float, typer.Option(help="Grams of each.")] = 5.0,
    step: Annotated[float, typer.Option(help="How far apart the shares are.")] = 0.01,
    vary: Annotated[str, typer.Option(help="binder or oil.")] = "binder",
    one_powder: Annotated[
        bool,
        typer.Option(
            "--one-powder/--fresh-powder",
            help="Press one powder again and again (press, grind, add a little more), or each press from fresh powder.",
        ),
    ] = False,
    json_answer: Json = False,
) -> None:
    """Small trial presses: what came of those in a record, a suggestion for the next one, a ladder to weigh."""
    with kindly():
        if vary not in ("binder", "oil"):
            raise BadValue(f"--vary is binder or oil, not {vary!r}")
        varied: Any = vary
        record = record_of(formula, pressing, balance, loose=False)
        log = record.log()
        tried = any(t.held() is not None or t.gave() is not None or t.faults() for t in log.trials)
        proposal = record.proposal(varied) if tried else None
        middle = around if around is not None else proposal.share.best if proposal else None
        laid: Any = record.incremental_ladder if one_powder else record.ladder
        rungs = laid(varied, count, grams, step, middle)
        if json_answer:
            print_json(_trials_json(log, proposal, rungs, record.trial_pressure(varied)))
            return
        if log.trials:
            say(log.to_text() + "\n")
        if proposal:
            say(proposal.to_text() + "\n")
        say(rungs.to_text() + "\n")
        first = "" if one_powder else f"Blend {rungs.powder_grams:g} g of the powder first. "
        say_prose(first + record.press_words(varied))


def _trials_json(
    log: TrialLog, proposal: Proposal | None, rungs: Ladder | IncrementalLadder, pressure: Spread | None
) -> dict[str, Any]:
    from histkit.bench.ladders import IncrementalLadder
    from histkit.bench.pressures import window_of_pressures

    suggestion = proposal and {
        "change": proposal.change,
        "share": spread_json(proposal.share),
        "pressure_mpa": spread_json(proposal.pressure),
        "holds": proposal.holds,
        "gives": proposal.gives,
        "reason": proposal.reason,
        "remedies": [{"fault": fault.fault, "remedy": fault.remedy} for fault in proposal.remedies],
    }
    return {
        "trials": [asdict(trial) for trial in log.trials],
        "suggestion": suggestion,
        "pressure_mpa": spread_json(pressure),
        "usual_pressure_mpa": spread_json(window_of_pressures()),
        "powder_grams": rungs.powder_grams,
        **(_one_powder_json(rungs) if isinstance(rungs, IncrementalLadder) else {"ladder": _fresh_json(rungs)}),
    }


def _shares_json(trial: Trial) -> dict[str, Any]:
    return {"trial": trial.number, "binder_share": trial.binder_share, "oil_share": trial.oil_share}


def _fresh_json(rungs: Ladder) -> list[dict[str, Any]]:
    return [{**_shares_json(s.trial), "weighings": _weighings_json(s.batch)} for s in rungs.steps]


def _one_powder_json(rungs: IncrementalLadder) -> dict[str, Any]:
    return {
        "first": [{"name": name, "grams": grams} for name, grams in rungs.first],
        "added": rungs.added,
        "separate_powder_grams": rungs.separate_grams,
        "ladder": [{**_shares_json(r.trial), "add": r.add, "holds": r.holds} for r in rungs.rungs],
        "notes": list(rungs.notes),
    }
