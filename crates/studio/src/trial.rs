//! A strike trial of a golfer: its plan, how its clubs are made, every counted ball, and what it said once its code was
//! opened.

use crate::{Dossier, Expectation, Id, Kept, KeptProfile, StudioError};
use fitting::TrialSays;
use jiff::civil::Date;
use quantity::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use trial::{
    Analysis, Base, Judging, Kind, LengthBelief, Plan, Response, ResponseSlope, Responses, Settings, Strike,
    Strikes, response_slopes,
};

macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($variant:ident $words:literal)+ }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
        pub enum $name {
            $(
                #[doc = $words]
                #[serde(rename = $words)]
                $variant,
            )+
        }

        impl $name {
            /// All of them, the usual one first.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// Names it.
            #[must_use]
            pub const fn words(self) -> &'static str {
                match self { $(Self::$variant => $words,)+ }
            }

            /// Finds it by its words.
            #[must_use]
            pub fn from_words(words: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|known| known.words() == words)
            }
        }
    };
}

words! {
    /// How the clubs of a trial come to their lengths.
    ClubsMadeBy {
        GripDown "gripping down on the longest"
        Extender "a temporary extender"
        SpareClubs "spare clubs of the same head"
    }
}

words! {
    /// Why a golfer was tried: golfers tried because the rule was doubted tell less of the rule.
    TrialReason {
        Everyone "every golfer is tried"
        RuleDoubted "the rule's length seemed wrong"
        GolferAsked "the golfer asked"
        AfterJob "to see whether the change held"
    }
}

/// A trial.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TrialFile {
    /// Its id.
    pub id: Id,
    /// The golfer.
    pub golfer: Id,
    /// The club that is tried, by name.
    pub club: String,
    /// The length the offsets are counted from, m: the rule's, or after a job the length that was built.
    pub base_length_m: f64,
    /// Lengths tried, as offsets from it, rising, in.
    pub offsets_in: Vec<f64>,
    /// Visits on different days.
    pub visits: u8,
    /// Times every length comes round in a visit.
    pub rounds: u8,
    /// Balls in a row before the club is changed.
    pub balls_in_a_row: u8,
    /// Seed of orders and code.
    pub seed: u32,
    /// How the clubs come to their lengths.
    pub made_by: ClubsMadeBy,
    /// How well the place of the sweet spot is known, mm.
    pub sweet_spot_sd_mm: f64,
    /// Why the golfer is tried.
    pub reason: TrialReason,
    /// What is read with every ball besides its place.
    #[serde(default)]
    pub also_read: Vec<Response>,
    /// What the studio's own trials let expect when it was planned; common practice where nothing.
    #[serde(default)]
    pub expects: Option<Expectation>,
    /// Who planned it.
    pub by: String,
    /// When, milliseconds UTC.
    pub at_ms: i64,
    /// The letter the golfer thought the longest, asked before the code was opened.
    #[serde(default)]
    pub thought_longest: Option<String>,
    /// The day the code was opened.
    #[serde(default)]
    #[schemars(with = "Option<String>", extend("format" = "date"))]
    pub opened: Option<Date>,
    /// What it said then.
    #[serde(default)]
    pub verdict: Option<KeptVerdict>,
    /// What it tells of the rule, for learning from many golfers.
    #[serde(default)]
    pub profile: Option<KeptProfile>,
    /// Taken back.
    #[serde(default)]
    pub removed: bool,
}

/// What a trial said when its code was opened.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct KeptVerdict {
    /// In a few words.
    pub words: String,
    /// The length advised, as an offset, in; nothing when the rule's stays or nothing can be said.
    pub length_in: Option<f64>,
    /// Half-width of the interval that holds the length that suits 80 times in 100, in.
    #[serde(default)]
    pub half_width_in: Option<f64>,
}

/// One counted ball of a trial.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StrikeMark {
    /// Its id.
    pub id: Id,
    /// The golfer.
    pub golfer: Id,
    /// The trial.
    pub trial: Id,
    /// The visit, from 1.
    pub visit: u32,
    /// The ball of the visit, from 1.
    pub ball: u32,
    /// The length, as an offset, in.
    pub offset_in: f64,
    /// Toward the toe from the sweet spot, mm.
    pub x_mm: f64,
    /// Above the sweet spot, mm.
    pub y_mm: f64,
    /// What was read with it besides.
    #[serde(default)]
    pub responses: Responses,
    /// Who read it.
    pub by: String,
    /// The day.
    #[schemars(with = "String", extend("format" = "date"))]
    pub day: Date,
    /// When, milliseconds UTC.
    pub at_ms: i64,
    /// Taken back.
    #[serde(default)]
    pub removed: bool,
}

