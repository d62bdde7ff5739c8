//! The whole trial worked through: the decision, what it rests on, and what to be told beside it.

use crate::TrialError;
use crate::answer::{Answer, ends};
use crate::cost::Cost;
use crate::decision::{Decision, Judging, Kind, decide};
use crate::make_up::{MakeUp, USUAL_LIE_DEG, odds_length_cannot_cure};
use crate::next_day::{NextDay, next_day};
use crate::permutation::shuffled_as_often;
use crate::posterior::{Evidence, Model, Posterior};
use crate::prior::LengthBelief;
use crate::scatter::{WiderAt, wider_at};
use crate::strike::{Axis, FARTHEST_OFFSET_IN, MOST_BALLS, Strikes};
use crate::tape::{Reading, read};

/// What the offsets of a trial are counted from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Base {
    /// The rule's length.
    #[default]
    Rule,
    /// The length that was built, when a trial after a job asks whether it held.
    Built,
}

impl Base {
    /// Names that length.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Rule => "the rule's length",
            Self::Built => "the length as built",
        }
    }

    /// Names it on an axis.
    #[must_use]
    pub fn mark(self) -> &'static str {
        match self {
            Self::Rule => "rule",
            Self::Built => "built",
        }
    }
}

/// How a trial is worked through.
#[derive(Debug, Clone)]
pub struct Settings {
    /// What the offsets are counted from.
    pub base: Base,
    /// What is believed of the length that fits before the trial.
    pub belief: LengthBelief,
    /// How strikes are judged.
    pub judging: Judging,
    /// Lie of the test clubs, degrees; only for the make-up share.
    pub lie_deg: f64,
    /// Offsets of the balls another day would bring, in; the last counted day's when not given.
    pub next_balls: Option<Vec<f64>>,
    /// Seed of the shuffles.
    pub seed: u64,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            base: Base::default(),
            belief: LengthBelief::COMMON_PRACTICE,
            judging: Judging::default(),
            lie_deg: USUAL_LIE_DEG,
            next_balls: None,
            seed: 1,
        }
    }
}

/// What has to be said beside a decision.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Warning {
    /// Days shift by more than the method was made for; the odds are less sure than they look.
    RestlessDays,
    /// Days differ wildly: another day before anything is built.
    WildDays,
    /// The length that fits may lie beyond the longest length tried.
    BeyondTheLongest,
    /// The same beyond the shortest.
    BeyondTheShortest,
    /// The strike stays off the sweet spot whatever the length: lie and lesson.
    LengthCannotCure,
    /// Without the rule the same strikes say another thing.
    DiffersWithoutRule {
        /// Which kind of answer.
        kind: Kind,
        /// Which length, as an offset, in.
        length_in: f64,
    },
    /// The rule's own length lies outside those tried.
    RuleLengthNotTried,
    /// Some sessions are too small, or of one length, to count as days.
    SessionsThatDoNotCount(usize),
    /// Shuffled lengths do as much as the real ones quite often.
    NoSignOfLength,
    /// Strikes scatter more at some lengths than at others.
    Wider(WiderAt),
    /// How much an error in the height of the sweet spot would move the length that fits, in per mm.
    SweetSpotMatters(f64),
}

/// What one day alone would have said.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OneDay {
    /// The session's label.
    pub session: u32,
    /// Its balls.
    pub balls: usize,
    /// The length whose marks lie nearest the sweet spot on average, as contact tape is read.
    pub tape_in: Option<f64>,
    /// Whether it counts as a day.
    pub counts: bool,
}

/// A trial worked through.
#[derive(Debug, Clone)]
pub struct Analysis {
    /// The strikes.
    pub strikes: Strikes,
    /// What they say before any belief about length.
    pub evidence: Evidence,
    /// Level and slope under the belief, both kinds of scatter mixed.
    pub posterior: Posterior,
    /// The decision.
    pub decision: Decision,
    /// The answer it rests on.
    pub answer: Answer,
    /// The decision without the rule.
    pub without_rule: Decision,
    /// The share of a change of length the golfer makes up.
    pub make_up: MakeUp,
    /// Standard deviation from day to day, mm, by axis.
    pub day_sd_mm: [f64; 2],
    /// Standard deviation of single balls, mm, by axis.
    pub ball_sd_mm: [f64; 2],
    /// How often, in a thousand, shuffled lengths do as much.
    pub shuffled: f64,
    /// What another day would be worth.
    pub next_day: Option<NextDay>,
    /// What each day alone would have said.
    pub days: Vec<OneDay>,
    /// What has to be said beside it.
    pub warnings: Vec<Warning>,
    /// How it was worked through.
    pub settings: Settings,
}

