//! What is saved is what is read, and what follows from it.

use crate::place::{NOW, club, every_place, golfer, id, job, measured, reading};
use jiff::civil::{Date, date};
use std::collections::HashSet;
use store::DueKind;
use studio::{
    Changes, ClubsMadeBy, Expectation, Field, FollowUp, GolferFile, HouseSettings, Id, JobFile, JobState,
    KeptProfile, KeptTarget, KeptVerdict, LearntRule, Photo, Record, RecordKind, Remark, StationName,
    StationState, StrikeMark, Tick, TrialFile, TrialReason, Visit, Work,
};

/// A trial whose code was opened, each column with something in it.
fn opened_trial(golfer: &GolferFile) -> TrialFile {
    TrialFile {
        id: id(),
        golfer: golfer.id.clone(),
        club: "7 iron".to_owned(),
        base_length_m: 0.946_15,
        offsets_in: vec![-0.5, -0.125, 0.5],
        visits: 6,
        rounds: 2,
        balls_in_a_row: 3,
        seed: u32::MAX,
        made_by: ClubsMadeBy::Extender,
        sweet_spot_sd_mm: 1.5,
        reason: TrialReason::RuleDoubted,
        also_read: trial::Response::ALL.to_vec(),
        expects: Some(Expectation { mean_in: -0.1, sd_in: 0.271_234_567_89 }),
        by: "I. F.".to_owned(),
        at_ms: NOW,
        thought_longest: Some("B".to_owned()),
        opened: Some(date(2026, 12, 2)),
        verdict: Some(KeptVerdict {
            words: "+1/8 in".to_owned(),
            length_in: Some(0.125),
            half_width_in: Some(0.171_234_567_89),
        }),
        profile: Some(KeptProfile {
            knuckle_height_m: 0.711_2,
            numbers: (0..305).map(|place| -f64::from(place) / 7.0).collect(),
        }),
        removed: false,
    }
}

const A_PART: &str = "01938a6e-1b2c-7def-8123-456789000001";

fn part() -> studio::StockedPart {
    studio::StockedPart {
        id: Id::parse(A_PART).unwrap(),
        kind: bench::PartKind::Grip,
        name: "Round, standard".to_owned(),
        diameter_m: Some(0.015_24),
        length_m: Some(0.265),
        mass_kg: Some(0.050_5),
        cost: Some(studio::Money::cents(450)),
        low_at: 3,
        note: Some("left drawer".to_owned()),
        removed: false,
    }
}

fn stock_move() -> studio::StockMove {
    studio::StockMove {
        id: Id::parse("01938a6e-1b2c-7def-8123-456789000002").unwrap(),
        part: Id::parse(A_PART).unwrap(),
        count: 2,
        piece_mg: Some(50_400),
        why: studio::StockWhy::NotUsed,
        job: Some(id()),
        step: Some("0.7".to_owned()),
        by: "I. F.".to_owned(),
        at_ms: NOW,
        removed: false,
    }
}

fn part_use() -> studio::PartUse {
    studio::PartUse {
        part: Id::parse(A_PART).unwrap(),
        count: 1,
        step: "0.7".to_owned(),
        piece_mg: Some(50_400),
    }
}

