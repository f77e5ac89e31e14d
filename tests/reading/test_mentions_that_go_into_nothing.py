"""What is named beside the ingredients with or without an amount: doses, vessels, tools, what is told again, what comes of it."""

from __future__ import annotations

import pytest

import histkit as hk


def lines(text: str, year: int = 1650) -> list[tuple[object, str, str]]:
    formula = hk.read(text, source=hk.Source(title="x", year=year, country="GB"))
    return [(line.amount, line.unit, line.ingredient) for line in formula.lines]


TWO = [(1.0, "drachm", "Aloes"), (1.0, "ounce", "Myrrh")]


@pytest.mark.parametrize(
    "dose",
    [
        "give from a scruple to half a drachm in white wine.",
        "take thereof a drachm in a cup of sack.",
        "make powder, and drink a drachm of it with two ounces of plantain water.",
        "make powder and drinke it with wine.",
        "a powder to be taken with milk.",
    ],
)
def test_what_a_dose_is_taken_in_is_no_ingredient(dose: str) -> None:
    assert lines(f"Take Aloes a drachm, Myrrh an ounce; {dose}") == TWO


def test_what_the_dose_is_made_with_is_one() -> None:
    assert lines("Take Aloes a drachm; mix it with two ounces of plantain water.")[1:] == [(2.0, "ounce", "plantain water")]


@pytest.mark.parametrize(
    "mention",
    [
        "let him not go into any water.",
        "if you cannot get any rhubarb, use it alone.",
        "put them in a silver porringer.",
        "pour it into him with a little horn.",
        "touch it with a stick covered over with brimstone.",
        "distil it, and it will mix itself with the water.",
    ],
)
def test_what_is_denied_and_tools_are_none(mention: str) -> None:
    assert lines(f"Take Aloes a drachm, Myrrh an ounce; {mention}") == TWO


def test_any_sort_that_goes_in_stays() -> None:
    assert lines("Take Rue a drachm, and any oil two ounces.") == [(1.0, "drachm", "Rue"), (2.0, "ounce", "oil")]
    assert lines("Take sugar 5 lb., soda 1 lb., and any essential oil.")[-1] == (None, "q.s.", "essential oil")


@pytest.mark.parametrize(
    "text",
    [
        "Alum 2 ounces, water 3 pints. Pour the three pints of water over the alum.",
        "Alum 2 ounces, water 3 pints. To the three pints of water add the alum.",
        "Alum 2 ounces, water 3 pints. Boil the alum in one pint of water, then add the remainder of the water.",
        "Alum 2 ounces, water 3 pints. Steep the alum in half a pint of water, and add the remaining water.",
    ],
)
def test_water_of_the_list_is_not_counted_again(text: str) -> None:
    assert lines(text, 1850) == [(2.0, "ounce", "Alum"), (3.0, "pint", "water")]


def test_water_beside_that_of_the_list_is_counted() -> None:
    read = lines("Alum 2 ounces, water 3 pints. Boil the alum in one pint of water, then add the soap.", 1850)
    assert read[2] == (1.0, "pint", "water")


def test_a_part_of_the_water_is_told() -> None:
    text = "Alum 2 ounces, water 3 pints. Boil the alum in one pint of water, then add the rest of the water."
    doubts = [doubt.text for doubt in hk.read(text).doubts]
    assert doubts == ["'one pint of water' is taken to be part of what stands above."]


@pytest.mark.parametrize("example", ["for example", "thus"])
def test_an_example_is_not_counted(example: str) -> None:
    text = f"To every pound of sugar add a pint of water; {example}, to ten pounds of sugar add ten pints of water."
    assert [line[0] for line in lines(text, 1850)] == [1.0, 1.0]


def test_a_new_thing_behind_for_example_is_counted() -> None:
    text = "To every pound of sugar add a pint of water; for example, to ten pounds of honey add ten pints of beer."
    assert len(lines(text, 1850)) > 2


@pytest.mark.parametrize(
    "text",
    [
        "Cloves, 10 pounds; water, 3 gallons. There should be a yield of about nine ounces of oil.",
        "Cloves, 10 pounds; water, 3 gallons. Boil till a phial that will contain an ounce of salt will hold two ounces of the ley.",
    ],
)
def test_the_yield_and_what_a_vessel_holds_are_none(text: str) -> None:
    assert lines(text, 1850) == [(10.0, "pound", "Cloves"), (3.0, "gallon", "water")]


@pytest.mark.parametrize("name", ["oil of 〈◊〉", "oil of •••", "〈◊〉 water"])
def test_a_word_lost_on_the_page_is_told(name: str) -> None:
    line = hk.read(f"Take {name} two ounces, wax an ounce.").lines[0]
    assert any("lost on the page" in doubt.text for doubt in line.doubts)


def test_letters_lost_in_a_word_are_another_matter() -> None:
    assert not any("lost on the page" in doubt.text for doubt in hk.read("Take Cor•• two drams, wax an ounce.").lines[0].doubts)


@pytest.mark.parametrize("name", ["mercury precipitate", "Mercurie precipitate"])
def test_precipitate_behind_its_metal_is_no_verb(name: str) -> None:
    assert lines(f"Take {name} half an ounce, wax an ounce.")[0] == (0.5, "ounce", name)


def test_precipitate_as_a_verb_stays_one() -> None:
    formula = hk.read("Take alum two ounces, water a pint; precipitate it with a drachm of soda.")
    assert [line.ingredient for line in formula.lines] == ["alum", "water", "soda"]