impl Analysis {
    /// Works a trial through. The same strikes and settings give the same result, bit for bit.
    ///
    /// # Errors
    /// [`TrialError::BadSetting`] for a setting that cannot be.
    pub fn of(strikes: Strikes, settings: Settings) -> Result<Self, TrialError> {
        settings.check()?;
        let evidence = Evidence::of(&strikes);
        let posterior = evidence.under(settings.belief, Model::Mixture);
        let (decision, answer) = decide(&strikes, &posterior, &settings.judging);
        let (without_rule, _) =
            decide(&strikes, &evidence.under(LengthBelief::NoRule, Model::Mixture), &settings.judging);
        let next_balls = settings.next_balls.clone().unwrap_or_else(|| last_counted_day(&strikes));
        let mut analysis = Self {
            make_up: MakeUp::of(&answer, settings.lie_deg),
            day_sd_mm: Axis::BOTH.map(|axis| posterior.mean_of_spread(axis, |spread| spread.day_level)),
            ball_sd_mm: Axis::BOTH.map(|axis| posterior.ball_sd(axis)),
            shuffled: shuffled_as_often(&strikes, settings.seed),
            next_day: next_day(&posterior, &next_balls, strikes.offsets_in()),
            days: strikes.days().iter().map(|day| one_day(&strikes, day)).collect(),
            warnings: Vec::new(),
            strikes,
            evidence,
            posterior,
            decision,
            answer,
            without_rule,
            settings,
        };
        analysis.warnings = warnings(&analysis);
        Ok(analysis)
    }

    /// Whether length changes the cost of the mean strike by less than what is near enough, over all lengths tried.
    /// Then the length that fits means nothing and is not told.
    #[must_use]
    pub fn length_hardly_matters(&self) -> bool {
        self.answer.excess.iter().all(|excess| *excess <= self.settings.judging.near_enough)
    }

    /// What a length gains over the base by another way of judging strikes, in that cost's unit.
    #[must_use]
    pub fn gain_by(&self, cost: &Cost, length_in: f64) -> f64 {
        let cost = cost.averaged(&self.posterior);
        let gained = self.answer.draws.iter().map(|draw| cost.of(draw, 0.0) - cost.of(draw, length_in));
        gained.sum::<f64>() / crate::strike::count(self.answer.draws.len()).max(1.0)
    }

    /// The decision by another way of judging the same strikes.
    ///
    /// # Errors
    /// [`TrialError::BadSetting`] for a cost or a limit that cannot be.
    pub fn judged_by(&self, judging: &Judging) -> Result<Decision, TrialError> {
        Settings { judging: judging.clone(), ..self.settings.clone() }.check()?;
        Ok(decide(&self.strikes, &self.posterior, judging).0)
    }

    /// What the gain is worth in carry, m; only for squared distances.
    #[must_use]
    pub fn gain_m(&self) -> Option<f64> {
        let [toe, high] = self.decision.gain_by_axis?;
        Some(toe * METRES_A_MM2[0] + high * METRES_A_MM2[1])
    }
}

/// Carry lost for each mm² the mean strike lies off the sweet spot, m, by axis: heel to toe, and low to high.
///
/// Derived, from a model of impact and flight for a seven-iron at 80 mph that is not yet part of this project; to about
/// a third.
pub const METRES_A_MM2: [f64; 2] = [0.028, 0.05];

