"""The judge judged: scores, baselines and slips on cases whose answer is known."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm

from core.cook import Cook, Plan, Probe, Reading
from tests.bench.scores import baselines
from tests.bench.scores.latent import count_normals, theta_of
from tests.bench.scores.measure import HORIZON, score, summarise
from tests.bench.scores.oracle import _assimilate, kept_finishes, oracle_scores
from tests.bench.scores.slips import with_slips
from tests.bench.truth import JUDGING_SEEDS, simulate
from tests.bench.truth.scenario import draw_plan, draw_theta

HOUR = 3600.0


def _one(draws: np.ndarray, true_s: float = 1.0, duration_s: float = 1.0):
    return score(1, "duck", 0.5, "target", "x", draws, true_s, duration_s)


def _cook(times: np.ndarray, temps: np.ndarray, pit_c: float = 120.0) -> Cook:
    readings = tuple(
        Reading(float(t), pit_c, (("meat", float(c)),)) for t, c in zip(times, temps, strict=True)
    )
    return Cook(Plan("duck", 2.0, pit_c), (Probe("meat", 74.0),), readings)


def test_crps_of_a_normal_is_the_closed_form() -> None:
    """Gneiting and Raftery 2007: sigma (w (2 Phi(w) - 1) + 2 phi(w) - 1/sqrt(pi))."""
    sigma, shift = 0.1, 0.05
    draws = 1.0 + sigma * norm.ppf((np.arange(4000) + 0.5) / 4000)
    w = shift / sigma
    exact = sigma * (w * (2 * norm.cdf(w) - 1) + 2 * norm.pdf(w) - 1 / np.sqrt(np.pi))
    assert _one(draws, true_s=1.0 + shift).crps == pytest.approx(exact, rel=0.01)


def test_one_guess_scores_its_error_and_has_no_interval() -> None:
    found = _one(np.array([1.3]))
    assert found.crps == pytest.approx(0.3) and found.error == pytest.approx(0.3)
    assert found.covered is None and found.width is None


def test_never_costs_the_horizon() -> None:
    assert _one(np.array([np.inf])).crps == pytest.approx(HORIZON - 1.0)
    half = _one(np.array([1.0, np.inf]))
    assert np.isfinite(half.crps) and half.crps < HORIZON - 1.0


def test_a_true_distribution_is_covered_four_times_in_five() -> None:
    rng = np.random.default_rng(5)
    draws = rng.normal(1.0, 0.1, 800)
    scores = [_one(draws, true_s=t) for t in rng.normal(1.0, 0.1, 2000)]
    found = summarise(scores)
    assert found.coverage == pytest.approx(0.8, abs=0.04)
    assert found.width == pytest.approx(2 * 1.2816 * 0.1, rel=0.08)
    assert abs(found.bias) < 0.01


def test_the_line_is_right_on_a_line() -> None:
    times = np.arange(6) * 600.0
    cook = _cook(times, 10.0 + times / 600.0 * 4.0)
    assert baselines.last_line(cook, 74.0) == pytest.approx(16 * 600.0)
    assert baselines.last_line(_cook(times, np.full(6, 66.0)), 74.0) == np.inf


def test_newton_and_the_three_exponential_are_right_on_their_curve() -> None:
    times = np.arange(8) * 1200.0
    cook = _cook(times, 120.0 - 115.0 * np.exp(-0.3 * times / HOUR))
    exact = -np.log((120.0 - 74.0) / 115.0) / 0.3 * HOUR
    assert baselines.newton(cook, 74.0) == pytest.approx(exact, rel=1e-6)
    assert baselines.three_exponential(cook, 74.0) == pytest.approx(exact, rel=1e-3)
    assert baselines.newton(cook, 130.0) == np.inf


def test_minutes_per_pound_is_the_median_of_its_cut() -> None:
    sims = [s for s in simulate([11, 26, 41]) if s.truth.target_s is not None]
    rate = baselines.minutes_per_pound(sims)
    assert set(rate) == {"duck"}
    shares = [s.truth.target_s / (s.cook.plan.mass_kg / 0.45359237) for s in sims]
    assert rate["duck"] == pytest.approx(np.median(shares))


def test_slips_change_about_their_share_and_only_values() -> None:
    sims = simulate(list(range(300, 320)))
    seen = changed = 0
    for sim in sims:
        slipped = with_slips(sim, 0.05)
        assert slipped == with_slips(sim, 0.05)
        assert replace(slipped, readings=()) == replace(sim.cook, readings=())
        for before, after in zip(sim.cook.readings, slipped.readings, strict=True):
            assert before.elapsed_s == after.elapsed_s
            seen += 1
            changed += before != after
    assert 0.02 < changed / seen < 0.08


def test_the_oracle_draws_what_the_truth_draws() -> None:
    plan = draw_plan(np.random.default_rng(3), "pork_shoulder")
    rng = np.random.default_rng(4)
    ours = theta_of(rng.normal(size=(4000, count_normals(plan))), plan)
    theirs = draw_theta(np.random.default_rng(6), plan, 4000)
    assert set(ours) == set(theirs)
    for name, values in theirs.items():
        spread = max(float(np.std(values)), 1e-12)
        assert abs(np.mean(ours[name]) - np.mean(values)) < 0.1 * spread + 1e-12, name
        assert np.std(ours[name]) == pytest.approx(np.std(values), rel=0.15, abs=1e-12), name


def test_assimilation_finds_the_exact_posterior_of_a_linear_case() -> None:
    """Two normals, one sum observed: mean and spread are known in closed form."""
    rng = np.random.default_rng(8)
    normals, error = rng.normal(size=(20_000, 2)), np.array([0.5])
    for temper in (4.0, 4.0, 2.0):
        predicted = normals.sum(axis=1, keepdims=True)
        normals = _assimilate(normals, predicted, np.array([1.5]), error, temper, rng)
    gain = 1.0 / (2.0 + 0.25)
    assert normals.mean(axis=0) == pytest.approx([1.5 * gain] * 2, abs=0.03)
    assert normals.var(axis=0) == pytest.approx([1.0 - gain] * 2, abs=0.03)


def test_the_kept_oracle_speaks_of_judging_cooks() -> None:
    scores = oracle_scores()
    assert len({s.seed for s in scores}) >= 20
    assert {s.seed for s in scores} <= set(JUDGING_SEEDS)
    assert {s.stage for s in scores} == {0.25, 0.5, 0.75, 0.9}


def test_the_kept_oracle_is_of_the_present_truth() -> None:
    """Make it anew (see its command) when the truth has changed."""
    kept = kept_finishes()
    for sim in simulate(sorted(kept)[:4]):
        assert sim.truth.target_s == pytest.approx(kept[sim.seed], rel=1e-3)
