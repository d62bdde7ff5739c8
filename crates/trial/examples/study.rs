//! The simulation study: invented golfers whose truth is known go through the trial, and what it says is held against
//! that truth. `cargo run --release -p trial --example study [GOLFERS]` prints the tables of `docs/trial-study.md`, with
//! `printed` after the number only the last; seeds are fixed, so every run prints the same.
#![expect(clippy::print_stdout, reason = "the tables are its result")]

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};
use rayon::prelude::*;
use trial::{
    Answer, Claim, Cost, Decision, Evidence, Judging, Kind, LengthBelief, Model, NEAR_ENOUGH_MM2, Pair, Plan,
    Reading, Strike, Strikes, decide, quantile, read_without_a_model, said_at_least, said_at_most,
};

/// Slopes of a golfer who makes nothing up, mm per inch: 25.4 times cosine and sine of a lie of 62 degrees.
const SLOPES: [f64; 2] = [-11.92, 22.43];
/// Scatter of single balls, mm.
const BALL_SD: [f64; 2] = [8.0, 6.0];
/// How a day's slope departs, mm per inch.
const DAY_SLOPE_SD: f64 = 2.0;
/// Habit of striking that has nothing to do with length, mm.
const HABIT_SD: f64 = 2.0;

/// What is varied.
#[derive(Clone)]
struct Cell {
    share: f64,
    plan: Plan,
    day_sd: [f64; 2],
    /// How far the sweet spot is marked wrong, mm, and what the trial is told of it.
    sweet_spot_sd: f64,
}

impl Cell {
    fn new(share: f64, plan: Plan) -> Self {
        Self { share, plan, day_sd: [3.0, 2.5], sweet_spot_sd: 0.0 }
    }

    fn restless(self) -> Self {
        Self { day_sd: [4.5, 4.0], ..self }
    }

    fn sweet_spot_in_doubt(self) -> Self {
        Self { sweet_spot_sd: 1.0, ..self }
    }
}

fn five_lengths(days: usize) -> Plan {
    Plan { visits: days, ..Plan::dedicated(1) }
}

fn lessons(visits: usize, rounds: usize) -> Plan {
    Plan { visits, rounds, ..Plan::lessons(1) }
}

/// A golfer whose truth is known.
struct Golfer {
    lines: [Pair; 2],
    fit: f64,
}

impl Golfer {
    fn new(cell: &Cell, random: &mut ChaCha8Rng) -> Self {
        let mut normal = |sd: f64| -> f64 { sd * Distribution::<f64>::sample(&StandardNormal, random) };
        let suits = loop {
            let drawn = normal(0.35);
            if drawn.abs() <= 0.5 {
                break drawn;
            }
        };
        let lines = SLOPES.map(|slope| {
            let slope = slope * (1.0 - cell.share);
            Pair { level: normal(HABIT_SD) - slope * suits, slope }
        });
        let [x, y] = lines;
        let squares = x.slope * x.slope + y.slope * y.slope;
        let fit = if squares > 0.0 { -(x.level * x.slope + y.level * y.slope) / squares } else { 0.0 };
        Self { lines, fit: fit.clamp(-0.5, 0.5) }
    }

    /// Squared distance of the mean strike from the true sweet spot.
    fn loss(&self, offset: f64) -> f64 {
        self.lines.iter().map(|line| (line.level + line.slope * offset).powi(2)).sum()
    }

    fn excess(&self, offset: f64) -> f64 {
        self.loss(offset) - self.loss(self.fit)
    }

    fn strikes(&self, cell: &Cell, random: &mut ChaCha8Rng) -> Vec<Strike> {
        let mut normal = |sd: f64| -> f64 { sd * Distribution::<f64>::sample(&StandardNormal, random) };
        let marked_wrong = [normal(cell.sweet_spot_sd), normal(cell.sweet_spot_sd)];
        let mut strikes = Vec::new();
        for (session, order) in (1..).zip(cell.plan.orders()) {
            let days = [0, 1].map(|axis: usize| (normal(cell.day_sd[axis]), normal(DAY_SLOPE_SD)));
            let balls = order
                .lengths
                .iter()
                .flat_map(|length| std::iter::repeat_n(*length, cell.plan.balls_in_a_row));
            for (place, length) in (1..).zip(balls) {
                let offset_in = cell.plan.offsets_in[length];
                let [x_mm, y_mm] = [0, 1].map(|axis: usize| {
                    let (line, (level, slope)) = (self.lines[axis], days[axis]);
                    let at = line.level + level + (line.slope + slope) * offset_in + normal(BALL_SD[axis]);
                    ((at - marked_wrong[axis]) * 10.0).round() / 10.0
                });
                strikes.push(Strike { session, order: place, offset_in, x_mm, y_mm });
            }
        }
        strikes
    }
}

