//! The live job at the bench: steps to tick with a knuckle, cautions before the step, readings judged at once.

use crate::app::Now;
use crate::pages::job::unit_of;
use crate::parts::field::id_of;
use crate::shell::{act_id, units_field};
use maud::{Markup, html};
use sheet::words::rich;
use studio::{
    Check, Dossier, HouseSettings, JobFile, JobState, Tick, Verdict, WorkClub, WorkSection, WorkStep,
};

/// Draws the work of a job.
pub(crate) fn bench(dossier: &Dossier, house: &HouseSettings, job: &JobFile, path: &str) -> Markup {
    let done = dossier.ticks_done(job);
    html! {
        div id="bench" class="bench" {
            @if let Some(first) = &job.work.first_club { p class="lead" { b { (first) } " first. The others when it has been hit." } }
            p class="soft" role="status" { (done) " of " (job.work.ticks_due()) " ticked" }
            @for section in &job.work.sections { (one_section(dossier, house, job, section, path)) }
            @if !job.work.parts.is_empty() {
                h2 { "Parts" }
                ul class="plain" { @for part in &job.work.parts { li { (rich(part)) } } }
            }
            @if !job.work.stop_and_ask.is_empty() {
                h2 { "Stop and ask" }
                ul class="plain" { @for stop in &job.work.stop_and_ask { li { (rich(stop)) } } }
            }
        }
    }
}

fn one_section(
    dossier: &Dossier,
    house: &HouseSettings,
    job: &JobFile,
    section: &WorkSection,
    path: &str,
) -> Markup {
    html! {
        section {
            h2 { (section.heading) }
            ul class="plain" { @for club in &section.clubs { li { b { (club.name) } ": " (rich(&club.what)) } } }
            @for said in &section.said_before { p class="note care" { (rich(said)) } }
            ol class="work" { @for step in &section.steps { (one_step(dossier, house, job, step, path, Place::List)) } }
            @for club in &section.clubs { (checks(dossier, house, job, club, path)) }
        }
    }
}

fn one_step(
    dossier: &Dossier,
    house: &HouseSettings,
    job: &JobFile,
    step: &WorkStep,
    path: &str,
    place: Place,
) -> Markup {
    let tick = dossier.tick(&job.id, &step.key);
    let is_done = tick.is_some_and(|tick| tick.done);
    html! {
        li class=[is_done.then_some("done")] id=(place.id("step", &step.key)) {
            div class="what" {
                @for caution in &step.cautions { p class="caution" { b { "Caution. " } (rich(caution)) } }
                p { (rich(&step.what)) }
                p class="soft" { (rich(&step.look_for)) }
            }
            form method="post" action=(format!("{path}/tick")) data-tick {
                (act_id())
                (units_field(house))
                input type="hidden" name="step" value=(step.key);
                @if step.takes_reading {
                    @let id = place.id("read", &step.key);
                    label class="unseen" for=(id) { "Reading: " (step.what) }
                    input id=(id) class="field number" type="text" name="typed" value=(tick.and_then(|tick| tick.typed.as_deref()).unwrap_or_default()) autocomplete="off" spellcheck="false";
                }
                @if is_done {
                    button class="tick" name="done" value="no" aria-label=(format!("Not done after all: {}", step.what)) { "done" }
                } @else {
                    button class=(place.button()) name="done" value="yes" aria-label=(format!("Done: {}", step.what)) { "Done" }
                }
            }
        }
    }
}

fn checks(dossier: &Dossier, house: &HouseSettings, job: &JobFile, club: &WorkClub, path: &str) -> Markup {
    html! {
        @if !club.checks.is_empty() {
            h3 class="below" { (club.name) ", finished" }
            ul class="work" { @for check in &club.checks { (one_check(dossier, house, job, club, check, path, Place::List)) } }
        }
    }
}

