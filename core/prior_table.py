"""Prior means by cut and the common covariance of the unknowns of :mod:`core.prior`.

Centred on the published roasting times; the covariance is a first, independent one.
"""

from __future__ import annotations

_ZERO = (0.0, 0.0, 0.0, 0.0, 0.0, -1.0, 0.0)

MEAN: dict[str, tuple[float, ...]] = dict.fromkeys(("pork_shoulder", "pork_loin", "pork_ribs", "ham", "beef_brisket", "beef_rib_roast", "leg_of_lamb", "whole_chicken", "chicken_pieces", "whole_turkey", "turkey_breast", "duck", "goose", "salmon_side", "other"), _ZERO)  # fmt: skip

_SD = (0.13, 0.30, 0.45, 0.50, 7.0, 0.8, 0.2)

COVARIANCE: tuple[tuple[float, ...], ...] = tuple(
    tuple(_SD[i] ** 2 if i == j else 0.0 for j in range(len(_SD))) for i in range(len(_SD))
)
