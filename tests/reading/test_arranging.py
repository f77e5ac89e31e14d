"""The second opinion: the whole text arranged by score."""

import pytest
from reading_stages import worded

from histkit.base.tables import read as read_table
from histkit.reading import arranging, read
from histkit.reading.arranging import JOINTS, LEFT, RIGHT, arranged, opinions_of, stretch_of
from histkit.reading.assigning import entries_of
from histkit.reading.measuring import measures_of


def arrangement(text, turned=None):
    wording = worded(text)
    measures = measures_of(wording.view)
    return wording, arranged(wording, measures, entries_of(wording, measures, 0, len(wording.tokens), turned))


@pytest.mark.parametrize(
    ("text", "names", "joints"),
    [
        (
            "oil of rose, finely sifted; talc and starch",
            ["oil of rose finely sifted", "talc", "starch"],
            ["nothing", "stop", "joiner", "nothing"],
        ),
        ("of talc (in powder), mix with water", ["talc", "water"], ["link", "verb", "nothing"]),
        ("Bitter\norange oil", ["Bitter orange oil"], ["nothing", "nothing"]),
        ("and of the", [], ["joiner"]),
    ],
)
def test_names_and_what_joins_them(text, names, joints):
    wording = worded(text)
    stretch = stretch_of(wording, arranging._known_at(wording), 0, len(wording.tokens))
    assert [wording.words_of(piece.first, piece.last) for piece in stretch.pieces] == names
    assert [JOINTS[joint] for joint in stretch.joints] == joints


@pytest.mark.parametrize("side", [LEFT, RIGHT])
def test_an_amount_can_be_turned(side):
    first = measures_of(worded("talc, 2 oz. borax").view)[0].first
    _, text = arrangement("talc, 2 oz. borax", {first: side})
    assert text.read[0].side == side and opinions_of(text)[0].side != side


@pytest.mark.parametrize(
    "text", ["2 oz. of talc, 1 oz. of borax and 3 drachms of rose", "talc, 2 oz.; borax, 1 oz.; rose, 3 drachms"]
)
def test_a_text_of_one_order_leaves_nothing_to_doubt(text):
    assert [opinion.margin > 3 for opinion in opinions_of(arrangement(text)[1])] == [True] * 2


def test_every_arrangement_is_looked_at():
    """The best score with each choice is that of trying them all, one after the other."""
    from itertools import product

    _, text = arrangement("talc, 2 oz. of borax, rose and neroli, of each 3 drachms: with alum 1 oz. of rice starch")
    weights = arranging.weights()

    def score(choices):
        total = 0.0
        for i in range(len(text.stretches)):
            left, right = choices[i - 1] if i else None, choices[i] if i < len(choices) else None
            signs = arranging.signs_between(text, i, left, right)
            if signs is None:
                return arranging._IMPOSSIBLE
            total += sum(
                weights.get(sign, 0.0) * count
                for sign, count in [*signs, *(arranging.own_signs(text, i, right) if right else ())]
            )
        return total

    every = {choices: score(choices) for choices in product(*text.choices)}
    for i, totals in enumerate(arranging._totals(text)):
        for choice, total in totals.items():
            best = max(value for choices, value in every.items() if choices[i] == choice)
            assert total == pytest.approx(best) or best == arranging._IMPOSSIBLE


def test_a_far_better_arrangement_is_taken_and_says_so():
    """A printed lotion whose title and first amount stand in one line."""
    lines = read("Freckle Lotion.—Two drachms cologne water, 1 drachm, muriate of ammonia, distilled or rain water, 7 ozs.").lines
    assert [(line.amount, line.ingredient) for line in lines[:2]] == [(2, "cologne water"), (1, "muriate of ammonia")]
    assert [doubt.others for line in lines[:2] for doubt in line.doubts] == [
        ("it is that of 'Freckle Lotion'",),
        ("it is that of 'cologne water'",),
    ]


def test_every_sign_of_the_table_can_stand():
    signs = {row["sign"] for row in read_table("reading/arranging")}
    assert signs == set(arranging.weights()) and len(signs) == len(read_table("reading/arranging"))
    words = ("before", "behind")
    assert all(sign.startswith((*words, "each", "list", "left out", "order changes", "shared")) for sign in signs)
    assert {LEFT, RIGHT} == set(arranging._WHERE)
