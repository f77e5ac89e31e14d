"""Alcohol and water against printed tables, to their printed digits where the formula reaches them.

NBS: table of densities of ethyl alcohol and water, g/cc, per cent by weight (Osborne 1913, as printed in a handbook of
beverages). USP29: alcoholometric table of the pharmacopoeia, per cent by weight from per cent by volume at 60 F, with
specific gravities at 60/60 F. OIML: values of the general formula of OIML R 22 (1975), computed independently.
"""

import pytest

from histkit.measures import alcohol

SIXTY = 15.56

NBS = {
    # per cent by weight: density at 15, 20, 25 C
    45: (0.92852, 0.92472, 0.92085), 50: (0.91776, 0.91384, 0.90985), 55: (0.90659, 0.90258, 0.89850),
    60: (0.89523, 0.89113, 0.88699), 65: (0.88364, 0.87948, 0.87527), 70: (0.87187, 0.86766, 0.86340),
    75: (0.85988, 0.85564, 0.85134), 80: (0.84772, 0.84344, 0.83911), 85: (0.83525, 0.83095, 0.82660),
}  # fmt: skip
USP29 = [
    # per cent by volume at 60 F, per cent by weight, specific gravity 60/60 F
    (5, 4.00, 0.9928), (10, 8.05, 0.9866), (15, 12.14, 0.9810), (20, 16.27, 0.9759), (25, 20.44, 0.9708),
    (30, 24.67, 0.9653), (33, 27.24, 0.9617),
]  # fmt: skip
OIML = [
    # per cent by volume, per cent by weight if measured at 60 F, gravity 60/60; per cent by weight if at 20 C, density at 20 C
    (20, 16.27, 0.97596, 16.21, 0.97356), (40, 33.36, 0.95180, 33.30, 0.94805), (45, 37.86, 0.94352, 37.80, 0.93954),
    (50, 42.48, 0.93428, 42.43, 0.93014), (57.15, 49.33, 0.91966, 49.27, 0.91538), (60, 52.14, 0.91344, 52.09, 0.90911),
    (70, 62.43, 0.89000, 62.39, 0.88556), (80, 73.52, 0.86382, 73.48, 0.85927), (90, 85.68, 0.83380, 85.66, 0.82918),
    (94.9, 92.28, 0.81639, 92.27, 0.81177), (95, 92.42, 0.81600, 92.41, 0.81138), (96, 93.85, 0.81204, 93.84, 0.80742),
]  # fmt: skip
# OIML R 22 for pure water (998.20123 kg/m3, its first coefficient) and pure alcohol (789.24 kg/m3) at 20 C
PURE = [(0, 0.99820123, 1e-8), (100, 0.78924, 5e-6)]


@pytest.mark.parametrize("percent", NBS)
def test_density_as_tabulated(percent):
    # Osborne's table and the later formula differ by up to 0.0001 g/mL at these strengths
    for celsius, printed in zip((15, 20, 25), NBS[percent], strict=True):
        assert alcohol.density_by_mass(percent, celsius) == pytest.approx(printed, abs=1e-4)


@pytest.mark.parametrize(("volume", "mass", "gravity"), USP29)
def test_pharmacopoeia_table(volume, mass, gravity):
    assert round(alcohol.mass_percent(volume, SIXTY), 2) == mass
    assert alcohol.specific_gravity(mass, SIXTY) == pytest.approx(gravity, abs=1.1e-4)


@pytest.mark.parametrize(("volume", "at_sixty", "gravity", "at_twenty", "density"), OIML)
def test_formula(volume, at_sixty, gravity, at_twenty, density):
    sixty = alcohol.mass_percent(volume, SIXTY)
    assert round(sixty, 2) == at_sixty
    assert round(alcohol.specific_gravity(sixty, SIXTY), 5) == pytest.approx(gravity, abs=1.01e-5)
    assert round(alcohol.mass_percent(volume, 20), 2) == at_twenty
    assert round(alcohol.density(volume, 20), 5) == density


@pytest.mark.parametrize(("percent", "density", "off"), PURE)
def test_pure_water_and_alcohol(percent, density, off):
    assert alcohol.density_by_mass(percent, 20) == pytest.approx(density, abs=off)


def test_densities_of_the_pharmacopoeias():
    # alcohol of 95 and 90 per cent at 60 F, density at 20 C, by the formula
    assert alcohol.density(95, 20, at=SIXTY) == pytest.approx(0.81135, abs=1.1e-5)
    assert alcohol.density(90, 20, at=SIXTY) == pytest.approx(0.82913, abs=1.1e-5)
    # rectified spirit .838 is 84.0 per cent by weight, 88.7 by volume (BP 1864-85, by the formula)
    assert alcohol.mass_percent_from_gravity(0.838) == pytest.approx(84.0, abs=0.05)
    assert alcohol.volume_percent(alcohol.mass_percent_from_gravity(0.838), SIXTY) == pytest.approx(88.7, abs=0.05)


