//! `calc alter`: what extending, cutting, gripping down, regripping or another shaft does to a club.
//!
//! Inputs and outputs carry the names of the worked bench cases; an output that a way does not have is left
//! out. A frequency after an extension or a cut is given for two profiles, for the shaft's own is not known.

use super::{Calculation, read};
use crate::failure::Failure;
use bench::House;
use club::alter::{FittedShaft, OnBench, PlugPiece};
use club::bench_model::{self, BORE_TO_GROUND, CAP, Reading};
use club::lie::lie_wanted;
use club::shaft::{BenchBeam, PlugBeyondClamp, USUAL_CLAMP};
use club::{MassMoments, Swingweight, hold, tape};
use quantity::{Frequency, Length, Mass};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A club and one change to it.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Input {
    length_in: f64,
    mass_g: f64,
    /// Balance point from the grip end
    balance_in: f64,
    /// Mass of the grip on the club; also taken as `old_grip_g`
    #[serde(alias = "old_grip_g")]
    grip_g: f64,
    /// Where the grip balances, from the grip end; 4 in when not given
    grip_cg_in: Option<f64>,
    /// Extend by so much, with `plug_g` and `plug_cg_from_new_butt_in`
    extend_in: Option<f64>,
    plug_g: Option<f64>,
    plug_cg_from_new_butt_in: Option<f64>,
    /// Cut by so much, with `butt_shaft_g_per_in` and `cap_in`
    cut_in: Option<f64>,
    butt_shaft_g_per_in: Option<f64>,
    /// Thickness of the grip's cap; 0.125 in when not given
    cap_in: Option<f64>,
    /// Grip down by so much
    grip_down_in: Option<f64>,
    /// Grip down and cut by so much, side by side
    amount_in: Option<f64>,
    /// Put a grip of this mass on
    new_grip_g: Option<f64>,
    /// Fit another shaft so that the club is so much longer, with the next four
    longer_in: Option<f64>,
    old_shaft_cut_g: Option<f64>,
    /// Balance point of the old shaft from the club's grip end
    old_shaft_cg_in: Option<f64>,
    new_shaft_cut_g: Option<f64>,
    /// Where the new shaft balances as a share of its cut length; 0.48 when not given
    new_shaft_cg_fraction: Option<f64>,
    /// Bottom of the bore to the ground; 1 in when not given
    bore_to_ground_in: Option<f64>,
    lie_deg: Option<f64>,
    /// Checked, not needed: no answer here rests on it
    loft_deg: Option<f64>,
    /// For the frequency: inferred from the readings when not given
    head_g: Option<f64>,
    /// As read, for the frequency after an extension or a cut
    frequency_cpm: Option<f64>,
    /// Butt in the clamp; 5 in when not given
    clamp_in: Option<f64>,
    /// Where a butt weight would sit; 1 in when not given
    counterweight_at_in: Option<f64>,
    /// Head weights on the shelf
    #[serde(default)]
    tip_weights_g: Vec<f64>,
    /// Tapes on the shelf, lightest first
    #[serde(default)]
    tape_g_per_in: Vec<f64>,
}

