"""Printed text → clean text, with the way back."""

from histkit.reading.cleaning import clean, is_clean


def test_cleaning_maps_every_character_back():
    printed = "Oil\u00a0of roſe _Petale_ 1\ufeff/\ufeff2 [dram]ij"
    cleaned = clean(printed)
    assert cleaned.text == "Oil of rose Petale 1/2 ʒij"
    start = cleaned.text.index("ʒ")
    assert printed[slice(*cleaned.printed_span(start, start + 1))] == "[dram]"
    assert printed[slice(*cleaned.printed_span(0, len(cleaned.text)))] == printed


def test_clean_text_is_left_as_it_is():
    assert is_clean("Talc 4 oz.") and not is_clean("Talc 4 [oz.]")


def test_small_words_that_a_scan_has_worn_or_run_together():
    """In the manner of raw scans: 'o£', 'aud', 'Oi!'; a blank lost behind or before 'of'."""
    printed = "Oi! o£ cloves 2 oz. aud gum, eacb 3 dr.; two cupsof sugar, 1 oz. ofbutter, ou proof often"
    cleaned = clean(printed)
    assert cleaned.text == "Oil of cloves 2 oz. and gum, each 3 dr.; two cups of sugar, 1 oz. of butter, ou proof often"
    place = cleaned.text.index("butter")
    start, end = cleaned.printed_span(place, place + 6)
    assert printed[start:end] == "butter"
