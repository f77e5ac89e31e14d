"""Sizes of period units against what is printed or defined elsewhere; the source stands beside each value.

Codes: YP59 international yard and pound agreement of 1959 (1 lb = 0.45359237 kg = 7000 gr, 1 in = 25.4 mm); H44 NIST
Handbook 44, Appendix C; WMA24 and WMA63 the British Weights and Measures Acts of 1824 and 1963; MEY88, MEY05 Meyers
Konversations-Lexikon, art. Apothekergewicht, 1888 and 1905; GRI54 Griffith, Universal Formulary, 1854, p. 24 (after
Jourdain); GSE Great Soviet Encyclopedia; DOU Doursther 1840; GAS Gastronomiac; COO Cooley's Cyclopaedia, 6th ed.; ROY
Royle and Headland 1865; GAR Garrod; BEA Druggist's General Receipt-Book; NIC Nicholson, Men and Measures; KIT Kitchiner;
ENG Engineer's Encyclopaedia, art. Gallon; PIE Piesse 1857; BECK Beck's Handbook for Nurses; ENQ Enquire Within; MAR
Martindale 1901, pp. 11 and 14; NAVY Hospital Corpsman manual, table 6-2; CFR 21 CFR 101.9; NLPH Dutch pharmacopoeia text;
WIK Wikipédia, Cuillère à soupe.
"""

from fractions import Fraction

import pint
import pytest
import scipy.constants

from histkit.measures import conventions, exact, registry, unit, units

EXACT = 1e-9

GRAMS = [
    # unit of units.txt, grams, relative tolerance, source
    ("grain", 0.06479891, EXACT, "YP59"),
    ("scruple", 1.2959782, EXACT, "20 grains: COO, MEY88"),
    ("drachm", 3.8879346, EXACT, "60 grains: COO, MEY88"),
    ("apothecary_ounce", 31.1034768, EXACT, "480 grains: COO"),
    ("apothecary_pound", 373.2417216, EXACT, "5760 grains: ROY"),
    ("dram", 1.7718451953125, EXACT, "1/256 lb: YP59"),
    ("ounce", 28.349523125, EXACT, "437.5 grains: ROY, BEA"),
    ("pound", 453.59237, EXACT, "YP59"),
    ("dublin_drachm", 3.543690390625, EXACT, "1/8 avoirdupois ounce: ROY, GAR"),
    ("dublin_scruple", 1.1812301302083335, EXACT, "1/24 avoirdupois ounce: ROY, GAR"),
    ("nuremberg_pound_jourdain", 357.843, 5e-4, "GRI54"),
    ("nuremberg_pound", 357.843, 5e-4, "GRI54 beside MEY05"),
    ("wurttemberg_medicinal_pound", 357.664, 5e-4, "MEY88"),
    ("nuremberg_scruple", 1.242513888888889, 5e-4, "MEY05"),
    ("nuremberg_drachm", 3.7275416666666668, 5e-4, "MEY05"),
    ("prussian_ounce", 29.232, 5e-4, "MEY88"),
    ("prussian_scruple", 1.218, 5e-4, "MEY88"),
    ("prussian_grain", 0.06089, 5e-4, "MEY88"),
    ("saxon_medicinal_pound", 356.813, 5e-4, "MEY05"),
    ("bavarian_medicinal_pound", 360.0, 5e-4, "MEY88, GRI54"),
    ("bavarian_ounce", 30.003, 2e-4, "MEY88"),
    ("baden_medicinal_pound", 357.78, 5e-4, "MEY05"),
    ("vienna_medicinal_pound", 420.045, 5e-4, "MEY05"),
    ("vienna_medicinal_pound", 420.009, 5e-4, "MEY88, GRI54"),
    ("vienna_ounce", 35.000, 2e-4, "MEY88"),
    ("vienna_grain", 0.0729, 1e-3, "MEY88"),
    ("swedish_medicinal_pound", 356.28, 5e-4, "MEY05"),
    ("russian_medicinal_pound", 358.323, 5e-4, "MEY05, GSE"),
    ("russian_ounce", 29.86, 5e-4, "GSE"),
    ("russian_grain", 0.062209, 5e-4, "GSE"),
    ("dutch_medicinal_pound", 369.121, 5e-4, "MEY05"),
    ("metric_medicinal_pound", 375.0, 5e-4, "MEY88, GRI54"),
    ("paris_livre", 489.5058466098161, 1e-5, "9216 of 18827.15 grains to the kilogram, law of frimaire an VIII"),
    ("paris_livre", 489.503, 5e-5, "GRI54"),
    ("paris_gros", 3.824, 2e-4, "GAS"),
    ("paris_livre_medicinale", 367.129, 5e-4, "MEY05"),
    ("usuel_livre", 500.0, 5e-4, "MEY05, DOU"),
    ("usuel_once", 31.25, 5e-4, "MEY05, DOU"),
    ("usuel_gros", 3.90625, 5e-4, "MEY05, DOU"),
    ("castilian_grain", 0.04992332175925926, 5e-4, "1/6912 libra medicinal: MEY05, GRI54"),
    ("lisbon_medicinal_pound", 344.19, 5e-4, "GRI54"),
    ("roman_libbra", 339.073, 5e-4, "GRI54"),
    ("venetian_libbra", 301.23, 5e-4, "GRI54 (place name lost in the scan)"),
    ("polish_medicinal_pound", 358.51, 5e-4, "GRI54"),
]  # fmt: skip

