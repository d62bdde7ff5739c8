//! A raw shaft's stiffness and mass, place by place from its butt.

use crate::ClubError;
use quantity::{Length, Mass};
use std::f64::consts::PI;

/// The most places a profile may have. Definition of what the tool takes.
pub const MOST_PLACES: usize = 200;

/// Ranges of what a shaft can be. Definition of what the tool takes: wide about the trade's 15 to 100 N m² and 40 to 130
/// g a metre, so that straps and rods of a reference case go through too.
const STIFFNESS_N_M2: (f64, f64) = (0.1, 10_000.0);
const MASS_PER_M_KG: (f64, f64) = (0.001, 5.0);
const RAW_LENGTH_IN: (f64, f64) = (8.0, 80.0);
const DIAMETER_MM: (f64, f64) = (2.0, 40.0);
const MODULUS_GPA: (f64, f64) = (0.1, 1_000.0);
const DENSITY_KG_M3: (f64, f64) = (100.0, 25_000.0);

/// Stiffness and mass at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Bending stiffness EI, N m².
    pub stiffness_n_m2: f64,
    /// Mass of a metre, kg.
    pub mass_per_m_kg: f64,
}

/// A section and where it lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ProfilePoint {
    /// From the raw butt.
    pub at: Length,
    /// What the shaft is there.
    pub section: Section,
}

/// A tube whose diameter and wall change evenly from butt to tip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tube {
    /// Length of the raw shaft.
    pub raw_length: Length,
    /// Outside diameter at the butt.
    pub butt_diameter: Length,
    /// Outside diameter at the tip.
    pub tip_diameter: Length,
    /// Wall at the butt.
    pub butt_wall: Length,
    /// Wall at the tip.
    pub tip_wall: Length,
    /// Young's modulus along the shaft, Pa.
    pub modulus_pa: f64,
    /// Density, kg/m³.
    pub density_kg_m3: f64,
}

#[derive(Debug, Clone, PartialEq)]
enum Shape {
    Points(Vec<ProfilePoint>),
    Tube(Tube),
}

/// Stiffness and mass along a raw shaft; between places both change evenly.
#[derive(Debug, Clone, PartialEq)]
pub struct Profile {
    shape: Shape,
    stiffness_scale: f64,
}

impl Profile {
    /// Makes a profile of places from butt to tip; the last is the raw tip.
    ///
    /// # Errors
    /// [`ClubError::ProfilePlaces`] when the places do not run from 0 outward, [`ClubError::OutOfRange`] for a section
    /// no shaft has.
    pub fn of_points(points: Vec<ProfilePoint>) -> Result<Self, ClubError> {
        let refused = |found: String| Err(ClubError::ProfilePlaces { most: MOST_PLACES, found });
        if !(2..=MOST_PLACES).contains(&points.len()) {
            return refused(format!("found {}", points.len()));
        }
        if points[0].at.abs() > Length::mm(1e-6) {
            return refused(format!("the first is at {}", points[0].at.decimal_inches(3)));
        }
        if let Some(pair) =
            points.windows(2).find(|pair| !(0.01..).contains(&(pair[1].at - pair[0].at).as_mm()))
        {
            let [before, after] = [pair[0].at, pair[1].at].map(|at| at.decimal_inches(3));
            return refused(format!("{after} follows {before}"));
        }
        for ProfilePoint { section, .. } in &points {
            within("stiffness", section.stiffness_n_m2, STIFFNESS_N_M2, "N m²")?;
            within("mass a metre", section.mass_per_m_kg, MASS_PER_M_KG, "kg")?;
        }
        within("raw shaft length", points[points.len() - 1].at.as_inches(), RAW_LENGTH_IN, "in")?;
        Ok(Self { shape: Shape::Points(points), stiffness_scale: 1.0 })
    }

    /// Makes a profile that changes evenly from butt to tip.
    ///
    /// # Errors
    /// [`ClubError::OutOfRange`] for a section no shaft has.
    pub fn even(raw_length: Length, butt: Section, tip: Section) -> Result<Self, ClubError> {
        within("raw shaft length", raw_length.as_inches(), RAW_LENGTH_IN, "in")?;
        Self::of_points(vec![
            ProfilePoint { at: Length::ZERO, section: butt },
            ProfilePoint { at: raw_length, section: tip },
        ])
    }

