//! A visit of a trial in the bay: the club to hand over, the face to touch, one counted ball after another.
//!
//! No length, lean or mean stands on this page; the clubs go by letters.

use super::trial::{in_hand, trial_path};
use super::{GolferPage, pitch_mm};
use crate::acts;
use crate::app::{App, Now};
use crate::assets;
use crate::error::PageError;
use crate::form::Form;
use crate::parts::problem::{Problem, Refused, drawn_again, summary};
use crate::parts::responses;
use crate::shell::act_id;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use studio::{Dossier, HouseSettings, StationName, StrikeMark, TrialFile, place_words, read_place};
use trial::Responses;

/// `GET /golfers/{golfer}/trial/visits/{visit}`
pub(crate) async fn show(
    State(app): State<App>,
    Path((id, visit)): Path<(String, String)>,
) -> Result<Markup, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let visit = visit_of_address(&visit)?;
    bay(&GolferPage::fresh(&app, &dossier, &house), visit).await
}

/// Reads the visit of an address.
pub(crate) fn visit_of_address(text: &str) -> Result<u32, PageError> {
    text.parse().map_err(|_| PageError::NotFound("visit"))
}

async fn bay(page: &GolferPage<'_>, visit: u32) -> Result<Markup, PageError> {
    let dossier = page.dossier;
    let trial = &in_hand(dossier)?.record;
    let balls = trial.balls_of(visit);
    if balls.is_empty() {
        return Err(PageError::NotFound("visit"));
    }
    let taken: Vec<String> =
        dossier.balls(&trial.id, visit).iter().map(|mark| mark.record.ball.to_string()).collect();
    let code = trial.plan().code();
    let letters: String = balls.iter().map(|length| code[*length]).collect();
    let next = next_ball(dossier, trial, visit);
    let path = trial_path(dossier);
    let content = html! {
        (summary(page.refused))
        section id="bay" class="bay" data-turns=(letters) data-taken=(taken.join(" ")) data-path=(format!("{path}/strikes")) data-visit=(visit) {
            div class="called" {
                p class="small" id="ball" { @if let Some(ball) = next { "Ball " (ball) " of " (balls.len()) } @else { "All " (balls.len()) " balls are kept" } }
                p class="letter" id="letter" { @if let Some(letter) = next.and_then(|ball| nth(&letters, ball)) { (letter) } }
                p class="small" id="soon" { @if let Some(letter) = next.and_then(|ball| nth(&letters, ball + 1)) { "then " (letter) } }
                a id="to-the-trial" class=(if next.is_none() { "button primary" } else { "button" }) href=(path) { "To the trial" }
            }
            div class="touch" {
                (sheet::figure::face(dossier.golfer.record.plays, pitch_mm(dossier, &trial.club), "face"))
                (sheet::figure::face_sides(dossier.golfer.record.plays))
                p id="readout" class="readout" role="status" { "Touch the face where the ball was struck" }
            }
            div class="place" {
                form id="strike" method="post" action=(format!("{path}/strikes")) data-tick class="stacked" {
                    (act_id())
                    input type="hidden" name="visit" value=(visit);
                    input type="hidden" name="ball" value=(next.map(|ball| ball.to_string()).unwrap_or_default());
                    input type="hidden" name="step" value=(format!("ball-{}", next.unwrap_or_default()));
                    div class="entry" {
                        label for="place" { "Place" }
                        p class="hint" id="place-hint" { "Millimetres from the sweet spot, such as 5 toe 1 low" }
                        @if let Some(problem) = page.refused.at("place") { p class="problem" id="place-problem" { (problem) } }
                        input id="place" class="field name" type="text" name="place" value=(page.refused.value("place", "")) autocomplete="off" spellcheck="false"
                            aria-describedby="place-hint" aria-invalid=[page.refused.at("place").map(|_| "true")];
                    }
                    div class="nudges" id="nudges" hidden role="group" aria-label="Move the mark by 1 mm" {
                        @for (word, x, y) in [("toe", 1, 0), ("heel", -1, 0), ("high", 0, 1), ("low", 0, -1)] {
                            button type="button" data-x=(x) data-y=(y) { (word) }
                        }
                    }
                    (responses::entries(&trial.also_read, page.house.units(), page.refused))
                    div class="keepbar" {
                        button class=(if next.is_some() { "primary keep" } else { "keep" }) disabled[next.is_none()] { "Keep" }
                        button class="topped" type="button" id="topped" hidden { "Topped, not recorded" }
                    }
                }
                form id="take-back" method="post" action=(format!("{path}/take-back")) data-tick {
                    (act_id())
                    input type="hidden" name="visit" value=(visit);
                    input type="hidden" name="ball" value=(taken.last().map(String::as_str).unwrap_or_default());
                    input type="hidden" name="step" value="take-back";
                    button class="quiet" disabled[taken.is_empty()] { "Take the last ball back" }
                }
            }
        }
        p class="hint" { "Set this tablet's own lock time to a quarter of an hour or more: a page that sleeps has to be woken for every ball." }
        details class="below" {
            summary { "Write down the balls of a sheet" }
            (many_form(page, visit, &path))
        }
        script src=(assets::path("strikes.js")) defer {}
    };
    page.draw_alone(
        &format!("{path}/visits/{visit}"),
        StationName::Trial,
        &format!("Visit {visit}"),
        &content,
    )
    .await
}

