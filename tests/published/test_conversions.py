"""Worked examples of the pharmacist's arithmetic that touch measures: specific gravity, proof, old and metric amounts.

Sources: MD United States Army subcourse MD0802; QUIZ student problems of the Ansel and Stoklosa type with answers; BEA
the Druggist's General Receipt-Book; IPC Introduction to Pharmaceutical Calculations, 4th ed., p. 144; COO Cooley's
Cyclopaedia, 6th ed., alcoholometry; KINGS King's American Dispensatory 1898, USD18 Dispensatory of the United States 1918
(printed conversions of tinctures); UH University of Houston PHAR 4330.
"""

import pytest

from histkit.measures import alcohol, conventions, exact, grams_to_millilitres, gravity, millilitres_to_grams

US, GB = conventions["avoirdupois-us"], conventions["avoirdupois-gb"]
REL = 0.002


def test_weight_of_a_volume():
    assert millilitres_to_grams(240, 0.81) == pytest.approx(194.4, rel=REL)  # MD
    assert millilitres_to_grams(3620, 0.82) == pytest.approx(2968.4, rel=REL)  # QUIZ


def test_volume_of_a_weight():
    assert grams_to_millilitres(45, 1.25) == pytest.approx(36, rel=REL)  # MD
    assert grams_to_millilitres(50 * 454, 1.25) / 473 == pytest.approx(38.39, rel=REL)  # QUIZ, its pound and pint
    pints = grams_to_millilitres(50 * US.grams("pound"), 1.25) / US.millilitres("pint").best
    assert pints == pytest.approx(38.39, rel=REL)  # the same with ours
    assert grams_to_millilitres(50 / 250 * 1000, 1.263) == pytest.approx(158.36, rel=REL)  # UH
    assert grams_to_millilitres(50 / 250 * 4750, 1.263) == pytest.approx(752.21, rel=REL)  # UH


def test_specific_gravity_from_weighing():
    assert gravity.specific_gravity(601, US.millilitres("pint").best) == pytest.approx(1.27, rel=REL)  # QUIZ
    assert gravity.specific_gravity(26.2, 27.8) == pytest.approx(0.942, rel=REL)  # QUIZ
    assert gravity.pycnometer(empty=120, with_water=171, with_liquid=160) == pytest.approx(0.784, rel=REL)  # QUIZ


@pytest.mark.parametrize(("gallons", "gravity_", "pounds"), [(1, 0.750, 7.5), (1, 1.500, 15)])
def test_imperial_gallon_in_pounds(gallons, gravity_, pounds):
    # BEA: an Imperial gallon of water weighs ten pounds, so ether .750 weighs 7.5 and nitric acid 1.500 weighs 15
    grams = millilitres_to_grams(gallons * GB.millilitres("gallon").best, gravity_ * 0.9982)
    assert grams / GB.grams("pound") == pytest.approx(pounds, rel=REL)


def test_ointment_with_a_liquid_by_volume():
    # IPC p. 144: zinc oxide 10 g, liquid paraffin 15 mL of 0.88 g/mL, soft paraffin to 100 g; make 25 g
    paraffin = millilitres_to_grams(15, 0.88)
    assert paraffin == pytest.approx(13.2, rel=REL)
    assert [10 / 4, paraffin / 4, (100 - 10 - paraffin) / 4] == pytest.approx([2.5, 3.3, 19.2], rel=REL)


def test_proof_gallons():
    assert alcohol.proof_gallons(91, 21) == pytest.approx(110.11, rel=REL)  # COO
    assert alcohol.proof_gallons(100, -11) == pytest.approx(89, rel=REL)  # COO


def test_absolute_alcohol_in_proof_spirit():
    assert 100 / alcohol.british_proof_volume_percent() == pytest.approx(1.7525, rel=REL)  # COO


@pytest.mark.parametrize(
    ("millilitres", "ounces", "minims", "off"),
    [
        (1000, 33, 391, 0.5),  # KINGS
        (800, 27, 25, 1.0),  # KINGS: 24.5 by calculation, printed 25
    ],
)
def test_cubic_centimetres_in_fluid_ounces(millilitres, ounces, minims, off):
    (whole, _), (rest, _) = US.express(millilitres, ("fluid ounce", "minim"))
    assert whole == ounces
    assert rest == pytest.approx(minims, abs=off)


@pytest.mark.parametrize(
    ("grams", "ounces", "grains"),
    [
        (200, 7, 24),  # KINGS, USD18
        (80, 2, 360),  # KINGS, USD18
        (100, 3, 231),  # USD18
    ],
)
def test_grams_in_avoirdupois_ounces_and_grains(grams, ounces, grains):
    (whole, _), (rest, _) = US.express(grams, ("ounce", "grain"))
    assert whole == ounces
    assert rest == pytest.approx(grains, abs=0.6)


def test_martindale_minims():
    # MAR: 85 minims are 5 cc and 1020 are 60 cc
    minim = float(exact("imperial_minim"))
    assert 85 * minim == pytest.approx(5, rel=0.01)
    assert 1020 * minim == pytest.approx(60, rel=0.01)
