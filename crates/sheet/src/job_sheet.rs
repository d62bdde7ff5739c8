//! The bench's job sheet: what to do to which club, in what order, what it should then read.

mod work;

use crate::figure::{BEFORE_AFTER_MARKS, BEFORE_AFTER_NAME, before_after, club as club_figure};
use crate::letterhead::Letterhead;
use crate::page::page;
use crate::words::{length, list, rich};
use bench::{Hold, Job, SetPlan, WayKind};
use club::hold::Held;
use jiff::civil::Date;
use maud::{Markup, html};
use quantity::InchStep;
use work::work;

/// Writes the bench's job sheet as a whole HTML document.
#[must_use]
pub fn job_sheet(plan: &SetPlan, day: Date, letterhead: &Letterhead<'_>) -> String {
    let title = format!("Job sheet, {}, {}, Lengthwise", plan.golfer.name, letterhead.dates.day(day));
    page(&title, &job_sheet_content(plan, day, letterhead))
}

/// Writes what stands on the job sheet, for a page that brings its own shell.
#[must_use]
pub fn job_sheet_content(plan: &SetPlan, day: Date, letterhead: &Letterhead<'_>) -> Markup {
    let job = &plan.job;
    html! {
            (head(plan, day, letterhead))
            @if let Some(reason) = job.waits_for { p class="hold" { "Hold. " (reason) } }
            (before_any_work(plan))
            @if job.is_empty() {
                p class="note" { "Nothing to do at the bench." }
                @for why in reasons_to_leave(plan) { p class="note" { (rich(&why)) } }
            }
            (first_club(plan))
            @for section in &job.sections { (work(section, job)) }
            @if let Some(figure) = before_after(plan) {
                h2 { "Before and after" }
                figure class="keep" {
                    div class="wide" tabindex="0" role="group" aria-label=(BEFORE_AFTER_NAME) { (figure) }
                    figcaption class="drags" { (BEFORE_AFTER_MARKS) }
                }
            }
            @if !job.is_empty() {
                div class="pair keep" {
                    section { (parts(job)) }
                    section { (stop_and_ask(job)) }
                }
            }
            (untouched(plan))
            (assumed(plan))
            (closing(plan))
    }
}

fn head(plan: &SetPlan, day: Date, letterhead: &Letterhead<'_>) -> Markup {
    let job = &plan.job;
    let others: Vec<String> = job
        .sections
        .iter()
        .flat_map(|section| &section.clubs)
        .map(|club| club.name.clone())
        .filter(|name| Some(name) != job.first_club.as_ref())
        .collect();
    let what = match (&job.first_club, others.is_empty()) {
        (Some(first), false) => format!("{first} first, then {}", list(&others)),
        (Some(first), true) => first.clone(),
        (None, _) => "No work".to_owned(),
    };
    html! {
        header class="top" {
            div {
                p class="kind" { "Job sheet" }
                h1 { (rich(&what)) }
                p class="soft" { (plan.golfer.name) ", plays " (plan.golfer.plays.words()) }
                (letterhead.lines())
            }
            @if letterhead.has_code() { (letterhead.code()) }
            dl class="facts" {
                dt { "Date" } dd { (letterhead.dates.day(day)) }
                @if !plan.target.is_for_a_growing_golfer() {
                    dt { "Six-iron" } dd { (length(plan.target.six_iron.value.rounded_to(plan.house.round_to))) }
                }
                @if !job.is_empty() { dt { "Holds" } dd { (held(plan.house.hold)) } }
                @if job.minutes > 0 { dt { "Bench" } dd { (job.minutes) " min" } }
                @if job.cure_hours > 0 { dt { "Cure" } dd { (job.cure_hours) " h" } }
            }
        }
    }
}

/// What was odd about the measuring, and what was found on any club, worked on or not.
fn before_any_work(plan: &SetPlan) -> Markup {
    html! {
        @for warning in &plan.target.warnings { p class="note care small" { (rich(&warning.to_string())) } }
        @if let Some(reason) = &plan.golfer.overruled { p class="note care small" { "Taken all the same: " (reason) "." } }
        @for finding in plan.findings() { p class="note care small" { (rich(&finding)) } }
    }
}