/// A golfer with a record of every kind, each column with something in it.
#[tokio::test]
async fn every_record_comes_back_as_it_was() {
    for place in every_place().await {
        let store = &place.store;
        let mut file = golfer("Łukasz O'Dvořák; DROP TABLE golfer; --");
        file.contact = Some("+48 123 456 789".to_owned());
        file.born = Some(date(2014, 6, 21));
        file.consent = Some(studio::Consent {
            by: "his mother".to_owned(),
            day: date(2026, 11, 3),
            how: "in writing".to_owned(),
        });
        file.overruled = Some("two people, twice".to_owned());
        file.hold = Some("inertia".to_owned());
        file.sex = fitting::Sex::Man;
        let seven = club(&file, "7 iron");
        let job = JobFile {
            id: id(),
            golfer: file.id.clone(),
            number: 0,
            state: JobState::Curing,
            since_ms: NOW,
            cured_ms: Some(NOW + 1),
            note: Some("\"quoted\"".to_owned()),
            card: "[golfer]\n".to_owned(),
            work: Work { minutes: 15, cure_hours: 24, ..Work::default() },
            made_ms: NOW,
            quote: Some(quote()),
            uses: vec![part_use()],
            promised: Some(date(2026, 12, 3)),
            removed: false,
        };
        let mut at_the_job = reading(&file, Some(&seven), Field::Mass, "426.25 g");
        at_the_job.job = Some(job.id.clone());
        let target = KeptTarget {
            id: id(),
            golfer: file.id.clone(),
            six_iron_in: 37.781_25,
            half_width_in: 0.449_123_456_789,
            words: "37 3/4 in ± 7/16 in".to_owned(),
            card: String::new(),
            by: "I. F.".to_owned(),
            at_ms: NOW,
            removed: false,
        };
        let tick = Tick {
            id: id(),
            golfer: file.id.clone(),
            job: job.id.clone(),
            step: "0.3".to_owned(),
            done: true,
            typed: Some("8.2 g".to_owned()),
            value_si: Some(0.0082),
            by: "I. F.".to_owned(),
            at_ms: NOW,
            removed: false,
        };
        let follow_up = FollowUp {
            id: id(),
            golfer: file.id.clone(),
            job: Some(job.id.clone()),
            due: date(2026, 12, 1),
            what: Some("strike test".to_owned()),
            done: Some(date(2026, 12, 2)),
            found: Some("kept".to_owned()),
            removed: false,
        };
        let remark = Remark {
            id: id(),
            golfer: file.id.clone(),
            text: "hip, since spring\nsecond line".to_owned(),
            health_consent: Some(date(2026, 11, 3)),
            by: "I. F.".to_owned(),
            at_ms: NOW,
            removed: false,
        };
        let photo = Photo {
            id: id(),
            golfer: file.id.clone(),
            club: Some(seven.id.clone()),
            caption: Some("ferrule".to_owned()),
            bytes: 120_000,
            width: 1600,
            height: 1200,
            by: "I. F.".to_owned(),
            at_ms: NOW,
            removed: false,
        };
        let visit = Visit {
            id: id(),
            golfer: file.id.clone(),
            day: date(2026, 11, 3),
            about: Some("short irons".to_owned()),
            by: "I. F.".to_owned(),
            at_ms: NOW,
            removed: false,
        };
        let trial = opened_trial(&file);
        let strike = StrikeMark {
            id: id(),
            golfer: file.id.clone(),
            trial: trial.id.clone(),
            visit: 2,
            ball: 18,
            offset_in: -0.125,
            x_mm: -3.5,
            y_mm: 7.25,
            responses: trial::Responses {
                head_speed_mps: Some(36.123_456_789),
                ball_speed_mps: Some(48.5),
                carry_m: Some(141.25),
                tempo: Some(2.9),
            },
            by: "I. F.".to_owned(),
            day: date(2026, 11, 3),
            at_ms: NOW,
            removed: false,
        };
        let mut house = HouseSettings::usual().with("round_to", "1/16 in").unwrap();
        house.learnt_rule = Some(LearntRule {
            errors: trial::RuleErrors {
                intercept_in: 0.101_234_567_89,
                intercept_sd_in: 0.03,
                slope: -0.02,
                slope_sd: 0.01,
                intercept_with_slope: -1e-5,
                spread_in: 0.25,
            },
            golfers: 120,
            by: "I. F.".to_owned(),
            day: date(2026, 11, 3),
        });
        let records: Vec<Record> = vec![
            file.clone().into(),
            trial.into(),
            visit.into(),
            seven.into(),
            job.into(),
            at_the_job.into(),
            target.into(),
            tick.into(),
            strike.into(),
            follow_up.into(),
            remark.into(),
            photo.into(),
            house.into(),
            part().into(),
            stock_move().into(),
        ];
        let mut kinds: Vec<&str> = records.iter().map(|record| record.kind().word()).collect();
        kinds.dedup();
        assert_eq!(kinds.len(), RecordKind::ALL.len(), "a record of every kind");
        let changes =
            records.iter().cloned().fold(Changes::new(id(), "I. F.", "All at once"), Changes::with_new);
        store.save(changes, NOW).await.unwrap();
        for record in records {
            // the history and the JSON interface write the record as text: nothing of it may be lost there
            let text = serde_json::to_string(&record).unwrap();
            assert_eq!(serde_json::from_str::<Record>(&text).unwrap(), record);
            let kept = store.record(record.kind(), record.id()).await.unwrap().unwrap();
            assert_eq!(kept.revision, 1);
            let wanted = match record {
                Record::Job(job) => Record::Job(JobFile { number: 1, ..job }),
                other => other,
            };
            assert_eq!(kept.record, wanted);
        }
        let dossier = store.dossier(&file.id).await.unwrap();
        let counts = [
            dossier.visits.len(),
            dossier.trials.len(),
            dossier.strikes.len(),
            dossier.readings.len(),
            dossier.clubs.len(),
            dossier.targets.len(),
            dossier.jobs.len(),
            dossier.ticks.len(),
            dossier.follow_ups.len(),
            dossier.remarks.len(),
            dossier.photos.len(),
        ];
        assert_eq!(counts, [1; 11]);
    }
}

