"""How fast a strike trial is analysed beside the general-purpose library one would reach for instead.

Not a test: prints times and a ratio from one run. statsmodels fits the same mixed model by restricted maximum
likelihood, both axes, in this process, its import not counted. The tool is a whole process: start-up, reading the file,
both kinds of scatter, with and without the rule, odds, the worth of another day, shuffles and the JSON are all in its
time. statsmodels gives no odds of lengths.

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


if __name__ == "__main__":
    main()