fn one_check(
    dossier: &Dossier,
    house: &HouseSettings,
    job: &JobFile,
    club: &WorkClub,
    check: &Check,
    path: &str,
    place: Place,
) -> Markup {
    let key = club.check_key(check);
    let tick = dossier.tick(&job.id, &key).filter(|tick| tick.done);
    let taken = check.taken(dossier.read_of(&job.id, &key));
    let verdict = taken.map(|taken| check.judge_mean(taken));
    let id = place.id("read", &key);
    html! {
        li class=[class_of(verdict, tick)] id=(place.id("step", &key)) {
            div class="what" {
                p { (check.field.label()) span class="soft" { " should be " (rich(&check.expected)) } }
                @match verdict {
                    Some(Verdict::Off(what)) => { p class="problem" role="status" { b { "Out of tolerance. " } (rich(what)) } }
                    Some(Verdict::AtTheLimit) => { p class="passes" role="status" { b { "At the limit" } ", within what such a reading repeats to: read it again, and the readings are taken together." } }
                    Some(Verdict::Passes) => { p class="passes" role="status" { "Within tolerance" } }
                    None => {}
                }
                @if let Some(together) = taken.filter(|taken| taken.count > 1) {
                    p class="soft" { (together.count) " readings taken together" }
                }
            }
            form method="post" action=(format!("{path}/tick")) data-tick {
                (act_id())
                (units_field(house))
                input type="hidden" name="step" value=(key);
                label class="unseen" for=(id) { (check.field.label()) " of the " (club.name) }
                input id=(id) class="field number" type="text" name="typed" value=(tick.and_then(|tick| tick.typed.as_deref()).unwrap_or_default())
                    autocomplete="off" spellcheck="false" aria-invalid=[matches!(verdict, Some(Verdict::Off(_))).then_some("true")];
                span class="unit soft" { (unit_of(check.field)) }
                button class=(place.button()) name="done" value="yes" aria-label=(format!("Read: {} of the {}", check.field.label(), club.name)) { "Read" }
            }
        }
    }
}

fn class_of(verdict: Option<Verdict<'_>>, tick: Option<&Tick>) -> Option<&'static str> {
    match (verdict, tick) {
        (Some(Verdict::Off(_)), _) => Some("off"),
        (_, Some(_)) => Some("done"),
        (_, None) => None,
    }
}

/// What comes next on the bench, at the top of the page: the first step or finished reading that is not ticked.
pub(crate) fn next_at_the_bench(
    dossier: &Dossier,
    house: &HouseSettings,
    job: &JobFile,
    path: &str,
) -> Markup {
    if job.state != JobState::OnTheBench {
        return html! {};
    }
    let is_open = |key: &str| dossier.tick(&job.id, key).is_none_or(|tick| !tick.done);
    let step = job.work.steps().find(|(_, step)| is_open(&step.key));
    let check = || {
        job.work.clubs().find_map(|club| {
            club.checks.iter().find(|check| is_open(&club.check_key(check))).map(|check| (club, check))
        })
    };
    html! {
        @if let Some((section, step)) = step {
            section class="bench now" aria-label="Next step" {
                p class="soft" { "Next: " (section.heading.to_lowercase()) }
                ul class="work" { (one_step(dossier, house, job, step, path, Place::Next)) }
            }
        } @else if let Some((club, check)) = check() {
            section class="bench now" aria-label="Next reading" {
                p class="soft" { "Next: " (club.name) ", finished" }
                ul class="work" { (one_check(dossier, house, job, club, check, path, Place::Next)) }
            }
        }
    }
}

/// Where a step stands on the page: in its list, or once more at the top as what comes next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Place {
    List,
    Next,
}

impl Place {
    fn id(self, beginning: &str, key: &str) -> String {
        match self {
            Self::List => format!("{beginning}-{}", id_of(key)),
            Self::Next => format!("next-{beginning}-{}", id_of(key)),
        }
    }

    /// The one primary button of the page.
    fn button(self) -> &'static str {
        match self {
            Self::List => "tick",
            Self::Next => "tick primary",
        }
    }
}

/// Says how long the glue still cures; the moment is kept, so it survives a restart.
pub(crate) fn cure(job: &JobFile, now: &Now) -> Markup {
    html! {
        @if let Some(cured) = job.cured_ms {
            @if cured > now.ms {
                p class="note" data-cured=(cured) { "Cures until " b { (now.clock_time(cured)) } ". Not gripped and not hit before." }
            } @else {
                p class="note" { "Cured since " (now.clock_time(cured)) "." }
            }
        }
    }
}
