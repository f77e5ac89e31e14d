"""What one printed amount weighs, by hand from the definitions of the units.

1959 agreement: the grain is 0.06479891 g, the avoirdupois ounce 437.5 grains and its pound 7000; the apothecaries' ounce 480,
drachm 60, scruple 20, pound 5760. United States pint: 28.875 cubic inches of 16.387064 mL, 16 fluid ounces, 128 fluid drachms.
Imperial pint: an eighth of 4546.09 mL (Weights and Measures Act 1985), 20 fluid ounces.
"""

import pytest

from histkit import glossary, measures, read
from histkit.base.errors import UnknownName
from histkit.base.nouns import Source, Spread
from histkit.glossary.nouns import Ingredient, Property
from histkit.translating import amounts
from histkit.translating.amounts import Book, Printed, density_in_a_mixture, density_of, spread_of, weigher

GRAIN = 0.06479891
AVOIRDUPOIS = 28.349523125
APOTHECARIES = 31.1034768
US_FLUID_OUNCE = 29.5735295625
IMPERIAL_FLUID_OUNCE = 28.4130625

# Invented: what they are called does not matter, their properties do.
SYRUP = Ingredient("x-syrup", "x syrup", kind="syrup", state="liquid", properties=(Property("density", 1.2, 1.4, "g/mL", source="a table"),))
CHALK = Ingredient("x-chalk", "x chalk", kind="mineral", state="solid", properties=(Property("density", 2.7, 2.7, "g/mL", source="memory"),))
LOOSE = Ingredient(
    "x-powder", "x powder", kind="mineral", state="solid",
    properties=(Property("density", 2.0, 2.0, "g/mL"), Property("bulk-density", 0.4, 0.6, "g/mL"), Property("true-density", 2.5, 2.7, "g/mL")),
)  # fmt: skip
BARE_LIQUID = Ingredient("x-water", "x water", kind="water", state="liquid")
BARE_POWDER = Ingredient("x-dust", "x dust", kind="mineral", state="solid")


def book(convention, fluid=False):
    return Book(measures.conventions[convention], fluid)


def weigh(convention, amount, unit, entry=CHALK, fluid=False, **printed):
    return book(convention, fluid).weigh(Printed(amount, unit, **printed), entry)


def best(convention, amount, unit, entry=CHALK, fluid=False, **printed):
    return [(r.kind, pytest.approx(r.grams.best, rel=1e-12)) for r in weigh(convention, amount, unit, entry, fluid, **printed)]


@pytest.mark.parametrize(
    ("convention", "unit", "grams"),
    [
        ("apothecaries-us", "grain", GRAIN),
        ("apothecaries-us", "scruple", 20 * GRAIN),
        ("apothecaries-us", "drachm", 60 * GRAIN),
        ("apothecaries-us", "ounce", 480 * GRAIN),
        ("apothecaries-us", "pound", 5760 * GRAIN),
        ("avoirdupois-gb", "ounce", 437.5 * GRAIN),
        ("avoirdupois-gb", "pound", 7000 * GRAIN),
        ("avoirdupois-gb", "pennyweight", 24 * GRAIN),
        ("metric", "gram", 1),
        ("metric", "centigram", 0.01),
        ("metric", "milligram", 0.001),
        ("metric", "kilogram", 1000),
        ("fr-usuel", "ounce", 31.25),  # the livre of 500 g in sixteen: decree of 1812, Doursther 1840
        ("de-bavaria", "ounce", 30.0),  # 360 g to the pound of twelve: Meyers 1888
    ],
)
def test_three_of_a_weight(convention, unit, grams):
    (reading,) = weigh(convention, 3.0, unit)
    assert reading.kind == "weight" and not reading.rival
    assert reading.grams.is_exact and reading.grams.best == pytest.approx(3 * grams, rel=1e-12)
    assert reading.why.startswith(f"3 {unit}")


