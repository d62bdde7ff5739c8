//! What a set is worth in yards, as the target's page and paper show it: carries and gaps, bends that even them, what a lie
//! does, and the flight before and after.

use crate::maps::Maps;
use crate::pages::pitch_mm;
use crate::shell::golfer_path;
use ball::shot::{ShotError, way};
use bench::{ClubInHand, Evened, NoYards, SetPlan, Yards};
use club::sole_mark::{MarkSide, SoleMarks};
use maud::{Markup, html};
use quantity::{Angle, Length, Z_80};
use sheet::figure::{FlightLine, flights, gap_ladder, strike_map};
use sheet::words::{list, rich};
use sheet::{BALL_AND_AIR_VARY_BY_MORE, DistanceUnit, ball_and_air_vary_by_more};
use studio::{Dossier, HouseSettings, Units};

/// Points a flight is drawn through.
pub(crate) const POINTS: usize = 60;
/// Curve of the flattest and the roundest sole, in. Trade practice, no source: a degree for 1/4 in, and for 1/8 in.
const SOLE_RADII: (Length, Length) = (Length::inches(14.3), Length::inches(7.2));
/// The mark whose worth is told. Definition.
const MARK: Length = Length::inches(0.125);

/// What the house tells distances in.
pub(crate) fn unit_of(house: &HouseSettings) -> DistanceUnit {
    match house.units() {
        Units::Inches => DistanceUnit::Yards,
        Units::Metric => DistanceUnit::Metres,
    }
}

/// Draws it, or says what is missing.
pub(crate) fn of_the_set(dossier: &Dossier, house: &HouseSettings, plan: &SetPlan, maps: &Maps) -> Markup {
    let unit = unit_of(house);
    match plan.yards() {
        Ok(yards) => html! {
            section class="yards" {
                h2 { "In " (name_of(unit)) }
                p class="lead" { (rests_on(&yards, unit)) }
                (carries(&yards, plan, unit))
                (before_and_after(dossier, plan, &yards, unit))
                (face(dossier, &yards, maps, unit))
                (lies(&yards, unit))
            }
        },
        Err(why) => not_yet(dossier, unit, &why),
    }
}

const fn name_of(unit: DistanceUnit) -> &'static str {
    match unit {
        DistanceUnit::Yards => "yards",
        DistanceUnit::Metres => "metres",
    }
}

/// Why nothing is said in yards, and what to do about it.
pub(crate) fn not_yet(dossier: &Dossier, unit: DistanceUnit, why: &NoYards) -> Markup {
    html! {
        h2 { "In " (name_of(unit)) }
        p class="note" {
            @match why {
                NoYards::NoHeadSpeed => {
                    "What strikes, lies and gaps are worth in " (name_of(unit)) " needs one head speed. "
                    a href=(format!("{}/measure", golfer_path(dossier))) { "Write down a head speed" }
                }
                NoYards::NoClub => { "No club of this set can be flown: there are putters only." }
                NoYards::Shot { club, error } => { (club) ": " (error.to_string()) ". " (error.hint()) }
            }
        }
    }
}

fn rests_on(yards: &Yards, unit: DistanceUnit) -> String {
    let speed = yards.head_speed;
    let longest =
        yards.clubs.iter().max_by(|one, other| one.carried.carry_m().total_cmp(&other.carried.carry_m()));
    let ball = longest.map_or_else(String::new, |club| {
        format!(
            " A ball nobody measured and the day's air alone make {} more or less with the {}.",
            unit.say(Z_80 * club.carried.spread.ball_and_air_sd),
            club.name
        )
    });
    format!(
        "From {} with the {}, from the sweet spot, in still air on the level. Heads and deliveries stand in for those nobody \
         measured; intervals hold 80 in 100 and are wide for it.{ball} Nothing here promises a distance.",
        speed.speed.mph_printed(0),
        speed.club
    )
}

