//! The golfer's own sheet: what was measured, what it says and how sure, what is done, in plain words.

use crate::figure::ladder;
use crate::page::page;
use crate::words::{date, length, length_with_metric, paragraphs, plus_minus, rich};
use bench::{ClubPlan, ClubTarget, Feel, Outcome, SetPlan, Standing, WayKind};
use club::Condition;
use jiff::civil::Date;
use maud::{Markup, html};
use quantity::{InchStep, Length};

/// Writes the golfer's sheet as a whole HTML document.
#[must_use]
pub fn golfer_sheet(plan: &SetPlan, day: Date) -> String {
    let is_growing = plan.target.is_for_a_growing_golfer();
    let title = format!("Length of your irons, {}, {}, Lengthwise", plan.golfer.name, date(day));
    page(
        &title,
        &html! {
            (head(plan, day))
            @if is_growing { (answer_for_the_growing(plan)) } @else { (answer(plan)) }
            @if let Some(figure) = ladder(plan).filter(|_| !is_growing) {
                h2 { "Your set" }
                figure class="keep" { (figure) }
            }
            (clubs(plan))
            (what_it_means(plan))
            (care(plan))
        },
    )
}

fn head(plan: &SetPlan, day: Date) -> Markup {
    html! {
        header class="top" {
            div {
                p class="kind" { "Length of your irons" }
                h1 { (plan.golfer.name) }
                p class="soft" { "plays " (plan.golfer.plays.words()) }
            }
            dl class="facts" {
                dt { "Date" } dd { (date(day)) }
                dt { "Knuckle height" } dd class="nowrap" { (length(plan.target.knuckle_height)) }
                dt { "Readings" } dd { (plan.target.readings) }
            }
        }
    }
}

fn answer(plan: &SetPlan) -> Markup {
    let target = &plan.target;
    let built = target.six_iron.value.rounded_to(plan.house.round_to);
    let rest = match target.readings {
        1 => "one reading".to_owned(),
        several => format!("{several} readings"),
    };
    html! {
        section style="margin-top:26px" {
            p class="soft" { "Starting point for a six-iron" }
            p class="big" { (length(built)) " " span class="pm" { (plus_minus(&target.six_iron)) } }
            p class="lead" {
                "From the height of the middle knuckle of your lead hand, " (length_with_metric(target.knuckle_height))
                " above the floor (" (rest) "). The rule is common practice among fitters; how far golfers stray from it is an "
                "assumption and most of the uncertainty. It is a starting value. Your strikes over several days decide."
            }
            @for warning in &target.warnings { p class="note care" { (rich(&warning.to_string())) } }
            @for opinion in &target.opinions { p class="note" { (rich(&opinion.sentence())) } }
            @if let Some(repeat) = target.repeat { p class="note care" { (repeat.sentence()) } }
            @if let Some(grip) = &target.grip { p class="note" { (rich(&grip.sentence())) } }
        }
    }
}

/// A growing golfer's sheet leads with what a junior chart says, never with the adult rule's number.
fn answer_for_the_growing(plan: &SetPlan) -> Markup {
    let target = &plan.target;
    html! {
        section style="margin-top:26px" {
            @if let Some(chart) = target.junior {
                p class="soft" { "Usual seven-iron for this height" }
                p class="big" {
                    (rich(&chart.seven_iron.0.to_step(InchStep::Quarter).number())) " to " (length(chart.seven_iron.1)) " "
                    span class="pm" { "by a junior chart" }
                }
            } @else {
                p class="soft" { "A growing golfer" }
                p class="lead" { "Measure the height too: a junior chart goes by it." }
            }
            @for warning in &target.warnings { p class="note care" { (rich(&warning.to_string())) } }
            @if let Some(grip) = &target.grip { p class="note" { (rich(&grip.sentence())) } }
        }
    }
}

fn clubs(plan: &SetPlan) -> Markup {
    html! {
        table class="stack" style="margin-top:14px" {
            thead { tr { th class="text" { "Club" } th { "Now" } th { "Target" } th class="text" { "What is done, and why" } } }
            tbody { @for club in &plan.clubs { (row(club, plan)) } }
        }
    }
}

fn row(club: &ClubPlan, plan: &SetPlan) -> Markup {
    let now = club.club.length();
    html! {
        tr {
            td { (club.club.name) }
            td class="nowrap" data-is="Now" { (length(now)) }
            @match (&club.target, club.chosen()) {
                (Some(target), Some(outcome)) => {
                    td class="nowrap" data-is="Target" {
                        @if plan.target.is_for_a_growing_golfer() { "–" } @else { (length(target.build)) }
                    }
                    td class="text" {
                        b { (rich(&plain_way(outcome.way.kind(), club.change))) } " "
                        span class="soft" { (in_plain_words(club, outcome, target, plan)) }
                    }
                }
                _ => {
                    td data-is="Target" { "–" }
                    td class="text" { span class="soft" { "Outside this rule: left as it is." } }
                }
            }
        }
    }
}

/// The way in a golfer's words.
fn plain_way(kind: WayKind, change: Length) -> String {
    let by = change.abs().to_step(InchStep::Sixteenth);
    match kind {
        WayKind::Leave => "Stays as it is.".to_owned(),
        WayKind::GripDown => format!("Hold it {by} lower."),
        WayKind::Cut => format!("Shortened by {by}."),
        WayKind::Extend => format!("Lengthened by {by}."),
        WayKind::Regrip => "A new grip.".to_owned(),
        WayKind::OtherShaft => "A new shaft.".to_owned(),
    }
}

