//! What is read with a ball in the bay besides its place: each with a field of its own, none of them needed.

use super::field::{Field, Width};
use super::problem::{Problem, Refused};
use crate::form::Form;
use maud::{Markup, html};
use studio::{Units, read_response};
use trial::{Response, Responses};

/// Draws the fields.
pub(crate) fn entries(also_read: &[Response], units: Units, refused: Refused<'_>) -> Markup {
    html! {
        @for response in also_read {
            @let (label, example) = asked(*response, units);
            (Field {
                name: response.column(),
                label,
                hint: example,
                value: refused.value(response.column(), ""),
                problem: refused.at(response.column()),
                width: Width::Number,
                options: &[],
            }.draw())
        }
    }
}

/// Reads what was typed; what is wrong is named all at once.
pub(crate) fn read(also_read: &[Response], units: Units, form: &Form) -> Result<Responses, Vec<Problem>> {
    let (mut responses, mut problems) = (Responses::default(), Vec::new());
    for response in also_read {
        let Some(typed) = form.filled(response.column()) else { continue };
        match read_response(*response, typed, units) {
            Ok(value) => responses.set(*response, value),
            Err(error) => {
                problems.push(Problem::of(response.column(), asked(*response, units).0, &error));
            }
        }
    }
    if problems.is_empty() { Ok(responses) } else { Err(problems) }
}

/// The name of a field and what may be typed.
const fn asked(response: Response, units: Units) -> (&'static str, &'static str) {
    match (response, units) {
        (Response::HeadSpeed, _) => ("Head speed", "Such as 78 mph"),
        (Response::BallSpeed, _) => ("Ball speed", "Such as 108 mph"),
        (Response::Carry, Units::Metric) => ("Carry", "Such as 137 m"),
        (Response::Carry, Units::Inches) => ("Carry", "Such as 150 yd"),
        (Response::Tempo, _) => ("Tempo", "Backswing to downswing, such as 3:1"),
    }
}
