"""Holds the posterior of `trial analyse` against full Markov chains (`strike_chains.py`).

Not part of the suite, for it takes minutes and heavy libraries. Prints R-hat, effective sample sizes and every
difference beyond half of what is allowed, the largest of each kind always; writes the same to `trial_chains_output.txt`;
ends with 1 when a difference is beyond what is allowed or the chains have not settled.

    reference/.venv/bin/pip install -r reference/requirements-chains.txt
    LENGTHWISE_BIN=target/release/lengthwise reference/.venv/bin/python reference/trial_chains.py
"""

import datetime
import importlib.metadata
import json
import os
import platform
import subprocess
import sys
import time
import warnings
from pathlib import Path

warnings.simplefilter("ignore", FutureWarning)  # ArviZ announces its next version on import

import arviz as az
import numpy as np
from scipy import stats

import strike_chains as chains
import strike_model as strike

HERE = Path(__file__).parent
TRIALS = HERE.parent / "crates" / "trial" / "tests" / "trials"
OUTPUT = HERE / "trial_chains_output.txt"
SETS = ["open-1", "open-4", "open-5"]  # usual; two restless days; mishits
KINDS = {"normal": {}, "rule": {"with_rule": True}, "t4": {"student": True}}
SETTINGS = {"chains": 4, "tune": 1000, "draws": 10_000, "target_accept": 0.95}
SEED = 20261127
LIBRARIES = ["pymc", "nutpie", "pytensor", "numba", "arviz", "numpy", "scipy"]
QUANTILES = [0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95]

# R-hat below 1.01 and 400 effective draws: Vehtari, Gelman, Simpson, Carpenter, Bürkner 2021, Bayesian Analysis 16(2), from
# memory.
R_HAT, EFFECTIVE = 1.01, 400


class Allowed:
    """Those of `crates/trial/tests/posterior.rs`, set with the long chains of `expected.json` before the tool was
    written: means within four Monte Carlo errors or a share of a standard deviation, standard deviations within a share
    of themselves (the test's four Monte Carlo errors beside it are not granted here), odds, and quantiles of the length
    that fits. Nothing is said there on quantiles of level and slope. Derived here: what the allowed shift and the
    allowed widening together do to a normal's quantile, or four Monte Carlo errors."""

    def __init__(self, mean_in_sd, sd, odds, fit_quantile_in):
        self.mean_in_sd, self.sd, self.odds, self.fit_quantile_in = mean_in_sd, sd, odds, fit_quantile_in

    def line_quantile_in_sd(self, p):
        return self.mean_in_sd + self.sd * abs(stats.norm.ppf(p))


CLOSE = Allowed(0.03, 0.04, 0.02, 0.02)
LAPLACE = Allowed(0.08, 0.06, 0.03, 0.03)  # Student errors: the tool's answer is Laplace's approximation


class Report:
    def __init__(self):
        self.lines, self.worst, self.wrong = [], {}, 0

    def say(self, line=""):
        print(line, flush=True)
        self.lines.append(line)

    def compare(self, kind, name, tool, sampled, allowed):
        share = abs(tool - sampled) / allowed
        told = f"{name}: tool {tool:.4f}, chains {sampled:.4f}, apart {tool - sampled:+.4f}, allowed {allowed:.4f}"
        # a difference that is no number is beyond what is allowed
        if not share <= 1:
            self.wrong += 1
            self.say(f"    BEYOND  {told}")
        elif share > 0.5:
            self.say(f"    over half  {told}")
        if kind not in self.worst or not share <= self.worst[kind][0]:
            self.worst[kind] = (share, told)

    def check_chains(self, posterior, names):
        r_hat, bulk = az.rhat(posterior, var_names=names), az.ess(posterior, var_names=names)
        tail = az.ess(posterior, var_names=names, method="tail")
        for name in names:
            r, b, t = float(r_hat[name]), float(bulk[name]), float(tail[name])
            self.say(f"    {name:8} R-hat {r:.4f}, effective draws {b:.0f}, in the tails {t:.0f}")
            if not (r < R_HAT and min(b, t) >= EFFECTIVE):
                self.wrong += 1
                self.say(f"    BEYOND  {name} has not settled: R-hat below {R_HAT} and {EFFECTIVE} effective draws are asked for")


