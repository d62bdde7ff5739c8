//! Small drawings of how each body reading is taken, for the golfer's own hand.

use fitting::Handedness;
use maud::{Markup, html};
use studio::Field;

/// Draws how a reading is taken. The figure is seen from the front: a right-hander's lead hand hangs at its right edge.
pub(crate) fn drawing(field: Field, plays: Handedness) -> Markup {
    let mirror = match plays {
        Handedness::Right => "",
        Handedness::Left => "translate(120 0) scale(-1 1)",
    };
    let (title, description) = match field {
        Field::KnuckleHeight => (
            "Knuckle height",
            "From the floor up to the middle knuckle of the lead hand, arm hanging, fingers hooked",
        ),
        Field::WristHeight => {
            ("Wrist height", "From the floor up to the wrist crease of the lead hand, arm hanging")
        }
        Field::Stature => ("Stature", "From the floor to the top of the head"),
        Field::HandLength => {
            return hand(
                "hand-length",
                "Hand length",
                "From the wrist crease to the tip of the middle finger",
                (150.0, 14.0),
            );
        }
        Field::MiddleFinger => {
            return hand(
                "middle-finger",
                "Middle finger",
                "From the root of the middle finger to its tip",
                (72.0, 14.0),
            );
        }
        _ => return html! {},
    };
    let top = match field {
        Field::KnuckleHeight => 112.0,
        Field::WristHeight => 98.0,
        _ => 8.0,
    };
    let at_hand = field != Field::Stature;
    let id = field.key().replace('_', "-");
    html! {
        svg class="taking" viewBox="0 0 120 190" role="img" aria-labelledby=(format!("{id}-title {id}-desc")) {
            title id=(format!("{id}-title")) { (title) }
            desc id=(format!("{id}-desc")) { (description) ", for a " (plays.words()) " golfer." }
            g transform=(mirror) {
                circle class="line" cx="52" cy="20" r="12" {}
                path class="line" d="M46 32 L46 38 M58 32 L58 38 M34 44 Q52 34 70 44 L70 100 L34 100 Z" {}
                path class="line" d="M36 100 L38 178 L30 178 M68 100 L66 178 L74 178" {}
                path class="line" d="M34 46 L28 74 L30 98 L31 112" {}
                path class="line" d="M70 46 L77 74 L76 98" {}
                path class="line" d="M76 98 Q74 106 76 112 Q79 118 83 112" {}
                line class="rule" x1="14" y1="180" x2="112" y2="180" {}
                @if at_hand {
                    line class="dim" x1="80" y1=(top) x2="104" y2=(top) {}
                    circle class="solid-want" cx="78" cy=(top) r="3" {}
                } @else {
                    line class="dim" x1="52" y1=(top) x2="104" y2=(top) {}
                }
                line class="wanted" x1="98" y1=(top) x2="98" y2="180" {}
                path class="solid-want" d=(format!("M98 {top} l-3 9 h6 Z M98 180 l-3 -9 h6 Z")) {}
            }
        }
    }
}

/// A flat hand with a dimension from `from` up to `to` along the middle finger.
fn hand(id: &str, title: &str, description: &str, (from, to): (f64, f64)) -> Markup {
    html! {
        svg class="taking" viewBox="0 0 120 190" role="img" aria-labelledby=(format!("{id}-title {id}-desc")) {
            title id=(format!("{id}-title")) { (title) }
            desc id=(format!("{id}-desc")) { (description) "." }
            path class="line" d="M34 150 L30 100 L18 78 Q14 70 20 68 Q26 68 32 80 L36 88 L34 40 Q35 32 40 32 Q45 32 46 40 L48 72 L50 22 Q51 14 56 14 Q61 14 62 22 L63 72 L66 28 Q67 20 72 21 Q77 22 76 30 L76 76 L80 44 Q81 37 86 38 Q90 40 89 47 L84 110 L80 150" {}
            line class="rule" x1="28" y1="150" x2="88" y2="150" {}
            line class="dim" x1="56" y1=(from) x2="108" y2=(from) {}
            line class="dim" x1="58" y1=(to) x2="108" y2=(to) {}
            line class="wanted" x1="102" y1=(to) x2="102" y2=(from) {}
            path class="solid-want" d=(format!("M102 {to} l-3 9 h6 Z M102 {from} l-3 -9 h6 Z")) {}
        }
    }
}
