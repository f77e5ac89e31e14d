"""From the printed words of a name to the name."""

import pytest

import histkit as hk
from histkit.reading.naming import distributed_head, prefix_of, tidied


@pytest.mark.parametrize(
    ("printed", "name", "modifier", "grade"),
    [
        ("II. Talc, finely powdered", "Talc, finely powdered", "finely powdered", ""), ("Carmine No. 40", "Carmine No. 40", "", "No. 40"),
        ("(a) Very Talc", "Very Talc", "", ""), ("3. Chalk .....", "Chalk", "", ""), ("Alcohol, 90 per cent.", "Alcohol, 90 per cent", "", "90 per cent"),
    ],
)  # fmt: skip
def test_tidied(printed, name, modifier, grade):
    assert tidied(printed) == (name, modifier, grade)


def test_what_a_ditto_mark_stands_for():
    assert prefix_of("Otto of rose") == "Otto of" and prefix_of("Dried lavender flowers", 1) == "Dried lavender"


@pytest.mark.parametrize(
    ("first", "later", "head"),
    [
        ("Oils of nutmeg", "cloves", "oil of"),
        ("Oils of nutmeg", "rose water", ""),
        ("Extrait rose", "jasmin", "extrait de"),
        ("Talc", "chalk", ""),
    ],
)
def test_the_head_that_a_list_shares(first, later, head):
    assert distributed_head(first, later) == head


def test_of_alone_carries_the_head_on_to_a_name_with_a_tail_of_its_own():
    """'Oil of White Poppy Seeds, and of the four Cold Seeds' (Buc'hoz, 1779) is two oils; with 'of' before each it is two things."""
    names = [line.full_name for line in hk.read("Take Oil of Poppy Seeds, and of the four Cold Seeds, of each a gill.").lines]
    assert names == ["Oil of Poppy Seeds", "oil of four Cold Seeds"]
    names = [line.full_name for line in hk.read("Take of Oil of roses, of lavender flowers, of each an ounce.").lines]
    assert names == ["Oil of roses", "lavender flowers"]


def test_the_of_of_an_amount_carries_nothing():
    names = [line.full_name for line in hk.read("Oil of almonds, three ounces; melt an ounce of spermaceti with the oil.").lines]
    assert names == ["Oil of almonds", "spermaceti"]
