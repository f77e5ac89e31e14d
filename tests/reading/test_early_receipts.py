"""Notations of 1590 to 1700: amounts and names typed from the books that are named, the rest made up in their manner. Guards."""

from __future__ import annotations

import pytest

import histkit as hk

EARLY = hk.Source(title="An early dispensatory", year=1680, country="GB")


def read(text):
    return hk.read(text, source=EARLY)


def lines(text):
    return [(line.amount, line.unit, line.ingredient) for line in read(text).lines]


def test_a_stopped_capital_before_a_sign_is_ana():
    """Bate, Pharmacopoeia Bateana (1694): a plaster against catarrhs."""
    text = "℞ Taccamabacca, Caranna, A. ℥jſs. Emplaſtrum de Betonica ℥iij. Cloves ℥ſs. Saſſafras Bark, Winter Cinnamon, A. ʒ ij."
    assert [(a, u) for a, u, _ in lines(text)] == [
        (1.5, "ounce"), (1.5, "ounce"), (3.0, "ounce"), (0.5, "ounce"), (2.0, "drachm"), (2.0, "drachm"),
    ]  # fmt: skip


def test_the_stop_behind_a_numeral_ends_its_entry_and_nothing_is_doubted():
    """Bate (1694): a tincture of copaiba."""
    formula = read("℞ Balſam Copaybae ℥ij. Gum Guajaci ℥ſs. Oil of Saſſafras ʒ j. Alcohol of S. V. ℥x. mix, and digeſt together.")
    assert [(line.amount, line.unit) for line in formula.lines] == [(2.0, "ounce"), (0.5, "ounce"), (1.0, "drachm"), (10.0, "ounce")]
    assert not formula.doubts


def test_a_printed_lb_is_no_worn_sign():
    assert not read("℞ Oyl Olive lb iſs. Wax ℥iv.").lines[0].doubts


def test_the_article_before_an_abbreviation_with_its_numeral_is_from():
    """Bate (1694): tartar emetic from one grain to two."""
    text = "℞ White Hellebor prepared à ℈ſs. ad ʒ ſs. Tartar Emetick a gr. i. ad ij. mix for a Doſe."
    assert lines(text) == [((0.5, 1.5), "scruple", "White Hellebor prepared"), ((1.0, 2.0), "grain", "Tartar Emetick")]


def test_a_dose_behind_a_stop_is_no_ingredient():
    assert [a for a, _, _ in lines("℞ Wax ℥ij. Diaphenicon ℥iv. mix. Dose, ℥ij. mixt with Milk-water ℥vj. every morning.")] == [2.0, 4.0]


@pytest.mark.parametrize("each", ["of ech of them", "of each of them", "of eche of them", "of every of them"])
def test_early_ways_of_saying_each(each):
    """A. T., A Rich Store-house (1596): herbs for a drink."""
    assert lines(f"TAKE Sage, Roſemarie, and Paſly, {each} a good handefull, & boyle them in a quart of ſtronge Ale.") == [
        (1.0, "handful", "Sage"), (1.0, "handful", "Rosemarie"), (1.0, "handful", "Pasly"), (1.0, "quart", "stronge Ale"),
    ]  # fmt: skip


def test_a_handful_of_time_is_thyme_and_a_little_at_a_time_is_nothing():
    assert lines("Take an ounce of Cloves, a handfull of Time, a handfull of Rosemary.")[1] == (1.0, "handful", "Time")
    assert len(lines("Take a pound of sugar, and stir it in a little at a time.")) == 1


def test_half_so_many_behind_and():
    assert lines("Take halfe an ounce of Mace, and halfe ſo many Dates, & boil them.")[1] == (0.25, "ounce", "Dates")


def test_a_number_in_words_behind_a_plural_counts_pieces_and_says_so():
    """Culpeper, Pharmacopoeia Londinensis (1653): oil of swallows."""
    formula = read("Take of whole Swallows sixteen, Chamomel, Rue, of each one handful, common Oil four pounds.")
    first = formula.lines[0]
    assert (first.amount, first.unit, first.ingredient) == (16.0, "piece", "whole Swallows")
    assert [doubt.about for doubt in first.doubts] == ["unit"] and len(formula.lines) == 4


