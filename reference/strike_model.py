"""The strike trial's model worked out by other means: full covariance matrices, dense grids and weighted samples.

Place of ball i on day s along one axis, mm: y = a + u_s + (b + v_s) d + e, d the offset in inches;
u ~ N(0, su), v ~ N(0, sv), e normal with sd sigma or sigma times a Student t with 4 degrees of freedom.
Priors: b ~ N(0, 15); log sigma ~ N(log 7, 0.5); su, sv half-normal of scale 4 and 3. Without the rule a ~ N(0, 15);
with it a = c - b d0, d0 ~ N(0, 0.35) shared by both axes, c ~ N(0, 3). All of these are the method's assumptions,
taken over from the tool's documents; nothing else is.
"""

import csv

import numpy as np
from scipy import linalg, optimize, special, stats

LEVEL_SD = SLOPE_SD = 15.0
HABIT_SD = 3.0
FIT_SD = 0.35
LOG_SCATTER = (np.log(7.0), 0.5)
DAY_LEVEL_SCALE, DAY_SLOPE_SCALE = 4.0, 3.0
NU = 4
FITS = np.linspace(-4.5, 4.5, 37) * FIT_SD  # where d0 is taken: trapezoid, a quarter of its sd apart


def read(path):
    """Days as 0, 1, ...; offsets, and places along both axes."""
    with open(path, newline="") as file:
        rows = list(csv.DictReader(file))
    sessions = np.unique([int(row["session"]) for row in rows], return_inverse=True)[1]
    column = lambda name: np.array([float(row[name]) for row in rows])
    return sessions, column("offset_in"), {"x": column("x_mm"), "y": column("y_mm")}


def write(path, sessions, offsets, places):
    with open(path, "w", newline="") as file:
        out = csv.writer(file)
        out.writerow(["session", "order", "offset_in", "x_mm", "y_mm"])
        for i, (session, offset) in enumerate(zip(sessions, offsets)):
            order = int((sessions[:i] == session).sum()) + 1
            out.writerow([int(session) + 1, order, offset, places["x"][i], places["y"][i]])


def simulate(rng, days, offsets, each, share=0.3, day_sd=(3.0, 2.5), ball_sd=(8.0, 6.0), keep=None):
    """A made-up golfer. `keep` thins the balls, for days that are not alike."""
    sessions = np.repeat(np.arange(days), len(offsets) * each)
    d = np.tile(np.repeat(offsets, each), days)
    if keep is not None:
        kept = rng.random(len(d)) < keep
        sessions, d = sessions[kept], d[kept]
    fit = rng.normal(0, 0.3)
    places = {}
    for axis, slope, day, ball in zip("xy", (-11.92, 22.43), day_sd, ball_sd):
        b = slope * (1 - share)
        a = rng.normal(0, 2) - b * fit
        u, v = rng.normal(0, day, days), rng.normal(0, 2, days)
        places[axis] = np.round(a + u[sessions] + (b + v[sessions]) * d + rng.normal(0, ball, len(d)), 1)
    return sessions, d, places


def designs(sessions, d):
    """Columns of the line, and one column a day for its level and its slope."""
    days = (sessions[:, None] == np.arange(sessions.max() + 1)).astype(float)
    return np.column_stack([np.ones_like(d), d]), days, days * d[:, None]


def covariance(sessions, d, sigma, su, sv):
    _, level, slope = designs(sessions, d)
    return sigma**2 * np.eye(len(d)) + su**2 * level @ level.T + sv**2 * slope @ slope.T


# Restricted likelihood


def restricted(sessions, d, y, sigma, su, sv):
    """Logarithm of the restricted likelihood, and the line of generalised least squares."""
    x = designs(sessions, d)[0]
    factor = linalg.cho_factor(covariance(sessions, d, sigma, su, sv), lower=True)
    solved = linalg.cho_solve(factor, np.column_stack([x, y]))
    m, r = x.T @ solved[:, :2], x.T @ solved[:, 2]
    line = np.linalg.solve(m, r)
    ln_det = 2 * np.log(np.diag(factor[0])).sum() + np.linalg.slogdet(m)[1]
    quadratic = y @ solved[:, 2] - r @ line
    return -0.5 * ((len(y) - 2) * np.log(2 * np.pi) + ln_det + quadratic), line, np.linalg.inv(m)


def maximise_restricted(sessions, d, y):
    """The maximum over sigma, su, sv >= 0, from four starts."""
    cost = lambda t: -restricted(sessions, d, y, np.exp(t[0]), t[1], t[2])[0]
    s = np.log(np.std(y))
    best = None
    for start in ([s, 2, 2], [s, 2, 0.01], [s, 0.01, 2], [s, 5, 5]):
        found = optimize.minimize(cost, start, method="L-BFGS-B", bounds=[(-2, 5), (0, 60), (0, 60)],
                                  options={"ftol": 1e-13, "gtol": 1e-7})
        if best is None or found.fun < best.fun:
            best = found
    sigma, su, sv = np.exp(best.x[0]), best.x[1], best.x[2]
    return (sigma, su, sv), *restricted(sessions, d, y, sigma, su, sv)


