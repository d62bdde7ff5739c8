"""A golf club assembled in MuJoCo as one rigid body out of many small solids.

Answers: mass, balance point, inertia, reading of a swingweight scale and period when hung
from a pivot, all taken from the compiled model, so that no formula for a club is used here.

Axes: the shaft lies along +z, butt at z = 0; "off the line" is +x; swings are about y.
The body is built through MjSpec, whose numbers are doubles; no text form is written or read.

A rod with its balance point at fraction f of its length l carries mass m with a density
that changes in a straight line, rho(u) = a + b u. The total mass and the balance fix it:

    a l + b l^2/2 = m,   a l^2/2 + b l^3/3 = m f l   ->   a = m (4 - 6f)/l,  b = m (12f - 6)/l^2

(density at both ends >= 0 exactly when 1/3 <= f <= 2/3), and its second moment about the
start is a l^3/3 + b l^4/4 = m l^2 (f - 1/6). That is the rule the tool uses; here the rod is
cut into SLICES short cylinders instead, each set at its own centre of mass. A slice of width w is
then wrong only in its own second moment, by its mass times (b w^2 / 12 rho)^2. Summed over the
rod this is worst when one end has no density, and even then below 0.1 m l^2 / SLICES^4.
"""

from dataclasses import dataclass, field

import mujoco
import numpy as np
from scipy.interpolate import CubicHermiteSpline

from trade_units import FULCRUM_IN, INCH_M, OUNCE_KG, STANDARD_GRAVITY

SLICES = 100
# Radius of every solid, m. Thin enough that a solid's own roundness adds at most 0.4 r^2 = 1.6e-10 m2
# per unit mass to an inertia; MuJoCo refuses volumes below 1e-15 m3, which a sphere of 6e-6 m reaches.
RADIUS_M = 2e-5
KG_M2_IN_KG_CM2 = 1e4


@dataclass(frozen=True)
class Reading:
    """What the compiled model says of the club; inertias about y, on the shaft line."""

    mass_g: float
    balance_in: float
    inertia_butt_kgcm2: float
    inertia_balance_kgcm2: float
    inertia_pivot_kgcm2: float


@dataclass
class Club:
    """Solids of a club: (mass kg, z m, x m, half length m), half length 0 for a bead."""

    solids: list = field(default_factory=list)

    def bead(self, mass_g, at_in, off_line_in=0.0):
        """Adds a mass at one place."""
        self.solids.append((mass_g / 1000, at_in * INCH_M, off_line_in * INCH_M, 0.0))
        return self

    def rod(self, mass_g, start_in, length_in, balance_fraction=0.5):
        """Adds a rod of linearly changing density, sliced."""
        mass, start, length = mass_g / 1000, start_in * INCH_M, length_in * INCH_M
        assert 1 / 3 <= balance_fraction <= 2 / 3, "density would be negative at one end"
        intercept = mass * (4 - 6 * balance_fraction) / length
        slope = mass * (12 * balance_fraction - 6) / length**2
        width = length / SLICES
        for middle in (np.arange(SLICES) + 0.5) * width:
            density = intercept + slope * middle
            own_centre = middle + slope * width**2 / (12 * density)
            self.solids.append((density * width, start + own_centre, 0.0, width / 2))
        return self

    def compiled(self, hinge_in=0.0, gravity=(0.0, 0.0, 0.0)):
        """MuJoCo model of the club on a frictionless hinge about y."""
        spec = mujoco.MjSpec()
        spec.compiler.boundmass = 0
        spec.compiler.boundinertia = 0
        spec.compiler.balanceinertia = False
        spec.option.gravity = gravity
        spec.option.integrator = mujoco.mjtIntegrator.mjINT_RK4
        body = spec.worldbody.add_body(name="club")
        body.add_joint(type=mujoco.mjtJoint.mjJNT_HINGE, axis=[0, 1, 0], pos=[0, 0, hinge_in * INCH_M])
        for mass, along, off, half in self.solids:
            shape = mujoco.mjtGeom.mjGEOM_CYLINDER if half else mujoco.mjtGeom.mjGEOM_SPHERE
            size, place = [RADIUS_M, half, 0], [off, 0, along]
            body.add_geom(type=shape, size=size, pos=place, mass=mass, contype=0, conaffinity=0)
        return spec.compile()

    def reading(self, pivot_in=0.0):
        """Mass, balance point and inertias of the compiled body."""
        model = self.compiled()
        mass, centre = model.body_mass[1], model.body_ipos[1]
        axes = np.zeros(9)
        mujoco.mju_quat2Mat(axes, model.body_iquat[1])
        axes = axes.reshape(3, 3)
        about_centre = (axes @ np.diag(model.body_inertia[1]) @ axes.T)[1, 1]

        def about(z):
            return (about_centre + mass * ((centre[2] - z) ** 2 + centre[0] ** 2)) * KG_M2_IN_KG_CM2

        return Reading(mass * 1000, centre[2] / INCH_M, about(0.0), about(centre[2]), about(pivot_in * INCH_M))

    def scale_in_oz(self, held_from_in=0.0):
        """Torque in inch-ounces about a fulcrum 14 in toward the head from `held_from_in`, club level."""
        model = self.compiled(held_from_in + FULCRUM_IN, (STANDARD_GRAVITY, 0.0, 0.0))
        data = mujoco.MjData(model)
        mujoco.mj_forward(model, data)
        return -data.qfrc_bias[0] / (STANDARD_GRAVITY * INCH_M * OUNCE_KG)

    def period_s(self, pivot_in, amplitude_rad, swings, step_s):
        """Mean time of one full swing, from the zero crossings of a simulated swing."""
        model = self.compiled(pivot_in, (0.0, 0.0, STANDARD_GRAVITY))
        model.opt.timestep = step_s
        data = mujoco.MjData(model)
        data.qpos[0] = amplitude_rad
        time, angle, rate = [0.0], [amplitude_rad], [0.0]
        crossings = 0
        while crossings < 2 * swings + 1:
            mujoco.mj_step(model, data)
            time.append(data.time)
            angle.append(data.qpos[0])
            rate.append(data.qvel[0])
            crossings += angle[-2] * angle[-1] < 0
            assert data.time < 10 * swings, "the club does not swing"
        roots = CubicHermiteSpline(time, angle, rate).roots(extrapolate=False)
        return (roots[2 * swings] - roots[0]) / swings
