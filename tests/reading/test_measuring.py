"""All amounts of a text, with what precedes and follows them."""

from reading_stages import viewed

from histkit.reading.measuring import measures_of


def seen(text):
    return [(m.amount, m.unit, m.kind, m.each) for m in measures_of(viewed(text))]


def test_what_stands_around_an_amount():
    assert seen("of each 2 oz. talc, 4 drachms each.") == [(2.0, "ounce", "plain", "before"), (4.0, "drachm", "plain", "after")]
    (measure,) = measures_of(viewed("talc, by weight, about 2 oz. (60 grammes)"))[-1:]
    assert (measure.also, measure.approximate) == (((60.0, "gram"),), True)


def test_amounts_of_no_ingredient():
    assert seen("2 oz. of this mixture") == [(2.0, "ounce", "portion", "")]
    assert seen("in a pint bottle") == [(1.0, "pint", "rate", "")]
    assert seen("talc, 2 oz. to every pound of salve")[1] == (1.0, "pound", "rate", "")


def test_a_long_text_is_read_as_a_short_one():
    assert seen("4 oz. talc, " * 100) == seen("4 oz. talc, ") * 100