/// Why clubs are left, each reason once.
fn reasons_to_leave(plan: &SetPlan) -> Vec<String> {
    let mut reasons: Vec<String> = Vec::new();
    for choice in plan.clubs.iter().filter_map(|club| club.choice.as_ref()) {
        if !reasons.contains(&choice.why) {
            reasons.push(choice.why.clone());
        }
    }
    reasons
}

fn held(hold: Hold) -> &'static str {
    match hold {
        Hold::Number(Held::Swingweight) => "swingweight",
        Hold::Number(Held::Inertia) => "inertia",
        Hold::Neither => "neither number",
    }
}

fn first_club(plan: &SetPlan) -> Markup {
    let first = plan.clubs.iter().find(|club| Some(&club.club.name) == plan.job.first_club.as_ref());
    let drawing = first.and_then(|club| club_figure(club, plan.golfer.plays));
    html! {
        @if let (Some(club), Some(drawing)) = (first, drawing) {
            figure class="keep" {
                div class="wide" tabindex="0" role="group" aria-label=(format!("Drawing of the {}", club.club.name)) { (drawing) }
                figcaption class="drags" {
                    (club.club.name) ", to scale along the shaft; widened across it. Circles: where the masses act. Strokes: balance point, "
                    "short now, long afterwards."
                }
            }
        }
    }
}

fn parts(job: &Job) -> Markup {
    html! {
        h2 { "Parts" }
        @if job.parts.is_empty() { p { "None." } }
        @else {
            table {
                thead { tr { th class="text" { "Order only after a caliper" } th { "Need" } th { "Spare" } } }
                tbody {
                    @for part in &job.parts {
                        tr { td class="text plainly" { (rich(&part.words())) } td { (part.needed) } td { (part.spare) } }
                    }
                }
            }
        }
    }
}

fn stop_and_ask(job: &Job) -> Markup {
    let has_joint =
        job.sections.iter().any(|section| matches!(section.kind, WayKind::Extend | WayKind::OtherShaft));
    html! {
        h2 { "Stop and ask" }
        ul class="plain" { @for text in &job.stop_and_ask { li { (rich(text)) } } }
        @if has_joint {
            p class="note care small" { "Hand over with the warning: stop using a club that creaks or moves. Write date and length on it." }
        }
    }
}

fn untouched(plan: &SetPlan) -> Markup {
    let clubs: Vec<String> = plan
        .clubs
        .iter()
        .filter(|club| club.chosen().is_none_or(|outcome| outcome.way.kind() == WayKind::Leave))
        .map(|club| {
            let why = if club.target.is_none() { " (outside the rule)" } else { "" };
            format!("{} {}{why}", club.club.name, club.club.length().to_step(InchStep::Sixteenth))
        })
        .collect();
    html! {
        @if !clubs.is_empty() {
            h2 { "Not touched" }
            p { (rich(&list(&clubs))) "." }
        }
    }
}

fn assumed(plan: &SetPlan) -> Markup {
    html! {
        @if !grouped(plan).is_empty() {
            section class="keep" {
                h2 { "Taken from common practice, not read" }
                ul class="plain small" {
                    @for (clubs, what) in grouped(plan) { li { b { (clubs) } ": " (rich(&what)) } }
                }
            }
        }
    }
}

/// Clubs that assume the same things share a line.
fn grouped(plan: &SetPlan) -> Vec<(String, String)> {
    let mut lines: Vec<(Vec<String>, String)> = Vec::new();
    for club in plan.clubs.iter().filter(|club| club.target.is_some() && !club.club.assumed.is_empty()) {
        let what: Vec<String> = club
            .club
            .assumed
            .iter()
            .map(|assumption| format!("{} {}", assumption.what, assumption.value))
            .collect();
        let what = what.join(", ");
        match lines.iter_mut().find(|(_, known)| *known == what) {
            Some((names, _)) => names.push(club.club.name.clone()),
            None => lines.push((vec![club.club.name.clone()], what)),
        }
    }
    lines.into_iter().map(|(names, what)| (list(&names), what)).collect()
}

fn closing(plan: &SetPlan) -> Markup {
    html! {
        @if !plan.job.is_empty() {
            div class="sign keep" {
                span { "Done by, date" }
                span { "Checked by another person or next morning" }
            }
        }
        footer {
            @for said in plan.rule_on_length() { p { (said) } }
            p { "This sheet works out club sizes and does not judge or treat pain." }
        }
    }
}
