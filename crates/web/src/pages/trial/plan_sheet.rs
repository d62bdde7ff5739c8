//! The order sheet of a visit on paper: clubs by letter, a line for every ball.

use super::{in_hand, trial_path};
use crate::app::App;
use crate::error::PageError;
use crate::pages::strikes::visit_of_address;
use crate::shell::paper;
use axum::extract::{Path, State};
use maud::{Markup, html};

/// `GET /golfers/{golfer}/trial/visits/{visit}/sheet`
pub(crate) async fn order_sheet(
    State(app): State<App>,
    Path((id, visit)): Path<(String, String)>,
) -> Result<Markup, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let visit = visit_of_address(&visit)?;
    let now = app.now().in_words_of(&house);
    let trial = &in_hand(&dossier)?.record;
    let balls = trial.balls_of(visit);
    if balls.is_empty() {
        return Err(PageError::NotFound("visit"));
    }
    let code = trial.plan().code();
    let name = &dossier.golfer.record.name;
    let content = html! {
        header class="top" {
            div { p class="small soft" { (house.value("name")) } h1 { "Order of visit " (visit) } p { (name) ", " (trial.club) } }
            dl class="facts" { dt { "Printed" } dd { (now.date(now.day)) } dt { "Balls" } dd { (balls.len()) } dt { "Day" } dd { span class="blank" {} } }
        }
        p { "Five to ten balls to warm up that do not count. Hand the club over by its letter. Read every counted ball from the sweet spot; a ball topped or shanked is not written down and is hit again." }
        table class="steps" {
            thead { tr { th scope="col" { "Ball" } th class="text" scope="col" { "Club" } th class="text" scope="col" { "mm toe or heel" } th class="text" scope="col" { "mm high or low" } } }
            tbody {
                @for (ball, length) in (1..).zip(&balls) {
                    tr {
                        td { (ball) }
                        td class="text" { b { (code[*length]) } }
                        td class="text" { span class="blank" {} }
                        td class="text" { span class="blank" {} }
                    }
                }
            }
        }
    };
    let tools = html! {
        a class="button" href=(trial_path(&dossier)) { "Back to the trial" }
        " "
        button class="primary" type="button" data-print hidden { "Print" }
    };
    Ok(paper(&format!("Order of visit {visit}, {name}"), &tools, &content))
}
