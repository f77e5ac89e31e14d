"""A measure that the page names, and the drachm that its company tells, weigh what they say. Each case names its book."""

import pytest

from histkit import measures
from histkit.base.nouns import Source
from histkit.reading import read
from histkit.translating.translator import translate

HOUSE, TRADE, PERFUME = "household receipt book", "trade receipt book", "perfumery manual"
WATER_PINT = {"wine": 472.3, "imperial": 567.2}


def weigh(text, country, year, kind, measures=""):
    return translate(read(text, source=Source(country=country, year=year, kind=kind, measures=measures)))


@pytest.mark.parametrize(
    ("text", "country", "year", "kind", "grams"),
    [
        ("Water, 1 wine pint", "GB", 1861, HOUSE, 472.3),  # the pint that Beeton (1861, l. 6526) defines
        ("1 pint (wine measure) of water", "GB", 1857, HOUSE, 472.3),  # Hale 1857, l. 16636
        ("1 pint of water, wine measure", "GB", 1844, HOUSE, 472.3),  # so Bury 1844, l. 19777
        ("1 imperial pint of water", "US", 1914, TRADE, 567.2),  # Henley 1914, l. 52986
        ("Water, 1 pint, imperial measure", "US", 1914, TRADE, 567.2),
        ("Lemon-peel, three ounces, apothecaries' weight", "GB", 1830, HOUSE, 93.31),  # Kitchiner 1830, l. 13366
        ("3 ounces (troy weight) of lemon-peel", "GB", 1830, HOUSE, 93.31),
        ("Cayenne pepper, one drachm, avoirdupois weight", "GB", 1830, HOUSE, 1.772),  # Kitchiner 1830, l. 13538
        ("1 dram avoirdupois borax", "GB", 1870, TRADE, 1.772),
        ("2 pounds (avoirdupois) of sugar", "US", 1830, "prescription", 907.2),  # Kitchiner 1830, l. 14755
        ("1 Winchester pint of water", "GB", 1815, HOUSE, 549.6),  # 268.8 cubic inches to the gallon
    ],
)
def test_the_name_beside_the_amount_decides(text, country, year, kind, grams):
    line = weigh(text, country, year, kind).lines[0]
    assert line.grams.best == pytest.approx(grams, rel=2e-3)
    assert line.grams.high / line.grams.low < 1.01  # no rival convention is left to widen it


def test_a_measure_named_for_the_whole_formula():
    for title in ("Lotion (wine measure)", "Lotion. Wine measure."):
        translated = weigh(f"{title}\n\nWater, 1 pint\nBorax, 1 ounce", "GB", 1861, HOUSE)
        assert next(t for t in translated.lines if t.line.unit == "pint").grams.best == pytest.approx(472.3, rel=2e-3), title
    assert "The book itself says: wine measure" in translated.why_convention()


def test_what_the_book_says_decides_but_the_line_before_it():
    said = weigh("Water, 1 pint\nRose water, 1 imperial pint", "GB", 1830, TRADE, "wine measure")
    assert said.lines[0].grams.best == pytest.approx(472.3, rel=2e-3)
    assert said.lines[1].grams.best == pytest.approx(567.2, rel=2e-2)


@pytest.mark.parametrize(
    ("text", "unit", "grams"),
    [
        ("1 Neuloth Borax", "gram", 10),  # 50 Neuloth to the Pfund of 500 g: Allgemeines Deutsches Kochbuch 1873
        ("1 Schoppen Wasser", "pint", None),
        ("1 Maß Wasser", "quart", None),
    ],
)
def test_german_names_have_sizes(text, unit, grams):
    line = weigh(text, "DE", 1870, HOUSE).lines[0]
    assert line.line.unit == unit
    assert line.grams is not None
    assert grams is None or line.grams.best == pytest.approx(grams)


def test_a_measure_without_a_size_is_told():
    line = weigh("1 peck of salt", "GB", 1850, HOUSE).lines[0]
    assert line.grams is None
    assert any("no table gives its size" in doubt.text for doubt in line.doubts)


SMALL, LARGE = 1.7718451953125, 3.8879346


