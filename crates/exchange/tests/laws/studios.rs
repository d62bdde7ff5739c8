//! Generated studios: golfers with every kind of record, ids in no order, texts as people and spreadsheets twist them.

use fitting::{Handedness, Sex, Shoes};
use jiff::civil::{Date, date};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::{Index, select};
use studio::{
    Check, ClubsMadeBy, Consent, Dossier, Expectation, Field, FollowUp, GolferFile, HouseSettings, Id,
    JobFile, JobState, Kept, KeptProfile, KeptTarget, KeptVerdict, Kind, OwnedClub, Photo, Reading, Record,
    Remark, ShelfRecords, StockMove, StockWhy, StockedPart, StrikeMark, Subject, Tick, TrialFile,
    TrialReason, Units, Visit, Work, WorkClub, WorkSection, WorkStep, plain_text,
};

/// Texts that have broken files before, over-weighted: formulas, quotation marks, separators, marks of other formats.
const TWISTED: [&str; 14] = [
    "=1+1",
    "'=1+1",
    "''",
    "+44 20 7946 0000",
    "-1",
    "@SUM(A1)",
    "O'Neil \"Red\", Jr; the 3rd",
    "<img src=x onerror=1>",
    "Łucja Größe",
    "\u{1f3cc}\u{fe0f}\u{200d}\u{2640}\u{fe0f} Ines",
    "\\\"} ],",
    "\u{1d4d0}\u{10ffff}",
    "null",
    "0.5",
];

/// A name or other text of one line.
pub(crate) fn any_line() -> impl Strategy<Value = String> {
    let line =
        prop_oneof![select(TWISTED.to_vec()).prop_map(str::to_owned), "\\PC{1,30}", "[ a-z0-9\"',;|]{1,20}"];
    line.prop_filter_map("a text of one line", |line| plain_text("text", &line).ok().flatten())
}

/// A text of several lines.
pub(crate) fn any_lines() -> impl Strategy<Value = String> {
    prop_oneof![select(TWISTED.to_vec()).prop_map(str::to_owned), "(\\PC|\n|\r\n|\r|\t|\"){0,60}"]
}

fn any_day() -> impl Strategy<Value = Date> {
    (1900_i16..2100, 1_i8..13, 1_i8..29).prop_map(|(year, month, day)| date(year, month, day))
}

/// Instants from 1970 to about 2100, milliseconds UTC.
fn any_ms() -> impl Strategy<Value = i64> {
    0_i64..4_102_444_800_000
}

/// A field with a text it reads.
fn any_typed(subject: Subject) -> impl Strategy<Value = (Field, String)> {
    let fields: Vec<Field> = Field::of(subject).collect();
    (select(fields), 0_u32..10_000, any::<bool>()).prop_map(|(field, number, is_other)| {
        let value = f64::from(number) / 100.0;
        let typed = match field.kind() {
            Kind::Height | Kind::Small if is_other => format!("{number} mm"),
            Kind::Height | Kind::Small => format!("{} {}/16 in", number / 16, number % 16),
            Kind::Mass if is_other => format!("{value} oz"),
            Kind::Mass => format!("{value} g"),
            Kind::Angle => format!("{value} deg"),
            Kind::Frequency => format!("{value} cpm"),
            Kind::Speed => format!("{value} mph"),
            Kind::Swingweight => {
                format!("{}{}", ['A', 'D', 'G'][number as usize % 3], f64::from(number % 100) / 10.0)
            }
            Kind::Material => if is_other { "steel" } else { "graphite" }.to_owned(),
            Kind::Construction => if is_other { "cast 17-4" } else { "forged" }.to_owned(),
            Kind::Conditions => if is_other { "" } else { "rusted, cracked" }.to_owned(),
        };
        (field, typed)
    })
}

type ReadingSeed =
    (Option<Index>, Option<Index>, (Field, String), (Field, String), (String, Date, i64, bool));