def test_of_each_a_handful_or_two():
    assert lines("Take Hyssop, Sage, of each a handful or two; boil them.") == [
        ((1.0, 2.0), "handful", "Hyssop"), ((1.0, 2.0), "handful", "Sage"),
    ]  # fmt: skip


def test_the_same_amount_in_another_unit_behind_or():
    """Harvey, The Family Physician (1678): black lozenges."""
    read_lines = lines("Gum-dragant and sweet Almonds, of each six drams, or three quarters of an ounce; make them up into Lozenges.")
    assert read_lines == [(6.0, "drachm", "Gum-dragant"), (6.0, "drachm", "sweet Almonds")]


@pytest.mark.parametrize("left", ["to a pint", "till six quarts be wasted", "until two pints remain"])
def test_what_boiling_leaves_is_no_amount_of_the_water(left):
    read_lines = read(f"Take Sage, one handful: boyl it in Water {left}; dissolve therein two scruples of Sal Armoniac.").lines
    assert [(line.amount, line.unit) for line in read_lines if "Water" not in line.ingredient] == [(1.0, "handful"), (2.0, "scruple")]
    assert all(line.amount is None for line in read_lines if "Water" in line.ingredient)


def test_a_vessel_by_what_it_holds():
    assert len(lines("Take half a pound of Honey, then take a Kettle of five or six gallons and set it on the fire.")) == 1


def test_so_much_as_behind_a_comma():
    """Digby, The Closet Opened (1669): metheglin."""
    assert lines("Take twenty Gallons of Water; then beat in so much honey, as will make it bear an Egg.")[1] == (None, "q.s.", "honey")


def test_the_weight_of_an_amount():
    assert lines("Take sage, rue, of each the weight of two drams, and of saffron the weight of half a dram.") == [
        (2.0, "drachm", "sage"), (2.0, "drachm", "rue"), (0.5, "drachm", "saffron"),
    ]  # fmt: skip


def test_the_greater_and_lesser_is_one_plant():
    assert [name for _, _, name in lines("Take Rue, Plantain the greater and lesser, Dill, of each one handful.")] == [
        "Rue", "Plantain the greater and lesser", "Dill",
    ]  # fmt: skip


def test_a_chapter_is_no_amount():
    assert len(lines("Cap. 31. A medicine for an Ague. Take three quartes of Water and a handfull of Sage.")) == 2


def test_a_page_is_no_amount():
    assert len(lines("Syrupus de Fumaria. Pag. 56. Take of Endive, Hops, of each a handful; white Sugar four pound.")) == 3


def test_a_worn_unit_behind_a_number_in_words():
    """Culpeper (1653) prints 'one bandful'."""
    first = read("Take red Rose Leaves, one bandful; Liquoris two ounces.").lines[0]
    assert (first.amount, first.unit) == (1.0, "handful") and first.doubts


def test_accents_of_early_print():
    """Dawson, The Good Huswifes Jewell (1587)."""
    assert lines("foure egges, two or thrée ſponfuls of roſewater")[1] == ((2.0, 3.0), "tablespoonful", "rosewater")


def test_of_each_of_these_herbs():
    """Dawson (1587): water imperial."""
    text = "of Tanſie, of dandelion, of Tyme, of each of theſe hearbes a handfull, of Treakle a pound."
    assert lines(text) == [
        (1.0, "handful", "Tansie"), (1.0, "handful", "dandelion"), (1.0, "handful", "Tyme"), (1.0, "pound", "Treakle"),
    ]  # fmt: skip


