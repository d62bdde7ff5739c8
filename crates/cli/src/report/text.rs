//! The plan as text, readable in a terminal of 80 columns.

mod job;
mod one_club;

use super::layout::{aligned, item, new_table, wrapped};
use bench::{ClubPlan, ClubTarget, SetPlan, TargetBasis, WayKind};
use job::job;
use one_club::one_club;
use quantity::{InchStep, Printed};

const STEP: InchStep = InchStep::Sixteenth;

/// How many clubs are told with all their ways.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Detail {
    /// The one that goes first.
    FirstClub,
    /// Every one that is worked on.
    AllClubs,
}

/// Writes the whole report.
pub(crate) fn report(plan: &SetPlan, detail: Detail) -> String {
    let parts =
        [hold(plan), who(plan), target(plan), set(plan), clubs(plan, detail), job(plan), closing(plan)];
    parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join("\n")
}

/// What stops all work stands before everything else.
fn hold(plan: &SetPlan) -> String {
    let Some(reason) = plan.job.waits_for else { return String::new() };
    wrapped(&format!("HOLD. {reason} Overrule it with a reason: overruled = \"...\" under [golfer]."))
}

fn who(plan: &SetPlan) -> String {
    let golfer = &plan.golfer;
    let speed = golfer
        .head_speed
        .map(|speed| format!(", head speed {} with the {}", speed.speed.mph_printed(0), speed.club));
    format!("{}, plays {}{}\n", golfer.name, golfer.plays.words(), speed.unwrap_or_default())
}

fn target(plan: &SetPlan) -> String {
    let target = &plan.target;
    let mut text = match (target.is_for_a_growing_golfer(), &target.junior) {
        (false, _) => by_the_rule(plan),
        (true, Some(chart)) => format!(
            "SEVEN-IRON  {} to {}, by a junior chart of common practice\n",
            chart.seven_iron.0.to_step(STEP),
            chart.seven_iron.1.to_step(STEP)
        ),
        (true, None) => "A GROWING GOLFER  no chart without a stature\n".to_owned(),
    };
    let mut notes: Vec<String> = target.warnings.iter().map(ToString::to_string).collect();
    if let Some(belief) = target.belief.filter(|belief| !belief.asks_to_measure_again()) {
        notes.push(belief.sentence());
    }
    notes.extend(plan.golfer.overruled.iter().map(|reason| format!("Taken all the same: {reason}.")));
    notes.extend(target.opinions.iter().map(fitting::Opinion::sentence));
    notes.extend(target.repeat.map(|repeat| repeat.sentence().to_owned()));
    notes.extend(target.grip.as_ref().map(fitting::GripAdvice::sentence));
    for note in notes {
        text += &item(&note);
    }
    text
}

/// The six-iron by the length rule, how sure it is, and where that comes from.
fn by_the_rule(plan: &SetPlan) -> String {
    let target = &plan.target;
    let readings = match target.readings {
        1 => "1 reading".to_owned(),
        several => format!("{several} readings"),
    };
    let spread = target.rule.spread_sd.decimal_inches(2);
    let most = if target.sd_from_readings < target.rule.spread_sd {
        format!("Most of the interval is the rule's own spread, sd {spread}")
    } else {
        format!("Most of the interval comes from readings that differ; the rule's own spread is sd {spread}")
    };
    let head = format!(
        "SIX-IRON  {}   ± {}, {} in 100\n",
        target.six_iron.value.rounded_to(plan.house.round_to).with_metric(STEP),
        target.six_iron.half_width.to_step(STEP),
        target.six_iron.level_percent,
    );
    head + &wrapped(&format!(
        "By the length rule (common practice) from a knuckle height of {} {}, {readings}; {} before rounding to {}. \
         {most} (assumption). A starting value: strikes over days decide.",
        target.knuckle_height.with_metric(STEP),
        plan.golfer.readings.shoes.words(),
        target.six_iron.value.decimal_inches(3),
        plan.house.round_to.length().to_step(InchStep::ThirtySecond),
    ))
}

fn set(plan: &SetPlan) -> String {
    if plan.clubs.is_empty() {
        return "THE SET\nNo clubs on the card: add one [[club]] for each.\n".to_owned();
    }
    let mut table = new_table(&["Club", "Now in", "Target", "Gap", "Pitches", "What to do"]);
    for club in &plan.clubs {
        let now = club.club.length().to_step(STEP).number();
        let name: String = club.club.name.chars().take(18).collect();
        let row = match (&club.target, club.gap(), club.gap_in_groove_pitches(), club.chosen()) {
            (Some(target), Some(gap), Some(grooves), Some(outcome)) => [
                name,
                now,
                wanted(target),
                format!("{}{}", plus(gap), gap.to_step(STEP).number()),
                Printed::new(grooves, 1, "").number(),
                outcome.way.words(),
            ],
            _ => [
                name,
                now,
                "-".to_owned(),
                "-".to_owned(),
                "-".to_owned(),
                "outside the rule, untouched".to_owned(),
            ],
        };
        table.add_row(row);
    }
    let explained = wrapped(
        "Gap: what is missing to the target (+ too short). Pitches: the gap in groove pitches of the head.",
    );
    format!("THE SET\n{}\n{explained}{}", aligned(table, &[1, 2, 3, 4]), findings(plan))
}

/// What a close look found, on every club of the bag.
fn findings(plan: &SetPlan) -> String {
    plan.findings().iter().map(|finding| item(finding)).collect()
}

/// The length to build; by a junior chart any in its range is right.
fn wanted(target: &ClubTarget) -> String {
    match target.basis {
        TargetBasis::LengthRule => target.build.to_step(STEP).number(),
        TargetBasis::JuniorChart => {
            let (least, most) = target.range();
            format!("{} to {}", least.to_step(STEP).number(), most.to_step(STEP).number())
        }
    }
}

/// The plus of a gap that is not nothing.
fn plus(gap: quantity::Length) -> &'static str {
    let reading = gap.to_step(STEP);
    if reading.is_negative { "" } else { reading.sign(true) }
}

fn clubs(plan: &SetPlan, detail: Detail) -> String {
    let off: Vec<&ClubPlan> = plan.clubs.iter().filter(|club| is_off_or_worked_on(club)).collect();
    let is_first = |club: &&&ClubPlan| Some(&club.club.name) == plan.job.first_club.as_ref();
    let first = off.iter().find(is_first).or_else(|| off.first());
    match detail {
        Detail::AllClubs => off.iter().map(|club| one_club(plan, club)).collect::<Vec<_>>().join("\n"),
        Detail::FirstClub => first.map(|club| one_club(plan, club)).unwrap_or_default(),
    }
}

fn is_off_or_worked_on(club: &ClubPlan) -> bool {
    let is_worked_on = club.chosen().is_some_and(|outcome| outcome.way.kind() != WayKind::Leave);
    is_worked_on || club.change != quantity::Length::ZERO
}

fn closing(plan: &SetPlan) -> String {
    let assumed: Vec<&str> = plan
        .clubs
        .iter()
        .filter(|club| club.target.is_some() && !club.club.assumed.is_empty())
        .map(|club| club.club.name.as_str())
        .collect();
    let mut text = String::new();
    if !assumed.is_empty() {
        text += &wrapped(&format!(
            "Taken from common practice where the card says nothing ({}): listed on the job sheet and under --json.",
            assumed.join(", ")
        ));
    }
    for said in plan.rule_on_length() {
        text += &wrapped(&said);
    }
    text + &wrapped("This works out club sizes; it does not judge or treat pain.")
}
