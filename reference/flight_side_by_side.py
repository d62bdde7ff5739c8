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


def by_tool(launches):
    """Flights a second, and the answers."""
    text = json.dumps(launches)
    start = time.perf_counter()
    run = subprocess.run(
        [os.environ["LENGTHWISE_BIN"], "calc", "flight"], input=text, capture_output=True, encoding="utf-8", check=True
    )
    return len(launches) / (time.perf_counter() - start), json.loads(run.stdout)


def by_scipy(launches, method, tolerance):
    """Flights a second, and what came out, of the first few."""
    few = launches[:OF_SCIPY]
    start = time.perf_counter()
    worked = [landing(launch, method, tolerance) for launch in few]
    return len(few) / (time.perf_counter() - start), worked


def main():
    """Prints both rates and their ratio, at the tool's usual tolerance and at a fine one."""
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
    usual, answers = by_tool(launches)
    fine, _ = by_tool([{**launch, "tolerance": 1e-10} for launch in launches])
    same_pair, _ = by_scipy(launches, "RK45", 1e-7)
    scipy, worked = by_scipy(launches, "DOP853", 1e-10)
    worst = max(abs(answer["carry_m"] - expected["carry_m"]) for answer, expected in zip(answers, worked))
    print("flights/s, the tool as a whole process with its JSON")
    print(f"tolerance 1e-7:  tool {usual:,.0f}, scipy solve_ivp RK45 (the same pair) {same_pair:,.0f}, ratio {usual / same_pair:,.0f}")
    print(f"tolerance 1e-10: tool {fine:,.0f}, scipy solve_ivp DOP853 {scipy:,.0f}, ratio {fine / scipy:,.0f}")
    print(f"worst difference of {OF_SCIPY} carries, tool at 1e-7 and scipy at 1e-10: {worst * 1000:.3f} mm")


if __name__ == "__main__":
    main()