def analysed(path):
    command = [os.environ["LENGTHWISE_BIN"], "trial", "analyse", str(path), "--json"]
    return json.loads(subprocess.run(command, capture_output=True, check=True).stdout)["models"]


def compare(report, tool, posterior, offsets, allowed):
    error = lambda values, method, **more: np.asarray(az.mcse(values, method=method, **more)).item()
    for name in chains.LINE + chains.SPREADS:
        values, is_line = posterior[name].values, name in chains.LINE
        mean, sd = values.mean(), values.std()
        kind = "line" if is_line else "spread"
        report.compare(f"{kind}: mean", f"{name} mean", tool[name]["mean"], mean,
                       max(4 * error(values, "mean"), allowed.mean_in_sd * sd))
        report.compare(f"{kind}: sd", f"{name} sd", tool[name]["sd"], sd, allowed.sd * sd)
        for p in QUANTILES if is_line else []:
            limit = max(4 * error(values, "quantile", prob=p), allowed.line_quantile_in_sd(p) * sd)
            report.compare("line: quantile", f"{name} {p}", tool[name]["q"][str(p)], np.quantile(values, p), limit)
    found = strike.answers(chains.lines_of(posterior), offsets)
    fit = found["fit"].reshape(posterior.sizes["chain"], -1)
    report.compare("d*: mean", "d* mean", tool["dstar"]["mean"], fit.mean(),
                   max(4 * error(fit, "mean"), allowed.mean_in_sd * fit.std()))
    report.compare("d*: sd", "d* sd", tool["dstar"]["sd"], fit.std(), allowed.sd * fit.std())
    for p in QUANTILES:
        report.compare("d*: quantile", f"d* {p}", tool["dstar"]["q"][str(p)], np.quantile(fit, p), allowed.fit_quantile_in)
    for offset, odds, sampled in zip(offsets, tool["p_best"], found["p_best"]):
        report.compare("P(best)", f"P(best) {offset:+}", odds, sampled, allowed.odds)
    told = lambda odds: ", ".join(f"{share:.4f}" for share in odds)
    report.say(f"    P(best of {', '.join(f'{offset:+}' for offset in offsets)}): tool {told(tool['p_best'])}; chains {told(found['p_best'])}")
    report.say(f"    d*: tool {tool['dstar']['mean']:.4f} sd {tool['dstar']['sd']:.4f}; chains {fit.mean():.4f} sd {fit.std():.4f}")


def main():
    report = Report()
    version = subprocess.run([os.environ["LENGTHWISE_BIN"], "--version"], capture_output=True, check=True, text=True)
    report.say(f"{datetime.date.today()}, {version.stdout.strip()}, Python {platform.python_version()}, "
               + ", ".join(f"{library} {importlib.metadata.version(library)}" for library in LIBRARIES))
    report.say(f"{SETTINGS['chains']} chains of {SETTINGS['draws']} draws after {SETTINGS['tune']} of tuning, "
               f"target_accept {SETTINGS['target_accept']}, seed {SEED}")
    for name in SETS:
        path = TRIALS / f"{name}.csv"
        sessions, d, places = strike.read(path)
        tool = analysed(path)
        for kind, asked in KINDS.items():
            start = time.perf_counter()
            program = chains.compiled(chains.stated(sessions, d, places, **asked))
            compiled_s = time.perf_counter() - start
            posterior, diverged = chains.sampled(program, seed=SEED, **SETTINGS)
            report.say(f"\n{name}, {kind}: {len(d)} balls on {sessions.max() + 1} days; {diverged} divergences; "
                       f"compiled in {compiled_s:.1f} s, sampled in {time.perf_counter() - start - compiled_s:.1f} s")
            report.check_chains(posterior, chains.LINE + chains.SPREADS)
            compare(report, tool[kind], posterior, np.unique(d), LAPLACE if kind == "t4" else CLOSE)
    report.say("\nLargest difference of each kind, as a share of what is allowed")
    for kind, (share, told) in report.worst.items():
        report.say(f"  {kind}: {share:.2f}  {told}")
    report.say(f"{report.wrong} beyond what is allowed" if report.wrong else "All within what is allowed.")
    OUTPUT.write_text("\n".join(report.lines) + "\n", encoding="utf-8")
    return 1 if report.wrong else 0


if __name__ == "__main__":
    sys.exit(main())
