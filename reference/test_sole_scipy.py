"""`calc sole` against SciPy: from a mark on the sole to degrees, by tipping a round sole on flat ground.

The sole is an arc of a circle. A head tipped by some angle touches the ground at the point of the arc
whose tangent lies level; that point is found with scipy.optimize.brentq, and with a second brentq the
tip that brings it under the mark. The mark's distance from the centre is measured straight across the
sole, as with a rule.

A head that touches toward its toe has the toe low: delivered too flat, bend upright. Toward the heel:
bend flat.

Tolerance: half of the last digit the bench case prints (0.01 degree, 0.001 in). That is fine enough to tell this
construction from the arc-length rule (angle = mark / radius), which is checked below as well.
"""

import math

import numpy as np
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

MARKS = 200
SEED = 375
HALF_DEGREE_DIGIT = 0.005 + 1e-9
HALF_INCH_DIGIT = 0.0005 + 1e-9


def tipped(tip_rad, vectors):
    """Vectors (across the sole toward the toe, up) of the head after its toe drops by an angle."""
    return Rotation.from_euler("z", -tip_rad).apply([*vectors, 0.0])[:2]


def touch_point(radius_in, tip_rad):
    """Place across the sole, from its centre toward the toe, that touches the ground."""

    def tangent_rise(around):
        return tipped(tip_rad, (math.cos(around), math.sin(around)))[1]

    around = brentq(tangent_rise, -1.2, 1.2, xtol=1e-14)
    return radius_in * math.sin(around)


def tip_under(mark_in, radius_in):
    """Degrees of tip that bring the mark to the ground."""
    return math.degrees(brentq(lambda tip: touch_point(radius_in, tip) - mark_in, -1.0, 1.0, xtol=1e-13))


def random_mark(rng):
    return {
        "mark_offset_in": rng.uniform(0.25, 1.0),
        "toward": str(rng.choice(["toe", "heel"])),
        "sole_radius_in": sorted(rng.uniform(5, 20, 2)),
        "marks_sd_in": rng.uniform(0.02, 0.12),
        "marks_counted": int(rng.integers(5, 13)),
    }


def test_mark_to_degrees(calc):
    rng = np.random.default_rng(SEED)
    asked = [random_mark(rng) for _ in range(MARKS)]
    worst, worst_arc = 0.0, 0.0
    for question, answer in zip(asked, calc("sole", asked)):
        toward_toe = question["mark_offset_in"] * (1 if question["toward"] == "toe" else -1)
        assert answer["bend"] == ("upright" if toward_toe > 0 else "flat"), question
        assert [row["sole_radius_in"] for row in answer["by_radius"]] == question["sole_radius_in"]
        for row in answer["by_radius"]:
            want = abs(tip_under(toward_toe, row["sole_radius_in"]))
            worst = max(worst, abs(abs(row["degrees"]) - want))
            worst_arc = max(worst_arc, abs(math.degrees(question["mark_offset_in"] / row["sole_radius_in"]) - want))
    print(f"{MARKS} marks on two radii each: largest difference {worst:.4f} degree")
    print(f"the arc-length rule would be off by up to {worst_arc:.3f} degree")
    assert worst <= HALF_DEGREE_DIGIT
    assert worst_arc > 5 * HALF_DEGREE_DIGIT, "these marks would not tell the two rules apart"


def test_standard_error_follows_the_marks(calc):
    """The tool's error is the one near the middle of the sole; farther out the angle moves faster, as printed."""
    rng = np.random.default_rng(SEED + 1)
    asked = [random_mark(rng) for _ in range(60)]
    worst_mean, worst_angle, largest_neglect = 0.0, 0.0, 0.0
    for question, answer in zip(asked, calc("sole", asked)):
        of_mean = question["marks_sd_in"] / math.sqrt(question["marks_counted"])
        worst_mean = max(worst_mean, abs(answer["se_of_mean_in"] - of_mean))
        for row in answer["by_radius"]:
            mark, radius = question["mark_offset_in"], row["sole_radius_in"]
            in_the_middle = (tip_under(of_mean, radius) - tip_under(-of_mean, radius)) / 2
            at_the_mark = (tip_under(mark + of_mean, radius) - tip_under(mark - of_mean, radius)) / 2
            worst_angle = max(worst_angle, abs(row["standard_error_deg"] - in_the_middle))
            largest_neglect = max(largest_neglect, at_the_mark / in_the_middle - 1)
    print(f"60 standard errors: of the mean {worst_mean:.5f} in, of the angle {worst_angle:.4f} degree")
    print(f"at the mark itself the error would be up to {100 * largest_neglect:.1f} percent larger")
    assert worst_mean <= HALF_INCH_DIGIT
    # (error / radius)^3 / 6 is below 1e-4 degree here: the middle of the sole is straight enough
    assert worst_angle <= HALF_DEGREE_DIGIT + 1e-4


def test_a_mark_in_the_middle_asks_for_no_bend(calc):
    mark = {"mark_offset_in": 0.0, "toward": "toe", "marks_sd_in": 0.1, "marks_counted": 7}
    answer = calc("sole", mark | {"sole_radius_in": [7.2, 14.3]})
    assert answer["bend"] == "none"
    assert [abs(row["degrees"]) for row in answer["by_radius"]] == [0.0, 0.0]