# Priors


def ln_half_normal(value, scale):
    return np.log(2) + stats.norm.logpdf(value, 0, scale)


def ln_fit_weights():
    return stats.norm.logpdf(FITS, 0, FIT_SD) + np.log(FITS[1] - FITS[0])


def prior_precisions(with_rule):
    """Precision of (a, b) for every length that may fit: one without the rule, one a place of FITS with it."""
    if not with_rule:
        return np.array([np.diag([LEVEL_SD**-2, SLOPE_SD**-2])])
    habit = HABIT_SD**-2
    return np.array([[[habit, f * habit], [f * habit, SLOPE_SD**-2 + f * f * habit]] for f in FITS])


def logsumexp(values):
    return special.logsumexp(values)


# Normal errors: a dense grid


class NormalGrid:
    """One axis under normal errors, before any prior of level and slope. Days are taken relative to sigma, so that one
    Cholesky factor of the balls' covariance serves every sigma."""

    def __init__(self, sessions, d, y, nodes=(24, 18, 41)):
        x = designs(sessions, d)[0]
        t_u, w_u = half_line(nodes[0], 5.0)
        t_v, w_v = half_line(nodes[1], 4.0)
        s = pooled_sd(sessions, d, y)
        free = max(len(y) - 2 * (sessions.max() + 1), 4)
        width = 1 / np.sqrt(2 * free + 4)
        centre = (2 * free * np.log(s) + 4 * LOG_SCATTER[0]) / (2 * free + 4)
        logs = centre + width * np.linspace(-7, 7, nodes[2])
        sigma = np.exp(logs)
        rows = []
        level, slope = (z @ z.T for z in designs(sessions, d)[1:])
        right = np.column_stack([x, y])
        for ru, wu in zip(t_u, w_u):
            of_level = np.eye(len(y)) + ru**2 * level
            for rv, wv in zip(t_v, w_v):
                factor = linalg.cholesky(of_level + rv**2 * slope, lower=True, overwrite_a=True, check_finite=False)
                half = linalg.solve_triangular(factor, right, lower=True, check_finite=False)
                m = half.T @ half
                rows.append([ru, rv, np.log(wu) + np.log(wv), 2 * np.log(np.diag(factor)).sum(),
                             m[0, 0], m[0, 1], m[1, 1], m[0, 2], m[1, 2], m[2, 2]])
        ru, rv, ln_w, ln_k, *self.sums = (c[:, None] for c in np.array(rows).T)
        self.su, self.sv, self.sigma = ru * sigma, rv * sigma, np.broadcast_to(sigma, (len(rows), len(sigma)))
        ln_prior = (ln_w + stats.norm.logpdf(logs, *LOG_SCATTER) + np.log(logs[1] - logs[0])
                    + ln_half_normal(self.su, DAY_LEVEL_SCALE) + ln_half_normal(self.sv, DAY_SLOPE_SCALE)
                    + 2 * np.log(sigma))  # day spreads are sigma times the grid's
        n, q = len(y), self.sums[5]
        self.constant = ln_prior - 0.5 * (n * np.log(2 * np.pi) + n * 2 * np.log(sigma) + ln_k + q / sigma**2)


class NormalAxis:
    """A grid under a prior of level and slope, which are integrated out in closed form."""

    def __init__(self, grid, with_rule):
        self.su, self.sv, self.sigma = grid.su, grid.sv, grid.sigma
        sigma, constant = grid.sigma[:1], grid.constant
        maa, mab, mbb, ra, rb, _ = grid.sums
        one = 1 / sigma**2
        self.mean, self.cov, logs_of = [], [], []
        for p in prior_precisions(with_rule):
            aa, ab, bb = p[0, 0] + maa * one, p[0, 1] + mab * one, p[1, 1] + mbb * one
            det = aa * bb - ab * ab
            r_a, r_b = ra * one, rb * one
            mean_a, mean_b = (bb * r_a - ab * r_b) / det, (aa * r_b - ab * r_a) / det
            logs_of.append(constant + 0.5 * (mean_a * r_a + mean_b * r_b - np.log(det) + np.linalg.slogdet(p)[1]))
            self.mean.append((mean_a, mean_b))
            self.cov.append((bb / det, -ab / det, aa / det))
        self.ln_evidence = np.array([logsumexp(log) for log in logs_of])
        self.weights = [np.exp(log - e) for log, e in zip(logs_of, self.ln_evidence)]

    def draw(self, rng, node, count):
        """Draws of level and slope given the length that fits."""
        weights = self.weights[node].ravel()
        at = rng.choice(len(weights), count, p=weights / weights.sum())
        (ma, mb), (caa, cab, cbb) = self.mean[node], self.cov[node]
        ma, mb, caa, cab, cbb = (v.ravel()[at] for v in np.broadcast_arrays(ma, mb, caa, cab, cbb))
        z = rng.normal(size=(2, count))
        root = np.sqrt(caa)
        return np.array([ma + root * z[0], mb + cab / root * z[0] + np.sqrt(cbb - cab**2 / caa) * z[1]])

    def moments(self, node_odds):
        """Means and standard deviations of a, b, su, sv, sigma."""
        mean, square = {}, {}
        for odds, w, (ma, mb), (caa, _, cbb) in zip(node_odds, self.weights, self.mean, self.cov):
            for name, m, c in (("a", ma, caa), ("b", mb, cbb), ("su", self.su, 0), ("sv", self.sv, 0),
                               ("sigma", self.sigma, 0)):
                mean[name] = mean.get(name, 0) + odds * (w * m).sum()
                square[name] = square.get(name, 0) + odds * (w * (m * m + c)).sum()
        return {name: (mean[name], np.sqrt(square[name] - mean[name] ** 2)) for name in mean}


