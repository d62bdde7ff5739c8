//! Tables for a spreadsheet: golfers, visits, readings, clubs, trials, strikes, jobs, follow-ups and remarks, a file each.
//!
//! They are for reading and counting; what moves a studio is the studio file. Each begins with the mark of UTF-8, so
//! that spreadsheet programs read every letter; rows end as RFC 4180 has it. Quantities stand in SI units, each with
//! its unit in the cell beside it; days as `2026-11-03`, times in UTC. Texts are [guarded](crate::guarded()).

pub(crate) mod cells;

use crate::HealthRemarks;
use crate::outgoing::by_id;
use cells::TableWriter;
use std::collections::BTreeMap;
use studio::{Dossier, Id, JobFile, Kind};

/// A table as a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CsvFile {
    /// Its name.
    pub name: &'static str,
    /// What is in it.
    pub text: String,
}

/// Writes the tables of these golfers.
#[must_use]
pub fn export_csv(dossiers: &[Dossier], health: HealthRemarks) -> Vec<CsvFile> {
    let golfers: Vec<Named<'_>> = by_id(dossiers).into_iter().map(Named::new).collect();
    vec![
        CsvFile { name: "golfers.csv", text: golfer_table(&golfers) },
        CsvFile { name: "visits.csv", text: visit_table(&golfers) },
        CsvFile { name: "readings.csv", text: reading_table(&golfers) },
        CsvFile { name: "clubs.csv", text: club_table(&golfers) },
        CsvFile { name: "trials.csv", text: trial_table(&golfers) },
        CsvFile { name: "strikes.csv", text: strike_table(&golfers) },
        CsvFile { name: "jobs.csv", text: job_table(&golfers) },
        CsvFile { name: "follow_ups.csv", text: follow_up_table(&golfers) },
        CsvFile { name: "remarks.csv", text: remark_table(&golfers, health) },
    ]
}

/// A golfer, and the names of the clubs and numbers of the jobs the records speak of.
struct Named<'d> {
    dossier: &'d Dossier,
    clubs: BTreeMap<&'d Id, &'d str>,
    jobs: BTreeMap<&'d Id, i64>,
}

impl<'d> Named<'d> {
    fn new(dossier: &'d Dossier) -> Self {
        let clubs = dossier.clubs.iter().map(|kept| (&kept.record.id, kept.record.name.as_str()));
        let jobs = dossier.jobs.iter().map(|kept| (&kept.record.id, kept.record.number));
        Self { dossier, clubs: clubs.collect(), jobs: jobs.collect() }
    }

    /// Begins the row of a record: its id, the golfer's and the golfer's name.
    fn row(&self, table: &mut TableWriter, id: &Id) {
        table.text(id.as_str());
        table.text(self.dossier.golfer.record.id.as_str());
        table.text(&self.dossier.golfer.record.name);
    }

    /// Writes a club's id and name.
    fn club(&self, table: &mut TableWriter, club: Option<&Id>) {
        table.some_text(club.map(Id::as_str));
        table.some_text(club.and_then(|club| self.clubs.get(club)).copied());
    }

    /// Writes a job's number.
    fn job(&self, table: &mut TableWriter, job: Option<&Id>) {
        table.some_integer(job.and_then(|job| self.jobs.get(job)).copied());
    }
}

