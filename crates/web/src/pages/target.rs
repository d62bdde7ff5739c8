//! Target: the length of every club with its interval, the ways side by side, and what would be if.

use super::GolferPage;
use crate::acts;
use crate::app::{App, Now};
use crate::error::PageError;
use crate::form::{Asked, Form};
use crate::maps::Maps;
use crate::parts::field::{Field, Width, choice};
use crate::parts::numbers;
use crate::parts::target_box::target_box;
use crate::parts::ways::{way_of, ways};
use crate::parts::yards;
use crate::shell::{act_id, golfer_path};
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Redirect;
use bench::SetPlan;
use maud::{Markup, html};
use quantity::{InchStep, Length};
use sheet::figure::{BEFORE_AFTER_MARKS, BEFORE_AFTER_NAME, before_after, ladder};
use sheet::words::rich;
use studio::{Dossier, GolferFile, HouseSettings, OwnedClub, StationName, StudioError, target_words};

/// What would be if.
#[derive(Debug)]
struct WhatIf {
    /// Sixteenths of an inch added to the knuckle height.
    knuckle: i16,
    /// Sixteenths of an inch added to every club.
    clubs: i16,
    /// The house with other weights and tapes on the shelf.
    house: HouseSettings,
    /// Why the house cannot have what was typed: the setting and what is wrong.
    refused: Option<(&'static str, StudioError)>,
}

/// The settings of the house that hold a number, to be tried here.
const ON_THE_SHELF: [&str; 3] = ["tip_weights", "butt_weights", "tapes"];

/// Most sixteenths a what-if goes to either side.
const MOST_SIXTEENTHS: i16 = 48;

impl WhatIf {
    /// Reads what was asked; what is no number of sixteenths is said.
    fn of(asked: &Form, house: &HouseSettings) -> Result<Self, PageError> {
        let sixteenths = |name: &str| match asked.filled(name) {
            None => Ok(0),
            Some(typed) => match typed.parse::<i16>() {
                Ok(number) if (-MOST_SIXTEENTHS..=MOST_SIXTEENTHS).contains(&number) => Ok(number),
                _ => Err(PageError::bad(
                    format!(
                        "Expected sixteenths of an inch from -{MOST_SIXTEENTHS} to {MOST_SIXTEENTHS}, found something else."
                    ),
                    "Move the sliders.",
                )),
            },
        };
        let (mut tried, mut refused) = (house.clone(), None);
        for key in ON_THE_SHELF {
            let typed = asked.get(key).unwrap_or_else(|| house.value(key));
            match tried.with(key, typed) {
                Ok(changed) => tried = changed,
                Err(error) => refused = Some((key, error)),
            }
        }
        Ok(Self { knuckle: sixteenths("knuckle")?, clubs: sixteenths("clubs")?, house: tried, refused })
    }

    fn is_asked(&self, house: &HouseSettings) -> bool {
        let is_of_the_shelf = ON_THE_SHELF.iter().any(|key| self.house.value(key) != house.value(key));
        self.knuckle != 0 || self.clubs != 0 || is_of_the_shelf || self.refused.is_some()
    }

    fn inches(sixteenths: i16) -> Length {
        InchStep::Sixteenth.length() * f64::from(sixteenths.clamp(-MOST_SIXTEENTHS, MOST_SIXTEENTHS))
    }
}

/// `GET /golfers/{golfer}/target`
pub(crate) async fn show(
    State(app): State<App>,
    Path(id): Path<String>,
    Asked(asked): Asked,
) -> Result<Markup, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let page = GolferPage::fresh(&app, &dossier, &house);
    let what_if = WhatIf::of(&asked, &house)?;
    let planned = dossier.plan(&house, page.now.day);
    let content = match &planned {
        Ok(plan) => the_target(&dossier, &house, plan, &what_if, &page.now, &app.maps),
        Err(_) => html! {
            (target_box(&planned, &dossier))
            p class="next" {
                a class="button primary" href=(format!("{}/measure", golfer_path(&dossier))) { "To the readings" }
                " "
                a class="button" href=(format!("{}/clubs", golfer_path(&dossier))) { "To the clubs" }
            }
        },
    };
    page.draw(Some(StationName::Target), "Target", &content).await
}

