//! A trial as JSON for programs.

use crate::verdict::verdict_words;
use serde_json::{Map, Value, json};
use trial::{
    Analysis, Answer, Axis, Claim, Cost, LengthBelief, Model, Posterior, Response, ResponseSlope, Spread,
    Strikes, quantile, quantile_of_weighted, said_at_least, said_at_most,
};

/// The document of a trial: what it says, and how what was read with the balls besides changes with length.
#[must_use]
pub fn trial_json(analysis: &Analysis, responses: &[(Response, ResponseSlope)]) -> Value {
    let decision = &analysis.decision;
    let words = verdict_words(analysis);
    let strikes = &analysis.strikes;
    let mut models = Map::new();
    models.insert("normal".to_owned(), model(analysis, LengthBelief::NoRule, Model::Normal));
    models.insert("rule".to_owned(), model(analysis, rule_of(analysis.settings.belief), Model::Normal));
    if analysis.evidence.has_student() {
        models.insert("t4".to_owned(), model(analysis, LengthBelief::NoRule, Model::Student));
    }
    json!({
        "version": 1,
        "balls": strikes.balls(),
        "days": strikes.days().len(),
        "days_counted": strikes.counted_days(),
        "offsets_in": strikes.offsets_in(),
        "verdict": {
            "kind": kind(decision.kind),
            "length_in": decision.length_in,
            "best_eighth_in": decision.best_eighth_in,
            "expected_gain_mm2": decision.gain,
            "expected_gain_m": analysis.gain_m(),
            "at_stake_mm2": decision.at_stake,
            "odds_better": decision.odds_better,
            "odds_clearly_better": decision.odds_clearly_better,
            "odds_clearly_worse": decision.odds_clearly_worse,
            "odds_within_eighth": decision.odds_within_eighth,
            "odds_rule_near_best": decision.odds_rule_near_best,
            "odds_said": odds_said(analysis),
            "settled": decision.is_settled,
            "text": plain(&format!("{} {}", words.sentence, words.basis.join(" "))),
            "warnings": words.warnings.iter().map(|warning| plain(warning)).collect::<Vec<_>>(),
        },
        "without_rule": {
            "kind": kind(analysis.without_rule.kind),
            "length_in": analysis.without_rule.length_in,
            "expected_gain_mm2": analysis.without_rule.gain,
        },
        "models": models,
        "t4_evidence": analysis.evidence.student_over_normal().map(|[x, y]| json!({ "x": x, "y": y })),
        "make_up_share": {
            "mean": analysis.make_up.mean,
            "q": { "0.1": analysis.make_up.quantile(0.1), "0.9": analysis.make_up.quantile(0.9) },
        },
        "next_day": analysis.next_day.map(|next| json!({
            "expected_gain_mm2": next.gain_mm2,
            "odds_within_eighth_after": next.odds_within_eighth,
        })),
        "change_per_quarter_inch": responses.iter().map(response).collect::<Map<_, _>>(),
        "permutation_p": analysis.shuffled,
        "by_day": analysis.days.iter().map(|day| json!({
            "session": day.session, "balls": day.balls, "counts": day.counts, "tape_in": day.tape_in,
        })).collect::<Vec<_>>(),
    })
}

/// The bounds in which odds are said, in tenths; nothing from fewer than two counted days.
fn odds_said(analysis: &Analysis) -> Value {
    let (decision, days) = (&analysis.decision, analysis.strikes.counted_days());
    if days < 2 {
        return Value::Null;
    }
    json!({
        "better_at_least_in_ten": said_at_least(Claim::Better, decision.odds_better, days),
        "within_eighth_at_least_in_ten": said_at_least(Claim::RightToAnEighth, decision.odds_within_eighth, days),
        "rule_near_best_at_least_in_ten": said_at_least(Claim::RuleNearBest, decision.odds_rule_near_best, days),
        "clearly_worse_at_most_in_ten": said_at_most(decision.odds_clearly_worse),
    })
}

/// Programs expect the plain sign for minus.
fn plain(text: &str) -> String {
    text.replace('\u{2212}', "-")
}

fn kind(kind: trial::Kind) -> &'static str {
    match kind {
        trial::Kind::Change => "change",
        trial::Kind::Leaning => "leaning",
        trial::Kind::KeepRule => "keep_rule",
        trial::Kind::NotToldApart => "not_told_apart",
        trial::Kind::CannotSay => "cannot_say",
    }
}

