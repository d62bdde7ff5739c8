//! The jobs: every state on the way, their ticks and readings, and what of them is due.

use crate::place::{NOW_MS, TODAY, filled};
use store::DueKind;
use studio::{Dossier, Field, JobFile, JobState, Verdict};

const HOUR_MS: i64 = 3_600_000;

fn jobs(dossiers: &[Dossier]) -> impl Iterator<Item = (&Dossier, &JobFile)> {
    dossiers.iter().flat_map(|dossier| dossier.jobs.iter().map(move |kept| (dossier, &kept.record)))
}

#[tokio::test]
async fn the_jobs_stand_in_seven_states_numbered_as_they_were_made() {
    let place = filled().await;
    let dossiers = place.dossiers().await;
    let mut found: Vec<_> = jobs(&dossiers)
        .map(|(dossier, job)| (job.number, dossier.golfer.record.name.as_str(), job.state))
        .collect();
    found.sort_by_key(|(number, ..)| *number);
    assert_eq!(
        found,
        [
            (1, "Edwin Achterberg", JobState::Closed),
            (2, "Maeve Brannigan", JobState::HandedOver),
            (3, "Benita Okafor", JobState::Ready),
            (4, "Karel Dvořák", JobState::WaitingForParts),
            (5, "Marta Lindqvist", JobState::OnTheBench),
            (6, "Tendai Moyo", JobState::Curing),
            (7, "Łukasz Wróbel", JobState::Agreed),
        ]
    );
    let mut made: Vec<_> = jobs(&dossiers).map(|(_, job)| (job.made_ms, job.number)).collect();
    made.sort_unstable();
    assert!(made.is_sorted_by_key(|(_, number)| *number), "{made:?}");
}

#[tokio::test]
async fn every_job_is_of_weighed_clubs_and_nothing_held_it_when_it_was_made() {
    let place = filled().await;
    let dossiers = place.dossiers().await;
    for (dossier, job) in jobs(&dossiers) {
        let name = &dossier.golfer.record.name;
        assert_eq!(job.work.waits_for, None, "{name}");
        assert!(job.work.clubs().count() >= 3, "{name}");
        for club in job.work.clubs() {
            assert_eq!(club.club, dossier.club_named(&club.name), "{name} {}", club.name);
            // length, mass, swingweight and lie: a club that was not weighed has fewer checks
            assert_eq!(club.checks.len(), 4, "{name} {}", club.name);
        }
    }
}

#[tokio::test]
async fn ticks_are_of_the_jobs_own_steps_and_have_their_readings() {
    let place = filled().await;
    let dossiers = place.dossiers().await;
    for dossier in &dossiers {
        for tick in dossier.ticks.iter().map(|kept| &kept.record) {
            let job = &dossier.job_of(&tick.job).unwrap().record;
            assert!(job.work.has(&tick.step), "{}", tick.step);
            assert!(tick.at_ms >= job.made_ms);
            let takes_reading = job.work.steps().find(|(_, step)| step.key == tick.step);
            let takes_reading = takes_reading.is_none_or(|(_, step)| step.takes_reading);
            assert_eq!(tick.typed.is_some(), takes_reading, "{}", tick.step);
        }
    }
    for (dossier, job) in jobs(&dossiers) {
        let (done, due) = (dossier.ticks_done(job), job.work.ticks_due());
        let is_finished = matches!(job.state, JobState::Ready | JobState::HandedOver | JobState::Closed);
        let is_begun = is_finished || job.state.is_at_the_bench();
        assert_eq!(done == due, is_finished, "job {}: {done} of {due}", job.number);
        assert_eq!(done > 0, is_begun, "job {}: {done} of {due}", job.number);
    }
}

#[tokio::test]
async fn one_finished_reading_is_out_of_tolerance_and_says_what_to_do() {
    let place = filled().await;
    let dossiers = place.dossiers().await;
    let mut off = Vec::new();
    let (mut passed, mut at_the_limit) = (0, 0);
    for (dossier, job) in jobs(&dossiers) {
        for tick in dossier.ticks.iter().map(|kept| &kept.record) {
            let Some((_, check)) = job.work.check(&tick.step) else { continue };
            match check.judge(tick.value_si.unwrap()) {
                Verdict::Passes => passed += 1,
                Verdict::AtTheLimit => at_the_limit += 1,
                Verdict::Off(what) => off.push((dossier.golfer.record.name.as_str(), tick, what)),
            }
        }
    }
    // 4 + 3 + 5 finished clubs and one first club, four readings each, less the one that is off
    assert_eq!((passed, at_the_limit), (51, 0));
    let [(name, tick, what)] = off.as_slice() else { panic!("{off:?}") };
    assert_eq!((*name, tick.step.as_str()), ("Marta Lindqvist", "7 iron: swingweight"));
    assert_eq!(tick.typed.as_deref(), Some("D1"));
    assert!(!what.is_empty());
}

#[tokio::test]
async fn what_was_read_of_finished_clubs_is_known_of_them_and_how_they_came_stays() {
    let place = filled().await;
    let maeve = place.dossier("Maeve Brannigan").await;
    let seven = maeve.club_named("7 iron").unwrap();
    let typed = |reading: Option<&studio::Reading>| reading.map(|reading| reading.typed.clone()).unwrap();
    assert_eq!(typed(maeve.as_it_came(&seven, Field::ClubLength)), "36 1/4 in");
    assert_eq!(typed(maeve.club_reading(&seven, Field::ClubLength)), "36 7/8 in");
    assert_eq!(typed(maeve.club_reading(&seven, Field::Condition)), "already extended");
    // Marta's first club was read and is not checked yet: the bench's reading is not the club's
    let marta = place.dossier("Marta Lindqvist").await;
    let seven = marta.club_named("7 iron").unwrap();
    assert_eq!(typed(marta.club_reading(&seven, Field::ClubLength)), "36 3/4 in");
}

#[tokio::test]
async fn finished_clubs_are_at_their_targets_and_nothing_more_is_planned() {
    let place = filled().await;
    for name in ["Edwin Achterberg", "Maeve Brannigan", "Benita Okafor"] {
        let dossier = place.dossier(name).await;
        let plan = dossier.plan(&place.house, TODAY).unwrap();
        assert!(plan.job.is_empty(), "{name}: {:?}", plan.job.sections);
    }
}

#[tokio::test]
async fn every_kind_of_due_thing_is_due() {
    let place = filled().await;
    let due = place.store.due(TODAY, NOW_MS).await.unwrap();
    let found: Vec<(&str, DueKind)> = due.iter().map(|due| (due.name.as_str(), due.kind)).collect();
    assert_eq!(
        found,
        [
            ("Maeve Brannigan", DueKind::FollowUp),
            ("Benita Okafor", DueKind::Ready),
            ("Karel Dvořák", DueKind::WaitingForParts),
            ("Marta Lindqvist", DueKind::OnTheBench),
            ("Tendai Moyo", DueKind::Cured),
        ]
    );
    assert!(due[0].day.unwrap() < TODAY);
    let cured_ms = due[4].cured_ms.unwrap();
    assert!(cured_ms <= NOW_MS && NOW_MS - cured_ms <= HOUR_MS, "cured earlier today");
}
