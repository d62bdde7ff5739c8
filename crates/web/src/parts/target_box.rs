//! The target in one glance: the number, how sure, what speaks against it.

use bench::SetPlan;
use maud::{Markup, html};
use quantity::InchStep;
use sheet::words::{answer, length, length_with_metric, rich};
use studio::{Dossier, NoPlan};

/// Draws the target, or what is missing for one.
pub(crate) fn target_box(plan: &Result<SetPlan, NoPlan>, dossier: &Dossier) -> Markup {
    match plan {
        Ok(plan) => target(plan),
        Err(NoPlan::NotMeasured) => html! {
            p class="soft" { "Starting point for a six-iron" }
            p class="big soft" { "–" }
            p class="lead soft" { "Follows from the knuckle height of " (dossier.golfer.record.name) "'s lead hand. One reading is enough to begin, two are better." }
        },
        Err(NoPlan::Refused(_, problems)) => html! {
            p class="soft" { "Starting point for a six-iron" }
            p class="big soft" { "–" }
            @for problem in problems {
                p class="note care" { (rich(&problem.message)) @if let Some(hint) = &problem.hint { br; (rich(hint)) } }
            }
        },
    }
}

fn target(plan: &SetPlan) -> Markup {
    let target = &plan.target;
    html! {
        @if let Some(reason) = plan.job.waits_for { p class="hold" role="status" { "Hold. " (reason) } }
        @if target.is_for_a_growing_golfer() {
            p class="soft" { "Usual seven-iron for this height" }
            @match target.junior {
                Some(chart) => {
                    p class="big" {
                        (rich(&chart.seven_iron.0.to_step(InchStep::Quarter).number())) " to " (length(chart.seven_iron.1))
                        " " span class="pm" { "by a junior chart" }
                    }
                }
                None => { p class="lead" { "A growing golfer: take the stature too, a junior chart goes by it." } }
            }
        } @else {
            p class="soft" { "Starting point for a six-iron" }
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
