"""`calc lie` against SciPy: where a face points, and the lie that goes with a changed length.

Facing: a patch of face is carried by rotations (scipy.spatial.transform) and its normal taken from two
edges of the patch; no formula for the direction is used. Right-handed golfer, x to the target, y left, z up,
toe toward -y. In this order: loft less lean about y, lie error about the target line (toe up is upright), face
angle about the vertical (open turns to the trail side, which is right). Start direction is positive toward the
lead side, which is left here.

Length: the sole rests at the origin and the hands are a point on the shaft; the new lie is the angle at which
that point is back at its old height, or at its old distance from the ball, found with scipy.optimize.brentq.

Tolerance: both sides are closed or solved to rounding. 1e-9 degree is a hundred thousand times the
rounding of an angle near 60 and a thousandth of anything that could be measured or mis-modelled.
"""

import math

import numpy as np
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

FACES = 600
LENGTHS = 300
SEED = 34
ANGLE_DEG = 1e-9
YARDS = 1e-8  # 400 yd times ANGLE_DEG in radians is 7e-9
TARGET, LEFT, UP = np.eye(3)


def face_normal(question):
    """Unit vector out of a face after loft, lean, lie error and face angle."""
    loft = Rotation.from_rotvec(-(question["loft_deg"] - question.get("lean_deg", 0)) * LEFT, degrees=True)
    lie = Rotation.from_rotvec(-question["lie_error_deg"] * TARGET, degrees=True)
    opening = Rotation.from_rotvec(-question.get("face_open_deg", 0) * UP, degrees=True)
    groove_to_heel, up_the_face = (opening * lie * loft).apply([LEFT, UP])
    return np.cross(groove_to_heel, up_the_face)


def random_face(rng):
    question = {"loft_deg": rng.uniform(9, 62), "lie_error_deg": rng.uniform(-5, 5)}
    if rng.random() < 0.8:
        question["lean_deg"] = rng.uniform(-4, min(12, question["loft_deg"] - 3))
    if rng.random() < 0.8:
        question["face_open_deg"] = rng.uniform(-6, 6)
    if rng.random() < 0.8:
        question["carry_yd"] = rng.uniform(30, 300)
    return question


def test_where_a_tilted_face_points(calc):
    rng = np.random.default_rng(SEED)
    asked = [random_face(rng) for _ in range(FACES)]
    worst = {"start_direction_deg": 0.0, "vertical_loft_deg": 0.0, "offline_yd": 0.0}
    for question, answer in zip(asked, calc("lie", asked)):
        normal = face_normal(question)
        wanted = {
            "start_direction_deg": math.degrees(math.atan2(normal @ LEFT, normal @ TARGET)),
            "vertical_loft_deg": math.degrees(math.atan2(normal @ UP, math.hypot(normal @ LEFT, normal @ TARGET))),
        }
        if "carry_yd" in question:
            wanted["offline_yd"] = question["carry_yd"] * (normal @ LEFT) / (normal @ TARGET)
        for name, want in wanted.items():
            worst[name] = max(worst[name], abs(answer[name] - want))
    print(f"{FACES} faces, largest difference: " + ", ".join(f"{name} {value:.1e}" for name, value in worst.items()))
    assert worst["start_direction_deg"] < ANGLE_DEG
    assert worst["vertical_loft_deg"] < ANGLE_DEG
    assert worst["offline_yd"] < YARDS


def hands(along_in, lie_deg):
    """Hands seen from behind the ball: distance from the sole and height, in."""
    return Rotation.from_euler("y", -lie_deg, degrees=True).apply([along_in, 0.0, 0.0])[[0, 2]]


def lie_that_keeps(axis, question):
    """Lie at which the hands are where they were, along one axis (0 distance, 1 height)."""
    before = question["length_in"] - question.get("grip_down_in", 0)
    goal = hands(before, question["lie_deg"])[axis]
    after = before + question["change_in"]
    return brentq(lambda lie: hands(after, lie)[axis] - goal, 0, 90, xtol=1e-12, rtol=1e-14)


def random_length_change(rng):
    question = {
        "length_in": rng.uniform(34, 46),
        "lie_deg": rng.uniform(56, 65),
        "change_in": rng.choice([-1, 1]) * rng.uniform(0.125, 1.25),
    }
    if rng.random() < 0.75:
        question["grip_down_in"] = rng.uniform(0, 5)
    return question


def test_lie_that_goes_with_a_changed_length(calc):
    rng = np.random.default_rng(SEED + 1)
    asked = [random_length_change(rng) for _ in range(LENGTHS)]
    worst = {"lie_keep_ball_distance_deg": 0.0, "lie_keep_hand_height_deg": 0.0}
    for question, answer in zip(asked, calc("lie", asked)):
        for axis, name in enumerate(worst):
            worst[name] = max(worst[name], abs(answer[name] - lie_that_keeps(axis, question)))
    print(f"{LENGTHS} length changes, largest difference: " + ", ".join(f"{k} {v:.1e}" for k, v in worst.items()))
    assert max(worst.values()) < ANGLE_DEG
