"""Which convention a book followed: the facts of measure law come out on top, and the runner-up is told."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from histkit.measures import choices_grid, choose, conventions, guess_kind
from histkit.model import KINDS, Source

CASES = [
    # country, year, kind, first choice
    ("GB", 1872, "trade receipt book", "avoirdupois-gb"),
    ("GB", 1861, "household receipt book", "household-gb"),
    ("GB", 1857, "perfumery manual", "perfumery-gb"),
    ("GB", 1880, "prescription", "apothecaries-gb-imperial"),
    ("GB", 1840, "pharmacopoeia", "apothecaries-gb-imperial"),
    ("GB", 1867, "pharmacopoeia", "pharmacopoeia-gb-1864"),
    ("GB", 1898, "pharmacopoeia", "pharmacopoeia-gb-1864"),
    ("GB", 1932, "pharmacopoeia", "metric"),
    ("GB", 1815, "pharmacopoeia", "apothecaries-gb-wine"),
    ("GB", 1830, "pharmacopoeia", "apothecaries-gb-wine"),  # the London Pharmacopoeia kept the wine gallon to 1836
    ("GB", 1779, "household receipt book", "avoirdupois-gb-wine"),
    ("IE", 1855, "pharmacopoeia", "avoirdupois-ie-dublin-1850"),
    ("IE", 1830, "pharmacopoeia", "apothecaries-gb-wine"),
    ("US", 1830, "pharmacopoeia", "apothecaries-us"),
    ("US", 1905, "pharmacopoeia", "metric"),
    ("US", 1909, "prescription", "apothecaries-us"),
    ("US", 1914, "trade receipt book", "avoirdupois-us"),
    ("US", 1887, "household receipt book", "household-us"),
    ("US", 1892, "perfumery manual", "perfumery-us"),
    ("FR", 1780, "perfumery manual", "fr-poids-de-marc"),
    ("FR", 1780, "pharmacopoeia", "fr-poids-de-marc-medicinal"),
    ("FR", 1830, "perfumery manual", "fr-usuel"),
    ("FR", 1840, "perfumery manual", "metric"),
    ("DE", 1860, "trade receipt book", "de-nuremberg"),
    ("DE", 1890, "trade receipt book", "metric"),
    ("AT", 1850, "pharmacopoeia", "at-vienna"),
    ("AT", 1890, "pharmacopoeia", "metric"),
    ("ES", 1840, "pharmacopoeia", "es-castile"),
    ("PT", 1840, "pharmacopoeia", "pt-lisbon"),
    ("SE", 1850, "pharmacopoeia", "se"),
    ("NL", 1800, "pharmacopoeia", "nl"),
    ("NL", 1850, "pharmacopoeia", "nl-metric-medicinal"),
    ("RU", 1880, "pharmacopoeia", "ru"),
    ("CH", 1860, "pharmacopoeia", "ch-metric-medicinal"),
    ("PL", 1820, "pharmacopoeia", "pl-warsaw"),
    ("IT", 1840, "trade receipt book", "it-rome"),
]  # fmt: skip


@pytest.mark.parametrize(("country", "year", "kind", "first"), CASES)
def test_the_law_and_custom_of_the_place(country, year, kind, first):
    ranked = choose(Source(title="x", country=country, year=year, kind=kind))
    assert ranked[0].convention.id == first
    assert str(year) in ranked[0].reason
    assert kind in ranked[0].reason


def test_every_convention_is_the_first_choice_somewhere():
    towns = {
        "de-prussia": "Berlin",
        "de-bavaria": "München",
        "de-saxony": "Leipzig",
        "de-baden": "Karlsruhe",
        "it-venice": "Venezia",
    }
    firsts = {
        choose(Source(country=code, year=year, kind=kind, place=towns.get(held.id, "")))[0].convention.id
        for held in conventions.values()
        for code in held.country
        for kind in KINDS
        for year in range(1760, 1940, 15)
    }
    assert firsts == set(conventions)


def test_the_reason_tells_time_place_and_sort():
    first, second, *_ = choose(Source(country="GB", year=1872, kind="trade receipt book"))
    assert first.reason.startswith("Printed in Britain in 1872, after the Imperial gallon of 1826; a trade receipt book: ")
    assert first.certainty == "likely"
    assert second.convention.id == "apothecaries-gb-imperial"
    assert "this is rather the way of prescriptions" in second.reason
    assert "source:" in first.reason


def test_nothing_known_is_said():
    ranked = choose(None)
    assert ranked == choose(Source())
    for phrase in ("the country is not known", "the year is not known", "the sort of book is not known"):
        assert phrase in ranked[0].reason
    assert ranked[0].certainty == "possible"
    assert {c.convention.country[0] for c in ranked} >= {"GB", "US"}


def test_an_unknown_country_is_said_and_a_like_one_followed():
    assert "'ZZ' is in no table" in choose(Source(country="ZZ", year=1900))[0].reason
    canada = choose(Source(country="CA", year=1890, kind="household receipt book"))[0]
    assert canada.convention.id == "household-gb"
    assert "the measures of Britain were followed" in canada.reason
    assert choose(Source(country="MX", year=1850, kind="pharmacopoeia"))[0].convention.id == "es-castile"


def test_names_of_countries_and_towns_are_understood():
    for country in ("UK", "england", "GB"):
        assert choose(Source(country=country, year=1880, kind="trade receipt book"))[0].convention.id == "avoirdupois-gb"
    london = choose(Source(place="London", year=1880, kind="trade receipt book"))[0]
    assert london.convention.id == "avoirdupois-gb"
    assert "told by its place of printing (London)" in london.reason
    berlin = choose(Source(place="Berlin", country="DE", year=1840, kind="pharmacopoeia"))
    assert berlin[0].convention.id == "de-prussia"
    assert choose(Source(country="DE", year=1840, kind="pharmacopoeia"))[0].convention.id == "de-nuremberg"


@pytest.mark.parametrize(
    ("title", "kind"),
    [
        ("Pharmacopoeia Londinensis", "pharmacopoeia"),
        ("The Edinburgh New Dispensatory", "pharmacopoeia"),
        ("A Universal Formulary", "pharmacopoeia"),
        ("The Art of Perfumery", "perfumery manual"),
        ("A Practical Treatise on the Manufacture of Perfumery", "perfumery manual"),
        ("Manuel du parfumeur", "perfumery manual"),
        ("Essentials of Diseases of the Skin", "prescription"),
        ("Spons' Household Manual", "household receipt book"),
        ("The Whitehouse Cookbook", "household receipt book"),
        ("The Druggist's General Receipt-Book", "trade receipt book"),
        ("Twentieth Century Formulas, Recipes and Processes", "trade receipt book"),
        ("A Journey to the Lakes", None),
        ("", None),
    ],
)
def test_the_sort_of_book_is_guessed_from_its_title(title, kind):
    assert guess_kind(title)[0] == kind
    if kind:
        reason = choose(Source(title=title, country="GB", year=1880))[0].reason
        assert "guessed from" in reason


def test_units_printed_decide_between_old_and_metric():
    book = Source(title="Pharmacopoeia", country="US", year=1900, kind="pharmacopoeia")
    assert choose(book)[0].convention.id == "metric"
    assert choose(book, units=("drachm", "ounce"))[0].convention.id == "apothecaries-us"
    late = Source(country="FR", year=1835, kind="trade receipt book")
    assert choose(late)[0].convention.id == "fr-usuel"
    assert choose(late, units=("gram", "litre"))[0].convention.id == "metric"


def test_old_measures_linger_and_are_told_so():
    ranked = choose(Source(country="GB", year=1832, kind="household receipt book"))
    wine = next(c for c in ranked if c.convention.id == "avoirdupois-gb-wine")
    assert "7 years after these measures had ended" in wine.reason
    assert wine.weight < ranked[0].weight


sources = st.builds(
    Source,
    title=st.sampled_from(["", "The Art of Perfumery", "Household Receipts", "?"]),
    year=st.none() | st.integers(1000, 2100),
    country=st.sampled_from(["", "GB", "US", "FR", "DE", "IE", "PL", "AU", "ZZ", "uk", " gb "]),
    kind=st.none() | st.sampled_from(KINDS),
    place=st.sampled_from(["", "London", "Wien", "nowhere"]),
)


@given(sources, st.frozensets(st.sampled_from(["ounce", "gram", "drop", "part"])))
def test_any_source_gets_a_ranking_with_a_runner_up(source, units):
    ranked = choose(source, units)
    weights = [c.weight for c in ranked]
    assert len(ranked) >= 2
    assert weights == sorted(weights, reverse=True)
    assert sum(weights) == pytest.approx(1)
    assert all(0 < w <= 1 for w in weights)
    assert len({c.convention.id for c in ranked}) == len(ranked)
    for choice in ranked:
        assert choice.certainty in ("near certain", "likely", "possible", "unlikely")
        assert choice.reason.endswith(".")
        assert "  " not in choice.reason
        assert "None" not in choice.reason
    assert ranked == choose(source, units)


def test_a_ranking_can_be_shown():
    ranked = choose(Source(country="GB", year=1872))
    assert "Avoirdupois" in ranked[0].to_text()
    assert len(choices_grid(ranked).rows) == len(ranked)
