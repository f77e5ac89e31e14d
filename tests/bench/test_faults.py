"""Faults of a cake in the words of a maker."""

from __future__ import annotations

import pytest

from histkit.bench.faults import all_faults, faults_in, faults_of
from histkit.bench.trials import Trial, TrialLog

pytestmark = pytest.mark.usefixtures("cupboard")


class TestWords:
    def test_words_that_say_no(self) -> None:
        for words in ("no cracks", "not soft", "without crumbs", "never glazed", "neither hard nor shiny", "uncracked"):
            assert not {f.id for f in faults_in(words)} & {"drying", "soft", "glaze", "laminate"}, words
        assert not faults_in("It doesn't crumble, isn’t soft, and hardly cracks")
        assert {f.id for f in faults_in("no crumbs at first, then crumbs; Shiny.")} == {"soft", "glaze"}
        assert {f.id for f in faults_in("good,soft;shiny")} == {"soft", "glaze"}
        assert {f.id for f in faults_in("Crumbs")} == {"soft"}, "at the very beginning"


class TestRemedies:
    @pytest.mark.parametrize(
        ("words", "faults"),
        [
            ("it crumbles at the edge", {"soft"}),
            ("Shiny; the cap lifts off", {"glaze", "laminate"}),
            ("fine cake, no cracks", set()),
            ("dark spots of oil", {"spots"}),
            ("came out well", set()),
            ("no payoff at all", {"payoff"}),
            ("chipped at the rim", {"rim"}),
            ("it sticks to the punch", {"sticks"}),
            ("sweats oil", {"sweat"}),
            ("streaky", {"streaks"}),
            ("rancid smell", {"rancid"}),
            ("spots of mould", {"mouldy"}),
            ("too hard", {"hard"}),
            ("cracked while drying", {"drying"}),
        ],
    )
    def test_faults_from_words(self, words: str, faults: set[str]) -> None:
        assert {f.id for f in faults_in(words)} == faults

    def test_a_trial_gets_its_remedies(self) -> None:
        assert {f.id for f in Trial(1, 0.05, crumbles=True, glazes=True, notes="oily patches").faults()} == {
            "soft",
            "glaze",
            "spots",
        }
        assert "kaolin" in TrialLog((Trial(1, 0.05, crumbles=True),)).to_text()

    def test_what_was_ticked_is_not_denied_by_the_notes(self) -> None:
        """A note that ends in "no" or "not" says nothing of the fault that was ticked beside it."""
        assert {f.id for f in Trial(1, 0.05, crumbles=True, notes="payoff: no").faults()} == {"soft"}
        assert {f.id for f in Trial(1, 0.05, payoff=0, notes="sieved: not").faults()} == {"payoff"}

    def test_by_id_in_the_order_of_the_table(self) -> None:
        assert [f.id for f in faults_of(("spots", "soft"))] == ["soft", "spots"]
        assert [f.id for f in faults_of(("soft",), "soft and shiny")] == ["soft", "glaze"]
        assert faults_of(()) == () and faults_of(("moonshine",)) == ()

    def test_each_named_fault_has_a_cause_a_remedy_and_a_source(self) -> None:
        named = {fault.id: fault for fault in all_faults()}
        wanted = "soft rim laminate drying sticks glaze hard payoff sweat spots streaks rancid mouldy".split()
        assert set(wanted) <= named.keys() and all(f.cause and f.remedy and f.source for f in named.values())
        assert named["soft"].more[0] == "pressure" and named["hard"].less[0] == "pressure", "the pressure before the binder"
        assert "throw it away" in named["mouldy"].remedy and "throw it away" in named["rancid"].remedy

    @pytest.mark.parametrize("word", ["no", "not", "without", "never", "neither", "nor", "cannot", "hardly", "doesn't", "isn’t"])
    def test_each_word_that_denies(self, word: str) -> None:
        """A denying word takes back the fault that comes after it, and is no fault itself, even where it begins like one."""
        assert not faults_in(f"{word} crumble") and not faults_in(f"it {word}")
        assert {f.id for f in faults_in(f"crumbles, {word} shine")} == {"soft"}
        assert {f.id for f in faults_in("hard, hardly soft")} == {"hard"}