    /// Makes the profile of a tube.
    ///
    /// # Errors
    /// [`ClubError::OutOfRange`] or [`ClubError::NoSuchTube`].
    pub fn of_tube(tube: Tube) -> Result<Self, ClubError> {
        within("raw shaft length", tube.raw_length.as_inches(), RAW_LENGTH_IN, "in")?;
        within("modulus", tube.modulus_pa / 1e9, MODULUS_GPA, "GPa")?;
        within("density", tube.density_kg_m3, DENSITY_KG_M3, "kg/m³")?;
        for (diameter, wall) in [(tube.butt_diameter, tube.butt_wall), (tube.tip_diameter, tube.tip_wall)] {
            within("outside diameter", diameter.as_mm(), DIAMETER_MM, "mm")?;
            if !(wall > Length::ZERO && wall * 2.0 <= diameter) {
                return Err(ClubError::NoSuchTube { wall_mm: wall.as_mm(), diameter_mm: diameter.as_mm() });
            }
        }
        let profile = Self { shape: Shape::Tube(tube), stiffness_scale: 1.0 };
        for end in [Length::ZERO, tube.raw_length] {
            let section = profile.at(end);
            within("stiffness", section.stiffness_n_m2, STIFFNESS_N_M2, "N m²")?;
            within("mass a metre", section.mass_per_m_kg, MASS_PER_M_KG, "kg")?;
        }
        Ok(profile)
    }

    /// Returns the same shaft with its stiffness multiplied all along.
    ///
    /// # Errors
    /// [`ClubError::OutOfRange`] when the factor is not one of 0.01 to 100.
    pub fn stiffened(&self, factor: f64) -> Result<Self, ClubError> {
        within("factor of stiffness", factor, (0.01, 100.0), "times")?;
        Ok(Self { shape: self.shape.clone(), stiffness_scale: self.stiffness_scale * factor })
    }

    /// Returns the length of the raw shaft.
    #[must_use]
    pub fn raw_length(&self) -> Length {
        match &self.shape {
            Shape::Points(points) => points[points.len() - 1].at,
            Shape::Tube(tube) => tube.raw_length,
        }
    }

    /// Returns the section at a place; beyond the ends, that of the end.
    #[must_use]
    pub fn at(&self, place: Length) -> Section {
        let section = match &self.shape {
            Shape::Points(points) => between(points, place),
            Shape::Tube(tube) => tube.at(place),
        };
        Section { stiffness_n_m2: section.stiffness_n_m2 * self.stiffness_scale, ..section }
    }

    /// Returns the places at which stiffness or mass may have a kink, between the ends.
    pub(super) fn kinks(&self) -> impl Iterator<Item = Length> + '_ {
        let inner: &[ProfilePoint] = match &self.shape {
            Shape::Points(points) => &points[1..points.len() - 1],
            Shape::Tube(_) => &[],
        };
        inner.iter().map(|point| point.at)
    }
}

/// Even change between the two places about `place`.
fn between(points: &[ProfilePoint], place: Length) -> Section {
    let after = points.partition_point(|point| point.at <= place).clamp(1, points.len() - 1);
    let (near, far) = (&points[after - 1], &points[after]);
    let share = ((place - near.at) / (far.at - near.at)).clamp(0.0, 1.0);
    let mix = |from: f64, to: f64| from + (to - from) * share;
    Section {
        stiffness_n_m2: mix(near.section.stiffness_n_m2, far.section.stiffness_n_m2),
        mass_per_m_kg: mix(near.section.mass_per_m_kg, far.section.mass_per_m_kg),
    }
}

impl Tube {
    /// Returns the density with which the raw tube weighs so much.
    ///
    /// # Source
    /// Derived: the area π t (D − t) of a tube that changes evenly is a square in the place, so Simpson's rule over the
    /// raw length is exact.
    #[must_use]
    pub fn density_for_mass(&self, raw_mass: Mass) -> f64 {
        let length_m = self.raw_length.as_metres();
        let area = |share: f64| self.area_m2(self.raw_length * share);
        let volume_m3 = length_m * (area(0.0) + 4.0 * area(0.5) + area(1.0)) / 6.0;
        raw_mass.as_kilograms() / volume_m3
    }

    fn diameter_and_wall_m(&self, place: Length) -> (f64, f64) {
        let share = (place / self.raw_length).clamp(0.0, 1.0);
        let mix = |butt: Length, tip: Length| (butt + (tip - butt) * share).as_metres();
        (mix(self.butt_diameter, self.tip_diameter), mix(self.butt_wall, self.tip_wall))
    }

