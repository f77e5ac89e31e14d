"""The bench sheet: order, amounts, steps and cautions."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest
from bench_ingredients import CUPBOARD, made, tinted

from histkit.bench.batching import Batch, batch
from histkit.bench.describing import unbroken
from histkit.bench.drops import bench_drop
from histkit.bench.pressing import press
from histkit.bench.sequence import mixing_stage
from histkit.bench.weighing import Balance
from histkit.composing.composition import Composition
from histkit.glossary.nouns import Caution

pytestmark = pytest.mark.usefixtures("cupboard")


class TestSheet:
    def test_price_and_number_are_on_it(self) -> None:
        made_batch = batch(press(tinted()), 60, number="7b", prices={"talc": 0.02}, currency="EUR", pans=4)
        for text in (made_batch.to_html(), made_batch.to_markdown(), made_batch.bench_sheet().to_text()):
            assert "7b" in text and "EUR a pan (4 pans)" in text

    def test_cautions_stand_once_for_each_ingredient_the_gravest_first(self) -> None:
        lines = batch(tinted(), 60).bench_sheet().caution_lines()
        assert lines[0] == (
            "zinc oxide",
            "(restricted) Limited in the finished product. Ask a safety assessor. [Annex III] (care) Fine dust: wear a mask.",
        )
        assert len({who for who, _ in lines}) == len(lines)
        closed = Caution("restricted", "Not for lips. Rules differ and change: ask a safety assessor.", "test")
        strange = made("strange-earth", "mineral", "powder", "bulk", cautions=(closed,))
        sheet = batch(Composition.of([(strange, 1)]), 60).bench_sheet()
        assert sheet.caution_lines() == (("strange earth", "(restricted) Not for lips."),)
        assert "Rules differ and change" in sheet.to_markdown() and "safety assessor" in sheet.to_html()

    def test_wet_pressing_is_a_step_and_no_weighing(self) -> None:
        made_batch = batch(press(tinted(), wetting="alcohol", wetting_share=0.2), 60)
        powder = 60 * 0.92  # 5 % binder and 3 % oil are no powder
        assert made_batch.wetting == ((CUPBOARD["alcohol"], pytest.approx(0.2 * powder)),)
        sheet = made_batch.bench_sheet()
        stages = [s.stage for s in sheet.steps]
        assert sheet.steps[stages.index("press")].step == "Wet it a little at a time, until it just clings: 11.04 g of alcohol"
        assert all(row.name != "alcohol" for row in sheet.rows)
        assert "Wet it" in made_batch.to_markdown() and "Wet it" not in batch(press(tinted()), 60).to_markdown()
        assert Batch.from_json(made_batch.to_json()) == made_batch

    def test_what_the_powder_held_of_the_binder_is_still_pressed(self) -> None:
        held = Composition.of([("talc", 9), ("magnesium-stearate", 1)], notes={"magnesium-stearate": "in the book"})
        made_batch = batch(press(held, oil=None), 60)
        assert made_batch.pressed and any(s.stage == "press" for s in made_batch.bench_sheet().steps)
        assert not batch(press(held, None, oil=None), 60).pressed
        assert not any(s.stage == "press" for s in made_batch.bench_sheet(press=False).steps)

    def test_the_gravest_cautions_stand_before_the_work_and_the_rest_behind_it(self) -> None:
        sheet = batch(tinted(), 60).bench_sheet()
        assert [who for who, _ in sheet.gravest_cautions()] == ["zinc oxide"]
        text = batch(Composition.of([("talc", 9), ("zinc-oxide", 1), ("titanium-dioxide", 1)]), 60).to_markdown()
        work = text.index("## Weigh")
        assert text.index("**zinc oxide**") < work < text.index("## Further cautions") < text.index("**titanium dioxide**")
        assert text.index("(restricted)") < work < text.index("(care)")
        assert text.index("dust mask, work away") < work, "what always holds stands first"
        assert sheet.gravest_cautions()[0][1].startswith("(restricted)") and "(care)" not in sheet.gravest_cautions()[0][1]
        told = " ".join(words for _, words in (*sheet.gravest_cautions(), *sheet.further_cautions()))
        assert all(caution.text.split(".")[0] in told for _, caution in sheet.cautions), "none is left out"

    def test_no_line_parts_a_figure_from_its_unit(self) -> None:
        for words in ("60.00 g", "4.5 %", "0.066 MPa", "2 to 5 s", "1.71 g of mixture"):
            assert unbroken(words).count("\u00a0") == 1
        assert unbroken("3 good pans, 12 minutes") == "3 good pans, 12 minutes", "no unit, no change"
        text = batch(press(tinted()), 60, pans=2).bench_sheet().to_markdown()
        assert not re.search(r"\d (g|%|MPa)\b", text.split("## Further cautions")[0].split("## Weigh")[1])

    def test_drops_are_told_where_they_can_be_counted(self) -> None:
        made_batch = batch(Composition.of([("talc", 98.8), ("rose-oil", 0.2), ("lavender-oil", 0.01), ("jojoba-oil", 1)]), 60)
        rose, lavender, jojoba = (made_batch.weighing(k) for k in ("rose-oil", "lavender-oil", "jojoba-oil"))
        assert rose.aliquot is not None and rose.note.startswith("without the dilution: about ")
        assert "no drops but the dilution" in lavender.note
        assert jojoba.aliquot is None and jojoba.direct < jojoba.grams == 0.6, "a part of the oil carries the scent"
        count = round(jojoba.direct / bench_drop(CUPBOARD["jojoba-oil"])[0].best)
        assert jojoba.note.startswith(f"{jojoba.direct:.2f} g is about {count} (")
        assert jojoba.note.endswith(" drops of a standard dropper"), "grams first, and no drops of an old book"

    def test_html_and_markdown(self) -> None:
        made_batch = batch(press(tinted().replace("kaolin", {"kaolin": 1}, reason="<script>")), 60, number="7 <b>")
        page, text = made_batch.to_html(), made_batch.to_markdown()
        assert "<script>" not in page and "<b>" not in page and "&lt;b&gt;" in page
        assert "<script>" not in text
        for word in ("carmine", "Dilution A", "Notes", "(restricted)", "dust mask", "Patch test", "60.00\u00a0g"):
            assert word in page and word in text
        assert "☐" in page and text.count("- [ ]") >= len(made_batch.weighings)
        assert made_batch.weighing("talc").direct > 0
        assert unbroken(made_batch.balance.text(made_batch.weighing("talc").direct)) in page

    def test_every_amount_to_put_on_the_balance_stands_on_it(self) -> None:
        made_batch = batch(press(tinted()), 60)
        sheet = made_batch.bench_sheet()
        amounts = [Decimal(row.amount.removesuffix(" g")) for row in sheet.rows]
        assert sum(amounts) == 60
        assert [row.order for row in sheet.rows] == sorted(row.order for row in sheet.rows)
        assert sheet.rows[-1].name == "rose oil"

    def test_pressing_steps_only_where_it_is_pressed(self) -> None:
        assert any(s.stage == "press" for s in batch(press(tinted()), 60).bench_sheet().steps)
        assert not any(s.stage == "press" for s in batch(tinted(), 60).bench_sheet().steps)

    def test_when_things_come_in(self) -> None:
        order = [mixing_stage(CUPBOARD[k])[0] for k in ("carmine", "zinc-oxide", "magnesium-carbonate", "zinc-stearate", "talc")]
        assert order == [1, 2, 3, 4, 5]
        assert mixing_stage(CUPBOARD["jojoba-oil"])[0] == 7 and mixing_stage(CUPBOARD["rose-oil"])[0] == 8
        assert mixing_stage(CUPBOARD["orris-root"])[0] == 5  # a scent, but a powder

    def test_drops_by_hand(self) -> None:
        """The maker's dropper gives 30 drops of alcohol and 25 of rose oil to the gram: told below 5 g, in the note below 1 g."""
        scales = Balance(own_drops=(("alcohol", 20 / 30), ("rose-oil", 20 / 25)))
        for grams, count, note in (
            (0.99, 30 * 0.99, "0.99 g is about 30 drops of your dropper"),
            (1, 30, ""),
            (4.99, 149.7, ""),
            (5, None, ""),
        ):
            spirit = batch(Composition.of([("talc", 100 - grams), ("alcohol", grams)]), 100, scales).weighing("alcohol")
            assert spirit.note == note and (spirit.drops is None if count is None else spirit.drops.best == pytest.approx(count))
        # 0.06 g are 1.5 drops at best, which is two at the bench; 0.05 g are 1.25.
        for grams, words in (
            (0.06, "without the dilution: about 2 drops of your dropper"),
            (0.05, "less than two drops"),
            (0.1, "about 2 drops of your dropper"),
        ):
            rose = batch(Composition.of([("talc", 100 - grams), ("rose-oil", grams)]), 100, scales).weighing("rose-oil")
            assert rose.aliquot is not None and words in rose.note
        coarse = batch(Composition.of([("talc", 9), ("rose-oil", 1)]), 0.1, Balance(0.01, 0.02)).weighing("rose-oil").note
        assert "above the limit of 5 %" in coarse and "; " in coarse and "less than two drops" in coarse
        assert batch(Composition.of([("talc", 1), ("carmine", 1)]), 1).weighing("carmine").drops is None