fn the_target(
    dossier: &Dossier,
    house: &HouseSettings,
    plan: &SetPlan,
    what_if: &WhatIf,
    now: &Now,
    maps: &Maps,
) -> Markup {
    let path = format!("{}/target", golfer_path(dossier));
    let has_clubs = !plan.clubs.is_empty();
    html! {
        div class="cols" {
            section {
                (target_box(&Ok(plan.clone()), dossier))
                (keep_form(dossier, plan, &path))
            }
            section class="aside on-screen" { (holding(dossier, house, &path)) (asking(dossier, house, what_if, &path, now)) }
        }
        @if let Some(figure) = ladder(plan).filter(|_| has_clubs && !plan.target.is_for_a_growing_golfer()) {
            h2 { "The set" }
            figure { div class="wide" tabindex="0" role="group" aria-label="The set, now and as it should be" { (figure) } }
            (numbers::of_the_ladder(plan))
        }
        @if has_clubs {
            h2 { "Ways" }
            (ways(dossier, plan, &path))
        } @else {
            p class="note" { "No club is written down yet. " a href=(format!("{}/clubs", golfer_path(dossier))) { "Write down the clubs" } }
        }
        @if let Some(figure) = before_after(plan) {
            h2 { "Before and after" }
            figure {
                div class="wide" tabindex="0" role="group" aria-label=(BEFORE_AFTER_NAME) { (figure) }
                figcaption { (BEFORE_AFTER_MARKS) }
            }
            (numbers::of_before_and_after(plan))
        }
        @if has_clubs { (yards::of_the_set(dossier, house, plan, maps)) }
    }
}

fn keep_form(dossier: &Dossier, plan: &SetPlan, path: &str) -> Markup {
    let words = target_words(plan);
    let kept = dossier.target().map(|kept| kept.record.words.as_str());
    html! {
        form method="post" action=(format!("{path}/keep")) class="next" {
            (act_id())
            input type="hidden" name="shown" value=(words);
            @match kept {
                Some(kept) if kept == words => {
                    p class="soft" { "Kept." }
                    a class="button primary" href=(format!("{}/job", golfer_path(dossier))) { "On to the job" }
                }
                Some(kept) => {
                    p class="note care" { "Kept as " (rich(kept)) "; the readings now say otherwise." }
                    button class="primary" { "Keep this target instead" }
                }
                None => { button class="primary" { "Keep this target" } }
            }
        }
    }
}

fn holding(dossier: &Dossier, house: &HouseSettings, path: &str) -> Markup {
    let chosen = dossier.golfer.record.hold.as_deref().unwrap_or_default();
    let as_house = format!("as the house does ({})", house.value("hold"));
    let options = [
        ("", as_house.as_str()),
        ("swingweight", "the swingweight"),
        ("inertia", "the inertia"),
        ("neither", "neither"),
    ];
    html! {
        form method="post" action=(path) class="stacked" {
            (act_id())
            input type="hidden" name="seen" value=(dossier.golfer.revision);
            (choice("hold", "What the bench holds when a length changes", &options, chosen))
            button { "Work it out so" }
        }
    }
}

fn asking(dossier: &Dossier, house: &HouseSettings, what_if: &WhatIf, path: &str, now: &Now) -> Markup {
    html! {
        h2 { "What if" }
        form method="get" action=(path) class="stacked" hx-get=(path) hx-trigger="input delay:120ms" hx-select="#what-if" hx-target="#what-if" hx-swap="outerHTML" hx-sync="this:replace" {
            (slider("knuckle", "Knuckle height", what_if.knuckle))
            (slider("clubs", "Length of every club", what_if.clubs))
            details open[ON_THE_SHELF.iter().any(|key| what_if.house.value(key) != house.value(key))] {
                summary { "Other weights and tapes" }
                @for setting in ON_THE_SHELF.iter().filter_map(|key| HouseSettings::setting(key)) {
                    (Field {
                        name: setting.key,
                        label: setting.label,
                        hint: "",
                        value: what_if.house.value(setting.key),
                        problem: None,
                        width: Width::Name,
                        options: &[],
                    }.draw())
                }
                p class="small" { a href="/house#tip-weights" { "What is on the shelf for good" } }
            }
            button { "Show" }
        }
        div id="what-if" role="status" { @if what_if.is_asked(house) { (answer(dossier, house, what_if, now)) } }
    }
}

fn slider(name: &str, label: &str, value: i16) -> Markup {
    html! {
        div class="entry" {
            label for=(name) { (label) ", sixteenths of an inch more or less" }
            input id=(name) type="range" name=(name) min=(-MOST_SIXTEENTHS) max=(MOST_SIXTEENTHS) step="1" value=(value.clamp(-MOST_SIXTEENTHS, MOST_SIXTEENTHS));
        }
    }
}

