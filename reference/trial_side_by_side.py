"""How fast a strike trial is analysed beside the general-purpose library one would reach for instead.

Not a test: prints times and a ratio from one run. statsmodels fits the same mixed model by restricted maximum
likelihood, both axes, in this process, its import not counted. The tool is a whole process: start-up, reading the file,
both kinds of scatter, with and without the rule, odds, the worth of another day, shuffles and the JSON are all in its
time. statsmodels gives no odds of lengths. What does give them is a full sampler: nutpie draws from the same model with
the rule under both kinds of scatter, four chains of a thousand draws after its usual tuning, compiling told apart. It is
left out, and said to be, where `requirements-chains.txt` is not installed.

    LENGTHWISE_BIN=target/release/lengthwise python reference/trial_side_by_side.py
"""

import os
import statistics
import subprocess
import time
import warnings
from pathlib import Path

import numpy as np
import statsmodels.api as sm
from statsmodels.regression.mixed_linear_model import MixedLM, MixedLMParams

import strike_model as model

FILE = Path(__file__).parent.parent / "crates" / "trial" / "tests" / "trials" / "open-1.csv"
RUNS = 15


def timed(work):
    """Median seconds of a number of runs, after one that is not counted."""
    work()
    seconds = []
    for _ in range(RUNS):
        start = time.perf_counter()
        work()
        seconds.append(time.perf_counter() - start)
    return statistics.median(seconds)


def by_library(sessions, d, places):
    x = sm.add_constant(d)
    free = MixedLMParams.from_components(fe_params=np.ones(2), cov_re=np.eye(2))
    for y in places.values():
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            MixedLM(y, x, groups=sessions, exog_re=x).fit(reml=True, free=free, method=["lbfgs"])


def by_chains(strikes):
    """Seconds to compile and to sample, both kinds of scatter together; nothing without the sampler."""
    try:
        import strike_chains as chains
    except ImportError as missing:
        print(f"nutpie is left out: {missing}; pip install -r reference/requirements-chains.txt")
        return None
    compiling = sampling = 0.0
    for student in (False, True):
        start = time.perf_counter()
        program = chains.compiled(chains.stated(*strikes, with_rule=True, student=student))
        compiling += time.perf_counter() - start
        start = time.perf_counter()
        chains.sampled(program, draws=1000, chains=4, seed=20261127)
        sampling += time.perf_counter() - start
    return compiling, sampling


def main():
    binary = os.environ["LENGTHWISE_BIN"]
    strikes = model.read(FILE)
    library_s = timed(lambda: by_library(*strikes))
    command = [binary, "trial", "analyse", str(FILE), "--json"]
    tool_s = timed(lambda: subprocess.run(command, capture_output=True, check=True))
    empty_s = timed(lambda: subprocess.run([binary, "--version"], capture_output=True, check=True))
    print(f"{len(strikes[0])} balls, median of {RUNS} runs")
    print(f"statsmodels REML, both axes:              {library_s * 1e3:8.1f} ms")
    print(f"lengthwise trial analyse, whole process:  {tool_s * 1e3:8.1f} ms, of which starting a process {empty_s * 1e3:.1f} ms")
    print(f"ratio: {library_s / tool_s:.1f}")
    chains_s = by_chains(strikes)
    if chains_s:
        compiling_s, sampling_s = chains_s
        print(f"nutpie, both kinds of scatter, one run:   {sampling_s * 1e3:8.1f} ms of sampling after {compiling_s * 1e3:.0f} ms of compiling")
        print(f"ratio without compiling: {sampling_s / tool_s:.1f}")


if __name__ == "__main__":
    main()