/// What a golfer is made from.
#[derive(Debug, Clone)]
struct Seed {
    name: String,
    texts: Vec<Option<String>>,
    lines: Vec<String>,
    days: Vec<Option<Date>>,
    flags: Vec<bool>,
    ms: Vec<i64>,
    clubs: Vec<(String, bool)>,
    jobs: Vec<(JobState, f64)>,
    readings: Vec<ReadingSeed>,
}

fn any_seed() -> impl Strategy<Value = Seed> {
    let readings = vec(
        (
            option::of(any::<Index>()),
            option::of(any::<Index>()),
            any_typed(Subject::Club),
            any_typed(Subject::Body),
            (any_line(), any_day(), any_ms(), any::<bool>()),
        ),
        0..6,
    );
    let clubs = vec((any_line(), any::<bool>()), 0..4);
    let jobs = vec((select(JobState::ALL.to_vec()), -1e3..1e3_f64), 0..3);
    (
        any_line(),
        vec(option::of(any_line()), 8),
        vec(any_lines(), 4),
        vec(option::of(any_day()), 4),
        vec(any::<bool>(), 8),
        vec(any_ms(), 4),
        clubs,
        jobs,
        readings,
    )
        .prop_map(|(name, texts, lines, days, flags, ms, clubs, jobs, readings)| Seed {
            name,
            texts,
            lines,
            days,
            flags,
            ms,
            clubs,
            jobs,
            readings,
        })
}

/// Hands out ids that are unique and stand in no order, as the pages' do.
struct Ids(u64);

impl Ids {
    fn next(&mut self) -> Id {
        self.0 += 1;
        id_of(self.0)
    }
}

/// An id for a number: multiplying by an odd number scatters the order and keeps them apart.
pub(crate) fn id_of(number: u64) -> Id {
    let scattered = number.wrapping_mul(0x9e37_79b9_7f4a_7c15);
    let text = format!("{:08x}-{:04x}-7000-8000-{number:012x}", scattered >> 32, scattered & 0xffff);
    Id::parse(&text).unwrap()
}

fn kept<T>(records: impl IntoIterator<Item = T>) -> Vec<Kept<T>> {
    records.into_iter().map(|record| Kept { record, revision: 1 }).collect()
}

