//! A trial judged by where its balls come down instead of by millimetres on the face.

use ball::strike_map::{Grid, StrikeMap};
use ball::unknowns::{RUNS, Spread};
use sheet::{BALL_AND_AIR_VARY_BY_MORE, DistanceUnit, ball_and_air_vary_by_more, offset_words};
use trial::{Analysis, Cost, Decision, Judging, Surface, TrialError};

/// Step of the table the trial judges by, mm.
const STEP_MM: f64 = 1.0;
/// How far off the sweet spot a mean strike has to lie to matter, mm: that of the trial's own limit, 4 mm².
const MATTERS_MM: f64 = 2.0;
/// The least difference that may be called one, m. Rounding.
const LEAST_M: f64 = 0.01;

/// What the same strikes say in metres from where the ball struck on the sweet spot comes down.
#[derive(Debug, Clone)]
pub struct InYards {
    /// The decision; its gain and what is at stake are in metres.
    pub decision: Decision,
    /// A difference too small to matter, m: what a mean strike 2 mm off the sweet spot costs.
    pub near_enough_m: f64,
    /// The length the gain is told for, as an offset, in: the one the millimetres advise, or else the best there is.
    pub length_in: f64,
    /// What that length gains over the base, m.
    pub gain_m: f64,
    /// How well that is known from what is not known of club, delivery, ball and air, m.
    pub gain_spread: Spread,
}

impl InYards {
    /// Judges a trial by a map of what strikes cost.
    ///
    /// # Errors
    /// [`TrialError::BadSetting`] for a map that holds no numbers.
    pub fn of(analysis: &Analysis, map: &StrikeMap) -> Result<Self, TrialError> {
        let grid = map.grid(STEP_MM);
        let mut costs = map.misses_m(&grid).into_iter().map(|misses| Cost::Surface(surface(&grid, misses)));
        let usual = costs.next().unwrap_or_default();
        let near_enough_m = near_enough(analysis, &usual);
        let judging = Judging {
            cost: usual.clone(),
            near_enough: near_enough_m,
            sweet_spot_sd: analysis.settings.judging.sweet_spot_sd,
        };
        let decision = analysis.judged_by(&judging)?;
        let advised = analysis.decision.length_in;
        let length_in = if advised.abs() > 0.0 { advised } else { decision.best_eighth_in };
        let mut gains = [0.0; RUNS];
        for (gain, cost) in gains.iter_mut().zip(costs) {
            *gain = analysis.gain_by(&cost, length_in);
        }
        Ok(Self {
            near_enough_m,
            length_in,
            gain_m: analysis.gain_by(&usual, length_in),
            gain_spread: Spread::of(&gains),
            decision,
        })
    }

    /// What the strikes say when they are judged so, and what the length is worth, in words; `shot` is how well a ball
    /// struck on the sweet spot is known.
    #[must_use]
    pub fn words(&self, analysis: &Analysis, shot: Spread, unit: DistanceUnit) -> Vec<String> {
        let base = analysis.settings.base;
        let mut words = vec![if self.differs_from(&analysis.decision) {
            format!(
                "Judged by where the balls come down the same strikes say otherwise: {}. The two ways lie near each other here; \
                 no bench work before another visit.",
                offset_words(self.decision.length_in, base)
            )
        } else {
            "Judged by where the balls come down, not by millimetres, the same strikes say the same."
                .to_owned()
        }];
        if self.length_in.abs() > 0.0 {
            words.push(format!(
                "With {} the mean ball is expected to come down {} nearer to one struck on the sweet spot than with {}.",
                offset_words(self.length_in, base),
                unit.with_interval(self.gain_m, self.gain_spread),
                base.words()
            ));
            if ball_and_air_vary_by_more(self.gain_m, shot) {
                words.push(BALL_AND_AIR_VARY_BY_MORE.to_owned());
            }
        }
        words
    }

