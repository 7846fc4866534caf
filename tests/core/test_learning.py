"""Priors learned from a household's own cooks, on cooks of the model with known unknowns."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from core.answers import FloatArray
from core.cook import Milestone, Plan
from core.errors import InvalidValue
from core.forecast import forecast
from core.learning import Evidence, evidence_of, learned_prior
from core.prior import Prior, book_prior
from tests.core.cooks import Made, made_cook

PLAN = Plan("duck", 2.3, 160.0)
TARGET_C = 74.0


DAY_VARIANCE = 0.2
"""What differs from day to day, in variances of the book; the rest stays with the household."""


def household(count: int, shared: tuple[float, ...], seed: int) -> list[Made]:
    """Ducks of one household: what they share, and what each day adds."""
    rng = np.random.default_rng(seed)
    cooks = []
    for i in range(count):
        own = rng.standard_normal(len(shared)) * np.sqrt(DAY_VARIANCE)
        z = tuple(float(s + o) for s, o in zip(shared, own, strict=True))
        plan = replace(PLAN, mass_kg=float(rng.uniform(1.8, 3.0)))
        cooks.append(made_cook(plan, TARGET_C, departures=z, seed=seed + i))
    return [c for c in cooks if np.isfinite(c.finish_s)]


def told(cooks: list[Made]) -> list[Evidence]:
    book = book_prior(PLAN.cut)
    return [e for c in cooks if (e := evidence_of(c.cook, book)) is not None]


def distance(prior: Prior, x: FloatArray) -> float:
    away = x - prior.mean
    return float(away @ np.linalg.inv(prior.covariance) @ away)


def test_nothing_learned_is_the_book() -> None:
    book = book_prior(PLAN.cut)
    assert learned_prior(book, ()) is book


def test_the_prior_moves_to_the_household_and_sharpens() -> None:
    book = book_prior(PLAN.cut)
    shared = (1.0, 0.0, -0.6, 0.0, 0.8, 0.0, 0.0, 0.0)
    sharper = learned_prior(book, told(household(8, shared, 3)))
    truth = book.mean + book.root @ np.array(shared)
    size = 0
    assert abs(sharper.mean[size] - truth[size]) < 0.6 * abs(book.mean[size] - truth[size])
    assert np.all(np.diag(sharper.covariance) < np.diag(book.covariance))
    assert np.all(np.linalg.eigvalsh(sharper.covariance) > 0.0)


def test_one_odd_cook_does_not_take_over() -> None:
    book = book_prior(PLAN.cut)
    far = Evidence(
        PLAN.cut, book.mean + 9.0 * np.sqrt(np.diag(book.covariance)), 0.01 * book.covariance, 0.5
    )
    moved = learned_prior(book, (far,)).mean - book.mean
    assert np.all(np.abs(moved) < 2.0 * np.sqrt(np.diag(book.covariance)))
    misfitting = replace(far, misfit_c=9.0)
    assert learned_prior(book, (misfitting,)) is book


def crps(made: Made, prior: Prior, share: float) -> float:
    """Of the finish, forecast at that share of the cook, as a share of the cook.

    Sample form of the score, Gneiting and Raftery 2007, eq. 21: E|X - y| - E|X - X'| / 2.
    """
    now = share * made.finish_s
    told = forecast(made.cook.known_at(now), now, prior=prior, explain=False)
    arrival = told.arrival("core", Milestone.TARGET)
    assert arrival is not None
    draws = np.minimum(arrival.draws_s, 3.0 * made.finish_s) / made.finish_s
    between = np.abs(draws[:, None] - draws[None, :])
    return float(np.mean(np.abs(draws - 1.0)) - 0.5 * np.mean(between))


def test_the_next_cook_is_forecast_better() -> None:
    """Households that differ from the book by what two in three do, and stay so.

    Here the model is the truth and most stays, so much must be gained; what is gained on cooks
    that the model did not make is measured by ``python -m tests.bench.households``.
    """
    book = book_prior(PLAN.cut)
    asked = {0.0: 0.85, 0.25: 0.9}
    scores: dict[tuple[str, float], list[float]] = {}
    for seed, size in ((11, 1.0), (23, -1.0)):
        cooks = household(11, (size, 0.0, 0.5 * size, 0.0, -0.7 * size, 0.0, 0.0, 0.0), seed)
        sharper = learned_prior(book, told(cooks[:6]))
        for following, share in product(cooks[6:], asked):
            for name, prior in (("book", book), ("learned", sharper)):
                scores.setdefault((name, share), []).append(crps(following, prior, share))
    gained = {at: np.mean(scores["learned", at]) / np.mean(scores["book", at]) for at in asked}
    assert all(gained[at] < asked[at] for at in asked), gained


def test_one_cook_alone_moves_little_and_many_move_more() -> None:
    book = book_prior(PLAN.cut)
    spread = np.sqrt(np.diag(book.covariance))
    typical = Evidence(PLAN.cut, book.mean + 0.5 * spread, 0.3 * book.covariance, 0.5)
    steps = [
        float(np.max(np.abs((learned_prior(book, [typical] * n).mean - book.mean) / spread)))
        for n in (1, 3, 10)
    ]
    assert 0.0 < steps[0] < 0.25
    assert steps[0] < steps[1] < steps[2] < 0.6


def test_one_odd_cook_among_others_is_outvoted() -> None:
    book = book_prior(PLAN.cut)
    spread = np.sqrt(np.diag(book.covariance))
    plain = Evidence(PLAN.cut, book.mean - 0.5 * spread, 0.3 * book.covariance, 0.5)
    odd = replace(plain, mean=book.mean + 6.0 * spread)
    alone = learned_prior(book, [plain] * 4).mean
    mixed = learned_prior(book, [plain] * 4 + [odd]).mean
    assert np.all(np.abs(mixed - alone) < 0.5 * spread)


def test_too_few_readings_say_nothing() -> None:
    made = made_cook(PLAN, TARGET_C)
    cook = replace(made.cook, readings=made.cook.readings[:2])
    assert evidence_of(cook, book_prior(PLAN.cut)) is None


def test_a_share_outside_its_range_is_refused() -> None:
    with pytest.raises(InvalidValue):
        learned_prior(book_prior(PLAN.cut), (), persistent=1.0)
