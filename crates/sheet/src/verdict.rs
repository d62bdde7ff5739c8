//! What a trial says, in words: the sentence first, then what it rests on and what to mind.
//!
//! Odds are said in tenths, as floors and ceilings, and not at all after one day; nothing is called proven.

use quantity::{Distance, InchStep, Length, Speed};
use trial::{
    Analysis, Base, Claim, Kind, Missing, Response, ResponseSlope, Warning, WiderAt, said_at_least,
    said_at_most,
};

/// The words of a trial.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VerdictWords {
    /// The answer, a few words.
    pub headline: String,
    /// What it means and how sure it is.
    pub sentence: String,
    /// What it rests on, and what the golfer's body does with length.
    pub basis: Vec<String>,
    /// What to mind.
    pub warnings: Vec<String>,
}

/// Puts a trial into words.
#[must_use]
pub fn verdict_words(analysis: &Analysis) -> VerdictWords {
    VerdictWords {
        headline: headline(analysis),
        sentence: sentence(analysis),
        basis: basis(analysis),
        warnings: analysis.warnings.iter().map(|warning| warning_words(warning, analysis)).collect(),
    }
}

/// An offset to an eighth with its sign, or the length it is counted from.
#[must_use]
pub fn offset_words(offset_in: f64, base: Base) -> String {
    if offset_in.abs() < 1.0 / 64.0 {
        return base.words().to_owned();
    }
    format!("{:+}", Length::inches(offset_in).to_step(InchStep::Eighth)).replace('-', "\u{2212}")
}

/// Odds of a claim one hopes for, as they are said: a floor that held whatever the days were like.
fn at_least_words(claim: Claim, odds: f64, counted_days: usize) -> String {
    said_at_least(claim, odds, counted_days)
        .map_or_else(|| "cannot be said".to_owned(), |tenths| format!("{tenths} in 10 or more"))
}

/// Odds of a claim one fears, as they are said: a ceiling.
fn at_most_words(odds: f64) -> String {
    said_at_most(odds).map_or_else(|| "cannot be said".to_owned(), |tenths| format!("{tenths} in 10 or less"))
}

/// How what was read with the balls besides their place changes with length.
#[must_use]
pub fn response_words(response: Response, slope: ResponseSlope) -> String {
    let (change, unit): (fn(f64) -> f64, &str) = match response {
        Response::HeadSpeed | Response::BallSpeed => (|mps| Speed::metres_per_second(mps).as_mph(), " mph"),
        Response::Carry => (|metres| Distance::metres(metres).as_yards(), " yd"),
        Response::Tempo => (|ratio| ratio, ""),
    };
    let said = |value: f64| format!("{:+.1}", change(value)).replace('-', "\u{2212}");
    let mut name = response.words().to_owned();
    name[..1].make_ascii_uppercase();
    format!(
        "{name} changes by {}{unit} a quarter inch longer ({} to {}, 80 in 100; {} balls). It is not part of the decision.",
        said(slope.mean),
        said(slope.tenth),
        said(slope.ninetieth),
        slope.balls
    )
}

fn headline(analysis: &Analysis) -> String {
    let length = offset_words(analysis.decision.length_in, analysis.settings.base);
    match analysis.decision.kind {
        Kind::Change => length,
        Kind::Leaning => format!("Leaning to {length}"),
        Kind::KeepRule => format!("Keep {}", analysis.settings.base.words()),
        Kind::NotToldApart => "Not told apart yet".to_owned(),
        Kind::CannotSay => "Cannot say yet".to_owned(),
    }
}