@pytest.mark.parametrize(
    ("convention", "unit", "millilitres"),
    [
        ("apothecaries-us", "fluid ounce", US_FLUID_OUNCE),
        ("apothecaries-us", "fluid drachm", US_FLUID_OUNCE / 8),
        ("apothecaries-us", "minim", US_FLUID_OUNCE / 480),
        ("apothecaries-us", "pint", 16 * US_FLUID_OUNCE),
        ("avoirdupois-gb", "fluid ounce", IMPERIAL_FLUID_OUNCE),
        ("avoirdupois-gb", "pint", 20 * IMPERIAL_FLUID_OUNCE),
        ("avoirdupois-gb", "gallon", 160 * IMPERIAL_FLUID_OUNCE),
        ("metric", "millilitre", 1),
        ("metric", "litre", 1000),
    ],
)
def test_two_of_a_measure_go_by_the_density(convention, unit, millilitres):
    (reading,) = weigh(convention, 2.0, unit, SYRUP)
    assert reading.kind == "measure"
    assert (reading.grams.low, reading.grams.best, reading.grams.high) == pytest.approx([2 * millilitres * d for d in (1.2, 1.3, 1.4)])
    assert reading.why.startswith(f"2 {unit}")
    assert reading.why.endswith(" mL × 1.3 (1.2–1.4) g/mL (density of x syrup, source: a table).")


def test_reasons_in_words():
    assert weigh("metric", 2.5, "gram")[0].why == "2.5 gram, metric."
    assert weigh("metric", (2, 3), "litre", SYRUP)[0].why == (
        "2 to 3 litre, metric; 2,500 (2,000–3,000) mL × 1.3 (1.2–1.4) g/mL (density of x syrup, source: a table)."
    )
    us = measures.conventions["apothecaries-us"]
    assert weigh("apothecaries-us", 2.0, "pint", SYRUP)[0].why.startswith(f"2 pint: {us.definition('pint')}; 946")
    assert weigh("apothecaries-us", 2.0, "pennyweight")[0].why == f"2 pennyweight: {us.definition('pennyweight')}"
    assert weigh("metric", 3.0, "part")[0].why == "One part is taken as one gram: only the proportions are printed."
    assert weigh("apothecaries-us", 2.0, "ounce")[0].why.startswith("2 ounce: ounce: ")
    assert "by measure: fluid ounce: " in weigh("apothecaries-us", 2.0, "ounce", SYRUP)[0].why
    assert weigh("apothecaries-us", 2.0, "ounce", SYRUP)[0].why.startswith("2 ounce of a liquid, by measure: ")
    assert weigh("avoirdupois-gb", 1.0, "ounce", system="apothecaries")[0].why == "1 ounce: printed with an apothecaries' sign (480 grains to the ounce)."
    assert weigh("apothecaries-us", 1.0, "ounce", system="avoirdupois")[0].why == (
        "1 ounce: the book says avoirdupois weight: ounce: 1/16 pound = 437.5 grains; 28.34952 g. Source: J. F. Royle and"
        " F. W. Headland, A Manual of Materia Medica and Therapeutics (1865), p. 6 (exact by definition)."
    )
    assert weigh("avoirdupois-gb", 1.0, "ounce", plus=((2, "drachm"),))[0].why.startswith(
        "1 ounce: ounces with drachms beside them are apothecaries' ounces of 8 drachms (480 grains). Plus: 2 drachm: drachm: the drachm of 60 grains"
    )
    assert weigh("avoirdupois-gb", 1.0, "ounce", plus=((440, "grain"),))[0].why.startswith(
        "1 ounce: more grains than an avoirdupois ounce holds stand beside it: apothecaries' ounces of 480 grains. Plus: 440 grain: grain: "
    )


def test_parts_and_per_cent_are_grams_of_nothing_else():
    assert best("metric", 3.0, "part") == best("fr-usuel", 3.0, "per cent", SYRUP) == [("parts", 3)]
    assert weigh("metric", (1, 4), "part")[0].grams == Spread(1, 2.5, 4)


def test_drops_by_the_sort_of_liquid():
    """Water falls in sixteen drops to the gram (drops.csv): forty weigh 2.5 g; between those of small and large tips."""
    (reading,) = weigh("apothecaries-us", 40.0, "drop", BARE_LIQUID)
    assert (reading.kind, reading.grams.best) == ("drops", pytest.approx(2.5))
    one = measures.drop_mass(BARE_LIQUID)
    assert (reading.grams.low, reading.grams.high) == pytest.approx((40 * one.low, 40 * one.high))
    assert reading.why == f"40 drops of {one} g each: {measures.drop_reason(BARE_LIQUID)}"


