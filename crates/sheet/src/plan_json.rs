//! The plan as one JSON document, version 1. Keys carry their unit; nothing is rounded but labels.

use bench::{ClubPlan, Fix, Hold, Outcome, Remedy, SetPlan, Standing, State, TargetBasis, Way};
use club::hold::Held;
use quantity::{Angle, Length, Mass};
use serde_json::{Value, json};

/// Writes the document.
#[must_use]
pub fn plan_json(plan: &SetPlan) -> Value {
    json!({
        "version": 1,
        "golfer": golfer(plan),
        "target": target(plan),
        "clubs": plan.clubs.iter().map(|club| one_club(plan, club)).collect::<Vec<_>>(),
        "job": job(plan),
    })
}

fn inches(length: Length) -> f64 {
    length.as_inches()
}

fn grams(mass: Mass) -> f64 {
    mass.as_grams()
}

fn degrees(angle: Angle) -> f64 {
    angle.as_degrees()
}

fn golfer(plan: &SetPlan) -> Value {
    let golfer = &plan.golfer;
    json!({
        "name": golfer.name,
        "plays": golfer.plays.words(),
        "lead_side": golfer.plays.lead_side(),
        "knuckle_height_in": inches(plan.target.knuckle_height),
        "readings": plan.target.readings,
        "shoes": golfer.readings.shoes.words(),
        "stature_in": golfer.readings.stature.map(inches),
        "wrist_height_in": golfer.readings.wrist_height.map(inches),
        "age_years": golfer.readings.age_years,
        "head_speed_mph": golfer.head_speed.map(|speed| speed.speed.as_mph()),
        "head_speed_club": golfer.head_speed.map(|speed| speed.club.to_string()),
        "overruled": golfer.overruled,
    })
}

fn target(plan: &SetPlan) -> Value {
    let target = &plan.target;
    json!({
        "six_iron_length_in": inches(target.six_iron.value),
        "half_width_80_in": inches(target.six_iron.half_width),
        "six_iron_build_in": inches(target.six_iron.value.rounded_to(plan.house.round_to)),
        "rule_spread_sd_in": inches(target.rule.spread_sd),
        "measure_again": target.asks_to_measure_again(),
        "believability": target.belief.map(|belief| json!({
            "from": belief.predictor.words(),
            "predicted_knuckle_height_in": inches(belief.predicted),
            "sd_in": inches(belief.sd),
            "z": belief.z,
        })),
        "is_for_a_growing_golfer": target.is_for_a_growing_golfer(),
        "junior_seven_iron_in": target.junior.map(|chart| [inches(chart.seven_iron.0), inches(chart.seven_iron.1)]),
        "warnings": target.warnings.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "second_opinions": target.opinions.iter().map(|opinion| json!({
            "from": opinion.guide.words(),
            "six_iron_from_in": inches(opinion.six_iron.0),
            "six_iron_to_in": inches(opinion.six_iron.1),
            "disagrees": opinion.disagrees(),
            "text": opinion.sentence(),
        })).collect::<Vec<_>>(),
        "measure_to_repeat": target.repeat.map(fitting::Repeat::sentence),
        "grip": target.grip.as_ref().map(fitting::GripAdvice::sentence),
    })
}

fn one_club(plan: &SetPlan, club: &ClubPlan) -> Value {
    let own = &club.club;
    json!({
        "name": own.name,
        "kind": own.kind.to_string(),
        "now": state(&State::of(&own.on_bench)),
        "weighed": own.is_weighed,
        "lie_deg": degrees(own.lie),
        "loft_deg": degrees(own.loft),
        "frequency_cpm": own.frequency.map(quantity::Frequency::as_cpm),
        "head_g": grams(own.head.mass.value),
        "head_half_width_80_g": grams(own.head.mass.half_width),
        "shaft_g": grams(own.shaft.mass.value),
        "shaft_half_width_80_g": grams(own.shaft.mass.half_width),
        "condition": own.conditions.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "assumed": own.assumed.iter().map(|assumption| json!({
            "what": assumption.what,
            "value": assumption.value,
        })).collect::<Vec<_>>(),
        "in_the_rule": club.target.is_some(),
        "target_length_in": club.target.map(|target| inches(target.length)),
        "target_from": club.target.map(|target| target.basis.words()),
        "half_width_80_in": club.target
            .filter(|target| target.basis == TargetBasis::LengthRule)
            .map(|target| inches(target.half_width)),
        "target_range_in": club.target.map(|target| [inches(target.range().0), inches(target.range().1)]),
        "build_length_in": club.target.map(|target| inches(target.build)),
        "gap_in": club.gap().map(inches),
        "gap_in_groove_pitches": club.gap_in_groove_pitches(),
        "grip_thicker_by_in": club.grip_thicker_by.map(inches),
        "ways": club.ways.iter().map(|outcome| way(plan, outcome)).collect::<Vec<_>>(),
        "chosen": club.choice.as_ref().map(|choice| json!({
            "way": club.chosen().map(|outcome| outcome.way.kind().words()),
            "why": choice.why,
            "runner_up": club.runner_up().map(|outcome| outcome.way.kind().words()),
            "why_not": choice.why_not,
        })),
        "face_if_lie_is_left": club.face_if_unbent().map(|face| {
            let pointing = |angle: Angle| json!({
                "toward_lead_side_deg": degrees(angle),
                "side": if degrees(angle) >= 0.0 { plan.golfer.plays.lead_side() } else { plan.golfer.plays.trail_side() },
            });
            json!({
                "keeping_hand_height": pointing(face.keeping_hand_height),
                "keeping_ball_distance": pointing(face.keeping_ball_distance),
            })
        }),
        "rule_on_length": club.length_rule().sentence(),
    })
}

