"""What receipts of the sixteenth to eighteenth centuries do and later ones do not; the lines are made up in their manner."""

from __future__ import annotations

import pytest

import histkit as hk

OLD = hk.Source(title="An invented dispensatory", year=1659, country="GB")


def lines(text, source=OLD):
    return [(line.amount, line.unit, line.ingredient) for line in hk.read(text, source=source).lines]


def test_a_sentence_that_breaks_behind_of_each_is_no_column():
    text = """Take of Jacinth, red Coral, Bole-armoniac, Earth of Lemnos,
of each half an ounce, the berries of Kermes, the Roots of Tormentil
and Dittany, the seeds of Citrons, Sorrel, and Purslain, Saffron,
Myrrh, red Roses, Ivory prepared, of each four scruples,
Samphire, Emerald, of each two scruples."""
    read = lines(text)
    assert [(a, u) for a, u, _ in read] == [(0.5, "ounce")] * 4 + [(4.0, "scruple")] * 10 + [(2.0, "scruple")] * 2
    assert read[4][2] == "berries of Kermes" and read[10][2] == "Saffron"


def test_a_column_of_names_with_of_each_is_still_one():
    text = "Precipitated chalk\nOrris root\nMagnesia, of each 2 oz.\nOil of rose, 10 drops."
    assert lines(text) == [
        (2.0, "ounce", "Precipitated chalk"), (2.0, "ounce", "Orris root"), (2.0, "ounce", "Magnesia"), (10.0, "drop", "Oil of rose"),
    ]  # fmt: skip


def test_perfumed_with_two_things_of_each_so_much():
    assert lines("Boil it to a Syrup, and perfume it with Cinnamon and Spikenard, of each three drams.") == [
        (3.0, "drachm", "Cinnamon"), (3.0, "drachm", "Spikenard"),
    ]  # fmt: skip


@pytest.mark.parametrize("amount", ["an. m. 2.", "ana M. ij.", "an. M. ij"])
def test_a_manipulus_is_a_handful_before_there_were_minims(amount):
    """The minim came with the London Pharmacopoeia of 1809 (Wikipedia, 'Minim (unit)')."""
    text = f"Take Hyssop, Mint, {amount} Cinnamon, Ginger, an. half an ounce."
    assert lines(text) == [
        (2.0, "handful", "Hyssop"), (2.0, "handful", "Mint"), (0.5, "ounce", "Cinnamon"), (0.5, "ounce", "Ginger"),
    ]  # fmt: skip


def test_a_minim_of_a_later_book_stays_one():
    assert lines("Ol. menthae m. v, aquae fl. oz. ij.", hk.Source(year=1890, country="GB"))[0][:2] == (5.0, "minim")


def test_the_article_is_no_ana():
    assert lines("Take an ounce of borax, half an ounce of alum.") == [(1.0, "ounce", "borax"), (0.5, "ounce", "alum")]


def test_what_a_thing_is_strained_through_is_not_weighed():
    assert lines("Take of Hog's grease a pound, Quick-silver strained through leather, four ounces, oil of Bays two ounces.") == [
        (1.0, "pound", "Hog's grease"), (4.0, "ounce", "Quick-silver strained"), (2.0, "ounce", "oil of Bays"),
    ]  # fmt: skip


def test_things_that_are_counted_need_no_unit():
    formula = hk.read("Sugar four ounces, eggs three, almonds two ounces, bitter almonds ten, borax one.", source=OLD)
    assert [(line.amount, line.unit) for line in formula.lines] == [
        (4.0, "ounce"), (3.0, "piece"), (2.0, "ounce"), (10.0, "piece"), (1.0, "ounce"),
    ]  # fmt: skip
    assert all(any(doubt.about == "unit" for doubt in formula.lines[n].doubts) for n in (1, 3, 4))


def test_burnt_and_washed_is_one_thing():
    assert [name for _, _, name in lines("Take of Lead burnt and washed, Tutty prepared, calcined Magnesia, of each an ounce.")] == [
        "Lead burnt and washed", "Tutty prepared", "calcined Magnesia",
    ]  # fmt: skip


@pytest.mark.parametrize("strength", ["30 o.p.", "30 o. p.,", "(30 o.p.)", "30 over proof,", "30 op,"])
def test_a_strength_with_stops_is_no_amount(strength):
    """30 over proof is 130 parts of proof spirit in 100: about 74 per cent of alcohol by volume, 0.875 g/mL (OIML R 22)."""
    text = f"Spirits of wine, {strength} 10 fl. oz.\nOil of lemon, 2 drachms."
    translation = hk.translate(hk.read(text, source=hk.Source(year=1880, country="GB")))
    first = translation.lines[0]
    assert (first.line.amount, first.line.unit) == (10.0, "fluid ounce") and first.ingredient.kind == "spirit"
    assert first.grams.best / 284.1306 == pytest.approx(0.875, abs=0.002)