def test_pieces_by_the_first_of_their_senses():
    whole, rind = Property("piece-mass", 90, 140, "g", "whole fruit", "a book"), Property("piece-mass", 10, 20, "g", "rind", "memory")
    lemon = Ingredient("x-lemon", "x lemon", state="solid", properties=(Property("density", 1, 1, "g/mL"), whole, rind))
    (reading,) = weigh("avoirdupois-gb", 2.0, "piece", lemon)
    assert (reading.kind, reading.grams) == ("pieces", Spread(180, 230, 280))
    assert reading.why == "2 pieces of 115 (90–140) g each (whole fruit) [a book]. Another sense: rind, 15 (10–20) g."
    seed = Property("piece-mass", 0.1, 0.1, "g", "seed", "memory")
    three = Ingredient("x-lemon", "x lemon", state="solid", properties=(whole, rind, seed))
    assert weigh("metric", 2.0, "piece", three)[0].why.endswith(" Another sense: rind, 15 (10–20) g. Another sense: seed, 0.1 g.")
    assert weigh("avoirdupois-gb", 2.0, "piece", CHALK) == weigh("avoirdupois-gb", 2.0, "piece", None) == ()


@pytest.mark.parametrize("unit", ["q.s.", "none"])
def test_what_is_no_amount_weighs_nothing_known(unit):
    assert weigh("metric", 2.0, unit) == ()


def test_no_figure_no_weight():
    assert weigh("metric", None, "gram") == ()
    assert weigh("metric", 2.0, "gram", plus=((None, "gram"),)) == ()
    assert weigh("avoirdupois-gb", 2.0, "ounce", plus=((None, "grain"),)) == ()
    assert weigh("metric", 2.0, "gram", plus=((3.0, "piece"),)) == ()
    assert weigh("metric", 2.0, "piece", plus=((3.0, "gram"),)) == ()
    with pytest.raises(UnknownName, match="furlong"):
        weigh("metric", 2.0, "furlong")


# -- a weight or a measure ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("convention", "unit", "printed", "expected"),
    [
        ("apothecaries-us", "ounce", {}, [("measure", US_FLUID_OUNCE * 1.3), ("weight", APOTHECARIES)]),
        ("apothecaries-us", "drachm", {}, [("measure", US_FLUID_OUNCE / 8 * 1.3), ("weight", 60 * GRAIN)]),
        ("avoirdupois-gb", "ounce", {}, [("measure", IMPERIAL_FLUID_OUNCE * 1.3), ("weight", AVOIRDUPOIS)]),
        # the perfumer weighs his ottos, and who prints 'fl. oz.' where he means it weighs the rest
        ("perfumery-gb", "ounce", {}, [("weight", AVOIRDUPOIS), ("measure", IMPERIAL_FLUID_OUNCE * 1.3)]),
        ("apothecaries-us", "ounce", {"fluid": True}, [("weight", APOTHECARIES), ("measure", US_FLUID_OUNCE * 1.3)]),
        # but a sign is a sign for both
        ("apothecaries-us", "ounce", {"fluid": True, "system": "apothecaries"}, [("measure", US_FLUID_OUNCE * 1.3), ("weight", APOTHECARIES)]),
        ("perfumery-gb", "ounce", {"fluid": True, "system": "apothecaries"}, [("weight", APOTHECARIES), ("measure", IMPERIAL_FLUID_OUNCE * 1.3)]),
        # words beside it leave no choice
        ("apothecaries-us", "ounce", {"system": "weight"}, [("weight", APOTHECARIES)]),
        ("apothecaries-us", "ounce", {"system": "avoirdupois"}, [("weight", AVOIRDUPOIS)]),
        ("perfumery-gb", "ounce", {"system": "measure"}, [("measure", IMPERIAL_FLUID_OUNCE * 1.3)]),
        # no fluid grain, scruple or pound
        ("apothecaries-us", "grain", {}, [("weight", GRAIN)]),
        ("apothecaries-us", "scruple", {}, [("weight", 20 * GRAIN)]),
        ("apothecaries-us", "pound", {"system": "measure"}, [("weight", 12 * APOTHECARIES)]),
    ],
)
def test_a_liquid_by_weight_or_by_measure(convention, unit, printed, expected):
    assert best(convention, 1.0, unit, SYRUP, **printed) == expected


