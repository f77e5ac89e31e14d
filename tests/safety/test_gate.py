"""Nothing poisonous, forbidden or unknown reaches a batch, however its name is set; what the maker may settle, and how."""

import random

import pytest

import histkit as hk
from histkit import glossary

SETTINGS = (
    "Talc, 4 ounces.\n{}, 2 ounces.",
    "Talc 4 ounces\n{} 2 ounces",
    "4 oz. of Talc\n2 oz. of {}",
    "℞ Talc ℥iv\n{} ℥ij\nMisce.",
    "Take of talc four ounces, {} two ounces, and mix them well.",
)
FORBIDDEN_NAMES = sorted(
    {n.name for entry in glossary.ingredients.values() if entry.forbidden for n in entry.names if not n.contested}
)
HOW_MANY = 60
"""Names tried here, drawn by chance with a fixed seed; all of them, some 4,600 in five settings, take four minutes."""


def composition(text: str) -> hk.Composition:
    return hk.translate(hk.read(text)).composition()


def with_a_line(name: str) -> hk.Composition:
    return composition(SETTINGS[0].format(name))


def holding(mixture: hk.Composition, **law: str) -> set[tuple[str, str]]:
    return {(f.level, f.about) for f in mixture.findings(**law) if f.holds}


@pytest.mark.parametrize("name", random.Random(15).sample(FORBIDDEN_NAMES, HOW_MANY))
def test_no_name_of_a_forbidden_ingredient_passes(name: str) -> None:
    for setting in SETTINGS:
        try:
            mixture = composition(setting.format(name))
        except hk.HistkitError:
            continue  # what cannot be read cannot be weighed
        with pytest.raises(hk.HistkitError):
            hk.batch(mixture, 60)


@pytest.mark.parametrize("setting", SETTINGS)
@pytest.mark.parametrize(
    "name",
    ["Butyr. Antim.", "gold and sodium chloride", "Ointment of white precipitate", "Sacch. Sat.", "Ol. Amygd. Amar.", "Morph. Acet.", "Precipitate per se",
     "Cerussæ venetæ opt. præp.", "Cinnabaris fact. subt. pulv.", "Empl. Plumb.", "Antim. Crud.", "Hydrarg. Oxid. Flav."],
)  # fmt: skip
def test_what_was_once_read_as_harmless(name: str, setting: str) -> None:
    with pytest.raises(hk.HistkitError):
        hk.batch(composition(setting.format(name)), 60)


