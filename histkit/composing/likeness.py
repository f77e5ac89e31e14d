"""How like two compositions are, and what lies in the middle of several: arithmetic of shares by their ratios.

Shares that add to 1 say something by their ratios alone (J. Aitchison, The Statistical Analysis of Compositional Data, London
1986), so distance and mean are taken on logarithms. A share of nought has no logarithm: `without_zeros` says what stands for it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from histkit.base.errors import BadValue

LIMIT = 0.001
"""Shares below this are taken as not there: receipts seldom state less, and what is 'to taste' has no figure. Common practice."""
DELTA = 0.65 * LIMIT
"""What stands for a share that is not there: 65 % of the limit, after J. A. Martín-Fernández, C. Barceló-Vidal and
V. Pawlowsky-Glahn, Dealing with zeros and missing values in compositional data sets using nonparametric imputation,
Mathematical Geology 35 (2003), 253-278; the fraction as in the documentation of the R package zCompositions."""


def without_zeros(shares: Iterable[float], delta: float = DELTA) -> list[float]:
    """Shares with `delta` for each zero and the others lessened in proportion, so that they add to 1 and keep their ratios.

    The multiplicative replacement of Martín-Fernández, Barceló-Vidal and Pawlowsky-Glahn (2003).

    Raises:
        BadValue: a share is negative or none is positive, or so many are zero that delta leaves nothing for the rest.
    """
    values = list(shares)
    total = math.fsum(values)
    if not values or min(values) < 0 or not 0 < total < math.inf:
        raise BadValue("shares are 0 or more, and at least one is above 0")
    zeros = sum(v == 0 for v in values)
    if zeros * delta >= 1:
        raise BadValue(f"{zeros} shares are nought; at {delta:g} for each nothing is left for the others")
    return [v / total * (1 - zeros * delta) if v else delta for v in values]


def aitchison(one: Mapping[str, float], two: Mapping[str, float], delta: float = DELTA, limit: float = LIMIT) -> float:
    """The Aitchison distance of two compositions (ingredient → share): Euclid's, between the centred logarithms of their parts.

    The parts are those of either; shares below `limit` count as nought and nought as `delta` (J. Aitchison, The Statistical
    Analysis of Compositional Data, London 1986, for the centred log-ratio; `without_zeros` for the noughts).
    """
    logs = [[math.log(v) for v in values] for values in _filled((one, two), delta, limit)[1]]
    centred = [[v - math.fsum(values) / len(values) for v in values] for values in logs]
    return math.dist(*centred)


def centre(compositions: Sequence[Mapping[str, float]], delta: float = DELTA, limit: float = LIMIT) -> dict[str, float]:
    """The centre of several compositions (ingredient → share, adding to 1): their geometric mean part by part, closed.

    It is the composition from which the squared Aitchison distances add up to least (V. Pawlowsky-Glahn and J. J. Egozcue,
    Geometric approach to statistical analysis on the simplex, Stochastic Environmental Research and Risk Assessment 15 (2001),
    384-398). Noughts are treated as for the distance, so that what one formula lacks becomes small and never vanishes.

    Raises:
        BadValue: there is none, or one has no share above 0.
    """
    if not compositions:
        raise BadValue("a mean is of at least one composition")
    parts, filled = _filled(compositions, delta, limit)
    means = [math.exp(math.fsum(map(math.log, column)) / len(filled)) for column in zip(*filled, strict=True)]
    total = math.fsum(means)
    return {part: mean / total for part, mean in zip(parts, means, strict=True)}


def closed(shares: Mapping[str, float], limit: float) -> dict[str, float]:
    """Shares that add to 1, without those below `limit`.

    Raises:
        BadValue: none is above 0.
    """
    total = math.fsum(shares.values())
    if not total > 0:
        raise BadValue("a composition has at least one share above 0")
    return {key: share / total for key, share in shares.items() if share / total >= limit}


def _filled(compositions: Sequence[Mapping[str, float]], delta: float, limit: float) -> tuple[list[str], list[list[float]]]:
    """The parts of all, by name, and the shares of each composition in that order, without noughts."""
    rows = [closed(shares, limit) for shares in compositions]
    parts = sorted(set().union(*rows))
    return parts, [without_zeros([shares.get(part, 0.0) for part in parts], delta) for shares in rows]
