//! The plan as text, readable in a terminal of 80 columns.

use bench::{ClubPlan, Outcome, Remedy, SetPlan, Standing, State, WayKind};
use club::rules::LengthRule;
use comfy_table::{CellAlignment, ContentArrangement, Table, presets};
use quantity::{InchStep, Mass, Printed};

const WIDTH: usize = 80;
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
    let parts = [who(plan), target(plan), set(plan), clubs(plan, detail), job(plan), closing(plan)];
    parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join("\n")
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
    let built = target.six_iron.value.rounded_to(plan.house.round_to);
    let readings = match target.readings {
        1 => "1 reading".to_owned(),
        several => format!("{several} readings"),
    };
    let shoes = plan.golfer.readings.shoes.words();
    let mut text = format!(
        "SIX-IRON  {}   ± {}, {} in 100{}\n",
        built.with_metric(STEP),
        target.six_iron.half_width.to_step(STEP),
        target.six_iron.level_percent,
        if target.is_for_a_growing_golfer() { ", FOR AN ADULT" } else { "" },
    );
    let most = if target.sd_from_readings < target.rule.spread_sd {
        format!(
            "Most of the interval is the rule's own spread, sd {}",
            target.rule.spread_sd.decimal_inches(2)
        )
    } else {
        format!(
            "Most of the interval comes from readings that differ; the rule's own spread is sd {}",
            target.rule.spread_sd.decimal_inches(2)
        )
    };
    text += &wrapped(&format!(
        "By the length rule (common practice) from a knuckle height of {} {shoes}, {readings}; {} before rounding to {}. \
         {most} (assumption). A starting value: strikes over days decide.",
        target.knuckle_height.with_metric(STEP),
        target.six_iron.value.decimal_inches(3),
        plan.house.round_to.length().to_step(InchStep::ThirtySecond),
    ));
    let mut notes: Vec<String> = target.warnings.iter().map(ToString::to_string).collect();
    if let Some(belief) = target.belief.filter(|belief| !belief.asks_to_measure_again()) {
        notes.push(format!(
            "Believable beside {}: {:.1} standard deviations from what that predicts.",
            belief.predictor.words(),
            belief.z.abs()
        ));
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
                target.build.to_step(STEP).number(),
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
    format!(
        "THE SET\n{}\n{}",
        aligned(table, &[1, 2, 3, 4]),
        wrapped(
            "Gap: what is missing to the target (+ too short). Pitches: the gap in groove pitches of the head."
        )
    )
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

fn one_club(plan: &SetPlan, club: &ClubPlan) -> String {
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
        table.add_row(way_row(outcome, choice.chosen == index, is_off_scale));
    }
    text += &format!("{}\n", aligned(table, &[1, 2, 3, 4, 5, 6, 7, 8]));
    text += &item(&format!("{}. {}", chosen.way.words(), choice.why));
    text += &item(&format!("Not {}: {}", runner_up.way.kind().words(), choice.why_not));
    for reason in club.ways.iter().filter(|outcome| *outcome != chosen).filter_map(limit) {
        text += &item(&reason);
    }
    text += &holds(plan, chosen);
    text += &lie_note(plan, club);
    if let Some(missing) = club.grip_thicker_by {
        text += &item(&format!(
            "Grip by core and butt: {} {} than the hand's size would be.",
            missing.abs().to_step(InchStep::ThirtySecond),
            if missing.as_inches() > 0.0 { "thinner" } else { "thicker" }
        ));
    }
    if club.length_rule() != LengthRule::AppearsToFit {
        text += &item(club.length_rule().sentence());
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

fn way_row(outcome: &Outcome, is_chosen: bool, as_moment: bool) -> [String; 9] {
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
        if outcome.cures { format!("{}+cure", outcome.minutes) } else { outcome.minutes.to_string() },
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
    item(&format!(
        "Lie {} now; the trade's rule says {}. Left unbent the face points {} (hands kept at their height) to {} (ball kept \
         at its distance). Bend nothing before sole marks from three days.",
        club.club.lie.degrees_printed(1),
        lie.by_trade_rule.degrees_printed(1),
        side(face.keeping_hand_height),
        side(face.keeping_ball_distance),
    ))
}

fn job(plan: &SetPlan) -> String {
    let job = &plan.job;
    let mut text = "THE JOB\n".to_owned();
    if let Some(reason) = job.waits_for {
        text += &wrapped(&format!(
            "HOLD. {reason} Overrule it with a reason: overruled = \"...\" under [golfer]."
        ));
    }
    if job.is_empty() {
        return text + "Nothing to do at the bench.\n";
    }
    if let Some(first) = &job.first_club {
        let cure = if job.cure_hours > 0 {
            format!("; {} h to cure, for the first club and again for the rest", job.cure_hours)
        } else {
            String::new()
        };
        text += &wrapped(&format!(
            "{first} first; the rest when it has been hit. {} min at the bench{cure}.",
            job.minutes
        ));
    }
    for section in &job.sections {
        let clubs: Vec<&str> = section.clubs.iter().map(|club| club.name.as_str()).collect();
        text += &wrapped(&format!("{}: {}", section.kind.heading(), clubs.join(", ")));
        for word in section.to_be_said() {
            text += &item(&format!("{}, {}: {}", word.clubs.join(", "), word.kind, word.text));
        }
        for (index, step) in section.operations.iter().enumerate() {
            let look_for =
                if step.look_for.is_empty() { String::new() } else { format!(" - {}", step.look_for) };
            text += &numbered(index + 1, &format!("{}{look_for}", step.what));
            for caution in &step.cautions {
                text += &indented(&format!("Caution: {caution}"), "      ", "      ");
            }
        }
    }
    if !job.parts.is_empty() {
        text += "Parts:\n";
        for part in &job.parts {
            let spare = if part.spare > 0 { format!(" + {} spare", part.spare) } else { String::new() };
            text += &item(&format!("{}{spare}: {}", part.needed, part.words()));
        }
    }
    text
}

fn closing(plan: &SetPlan) -> String {
    let assumed: Vec<&str> = plan
        .clubs
        .iter()
        .filter(|club| !club.club.assumed.is_empty())
        .map(|club| club.club.name.as_str())
        .collect();
    let mut text = String::new();
    if !assumed.is_empty() {
        text += &wrapped(&format!(
            "Taken from common practice where the card says nothing ({}): listed on the job sheet and under --json.",
            assumed.join(", ")
        ));
    }
    text + &wrapped(
        "Lengths appear to fit the rule on length unless said; the committee decides. This works out club sizes; it does \
         not judge or treat pain.",
    )
}

fn new_table(header: &[&str]) -> Table {
    let mut table = Table::new();
    table
        .load_style(presets::NOTHING)
        .set_content_arrangement(ContentArrangement::Disabled)
        .set_header(header.iter().copied());
    table
}

/// Prints a table with numbers to the right and no space at the line ends.
fn aligned(mut table: Table, right: &[usize]) -> String {
    for column in right {
        if let Some(column) = table.column_mut(*column) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    for column in table.column_iter_mut() {
        column.set_padding((0, 1));
    }
    table.to_string().lines().map(str::trim_end).collect::<Vec<_>>().join("\n")
}

fn wrapped(text: &str) -> String {
    indented(text, "", "")
}

fn item(text: &str) -> String {
    indented(text, "  - ", "    ")
}

fn numbered(number: usize, text: &str) -> String {
    indented(text, &format!("  {number:>2}. "), "      ")
}

/// Breaks a text at spaces so that no line is over the width.
fn indented(text: &str, first: &str, others: &str) -> String {
    let mut lines = String::new();
    let mut line = first.to_owned();
    let mut is_empty = true;
    for word in text.split_whitespace() {
        if !is_empty && line.chars().count() + 1 + word.chars().count() > WIDTH {
            lines += line.trim_end();
            lines.push('\n');
            others.clone_into(&mut line);
            is_empty = true;
        }
        if !is_empty {
            line.push(' ');
        }
        line += word;
        is_empty = false;
    }
    lines + line.trim_end() + "\n"
}