fn dossier(seed: &Seed, ids: &mut Ids, numbers: &mut i64) -> Dossier {
    let mut golfer = GolferFile::new(
        ids.next(),
        &seed.name,
        if seed.flags[0] { Handedness::Left } else { Handedness::Right },
    )
    .unwrap();
    let id = golfer.id.clone();
    golfer.contact.clone_from(&seed.texts[0]);
    golfer.sex = if seed.flags[1] { Sex::Woman } else { Sex::NotSaid };
    golfer.born = seed.days[0];
    golfer.consent =
        seed.days[1].map(|day| Consent { by: seed.name.clone(), day, how: "in person".to_owned() });
    golfer.overruled.clone_from(&seed.texts[1]);
    golfer.hold =
        seed.texts[2].as_ref().map(|text| ["swingweight", "inertia", "neither"][text.len() % 3].to_owned());
    golfer.removed = seed.flags[2];
    let clubs: Vec<OwnedClub> = seed
        .clubs
        .iter()
        .map(|(name, removed)| OwnedClub {
            id: ids.next(),
            golfer: id.clone(),
            // what stands in brackets is the golfer's own remark
            name: format!("7 iron ({name})"),
            way: seed.texts[3]
                .as_ref()
                .map(|text| ["leave", "cut", "other shaft"][text.len() % 3].to_owned()),
            removed: *removed,
        })
        .collect();
    let jobs: Vec<JobFile> = seed
        .jobs
        .iter()
        .map(|(state, least_si)| {
            *numbers += 1;
            job(seed, ids.next(), &id, *numbers, *state, *least_si, clubs.first())
        })
        .collect();
    let picked =
        |at: &Option<Index>, count: usize| at.as_ref().filter(|_| count > 0).map(|at| at.index(count));
    let readings: Vec<Reading> = seed
        .readings
        .iter()
        .map(|(club, of_job, of_club, of_body, (by, day, at_ms, removed))| {
            let club = picked(club, clubs.len()).map(|place| clubs[place].id.clone());
            let (field, typed) = if club.is_some() { of_club } else { of_body };
            let read = field.read(typed, Units::Inches).unwrap();
            Reading {
                id: ids.next(),
                golfer: id.clone(),
                club,
                job: picked(of_job, jobs.len()).map(|place| jobs[place].id.clone()),
                field: *field,
                typed: read.text,
                value_si: read.value_si,
                shoes: removed.then_some(Shoes::Off),
                instrument: seed.texts[4].clone(),
                by: by.clone(),
                day: *day,
                at_ms: *at_ms,
                removed: *removed,
            }
        })
        .collect();
    let by = || seed.name.clone();
    let ticks: Vec<Tick> = jobs
        .iter()
        .map(|job| Tick {
            id: ids.next(),
            golfer: id.clone(),
            job: job.id.clone(),
            step: "0.0".to_owned(),
            done: seed.flags[3],
            typed: seed.texts[5].clone(),
            value_si: seed.flags[4].then_some(-0.5),
            by: by(),
            at_ms: seed.ms[0],
            removed: false,
        })
        .collect();
    let follow_ups = seed.days.iter().flatten().map(|due| FollowUp {
        id: ids.next(),
        golfer: id.clone(),
        job: jobs.last().map(|job| job.id.clone()),
        due: *due,
        what: seed.texts[6].clone(),
        done: seed.days[2],
        found: seed.texts[3].clone(),
        removed: seed.flags[5],
    });
    let follow_ups = kept(follow_ups);
    let remarks = seed.lines.iter().enumerate().map(|(place, text)| Remark {
        id: ids.next(),
        golfer: id.clone(),
        text: format!(
            "{}.",
            text.replace(|sign: char| sign.is_control() && sign != '\n' && sign != '\t', " ")
        ),
        health_consent: seed.days[place],
        by: by(),
        at_ms: seed.ms[1],
        removed: seed.flags[6],
    });
    let remarks = kept(remarks);
    let photo = seed.flags[7].then(|| Photo {
        id: ids.next(),
        golfer: id.clone(),
        club: clubs.last().map(|club| club.id.clone()),
        caption: seed.texts[7].clone(),
        bytes: 123_456,
        width: 2048,
        height: 1536,
        by: by(),
        at_ms: seed.ms[2],
        removed: false,
    });
    let visit = seed.flags[1].then(|| Visit {
        id: ids.next(),
        golfer: id.clone(),
        day: date(2026, 11, 3),
        about: seed.texts[6].clone(),
        by: by(),
        at_ms: seed.ms[2],
        removed: seed.flags[3],
    });
    let trial = seed.flags[1].then(|| TrialFile {
        id: ids.next(),
        golfer: id.clone(),
        club: "6 iron".to_owned(),
        base_length_m: 0.95,
        offsets_in: vec![-0.5, 0.0, 0.5],
        visits: 6,
        rounds: 2,
        balls_in_a_row: 2,
        seed: 7,
        made_by: ClubsMadeBy::GripDown,
        sweet_spot_sd_mm: 1.0,
        reason: TrialReason::Everyone,
        also_read: if seed.flags[0] {
            vec![trial::Response::HeadSpeed, trial::Response::Tempo]
        } else {
            Vec::new()
        },
        expects: seed.flags[2].then_some(Expectation { mean_in: 0.125, sd_in: 0.28 }),
        by: by(),
        at_ms: seed.ms[2],
        thought_longest: None,
        opened: seed.flags[3].then(|| date(2026, 11, 3)),
        verdict: seed.flags[3].then(|| KeptVerdict {
            words: "+1/4 in".to_owned(),
            length_in: Some(0.25),
            half_width_in: Some(0.125),
        }),
        profile: seed.flags[2]
            .then(|| KeptProfile { knuckle_height_m: 0.72, numbers: vec![-0.125; trial::NUMBERS] }),
        removed: seed.flags[3],
    });
    let strike = trial.as_ref().map(|trial| StrikeMark {
        id: ids.next(),
        golfer: id.clone(),
        trial: trial.id.clone(),
        visit: 1,
        ball: 12,
        offset_in: -0.5,
        x_mm: -3.4,
        y_mm: 7.1,
        responses: trial::Responses {
            head_speed_mps: seed.flags[0].then_some(36.25),
            tempo: seed.flags[2].then_some(3.1),
            ..trial::Responses::default()
        },
        by: by(),
        day: date(2026, 11, 3),
        at_ms: seed.ms[2],
        removed: seed.flags[3],
    });
    let target = seed.jobs.first().map(|(_, number)| KeptTarget {
        id: ids.next(),
        golfer: id.clone(),
        six_iron_in: *number / 7.0,
        half_width_in: 0.1,
        words: "37 3/4 in ± 7/16 in".to_owned(),
        card: seed.lines[1].clone(),
        by: by(),
        at_ms: seed.ms[3],
        removed: false,
    });
    Dossier {
        golfer: Kept { record: golfer, revision: 1 },
        visits: kept(visit),
        trials: kept(trial),
        strikes: kept(strike),
        readings: kept(readings),
        clubs: kept(clubs),
        targets: kept(target),
        jobs: kept(jobs),
        ticks: kept(ticks),
        follow_ups,
        remarks,
        photos: kept(photo),
    }
}