/// What one golfer's trial came to.
struct Outcome {
    /// Right to an eighth and excess loss, by column of the first table.
    columns: Vec<(bool, f64)>,
    followed: f64,
    is_changed: bool,
    is_worse: bool,
    stated_right: (f64, bool),
    stated_better: (f64, bool),
    settled: Option<(f64, bool)>,
    /// The bounds that are printed, in tenths, and whether the claim holds.
    printed: Vec<Printed>,
    /// Whether the intervals of 50, 80 and 95 in 100 hold the truth.
    covered: [bool; 3],
}

/// Odds as they are printed.
struct Printed {
    about: About,
    tenths: u32,
    is_true: bool,
}

#[derive(Clone, Copy, PartialEq)]
enum About {
    Better,
    RightToAnEighth,
    ClearlyWorse,
    RuleNearBest,
}

/// What a verdict prints of a golfer whose truth is known.
fn printed(decision: &Decision, days: usize, golfer: &Golfer, best_tested: f64) -> Vec<Printed> {
    let gain = golfer.loss(0.0) - golfer.loss(decision.best_eighth_in);
    let is_right = (decision.best_eighth_in - golfer.fit).abs() <= 0.125 + 1e-9;
    let floor = |about, claim, odds, is_true| {
        said_at_least(claim, odds, days).map(|tenths| Printed { about, tenths, is_true })
    };
    let said = match decision.kind {
        Kind::Change => vec![
            floor(About::Better, Claim::Better, decision.odds_better, gain > 0.0),
            floor(About::RightToAnEighth, Claim::RightToAnEighth, decision.odds_within_eighth, is_right),
            said_at_most(decision.odds_clearly_worse).map(|tenths| Printed {
                about: About::ClearlyWorse,
                tenths,
                is_true: gain < -NEAR_ENOUGH_MM2,
            }),
        ],
        Kind::KeepRule => {
            let is_near = golfer.loss(0.0) - best_tested <= NEAR_ENOUGH_MM2;
            vec![floor(About::RuleNearBest, Claim::RuleNearBest, decision.odds_rule_near_best, is_near)]
        }
        Kind::Leaning | Kind::NotToldApart | Kind::CannotSay => Vec::new(),
    };
    said.into_iter().flatten().collect()
}

const COLUMNS: [&str; 8] = [
    "rule kept",
    "mean distance",
    "middle",
    "line",
    "line, eighths",
    "no rule, tested",
    "rule, tested",
    "rule, eighths",
];

fn outcome(cell: &Cell, seed: u64) -> Outcome {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let golfer = Golfer::new(cell, &mut random);
    let balls = golfer.strikes(cell, &mut random);
    let strikes = Strikes::new(balls).expect("invented strikes are within what people do");
    let offsets = strikes.offsets_in();
    let evidence = Evidence::of(&strikes);
    let known = [cell.sweet_spot_sd; 2];
    let judging = Judging { sweet_spot_sd: known, ..Judging::default() };
    let posterior = evidence.under(LengthBelief::COMMON_PRACTICE, Model::Mixture);
    let (decision, answer): (Decision, Answer) = decide(&strikes, &posterior, &judging);
    let no_rule = evidence.under(LengthBelief::NoRule, Model::Mixture);
    let without = Answer::of(&no_rule, offsets, &Cost::default(), NEAR_ENOUGH_MM2, known);
    let judged = |offset: f64| ((offset - golfer.fit).abs() <= 0.125 + 1e-9, golfer.excess(offset));
    let mut columns = vec![judged(0.0)];
    columns.extend(
        Reading::ALL
            .iter()
            .map(|reading| judged(read_without_a_model(strikes.days(), offsets, *reading).unwrap_or(0.0))),
    );
    columns.extend([without.choice_in, answer.choice_in, decision.best_eighth_in].map(judged));
    let best = decision.best_eighth_in;
    let best_tested = offsets.iter().map(|offset| golfer.loss(*offset)).fold(f64::INFINITY, f64::min);
    let near = answer.odds_near_best_at(answer.choice_in).unwrap_or(0.0);
    let gain = |offset: f64| golfer.loss(0.0) - golfer.loss(offset);
    let is_covered = |level: f64| {
        let tail = (1.0 - level) / 2.0;
        let (low, high) = (quantile(&answer.fit_in, tail), quantile(&answer.fit_in, 1.0 - tail));
        (low - 1e-9..=high + 1e-9).contains(&golfer.fit)
    };
    Outcome {
        columns,
        followed: golfer.excess(decision.length_in),
        is_changed: matches!(decision.kind, Kind::Change | Kind::Leaning),
        is_worse: gain(decision.length_in) < -NEAR_ENOUGH_MM2,
        stated_right: (decision.odds_within_eighth, judged(best).0),
        stated_better: (decision.odds_better, gain(best) > 0.0),
        printed: printed(&decision, strikes.counted_days(), &golfer, best_tested),
        settled: decision
            .is_settled
            .then_some((near, golfer.loss(answer.choice_in) - best_tested <= NEAR_ENOUGH_MM2)),
        covered: [0.5, 0.8, 0.95].map(is_covered),
    }
}