def test_a_powder_is_weighed_whatever_the_book_does():
    for printed in ({}, {"fluid": True}, {"system": "measure"}):
        assert best("apothecaries-us", 1.0, "ounce", CHALK, **printed) == [("weight", APOTHECARIES)]
    assert best("apothecaries-us", 1.0, "ounce", None) == [("weight", APOTHECARIES)]


@pytest.mark.parametrize(
    ("convention", "amount", "unit", "printed", "grains"),
    [
        ("avoirdupois-gb", 1.0, "ounce", {"plus": ((2, "drachm"),)}, 480 + 120),
        ("avoirdupois-gb", 1.0, "ounce", {"plus": ((1, "scruple"),)}, 480 + 20),
        ("avoirdupois-gb", 1.0, "ounce", {"plus": ((100, "grain"), (2, "drachm"))}, 480 + 100 + 120),
        ("avoirdupois-gb", 1.0, "ounce", {"plus": ((2, "drachm"),), "system": "avoirdupois"}, 437.5 + 120),
        ("avoirdupois-gb", 1.0, "ounce", {"plus": ((437, "grain"),)}, 437.5 + 437),
        ("avoirdupois-gb", 1.0, "ounce", {"plus": ((437.5, "grain"),)}, 480 + 437.5),
        ("avoirdupois-gb", 1.0, "ounce", {"plus": ((440, "grain"),)}, 480 + 440),
        ("avoirdupois-gb", 1.0, "ounce", {"plus": (((430, 450), "grain"),)}, 437.5 + 440),  # a range may be less
        ("avoirdupois-gb", 1.0, "ounce", {"plus": ((500, "milligram"),)}, 437.5 + 0.5 / GRAIN),  # many, but no grains
        ("avoirdupois-gb", 1.0, "pound", {"plus": ((440, "grain"),)}, 7000 + 440),
        ("avoirdupois-gb", 1.0, "pound", {"plus": ((2, "drachm"),)}, 7000 + 120),
        ("avoirdupois-gb", 1.0, "pound", {"system": "apothecaries"}, 5760),
        ("apothecaries-us", 1.0, "pound", {"system": "avoirdupois"}, 7000),
        ("apothecaries-us", 1.0, "drachm", {"system": "avoirdupois"}, 27.34375),
        ("pharmacopoeia-gb-1864", 1.0, "ounce", {}, 437.5),
    ],
)
def test_which_ounce(convention, amount, unit, printed, grains):
    assert best(convention, amount, unit, CHALK, **printed)[0][1] == grains * GRAIN


def test_the_ounces_of_other_lands_stay_their_own():
    """Bavarian: 30 g, an eighth the Drachme (Meyers 1888); poids usuels: 31.25 g (Doursther 1840): with drachms or a sign too."""
    assert best("de-bavaria", 1.0, "ounce", plus=((2, "drachm"),)) == [("weight", 30 * 1.25)]
    assert best("de-bavaria", 1.0, "ounce", system="apothecaries") == [("weight", 30)]
    assert best("fr-usuel", 1.0, "ounce", plus=((500, "grain"),))[0][1] == pytest.approx(31.25 + 500 * 31.25 / 576)


def test_old_units_in_a_metric_book_are_rounded_whatever_sign_they_have():
    """An ounce of 30 g, a drachm of 4 (as the convention says): Britain and the United States are two of its many lands."""
    plain = weigh("metric", 1.0, "ounce")[0].grams.best
    assert plain == 30
    assert best("metric", 1.0, "ounce", system="apothecaries") == [("weight", 30)]
    assert best("metric", 1.0, "ounce", plus=((2, "drachm"),)) == [("weight", 30 + 8)]