STOPS = [("Camphor gr.3.", 3.0), ("Camphor gr.05", 0.05), ("Camphor .5 gr.", 0.5), ("Camphor gr. .5", 0.5)]


@pytest.mark.parametrize(("text", "amount"), STOPS)
def test_the_stop_of_a_unit_is_no_decimal_point(text, amount):
    assert lines(text + "\nChalk 2 oz.")[0][:2] == (amount, "grain")


def test_ounces_and_drachms_with_and_between_them_are_one_amount():
    read = hk.read("Take of Ammoniacum ℥ iij. and ʒ ij. Bdellium ℥ ij. Galbanum, Myrrh, of each ℥ j. and ʒ ij. Mastich ℥ j.").lines
    assert [(line.ingredient, line.amount, line.unit, line.plus) for line in read] == [
        ("Ammoniacum", 3.0, "ounce", ((2.0, "drachm"),)), ("Bdellium", 2.0, "ounce", ()), ("Galbanum", 1.0, "ounce", ((2.0, "drachm"),)),
        ("Myrrh", 1.0, "ounce", ((2.0, "drachm"),)), ("Mastich", 1.0, "ounce", ()),
    ]  # fmt: skip
    assert lines("Wax ℥ ij. and gr. v. of musk.") == [(2.0, "ounce", "Wax"), (5.0, "grain", "musk")]


def test_fruits_are_counted_behind_n_and_behind_of_each():
    """'n.' is numero; a Roman numeral alone behind 'of each' counts as well."""
    assert lines("Take Figs, Dates, of each n. xij. Jujubes, Sebestens, of each xxx. Linseed ʒ v. Cloves, n. x. Sugar lb ij.") == [
        (12.0, "piece", "Figs"), (12.0, "piece", "Dates"), (30.0, "piece", "Jujubes"), (30.0, "piece", "Sebestens"),
        (5.0, "drachm", "Linseed"), (10.0, "piece", "Cloves"), (2.0, "pound", "Sugar"),
    ]  # fmt: skip


def test_a_numbered_name_counts_nothing():
    assert lines("Orris, 2 oz.; carmine No. 40, 1 drachm")[-1] == (1.0, "drachm", "carmine No. 40")


def test_the_salt_of_pearl_and_coral():
    read = hk.read("Take of Opium ℥ij. Salt of Pearl and Coral, ana, ʒ j.", source=OLD).lines
    assert [line.full_name for line in read] == ["Opium", "Salt of Pearl", "salt of Coral"]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        # the Formulary of Monro's Account of the Diseases in the British Military Hospitals, 1764, abbreviates so
        (
            "℞ Aq. hordeat. unc. xij. spirit. vini gallici, unc. i. aceti sescunc. tinct. myrrhæ, drachm. ij. M.",
            [(12, "ounce", "Aq. hordeat"), (1, "ounce", "spirit. vini gallici"), (1.5, "ounce", "aceti"), (2, "drachm", "tinct. myrrhæ")],
        ),
        (
            "℞ Seminum lini, unc. dimid. coque in aq. fontan. lib. ivss. ad lib. iv.",
            [(0.5, "ounce", "Seminum lini"), (4.5, "pound", "aq. fontan")],
        ),
        (
            "℞ Camphor. drachm. dimid. spirit. vini rectificat. unc. i. sacchari alb. drachm. ij. aq. font. lib. i. M.",
            [(0.5, "drachm", "Camphor"), (1, "ounce", "spirit. vini rectificat"), (2, "drachm", "sacchari alb"), (1, "pound", "aq. font")],
        ),
        (
            "R. Rad. serpentar. drach. iij. aq. font. lib. iss. syr. limon. unc. iss.",
            [(3, "drachm", "Rad. serpentar"), (1.5, "pound", "aq. font"), (1.5, "ounce", "syr. limon")],
        ),
        ("℞ Croci semunciam, Cerae sesquilibram.", [(0.5, "ounce", "Croci"), (1.5, "pound", "Cerae")]),
        ("℞ Decoct. hordei lib. i. sp. vini q.s. ad lib. ij.", [(1, "pound", "hordei"), (None, "q.s.", "sp. vini")]),
        ("℞ ℥ij. of rose water, ʒj. of borax", [(2, "ounce", "rose water"), (1, "drachm", "borax")]),
    ],
)
def test_latin_abbreviations_stand_behind_their_names(text, wanted):
    assert lines(text) == wanted


def test_an_with_its_stroke_is_of_each():
    """'madder, aū. one ʒ.': Prepositas his Practise, 1588."""
    read = lines("Take of rheubarbe ten ʒ. of madder, wormewood, aū. one ʒ. bitter almonds foure ʒ.")
    assert read == [(10, "drachm", "rheubarbe"), (1, "drachm", "madder"), (1, "drachm", "wormewood"), (4, "drachm", "bitter almonds")]


def test_the_smaller_end_behind_or_is_still_a_range():
    assert lines("Opii gr. x. vel gr. v.")[0][:2] == ((5, 10), "grain")
