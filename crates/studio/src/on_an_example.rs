//! What a setting of the house changes, shown on an example: the same golfer and clubs under the old house and the new.

use crate::{CardText, Field, HouseSettings, Money, Setting, Share};
use bench::SetPlan;
use jiff::ToSpan;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// The clubs of the example.
const CLUBS: &str = include_str!("example_set.toml");

/// One thing that is said of the example, under one house and under another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChangedLine {
    /// What it is about.
    pub about: String,
    /// Under the house as it is; `None` where nothing is said.
    pub before: Option<String>,
    /// Under the house as it would be.
    pub after: Option<String>,
}

/// Says what changes on the example when a house becomes another. `setting` is the one that was changed.
#[must_use]
pub fn changes_on_an_example(
    setting: &Setting,
    before: &HouseSettings,
    after: &HouseSettings,
    today: Date,
) -> Vec<ChangedLine> {
    let (mut old, mut new) = (lines(before, today), lines(after, today));
    for (house, lines) in [(before, &mut old), (after, &mut new)] {
        lines.extend(said_of(setting, house, today).map(|(about, said)| ((0, about), said)));
    }
    let mut abouts: Vec<&(usize, String)> = old.keys().chain(new.keys()).collect();
    abouts.sort_unstable();
    abouts.dedup();
    abouts
        .into_iter()
        .filter(|about| old.get(*about) != new.get(*about))
        .map(|about| ChangedLine {
            about: about.1.clone(),
            before: old.get(about).cloned(),
            after: new.get(about).cloned(),
        })
        .collect()
}

/// What is said of the example, in the order in which it is read.
type Lines = BTreeMap<(usize, String), String>;

fn lines(house: &HouseSettings, today: Date) -> Lines {
    let card = CardText::of_example(house, CLUBS);
    match card.read(today).and_then(|card| card.plan()) {
        Ok(plan) => lines_of(&plan),
        // a house that cannot be is told where it is saved
        Err(_) => Lines::new(),
    }
}

fn lines_of(plan: &SetPlan) -> Lines {
    let mut lines = Lines::new();
    lines.insert((1, "six-iron".to_owned()), crate::target_words(plan));
    for (place, club) in plan.clubs.iter().enumerate() {
        let Some(outcome) = club.chosen() else { continue };
        let mut said = outcome.way.words();
        if let Some(held) = outcome.held(plan.house.hold).and_then(|remedy| remedy.fix.short()) {
            said += &format!(", {held}");
        }
        if let Some(reason) = outcome.standing.reason() {
            said += &format!(", {}: {reason}", outcome.standing.words());
        }
        lines.insert((2 + place, club.club.name.clone()), said);
        let open =
            club.ways.iter().filter(|outcome| !matches!(outcome.standing, bench::Standing::Refused(_)));
        let kinds: Vec<&str> = open.map(|outcome| outcome.way.kind().words()).collect();
        lines.insert((50 + place, format!("{}, ways open", club.club.name)), kinds.join(", "));
        if let Some(target) = &club.target {
            lines.insert(
                (2 + place, format!("{}, target", club.club.name)),
                target.build.to_step(quantity::InchStep::Sixteenth).to_string(),
            );
        }
    }
    let job = &plan.job;
    for section in &job.sections {
        for (place, step) in section.operations.iter().enumerate() {
            let about = format!("{}, step {}", section.kind.words(), place + 1);
            lines.insert((100, about), format!("{} {}", step.what, step.look_for).trim().to_owned());
        }
    }
    for part in &job.parts {
        lines.insert(
            (200, format!("part: {}", part.what)),
            format!("{} and {} over", part.needed, part.spare),
        );
    }
    lines.insert(
        (300, "at the bench".to_owned()),
        format!("{} min, then {} h of cure", job.minutes, job.cure_hours),
    );
    lines
}

