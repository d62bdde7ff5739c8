//! The ways of every club side by side: what each does, and which is taken.

use crate::error::PageError;
use crate::form::Form;
use crate::shell::act_id;
use bench::{ClubPlan, Outcome, SetPlan, WayKind};
use maud::{Markup, html};
use quantity::InchStep;
use sheet::words::{change, length, rich};
use studio::{Dossier, Kept, OwnedClub, plain_text};

/// Draws one block for each club: the way taken in a line, the others behind a control.
pub(crate) fn ways(dossier: &Dossier, plan: &SetPlan, path: &str) -> Markup {
    html! {
        @for club in &plan.clubs { (one(dossier, club, plan, path)) }
    }
}

fn one(dossier: &Dossier, club: &ClubPlan, plan: &SetPlan, path: &str) -> Markup {
    let kept = dossier.live_clubs().find(|kept| kept.record.name == club.club.name);
    html! {
        section class="club" {
            h3 { (club.club.name) }
            @for condition in &club.club.conditions { p class="caution" { b { (condition.warning()) } } }
            @match (club.chosen(), &club.choice, kept) {
                (Some(outcome), Some(choice), Some(kept)) => {
                    p {
                        (length(club.club.length()))
                        @if let Some(target) = &club.target { span class="soft" { ", target " } (length(target.build)) }
                        span class="soft" { ": " }
                        b { (rich(&outcome.way.words())) }
                        @if kept.record.way.is_some() { span class="soft" { ", your choice" } }
                    }
                    p class="soft" { (rich(&choice.why)) }
                    details {
                        summary { "Other ways of the " (club.club.name) }
                        (table(club, plan))
                        (choose(club, kept, path))
                    }
                }
                _ => { p class="soft" { (length(club.club.length())) ". Outside the rule, shown and left as it is." } }
            }
        }
    }
}

fn table(club: &ClubPlan, plan: &SetPlan) -> Markup {
    html! {
        div class="wide" tabindex="0" role="group" aria-label=(format!("Ways of the {}", club.club.name)) {
            table class="stack dense" {
                thead { tr {
                    th class="text" scope="col" { "Way" } th scope="col" { "Length" } th scope="col" { "Swingweight as held" } th scope="col" { "Mass" }
                    th scope="col" { "Balance" } th scope="col" { "Inertia" } th scope="col" { "Held by" } th scope="col" { "Minutes" } th class="text" scope="col" { "Standing" }
                } }
                tbody { @for (place, outcome) in club.ways.iter().enumerate() { (row(club, outcome, place, plan)) } }
            }
        }
    }
}

fn row(club: &ClubPlan, outcome: &Outcome, place: usize, plan: &SetPlan) -> Markup {
    let is_chosen = club.choice.as_ref().is_some_and(|choice| choice.chosen == place);
    let finished = outcome.finished(plan.house.hold);
    let held =
        outcome.held(plan.house.hold).and_then(|remedy| remedy.fix.short()).unwrap_or_else(|| "–".to_owned());
    html! {
        tr class=[is_chosen.then_some("wanted")] {
            td { (rich(&outcome.way.words())) @if is_chosen { span class="small soft" { " chosen" } } }
            td data-is="Length" class="nowrap" { (length(finished.length)) " " span class="small soft" { (change(finished.length - outcome.before.length)) } }
            td data-is="Swingweight as held" class="nowrap" { @if outcome.is_weighed { (outcome.before.as_held) " → " (finished.as_held) } @else { "not read" } }
            td data-is="Mass" class="nowrap" { (finished.mass.grams_printed(0)) }
            td data-is="Balance" class="nowrap" { (rich(&finished.balance.to_step(InchStep::Sixteenth).to_string())) }
            td data-is="Inertia" class="nowrap" { (finished.inertia.kg_cm2_printed(0)) }
            td data-is="Held by" { (rich(&held)) }
            td data-is="Minutes" class="nowrap" { (outcome.minutes_with(plan.house.hold)) @if outcome.cures_with(plan.house.hold) { " + cure" } }
            td class="text" { (outcome.standing.words()) @if let Some(reason) = outcome.standing.reason() { ": " (rich(reason)) } }
        }
    }
}

fn choose(club: &ClubPlan, kept: &Kept<OwnedClub>, path: &str) -> Markup {
    html! {
        form method="post" action=(path) class="inline on-screen" {
            (act_id())
            input type="hidden" name="club" value=(kept.record.id);
            input type="hidden" name="seen" value=(kept.revision);
            fieldset class="choice" {
                legend { "Way of the " (club.club.name) }
                label { input type="radio" name="way" value="" checked[kept.record.way.is_none()]; " as the tool says" }
                @for outcome in &club.ways {
                    @let words = outcome.way.kind().words();
                    @let is_open = !matches!(outcome.standing, bench::Standing::Refused(_));
                    @if is_open { label { input type="radio" name="way" value=(words) checked[kept.record.way.as_deref() == Some(words)]; " " (words) } }
                }
            }
            button aria-label=(format!("Take this way for the {}", club.club.name)) { "Take this way" }
        }
    }
}

/// The way wished for in a form; none when the tool's is wished for.
pub(crate) fn way_of(form: &Form) -> Result<Option<String>, PageError> {
    way_named(form.get("way").unwrap_or_default())
}

/// A way by its words; none when the tool's is wished for.
pub(crate) fn way_named(typed: &str) -> Result<Option<String>, PageError> {
    match plain_text("way", typed)? {
        None => Ok(None),
        Some(words) if WayKind::from_words(&words).is_some() => Ok(Some(words)),
        Some(_) => {
            Err(PageError::bad("Expected a way of the list, found another word.", "Choose one of them."))
        }
    }
}