/// All golfers of a cell; the same seeds for every cell of a table, so that columns and rows compare.
fn outcomes(cell: &Cell, golfers: u64) -> Vec<Outcome> {
    (0..golfers).into_par_iter().map(|golfer| outcome(cell, 20_261_125 + golfer)).collect()
}

fn mean(values: impl Iterator<Item = f64>) -> f64 {
    let (sum, count) = values.fold((0.0, 0.0), |(sum, count), value| (sum + value, count + 1.0));
    sum / count
}

fn share(values: impl Iterator<Item = bool>) -> f64 {
    100.0 * mean(values.map(|hit| f64::from(u8::from(hit))))
}

/// Stated and actual, in hundreds, of the calls stated at least this high.
fn stated(calls: &[(f64, bool)], from: f64) -> String {
    let high: Vec<&(f64, bool)> = calls.iter().filter(|(odds, _)| *odds >= from).collect();
    if high.len() < 30 {
        return format!("({})", high.len());
    }
    let said = 100.0 * mean(high.iter().map(|(odds, _)| *odds));
    format!("{said:.0} / {:.0} ({})", share(high.iter().map(|(_, is_true)| *is_true)), high.len())
}

fn all_stated(calls: &[(f64, bool)]) -> String {
    format!(
        "{:.0} / {:.0}",
        100.0 * mean(calls.iter().map(|(odds, _)| *odds)),
        share(calls.iter().map(|(_, is_true)| *is_true))
    )
}

fn right_and_loss(outcomes: &[Outcome], column: usize) -> String {
    let right = share(outcomes.iter().map(|outcome| outcome.columns[column].0));
    format!("{right:.0} / {:.1}", mean(outcomes.iter().map(|outcome| outcome.columns[column].1)))
}

fn odds_row(outcomes: &[Outcome]) -> String {
    let right: Vec<(f64, bool)> = outcomes.iter().map(|outcome| outcome.stated_right).collect();
    let better: Vec<(f64, bool)> =
        outcomes.iter().filter(|outcome| outcome.is_changed).map(|outcome| outcome.stated_better).collect();
    let settled: Vec<(f64, bool)> = outcomes.iter().filter_map(|outcome| outcome.settled).collect();
    let covered = [0, 1, 2].map(|level: usize| share(outcomes.iter().map(|outcome| outcome.covered[level])));
    format!(
        "{} | {} | {} | {} | {:.0}, {:.0}, {:.0}",
        all_stated(&right),
        stated(&right, 0.8),
        stated(&better, 0.0),
        stated(&settled, 0.0),
        covered[0],
        covered[1],
        covered[2]
    )
}

fn followed(outcomes: &[Outcome]) -> String {
    let loss = mean(outcomes.iter().map(|outcome| outcome.followed));
    let changed = share(outcomes.iter().map(|outcome| outcome.is_changed));
    let worse = share(outcomes.iter().map(|outcome| outcome.is_worse));
    format!("{loss:.1} | {changed:.0} % | {worse:.1} %")
}

/// How often a claim held for each bound that was printed of it: `7: 84 (312)`; below thirty calls only their number.
fn held(outcomes: &[Outcome], about: About) -> String {
    let said = |tenths: u32| {
        let calls = outcomes.iter().flat_map(|outcome| &outcome.printed);
        calls.filter(move |call| call.about == about && call.tenths == tenths).collect::<Vec<_>>()
    };
    let bounds: Vec<String> = (1..10)
        .map(|tenths| (tenths, said(tenths)))
        .filter(|(_, calls)| !calls.is_empty())
        .map(|(tenths, calls)| match calls.len() {
            few @ ..30 => format!("{tenths}: ({few})"),
            many => format!("{tenths}: {:.0} ({many})", share(calls.iter().map(|call| call.is_true))),
        })
        .collect();
    bounds.join(", ")
}

