"""What kind of word each token is."""

from reading_stages import worded


def test_directions_names_and_connectives():
    wording = worded("Mix the talc for two hours")
    assert [wording.is_direction(i) for i in range(3)] == [True, False, False]
    assert [wording.is_name(i) for i in range(6)] == [False, False, True, False, True, False]


def test_a_noun_is_no_direction():
    assert not worded("perfume to suit").is_direction(0)
    assert not worded("a whole lemon").is_direction(1) and worded("the whole is sifted").is_direction(1)


def test_a_stretch_names_something_or_repeats_a_name():
    wording = worded('" and talc')
    assert wording.is_nominal(0, 1) and not wording.has_name(0, 2) and wording.has_name(0, 3)