class TestUnknown:
    def test_it_waits_and_says_what_to_do(self) -> None:
        mixture = with_a_line("Quibbleroot")
        with pytest.raises(hk.HistkitError, match=r"what 'Quibbleroot' is.*Name it.*say why it is known") as held:
            hk.batch(mixture, 60)
        assert isinstance(held.value, hk.Forbidden) and held.value.ingredients == ("unknown-quibbleroot",)

    def test_all_of_them_in_one_error(self) -> None:
        text = "Talc, 4 ounces.\nQuibbleroot, 1 ounce.\nVimblestone, 1 ounce.\nWhite lead, 1 ounce."
        with pytest.raises(hk.Forbidden) as held:
            hk.batch(composition(text), 60)
        assert all(word in str(held.value) for word in ("Quibbleroot", "Vimblestone", "lead carbonate"))

    def test_named_by_the_maker(self) -> None:
        mixture = with_a_line("Quibbleroot").replace("unknown-quibbleroot", {"orris-root": 1}, "so the dealer calls orris")
        assert hk.batch(mixture, 60).weighing("orris-root").grams > 0

    def test_declared_with_a_reason_that_is_printed(self) -> None:
        mixture = with_a_line("Quibbleroot").declare("Quibbleroot", "the miller's own name for barley meal")
        made = hk.batch(mixture, 60)
        assert "barley meal" in made.to_markdown() and any("barley meal" in w for w in made.warnings)
        again = hk.Composition.from_json(mixture.to_json())
        assert again == mixture and hk.batch(again, 60).to_markdown() == made.to_markdown()

    @pytest.mark.parametrize(("words", "reason"), [("", "known"), ("Quibbleroot", " ")])
    def test_a_declaration_has_words_and_a_reason(self, words: str, reason: str) -> None:
        with pytest.raises(hk.BadValue, match="reason"):
            with_a_line("Quibbleroot").declare(words, reason)

    def test_no_declaration_lets_a_poison_through(self) -> None:
        mixture = with_a_line("Mercurial flour of Quib")
        assert holding(mixture) == {("refuse", "poison")}
        for words in ("Mercurial flour of Quib", mixture.parts[1].ingredient.id):
            with pytest.raises(hk.Forbidden, match="mercury"):
                hk.batch(mixture.declare(words, "I know it"), 60)

    @pytest.mark.parametrize(("name", "strange"), [("rice powder with opinm", "opinm"), ("wine of opiuru", "opiuru")])
    def test_a_word_that_was_left_out_waits_too(self, name: str, strange: str) -> None:
        """What was understood of a name is not the name: a scan made 'opinm' of opium, and rice was read."""
        (found,) = [f for f in with_a_line(name).findings() if f.holds]
        assert (found.level, found.about) == ("ask", "unknown") and repr(strange) in found.text
        assert hk.batch(with_a_line(name).declare(found.words, "a village"), 60)

    def test_a_known_opiate_with_a_letter_spoilt_is_refused(self) -> None:
        """'Chalk powder with opium' is a name of the glossary, and 'opinm' in it one letter off."""
        (found,) = [f for f in with_a_line("chalk powder with opinm").findings() if f.holds]
        assert (found.level, found.about) == ("refuse", "forbidden")

    def test_a_word_left_unread_before_the_name_waits(self) -> None:
        (found,) = [f for f in with_a_line("Plxqhicxq. Carb.").findings() if f.holds]
        assert "'plxqhicxq'" in found.text and "charcoal" in found.text

    def test_a_poison_whose_letters_a_scan_changed_is_the_poison(self) -> None:
        assert ("refuse", "forbidden") in holding(with_a_line("Plumh. Carb."))

    @pytest.mark.parametrize("name", ["prepared chalk in fine powder", "Calc. Carb. Praecip.", "best French chalk", "creta alba"])
    def test_a_name_that_was_wholly_understood_does_not(self, name: str) -> None:
        assert not holding(with_a_line(name))

    def test_a_declaration_of_what_is_weighed_and_forbidden_says_nothing(self) -> None:
        mixture = with_a_line("White lead").declare("White lead, 2 ounces.", "I know it").declare("White lead", "I know it")
        assert {(f.level, f.about) for f in mixture.findings()} == {("refuse", "forbidden")}

    def test_pressing_keeps_what_was_printed(self) -> None:
        with pytest.raises(hk.Forbidden, match="Quibbleroot"):
            hk.batch(hk.press(with_a_line("Quibbleroot")).composition, 60)


class TestContested:
    def test_the_poison_counts_until_the_maker_chooses(self) -> None:
        mixture = with_a_line("Pearl white")
        with pytest.raises(hk.Forbidden, match=r"two meanings.*must not be used"):
            hk.batch(mixture, 60)
        key = mixture.parts[1].ingredient.id
        assert hk.batch(mixture.declare("Pearl white", "the dealer sells bismuth"), 60)
        assert hk.batch(mixture.replace(key, {key: 1.0}, "bismuth, by the dealer's word"), 60)

    def test_it_tells_the_sources_of_both(self) -> None:
        (found,) = [f for f in with_a_line("Pearl white").findings() if f.about == "contested"]
        assert "lead carbonate" in found.text and len(found.choices) >= 2

    def test_an_amount_that_rules_the_poison_out(self) -> None:
        """Nobody takes a quarter of a pomade of volatile oil: 'oil of almonds' by the ounce is the sweet one."""
        assert not holding(composition("White wax, 1 ounce.\nOil of almonds, 4 ounces."))


