//! One club with all its ways: what each does, the one to take and why.

use super::STEP;
use crate::report::layout::{aligned, item, new_table, wrapped};
use bench::{ClubPlan, Hold, Outcome, Remedy, SetPlan, Standing, State, WayKind};
use quantity::{InchStep, Mass, Printed};

/// Tells one club with all its ways.
pub(super) fn one_club(plan: &SetPlan, club: &ClubPlan) -> String {
    let (Some(choice), Some(chosen), Some(runner_up)) = (&club.choice, club.chosen(), club.runner_up())
    else {
        return String::new();
    };
    let before = &chosen.before;
    let mut text = format!(
        "{}  {}, {}, balance {}, {}, {}\n",
        club.club.name.to_uppercase(),
        before.length.to_step(STEP),
        before.mass.grams_printed(0),
        before.balance.to_step(STEP),
        before.swingweight,
        before.inertia.kg_cm2_printed(0),
    );
    if !club.club.is_weighed {
        text += "Reckoned from usual parts: weigh it and find its balance point.\n";
    }
    text += &wrapped(&parts(club));
    // below or above the letters every reading of the club is shown as its moment
    let is_off_scale = club.ways.iter().any(|way| way.after.as_held.label(1).contains(' '));
    let scale = if is_off_scale { "in oz" } else { "Scale" };
    let mut table =
        new_table(&["Way", "Length", "Mass", "Balance", scale, "As held", "Inertia", "Lie", "Min"]);
    for (index, outcome) in club.ways.iter().enumerate() {
        table.add_row(way_row(outcome, choice.chosen == index, is_off_scale, plan.house.hold));
    }
    text += &format!("{}\n", aligned(table, &[1, 2, 3, 4, 5, 6, 7, 8]));
    text += &item(&format!("{}. {}", chosen.way.words(), choice.why));
    text += &item(&format!("Not {}: {}", runner_up.way.kind().words(), choice.why_not));
    for reason in club.ways.iter().filter(|outcome| *outcome != chosen).filter_map(limit) {
        text += &item(&reason);
    }
    if chosen.way.kind() != WayKind::Leave {
        text += &holds(plan, chosen);
    }
    text += &lie_note(plan, club);
    if let Some(missing) = club.grip_thicker_by {
        text += &item(&format!(
            "Grip by core and butt: {} {} than the hand's size would be.",
            missing.abs().to_step(InchStep::ThirtySecond),
            if missing.as_inches() > 0.0 { "thinner" } else { "thicker" }
        ));
    }
    text
}

/// Head and shaft: how sure they are is only known where the club was weighed and its grip with it.
fn parts(club: &ClubPlan) -> String {
    let (head, shaft) = (&club.club.head.mass, &club.club.shaft.mass);
    if !club.club.is_weighed {
        return format!(
            "head about {}, shaft about {}",
            head.value.grams_printed(0),
            shaft.value.grams_printed(0)
        );
    }
    if !club.club.is_grip_known {
        return format!(
            "head about {}, shaft about {}, the grip's mass being assumed",
            head.value.grams_printed(0),
            shaft.value.grams_printed(0)
        );
    }
    format!(
        "head {} ± {}, shaft {} ± {} ({} in 100)",
        head.value.grams_printed(0),
        head.half_width.grams_printed(1),
        shaft.value.grams_printed(0),
        shaft.half_width.grams_printed(1),
        head.level_percent,
    )
}

