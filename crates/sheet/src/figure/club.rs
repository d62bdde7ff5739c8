//! One club drawn to scale along its shaft, with its dimensions and where its masses sit.
//!
//! Seen with the face to the viewer, grip to the left: a right-hander's toe points down, a left-hander's
//! up. Across the shaft the drawing is widened, or a butt of 0.6 in would be a hair.

use super::{Frame, at, dimension, line};
use crate::words::rich_svg;
use bench::{ClubPlan, Outcome, Way};
use club::{FULCRUM, bench_model};
use fitting::Handedness;
use maud::{Markup, html};
use quantity::{InchStep, Length, Mass};

const WIDTH: f64 = 760.0;
const HEIGHT: f64 = 232.0;
const LEFT: f64 = 24.0;
const RIGHT: f64 = 706.0;
const AXIS_Y: f64 = 112.0;
/// Dimension lines: the length afterwards above, the length now below.
const AFTER_Y: f64 = 26.0;
const NOW_Y: f64 = 212.0;

/// Draws the club with the work of the chosen way; `None` for a club outside the rule.
pub fn club(plan: &ClubPlan, plays: Handedness) -> Option<Markup> {
    let outcome = plan.chosen()?;
    let drawing = Drawing::new(plan, outcome, plays);
    let frame = Frame {
        id: "club",
        class: "club",
        width: WIDTH,
        height: HEIGHT,
        title: format!("{}, to scale along the shaft: dimensions and masses", plan.club.name),
        description: drawing.description(),
    };
    Some(frame.draw(&html! {
        (drawing.body())
        (drawing.work())
        (drawing.lengths())
        (drawing.balance())
        (drawing.masses())
    }))
}

struct Drawing<'a> {
    plan: &'a ClubPlan,
    outcome: &'a Outcome,
    /// Where the old grip end lies, from the left end of the drawing: what is extended stands before it.
    old_end: Length,
    units_per_inch: f64,
    /// +1 when the toe points down.
    toe: f64,
}

impl<'a> Drawing<'a> {
    fn new(plan: &'a ClubPlan, outcome: &'a Outcome, plays: Handedness) -> Self {
        let old_end = match outcome.way {
            Way::Extend(by, _) => by,
            Way::OtherShaft(by) => by.max(Length::ZERO),
            Way::Leave | Way::GripDown(_) | Way::Cut(_) | Way::Regrip(_) => Length::ZERO,
        };
        let whole = old_end + plan.club.length();
        Self {
            plan,
            outcome,
            old_end,
            units_per_inch: (RIGHT - LEFT) / whole.as_inches(),
            toe: match plays {
                Handedness::Right => 1.0,
                Handedness::Left => -1.0,
            },
        }
    }

    /// Coordinate of a place on the old club, from its own grip end.
    fn old(&self, from_grip_end: Length) -> f64 {
        LEFT + (self.old_end + from_grip_end).as_inches() * self.units_per_inch
    }

    /// Coordinate of a place on the club as it will be, from its new grip end.
    fn new_place(&self, from_grip_end: Length) -> f64 {
        let lost = self.plan.club.length() + self.old_end - self.outcome.after.length;
        LEFT + (lost + from_grip_end).as_inches() * self.units_per_inch
    }

    /// Coordinate of a point across the shaft, toe side positive.
    fn across(&self, toward_toe: f64) -> f64 {
        AXIS_Y + self.toe * toward_toe
    }

    fn body(&self) -> Markup {
        let (butt, mark) = (self.old(Length::ZERO), self.old(self.plan.club.length()));
        let grip_end = self.old(bench_model::GRIP_LENGTH);
        let hosel = mark - 2.5 * self.units_per_inch;
        let y = |toe: f64| at(self.across(toe));
        let grip = format!(
            "M{} {} L{} {} L{} {} L{} {} Z",
            at(butt),
            y(-8.0),
            at(grip_end),
            y(-5.0),
            at(grip_end),
            y(5.0),
            at(butt),
            y(8.0)
        );
        let shaft = format!(
            "M{} {} L{} {} M{} {} L{} {}",
            at(grip_end),
            y(-4.0),
            at(hosel),
            y(-2.4),
            at(grip_end),
            y(4.0),
            at(hosel),
            y(2.4)
        );
        // a plain iron head: hosel, top line, toe, sole with the leading edge on the length mark
        let head = format!(
            "M{h0} {a} L{h1} {b} C{c1} {b} {c2} {c} {d1} {d} L{e1} {e} Q{f1} {f} {g1} {g} L{i1} {i} C{j1} {j} {k1} {k} {h0} {l} Z",
            h0 = at(hosel),
            a = y(-3.4),
            h1 = at(mark - 9.0),
            b = y(-4.2),
            c1 = at(mark),
            c2 = at(mark + 1.5),
            c = y(0.0),
            d1 = at(mark + 2.0),
            d = y(10.0),
            e1 = at(mark + 3.0),
            e = y(44.0),
            f1 = at(mark + 2.0),
            f = y(52.0),
            g1 = at(mark - 8.0),
            g = y(52.0),
            i1 = at(mark - 22.0),
            i = y(48.0),
            j1 = at(mark - 24.0),
            j = y(24.0),
            k1 = at(mark - 20.0),
            k = y(5.0),
            l = y(3.4)
        );
        let ferrule = hosel - 8.0;
        html! {
            path class="rubber" d=(grip) {}
            path class="line" d=(shaft) {}
            path class="body" d=(head) {}
            rect class="solid" x=(at(ferrule)) y=(at(AXIS_Y - 3.6)) width="8" height="7.2" {}
            path class="dim" d=(self.grooves(mark)) {}
        }
    }