MILLILITRES = [
    ("us_minim", 0.061611519921874996, EXACT, "1/480 fluid ounce of 1/128 of 231 cubic inches"),
    ("us_fluid_drachm", 3.6966911953125, EXACT, "60 minims"),
    ("us_fluid_ounce", 29.5735295625, EXACT, "1/128 gallon"),
    ("us_gill", 118.29411825, EXACT, "4 fluid ounces"),
    ("us_pint", 473.176473, EXACT, "16 fluid ounces"),
    ("us_gallon", 3785.411784, EXACT, "231 cubic inches: GRI54, KIT"),
    ("imperial_minim", 0.059193880208333334, EXACT, "1/480 fluid ounce: WMA63"),
    ("imperial_fluid_drachm", 3.5516328125, EXACT, "60 minims: WMA63"),
    ("imperial_fluid_scruple", 1.1838776041666668, EXACT, "20 minims"),
    ("imperial_fluid_ounce", 28.4130625, EXACT, "1/160 gallon: COO, WMA63"),
    ("imperial_gill", 142.0653125, EXACT, "5 fluid ounces: WMA63"),
    ("imperial_pint", 568.26125, EXACT, "20 fluid ounces: BEA, GAR, WMA63"),
    ("imperial_gallon", 4546.09, EXACT, "4.54609 L"),
    ("wine_gallon", 3785.411784, EXACT, "231 cubic inches: ENG, NIC"),
    ("wine_pint", 473.176473, EXACT, "28.875 cubic inches: GRI54, KIT"),
    ("ale_gallon", 4621.152048, EXACT, "282 cubic inches: ENG"),
    ("corn_gallon", 4404.8428032, EXACT, "268 4/5 cubic inches: ENG"),
    ("irish_gallon", 3565.8251264, EXACT, "217.6 cubic inches: NIC"),
    ("ligula", 11.3, 0.02, "1/48 sextarius: WIK"),
    ("us_teaspoonful", 3.6966911953125, 5e-3, "1 fluid drachm: BECK"),
    ("us_dessertspoonful", 7.393382390625, 5e-3, "2 fluid drachms: BECK"),
    ("us_tablespoonful", 14.78676478125, 5e-3, "4 fluid drachms: BECK"),
    ("us_wineglassful", 59.147059125, 5e-3, "2 fluid ounces: BECK"),
    ("us_teacupful", 118.29411825, 5e-3, "4 fluid ounces: BECK"),
    ("us_metric_dessertspoonful", 10, 5e-3, "NAVY"),
    ("us_tumblerful", 240, 5e-3, "NAVY"),
    ("us_label_cup", 240, 5e-3, "CFR"),
    ("gb_wineglassful", 56.826125, 5e-3, "2 fluid ounces: ENQ"),
    ("martindale_teaspoon", 5.0, 1e-2, "85 minims = 5 cc: MAR"),
    ("martindale_wineglass", 60, 5e-3, "MAR"),
    ("martindale_tumbler", 250, 5e-3, "MAR"),
    ("dutch_eetlepel", 15, 5e-3, "NLPH"),
    ("dutch_theelepel", 3, 5e-3, "NLPH"),
]  # fmt: skip

