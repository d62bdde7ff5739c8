//! What can be wrong with a head or the way it is delivered.

/// Why an impact was refused.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ImpactError {
    /// A number that is none, or that cannot be meant.
    #[error("{what} of {found} {unit} is outside {least} to {most} {unit}")]
    OutOfRange {
        /// Which number.
        what: &'static str,
        /// The value found.
        found: f64,
        /// The least that can be meant.
        least: f64,
        /// The most that can be meant.
        most: f64,
        /// Its unit.
        unit: &'static str,
    },
    /// A tensor that no rigid body has.
    #[error("expected the inertia tensor of a rigid body, found one that {reason}")]
    NotARigidBody {
        /// What is wrong with it.
        reason: &'static str,
    },
    /// A strike beyond the edge of the face.
    #[error(
        "expected a strike within {half_width_mm:.0} mm of the face's centre toward toe or heel and {half_height_mm:.0} mm \
         up or down, found {toe_mm} mm toward the toe and {high_mm} mm high"
    )]
    OffTheFace {
        /// Toward the toe, mm.
        toe_mm: f64,
        /// Above the face's centre, mm.
        high_mm: f64,
        /// Half of the face's width, mm.
        half_width_mm: f64,
        /// Half of the face's height, mm.
        half_height_mm: f64,
    },
    /// A face that does not come toward the ball.
    #[error("expected a face that moves toward the ball, found it moving away at {away_mps:.2} m/s")]
    FaceMovesAway {
        /// How fast the face moves away along its normal, m/s.
        away_mps: f64,
    },
    /// A restitution law that leaves 0 to 1 at this speed.
    #[error("expected a restitution of 0 to 1, found {found:.3} at {approach_mps:.1} m/s")]
    Restitution {
        /// What the law gives.
        found: f64,
        /// Speed along the face's normal, m/s.
        approach_mps: f64,
    },
    /// A head and a delivery with which this model would make energy.
    #[error(
        "expected the strike to lose energy, found {made_j:.3} J made: this model does not hold for a head whose mass lies \
         so far from the ball, packed so close, with these restitutions"
    )]
    EnergyMade {
        /// How much, J.
        made_j: f64,
    },
    /// A name that is not in the table of heads.
    #[error("expected one of the heads {known}, found \"{found}\"")]
    UnknownHead {
        /// The name found.
        found: String,
        /// The names there are.
        known: String,
    },
    /// A club for which no head is known.
    #[error(
        "expected a driver, a fairway wood, a hybrid, an iron or a wedge, found a {kind}: it rolls the ball, and no numbers \
         of such a head are known here"
    )]
    NoHeadKnown {
        /// The club.
        kind: String,
    },
}

impl ImpactError {
    /// Says what to do next.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::OutOfRange { .. } => "Measure again, or look at the unit and the sign.",
            Self::NotARigidBody { .. } => {
                "Give all nine numbers about the centre of mass; products of inertia stand twice, alike."
            }
            Self::OffTheFace { .. } => {
                "Places are millimetres from the face's centre. Leave out a ball struck by hosel, edge or sole."
            }
            Self::FaceMovesAway { .. } => {
                "Look at loft, attack, path and face: their signs may be turned round."
            }
            Self::Restitution { .. } => "Look at the restitution, its fall with speed and the speed.",
            Self::EnergyMade { .. } => {
                "Look at the centre of mass (metres from the face's centre) and the inertia (about the centre of mass): of a \
                 head whose face is part of it this was never seen."
            }
            Self::UnknownHead { .. } => "Choose one of them, or give the head by its numbers.",
            Self::NoHeadKnown { .. } => "Ask of another club.",
        }
    }

    /// Refuses a number outside what it can mean; a number that is none lies in no range.
    pub(super) fn unless_within(
        what: &'static str,
        found: f64,
        (least, most): (f64, f64),
        unit: &'static str,
    ) -> Result<(), Self> {
        if (least..=most).contains(&found) {
            return Ok(());
        }
        Err(Self::OutOfRange { what, found, least, most, unit })
    }
}