@pytest.mark.parametrize(
    ("text", "country", "year", "kind", "drachms", "size"),
    [
        # Deite (United States, 1892), l. 6783: grams turned into ounces and their sixteenths
        ("5.64 drachms borax\n3 oz. talc", "US", 1892, PERFUME, 5.64, SMALL),
        ("8.46 drachms borax", "GB", 1892, TRADE, 8.46, SMALL),
        ("5½ drachms musk", "US", 1892, PERFUME, 5.5, SMALL),
        ("2¾ drachms borax\n1 oz. talc", "US", 1892, PERFUME, 2.75, SMALL),
        ("12 drachms borax\n1 oz. talc", "US", 1892, PERFUME, 12, SMALL),
        ("2 drachms borax\n1 oz. talc", "US", 1870, PERFUME, 2, LARGE),
        ("5½ drachms borax", "GB", 1880, "prescription", 5.5, LARGE),
        ("12 drachms borax", "GB", 1870, TRADE, 12, LARGE),  # no ounce beside it
        ("ʒ xij borax\n1 oz. talc", "GB", 1870, TRADE, 12, LARGE),  # a sign is the apothecaries'
    ],
)
def test_which_drachm(text, country, year, kind, drachms, size):
    line = weigh(text, country, year, kind).lines[0]
    assert line.grams.best == pytest.approx(drachms * size, rel=1e-3)
    assert any("taken as a sixteenth of the ounce" in doubt.text for doubt in line.doubts) is (size == SMALL)


def test_an_ounce_and_more_than_eight_drachms():
    line = weigh("1 oz. 9 drachms borax", "US", 1892, TRADE).lines[0]
    assert line.grams.best == pytest.approx(28.349523125 + 9 * SMALL)


def test_the_doubt_stands_only_where_it_matters():
    """In a kitchen book the other drachm changes the shares beside ounces, and none where all is in drachms."""
    beside = weigh("2 drachms borax\n1 oz. talc", "US", 1910, HOUSE).lines[0]
    assert any("sixteen drachms to the ounce" in doubt.text for doubt in beside.doubts)
    alone = weigh("2 drachms borax\n1 drachm talc", "US", 1910, HOUSE).lines[0]
    assert not any("drachms to the ounce" in doubt.text for doubt in alone.doubts)
    without = measures.choose(Source(country="US", year=1910, kind=HOUSE), ["ounce"])
    assert not any(choice.convention.id.startswith("kitchen") for choice in without)


@pytest.mark.parametrize(
    ("text", "country", "year", "kind", "asked"),
    [
        # Packer 1830, l. 1489, is the book that answers the first; Neil 1918, chapter XXXI, the second
        ("Water, 1 pint\nBorax, 1 oz.", "GB", 1830, TRADE, "if a pint holds 16 ounces the book means wine measure"),
        ("2 drachms borax\n1 drachm talc", "US", 1910, HOUSE, "if 8 drachms make an ounce"),
        # two civil pounds of as many ounces: the sizes are told instead
        ("Talc, 1 pound", "DE", 1850, TRADE, "its pound is 560 g"),
        ("Talc, 1 pound\nBorax, 2 ounces", "DK", 1850, None, "if a pound has 12 ounces"),
        ("Flour, 3 tablespoonfuls\nWater, 1 ounce", "US", 1880, HOUSE, "level or heaped"),
        ("5½ drachms musk\n3 oz. talc", "US", 1892, PERFUME, "whether 8 drachms make an ounce or 16"),  # Deite 1892, l. 6783
        ("Talc, 10 grams", "FR", 1900, PERFUME, ""),
    ],
)
def test_the_one_question_that_would_change_most(text, country, year, kind, asked):
    translated = weigh(text, country, year, kind)
    assert asked in translated.question()
    assert bool(asked) is bool(translated.question())
    assert translated.question() in translated.why_convention()


def test_every_question_is_about_units_that_are_known():
    from histkit.base.nouns import UNITS
    from histkit.base.tables import entries
    from histkit.base.tables import read as table

    for row in table("translating/questions"):
        assert set(entries(row["units"])) <= UNITS


def test_a_book_that_says_avoirdupois_keeps_it_beside_drachms():
    """Harrison (1884): ounces and pounds avoirdupois, drams troy; without the word, ounces beside drachms are of 8 drachms."""
    said = weigh("1 oz. 2 drachms borax", "US", 1884, TRADE, "ounces and pounds avoirdupois").lines[0]
    assert said.grams.best == pytest.approx(28.349523125 + 2 * LARGE)
    assert weigh("1 oz. 2 drachms borax", "US", 1884, TRADE).lines[0].grams.best == pytest.approx(31.1034768 + 2 * LARGE)


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("1 Pfund Borax, württemb. Gewicht", 467.7),  # Dingler 20 (1826), l. 24646
        ("1 Pfund Borax, bayerisches Gewicht", 560),  # Dingler 120 (1851), l. 19270
        ("1 Pfund Borax, Zollgewicht", 500),  # Lueger 1909, vol. 7, p. 104
    ],
)
def test_a_german_weight_is_named_beside_the_name(text, grams):
    line = weigh(text, "DE", 1840, TRADE).lines[0]
    assert line.grams.best == pytest.approx(grams, rel=1e-3) and line.grams.is_exact