fn many_form(page: &GolferPage<'_>, visit: u32, path: &str) -> Markup {
    html! {
        form method="post" action=(format!("{path}/strikes/many")) class="stacked" {
            (act_id())
            input type="hidden" name="visit" value=(visit);
            (crate::parts::field::text_area(
                "places",
                "Places, one line a ball, in the order of the sheet",
                "From the first ball that is not kept yet: 5 toe 1 low, or -5 1. Lines can be pasted from a spreadsheet.",
                page.refused.value("places", ""),
                page.refused.at("places"),
            ))
            button { "Keep these balls" }
        }
    }
}

fn nth(letters: &str, ball: u32) -> Option<char> {
    letters.chars().nth(usize::try_from(ball).ok()?.checked_sub(1)?)
}

/// The first ball of a visit that is not kept.
fn next_ball(dossier: &Dossier, trial: &TrialFile, visit: u32) -> Option<u32> {
    let taken: Vec<u32> = dossier.balls(&trial.id, visit).iter().map(|mark| mark.record.ball).collect();
    let planned = u32::try_from(trial.balls_of(visit).len()).unwrap_or_default();
    (1..=planned).find(|ball| !taken.contains(ball))
}

/// One ball as it will be kept.
struct Ball<'a> {
    dossier: &'a Dossier,
    trial: &'a TrialFile,
    visit: u32,
    ball: u32,
}

impl Ball<'_> {
    /// The mark; its id follows from its place in the trial, so that two devices cannot both keep it.
    fn mark(
        &self,
        (x_mm, y_mm): (f64, f64),
        responses: Responses,
        by: &str,
        now: &Now,
    ) -> Result<StrikeMark, PageError> {
        let Self { dossier, trial, visit, ball } = self;
        let length =
            trial.balls_of(*visit).get(usize::try_from(*ball).unwrap_or_default().wrapping_sub(1)).copied();
        let length = length.ok_or_else(|| {
            PageError::bad("The visit has no such ball.", "Open the visit again; what was kept is there.")
        })?;
        let of_place = dossier.strikes.iter().map(|kept| &kept.record);
        let of_place =
            of_place.filter(|mark| mark.trial == trial.id && mark.visit == *visit && mark.ball == *ball);
        let before: Vec<&StrikeMark> = of_place.collect();
        if let Some(kept) = before.iter().find(|mark| !mark.removed) {
            return Err(PageError::Status(
                StatusCode::CONFLICT,
                format!(
                    "Ball {ball} of visit {visit} was kept already, on this device or another: {}. Yours, {}, was not saved.",
                    place_words(kept.x_mm, kept.y_mm),
                    place_words(x_mm, y_mm)
                ),
            ));
        }
        let place = usize::try_from(*visit * 1000 + *ball).unwrap_or_default() * 1000 + before.len();
        Ok(StrikeMark {
            id: acts::record_id(&trial.id, place),
            golfer: trial.golfer.clone(),
            trial: trial.id.clone(),
            visit: *visit,
            ball: *ball,
            offset_in: trial.offsets_in[length],
            x_mm,
            y_mm,
            responses,
            by: by.to_owned(),
            day: now.day,
            at_ms: now.ms,
            removed: false,
        })
    }
}

fn number(form: &Form, name: &str) -> Result<u32, PageError> {
    let read = form.filled(name).and_then(|text| text.parse().ok());
    read.ok_or_else(|| {
        PageError::bad("This page is out of date.", "Open the visit again; what was kept is there.")
    })
}

/// What a form of a visit was sent for.
struct Sent {
    dossier: Dossier,
    house: HouseSettings,
    now: Now,
    visit: u32,
    /// The same act was saved before: what it asks is done.
    is_known: bool,
}

impl Sent {
    async fn read(app: &App, id: &str, form: &Form) -> Result<Self, PageError> {
        let (dossier, house) = app.golfer(id).await?;
        let visit = number(form, "visit")?;
        Ok(Self { dossier, house, now: app.now(), visit, is_known: acts::is_known(app, form).await? })
    }

