"""What a book or a page says of its own measures decides before the tables of who used what."""

import pytest

from histkit.base.nouns import Source
from histkit.measures import choose, conventions
from histkit.measures.rows import rows
from histkit.measures.said import following, is_said, said_in, words_of

WINE, IMPERIAL = 473.176473, 568.26125


@pytest.mark.parametrize(
    ("text", "says"),
    [
        # Packer, The Dyer's Guide (1830), l. 1489; Leslie, New Receipt-Book (1850), l. 179; Neil (1918), chapter XXXI
        ("those usually called wine measure, and not Imperial measures", ("wine",)),
        ("the pound is avoirdupois weight, sixteen ounces", ("avoirdupois",)),
        ("sixteen drams make an ounce", ("small drachm",)),
        ("avoirdupois ounces, wine measure", ("avoirdupois", "wine")),
        ("the imperial pint of 20 fluid ounces", ("imperial",)),
        ("apothecaries' weight", ("apothecaries' weight",)),
        ("printed on good paper", ()),
        ("", ()),
    ],
)
def test_statements_of_books(text, says):
    assert said_in(text) == says


def test_a_title_names_measures_only_in_plain_words():
    assert said_in("Imperial Water", anywhere=True) == ()
    assert said_in("Eau de Cologne (Imperial measure)", anywhere=True) == ("imperial",)


@pytest.mark.parametrize(
    ("year", "kind", "measures", "unit", "size"),
    [
        (1830, "trade receipt book", "wine measure, and not Imperial", "pint", WINE),  # Packer 1830, l. 1489
        (1861, "household receipt book", "a wine pint, divided into 16 oz.", "pint", WINE),  # Beeton 1861, l. 6526
        (1815, "household receipt book", "Imperial measure", "pint", IMPERIAL),
        (1860, "trade receipt book", "apothecaries' weight", "ounce", 31.1034768),  # Facts Worth Knowing, p. 193
        (1907, "household receipt book", "16 drachms to the ounce", "drachm", 1.7718451953125),  # Beeton 1907, p. 126
        (1830, "pharmacopoeia", "avoirdupois", "ounce", 28.349523125),
    ],
)
def test_the_book_decides_for_every_choice(year, kind, measures, unit, size):
    ranked = choose(Source(country="GB", year=year, kind=kind, measures=measures))
    for choice in ranked:
        grams = choice.convention.grams(unit)
        assert (grams if grams is not None else choice.convention.millilitres(unit).best) == pytest.approx(size)
        assert "The book itself says: " in choice.reason
    silent = choose(Source(country="GB", year=year, kind=kind))
    assert [c.convention.id for c in silent] == [c.convention.id for c in ranked]


def test_a_statement_that_no_table_knows_is_told():
    ranked = choose(Source(country="GB", year=1861, measures="by the parish bushel"))
    assert "'by the parish bushel' names none" in ranked[0].reason.replace("(", "").replace(")", "")


def test_every_name_has_a_size_and_every_phrase_a_name():
    gb = conventions["household-gb"]
    for row in rows("said_systems"):
        named = following(gb, (row["says"],), row["of"])
        assert named.systems != gb.systems
        sized = {r["unit"] for r in rows("convention_units") if r["system"] in named.systems[: -len(gb.systems)]}
        assert all(named.exact(unit) == gb.exact(unit) for unit in set(gb.units()) - sized)
        assert words_of(row["says"])
    assert {row["says"] for row in rows("said_phrases")} <= {row["says"] for row in rows("said_systems")}
    assert is_said("winchester") and not is_said("measure") and not is_said("")


def test_sizes_of_the_named_pints():
    gb = conventions["household-gb"]
    # 268.8 and 282 cubic inches to the gallon: The Engineer's Encyclopaedia, art. Gallon
    assert following(gb, ("winchester",), "line").millilitres("pint").best == pytest.approx(268.8 * 16.387064 / 8)
    assert following(gb, ("ale",), "line").millilitres("quart").best == pytest.approx(282 * 16.387064 / 4)
    assert following(gb, ("measure",), "line") is gb
