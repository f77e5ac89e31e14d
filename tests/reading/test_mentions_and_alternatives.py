"""What is named a second time, what takes the place of something else, what a thing yields, what stands in its brackets."""

import pytest

from histkit import translate
from histkit.reading import read, separate


def told(text):
    """(amount, unit, name) of every line, further parts of an amount after it."""
    return [(line.amount, line.unit, *line.plus, line.ingredient) for line in read(text).lines]


def about(text):
    """What the doubts of a formula are about."""
    return [doubt.about for doubt in read(text).doubts]


@pytest.mark.parametrize(
    "said",
    [
        "This makes three gallons of soft soap.",
        "The rest makes a quart of vinegar.",
        "This amount will yield a pint of black ink.",
        "The above will give two quarts of vinegar.",
    ],
)
def test_what_a_thing_yields_is_no_ingredient(said):
    """Fault: 'soft soap', 3 gallons, was the third ingredient."""
    formula = read(f"Borax 2 pounds, water 6 quarts. {said}")
    assert [line.ingredient for line in formula.lines] == ["Borax", "water"]
    assert not formula.doubts


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("Borax 1 ounce. Nine grains are a dose.", [(1, "ounce", "Borax")]),
        ("Talc 1 pint. Three ounces at night will do.", [(1, "pint", "Talc")]),
        ("Opium 1 drachm, talc 1 ounce. Ten grains contain one grain of opium.", [(1, "drachm", "Opium"), (1, "ounce", "talc")]),
        ("Borax 1 ounce 9 grains.", [(1, "ounce", (9, "grain"), "Borax")]),
    ],
)
def test_no_amount_is_added_over_a_full_stop(text, lines):
    assert told(text) == lines


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        (
            "Take talc and wax, of each a drachm. For children use 2 grains of the talc with 5 grains of wax.",
            [(1, "drachm", "talc"), (1, "drachm", "wax"), (2, "grain", "talc"), (5, "grain", "wax")],
        ),
        (
            "Take 4 ounces of soap and a quart of water. Put nine pounds of the soap into it.",
            [(4, "ounce", "soap"), (1, "quart", "water"), (9, "pound", "soap")],
        ),
        (
            "Take a pound of honey and a pint of water. Add two ounces of the honey to an ounce of gum.",
            [(1, "pound", "honey"), (1, "pint", "water"), (1, "ounce", "gum")],
        ),
    ],
)
def test_some_of_the_thing_above_is_told(text, lines):
    """Fault: the second amount was lost, and nothing said so."""
    assert told(text) == lines
    assert any("honey" in doubt.text or doubt.about == "group" for doubt in read(text).doubts)


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("Give twelve instead of six drops of antimony wine.", [(12, "drop", "antimony wine")]),
        ("Use five ounces in place of two ounces of gum arabic.", [(5, "ounce", "gum arabic")]),
        ("Nine grains, not ten, of borax with a scruple of talc.", [(9, "grain", "borax"), (1, "scruple", "talc")]),
        ("Add four ounces of honey in lieu of three ounces of lard.", [(4, "ounce", "honey")]),
        (
            "Take strong beer, two quarts, not sour, and four ounces of talc.",
            [(2, "quart", "strong beer, not sour"), (4, "ounce", "talc")],
        ),
    ],
)
def test_the_amount_that_is_meant(text, lines):
    """Fault: 6 drops."""
    assert [line[:2] for line in told(text)] == [line[:2] for line in lines]


@pytest.mark.parametrize(
    "said",
    [
        "Two ounces of suet may be used instead of the lard.",
        "Suet, two ounces, may replace the lard.",
        "In place of lard, two ounces of suet will do.",
        "Two ounces of suet may be substituted.",
    ],
)
def test_what_may_be_substituted_is_a_choice(said):
    """Fault: lard and suet, both in silence."""
    *first, suet = read(f"Take one ounce of lard and one drachm of borax. {said}").lines
    assert [line.ingredient.lower() for line in (*first, suet)] == ["lard", "borax", "suet"]
    assert [doubt.others for doubt in suet.doubts] == [("it stands in place of the line above",)]


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("Take 4 ounces of soap in a quart of water. ", "Or take a pound of soap in a gallon of water."),
        ("Give an ounce of talc in a pint of water. ", "Should no chemist be at hand, beat up two ounces of honey in milk."),
        ("Bathe with an ounce of borax in a pint of water. ", "If this cannot be got, two drachms of alum in milk."),
        ("Borax, 1 drachm.\nLard, 1 ounce.\nMix.\n", "Oil of cloves, 2 drachms.\nSuet, 1 ounce.\nMix."),
    ],
)
def test_a_sentence_that_begins_another_receipt(first, second):
    """Fault: one formula of both, and nothing said so."""
    assert separate(first + second) == (first, second)
    assert "formula" in about(first + second)


