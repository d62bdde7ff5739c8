//! A trial in hand: its visits, what to bring to the next, and opening the code.

use super::plan_form::built;
use super::trial_path;
use crate::pages::GolferPage;
use crate::parts::problem::summary;
use crate::shell::act_id;
use maud::{Markup, html};
use sheet::words::{list, rich};
use studio::{ClubsMadeBy, Kept, TrialFile};

/// Draws it.
pub(super) fn overview(page: &GolferPage<'_>, kept: &Kept<TrialFile>) -> Markup {
    let (dossier, trial) = (page.dossier, &kept.record);
    let path = trial_path(dossier);
    let next = (1..=u32::from(trial.visits))
        .find(|visit| dossier.balls(&trial.id, *visit).len() < trial.balls_of(*visit).len());
    let has_balls = dossier.strikes.iter().any(|mark| mark.record.trial == trial.id && !mark.record.removed);
    html! {
        (summary(page.refused))
        p class="lead" {
            (trial.club) ", " (rich(&built(trial, 0.0)))
            @if trial.reason == studio::TrialReason::AfterJob { " as built. " } @else { " by the rule. " }
            (trial.offsets_in.len()) " lengths, " (trial.plan().balls_a_visit()) " counted balls a visit, " (trial.visits) " visits."
        }
        @if let Some(expects) = trial.expects {
            p class="hint" {
                "This trial starts from what your own trials say: what suits is expected " (format!("{:.2}", expects.mean_in.abs()))
                @if expects.mean_in < 0.0 { " in shorter" } @else { " in longer" } " than the rule has it, give or take " (format!("{:.2}", expects.sd_in)) " in."
            }
        }
        @if let Some(verdict) = &trial.verdict {
            p class="big" { (rich(&verdict.words)) }
            p class="next" { a class=[next.is_none().then_some("button primary").or(Some("button"))] href=(format!("{path}/verdict")) { "To the verdict" } }
        }
        @if let Some(visit) = next { (next_visit(page, trial, visit)) }
        (visits(page, trial, next))
        @if has_balls && trial.opened.is_none() { (open_the_code(page, kept, next.is_none())) }
        section class="stacked below" {
            details {
                summary { "How the clubs are made, and the code" }
                (making(trial))
            }
            @if next.is_none() || trial.opened.is_some() {
                form method="post" action=(format!("{path}/more")) {
                    (act_id())
                    input type="hidden" name="seen" value=(kept.revision);
                    button { "Plan one visit more" }
                }
            }
            @if trial.opened.is_some() {
                a class="button quiet" href=(format!("{path}/plan")) { "Plan another trial" }
            } @else {
                form method="post" action=(format!("{path}/put-away")) {
                    (act_id())
                    input type="hidden" name="seen" value=(kept.revision);
                    button class="quiet" { "Give this trial up" }
                }
            }
        }
    }
}

/// What to bring, and the way to the face.
fn next_visit(page: &GolferPage<'_>, trial: &TrialFile, visit: u32) -> Markup {
    let dossier = page.dossier;
    let path = format!("{}/visits/{visit}", trial_path(dossier));
    let kept = dossier.balls(&trial.id, visit).len();
    let letters: Vec<String> = sorted_code(trial).into_iter().map(|(letter, _)| letter.to_string()).collect();
    let was_today = visit > 1
        && (1..visit)
            .any(|other| dossier.balls(&trial.id, other).iter().any(|mark| mark.record.day == page.now.day));
    html! {
        section class="nextvisit" {
            h2 { "Visit " (visit) }
            p {
                "Bring the clubs marked " (list(&letters)) ", tape or spray for the face, and five to ten balls to warm up that do not count."
            }
            @if was_today && kept == 0 {
                p class="note" { "A visit was hit today already. Two on one day count as one day: come back on another." }
            }
            p class="next" {
                a class="button primary" href=(path) { @if kept == 0 { "Begin visit " (visit) } @else { "Go on with visit " (visit) } }
                " "
                a class="button" href=(format!("{path}/sheet")) { "Order sheet" }
            }
        }
    }
}

