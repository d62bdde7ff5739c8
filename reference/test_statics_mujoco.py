"""`calc statics` against MuJoCo: mass, balance, swingweight and inertia of 300 random clubs.

Each club is assembled as one rigid body (see mujoco_club.py) and also described to the tool as
parts. Swingweight is read from a hinge 14 in from the butt with the club held level.

What the tool takes when a part is not described (trade practice, no source): head 0.75 in short
of the length and on the shaft line; shaft from the plug to 0.5 in short of the length, balanced
at its middle; grip 10.5 in balanced at 0.42; plug a uniform rod of 2.5 in from the new butt.
"""

import numpy as np

from mujoco_club import Club
from trade_units import half_last_digit, points, points_of_label

CLUBS = 300
SEED = 20140812
PLUG_IN = 2.5

# Sums of doubles on both sides: rounding only, some hundred units in the last place (2.2e-16).
ROUNDING = 1e-12
# Slices and bead radius in mujoco_club.py add at most 1.6e-10 M + 1e-9 sum(m l^2), in kg and m, to an inertia.
# With M below 0.7 kg, sum(m l^2) below 0.2 kg m2 and no inertia about the balance point below 0.02 kg m2: 1.6e-8.
INERTIA_RELATIVE = 2e-8
SMALLEST_INERTIA_KGCM2 = 200
LARGEST_MASS_G = 700


def random_parts(rng):
    """One club as the tool is told of it; what is left out is filled by the tool."""
    length = rng.uniform(34.0, 46.0)
    parts = {
        "length_in": length,
        "head_g": (200 + 8 * (45.5 - length)) * rng.uniform(0.92, 1.08),
        "shaft_g": rng.uniform(40, 135),
        "grip_g": rng.uniform(25, 75),
    }
    extension = 0.0
    if rng.random() < 0.5:
        extension = rng.uniform(0.125, 1.5)
        parts |= {"extension_in": extension, "extension_g": rng.uniform(1, 20)}
    if rng.random() < 0.5:
        parts["shaft_length_in"] = length - extension - rng.uniform(0.1, 1.5)
    if rng.random() < 0.75:
        parts["shaft_balance_fraction"] = rng.choice([1 / 3, 2 / 3, rng.uniform(0.4, 0.6)], p=[0.05, 0.05, 0.9])
    if rng.random() < 0.5:
        parts |= {"grip_length_in": rng.uniform(8, 13), "grip_cg_fraction": rng.uniform(0.35, 0.5)}
    if rng.random() < 0.75:
        parts["head_back_in"] = rng.uniform(0.3, 1.2)
    if rng.random() < 0.75:
        parts["head_perp_in"] = rng.uniform(0, 2)
    if rng.random() < 0.5:
        parts["extra"] = [
            {"mass_g": rng.uniform(1, 20), "at_in": rng.uniform(0, length)} for _ in range(rng.integers(1, 4))
        ]
    return parts


def assemble(parts):
    """The same club in MuJoCo."""
    length, extension = parts["length_in"], parts.get("extension_in", 0.0)
    club = Club()
    club.bead(parts["head_g"], length - parts.get("head_back_in", 0.75), parts.get("head_perp_in", 0.0))
    shaft_length = parts.get("shaft_length_in", length - extension - 0.5)
    club.rod(parts["shaft_g"], extension, shaft_length, parts.get("shaft_balance_fraction", 0.5))
    club.rod(parts["grip_g"], 0.0, parts.get("grip_length_in", 10.5), parts.get("grip_cg_fraction", 0.42))
    if "extension_g" in parts:
        club.rod(parts["extension_g"], 0.0, PLUG_IN)
    for extra in parts.get("extra", []):
        club.bead(extra["mass_g"], extra["at_in"])
    return club


def relative(got, want):
    return abs(got / want - 1)


def test_mass_balance_swingweight_and_inertia_of_random_clubs(calc):
    rng = np.random.default_rng(SEED)
    told = [random_parts(rng) for _ in range(CLUBS)]
    worst = dict.fromkeys(["mass", "balance", "moment", "inertia_butt", "inertia_balance"], 0.0)
    for parts, answer in zip(told, calc("statics", told)):
        club = assemble(parts)
        real = club.reading()
        assert real.inertia_balance_kgcm2 > SMALLEST_INERTIA_KGCM2
        assert real.mass_g < LARGEST_MASS_G
        for name, got, want in [
            ("mass", answer["mass_g"], real.mass_g),
            ("balance", answer["balance_in"], real.balance_in),
            ("moment", answer["moment_in_oz"], club.scale_in_oz()),
            ("inertia_butt", answer["inertia_butt_kgcm2"], real.inertia_butt_kgcm2),
            ("inertia_balance", answer["inertia_cg_kgcm2"], real.inertia_balance_kgcm2),
        ]:
            worst[name] = max(worst[name], relative(got, want))
    print(f"{CLUBS} clubs, worst relative difference from MuJoCo:")
    for name, value in worst.items():
        print(f"  {name:16} {value:.1e}")
    assert max(worst["mass"], worst["balance"], worst["moment"]) < ROUNDING
    assert max(worst["inertia_butt"], worst["inertia_balance"]) < INERTIA_RELATIVE


def test_swingweight_of_random_clubs_reads_as_the_hinge_does(calc):
    rng = np.random.default_rng(SEED + 1)
    told = [random_parts(rng) for _ in range(CLUBS)]
    worst = 0.0
    for parts, answer in zip(told, calc("statics", told)):
        want = points(assemble(parts).scale_in_oz())
        worst = max(worst, abs(answer["swingweight_points"] - want))
        label = answer["swingweight"]
        if want < 0:
            assert label == "below A0"
            continue
        assert abs(points_of_label(label) - want) <= half_last_digit(label) + 1e-9, (label, want)
    print(f"{CLUBS} clubs, worst difference in points: {worst:.1e}")
    assert worst < 1e-9  # points below 100 from moments good to ROUNDING: 1e-10; nothing else differs


def test_a_club_known_only_as_a_whole_reads_the_same_swingweight(calc):
    rng = np.random.default_rng(SEED + 2)
    clubs = [(parts["length_in"], assemble(parts)) for parts in (random_parts(rng) for _ in range(40))]
    readings = [club.reading() for _, club in clubs]
    told = [
        {"length_in": length, "mass_g": real.mass_g, "balance_in": real.balance_in}
        for (length, _), real in zip(clubs, readings)
    ]
    worst = 0.0
    for (_, club), answer in zip(clubs, calc("statics", told)):
        worst = max(worst, relative(answer["moment_in_oz"], club.scale_in_oz()))
    print(f"40 clubs from mass and balance, worst relative difference of the moment: {worst:.1e}")
    assert worst < ROUNDING
