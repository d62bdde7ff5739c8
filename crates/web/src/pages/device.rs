//! This device: its look and the hand that holds it. Kept on the device alone, not in the studio.

use crate::device::{Device, LEFT, LOOKS};
use crate::form::Form;
use crate::parts::field::choice;
use crate::request;
use axum::http::header;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};

/// Draws the settings of this device.
pub(crate) fn settings() -> Markup {
    let device = request::device();
    let looks = [("system", "as the system"), (LOOKS[0], "light, for a bright bay"), (LOOKS[1], "dark")];
    html! {
        section class="settings" id="device" {
            h2 { "This device" }
            p class="lead soft" { "Kept on this device and nowhere else." }
            form method="post" action="/device" class="stacked" {
                (choice("look", "Look", &looks, device.look.unwrap_or("system")))
                (choice("thumb", "Buttons at the thumb of", &[("right", "the right hand"), (LEFT, "the left hand")], device.thumb.unwrap_or("right")))
                button { "Keep it on this device" }
            }
        }
    }
}

/// `POST /device`
pub(crate) async fn keep(form: Form) -> Response {
    let device = Device::chosen(form.get("look").unwrap_or_default(), form.get("thumb").unwrap_or_default());
    ([(header::SET_COOKIE, device.to_header())], Redirect::to("/house#device")).into_response()
}