HANDBOOK_44 = [
    # NIST Handbook 44, Appendix C, tables of equivalents; recalled, the printed digits
    ("drachm", "gram", 3.888, 3), ("scruple", "gram", 1.296, 3), ("dram", "gram", 1.772, 3), ("ounce", "gram", 28.350, 3),
    ("troy_ounce", "gram", 31.103, 3), ("pennyweight", "gram", 1.555, 3), ("apothecary_pound", "gram", 373.242, 3),
    ("pound", "gram", 453.592, 3), ("grain", "milligram", 64.79891, 5), ("us_minim", "millilitre", 0.061612, 6),
    ("us_fluid_drachm", "millilitre", 3.697, 3), ("us_fluid_ounce", "millilitre", 29.574, 3), ("us_gill", "litre", 0.118, 3),
    ("us_pint", "litre", 0.473, 3), ("us_quart", "litre", 0.946, 3), ("us_gallon", "litre", 3.785, 3),
    ("imperial_fluid_ounce", "us_fluid_ounce", 0.961, 3), ("imperial_gallon", "us_gallon", 1.201, 3),
    ("imperial_gallon", "cubic_inch", 277.42, 2), ("imperial_minim", "millilitre", 0.059, 3),
    ("imperial_fluid_drachm", "millilitre", 3.552, 3), ("us_modern_teaspoon", "us_fluid_drachm", 1.333, 3),
    ("us_modern_tablespoon", "us_fluid_drachm", 4, 6), ("us_modern_cup", "us_fluid_ounce", 8, 6),
    ("us_modern_teaspoon", "millilitre", 4.929, 3), ("cubic_inch", "millilitre", 16.387064, 6),
]  # fmt: skip


@pytest.mark.parametrize(("name", "grams", "tolerance", "source"), GRAMS)
def test_weights(name, grams, tolerance, source):
    assert float(exact(name)) == pytest.approx(grams, rel=tolerance), source
    assert registry().Quantity(1, name).to("gram").magnitude == pytest.approx(grams, rel=tolerance), source


@pytest.mark.parametrize(("name", "millilitres", "tolerance", "source"), MILLILITRES)
def test_measures(name, millilitres, tolerance, source):
    assert float(exact(name)) == pytest.approx(millilitres, rel=tolerance), source
    assert registry().Quantity(1, name).to("millilitre").magnitude == pytest.approx(millilitres, rel=tolerance), source


@pytest.mark.parametrize(("name", "into", "printed", "decimals"), HANDBOOK_44)
def test_handbook_44(name, into, printed, decimals):
    assert registry().Quantity(1, name).to(into).magnitude == pytest.approx(printed, abs=0.5001 * 10**-decimals)


def test_exact_definitions_are_exact_fractions():
    assert exact("grain") == Fraction(6479891, 100000000)
    assert exact("apothecary_ounce") / exact("ounce") == Fraction(480 * 2, 875)  # 480 against 437.5 grains
    assert exact("us_gallon") == 231 * Fraction(254, 100) ** 3
    assert exact("us_gallon") / exact("us_minim") == 61440  # GRI54, KIT
    assert exact("imperial_gallon") / exact("imperial_minim") == 76800  # BEA
    assert 12 * exact("wine_quart") / exact("wine_fluid_ounce") == 384  # KIT: three gallons, twelve quart bottles of 32 ounces
    assert exact("perfumers_retail_pint") / exact("imperial_fluid_ounce") == 14  # PIE
    assert exact("martindale_teaspoon") / exact("imperial_minim") == 85  # MAR


