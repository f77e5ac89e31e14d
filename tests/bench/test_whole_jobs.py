"""A dozen whole jobs, from the printed lines to the last gram, reckoned again with fractions and nothing of the program's own.

The grams of the old measures are the legal ones: the grain of 64.79891 mg (exact since 1959; the imperial grain of 1878 to its
seventh digit), the avoirdupois ounce of 437.5 grains, the apothecaries' ounce of 480 and its drachm of 60.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction as F

import pytest

import histkit as hk
from histkit.base.nouns import Source
from histkit.keeping.records import Pressing, Record, Weighing

GRAIN = F(6479891, 100000000)
OUNCE, POUND = GRAIN * F(875, 2), GRAIN * 7000
TROY_OUNCE, DRACHM, SCRUPLE = GRAIN * 480, GRAIN * 60, GRAIN * 20
TRADE = Source("An invented receipt book", "A. Nobody (invented)", 1871, "GB", kind="trade receipt book")
PHYSIC = Source("An invented dispensatory", "A. Nobody (invented)", 1871, "GB", kind="prescription")


@dataclass(frozen=True)
class Job:
    """The printed lines with their grams by hand, what is put in the place of what, and how it is pressed and weighed."""

    lines: tuple[tuple[str, str, F], ...]
    """(printed line, id, grams by hand)."""
    grams: F
    binder: F | None = None
    oil: F | None = None
    also: tuple[tuple[str, F], ...] = ()
    step: F = F(1, 100)
    source: Source = TRADE
    price: F | None = None


JOBS = {
    "two powders": Job((("Talc, 3 oz.", "talc", 3 * OUNCE), ("Kaolin, 1 oz.", "kaolin", OUNCE)), F(60)),
    "pounds and ounces": Job((("Talc, 1 lb.", "talc", POUND), ("Kaolin, 4 oz.", "kaolin", 4 * OUNCE)), F(250)),
    "half an ounce": Job(
        (("Talc, 2 1/2 oz.", "talc", F(5, 2) * OUNCE), ("Zinc oxide, 1/2 oz.", "zinc-oxide", OUNCE / 2)), F(40)
    ),
    "drachms of a prescription": Job(
        (("Talc, ℥ij", "talc", 2 * TROY_OUNCE), ("Zinc oxide, ʒiv", "zinc-oxide", 4 * DRACHM)), F(50), source=PHYSIC
    ),
    "scruples": Job((("Talc, ℥j", "talc", TROY_OUNCE), ("Kaolin, ℈ij", "kaolin", 2 * SCRUPLE)), F(30), source=PHYSIC),
    "grains": Job((("Talc, 1 oz.", "talc", OUNCE), ("Kaolin, 120 grains", "kaolin", 120 * GRAIN)), F(35)),
    "pressed at 5 and 3 %": Job(
        (("Talc, 3 oz.", "talc", 3 * OUNCE), ("Kaolin, 1 oz.", "kaolin", OUNCE)), F(60), F(5, 100), F(3, 100)
    ),
    "pressed with no oil": Job(
        (("Talc, 3 oz.", "talc", 3 * OUNCE), ("Kaolin, 2 oz.", "kaolin", 2 * OUNCE)), F(20), F(6, 100)
    ),
    "two dry binders": Job(
        (("Talc, 4 oz.", "talc", 4 * OUNCE), ("Kaolin, 1 oz.", "kaolin", OUNCE)),
        F(80), F(3, 100), F(4, 100), (("zinc-stearate", F(2, 100)),),
    ),
    "two oils": Job(
        (("Talc, 4 oz.", "talc", 4 * OUNCE), ("Kaolin, 1 oz.", "kaolin", OUNCE)),
        F(80), F(5, 100), F(2, 100), (("squalane", F(2, 100)),),
    ),
    "a kitchen balance": Job(
        (("Talc, 3 oz.", "talc", 3 * OUNCE), ("Kaolin, 1 oz.", "kaolin", OUNCE)), F(60), F(5, 100), F(5, 100), step=F(1, 10)
    ),
    "with a price": Job(
        (("Talc, 2 oz.", "talc", 2 * OUNCE), ("Kaolin, 1 oz.", "kaolin", OUNCE)), F(45), F(5, 100), F(3, 100), price=F(3, 100)
    ),
}  # fmt: skip


def by_hand(job: Job) -> dict[str, F]:
    """Exact grams of everything in the batch."""
    powder = {key: grams for _, key, grams in job.lines}
    whole = sum(powder.values())
    added = {}
    if job.binder is not None:
        added = {"magnesium-stearate": job.binder, **({"jojoba-oil": job.oil} if job.oil else {}), **dict(job.also)}
    rest = 1 - sum(added.values(), F(0))
    shares = {key: grams / whole * rest for key, grams in powder.items()} | added
    assert sum(shares.values()) == 1
    return {key: share * job.grams for key, share in shares.items()}


def record_of(job: Job) -> Record:
    pressing = None
    if job.binder is not None:
        more = tuple((key, float(share)) for key, share in job.also)
        oils = {"more_oils": more} if job.also and job.also[0][0] == "squalane" else {"more_binders": more}
        oil = {"oil": "jojoba-oil", "oil_share": float(job.oil)} if job.oil else {"oil": None, "oil_share": 0.0}
        pressing = Pressing(binder_share=float(job.binder), **oil, **oils)
    weighing = Weighing(float(job.grams), float(job.step), 20 * float(job.step))
    prices = () if job.price is None else tuple((key, float(job.price)) for key in by_hand(job))
    return Record("\n".join(line for line, _, _ in job.lines), job.source, pressing=pressing, weighing=weighing, prices=prices)


@pytest.mark.parametrize("name", JOBS)
def test_a_whole_job(name: str) -> None:
    job, wanted = JOBS[name], by_hand(JOBS[name])
    record = record_of(job)
    for line, (_, key, grams) in zip(record.translation().lines, job.lines, strict=True):
        assert line.match.ingredient is not None and line.match.ingredient.id == key
        assert line.grams is not None and line.grams.best == pytest.approx(float(grams), rel=1e-6)
    made = record.batch()
    assert {w.ingredient.id for w in made.weighings} == set(wanted)
    shown = {}
    for w in made.weighings:
        grams = F(str(w.grams))
        shown[w.ingredient.id] = grams
        assert (grams / job.step).denominator == 1, "whole divisions of the balance"
        assert abs(grams - wanted[w.ingredient.id]) < job.step, "no more than a division from the exact grams"
        assert w.exact == pytest.approx(float(wanted[w.ingredient.id]), rel=1e-6)
    assert sum(shown.values()) == job.grams, "to the last digit"
    last = made.bench_sheet().steps[-1]
    assert F(str(last.holds)) == job.grams
    if job.price is not None:
        assert made.cost()[0] == pytest.approx(float(job.price * job.grams))
    assert hk.Record.from_json(record.to_json()).batch() == made