fn sentence(analysis: &Analysis) -> String {
    let decision = &analysis.decision;
    let gain = mm2(decision.gain);
    let worth = analysis
        .gain_m()
        .filter(|metres| *metres >= 0.05)
        .map(|metres| format!(", about {metres:.1} m of mean carry"))
        .unwrap_or_default();
    let base = analysis.settings.base.words();
    let days = analysis.strikes.counted_days();
    let stake = mm2(decision.at_stake);
    let length = offset_words(decision.best_eighth_in, analysis.settings.base);
    match decision.kind {
        Kind::Change => format!(
            "Build {length}. Odds that it strikes nearer the sweet spot than {base}: {}; that it is clearly worse: {}; \
             that it is right to 1/8 in: {}. The mean strike is expected to gain {gain}{worth}.",
            at_least_words(Claim::Better, decision.odds_better, days),
            at_most_words(decision.odds_clearly_worse),
            at_least_words(Claim::RightToAnEighth, decision.odds_within_eighth, days),
        ),
        Kind::Leaning => {
            format!(
                "One day cannot decide, but it leans to {length} rather than {base}. {}",
                another_day(analysis)
            )
        }
        Kind::KeepRule => format!(
            "{} Odds that {base} is best, or too near the best to matter: {}. Keep it.",
            if analysis.length_hardly_matters() {
                "Length makes no material difference to this strike.".to_owned()
            } else {
                format!("No other length is worth a change: {base} suits this strike.")
            },
            at_least_words(Claim::RuleNearBest, decision.odds_rule_near_best, days),
        ),
        Kind::NotToldApart => format!(
            "The lengths cannot be told apart yet. Keep {base} meanwhile; {stake} is at stake. {}",
            another_day(analysis),
        ),
        Kind::CannotSay => format!("{} Keep {base} meanwhile.", missing_words(decision.missing)),
    }
}

fn another_day(analysis: &Analysis) -> String {
    match analysis.next_day {
        Some(next) if next.gain_mm2 >= 0.05 => {
            format!("Another day like the last would be worth {} on average.", mm2(next.gain_mm2))
        }
        Some(_) => "Another day like the last would hardly change the answer.".to_owned(),
        None => "Hit two lengths or more on another day.".to_owned(),
    }
}

fn missing_words(missing: Option<Missing>) -> String {
    match missing {
        Some(Missing::Balls { have, need }) => {
            format!("Nothing can be said from {have} balls; it takes {need} at the least.")
        }
        Some(Missing::Lengths) => {
            "Nothing can be said: each day was hit with much the same length. Mix the lengths within a day."
                .to_owned()
        }
        Some(Missing::Day) | None => {
            "Nothing can be said: a day counts with ten balls or more and lengths half an inch apart."
                .to_owned()
        }
    }
}

fn basis(analysis: &Analysis) -> Vec<String> {
    let mut basis = vec![format!(
        "{} balls on {}, {} lengths.",
        analysis.strikes.balls(),
        days(analysis.strikes.days().len()),
        analysis.strikes.offsets_in().len()
    )];
    if analysis.decision.kind == Kind::CannotSay {
        return basis;
    }
    let [toe, high] = analysis.day_sd_mm;
    basis.push(format!(
        "From day to day the strike moves by about {toe:.0} mm between heel and toe and {high:.0} mm between low and high; \
         single balls scatter by {:.0} and {:.0} mm.",
        analysis.ball_sd_mm[0], analysis.ball_sd_mm[1]
    ));
    if let Some(said) = tape_words(analysis) {
        basis.push(said);
    }
    basis.push(make_up_words(analysis));
    if !analysis.length_hardly_matters() {
        basis.push(format!(
            "The length that suits lies between {} and {}, 80 in 100, among those tried.",
            offset_words(analysis.answer.fit_quantile(0.1), analysis.settings.base),
            offset_words(analysis.answer.fit_quantile(0.9), analysis.settings.base)
        ));
    }
    // below four days the odds are said too low to call it told apart in the same breath
    if analysis.decision.is_settled && analysis.strikes.counted_days() >= 4 {
        basis.push("No further visits are needed: the best of the lengths tried is told apart.".to_owned());
    }
    basis
}

fn days(count: usize) -> String {
    if count == 1 { "1 day".to_owned() } else { format!("{count} days") }
}

