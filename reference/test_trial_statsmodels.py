"""The strike trial: restricted likelihood against statsmodels, and the posterior of `trial analyse` against dense
grids with full covariance matrices and, for Student errors, weighted samples (`strike_model.py`).

Five simulated trials from `crates/trial/tests/trials` and others made here; no real golfer.
"""

import json
import subprocess
import warnings
from pathlib import Path

import numpy as np
import pytest
import statsmodels.api as sm
from scipy import stats
from statsmodels.regression.mixed_linear_model import MixedLM, MixedLMParams

import strike_model as model
from conftest import tool_path

TRIALS = Path(__file__).parent.parent / "crates" / "trial" / "tests" / "trials"
OPEN = ["open-1", "open-2", "open-3", "open-4", "open-5"]
FIVE, THREE = [-0.5, -0.25, 0.0, 0.25, 0.5], [-0.5, 0.0, 0.5]
# statsmodels' searches that keep level and slope of a day independent (Powell's and Nelder and Mead's let go of that)
METHODS = ["lbfgs", "cg"]
DRAWS = 400_000  # sampling error of odds: 0.0008 at most

# Means are exact on both sides but for the tool's coarser grid (7 x 12 x 7 points, 19 lengths that may fit): a hundredth
# of a standard deviation, and a hundredth of the standard deviation itself.
MEAN_IN_SD, SD = 0.01, 0.01
# Scatter and days are read off that grid alone, so its coarseness shows more.
SPREAD_IN_SD, SPREAD_SD = 0.02, 0.03
# The tool's odds rest on 16,384 lattice points: two standard errors of as many random ones, 0.008, and ours 0.002.
ODDS = 0.01
# Quantiles of the length that fits: the same two standard errors over the density of the length, 0.5 an inch at the least
# between the quantiles compared.
QUANTILE_IN = 0.02
# Student errors: the tool's are Laplace's approximation, for which no bound is worked out. Half of what the tool's own
# comparison with Markov chains allows (0.08, 6 %, 0.03), and its 0.03 in; our sampling error is below 0.01 sd.
LAPLACE_MEAN_IN_SD, LAPLACE_SD, LAPLACE_ODDS, LAPLACE_QUANTILE_IN = 0.04, 0.03, 0.015, 0.03
LAPLACE_EVIDENCE = 0.05


def made_up():
    """Trials unlike the five: one short visit; six visits; days and lengths that are not alike."""
    rng = np.random.default_rng(20261125)
    return {
        "one visit": model.simulate(rng, 1, THREE, 4),
        "six visits": model.simulate(rng, 6, THREE, 4, share=0.6),
        "uneven": model.simulate(rng, 4, [0.0, 0.25, 1.0], 6, keep=0.6, share=0.0),
    }


@pytest.fixture(scope="module")
def trials(tmp_path_factory):
    """Strikes and the tool's analysis of every trial, by name."""
    folder = tmp_path_factory.mktemp("trials")
    found = {}
    for name in OPEN:
        found[name] = (model.read(TRIALS / f"{name}.csv"), analyse(TRIALS / f"{name}.csv"))
    for name, strikes in made_up().items():
        path = folder / f"{name}.csv"
        model.write(path, *strikes)
        found[name] = (strikes, analyse(path))
    return found


def analyse(path):
    run = subprocess.run([tool_path(), "trial", "analyse", str(path), "--json"], capture_output=True, encoding="utf-8",
                         timeout=120, check=False)
    assert run.returncode == 0, run.stdout + run.stderr
    return json.loads(run.stdout)


# Restricted maximum likelihood


def by_statsmodels(sessions, d, y, start=None):
    """REML with independent level and slope of the day: the better of two ways of searching, since either alone stops
    short now and then. `start` is (sigma, su, sv) and a line."""
    x = sm.add_constant(d)
    mixed = MixedLM(y, x, groups=sessions, exog_re=x)
    free = MixedLMParams.from_components(fe_params=np.ones(2), cov_re=np.eye(2))
    if start is not None:
        (sigma, su, sv), line = start
        # variances in units of the balls'; exactly zero would leave its search no way to go
        days = np.diag(np.maximum(np.square([su, sv]) / sigma**2, 1e-6))
        start = MixedLMParams.from_components(fe_params=line, cov_re=days)
    best = None
    for method in METHODS:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # at the boundary of zero variance it says so, every time
            fit = mixed.fit(reml=True, free=free, method=[method], start_params=start)
        if np.isfinite(fit.llf) and (best is None or fit.llf > best.llf):
            best = fit
    su, sv = np.sqrt(np.clip(np.diag(np.asarray(best.cov_re)), 0, None))
    return (np.sqrt(best.scale), su, sv), np.asarray(best.fe_params), best.llf