/// The change, under the names of the worked cases.
#[derive(Serialize, JsonSchema, Default)]
#[serde(default)]
pub(super) struct Output {
    #[serde(skip_serializing_if = "Option::is_none")]
    swingweight_before: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    swingweight_after: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    swingweight_after_cut: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    change_pts: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    mass_after_g: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    balance_after_in: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    length_after_in: Option<f64>,
    /// About the grip end, inferred from mass, balance and grip mass
    #[serde(skip_serializing_if = "Option::is_none")]
    inertia_butt_before_kgcm2: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    inertia_butt_after_kgcm2: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    head_mass_to_remove_to_hold_g: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    head_mass_to_add_g: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    head_mass_to_hold_g: Option<f64>,
    /// Head mass (added +) that would hold the inertia instead
    #[serde(skip_serializing_if = "Option::is_none")]
    head_mass_to_hold_inertia_g: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    or_counterweight_g: Option<f64>,
    /// The same as `or_counterweight_g`
    #[serde(skip_serializing_if = "Option::is_none")]
    counterweight_to_hold_g: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    mass_with_counterweight_g: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    chosen_weight_g: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    swingweight_final: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    mass_final_g: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    tape_in_light: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    tape_in_dense: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    as_held_before: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    gripped_down_as_held: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    gripped_down_change_pts: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    mass_gripped_down_g: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    scale_reading_when_gripped_down: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    after_cut: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    cut_change_pts: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    mass_after_cut_g: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    lie_to_keep_hand_height_deg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    lie_to_keep_ball_distance_deg: Option<f64>,
    /// With a butt four times as stiff as the tip
    #[serde(skip_serializing_if = "Option::is_none")]
    frequency_after_cpm_r4: Option<f64>,
    /// With the same stiffness all along
    #[serde(skip_serializing_if = "Option::is_none")]
    frequency_after_cpm_uniform: Option<f64>,
    /// Said when the plug ends outside the clamp
    #[serde(skip_serializing_if = "Option::is_none")]
    frequency_warning: Option<String>,
    /// What to say before doing it
    #[serde(skip_serializing_if = "Option::is_none")]
    flag: Option<String>,
}

pub(super) struct Calc;

impl Calculation for Calc {
    type Input = Input;
    type Output = Output;

    fn answer(input: Input) -> Result<Output, Failure> {
        check_the_rest(&input)?;
        let club = club(&input)?;
        match change(&input)? {
            Change::Extend(by) => extend(&input, &club, by),
            Change::Cut(by) => cut(&input, &club, by),
            Change::GripDown(by) => with_lies(&input, -by, grip_down(&club, by)),
            Change::Both(by) => {
                let cut = cut_club(&input, &club, by)?;
                let output = Output {
                    after_cut: Some(cut.swingweight().label(1)),
                    cut_change_pts: Some(cut.swingweight().points_above(club.swingweight())),
                    mass_after_cut_g: Some(cut.whole().mass.as_grams()),
                    ..grip_down(&club, by)
                };
                with_lies(&input, -by, output)
            }
            Change::Regrip(mass) => regrip(&input, &club, mass),
            Change::OtherShaft(longer) => other_shaft(&input, &club, longer),
        }
    }
}

/// Refuses what no club has among the inputs that no answer rests on.
fn check_the_rest(input: &Input) -> Result<(), Failure> {
    input.loft_deg.map(|loft| read::degrees("loft_deg", loft)).transpose()?;
    input.head_g.map(|mass| read::some_grams("head_g", mass)).transpose()?;
    input.clamp_in.map(|clamp| amount("clamp_in", clamp)).transpose()?;
    match input.frequency_cpm {
        Some(cpm) if !(50.0..=2000.0).contains(&cpm) => {
            Err(Failure::bad_input(format!("expected 50 to 2000 cpm, found {cpm}")).field("frequency_cpm"))
        }
        Some(_) | None => Ok(()),
    }
}

/// The one change asked for.
enum Change {
    Extend(Length),
    Cut(Length),
    GripDown(Length),
    Both(Length),
    Regrip(Mass),
    OtherShaft(Length),
}

fn change(input: &Input) -> Result<Change, Failure> {
    let asked = [
        input.extend_in.map(|by| amount("extend_in", by).map(Change::Extend)),
        input.cut_in.map(|by| amount("cut_in", by).map(Change::Cut)),
        input.grip_down_in.map(|by| amount("grip_down_in", by).map(Change::GripDown)),
        input.amount_in.map(|by| amount("amount_in", by).map(Change::Both)),
        input.new_grip_g.map(|mass| read::some_grams("new_grip_g", mass).map(Change::Regrip)),
        input.longer_in.map(|by| read::inches_within("longer_in", by, -12.0..=12.0).map(Change::OtherShaft)),
    ];
    let mut asked = asked.into_iter().flatten();
    match (asked.next(), asked.next()) {
        (Some(change), None) => change,
        _ => Err(Failure::bad_input(
            "expected exactly one of extend_in, cut_in, grip_down_in, amount_in, new_grip_g, longer_in",
        )
        .hint("Ask for one change at a time; an array of objects asks for several.")),
    }
}

