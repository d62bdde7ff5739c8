//! A golfer's strike trial: planned, hit visit by visit, its code opened.

use super::Folder;
use crate::clock::Moment;
use crate::shop::FITTER;
use quantity::Length;
use studio::{ClubsMadeBy, Field, Record, StrikeMark, TrialFile, TrialReason};
use trial::{Plan, Responses};

/// How an invented golfer strikes: where the mean lies at the base length, how it moves with an inch of length, and how
/// far single balls and days stray, mm; toward the toe and above.
pub(crate) struct Striker {
    pub(crate) level: [f64; 2],
    pub(crate) slope: [f64; 2],
    pub(crate) ball: [f64; 2],
    pub(crate) day: [f64; 2],
}

impl Folder<'_> {
    /// Plans a trial of a club.
    pub(crate) fn plan_trial(&mut self, at: Moment, club: &str, plan: fn(u64) -> Plan, reason: TrialReason) {
        let seed = 7 + u32::try_from(self.acts.len()).unwrap_or_default();
        let plan = plan(u64::from(seed));
        let found = self.dossier.club_named(club).expect("the story's own club");
        let read = self.dossier.club_reading(&found, Field::ClubLength).and_then(|reading| reading.value_si);
        let target = self.dossier.plan(&self.shop.house, at.day).expect("a golfer on trial is measured");
        let ruled = target.clubs.iter().find(|other| other.club.name == club).and_then(|other| other.target);
        let base = match reason {
            TrialReason::AfterJob => Length::metres(read.expect("what was built was read")),
            _ => ruled.expect("the rule speaks of irons").build,
        };
        let small = |count: usize| u8::try_from(count).expect("a plan is small");
        let trial = TrialFile {
            id: self.ids.next(),
            golfer: self.golfer(),
            club: club.to_owned(),
            base_length_m: base.as_metres(),
            visits: small(plan.visits),
            rounds: small(plan.rounds),
            balls_in_a_row: small(plan.balls_in_a_row),
            offsets_in: plan.offsets_in,
            seed,
            made_by: ClubsMadeBy::GripDown,
            sweet_spot_sd_mm: 1.0,
            reason,
            also_read: Vec::new(),
            by: FITTER.to_owned(),
            at_ms: at.at_ms,
            expects: None,
            thought_longest: None,
            opened: None,
            verdict: None,
            profile: None,
            removed: false,
        };
        self.act(at, format!("Trial planned: {club}, {} visits", trial.visits), vec![Record::Trial(trial)]);
    }

    /// Hits every ball of a visit, one act a ball as in the bay.
    pub(crate) fn hit_visit(&mut self, at: Moment, visit: u32, striker: &Striker) {
        let trial = self.dossier.trial().expect("the story planned a trial before").record.clone();
        let mut chance = Chance(u64::from(trial.seed) * 1000 + u64::from(visit));
        let of_day = striker.day.map(|sd| sd * chance.normal());
        for (ball, length) in (1..).zip(trial.balls_of(visit)) {
            let offset_in = trial.offsets_in[length];
            let place = [0, 1].map(|axis: usize| {
                let mean = striker.level[axis] + of_day[axis] + striker.slope[axis] * offset_in;
                // the bay reads to half a millimetre
                ((mean + striker.ball[axis] * chance.normal()) * 2.0).round() / 2.0
            });
            let mark = StrikeMark {
                id: self.ids.next(),
                golfer: self.golfer(),
                trial: trial.id.clone(),
                visit,
                ball,
                offset_in,
                x_mm: place[0],
                y_mm: place[1],
                responses: Responses::default(),
                by: FITTER.to_owned(),
                day: at.day,
                at_ms: at.at_ms,
                removed: false,
            };
            let minute = at.later(i64::from(ball) - 1);
            self.act(minute, format!("Trial, visit {visit}: ball {ball}"), vec![Record::Strike(mark)]);
        }
    }

    /// Opens the code and keeps what the trial says.
    pub(crate) fn open_code(&mut self, at: Moment, thought_longest: &str) {
        let trial = self.dossier.trial().expect("the story planned a trial before").record.clone();
        let analysis = self.dossier.analysis(&trial).expect("the story's strikes are a person's");
        let opened =
            trial.opened(&analysis, self.dossier.knuckle_height(), at.day, Some(thought_longest.to_owned()));
        let words = opened.verdict.as_ref().map_or_else(String::new, |verdict| verdict.words.clone());
        self.act(at, format!("Trial: the code was opened; {words}"), vec![Record::Trial(opened)]);
    }
}

/// Invented chance: the same in every example studio. The linear congruence of Knuth's MMIX (from memory); twelve even
/// draws less six are near enough normal for a story.
struct Chance(u64);

impl Chance {
    fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        f64::from(u32::try_from(self.0 >> 32).unwrap_or_default()) / (f64::from(u32::MAX) + 1.0)
    }

    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.even()).sum::<f64>() - 6.0
    }
}