@pytest.mark.parametrize(
    ("says", "millilitres"),
    [
        ("2 teaspoonfuls = 1 table-spoonful; 8 = 1 gill", 7.39),  # Beecher 1873, l. 6673
        ("4 teaspoonfuls are equal to 1 tablespoonful", 3.70),  # Tyree 1878, l. 716
        ("3 teaspoons = 1 tablespoon", 4.93),  # Howard 1908, l. 1520
        ("two teaspoonfuls make one dessertspoonful", 3.70),
    ],
)
def test_the_book_says_how_many_teaspoonfuls(says, millilitres):
    line = weigh("1 teaspoonful water", "US", 1890, HOUSE, says).lines[0]
    assert line.grams.best == pytest.approx(millilitres, rel=5e-3)


@pytest.mark.parametrize(("country", "year", "kind"), [("GB", 1861, HOUSE), ("US", 1890, TRADE), ("FR", 1820, TRADE), ("DE", 1850, TRADE)])
def test_every_measure_name_has_a_size_or_the_line_says_that_it_has_none(country, year, kind):
    """Each printed word and sign of the reader's table, once of a liquid and once of a powder."""
    from histkit.base.tables import read as table
    from histkit.base.text import clean
    from histkit.reading.formula import Formula, Line

    for row in table("reading/units"):
        if row["unit"] in ("none", "q.s.", "part", "per cent"):
            continue
        for name in ("water", "borax"):
            printed = Line(f"2 {row['word']} {name}", (0, 1), 2.0, row["unit"], name)
            line = translate(Formula((printed,), source=Source(country=country, year=year, kind=kind))).lines[0]
            told = any(doubt.about == "amount" and "No weight is known" in doubt.text for doubt in line.doubts)
            assert (line.grams is not None) is not told, clean(f"{row['word']} of {name} in {country}")


def test_a_question_for_every_two_conventions():
    """Wherever two conventions differ in a unit, something is asked that tells them apart, and it never fails."""
    from histkit.translating.questions import Question, look_for

    held = list(measures.conventions.values())
    for first in held:
        for rival in held:
            for unit in ("ounce", "pound", "pint", "drachm"):
                if first is not rival and abs(float(first.exact(unit) / rival.exact(unit)) - 1) > 0.05:
                    assert look_for(Question("ratio", unit), first, rival, first.country)


IMPERIAL_HEADINGS = ("| Ingredient | Imperial pints |\n|---|---|\n| {} |", "| Articles | Imperial pints |\n| {} |")


@pytest.mark.parametrize("table", [*IMPERIAL_HEADINGS, "Ingredient    Imperial pints\n{}"])
def test_the_heading_of_a_column_says_unit_and_measure(table):
    rows = ("Rose water   2", "Water   1") if "|" not in table else ("Rose water | 2 |", "| Water | 1")
    text = table.format("\n".join(rows))
    for line, pints in zip(weigh(text, "US", 1914, TRADE).lines, (2, 1), strict=True):
        assert (line.line.unit, line.line.system) == ("pint", "imperial"), text
        assert line.grams.best == pytest.approx(pints * 567.2, rel=2e-2), text
        assert not any("taken as parts" in doubt.text for doubt in line.doubts), text


def test_a_heading_of_half_ounces_counts_half():
    lines = weigh("| Name | Loth |\n|---|---|\n| Borax | 3 |\n| Talc | 2 |", "DE", 1851, TRADE).lines
    assert [t.line.amount for t in lines] == [1.5, 1.0]
    assert lines[0].grams.best == pytest.approx(3 * 17.5, rel=1e-3)  # Dingler 120 (1851), l. 19270


def test_a_unit_of_its_own_goes_before_the_heading():
    lines = weigh("| Ingredient | Ounces |\n|---|---|\n| Borax | 2 |\n| Talc | 3 drachms |\n| Chalk | 1 |", "GB", 1870, TRADE).lines
    assert [t.line.unit for t in lines] == ["ounce", "drachm", "drachm"]
    assert any("carried on" in doubt.text for doubt in lines[2].doubts)  # 'drachms' stands nearer than the heading: a doubt