def test_the_signs_of_dublin_in_1850_mean_its_own_drachm():
    """The Dublin Pharmacopoeia of 1850 cut its ounce of 437.5 grains into eight drachms (Royle 1865, p. 6): 54.6875 grains."""
    for printed in ({}, {"system": "apothecaries"}):
        assert best("avoirdupois-ie-dublin-1850", 1.0, "drachm", **printed) == [("weight", 437.5 / 8 * GRAIN)]
        assert best("avoirdupois-ie-dublin-1850", 1.0, "ounce", **printed) == [("weight", 437.5 * GRAIN)]
    assert best("avoirdupois-ie-dublin-1850", 1.0, "ounce", plus=((4, "drachm"),)) == [("weight", 1.5 * 437.5 * GRAIN)]


def test_measure_and_weight_keep_their_kind_in_the_further_parts():
    """Two ounces and two drachms of a liquid: all of it measured, or all of it weighed."""
    assert best("apothecaries-us", 2.0, "ounce", SYRUP, plus=((2, "drachm"),)) == [
        ("measure", 2.25 * US_FLUID_OUNCE * 1.3), ("weight", 2.25 * APOTHECARIES),
    ]  # fmt: skip
    # a pint and an ounce: what is measured goes with the pint, though the perfumer weighs his ounces
    assert best("perfumery-gb", 1.0, "pint", SYRUP, plus=((1, "ounce"),)) == [("measure", 21 * IMPERIAL_FLUID_OUNCE * 1.3)]
    # no further part of its kind: the likeliest of those there are
    assert best("apothecaries-us", 10.0, "drop", SYRUP, plus=((1, "ounce"),))[0][1] == 10 * measures.drop_mass(SYRUP).best + US_FLUID_OUNCE * 1.3
    assert best("apothecaries-us", 1.0, "pound", SYRUP, plus=((10, "drop"),))[0][1] == 5760 * GRAIN + 10 * measures.drop_mass(SYRUP).best


def test_about_widens_the_first_part_alone():
    (reading,) = weigh("metric", 10.0, "gram", approximate=True, plus=((5, "gram"),))
    assert (reading.grams.low, reading.grams.best, reading.grams.high) == pytest.approx((14, 15, 16))


def test_an_amount_as_a_spread():
    """'About' is a tenth either way: common practice, no source."""
    assert spread_of(None) is None
    assert spread_of(None, True) is None
    assert spread_of(2.0) == Spread(2, 2, 2)
    assert spread_of((2, 6)) == Spread(2, 4, 6)
    about = spread_of((10, 20), approximate=True)
    assert (about.low, about.best, about.high) == pytest.approx((9, 15, 22))


# -- density -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("entry", "spread", "told"),
    [
        (None, (0.85, 1.0, 1.2), "not identified: density of water, common practice, no source"),
        (SYRUP, (1.2, 1.3, 1.4), "density of x syrup, source: a table"),
        (LOOSE, (0.4, 0.5, 0.6), "bulk density of x powder, source: not given"),
        (CHALK, (2.7, 2.7, 2.7), "density of x chalk, source: from memory"),
        (BARE_LIQUID, (0.85, 1.0, 1.2), "no density known: that of water, common practice, no source"),
        (BARE_POWDER, (0.3, 0.6, 1.0), "no bulk density known: common practice, no source"),
        (
            Ingredient("x-salve", "x salve", state="semisolid", properties=(*LOOSE.properties, Property("density", 2.0, 2.0, "g/mL", "", "other"))),
            (2.0, 2.0, 2.0),
            "density of x salve, source: not given",
        ),
        (Ingredient("x-salve", "x salve", state="semisolid"), (0.85, 1.0, 1.2), "no density known: that of water, common practice, no source"),
        (
            Ingredient("x-oil", "x oil", state="liquid", properties=LOOSE.properties), (2.0, 2.0, 2.0), "density of x oil, source: not given",
        ),
    ],
)  # fmt: skip
def test_the_density_taken_and_who_says_so(entry, spread, told):
    found, words = density_of(entry)
    assert (found.low, found.best, found.high) == pytest.approx(spread)
    assert words == told