fn golfer_table(golfers: &[Named<'_>]) -> String {
    let mut table = TableWriter::new(&[
        "id",
        "name",
        "contact",
        "plays",
        "sex",
        "born",
        "consent_by",
        "consent_day",
        "consent_how",
        "overruled",
        "hold",
        "removed",
    ]);
    for named in golfers {
        let golfer = &named.dossier.golfer.record;
        let consent = golfer.consent.as_ref();
        table.text(golfer.id.as_str());
        table.text(&golfer.name);
        table.some_text(golfer.contact.as_deref());
        table.text(golfer.plays.words());
        table.text(golfer.sex_word());
        table.day(golfer.born);
        table.some_text(consent.map(|consent| consent.by.as_str()));
        table.day(consent.map(|consent| consent.day));
        table.some_text(consent.map(|consent| consent.how.as_str()));
        table.some_text(golfer.overruled.as_deref());
        table.some_text(golfer.hold.as_deref());
        table.flag(golfer.removed);
        table.end_row();
    }
    table.finish()
}

fn visit_table(golfers: &[Named<'_>]) -> String {
    let mut table =
        TableWriter::new(&["id", "golfer_id", "golfer", "day", "about", "by", "at_utc", "removed"]);
    for named in golfers {
        for visit in named.dossier.visits.iter().map(|kept| &kept.record) {
            named.row(&mut table, &visit.id);
            table.day(Some(visit.day));
            table.some_text(visit.about.as_deref());
            table.text(&visit.by);
            table.time(Some(visit.at_ms));
            table.flag(visit.removed);
            table.end_row();
        }
    }
    table.finish()
}

fn trial_table(golfers: &[Named<'_>]) -> String {
    let mut table = TableWriter::new(&[
        "id",
        "golfer_id",
        "golfer",
        "club",
        "base_length_m",
        "offsets_in",
        "visits",
        "rounds",
        "balls_in_a_row",
        "seed",
        "made_by",
        "sweet_spot_sd_mm",
        "reason",
        "also_read",
        "expects_mean_in",
        "expects_sd_in",
        "by",
        "at_utc",
        "thought_longest",
        "opened",
        "verdict",
        "length_in",
        "removed",
    ]);
    for named in golfers {
        for trial in named.dossier.trials.iter().map(|kept| &kept.record) {
            let offsets: Vec<String> = trial.offsets_in.iter().map(ToString::to_string).collect();
            let verdict = trial.verdict.as_ref();
            named.row(&mut table, &trial.id);
            table.text(&trial.club);
            table.some_number(Some(trial.base_length_m));
            table.text(&offsets.join(" "));
            table.some_integer(Some(trial.visits.into()));
            table.some_integer(Some(trial.rounds.into()));
            table.some_integer(Some(trial.balls_in_a_row.into()));
            table.some_integer(Some(trial.seed.into()));
            table.text(trial.made_by.words());
            table.some_number(Some(trial.sweet_spot_sd_mm));
            let also_read: Vec<&str> = trial.also_read.iter().map(|response| response.words()).collect();
            table.text(trial.reason.words());
            table.text(&also_read.join(", "));
            table.some_number(trial.expects.map(|expects| expects.mean_in));
            table.some_number(trial.expects.map(|expects| expects.sd_in));
            table.text(&trial.by);
            table.time(Some(trial.at_ms));
            table.some_text(trial.thought_longest.as_deref());
            table.day(trial.opened);
            table.some_text(verdict.map(|verdict| verdict.words.as_str()));
            table.some_number(verdict.and_then(|verdict| verdict.length_in));
            table.flag(trial.removed);
            table.end_row();
        }
    }
    table.finish()
}

/// Strikes carry the columns of a strike file, so that those of one trial can be analysed as they are.
fn strike_table(golfers: &[Named<'_>]) -> String {
    let mut table = TableWriter::new(&[
        "id",
        "golfer_id",
        "golfer",
        "trial_id",
        "session",
        "order",
        "offset_in",
        "x_mm",
        "y_mm",
        "head_speed_mps",
        "ball_speed_mps",
        "carry_m",
        "tempo",
        "by",
        "day",
        "at_utc",
        "removed",
    ]);
    for named in golfers {
        for strike in named.dossier.strikes.iter().map(|kept| &kept.record) {
            named.row(&mut table, &strike.id);
            table.text(strike.trial.as_str());
            table.some_integer(Some(strike.visit.into()));
            table.some_integer(Some(strike.ball.into()));
            table.some_number(Some(strike.offset_in));
            table.some_number(Some(strike.x_mm));
            table.some_number(Some(strike.y_mm));
            for response in trial::Response::ALL {
                table.some_number(strike.responses.get(response));
            }
            table.text(&strike.by);
            table.day(Some(strike.day));
            table.time(Some(strike.at_ms));
            table.flag(strike.removed);
            table.end_row();
        }
    }
    table.finish()
}

fn reading_table(golfers: &[Named<'_>]) -> String {
    let mut table = TableWriter::new(&[
        "id",
        "golfer_id",
        "golfer",
        "club_id",
        "club",
        "job_number",
        "field",
        "typed",
        "value_si",
        "unit",
        "shoes",
        "instrument",
        "by",
        "day",
        "at_utc",
        "removed",
    ]);
    for named in golfers {
        for reading in named.dossier.readings.iter().map(|kept| &kept.record) {
            named.row(&mut table, &reading.id);
            named.club(&mut table, reading.club.as_ref());
            named.job(&mut table, reading.job.as_ref());
            table.text(reading.field.key());
            table.text(&reading.typed);
            table.some_number(reading.value_si);
            table.text(reading.value_si.map_or("", |_| si_unit(reading.field.kind())));
            table.some_text(reading.shoes_word());
            table.some_text(reading.instrument.as_deref());
            table.text(&reading.by);
            table.day(Some(reading.day));
            table.time(Some(reading.at_ms));
            table.flag(reading.removed);
            table.end_row();
        }
    }
    table.finish()
}

fn club_table(golfers: &[Named<'_>]) -> String {
    let mut table = TableWriter::new(&["id", "golfer_id", "golfer", "name", "way", "removed"]);
    for named in golfers {
        for club in named.dossier.clubs.iter().map(|kept| &kept.record) {
            named.row(&mut table, &club.id);
            table.text(&club.name);
            table.some_text(club.way.as_deref());
            table.flag(club.removed);
            table.end_row();
        }
    }
    table.finish()
}

fn job_table(golfers: &[Named<'_>]) -> String {
    let mut table = TableWriter::new(&[
        "id",
        "golfer_id",
        "golfer",
        "number",
        "state",
        "since_utc",
        "cured_utc",
        "note",
        "work",
        "parts",
        "bench_min",
        "cure_h",
        "quoted_total",
        "agreed",
        "made_utc",
        "removed",
    ]);
    for named in golfers {
        for job in named.dossier.jobs.iter().map(|kept| &kept.record) {
            named.row(&mut table, &job.id);
            table.some_integer(Some(job.number));
            table.text(job.state.words());
            table.time(Some(job.since_ms));
            table.time(job.cured_ms);
            table.some_text(job.note.as_deref());
            table.text(&work_words(job));
            table.text(&job.work.parts.join("; "));
            table.some_integer(Some(i64::from(job.work.minutes)));
            table.some_integer(Some(i64::from(job.work.cure_hours)));
            table.some_text(job.quote.as_ref().map(|quote| quote.say(quote.total())).as_deref());
            table.day(job.quote.as_ref().and_then(|quote| Some(quote.accepted.as_ref()?.day)));
            table.time(Some(job.made_ms));
            table.flag(job.removed);
            table.end_row();
        }
    }
    table.finish()
}

fn follow_up_table(golfers: &[Named<'_>]) -> String {
    let mut table = TableWriter::new(&[
        "id",
        "golfer_id",
        "golfer",
        "job_number",
        "due",
        "what",
        "done",
        "found",
        "removed",
    ]);
    for named in golfers {
        for follow_up in named.dossier.follow_ups.iter().map(|kept| &kept.record) {
            named.row(&mut table, &follow_up.id);
            named.job(&mut table, follow_up.job.as_ref());
            table.day(Some(follow_up.due));
            table.some_text(follow_up.what.as_deref());
            table.day(follow_up.done);
            table.some_text(follow_up.found.as_deref());
            table.flag(follow_up.removed);
            table.end_row();
        }
    }
    table.finish()
}

fn remark_table(golfers: &[Named<'_>], health: HealthRemarks) -> String {
    let mut table =
        TableWriter::new(&["id", "golfer_id", "golfer", "text", "health_consent", "by", "at_utc", "removed"]);
    for named in golfers {
        for remark in health.of(named.dossier) {
            named.row(&mut table, &remark.id);
            table.text(&remark.text);
            table.day(remark.health_consent);
            table.text(&remark.by);
            table.time(Some(remark.at_ms));
            table.flag(remark.removed);
            table.end_row();
        }
    }
    table.finish()
}

/// What is done to which club: `7 iron: extend 1/2 in; 8 iron: leave as it is`.
fn work_words(job: &JobFile) -> String {
    let clubs: Vec<String> = job.work.clubs().map(|club| format!("{}: {}", club.name, club.what)).collect();
    clubs.join("; ")
}

/// The unit a value of this kind stands in.
fn si_unit(kind: Kind) -> &'static str {
    match kind {
        Kind::Height | Kind::Small => "m",
        Kind::Mass => "kg",
        Kind::Angle => "rad",
        Kind::Frequency => "Hz",
        Kind::Speed => "m/s",
        Kind::Swingweight => "kg m",
        Kind::Material | Kind::Construction | Kind::Conditions => "",
    }
}