def test_british_proof_by_statute():
    # 12/13 of the weight of water at 51 F (Scotch Whisky Association note; Popular Science Monthly 70, 249)
    assert round(alcohol.british_proof_mass_percent(), 2) == 49.27
    assert round(alcohol.british_proof_volume_percent(), 2) == 57.09
    assert alcohol.volume_percent(alcohol.british_proof_mass_percent(), 20) == pytest.approx(57.15, abs=0.005)
    assert round(alcohol.specific_gravity(alcohol.british_proof_mass_percent(), SIXTY), 4) == 0.9198
    # density at 51 F: 0.92275 g/mL
    assert alcohol.density_by_mass(alcohol.british_proof_mass_percent(), 10.556) == pytest.approx(0.92275, abs=5e-6)


def test_british_proof_as_cooley_prints_it():
    # Cooley, 6th ed., vol. I: sp. gr. .91984 at 60 F, 49.24 per cent by weight, 57.06 by volume
    percent = alcohol.mass_percent_from_gravity(0.91984)
    assert percent == pytest.approx(49.24, abs=0.015)
    assert alcohol.volume_percent(percent, SIXTY) == pytest.approx(57.06, abs=0.015)


def test_revenue_standard_alcohol():
    # Cooley: sp. gr. .825 at 60 F, 89 per cent by weight, 92.6 by volume, 62.5 over proof
    percent = alcohol.mass_percent_from_gravity(0.825)
    assert percent == pytest.approx(89, abs=0.1)
    assert alcohol.volume_percent(percent, SIXTY) == pytest.approx(92.6, abs=0.05)
    assert alcohol.over_proof(alcohol.volume_percent(percent, SIXTY)) == pytest.approx(62.5, abs=0.5)


def test_united_states_proof_spirit():
    # extract of a perfumery manual: 50 alcohol and 53.71 water make 100; density 0.93353 against water at its maximum
    spirit, water = alcohol.parts_by_volume(50)
    assert spirit == 50
    assert water == pytest.approx(53.71, abs=0.05)
    assert alcohol.density(50, SIXTY, at=SIXTY) / alcohol.density_by_mass(0, 4) == pytest.approx(0.93353, abs=2e-4)
    assert alcohol.us_proof(50) == 100


def test_proof_spirit_of_the_british_pharmacopoeia_of_1864():
    # Garrod: 5 pints of rectified spirit (.838) with 3 pints of water: sp. gr. .920, 49 per cent of alcohol
    strength = alcohol.volume_percent(alcohol.mass_percent_from_gravity(0.838), SIXTY)
    mixed = alcohol.mix((5, strength), (3, 0), celsius=SIXTY, at=SIXTY)
    assert alcohol.specific_gravity(mixed.percent_mass, SIXTY) == pytest.approx(0.920, abs=0.0006)
    assert mixed.percent_mass == pytest.approx(49, abs=0.1)
    assert mixed.millilitres == pytest.approx(7.81, abs=0.005)


def test_diluted_alcohol_of_the_pharmacopoeia():
    # USP 29: 500 mL alcohol and 500 mL water at 25 C give about 970 mL; limits 41.0-42.0 w/w, 48.4-49.5 v/v
    mixed = alcohol.mix((500, 94.9), (500, 0), celsius=25, at=SIXTY)
    assert mixed.millilitres == pytest.approx(970, rel=0.002)
    assert 41.0 <= mixed.percent_mass <= 42.0
    assert 48.4 <= alcohol.volume_percent(mixed.percent_mass, SIXTY) <= 49.5


def test_alcohol_of_1898_above_rectified_spirit_of_1885():
    # King's American Dispensatory: stronger by 1.35 per cent by volume and 1.65 by weight, 0.1 being lost in rounding
    assert alcohol.mass_percent(90, SIXTY) - alcohol.mass_percent(90 - 1.35, SIXTY) == pytest.approx(1.65, abs=0.1)
    assert alcohol.mass_percent(90 - 1.35, SIXTY) == pytest.approx(83.96, abs=0.05)


# Polytechnisches Journal, as Deutsches Textarchiv gives it: vol. 37 (1830) p. 449, vol. 45 p. 460, vol. 56 (1835) p. 356,
# vol. 91 (1844) p. 197, vol. 121 (1851) p. 396, vol. 169 (1863) p. 143, vol. 172 (1864) p. 284
CARTIER = [
    # degrees of Cartier, per cent by volume on the centesimal scale or Tralles's, how near: the trade spoke in whole degrees
    (35.77, 89.25, 0.05), (36, 89.6, 0.01), (30, 78.5, 0.01), (33, 85, 1), (40, 95, 0.5), (20, 54, 1.6),
]  # fmt: skip


@pytest.mark.parametrize(("degrees", "percent", "near"), CARTIER)
def test_cartier_as_printed(degrees, percent, near):
    """35.77 degrees and 89.25 of the centesimal scale were read in one spirit; 36 stands for 89.6 in two volumes."""
    assert alcohol.from_cartier(degrees) == pytest.approx(percent, abs=near)


def test_a_printed_point_of_cartier_is_cited_and_a_recalled_one_says_so():
    assert "Polytechnisches Journal" in alcohol.strength("36° Cartier").words
    assert "memory" in alcohol.strength("22° Cartier").words