def compare_maxima(sessions, d, y):
    """The direct maximum, and statsmodels from its own start and from that maximum. Its likelihood must be the same
    function, and it must find nothing better. Returns how far it stops short and how far its parameters are off, when
    every variance is away from zero; near zero its own search is known to stop early."""
    spreads, most, line, _ = model.maximise_restricted(sessions, d, y)
    alone, from_ours = by_statsmodels(sessions, d, y), by_statsmodels(sessions, d, y, (spreads, line))
    for theirs, _, llf in (alone, from_ours):
        again = model.restricted(sessions, d, y, *theirs)[0]
        assert abs(llf - again) < 1e-6 * abs(again), (llf, again)
        assert again < most + 1e-6, (again, most)
    # from our maximum it stays there: 1e-6 of the balls' variance a day costs under 1e-3
    assert from_ours[2] > most - 1e-3, (from_ours, most)
    off = None
    if min(spreads[1:]) > 1.0 and min(alone[0][1:]) > 1.0:
        off = max(np.abs(np.array(alone[0]) - spreads).max(), np.abs(alone[1] - line).max())
    return spreads, most, most - alone[2], off


def test_restricted_maximum_likelihood_of_the_open_trials():
    """The figures the tool's own tests hold its restricted likelihood against, from two other programs.

    They are printed to six decimals and the likelihood to five. A maximum is flat: our maximiser finds the likelihood
    to 1e-6, and so parameters to about the root of that, 2e-3.
    """
    expected = json.loads((TRIALS / "expected.json").read_text(encoding="utf-8"))["data_sets"]
    likelihood = parameter = short = 0.0
    for name in OPEN:
        sessions, d, places = model.read(TRIALS / f"{name}.csv")
        for axis, y in places.items():
            want = expected[name]["reml"][axis]
            at_theirs, line, cov = model.restricted(sessions, d, y, want["sigma"], want["su"], want["sv"])
            assert abs(at_theirs - want["reml_loglik"]) < 2e-5, (name, axis)
            assert np.abs(line - [want["a"], want["b"]]).max() < 2e-5
            assert np.abs(np.sqrt(np.diag(cov)) - [want["se_a"], want["se_b"]]).max() < 2e-5
            spreads, ours, behind, _ = compare_maxima(sessions, d, y)
            likelihood = max(likelihood, abs(ours - want["reml_loglik"]))
            parameter = max(parameter, np.abs(np.array(spreads) - [want["sigma"], want["su"], want["sv"]]).max())
            short = max(short, behind)
    print(f"ten fits: likelihood within {likelihood:.1e}, parameters within {parameter:.1e};"
          f" statsmodels from its own start at most {short:.3f} short")
    assert likelihood < 2e-5 and parameter < 2e-3


def test_restricted_maximum_likelihood_of_twenty_simulated_trials():
    """Where every variance is well away from zero, the same estimates from statsmodels' own start, to the root of what
    either optimiser leaves in the likelihood (1e-6)."""
    rng = np.random.default_rng(7)
    inside, short = [], 0.0
    for trial in range(20):
        sessions, d, places = model.simulate(rng, 3 + trial % 3, FIVE, 4 + trial % 4, day_sd=(4, 4))
        _, _, behind, off = compare_maxima(sessions, d, places["y"])
        short = max(short, behind)
        if off is not None:
            inside.append(off)
    print(f"20 trials, {len(inside)} away from zero variance, there {max(inside):.1e} apart;"
          f" elsewhere statsmodels from its own start at most {short:.3f} short")
    assert len(inside) >= 5
    assert max(inside) < 5e-3


# The posterior