fn response((response, slope): &(Response, ResponseSlope)) -> (String, Value) {
    let told = json!({
        "unit": response.unit(), "mean": slope.mean, "q": { "0.1": slope.tenth, "0.9": slope.ninetieth },
        "balls": slope.balls,
    });
    (response.words().replace(' ', "_"), told)
}

/// The rule that was believed, or common practice when none was.
fn rule_of(belief: LengthBelief) -> LengthBelief {
    match belief {
        LengthBelief::Rule { .. } => belief,
        LengthBelief::NoRule => LengthBelief::COMMON_PRACTICE,
    }
}

fn model(analysis: &Analysis, belief: LengthBelief, model: Model) -> Value {
    let posterior = analysis.evidence.under(belief, model);
    let strikes: &Strikes = &analysis.strikes;
    // the place of the sweet spot taken as marked: a model of the strikes alone
    let answer =
        Answer::of(&posterior, strikes.offsets_in(), &Cost::default(), trial::NEAR_ENOUGH_MM2, [0.0, 0.0]);
    let mut out = Map::new();
    for (axis, letter) in Axis::BOTH.into_iter().zip(["x", "y"]) {
        let moments = posterior.moments(axis);
        let covariance = moments.covariance();
        let draws = |of: fn(&trial::Draw, Axis) -> f64| {
            answer.draws.iter().map(|draw| of(draw, axis)).collect::<Vec<_>>()
        };
        out.insert(
            format!("a_{letter}"),
            summary(moments.mean.level, covariance.level.sqrt(), &draws(|draw, axis| draw.along(axis).level)),
        );
        out.insert(
            format!("b_{letter}"),
            summary(moments.mean.slope, covariance.slope.sqrt(), &draws(|draw, axis| draw.along(axis).slope)),
        );
        for (name, of) in [
            ("su", (|spread| spread.day_level) as fn(&Spread) -> f64),
            ("sv", |spread| spread.day_slope),
            ("sigma", |spread| spread.scatter),
        ] {
            out.insert(format!("{name}_{letter}"), spread_summary(&posterior, axis, of));
        }
    }
    let mean = answer.fit_in.iter().sum::<f64>() / f64::from(u32::try_from(answer.fit_in.len()).unwrap_or(1));
    let squares = answer.fit_in.iter().map(|fit| (fit - mean).powi(2)).sum::<f64>();
    let sd = (squares / f64::from(u32::try_from(answer.fit_in.len()).unwrap_or(1))).sqrt();
    out.insert("dstar".to_owned(), summary(mean, sd, &answer.fit_in));
    out.insert("p_best".to_owned(), json!(answer.odds_best));
    out.insert("p_near_best".to_owned(), json!(answer.odds_near_best));
    out.insert("expected_excess_loss_mm2".to_owned(), json!(answer.excess));
    out.insert("choice_in".to_owned(), json!(answer.choice_in));
    out.insert("log_evidence".to_owned(), json!(posterior.ln_evidence()));
    Value::Object(out)
}

const QUANTILES: [(&str, f64); 9] = [
    ("0.025", 0.025),
    ("0.05", 0.05),
    ("0.1", 0.1),
    ("0.25", 0.25),
    ("0.5", 0.5),
    ("0.75", 0.75),
    ("0.9", 0.9),
    ("0.95", 0.95),
    ("0.975", 0.975),
];

fn summary(mean: f64, sd: f64, draws: &[f64]) -> Value {
    let q: Map<String, Value> =
        QUANTILES.iter().map(|(name, p)| ((*name).to_owned(), json!(quantile(draws, *p)))).collect();
    json!({ "mean": mean, "sd": sd, "q": q })
}

fn spread_summary(posterior: &Posterior, axis: Axis, of: fn(&Spread) -> f64) -> Value {
    let mut values: Vec<(f64, f64)> =
        posterior.spreads(axis).iter().map(|(odds, spread)| (*odds, of(spread))).collect();
    let mean: f64 = values.iter().map(|(odds, value)| odds * value).sum();
    let square: f64 = values.iter().map(|(odds, value)| odds * value * value).sum();
    let q: Map<String, Value> = QUANTILES
        .iter()
        .map(|(name, p)| ((*name).to_owned(), json!(quantile_of_weighted(&mut values, *p))))
        .collect();
    json!({ "mean": mean, "sd": (square - mean * mean).max(0.0).sqrt(), "q": q })
}
