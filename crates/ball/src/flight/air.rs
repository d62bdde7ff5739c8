//! The air a ball flies through: how heavy and how thick it is.

use super::error::{FlightError, within};

/// 0 °C on the absolute scale, K. Definition.
const ICE_POINT_K: f64 = 273.15;
/// Specific gas constant of dry air, J/(kg·K). Published; from memory, not re-read.
const DRY_AIR_J_PER_KG_K: f64 = 287.058;
/// Specific gas constant of water vapour, J/(kg·K). Published; from memory, not re-read.
const VAPOUR_J_PER_KG_K: f64 = 461.495;
/// Tetens' formula for the pressure of saturated vapour: Pa, factor, °C. Published (Tetens); from memory, not re-read.
const TETENS: (f64, f64, f64) = (610.78, 17.27, 237.3);
/// Sutherland's formula for the viscosity of air: Pa·s at 0 °C, K. Published (Sutherland); from memory, not re-read.
const SUTHERLAND: (f64, f64) = (1.716e-5, 110.4);
/// Pressure at sea level, Pa; fall with height, 1/m; exponent. Standard atmosphere; from memory, not re-read.
const STANDARD_ATMOSPHERE: (f64, f64, f64) = (101_325.0, 2.255_77e-5, 5.255_88);

/// What a thermometer, a barometer and a hygrometer at the place read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weather {
    /// Temperature, °C.
    pub temperature_c: f64,
    /// Pressure at the place, not reduced to sea level, Pa.
    pub pressure_pa: f64,
    /// Relative humidity, a share of 1.
    pub relative_humidity: f64,
}

impl Default for Weather {
    /// 75 °F, 30 inHg, 50 %: the air of the Overall Distance Standard. From memory, not re-read.
    fn default() -> Self {
        Self { temperature_c: 23.9, pressure_pa: 101_592.0, relative_humidity: 0.5 }
    }
}

/// Returns the pressure of the standard atmosphere, Pa, at `altitude_m` above the sea.
///
/// # Errors
/// [`FlightError::OutOfRange`] outside -500 to 5,000 m.
///
/// # Source
/// Standard atmosphere, 101,325 (1 − 2.25577·10⁻⁵ h)^5.25588; from memory, not re-read.
pub fn pressure_at_altitude_pa(altitude_m: f64) -> Result<f64, FlightError> {
    within("altitude", altitude_m, -500.0, 5_000.0, "m")?;
    let (sea_level_pa, fall_per_m, exponent) = STANDARD_ATMOSPHERE;
    Ok(sea_level_pa * (1.0 - fall_per_m * altitude_m).powf(exponent))
}

/// The air as a ball feels it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Density, kg/m³.
    pub density_kg_m3: f64,
    /// Dynamic viscosity, Pa·s.
    pub viscosity_pa_s: f64,
}

impl Air {
    /// Returns the density of moist air as a mixture of ideal gases, and the viscosity of dry air.
    ///
    /// # Errors
    /// [`FlightError::OutOfRange`] for weather outside -30 to 55 °C, 50,000 to 110,000 Pa, humidity 0 to 1.
    ///
    /// # Source
    /// Tetens for the vapour, Sutherland for the viscosity; from memory, not re-read.
    pub fn of(weather: Weather) -> Result<Self, FlightError> {
        within("temperature", weather.temperature_c, -30.0, 55.0, "deg C")?;
        within("air pressure", weather.pressure_pa, 50_000.0, 110_000.0, "Pa")?;
        within("relative humidity", weather.relative_humidity, 0.0, 1.0, "")?;
        let kelvin = weather.temperature_c + ICE_POINT_K;
        let (at_ice_point_pa, factor, offset_c) = TETENS;
        let saturated_pa =
            at_ice_point_pa * (factor * weather.temperature_c / (weather.temperature_c + offset_c)).exp();
        let vapour_pa = weather.relative_humidity * saturated_pa;
        let (at_ice_point_pa_s, sutherland_k) = SUTHERLAND;
        Ok(Self {
            density_kg_m3: (weather.pressure_pa - vapour_pa) / (DRY_AIR_J_PER_KG_K * kelvin)
                + vapour_pa / (VAPOUR_J_PER_KG_K * kelvin),
            viscosity_pa_s: at_ice_point_pa_s
                * (kelvin / ICE_POINT_K).powf(1.5)
                * (ICE_POINT_K + sutherland_k)
                / (kelvin + sutherland_k),
        })
    }

    /// What can be air on Earth. Kind of the ranges: definition of what the tool takes.
    pub(super) fn check(&self) -> Result<(), FlightError> {
        within("density of the air", self.density_kg_m3, 0.3, 2.0, "kg/m3")?;
        within("viscosity of the air", self.viscosity_pa_s, 1e-6, 1e-4, "Pa s")
    }
}

impl Default for Air {
    /// The air of [`Weather::default`], worked out once: `the_usual_air_is_that_of_the_usual_weather` holds the two together.
    fn default() -> Self {
        Self { density_kg_m3: 1.184_833_754_804_554_7, viscosity_pa_s: 1.831_924_100_700_161_3e-5 }
    }
}

#[cfg(test)]
mod tests {
    use super::{Air, Weather, pressure_at_altitude_pa};

    #[test]
    fn the_usual_air_is_that_of_the_usual_weather() {
        let (worked, usual) = (Air::of(Weather::default()).unwrap(), Air::default());
        assert!((worked.density_kg_m3 / usual.density_kg_m3 - 1.0).abs() < 1e-15);
        assert!((worked.viscosity_pa_s / usual.viscosity_pa_s - 1.0).abs() < 1e-15);
    }

    #[test]
    fn moist_air_is_lighter_than_dry() {
        // closed form: at equal pressure a share of vapour weighs 287.058/461.495 of the dry air it displaces
        let at = |relative_humidity| {
            Air::of(Weather { relative_humidity, ..Weather::default() }).unwrap().density_kg_m3
        };
        let displaced_pa = 610.78 * (17.27_f64 * 23.9 / (23.9 + 237.3)).exp();
        let lost = displaced_pa / (287.058 * 297.05) * (1.0 - 287.058 / 461.495);
        assert!((at(0.0) - at(1.0) - lost).abs() < 1e-12);
    }

    #[test]
    fn pressure_falls_with_altitude_from_that_of_the_standard_atmosphere() {
        assert!((pressure_at_altitude_pa(0.0).unwrap() - 101_325.0).abs() < 1e-9);
        // the standard atmosphere's table gives 84,556 Pa at 1,500 m; from memory, so within 10 Pa
        assert!((pressure_at_altitude_pa(1_500.0).unwrap() - 84_556.0).abs() < 10.0);
    }
}