def test_the_room_that_a_thing_takes_in_a_mixture():
    """A powder by its true density, not by its loose heap; a solid of none 1.5 g/mL; a liquid by its own."""
    assert density_in_a_mixture(LOOSE).best == pytest.approx(2.6)
    assert density_in_a_mixture(BARE_POWDER) == Spread(1.2, 1.5, 2.5)
    assert density_in_a_mixture(SYRUP).best == pytest.approx(1.3)
    assert density_in_a_mixture(Ingredient("x", "x", state="semisolid", properties=LOOSE.properties)).best == 2.0
    assert density_in_a_mixture(None) == Spread(0.85, 1.0, 1.2)


def test_a_strength_printed_beside_a_spirit():
    """90 per cent by volume at 20 degrees: 0.8292 g/mL (OIML R 22, table of densities; recalled). Of a syrup it says nothing."""
    spirit = Ingredient("x-spirit", "x spirit", kind="spirit", state="liquid", properties=(Property("density", 0.8, 0.8, "g/mL", source="s"),))
    (strong,) = weigh("metric", 100.0, "millilitre", spirit, strength="90 per cent")
    assert strong.grams.best == pytest.approx(82.92, abs=0.15) and strong.grams.is_exact
    assert strong.why == (
        "100 millilitre, metric; 100 mL × 0.8291 g/mL (90 per cent by volume, at 60 F as the books measured; alcoholometric tables, OIML R 22)."
    )
    assert best("metric", 100.0, "millilitre", spirit) == [("measure", 80)]
    assert best("metric", 100.0, "millilitre", spirit, strength="very strong") == [("measure", 80)]
    assert best("metric", 100.0, "millilitre", SYRUP, strength="90 per cent") == [("measure", 130)]
    assert weigh("metric", 100.0, "millilitre", None, strength="90 per cent")[0].grams == Spread(85, 100, 120)


def test_proof_means_what_the_country_means():
    """British proof spirit: 12/13 of the weight of water at 51 F, 57.1 % by volume; the American: 50 % (statutes, Popular Science
    Monthly 70 of 1907): the one the lighter."""
    spirit = Ingredient("x-spirit", "x spirit", kind="spirit", state="liquid")
    british, american = (
        weigh("metric", 100.0, "millilitre", spirit, strength="proof", country=code, year=1890)[0].grams.best for code in ("GB", "US")
    )
    assert british == pytest.approx(91.8, abs=0.4) and american == pytest.approx(93.2, abs=0.4)


# -- what is taken of a line and of a formula ----------------------------------------------------------------------------


def test_a_book_that_prints_fluid_ounces_or_drachms():
    held = measures.conventions["avoirdupois-gb"]
    for text, fluid in [("Water 2 fl. oz.\nTalc 1 oz.", True), ("Water 2 fl. drachms\nTalc 1 oz.", True), ("Water 1 pint\nTalc 1 oz.", False)]:
        assert Book.of(read(text), held) == Book(held, fluid), text
    assert Book.of(read("Rose water 1 pint 2 fl. oz.\nTalc 1 oz."), held).prints_fluid


def test_place_and_year_are_kept_beside_a_strength_alone():
    source = Source(country="GB", year=1871)
    plain, strong = read("Talc, about 2 oz. 3 drachms\nSpirit of wine, 60 over proof   1 pint").lines
    assert Printed.of(plain, source) == Printed.of(plain) == Printed(2, "ounce", ((3, "drachm"),), plain.system, True)
    assert Printed.of(strong, source) == (1, "pint", (), strong.system, False, strong.strength, "GB", 1871, False)
    assert Printed.of(strong) == (1, "pint", (), strong.system, False, strong.strength, "", None, False)
    assert strong.strength


def test_what_is_remembered_is_what_is_worked_out():
    kept = weigher(book("avoirdupois-gb"))
    printed = Printed(2.0, "ounce")
    assert kept(printed, SYRUP) == book("avoirdupois-gb").weigh(printed, SYRUP)
    assert kept(printed, CHALK) == book("avoirdupois-gb").weigh(printed, CHALK) != kept(printed, SYRUP)
    assert weigher(book("avoirdupois-gb")) is kept is not weigher(book("avoirdupois-gb", fluid=True))
    assert set(amounts.METRIC_GRAMS) | set(amounts.METRIC_MILLILITRES) <= set(measures.conventions["metric"].units())
    assert glossary.ingredient("glycerin").liquid
