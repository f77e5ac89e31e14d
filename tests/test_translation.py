"""From printed amounts to grams: conventions, liquids, drops, totals, spreads and shares."""

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


def test_a_total_is_filled_up():
    calamine = translate("Calamine   120 grains\nOxide of zinc   60 grains\nRose water, to make   3 fl. oz.", PRESCRIPTION)
    water = calamine.lines[2].grams
    # 3 fl. oz. are 88.72 mL; 180 grains (11.66 g) of heavy powders take up some 3 to 7 mL of them
    assert 81 < water.best < 88 and water.low <= water.best <= water.high
    parts = translate("Soap   60 parts\nWater to make   500 parts")
    assert parts.lines[1].grams.best == pytest.approx(440)


def test_two_that_make_up_a_total_share_it():
    lines = translate("Sulphur   ℥j\nAdipis,\nPetrolati, ... āā ... q.s. ad ℥iij", PRESCRIPTION).lines
    assert lines[1].grams.best == pytest.approx(480 * GRAIN) == lines[2].grams.best


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


def test_explain_walks_from_the_gram_back_to_the_page():
    text = translate("White lead, finely levigated,   2 oz.\nTalc   4 oz.", TRADE).lines[0].explain()
    for piece in ("Printed: White lead", "2 ounce", "437.5", "Caution (forbidden)", "Share of the formula"):
        assert piece in text


def test_frames_have_a_row_for_each_line():
    frame = translate("Talc   8 oz.\nCarmine   10 gr.", TRADE).to_frame()
    assert list(frame["today"]) == ["talc", "carmine"] and frame["share"].sum() == pytest.approx(100)


def test_nought_ounces_weigh_nothing_and_are_doubted():
    lines = hk.translate(hk.read("Oil of lemon, 0 oz.\nTalc, 4 oz.")).lines
    assert lines[0].grams.best == 0
    assert any("nought" in doubt.text for doubt in lines[0].doubts)


def test_a_total_printed_with_ditto_takes_the_unit_before_it():
    formula = hk.read("Ten teaspoonsful of water, one ditto of\nbrandy, ad one \nditto of vinegar")
    assert formula.lines[-1].to_make == (1, "teaspoonful")
    assert hk.translate(formula).lines