def test_imperial_pint_over_wine_pint():
    assert float(exact("imperial_pint") / exact("us_pint")) == pytest.approx(1.200949925504855, rel=1e-12)


def test_subdivisions_of_the_act_of_1963():
    # WMA63, First Schedule: gallon, quart 1/4, pint 1/8, gill 1/4 pint, fluid ounce 1/20 pint, drachm 1/8, minim 1/60
    gallon = exact("imperial_gallon")
    parts = {"quart": 4, "pint": 8, "gill": 32, "fluid_ounce": 160, "fluid_drachm": 1280, "minim": 76800}
    assert {name: gallon / exact(f"imperial_{name}") for name in parts} == parts
    # the gallon of that Act, ten pounds of water weighed in air, is 4.546092 L to the precision of the weighing
    assert float(gallon) == pytest.approx(4546.092, rel=1e-6)


def test_gallon_of_the_act_of_1824():
    # WMA24: 277.274 cubic inches, ten pounds of water of which a cubic inch weighs 252.458 grains (recalled)
    assert pytest.approx(70000, rel=1e-6) == 277.274 * 252.458
    assert 10 * exact("pound") / exact("grain") == 70000  # BEA, ENG: 70000 grains of water to the gallon
    # the inch of 1824 was a little longer and the weighing a little off: 0.05 per cent
    assert float(exact("imperial_gallon") / exact("cubic_inch")) == pytest.approx(277.274, rel=6e-4)


@pytest.mark.parametrize(
    ("name", "grains", "tolerance", "source"),
    [
        ("imperial_minim", 0.91, 0.005, "BEA, 1864 and after"),
        ("us_minim", 0.95, 0.005, "GRI54"),
        ("us_fluid_drachm", 56.96, 0.002, "GRI54"),
        ("us_fluid_ounce", 455.69, 0.002, "GRI54"),
        ("us_gallon", 58328.88, 0.002, "GRI54"),
        ("imperial_gallon", 70000, 0.002, "BEA: ten pounds"),
    ],
)
def test_water_in_a_measure(name, grains, tolerance, source):
    from histkit.measures import gravity

    water = float(exact(name)) * gravity.water_density(15.56) / float(exact("grain"))
    assert water == pytest.approx(grains, rel=tolerance), source


def test_scipy_agrees():
    for name, value in {
        "grain": scipy.constants.grain,
        "ounce": scipy.constants.oz,
        "pound": scipy.constants.pound,
        "troy_ounce": scipy.constants.troy_ounce,
        "troy_pound": scipy.constants.troy_pound,
        "apothecary_ounce": scipy.constants.troy_ounce,
        "apothecary_pound": scipy.constants.troy_pound,
        "stone": scipy.constants.stone,
    }.items():
        assert float(exact(name)) / 1000 == pytest.approx(value, rel=1e-12)
    for name, value in {
        "us_gallon": scipy.constants.gallon,
        "us_fluid_ounce": scipy.constants.fluid_ounce,
        "imperial_gallon": scipy.constants.gallon_imp,
        "imperial_fluid_ounce": scipy.constants.fluid_ounce_imp,
        "litre": scipy.constants.liter,
    }.items():
        assert float(exact(name)) * 1e-6 == pytest.approx(value, rel=1e-12)
    assert float(exact("inch")) == pytest.approx(scipy.constants.inch, rel=1e-12)


def test_a_name_that_pint_knows_too_means_the_same_here():
    """No name of units.txt contradicts Pint's own registry, so a Quantity read by eye is not misread."""
    theirs = pint.UnitRegistry()
    base = {"mass": "gram", "volume": "millilitre", "length": "metre"}
    compared = set()
    for name, ours in units().items():
        # a name that Pint puts together from a prefix is not its own: it reads 'pinch' as the pico-inch
        if any(prefix == "" for prefix, _, _ in theirs.parse_unit_name(name)):
            if name == "drachm" and theirs.Quantity(1.0, name) == theirs.Quantity(1.0, "avoirdupois_dram"):
                compared.add(name)
                continue  # Pint up to 0.25.0 names the dram of 1/16 avoirdupois ounce so: one more reason for our own names
            assert theirs.Quantity(1.0, name).to(base[ours.dimension]).magnitude == pytest.approx(float(ours.size), rel=1e-12), (
                name
            )
            compared.add(name)
    assert {
        "grain",
        "scruple",
        "drachm",
        "apothecary_ounce",
        "dram",
        "ounce",
        "minim",
        "fluid_ounce",
        "pint",
        "imperial_minim",
    } <= compared
    assert len(compared) > 60