class Worst:
    """Largest difference of each kind, in units of what is allowed, with its place."""

    def __init__(self):
        self.seen = {}

    def note(self, kind, where, difference, allowed):
        share = abs(difference) / allowed
        if share > self.seen.get(kind, (0.0,))[0]:
            self.seen[kind] = (share, abs(difference), allowed, where)

    def judge(self):
        for kind, (_, difference, allowed, where) in self.seen.items():
            print(f"{kind}: largest difference {difference:.4f} of {allowed:.4f} allowed, {where}")
        beyond = {kind: seen for kind, seen in self.seen.items() if seen[0] > 1}
        assert self.seen and not beyond, beyond


def compare(worst, where, tool, moments, found, allowed):
    mean_in_sd, sd_share, spread_in_sd, spread_sd, odds, quantile = allowed
    for axis, of_axis in moments.items():
        for name, (mean, sd) in of_axis.items():
            is_line = name in "ab"
            ours = tool[f"{name}_{axis}"]
            place = f"{where} {name}_{axis}"
            worst.note("mean, line" if is_line else "mean, spread", place, ours["mean"] - mean,
                       (mean_in_sd if is_line else spread_in_sd) * sd)
            worst.note("sd, line" if is_line else "sd, spread", place, ours["sd"] - sd,
                       (sd_share if is_line else spread_sd) * sd)
    for key in ("p_best", "p_near_best"):
        for i, share in enumerate(found[key]):
            worst.note(key, f"{where} {i}", tool[key][i] - share, odds)
    scale = max(found["excess"].max(), 4.0)
    for i, cost in enumerate(found["excess"]):
        worst.note("excess", f"{where} {i}", tool["expected_excess_loss_mm2"][i] - cost, 0.02 * scale)
    for p in (0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95):
        worst.note("quantile", f"{where} {p}", tool["dstar"]["q"][str(p)] - np.quantile(found["fit"], p), quantile)


@pytest.fixture(scope="module")
def normal_axes(trials):
    """Dense grids of every trial and axis, without and with the rule."""
    found = {}
    for name, ((sessions, d, places), _) in trials.items():
        for axis, y in places.items():
            grid = model.NormalGrid(sessions, d, y)
            for rule in (False, True):
                found[name, axis, rule] = model.NormalAxis(grid, rule)
    return found


def joined(rng, axes, count=DRAWS):
    """Odds of each length that may fit, evidence, and draws of both axes together."""
    ln_fit = model.ln_fit_weights() if len(axes["x"].ln_evidence) > 1 else np.zeros(1)
    logs = ln_fit + axes["x"].ln_evidence + axes["y"].ln_evidence
    evidence = model.logsumexp(logs)
    odds = np.exp(logs - evidence)
    counts = rng.multinomial(count, odds / odds.sum())
    lines = [np.concatenate([axes[axis].draw(rng, node, n) for node, n in enumerate(counts) if n], axis=1) for axis in "xy"]
    return odds, evidence, lines


@pytest.mark.parametrize("rule", [False, True], ids=["no rule", "rule"])
def test_normal_errors_against_a_dense_grid(trials, normal_axes, rule):
    rng, worst = np.random.default_rng(1), Worst()
    for name, ((_, d, _), tool) in trials.items():
        axes = {axis: normal_axes[name, axis, rule] for axis in "xy"}
        odds, evidence, lines = joined(rng, axes)
        tool = tool["models"]["rule" if rule else "normal"]
        moments = {axis: axes[axis].moments(odds) for axis in "xy"}
        found = model.answers(lines, np.unique(d))
        # the tool's grid is the coarser: 0.02 was seen between it and a fine one
        worst.note("log evidence", name, tool["log_evidence"] - evidence, 0.03)
        compare(worst, name, tool, moments, found, (MEAN_IN_SD, SD, SPREAD_IN_SD, SPREAD_SD, ODDS, QUANTILE_IN))
    worst.judge()


@pytest.fixture(scope="module")
def student_axes(trials):
    rng = np.random.default_rng(2)
    return {(name, axis): model.StudentAxis(rng, sessions, d, y)
            for name in ("open-1", "open-4", "open-5")
            for sessions, d, places in [trials[name][0]] for axis, y in places.items()}