def test_an_amount_of_two_units_with_an_article():
    """French, The Art of Distillation (1653)."""
    formula = read("Butter-bur-roots dry, 3 ounces a dram and half, Licorice, Raiſins, of each 3 ounces a dram and half, bruiſe them.")
    assert [(line.amount, line.plus) for line in formula.lines] == [(3.0, ((1.5, "drachm"),))] * 3
    assert [(line.amount, line.unit) for line in read("Take cinnamon 3 ounces, a dram of cloves.").lines] == [
        (3.0, "ounce"), (1.0, "drachm"),
    ]  # fmt: skip


def test_what_sufficeth():
    """French (1653): a water of the lesser quantity."""
    assert lines("Take ſtrong Proof ſpirit what ſufficeth, Aniſeeds 1 ounce 5 drams.")[0][:2] == (None, "q.s.")


def test_a_verb_is_no_numeral():
    """Blochwitz, The Anatomy of the Elder (1677), prints a pound without its figure before 'mix'."""
    assert all(a is None or a < 100 for a, _, _ in lines("Oximel ounc. 2. clear Fountain-water lib. mix them."))


def test_of_each_belongs_to_the_amount_before_its_comma():
    """The Accomplished Lady's Delight (1675): angelica water."""
    text = "half an ounce of Nutmegs, Cinamon and Ginger four ounces of each, one dram and half of Saffron."
    assert [(a, name) for a, _, name in lines(text)] == [(0.5, "Nutmegs"), (4.0, "Cinamon"), (4.0, "Ginger"), (1.5, "Saffron")]


def test_a_clause_that_only_tells_of_a_name():
    """French (1653): a strong aqua fortis."""
    text = "Take of the ſtrongeſt Aqua fortis that you can get, and well rectified, a pound, ſalt Armoniack twenty ounces."
    assert [(a, u) for a, u, _ in lines(text)] == [(1.0, "pound"), (20.0, "ounce")]


def test_sliced_is_no_worn_unit():
    assert all("printed or scanned" not in doubt.text for doubt in read("Take a pint of Creame, a ſliced Nutmeg.").doubts)


def test_how_long_is_no_part_of_a_name():
    assert lines("bruiſe Cubebs one dram and ſteep them in a pottle of Sack twelve hours.")[-1] == (2.0, "quart", "Sack")


def test_a_head_may_go_on_with_of_alone_and_the_line_says_so():
    """Culpeper (1653): an ointment of juices."""
    formula = read("Common Oyl half a pound, Oyl of white Lillies ten ounces, of wormwood and Chamomel of each six ounces.")
    assert [line.full_name for line in formula.lines][2:] == ["oil of wormwood", "oil of Chamomel"]
    assert [doubt.about for doubt in formula.lines[2].doubts] == ["ingredient"]
    each_with_of = read("Take of oil of Lavender two drams, of Rosemary one dram.").lines[1]
    assert each_with_of.full_name == "Rosemary" and [doubt.about for doubt in each_with_of.doubts] == ["ingredient"]


def test_a_sieve_is_no_direction():
    """Plat, Delightes for Ladies (1602)."""
    assert lines("take two ſpoonfulls of liquor, of ſugar ſearced in a courſe ſearce one dram.")[0] == (2.0, "tablespoonful", "liquor")


def test_of_each_so_many_in_words():
    """Culpeper (1653): a pectoral decoction."""
    text = "Take of Raiſons ſtoned, an ounce, Sebeſtens, Jujubes, of each fifteen, Dates ſix, Liquoris half an ounce."
    assert [(a, u) for a, u, _ in lines(text)] == [(1.0, "ounce"), (15.0, "piece"), (15.0, "piece"), (6.0, "piece"), (0.5, "ounce")]


def test_what_is_done_to_a_thing_behind_and_is_no_second_name():
    """The Accomplished Lady's Delight (1675); Culpeper (1653); Charas, The Royal Pharmacopoea (1678)."""
    assert len(lines("half a pound of Pippins, a pound of Currans well washt, and dry'd, half a pound of Sugar.")) == 3
    for text in ("Take of green Liquoris ſcraped and bruiſed two ounces.", "pure Sugar clarify'd and boil'd ſixteen ounces."):
        assert not read(text).lines[0].doubts
    assert [doubt.about for doubt in read("wax and red ſanders two ounces.").lines[0].doubts] == ["group"]


