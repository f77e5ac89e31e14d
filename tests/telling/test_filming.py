"""What a film shows one at a time, of the invented powder and of the demonstration's records."""

from dataclasses import replace

import invented_powder as ip
import pytest
from drawn import letters, sound, words_of

from histkit.base.errors import BadValue
from histkit.display import pictures
from histkit.keeping import example as demo
from histkit.telling import filming
from histkit.telling.plainly import measures_caption, what_it_does, without_joints
from histkit.telling.sets import KINDS, draw_sets

LEAD = "lead carbonate"


def with_pans(count=3, **sides):
    record = demo.record("complexion")
    return replace(record, weighing=replace(record.weighing, pans=count, **sides))


def test_the_card_of_a_poison_says_what_it_does_and_which_law_forbids_it():
    cards = filming.poison_cards(demo.record("complexion").table())
    assert list(cards) == [LEAD]
    card = cards[LEAD]
    assert (card.mark, card.printed, card.share.text) == ("poison", "White lead, finely levigated, 2 oz.", "12.9 %")
    assert card.harm == ("Lead poisons by mouth and lungs and in part through the skin; it stays in the body.",)
    assert (
        card.law == ("Not allowed in cosmetics in the European Union: Reg. (EC) 1223/2009, Annex II/289.",)
        and card.title == "It was in it"
    )
    still = filming.poison_cards(demo.record("complexion", replaced=False).table())[LEAD]
    assert still.title == "It is still in it"
    assert filming.poison_cards(demo.record("tinted").table()) == {}


def test_the_card_of_a_stand_in_says_how_much_of_each_and_why():
    card = filming.stand_in_cards(demo.record("complexion").table())[LEAD]
    assert [(s.name, s.share.text, s.ratio, s.weigh) for s in card.stand_ins] == [
        ("zinc oxide", "8.3", "0.7 g for each gram", "4.97 g"),
        ("titanium dioxide", "3.5", "0.3 g for each gram", "2.13 g"),
    ]
    assert card.why == "White lead is a cumulative poison."


def test_step_cards_hold_every_weighing_and_every_step_once():
    batch = demo.record("complexion").batch()
    sheet, cards = batch.bench_sheet(), filming.step_cards(batch)
    told = [card.words for card in cards.values()]
    assert [card.number for card in cards.values()] == list(range(1, len(told) + 1))
    assert all(card.of == len(told) for card in cards.values())
    assert told == [step.step for step in sheet.steps]
    for card, step in zip(cards.values(), sheet.steps, strict=True):
        if len(step.puts) == 1:
            assert card.figure == batch.balance.text(step.puts[0][1])
    assert all(any(row.name in f"{card.words} {card.more}" for card in cards.values()) for row in sheet.rows)


def test_pans_are_drawn_as_they_were_chosen():
    record = with_pans(3, pan_diameter_mm=36.5, pan_depth_mm=5.0, below_rim_mm=0.5)
    plan = filming.pan_plan("A powder", record.filling(), record.pans_need())
    assert (plan.width_mm, plan.length_mm, plan.depth_mm, plan.count) == (36.5, None, 5.0, 3)
    assert plan.fill == pytest.approx(0.9)
    facts = dict(plan.facts)
    assert facts["Make"] == f"{record.pans_need().make:.1f} g" and "36.5" in facts["Each of 3 pans"]
    square = with_pans(1, pan_width_mm=30.0, pan_length_mm=60.0)
    assert filming.pan_plan("", square.filling(), square.pans_need()).length_mm == 60.0


def test_plaques_name_the_book_and_the_caution():
    plaques = filming.plaques(demo.record("complexion").table())
    assert list(plaques) == ["title", f"lower third {LEAD}", "end"]
    assert "1871" in plaques["title"].more and "safety assessor" in plaques["end"].lines[1]
    assert plaques[f"lower third {LEAD}"].more == "lead carbonate: white lead is a cumulative poison"


@pytest.mark.parametrize("size", [(1280, 720), (720, 1280), (720, 720)])
def test_all_of_them_are_sound_and_have_their_words(size):
    drawn, left_out = draw_sets(with_pans(), ("poisons", "stand-ins", "step-cards", "pans", "plaques"), size)
    assert not left_out and len(drawn) > 20
    for name, made in drawn.items():
        if name.startswith("step") and not name.endswith(("1", "7")):
            continue
        for frame in made:
            sound(frame)
            assert frame.alt and letters(frame.alt.partition("\n")[0])
    assert "POISON" in words_of(drawn[f"poison {LEAD}"])


def test_where_there_is_nothing_of_a_kind_it_is_said():
    with pytest.raises(BadValue, match="nothing to draw"):
        draw_sets(demo.record("tinted"), ("poisons",), (640, 360))
    assert "pans" in KINDS and draw_sets(demo.record("tinted"), ("pans", "plaques"), (640, 360))[0]


@pytest.mark.parametrize(("printed", "brief"), [
    ("Take of rice starch, half a pound", "rice starch, half a pound"), ("and of the talc", "talc"), ("Talc and starch", "Talc and starch"),
    ("and", "and"), ("Prenez: talc", "Prenez: talc"), ("", ""),
])  # fmt: skip
def test_joints_are_left_out(printed, brief):
    assert without_joints(printed) == brief


def test_what_all_ounces_do_is_one_doubt():
    from histkit.translating.describing import doubtful_amounts

    ranges = doubtful_amounts(demo.record("complexion").translation())
    ounces = [row for row in ranges.rows if "wheat starch" in row.name]
    assert len(ranges.rows) == 2 and len(ounces) == 1 and "precipitated" in ounces[0].name and "together" in ounces[0].words
    for frame in pictures.draw(ranges, (1920, 1080)):
        sound(frame)


def test_captions_of_measures_stand_for_every_convention_that_weighs():
    from histkit import measures
    from histkit.base.tables import read

    held = {row["convention"] for row in read("telling/measure_words")}
    wanted = {key for key, convention in measures.conventions.items() if convention.grams("ounce") or convention.grams("pound")}
    assert held <= set(measures.conventions) and wanted - held <= {"metric"}
    assert measures_caption(ip.translation()).startswith("Ounces of 28.35 g, as British shops weighed")


def test_the_harm_of_what_has_no_group_is_its_caution():
    harm, _ = what_it_does(replace(ip.INGREDIENTS["talc"], cautions=(ip.POISON,)))
    assert harm == (ip.POISON.text,)
