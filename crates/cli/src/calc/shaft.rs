//! `calc shaft`: how a clamped club vibrates, what work does to it, and the line of a set.
//!
//! The beam's keys are in SI and those of work at the bench in inches and grams, as their ends say. Directions along the
//! shaft run from the raw butt.

use super::{Calculation, read};
use crate::failure::Failure;
use club::shaft::{
    Alteration, Calibrated, ClampedClub, ClubOnLine, FrequencyLine, Mounting, Profile, ProfilePoint, Section,
    TipHead, Tube, USUAL_CLAMP, UniformBeam, calibrate, head_stand_in_half_width, line_through, set_line,
};
use quantity::{Estimate, Frequency, Inertia, Length, Mass};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A club on the clamp by one of three profiles (even, a tube, places), or `clubs` for the line of a set.
#[derive(Deserialize, JsonSchema, Default)]
#[serde(deny_unknown_fields, default)]
#[expect(non_snake_case, reason = "EI, L, J, M, E and D are the names of the trade and of physics")]
pub(super) struct Input {
    /// Even profile: bending stiffness
    #[serde(alias = "EI")]
    EI_Nm2: Option<f64>,
    /// Even profile: mass of a metre
    #[serde(alias = "mass_per_m")]
    mass_per_m_kg: Option<f64>,
    /// Even profile: free length
    #[serde(alias = "L")]
    L_m: Option<f64>,
    /// Tube: outside diameters and walls at raw butt and tip
    #[serde(alias = "D_butt")]
    D_butt_m: Option<f64>,
    #[serde(alias = "D_tip")]
    D_tip_m: Option<f64>,
    #[serde(alias = "t_butt")]
    t_butt_m: Option<f64>,
    #[serde(alias = "t_tip")]
    t_tip_m: Option<f64>,
    /// Tube: Young's modulus
    #[serde(alias = "E")]
    E_Pa: Option<f64>,
    /// Tube: density, or `raw_mass_kg`
    #[serde(alias = "rho")]
    rho_kg_m3: Option<f64>,
    #[serde(alias = "raw_mass")]
    raw_mass_kg: Option<f64>,
    /// Tube: length of the raw shaft
    #[serde(alias = "raw_len")]
    raw_len_m: Option<f64>,
    /// Places from the raw butt, at 0, to the raw tip; between them both change evenly
    profile: Option<Vec<Place>>,
    /// A remark; not read
    kind: Option<String>,
    /// Butt in the clamp; 0.127 (5 in) when not given, 0 for an even profile
    #[serde(alias = "clamp")]
    clamp_m: Option<f64>,
    #[serde(alias = "butt_cut")]
    butt_cut_m: Option<f64>,
    tip_trim_m: Option<f64>,
    /// Lengthened at the butt, by a plug that reaches `plug_seated_m` into the shaft
    extension_m: Option<f64>,
    plug_seated_m: Option<f64>,
    /// Shaft inside the head; or `free_len_m`
    hosel_m: Option<f64>,
    #[serde(alias = "free_len")]
    free_len_m: Option<f64>,
    /// Mass of the head; 0 when not given
    #[serde(alias = "M", alias = "M_kg", alias = "tip_mass")]
    tip_mass_kg: Option<f64>,
    /// The head's inertia about its own centre; 0 when not given
    #[serde(alias = "J", alias = "J_kgm2", alias = "tip_J")]
    tip_J_kgm2: Option<f64>,
    /// How far the head's centre lies beyond the hosel's top; 0 when not given
    #[serde(alias = "c", alias = "c_m", alias = "tip_c")]
    tip_c_m: Option<f64>,
    /// 1, the slowest, to 3; 1 when not given
    mode: Option<usize>,
    /// True to be given the mode's shape
    shape: bool,
    /// Scale the profile to this reading
    measured_cpm: Option<f64>,
    /// How far the reading may be off, 80 in 100; 1 when not given
    measured_half_width_cpm: Option<f64>,
    /// Work on the club as it is, each by itself
    work: Vec<Work>,
    /// A set for its line, with nothing else but the next two
    clubs: Option<Vec<LineClub>>,
    /// + when shorter clubs read higher; the line of least squares when not given
    slope_cpm_per_in_shorter: Option<f64>,
    /// Which of the clubs a stated slope goes through, counted from 1; the first when not given
    through: Option<usize>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[expect(non_snake_case, reason = "EI is the name of the trade and of physics")]
struct Place {
    at_m: f64,
    EI_Nm2: f64,
    mass_per_m_kg: f64,
}

#[derive(Deserialize, JsonSchema, Default)]
#[serde(deny_unknown_fields, default)]
struct Work {
    butt_cut_in: f64,
    extend_in: f64,
    plug_seated_in: f64,
    tip_trim_in: f64,
    /// Added at the head + or taken off −
    tip_weight_g: f64,
    /// Another clamp
    clamp_in: Option<f64>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct LineClub {
    length_in: f64,
    frequency_cpm: f64,
}

/// The club's frequency, or the set's line.
#[derive(Serialize, JsonSchema, Default)]
#[expect(non_snake_case, reason = "EI is the name of the trade and of physics")]
pub(super) struct Output {
    #[serde(skip_serializing_if = "Option::is_none")]
    f_hz: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    cpm: Option<f64>,
    /// How far the head's place, a stand-in, may put the first mode off, either way; not when it was read
    #[serde(skip_serializing_if = "Option::is_none")]
    cpm_known_within: Option<f64>,
    /// Even profile without offset: (ω² m' L⁴ / EI)^(1/4)
    #[serde(skip_serializing_if = "Option::is_none")]
    beta: Option<f64>,
    /// Even profile: Rayleigh's bound of the first mode, of the head's mass alone
    #[serde(skip_serializing_if = "Option::is_none")]
    rayleigh_cpm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    EI_clamp_Nm2: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    EI_tip_Nm2: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    free_len_m: Option<f64>,
    /// By what the stiffness was multiplied to give the reading, and how far that may be off, 80 in 100
    #[serde(skip_serializing_if = "Option::is_none")]
    stiffness_factor: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    stiffness_factor_half_width: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    warning: Option<String>,
    /// Place from the clamp's edge, m, and swing as a share of the largest
    #[serde(skip_serializing_if = "Vec::is_empty")]
    shape: Vec<[f64; 2]>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    work: Vec<Worked>,
    #[serde(skip_serializing_if = "Option::is_none")]
    slope_cpm_per_in_shorter: Option<f64>,
    /// The line's frequency at each club's length, and how far the club reads above it
    #[serde(skip_serializing_if = "Vec::is_empty")]
    line_cpm: Vec<f64>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    above_line_cpm: Vec<f64>,
}

#[derive(Serialize, JsonSchema)]
struct Worked {
    cpm: f64,
    change_cpm: f64,
    /// How far the reading's error may put `cpm` off, 80 in 100; only after a reading
    #[serde(skip_serializing_if = "Option::is_none")]
    half_width_cpm: Option<f64>,
    /// How far the head's place, a stand-in, may put the change off, either way
    change_known_within_cpm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    warning: Option<String>,
}

pub(super) struct Calc;

impl Calculation for Calc {
    type Input = Input;
    type Output = Output;