fn visits(page: &GolferPage<'_>, trial: &TrialFile, next: Option<u32>) -> Markup {
    let dossier = page.dossier;
    let path = trial_path(dossier);
    html! {
        table class="dense visits" {
            caption { "The visits. Lengths stay hidden until the code is opened." }
            thead { tr { th class="text" scope="col" { "Visit" } th class="text" scope="col" { "Day" } th scope="col" { "Balls" } th class="text" scope="col" { "Paper" } } }
            tbody {
                @for visit in 1..=u32::from(trial.visits) {
                    @let balls = dossier.balls(&trial.id, visit);
                    @let planned = trial.balls_of(visit).len();
                    tr class=[(next == Some(visit)).then_some("wanted")] {
                        th class="text" scope="row" { a href=(format!("{path}/visits/{visit}")) { "Visit " (visit) } }
                        td class="text" { @if let Some(first) = balls.first() { (page.now.date(first.record.day)) } @else { "to come" } }
                        td { (balls.len()) " of " (planned) }
                        td class="text" { a href=(format!("{path}/visits/{visit}/sheet")) { "order sheet " (visit) } }
                    }
                }
            }
        }
        @if let Some(worth) = worth_of_a_visit(page, trial) { p { (worth) } }
    }
}

/// What one more visit would bring, without saying which way the strikes lean.
fn worth_of_a_visit(page: &GolferPage<'_>, trial: &TrialFile) -> Option<String> {
    let analysis = page.dossier.analysis(trial).ok()?;
    if analysis.decision.missing.is_some() {
        return None;
    }
    let next = analysis.next_day?;
    Some(format!(
        "{:.1} mm² is at stake, and one more visit would be worth {:.1} mm² of it on average.",
        analysis.decision.at_stake, next.gain_mm2
    ))
}

fn open_the_code(page: &GolferPage<'_>, kept: &Kept<TrialFile>, is_all_hit: bool) -> Markup {
    let trial = &kept.record;
    let mut letters: Vec<String> =
        sorted_code(trial).into_iter().map(|(letter, _)| letter.to_string()).collect();
    letters.push("cannot tell".to_owned());
    let value = page.refused.value("thought", "cannot tell");
    let options: Vec<&str> = letters.iter().map(String::as_str).collect();
    let form = html! {
        form method="post" action=(format!("{}/open", trial_path(page.dossier))) class="stacked" {
            (act_id())
            input type="hidden" name="seen" value=(kept.revision);
            (crate::parts::field::Field {
                name: "thought",
                label: "Ask the golfer: which club was the longest?",
                hint: "The trial is blind only in part; the answer stands beside the verdict.",
                value,
                problem: page.refused.at("thought"),
                width: crate::parts::field::Width::Number,
                options: &options,
            }.draw())
            button class=[is_all_hit.then_some("primary")] { "Open the code" }
        }
    };
    html! {
        section class="below" {
            @if is_all_hit { h2 { "All visits are hit" } (form) }
            @else { details { summary { "Stop early and open the code" } p class="hint" { "A trial may stop early; a visit that is left out is only missed." } (form) } }
        }
    }
}

/// The letters with their lengths, by letter.
fn sorted_code(trial: &TrialFile) -> Vec<(char, f64)> {
    let mut code: Vec<(char, f64)> =
        trial.plan().code().into_iter().zip(trial.offsets_in.iter().copied()).collect();
    code.sort_by_key(|(letter, _)| *letter);
    code
}

fn making(trial: &TrialFile) -> Markup {
    let longest = trial.offsets_in.last().copied().unwrap_or_default();
    let shortest = trial.offsets_in.first().copied().unwrap_or_default();
    let points = trial.swingweight_apart();
    html! {
        ul class="plain" {
            @for (letter, offset) in sorted_code(trial) {
                li {
                    b { (letter) } ": " (rich(&built(trial, offset)))
                    @match trial.made_by {
                        ClubsMadeBy::GripDown if offset < longest - 1e-9 => {
                            ", the longest gripped down by " (rich(&quantity::Length::inches(longest - offset).to_step(quantity::InchStep::Sixteenth).to_string()))
                            "; mark it on the grip"
                        }
                        ClubsMadeBy::Extender if offset > shortest + 1e-9 => {
                            ", with " (rich(&quantity::Length::inches(offset - shortest).to_step(quantity::InchStep::Sixteenth).to_string())) " of extender"
                        }
                        _ => {}
                    }
                }
            }
        }
        p { "Put the letter on the shaft under the grip, where the golfer does not look. Loft and lie are alike on every club; the sole sits flat when the lie follows the length." }
        p class="note" {
            "The longest and the shortest differ by about " (format!("{points:.0}")) " points of swingweight (common practice). Bring them level with "
            "weights on the head, or leave all as they are: the job is built as it was tried."
        }
    }
}