impl TrialFile {
    /// Its plan.
    #[must_use]
    pub fn plan(&self) -> Plan {
        Plan {
            offsets_in: self.offsets_in.clone(),
            visits: usize::from(self.visits),
            rounds: usize::from(self.rounds),
            balls_in_a_row: usize::from(self.balls_in_a_row),
            seed: u64::from(self.seed),
        }
    }

    /// Returns the trial with its code opened on a day, and what it says kept, of the golfer and of the rule. A change
    /// moves the target from then on; a leaning of one day does not, unless the fitter takes it.
    #[must_use]
    pub fn opened(
        &self,
        analysis: &Analysis,
        knuckle_height: Option<Length>,
        day: Date,
        thought_longest: Option<String>,
    ) -> Self {
        let answer = &analysis.answer;
        let is_change = analysis.decision.kind == Kind::Change;
        Self {
            thought_longest: thought_longest.or_else(|| self.thought_longest.clone()),
            opened: self.opened.or(Some(day)),
            verdict: Some(KeptVerdict {
                words: sheet::verdict_words(analysis).headline,
                length_in: is_change.then_some(analysis.decision.length_in),
                half_width_in: Some((answer.fit_quantile(0.9) - answer.fit_quantile(0.1)) / 2.0),
            }),
            profile: knuckle_height.map(|height| KeptProfile::of(&analysis.strikes, height)),
            ..self.clone()
        }
    }

    /// Returns the trial with the length it leans to taken all the same, on the fitter's word; nothing when it leans to
    /// none.
    #[must_use]
    pub fn with_leaning_taken(&self, analysis: &Analysis) -> Option<Self> {
        let verdict = self.verdict.as_ref().filter(|_| analysis.decision.kind == Kind::Leaning)?;
        let taken = KeptVerdict { length_in: Some(analysis.decision.length_in), ..verdict.clone() };
        Some(Self { verdict: Some(taken), ..self.clone() })
    }

    /// How many points of swingweight the longest and the shortest club differ by.
    #[must_use]
    pub fn swingweight_apart(&self) -> f64 {
        let (shortest, longest) = trial::ends(&self.offsets_in);
        (longest - shortest) * POINTS_AN_INCH
    }

    /// The lengths of a visit's balls in their order, by place among the offsets; visits are counted from 1.
    #[must_use]
    pub fn balls_of(&self, visit: u32) -> Vec<usize> {
        let plan = self.plan();
        let order = usize::try_from(visit)
            .ok()
            .and_then(|visit| plan.orders().into_iter().nth(visit.checked_sub(1)?));
        let turns = order.map(|order| order.lengths).unwrap_or_default();
        turns.into_iter().flat_map(|length| std::iter::repeat_n(length, plan.balls_in_a_row)).collect()
    }
}

impl Dossier {
    /// Returns the trial in hand: the last one that was not taken back.
    #[must_use]
    pub fn trial(&self) -> Option<&Kept<TrialFile>> {
        self.trials.iter().rfind(|kept| !kept.record.removed)
    }

    /// Returns the balls of a visit that count, in their order.
    #[must_use]
    pub fn balls(&self, trial: &Id, visit: u32) -> Vec<&Kept<StrikeMark>> {
        let mut balls: Vec<&Kept<StrikeMark>> = self
            .strikes
            .iter()
            .filter(|kept| !kept.record.removed && kept.record.trial == *trial && kept.record.visit == visit)
            .collect();
        balls.sort_by_key(|kept| kept.record.ball);
        balls
    }

    /// Returns what the trials of this golfer say of the rule's length: the last one's answer, and what trials after a job
    /// added to it.
    #[must_use]
    pub fn said_by_trials(&self) -> Option<TrialSays> {
        let opened = self.trials.iter().map(|kept| &kept.record).filter(|trial| !trial.removed);
        let mut said: Option<TrialSays> = None;
        for (trial, verdict) in opened.filter_map(|trial| Some((trial, trial.verdict.as_ref()?))) {
            let before = match trial.reason {
                TrialReason::AfterJob => said.take().map_or(Length::ZERO, |said| said.offset),
                _ => Length::ZERO,
            };
            let offset = before + Length::inches(verdict.length_in.unwrap_or(0.0));
            let is_moved = offset.abs() > Length::inches(1.0 / 64.0);
            said = is_moved.then(|| TrialSays {
                offset,
                half_width: Length::inches(verdict.half_width_in.unwrap_or(0.25)),
                on: self.rests_on(trial),
            });
        }
        said
    }

