"""How fast the tool answers beside the general-purpose library one would reach for instead.

Not a test: prints times and a ratio from one run. The same clubs go through `lengthwise calc statics` (process
start, JSON in and out included) and through MuJoCo, which assembles each as a rigid body and reads its mass,
centre and inertia. The answers are compared, so that the two do the same work.

    LENGTHWISE_BIN=target/release/lengthwise python reference/side_by_side.py
"""

import json
import os
import subprocess
import time

import numpy as np

import mujoco

CLUBS = 2000
INCH_M = 0.0254


def clubs(count, seed=20261125):
    rng = np.random.default_rng(seed)
    return [
        {"length_in": float(a), "head_g": float(b), "shaft_g": float(c), "grip_g": float(d)}
        for a, b, c, d in zip(
            rng.uniform(34, 46, count), rng.uniform(195, 300, count), rng.uniform(50, 130, count), rng.uniform(25, 60, count)
        )
    ]


def by_tool(questions):
    binary = os.environ["LENGTHWISE_BIN"]
    asked = json.dumps(questions)
    start = time.perf_counter()
    answer = subprocess.run([binary, "calc", "statics"], input=asked, capture_output=True, text=True, check=True)
    answers = json.loads(answer.stdout)
    return time.perf_counter() - start, [row["inertia_butt_kgcm2"] for row in answers]


def by_engine(questions):
    start = time.perf_counter()
    found = [inertia_about_butt(club) for club in questions]
    return time.perf_counter() - start, found


def inertia_about_butt(club):
    """One rigid body: a point-like head, a uniform shaft, a grip of evenly changing density in forty slices."""
    spec = mujoco.MjSpec()
    body = spec.worldbody.add_body()

    def box(mass_g, centre_in, half_in):
        body.add_geom(
            type=mujoco.mjtGeom.mjGEOM_BOX, mass=mass_g / 1000, pos=[centre_in * INCH_M, 0, 0],
            size=[max(half_in * INCH_M, 1e-5), 3e-5, 3e-5],  # below 1e-15 m3 MuJoCo drops a solid
        )

    length, shaft = club["length_in"], club["length_in"] - 0.5
    box(club["head_g"], length - 0.75, 0)
    box(club["shaft_g"], shaft / 2, shaft / 2)
    slices, grip, fraction = 40, 10.5, 0.42
    edges = np.linspace(0, 1, slices + 1)
    slope = 12 * (fraction - 0.5)
    for low, high in zip(edges[:-1], edges[1:]):
        share = (high - low) * (1 - slope / 2) + slope * (high**2 - low**2) / 2
        box(club["grip_g"] * share, (low + high) / 2 * grip, (high - low) / 2 * grip)
    model = spec.compile()
    # the longest axis of a thin body has the least inertia; the two others are alike
    own, mass, centre = max(model.body_inertia[1]), model.body_mass[1], model.body_ipos[1][0]
    return (own + mass * centre**2) * 1e4


def main():
    questions = clubs(CLUBS)
    tool_s, tool = by_tool(questions)
    engine_s, engine = by_engine(questions)
    worst = max(abs(a - b) / b for a, b in zip(tool, engine))
    assert worst < 1e-4, f"the two do not do the same work: {worst}"
    print(f"{CLUBS} clubs from parts to inertia; worst relative difference {worst:.1e}")
    print(f"lengthwise calc, one process: {tool_s * 1e6 / CLUBS:8.1f} microseconds a club")
    print(f"MuJoCo, one body each:        {engine_s * 1e6 / CLUBS:8.1f} microseconds a club")
    print(f"ratio: {engine_s / tool_s:.0f}")


if __name__ == "__main__":
    main()
