"""Frequencies a second: the tool's whole process, JSON in and out, beside SciPy's collocation on the same clubs, one run.

    LENGTHWISE_BIN=target/release/lengthwise python reference/shaft_side_by_side.py
"""

import json
import os
import subprocess
import sys
import time

import numpy as np

sys.path.insert(0, os.path.dirname(__file__))
from test_shaft_scipy import cpm

OF_THE_TOOL = 2000
OF_SCIPY = 20


def main():
    """Prints both rates and their ratio."""
    random = np.random.default_rng(7)
    clubs = [
        {
            "profile": [
                {"at_m": 0, "EI_Nm2": random.uniform(45, 80), "mass_per_m_kg": 0.11},
                {"at_m": 0.96, "EI_Nm2": random.uniform(16, 32), "mass_per_m_kg": 0.09},
            ],
            "clamp_m": 0.127,
            "hosel_m": 0.03,
            "tip_mass_kg": random.uniform(0.19, 0.31),
            "tip_J_kgm2": 2.6e-4,
            "tip_c_m": 0.01,
        }
        for _ in range(OF_THE_TOOL)
    ]
    start = time.perf_counter()
    run = subprocess.run(
        [os.environ["LENGTHWISE_BIN"], "calc", "shaft"], input=json.dumps(clubs), capture_output=True, encoding="utf-8", check=True
    )
    tool = OF_THE_TOOL / (time.perf_counter() - start)
    answers = json.loads(run.stdout)
    start = time.perf_counter()
    worked = []
    for club in clubs[:OF_SCIPY]:
        butt, tip = club["profile"]

        def along(x, key, butt=butt, tip=tip):
            return butt[key] + (tip[key] - butt[key]) * (x + club["clamp_m"]) / tip["at_m"]

        head = club["tip_mass_kg"], club["tip_J_kgm2"], club["tip_c_m"]
        free = tip["at_m"] - club["clamp_m"] - club["hosel_m"]
        worked.append(cpm(lambda x: along(x, "EI_Nm2"), lambda x: along(x, "mass_per_m_kg"), free, head, 1))
    scipy = OF_SCIPY / (time.perf_counter() - start)
    worst = max(abs(answer["cpm"] / expected - 1) for answer, expected in zip(answers, worked))
    print(f"tool, whole process with its JSON: {tool:,.0f} clubs/s")
    print(f"scipy eigh for a start and solve_bvp, tol 1e-6: {scipy:,.0f} clubs/s")
    print(f"ratio {tool / scipy:,.0f}; worst relative difference of {OF_SCIPY} clubs {worst:.1e}")


if __name__ == "__main__":
    main()