def test_what_is_added_in_winter_is_no_other_receipt():
    assert "formula" not in about("Take 4 ounces of lard and an ounce of borax; in winter add an ounce of honey.")


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("Use a quart of yeast, that is to say, a quart of brewer's yeast.", [(1, "quart", "yeast")]),
        ("To a gallon of lye, or what is the same, four quarts of ley.", [(1, "gallon", "lye")]),
        (
            "Borax 6 pounds, lard 4 pounds, water 50 gallons. Six pounds of borax in fifty gallons of water will prevent it.",
            [(6, "pound", "Borax"), (4, "pound", "lard"), (50, "gallon", "water")],
        ),
        (
            "Borax 6 pounds, lard 4 pounds. Add six pounds of talc.",
            [(6, "pound", "Borax"), (4, "pound", "lard"), (6, "pound", "talc")],
        ),
    ],
)
def test_what_is_said_again_is_counted_once(text, lines):
    assert told(text) == lines


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        (
            "Use black wash (made by dissolving 60 grains of borax in a pint of water).",
            [(60, "grain", "borax"), (1, "pint", "water")],
        ),
        ("For a gargle (honey 1 ounce, vinegar 2 ounces).", [(1, "ounce", "honey"), (2, "ounce", "vinegar")]),
        ("Take talc (French chalk 2 oz. or more), borax 1 oz.", [(1, "ounce", "borax")]),
    ],
)
def test_brackets_are_read_where_nothing_else_is_there(text, lines):
    """Fault: no lines."""
    assert told(text)[-len(lines) :] == lines


@pytest.mark.parametrize("bracket", ["(made of two ounces of soap and a pint of spirit)", "(a teaspoonful to a pint of water)"])
def test_amounts_in_brackets_are_told(bracket):
    """Fault: lost in silence."""
    text = f"A liniment {bracket} is good. Take also an ounce of senna in a pint of milk."
    assert told(text) == [(1, "ounce", "senna"), (1, "pint", "milk")]
    assert "left over" in about(text)


@pytest.mark.parametrize(
    "said", ["sufficient to make up the bulk of liquid to one pint", "enough to bring the whole measure up to one pint"]
)
def test_the_total_of_the_whole(said):
    assert [line.to_make for line in read(f"Borax, two ounces; water {said}.").lines] == [None, (1, "pint")]


def test_prices_and_parts_of_the_body_are_no_amounts():
    assert told("Borax, 3 pounds; talc, 1 pound. Cost of both, $3.50") == [(3, "pound", "Borax"), (1, "pound", "talc")]
    assert not about("Take an ounce of borax in a pint of milk. Rub it to the parts affected.")


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("Lard, 2 oz., or one ounce of suet; wax, 1 oz.", [(2, "ounce", "Lard"), (1, "ounce", "suet"), (1, "ounce", "wax")]),
        ("Shellac, 1 lb., or 2 lbs. of rosin.", [(1, "pound", "Shellac"), (2, "pound", "rosin")]),
        ("Take alum, 2 drachms, or one drachm of borax.", [(2, "drachm", "alum"), (1, "drachm", "borax")]),
        ("Take two ounces, or one ounce, of alum.", [((1, 2), "ounce", "alum")]),
        ("Of alum three ounces, or two ounces, of salt a pound.", [((2, 3), "ounce", "alum"), (1, "pound", "salt")]),
        ("Oil of roses, 3 drops, or 4 drops.", [((3, 4), "drop", "Oil of roses")]),
    ],
)
def test_or_between_amounts_that_both_have_a_name_leaves_a_choice_of_two_things(text, lines):
    """Fault: one line with the range (2, 1) ounces, which could not be translated."""
    assert told(text) == lines
    assert translate(read(text))
    assert ("group" in about(text)) == (not isinstance(lines[0][0], tuple))
