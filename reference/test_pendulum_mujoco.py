"""`calc pendulum` against a simulated swing: the inertia recovered from a timed club.

A club hangs on a frictionless hinge near the butt and is let go a twentieth of a degree from
rest. The period is timed from the zero crossings of the simulated angle over five full swings, as a
light gate would, and given to the tool together with mass and balance. It must find the inertia that
the compiled body has.

Tolerance: the tool takes the small-swing limit. A swing of amplitude A is slower by A^2/16
(first term of the series for a pendulum, derived), here 4.8e-8, so the inertia about the pivot
comes out 1e-7 too large. Step error of the fourth-order integrator: (omega h)^4/120, below 1e-8.
Together below 2e-7 of the inertia about the pivot; the inertias about balance point and butt differ
from it by mass times squared distance, which is exact, so the same absolute amount holds for them.
"""

import math

import numpy as np

from mujoco_club import Club

CLUBS = 40
SEED = 1673
AMPLITUDE_RAD = math.radians(0.05)
STEP_S = 0.004
SWINGS = 5
OF_PIVOT_INERTIA = 2e-7


def random_club(rng):
    """A club with everything on the shaft line, and a pivot near its butt."""
    length = rng.uniform(35, 46)
    club = Club()
    club.bead(rng.uniform(190, 300), length - rng.uniform(0.3, 1))
    club.rod(rng.uniform(45, 130), 0.0, length - 0.5, rng.uniform(0.42, 0.58))
    club.rod(rng.uniform(30, 65), 0.0, 10.5, 0.42)
    return club, rng.uniform(0.25, 8)


def test_inertia_from_a_timed_swing(calc):
    rng = np.random.default_rng(SEED)
    hung = [random_club(rng) for _ in range(CLUBS)]
    real = [club.reading(pivot) for club, pivot in hung]
    told = [
        {
            "mass_g": body.mass_g,
            "balance_in": body.balance_in,
            "pivot_from_butt_in": pivot,
            "period_s": club.period_s(pivot, AMPLITUDE_RAD, SWINGS, STEP_S),
        }
        for (club, pivot), body in zip(hung, real)
    ]
    worst = dict.fromkeys(["pivot", "balance", "butt"], 0.0)
    for body, answer in zip(real, calc("pendulum", told)):
        for name in worst:
            want = getattr(body, f"inertia_{name}_kgcm2")
            difference = abs(answer[f"inertia_{name}_kgcm2"] - want)
            worst[name] = max(worst[name], difference / body.inertia_pivot_kgcm2)
    periods = [club["period_s"] for club in told]
    print(f"{CLUBS} clubs, periods {min(periods):.3f} to {max(periods):.3f} s")
    print("worst difference of an inertia, as a share of the one about the pivot:")
    for name, value in worst.items():
        print(f"  about the {name:8} {value:.1e}")
    assert max(worst.values()) < OF_PIVOT_INERTIA