@pytest.mark.parametrize(
    "text",
    [
        "Take, by wine measure, of rose water two pints, of water one pint. Mix.",
        "Take by wine measure of rose water two pints, of water one pint.",
        "Take of the following, by wine measure: Rose water, 2 pints; water, 1 pint.",
        "By wine measure, rose water two pints, water one pint.",
        "Ingredients (wine measure).\nRose water, 2 pints\nWater, 1 pint",
    ],
)
def test_the_measure_at_the_head_holds_for_every_line(text):
    rose, water = weigh(text, "GB", 1861, HOUSE).lines
    assert rose.ingredient.id == "rose-water" and rose.line.full_name.casefold() == "rose water"
    assert water.grams.best == pytest.approx(472.3, rel=2e-3) and water.grams.is_exact is False
    assert rose.grams.best == pytest.approx(2 * 472.3, rel=2e-2)


def test_the_measure_of_one_line_stays_with_it():
    rose, water = weigh("Rose water two pints, by wine measure; water one pint.", "GB", 1861, HOUSE).lines
    assert rose.line.system == "wine" and rose.grams.best == pytest.approx(2 * 472.3, rel=2e-2)
    assert water.grams.best == pytest.approx(567.2, rel=2e-3)


@pytest.mark.parametrize(
    ("text", "country", "year", "other"),
    [
        ("1 cupful of water", "GB", 1880, 283.6),  # Edmonds 1914, l. 2020: the breakfast cup, half a pint
        ("1 cupful of water", "GB", 1815, 236.2),
        ("1 cupful of water", "US", 1880, 177.1),  # twelve tablespoonfuls: so the Courtland Enterprise of 1894 of the teacup
    ],
)
def test_a_cup_of_two_sizes_says_so(text, country, year, other):
    line = weigh(text, country, year, HOUSE).lines[0]
    (doubt,) = (doubt for doubt in line.doubts if "may be another" in doubt.text)
    assert doubt.others == (f"the other: {other} g",) and doubt.effect
    assert line.grams.high / line.grams.low <= 1.5
    assert "what its cup holds" in weigh(text, country, year, HOUSE).question()
    named = weigh(text.replace("cupful", "teacupful"), country, year, HOUSE).lines[0]
    assert not any("may be another" in doubt.text for doubt in named.doubts)


@pytest.mark.parametrize(
    ("text", "country", "year", "grams"),
    [
        ("1 Schoppen Wasser", "CH", 1850, 374.6),  # Meyers 1908, vol. 13, p. 399: a quarter of 1.5 L
        ("2 Seidel Wasser", "AT", 1850, 706.7),  # the same page: a quarter of 1.414725 L each
        ("2 Seidel Wasser", "DE", 1845, 1068.1),  # Appell: half a Maass of Bavaria each
        ("1 Schoppen Wasser", "DE", 1873, 499.6),  # Allgemeines Deutsches Kochbuch 1873, 2a
        ("1 Pinte Seidelbast", "DE", 1845, None),  # an ingredient that only begins like a measure
    ],
)
def test_the_schoppen_and_the_seidel(text, country, year, grams):
    translated = weigh(text, country, year, HOUSE)
    if grams is None:
        assert "Seidel is" not in translated.question()
        return
    assert translated.lines[0].grams.best == pytest.approx(grams, rel=3e-3)
    assert "its pint is" not in translated.question()


def test_a_rival_that_differs_in_spoons_alone_leaves_the_question_to_the_next():
    """In a kitchen book of 1903 the runner-up has another teaspoon; of ounces and pounds the question is the weight."""
    translated = weigh("Borax, 2 ounces\nTalc, 1 pound\nOil of lavender, 20 drops", "US", 1903, HOUSE)
    assert translated.choices[1].convention.grams("ounce") == translated.convention.grams("ounce")
    assert translated.against.convention.grams("pound") != translated.convention.grams("pound")
    assert "if 16 ounces make a pound" in translated.question()
    assert "Then: Apothecaries" in translated.why_convention()


@pytest.mark.parametrize(
    ("text", "country", "kind", "doubted"),
    [
        ("2 drachms borax\n3 oz. talc", "GB", TRADE, True),
        ("24 drams borax\n3 oz. talc", "GB", TRADE, True),  # '24 drams = 1½ ounce' stands in one trade book, three ounces in others
        ("2 drachms borax\n3 oz. talc", "US", PERFUME, True),
        ("2 drachms borax\n1 drachm talc", "GB", TRADE, False),  # nothing beside them: the shares are the same
        ("2 drachms borax\n3 oz. talc\n5 grains musk", "GB", TRADE, False),  # grains are the apothecaries'
        ("2 drachms rose water\n3 oz. water", "GB", TRADE, False),  # liquids are measured
        ("ʒ ij borax\n3 oz. talc", "GB", TRADE, False),
        ("2 drachms borax\n3 oz. talc", "GB", "prescription", False),
        ("2 drachms borax\n3 oz. talc", "FR", TRADE, False),
    ],
)
def test_a_dry_drachm_in_trade_and_at_the_perfumers_has_the_doubt(text, country, kind, doubted):
    line = weigh(text, country, 1870 if country != "FR" else 1800, kind).lines[0]
    assert any("may be a sixteenth of the ounce" in doubt.text for doubt in line.doubts) is doubted


