//! What a strike costs at each place of a face: carry lost, and how far beside the line it comes down.
//!
//! A golfer's club is struck at seven by seven places (Chebyshev's points, dense toward the edges) and the outcomes are joined
//! by the one polynomial through them, so that the map is smooth everywhere and costs few flights. The same is done for each
//! run of what is not known ([`crate::unknowns`]), which gives every figure its interval.

use crate::flight::FlightError;
use crate::impact::{Delivery, StrikePlace};
use crate::shot::{Shot, ShotError, hit};
use crate::unknowns::{RUNS, Setup, Spread, Unknowns};
use std::f64::consts::PI;

/// Places along each direction. Choice of the method: `the_polynomial_is_the_model_to_a_tenth_of_a_yard`.
const PLACES: usize = 7;
/// How far from the sweet spot a map reaches toward toe and heel, and up and down, m at most. Definition: three standard
/// deviations of single balls and some.
const REACH_M: (f64, f64) = (0.024, 0.016);
/// How near the edge of the face a map goes, m. Definition: a ball's mark is some 20 mm wide, but its middle is what counts.
const FROM_THE_EDGE_M: f64 = 0.002;

/// A value at each of the places, from low to high, each row from heel to toe.
type Table = [f64; PLACES * PLACES];

/// The map of a club in a golfer's hands. Places are millimetres from the sweet spot, toe and high +.
#[derive(Debug, Clone, PartialEq)]
pub struct StrikeMap {
    /// The shot from the sweet spot.
    pub centred: Shot,
    /// How well its carry is known, m.
    pub carry_spread: Spread,
    /// Farthest place from the sweet spot toward the heel, and toward the toe, mm.
    pub across_mm: (f64, f64),
    /// Farthest place below the sweet spot, and above it, mm.
    pub up_mm: (f64, f64),
    usual: Outcomes,
    runs: Vec<Outcomes>,
}

/// What a strike costs against one from the sweet spot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StrikeCost {
    /// Carry lost, m; negative where it is gained.
    pub lost_m: f64,
    /// Standard deviation of that, m.
    pub lost_sd_m: f64,
    /// How far toward the trail side it comes down, m: right for a right-hander, left for a left-hander.
    pub trail_m: f64,
    /// Standard deviation of that, m.
    pub trail_sd_m: f64,
}

impl StrikeCost {
    /// How far from the ball struck on the sweet spot it comes down, m.
    #[must_use]
    pub fn miss_m(&self) -> f64 {
        self.lost_m.hypot(self.trail_m)
    }
}

#[derive(Debug, Clone, PartialEq)]
struct Outcomes {
    lost_m: Table,
    trail_m: Table,
}

impl StrikeMap {
    /// Works the map out for a right-hander's strikes; a left-hander's is the same with toe, heel and trail side as they are.
    ///
    /// # Errors
    /// [`ShotError`] for a head or delivery that cannot be, or a club that does not lift the ball from its sweet spot.
    pub fn of(setup: &Setup, unknowns: &Unknowns) -> Result<Self, ShotError> {
        let head = setup.head;
        let sweet = head.sweet_spot();
        let reach = |half_m: f64, at_mm: f64, most_m: f64| {
            let edge_mm = (half_m - FROM_THE_EDGE_M) * 1000.0;
            let most_mm = most_m * 1000.0;
            ((-edge_mm - at_mm).max(-most_mm), (edge_mm - at_mm).min(most_mm))
        };
        let across_mm = reach(head.face.half_width_m, sweet.toe_mm, REACH_M.0);
        let up_mm = reach(head.face.half_height_m, sweet.high_mm, REACH_M.1);
        let places = Places { across: nodes(across_mm), up: nodes(up_mm) };
        let centred = from_sweet_spot(setup, 0.0, 0.0)?;
        let runs = unknowns.runs(setup);
        let mut carries = [0.0; RUNS];
        let mut all = Vec::with_capacity(RUNS);
        for (carry, run) in carries.iter_mut().zip(&runs) {
            let straight = from_sweet_spot(run, 0.0, 0.0)?;
            *carry = straight.carry_m();
            all.push(places.outcomes(run, &straight)?);
        }
        Ok(Self {
            carry_spread: Spread::of(&carries),
            usual: places.outcomes(setup, &centred)?,
            centred,
            across_mm,
            up_mm,
            runs: all,
        })
    }

    /// What a strike at this place costs; a place beyond the map counts as its edge.
    #[must_use]
    pub fn at(&self, toe_mm: f64, high_mm: f64) -> StrikeCost {
        let weights = self.weights(toe_mm, high_mm);
        let over_runs = |table: fn(&Outcomes) -> &Table| {
            let outcomes: [f64; RUNS] = std::array::from_fn(|run| weights.of(table(&self.runs[run])));
            Spread::of(&outcomes).sd
        };
        StrikeCost {
            lost_m: weights.of(&self.usual.lost_m),
            lost_sd_m: over_runs(|outcomes| &outcomes.lost_m),
            trail_m: weights.of(&self.usual.trail_m),
            trail_sd_m: over_runs(|outcomes| &outcomes.trail_m),
        }
    }

