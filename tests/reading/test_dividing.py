"""Where words can be divided, and which pieces have a name of their own."""

import pytest
from reading_stages import printed, worded

from histkit.reading.dividing import cuts_of, ends_sentence, only_modifies, split


def test_cuts_and_their_strength():
    wording = worded("talc, orris and rose; musk")
    assert [cut.strength for cut in cuts_of(wording, 0, len(wording.tokens))] == [1, 0, 3]


def test_what_only_modifies_stays_with_the_name_before_it():
    wording = worded("orris root, in fine powder, rose and musk")
    assert [printed(wording, piece) for piece in split(wording, 0, len(wording.tokens))] == [
        "orris root in fine powder",
        "rose",
        "musk",
    ]


@pytest.mark.parametrize(
    ("text", "only"),
    [("dried", True), ("finely powdered", True), ("cut small", True), ("dried roses of May", False), ("roses", False)],
)
def test_only_modifies(text, only):
    wording = worded(text)
    assert only_modifies(wording, 0, len(wording.tokens)) is only


def test_a_stop_after_an_abbreviation_ends_no_sentence():
    assert ends_sentence(worded("Boil well. Strain"), 1) and not ends_sentence(worded("tinct. Myrrh"), 0)
