"""Sentences of early books whose next ingredient, second figure or head stood in the words of another."""

import pytest

import histkit as hk
from histkit.glossary.lookup import knows_in_any_spelling


def _formula(text):
    return hk.read(text, source=hk.Source(title="An invented closet", year=1650, country="GB"))


def _read(text):
    formula = _formula(text)
    meant = [line.ingredient.id if line.ingredient else None for line in hk.translate(formula).lines]
    return [(line.amount, line.unit, found) for line, found in zip(formula.lines, meant, strict=True)]


def _told(text, words):
    return [any(words in doubt.text for doubt in line.doubts) for line in _formula(text).lines]


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("Take Honey as much as is needful and mix it with two ounces of wax.", [(None, "q.s.", "honey"), (2, "ounce", "beeswax-yellow")]),
        ("Take Wax as much as is needful and of Rosin two ounces.", [(None, "q.s.", "beeswax-yellow"), (2, "ounce", "colophony")]),
        ("Take Wax as much as will suffice and of Rue and Sage, of each a dram.",
         [(None, "q.s.", "beeswax-yellow"), (1, "drachm", "rue-leaves"), (1, "drachm", "sage-leaves")]),
        ("Take Rue a dram, and as much honey as will make it thick and smooth.", [(1, "drachm", "rue-leaves"), (None, "q.s.", "honey")]),
    ],
)  # fmt: skip
def test_a_purpose_ends_where_the_next_amount_is_led_up_to(text, read):
    assert _read(text) == read


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("Take Rue a dram, of Ginger, of Zylo two drams, of Mace a dram.",
         [(1, "drachm", "rue-leaves"), (None, "none", "ginger-root"), (2, "drachm", None), (1, "drachm", "mace")]),
        ("Take Rue a dram, of Pitch, of wax 2. ounces.",
         [(1, "drachm", "rue-leaves"), (None, "none", "black-pitch"), (2, "ounce", "beeswax-yellow")]),
        ("Take Rue a dram, Conserve, of Roses two ounces.", [(1, "drachm", "rue-leaves"), (2, "ounce", "rose-confection")]),
        ("Take Rue a dram, Roses, of the red kind, a pound.", [(1, "drachm", "rue-leaves"), (1, "pound", "rose-petals")]),
    ],
)  # fmt: skip
def test_a_name_before_the_of_of_the_next_is_one_without_an_amount(text, read):
    assert _read(text) == read


@pytest.mark.parametrize(
    ("text", "ingredients"),
    [
        ("Scabius and Cardus water, of each 2 ounces.", ["scabious-water", "carduus-water"]),
        ("Lettis and Purslain seeds, of each an ounce.", ["lettuce-seed", "purslane-seed"]),
        ("Seeds of Rue, Pyony, Fennel, of each a dram.", ["rue-seed", "peony-seed", "fennel-seed"]),
        ("the Sirrop of Roses and Lemmons, of each two ounces", ["rose-syrup", "lemon-syrup"]),
        ("Oleum anisi & foeniculi ana ʒj.", ["anise-oil", "fennel-oil"]),
        ("Buglosse flowers, Betonie flowers, of each a handful.", ["bugloss-flowers", "betony-flowers"]),
        ("the roots of Orris, Liquorice, Cinamon, of each half an ounce", ["orris-root", "licorice-root", "cinnamon-bark"]),
        ("Seeds of Stavesacre, Pomgranate-rinds, Galls, of each an ounce", ["stavesacre-seed", "pomegranate-peel", "oak-galls"]),
    ],
)
def test_what_a_list_shares_is_known_in_any_spelling(text, ingredients):
    assert [found for _, _, found in _read(text)] == ingredients


def test_all_words_of_a_name_count():
    assert knows_in_any_spelling("water of Scabius") and knows_in_any_spelling("seeds of Pyony")
    assert not knows_in_any_spelling("roots of Cinamon") and not knows_in_any_spelling("fine water of Zylo")