fn amount(field: &str, by: f64) -> Result<Length, Failure> {
    read::inches_within(field, by, 0.0..=12.0)
}

fn reading(input: &Input) -> Result<Reading, Failure> {
    Ok(Reading {
        length: read::inches("length_in", input.length_in)?,
        mass: read::grams("mass_g", input.mass_g)?,
        balance: read::inches("balance_in", input.balance_in)?,
    })
}

fn club(input: &Input) -> Result<OnBench, Failure> {
    let reading = reading(input)?;
    let grip = grip_of(input, read::some_grams("grip_g", input.grip_g)?)?;
    Ok(OnBench::from_parts(reading.length, &reading.parts(grip)?))
}

fn grip_of(input: &Input, mass: Mass) -> Result<MassMoments, Failure> {
    let centre =
        input.grip_cg_in.map_or(Ok(bench_model::GRIP_CENTRE), |at| read::inches("grip_cg_in", at))?;
    Ok(MassMoments::rod_about(mass, centre, bench_model::GRIP_LENGTH))
}

fn cap(input: &Input) -> Result<Length, Failure> {
    input.cap_in.map_or(Ok(CAP), |cap| amount("cap_in", cap))
}

/// What every change on the bench reports.
fn before_and_after(club: &OnBench, after: &OnBench) -> Output {
    Output {
        swingweight_before: Some(club.swingweight().label(1)),
        swingweight_after: Some(after.swingweight().label(1)),
        change_pts: Some(after.swingweight().points_above(club.swingweight())),
        mass_after_g: Some(after.whole().mass.as_grams()),
        balance_after_in: Some(after.whole().balance().as_inches()),
        length_after_in: Some(after.length.as_inches()),
        inertia_butt_before_kgcm2: Some(club.inertia().as_kg_cm2()),
        inertia_butt_after_kgcm2: Some(after.inertia().as_kg_cm2()),
        head_mass_to_hold_inertia_g: Some(hold::head_mass_for_inertia(after, club.inertia()).as_grams()),
        ..Output::default()
    }
}

/// Adds what holds the swingweight: head mass either way, and a butt weight where the club reads heavier.
fn with_hold(input: &Input, club: &OnBench, after: &OnBench, output: Output) -> Result<Output, Failure> {
    let at = input
        .counterweight_at_in
        .map_or(Ok(hold::BUTT_WEIGHT_AT), |at| read::inches("counterweight_at_in", at))?;
    if at >= club::FULCRUM {
        return Err(Failure::bad_input("expected a butt weight above the scale's fulcrum at 14 in")
            .field("counterweight_at_in"));
    }
    let head = hold::head_mass_for_swingweight(after, club.swingweight());
    let weight = hold::butt_weight_for_swingweight(after, club.swingweight(), at);
    Ok(Output {
        head_mass_to_add_g: (head >= Mass::ZERO).then(|| head.as_grams()),
        head_mass_to_remove_to_hold_g: (head < Mass::ZERO).then(|| -head.as_grams()),
        or_counterweight_g: weight.map(Mass::as_grams),
        counterweight_to_hold_g: weight.map(Mass::as_grams),
        mass_with_counterweight_g: weight.map(|weight| (after.whole().mass + weight).as_grams()),
        ..output
    })
}