fn way_row(outcome: &Outcome, is_chosen: bool, as_moment: bool, hold: Hold) -> [String; 9] {
    let (before, after): (&State, &State) = (&outcome.before, &outcome.after);
    let scale = |reading: club::Swingweight| {
        if as_moment { reading.moment().inch_ounces_printed(1).number() } else { reading.label(1) }
    };
    let lie = outcome.lie.map_or("-".to_owned(), |lie| {
        let (flat, upright) = lie.range();
        if (upright - flat).as_degrees() < 0.05 {
            flat.degrees_printed(1).number()
        } else {
            format!("{}-{}", flat.degrees_printed(1).number(), upright.degrees_printed(1).number())
        }
    });
    [
        format!("{}{}", if is_chosen { "> " } else { "  " }, short_way(outcome)),
        after.length.to_step(STEP).number(),
        after.mass.grams_printed(0).number(),
        after.balance.to_step(STEP).number(),
        scale(after.swingweight),
        scale(after.as_held),
        format!("{:+}", Printed::new(after.inertia_change_from(before) * 100.0, 1, "%")),
        lie,
        format!("{}{}", outcome.minutes_with(hold), if outcome.cures_with(hold) { "+cure" } else { "" }),
    ]
}

/// The way and its amount, without the words a table has no room for.
fn short_way(outcome: &Outcome) -> String {
    let words = outcome.way.words();
    let way = words.split(',').next().unwrap_or(&words);
    way.trim_end_matches(" in").replace("Leave as it is", "Leave")
}

/// A way that is not plain says why.
fn limit(outcome: &Outcome) -> Option<String> {
    match &outcome.standing {
        Standing::Plain => None,
        other => Some(format!("{} {}: {}", outcome.way.words(), other.words(), other.reason()?)),
    }
}

/// What restores each number, the one the house holds marked.
fn holds(plan: &SetPlan, outcome: &Outcome) -> String {
    let one = |remedy: &Remedy, name: &str| {
        if remedy.head_mass.abs() < Mass::grams(0.05) {
            return item(&format!("To hold {name}: nothing, it stays by itself."));
        }
        let mut ways = vec![format!(
            "{} {} at the head",
            if remedy.head_mass < Mass::ZERO { "take off" } else { "add" },
            remedy.head_mass.abs().grams_printed(1)
        )];
        ways.extend(
            remedy.tip_weight.map(|weight| format!("nearest tip weight {}", weight.grams_printed(0))),
        );
        ways.extend(remedy.tapes.iter().map(bench::TapeLength::words));
        ways.extend(remedy.butt_weight.map(|weight| {
            format!("or {} in the butt, which leaves the inertia where it is", weight.grams_printed(1))
        }));
        ways.extend(
            remedy.heavier_grip_by.map(|mass| format!("or a grip {} heavier", mass.grams_printed(0))),
        );
        let is_held = outcome.held(plan.house.hold).is_some_and(|held| held.held == remedy.held);
        let held = if is_held { format!(" Here: {}.", remedy.words()) } else { String::new() };
        item(&format!("To hold {name}: {}.{held}", ways.join("; ")))
    };
    one(&outcome.hold_swingweight, "the swingweight") + &one(&outcome.hold_inertia, "the inertia")
}

fn lie_note(plan: &SetPlan, club: &ClubPlan) -> String {
    let (Some(face), Some(outcome)) = (club.face_if_unbent(), club.chosen()) else {
        return String::new();
    };
    let Some(lie) = outcome.lie.filter(|lie| (lie.by_trade_rule - club.club.lie).abs().as_degrees() > 0.05)
    else {
        return String::new();
    };
    let plays = plan.golfer.plays;
    let side = |angle: quantity::Angle| {
        let side = if angle.as_degrees() >= 0.0 { plays.lead_side() } else { plays.trail_side() };
        format!("{} {side}", angle.abs().degrees_printed(1))
    };
    let source = if club.club.assumes("lie") { " assumed, not read" } else { " now" };
    item(&format!(
        "Lie {}{source}; the trade's rule says {}. Left unbent the face points {} (hands kept at their height) to {} (ball kept \
         at its distance). Bend nothing before sole marks from three days.",
        club.club.lie.degrees_printed(1),
        lie.by_trade_rule.degrees_printed(1),
        side(face.keeping_hand_height),
        side(face.keeping_ball_distance),
    ))
}