fn carries(yards: &Yards, plan: &SetPlan, unit: DistanceUnit) -> Markup {
    let evened = yards.evened();
    let bends = evened.as_ref().ok().and_then(Option::as_ref);
    html! {
        h3 { "Carries and gaps" }
        figure { div class="wide" tabindex="0" role="group" aria-label="Carry of every club" { (gap_ladder(yards, bends, unit)) } }
        (gaps_table(yards, unit))
        @if !yards.left_out.is_empty() {
            p class="small soft" { "Left out, for they do not lift the ball: " (yards.left_out.join(", ")) "." }
        }
        @if let Some(assumed) = assumed_lofts(yards, plan) { p class="small soft" { (assumed) } }
        @match &evened {
            Ok(Some(evened)) => { (bending(yards, evened, unit)) }
            Ok(None) => {
                p class="small soft" { "Bending for even gaps needs three irons or wedges, and to know how their heads were made." }
            }
            Err(error) => { p class="note" { (error.to_string()) ". " (error.hint()) } }
        }
    }
}

/// Which lofts were not read.
fn assumed_lofts(yards: &Yards, plan: &SetPlan) -> Option<String> {
    let assumed: Vec<&str> = yards
        .clubs
        .iter()
        .filter(|club| plan.clubs[club.place].club.assumes("loft"))
        .map(|club| club.name.as_str())
        .collect();
    (!assumed.is_empty()).then(|| {
        format!(
            "Loft not read, a usual one taken: {}. A gap is no better than its lofts.",
            assumed.join(", ")
        )
    })
}

