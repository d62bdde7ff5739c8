//! What a built club is off its aims, in words.

use super::aim::{Aim, AimedNumber, Off, ROUNDING};
use crate::State;
use quantity::{Frequency, InchStep, Printed};

/// Says what is out of tolerance.
pub(super) fn misses(aim: &Aim, state: &State, frequency: Option<Frequency>, off: Off) -> Vec<String> {
    let way = |off: f64, (over, under): (&'static str, &'static str)| if off > 0.0 { over } else { under };
    let out = |at: usize| off.get(at).copied().filter(|off| off.abs() > 1.0 + ROUNDING);
    let length = out(0).map(|off| {
        let by = (state.length - aim.length.0).abs().to_step(InchStep::ThirtySecond);
        format!("{by} too {}", way(off, ("long", "short")))
    });
    let number = out(1).map(|off| match aim.number {
        AimedNumber::Swingweight(wanted, _) => {
            let points = Printed::new(state.swingweight.points_above(wanted).abs(), 1, "points");
            format!("{points} too {} on the scale", way(off, ("heavy", "light")))
        }
        AimedNumber::Inertia(wanted, _) => {
            let by = Printed::new((state.inertia - wanted).as_kg_cm2().abs(), 0, "kg cm²");
            format!("inertia {by} too {}", way(off, ("high", "low")))
        }
    });
    let mass = out(2).zip(aim.mass).map(|(off, (wanted, _))| {
        format!("{} too {}", (state.mass - wanted).abs().grams_printed(1), way(off, ("heavy", "light")))
    });
    let of_frequency = out(3).zip(aim.frequency).zip(frequency).map(|((off, (wanted, _)), found)| {
        format!("{} {} the line", (found - wanted).abs().cpm_printed(1), way(off, ("over", "under")))
    });
    [length, number, mass, of_frequency].into_iter().flatten().collect()
}
