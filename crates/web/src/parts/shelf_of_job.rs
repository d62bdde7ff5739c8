//! What a job takes from the shelf: each part of its work chosen, with what is there, put aside and used.

use crate::error::PageError;
use crate::form::Form;
use crate::shell::act_id;
use maud::{Markup, html};
use quantity::Mass;
use sheet::words::rich;
use studio::{Id, JobFile, JobState, Kept, PartUse, Shelf, StockedPart, WorkPart, WorkSection};

/// A part of the work that is used up at a step, and the name of its field.
pub(crate) struct Line<'a> {
    pub(crate) field: String,
    pub(crate) section: &'a WorkSection,
    pub(crate) part: &'a WorkPart,
    pub(crate) step: &'a str,
}

/// Every part of a job's work that a step uses up.
pub(crate) fn lines(job: &JobFile) -> Vec<Line<'_>> {
    let sections = job.work.sections.iter().enumerate();
    sections
        .flat_map(|(place, section)| {
            section.parts.iter().enumerate().filter_map(move |(number, part)| {
                let step = section.step_that_uses(part.kind)?.key.as_str();
                Some(Line { field: format!("part.{place}.{number}"), section, part, step })
            })
        })
        .collect()
}

/// The use of the shelf a line has, if one was chosen. Lines of one kind at one step are told apart by their place.
fn chosen<'j>(job: &'j JobFile, shelf: &Shelf, lines: &[Line<'_>], at: usize) -> Option<&'j PartUse> {
    let line = lines.get(at)?;
    let is_alike = |other: &&Line<'_>| other.step == line.step && other.part.kind == line.part.kind;
    let before = lines.iter().take(at).filter(is_alike).count();
    let of_kind = job.uses.iter().filter(|used| {
        used.step == line.step
            && shelf.part(&used.part).is_some_and(|kept| kept.record.kind == line.part.kind)
    });
    of_kind.into_iter().nth(before)
}

/// Draws the part of the job's page that is about the shelf.
pub(crate) fn shelf_part(shelf: &Shelf, kept: &Kept<JobFile>, path: &str) -> Markup {
    let job = &kept.record;
    let lines = lines(job);
    let is_at_the_bench = matches!(job.state, JobState::OnTheBench | JobState::Curing);
    let has_something_to_say = !job.uses.is_empty() || job.state.puts_aside();
    html! {
        @if !lines.is_empty() && !shelf.on_it().is_empty() && has_something_to_say {
            section class="shelf" id="parts" {
                h2 { "Parts from the shelf" }
                @let missing = shelf.missing(job);
                @if !missing.is_empty() {
                    p class="note care" role="status" {
                        "Not on the shelf: "
                        @for (place, (part, count)) in missing.iter().enumerate() {
                            @if place > 0 { ", " } (count) (in_words(part)) " × " a href=(format!("/shelf/{}", part.id)) { (part.name) }
                        }
                        ". Order it, or take another; what was counted wrong is put right on the part's page."
                    }
                }
                @if job.uses.is_empty() && is_at_the_bench {
                    // the next step is what is looked for there
                    details { summary { "Take its parts from the shelf" } (form(shelf, kept, &lines, path)) }
                } @else if job.uses.is_empty() {
                    (form(shelf, kept, &lines, path))
                } @else {
                    ul class="plain" { @for (at, line) in lines.iter().enumerate() { (one(shelf, job, chosen(job, shelf, &lines, at), line)) } }
                    @if job.state.puts_aside() { details { summary { "Take others" } (form(shelf, kept, &lines, path)) } }
                }
            }
        }
    }
}

/// A weighed piece's mass as it is shown.
pub(crate) fn piece_words(mass_mg: i64) -> String {
    #[expect(clippy::cast_precision_loss, reason = "a mass under a kilogram")]
    Mass::grams(mass_mg as f64 / 1000.0).grams_printed(2).to_string()
}

/// What was chosen for each part: nothing where it does not come from the shelf.
///
/// # Errors
/// A choice that is none of the form's.
pub(crate) fn read_choices(job: &JobFile, form: &Form) -> Result<Vec<PartUse>, PageError> {
    let chosen = lines(job).into_iter().filter_map(|line| {
        let typed = form.filled(&line.field)?;
        let (part, piece) = typed.split_once('/').map_or((typed, None), |(part, piece)| (part, Some(piece)));
        let piece_mg = piece.map(str::parse).transpose().map_err(|_| PageError::out_of_date());
        let part = Id::parse(part).map_err(|_| PageError::out_of_date());
        Some(part.and_then(|part| {
            Ok(PartUse { part, count: line.part.count, step: line.step.to_owned(), piece_mg: piece_mg? })
        }))
    });
    chosen.collect()
}

fn in_words(part: &StockedPart) -> String {
    let unit = part.counted_in();
    if unit.is_empty() { String::new() } else { format!(" {unit}") }
}

/// One line as it was chosen.
fn one(shelf: &Shelf, job: &JobFile, used: Option<&PartUse>, line: &Line<'_>) -> Markup {
    html! {
        li {
            @match used.and_then(|used| Some((used, &shelf.part(&used.part)?.record))) {
                Some((used, part)) => {
                    @let taken = shelf.taken(&job.id, used);
                    (used.count) (in_words(part)) " × " a href=(format!("/shelf/{}", part.id)) { (part.name) }
                    @if !part.sizes().is_empty() { span class="soft" { ", " (rich(&part.sizes())) } }
                    @if taken >= i64::from(used.count) { ": used" }
                    @else if taken > 0 { ": " (taken) " used" }
                    @else if job.state.puts_aside() { ": put aside" }
                }
                None => { (line.part.count) " × " (rich(&line.part.what)) span class="soft" { ": not from the shelf" } }
            }
        }
    }
}

/// The form on which each part is chosen; what fits by its sizes stands there already.
fn form(shelf: &Shelf, kept: &Kept<JobFile>, lines: &[Line<'_>], path: &str) -> Markup {
    let job = &kept.record;
    html! {
        form method="post" action=(format!("{path}/parts")) class="stacked" {
            (act_id())
            input type="hidden" name="seen" value=(kept.revision);
            @for (at, line) in lines.iter().enumerate() {
                @let now = match job.uses.is_empty() {
                    true => shelf.that_fits(line.part).map(|kept| &kept.record.id),
                    false => chosen(job, shelf, lines, at).map(|used| &used.part),
                };
                @let piece = chosen(job, shelf, lines, at).and_then(|used| used.piece_mg);
                @let id = line.field.replace('.', "-");
                div class="entry" {
                    label for=(id) { (line.part.count) " × " (rich(&line.part.what)) }
                    p class="hint" { "For: " (line.section.clubs.iter().map(|club| club.name.as_str()).collect::<Vec<_>>().join(", ")) }
                    select id=(id) class="field" name=(line.field) {
                        option value="" selected[now.is_none()] { "not from the shelf" }
                        @for kept in shelf.that_serve(line.part) {
                            @let part = &kept.record;
                            option value=(part.id) selected[now == Some(&part.id) && piece.is_none()] {
                                (part.name) @if !part.sizes().is_empty() { ", " (part.sizes()) } " (" (shelf.free(&part.id)) (in_words(part)) " free)"
                            }
                            @if line.part.count == 1 {
                                @for (mass, count) in shelf.pieces(&part.id) {
                                    option value=(format!("{}/{mass}", part.id)) selected[now == Some(&part.id) && piece == Some(mass)] {
                                        (part.name) ", the one of " (piece_words(mass)) @if count > 1 { " (" (count) " of them)" }
                                    }
                                }
                            }
                        }
                    }
                }
            }
            button { @if job.uses.is_empty() { "Put these aside" } @else { "Put these aside instead" } }
        }
    }
}