fn job(
    seed: &Seed,
    id: Id,
    golfer: &Id,
    number: i64,
    state: JobState,
    least_si: f64,
    club: Option<&OwnedClub>,
) -> JobFile {
    let check = Check {
        field: Field::ClubLength,
        expected: seed.name.clone(),
        least_si,
        most_si: least_si / 3.0,
        repeats_to_si: Some(0.001),
        when_below: "stop".to_owned(),
        when_above: "trim".to_owned(),
    };
    let step = WorkStep {
        key: "0.0".to_owned(),
        what: seed.lines[2].clone(),
        look_for: String::new(),
        takes_reading: seed.flags[3],
        cautions: vec![seed.name.clone()],
        uses: vec![bench::PartKind::Plug, bench::PartKind::Glue],
    };
    let work_club = WorkClub {
        club: club.map(|club| club.id.clone()),
        name: club.map_or_else(|| "7 iron".to_owned(), |club| club.name.clone()),
        what: "extend 1/2 in".to_owned(),
        checks: vec![check],
    };
    JobFile {
        id,
        golfer: golfer.clone(),
        number,
        state,
        since_ms: seed.ms[0],
        cured_ms: seed.flags[4].then_some(seed.ms[1]),
        note: seed.texts[5].clone(),
        card: seed.lines[3].clone(),
        work: Work {
            waits_for: seed.texts[6].clone(),
            first_club: None,
            sections: vec![WorkSection {
                heading: "Extend".to_owned(),
                clubs: vec![work_club],
                steps: vec![step],
                said_before: Vec::new(),
                parts: vec![studio::WorkPart {
                    kind: bench::PartKind::Plug,
                    what: "Plug".to_owned(),
                    count: 2,
                    diameter_m: Some(0.015_24),
                    mass_kg: None,
                }],
            }],
            parts: seed.clubs.iter().map(|(name, _)| name.clone()).collect(),
            minutes: 45,
            cure_hours: 24,
            stop_and_ask: Vec::new(),
        },
        made_ms: seed.ms[2],
        quote: seed.flags[1].then(|| studio::Quote {
            currency: "EUR".to_owned(),
            labour: vec![studio::QuoteLine {
                what: "Extend".to_owned(),
                count: 2,
                each: studio::Money::cents(2250),
            }],
            parts: Vec::new(),
            discount: studio::Share::default(),
            rush: studio::Share::default(),
            to_the_minimum: studio::Money::ZERO,
            tax: studio::Share::default(),
            deposit: studio::Share::default(),
            made: date(2026, 11, 3),
            valid_until: date(2026, 12, 3),
            accepted: None,
        }),
        uses: vec![studio::PartUse {
            part: id_of(9_000_001),
            count: 2,
            step: "0.1".to_owned(),
            piece_mg: None,
        }],
        promised: seed.flags[2].then(|| date(2026, 12, 3)),
        removed: seed.flags[5],
    }
}

