"""From printed amounts to grams: conventions, liquids, drops, spreads and shares."""

from __future__ import annotations

import pytest

import histkit as hk

GRAIN = 0.06479891  # g, exact: international yard and pound agreement, 1959


US_FLUID_OUNCE = 29.5735295625  # mL, exact: 1/128 of 231 cubic inches


TRADE = hk.Source(title="An invented receipt book", year=1871, country="GB", kind="trade receipt book")


PRESCRIPTION = hk.Source(title="An invented formulary", year=1900, country="US", kind="prescription")


def translate(text, source=None, convention=None):
    return hk.translate(hk.read(text, source=source), convention)


def grams(text, source=None, convention=None):
    return [t.grams.best if t.grams else None for t in translate(text, source, convention).lines]


def test_a_trade_ounce_is_avoirdupois_and_its_drachm_sixty_grains():
    assert grams("Talc   2 oz.\nCarmine   1 drachm.\nMusk   3 gr.", TRADE) == pytest.approx(
        [2 * 437.5 * GRAIN, 60 * GRAIN, 3 * GRAIN]
    )


def test_a_sign_is_apothecaries_weight_whatever_oz_means_in_the_book():
    assert grams("℞ Talci ℥ij\nZinci oxidi ʒj\nStarch   2 oz.", TRADE) == pytest.approx([960 * GRAIN, 60 * GRAIN, 875 * GRAIN])


def test_the_convention_can_be_chosen_and_the_choice_is_told():
    assert grams("Talc   1 once", None, "fr-poids-de-marc") == pytest.approx([30.594], abs=0.01)  # livre of 489.506 g / 16
    told = translate("Talc   1 oz.", TRADE)
    assert told.convention.id == "avoirdupois-gb" and "Runner-up" in told.why_convention()
    with pytest.raises(hk.UnknownName, match="avoirdupois-gb"):
        translate("Talc   1 oz.", TRADE, "avoirdupois-g")


def test_fluid_measure_goes_by_density():
    line = translate("Glycerini   f℥j", PRESCRIPTION).lines[0]
    density = hk.glossary.ingredient("glycerin").value("density")
    assert line.grams.best == pytest.approx(US_FLUID_OUNCE * density.best)
    assert "density" in line.readings[0].why and "source" in line.readings[0].why


def test_a_bare_ounce_of_a_liquid_keeps_the_other_reading():
    perfumer = hk.Source(year=1857, country="GB", kind="perfumery manual")
    line = translate("Oil of lemon   1 oz.\nStarch   1 lb.", perfumer).lines[0]
    assert line.readings[0].kind == "weight" and any(r.kind == "measure" for r in line.readings)
    assert line.grams.low < line.grams.best <= line.grams.high
    for liquid in ("Oil of lemon", "Glycerin"):  # a measured ounce of the first is lighter than a weighed one, of the second heavier
        line = translate(f"{liquid}   1 oz.\nStarch   1 lb.", perfumer).lines[0]
        weights = [r.grams for r in line.readings]
        assert line.grams.high == max(w.high for w in weights) and line.grams.low == min(w.low for w in weights)
        assert line.grams.best == line.readings[0].grams.best
    assert any(d.about == "measure" for d in line.doubts)


def test_a_book_that_prints_fl_oz_weighs_its_bare_ounces():
    source = hk.Source(year=1900, country="US", kind="trade receipt book")
    alone = translate("Rose water   1 oz.\nTalc   1 oz.", source).lines[0]
    beside = translate("Rose water   1 oz.\nGlycerin   2 fl. oz.", source).lines[0]
    assert alone.readings[0].kind == "measure" and beside.readings[0].kind == "weight"


def test_drops_have_a_spread_and_a_doubt():
    line = translate("Talc   1 oz.\nOtto of rose   10 drops", TRADE).lines[1]
    assert 0.1 < line.grams.best < 0.6 and line.grams.low < line.grams.best < line.grams.high
    assert any("drop" in d.text.lower() for d in line.doubts)


def test_shares_add_to_one_and_their_limits_hold_them():
    translation = translate("Talc   8 oz.\nStarch   4 oz.\nOtto of rose   20 drops\nCarmine   10 to 30 gr.", TRADE)
    shares = [t.share for t in translation.lines]
    assert sum(s.best for s in shares) == pytest.approx(1)
    assert all(0 <= s.low <= s.best <= s.high <= 1 for s in shares)
    assert shares[3].high > 2 * shares[3].low


def test_a_rival_ounce_cancels_where_every_line_is_in_ounces_and_bites_where_it_meets_grains():
    ounces = translate("Talc   8 oz.\nZinc oxide   2 oz.", TRADE)
    mixed = translate("Talc   8 oz.\nCarmine   100 grains", TRADE)
    assert ounces.lines[0].share.is_exact or ounces.lines[0].share.relative < 1e-9
    assert mixed.lines[1].share.relative > 0.05
    matters = mixed.what_matters()
    assert matters[0].about == "convention" and matters[0].effect > 0
    assert [m.effect for m in matters] == sorted((m.effect for m in matters), reverse=True)


def test_what_the_glossary_does_not_know_is_kept_and_marked():
    translation = translate("Talc   1 oz.\nFlumgudgeon root   1 oz.")
    assert translation.lines[1].ingredient is None
    assert any(d.about == "ingredient" for d in translation.lines[1].doubts)
    parts = translation.composition().parts
    assert len(parts) == 2 and any("not in the glossary" in c.text for c in parts[1].ingredient.cautions)


