"""The quick look for poisons must pass over no name of one."""

import histkit as hk
from histkit.glossary.caches import forget_the_tables
from histkit.glossary.entries import ingredients
from histkit.glossary.index import shipped
from histkit.glossary.tables import OWN
from histkit.glossary.telling import telling_words
from histkit.safety.poisons import poisons_in


def test_every_name_of_something_forbidden_has_a_word_that_tells():
    telling = telling_words()
    assert telling is not None
    forbidden = {key for key in ingredients if ingredients[key].forbidden}
    silent = [
        name
        for name, hits in shipped().exact.items()
        if name and any(key in forbidden for key, _ in hits) and telling.isdisjoint(name.split())
    ]
    assert not silent


def test_what_any_text_has_tells_of_no_poison():
    telling = telling_words()
    assert telling is not None
    assert telling.isdisjoint(("of", "oil", "water", "powdered", "2"))
    assert poisons_in("sugar of lead, 2 drachms") and not poisons_in("oil of lavender, 2 drachms")


def test_with_a_makers_own_tables_nothing_is_passed_over(tmp_path, monkeypatch):
    monkeypatch.setenv(OWN, str(tmp_path))
    forget_the_tables()
    try:
        assert telling_words() is None
    finally:
        monkeypatch.undo()
        forget_the_tables()
    assert hk.glossary.find("talc") is not None
