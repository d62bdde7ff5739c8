"""Flights a second: the tool's whole process on one core, JSON in and out, beside SciPy on the same launches, one run.

    LENGTHWISE_BIN=target/release/lengthwise python reference/flight_side_by_side.py
"""

import json
import os
import subprocess
import sys
import time

import numpy as np

sys.path.insert(0, os.path.dirname(__file__))
from test_flight_scipy import landing

OF_THE_TOOL = 20000
OF_SCIPY = 40


def main():
    """Prints both rates and their ratio."""
    random = np.random.default_rng(7)
    launches = [
        {
            "speed_mps": random.uniform(35, 80),
            "launch_deg": random.uniform(8, 30),
            "azim_deg": random.uniform(-5, 5),
            "spin_rpm": random.uniform(1800, 9000),
            "tilt_deg": random.uniform(-15, 15),
        }
        for _ in range(OF_THE_TOOL)
    ]
    text = json.dumps(launches)
    start = time.perf_counter()
    run = subprocess.run(
        [os.environ["LENGTHWISE_BIN"], "calc", "flight"], input=text, capture_output=True, encoding="utf-8", check=True
    )
    tool = OF_THE_TOOL / (time.perf_counter() - start)
    answers = json.loads(run.stdout)
    start = time.perf_counter()
    worked = [landing(launch) for launch in launches[:OF_SCIPY]]
    scipy = OF_SCIPY / (time.perf_counter() - start)
    worst = max(abs(answer["carry_m"] - expected["carry_m"]) for answer, expected in zip(answers, worked))
    print(f"tool, whole process with its JSON: {tool:,.0f} flights/s")
    print(f"scipy solve_ivp DOP853, rtol 1e-10: {scipy:,.0f} flights/s")
    print(f"ratio {tool / scipy:,.0f}; worst difference of {OF_SCIPY} carries {worst * 1000:.3f} mm")


if __name__ == "__main__":
    main()
