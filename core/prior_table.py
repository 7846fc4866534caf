"""Prior means by cut and the common covariance of the unknowns of :mod:`core.prior`.

Centred on the published roasting times; the covariance is a first, independent one.
"""

from __future__ import annotations

from core.catalogue import CUTS

MEAN: dict[str, tuple[float, ...]] = dict.fromkeys(CUTS, (0.0, 0.0, 0.0, 0.0, 0.0, -1.0, 0.0))

_SD = (0.13, 0.30, 0.55, 0.60, 9.0, 0.8, 0.2)

COVARIANCE: tuple[tuple[float, ...], ...] = tuple(
    tuple(_SD[i] ** 2 if i == j else 0.0 for j in range(len(_SD))) for i in range(len(_SD))
)
