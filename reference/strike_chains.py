"""The strike trial's model sampled whole: every day's departure is a parameter of its own, nothing is integrated out.

PyMC states the model (the priors are those of `strike_model.py`), nutpie's No-U-Turn sampler draws from it. Needs
`requirements-chains.txt`.
"""

import nutpie
import numpy as np
import pymc as pm

import strike_model as strike

LINE = ["a_x", "b_x", "a_y", "b_y"]
SPREADS = ["sigma_x", "su_x", "sv_x", "sigma_y", "su_y", "sv_y"]


def stated(sessions, d, places, with_rule=False, student=False):
    """Both axes in one model, for the length that fits is shared."""
    days = int(sessions.max()) + 1
    with pm.Model() as model:
        if with_rule:
            fit = pm.Normal("fit", 0, strike.FIT_SD)
        for axis, y in places.items():
            b = pm.Normal(f"b_{axis}", 0, strike.SLOPE_SD)
            if with_rule:
                habit = pm.Normal(f"habit_{axis}", 0, strike.HABIT_SD)
                a = pm.Deterministic(f"a_{axis}", habit - b * fit)
            else:
                a = pm.Normal(f"a_{axis}", 0, strike.LEVEL_SD)
            sigma = pm.LogNormal(f"sigma_{axis}", *strike.LOG_SCATTER)
            su = pm.HalfNormal(f"su_{axis}", strike.DAY_LEVEL_SCALE)
            sv = pm.HalfNormal(f"sv_{axis}", strike.DAY_SLOPE_SCALE)
            # departures in units of their spread: a spread near zero would else be a funnel that chains stick in
            u = su * pm.Normal(f"level_of_day_{axis}", 0, 1, shape=days)
            v = sv * pm.Normal(f"slope_of_day_{axis}", 0, 1, shape=days)
            mean = a + u[sessions] + (b + v[sessions]) * d
            if student:
                pm.StudentT(f"y_{axis}", nu=strike.NU, mu=mean, sigma=sigma, observed=y)
            else:
                pm.Normal(f"y_{axis}", mean, sigma, observed=y)
    return model


def compiled(model):
    return nutpie.compile_pymc_model(model, backend="numba")


def sampled(program, **settings):
    """Draws by name, and how many steps diverged."""
    trace = nutpie.sample(program, progress_bar=False, **settings)
    return trace.posterior, int(trace.sample_stats["diverging"].sum())


def lines_of(posterior):
    """Level and slope along both axes, as `strike_model.answers` takes them."""
    level_and_slope = lambda axis: np.array([posterior[f"{name}_{axis}"].values.ravel() for name in "ab"])
    return level_and_slope("x"), level_and_slope("y")