def test_what_a_thing_was_dissolved_in_before_its_amount_is_not_doubted():
    """Charas (1678)."""
    assert not read("Take Quick-ſilver diſſolv'd in Aqua-Fortis, three ounces.").lines[0].doubts


def test_three_quarters_with_a_figure():
    """French (1653): spices of each three quarters of a dram."""
    assert lines("Nutmegs, Mace, of each 3 quarters of a dram, Cloves 2 drams.")[0] == (0.75, "drachm", "Nutmegs")


def test_drops_before_their_numeral():
    """Bate (1694): a draught with tincture of coral."""
    assert lines("℞ Aqua Mirabilis ℥j. Tincture of Coral compound, gut. xij. mix for a Draught.")[1][:2] == (12.0, "drop")


def test_boiled_unto_a_quart():
    """Harvey (1678): a decoction."""
    assert all(a != 1.0 or u != "quart" for a, u, _ in lines("Comfrey leaves, one handful: boyl them in Wine unto a quart: ſtrain it."))


@pytest.mark.parametrize(
    ("printed", "names"),
    [  # French (1653); Border (1651); Culpeper's dispensatory (1653)
        ("Cinamon Cloves Cubebs Cardamums Nutmegs Ginger", ["Cinamon", "Cloves", "Cubebs", "Cardamums", "Nutmegs", "Ginger"]),
        ("Cloves Nutmegs ſpica nardi Saffron", ["Cloves", "Nutmegs", "spica nardi", "Saffron"]),
        ("Pellitory of the wall Violet flowers", ["Pellitory of the wall", "Violet flowers"]),
    ],
)
def test_a_list_that_lacks_its_commas(printed, names):
    read_lines = read(f"Take of Galingal, {printed}, of each two drams, Honey one pound.").lines
    assert [(line.amount, line.ingredient) for line in read_lines] == [(2.0, name) for name in ["Galingal", *names]] + [(1.0, "Honey")]
    for line in read_lines[1:-1]:
        assert [doubt.about for doubt in line.doubts if "without a comma" in doubt.text] == ["group"]
    assert not read_lines[0].doubts and not read_lines[-1].doubts


@pytest.mark.parametrize("name", ["Syrup. Cydoniorum", "Mucilaginis rad. Altheae", "Gummi dragaganti", "Salt Nitre", "Rose-water"])
def test_what_is_made_of_a_thing_is_one_name(name):
    """Charas (1678); Brugis (1652); Gale (1563); French (1653)."""
    assert len(read(f"Take of Saffron, {name}, of each two drams.").lines) == 2


def test_a_sprig_of_time_is_thyme():
    """May (1685) and others print the herb so."""
    assert lines("Take a pint of Oysters, a blade of Mace and a sprig of Time; when they are enough, add an ounce of Sugar.")[2] == (
        1.0, "piece", "Time",
    )  # fmt: skip


def test_a_vessel_is_no_first_of_a_list():
    """Salmon (1683) and Lemery (1685) put what went before into a vessel, and then name what goes in."""
    text = "Take of Wax ℥j. put this Pulp into a glass Vessel, adding thereto juice of Liquorice, Gum Arabick, of each ℥ss."
    assert lines(text)[1:] == [(0.5, "ounce", "juice of Liquorice"), (0.5, "ounce", "Gum Arabick")]
    text = "Boil two quarts of Water; then put into the said Pot, the four Capillaries and Flowers of Coltsfoot, of each one handful."
    assert lines(text)[1:] == [(1.0, "handful", "four Capillaries"), (1.0, "handful", "Flowers of Coltsfoot")]


def test_as_much_of_one_and_as_much_of_another_are_the_amount_before():
    """Digby (1669) measures a whole nosegay so; none of it is 'as much as'."""
    text = "Boil five handfuls of Betony, as much of Cowslips, as much of Sage-flowers, as many of Violets; two ounces of Ginger."
    assert [amount for amount, _, _ in lines(text)] == [5.0, 5.0, 5.0, 5.0, 2.0]
    assert lines("Take two quarts of ale, as much honey, as will make it bear an egg.")[1] == (None, "q.s.", "honey")