#[tokio::test]
async fn opened_trials_are_read_in_the_order_they_were_planned() {
    for place in every_place().await {
        let store = &place.store;
        let (one, other) = (golfer("Anna"), golfer("Bruno"));
        let (first, second, third) = (opened_trial(&one), opened_trial(&other), opened_trial(&one));
        let in_hand = TrialFile { opened: None, ..opened_trial(&other) };
        let given_up = TrialFile { removed: true, ..opened_trial(&one) };
        for file in [&one, &other] {
            store.save(Changes::new(id(), "I. F.", "New").with_new(file.clone()), NOW).await.unwrap();
        }
        // two in one act too: the place within it counts
        let acts = [vec![&first], vec![&second, &in_hand], vec![&given_up, &third]];
        for trials in acts {
            let act = Changes::new(id(), "I. F.", "Trials");
            let act = trials.into_iter().cloned().fold(act, Changes::with_new);
            store.save(act, NOW).await.unwrap();
        }
        assert_eq!(store.opened_trials().await.unwrap(), [first, second, third]);
    }
}

#[tokio::test]
async fn a_measured_golfer_has_a_plan_and_a_spine() {
    for place in every_place().await {
        let (file, seven) = measured(&place.store, "Marta Lindqvist").await;
        let dossier = place.store.dossier(&file.id).await.unwrap();
        let house = HouseSettings::usual();
        let plan = dossier.plan(&house, date(2026, 11, 3)).unwrap();
        // 37 + 0.25 * (31.0625 - 28) = 37.765625, built at 37 3/4
        assert!((plan.target.six_iron.value.as_inches() - 37.765_625).abs() < 1e-9);
        assert_eq!(plan.clubs[0].club.name, "7 iron");
        let spine = dossier.spine(&house, date(2026, 11, 3));
        assert_eq!(spine.stations[0].state, StationState::Done);
        assert_eq!(spine.stations[0].number, "31 1/8 in");
        assert_eq!(spine.next.at, StationName::Target);
        // a later reading stands in front of the first, which is kept
        let again = reading(&file, Some(&seven), Field::ClubLength, "37 in");
        place.store.save(Changes::new(id(), "I. F.", "Measured again").with_new(again), NOW).await.unwrap();
        let dossier = place.store.dossier(&file.id).await.unwrap();
        assert_eq!(dossier.club_reading(&seven.id, Field::ClubLength).unwrap().typed, "37 in");
        assert_eq!(dossier.readings.iter().filter(|kept| kept.record.field == Field::ClubLength).count(), 2);
    }
}

#[tokio::test]
async fn a_golfer_is_found_by_what_the_fitter_remembers() {
    for place in every_place().await {
        let store = &place.store;
        for (name, contact) in
            [("Łukasz Dvořák", "+44 20 7946 0018"), ("Ines Falk", "ines@example.org"), ("100 % Müller_x", "")]
        {
            let mut file = golfer(name);
            file.contact = Some(contact.to_owned());
            store.save(Changes::new(id(), "I. F.", "Opened").with_new(file), NOW).await.unwrap();
        }
        let names = async |typed: &str| -> Vec<String> {
            store.search(typed, 10).await.unwrap().into_iter().map(|hit| hit.golfer.name).collect()
        };
        assert_eq!(names("lukasz dvo").await, ["Łukasz Dvořák"]);
        assert_eq!(names("79460018").await, ["Łukasz Dvořák"]);
        assert_eq!(names("FALK").await, ["Ines Falk"]);
        assert_eq!(names("%").await, ["100 % Müller_x"]);
        assert_eq!(names("r_x").await, ["100 % Müller_x"]);
        assert_eq!(names("").await.len(), 3);
        assert!(names("' OR 1=1 --").await.is_empty());
        assert!(names("nobody").await.is_empty());
    }
}

#[tokio::test]
async fn a_hit_shows_the_last_job_and_whether_a_height_was_read() {
    for place in every_place().await {
        let store = &place.store;
        let (file, _) = measured(store, "Ada Measured").await;
        store.save(Changes::new(id(), "I. F.", "Opened").with_new(golfer("Bo Asked")), NOW).await.unwrap();
        let gone = JobFile { removed: true, ..job(&file, JobState::Curing) };
        let changes = Changes::new(id(), "I. F.", "Jobs")
            .with_new(job(&file, JobState::Closed))
            .with_new(job(&file, JobState::OnTheBench))
            .with_new(gone);
        store.save(changes, NOW).await.unwrap();
        for typed in ["", "a"] {
            let hits = store.search(typed, 10).await.unwrap();
            let shown: Vec<_> =
                hits.iter().map(|hit| (hit.golfer.name.as_str(), hit.job, hit.is_measured)).collect();
            let expected =
                [("Ada Measured", Some((2, JobState::OnTheBench)), true), ("Bo Asked", None, false)];
            assert_eq!(shown, expected, "{typed:?}");
        }
    }
}

