r"""Sharper priors from a cook's own past: the hook that the Ledger uses.

A household's cooks of one cut share part of what makes them differ from the book (its gauge, its
cooker, the butcher's way of cutting) and differ in the rest:

.. math:: x_i = \mu + b + e_i, \qquad b \sim N(0, p\Sigma), \quad e_i \sim N(0, (1-p)\Sigma)

with the book's mean :math:`\mu` and covariance :math:`\Sigma` of the unknowns. Each past cook tells
of its :math:`x_i` what its readings tell: the posterior under the book's prior, with that prior
divided out again. Read backwards, a past cook is trusted less than that: what the model gets wrong
of a day is put down to the unknowns too. So only the share :math:`\tau` of what it tells is heeded,
and it stands :math:`N(0, d\Sigma)` away from the household:

.. math:: K_i = (I + \tau\Lambda_i d\Sigma)^{-1}, \quad
    V = \big((p\Sigma)^{-1} + \sum w_i K_i \tau\Lambda_i\big)^{-1}, \quad
    E[b] = V \sum w_i K_i \tau g_i

with its information :math:`\Lambda_i, g_i` (precision, and precision times departure). The prior of
the next cook is normal with mean :math:`\mu + E[b]` and covariance :math:`(1-p)\Sigma + V`. A cook
far from what the book allows has a weight :math:`w_i` below one, so that one odd day does not take
over.

Source: Gelman et al., Bayesian Data Analysis, ch. 5, 15 (hierarchical normal model; from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np

from core.answers import FloatArray
from core.cook import Cook, EventKind
from core.errors import InvalidValue
from core.fire import fire_path
from core.forecast import grid_of, happened_of, step_and_error
from core.posterior import Setting, infer
from core.prior import Prior, start_of, unknowns_of
from core.sightings import sightings

PERSISTENT = 0.8
"""Share :math:`p` of the book's variance that stays with a household."""

HEEDED = 0.5
r"""Share :math:`\tau` of what a past cook's readings tell that is heeded."""

DAY = 2.0
"""How far a past cook stands from its household, :math:`d`, in variances of the book.

All three were chosen on the tuning households of ``tests/bench/households.py``: the sharpest next
forecasts that one single cook does not make worse and that keep their 80 % bands honest.
"""

FEWEST_READINGS = 4
ODD_SIGMAS = 3.0
MISFIT_MAX_C = 2.5
_HORIZON_S = 3600.0


@dataclass(frozen=True, slots=True, eq=False)
class Evidence:
    """What one complete cook says of its unknowns.

    Attributes
    ----------
    cut : str
    mean, covariance : array, shapes (8,) and (8, 8)
        Posterior moments of the unknowns under the prior it was inferred with.
    misfit_c : float
        Root mean square of reading minus model [°C].
    """

    cut: str
    mean: FloatArray
    covariance: FloatArray
    misfit_c: float


def evidence_of(
    cook: Cook, prior: Prior, *, cancelled: Callable[[], bool] = lambda: False
) -> Evidence | None:
    """Infer a past cook's unknowns from all its readings up to the pull.

    Parameters
    ----------
    cook : Cook
        The first probe counts.
    prior : Prior
        The book's prior of its cut.
    cancelled : callable

    Returns
    -------
    Evidence or None
        None if there are too few readings to say anything.
    """
    if not cook.probes:
        raise InvalidValue("probes", "none", "at least one probe")
    pulled = cook.first_event(EventKind.PULLED)
    known = cook.known_at(pulled.elapsed_s) if pulled else cook
    probe = known.probes[0]
    seen = sightings(known, probe.name)
    if seen.times_s.size < FEWEST_READINGS:
        return None
    end_s = float(seen.times_s[-1])
    step_s, error = step_and_error(known)
    setting = Setting(
        known.plan,
        start_of(probe, seen.first),
        prior,
        fire_path(known, end_s, _HORIZON_S),
        happened_of(known),
        grid_of(end_s, step_s),
    )
    posterior = infer(setting, seen, error, cancelled)
    x = unknowns_of(prior, posterior.z)
    misfit = float(np.sqrt(np.mean(posterior.misfit_c.mean(axis=0) ** 2)))
    return Evidence(known.plan.cut, x.mean(axis=0), np.cov(x.T), misfit)


def learned_prior(
    book: Prior, evidence: Iterable[Evidence], *, persistent: float = PERSISTENT
) -> Prior:
    """Prior of the next cook, from the book's and past cooks of the same cut and cooker.

    Parameters
    ----------
    book : Prior
        The prior that `evidence` was inferred with.
    evidence : iterable of Evidence
        Of cooks of the same cut: on simulated households, what other cuts told of the cooker made
        the next forecast worse at a quarter of the cook.
    persistent : float
        Share of the variance that stays with the household, 0 to 1 (both excluded).

    Returns
    -------
    Prior
        The book's own if there is no usable evidence.
    """
    if not 0.0 < persistent < 1.0:
        raise InvalidValue("persistent", persistent, "between 0 and 1")
    sigma = book.covariance
    inverse = np.linalg.inv(sigma)
    shared, own, day = persistent * sigma, (1.0 - persistent) * sigma, DAY * sigma
    precision, pull = np.linalg.inv(shared), np.zeros(book.mean.size)
    identity = np.eye(book.mean.size)
    used = 0
    for cook in evidence:
        if cook.misfit_c > MISFIT_MAX_C:
            continue
        away = cook.mean - book.mean
        sharp = np.linalg.inv(cook.covariance + 1e-9 * identity)
        told = HEEDED * _positive(sharp - inverse)
        weight = min(1.0, ODD_SIGMAS**2 / max(float(away @ inverse @ away), 1e-9))
        carried = np.linalg.inv(identity + told @ day)
        precision = precision + weight * (carried @ told)
        pull = pull + weight * (carried @ (HEEDED * sharp @ away))
        used += 1
    if not used:
        return book
    left = np.linalg.inv(precision)
    covariance = own + left
    return Prior.of(book.mean + left @ pull, 0.5 * (covariance + covariance.T))


def _positive(matrix: FloatArray) -> FloatArray:
    """The nearest positive semidefinite matrix: sampling noise must not take information away."""
    size, vectors = np.linalg.eigh(0.5 * (matrix + matrix.T))
    out: FloatArray = (vectors * np.maximum(size, 0.0)) @ vectors.T
    return out
