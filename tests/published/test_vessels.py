"""Old vessels and spoons by the works that print their sizes: a row that is shifted, or a size that slips, fails here."""

import pytest

from histkit.base.nouns import Source
from histkit.base.tables import read as table
from histkit.measures import choose, conventions

PARIS_CUBIC_INCH = 19.83636
"""mL: the inch of the king of 27.07 mm."""


@pytest.mark.parametrize(
    ("convention", "unit", "millilitres", "rel"),
    [
        # Nelkenbrecher, art. Leipzig, p. 218: a Dresden Kanne of 47.0939 cubic inches of Paris; two Nösel, four Seidel or Schoppen
        ("de-saxony", "quart", 47.0939 * PARIS_CUBIC_INCH, 1e-4),
        ("de-saxony", "Seidel", 47.0939 * PARIS_CUBIC_INCH / 2, 1e-4),
        # another book: 'Bilder aus der Kulturgeschichte unseres sächsischen Vaterlandes', p. 10: a Kanne of 0.936 L
        ("de-saxony", "quart", 936, 2.5e-3),
        # Encyclopédie (1765), art. Pinte: two chopines, eight poissons; gastronomiac, art. Poids et mesures: 0.93 L
        ("fr-poids-de-marc", "pint", 930, 2e-3),
        ("fr-poids-de-marc", "gill", 930 / 8, 2e-3),
        # Lueger 1904, p. 75: an azumbre of 2.016 L, four cuartillos of four copas
        ("es-castile", "pint", 2016 / 4, 1e-4),
        ("es-castile", "gill", 2016 / 16, 1e-4),
        # Bleibtreu 1863, p. 52: a canada of 70.33 cubic inches of Paris, 1.3945 L, four quartilhos
        ("pt-lisbon", "quart", 70.33 * PARIS_CUBIC_INCH, 1e-3),
        ("pt-lisbon", "pint", 1394.5 / 4, 1e-4),
        # Döring 1854, p. 417: a stop of 1.3086 L, four qvarter; the kanna of two stop 2.617 L (ordinance of 1665)
        ("se", "quart", 1308.6, 1e-4),
        ("se", "pint", 2617 / 4, 1e-3),
        # Döring 1854, p. 95: 120 mingelen are 145.523 L; a Kassel reckoner of 1766, p. 284: a mingel is two pints
        ("nl", "quart", 145523 / 120, 1e-4),
        ("nl", "pint", 145523 / 240, 1e-4),
        # Rumler 1849: a kruschka of 1.22989 L, ten to the vedro of 12.2989
        ("ru", "quart", 1229.89, 1e-4),
        # Mammucari and Rossi Esser 2008, p. 29: a boccale of 1.823 L, two mezzi of 0.911, four fogliette; 32 to the barile of 58.341
        ("it-rome", "quart", 911, 1e-3),
        ("it-rome", "pint", 58341 / 128, 1e-3),
        # Nelkenbrecher, art. Warschau, p. 422: the kwart is a litre, four to the garniec, each of four kwaterki
        ("pl-warsaw", "quart", 1000, 1e-4),
        ("pl-warsaw", "gallon", 4000, 1e-4),
        # Meyers 1908, vol. 13, art. Maß, p. 399: Baden and Switzerland 1.5 L of four Schoppen, Austria two Halbe of two Seidel
        ("ch-civil", "Schoppen", 375, 1e-4),
        ("at-civil", "Seidel", 1414.725 / 4, 1e-4),
        # Appell, on Bavaria about 1845: a Maass of 1.069 L, two Halbe or Seidel, four Quart or Schoppen
        ("de-bavaria-civil", "Schoppen", 1069 / 4, 1e-4),
        ("de-bavaria-civil", "Seidel", 1069 / 2, 1e-4),
        # the Stirling jug, 103.7 cubic inches (Smith Museum); a mutchkin is a quarter of it (Scottish archives)
        ("household-gb", "mutchkin", 103.7 * 16.387064 / 4, 1e-6),
        # Adams 1825, l. 22816: four teaspoonfuls of a drachm to the tablespoonful, four of these to the wineglass
        ("avoirdupois-gb-wine", "wineglassful", 16 * 473.176473 / 128, 1e-6),
        # Allgemeines Deutsches Kochbuch 1873, 2a: half a litre, also called Schoppen
        ("de-zollpfund-1872", "Schoppen", 500, 1e-6),
        ("metric", "Schoppen", 500, 1e-6),
    ],
)
def test_measures_for_liquids(convention, unit, millilitres, rel):
    assert conventions[convention].millilitres(unit).best == pytest.approx(millilitres, rel=rel)