/// What a setting of the studio itself says, which no plan knows of.
fn said_of(setting: &Setting, house: &HouseSettings, today: Date) -> Option<(String, String)> {
    let value = house.value(setting.key).to_owned();
    let (about, said) = match setting.key {
        "name" | "address" => ("head of a sheet", value),
        "fitter" => ("beside a reading", format!("31 in, {}, {value}", house.dates().day(today))),
        "dates" => ("today", house.dates().day(today)),
        "units" => {
            let read = Field::KnuckleHeight.read("33", house.units());
            (
                "33 in a length field",
                read.map_or_else(|error| format!("refused: {error}"), |read| read.read_back),
            )
        }
        "follow_up_after" => {
            let due = today.checked_add(house.follow_up_days().days()).unwrap_or(today);
            ("handed over today, seen again", house.dates().day(due))
        }
        key if key == "currency" || key.starts_with("price.") => {
            return Some(said_of_prices(setting, house, today));
        }
        _ => return None,
    };
    Some((about.to_owned(), said))
}

/// What a price does to a job of 100 in labour and parts.
fn said_of_prices(setting: &Setting, house: &HouseSettings, today: Date) -> (String, String) {
    let value = house.value(setting.key);
    let hundred = Money::cents(10_000);
    let of_hundred =
        || Share::parse(value).map_or_else(|_| "none".to_owned(), |share| hundred.share(share).to_string());
    let (about, said) = match setting.key {
        "currency" => ("an amount", format!("{value} {hundred}").trim_start().to_owned()),
        "price.tax" => ("tax on 100.00", of_hundred()),
        "price.deposit" => ("deposit on 100.00", of_hundred()),
        "price.rush" => ("put on 100.00", of_hundred()),
        "price.minimum" => {
            let least = Money::parse(value).unwrap_or_default();
            ("a job of 10.00 comes to", least.max(Money::cents(1_000)).to_string())
        }
        "price.valid" => {
            let days = crate::house::days(value).unwrap_or_default();
            ("quoted today, holds until", house.dates().day(today.checked_add(days.days()).unwrap_or(today)))
        }
        _ => {
            return (
                setting.label.to_lowercase(),
                if value.is_empty() { "no price".to_owned() } else { value.to_owned() },
            );
        }
    };
    (about.to_owned(), said)
}

#[cfg(test)]
mod tests {
    use super::changes_on_an_example;
    use crate::{HouseSettings, SETTINGS};
    use jiff::civil::date;

    /// Every setting, moved to another value it can have, shows on the example.
    #[test]
    fn every_setting_shows_on_the_example() {
        let other = |key: &str| match key {
            "name" | "address" | "fitter" => "The Long Room",
            "units" => "metric",
            "dates" => "Deutsch",
            "follow_up_after" => "14 days",
            "round_to" => "1/16 in",
            "leave_within" => "1 in",
            "iron_step" => "3/8 in",
            "first_wedge_step" => "1/4 in",
            "wedge_step" => "1/2 in",
            "spread" => "0.6 in",
            "plain_extension" => "1/8 in",
            "caution_extension" => "5/8 in",
            "most_extension" => "1 in",
            "least_steel_shaft" => "130 g",
            "least_graphite_shaft" => "90 g",
            "cure_hours" => "36",
            "plain_cut" => "1/8 in",
            "most_cut" => "1 in",
            "most_grip_down" => "1/8 in",
            "cap" => "1/4 in",
            "new_grip_mass" => "60 g",
            "hold" => "neither",
            "tip_weights" => "3 g",
            "tapes" => "0.2 g",
            "most_tape" => "1 in",
            "butt_weights" => "3 g",
            "butt_weight_at" => "3 in",
            "most_butt_weight" => "4 g",
            "currency" => "EUR",
            "price.tax" | "price.deposit" | "price.rush" => "15 %",
            "price.set_discount" => "10 % from 8 clubs",
            "price.valid" => "14 days",
            key if key.starts_with("price.") => "22.50",
            _ => "0.5 deg",
        };
        let usual = HouseSettings::usual();
        let today = date(2026, 11, 25);
        let silent: Vec<&str> = SETTINGS
            .iter()
            .filter(|setting| {
                let after = match usual.with(setting.key, other(setting.key)) {
                    Ok(after) => after,
                    Err(error) => panic!("{}: {error}", setting.key),
                };
                changes_on_an_example(setting, &usual, &after, today).is_empty()
            })
            .map(|setting| setting.key)
            .collect();
        assert!(silent.is_empty(), "{silent:?} change nothing on the example");
    }

    #[test]
    fn the_same_house_changes_nothing() {
        let usual = HouseSettings::usual();
        for setting in SETTINGS {
            assert!(changes_on_an_example(setting, &usual, &usual, date(2026, 11, 25)).is_empty());
        }
    }
}