class TestElsewhere:
    @pytest.mark.parametrize(
        "text",
        [
            "Talc, 4 ounces.\nStarch, 2 ounces.\nMix, and add a little corrosive sublimate.",
            "Sublimate Powder\n\nTalc, 4 ounces.\nStarch, 2 ounces.",
        ],
    )
    def test_the_title_and_the_directions_are_searched(self, text: str) -> None:
        mixture = composition(text)
        assert holding(mixture)

    def test_what_the_maker_says_of_the_directions(self) -> None:
        mixture = composition("Talc, 4 ounces.\nStarch, 2 ounces.\nMix. Keep it far from white lead.")
        (found,) = [f for f in mixture.findings() if f.holds]
        assert hk.batch(mixture.declare(found.words, "a warning, no ingredient"), 60)

    def test_each_poison_wants_a_word_of_its_own(self) -> None:
        mixture = composition(
            "Talc, 4 ounces.\nStarch, 2 ounces.\nMix. Keep it far from white lead and from corrosive sublimate."
        )
        for one in ("white lead", "corrosive sublimate", "lead", "talc"):
            assert holding(mixture.declare(one, "a warning")) == {("ask", "poison")}
        both = mixture.declare("white lead", "a warning").declare("corrosive sublimate", "the same")
        assert hk.batch(both, 60)

    def test_a_god_in_the_title_is_asked_about_once(self) -> None:
        mixture = composition("Mercury's Powder\n\nTalc, 4 ounces.\nStarch, 2 ounces.")
        (found,) = mixture.findings()
        assert (found.level, found.words) == ("ask", "mercurys")
        made = hk.batch(mixture.declare(found.words, "the messenger of the gods"), 60)
        assert any("messenger" in warning for warning in made.warnings)

    def test_what_is_not_in_it_may_be_named(self) -> None:
        assert not holding(composition("Talc, 4 ounces.\nStarch, 2 ounces.\nThis powder contains neither lead nor bismuth."))

    def test_a_poison_without_an_amount_that_is_declared_stays_on_the_sheet(self) -> None:
        mixture = composition("Talc, 4 ounces.\nStarch, 2 ounces.\nCorrosive sublimate, q.s.")
        (found,) = [f for f in mixture.findings() if f.holds]
        declared = mixture.declare(found.words, "left out")
        assert [(f.level, f.about) for f in declared.findings()] == [("note", "declared")]

    def test_a_poison_that_was_replaced_may_stand_in_the_directions(self) -> None:
        mixture = composition("Talc, 4 ounces.\nWhite lead, 2 ounces.\nGrind the white lead with the talc.")
        replaced = mixture.replace("lead-carbonate", {"zinc-oxide": 1.0})
        assert hk.batch(replaced, 60)

    def test_a_poison_without_an_amount(self) -> None:
        mixture = composition("Talc, 4 ounces.\nStarch, 2 ounces.\nCorrosive sublimate, q.s.")
        assert holding(mixture)


class TestRecord:
    def test_choices_are_kept(self) -> None:
        record = hk.Record(
            text=SETTINGS[0].format("Quibbleroot"),
            known=(hk.records.Known("Quibbleroot", "barley meal"),),
            constraints=hk.records.Constraints(product="hair-powder", market="US"),
        )
        again = hk.Record.from_json(record.to_json())
        assert again == record and again.product().id == "hair-powder"
        assert "barley meal" in again.batch().to_markdown() and again.batch().region == "US"

    def test_a_corrected_name_counts_and_not_what_was_printed(self) -> None:
        record = hk.Record(text=SETTINGS[0].format("Butyr. Antim."))
        with pytest.raises(hk.Forbidden):
            record.batch()
        corrected = hk.Record(text=record.text, corrections=(hk.records.Correction(1, ingredient="kaolin"),))
        assert corrected.batch().weighing("kaolin").grams > 0
        left_out = hk.Record(text=record.text, corrections=(hk.records.Correction(1, leave_out=True),))
        assert len(left_out.batch().weighings) == 1


def test_nothing_is_said_of_a_plain_powder() -> None:
    assert composition("Face Powder\n\nTalc, 4 ounces.\nStarch, 2 ounces.\nMix well, and sift.").findings() == ()


def test_a_line_names_the_poison_in_its_print() -> None:
    """Whatever a name was taken for, the cautions of its line say what word it holds."""
    line = hk.translate(hk.read(SETTINGS[0].format("Mercurial flour of Quib"))).lines[1]
    assert ("forbidden", True) in {(c.level, "mercury" in c.text) for c in line.cautions}
    harmless = hk.translate(hk.read(SETTINGS[0].format("Talc"))).lines[1]
    assert "forbidden" not in {c.level for c in harmless.cautions}