    /// Says what a trial rests on: `48 balls on 4 days`.
    #[must_use]
    pub fn rests_on(&self, trial: &TrialFile) -> String {
        let days = match self.visits_hit(trial) {
            1 => "1 day".to_owned(),
            days => format!("{days} days"),
        };
        format!("{} balls on {days}", self.strikes_of(trial).len())
    }

    /// Counts the visits of a trial on which a ball was hit.
    #[must_use]
    pub fn visits_hit(&self, trial: &TrialFile) -> usize {
        let mut visits: Vec<u32> = self.strikes_of(trial).iter().map(|strike| strike.session).collect();
        visits.dedup();
        visits.len()
    }

    /// Returns every ball of a trial that counts, as the trial reads them: a day is one session.
    #[must_use]
    pub fn strikes_of(&self, trial: &TrialFile) -> Vec<Strike> {
        self.balls_of_trial(trial).into_iter().map(|(strike, _)| strike).collect()
    }

    /// Returns how all that was read besides changes with length.
    #[must_use]
    pub fn response_slopes(&self, trial: &TrialFile) -> Vec<(Response, ResponseSlope)> {
        response_slopes(&self.balls_of_trial(trial))
    }

    /// Returns every ball of a trial that counts, with what was read besides.
    #[must_use]
    pub fn balls_of_trial(&self, trial: &TrialFile) -> Vec<(Strike, Responses)> {
        let marks: Vec<&StrikeMark> = self
            .strikes
            .iter()
            .map(|kept| &kept.record)
            .filter(|mark| !mark.removed && mark.trial == trial.id)
            .collect();
        // two visits on one day are one day: its first visit's number stands for both
        let day_of = |visit: u32| marks.iter().filter(|mark| mark.visit == visit).map(|mark| mark.day).min();
        let session = |visit: u32| (1..visit).find(|other| day_of(*other) == day_of(visit)).unwrap_or(visit);
        let mut balls: Vec<(Strike, Responses)> = marks
            .iter()
            .map(|mark| {
                let strike = Strike {
                    session: session(mark.visit),
                    order: mark.visit * 1000 + mark.ball,
                    offset_in: mark.offset_in,
                    x_mm: mark.x_mm,
                    y_mm: mark.y_mm,
                };
                (strike, mark.responses)
            })
            .collect();
        balls.sort_by_key(|(strike, _)| (strike.session, strike.order));
        balls
    }

    /// Works a trial through.
    ///
    /// # Errors
    /// What the trial refuses: numbers that cannot be meant, a scatter no person has.
    pub fn analysis(&self, trial: &TrialFile) -> Result<Analysis, StudioError> {
        let strikes = Strikes::new(self.strikes_of(trial))?;
        let belief = match trial.reason {
            // a length that was built and tried is known better than the rule's
            TrialReason::AfterJob => LengthBelief::Rule { mean_in: 0.0, sd_in: AFTER_A_JOB_SD_IN },
            _ => trial.expects.map_or(LengthBelief::COMMON_PRACTICE, Expectation::belief),
        };
        let settings = Settings {
            base: if trial.reason == TrialReason::AfterJob { Base::Built } else { Base::Rule },
            belief,
            judging: Judging { sweet_spot_sd: [trial.sweet_spot_sd_mm; 2], ..Judging::default() },
            next_balls: Some(trial.plan().balls()),
            seed: u64::from(trial.seed),
            ..Settings::default()
        };
        Ok(Analysis::of(strikes, settings)?)
    }
}

/// Points of swingweight an inch of length is worth. Trade practice, no source: three for half an inch.
const POINTS_AN_INCH: f64 = 6.0;
/// How far the length that suits may lie from one that was built on a trial's word, in. Assumption: an eighth, the trial's
/// own step, and as much again for what a golfer's swing does over the weeks.
const AFTER_A_JOB_SD_IN: f64 = 0.25;