impl Settings {
    fn check(&self) -> Result<(), TrialError> {
        self.belief.check()?;
        let bad = |what, found, expected| Err(TrialError::BadSetting { what, found, expected });
        if !(40.0..=80.0).contains(&self.lie_deg) {
            return bad("the lie", self.lie_deg, "40 to 80 degrees");
        }
        if let Some(sd) = self.judging.sweet_spot_sd.into_iter().find(|sd| !(0.0..=10.0).contains(sd)) {
            return bad("how well the sweet spot is known", sd, "0 to 10 mm");
        }
        if !(self.judging.near_enough > 0.0 && self.judging.near_enough <= 400.0) {
            return bad("what is near enough", self.judging.near_enough, "over 0 to 400");
        }
        if let Cost::Squares { toe, high } = self.judging.cost
            && (!(0.0..=10.0).contains(&toe) || !(0.0..=10.0).contains(&high) || toe + high <= 0.0)
        {
            return bad("a weight", toe.min(high), "0 to 10, not both 0");
        }
        if let Cost::Surface(surface) = &self.judging.cost {
            surface.check()?;
        }
        let next = self.next_balls.iter().flatten();
        if let Some(offset) =
            next.clone().find(|offset| !(-FARTHEST_OFFSET_IN..=FARTHEST_OFFSET_IN).contains(*offset))
        {
            return bad("an offset of another day", *offset, "-1.5 to 1.5 in");
        }
        if next.clone().count() > MOST_BALLS {
            return bad("the balls of another day", crate::strike::count(next.count()), "0 to 5000");
        }
        Ok(())
    }
}

fn last_counted_day(strikes: &Strikes) -> Vec<f64> {
    let counted = strikes.days().iter().rev().find(|day| day.counts());
    counted.map(|day| day.strikes.iter().map(|strike| strike.offset_in).collect()).unwrap_or_default()
}

fn one_day(strikes: &Strikes, day: &crate::Day) -> OneDay {
    OneDay {
        session: day.session,
        balls: day.strikes.len(),
        tape_in: read(std::slice::from_ref(day), strikes.offsets_in(), Reading::MeanDistance),
        counts: day.counts(),
    }
}

fn warnings(analysis: &Analysis) -> Vec<Warning> {
    /// Restless, mm: beyond it confident calls hold less often than stated.
    const RESTLESS_MM: f64 = 4.0;
    /// Wild, mm: only the last place of either grid lies beyond it. Derived from the grids, which reach to 20 mm.
    const WILD_MM: f64 = 19.0;
    /// Odds from which an end of the range is named.
    const AT_AN_END: f64 = 0.25;
    let (posterior, answer) = (&analysis.posterior, &analysis.answer);
    let mut warnings = Vec::new();
    if analysis.decision.kind == Kind::CannotSay {
        let small = analysis.days.iter().filter(|day| !day.counts).count();
        if small > 0 {
            warnings.push(Warning::SessionsThatDoNotCount(small));
        }
        return warnings;
    }
    let is_either =
        |odds: f64, mm: f64| Axis::BOTH.iter().any(|axis| posterior.odds_of_restless_days(*axis, mm) >= odds);
    if is_either(0.01, WILD_MM) {
        warnings.push(Warning::WildDays);
    } else if is_either(0.5, RESTLESS_MM) {
        warnings.push(Warning::RestlessDays);
    }
    let (least, most) = ends(&answer.offsets_in);
    if !analysis.length_hardly_matters() {
        if answer.odds_within(most, 0.0) >= AT_AN_END {
            warnings.push(Warning::BeyondTheLongest);
        }
        if answer.odds_within(least, 0.0) >= AT_AN_END {
            warnings.push(Warning::BeyondTheShortest);
        }
        let slopes = Axis::BOTH.map(|axis| posterior.moments(axis).square.slope);
        let of_height = posterior.moments(Axis::High).mean.slope / (slopes[0] + slopes[1]);
        warnings.push(Warning::SweetSpotMatters(of_height));
    }
    if odds_length_cannot_cure(answer) >= 0.8 {
        warnings.push(Warning::LengthCannotCure);
    }
    let (with, without) = (&analysis.decision, &analysis.without_rule);
    if with.kind != without.kind || (with.length_in - without.length_in).abs() > 0.125 + 1e-9 {
        warnings.push(Warning::DiffersWithoutRule { kind: without.kind, length_in: without.length_in });
    }
    if !(least - 1e-9..=most + 1e-9).contains(&0.0) {
        warnings.push(Warning::RuleLengthNotTried);
    }
    let small = analysis.days.iter().filter(|day| !day.counts).count();
    if small > 0 {
        warnings.push(Warning::SessionsThatDoNotCount(small));
    }
    if matches!(with.kind, Kind::Change | Kind::Leaning) && analysis.shuffled > 0.1 {
        warnings.push(Warning::NoSignOfLength);
    }
    if let Some(wider) = wider_at(&analysis.strikes) {
        warnings.push(Warning::Wider(wider));
    }
    warnings
}
