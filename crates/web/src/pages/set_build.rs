//! The build of a set from the shelf: the best few answers, what binds, and why aims cannot be met; the ways of one can be
//! taken.

use super::GolferPage;
use crate::acts;
use crate::app::App;
use crate::error::PageError;
use crate::form::Form;
use crate::parts::ways::way_named;
use crate::shell::{act_id, golfer_path};
use axum::extract::{Path, Query, State};
use axum::response::Redirect;
use bench::{BuildAnswer, BuiltClub};
use maud::{Markup, html};
use quantity::{InchStep, Mass};
use sheet::words::rich;
use std::collections::BTreeMap;
use studio::{Dossier, Kept, Money, OwnedClub, SetBuild, StationName, build_from_shelf};

/// What a minute at the bench counts beside parts, cents. House choice: 36 an hour; only the order of answers hangs on it.
const CENTS_A_MINUTE: i64 = 60;

/// How near its line a total mass can be asked to be, grams. Trade practice: 4 g is easily held, 2 g with care.
const MASSES_WITHIN: [u8; 2] = [4, 2];

/// `GET /golfers/{golfer}/job/build`, with `?mass=2` where total mass is held to 2 g.
pub(crate) async fn show(
    State(app): State<App>,
    Path(id): Path<String>,
    Query(asked): Query<BTreeMap<String, String>>,
) -> Result<Markup, PageError> {
    let mass_within = match asked.get("mass").map(String::as_str) {
        None | Some("") => None,
        Some(typed) => {
            let known = MASSES_WITHIN.into_iter().find(|grams| grams.to_string() == typed);
            let refused =
                || PageError::bad("Expected a mass within 4 g or 2 g.", "Choose one of the page's.");
            Some(known.ok_or_else(refused)?)
        }
    };
    let (dossier, house) = app.golfer(&id).await?;
    let page = GolferPage::fresh(&app, &dossier, &house);
    let plan = dossier
        .plan(&house, page.now.day)
        .map_err(|_| PageError::not_measured("There is no target to build to yet."))?;
    let shelf = app.store.shelf().await?;
    let currency = house.value("currency").to_owned();
    // the solver takes a moment: not on the thread that answers everyone
    let built = tokio::task::spawn_blocking(move || {
        build_from_shelf(
            &plan,
            &shelf,
            CENTS_A_MINUTE,
            mass_within.map(|grams| Mass::grams(f64::from(grams))),
        )
    })
    .await
    .map_err(|_| PageError::bad("The build could not be worked out.", "Open the page again."))?;
    let content = html! {
        p class="next" { a class="button primary" href=(format!("{}/job", golfer_path(&dossier))) { "To the job" } }
        form method="get" class="stacked on-screen" {
            div class="entry" {
                label for="mass" { "Total mass" }
                select id="mass" class="field" name="mass" {
                    option value="" selected[mass_within.is_none()] { "falls as it does" }
                    @for grams in MASSES_WITHIN {
                        option value=(grams) selected[mass_within == Some(grams)] { "within " (grams) " g of the set's own line" }
                    }
                }
            }
            button { "Work it out" }
        }
        @match &built {
            Ok(built) => { (answers(built, &dossier, &currency)) }
            Err(error) => {
                p class="lead below" { "No build can be worked out: " (error) "." }
            }
        }
    };
    let path = format!("{}/job/build", golfer_path(&dossier));
    page.draw_at(&path, Some(StationName::Job), "Build from the shelf", &content).await
}

fn answers(built: &SetBuild, dossier: &Dossier, currency: &str) -> Markup {
    let build = &built.build;
    html! {
        p class="lead below" { "Every club to its target and to " (rich(&built.number)) @if let Some(slope) = built.slope_cpm_per_in { ", within 2 cpm of the set's own line of " (format!("{slope:.1}")) " cpm an inch" } @if let Some(within) = built.mass_within { ", within " (within.grams_printed(0)) " of its own line of masses" } ", with parts that are free on the shelf, at least cost in parts and minutes." }
        @if !build.because.is_empty() {
            section class="note care" role="status" {
                h2 { "It cannot be met" }
                ul class="plain" { @for why in &build.because { li { (rich(why)) "." } } }
                p { "The nearest stands below." }
            }
        }
        @if uses_tape(built) {
            p class="note care" { b { "Caution. " } "Head tape may be lead: gloves when cutting, wash hands after, keep it from children. On a child's club tungsten alone." }
        }
        @for (place, answer) in build.answers.iter().enumerate() {
            (one(built, answer, place, currency))
            (take_these(dossier, answer, place))
        }
        @if !build.binds.is_empty() {
            h2 { "What binds" }
            ul class="plain" {
                @for binding in &build.binds {
                    @if let Some(part) = built.parts.get(binding.part) {
                        li { "One more of " (part.name) " would save " (money(binding.saves_cents, currency)) " at least." }
                    }
                }
            }
        }
        @if build.is_narrowed { p class="note" { "There are more ways than were tried: a cheaper answer is not ruled out." } }
        p class="note" { "A minute at the bench counts " (money(CENTS_A_MINUTE, currency)) " here, beside what parts cost the house. It is a proposal: taking its ways changes what Target says of each club; parts are put aside on the job." }
    }
}