/// Reads a place on the face: `5 toe 1 low`, `3.5 heel, 2 high`, `-5 1` (toe and high positive), `0`.
///
/// # Errors
/// [`StudioError::BadValue`] with what was expected and found.
pub fn read_place(text: &str) -> Result<(f64, f64), StudioError> {
    let bad = |found: &str| {
        let found: String = found.chars().take(40).collect();
        StudioError::BadValue {
            message: format!("expected a place such as 5 toe 1 low, found \"{found}\""),
            hint: Some("Millimetres from the sweet spot: toe or heel, high or low; or two numbers, toe and high positive.".to_owned()),
        }
    };
    let lower = text.to_lowercase().replace('\u{2212}', "-").replace("mm", " ");
    let tokens: Vec<&str> = lower
        .split([' ', '\u{a0}', ';'])
        .map(|token| token.trim_matches(','))
        .filter(|token| !token.is_empty())
        .collect();
    let (mut along, mut bare, mut number): ([Option<f64>; 2], Vec<f64>, Option<f64>) =
        ([None, None], Vec::new(), None);
    for token in tokens {
        let side = match token {
            "toe" => Some((0, 1.0)),
            "heel" => Some((0, -1.0)),
            "high" => Some((1, 1.0)),
            "low" => Some((1, -1.0)),
            _ => None,
        };
        match (side, number) {
            (Some((axis, sign)), Some(value)) if value >= 0.0 && along[axis].is_none() => {
                along[axis] = Some(sign * value);
                number = None;
            }
            (Some(_), _) => return Err(bad(text)),
            (None, waiting) => {
                bare.extend(waiting);
                let is_plain = token.chars().all(|sign| sign.is_ascii_digit() || "+-.,".contains(sign));
                let value =
                    token.replace(',', ".").parse::<f64>().ok().filter(|value| is_plain && value.is_finite());
                number = Some(value.ok_or_else(|| bad(text))?);
            }
        }
    }
    bare.extend(number);
    let (x, y) = match (along, bare.as_slice()) {
        ([None, None], [x, y]) => (*x, *y),
        ([None, None], [zero]) if *zero == 0.0 => (0.0, 0.0),
        ([x, y], []) if x.is_some() || y.is_some() => (x.unwrap_or(0.0), y.unwrap_or(0.0)),
        _ => return Err(bad(text)),
    };
    let most = trial::FARTHEST_MARK_MM;
    if x.abs() > most || y.abs() > most {
        return Err(StudioError::BadValue {
            message: format!("expected a place within {most} mm of the sweet spot, found {text}"),
            hint: Some("Off the face; topped or shanked? Then it is not recorded.".to_owned()),
        });
    }
    Ok((x, y))
}

/// Writes a place as people say it: `5 toe, 1 low`.
#[must_use]
pub fn place_words(x_mm: f64, y_mm: f64) -> String {
    let part = |value: f64, more: &str, less: &str| {
        let rounded = (value * 10.0).round() / 10.0;
        (rounded != 0.0).then(|| format!("{} {}", rounded.abs(), if rounded > 0.0 { more } else { less }))
    };
    let parts: Vec<String> =
        [part(x_mm, "toe", "heel"), part(y_mm, "high", "low")].into_iter().flatten().collect();
    if parts.is_empty() { "on the sweet spot".to_owned() } else { parts.join(", ") }
}

#[cfg(test)]
mod tests {
    use super::{ClubsMadeBy, StrikeMark, TrialFile, TrialReason, place_words, read_place};
    use crate::{Dossier, GolferFile, Id, Kept};
    use fitting::Handedness;
    use jiff::civil::date;
    use trial::{Kind, Responses};

    fn kept<T>(record: T) -> Kept<T> {
        Kept { record, revision: 1 }
    }

    fn id(number: u8) -> Id {
        Id::of_bytes([number; 16])
    }

