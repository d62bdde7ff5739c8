//! Who the golfers are, and what was found on them and their clubs.

use crate::place::{TODAY, filled};
use fitting::Handedness;
use studio::Field;

#[tokio::test]
async fn they_play_from_both_sides_and_two_are_children() {
    let place = filled().await;
    let dossiers = place.dossiers().await;
    let golfers: Vec<_> = dossiers.iter().map(|dossier| &dossier.golfer.record).collect();
    let left: Vec<&str> = golfers
        .iter()
        .filter(|golfer| golfer.plays == Handedness::Left)
        .map(|golfer| golfer.name.as_str())
        .collect();
    assert_eq!(left, ["Joost Vermeer", "Søren Krogh"]);
    let consent: Vec<(&str, Option<i16>, bool)> = golfers
        .iter()
        .filter(|golfer| golfer.age(TODAY).is_some_and(|age| age < 16))
        .map(|golfer| (golfer.name.as_str(), golfer.age(TODAY), golfer.lacks_consent(TODAY)))
        .collect();
    assert_eq!(consent, [("Pavel Horák", Some(12), false), ("Maisie Thorne", Some(10), true)]);
}

#[tokio::test]
async fn they_are_found_without_their_accents_and_by_telephone() {
    let place = filled().await;
    for (typed, name) in [
        ("lukasz", "Łukasz Wróbel"),
        ("DVORAK", "Karel Dvořák"),
        ("soren", "Søren Krogh"),
        ("07700 900 871", "Tendai Moyo"),
        ("7", "Łukasz Wróbel"),
    ] {
        let hits = place.store.search(typed, 10).await.unwrap();
        let names: Vec<&str> = hits.iter().map(|hit| hit.golfer.name.as_str()).collect();
        assert_eq!(names, [name], "{typed}");
    }
}

#[tokio::test]
async fn the_close_look_found_rust_a_crack_and_an_old_extension() {
    let place = filled().await;
    let mut found = Vec::new();
    for dossier in place.dossiers().await {
        for club in dossier.live_clubs().map(|kept| &kept.record) {
            if let Some(reading) = dossier.as_it_came(&club.id, Field::Condition) {
                found.push(format!("{} {}: {}", dossier.golfer.record.name, club.name, reading.typed));
            }
        }
    }
    found.sort();
    assert_eq!(
        found,
        [
            "Joost Vermeer 4 iron: rusted",
            "Joost Vermeer pitching wedge: cracked",
            "Karel Dvořák 7 iron: already extended"
        ]
    );
}

#[tokio::test]
async fn health_is_written_down_once_and_with_consent_and_much_else_without() {
    let place = filled().await;
    let remarks: Vec<_> = place
        .dossiers()
        .await
        .into_iter()
        .flat_map(|dossier| dossier.remarks)
        .map(|kept| kept.record)
        .collect();
    let about_health: Vec<&str> = remarks
        .iter()
        .filter(|remark| remark.health_consent.is_some())
        .map(|remark| remark.text.as_str())
        .collect();
    assert_eq!(about_health, ["Stiff lower back in the morning; asked to stand taller to the ball."]);
    assert!(remarks.len() >= 7, "{}", remarks.len());
}