    fn area_m2(&self, place: Length) -> f64 {
        let (diameter, wall) = self.diameter_and_wall_m(place);
        PI * wall * (diameter - wall)
    }

    /// `I = π (D⁴ − d⁴) / 64`: second moment of a ring about its diameter.
    fn at(&self, place: Length) -> Section {
        let (diameter, wall) = self.diameter_and_wall_m(place);
        let inside = diameter - 2.0 * wall;
        Section {
            stiffness_n_m2: self.modulus_pa * PI * (diameter.powi(4) - inside.powi(4)) / 64.0,
            mass_per_m_kg: self.density_kg_m3 * self.area_m2(place),
        }
    }
}

/// Refuses a number outside what it can be; not-a-number too.
pub(super) fn within(
    what: &'static str,
    found: f64,
    (least, most): (f64, f64),
    unit: &str,
) -> Result<(), ClubError> {
    if (least..=most).contains(&found) {
        return Ok(());
    }
    Err(ClubError::OutOfRange {
        what,
        found: format!("{found} {unit}"),
        expected: format!("{least} to {most} {unit}"),
    })
}

#[cfg(test)]
mod tests {
    use super::{Profile, ProfilePoint, Section, Tube};
    use quantity::{Length, Mass};

    fn point(at_m: f64, stiffness_n_m2: f64) -> ProfilePoint {
        ProfilePoint { at: Length::metres(at_m), section: Section { stiffness_n_m2, mass_per_m_kg: 0.1 } }
    }

    #[test]
    fn between_two_places_a_profile_changes_evenly() {
        let profile = Profile::of_points(vec![point(0.0, 60.0), point(0.5, 40.0), point(1.0, 20.0)]).unwrap();
        for (at, stiffness) in [(0.0, 60.0), (0.25, 50.0), (0.5, 40.0), (0.9, 24.0), (1.0, 20.0), (1.2, 20.0)]
        {
            let found = profile.at(Length::metres(at)).stiffness_n_m2;
            assert!((found - stiffness).abs() < 1e-9, "{at}: {found}");
        }
    }

    #[test]
    fn profiles_that_no_shaft_has_are_refused_with_what_was_expected() {
        for (points, said) in [
            (vec![point(0.0, 50.0)], "2 to 200 places"),
            (vec![point(0.1, 50.0), point(1.0, 20.0)], "the first is at"),
            (vec![point(0.0, 50.0), point(1.0, 20.0), point(0.5, 20.0)], "follows"),
            (vec![point(0.0, 50.0), point(f64::NAN, 20.0)], "follows"),
            (vec![point(0.0, -50.0), point(1.0, 20.0)], "0.1 to 10000 N m²"),
            (vec![point(0.0, f64::NAN), point(1.0, 20.0)], "0.1 to 10000 N m²"),
            (vec![point(0.0, 50.0), point(9.0, 20.0)], "8 to 80 in"),
        ] {
            let error = Profile::of_points(points).unwrap_err();
            assert!(error.to_string().contains(said), "{error}");
            assert!(error.hint().is_some());
        }
        let weightless = Section { stiffness_n_m2: 50.0, mass_per_m_kg: 0.0 };
        assert!(Profile::even(Length::metres(1.0), weightless, weightless).is_err());
    }

    #[test]
    fn a_tubes_density_follows_from_its_mass() {
        // 1 m of 10 mm tube with 1 mm wall: pi * 1 * 9 mm² = 28.274e-6 m³
        let tube = Tube {
            raw_length: Length::metres(1.0),
            butt_diameter: Length::mm(10.0),
            tip_diameter: Length::mm(10.0),
            butt_wall: Length::mm(1.0),
            tip_wall: Length::mm(1.0),
            modulus_pa: 200e9,
            density_kg_m3: 7850.0,
        };
        let density = tube.density_for_mass(Mass::grams(100.0));
        assert!((density - 0.1 / 28.274_333_882_308_14e-6).abs() < 1e-6, "{density}");
        // E pi (10⁴ − 8⁴) / 64 mm⁴ = 200e9 * 289.812e-12
        let stiffness = Profile::of_tube(tube).unwrap().at(Length::metres(0.3)).stiffness_n_m2;
        assert!((stiffness - 57.962_384_458_731_7).abs() < 1e-6, "{stiffness}");
        let solid = Tube { butt_wall: Length::mm(6.0), ..tube };
        assert!(Profile::of_tube(solid).unwrap_err().to_string().contains("does not fit"));
    }
}