    fn answer(input: Input) -> Result<Output, Failure> {
        one_form(&input)?;
        match &input.clubs {
            Some(clubs) => line(&input, clubs),
            None => club_on_clamp(&input),
        }
    }
}

/// Refuses keys of two forms in one question: one of them would go unread.
fn one_form(input: &Input) -> Result<(), Failure> {
    let any = |values: &[Option<f64>]| values.iter().any(Option::is_some);
    let tube = [
        input.D_butt_m,
        input.D_tip_m,
        input.t_butt_m,
        input.t_tip_m,
        input.E_Pa,
        input.rho_kg_m3,
        input.raw_mass_kg,
        input.raw_len_m,
    ];
    let of_a_club = [
        input.clamp_m,
        input.butt_cut_m,
        input.tip_trim_m,
        input.extension_m,
        input.plug_seated_m,
        input.hosel_m,
        input.free_len_m,
        input.tip_mass_kg,
        input.tip_J_kgm2,
        input.tip_c_m,
        input.measured_cpm,
        input.measured_half_width_cpm,
    ];
    let is_line = input.clubs.is_some();
    let forms = [
        ("EI_Nm2, mass_per_m_kg, L_m", any(&[input.EI_Nm2, input.mass_per_m_kg, input.L_m])),
        ("the keys of a tube", any(&tube)),
        ("profile", input.profile.is_some()),
        ("clubs", is_line),
        ("the keys of a club on the clamp", is_line && (any(&of_a_club) || !input.work.is_empty())),
        (
            "the keys of a set's line",
            !is_line && (input.slope_cpm_per_in_shorter.is_some() || input.through.is_some()),
        ),
    ];
    let found: Vec<&str> = forms.iter().filter(|(_, is_there)| *is_there).map(|(form, _)| *form).collect();
    if found.len() > 1 {
        return Err(Failure::bad_input(format!(
            "expected one form of question, found {}",
            found.join(" and ")
        ))
        .hint("Run with --schema to see which keys go together."));
    }
    Ok(())
}

fn metres(field: &str, value: Option<f64>) -> Result<Length, Failure> {
    Length::try_from_metres(value.unwrap_or(0.0)).map_err(|error| Failure::from(error).field(field))
}

fn needed_metres(field: &'static str, value: Option<f64>) -> Result<Length, Failure> {
    metres(field, Some(read::needed(field, value)?))
}

/// The profile, and the even beam where it is one.
fn profile(input: &Input) -> Result<(Profile, Option<UniformBeam>), Failure> {
    match (&input.profile, input.D_butt_m, input.EI_Nm2) {
        (Some(places), None, None) => {
            let points: Result<Vec<ProfilePoint>, Failure> = places
                .iter()
                .map(|place| {
                    Ok(ProfilePoint {
                        at: metres("profile", Some(place.at_m))?,
                        section: Section {
                            stiffness_n_m2: place.EI_Nm2,
                            mass_per_m_kg: place.mass_per_m_kg,
                        },
                    })
                })
                .collect();
            Ok((Profile::of_points(points?)?, None))
        }
        (None, Some(_), None) => Ok((Profile::of_tube(tube(input)?)?, None)),
        (None, None, Some(stiffness_n_m2)) => {
            let mass_per_m_kg = read::needed("mass_per_m_kg", input.mass_per_m_kg)?;
            let length = needed_metres("L_m", input.L_m)?;
            let section = Section { stiffness_n_m2, mass_per_m_kg };
            let tip_mass = head(input)?.mass;
            let beam = UniformBeam { stiffness_n_m2, mass_per_m_kg, length, tip_mass };
            Ok((Profile::even(length, section, section)?, Some(beam)))
        }
        _ => Err(Failure::bad_input(
            "expected one of EI_Nm2 (with mass_per_m_kg, L_m), D_butt_m (with the tube's other keys), profile, clubs",
        )
        .hint("Run with --schema to see what is taken.")),
    }
}

fn tube(input: &Input) -> Result<Tube, Failure> {
    let tube = Tube {
        raw_length: needed_metres("raw_len_m", input.raw_len_m)?,
        butt_diameter: needed_metres("D_butt_m", input.D_butt_m)?,
        tip_diameter: needed_metres("D_tip_m", input.D_tip_m)?,
        butt_wall: needed_metres("t_butt_m", input.t_butt_m)?,
        tip_wall: needed_metres("t_tip_m", input.t_tip_m)?,
        modulus_pa: read::needed("E_Pa", input.E_Pa)?,
        density_kg_m3: input.rho_kg_m3.unwrap_or_default(),
    };
    let by_mass = input.raw_mass_kg.map(|mass| tube.density_for_mass(Mass::kilograms(mass)));
    match (input.rho_kg_m3, by_mass) {
        (Some(density), Some(by_mass)) if (by_mass / density - 1.0).abs().total_cmp(&0.005).is_ge() => {
            Err(Failure::bad_input(format!(
                "expected rho_kg_m3 and raw_mass_kg to agree, found {density} and {by_mass:.0} by the mass"
            ))
            .field("raw_mass_kg")
            .hint("Give the one you trust."))
        }
        (Some(density_kg_m3), _) | (None, Some(density_kg_m3)) => Ok(Tube { density_kg_m3, ..tube }),
        (None, None) => {
            Err(Failure::bad_input("expected rho_kg_m3 or raw_mass_kg, found neither").field("rho_kg_m3"))
        }
    }
}

fn head(input: &Input) -> Result<TipHead, Failure> {
    let mass = Mass::try_from_kilograms(input.tip_mass_kg.unwrap_or(0.0))
        .map_err(|error| Failure::from(error).field("tip_mass_kg"))?;
    Ok(TipHead {
        mass,
        inertia: Inertia::try_from_kg_m2(input.tip_J_kgm2.unwrap_or(0.0))
            .map_err(|error| Failure::from(error).field("tip_J_kgm2"))?,
        centre_beyond_tip: metres("tip_c_m", input.tip_c_m)?,
    })
}

fn mounting(input: &Input, profile: &Profile, is_even: bool) -> Result<Mounting, Failure> {
    let usual = if is_even { Length::ZERO } else { USUAL_CLAMP };
    let mounting = Mounting {
        clamp: input.clamp_m.map_or(Ok(usual), |clamp| metres("clamp_m", Some(clamp)))?,
        butt_cut: metres("butt_cut_m", input.butt_cut_m)?,
        extension: metres("extension_m", input.extension_m)?,
        plug_seated: metres("plug_seated_m", input.plug_seated_m)?,
        tip_trim: metres("tip_trim_m", input.tip_trim_m)?,
        in_hosel: metres("hosel_m", input.hosel_m)?,
    };
    let Some(free) = input.free_len_m else {
        return Ok(mounting);
    };
    if input.hosel_m.is_some() {
        return Err(Failure::bad_input("expected hosel_m or free_len_m, found both").field("free_len_m"));
    }
    let in_hosel = mounting.free_span(profile)?.length() - metres("free_len_m", Some(free))?;
    // what the decimal keys leave over is no negative hosel
    Ok(Mounting {
        in_hosel: if in_hosel.abs() < Length::mm(1e-3) { Length::ZERO } else { in_hosel },
        ..mounting
    })
}

fn club_on_clamp(input: &Input) -> Result<Output, Failure> {
    let (profile, beam) = profile(input)?;
    let mounting = mounting(input, &profile, beam.is_some())?;
    let drawn = ClampedClub { profile, mounting, head: head(input)? };
    let calibrated = input.measured_cpm.map(|cpm| calibrated(input, &drawn, cpm)).transpose()?;
    let club = calibrated.as_ref().map_or(&drawn, |calibrated| &calibrated.club);
    let span = club.mounting.free_span(&club.profile)?;
    let number = input.mode.unwrap_or(1);
    let mode = club.mode(number)?;
    let beam = beam.filter(|_| calibrated.is_none());
    let is_slowest = number == 1;
    let stand_in = || head_stand_in_half_width(club, ClampedClub::frequency);
    let known_within = (is_slowest && calibrated.is_none()).then(stand_in).transpose()?;
    Ok(Output {
        f_hz: Some(mode.frequency.as_hertz()),
        cpm: Some(mode.frequency.as_cpm()),
        cpm_known_within: known_within.map(Frequency::as_cpm),
        beta: beam.map(|beam| UniformBeam { length: span.length(), ..beam }.beta(mode.frequency)),
        rayleigh_cpm: beam
            .filter(|_| is_slowest)
            .map(|beam| UniformBeam { length: span.length(), ..beam }.rayleigh().as_cpm()),
        EI_clamp_Nm2: Some(club.profile.at(span.clamp_edge).stiffness_n_m2),
        EI_tip_Nm2: Some(club.profile.at(span.hosel_top).stiffness_n_m2),
        free_len_m: Some(span.length().as_metres()),
        stiffness_factor: calibrated.as_ref().map(|calibrated| calibrated.stiffness_factor.value),
        stiffness_factor_half_width: calibrated
            .as_ref()
            .map(|calibrated| calibrated.stiffness_factor.half_width),
        warning: club.plug_beyond_clamp().map(|plug| plug.to_string()),
        shape: if input.shape {
            mode.shape.iter().map(|(place, swing)| [place.as_metres(), *swing]).collect()
        } else {
            Vec::new()
        },
        work: input
            .work
            .iter()
            .map(|work| worked(club, calibrated.as_ref(), work))
            .collect::<Result<_, _>>()?,
        ..Output::default()
    })
}

fn calibrated(input: &Input, club: &ClampedClub, cpm: f64) -> Result<Calibrated, Failure> {
    let frequency = |field: &str, value: f64| {
        Frequency::try_from_cpm(value).map_err(|error| Failure::from(error).field(field))
    };
    let half_width = input.measured_half_width_cpm.unwrap_or(1.0);
    let reading = Estimate {
        value: frequency("measured_cpm", cpm)?,
        half_width: frequency("measured_half_width_cpm", half_width)?,
        level_percent: 80,
    };
    calibrate(club, reading).map_err(|error| Failure::from(error).field("measured_cpm"))
}

fn worked(club: &ClampedClub, calibrated: Option<&Calibrated>, work: &Work) -> Result<Worked, Failure> {
    let inches = |field: &str, value: f64| read::inches_within(field, value, 0.0..=20.0);
    let alteration = Alteration {
        butt_cut: inches("butt_cut_in", work.butt_cut_in)?,
        extension: inches("extend_in", work.extend_in)?,
        plug_seated: inches("plug_seated_in", work.plug_seated_in)?,
        tip_trim: inches("tip_trim_in", work.tip_trim_in)?,
        head_added: read::grams_within("tip_weight_g", work.tip_weight_g, -400.0..=400.0)?,
        clamp: work.clamp_in.map(|clamp| inches("clamp_in", clamp)).transpose()?,
    };
    let altered = club.altered(&alteration)?;
    let after = altered.frequency()?;
    let change = |club: &ClampedClub| Ok(club.altered(&alteration)?.frequency()? - club.frequency()?);
    let sure = calibrated.map(|calibrated| calibrated.after(&altered)).transpose()?;
    Ok(Worked {
        cpm: after.as_cpm(),
        change_cpm: change(club).map_err(|error: club::ClubError| Failure::from(error))?.as_cpm(),
        half_width_cpm: sure.map(|sure| sure.half_width.as_cpm()),
        change_known_within_cpm: head_stand_in_half_width(club, change)?.as_cpm(),
        warning: altered.plug_beyond_clamp().map(|plug| plug.to_string()),
    })
}

fn line(input: &Input, clubs: &[LineClub]) -> Result<Output, Failure> {
    if !(1..=40).contains(&clubs.len()) {
        let found = clubs.len();
        return Err(Failure::bad_input(format!("expected 1 to 40 clubs, found {found}")).field("clubs"));
    }
    let clubs: Vec<ClubOnLine> = clubs
        .iter()
        .map(|club| {
            Ok(ClubOnLine {
                length: read::inches("length_in", club.length_in)?,
                frequency: Frequency::try_from_cpm(club.frequency_cpm)
                    .map_err(|error| Failure::from(error).field("frequency_cpm"))?,
            })
        })
        .collect::<Result<_, Failure>>()?;
    let line: FrequencyLine = match input.slope_cpm_per_in_shorter {
        None => set_line(&clubs)?,
        Some(slope) => {
            let through = input.through.unwrap_or(1);
            let chosen = through.checked_sub(1).and_then(|index| clubs.get(index)).ok_or_else(|| {
                let most = clubs.len();
                Failure::bad_input(format!("expected a club of 1 to {most}, found {through}"))
                    .field("through")
            })?;
            line_through(&clubs, *chosen, slope)?
        }
    };
    Ok(Output {
        slope_cpm_per_in_shorter: Some(line.slope_cpm_per_in_shorter),
        line_cpm: clubs.iter().map(|club| line.at(club.length).as_cpm()).collect(),
        above_line_cpm: line.above.iter().map(|above| above.as_cpm()).collect(),
        ..Output::default()
    })
}