/// Adds the lies wanted after the hold has become `longer`.
fn with_lies(input: &Input, longer: Length, output: Output) -> Result<Output, Failure> {
    let Some(lie_deg) = input.lie_deg else {
        return Ok(output);
    };
    let length = read::inches("length_in", input.length_in)?;
    let wanted = lie_wanted(length, read::degrees("lie_deg", lie_deg)?, longer, Length::ZERO)?;
    Ok(Output {
        lie_to_keep_hand_height_deg: Some(wanted.keeping_hand_height.as_degrees()),
        lie_to_keep_ball_distance_deg: Some(wanted.keeping_ball_distance.as_degrees()),
        ..output
    })
}

fn extend(input: &Input, club: &OnBench, by: Length) -> Result<Output, Failure> {
    let centre = amount(
        "plug_cg_from_new_butt_in",
        read::needed("plug_cg_from_new_butt_in", input.plug_cg_from_new_butt_in)?,
    )?;
    let mass = read::grams_within("plug_g", read::needed("plug_g", input.plug_g)?, 0.0..=100.0)?;
    // a rod from the new butt on: its middle is its centre
    let plug = PlugPiece { mass, centre, length: centre * 2.0 };
    let after = club.extended(by, plug);
    let output = with_hold(input, club, &after, before_and_after(club, &after))?;
    let dead_mass =
        output.or_counterweight_g.filter(|grams| Mass::grams(*grams) > House::default().most_butt_weight);
    let output = Output { flag: extension_flag(by, dead_mass), ..output };
    let output = with_frequency(input, club, by, output)?;
    let warning = PlugBeyondClamp::of(plug.length, clamp(input)?).filter(|_| input.frequency_cpm.is_some());
    let output = Output { frequency_warning: warning.map(|plug| plug.to_string()), ..output };
    with_lies(input, by, output)
}

/// What to say before an extension, by the usual house limits.
fn extension_flag(by: Length, dead_mass_g: Option<f64>) -> Option<String> {
    let limit = House::default().extension_standing(by).reason().map(str::to_owned);
    let weight = dead_mass_g
        .map(|grams| format!("a butt weight of {grams:.0} g is dead mass: a lighter shaft is the other way"));
    let said: Vec<String> = limit.into_iter().chain(weight).collect();
    (!said.is_empty()).then(|| said.join("; "))
}

fn cut_club(input: &Input, club: &OnBench, by: Length) -> Result<OnBench, Failure> {
    let per_inch = read::grams_within(
        "butt_shaft_g_per_in",
        read::needed("butt_shaft_g_per_in", input.butt_shaft_g_per_in)?,
        0.5..=10.0,
    )?;
    Ok(club.cut(by, per_inch, cap(input)?)?)
}

fn cut(input: &Input, club: &OnBench, by: Length) -> Result<Output, Failure> {
    let after = cut_club(input, club, by)?;
    let output = with_hold(input, club, &after, before_and_after(club, &after))?;
    let wanted = hold::head_mass_for_swingweight(&after, club.swingweight());
    let shelf: Result<Vec<Mass>, Failure> =
        input.tip_weights_g.iter().map(|grams| read::some_grams("tip_weights_g", *grams)).collect();
    let chosen = hold::nearest_weight(&shelf?, wanted);
    let finished = chosen.map(|weight| after.with_head_mass(weight));
    let output = Output {
        swingweight_after_cut: output.swingweight_after.clone(),
        chosen_weight_g: chosen.map(Mass::as_grams),
        swingweight_final: finished.map(|club| club.swingweight().label(1)),
        mass_final_g: finished.map(|club| club.whole().mass.as_grams()),
        ..output
    };
    let output = with_frequency(input, club, -by, output)?;
    with_lies(input, -by, with_tapes(input, wanted, output)?)
}

fn clamp(input: &Input) -> Result<Length, Failure> {
    input.clamp_in.map_or(Ok(USUAL_CLAMP), |clamp| amount("clamp_in", clamp))
}

