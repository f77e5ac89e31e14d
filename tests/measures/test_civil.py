"""Civil weights abroad: trade and kitchen books by the civil pound, pharmacies by the medicinal one, each by its years and town.

The grams are those of Lueger's Lexikon (1909), vol. 7, p. 104, of Meyers (1888), art. Pfund and art. Apothekergewicht, p. 694, of
Polytechnisches Journal 20 (1826) l. 24646 and 120 (1851) l. 19270, and of the Allgemeines Deutsches Kochbuch (1873).
"""

import pytest

from histkit.base.nouns import Source
from histkit.measures import choose, conventions

CIVIL = [
    # country, year, place, pound, Loth (half of the ounce), where a book gives it
    ("DE", 1851, "", 560, 17.5), ("DE", 1851, "Augsburg", 560, 17.5), ("DE", 1826, "Stuttgart", 467.7, 14.62),
    ("DE", 1840, "Berlin", 467.7, 14.62), ("DE", 1864, "Berlin", 500, 16.67), ("DE", 1864, "Stuttgart", 500, 15.625),
    ("DE", 1840, "Karlsruhe", 500, 15.625), ("AT", 1850, "", 560.012, 17.5), ("CH", 1860, "", 500, 15.625), ("DK", 1860, "", 500, 15.625),
    ("NO", 1860, "", 498.112, None), ("SE", 1860, "", 425, None), ("RU", 1880, "", 409.512, None), ("PL", 1825, "", 405.504, None),
    ("PT", 1840, "", 459, None), ("ES", 1840, "", 460.093, None),
]  # fmt: skip


@pytest.mark.parametrize("kind", ["trade receipt book", "household receipt book", "perfumery manual"])
@pytest.mark.parametrize(("country", "year", "place", "pound", "loth"), CIVIL)
def test_trade_and_kitchen_weigh_by_the_civil_pound(country, year, place, pound, loth, kind):
    chosen = choose(Source(country=country, year=year, place=place, kind=kind))[0].convention
    assert chosen.grams("pound") == pytest.approx(pound, rel=1e-3)
    assert loth is None or chosen.grams("ounce") / 2 == pytest.approx(loth, rel=1e-3)
    assert chosen.grams("grain") and chosen.grams("scruple")


MEDICINAL = [
    ("DE", 1850, "Berlin", 350.783), ("DE", 1850, "Weimar", 350.783), ("DE", 1850, "Schwerin", 350.783), ("DE", 1850, "Hamburg", 357.664),
    ("DE", 1850, "München", 360), ("DE", 1850, "Karlsruhe", 375), ("AT", 1850, "Wien", 420.009), ("CH", 1860, "", 375), ("RU", 1880, "", 358.323),
    ("SE", 1850, "", 356.28), ("NL", 1850, "", 375),
]  # fmt: skip


@pytest.mark.parametrize("kind", ["pharmacopoeia", "prescription"])
@pytest.mark.parametrize(("country", "year", "place", "pound"), MEDICINAL)
def test_pharmacies_weigh_by_the_medicinal_pound(country, year, place, pound, kind):
    chosen = choose(Source(country=country, year=year, place=place, kind=kind))[0].convention
    assert chosen.grams("pound") == pytest.approx(pound, rel=1e-3)


def test_saxony_has_two_pounds_and_both_are_told():
    """356.813 g in Meyers of 1905, 350.783 in Meyers of 1888."""
    first, second, *_ = choose(Source(country="DE", year=1850, place="Dresden", kind="pharmacopoeia"))
    assert {round(c.convention.grams("pound"), 1) for c in (first, second)} == {356.8, 350.8}


def test_a_cookbook_of_1873_still_reckons_thirty_loth():
    chosen = choose(Source(country="DE", year=1873, kind="household receipt book"))[0].convention
    assert chosen.grams("pound") == 500
    assert chosen.grams("ounce") / 2 == pytest.approx(500 / 30)


@pytest.mark.parametrize(
    ("place", "title", "year", "first"),
    [
        ("Berlin", "", 1867, "de-prussia"), ("Berlin", "", 1868, "metric"), ("Berlin", "", 1873, "metric"),
        ("", "Pharmacopoea Borussica", 1868, "metric"), ("", "Pharmacopoea Bavarica", 1868, "de-bavaria"),
        ("Munich", "", 1868, "de-bavaria"), ("Munich", "", 1873, "metric"), ("Nürnberg", "", 1873, "metric"),
    ],
)  # fmt: skip
def test_a_town_counts_only_while_its_law_held(place, title, year, first):
    assert choose(Source(title=title, place=place, country="DE", year=year, kind="pharmacopoeia"))[0].convention.id == first


def test_the_small_measures():
    bavaria, zoll = conventions["de-bavaria-civil"], conventions["de-zollpfund"]
    assert bavaria.grams("drachm") == pytest.approx(17.5 / 4)  # the Quentchen, a quarter of the Loth
    assert zoll.grams("drachm") == pytest.approx(500 / 300)  # ten Quentchen to the Loth
    assert conventions["ru-civil"].grams("drachm") == pytest.approx(409.512 / 96)  # the zolotnik
    schoppen = bavaria.millilitres("Schoppen")
    # 'a quarter of a litre and more' (Dingler 1851); four Schoppen to the Maass (Lachmann 1860, p. 88), two Seidel
    assert schoppen.is_exact and schoppen.best == pytest.approx(1069.03 / 4, rel=1e-4)
    assert bavaria.millilitres("Seidel").best == pytest.approx(1069.03 / 2, rel=1e-4)
    assert bavaria.millilitres("quart").best == pytest.approx(1069.03)  # Meyers 1908, vol. 13, p. 399


def test_french_cooks_kept_the_old_ounce():
    """Five ounces are 153 g with Carême and his contemporaries (1815 to 1833): gastronomiac, art. Poids et mesures."""
    first, second, *_ = choose(Source(country="FR", year=1828, kind="household receipt book"))
    assert (first.convention.id, second.convention.id) == ("fr-usuel", "fr-poids-de-marc")
    assert first.certainty != "near certain"
    assert second.convention.grams("ounce") * 5 == pytest.approx(153, rel=1e-3)
