"""What several studios say of the rule together: `calc pool` against dense sums over everything unknown, by SciPy's
densities, and against the random-effects estimate of statsmodels where studios are so many that what was assumed before
no longer counts. Numbers are drawn here; no real studio.
"""

import numpy as np
import pytest
from scipy import stats
from statsmodels.stats.meta_analysis import combine_effects

from conftest import ask

BEFORE_SD, BETWEEN_SCALE = 0.25, 0.10

# The tool mixes normals over 100 differences; ours is a plain sum on another grid.
NEAR = 2e-4


def dense(studios):
    """Posterior of common error, difference and each studio's error on a grid of difference and common error."""
    between = np.linspace(0.0005, 0.6, 600)
    common = np.linspace(-0.8, 0.8, 1601)
    log = np.add.outer(
        stats.halfnorm.logpdf(between, scale=BETWEEN_SCALE), stats.norm.logpdf(common, scale=BEFORE_SD)
    )
    likelihoods = []
    for mean, sd in studios:
        # what the studio's golfers say: its belief with what was believed before taken off again
        variance = 1 / (1 / sd**2 - 1 / BEFORE_SD**2)
        read = mean / sd**2 * variance
        likelihoods.append((read, variance))
        log += stats.norm.logpdf(read, loc=common[None, :], scale=np.sqrt(variance + between[:, None] ** 2))
    odds = np.exp(log - log.max())
    odds /= odds.sum()
    of_common = moments(odds.sum(axis=0), common)
    of_between = moments(odds.sum(axis=1), between)
    each = []
    for read, variance in likelihoods:
        weight = between[:, None] ** 2 / (between[:, None] ** 2 + variance)
        mean = weight * read + (1 - weight) * common[None, :]
        spread = weight * variance
        total = (odds * mean).sum()
        each.append((total, np.sqrt((odds * (spread + mean**2)).sum() - total**2)))
    return of_common, of_between, each


def moments(odds, values):
    mean = (odds * values).sum()
    return mean, np.sqrt((odds * values**2).sum() - mean**2)


def drawn():
    rng = np.random.default_rng(20261128)
    cases = [
        [(0.10, 0.04)],
        [(0.12, 0.03), (0.02, 0.03)],
        [(0.20, 0.15), (0.0, 0.02), (-0.05, 0.05)],
    ]
    for count in (2, 4, 8, 20):
        sds = rng.uniform(0.015, 0.2, count)
        own = 0.1 + 0.08 * rng.standard_normal(count)
        cases.append([(float(mean), float(sd)) for mean, sd in zip(own + 0.5 * sds * rng.standard_normal(count), sds)])
    return cases


@pytest.mark.parametrize("studios", drawn(), ids=lambda studios: f"{len(studios)} studios")
def test_against_dense_sums(studios):
    answer = ask("pool", {"studios": [{"intercept_in": mean, "sd_in": sd} for mean, sd in studios]})
    common, between, each = dense(studios)
    for told, (mean, sd) in zip(
        [answer["together"], answer["between"], *answer["studios"]], [common, between, *each], strict=True
    ):
        assert told["mean_in"] == pytest.approx(mean, abs=NEAR)
        assert told["sd_in"] == pytest.approx(sd, abs=NEAR)
        assert told["low_in"] < told["mean_in"] < told["high_in"]


def test_against_random_effects_of_many_studios():
    """400 studios, differing by 0.08 in about 0.05 in: the assumption before counts for less than a standard error."""
    rng = np.random.default_rng(7)
    sds = rng.uniform(0.02, 0.06, 400)
    means = 0.05 + 0.08 * rng.standard_normal(400) + sds * rng.standard_normal(400)
    precision = 1 / sds**2 + 1 / BEFORE_SD**2
    believed = [
        {"intercept_in": float(mean / sd**2 / p), "sd_in": float(p**-0.5)}
        for mean, sd, p in zip(means, sds, precision)
    ]
    answer = ask("pool", {"studios": believed})
    other = combine_effects(means, sds**2, method_re="iterated")
    standard_error = other.sd_eff_w_re
    assert answer["together"]["mean_in"] == pytest.approx(other.mean_effect_re, abs=0.1 * standard_error)
    assert answer["together"]["sd_in"] == pytest.approx(standard_error, rel=0.03)
    # a standard deviation from 400 is known to 1/sqrt(800) of itself; two estimates of it lie well within that
    assert answer["between"]["mean_in"] == pytest.approx(np.sqrt(other.tau2), rel=0.5 / np.sqrt(800))


def test_refusals(capfd):
    with pytest.raises(pytest.fail.Exception, match="at most 0.25 in"):
        ask("pool", {"studios": [{"intercept_in": 0.1, "sd_in": 0.3}]})
