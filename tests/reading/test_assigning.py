"""Which name belongs to which amount."""

import pytest
from reading_stages import printed, worded

from histkit.reading.assigning import entries_of
from histkit.reading.measuring import measures_of
from histkit.reading.sides import choose


@pytest.mark.parametrize(
    ("text", "sides"),
    [
        ("talc, 2 oz.; rose, 1 drachm", "LL"),
        ("2 oz. of talc and 1 drachm of rose", "RR"),
        ("2 oz. of talc; rose, 1 drachm", "RL"),
        ("talc 2 oz.", "L"),
        ("leaves of Mirtle, and the coals of Willow, six drams a peece, of Juniper berries, two drams of red Sanders", "RR"),
        ("cold soft water, 10 gallons, cherries, 10 gallons. Ferment", "LL"),
    ],
)
def test_sides(text, sides):
    wording = worded(text)
    assert "".join(choose(wording, measures_of(wording.view), 0, len(wording.tokens))) == sides


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("2 oz. of talc, finely powdered, and 1 drachm of rose", ["talc finely powdered", "rose"]),
        ("talc and orris, of each 2 oz.", ["talc", "orris"]),
        ("seven drops of oils of rosemary and cassia", ["oils of rosemary", "cassia"]),
        ("half an ounce of sugar, and the juice of a lemon", ["sugar", "juice of a lemon"]),
    ],
)
def test_entries(text, names):
    wording = worded(text)
    entries = entries_of(wording, measures_of(wording.view), 0, len(wording.tokens))
    assert [printed(wording, entry.names[0]) for entry in entries] == names
