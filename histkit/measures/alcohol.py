"""Spirit strengths: density of alcohol and water, per cent by volume and by weight, proof, mixing.

The density is the general formula of OIML R 22 (1975), good to about 0.0001 g/mL between -20 and 40 C. Per cent by
volume is the volume of absolute alcohol in 100 volumes, both measured at `at` degrees Celsius: 20 for the modern
tables, 60 F (15.56 C) for the British, the older French (15 C) and the United States books.
Densities are g/mL, temperatures degrees Celsius, strengths per cent unless the name says share (0 to 1).
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from itertools import pairwise

from histkit.base.bibliography import cited
from histkit.base.errors import BadValue
from histkit.base.tables import entries
from histkit.measures.rows import rows

SIXTY_FAHRENHEIT = (60 - 32) / 1.8
"""60 F in Celsius, the temperature of British and United States strengths."""

_FIFTY_ONE_FAHRENHEIT = (51 - 32) / 1.8
_LOWEST, _HIGHEST = -20.0, 40.0
_REFERENCE = 20.0


@cache
def _coefficients() -> tuple[tuple[float, ...], tuple[float, ...], tuple[tuple[float, ...], ...]]:
    table = rows("alcohol_coefficients")
    a = tuple(float(r["value"]) for r in table if r["term"] == "A")
    b = tuple(float(r["value"]) for r in table if r["term"] == "B")
    c = tuple(tuple(float(r["value"]) for r in table if r["term"] == "C" and r["i"] == str(i)) for i in range(1, 6))
    return a, b, c


def density_by_mass(percent_mass: float, celsius: float = 20.0) -> float:
    """Density in g/mL of alcohol and water with `percent_mass` per cent of alcohol by weight (source: OIML R 22).

    Raises BadValue outside 0 to 100 per cent or -20 to 40 C.
    """
    _check_percent(percent_mass, "by weight")
    _check_temperature(celsius)
    p, t = percent_mass / 100, celsius - _REFERENCE
    a, b, c = _coefficients()
    rho = _polynomial(a, p)
    rho += t * _polynomial(b, t)
    rho += sum(t**i * p * _polynomial(row, p) for i, row in enumerate(c, start=1))
    return rho / 1000


def density(percent_volume: float, celsius: float = 20.0, at: float = 20.0) -> float:
    """Density in g/mL at `celsius` of a spirit of `percent_volume` per cent by volume, the strength measured at `at`."""
    return density_by_mass(mass_percent(percent_volume, at), celsius)


def volume_percent(percent_mass: float, at: float = 20.0) -> float:
    """Per cent by volume at `at` degrees Celsius from per cent by weight."""
    return percent_mass * density_by_mass(percent_mass, at) / density_by_mass(100.0, at)


@lru_cache(maxsize=4096)
def mass_percent(percent_volume: float, at: float = 20.0) -> float:
    """Per cent by weight from per cent by volume at `at` degrees Celsius."""
    _check_percent(percent_volume, "by volume")
    return _solve(lambda p: volume_percent(p, at) - percent_volume)


def mass_share(percent_volume: float, at: float = 20.0) -> float:
    """Share by mass (0 to 1) of absolute alcohol in a spirit of `percent_volume` per cent by volume."""
    return mass_percent(percent_volume, at) / 100


@lru_cache(maxsize=4096)
def mass_percent_from_density(grams_per_millilitre: float, celsius: float = 20.0) -> float:
    """Per cent by weight from a density in g/mL measured at `celsius`.

    Raises BadValue for a density that no mixture of alcohol and water has at that temperature.
    """
    heaviest, lightest = density_by_mass(0.0, celsius), density_by_mass(100.0, celsius)
    if not lightest - 1e-9 <= grams_per_millilitre <= heaviest + 1e-9:
        raise BadValue(
            f"alcohol and water at {celsius:g} C weigh between {lightest:.5f} and {heaviest:.5f} g/mL, not {grams_per_millilitre}"
        )
    return _solve(lambda p: grams_per_millilitre - density_by_mass(p, celsius))


def mass_percent_from_gravity(specific_gravity: float, celsius: float = SIXTY_FAHRENHEIT) -> float:
    """Per cent by weight from a specific gravity taken at `celsius` against water at the same temperature."""
    return mass_percent_from_density(specific_gravity * density_by_mass(0.0, celsius), celsius)


def specific_gravity(percent_mass: float, celsius: float = SIXTY_FAHRENHEIT) -> float:
    """Specific gravity at `celsius` against water at the same temperature, from per cent by weight."""
    return density_by_mass(percent_mass, celsius) / density_by_mass(0.0, celsius)


# British and United States proof


@cache
def british_proof_mass_percent() -> float:
    """Per cent by weight of British proof spirit: at 51 F it weighs 12/13 of an equal measure of water (statute)."""
    return mass_percent_from_density(density_by_mass(0.0, _FIFTY_ONE_FAHRENHEIT) * 12 / 13, _FIFTY_ONE_FAHRENHEIT)


@cache
def british_proof_volume_percent() -> float:
    """Per cent by volume at 60 F of British proof spirit."""
    return volume_percent(british_proof_mass_percent(), SIXTY_FAHRENHEIT)


def from_over_proof(degrees: float) -> float:
    """Per cent by volume at 60 F of a spirit so many degrees over proof (under proof is negative), British.

    100 volumes of a spirit `degrees` over proof hold as much alcohol as 100 + `degrees` volumes of proof spirit.
    Raises BadValue for less than water (-100) or more than absolute alcohol.
    """
    strongest = over_proof(100.0)
    if not -100 <= degrees <= strongest:
        raise BadValue(f"spirit runs from 100 under proof (water) to {strongest:.1f} over proof (absolute), not {degrees} over")
    return (100 + degrees) * british_proof_volume_percent() / 100


def over_proof(percent_volume: float) -> float:
    """British degrees over proof (negative: under proof) of a spirit of `percent_volume` per cent at 60 F."""
    return percent_volume / british_proof_volume_percent() * 100 - 100


def proof_gallons(gallons: float, over_proof: float = 0.0) -> float:
    """Gallons of British proof spirit that hold the alcohol of `gallons` so many degrees over proof (negative: under)."""
    if over_proof < -100:
        raise BadValue(f"nothing is weaker than 100 under proof, which is water; not {over_proof} over")
    return gallons * (100 + over_proof) / 100


def us_proof(percent_volume: float) -> float:
    """United States degrees of proof: twice the per cent by volume at 60 F."""
    _check_percent(percent_volume, "by volume")
    return 2 * percent_volume


def from_us_proof(degrees: float) -> float:
    """Per cent by volume at 60 F from United States degrees of proof (0 to 200)."""
    if not 0 <= degrees <= 200:
        raise BadValue(f"United States proof runs from 0 to 200, not {degrees}")
    return degrees / 2


# Mixing


@dataclass(frozen=True, slots=True)
class Mixture:
    """Alcohol and water mixed: grams, millilitres at the temperature of mixing, per cent by weight and by volume (20 C)."""

    grams: float
    millilitres: float
    percent_mass: float
    percent_volume: float

    @property
    def density(self) -> float:
        """g/mL at the temperature of mixing."""
        return self.grams / self.millilitres


def mix(*measures: tuple[float, float], celsius: float = 20.0, at: float = 20.0) -> Mixture:
    """Spirits mixed: each measure is (millilitres, per cent by volume), water (millilitres, 0).

    Volumes shrink on mixing, masses add. `celsius` is the temperature of the measuring, `at` that of the strengths.
    Raises BadValue where nothing is mixed or a volume is below zero.
    """
    if any(volume < 0 for volume, _ in measures) or not sum(volume for volume, _ in measures) > 0:
        raise BadValue(f"mix takes volumes above zero, not {measures}")
    masses = [(volume * density(strength, celsius, at), mass_share(strength, at)) for volume, strength in measures]
    grams = sum(mass for mass, _ in masses)
    percent = min(100.0, 100 * sum(mass * share for mass, share in masses) / grams)
    return Mixture(grams, grams / density_by_mass(percent, celsius), percent, volume_percent(percent, 20.0))


def water_to_add(millilitres: float, strong: float, weak: float, celsius: float = 20.0, at: float = 20.0) -> float:
    """Millilitres of water that bring `millilitres` of a spirit from `strong` down to `weak` per cent by volume."""
    if not 0 < weak <= strong:
        raise BadValue(f"water only weakens a spirit: from {strong} per cent it cannot reach {weak}")
    mass = millilitres * density(strong, celsius, at)
    total = mass * mass_share(strong, at) / mass_share(weak, at)
    # At the same strength rounding alone could leave a hair less than nothing.
    return max(0.0, total - mass) / density_by_mass(0.0, celsius)


def parts_by_volume(percent_volume: float, at: float = SIXTY_FAHRENHEIT) -> tuple[float, float]:
    """Volumes of absolute alcohol and of water, measured apart at `at`, that make 100 volumes; they add to more than 100."""
    percent = mass_percent(percent_volume, at)
    mass = 100 * density_by_mass(percent, at)
    return percent_volume, mass * (1 - percent / 100) / density_by_mass(0.0, at)


# Printed strengths


@dataclass(frozen=True, slots=True)
class Strength:
    """What a printed strength means. `percent_volume` is at 20 C; `words` say how it was understood, with the source."""

    percent_mass: float
    percent_volume: float
    words: str

    @property
    def density(self) -> float:
        """g/mL at 20 C."""
        return density_by_mass(self.percent_mass, 20.0)


_HAS_FIGURES = re.compile(r"\d").search
_NUMBER = r"(?P<value>\d{1,3}(?:\.\d+)?|\.\d+)"


@cache
def _words(*meanings: str) -> str:
    """A pattern for the words of strength_words.csv that have one of these meanings, without a group.

    A blank in a word may be missing in print, so may a hyphen and a full stop at its end.
    """
    words = [word for row in rows("strength_words") if row["meaning"] in meanings for word in entries(row["words"])]
    return f"(?:{'|'.join(map(_loosely, words))})"


def _loosely(word: str) -> str:
    body, stop = (word[:-1], r"\.?") if word.endswith(".") else (word, "")
    return re.escape(body).replace(r"\ ", " *").replace(r"\-", " *-?") + stop


_SCALES = {"cartier": "Cartier", "baume": "Baumé", "volume": "by volume scale"}
"""The hydrometers that may be named beside a figure: the name of the pattern's group, and their meaning in strength_words.csv."""