@pytest.mark.parametrize("begins", ["Take of each a handful of", "Take these herbs, of each a handful, viz."])
def test_a_list_goes_on_over_red_sage(begins):
    """'Red' ends like a word of work and is none; 'viz.' leads a list on, as in Kent (1653)."""
    herbs = ["Smallage", "Balm", "Red Sage", "Lavender", "Mallows"]
    assert lines(f"{begins} {', '.join(herbs[:-1])}, and Mallows; pick them.") == [(1.0, "handful", herb) for herb in herbs]


def test_an_ounce_and_a_dram():
    """The Accomplish'd Lady's Delight (1675) and its like; two names keep their own."""
    text = "Take of Camphire one ounce, of Roch-Allom one ounce and a dram, Sal Gemmi half an ounce; a pound and an ounce of Sugar."
    assert [(line.amount, line.unit, line.plus) for line in read(text).lines] == [
        (1.0, "ounce", ()), (1.0, "ounce", ((1.0, "drachm"),)), (0.5, "ounce", ()), (1.0, "pound", ((1.0, "ounce"),)),
    ]  # fmt: skip
    assert lines("Take of Wax a pound and an ounce of Rosin.") == [(1.0, "pound", "Wax"), (1.0, "ounce", "Rosin")]


def test_what_it_is_stirred_with_what_is_left_and_what_is_taken():
    text = "Take two ounces of Wax, a pint of Wine, stir it with a stick while it boils, until not above a quart remains; take thereof a pint."
    assert [name for _, _, name in lines(text)] == ["Wax", "Wine"]


def test_the_numeral_before_its_sign_and_the_half_behind_it():
    """A receipt book of 1620 sets the sign between the two."""
    assert lines("Oyle of Pepper, i. ℥.ſs. Aqua vitae ii.℥.ſs. Galanga iii. ʒ.") == [
        (1.5, "ounce", "Oyle of Pepper"), (2.5, "ounce", "Aqua vitae"), (3.0, "drachm", "Galanga"),
    ]  # fmt: skip


def test_a_heading_set_beside_its_receipt_is_no_part_of_a_name():
    formula = read("Of the water of plantain four ounces. Apozeme. China two ounces; Clyster. Hyssop a handful")
    assert [line.ingredient for line in formula.lines] == ["water of plantain", "China", "Hyssop"]


def test_the_head_of_a_list_that_may_hold_for_a_plant_behind_it_is_doubted():
    """No row names a water of bugloss: the herb is taken, and not in silence."""
    formula = read("Water of Roses and Bugloss, of each three ounces; vinegar one ounce")
    assert [bool(line.doubts) for line in formula.lines] == [False, True, False]


def test_small_words_with_a_letter_that_could_not_be_read():
    assert lines("2 ounces of oyl o• roses, cloves and mace o• each two drams a•d thr•e ounces of •he best mirrh") == [
        (2.0, "ounce", "oyl o• roses"), (2.0, "drachm", "cloves"), (2.0, "drachm", "mace"), (3.0, "ounce", "best mirrh"),
    ]  # fmt: skip


def test_the_recipe_sign_behind_the_number_of_a_receipt():
    """A surgery of the 1570s numbers its receipts so: '3 R. Of Hyssop'."""
    assert lines("3 R. Of Hyſſop ℥ i. Of Turbith ʒ x.") == [(1.0, "ounce", "Of Hyssop"), (10.0, "drachm", "Turbith")]


def test_a_stop_that_could_not_be_read_parts_two_names():
    assert lines("half a pound of Sugar, a quarter of an ounce of Cynamon▪ a raſe of Ginger ſliced") == [
        (0.5, "pound", "Sugar"), (0.25, "ounce", "Cynamon"), (1.0, "piece", "Ginger sliced"),
    ]  # fmt: skip