def half_line(order, reach):
    """Gauss-Legendre over 0 to `reach`, crowded toward zero."""
    t, w = special.roots_legendre(order)
    t, w = (t + 1) / 2, w / 2
    return reach * t * t, w * 2 * reach * t


def pooled_sd(sessions, d, y):
    left, free = 0.0, 0
    for day in np.unique(sessions):
        of_day = sessions == day
        x = np.column_stack([np.ones(of_day.sum()), d[of_day]])
        line = np.linalg.lstsq(x, y[of_day], rcond=None)[0]
        left += ((y[of_day] - x @ line) ** 2).sum()
        free += max(of_day.sum() - np.linalg.matrix_rank(x), 0)
    return np.sqrt(left / free)


# Student errors: a grid over scatter and days, weighted samples of everything else


class StudentAxis:
    """One axis under Student errors. At each point of a grid over sigma, su, sv the line and all days' departures are
    drawn from a heavy-tailed proposal about the most probable ones, and weighted by the exact density over the
    proposal's: no approximation is left, only sampling error, which is estimated."""

    PROPOSAL_DF = 7

    def __init__(self, rng, sessions, d, y, nodes=(12, 9), budget=60_000):
        x, level, slope = designs(sessions, d)
        days, n = level.shape[1], len(y)
        residual_scale = 0.75 * pooled_sd(sessions, d, y)
        width = 1 / np.sqrt(2 * n * NU / (NU + 3))
        logs = np.log(residual_scale) + np.linspace(-0.6, 0.6, 1 + 2 * int(np.ceil(0.6 / (0.75 * width))))
        su, wu = half_line(nodes[0], 20.0)
        sv, wv = half_line(nodes[1], 15.0)
        grid = [a.ravel() for a in np.meshgrid(logs, np.arange(len(su)), np.arange(len(sv)), indexing="ij")]
        log, iu, iv = grid[0], grid[1].astype(int), grid[2].astype(int)
        self.sigma, self.su, self.sv = np.exp(log), su[iu], sv[iv]
        ln_prior = (stats.norm.logpdf(log, *LOG_SCATTER) + np.log(logs[1] - logs[0]) + np.log(wu[iu]) + np.log(wv[iv])
                    + ln_half_normal(self.su, DAY_LEVEL_SCALE) + ln_half_normal(self.sv, DAY_SLOPE_SCALE))
        p = 2 + 2 * days
        prior = np.diag(np.r_[LEVEL_SD**-2, SLOPE_SD**-2, np.ones(2 * days)])
        df, modes, roots, ln_laplace = self.PROPOSAL_DF, [], [], []
        for start in range(0, len(log), 400):
            part = slice(start, start + 400)
            scale = np.concatenate([np.ones((len(log[part]), 2)), np.repeat(self.su[part, None], days, 1),
                                    np.repeat(self.sv[part, None], days, 1)], axis=1)
            a = np.column_stack([x, level, slope])[None] * scale[:, None, :]
            one = 1 / self.sigma[part, None] ** 2
            z = np.zeros((len(scale), p))
            for _ in range(60):
                left = y - np.einsum("tnp,tp->tn", a, z)
                w = (NU + 1) * one / (NU + left**2 * one)
                aw = a * w[:, :, None]
                precision = aw.transpose(0, 2, 1) @ a + prior
                new = np.linalg.solve(precision, np.einsum("tnp,n->tp", aw, y)[..., None])[..., 0]
                moved = np.abs(new - z).max()
                z = new
                if moved < 1e-4:
                    break
            modes.append(z)
            # the proposal need not be exact: the precision of the last weighting, a little wider
            roots.append(np.linalg.cholesky(np.linalg.inv(precision) * 1.15))
            ln_laplace.append(self.ln_density(y, left, self.sigma[part], z[:, 2:])
                              - 0.5 * np.einsum("tp,p,tp->t", z[:, :2], np.diag(prior)[:2], z[:, :2])
                              + np.log(np.diagonal(roots[-1], axis1=1, axis2=2)).sum(1))
        modes, roots = np.concatenate(modes), np.concatenate(roots)
        # most draws where most of the odds lie, some everywhere
        rough = ln_prior + np.concatenate(ln_laplace)
        rough = np.exp(rough - rough.max())
        counts = 4 + (budget * rough / rough.sum()).astype(int)
        self.at = np.repeat(np.arange(len(log)), counts)
        pools = []
        for part in np.array_split(self.at, max(len(self.at) // 4000, 1)):
            shift = rng.normal(size=(len(part), p)) / np.sqrt(rng.chisquare(df, size=(len(part), 1)) / df)
            z = modes[part] + np.einsum("kpq,kq->kp", roots[part], shift)
            ln_proposal = (special.gammaln((df + p) / 2) - special.gammaln(df / 2) - p / 2 * np.log(df * np.pi)
                           - np.log(np.diagonal(roots[part], axis1=1, axis2=2)).sum(1)
                           - (df + p) / 2 * np.log1p((shift**2).sum(1) / df))
            u, v = z[:, 2:2 + days] * self.su[part, None], z[:, 2 + days:] * self.sv[part, None]
            left = y - (z[:, :1] + u[:, sessions] + (z[:, 1:2] + v[:, sessions]) * d)
            pools.append((z[:, 0], z[:, 1], ln_prior[part] + self.ln_density(y, left, self.sigma[part], z[:, 2:])
                          - ln_proposal - np.log(counts[part])))
        self.counts = counts
        self.a, self.b, self.ln_weight = (np.concatenate([pool[i] for pool in pools]) for i in range(3))
        self.theta = {name: getattr(self, name)[self.at] for name in ("sigma", "su", "sv")}

    @staticmethod
    def ln_density(y, left, sigma, departures):
        """Of the balls given everything, and of the days' departures in units of their spreads."""
        balls = (len(y) * (stats.t.logpdf(0, NU) - np.log(sigma))
                 - (NU + 1) / 2 * np.log1p((left / sigma[:, None]) ** 2 / NU).sum(1))
        return balls - 0.5 * (departures**2).sum(1) - departures.shape[1] / 2 * np.log(2 * np.pi)

    def under(self, with_rule):
        """Adds the prior of level and slope: evidence and its standard error, and weights, for each fit."""
        evidence, errors, weights = [], [], []
        for p in prior_precisions(with_rule):
            ln_prior = 0.5 * np.linalg.slogdet(p)[1] - np.log(2 * np.pi) - 0.5 * (
                p[0, 0] * self.a**2 + 2 * p[0, 1] * self.a * self.b + p[1, 1] * self.b**2)
            log = self.ln_weight + ln_prior
            e = logsumexp(log)
            w = np.exp(log - e)
            evidence.append(e)
            # sampling error: the draws of each grid point about their own mean
            sums, squares = np.bincount(self.at, w), np.bincount(self.at, w * w)
            errors.append(np.sqrt(((squares - sums**2 / self.counts) * self.counts / (self.counts - 1)).sum()))
            weights.append(w)
        return np.array(evidence), np.array(errors), weights

    def moments(self, weights):
        values = {"a": self.a, "b": self.b, **self.theta}
        out = {}
        for name, value in values.items():
            mean = (weights * value).sum()
            out[name] = (mean, np.sqrt((weights * (value - mean) ** 2).sum()))
        return out

    def draw(self, rng, weights, count):
        at = rng.choice(len(weights), count, p=weights / weights.sum())
        return np.array([self.a[at], self.b[at]])


# From draws to answers


def answers(lines, offsets):
    """Odds and costs of the lengths tried, from draws of (a_x, b_x, a_y, b_y)."""
    offsets = np.asarray(offsets)
    (ax, bx), (ay, by) = lines
    costs = (ax[:, None] + bx[:, None] * offsets) ** 2 + (ay[:, None] + by[:, None] * offsets) ** 2
    least = costs.min(1, keepdims=True)
    fit = np.clip(-(ax * bx + ay * by) / (bx**2 + by**2), offsets.min(), offsets.max())
    mean = costs.mean(0)
    return {
        "p_best": np.bincount(costs.argmin(1), minlength=len(offsets)) / len(ax),
        "p_near_best": (costs - least <= 4.0).mean(0),
        "excess": mean - mean.min(),
        "fit": fit,
    }