#[tokio::test]
async fn who_is_due_is_listed() {
    for place in every_place().await {
        let store = &place.store;
        let (file, _) = measured(store, "Due Today").await;
        let job = |state, cured_ms| JobFile { cured_ms, ..job(&file, state) };
        let follow_up = |due| FollowUp {
            id: id(),
            golfer: file.id.clone(),
            job: None,
            due,
            what: None,
            done: None,
            found: None,
            removed: false,
        };
        let changes = Changes::new(id(), "I. F.", "Jobs")
            .with_new(job(JobState::Curing, Some(NOW - 1)))
            .with_new(job(JobState::Curing, Some(NOW + 1)))
            .with_new(job(JobState::WaitingForParts, None))
            .with_new(job(JobState::Closed, None))
            .with_new(follow_up(date(2026, 11, 3)))
            .with_new(follow_up(date(2026, 11, 4)));
        store.save(changes, NOW).await.unwrap();
        let due: Vec<DueKind> =
            store.due(date(2026, 11, 3), NOW).await.unwrap().into_iter().map(|due| due.kind).collect();
        assert_eq!(due, [DueKind::FollowUp, DueKind::Cured, DueKind::OnTheBench, DueKind::WaitingForParts]);
    }
}

#[tokio::test]
async fn a_promise_is_due_from_its_day_until_the_clubs_are_ready() {
    let today = date(2026, 11, 3);
    for place in every_place().await {
        let store = &place.store;
        let (file, _) = measured(store, "Promised Today").await;
        let mut changes = Changes::new(id(), "I. F.", "Promised");
        for day in [date(2026, 11, 3), date(2026, 11, 2), date(2026, 11, 4)] {
            for state in JobState::ALL {
                changes = changes.with_new(JobFile { promised: Some(day), ..job(&file, *state) });
            }
        }
        store.save(changes, NOW).await.unwrap();
        let jobs = store.dossier(&file.id).await.unwrap().jobs;
        let state_of = |job: &Id| jobs.iter().find(|kept| kept.record.id == *job).unwrap().record.state;
        let found: Vec<(Date, JobState)> = store
            .due(today, NOW)
            .await
            .unwrap()
            .iter()
            .filter(|due| due.kind == DueKind::Promised)
            .map(|due| (due.day.unwrap(), state_of(&due.job.as_ref().unwrap().0)))
            .collect();
        let days: Vec<Date> = found.iter().map(|(day, _)| *day).collect();
        assert!(days.is_sorted(), "the oldest first: {days:?}");
        for day in [date(2026, 11, 2), today] {
            let of_day: HashSet<&str> =
                found.iter().filter(|(of, _)| *of == day).map(|(_, state)| state.words()).collect();
            assert_eq!(of_day, HashSet::from(STILL_OWED), "{day}");
        }
        assert_eq!(found.len(), 2 * STILL_OWED.len(), "nothing of tomorrow, nothing twice");
    }
}

/// The states of a job whose clubs are not ready yet.
const STILL_OWED: [&str; 11] = [
    "asked",
    "measured",
    "on trial",
    "quoted",
    "agreed",
    "waiting for parts",
    "on the bench",
    "curing",
    "checked",
    "on hold",
    "rework",
];

fn quote() -> studio::Quote {
    let line = |what: &str, count, cents| studio::QuoteLine {
        what: what.to_owned(),
        count,
        each: studio::Money::cents(cents),
    };
    studio::Quote {
        currency: "CHF".to_owned(),
        labour: vec![line("Extend: 7 iron", 1, 2250)],
        parts: vec![line("Plug", 1, 395)],
        discount: studio::Share::parse("7.5").unwrap(),
        rush: studio::Share::default(),
        to_the_minimum: studio::Money::cents(355),
        tax: studio::Share::parse("8.1 %").unwrap(),
        deposit: studio::Share::parse("30").unwrap(),
        made: date(2026, 11, 3),
        valid_until: date(2026, 12, 3),
        accepted: Some(studio::Accepted { day: date(2026, 11, 4), how: "signed".to_owned() }),
    }
}