CONVENTIONS = [
    # convention, unit, grams or millilitres, tolerance, source
    ("apothecaries-us", "drachm", 3.8879346, EXACT, "COO"),
    ("apothecaries-us", "pound", 373.2417216, EXACT, "ROY"),
    ("apothecaries-us", "fluid ounce", 29.5735295625, EXACT, "H44"),
    ("apothecaries-us", "pint", 473.176473, EXACT, "H44"),
    ("apothecaries-gb-imperial", "ounce", 31.1034768, EXACT, "COO"),
    ("apothecaries-gb-imperial", "pint", 568.26125, EXACT, "WMA63"),
    ("apothecaries-gb-wine", "gallon", 3785.411784, EXACT, "NIC"),
    ("avoirdupois-gb", "ounce", 28.349523125, EXACT, "BEA"),
    ("avoirdupois-gb", "drachm", 3.8879346, EXACT, "the drachm of 60 grains beside the avoirdupois ounce: Facts Worth Knowing"),
    ("avoirdupois-gb", "avoirdupois dram", 1.7718451953125, EXACT, "YP59"),
    ("avoirdupois-us", "drachm", 3.8879346, EXACT, "drams troy: book of flavouring extracts"),
    ("avoirdupois-us", "avoirdupois dram", 1.7718451953125, EXACT, "YP59"),
    ("avoirdupois-ie-dublin-1850", "drachm", 3.543690390625, EXACT, "ROY, GAR"),
    ("avoirdupois-ie-dublin-1850", "scruple", 1.1812301302083335, EXACT, "ROY, GAR"),
    ("fr-poids-de-marc", "drachm", 3.824, 2e-4, "GAS"),
    ("fr-poids-de-marc", "pound", 489.503, 5e-5, "GRI54"),
    ("fr-poids-de-marc-medicinal", "pound", 367.129, 5e-4, "MEY05"),
    ("fr-usuel", "ounce", 31.25, 5e-4, "MEY05, DOU"),
    ("de-nuremberg", "pound", 357.843, 5e-4, "GRI54"),
    ("de-nuremberg", "drachm", 3.7275416666666668, 5e-4, "MEY05"),
    ("de-prussia", "ounce", 29.232, 5e-4, "MEY88"),
    ("de-bavaria", "ounce", 30.0, 2e-4, "MEY88"),
    ("de-saxony", "pound", 356.813, 5e-4, "MEY05"),
    ("de-baden", "pound", 357.78, 5e-4, "MEY05"),
    ("at-vienna", "pound", 420.045, 5e-4, "MEY05"),
    ("ch-metric-medicinal", "pound", 375.0, 5e-4, "MEY88"),
    ("nl-metric-medicinal", "pound", 375.0, 5e-4, "MEY88, GRI54"),
    ("nl", "pound", 369.121, 5e-4, "MEY05"),
    ("es-castile", "grain", 0.04992332175925926, 5e-4, "MEY05"),
    ("pt-lisbon", "pound", 344.19, 5e-4, "GRI54"),
    ("se", "pound", 356.28, 5e-4, "MEY05"),
    ("ru", "ounce", 29.86, 5e-4, "GSE"),
    ("it-rome", "pound", 339.073, 5e-4, "GRI54"),
    ("it-venice", "pound", 301.23, 5e-4, "GRI54"),
    ("pl-warsaw", "pound", 358.51, 5e-4, "GRI54"),
    ("household-us", "teaspoonful", 3.6966911953125, 5e-3, "BECK"),
    ("household-us", "dessertspoonful", 7.393382390625, 5e-3, "BECK"),
    ("household-us", "tablespoonful", 14.78676478125, 5e-3, "BECK"),
    ("household-us", "teacupful", 118.29411825, 5e-3, "BECK"),
    ("household-gb", "wineglassful", 56.826125, 5e-3, "ENQ"),
    ("nl", "teaspoonful", 3, 5e-3, "NLPH"),
    ("nl", "tablespoonful", 15, 5e-3, "NLPH"),
]  # fmt: skip


