"""What a film shows one at a time: cards of poisons and of stand-ins, step cards, the pans to scale, title, lower thirds, end."""

from __future__ import annotations

from typing import TYPE_CHECKING

from histkit.base.descriptions import Figure, Spoken
from histkit.base.filmed import PanPlan, Plaque, StandIn, StepCard, Swapped, Warned
from histkit.telling import plainly
from histkit.telling.printing import SAFETY

if TYPE_CHECKING:
    from histkit.bench.batching import Batch
    from histkit.bench.pans import Filling, PansNeed
    from histkit.telling.comparison import ComparisonTable, Row


def poison_cards(table: ComparisonTable) -> dict[str, Warned]:
    """A card for each printed line that must not be used: its words, what it does, which law forbids it; by today's name."""
    out: dict[str, Warned] = {}
    for row in table.lines:
        mark = plainly.warning_word(row.ingredient)
        if not mark or row.ingredient is None or row.today in out:
            continue
        harm, law = plainly.what_it_does(row.ingredient)
        then = table.figures(row)[0]
        share = None if then == "–" else Figure(f"{then} %", row.then_percent)
        told = (f"In the book: {row.printed}.", *([f"Share then: {then} %."] if share else []), *harm, *law)
        spoken = Spoken(f"Card of a {mark}: {row.today}", table.citation(), told)
        title = "It was in it" if row.fate != "forbidden" else "It is still in it"
        out[row.today] = Warned(title, row.printed, row.today, mark, share, harm, law, table.citation(), spoken)
    return out


def stand_in_cards(table: ComparisonTable) -> dict[str, Swapped]:
    """A card for each printed line that was replaced: what went, what stands in its place, and why; by today's name."""
    out: dict[str, Swapped] = {}
    for first, *others in table.blocks():
        if first.fate != "replaced" or not others or first.today in out:
            continue
        then = table.figures(first)[0]
        stand_ins = tuple(_stand_in(table, first, row) for row in others)
        names = ", ".join(f"{s.name} {s.share.text} %{f' ({s.ratio})' if s.ratio else ''}" for s in stand_ins)
        told = (
            f"{first.printed}: {then} % then.",
            f"In its place: {names}.",
            *([f"{_sentence(first.why)}"] if first.why else []),
        )
        out[first.today] = Swapped(
            "In its place",
            first.printed,
            first.today,
            plainly.warning_word(first.ingredient),
            Figure(then, first.then_percent),
            stand_ins,
            _sentence(first.why),
            table.citation(),
            Spoken(f"What stands in the place of {first.today}", table.citation(), told),
        )
    return out


def _stand_in(table: ComparisonTable, first: Row, row: Row) -> StandIn:
    _, now, grams = table.figures(row)
    ratio = row.change.removeprefix(f"in place of {first.today}").strip(", ")
    return StandIn(row.today, Figure(now, row.now_percent), ratio, "" if grams == "–" else f"{grams} g")


def _sentence(words: str) -> str:
    words = words.strip()
    return f"{words[:1].upper()}{words[1:].rstrip('.')}." if words else ""


def step_cards(batch: Batch) -> dict[str, StepCard]:
    """What to do, one card for each step of the sheet's sequence, in its order; by their numbers. One weight stands large."""
    sheet, source = batch.bench_sheet(), batch.composition.source
    cited = source.citation() if source is not None else ""
    done: list[tuple[str, str, str]] = []
    for step in sheet.steps:
        figure = batch.balance.text(step.puts[0][1]) if len(step.puts) == 1 else step.timing()
        done.append((step.step, figure, ". ".join(part.rstrip(".") for part in (step.detail, step.vessel) if part)))
    out = {}
    for number, (words, figure, more) in enumerate(done, start=1):
        spoken = Spoken(f"Step {number} of {len(done)}: {words}", lines=tuple(filter(None, (figure, more))))
        out[f"step {number:02d}"] = StepCard(sheet.title, number, len(done), words, figure, more, cited, spoken)
    return out


def pan_plan(name: str, filling: Filling, need: PansNeed, swatch: str = "", source: str = "") -> PanPlan:
    """The pans with their cakes, to scale. `swatch` is the colour of the cake where it is known."""
    deep = filling.depth_mm
    fill = max(0.0, deep - filling.below_rim_mm) / deep
    each = need.fill.best / need.count
    facts = (
        ("The pan" if need.count == 1 else f"Each of {need.count} pans", need.size),
        ("The cake in it", f"about {each:.1f} g"),
        *([("All of them", f"about {need.fill.best:.1f} g")] if need.count > 1 else []),
        ("Make", f"{need.make:.1f} g"),
    )
    lines = tuple(f"{label}: {value}." for label, value in facts)
    return PanPlan(
        f"{name}: the pans" if name else "The pans",
        filling.width_mm or filling.diameter_mm or 0.0,
        deep,
        need.count,
        filling.length_mm,
        fill,
        swatch,
        facts,
        source,
        f"To scale. {100 * need.allowance:.0f} % more is made, for what sticks to the tools.",
        Spoken(f"Pans of {name}, to scale" if name else "Pans, to scale", source, (need.text(), *lines)),
    )


def plaques(table: ComparisonTable) -> dict[str, Plaque]:
    """A title, a lower third for each line that was replaced, and an end card with the source."""
    year = table.source.year if table.source is not None else None
    out = {
        "title": Plaque(table.title, f"As printed in {year}, and today" if year else "As printed, and today", table.citation())
    }
    for row in table.lines:
        mark = plainly.warning_word(row.ingredient)
        if mark or row.fate == "replaced":
            what = f"{row.today}: {row.why or mark or 'replaced'}"
            out.setdefault(
                f"lower third {row.today}", Plaque(plainly.without_joints(row.printed), what, table.citation(), "lower third")
            )
    lines = ("The formula in grams, the steps and all doubts are in the text below the film.", SAFETY)
    out["end"] = Plaque(table.title, "", f"Source: {table.citation()}", "end", lines)
    return out