def test_what_has_no_weight_is_told_and_not_counted():
    translation = translate("Talc   1 oz.\nRose pink, q. s.\nBorax, a pennyworth")
    composition = translation.composition()
    assert len(composition.parts) == 1 and set(composition.omitted) == {t.name for t in translation.lines[1:]}
    with pytest.raises(hk.BadValue, match="weight"):
        translate("Rose pink, q. s.").composition()


def test_lead_is_forbidden_and_hidden_mercury_seen():
    lead = translate("White lead   1 oz.\nTalc   2 oz.").lines[0]
    assert any(c.level == "forbidden" and c.law for c in lead.cautions)
    ointment = translate("Mercurial ointment   1 oz.").lines[0]
    assert any("mercury" in c.text.lower() for c in ointment.cautions)


def test_nought_ounces_weigh_nothing_and_are_doubted():
    lines = hk.translate(hk.read("Oil of lemon, 0 oz.\nTalc, 4 oz.")).lines
    assert lines[0].grams.best == 0
    assert any("nought" in doubt.text for doubt in lines[0].doubts)


def test_a_printed_strength_decides_the_density():
    """60 over proof is 91.3 % by volume at 60 F: density 0.8246 (OIML R 22 by way of the strength); an imperial pint is 568.26 mL."""
    strong, plain = (
        translate(f"{name}   1 pint\nRose oil 1 drachm", TRADE).lines[0]
        for name in ("Spirit of wine, 60 over proof", "Spirit of wine")
    )
    assert strong.grams.best == pytest.approx(568.26125 * 0.8246, rel=1e-3)
    assert "over British proof" in strong.readings[0].why and strong.grams.best != pytest.approx(plain.grams.best, rel=1e-3)


def test_words_beside_the_unit_decide_between_weight_and_measure():
    """Glycerin, 1.259 g/mL: two imperial fluid ounces of 28.413 mL, or two avoirdupois ounces of 28.3495 g."""
    density = hk.glossary.ingredient("glycerin").value("density").best
    measured = translate("Glycerin, by measure,  2 oz.\nTalc 1 oz", TRADE).lines[0]
    weighed = translate("Glycerin, by weight,  2 oz.\nTalc 1 oz", TRADE).lines[0]
    assert [r.kind for r in measured.readings if not r.rival] == ["measure"]
    assert measured.grams.best == pytest.approx(2 * 28.4130625 * density)
    assert [r.kind for r in weighed.readings if not r.rival] == ["weight"]
    assert weighed.grams.best == pytest.approx(2 * 437.5 * GRAIN)


def test_what_stands_beside_an_ounce_tells_which_ounce_it_is():
    """Drachms beside ounces, or more grains than an avoirdupois ounce holds (437.5): apothecaries' ounces of 480 grains."""
    gum, talc, chalk = grams("Gum arabic 2 oz. 4 drachms\nTalc 3 oz. 440 grains\nChalk 3 oz. 100 grains", TRADE)
    assert gum == pytest.approx((2 * 480 + 4 * 60) * GRAIN)
    assert talc == pytest.approx((3 * 480 + 440) * GRAIN)
    assert chalk == pytest.approx((3 * 437.5 + 100) * GRAIN)


def test_handfuls_pinches_and_unknown_things_by_measure():
    handful, pinch, unknown = translate("Talc 1 handful\nStarch 1 pinch\nUnheardof balsam 1 pint", TRADE).lines
    assert handful.grams.low < handful.grams.best < handful.grams.high and pinch.grams.best < 1
    assert unknown.ingredient is None and unknown.grams.best == pytest.approx(568.26125)  # the density of water, and said so
    assert "common practice, no source" in unknown.readings[0].why and unknown.grams.high > unknown.grams.best
    assert "The glossary knows no 'Unheardof balsam'." in unknown.explain()


def test_about_widens_the_spread():
    exact, about = translate("Carmine 2 oz.\nTalc about 2 oz.", PRESCRIPTION).lines
    assert about.grams.best == pytest.approx(exact.grams.best) and about.grams.low == pytest.approx(0.9 * about.grams.best)


def test_counted_things_weigh_by_the_piece():
    """The glossary says 4 to 6 g for a nutmeg: three weigh 12 to 18 g; a talc that is counted has no weight."""
    (nutmegs, starch) = translate("3 nutmegs\nStarch 1 oz.").lines
    assert (nutmegs.line.unit, nutmegs.grams) == ("piece", hk.Spread(12, 15, 18)) and nutmegs.readings[0].kind == "pieces"
    assert starch.grams is not None
    assert translate("A piece of talc\nStarch 1 oz.").lines[0].grams is None


def test_metric_liquids_go_by_their_density():
    density = hk.glossary.ingredient("glycerin").value("density").best
    assert grams("Glycerin 10 ml\nTalc 5 g") == pytest.approx([10 * density, 5])


def test_a_piece_is_the_whole_thing_and_its_other_senses_are_told():
    """Two lemons are two fruits: 180 to 280 g by the table (90 to 140 g each); the rind alone is another thing."""
    (line,) = hk.translate(hk.read("Take two lemons.")).lines
    assert (line.grams.low, line.grams.high) == (180, 280)
    assert "rind" in line.readings[0].why