def test_as_many_as_you_please_is_no_figure_of_the_line_above():
    assert lines("six Lemmons ſliced, Snailes as many as you pleaſe, white Wine a ſufficient quantity. Powder them.") == [
        (6.0, "piece", "Lemmons sliced"), (None, "q.s.", "Snailes"), (None, "q.s.", "white Wine"),
    ]  # fmt: skip


def test_the_figure_before_its_sign_in_the_midst_of_a_list():
    """Wood, An Alphabetical Book of Physicall Secrets (1639) sets 'ana i ʒ' and 'viij ℥'."""
    told = lines("Agarick, Aloes, ana i ʒ Hogs-greaſe viij ℥, Roſin ij ℥ fine powdred, ℥ ij of gum")
    assert [(a, u) for a, u, _ in told] == [(1, "drachm"), (1, "drachm"), (8, "ounce"), (2, "ounce"), (2, "ounce")]


def test_an_aside_parts_no_list_from_its_amount():
    """Baker, Oleum Magistrale (1574), speaks so of what is hard to get."""
    assert lines("Valerian, sage, if you can get it, of each a quarter of a pound; three ſpoone fulls of Honey") == [
        (0.25, "pound", "Valerian"), (0.25, "pound", "sage"), (3.0, "tablespoonful", "Honey"),
    ]  # fmt: skip


def test_the_colon_of_a_clerk_behind_a_head_cut_short():
    """Bonham, The Chyrurgians Closet (1630), cuts its heads so; a list of names and amounts keeps its colons."""
    told = [line.ingredient for line in hk.translate(read("ol: tartari, 2 ounces; axung: porc. 3 ounces; Gum: 2 ounces")).lines]
    assert [entry.id for entry in told] == ["potassium-carbonate", "lard", "gum-arabic"]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Take wax lb. di. rosin ℥ di.", [(0.5, "pound"), (0.5, "ounce")]),
        ("Take di. a pound of Honey, di. an ounce of wax.", [(0.5, "pound"), (0.5, "ounce")]),
        ("Take rosin a pound and di. honey lb. ii. & di.", [(1.5, "pound"), (2.5, "pound")]),
        ("of hony lb. d. of Balm M. di. of Rue M. j.", [(0.5, "pound"), (0.5, "handful"), (1, "handful")]),
        ("Take of louage, ℥.16. of pepper, ʒ.4.", [(16, "ounce"), (4, "drachm")]),
        ("Take a pint of wine, put in half a dozen eggs, then put in six Dates.", [(1, "pint"), (6, "piece"), (6, "piece")]),
        ("Take a pint of milk, xij. figs and viij. yolks of egs, put to it 6. eggs", [(1, "pint"), (12, "piece"), (8, "piece"), (6, "piece")]),
        ("Take of Rue a handful without the stalks, an ounce of honey", [(1, "handful"), (1, "ounce")]),
    ],
)  # fmt: skip
def test_halves_figures_and_counts_of_early_receipts(text, expected):
    assert [(line.amount, line.unit) for line in hk.read(text, source=EARLY).lines] == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Aq. Rosar. ℥iiij. Album. ovi unius. M.", [(4, "ounce"), (1, "piece")]),
        ("Aquae Ovj. Sacch. ℥ij.", [(6, "pint"), (2, "ounce")]),
        ("yelks of eggs 4, sugar 2 oz", [(4, "piece"), (2, "ounce")]),
    ],
)
def test_an_egg_is_no_six_pints(text, expected):
    assert [(line.amount, line.unit) for line in hk.read(text, source=EARLY).lines] == expected


@pytest.mark.parametrize(
    ("text", "last"),
    [
        ("the rind of one lemon and the juice of three.", "lemon-juice"),
        ("the peel of one lemon and juice of two", "lemon-juice"),
        ("yolks of three eggs and whites of two", "egg-white"),
    ],
)
def test_a_part_alone_is_of_the_thing_before_it(text, last):
    assert hk.translate(hk.read(text)).lines[-1].ingredient.id == last