    /// A golfer whose strikes follow the length, and suit half an inch more than the rule, on so many days.
    fn tried(visits: u32) -> Dossier {
        let trial = TrialFile {
            id: id(2),
            golfer: id(1),
            club: "7 iron".to_owned(),
            base_length_m: 0.94,
            offsets_in: vec![-0.5, 0.0, 0.5],
            visits: 6,
            rounds: 2,
            balls_in_a_row: 2,
            seed: 3,
            made_by: ClubsMadeBy::GripDown,
            sweet_spot_sd_mm: 1.0,
            reason: TrialReason::Everyone,
            also_read: Vec::new(),
            expects: None,
            by: "I. F.".to_owned(),
            at_ms: 0,
            thought_longest: None,
            opened: None,
            verdict: None,
            profile: None,
            removed: false,
        };
        let mut strikes = Vec::new();
        for visit in 1..=visits {
            for (ball, length) in (1_u32..).zip(trial.balls_of(visit)) {
                let offset_in = trial.offsets_in[length];
                // a scatter of some 4 mm that is the same for every length
                let stray = [-5.0, 3.0, 5.0, -3.0][usize::try_from(ball % 4).unwrap()];
                strikes.push(kept(StrikeMark {
                    id: Id::of_bytes([u8::try_from(visit * 20 + ball).unwrap(); 16]),
                    golfer: id(1),
                    trial: id(2),
                    visit,
                    ball,
                    offset_in,
                    x_mm: 5.0 - 10.0 * offset_in + stray,
                    y_mm: 20.0 * offset_in - 10.0 - stray,
                    responses: Responses::default(),
                    by: "I. F.".to_owned(),
                    day: date(2026, 11, i8::try_from(visit).unwrap()),
                    at_ms: 0,
                    removed: false,
                }));
            }
        }
        Dossier {
            golfer: kept(GolferFile::new(id(1), "Ines Falk", Handedness::Right).unwrap()),
            visits: Vec::new(),
            readings: Vec::new(),
            clubs: Vec::new(),
            targets: Vec::new(),
            trials: vec![kept(trial)],
            strikes,
            jobs: Vec::new(),
            ticks: Vec::new(),
            follow_ups: Vec::new(),
            remarks: Vec::new(),
            photos: Vec::new(),
        }
    }

    #[test]
    fn a_change_moves_the_target_and_a_leaning_only_on_the_fitters_word() {
        for (visits, kind) in [(1, Kind::Leaning), (3, Kind::Change)] {
            let mut dossier = tried(visits);
            let trial = dossier.trials[0].record.clone();
            let analysis = dossier.analysis(&trial).unwrap();
            assert_eq!(analysis.decision.kind, kind);
            assert!(dossier.said_by_trials().is_none(), "nothing before the code is opened");
            let opened =
                trial.opened(&analysis, Some(quantity::Length::inches(28.5)), date(2026, 12, 1), None);
            dossier.trials[0].record = opened.clone();
            assert_eq!(dossier.said_by_trials().is_some(), kind == Kind::Change);
            match opened.with_leaning_taken(&analysis) {
                Some(taken) => {
                    assert_eq!(kind, Kind::Leaning);
                    dossier.trials[0].record = taken;
                }
                None => assert_eq!(kind, Kind::Change),
            }
            let said = dossier.said_by_trials().unwrap();
            assert!((said.offset.as_inches() - analysis.decision.length_in).abs() < 1e-12);
            assert!(said.offset.as_inches() > 0.3, "{said:?}");
        }
    }

    #[test]
    fn two_visits_on_one_day_are_one_day() {
        let mut dossier = tried(2);
        for mark in &mut dossier.strikes {
            mark.record.day = date(2026, 11, 3);
        }
        let trial = dossier.trials[0].record.clone();
        let analysis = dossier.analysis(&trial).unwrap();
        assert_eq!((analysis.strikes.days().len(), analysis.strikes.balls()), (1, 24));
        assert_eq!(analysis.decision.kind, Kind::Leaning);
    }

    #[test]
    fn places_are_read_as_people_type_them() {
        for (text, place) in [
            ("5 toe 1 low", (5.0, -1.0)),
            ("5 toe, 1 low", (5.0, -1.0)),
            ("3.5 heel", (-3.5, 0.0)),
            ("2,5 high", (0.0, 2.5)),
            ("1 low 4 heel", (-4.0, -1.0)),
            ("-5 1", (-5.0, 1.0)),
            ("\u{2212}5, 1", (-5.0, 1.0)),
            ("5mm toe", (5.0, 0.0)),
            ("0", (0.0, 0.0)),
        ] {
            assert_eq!(read_place(text), Ok(place), "{text}");
        }
        for text in [
            "",
            "5",
            "toe",
            "5 toe 5 heel",
            "-5 toe",
            "5 toe 3",
            "1 2 3",
            "99 toe",
            "5 north",
            "NaN 1",
            "1e9 2",
        ] {
            assert!(read_place(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_place_is_written_so_that_it_is_read_again() {
        for (x, y) in [(5.0, -1.0), (-3.5, 0.0), (0.0, 2.5), (-0.1, 0.1)] {
            assert_eq!(read_place(&place_words(x, y)), Ok((x, y)));
        }
        assert_eq!(place_words(0.0, 0.0), "on the sweet spot");
    }
}
