//! Natural frequencies and shapes of a clamped shaft with a head, by Ritz's method on the bending moment.
//!
//! The moment along the free shaft is written as Legendre polynomials, `P_i`; the curvature of each is `P_i / EI`, and
//! integrating it twice from the clamp gives a shape that is clamped by itself. Kinks and steps of the stiffness are then
//! in the shapes from the start, so few terms do for any profile. Stiffness and mass matrix follow by quadrature, and the
//! stiffness matrix, which is the well-behaved one, is split by Cholesky: the eigenvalues are 1/ω², the slow modes
//! largest and so the most exact. `docs/derivations/flex.md` says why this and not finite elements.

use super::panels::{NODES, Panel, legendre};
use super::profile::within;
use super::{FreeSpan, Profile};
use crate::ClubError;
use crate::range::mass_within;
use nalgebra::{Cholesky, DMatrix, DVector, Dyn, SymmetricEigen};
use quantity::{Frequency, Inertia, Length, Mass};
use std::f64::consts::PI;

/// Modes that are given. Definition: so many are exact to 1e-6 with the terms that are taken.
pub const MODES: std::ops::RangeInclusive<usize> = 1..=3;
/// Terms of the moment. Derived: twice as many move the third mode by less than 1e-6, asserted below.
const TERMS: usize = 12;
/// Heads that can sit on a shaft. Definition of what the tool takes; a bare shaft is one without head.
const INERTIA_KG_CM2: (f64, f64) = (0.0, 200.0);
const CENTRE_MM: (f64, f64) = (-50.0, 150.0);

/// A rigid head at the end of the free shaft.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct TipHead {
    /// Its mass.
    pub mass: Mass,
    /// Its inertia about its own centre of mass, about the axis square to shaft and swing.
    pub inertia: Inertia,
    /// How far its centre lies beyond the end of the free shaft, outward.
    pub centre_beyond_tip: Length,
}

/// One way to vibrate.
#[derive(Debug, Clone, PartialEq)]
pub struct Mode {
    /// How often, at small swings and without friction.
    pub frequency: Frequency,
    /// Places along the free shaft, from the clamp's edge, and how far they swing, as shares of the largest swing; the
    /// free end's is positive, or nought.
    pub shape: Vec<(Length, f64)>,
}

impl TipHead {
    pub(super) fn checked(self) -> Result<Self, ClubError> {
        mass_within("head mass", self.mass, 0.0, 2_000.0)?;
        within("head inertia", self.inertia.as_kg_cm2(), INERTIA_KG_CM2, "kg cm²")?;
        within("head's centre beyond the shaft", self.centre_beyond_tip.as_mm(), CENTRE_MM, "mm")?;
        Ok(self)
    }
}

/// How far each term's shape swings at the nodes and at the free end.
struct Shapes {
    /// One row for each node, one column for each term.
    at_nodes: DMatrix<f64>,
    places: Vec<f64>,
    at_tip: DVector<f64>,
}

struct Matrices {
    stiffness: DMatrix<f64>,
    mass: DMatrix<f64>,
    shapes: Shapes,
}

/// Returns the slowest frequency.
pub(super) fn frequency(profile: &Profile, span: FreeSpan, head: TipHead) -> Frequency {
    let split = Split::of(matrices(profile, span, head, TERMS));
    // the eigenvalues are 1/ω², so the largest is the slowest
    hertz(split.reduced.symmetric_eigenvalues().max())
}

/// Returns the `mode`-th slowest way to vibrate.
pub(super) fn mode(profile: &Profile, span: FreeSpan, head: TipHead, mode: usize) -> Mode {
    mode_with_terms(profile, span, head, mode, TERMS)
}

fn hertz(one_over_omega_squared: f64) -> Frequency {
    Frequency::hertz(1.0 / (2.0 * PI * one_over_omega_squared.sqrt()))
}

/// The problem reduced to a symmetric matrix: with K = L Lᵀ, L⁻¹ M L⁻ᵀ y = y / ω² and a = L⁻ᵀ y.
struct Split {
    cholesky: Cholesky<f64, Dyn>,
    reduced: DMatrix<f64>,
    shapes: Shapes,
}

impl Split {
    fn of(matrices: Matrices) -> Self {
        let cholesky = Cholesky::new(matrices.stiffness)
            .expect("the stiffness matrix of moments along a shaft of positive stiffness is positive");
        let lower = cholesky.l_dirty();
        let mut half = matrices.mass;
        lower.solve_lower_triangular_mut(&mut half);
        let mut reduced = half.transpose();
        lower.solve_lower_triangular_mut(&mut reduced);
        Self { cholesky, reduced, shapes: matrices.shapes }
    }
}

fn mode_with_terms(profile: &Profile, span: FreeSpan, head: TipHead, mode: usize, terms: usize) -> Mode {
    let split = Split::of(matrices(profile, span, head, terms));
    let eigen = SymmetricEigen::new(split.reduced);
    let mut order: Vec<usize> = (0..terms).collect();
    order.sort_by(|a, b| eigen.eigenvalues[*b].total_cmp(&eigen.eigenvalues[*a]));
    let wanted = order[mode - 1];
    let mut weights: DVector<f64> = eigen.eigenvectors.column(wanted).into_owned();
    split.cholesky.l_dirty().tr_solve_lower_triangular_mut(&mut weights);
    Mode { frequency: hertz(eigen.eigenvalues[wanted]), shape: shape(&split.shapes, &weights, span.length()) }
}