@cache
def _patterns() -> dict[str, re.Pattern[str]]:
    """How a strength may be printed, by what it is given in."""
    degree, proof, per_cent = _words("degree"), _words("proof"), _words("per cent")
    side = f"(?:(?P<over>{_words('over')})|{_words('under')})"
    share = f"(?:{per_cent}|{_words('per cent alone')}|(?P<alone>{degree}))"
    by = f"(?: *(?P<by_weight>{_words('by weight')})| *{_words('by volume')})?"
    scale = "|".join(f"(?P<{name}>{_words(meaning)})" for name, meaning in _SCALES.items())
    return {
        "scale": re.compile(f"{_NUMBER} *(?:{degree}|{per_cent})? *(?:{_words('of')} *)?(?:{scale})"),
        "over proof": re.compile(f"{_NUMBER}{degree}? *{per_cent}? *{side} *-?{_words('proof', 'proof after over or under')}"),
        "proof": re.compile(f"{_NUMBER}{degree}? *-?{proof}"),
        "specific gravity": re.compile(rf"{_words('specific gravity')}(?: {_words('of')})? *:? *(?P<value>0?\.\d+)"),
        "per cent": re.compile(f"{_NUMBER} *{share}{by}"),
    }


def strength(text: str, country: str = "", year: int | None = None) -> Strength | None:
    """What a printed strength or the name of a spirit means: '60 over proof', '90 per cent', 'sp. gr. .838', 'proof spirit'.

    `country` and `year` choose among the proofs and pharmacopoeias; None where the words are no strength.
    """
    words = _plain(text).strip(" ,;()")
    for given, pattern in _patterns().items():
        if match := pattern.fullmatch(words):
            return _printed(given, match)
    return _spirit(words, country, year)