@pytest.mark.parametrize(
    ("convention", "unit", "grams"),
    [
        # Meyers 1905, vol. 1, art. Arzneidosis, p. 835: grams of a mixture that go into each
        ("de-bavaria", "teaspoonful", 4), ("de-bavaria", "dessertspoonful", 8), ("de-bavaria", "tablespoonful", 15),
        ("de-bavaria", "wineglassful", 120), ("de-bavaria", "teacupful", 120), ("de-bavaria", "tumblerful", 180),
        # Ewald and Lüdecke 1883, p. 12: half a tablespoon, 15 g, 20 and more in the household, a glass or cup of 100 g
        ("de-prussia", "dessertspoonful", 7.5), ("de-prussia", "tablespoonful", 20), ("de-prussia", "wineglassful", 100),
        # Arzneiverordnungslehre für Studierende und Ärzte, at figure 21: a teaspoon of 5 mL
        ("de-prussia", "teaspoonful", 5),
        # Hahnemann 1793, art. Apothekermase, p. 54: a glass (verre) of four ounces, a tablespoon of half an ounce
        ("fr-poids-de-marc", "wineglassful", 4 * 30.594), ("fr-poids-de-marc", "cupful", 4 * 30.594), ("fr-poids-de-marc", "tablespoonful", 30.594 / 2),
        # Edmonds 1914, l. 2020: a teacupful is a gill, a breakfast cup half a pint
        ("household-gb", "teacupful", 142), ("household-gb", "cupful", 142), ("household-gb", "breakfastcupful", 284), ("household-gb", "other cupful", 284),
        # The Courtland Enterprise 1894: twelve tablespoonfuls to the teacup
        ("household-us", "teacupful", 177),
    ],
)  # fmt: skip
def test_spoons_glasses_and_cups(convention, unit, grams):
    spread = conventions[convention].millilitres(unit)
    assert spread.low * 0.98 <= grams <= spread.high * 1.02


def test_no_level_vessel_is_wider_than_half_as_much_again():
    loose = {"handful", "pinch"}
    for row in table("measures/convention_units"):
        if row["low"] or row["high"]:
            held = next((c for c in conventions.values() if row["system"] in (*c.systems, "everywhere")), None)
            if held is None or row["unit"] in loose:
                continue
            for convention in conventions.values():
                if row["system"] in (*convention.systems, "everywhere") and row["unit"] in convention.units():
                    spread = convention.millilitres(row["unit"])
                    assert spread.high / spread.low <= 1.5, (convention.id, row["unit"])


@pytest.mark.parametrize(
    ("title", "year", "teaspoon", "place"),
    [
        ("The Royal Baker and Pastry Cook", 1902, 3.70, 0),  # l. 2050: 8 teaspoonfuls of liquid are 2 tablespoonfuls
        ("How To Cook Well", 1886, 3.70, 0),  # Benton, tables of weights and measures: 4 to the tablespoonful
        ("Motherly Talks with Young Housekeepers", 1873, 7.39, 1),  # Beecher, l. 6673: 2 to the tablespoonful
        ("Housekeeping in Old Virginia", 1878, 3.70, 0),  # Tyree, l. 716: 4
        ("Lowney's Cook Book", 1908, 4.93, 0),  # Howard, l. 1520: 3
        ("The Boston Cooking-School Cook Book", 1910, 4.93, 0),  # Farmer: 3
        ("Economical Cookery", 1918, 4.93, 0),  # Neil, chapter XXXI: 3
    ],
)
def test_teaspoonfuls_to_the_tablespoonful(title, year, teaspoon, place):
    """`place` 0: the choice itself; 1: the runner-up."""
    book = Source(title=title, year=year, country="US", kind="household receipt book")
    for printed in ([], ["teaspoonful"]):
        held = choose(book, printed)[place].convention
        assert held.millilitres("teaspoonful").best == pytest.approx(teaspoon, rel=5e-3), printed


def test_the_cooking_schools_measured_first_by_thirds():
    book = Source(title="Lessons of a Cooking School", year=1899, country="US", kind="household receipt book")
    assert choose(book, ["teaspoonful"])[0].convention.id == "household-us-1896"