    /// Score lines at the head's own pitch, drawn to scale: the drawing's inch is the face's inch.
    fn grooves(&self, mark: f64) -> String {
        let pitch = self.plan.club.head.groove_pitch.as_inches() * self.units_per_inch;
        (0..6)
            .map(|groove| {
                let x = mark - 3.5 - f64::from(groove) * pitch;
                format!("M{} {} L{} {} ", at(x), at(self.across(15.0)), at(x), at(self.across(40.0)))
            })
            .collect()
    }

    /// What is added or taken off at the grip end.
    fn work(&self) -> Markup {
        let butt = self.old(Length::ZERO);
        match self.outcome.way {
            Way::Extend(by, plug) => {
                let start = self.new_place(Length::ZERO);
                let seated = butt + (plug.length - by).as_inches() * self.units_per_inch;
                html! {
                    rect class="new" x=(at(start)) y=(at(AXIS_Y - 8.0)) width=(at(butt - start)) height="16" {}
                    path class="hidden-edge" d=(format!("M{} {} H{} V{} H{}", at(butt), at(AXIS_Y - 3.2), at(seated), at(AXIS_Y + 3.2), at(butt))) {}
                    (self.note_below(butt, &format!(
                        "{} showing, {} seated",
                        by.to_step(InchStep::Sixteenth),
                        (plug.length - by).to_step(InchStep::Sixteenth)
                    )))
                }
            }
            Way::Cut(by) => self.taken_off(butt, by),
            Way::GripDown(by) => {
                let hands = self.old(by);
                html! {
                    (line("wanted", (hands, AXIS_Y - 22.0), (hands, AXIS_Y + 22.0)))
                    (self.note_below(hands, &format!("hands {} down", by.to_step(InchStep::Sixteenth))))
                }
            }
            Way::Leave | Way::Regrip(_) | Way::OtherShaft(_) => html! {},
        }
    }

    fn taken_off(&self, butt: f64, by: Length) -> Markup {
        let cut = self.old(by);
        html! {
            rect class="mask" x=(at(butt - 1.0)) y=(at(AXIS_Y - 9.5)) width=(at(cut - butt)) height="19" {}
            rect class="off" x=(at(butt)) y=(at(AXIS_Y - 8.0)) width=(at(cut - butt)) height="16" {}
            (line("wanted", (cut, AXIS_Y - 22.0), (cut, AXIS_Y + 22.0)))
            (self.note_below(cut, &format!("cut {}", by.to_step(InchStep::Sixteenth))))
        }
    }

    /// A word on the work, under the grip end.
    fn note_below(&self, x: f64, words: &str) -> Markup {
        html! { text class="quiet accent" x=(at(x + 5.0)) y=(at(AXIS_Y + 40.0)) { (rich_svg(words)) } }
    }

    /// Length now below, length after above, each on its own dimension line.
    fn lengths(&self) -> Markup {
        let mark = self.old(self.plan.club.length());
        let now = self.plan.club.length().with_metric(InchStep::Sixteenth);
        let held_to = match self.outcome.way {
            Way::GripDown(by) => Some((by, self.plan.club.length() - by, "as held ")),
            _ if (self.outcome.after.length - self.plan.club.length()).abs() > Length::mm(0.1) => {
                Some((Length::ZERO, self.outcome.after.length, "after "))
            }
            _ => None,
        };
        html! {
            @if let Some((down, length, word)) = held_to {
                (self.measure(self.new_place(down), mark, AFTER_Y, &format!("{word}{}", length.with_metric(InchStep::Sixteenth))))
            }
            (self.measure(self.old(Length::ZERO), mark, NOW_Y, &format!("now {now}")))
        }
    }

