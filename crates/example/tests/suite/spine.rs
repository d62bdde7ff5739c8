//! Where each golfer is on the spine, by the tool's own word.

use crate::place::{TODAY, filled};
use studio::{Field, StationName, StationState};

#[tokio::test]
async fn each_golfer_has_a_next_step_of_their_own() {
    let place = filled().await;
    let next: Vec<(String, StationName, String)> = place
        .dossiers()
        .await
        .into_iter()
        .map(|dossier| {
            let next = dossier.spine(&place.house, TODAY).next;
            (dossier.golfer.record.name, next.at, next.label)
        })
        .collect();
    let next: Vec<(&str, StationName, &str)> =
        next.iter().map(|(name, at, label)| (name.as_str(), *at, label.as_str())).collect();
    assert_eq!(
        next,
        [
            ("Edwin Achterberg", StationName::FollowUp, "Set a day to see again"),
            ("Maeve Brannigan", StationName::FollowUp, "Write down the follow-up"),
            ("Benita Okafor", StationName::Job, "Hand over"),
            ("Joost Vermeer", StationName::Trial, "Go on with the trial"),
            ("Karel Dvořák", StationName::Job, "Go on with the job"),
            ("Marta Lindqvist", StationName::Job, "Go on at the bench"),
            ("Tendai Moyo", StationName::Job, "Go on at the bench"),
            ("Łukasz Wróbel", StationName::Measure, "Measure again"),
            ("Pavel Horák", StationName::Target, "Look at the target"),
            ("Søren Krogh", StationName::Clubs, "Finish the clubs"),
            ("Maisie Thorne", StationName::Clubs, "Write down the clubs"),
            ("Wanjiru Kamau", StationName::Measure, "Take the knuckle height"),
        ]
    );
    for station in StationName::ALL {
        assert!(next.iter().any(|(_, at, _)| *at == station), "{station:?}");
    }
}

#[tokio::test]
async fn every_state_of_a_station_is_to_be_seen() {
    let place = filled().await;
    let dossiers = place.dossiers().await;
    let seen = |name: StationName, state: StationState| {
        dossiers.iter().any(|dossier| {
            let spine = dossier.spine(&place.house, TODAY);
            spine.stations.iter().any(|station| station.name == name && station.state == state)
        })
    };
    use StationName::{Clubs, FollowUp, Job, Measure, Target, Trial};
    use StationState::{Done, InHand, LookAgain, NotStarted};
    for (name, states) in [
        (Measure, vec![NotStarted, Done, LookAgain]),
        (Clubs, vec![NotStarted, InHand, Done]),
        (Target, vec![NotStarted, InHand, Done, LookAgain]),
        (Trial, vec![NotStarted, InHand, Done]),
        (Job, vec![NotStarted, InHand, Done]),
        (FollowUp, vec![NotStarted, InHand, Done, LookAgain]),
    ] {
        for state in states {
            assert!(seen(name, state), "{name:?} {state:?}");
        }
    }
}

#[tokio::test]
async fn who_was_measured_has_a_plan_and_only_one_is_to_be_measured_again() {
    let place = filled().await;
    let mut planned = 0;
    for dossier in place.dossiers().await {
        let name = &dossier.golfer.record.name;
        if dossier.body(Field::KnuckleHeight).is_empty() {
            assert_eq!(name, "Wanjiru Kamau");
            continue;
        }
        let plan = dossier.plan(&place.house, TODAY);
        let plan = plan.unwrap_or_else(|problems| panic!("{name}: {problems:?}"));
        assert_eq!(plan.clubs.len(), dossier.clubs_with_length().count(), "{name}");
        assert_eq!(plan.job.waits_for.is_some(), name == "Łukasz Wróbel", "{name}");
        planned += 1;
    }
    assert_eq!(planned, 11);
}

/// Two readings in shoes, 30 and 29 7/8 in: 37 + (29.9375 - 28) / 4 = 37.48, built to 1/8 in 37 1/2. The one of the
/// lesson, 33 3/4 in, would be 37 + 5.75 / 4 = 38.44, built 38 1/2.
#[tokio::test]
async fn a_doubtful_reading_puts_the_kept_target_in_doubt_and_leaves_the_agreed_job() {
    let place = filled().await;
    let spine = place.dossier("Łukasz Wróbel").await.spine(&place.house, TODAY);
    let [measure, _, target, _, job, _] = &spine.stations;
    assert_eq!((measure.state, measure.number.as_str()), (StationState::LookAgain, "33 3/4 in"));
    assert_eq!(target.state, StationState::LookAgain);
    assert!(target.number.starts_with("38 1/2 in ±"), "{}", target.number);
    assert!(target.basis.starts_with("kept as 37 1/2 in ±"), "{}", target.basis);
    assert_eq!((job.state, job.number.as_str()), (StationState::InHand, "job 7, agreed"));
}
