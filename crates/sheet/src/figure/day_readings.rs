//! Day by day: how much was hit, whether it counts, and what contact tape alone would have said.

use crate::offset_words;
use crate::words::rich;
use maud::{Markup, html};
use trial::Analysis;

/// A table of the days.
#[must_use]
pub fn day_readings(analysis: &Analysis) -> Markup {
    html! {
        table {
            caption { "Day by day: what contact tape alone would have said" }
            thead {
                tr {
                    th scope="col" { "Day" }
                    th scope="col" { "Balls" }
                    th scope="col" class="text" { "Counts" }
                    th scope="col" class="text" { "Tape alone" }
                }
            }
            tbody {
                @for said in &analysis.days {
                    tr {
                        td { (said.session) }
                        td { (said.balls) }
                        td class="text" { (if said.counts { "yes" } else { "no: too small, or of one length" }) }
                        td class="text" { @if let Some(tape) = said.tape_in { (rich(&offset_words(tape, analysis.settings.base))) } @else { "nothing" } }
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::day_readings;
    use crate::figure::tests::{few_balls, trial, words};
    use trial::Settings;

    #[test]
    fn every_day_says_its_balls_and_what_tape_would_have_said() {
        let table = words(&day_readings(&trial(1, Settings::default())).into_string());
        for row in ["1 40 yes +1/2 in", "2 40 yes +1/4 in", "3 40 yes +1/4 in"] {
            assert!(table.contains(row), "{row}\n{table}");
        }
        assert!(words(&day_readings(&few_balls()).into_string()).contains("no: too small, or of one length"));
    }
}