    /// How far from a ball struck on the sweet spot one struck here comes down, m; without its spread, which takes longer.
    #[must_use]
    pub fn miss_m(&self, toe_mm: f64, high_mm: f64) -> f64 {
        let weights = self.weights(toe_mm, high_mm);
        weights.of(&self.usual.lost_m).hypot(weights.of(&self.usual.trail_m))
    }

    /// Carry lost here, m; without its spread.
    #[must_use]
    pub fn lost_m(&self, toe_mm: f64, high_mm: f64) -> f64 {
        self.weights(toe_mm, high_mm).of(&self.usual.lost_m)
    }

    fn weights(&self, toe_mm: f64, high_mm: f64) -> Weights {
        let along =
            |(least, most): (f64, f64), at: f64| barycentric(at.clamp(least, most), &nodes((least, most)));
        Weights { across: along(self.across_mm, toe_mm), up: along(self.up_mm, high_mm) }
    }
}

/// A shot struck so far from the sweet spot.
///
/// # Errors
/// [`ShotError`] as [`hit`] has it.
pub fn from_sweet_spot(setup: &Setup, toe_mm: f64, high_mm: f64) -> Result<Shot, ShotError> {
    let sweet = setup.head.sweet_spot();
    let place = StrikePlace { toe_mm: sweet.toe_mm + toe_mm, high_mm: sweet.high_mm + high_mm };
    hit(&setup.head, &Delivery { place, ..setup.delivery }, &setup.conditions)
}

/// Where the polynomial meets the model, mm from the sweet spot.
struct Places {
    across: [f64; PLACES],
    up: [f64; PLACES],
}

impl Places {
    fn outcomes(&self, setup: &Setup, centred: &Shot) -> Result<Outcomes, ShotError> {
        let mut outcomes = Outcomes { lost_m: [0.0; PLACES * PLACES], trail_m: [0.0; PLACES * PLACES] };
        for (row, high_mm) in self.up.iter().enumerate() {
            for (column, toe_mm) in self.across.iter().enumerate() {
                let at = row * PLACES + column;
                match from_sweet_spot(setup, *toe_mm, *high_mm) {
                    Ok(shot) => {
                        outcomes.lost_m[at] = centred.carry_m() - shot.carry_m();
                        outcomes.trail_m[at] = shot.right_m() - centred.right_m();
                    }
                    // struck so low that it does not rise: no carry at all
                    Err(ShotError::Flight(FlightError::NeverRises { .. })) => {
                        outcomes.lost_m[at] = centred.carry_m();
                    }
                    Err(error) => return Err(error),
                }
            }
        }
        Ok(outcomes)
    }
}

/// Chebyshev's points of the second kind between two places.
fn nodes((least, most): (f64, f64)) -> [f64; PLACES] {
    let (middle, half) = (f64::midpoint(least, most), (most - least) / 2.0);
    std::array::from_fn(|place| middle - half * (PI * share(place)).cos())
}

/// A point's number as a share of the last.
fn share(place: usize) -> f64 {
    let number = |count: usize| f64::from(u32::try_from(count).unwrap_or(u32::MAX));
    number(place) / number(PLACES - 1)
}

/// What each point counts at a place: the barycentric formula, whose weights at Chebyshev's points are 1 with turning signs,
/// halved at the ends.
fn barycentric(at: f64, nodes: &[f64; PLACES]) -> [f64; PLACES] {
    if let Some(hit) = nodes.iter().position(|node| (at - node).abs() < 1e-12) {
        return std::array::from_fn(|place| if place == hit { 1.0 } else { 0.0 });
    }
    let raw: [f64; PLACES] = std::array::from_fn(|place| {
        let half = if place == 0 || place == PLACES - 1 { 0.5 } else { 1.0 };
        let sign = if place.is_multiple_of(2) { 1.0 } else { -1.0 };
        half * sign / (at - nodes[place])
    });
    let sum: f64 = raw.iter().sum();
    raw.map(|weight| weight / sum)
}

/// What each point of both directions counts at a place.
struct Weights {
    across: [f64; PLACES],
    up: [f64; PLACES],
}

impl Weights {
    fn of(&self, table: &Table) -> f64 {
        let rows = table.chunks_exact(PLACES).zip(&self.up);
        rows.map(|(row, up)| {
            up * row.iter().zip(&self.across).map(|(value, across)| value * across).sum::<f64>()
        })
        .sum()
    }
}
