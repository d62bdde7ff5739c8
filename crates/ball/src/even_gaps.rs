//! Bending lofts so that the gaps between clubs come out even, within what each head can be bent.
//!
//! Each club takes a bend from its own few steps. For one size of gap the best bends of a chain of clubs are found exactly,
//! one club after another (dynamic programming): the best way to a bend of one club goes through the best way to some bend
//! of the club before. The size is tried in small steps over all sizes the clubs could have.

use crate::shot::ShotError;
use crate::strike_map::from_sweet_spot;
use crate::unknowns::Setup;

/// Steps a loft is bent in, degrees. Trade practice, no source: half a degree is what a bending bar holds.
pub const BEND_STEP_DEG: f64 = 0.5;
/// Farthest a head may be said to bend either way, degrees. Definition of what the tool takes.
const FARTHEST_BEND_DEG: f64 = 6.0;
/// Steps in which the size of a gap is tried, m. Choice of the method: over a chain of n gaps the sum of squares is within n
/// times the square of half of it of the least there is.
const SIZE_STEP_M: f64 = 0.05;
/// What bending costs beside evenness, m² for the square of a degree. Choice: a head is bent by a degree for gaps that come
/// out a third of a metre evener, and far only when it does much.
pub const COST_OF_BENDING_M2: f64 = 0.1;

/// A club that may be bent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bendable {
    /// The club in the golfer's hands; bending adds to its dynamic loft.
    pub setup: Setup,
    /// How far it may be bent either way, degrees; 0 for one that may not.
    pub limit_deg: f64,
}

/// A club as it would be bent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bent {
    /// By how much, degrees; weaker +, stronger −. Bounce changes by as much and the same way.
    pub bend_deg: f64,
    /// Carry after it, m.
    pub carry_m: f64,
    /// Launch after it, degrees.
    pub launch_deg: f64,
}

/// Bends that make the gaps of these clubs, longest first, as even as is worth the bending: the sum of squares of the gaps'
/// differences from their mean and [`COST_OF_BENDING_M2`] is the least there is.
///
/// # Errors
/// [`ShotError`] for a head or delivery that cannot be, or a limit outside 0 to 6 degrees.
pub fn even_gaps(clubs: &[Bendable]) -> Result<Vec<Bent>, ShotError> {
    let choices = clubs.iter().map(choices).collect::<Result<Vec<_>, _>>()?;
    if choices.len() < 2 {
        return Ok(choices.iter().filter_map(|bents| least_bent(bents)).collect());
    }
    let mut best: Option<(f64, Vec<Bent>)> = None;
    for size_m in sizes(&choices) {
        let (cost, bents) = best_chain(&choices, size_m);
        if best.as_ref().is_none_or(|(least, _)| cost < *least) {
            best = Some((cost, bents));
        }
    }
    Ok(best.map(|(_, bents)| bents).unwrap_or_default())
}

/// How uneven the gaps of a chain are: the sum of squares of their differences from their mean, m².
#[must_use]
pub fn unevenness_m2(carries_m: &[f64]) -> f64 {
    let gaps: Vec<f64> = carries_m.windows(2).map(|pair| pair[0] - pair[1]).collect();
    let mean = gaps.iter().sum::<f64>() / count(gaps.len()).max(1.0);
    gaps.iter().map(|gap| (gap - mean) * (gap - mean)).sum()
}

/// Every bend a club may take, with what it does.
fn choices(club: &Bendable) -> Result<Vec<Bent>, ShotError> {
    crate::impact::within("bending limit", club.limit_deg, (0.0, FARTHEST_BEND_DEG), "deg")?;
    let mut bents = Vec::new();
    let mut steps = 0;
    while f64::from(steps + 1) * BEND_STEP_DEG <= club.limit_deg + 1e-9 {
        steps += 1;
    }
    for step in -steps..=steps {
        let bend_deg = f64::from(step) * BEND_STEP_DEG;
        let mut setup = club.setup;
        setup.delivery.dynamic_loft_deg += bend_deg;
        let shot = from_sweet_spot(&setup, 0.0, 0.0)?;
        bents.push(Bent { bend_deg, carry_m: shot.carry_m(), launch_deg: shot.impact.launch_deg });
    }
    Ok(bents)
}

fn least_bent(bents: &[Bent]) -> Option<Bent> {
    bents.iter().copied().min_by(|one, other| one.bend_deg.abs().total_cmp(&other.bend_deg.abs()))
}

/// Sizes of gap from the smallest to the largest mean the chain could have.
fn sizes(choices: &[Vec<Bent>]) -> impl Iterator<Item = f64> + use<> {
    let ends = |bents: &Vec<Bent>| {
        let carries = bents.iter().map(|bent| bent.carry_m);
        (carries.clone().fold(f64::INFINITY, f64::min), carries.fold(f64::NEG_INFINITY, f64::max))
    };
    let (first, last) = (ends(&choices[0]), ends(&choices[choices.len() - 1]));
    let gaps = count(choices.len() - 1);
    let (least, most) = ((first.0 - last.1) / gaps, (first.1 - last.0) / gaps);
    (0..)
        .map(move |step| least + f64::from(step) * SIZE_STEP_M)
        .take_while(move |size| *size <= most + SIZE_STEP_M)
}

/// The bends that bring every gap nearest one size.
fn best_chain(choices: &[Vec<Bent>], size_m: f64) -> (f64, Vec<Bent>) {
    let bending = |bent: &Bent| COST_OF_BENDING_M2 * bent.bend_deg * bent.bend_deg;
    let mut costs: Vec<f64> = choices[0].iter().map(bending).collect();
    let mut came_from: Vec<Vec<usize>> = Vec::new();
    for pair in choices.windows(2) {
        let (before, here) = (&pair[0], &pair[1]);
        let mut ways = Vec::with_capacity(here.len());
        let mut next = Vec::with_capacity(here.len());
        for bent in here {
            let through = |place: usize| {
                let off = before[place].carry_m - bent.carry_m - size_m;
                costs[place] + off * off
            };
            let way = (0..before.len()).min_by(|one, other| through(*one).total_cmp(&through(*other)));
            let way = way.unwrap_or_default();
            next.push(through(way) + bending(bent));
            ways.push(way);
        }
        costs = next;
        came_from.push(ways);
    }
    let mut at =
        (0..costs.len()).min_by(|one, other| costs[*one].total_cmp(&costs[*other])).unwrap_or_default();
    let cost = costs[at];
    let mut bents = vec![choices[choices.len() - 1][at]];
    for (place, ways) in came_from.iter().enumerate().rev() {
        at = ways[at];
        bents.push(choices[place][at]);
    }
    bents.reverse();
    (cost, bents)
}

fn count(number: usize) -> f64 {
    f64::from(u32::try_from(number).unwrap_or(u32::MAX))
}