    /// Back to the visit.
    fn done(&self) -> Response {
        Redirect::to(&format!("{}/visits/{}", trial_path(&self.dossier), self.visit)).into_response()
    }
}

/// `POST /golfers/{golfer}/trial/strikes`: keeps one ball.
pub(crate) async fn take(
    State(app): State<App>,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let sent = Sent::read(&app, &id, &form).await?;
    if sent.is_known {
        return Ok(sent.done());
    }
    let Sent { dossier, house, now, visit, .. } = &sent;
    let (trial, visit) = (&in_hand(dossier)?.record, *visit);
    let place = read_place(form.get("place").unwrap_or_default());
    let place = place.map_err(|error| vec![Problem::of("place", "Place", &error)]);
    let (place, responses) = match (place, responses::read(&trial.also_read, house.units(), &form)) {
        (Ok(place), Ok(responses)) => (place, responses),
        (place, responses) => {
            let problems = [place.err(), responses.err()].into_iter().flatten().flatten().collect::<Vec<_>>();
            let page = GolferPage::again(&app, dossier, house, Refused::of(&form, &problems));
            return Ok(drawn_again(bay(&page, visit).await?));
        }
    };
    let ball = number(&form, "ball")?;
    let changes = acts::act(&form, house, format!("Trial, visit {visit}: ball {ball}"))?;
    let mark = Ball { dossier, trial, visit, ball }.mark(place, responses, &changes.by, now)?;
    acts::save(&app, changes.with_new(mark), now).await?;
    Ok(sent.done())
}

/// `POST /golfers/{golfer}/trial/strikes/many`: keeps the balls of a sheet, all or none.
pub(crate) async fn take_many(
    State(app): State<App>,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let sent = Sent::read(&app, &id, &form).await?;
    if sent.is_known {
        return Ok(sent.done());
    }
    let Sent { dossier, house, now, visit, .. } = &sent;
    let (trial, visit) = (&in_hand(dossier)?.record, *visit);
    let lines: Vec<&str> =
        form.get("places").unwrap_or_default().lines().filter(|line| !line.trim().is_empty()).collect();
    let taken: Vec<u32> = dossier.balls(&trial.id, visit).iter().map(|mark| mark.record.ball).collect();
    let planned = u32::try_from(trial.balls_of(visit).len()).unwrap_or_default();
    let free: Vec<u32> = (1..=planned).filter(|ball| !taken.contains(ball)).collect();
    let mut problems = Vec::new();
    let mut changes =
        acts::act(&form, house, format!("Trial, visit {visit}: {} balls of a sheet", lines.len()))?;
    if lines.is_empty() || lines.len() > free.len() {
        let words = format!("Places: expected 1 to {} lines, found {}.", free.len(), lines.len());
        problems.push(Problem { field: "places".to_owned(), words });
    } else {
        for (place, (line, ball)) in lines.iter().zip(free).enumerate() {
            match read_place(&line.replace('\t', " ")) {
                Ok(read) => {
                    let ball = Ball { dossier, trial, visit, ball };
                    let mark = ball.mark(read, Responses::default(), &changes.by, now)?;
                    changes.add_new(mark);
                }
                Err(error) => problems.push(Problem::of("places", &format!("Line {}", place + 1), &error)),
            }
        }
    }
    if !problems.is_empty() {
        let page = GolferPage::again(&app, dossier, house, Refused::of(&form, &problems));
        return Ok(drawn_again(bay(&page, visit).await?));
    }
    acts::save(&app, changes, now).await?;
    Ok(sent.done())
}

/// `POST /golfers/{golfer}/trial/take-back`: takes a ball of a visit back.
pub(crate) async fn take_back(
    State(app): State<App>,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let sent = Sent::read(&app, &id, &form).await?;
    if sent.is_known {
        return Ok(sent.done());
    }
    let Sent { dossier, house, now, visit, .. } = &sent;
    let (trial, visit) = (&in_hand(dossier)?.record, *visit);
    let ball = number(&form, "ball")?;
    let kept = dossier.balls(&trial.id, visit).into_iter().find(|kept| kept.record.ball == ball);
    let kept = kept.ok_or_else(|| {
        PageError::bad(
            format!("Ball {ball} of visit {visit} is not kept."),
            "Open the visit again; what was kept is there.",
        )
    })?;
    let sentence = format!("Trial, visit {visit}: ball {ball} taken back");
    let removed = StrikeMark { removed: true, ..kept.record.clone() };
    let changes = acts::act(&form, house, sentence)?.with_changed(removed, kept.revision);
    acts::save(&app, changes, now).await?;
    Ok(sent.done())
}