def test_student_errors_against_weighted_samples(trials, student_axes):
    rng, worst = np.random.default_rng(3), Worst()
    for name in ("open-1", "open-4", "open-5"):
        (_, d, _), tool = trials[name]
        tool = tool["models"]["t4"]
        moments, lines, evidence, variance = {}, [], 0.0, 0.0
        for axis in "xy":
            pool = student_axes[name, axis]
            (log,), (error,), (weights,) = pool.under(False)
            evidence, variance = evidence + log, variance + error**2
            moments[axis] = pool.moments(weights)
            lines.append(pool.draw(rng, weights, DRAWS))
        error = np.sqrt(variance)
        print(f"{name}: log evidence {evidence:.3f} (sampling error {error:.3f}); the tool {tool['log_evidence']:.3f}")
        assert error < 0.01, "too few samples to settle anything"
        worst.note("log evidence", name, tool["log_evidence"] - evidence, LAPLACE_EVIDENCE)
        compare(worst, name, tool, moments, model.answers(lines, np.unique(d)),
                (LAPLACE_MEAN_IN_SD, LAPLACE_SD, LAPLACE_MEAN_IN_SD, LAPLACE_SD, LAPLACE_ODDS, LAPLACE_QUANTILE_IN))
    worst.judge()


# The verdict


def test_the_odds_of_the_decision(trials, normal_axes, student_axes):
    """The decision rests on the rule, on both kinds of scatter with even odds weighed by their evidence on each axis,
    and on a sweet spot known to 1 mm. Recomputed from grid and samples, with random draws of everything."""
    rng, worst = np.random.default_rng(4), Worst()
    for name in ("open-1", "open-4", "open-5"):
        (_, d, _), tool = trials[name]
        verdict = tool["verdict"]
        parts, mixed = {}, {}
        for axis in "xy":
            normal = normal_axes[name, axis, True]
            evidence, _, weights = student_axes[name, axis].under(True)
            mixed[axis] = np.logaddexp(normal.ln_evidence, evidence) - np.log(2)
            parts[axis] = (normal, student_axes[name, axis], weights, np.exp(evidence - np.log(2) - mixed[axis]))
        logs = model.ln_fit_weights() + mixed["x"] + mixed["y"]
        odds = np.exp(logs - model.logsumexp(logs))
        lines = {"x": [], "y": []}
        for node, count in enumerate(rng.multinomial(DRAWS, odds / odds.sum())):
            for axis, (normal, student, weights, share) in parts.items():
                heavy = rng.binomial(count, share[node])
                drawn = np.concatenate([student.draw(rng, weights[node], heavy), normal.draw(rng, node, count - heavy)], axis=1)
                lines[axis].append(drawn[:, rng.permutation(count)])
        (ax, bx), (ay, by) = (np.concatenate(lines[axis], axis=1) for axis in "xy")
        cost = lambda offset: (ax + bx * offset) ** 2 + (ay + by * offset) ** 2
        eighths = np.arange(np.ceil(d.min() * 8), np.floor(d.max() * 8) + 1) / 8
        costs = np.array([cost(eighth).mean() for eighth in eighths])
        best = eighths[costs.argmin()]
        gain = cost(0.0).mean() - costs.min()
        ax, ay = ax + rng.normal(size=DRAWS), ay + rng.normal(size=DRAWS)
        better = cost(0.0) - cost(verdict["best_eighth_in"])
        fit = np.clip(-(ax * bx + ay * by) / (bx**2 + by**2), d.min(), d.max())
        least = np.min([cost(offset) for offset in np.unique(d)], axis=0)
        for key, share in {
            "odds_better": (better > 0).mean(),
            "odds_clearly_better": (better > 4).mean(),
            "odds_clearly_worse": (better < -4).mean(),
            "odds_within_eighth": (np.abs(fit - verdict["best_eighth_in"]) <= 0.125 + 1e-9).mean(),
            "odds_rule_near_best": (cost(0.0) - least <= 4).mean(),
        }.items():
            worst.note(key, name, verdict[key] - share, LAPLACE_ODDS)
        # two hundredths of the stake and what 400,000 draws leave
        worst.note("gain", name, verdict["expected_gain_mm2"] - gain, 0.02 * max(gain, 4.0) + 0.1)
        behind = cost_of(eighths, costs, verdict["best_eighth_in"]) - costs.min()
        print(f"{name}: best eighth {best:+} (tool {verdict['best_eighth_in']:+}), gain {gain:.2f} mm²")
        # another eighth may only be chosen where the two cost the same to within the gain's own tolerance
        assert behind <= 0.1, (name, best, verdict["best_eighth_in"], behind)
    worst.judge()


def cost_of(eighths, costs, eighth):
    return costs[np.abs(eighths - eighth).argmin()]