fn state(state: &State) -> Value {
    json!({
        "length_in": inches(state.length),
        "mass_g": grams(state.mass),
        "balance_in": inches(state.balance),
        "swingweight": state.swingweight.label(1),
        "swingweight_points": state.swingweight.points(),
        "moment_in_oz": state.swingweight.moment().as_inch_ounces(),
        "as_held": state.as_held.label(1),
        "as_held_points": state.as_held.points(),
        "inertia_kgcm2": state.inertia.as_kg_cm2(),
    })
}

fn way(plan: &SetPlan, outcome: &Outcome) -> Value {
    let plug = match outcome.way {
        Way::Extend(_, plug) => Some(json!({
            "mass_g": grams(plug.mass),
            "length_in": inches(plug.length),
            "centre_from_new_butt_in": inches(plug.centre),
        })),
        Way::Leave | Way::GripDown(_) | Way::Cut(_) | Way::Regrip(_) | Way::OtherShaft(_) => None,
    };
    json!({
        "way": outcome.way.kind().words(),
        "words": outcome.way.words(),
        "standing": standing(&outcome.standing),
        "reason": outcome.standing.reason(),
        "before": state(&outcome.before),
        "after": state(&outcome.after),
        "finished": state(&outcome.finished(plan.house.hold)),
        "inertia_change": outcome.after.inertia_change_from(&outcome.before),
        "feel": outcome.feel.words(),
        "remaining_in": inches(outcome.remaining),
        "lie_keep_hand_height_deg": outcome.lie.map(|lie| degrees(lie.keeping_hand_height)),
        "lie_keep_ball_distance_deg": outcome.lie.map(|lie| degrees(lie.keeping_ball_distance)),
        "lie_by_trade_rule_deg": outcome.lie.map(|lie| degrees(lie.by_trade_rule)),
        "plug": plug,
        "minutes": outcome.minutes_with(plan.house.hold),
        "cures": outcome.cures_with(plan.house.hold),
        "parts": outcome.parts.iter().map(|part| part.words()).collect::<Vec<_>>(),
        "hold_swingweight": remedy(&outcome.hold_swingweight),
        "hold_inertia": remedy(&outcome.hold_inertia),
    })
}

fn standing(standing: &Standing) -> &'static str {
    match standing {
        Standing::Plain => "plain",
        Standing::Caution(_) => "caution",
        Standing::NeedsAcceptance(_) => "needs_acceptance",
        Standing::Refused(_) => "refused",
    }
}

fn remedy(remedy: &Remedy) -> Value {
    json!({
        "head_mass_g": grams(remedy.head_mass),
        "tip_weight_g": remedy.tip_weight.map(grams),
        "tapes": remedy.tapes.iter().map(|tape| json!({
            "mass_per_inch_g": grams(tape.mass_per_inch),
            "length_in": inches(tape.length),
        })).collect::<Vec<_>>(),
        "butt_weight_g": remedy.butt_weight.map(grams),
        "shelf_butt_weight_g": remedy.shelf_butt_weight.map(grams),
        "heavier_grip_by_g": remedy.heavier_grip_by.map(grams),
        "fix": match remedy.fix {
            Fix::Nothing => "nothing",
            Fix::Tape(_) => "tape",
            Fix::TipWeight { .. } => "tip_weight",
            Fix::ButtWeight(_) => "butt_weight",
            Fix::LighterHead(_) => "lighter_head",
            Fix::NothingOnTheShelf(_) => "nothing_on_the_shelf",
        },
        "words": remedy.words(),
        "left_over": remedy.left_over,
        "finished": state(&remedy.state),
    })
}

fn job(plan: &SetPlan) -> Value {
    let job = &plan.job;
    json!({
        "waits_for": job.waits_for,
        "first_club": job.first_club,
        "holds": match plan.house.hold {
            Hold::Number(Held::Swingweight) => "swingweight",
            Hold::Number(Held::Inertia) => "inertia",
            Hold::Neither => "neither",
        },
        "minutes": job.minutes,
        "cure_hours": job.cure_hours,
        "sections": job.sections.iter().map(|section| json!({
            "way": section.kind.words(),
            "clubs": section.clubs.iter().map(|club| json!({
                "name": club.name,
                "before": state(&club.before),
                "finished": state(&club.finished),
                "added": club.fix.words(),
                "left_over": club.left_over,
                "standing": standing(&club.standing),
                "reason": club.standing.reason(),
                "weighed": club.is_weighed,
                "condition": club.conditions.iter().map(ToString::to_string).collect::<Vec<_>>(),
            })).collect::<Vec<_>>(),
            "operations": section.operations.iter().map(|step| json!({
                "what": step.what,
                "look_for": step.look_for,
                "has_reading": step.has_reading,
                "cautions": step.cautions,
            })).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "parts": job.parts.iter().map(|part| json!({
            "what": part.words(),
            "needed": part.needed,
            "spare": part.spare,
        })).collect::<Vec<_>>(),
        "stop_and_ask": job.stop_and_ask,
    })
}
