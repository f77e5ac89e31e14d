"""The bench as it is to be shown: the sheet, what to have at hand, the steps, what came of the test presses."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from histkit.base.descriptions import (
    BarRow,
    Bars,
    Blank,
    Bullets,
    Form,
    Heading,
    Length,
    ListEntry,
    Listing,
    Mark,
    Notes,
    Paper,
    PaperBlock,
    Paragraph,
    Point,
    Points,
    Spoken,
    Ticked,
    ToWeigh,
    WeighingList,
)
from histkit.base.nouns import Spread
from histkit.bench.outcomes import Outcome, outcome

if TYPE_CHECKING:
    from histkit.bench.batching import Batch
    from histkit.bench.proposals import Proposal
    from histkit.bench.sequence import BenchStep
    from histkit.bench.sheet import BenchSheet, SheetRow
    from histkit.bench.steps import ProcessStep
    from histkit.bench.trials import Trial, TrialLog, Varied

BENCH_CAUTION = (
    "Wear a dust mask, work away from flames, keep these tools for cosmetics. Test on the inner arm before use; at any reaction"
    " stop and ask a physician. Rules differ and change: what may be sold or given away is decided by those of your country and"
    " by a safety assessor."
)

AT_THE_HEAD = 3
"""How many cautions, and how many findings, stand before the work; the rest stands behind it (own judgement)."""

Likely = tuple[float | None, float | None]
"""How likely a cake holds and gives off (0–1); None where the log says nothing of it."""


# -- the sheet ----------------------------------------------------------------------------------------------------------------


def weighing_list(rows: Iterable[SheetRow]) -> WeighingList:
    """The rows of a bench sheet as weighings."""
    return WeighingList(tuple(ToWeigh(row.stage, row.name, row.amount, row.note) for row in rows))


_UNITS = r"(?:g|mg|kg|%|MPa|N|kgf|lbf|mm|cm2|cm3|s|min|days|drops|°C)"
_AMOUNT = re.compile(rf"(?<=\d) (?={_UNITS}(?![\w]))")


def unbroken(words: str) -> str:
    """The same words, with figures that no line may part from their units (by no-break spaces)."""
    return _AMOUNT.sub("\u00a0", words)


def paper(sheet: BenchSheet) -> Paper:
    """The bench sheet: what to fill in, the gravest cautions, what to weigh, the one sequence, the press card, how exact the
    dilutions are, all other cautions, room for notes.
    """
    total = Blank("Total", unbroken(sheet.total))
    form = Form((Blank("Batch number", sheet.number), Blank("Date"), Blank("Room", unit="°C", room=4), total))
    gravest = sheet.gravest_cautions()
    head, more = sheet.hazards[:AT_THE_HEAD], sheet.hazards[AT_THE_HEAD:]
    blocks: list[PaperBlock] = [form, *(_warning(words) for words in (*head, *sheet.warnings))]
    blocks += [_bullets(gravest)] if gravest else []
    blocks.append(Paragraph(BENCH_CAUTION, "caution"))
    blocks += [Heading("Weigh"), _unbroken_list(weighing_list(sheet.rows))]
    blocks += [Heading("Do, step by step"), Ticked(tuple(unbroken(step.text()) for step in sheet.steps))]
    blocks += [Heading("Press card"), _bullets(sheet.press_card)] if sheet.press_card else []
    blocks += [Heading("How exact the dilutions are, and what is left over"), _bullets(sheet.accounts)] if sheet.accounts else []
    blocks += [Heading("Lots and dates"), _bullets(sheet.lots)] if sheet.lots else []
    blocks += [Paragraph(sheet.price)] if sheet.price else []
    others = sheet.further_cautions()
    if more or others:
        blocks += [Heading("Further cautions"), *(_warning(words) for words in more)]
        blocks += [_bullets(others)] if others else []
    blocks += [Paragraph(sheet.judged, "caution")] if sheet.judged else []
    blocks += [Paragraph(_PRACTICE, "aside"), Notes()]
    running = f"{sheet.title}{f', batch {sheet.number}' if sheet.number else ''}"
    return Paper(f"Bench sheet: {sheet.title}", running, tuple(blocks))


_PRACTICE = "Order and times of the steps are common practice and have no source."


def _warning(words: str) -> Paragraph:
    return Paragraph(unbroken(words), "warning")


def _bullets(entries: Iterable[tuple[str, str]]) -> Bullets:
    return Bullets(tuple((who, unbroken(words)) for who, words in entries))


def _unbroken_list(listed: WeighingList) -> WeighingList:
    rows = (replace(row, amount=unbroken(row.amount), note=unbroken(row.note)) for row in listed.rows)
    return WeighingList(tuple(rows))


# -- lists --------------------------------------------------------------------------------------------------------------------


def needs(batch: Batch) -> Listing:
    """What to have at hand for a batch: every ingredient with its label name and its grams, dilutions included."""
    needed, show = batch.to_weigh, batch.balance.text
    entries = []
    for weighing in batch.weighings:
        name, label = weighing.ingredient.name, weighing.ingredient.inci
        more = label if label.casefold() != name.casefold() else ""
        entries.append(ListEntry(name, show(needed[weighing.ingredient.id]), more))
    source, name = batch.composition.source, batch.composition.name
    left_over = any(weighing.mixed for weighing in batch.weighings)
    return Listing(
        f"What you need{f': {name}' if name else ''}",
        tuple(entries),
        source.citation() if source else "",
        f"For a batch of {show(batch.grams)}.{' Some of it is left over from the dilutions.' if left_over else ''}",
    )


def steps(title: str, steps: Sequence[ProcessStep | BenchStep], source: str = "") -> Listing:
    """Steps at the bench with their times, numbered. `source` is the line of the book, under the title."""
    entries = tuple(ListEntry(step.step, step.timing(), _beneath(step)) for step in steps)
    return Listing(title, entries, source, "Times: common practice, no source.", numbered=True)


def _beneath(step: ProcessStep | BenchStep) -> str:
    """What stands below a step: how, and what is there then."""
    there = getattr(step, "vessel", "")
    return "; ".join(filter(None, (step.detail, f"{there[:1].lower()}{there[1:]}")))


# -- test presses -------------------------------------------------------------------------------------------------------------


def trial_bars(
    log: TrialLog, vary: Varied, proposal: Proposal, likelihoods: Callable[[Sequence[float]], Iterable[Likely]]
) -> Bars:
    """How likely a cake holds and gives off at every share that was tried and at the one suggested, with what came of it.

    `likelihoods` says how likely, for each of the shares (0–1) that it is given.
    """
    tried: dict[float, list[str]] = {}
    for trial in sorted(log.trials, key=lambda t: t.number):
        came = _outcome(outcome(trial, vary, usual=log.pressure))
        tried.setdefault(_share(trial, vary), []).append(f"trial {trial.number}: {came}")
    shares = sorted({*tried, proposal.share.best})
    rows = []
    for share, likely in zip(shares, likelihoods(shares), strict=True):
        suggested = share == proposal.share.best
        words = [*tried.get(share, []), *(["suggested next"] if suggested else [])]
        rows.append(BarRow(f"{100 * share:.4g} %: {'; '.join(words)}", tuple(map(_likely, likely)), 1.0, suggested))
    title = f"Trials: {log.name}" if log.name else "Trials"
    legend = ("likely to hold", "likely to give off")
    foot = f"A suggestion, no measurement: {_suggested(proposal, vary)}. Curves: common practice, no source."
    lines = [f"{r.name}: {legend[0]} {r.lengths[0].words}, {legend[1]} {r.lengths[1].words}." for r in rows]
    return Bars(title, legend, tuple(rows), foot=foot, spoken=Spoken(title, lines=(*lines, foot)))


def _share(trial: Trial, vary: Varied) -> float:
    return trial.binder_share if vary == "binder" else trial.oil_share


def _likely(chance: float | None) -> Length:
    return Length(None, "–") if chance is None else Length(Spread.exact(chance), f"{100 * chance:.0f} %")


def _outcome(said: Outcome) -> str:
    """What a trial says, in words."""
    words = [] if said.held is None else ["held" if _firm(said) else "did not hold" if not said.held else "held, but soft"]
    if said.gave is not None:
        words.append("gave off badly" if not said.gave else "gave off, but begins to glaze" if said.much else "gave off")
    if said.press:
        words.append(f"press {said.press} first")
    return ", ".join(words) or "no result"


def _firm(said: Outcome) -> bool | None:
    """Whether it counts as holding, as the suggestion takes it; None where it says nothing."""
    return None if said.held is None else said.held and not said.soft


def _suggested(proposal: Proposal, vary: Varied) -> str:
    """What is suggested, in few words."""
    at = "" if proposal.pressure is None else f" at {proposal.pressure.best:.2g} MPa"
    if proposal.change == "pressure":
        return f"keep to {100 * proposal.share.best:.4g} % of {vary} and change the pressure{at and f', to about{at[3:]}'}"
    if proposal.change == "neither":
        return f"no other share of {vary}"
    return f"{proposal.share * 100} % of {vary}{at}"


_MARKS: dict[bool | None, Mark] = {True: "full", False: "open", None: "cross"}
_HELD = {True: "it held", False: "it did not hold", None: "it says nothing of holding"}


def trial_points(log: TrialLog, vary: Varied, proposal: Proposal | None = None) -> Points | None:
    """Payoff (0–5) over the share that was varied (per cent of the cake); full where it held, open where it did not.

    The band is the share that `proposal` suggests. Trials without any result are left out; None where no trial has one.
    """
    said = {t.number: outcome(t, vary, usual=log.pressure) for t in log.trials}
    tried = [t for t in log.trials if t.payoff is not None or said[t.number].held is not None or said[t.number].gave is not None]
    if not tried:
        return None
    band = None
    held = {number: "it held, but soft" if one.soft else _HELD[one.held] for number, one in said.items()}
    spoken = [
        f"Trial {t.number}, {100 * _share(t, vary):.3g} % of {vary}: {held[t.number]}, "
        f"payoff {t.payoff if t.payoff is not None else 'not tried'}."
        for t in tried
    ]
    if proposal is not None and proposal.change == "share":
        span = Spread(100 * proposal.share.low, 100 * proposal.share.best, 100 * proposal.share.high)
        band = (span, f"try {span.best:.3g} %")
        spoken.append(f"Suggested: {span.best:.3g} %, {span.low:.3g} to {span.high:.3g} %.")
    return Points(
        title=f"Payoff over the share of {vary}",
        x_head=f"{vary}, % of the cake",
        y_head="Payoff, 0 to 5",
        most=5,
        points=tuple(Point(100 * _share(t, vary), t.payoff, _MARKS[_firm(said[t.number])]) for t in tried),
        marks=(("full", "held"), ("open", "did not, or soft"), ("cross", "holding not known")),
        not_tried="payoff not tried",
        spoken=" ".join(spoken),
        reaching=tuple(100 * _share(t, vary) for t in log.trials),
        band=band,
    )