/// Adds the frequency at the same clamp after the butt has become `longer`, where one was read.
fn with_frequency(input: &Input, club: &OnBench, longer: Length, output: Output) -> Result<Output, Failure> {
    let Some(cpm) = input.frequency_cpm else {
        return Ok(output);
    };
    let head = match input.head_g {
        Some(grams) => read::some_grams("head_g", grams)?,
        None => reading(input)?.parts(club.grip)?.head.value,
    };
    let beam = BenchBeam {
        length: club.length,
        head,
        shaft: club.rest.mass - head,
        clamp: clamp(input)?,
        frequency: Frequency::try_from_cpm(cpm)
            .map_err(|error| Failure::from(error).field("frequency_cpm"))?,
    };
    let after = beam.lengthened(longer)?;
    Ok(Output {
        frequency_after_cpm_r4: Some(after.butt_four_times_tip.as_cpm()),
        frequency_after_cpm_uniform: Some(after.uniform.as_cpm()),
        ..output
    })
}

/// Adds the inches of each tape that weigh what the head wants.
fn with_tapes(input: &Input, wanted: Mass, output: Output) -> Result<Output, Failure> {
    let inches = |index: usize| -> Result<Option<f64>, Failure> {
        let Some(per_inch) = input.tape_g_per_in.get(index).filter(|_| wanted > Mass::ZERO) else {
            return Ok(None);
        };
        let per_inch = read::some_grams("tape_g_per_in", *per_inch)?;
        Ok(Some(tape::length_of_tape(wanted, per_inch)?.as_inches()))
    };
    Ok(Output { tape_in_light: inches(0)?, tape_in_dense: inches(1)?, ..output })
}

fn grip_down(club: &OnBench, by: Length) -> Output {
    let held = Swingweight::of(&club.as_held(by));
    Output {
        as_held_before: Some(club.swingweight().label(1)),
        gripped_down_as_held: Some(held.label(1)),
        gripped_down_change_pts: Some(held.points_above(club.swingweight())),
        mass_gripped_down_g: Some(club.whole().mass.as_grams()),
        scale_reading_when_gripped_down: Some(club.swingweight().label(1)),
        ..Output::default()
    }
}

fn regrip(input: &Input, club: &OnBench, mass: Mass) -> Result<Output, Failure> {
    let after = club.regripped(grip_of(input, mass)?);
    let wanted = hold::head_mass_for_swingweight(&after, club.swingweight());
    let output = with_hold(input, club, &after, before_and_after(club, &after))?;
    let output = Output { head_mass_to_hold_g: Some(wanted.as_grams()), ..output };
    with_lies(input, Length::ZERO, with_tapes(input, wanted, output)?)
}

fn other_shaft(input: &Input, club: &OnBench, longer: Length) -> Result<Output, Failure> {
    let grams = |field: &'static str, value: Option<f64>| {
        read::grams_within(field, read::needed(field, value)?, 20.0..=170.0)
    };
    let old = FittedShaft {
        mass: grams("old_shaft_cut_g", input.old_shaft_cut_g)?,
        balance: read::inches_within(
            "old_shaft_cg_in",
            read::needed("old_shaft_cg_in", input.old_shaft_cg_in)?,
            5.0..=40.0,
        )?,
    };
    let cap = cap(input)?;
    let bore =
        input.bore_to_ground_in.map_or(Ok(BORE_TO_GROUND), |bore| amount("bore_to_ground_in", bore))?;
    let fraction = input.new_shaft_cg_fraction.unwrap_or(bench_model::SHAFT_BALANCE_FRACTION);
    if !(0.3..=0.7).contains(&fraction) {
        return Err(Failure::bad_input(format!("expected a share of 0.3 to 0.7, found {fraction}"))
            .field("new_shaft_cg_fraction"));
    }
    let cut = club.length + longer - bore - cap;
    let new =
        FittedShaft { mass: grams("new_shaft_cut_g", input.new_shaft_cut_g)?, balance: cap + cut * fraction };
    let after = club.reshafted(longer, old, new)?;
    let output = with_hold(input, club, &after, before_and_after(club, &after))?;
    with_lies(input, longer, output)
}