def _printed(given: str, match: re.Match[str]) -> Strength | None:
    """The strength that was printed as a figure; None where no spirit has it."""
    value, parts = float(match["value"]), match.groupdict()
    if given == "scale":
        return next((_on_scale(value, name) for name in _SCALES if parts[name]), None)
    if given == "over proof":
        degrees = value if parts["over"] else -value
        if not -100 <= degrees <= over_proof(100.0):
            return None
        side = "over" if degrees >= 0 else "under"
        return _strength(from_over_proof(degrees), f"{abs(degrees):g} {side} British proof ({_proof_source('GB')})")
    if given == "proof":
        if value > 200:
            return None
        return _strength(value / 2, f"{value:g} degrees of United States proof ({_proof_source('US')})")
    if given == "specific gravity":
        return _from_gravity(value, f"specific gravity {value:g} at 60 F")
    if value > 100:
        return None
    if parts["alone"] and (cartier := _on_scale(value, "cartier")) is not None:
        return replace(
            cartier, words=f"{cartier.words}; bare degrees so few are taken as Cartier's, since no spirit is that weak"
        )
    if parts["by_weight"]:
        return Strength(value, volume_percent(value), f"{value:g} per cent by weight")
    return _strength(value, f"{value:g} per cent by volume, at 60 F as the books measured")