@pytest.mark.parametrize(("convention", "word", "size", "tolerance", "source"), CONVENTIONS)
def test_what_a_unit_meant(convention, word, size, tolerance, source):
    held = conventions[convention]
    grams, volume = held.grams(word), held.millilitres(word)
    value = grams if grams is not None else volume.best
    assert value == pytest.approx(size, rel=tolerance), source
    base = "gram" if grams is not None else "millilitre"
    assert held.size(word).to(base).magnitude == pytest.approx(size, rel=tolerance), source


def test_modern_values_lie_within_the_spread_of_the_spoons():
    # MAR: 85 minims = 5 cc, wineglass 60 cc, tumbler 250 cc; NAVY: dessertspoon 10 mL, tumbler 240 mL
    gb, us = conventions["household-gb"], conventions["household-us"]
    assert gb.millilitres("teaspoonful").high == pytest.approx(float(unit("martindale_teaspoon").size))
    assert gb.millilitres("wineglassful").low <= 60 <= gb.millilitres("wineglassful").high
    assert gb.millilitres("tumblerful").low <= 250 <= gb.millilitres("tumblerful").high
    assert us.millilitres("dessertspoonful").high == pytest.approx(10)
    assert us.millilitres("tumblerful").best == pytest.approx(240)
    assert us.millilitres("cupful").high == pytest.approx(240)


@pytest.mark.parametrize(
    ("name", "size", "source"),
    [
        ("cologne_pound", 2 * 233.855506, "Nelkenbrecher, art. Berlin, p. 57: the mark, half a pound"),
        ("cologne_pound", 467.710, "Oude gewichtjes: Keuls pond"),
        ("amsterdam_civil_pound", 494.090, "Oude gewichtjes: Amsterdams pond"),
        ("dutch_medicinal_pound", 369.126, "Oude gewichtjes: Medicinaal pond"),
        ("dutch_metric_ounce", 100, "Staatsblad 1819: ten oncen to the pond of 1000 wigtjes"),
        ("milanese_pound", 762.517 * 12 / 28, "Noback, p. 623: the heavy pound of 28 once"),
        ("neapolitan_pound", 320.76, "Nelkenbrecher, art. Neapel, p. 294"),
        ("neapolitan_drachm", 320.76 * 60 / 7200, "the same: three scrupoli of 20 of its 7200 acini"),
        ("venetian_civil_pound", 476.9987, "Lachmann 1860, p. 305"),
        ("venetian_libbra", 301.2297, "Lachmann 1860, p. 305: the light pound"),
        ("piedmontese_pound", 369, "a table of towns: Torino"),
        ("tuscan_pound", 339.5, "a table of towns: Firenze"),
        ("vienna_civil_pound", 560.012, "Lachmann 1860, p. 302"),
        ("bavarian_civil_pound", 560, "Maß- und Gewicht-System in Hessen, Baiern, para. 8"),
        ("prussian_quart", 1145.03, "Lachmann 1860, p. 329"),
        ("bavarian_mass", 1069, "Lachmann 1860, p. 81"),
        ("vienna_mass", 1415, "Lachmann 1860, p. 302"),
        ("baden_mass", 1500, "Meyers 1908, vol. 13, p. 399"),
        ("hessian_mass", 2000, "Meyers 1908, vol. 13, p. 399"),
        ("danish_pot", 966.12, "Flügel 1859, p. 208"),
    ],
)
def test_civil_pounds_and_measures_of_the_continent(name, size, source):
    assert float(exact(name)) == pytest.approx(size, rel=5e-4), source
