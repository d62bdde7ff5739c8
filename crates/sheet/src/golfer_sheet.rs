//! The golfer's own sheet: what was measured, what it says and how sure, what is done, in plain words.

mod clubs;

use crate::figure::ladder;
use crate::letterhead::Letterhead;
use crate::page::page;
use crate::words::{self, length, length_with_metric, list, paragraphs, rich};
use bench::{PartLine, SetPlan, Standing, WayKind, WhySaid};
use clubs::clubs;
use jiff::civil::Date;
use maud::{Markup, html};

/// Writes the golfer's sheet as a whole HTML document.
#[must_use]
pub fn golfer_sheet(plan: &SetPlan, day: Date, letterhead: &Letterhead<'_>) -> String {
    let title =
        format!("Length of your irons, {}, {}, Lengthwise", plan.golfer.name, letterhead.dates.day(day));
    page(&title, &golfer_sheet_content(plan, day, letterhead))
}

/// Writes what stands on the golfer's sheet, for a page that brings its own shell.
#[must_use]
pub fn golfer_sheet_content(plan: &SetPlan, day: Date, letterhead: &Letterhead<'_>) -> Markup {
    let is_growing = plan.target.is_for_a_growing_golfer();
    html! {
            (head(plan, day, letterhead))
            @if let Some(reason) = plan.job.waits_for { p class="hold" { "Hold. " (reason) } }
            @if let Some(reason) = &plan.golfer.overruled { p class="note care" { "Taken all the same: " (reason) "." } }
            @if is_growing { (answer_for_the_growing(plan)) } @else { (answer(plan)) }
            @if let Some(figure) = ladder(plan).filter(|_| !is_growing) {
                h2 { "Your set" }
                figure class="keep" { (figure) }
            }
            (clubs(plan))
            (what_it_means(plan))
            (care(plan))
    }
}

fn head(plan: &SetPlan, day: Date, letterhead: &Letterhead<'_>) -> Markup {
    html! {
        header class="top" {
            div {
                p class="kind" { "Length of your irons" }
                h1 { (plan.golfer.name) }
                p class="soft" { "plays " (plan.golfer.plays.words()) }
                (letterhead.lines())
            }
            dl class="facts" {
                dt { "Date" } dd { (letterhead.dates.day(day)) }
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
        section class="answer" {
            p class="soft" { (words::STARTING_POINT) }
            p class="big" { (words::answer(built, &target.six_iron)) }
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
        section class="answer" {
            @if let Some(chart) = target.junior {
                (words::usual_seven_iron(&chart))
            } @else {
                p class="soft" { "A growing golfer" }
                p class="lead" { "Measure the height too: a junior chart goes by it." }
            }
            @for warning in &target.warnings { p class="note care" { (rich(&warning.to_string())) } }
            @if let Some(grip) = &target.grip { p class="note" { (rich(&grip.sentence())) } }
        }
    }
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
    let limits = plan.job.sections.iter().flat_map(|section| section.to_be_said());
    let limits = limits.filter(|word| matches!(word.why, WhySaid::Caution | WhySaid::Acceptance));
    texts.extend(limits.map(|word| format!("{}: {}.", list(&word.clubs), word.text)));
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
    let has_lead = plan.job.parts.iter().any(PartLine::is_lead);
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
            @for said in plan.rule_on_length() { p { (said) } }
        }
    }
}
