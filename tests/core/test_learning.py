"""Priors learned from a household's own cooks, on cooks of the model with known unknowns."""

from __future__ import annotations

from dataclasses import replace

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


def household(count: int, shared: tuple[float, ...], seed: int) -> list[Made]:
    """Ducks of one household: what they share, and as much again that they do not."""
    rng = np.random.default_rng(seed)
    cooks = []
    for i in range(count):
        own = rng.standard_normal(len(shared)) * np.sqrt(0.5)
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


def test_the_next_cook_is_forecast_better() -> None:
    """Error of the draws early in the next cooks, over a few households."""
    errors: dict[str, list[float]] = {"book": [], "learned": []}
    for seed, size in ((11, 1.2), (23, -1.2), (37, 1.0)):
        shared = (size, 0.4 * size, 0.0, 0.0, -0.6 * size, 0.0, 0.0, 0.0)
        cooks = household(16, shared, seed)
        sharper = learned_prior(book_prior(PLAN.cut), told(cooks[:8]))
        for following in cooks[8:]:
            now = 0.2 * following.finish_s
            for name, prior in (("book", None), ("learned", sharper)):
                made = forecast(following.cook.known_at(now), now, prior=prior, explain=False)
                arrival = made.arrival("core", Milestone.TARGET)
                assert arrival is not None
                draws = np.minimum(arrival.draws_s, 3.0 * following.finish_s)
                errors[name].append(float(np.mean(np.abs(draws / following.finish_s - 1.0))))
    assert np.mean(errors["learned"]) < 0.95 * np.mean(errors["book"])


def test_too_few_readings_say_nothing() -> None:
    made = made_cook(PLAN, TARGET_C)
    cook = replace(made.cook, readings=made.cook.readings[:2])
    assert evidence_of(cook, book_prior(PLAN.cut)) is None


def test_a_share_outside_its_range_is_refused() -> None:
    with pytest.raises(InvalidValue):
        learned_prior(book_prior(PLAN.cut), (), persistent=1.0)
