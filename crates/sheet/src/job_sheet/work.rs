//! One section of the job sheet: the clubs that take one way, its steps, and the readings of every club.

use crate::words::{change, length, list, rich};
use bench::{ClubCheck, Fix, Job, Operation, Section, Standing, State, Way, WayKind};
use maud::{Markup, html};
use quantity::{InchStep, Length};

/// Stands where the card gives no reading.
const NOT_READ: &str = "not read";

/// Writes one section: its clubs, what is said before, the steps and the readings.
pub(super) fn work(section: &Section, job: &Job) -> Markup {
    let first = section.clubs.first().map_or("", |club| club.name.as_str());
    html! {
        section {
            h2 { (section.kind.heading()) }
            (clubs(section, job))
            (to_be_said(section))
            table class="steps stack below" {
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
            p class="note care small" { b { (list(&word.clubs)) ", " (word.why.words()) ". " } (rich(&word.text)) "." }
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
    let has_frequency = section.clubs.iter().any(|club| club.frequency_read.is_some());
    html! {
        table class="stack dense below" {
            caption {
                "Readings of every club, written beside what they should be: length ± " (rich("1/16 in")) ", mass ± 2 g, swingweight ± "
                (rich("1/2")) " point" @if has_frequency { ", frequency at the clamp it was read at" }
            }
            thead { tr {
                th class="text" { "Club" } th { "Length" } th { "Mass" } th { "Swingweight" } th { "Lie" }
                @if has_frequency { th { "Frequency" } }
                th { "Done" }
            } }
            tbody {
                @for club in &section.clubs {
                    (reading(&format!("{}, came", club.name), "came", club, &club.before, has_frequency))
                    (reading(&format!("{}, leaves", club.name), "leaves", club, &club.finished, has_frequency))
                }
            }
        }
    }
}

fn reading(name: &str, row: &str, club: &ClubCheck, state: &State, has_frequency: bool) -> Markup {
    let blank = html! { " " span class="blank short" {} };
    html! {
        tr class=(row) {
            td { (rich(name)) }
            td data-is="Length" { (length(state.length)) (blank) }
            td data-is="Mass" { @if club.is_mass_read { (state.mass.grams_printed(0)) } (blank) }
            td data-is="Swingweight" { @if club.is_weighed { (state.swingweight) } (blank) }
            td data-is="Lie" { @if club.is_lie_read { (club.lie.degrees_printed(1)) } (blank) }
            @if has_frequency { td data-is="Frequency" { (frequency(club, row == "leaves")) (blank) } }
            td data-is="Done" { @if row == "leaves" { span class="box" {} } }
        }
    }
}

/// The frequency as it came, or as it should be found, with what the model of its change leaves open.
fn frequency(club: &ClubCheck, leaves: bool) -> Markup {
    match (leaves, club.frequency_due(), club.frequency_read) {
        (true, Some((expected, within)), _) => {
            html! { (expected.cpm_printed(0).number()) " ± " (within.cpm_printed(0)) }
        }
        (false, _, Some(read)) => html! { (read.cpm_printed(0)) },
        _ => html! {},
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
    let has_others = job.clubs().nth(1).is_some();
    let goes_first = |club: &ClubCheck| has_others && Some(&club.name) == job.first_club.as_ref();
    html! {
        // numbers do not break: where they find no room the box scrolls
        div class="wide" tabindex="0" role="group" aria-label=(format!("Lengths, {}", section.kind.words())) {
            table class="stack dense" {
                caption { "Lengths in inches" }
                thead { tr {
                    th class="text" { "Club" } th { "Now" } th { "Change" } th { "After" }
                    @if let Some(piece) = piece { th { (piece) } }
                    th { "Swingweight" } th { "Mass after" } th { "Added" } th { "Lie now" } th { "Lie wanted" }
                } }
                tbody {
                    @for club in &section.clubs {
                        tr class=[goes_first(club).then_some("first")] {
                            td { (rich(&club.name)) }
                            td class="nowrap" data-is="Now" { (bare_inches(club.before.length)) }
                            td class="nowrap" data-is="Change" { (amount(club)) }
                            td class="nowrap" data-is="After" { (after(club)) }
                            @if let Some(piece) = piece { td class="nowrap" data-is=(piece) { (piece_of(club)) } }
                            td data-is="Swingweight" { @if club.is_weighed { span class="nowrap" { (club.before.as_held) " → " (club.finished.as_held) } } @else { (NOT_READ) } }
                            td data-is="Mass after" { @if club.is_mass_read { span class="nowrap" { (club.finished.mass.grams_printed(0)) } } @else { (NOT_READ) } }
                            td data-is="Added" { (added(club)) }
                            td data-is="Lie now" { @if club.is_lie_read { (club.lie.degrees_printed(1)) } @else { (NOT_READ) } }
                            td class="nowrap" data-is="Lie wanted" { @if club.is_lie_read { (lie_wanted(club)) } @else { "–" } }
                        }
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

/// What holds the number; a line breaks between the pieces and never inside one.
fn added(club: &ClubCheck) -> Markup {
    let short = club.fix.short().unwrap_or_else(|| "–".to_owned());
    let pieces: Vec<&str> = short.split_inclusive(", ").collect();
    html! { @for piece in pieces { span class="nowrap" { (rich(piece.trim_end())) } " " } }
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
