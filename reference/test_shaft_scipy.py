"""`calc shaft` against SciPy's solve_bvp on the beam's equation, written down here once more from its statement.

(EI w'')'' = omega^2 m w; clamped at one end; at the other the head's force and moment. The state is w, w', the moment EI w''
and its slope; omega^2 is the unknown parameter and the deflection's scale is fixed by the moment at the clamp. The start is
a finite-difference matrix of the same beam, which also says which mode it is.

Tolerance: solve_bvp is held to 1e-6; the tool must agree to 1e-4 relative.
"""

import math

import numpy as np
from scipy.integrate import solve_bvp

CLUBS = 12
SEED = 1744
WITHIN = 1e-4


def start(stiffness, mass, free, head, mode):
    """omega^2 and the moment of one mode from 200 rigid links joined by springs."""
    links = 200
    step = free / links
    middle = (np.arange(links) + 0.5) * step
    # turns of each joint are the unknowns; the joints' springs and the links' masses follow
    joints = np.arange(links) * step
    spring = np.diag([stiffness(x) / step * (2.0 if k == 0 else 1.0) for k, x in enumerate(joints)])
    reach = np.clip(middle[:, None] - joints[None, :], 0.0, None)
    inertia = reach.T @ (np.array([mass(x) * step for x in middle])[:, None] * reach)
    m, j, c = head
    out = free + c - joints
    inertia += m * np.outer(out, out) + j * np.ones((links, links))
    soft = np.diag(1.0 / np.sqrt(np.diag(spring)))
    values, vectors = np.linalg.eigh(soft @ inertia @ soft)
    turns = soft @ vectors[:, -mode]
    return 1.0 / values[-mode], joints, np.diag(spring) * turns


def cpm(stiffness, mass, free, head, mode):
    """Frequency of a mode by collocation."""
    m, j, c = head
    guess, joints, moment = start(stiffness, mass, free, head, mode)
    moment = moment / moment[0]
    mesh = np.linspace(0.0, free, 81)
    bend = np.interp(mesh, joints, moment)
    turn = np.concatenate([[0.0], np.cumsum(np.diff(mesh) * 0.5 * ((bend / stiffness(mesh))[1:] + (bend / stiffness(mesh))[:-1]))])
    swing = np.concatenate([[0.0], np.cumsum(np.diff(mesh) * 0.5 * (turn[1:] + turn[:-1]))])

    def slope(x, y, p):
        return np.vstack([y[1], y[2] / stiffness(x), y[3], p[0] * guess * mass(x) * y[0]])

    def ends(a, b, p):
        square = p[0] * guess
        swung = b[0] + c * b[1]
        return np.array([a[0], a[1], a[2] - 1.0, b[2] - square * (j * b[1] + m * c * swung), b[3] + square * m * swung])

    solved = solve_bvp(slope, ends, mesh, np.vstack([swing, turn, bend, np.gradient(bend, mesh)]), p=[1.0], tol=1e-6, max_nodes=20000)
    assert solved.success, solved.message
    return 60.0 * math.sqrt(solved.p[0] * guess) / (2.0 * math.pi)


def test_tapered_clubs(calc):
    """Modes 1 and 2; every other club is a tube."""
    random = np.random.default_rng(SEED)
    questions, expected = [], []
    for number in range(CLUBS):
        raw, clamp, hosel, cut = random.uniform(0.9, 1.17), random.uniform(0.10, 0.18), random.uniform(0.02, 0.04), random.uniform(0, 0.05)
        head = random.uniform(0.19, 0.31), random.uniform(0, 4e-4), random.uniform(0, 0.04)
        question = dict(clamp_m=clamp, hosel_m=hosel, butt_cut_m=cut, tip_mass_kg=head[0], tip_J_kgm2=head[1], tip_c_m=head[2])
        if number % 2:
            outer, wall = (random.uniform(0.0148, 0.0156), random.uniform(0.009, 0.0097)), (random.uniform(3e-4, 4e-4), random.uniform(3.5e-4, 5e-4))
            question |= dict(D_butt_m=outer[0], D_tip_m=outer[1], t_butt_m=wall[0], t_tip_m=wall[1], raw_len_m=raw, E_Pa=2e11, rho_kg_m3=7850.0)

            def across(x, ends, raw=raw):
                return ends[0] + (ends[1] - ends[0]) * x / raw

            def stiffness(x, outer=outer, wall=wall, across=across):
                d, t = across(x, outer), across(x, wall)
                return 2e11 * math.pi / 64 * (d**4 - (d - 2 * t) ** 4)

            def mass(x, outer=outer, wall=wall, across=across):
                d, t = across(x, outer), across(x, wall)
                return 7850.0 * math.pi / 4 * (d**2 - (d - 2 * t) ** 2)
        else:
            ei, kg = (random.uniform(45, 80), random.uniform(16, 32)), (random.uniform(0.05, 0.13), random.uniform(0.04, 0.11))
            question["profile"] = [dict(at_m=at, EI_Nm2=ei[k], mass_per_m_kg=kg[k]) for k, at in enumerate((0.0, raw))]

            def stiffness(x, ei=ei, raw=raw):
                return ei[0] + (ei[1] - ei[0]) * x / raw

            def mass(x, kg=kg, raw=raw):
                return kg[0] + (kg[1] - kg[0]) * x / raw

        edge = clamp + cut
        free = raw - hosel - edge
        for mode in (1, 2):
            questions.append(question | dict(mode=mode))
            expected.append(cpm(lambda x: stiffness(x + edge), lambda x: mass(x + edge), free, head, mode))
    answers = calc("shaft", questions)
    off = [abs(answer["cpm"] / worked - 1.0) for answer, worked in zip(answers, expected)]
    print(f"{CLUBS} tapered clubs, two modes: worst relative difference {max(off):.1e}")
    assert max(off) <= WITHIN