fn gaps_table(yards: &Yards, unit: DistanceUnit) -> Markup {
    let gaps = yards.gaps();
    let after = |is_so: &dyn Fn(&ClubInHand, f64) -> bool| -> Vec<String> {
        let small = yards.clubs.iter().zip(&gaps).filter(|(club, gap)| is_so(club, gap.metres));
        small.map(|(club, _)| club.name.clone()).collect()
    };
    let within_the_ball = after(&|club, metres| ball_and_air_vary_by_more(metres, club.carried.spread));
    let overlapping = after(&|_, metres| metres <= 0.0);
    html! {
        @if !within_the_ball.is_empty() {
            p class="small" { "From the " (list(&within_the_ball)) " to the next: ball and air vary by more than this difference." }
        }
        @if !overlapping.is_empty() {
            p class="small" { "The " (list(&overlapping)) " carries no farther than the next." }
        }
        details {
            summary { "Numbers of the carries" }
            div class="wide" tabindex="0" role="group" aria-label="Numbers of the carries" {
                table class="dense" {
                    thead { tr {
                        th class="text" scope="col" { "Club" }
                        th scope="col" { "Loft" }
                        th scope="col" { "Launch" }
                        th scope="col" { "Lands at" }
                        th scope="col" { "Carry" }
                        th scope="col" { "To the next" }
                    } }
                    tbody {
                        @for (place, club) in yards.clubs.iter().enumerate() {
                            @let shot = &club.carried.shot;
                            tr {
                                th class="text" scope="row" { (club.name) }
                                td class="nowrap" { (club.loft.degrees_printed(1)) }
                                td class="nowrap" { (Angle::degrees(shot.impact.launch_deg).degrees_printed(0)) }
                                td class="nowrap" { (Angle::degrees(shot.landing().angle_deg).degrees_printed(0)) }
                                td class="nowrap" { (unit.with_interval(club.carried.carry_m(), club.carried.spread)) }
                                td class="nowrap" { @if let Some(gap) = gaps.get(place) { (unit.with_interval(gap.metres, gap.spread)) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn bending(yards: &Yards, evened: &Evened, unit: DistanceUnit) -> Markup {
    let bent: Vec<_> = evened
        .places
        .iter()
        .zip(&evened.bent)
        .filter(|(_, bent)| bent.bend_deg.abs() > 0.0)
        .map(|(place, bent)| (&yards.clubs[*place], bent))
        .collect();
    html! {
        h3 { "Bending lofts for even gaps" }
        @if bent.is_empty() {
            p { "The gaps of the irons and wedges are as even as bending within the heads’ limits makes them." }
        } @else {
            div class="wide" tabindex="0" role="group" aria-label="Bends for even gaps" {
                table class="dense" {
                    thead { tr {
                        th class="text" scope="col" { "Club" }
                        th scope="col" { "Loft" }
                        th scope="col" { "Bounce" }
                        th scope="col" { "Launch" }
                        th scope="col" { "Carry now" }
                        th scope="col" { "Carry then" }
                    } }
                    tbody {
                        @for (club, bent) in bent {
                            tr {
                                th class="text" scope="row" { (club.name) }
                                td class="nowrap" { (degrees_of_a_bend(bent.bend_deg)) }
                                td class="nowrap" { (signed_degrees(bent.bend_deg)) }
                                td class="nowrap" { (signed_degrees(bent.launch_deg - club.carried.shot.impact.launch_deg)) }
                                td class="nowrap" { (unit.with_interval(club.carried.carry_m(), club.carried.spread)) }
                                td class="nowrap" { (unit.with_interval(bent.carry_m, club.carried.spread)) }
                            }
                        }
                    }
                }
            }
            p class="caution" { "Caution. A bent head can crack: eyes covered, cold, half a degree at a time, read after each, never beyond what its maker allows. Read every loft before bending any." }
        }
    }
}

/// `1.5° weaker`.
fn degrees_of_a_bend(degrees: f64) -> String {
    let way = if degrees > 0.0 { "weaker" } else { "stronger" };
    format!("{} {way}", Angle::degrees(degrees.abs()).degrees_printed(1))
}

fn signed_degrees(degrees: f64) -> String {
    let sign = if degrees < 0.0 { "\u{2212}" } else { "+" };
    format!("{sign}{}", Angle::degrees(degrees.abs()).degrees_printed(1))
}

/// The face of one club with its lines: of the one that was tried, with the strikes once its code was opened, or else of the
/// one the head speed was read with.
fn face(dossier: &Dossier, yards: &Yards, maps: &Maps, unit: DistanceUnit) -> Markup {
    let tried = dossier.trial().map(|kept| &kept.record).filter(|trial| trial.opened.is_some());
    let of_trial = tried.and_then(|trial| Some((yards.club(&trial.club)?, dossier.strikes_of(trial))));
    let measured = || yards.clubs.iter().find(|club| club.kind == yards.head_speed.club);
    let Some((club, strikes)) = of_trial.or_else(|| measured().map(|club| (club, Vec::new()))) else {
        return html! {};
    };
    let strikes: Vec<(f64, f64)> = strikes.iter().map(|strike| (strike.x_mm, strike.y_mm)).collect();
    html! {
        h3 { "What a strike costs with the " (club.name) }
        @match maps.of(&club.setup, &club.unknowns) {
            Ok(map) => { (strike_map(&map, dossier.golfer.record.plays, pitch_mm(dossier, &club.name), &strikes, unit)) }
            Err(error) => { p class="note" { (error.to_string()) ". " (error.hint()) } }
        }
    }
}

/// What a lie that is delivered wrong does, for every club.
fn lies(yards: &Yards, unit: DistanceUnit) -> Markup {
    let rows: Result<Vec<Markup>, ShotError> = yards.clubs.iter().map(|club| lie_row(club, unit)).collect();
    html! {
        h3 { "What a wrong lie does" }
        @match rows {
            Ok(rows) => {
                details {
                    summary { "A degree too upright, club by club" }
                    div class="wide" tabindex="0" role="group" aria-label="What a degree of lie does" {
                        table class="dense" {
                            thead { tr {
                                th class="text" scope="col" { "Club" }
                                th scope="col" { "Starts toward the lead side" }
                                th scope="col" { "Finishes toward the lead side" }
                                th scope="col" { "A sole mark 1/8 in off" }
                            } }
                            tbody { @for row in rows { (row) } }
                        }
                    }
                    p class="small soft" { "Too flat does the same toward the trail side. What a mark says in degrees goes by the curve of the sole: the two figures are for the flattest and the roundest. Marks of one day say little; wait for three." }
                }
            }
            Err(error) => { p class="note" { (error.to_string()) ". " (error.hint()) } }
        }
    }
}

fn lie_row(club: &ClubInHand, unit: DistanceUnit) -> Result<Markup, ShotError> {
    let degree = club.lie_cost(Angle::degrees(1.0))?;
    let of_mark = |radius: Length| {
        let marks = SoleMarks { offset: MARK, toward: MarkSide::Heel, sd: Length::ZERO, counted: 1 };
        let degrees = marks.lie_error(radius).map_or(Angle::ZERO, |error| error.degrees);
        club.lie_cost(degrees).map(|cost| cost.finish_lead_m)
    };
    let (flattest, roundest) = (of_mark(SOLE_RADII.0)?, of_mark(SOLE_RADII.1)?);
    Ok(html! {
        tr {
            th class="text" scope="row" { (club.name) }
            td class="nowrap" { (Angle::degrees(degree.start.start_turned_deg).degrees_printed(1)) }
            td class="nowrap" { (unit.with_interval(degree.finish_lead_m, degree.spread)) }
            td class="nowrap" { (unit.number(flattest)) " to " (unit.say(roundest)) }
        }
    })
}

/// The club the head speed was read with, or else the one whose length changes most, before and after.
fn before_and_after(dossier: &Dossier, plan: &SetPlan, yards: &Yards, unit: DistanceUnit) -> Markup {
    let changes = yards.clubs.iter().filter_map(|club| {
        let outcome = plan.clubs[club.place].chosen()?;
        Some((club, outcome.after.length - outcome.before.length))
    });
    let is_measured = |club: &ClubInHand| club.kind == yards.head_speed.club;
    let changed = changes.filter(|(_, change)| change.abs() > Length::ZERO);
    let told = changed.max_by(|one, other| {
        is_measured(one.0).cmp(&is_measured(other.0)).then(one.1.abs().compare(&other.1.abs()))
    });
    let Some((club, change)) = told else { return html! {} };
    let drawn = club.lengthened(change).and_then(|after| {
        let mut setup = club.setup;
        setup.delivery.head_speed_mps = after.head_speed_mps;
        let line = |name: String, setup: &ball::unknowns::Setup, spread| {
            let sweet = setup.head.sweet_spot();
            let delivery = ball::impact::Delivery { place: sweet, ..setup.delivery };
            let way = way(&setup.head, &delivery, &setup.conditions, POINTS)?;
            Ok::<_, ShotError>(FlightLine { name, way, spread })
        };
        let now = line("as it is".to_owned(), &club.setup, club.carried.spread)?;
        let then = line("as planned".to_owned(), &setup, after.carried.spread)?;
        Ok((after, now, then))
    });
    let side = if dossier.golfer.record.plays == fitting::Handedness::Left {
        " (mirrored for a left-hander)"
    } else {
        ""
    };
    html! {
        h3 { "The " (club.name) " before and after" }
        @match drawn {
            Ok((after, now, then)) => {
                p {
                    "Struck alike, " (rich(&signed(change))) " of length is worth " (unit.with_interval(after.gained.metres, after.gained.spread)) " of carry, by head speed alone. "
                    @if ball_and_air_vary_by_more(after.gained.metres, club.carried.spread) { (BALL_AND_AIR_VARY_BY_MORE) " " }
                    "What it does to the strike is for a trial to say."
                }
                (flights(&now, &then, unit))
                @if !side.is_empty() { p class="small soft" { "Drawn" (side) "." } }
            }
            Err(error) => { p class="note" { (error.to_string()) ". " (error.hint()) } }
        }
    }
}

/// A change of length with its sign, to a sixteenth.
fn signed(change: Length) -> String {
    let step = change.to_step(quantity::InchStep::Sixteenth);
    format!("{}{}", step.sign(true), change.abs().to_step(quantity::InchStep::Sixteenth))
        .replace('-', "\u{2212}")
}