fn answer(dossier: &Dossier, house: &HouseSettings, what_if: &WhatIf, now: &Now) -> Markup {
    let (knuckle, clubs) = (WhatIf::inches(what_if.knuckle), WhatIf::inches(what_if.clubs));
    let signed = |length: Length| {
        let step = length.to_step(InchStep::Sixteenth);
        format!("{}{}", step.sign(true), length.abs().to_step(InchStep::Sixteenth))
    };
    html! {
        @if let Some((key, error)) = &what_if.refused {
            p class="note care" {
                (HouseSettings::setting(key).map_or("", |setting| setting.label)) ": " (error.to_string()) "."
                @if let Some(hint) = error.hint() { " " (hint) }
            }
        }
        p class="soft" {
            "Knuckle height " (rich(&signed(knuckle))) ", clubs " (rich(&signed(clubs)))
            @for key in ON_THE_SHELF.iter().filter(|key| what_if.house.value(key) != house.value(key)) {
                ", " (HouseSettings::setting(key).map_or(String::new(), |setting| setting.label.to_lowercase())) " " (what_if.house.value(key))
            }
        }
        @match dossier.plan_if(&what_if.house, now.day, knuckle, clubs) {
            Ok(plan) => {
                p class="big" { (rich(&target_words(&plan))) }
                ul class="plain small" {
                    @for club in &plan.clubs {
                        @if let Some(outcome) = club.chosen() {
                            @let held = outcome.held(plan.house.hold).and_then(|remedy| remedy.fix.short());
                            li { (club.club.name) ": " (rich(&outcome.way.words())) @if let Some(held) = held { span class="soft" { ", " (rich(&held)) } } }
                        }
                    }
                }
            }
            Err(_) => { p class="note care" { "So far the rule cannot be asked: no body or no club is like that." } }
        }
    }
}

/// `POST /golfers/{golfer}/target`: changes what is held, or the way of a club.
pub(crate) async fn choose(
    State(app): State<App>,
    Path(id): Path<String>,
    form: Form,
) -> Result<Redirect, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let now = app.now();
    let path = format!("{}/target", golfer_path(&dossier));
    let changes = if let Some(hold) = form.get("hold") {
        if !matches!(hold, "" | "swingweight" | "inertia" | "neither") {
            return Err(PageError::bad("Expected swingweight, inertia or neither.", "Choose one of them."));
        }
        let kept = &dossier.golfer;
        let seen = form.seen_or(kept.revision);
        let changed = GolferFile { hold: (!hold.is_empty()).then(|| hold.to_owned()), ..kept.record.clone() };
        let words = if hold.is_empty() { "what the house holds" } else { hold };
        acts::act(&form, &house, format!("The bench holds {words}"))?.with_changed(changed, seen)
    } else {
        let club = form.get("club").unwrap_or_default();
        let kept = dossier
            .live_clubs()
            .find(|kept| kept.record.id.as_str() == club)
            .ok_or(PageError::NotFound("club"))?;
        let way = way_of(&form)?;
        let seen = form.seen_or(kept.revision);
        let sentence = format!("{}: {}", kept.record.name, way.as_deref().unwrap_or("the tool's way"));
        let changed = OwnedClub { way, ..kept.record.clone() };
        acts::act(&form, &house, sentence)?.with_changed(changed, seen)
    };
    acts::save_or_ask(&app, changes, &now, &path, &form).await?;
    Ok(Redirect::to(&path))
}

/// `POST /golfers/{golfer}/target/keep`: keeps the target with everything it came from.
pub(crate) async fn keep(
    State(app): State<App>,
    Path(id): Path<String>,
    form: Form,
) -> Result<Redirect, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let now = app.now();
    let mut changes = acts::act(&form, &house, "")?;
    let target = dossier
        .new_target(acts::record_id(&changes.id, 0), &changes.by, &house, now.day, now.ms)
        .map_err(|_| PageError::not_measured("There is no target to keep yet."))?;
    if form.get("shown").is_some_and(|shown| shown != target.words) {
        let words = format!(
            "The readings have changed since this page was opened: the target is now {}. Look at it and keep it again.",
            target.words
        );
        return Err(PageError::Status(StatusCode::CONFLICT, words));
    }
    changes.sentence = format!("Target kept: six-iron {}", target.words);
    acts::save(&app, changes.with_new(target), &now).await?;
    Ok(Redirect::to(&format!("{}/job", golfer_path(&dossier))))
}