/// A house with some settings of its own.
pub(crate) fn any_house() -> impl Strategy<Value = HouseSettings> {
    (option::of(any_line()), any::<bool>(), any::<bool>()).prop_map(|(name, is_metric, is_finer)| {
        let mut house = HouseSettings::usual();
        if let Some(name) = name {
            house = house.with("name", &name).unwrap();
        }
        if is_metric {
            house = house.with("units", "metric").unwrap();
        }
        if is_finer {
            house = house.with("round_to", "1/16 in").unwrap().with("tapes", "0.5 g").unwrap();
        }
        house
    })
}

/// Some golfers.
pub(crate) fn any_golfers() -> impl Strategy<Value = Vec<Dossier>> {
    vec(any_seed(), 0..4).prop_map(|seeds| {
        let (mut ids, mut numbers) = (Ids(0), 0);
        seeds.iter().map(|seed| dossier(seed, &mut ids, &mut numbers)).collect()
    })
}

/// Puts records into a dossier as a store would: each list in the order in which it comes.
pub(crate) fn dossier_of(records: &[Record]) -> Dossier {
    macro_rules! of {
        ($kind:ident) => {
            kept(records.iter().filter_map(|record| match record {
                Record::$kind(record) => Some(record.clone()),
                _ => None,
            }))
        };
    }
    Dossier {
        golfer: of!(Golfer).remove(0),
        visits: of!(Visit),
        trials: of!(Trial),
        strikes: of!(Strike),
        readings: of!(Reading),
        clubs: of!(Club),
        targets: of!(Target),
        jobs: of!(Job),
        ticks: of!(Tick),
        follow_ups: of!(FollowUp),
        remarks: of!(Remark),
        photos: of!(Photo),
    }
}

/// A shelf of one part, of which three came.
pub(crate) fn small_shelf() -> ShelfRecords {
    let part = StockedPart {
        id: id_of(9_000_001),
        kind: bench::PartKind::Plug,
        name: "Plug 0.600".to_owned(),
        diameter_m: Some(0.015_24),
        length_m: Some(0.127),
        mass_kg: Some(0.024),
        cost: Some(studio::Money::cents(350)),
        low_at: 2,
        note: None,
        removed: false,
    };
    let came = StockMove {
        id: id_of(9_000_002),
        part: part.id.clone(),
        count: 3,
        piece_mg: None,
        why: StockWhy::Came,
        job: None,
        step: None,
        by: "Ines".to_owned(),
        at_ms: 0,
        removed: false,
    };
    ShelfRecords { parts: vec![part], moves: vec![came] }
}

/// A shelf on which nothing is less than nothing.
pub(crate) fn any_shelf() -> impl Strategy<Value = ShelfRecords> {
    let part = (any_line(), option::of(0.0..0.1_f64), 0_u32..9, any::<bool>());
    let moved = (0_usize..4, 1_i64..9, option::of(1_i64..1_000_000), any_ms(), any::<bool>());
    (vec(part, 0..4), vec(moved, 0..12)).prop_map(|(parts, moves)| {
        let pattern = small_shelf();
        let parts: Vec<StockedPart> = (9_000_100_u64..)
            .zip(parts)
            .map(|(number, (name, diameter_m, low_at, removed))| StockedPart {
                id: id_of(number),
                name,
                diameter_m,
                low_at,
                removed,
                ..pattern.parts[0].clone()
            })
            .collect();
        let mut list = Vec::new();
        for (number, (part, count, piece_mg, at_ms, is_used)) in (0_u64..).zip(moves) {
            let Some(part) = parts.get(part) else { continue };
            let came = StockMove {
                // ids in no order of time
                id: id_of(9_001_000 + (number * 7919) % 1000),
                part: part.id.clone(),
                count,
                piece_mg,
                at_ms,
                ..pattern.moves[0].clone()
            };
            if is_used {
                list.push(StockMove {
                    id: id_of(9_002_000 + number),
                    count: -count,
                    why: StockWhy::Used,
                    job: Some(id_of(5)),
                    step: Some("0.1".to_owned()),
                    ..came.clone()
                });
            }
            list.push(came);
        }
        ShelfRecords { parts, moves: list }
    })
}