/// What contact tape would have said day by day, when the days do not agree with each other or with the answer.
fn tape_words(analysis: &Analysis) -> Option<String> {
    let said: Vec<f64> =
        analysis.days.iter().filter(|day| day.counts).filter_map(|day| day.tape_in).collect();
    let (least, most) = (said.iter().copied().reduce(f64::min)?, said.iter().copied().reduce(f64::max)?);
    if said.len() < 2 {
        return None;
    }
    Some(if most - least < 1.0 / 64.0 {
        format!("Contact tape would have said {} on every day.", offset_words(most, analysis.settings.base))
    } else {
        format!(
            "Contact tape would have said {} on one day and {} on another.",
            offset_words(least, analysis.settings.base),
            offset_words(most, analysis.settings.base)
        )
    })
}

fn make_up_words(analysis: &Analysis) -> String {
    let share = &analysis.make_up;
    let (low, high) = (share.quantile(0.1) * 100.0, share.quantile(0.9) * 100.0);
    let part = match share.mean {
        mean if mean <= 0.05 => "about none".to_owned(),
        mean if mean >= 0.95 => "about all".to_owned(),
        mean => format!("about {:.0} in 100", mean * 100.0),
    };
    format!(
        "The body makes up {part} of a change of length ({low:.0} to {high:.0}, 80 in 100), read between heel and toe."
    )
}

fn warning_words(warning: &Warning, analysis: &Analysis) -> String {
    match warning {
        Warning::RestlessDays => {
            "The days differ by more than usual. One day more before anything is built would be well spent.".to_owned()
        }
        Warning::WildDays => "The days differ wildly. Hit another day before anything is built.".to_owned(),
        Warning::BeyondTheLongest => {
            "What suits may be longer than the longest length tried. Try a longer one.".to_owned()
        }
        Warning::BeyondTheShortest => {
            "What suits may be shorter than the shortest length tried. Try a shorter one.".to_owned()
        }
        Warning::LengthCannotCure => {
            "The strike stays off the sweet spot at every length: length cannot cure this. Look at the lie and at the \
             lesson."
                .to_owned()
        }
        Warning::DiffersWithoutRule { kind, length_in } => format!(
            "Without the rule the same strikes say: {}. The rule adds what is known of other golfers' lengths.",
            match kind {
                Kind::Change | Kind::Leaning => offset_words(*length_in, analysis.settings.base),
                Kind::KeepRule => "length makes no difference".to_owned(),
                Kind::NotToldApart | Kind::CannotSay => "not told apart".to_owned(),
            }
        ),
        Warning::RuleLengthNotTried => {
            "The rule's own length was not among those tried; what it would do is drawn out from the line.".to_owned()
        }
        Warning::SessionsThatDoNotCount(1) => {
            "One session is too small, or of one length, and does not count as a day.".to_owned()
        }
        Warning::SessionsThatDoNotCount(count) => {
            format!("{count} sessions are too small, or of one length, and do not count as days.")
        }
        Warning::NoSignOfLength => format!(
            "With lengths shuffled within the days the strikes differ as much {:.0} times in 100: little sign that length \
             did anything.",
            analysis.shuffled * 100.0
        ),
        Warning::Wider(WiderAt::BothEnds) => format!("Strikes scatter more away from {}.", analysis.settings.base.words()),
        Warning::Wider(WiderAt::Longer) => "Strikes scatter more with the longer clubs.".to_owned(),
        Warning::Wider(WiderAt::Shorter) => "Strikes scatter more with the shorter clubs.".to_owned(),
        Warning::SweetSpotMatters(inches) => format!(
            "If the sweet spot lies 1 mm higher than it was marked, what suits is {:.2} in {}.",
            inches.abs(),
            if *inches > 0.0 { "longer" } else { "shorter" }
        ),
    }
}

fn mm2(value: f64) -> String {
    if value >= 10.0 { format!("{value:.0} mm²") } else { format!("{value:.1} mm²") }
}
