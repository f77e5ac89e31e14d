"""From the printed words of a name to the name."""

import pytest

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