    fn measure(&self, from: f64, to: f64, y: f64, label: &str) -> Markup {
        let middle = from.midpoint(to);
        let letters = u32::try_from(label.chars().count()).map_or(0.0, f64::from);
        let half = 6.0 + letters * 3.9;
        html! {
            (line("dim", (from, AXIS_Y), (from, y)))
            (line("dim", (to, AXIS_Y), (to, y)))
            (dimension(from, to, y))
            rect class="mask" x=(at(middle - half)) y=(at(y - 10.0)) width=(at(half * 2.0)) height="20" {}
            text x=(at(middle)) y=(at(y + 5.0)) text-anchor="middle" { (rich_svg(label)) }
        }
    }

    /// Balance points before and after, and the fulcrum of the scale.
    fn balance(&self) -> Markup {
        let (before, after) = (&self.outcome.before, &self.outcome.after);
        let now = self.old(before.balance);
        let then = self.new_place(after.balance);
        let fulcrum = self.new_place(FULCRUM);
        let label = if (after.balance - before.balance).abs() < Length::inches(1.0 / 32.0) {
            format!("balances{} at {}", self.about(), before.balance.to_step(InchStep::Sixteenth))
        } else {
            format!(
                "balances{} at {}, after {}",
                self.about(),
                before.balance.to_step(InchStep::Sixteenth).number(),
                after.balance.to_step(InchStep::Sixteenth)
            )
        };
        html! {
            path class="line" d=(format!("M{} {} l-7 13 h14 Z", at(fulcrum), at(AXIS_Y + 8.0))) {}
            text class="quiet" x=(at(fulcrum + 12.0)) y=(at(AXIS_Y + 22.0)) { "fulcrum, 14 in" }
            // short now, long afterwards: told apart without colour
            (line("line", (now, AXIS_Y - 8.0), (now, AXIS_Y + 8.0)))
            @if (then - now).abs() > 1.5 { (line("wanted", (then, AXIS_Y - 16.0), (then, AXIS_Y + 16.0))) }
            text class="quiet" x=(at(now)) y=(at(if self.toe > 0.0 { AXIS_Y + 34.0 } else { AXIS_Y - 46.0 })) text-anchor="middle" {
                (rich_svg(&label))
            }
        }
    }

    /// A part's mass, with "about" when the card does not carry it.
    fn mass_of(&self, part: &str, mass: Mass) -> String {
        format!("{part}{} {}", self.about(), mass.grams_printed(0))
    }

    /// What a club reckoned from usual parts says before its numbers.
    fn about(&self) -> &'static str {
        if self.plan.club.is_weighed { "" } else { " about" }
    }

    /// The parts' masses where they act.
    fn masses(&self) -> Markup {
        let club = &self.plan.club;
        let shaft = bench_model::shaft(club.shaft.mass.value, club.length()).balance();
        let points = [
            (self.old(bench_model::GRIP_CENTRE), self.mass_of("grip", club.grip.mass)),
            (self.old(shaft), self.mass_of("shaft", club.shaft.mass.value)),
        ];
        let head = self.mass_of("head", club.head.mass.value);
        let plug = match self.outcome.way {
            Way::Extend(_, plug) => {
                Some((self.new_place(plug.centre), format!("plug {}", plug.mass.grams_printed(0))))
            }
            _ => None,
        };
        html! {
            @for (x, label) in points { (mass_point(x, AXIS_Y - 26.0, &label, false)) }
            // the head's label keeps clear of the toe
            (mass_point(self.old(club.length()), AXIS_Y - self.toe * 26.0, &head, true))
            @if let Some((x, label)) = plug { (mass_point(x, AXIS_Y - 50.0, &label, false)) }
        }
    }

    fn description(&self) -> String {
        let step = InchStep::Sixteenth;
        let club = &self.plan.club;
        let (before, after) = (&self.outcome.before, &self.outcome.after);
        let about = self.about();
        format!(
            "{}. Now {}, after {}. Balance{about} {} from the grip end now, {} after. {}, {}, {}.",
            self.outcome.way.words(),
            before.length.to_step(step),
            after.length.to_step(step),
            before.balance.to_step(step),
            after.balance.to_step(step),
            self.mass_of("Head", club.head.mass.value),
            self.mass_of("shaft", club.shaft.mass.value),
            self.mass_of("grip", club.grip.mass),
        )
    }
}

/// A mass: a small circle on a stem from the shaft, with its label.
fn mass_point(x: f64, y: f64, label: &str, to_the_left: bool) -> Markup {
    let (text_x, anchor) = if to_the_left { (x - 9.0, "end") } else { (x + 9.0, "start") };
    html! {
        (line("dim", (x, if y < AXIS_Y { y + 4.0 } else { y - 4.0 }), (x, AXIS_Y)))
        circle class="hollow" cx=(at(x)) cy=(at(y)) r="4" {}
        text class="quiet" x=(at(text_x)) y=(at(y + 4.5)) text-anchor=(anchor) { (label) }
    }
}
