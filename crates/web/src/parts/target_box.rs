//! The target in one glance: the number, how sure, what speaks against it.

use bench::SetPlan;
use maud::{Markup, html};
use sheet::words::{STARTING_POINT, answer, length_with_metric, rich, usual_seven_iron};
use studio::{Dossier, NoPlan};

/// Draws the target, or what is missing for one.
pub(crate) fn target_box(plan: &Result<SetPlan, NoPlan>, dossier: &Dossier) -> Markup {
    match plan {
        Ok(plan) => target(plan),
        Err(NoPlan::NotMeasured) => html! {
            (no_number())
            p class="lead soft" { "Follows from the knuckle height of " (dossier.golfer.record.name) "'s lead hand. One reading is enough to begin, two are better." }
        },
        Err(NoPlan::Refused(_, problems)) => html! {
            (no_number())
            @for problem in problems {
                p class="note care" { (rich(&problem.message)) @if let Some(hint) = &problem.hint { br; (rich(hint)) } }
            }
        },
    }
}

fn no_number() -> Markup {
    html! {
        p class="soft" { (STARTING_POINT) }
        p class="big soft" { "–" }
    }
}

fn target(plan: &SetPlan) -> Markup {
    let target = &plan.target;
    html! {
        @if let Some(reason) = plan.job.waits_for { p class="hold" role="status" { "Hold. " (reason) } }
        @if target.is_for_a_growing_golfer() {
            @match target.junior {
                Some(chart) => (usual_seven_iron(&chart)),
                None => { p class="lead" { "A growing golfer: take the stature too, a junior chart goes by it." } }
            }
        } @else {
            p class="soft" { (STARTING_POINT) }
            p class="big" { (answer(target.six_iron.value.rounded_to(plan.house.round_to), &target.six_iron)) }
            p class="lead" {
                "From a knuckle height of " (length_with_metric(target.knuckle_height)) ", "
                @if target.readings == 1 { "1 reading" } @else { (target.readings) " readings" }
                ". A rule of common practice; strikes over days decide."
            }
        }
        @if let Some(belief) = &target.belief {
            @if !belief.asks_to_measure_again() { p class="note" { (rich(&belief.sentence())) } }
        }
        @for warning in &target.warnings { p class="note care" { (rich(&warning.to_string())) } }
        @for opinion in &target.opinions { p class="note" { (rich(&opinion.sentence())) } }
        @if let Some(repeat) = target.repeat { p class="note care" { (repeat.sentence()) } }
        @if let Some(grip) = &target.grip { p class="note" { (rich(&grip.sentence())) } }
    }
}
