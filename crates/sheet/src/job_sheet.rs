//! The bench's job sheet: what to do to which club, in what order, what it should then read.

use crate::figure::{before_after, club as club_figure};
use crate::page::page;
use crate::words::{change, date, length, list, rich};
use bench::{ClubCheck, Fix, Hold, Job, Operation, Section, SetPlan, Standing, State, Way, WayKind};
use club::hold::Held;
use jiff::civil::Date;
use maud::{Markup, html};
use quantity::{InchStep, Length};

/// Writes the bench's job sheet as a whole HTML document.
#[must_use]
pub fn job_sheet(plan: &SetPlan, day: Date) -> String {
    let job = &plan.job;
    let title = format!("Job sheet, {}, {}, Lengthwise", plan.golfer.name, date(day));
    page(
        &title,
        &html! {
            (head(plan, day))
            @if let Some(reason) = job.waits_for { p class="hold" { "Hold. " (reason) } }
            @if job.is_empty() {
                p class="note" { "Nothing to do at the bench." }
                @for why in reasons_to_leave(plan) { p class="note" { (rich(&why)) } }
            }
            (first_club(plan))
            @for section in &job.sections { (work(section, job)) }
            @if let Some(figure) = before_after(plan) {
                h2 { "Before and after" }
                figure class="keep" {
                    div class="wide" tabindex="0" role="group" aria-label="Swingweight and inertia, before and after" { (figure) }
                    figcaption class="drags" {
                        "Dot: as it came. Ring: with the change of length alone. Stroke: as it leaves, with what was added."
                    }
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
        },
    )
}

fn head(plan: &SetPlan, day: Date) -> Markup {
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
            }
            dl class="facts" {
                dt { "Date" } dd { (date(day)) }
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

fn work(section: &Section, job: &Job) -> Markup {
    let first = section.clubs.first().map_or("", |club| club.name.as_str());
    html! {
        section {
            h2 { (section.kind.heading()) }
            (clubs(section, job))
            (to_be_said(section))
            table class="steps stack" style="margin-top:18px" {
                caption { "Steps, with the numbers of the " (first) }
                thead { tr {
                    th { "Step" } th class="text" { "Do" } th class="text" { "Look for" } th class="text" { "Read" } th { "Done" }
                } }
                tbody { @for (index, step) in section.operations.iter().enumerate() { (operation(index + 1, step)) } }
            }
            @if section.kind != WayKind::GripDown { (readings(section)) }
        }
    }
}

/// What is said, or signed for, before the work: limits passed, and what is not brought back whole.
fn to_be_said(section: &Section) -> Markup {
    let has_butt_weight = section.clubs.iter().any(|club| matches!(club.fix, Fix::ButtWeight(_)));
    html! {
        @for word in section.to_be_said() {
            p class="note care small" { b { (list(&word.clubs)) ", " (word.kind) ". " } (rich(&word.text)) "." }
        }
        @if has_butt_weight {
            p class="note small" { "A butt weight brings the scale back to what it read. The inertia stays where the new length puts it." }
        }
        @for club in section.clubs.iter().filter(|club| matches!(club.standing, Standing::NeedsAcceptance(_))) {
            div class="sign keep" { span { (club.name) ": accepted by the golfer, or parent or guardian" } span { "Date" } }
        }
    }
}

/// What every club read as it came and as it leaves, with a place to write it.
fn readings(section: &Section) -> Markup {
    html! {
        table class="stack dense keep" style="margin-top:18px" {
            caption {
                "Readings of every club, written beside what they should be: length ± " (rich("1/16 in")) ", mass ± 2 g, swingweight ± "
                (rich("1/2")) " point"
            }
            thead { tr {
                th class="text" { "Club" } th { "Length" } th { "Mass" } th { "Swingweight" } th { "Lie" } th { "Done" }
            } }
            tbody {
                @for club in &section.clubs {
                    (reading(&format!("{}, came", club.name), "came", club, &club.before))
                    (reading(&format!("{}, leaves", club.name), "leaves", club, &club.finished))
                }
            }
        }
    }
}

fn reading(name: &str, row: &str, club: &ClubCheck, state: &State) -> Markup {
    let blank = html! { " " span class="blank short" {} };
    html! {
        tr class=(row) {
            td { (rich(name)) }
            td data-is="Length" { (length(state.length)) (blank) }
            td data-is="Mass" { @if club.is_weighed { (state.mass.grams_printed(0)) } (blank) }
            td data-is="Swingweight" { @if club.is_weighed { (state.swingweight) } (blank) }
            td data-is="Lie" { (club.lie.degrees_printed(1)) (blank) }
            td data-is="Done" { @if row == "leaves" { span class="box" {} } }
        }
    }
}

fn operation(number: usize, step: &Operation) -> Markup {
    html! {
        tr {
            td { (number) }
            td class="text" {
                (rich(&step.what))
                @for caution in &step.cautions { span class="caution" { b { "Caution. " } (rich(caution)) } }
            }
            td class="text" { (rich(&step.look_for)) }
            td class="text" { @if step.has_reading { span class="blank" {} } }
            td { span class="box" {} }
        }
    }
}

fn clubs(section: &Section, job: &Job) -> Markup {
    let piece = match section.kind {
        WayKind::Extend => Some("Plug"),
        WayKind::Cut => Some("Off-cut"),
        WayKind::Leave | WayKind::GripDown | WayKind::Regrip | WayKind::OtherShaft => None,
    };
    html! {
        table class="stack dense" {
            caption { "Lengths in inches" }
            thead { tr {
                th class="text" { "Club" } th { "Now" } th { "Change" } th { "After" }
                @if let Some(piece) = piece { th { (piece) } }
                th { "Swingweight" } th { "Mass after" } th { "Added" } th { "Lie now" } th { "Wanted" }
            } }
            tbody {
                @for club in &section.clubs {
                    tr class=[(Some(&club.name) == job.first_club.as_ref()).then_some("first")] {
                        td { (rich(&club.name)) }
                        td class="nowrap" data-is="Now" { (bare_inches(club.before.length)) }
                        td class="nowrap" data-is="Change" { (amount(club)) }
                        td class="nowrap" data-is="After" { (after(club)) }
                        @if let Some(piece) = piece { td class="nowrap" data-is=(piece) { (piece_of(club)) } }
                        td class="nowrap" data-is="Swingweight" { (club.before.as_held) " → " (club.finished.as_held) }
                        td class="nowrap" data-is="Mass after" { (club.finished.mass.grams_printed(0)) }
                        td data-is="Added" { (rich(&club.fix.short().unwrap_or_else(|| "–".to_owned()))) }
                        td class="nowrap" data-is="Lie now" { (club.lie.degrees_printed(1)) }
                        td class="nowrap" data-is="Wanted" { (lie_wanted(club)) }
                    }
                }
            }
        }
    }
}

/// Inches whose unit stands at the head of the column.
fn bare_inches(length: Length) -> Markup {
    rich(&length.to_step(InchStep::Sixteenth).number())
}

fn amount(club: &ClubCheck) -> Markup {
    match club.way {
        Way::GripDown(by) => html! { (bare_inches(by)) " down" },
        Way::Leave | Way::Cut(_) | Way::Extend(..) | Way::Regrip(_) | Way::OtherShaft(_) => {
            change(club.finished.length - club.before.length)
        }
    }
}

fn after(club: &ClubCheck) -> Markup {
    match club.way {
        Way::GripDown(by) => html! { (bare_inches(club.before.length - by)) " held" },
        Way::Leave | Way::Cut(_) | Way::Extend(..) | Way::Regrip(_) | Way::OtherShaft(_) => {
            bare_inches(club.finished.length)
        }
    }
}

fn piece_of(club: &ClubCheck) -> Markup {
    match (club.way, club.plug_length, club.off_cut) {
        (Way::Extend(_, plug), Some(long), _) => {
            rich(&format!("{}, {}", long.to_step(InchStep::Sixteenth), plug.mass.grams_printed(0)))
        }
        (_, _, Some(mass)) => rich(&mass.grams_printed(1).to_string()),
        _ => html! {},
    }
}

fn lie_wanted(club: &ClubCheck) -> Markup {
    match club.lie_wanted.map(|wanted| wanted.range()) {
        Some((flat, upright)) if (upright - flat).as_degrees() > 0.05 => {
            html! { (flat.degrees_printed(1).number()) "–" (upright.degrees_printed(1)) }
        }
        Some(_) => html! { "as now" },
        None => html! { "–" },
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
                        tr { td class="text" style="font-weight:400" { (rich(&part.words())) } td { (part.needed) } td { (part.spare) } }
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
            @for club in plan.clubs.iter().filter(|club| club.length_rule() != club::rules::LengthRule::AppearsToFit) {
                p { (club.club.name) ": " (club.length_rule().sentence()) }
            }
            p { "Other lengths appear to fit the rule on length; the committee decides. This sheet works out club sizes and does not judge or treat pain." }
        }
    }
}
