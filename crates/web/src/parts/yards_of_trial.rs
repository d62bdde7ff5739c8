//! What a trial is worth in yards: the face with its lines, what the same strikes say when judged by where the balls come
//! down, and the flight of the mean strike at two lengths.

use super::yards::{POINTS, not_yet, unit_of};
use crate::maps::Maps;
use ball::impact::{Delivery, StrikePlace};
use ball::shot::{ShotError, way};
use ball::unknowns::Spread;
use bench::{ClubInHand, HEAD_SPEED_AN_INCH_MPS, NoYards};
use fitting::Handedness;
use jiff::civil::Date;
use maud::{Markup, html};
use quantity::Length;
use sheet::figure::{FlightLine, flights, strike_map};
use sheet::words::rich;
use sheet::{DistanceUnit, offset_words};
use studio::{Dossier, HouseSettings, InYards, TrialFile};
use trial::{Analysis, Axis, Kind};

/// What the part is drawn from.
pub(crate) struct OfTrial<'a> {
    pub(crate) dossier: &'a Dossier,
    pub(crate) house: &'a HouseSettings,
    pub(crate) today: Date,
    pub(crate) maps: &'a Maps,
    pub(crate) trial: &'a TrialFile,
    pub(crate) analysis: &'a Analysis,
    /// Score lines of the club that is tried.
    pub(crate) pitch_mm: f64,
}

impl OfTrial<'_> {
    /// Draws it, or says what is missing; nothing when the trial itself cannot say anything.
    pub(crate) fn draw(&self) -> Markup {
        let unit = unit_of(self.house);
        if self.analysis.decision.kind == Kind::CannotSay {
            return html! {};
        }
        let Ok(plan) = self.dossier.plan(self.house, self.today) else { return html! {} };
        let drawn = plan.yards().and_then(|yards| {
            let club = yards.club(&self.trial.club).ok_or(NoYards::NoClub)?;
            self.of_club(club, unit).map_err(|error| NoYards::Shot { club: club.name.clone(), error })
        });
        match drawn {
            Ok(drawn) => drawn,
            Err(why) => not_yet(self.dossier, unit, &why),
        }
    }

    fn of_club(&self, club: &ClubInHand, unit: DistanceUnit) -> Result<Markup, ShotError> {
        let map = self.maps.of(&club.setup, &club.unknowns)?;
        let plays = self.dossier.golfer.record.plays;
        let strikes: Vec<(f64, f64)> = self
            .analysis
            .strikes
            .days()
            .iter()
            .flat_map(|day| &day.strikes)
            .map(|strike| (strike.x_mm, strike.y_mm))
            .collect();
        let judged = InYards::of(self.analysis, &map);
        Ok(html! {
            section class="yards" {
            h2 { "What a strike costs" }
            (strike_map(&map, plays, self.pitch_mm, &strikes, unit))
            @match judged {
                Ok(judged) => {
                    @for (place, said) in judged.words(self.analysis, map.carry_spread, unit).iter().enumerate() {
                        @if place == 0 && judged.differs_from(&self.analysis.decision) { p { b { (rich(said)) } } } @else { p { (rich(said)) } }
                    }
                    (self.two_flights(club, &judged, unit)?)
                }
                Err(error) => { p class="note" { (error.to_string()) ". " (error.hint()) } }
            }
            p class="small soft" {
                "The head stands in for one nobody measured, as does the delivery; intervals hold 80 in 100. Still air, level ground. "
                "Nothing here promises a distance."
            }
            }
        })
    }

    /// The mean strike with the base's length and with another.
    fn two_flights(
        &self,
        club: &ClubInHand,
        judged: &InYards,
        unit: DistanceUnit,
    ) -> Result<Markup, ShotError> {
        if judged.length_in.abs() <= 0.0 {
            return Ok(html! {});
        }
        let base = self.analysis.settings.base;
        let spread = club.carried.spread;
        let before = self.flight(club, 0.0, base.words().to_owned(), spread)?;
        let after = self.flight(club, judged.length_in, offset_words(judged.length_in, base), spread)?;
        Ok(html! {
            h3 { "The mean strike, two lengths" }
            (flights(&before, &after, unit))
        })
    }

    /// The flight of the mean strike at an offset.
    fn flight(
        &self,
        club: &ClubInHand,
        offset_in: f64,
        name: String,
        spread: Spread,
    ) -> Result<FlightLine, ShotError> {
        let [toe_mm, high_mm] = Axis::BOTH.map(|axis| {
            let mean = self.analysis.posterior.moments(axis).mean;
            mean.level + mean.slope * offset_in
        });
        let sweet = club.setup.head.sweet_spot();
        let place = StrikePlace { toe_mm: sweet.toe_mm + toe_mm, high_mm: sweet.high_mm + high_mm };
        let longer = Length::metres(self.trial.base_length_m) + Length::inches(offset_in) - club.length;
        let mut delivery = Delivery { place, ..club.setup.delivery };
        delivery.head_speed_mps += HEAD_SPEED_AN_INCH_MPS.0 * longer.as_inches();
        let mut way = way(&club.setup.head, &delivery, &club.setup.conditions, POINTS)?;
        if self.dossier.golfer.record.plays == Handedness::Left {
            for moment in &mut way {
                moment.place_m[1] = -moment.place_m[1];
            }
        }
        Ok(FlightLine { name, way, spread })
    }
}