def from_cartier(degrees: float) -> float:
    """Per cent by volume (15 C) from degrees of Cartier's hydrometer (10 to 44): `cartier.csv`, between its lines in proportion.

    Raises BadValue outside of them.
    """
    table = [(float(row["degrees"]), float(row["percent"])) for row in rows("cartier")]
    for (low, weak), (high, strong) in pairwise(table):
        if low <= degrees <= high:
            return weak + (strong - weak) * (degrees - low) / (high - low)
    raise BadValue(f"Cartier's hydrometer runs from {table[0][0]:g} to {table[-1][0]:g} for spirits, not {degrees:g}")


def gravity_from_baume(degrees: float) -> float:
    """Specific gravity at 60 F from degrees of Baume for liquids lighter than water: 140 / (130 + degrees), 10 being water.

    The American modulus (memory); older French instruments differ by up to 0.004. Raises BadValue below 10.
    """
    if not degrees >= 10:
        raise BadValue(f"Baume's degrees for liquids lighter than water begin at 10, which is water, not {degrees:g}")
    return 140 / (130 + degrees)


def _on_scale(value: float, scale: str) -> Strength | None:
    """A figure on a named hydrometer; None where no spirit has it."""
    if scale == "cartier":
        try:
            percent = from_cartier(value)
        except BadValue:
            return None
        row = min(rows("cartier"), key=lambda row: abs(float(row["degrees"]) - value))
        return _at(percent, 15.0, f"{value:g} degrees of Cartier, {percent:.1f} per cent by volume ({cited(row, mark=True)})")
    if scale == "baume":
        if value < 10:
            return None
        return _from_gravity(gravity_from_baume(value), f"{value:g} degrees of Baumé, lighter than water (from memory)")
    if value > 100:
        return None
    return _at(value, 15.0, f"{value:g} per cent by volume, as Gay-Lussac (15 C) and Tralles (60 F) measured")


def _at(percent_volume: float, celsius: float, words: str) -> Strength:
    percent = mass_percent(percent_volume, celsius)
    return Strength(percent, volume_percent(percent), words)


def printed_strength(text: str) -> str:
    """The strength that is printed somewhere in a text ('Alcool à 90°', 'spirit (56° o.p.)'), for `strength`; '' for none.

    A figure with degrees that speak of heat ('60° F.') is none.
    """
    words = _plain(text)
    for pattern in _patterns_within():
        if match := pattern.search(words):
            return match.group()
    return ""


def without_strength(name: str) -> str:
    """A printed name without the strength that stands behind it: 'Schwefelsäure von 66° B.', 'ammonia, sp. gr. 0.880'.

    A figure alone is no strength; one before a name ('30 per cent acetic acid') stays.
    """
    match = _strength_behind().search(name) if _HAS_FIGURES(name) else None
    return name[: match.start()] if match else name


@cache
def _strength_behind() -> re.Pattern[str]:
    figure = r"\d{1,3}(?:[.,·]\d+)?(?: *[-–] *\d{1,3})?|[.·]\d+"
    before, of, gravity = _words("before a strength"), _words("of"), _words("specific gravity")
    sign, scale = _words("degree", "per cent", "per cent alone"), _words("Cartier", "Baumé", "by volume scale", "Twaddell")
    by_gravity = f"{gravity}(?: {of})? *[:=]? *(?:{figure})|(?:{figure}) *{gravity}"
    on_a_scale = f"(?:{figure}) *(?:{sign}(?: *(?:{of} )?{scale})?|{scale})"
    side = f"{_words('over', 'under')} *-?{_words('proof', 'proof after over or under')}"
    by_proof = f"(?:{figure}) *{sign}? *(?:{side}|-?{_words('proof')})"
    printed = f"{by_gravity}|{by_proof}|{on_a_scale}"
    return re.compile(rf"(?<=\w)[\s,;(]+(?:{before} +(?:a +|an +)?)?(?:{printed})[\s.,)]*$", re.IGNORECASE)