/// Whether any answer puts tape on a head.
fn uses_tape(built: &SetBuild) -> bool {
    let parts = built.build.answers.iter().flat_map(|answer| &answer.clubs).flat_map(|club| &club.parts);
    parts.filter_map(|(place, _)| built.parts.get(*place)).any(|part| part.kind == bench::PartKind::HeadTape)
}

fn money(cents: i64, currency: &str) -> String {
    format!("{currency} {}", Money::cents(cents)).trim().to_owned()
}

fn one(built: &SetBuild, answer: &BuildAnswer, place: usize, currency: &str) -> Markup {
    let heading = match (answer.is_within(), place) {
        (false, _) => "The nearest".to_owned(),
        (true, 0) => "The best".to_owned(),
        (true, place) => format!("Answer {}", place + 1),
    };
    html! {
        h2 { (heading) ": " (money(answer.cents, currency)) ", " (answer.minutes()) " min" }
        div class="wide" tabindex="0" role="group" aria-label=(heading) {
            table class="stack dense parts built" {
                thead { tr {
                    th class="text" scope="col" { "Club" } th class="text" scope="col" { "Way" } th class="text" scope="col" { "From the shelf" }
                    th scope="col" { "Length" } th scope="col" { "Scale" } th scope="col" { "Mass" }
                } }
                tbody { @for club in &answer.clubs { (row(built, club)) } }
            }
        }
    }
}

/// The clubs of an answer as they are on file, each with the word of its way.
fn ways_of<'d>(dossier: &'d Dossier, answer: &BuildAnswer) -> Vec<(&'d Kept<OwnedClub>, &'static str)> {
    let known = |club: &BuiltClub| dossier.live_clubs().find(|kept| kept.record.name == club.name);
    let clubs = answer.clubs.iter();
    clubs.filter_map(|club| Some((known(club)?, club.way.kind().words()))).collect()
}

/// The form that makes an answer's ways the fitter's choice; nothing where they are that already.
fn take_these(dossier: &Dossier, answer: &BuildAnswer, place: usize) -> Markup {
    let ways = ways_of(dossier, answer);
    let are_taken = ways.iter().all(|(kept, way)| kept.record.way.as_deref() == Some(*way));
    html! {
        @if are_taken {
            p class="soft" { "These ways are your choice on Target." }
        } @else {
            form method="post" action=(format!("{}/job/build", golfer_path(dossier))) class="on-screen below" {
                (act_id())
                @for (kept, way) in &ways {
                    input type="hidden" name=(format!("way.{}", kept.record.id)) value=(way);
                    input type="hidden" name=(format!("seen.{}", kept.record.id)) value=(kept.revision);
                }
                button aria-label=(format!("Take these ways: answer {}", place + 1)) { "Take these ways" }
            }
        }
    }
}

/// `POST /golfers/{golfer}/job/build`: the ways of an answer become the fitter's choice, all in one act.
pub(crate) async fn take(
    State(app): State<App>,
    Path(id): Path<String>,
    form: Form,
) -> Result<Redirect, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let mut changes = acts::act(&form, &house, "")?;
    let mut clubs = 0;
    for kept in dossier.live_clubs() {
        let id = &kept.record.id;
        let Some(typed) = form.get(&format!("way.{id}")) else { continue };
        let way = way_named(typed)?;
        let seen = form.get(&format!("seen.{id}")).and_then(|seen| seen.parse().ok());
        clubs += 1;
        let changed = OwnedClub { way, ..kept.record.clone() };
        changes = changes.with_changed(changed, seen.unwrap_or(kept.revision));
    }
    if clubs == 0 {
        return Err(PageError::out_of_date());
    }
    changes.sentence = format!("The ways of a build from the shelf, {clubs} clubs");
    acts::save_or_ask(&app, changes, &app.now(), &format!("{}/job/build", golfer_path(&dossier)), &form)
        .await?;
    Ok(Redirect::to(&format!("{}/target", golfer_path(&dossier))))
}

fn row(built: &SetBuild, club: &BuiltClub) -> Markup {
    let parts: Vec<String> = club
        .parts
        .iter()
        .filter_map(|(place, count)| Some((built.parts.get(*place)?, count)))
        .map(|(part, count)| match (part.kind, count) {
            (bench::PartKind::HeadTape, count) => format!("{count} in of {}", part.name),
            // pieces that were weighed share their name
            _ if built.parts.iter().filter(|other| other.name == part.name).count() > 1 => {
                format!("{}, {}", part.name, part.mass.grams_printed(2))
            }
            (_, 1) => part.name.clone(),
            (_, count) => format!("{count} \u{d7} {}", part.name),
        })
        .collect();
    html! {
        tr {
            th class="text" scope="row" { (club.name) @if !club.misses.is_empty() { p class="problem" { (rich(&club.misses.join(", "))) } } }
            td class="text" data-is="Way" { (rich(&club.way.words())) }
            td class="text" data-is="From the shelf" { (parts.join("; ")) }
            td data-is="Length" { (rich(&club.state.length.to_step(InchStep::Sixteenth).to_string())) }
            td data-is="Scale" { (club.state.swingweight) }
            td data-is="Mass" { (club.state.mass.grams_printed(0)) }
        }
    }
}