/// Adds up the shapes with their weights and scales the largest swing to one.
fn shape(shapes: &Shapes, weights: &DVector<f64>, free: Length) -> Vec<(Length, f64)> {
    let tip = shapes.at_tip.dot(weights);
    let swings = &shapes.at_nodes * weights;
    let largest = swings.amax().max(tip.abs()).copysign(tip);
    let along = shapes.places.iter().zip(&swings).map(|(place, swing)| (free * *place, swing / largest));
    [(Length::ZERO, 0.0)].into_iter().chain(along).chain([(free, tip / largest)]).collect()
}

/// Stiffness and mass matrix. With s = x / L and `w'' = P_i / e`, e = EI / EI at the clamp:
/// `K_ij = EI₀ / L³ ∫ P_i P_j / e ds`, `M_ij = L ∫ m' w_i w_j ds + M u_i u_j + J θ_i θ_j`, where u = w + c θ and θ = w' / L
/// are the head's own.
fn matrices(profile: &Profile, span: FreeSpan, head: TipHead, terms: usize) -> Matrices {
    let free_m = span.length().as_metres();
    let clamp_stiffness = profile.at(span.clamp_edge).stiffness_n_m2;
    let inside = |place: &f64| *place > 0.0 && *place < 1.0;
    let kinks = profile.kinks().map(|at| (at - span.clamp_edge) / span.length()).filter(inside);
    let panels = Panel::cut(kinks);

    let nodes = panels.len() * NODES;
    let mut moments = DMatrix::zeros(nodes, terms);
    let mut at_nodes = DMatrix::zeros(nodes, terms);
    let mut flexibility = Vec::with_capacity(nodes);
    let mut inertia = Vec::with_capacity(nodes);
    let mut places = Vec::with_capacity(nodes);
    let mut at_tip = DVector::zeros(terms);
    let mut slope_at_tip = DVector::zeros(terms);
    let mut values = vec![0.0; terms];
    for (number, panel) in panels.iter().enumerate() {
        let along = panel.nodes();
        let sections = along.map(|(place, _)| profile.at(span.clamp_edge + span.length() * place));
        let softness = sections.map(|section| clamp_stiffness / section.stiffness_n_m2);
        let first = number * NODES;
        for (node, (place, weight)) in along.into_iter().enumerate() {
            legendre(2.0 * place - 1.0, &mut values);
            for (term, value) in values.iter().enumerate() {
                moments[(first + node, term)] = *value;
            }
            flexibility.push(weight * softness[node]);
            inertia.push(weight * sections[node].mass_per_m_kg * free_m);
            places.push(place);
        }
        for term in 0..terms {
            let curvature: [f64; NODES] =
                std::array::from_fn(|node| moments[(first + node, term)] * softness[node]);
            let slope_before = slope_at_tip[term];
            let slopes = panel.running(&curvature).map(|slope| slope_before + slope);
            let before: f64 = at_tip[term];
            for (node, gained) in panel.running(&slopes).into_iter().enumerate() {
                at_nodes[(first + node, term)] = before + gained;
            }
            at_tip[term] = before + panel.whole(&slopes);
            slope_at_tip[term] = slope_before + panel.whole(&curvature);
        }
    }

    let stiffness = weighed(&moments, &flexibility) * (clamp_stiffness / free_m.powi(3));
    let turned = &slope_at_tip / free_m;
    let swung = &at_tip + &turned * head.centre_beyond_tip.as_metres();
    let mass = weighed(&at_nodes, &inertia)
        + &swung * swung.transpose() * head.mass.as_kilograms()
        + &turned * turned.transpose() * head.inertia.as_kg_m2();
    Matrices { stiffness, mass, shapes: Shapes { at_nodes, places, at_tip } }
}

/// Returns Aᵀ W A for a diagonal W.
fn weighed(rows: &DMatrix<f64>, weights: &[f64]) -> DMatrix<f64> {
    let mut scaled = rows.clone();
    for mut column in scaled.column_iter_mut() {
        for (value, weight) in column.iter_mut().zip(weights) {
            *value *= weight;
        }
    }
    rows.tr_mul(&scaled)
}

#[cfg(test)]
mod tests {
    use super::{TipHead, mode_with_terms};
    use crate::shaft::{FreeSpan, Profile, ProfilePoint, Section};
    use quantity::{Inertia, Length, Mass};

    fn point(at_in: f64, stiffness_n_m2: f64, mass_per_m_kg: f64) -> ProfilePoint {
        ProfilePoint { at: Length::inches(at_in), section: Section { stiffness_n_m2, mass_per_m_kg } }
    }

    /// More terms can only lower a frequency of Ritz's method, and here hardly do, kinks and all.
    #[test]
    fn twice_the_terms_move_no_mode() {
        let kinked = vec![
            point(0.0, 65.0, 0.12),
            point(9.0, 60.0, 0.10),
            point(9.1, 44.0, 0.09),
            point(22.0, 38.0, 0.10),
            point(31.0, 20.0, 0.08),
            point(38.0, 29.0, 0.11),
        ];
        let profile = Profile::of_points(kinked).unwrap();
        let span = FreeSpan { clamp_edge: Length::inches(5.0), hosel_top: Length::inches(36.75) };
        let head = TipHead {
            mass: Mass::grams(256.0),
            inertia: Inertia::kg_m2(2.6e-4),
            centre_beyond_tip: Length::mm(10.0),
        };
        for head in [head, TipHead::default()] {
            for (mode, within) in [(1, 1e-9), (2, 1e-7), (3, 1e-6)] {
                let hertz = |terms| mode_with_terms(&profile, span, head, mode, terms).frequency.as_hertz();
                let (few, usual, many) = (hertz(6), hertz(super::TERMS), hertz(2 * super::TERMS));
                let moved = usual / many - 1.0;
                assert!((-1e-9..within).contains(&moved), "mode {mode}: {moved:e}");
                assert!(few >= usual * (1.0 - 1e-9), "mode {mode}: {few} with six terms, {usual}");
            }
        }
    }
}