@cache
def _patterns_within() -> tuple[re.Pattern[str], ...]:
    heat = _words("heat")
    return tuple(re.compile(rf"(?<![\d.,]){pattern.pattern}(?! *{heat}(?!\w))(?!\w)") for pattern in _patterns().values())


def _plain(text: str) -> str:
    return " ".join(text.casefold().replace("·", ".").split())


def _proof_source(country: str) -> str:
    """The work that says what proof spirit was in this country."""
    return cited(next(row for row in rows("spirits") if (row["name"], row["country"]) == ("proof spirit", country)))


def _spirit(words: str, country: str, year: int | None) -> Strength | None:
    name = "proof spirit" if re.fullmatch(_words("proof spirit"), words) else words
    named = [row for row in rows("spirits") if row["name"] == name]
    if not named:
        return None

    def fit(row: dict[str, str]) -> tuple[bool, bool]:
        in_years = year is not None and int(row["from_year"]) <= year <= int(row["to_year"])
        return (not country or row["country"] in ("", country), in_years)

    row = max(named, key=fit)  # the first listed wins a tie
    why = f"{row['words']} ({cited(row, mark=True)})"
    value = float(row["value"])
    if row["given"] == "over proof":
        return _strength(from_over_proof(value), why)
    if row["given"] == "specific gravity":
        return _from_gravity(value, why)
    if row["given"] == "percent by weight":
        return Strength(value, volume_percent(value), why)
    return _strength(value, why)


def settled_spirit(name: str, country: str, year: int) -> str:
    """The name as `strength` takes it, where a spirit of this name had one strength in this country and year; '' otherwise."""
    words = _plain(name)
    country_and_years = _settled_years().get(words, ())
    return words if any(c == country and first <= year <= last for c, first, last in country_and_years) else ""


@cache
def _settled_years() -> dict[str, tuple[tuple[str, int, int], ...]]:
    """For each named spirit the countries and years in which a printed source says how strong it was."""
    seen = [row for row in rows("spirits") if row["mark"] == "seen" and row["country"]]
    return {
        row["name"]: tuple((r["country"], int(r["from_year"]), int(r["to_year"])) for r in seen if r["name"] == row["name"])
        for row in seen
    }


def _strength(percent_at_sixty: float, words: str) -> Strength:
    percent = mass_percent(percent_at_sixty, SIXTY_FAHRENHEIT)
    return Strength(percent, volume_percent(percent), words)


def _from_gravity(gravity: float, words: str) -> Strength | None:
    try:
        # the lightest printed figures lie a hair below absolute alcohol by the formula (0.7938 against 0.7939)
        percent = mass_percent_from_gravity(max(gravity, specific_gravity(100.0)) if gravity > 0.79 else gravity)
    except BadValue:
        return None
    return Strength(percent, volume_percent(percent), words)


def _polynomial(coefficients: tuple[float, ...], x: float) -> float:
    total = 0.0
    for coefficient in reversed(coefficients):
        total = total * x + coefficient
    return total


def _solve(rising: Callable[[float], float]) -> float:
    """The per cent between 0 and 100 where a rising function is zero: halving until the doubles are exhausted."""
    low, high = 0.0, 100.0
    if rising(low) >= 0:
        return low
    if rising(high) <= 0:
        return high
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if rising(middle) < 0 else (low, middle)
    return (low + high) / 2


def _check_percent(value: float, how: str) -> None:
    if not 0 <= value <= 100:
        raise BadValue(f"a strength {how} lies between 0 and 100 per cent, not {value}")


def _check_temperature(celsius: float) -> None:
    if not _LOWEST <= celsius <= _HIGHEST:
        raise BadValue(f"the alcohol formula holds between {_LOWEST:g} and {_HIGHEST:g} C, not at {celsius}")