def test_the_doubt_of_the_drachm_is_told_once():
    line = weigh("2 drachms borax\n3 oz. talc", "US", 1910, HOUSE).lines[0]
    told = [d for d in line.doubts if "sixteen drachms" in d.text or "sixteenth of the ounce" in d.text]
    assert len(told) == 1


def test_ale_measure_behind_the_name():
    line = weigh("1 pint of water, ale measure", "GB", 1800, HOUSE).lines[0]
    assert line.grams.best == pytest.approx(282 * 16.387064 / 8 * 0.9982, rel=1e-3)  # 282 cubic inches to the gallon


def test_what_moves_together_is_asked_together():
    """One answer, whether 12 or 16 ounces make a pound, settles an ounce and a pound that alone move less than the heaps."""
    text = "Borax, 1 pound\nTalc, 6 ounces\nOrris root, 4 ounces\nFlour, 6 tablespoonfuls"
    translated = weigh(text, "GB", 1880, HOUSE)
    by_line = [abs(o.best - t.grams.best) for t, o in zip(translated.lines, translated.rival, strict=True)]
    heap = translated.lines[3].grams
    assert max(by_line[:3]) < heap.high - heap.best or sum(by_line[:3]) > heap.high - heap.best
    assert "if 16 ounces make a pound" in translated.question()


TABLE = "| Ingredient | {} |\n|---|---|\n| Rose water | 2 |\n| Borax | 1 |"


@pytest.mark.parametrize(
    ("heading", "unit", "system"),
    [
        ("Ounces (avoirdupois)", "ounce", "avoirdupois"),
        ("Ounces, apothecaries' weight", "ounce", "apothecaries' weight"),
        ("Pints, imperial", "pint", "imperial"),
        ("Imp. pints", "pint", "imperial"),
        ("Wine measure, pints", "pint", "wine"),
        ("Fluid ounces", "fluid ounce", ""),
        ("Quantity in ounces", "ounce", ""),
        ("Amount (oz.)", "ounce", ""),
        ("lb.", "pound", ""),
        ("Parts by weight", "part", "weight"),
    ],
)
def test_headings_in_many_words(heading, unit, system):
    lines = weigh(TABLE.format(heading), "GB", 1861, TRADE).lines
    assert [(t.line.unit, t.line.system) for t in lines] == [(unit, system)] * 2
    assert not any("No unit is printed" in doubt.text for t in lines for doubt in t.doubts)


def test_a_heading_without_a_unit_leaves_the_doubt():
    lines = weigh(TABLE.format("Amount"), "GB", 1861, TRADE).lines
    assert [t.line.unit for t in lines] == ["part", "part"] and "No unit is printed" in lines[0].doubts[0].text


def test_two_columns_of_units_have_each_its_own():
    text = "| Ingredient | Wine pints | Ounces |\n|---|---|---|\n| Rose water | 2 | |\n| Borax | | 1 |\n| Water | 3 | |"
    lines = weigh(text, "GB", 1861, TRADE).lines
    assert [(t.line.amount, t.line.unit, t.line.system) for t in lines] == [(2, "pint", "wine"), (1, "ounce", ""), (3, "pint", "wine")]


def test_the_amounts_may_stand_first():
    lines = weigh("| Imperial pints | Ingredient |\n|---|---|\n| 2 | Rose water |\n| 1 | Water |", "US", 1914, TRADE).lines
    assert [(t.line.amount, t.line.unit, t.line.system) for t in lines] == [(2, "pint", "imperial"), (1, "pint", "imperial")]


@pytest.mark.parametrize("year", [1850, 1867, 1880, 1900])
@pytest.mark.parametrize("kind", ["pharmacopoeia", "prescription", None])
def test_a_unit_that_the_other_convention_lacks_is_no_reason_to_give_up(kind, year):
    """Fault: a scruple beside a convention with fluid scruples and a rival without: refused, or not, as the words were hashed."""
    text = "℞ Sodii boratis ℈ss.\nTincturæ moschi ℥ij.\nOlei bergamottæ ℈iij."
    assert all(line.grams for line in weigh(text, "GB", year, kind).lines)