/// What is printed on two days and more, whatever days and golfers are like.
fn what_is_printed(golfers: u64) {
    println!("\n## What is printed\n");
    println!(
        "| plan | days | made up | better, or more | right to 1/8, or more | clearly worse, or less | rule near best, or more |\n|{}",
        "---|".repeat(7)
    );
    for (name, plan) in [
        ("2 x 40, five lengths", five_lengths(2)),
        ("3 x 40, five lengths", five_lengths(3)),
        ("4 x 12, three", lessons(4, 2)),
        ("6 x 12, three", lessons(6, 2)),
        ("10 x 12, three", lessons(10, 2)),
    ] {
        for percent in [0.0, 30.0, 60.0, 80.0, 90.0] {
            let cell = Cell::new(percent / 100.0, plan.clone());
            for (days, cell) in [
                ("usual", cell.clone()),
                ("restless", cell.clone().restless()),
                ("usual, sweet spot to 1 mm", cell.clone().sweet_spot_in_doubt()),
                ("restless, sweet spot to 1 mm", cell.restless().sweet_spot_in_doubt()),
            ] {
                let outcomes = outcomes(&cell, golfers);
                let columns =
                    [About::Better, About::RightToAnEighth, About::ClearlyWorse, About::RuleNearBest];
                println!(
                    "| {name} | {days} | {percent:.0} % | {} |",
                    columns.map(|about| held(&outcomes, about)).join(" | ")
                );
            }
        }
    }
}

const ODDS_HEAD: &str = "right to 1/8: stated / true | the same, stated 80 and more | better, where a change is advised | settled | intervals of 50, 80, 95 hold";

fn main() {
    let golfers: u64 = std::env::args().nth(1).and_then(|count| count.parse().ok()).unwrap_or(2_000);
    println!("{golfers} golfers a cell.\n");
    if std::env::args().nth(2).as_deref() == Some("printed") {
        what_is_printed(golfers);
        return;
    }
    println!("## Five lengths, eight balls each a day: right to 1/8 in, in hundreds / loss, mm²\n");
    println!("| made up | days | {} | followed: loss | changed | clearly worse |", COLUMNS.join(" | "));
    println!("|{}", "---|".repeat(COLUMNS.len() + 5));
    let mut odds = Vec::new();
    for percent in [0.0, 30.0, 60.0, 80.0, 90.0] {
        for days in 1..=4 {
            let cell = Cell::new(percent / 100.0, five_lengths(days));
            let outcomes = outcomes(&cell, golfers);
            let columns: Vec<String> =
                (0..COLUMNS.len()).map(|column| right_and_loss(&outcomes, column)).collect();
            println!("| {percent:.0} % | {days} | {} | {} |", columns.join(" | "), followed(&outcomes));
            odds.push(format!("| {percent:.0} % | {days} | {} |", odds_row(&outcomes)));
        }
    }
    println!("\n## What is stated, and what is true\n");
    println!("| made up | days | {ODDS_HEAD} |\n|{}", "---|".repeat(7));
    println!("{}", odds.join("\n"));
    println!("\n## Plans\n");
    println!(
        "| plan | balls | days | made up | right / loss, eighths | followed: loss | changed | clearly worse | {ODDS_HEAD} |\n|{}",
        "---|".repeat(13)
    );
    for (name, plan) in [
        ("3 x 40, five lengths", five_lengths(3)),
        ("4 x 12, three", lessons(4, 2)),
        ("6 x 12, three", lessons(6, 2)),
        ("6 x 18, three", lessons(6, 3)),
        ("8 x 12, three", lessons(8, 2)),
        ("10 x 12, three", lessons(10, 2)),
    ] {
        for (percent, days, cell) in [30.0, 60.0].iter().flat_map(|percent: &f64| {
            let cell = Cell::new(percent / 100.0, plan.clone());
            [
                (*percent, "usual", cell.clone()),
                (*percent, "restless", cell.clone().restless()),
                (*percent, "usual, sweet spot to 1 mm", cell.clone().sweet_spot_in_doubt()),
                (*percent, "restless, sweet spot to 1 mm", cell.restless().sweet_spot_in_doubt()),
            ]
        }) {
            let outcomes = outcomes(&cell, golfers);
            println!(
                "| {name} | {} | {days} | {percent:.0} % | {} | {} | {} |",
                cell.plan.balls_a_visit() * cell.plan.visits,
                right_and_loss(&outcomes, COLUMNS.len() - 1),
                followed(&outcomes),
                odds_row(&outcomes)
            );
        }
    }
    what_is_printed(golfers);
}