/// How it is done and whether it will be felt, without the bench's words.
fn in_plain_words(club: &ClubPlan, outcome: &Outcome, target: &ClubTarget, plan: &SetPlan) -> String {
    let is_cracked = club.club.is(Condition::Cracked);
    let how = match outcome.way.kind() {
        WayKind::Leave => {
            let why = club.choice.as_ref().map(|choice| choice.why.clone());
            return why.unwrap_or_default();
        }
        WayKind::GripDown => "It costs nothing and can be undone.",
        WayKind::Cut => "At the grip end, with a new grip.",
        WayKind::Extend => "With a piece in the grip end and a new grip.",
        WayKind::Regrip => "",
        WayKind::OtherShaft if is_cracked => "The shaft is cracked: do not play it.",
        WayKind::OtherShaft => "The shaft in the club does not reach.",
    };
    let finished = outcome.finished(plan.house.hold);
    let is_lighter = finished.as_held.points() < outcome.before.as_held.points();
    let side = if is_lighter { "lighter" } else { "heavier" };
    let felt = match Feel::of(&outcome.before, &finished) {
        Feel::ByFew => "The balance stays near enough that most do not feel it.".to_owned(),
        Feel::BySome => format!("Some golfers feel the head a little {side}."),
        Feel::ByMost => format!("The head will feel {side} at first."),
    };
    let heavier = (finished.mass - outcome.before.mass).as_grams();
    let mass = if heavier.abs() >= 10.0 {
        format!(" It weighs {:.0} g {}.", heavier.abs(), if heavier > 0.0 { "more" } else { "less" })
    } else {
        String::new()
    };
    let small = if club.change.abs() <= target.half_width && !is_cracked {
        " A small change against what is known: your strikes decide."
    } else {
        ""
    };
    let accept = if matches!(outcome.standing, Standing::NeedsAcceptance(_)) {
        " Only when you have agreed to it in writing."
    } else {
        ""
    };
    format!("{how} {felt}{mass}{small}{accept}")
}

fn what_it_means(plan: &SetPlan) -> Markup {
    let has = |wanted: &[WayKind]| plan.job.sections.iter().any(|section| wanted.contains(&section.kind));
    let side = plan.golfer.plays;
    let lie = format!(
        "A change of length asks the head's lie to follow, how much depends on where you keep your hands. Delivered too \
         upright an iron points {}, too flat {}. Nothing is bent before sole marks from three days.",
        side.lead_side(),
        side.trail_side()
    );
    let mut texts = Vec::new();
    if has(&[WayKind::GripDown]) {
        texts.push(
            "Holding a club lower costs nothing and can be undone. It feels lighter than the same length made by cutting, and \
             the grip is a little thinner there."
                .to_owned(),
        );
    }
    if has(&[WayKind::Extend, WayKind::Cut, WayKind::OtherShaft]) {
        texts.push("One club is done first. Hit it on at least one day before the others follow.".to_owned());
        texts.push(lie);
    }
    let acceptance = plan.job.clubs().filter(|club| matches!(club.standing, Standing::NeedsAcceptance(_)));
    for club in acceptance {
        if let Some(reason) = club.standing.reason() {
            texts.push(format!("{}: {reason}.", club.name));
        }
    }
    texts.push(
        "What to watch over the next days: where on the face you strike, day by day. A good day can make a wrong length look \
         right, so days count, not balls."
            .to_owned(),
    );
    texts.push("This does not promise distance, and it does not replace a lesson.".to_owned());
    html! {
        section class="keep" {
            h2 { "What it means for you" }
            (paragraphs(texts, "lead"))
        }
    }
}

fn care(plan: &SetPlan) -> Markup {
    let has_joint =
        plan.job.sections.iter().any(|section| matches!(section.kind, WayKind::Extend | WayKind::OtherShaft));
    let has_lead = plan.job.parts.iter().any(|part| part.what.starts_with("Lead tape"));
    html! {
        section class="keep" {
            h2 { "Care" }
            ul class="plain lead" {
                @if has_joint { li { "Stop using a club that creaks or moves, and bring it back." } }
                li { "Do not play a bent, cracked or dented shaft." }
                @if has_lead { li { "The tape on the heads is lead: wash your hands after touching it, keep it from children." } }
                li {
                    "This works out club sizes; it does not judge or treat pain. With back, joint or nerve symptoms, numbness, pain "
                    "down a leg or at night, or after surgery, ask a licensed clinician before changing clubs or swing. Stop when pain "
                    "starts or grows."
                }
            }
        }
        @for club in plan.job.clubs().filter(|club| matches!(club.standing, Standing::NeedsAcceptance(_))) {
            div class="sign keep" { span { (club.name) ": I have been told and agree" } span { "Date" } }
        }
        footer {
            @for club in plan.clubs.iter().filter(|club| club.length_rule() != club::rules::LengthRule::AppearsToFit) {
                p { (club.club.name) ": " (club.length_rule().sentence()) }
            }
            p { "The other lengths appear to fit the rule on length; the committee decides." }
        }
    }
}