    /// Whether yards and millimetres advise different lengths.
    #[must_use]
    pub fn differs_from(&self, by_millimetres: &Decision) -> bool {
        !trial::is_same_length(self.decision.length_in, by_millimetres.length_in)
    }
}

fn surface(grid: &Grid, values: Vec<f64>) -> Surface {
    Surface {
        first: grid.first_mm,
        step: grid.step_mm,
        columns: usize::try_from(grid.columns).unwrap_or(usize::MAX),
        values,
    }
}

/// What a mean strike so far off costs over one on the sweet spot, in the mean of the four directions.
fn near_enough(analysis: &Analysis, cost: &Cost) -> f64 {
    let Cost::Surface(surface) = cost.averaged(&analysis.posterior) else { return LEAST_M };
    let off = [(MATTERS_MM, 0.0), (-MATTERS_MM, 0.0), (0.0, MATTERS_MM), (0.0, -MATTERS_MM)];
    let mean = off.iter().map(|(toe, high)| surface.at(*toe, *high)).sum::<f64>() / 4.0;
    (mean - surface.at(0.0, 0.0)).max(LEAST_M)
}

#[cfg(test)]
mod tests {
    use super::InYards;
    use ball::flight::Conditions;
    use ball::impact::{CAVITY_7_IRON, Delivery};
    use ball::strike_map::StrikeMap;
    use ball::unknowns::{Setup, Unknowns};
    use trial::{Analysis, Kind, Settings, Strike, Strikes};

    fn seven_iron() -> StrikeMap {
        let delivery = Delivery {
            head_speed_mps: 35.8,
            dynamic_loft_deg: 25.0,
            attack_deg: -4.0,
            ..Delivery::default()
        };
        let setup = Setup { head: CAVITY_7_IRON.head, delivery, conditions: Conditions::default() };
        StrikeMap::of(&setup, &Unknowns::with_head_speed_known_to(0.02)).unwrap()
    }

    fn open(file: &str) -> Analysis {
        let strikes = file.lines().skip(1).map(|row| {
            let cells: Vec<&str> = row.split(',').collect();
            Strike {
                session: cells[0].parse().unwrap(),
                order: cells[1].parse().unwrap(),
                offset_in: cells[2].parse().unwrap(),
                x_mm: cells[3].parse().unwrap(),
                y_mm: cells[4].parse().unwrap(),
            }
        });
        Analysis::of(Strikes::new(strikes.collect()).unwrap(), Settings::default()).unwrap()
    }

    #[test]
    fn a_change_that_millimetres_advise_is_worth_yards_of_the_size_its_squares_are_worth() {
        let analysis = open(include_str!("../../trial/tests/trials/open-1.csv"));
        assert_eq!(analysis.decision.kind, Kind::Change);
        let in_yards = InYards::of(&analysis, &seven_iron()).unwrap();
        // common practice of the method, derived elsewhere: about 0.03 m of mean carry for a mm² between heel and toe and 0.05
        // for one up and down; the table judges the miss, which is more than carry, and is flatter far out
        let by_squares = analysis.gain_m().unwrap();
        let share = in_yards.gain_m / by_squares;
        assert!((0.4..2.0).contains(&share), "{} m, {by_squares} m", in_yards.gain_m);
        assert!(in_yards.gain_spread.sd > 0.0 && in_yards.gain_spread.sd < in_yards.gain_m);
        assert!((0.05..0.5).contains(&in_yards.near_enough_m), "{}", in_yards.near_enough_m);
    }

    #[test]
    fn the_same_strikes_and_map_say_the_same_bit_for_bit() {
        let analysis = open(include_str!("../../trial/tests/trials/open-4.csv"));
        let (one, other) = (seven_iron(), seven_iron());
        assert_eq!(one, other);
        let told = [one, other].map(|map| InYards::of(&analysis, &map).unwrap().gain_m.to_bits());
        assert_eq!(told[0], told[1]);
    }
}
