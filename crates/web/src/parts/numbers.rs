//! The numbers of a figure as a table, behind one control.

use bench::{SetPlan, WayKind};
use maud::{Markup, html};
use sheet::words::length;

/// The numbers of the ladder.
pub(crate) fn of_the_ladder(plan: &SetPlan) -> Markup {
    let rungs = plan.clubs.iter().filter_map(|club| Some((club, club.target?)));
    numbers(
        "Numbers of the set",
        &["Now", "Target", "80 in 100 from", "to"],
        rungs.map(|(club, target)| {
            let cells = [
                club.club.length(),
                target.build,
                target.length - target.half_width,
                target.length + target.half_width,
            ];
            (club.club.name.clone(), cells.map(length).to_vec())
        }),
    )
}

/// The numbers before and after.
pub(crate) fn of_before_and_after(plan: &SetPlan) -> Markup {
    let worked = plan.clubs.iter().filter(|club| club.club.is_weighed).filter_map(|club| {
        Some((club, club.chosen().filter(|outcome| outcome.way.kind() != WayKind::Leave)?))
    });
    numbers(
        "Numbers before and after",
        &[
            "Swingweight as it came",
            "length alone",
            "as it leaves",
            "Inertia as it came, kg cm²",
            "length alone",
            "as it leaves",
        ],
        worked.map(|(club, outcome)| {
            let states = [&outcome.before, &outcome.after, &outcome.finished(plan.house.hold)];
            let swingweights = states.map(|state| html! { (state.as_held) });
            let inertias = states.map(|state| html! { (format!("{:.0}", state.inertia.as_kg_cm2())) });
            (club.club.name.clone(), swingweights.into_iter().chain(inertias).collect())
        }),
    )
}

fn numbers(title: &str, heads: &[&str], rows: impl Iterator<Item = (String, Vec<Markup>)>) -> Markup {
    html! {
        details {
            summary { (title) }
            div class="wide" tabindex="0" role="group" aria-label=(title) {
                table class="dense" {
                    thead { tr { th class="text" scope="col" { "Club" } @for head in heads { th scope="col" { (head) } } } }
                    tbody {
                        @for (name, cells) in rows {
                            tr { th class="text" scope="row" { (name) } @for cell in cells { td class="nowrap" { (cell) } } }
                        }
                    }
                }
            }
        }
    }
}
