//! Why a flight was refused.

/// What is wrong with a launch, the air, the ground or the target.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FlightError {
    /// A number that cannot be meant, or is none.
    #[error("expected a {what} of {least} to {most} {unit}, found {found} {unit}")]
    OutOfRange {
        /// Which number.
        what: &'static str,
        /// The value found.
        found: f64,
        /// The least that is taken.
        least: f64,
        /// The most that is taken.
        most: f64,
        /// Its unit.
        unit: &'static str,
    },
    /// The ball goes along the ground or into it.
    #[error(
        "expected a ball that rises or a target below it, found one that leaves at {launch_angle_deg} deg for a target {landing_height_m} m above the tee"
    )]
    NeverRises {
        /// Launch angle.
        launch_angle_deg: f64,
        /// Height of the target above the tee.
        landing_height_m: f64,
    },
    /// The ball comes back to the tee's height without having reached the target's.
    #[error(
        "expected a target no higher than the ball's apex of {apex_m:.1} m, found one at {landing_height_m} m"
    )]
    TargetAboveApex {
        /// Highest point of the flight.
        apex_m: f64,
        /// Height of the target above the tee.
        landing_height_m: f64,
    },
    /// The integration did not come to an end.
    #[error(
        "expected the ball down within {most_s} s, found it in the air after {steps} steps and {time_s:.1} s"
    )]
    StaysUp {
        /// Longest flight that is followed.
        most_s: f64,
        /// Steps taken.
        steps: usize,
        /// Time reached.
        time_s: f64,
    },
    /// More points than a drawing can show, or too few to be a line.
    #[error("expected {least} to {most} points of a path, found {found}")]
    PathPoints {
        /// How many were asked for.
        found: usize,
        /// The fewest that are given.
        least: usize,
        /// The most that are given.
        most: usize,
    },
}

impl FlightError {
    /// Says what to do next.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::OutOfRange { what: "ball speed", .. } => {
                "Ball speed is in metres a second: 1 mph is 0.44704 m/s.".to_owned()
            }
            Self::OutOfRange { what: "air pressure", .. } => {
                "Give the pressure at the place in pascals, not reduced to sea level: 1 hPa is 100 Pa, 1 inHg 3386.39 Pa."
                    .to_owned()
            }
            Self::OutOfRange { what: "relative humidity", .. } => "Give a share: 50 % is 0.5.".to_owned(),
            Self::OutOfRange { what: "landing speed", .. } => {
                "Take the carry alone: the bounce is not described beyond this.".to_owned()
            }
            Self::OutOfRange { unit: "", .. } => "Correct the number and ask again.".to_owned(),
            Self::OutOfRange { unit, .. } => format!("Check the unit, which is {unit}, and ask again."),
            Self::NeverRises { .. } => {
                "A ball that is topped has no carry to work out. Otherwise give a launch angle above 0.".to_owned()
            }
            Self::TargetAboveApex { apex_m, .. } => {
                format!("Give a target below {apex_m:.1} m, or a launch that climbs higher.")
            }
            Self::StaysUp { .. } => "Give a target less far below the tee, or a milder wind.".to_owned(),
            Self::PathPoints { least, most, .. } => format!("Ask for {least} to {most} points."),
        }
    }
}

/// Refuses what is not a number or lies outside the range that can be meant.
pub(super) fn within(
    what: &'static str,
    found: f64,
    least: f64,
    most: f64,
    unit: &'static str,
) -> Result<(), FlightError> {
    if (least..=most).contains(&found) {
        Ok(())
    } else {
        Err(FlightError::OutOfRange { what, found, least, most, unit })
    }
}