@pytest.mark.parametrize(
    ("text", "amounts"),
    [
        ("aceti ros. ℥ j s. vini alb. ℥ ij.", [(1.5, "ounce"), (2, "ounce")]),
        ("salviae ℥ js. sacch. rub. ℥ ij.", [(1.5, "ounce"), (2, "ounce")]),
        ("salviae ℥ s. sem. anisi ʒ ij.", [(0.5, "ounce"), (2, "drachm")]),
        ("Take Honey ℥\nss. Sugar ℥j.", [(0.5, "ounce"), (1, "ounce")]),
        ("Lollii ana. ℥ i.\nss\nLet them boil.", [(1.5, "ounce")]),
        ("Take of saffron one Dramme and the halfe, of rue an ounce.", [(1.5, "drachm"), (1, "ounce")]),
        ("of Opium one scruple, or two, of mace a dram", [((1, 2), "scruple"), (1, "drachm")]),
        ("half a Scruple or more of fine Saffron, rue a dram", [(0.5, "scruple"), (1, "drachm")]),
        ("seed of broome, from two drachms, to halfe an ounce, the seed of spurge a dram", [((2, 4), "drachm"), (1, "drachm")]),
        ("salviae ℥ j. s. a. misce", [(1, "ounce")]),
        ("Take of saffron a dram, of rue an ounce, or of sage two.", [(1, "drachm"), (1, "ounce")]),
    ],
)
def test_halves_and_second_figures_belong_to_their_amount(text, amounts):
    assert [(line.amount, line.unit) for line in _formula(text).lines][: len(amounts)] == amounts


def test_an_amount_of_two_units_at_the_head_of_its_clause():
    line = _formula("Take one pound of sugar, a pound a dram of fine flower.").lines[1]
    assert (line.amount, line.unit, line.plus) == (1, "pound", ((1, "drachm"),))
    assert _told("half a Scruple or more of fine Saffron, rue a dram", "the least is taken") == [True, False]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Take Nutmegs and Sage, of each one ounce, put to them for every ounce half a pint of Vinegar.", [False, False, True]),
        ("Take Sugar two ounces, and to every pint of the liquor put a pound of honey.", [False, True]),
        ("Take two ounces of wax to every pound of the salve, and a dram of rosin.", [True, False]),
        ("Take wax two ounces to every pound of the salve; then put a dram of rosin to it.", [True, False]),
    ],
)
def test_the_doubt_about_a_rate_stands_on_the_line_that_it_rates(text, told):
    assert _told(text, "as a rate") == told


def test_a_quartern_of_a_dry_thing_is_a_quarter_of_a_pound():
    text = "a quartern of butter, and a quartern of flower, and a quartern of Brandy"
    assert [(amount, unit) for amount, unit, _ in _read(text)] == [(0.25, "pound"), (0.25, "pound"), (1, "gill")]
    assert _told(text, "quartern") == [True, True, False]


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("Take Rue, Sage: Rosemary, of each a handful",
         [(1, "handful", "rue-leaves"), (1, "handful", "sage-leaves"), (1, "handful", "rosemary-leaves")]),
        ("Take of Myrrh beaten into powder, of Aloes, of each an ounce", [(1, "ounce", "myrrh"), (1, "ounce", "aloes")]),
        ("Take of Saffron dried in the sun, of Cloves, of each a dram", [(1, "drachm", "saffron"), (1, "drachm", "cloves")]),
        ("A plaister for the eyes: Rue, Sage, of each a handful.", [(1, "handful", "rue-leaves"), (1, "handful", "sage-leaves")]),
        ("Licorise / Anis sede / and Isope / of eche a quarter of an vnce / sugar an vnce.",
         [(0.25, "ounce", "licorice-root"), (0.25, "ounce", "anise-seed"), (0.25, "ounce", "hyssop-herb"), (1, "ounce", "sugar")]),
    ],
)  # fmt: skip
def test_a_list_goes_on_over_a_colon_a_participle_and_strokes(text, read):
    assert _read(text) == read


@pytest.mark.parametrize(
    ("text", "amounts"),
    [
        ("Take Rue, Sage, ana P. 1. Honey an ounce.", [(1, "pinch"), (1, "pinch"), (1, "ounce")]),
        ("Take Barly 2. small handfuls, Raisins an ounce.", [(2, "handful"), (1, "ounce")]),
        ("Take rose water and vinegar, of both a quarter of a pint, sugar an ounce", [(0.25, "pint"), (0.25, "pint"), (1, "ounce")]),
        ("Take rue and sage, of every one alike two drams, sugar an ounce", [(2, "drachm"), (2, "drachm"), (1, "ounce")]),
        ("Take mace two thyrde deales of a dragme, sugar an ounce", [(2 / 3, "drachm"), (1, "ounce")]),
        ("Butter two pounds, Yelks of hard Egs, twelve, sugar an ounce", [(2, "pound"), (12, "piece"), (1, "ounce")]),
        ("Butter two pounds, Lemmons sliced two, sugar an ounce", [(2, "pound"), (2, "piece"), (1, "ounce")]),
        ("Butter two pounds, honey three, sugar an ounce", [(2, "pound"), (3, "pound"), (1, "ounce")]),
    ],
)
def test_amounts_as_early_books_word_them(text, amounts):
    assert [(line.amount, line.unit) for line in _formula(text).lines] == [(pytest.approx(a), unit) for a, unit in amounts]
