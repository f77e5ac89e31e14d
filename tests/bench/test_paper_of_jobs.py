"""The sheets of a dozen invented jobs on paper: no table over a page, no weight away from its unit, nothing lost."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import pytest

from histkit.base.nouns import Source
from histkit.bench.batching import Batch
from histkit.display import papers, typesetting
from histkit.keeping.records import Pressing, Record, Weighing

TINTED = "Invented Powder\nTalc 8 oz.\nZinc oxide 1 oz.\nPrecipitated chalk 1 oz.\nCarmine 2 gr.\nOtto of rose 3 drops\nOil of bergamot 5 drops"
STARCH = "Invented Rice Powder\nRice starch 12 oz.\nKaolin 2 oz.\nOrris root powder 1 oz.\nOil of lavender 10 drops"
ROUGE = "Invented Rouge\nTalc 4 oz.\nCarmine 1/2 oz.\nGum arabic 60 gr.\nOtto of rose 4 drops"
TOOTH = "Invented Tooth Powder\nPrecipitated chalk 1 lb.\nOrris root 2 oz.\nCastile soap 1 oz.\nOil of cloves 20 drops"
CREAM = "Invented Cold Cream\nWhite wax 1 oz.\nAlmond oil 4 fl. oz.\nRose water 3 fl. oz."
COLOGNE = "Invented Cologne\nRectified spirit 1 pint\nOil of bergamot 2 drachms\nOil of neroli 20 drops"
MANY = (
    "Invented Powder of Many Things\nTalc 8 oz.\nRice starch 4 oz.\nKaolin 2 oz.\nZinc oxide 1 oz.\nPrecipitated chalk 2 oz.\n"
    "Magnesium carbonate 1/2 oz.\nOrris root 1 oz.\nWheat starch 1 oz.\nMica 1 oz.\nSulphur 5 gr.\nCarmine 3 gr.\nYellow ochre 4 gr.\n"
    "Armenian bole 9 gr.\nUltramarine 2 gr.\nOtto of rose 3 drops\nOil of bergamot 9 drops\nOil of lavender 5 drops\n"
    "Oil of cloves 2 drops\nOil of neroli 4 drops\nOil of sandalwood 6 drops\nOil of lemon 5 drops\nTincture of benzoin 2 drachms"
)
CHEAP = {"readability": 0.1, "minimum": 1.0}
JOBS = {
    "pans": (TINTED, Weighing(pans=6, make="pans", together=True), Pressing(press="clamp")),
    "small": (TINTED, Weighing(5), Pressing()),
    "loose starch": (STARCH, Weighing(200), None),
    "cheap balance, wet": (ROUGE, Weighing(30, **CHEAP, pans=2), Pressing(wetting="rectified-spirit")),
    "tiny": (ROUGE, Weighing(2, 0.001, 0.02), Pressing()),
    "tooth powder, 5 kg": (TOOTH, Weighing(5000, **CHEAP), Pressing()),
    "cream": (CREAM, Weighing(100, **CHEAP), None),
    "cologne": (COLOGNE, Weighing(250), None),
    "many, in pans": (MANY, Weighing(pans=6, make="pans"), Pressing(more_binders=(("zinc-stearate", 0.02),))),
    "many, together": (MANY, Weighing(60, pans=6, together=True), Pressing()),
    "many, cheap balance": (MANY, Weighing(40, **CHEAP, together=True), Pressing()),
    "many, 20 kg": (MANY, Weighing(20_000, **CHEAP), None),
}
"""Invented jobs: talc and no talc, rouge, tooth powder, what is no powder, tiny and huge batches, a 0.1 g balance."""


@cache
def made(job: str) -> Batch:
    text, weighing, pressing = JOBS[job]
    known = Record(text=text, source=Source(title="Invented Book", year=1890, country="GB"), pressing=pressing)
    return replace(known, weighing=replace(weighing, number=job)).batch()


@cache
def pieces(job: str, paper: str) -> list[tuple[int, float, str]]:
    """(page, points from its top, words) of every piece of text, in its order."""
    shown = typesetting.shown("paper", papers.fields(made(job).bench_sheet().describe(), paper))
    return [(int(piece["at"][0]), float(piece["at"][2]), piece["words"]) for piece in shown]


def block(job: str, paper: str, head: str, end: str) -> list[tuple[int, float, str]]:
    """The pieces after one heading and before another."""
    words = [piece[2] for piece in pieces(job, paper)]
    start = words.index(head)
    return pieces(job, paper)[start : words.index(end, start)]


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("job", JOBS)
def test_no_table_runs_over_a_page(job: str, paper: str) -> None:
    table = block(job, paper, "Weigh", "Do, step by step")
    assert len({page for page, _, _ in table}) == 1, [words for _, _, words in table]
    assert [words for _, _, words in table].count("Balance showed") == 1, "its head stands once"
    names = [row.name for row in made(job).bench_sheet().rows]
    assert [words for _, _, words in table if words in names] == names
    if made(job).press_card:
        card = block(job, paper, "Press card", "Order and times of the steps are common practice and have no source.")
        last = next(
            (
                n
                for n, piece in enumerate(card)
                if piece[2] in ("How exact the dilutions are, and what is left over", "Further cautions")
            ),
            None,
        )
        assert len({page for page, _, _ in card[:last]}) == 1


@pytest.mark.parametrize("job", JOBS)
def test_no_weight_stands_away_from_its_unit(job: str) -> None:
    """Between a figure and its unit stands a no-break space or none, in every piece that is set; amounts of the list stand whole."""
    parted = re.compile(r"\d (?:g|mg|MPa|N|kgf|lbf|mm|cm2|%|min|drops|days)\b")
    for _, _, words in pieces(job, "a4"):
        assert not parted.search(words), words
    rows = block(job, "a4", "Weigh", "Do, step by step")
    for row in made(job).bench_sheet().rows:
        whole, _, part = row.amount.removesuffix(" g").partition(".")
        at = [(page, round(y)) for page, y, words in rows if words == whole]
        beside = [
            (page, round(y))
            for page, y, words in rows
            if words.replace("\N{NO-BREAK SPACE}", " ") == (f".{part} g" if part else " g")
        ]
        assert set(at) & set(beside), (row.amount, "figure and unit stand on one line")


@pytest.mark.parametrize("job", JOBS)
def test_every_step_stands_on_one_page_and_none_is_lost(job: str) -> None:
    words = " ".join(text for _, _, text in pieces(job, "letter")).replace("\N{NO-BREAK SPACE}", " ")
    for number, step in enumerate(made(job).bench_sheet().steps, 1):
        assert f"{number}. {step.step.partition(':')[0]}" in words.replace("\N{RIGHT SINGLE QUOTATION MARK}", "'")
