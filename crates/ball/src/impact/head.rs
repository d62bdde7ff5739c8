//! A head as a rigid body with a face.

use super::delivery::Contact;
use super::{ImpactError, StrikePlace};
use nalgebra::{Matrix3, Vector3};

/// The largest face the Rules leave room for: a wood head of 127 mm from heel to toe and 71.12 mm from sole to crown.
///
/// Standard: R&A/USGA Equipment Rules, wood heads. For a head given by numbers whose face was not measured.
pub const LARGEST_FACE: Face = Face {
    half_width_m: 0.127 / 2.0,
    half_height_m: 0.071_12 / 2.0,
    bulge_radius_m: None,
    roll_radius_m: None,
};

/// From here on a mass in kg or an inertia in kg m² means a wall that does not move. Definition: beyond what grams read
/// as kilograms, or g cm² read as kg m², would give.
pub const WALL: f64 = 1e4;

/// Mass of a head, kg. Definition of what the tool takes: a child's head to a heavy putter's.
const MASS_KG: (f64, f64) = (0.08, 0.6);
/// Principal moments of inertia, kg m². Definition of what the tool takes; the Rules end at 6000 g cm², 6e-4 kg m².
const INERTIA_KG_M2: (f64, f64) = (1e-6, 2e-3);
/// Farthest a head's centre of mass lies from the face's centre along any axis, m. Definition of what the tool takes.
const CENTRE_M: (f64, f64) = (-0.15, 0.15);
/// Radius of bulge and roll, m. Definition of what the tool takes: from a strongly rounded face to a nearly flat one.
const RADIUS_M: (f64, f64) = (0.1, 10.0);
/// Half of a face's width or height, m. Definition of what the tool takes.
const HALF_FACE_M: (f64, f64) = (0.005, 0.1);
/// Rounds in which the sweet spot is found. Each brings it nearer by the depth of the centre of mass over the radius of the
/// face, a sixth or less.
const SWEET_SPOT_ROUNDS: usize = 30;
/// How far products of inertia that stand twice may differ, as a share of the tensor's trace. Rounding of what was typed.
const ASYMMETRY: f64 = 1e-6;

/// The face: how large it is and how it is curved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Face {
    /// From the centre to the edge at toe or heel, m.
    pub half_width_m: f64,
    /// From the centre to the upper or lower edge, m.
    pub half_height_m: f64,
    /// Radius of the curve from heel to toe, m; flat when there is none.
    pub bulge_radius_m: Option<f64>,
    /// Radius of the curve from sole to crown, m; flat when there is none.
    pub roll_radius_m: Option<f64>,
}

/// How much of the speed along the normal comes back, falling in a straight line with that speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Restitution {
    /// Restitution at the reference speed.
    pub at_reference: f64,
    /// How much it falls for each m/s faster.
    pub fall_per_mps: f64,
    /// The reference speed along the face's normal, m/s.
    pub reference_mps: f64,
}

impl Restitution {
    /// Works out the restitution at this speed along the face's normal.
    ///
    /// # Errors
    /// [`ImpactError::Restitution`] when the law leaves 0 to 1 there.
    pub fn at(&self, approach_mps: f64) -> Result<f64, ImpactError> {
        let found = self.at_reference - self.fall_per_mps * (approach_mps - self.reference_mps);
        if (0.0..=1.0).contains(&found) {
            return Ok(found);
        }
        Err(ImpactError::Restitution { found, approach_mps })
    }
}

/// A head in its own axes: at no loft and square, x out of the face, y toward the heel, z up, zero at the face's centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Head {
    /// Mass, kg.
    pub mass_kg: f64,
    /// Mass of the shaft that acts with the head in the moment of impact, kg; it adds to the mass and to nothing else.
    pub shaft_share_kg: f64,
    /// Where the centre of mass is, m.
    pub centre_of_mass_m: [f64; 3],
    /// Inertia tensor about the centre of mass, kg m².
    pub inertia_kg_m2: [[f64; 3]; 3],
    /// The face.
    pub face: Face,
    /// Restitution along the face's normal.
    pub restitution: Restitution,
    /// Share of the slip across the face that comes back the other way when the ball sticks; 0 when it just rolls off.
    pub tangential_restitution: f64,
    /// Coulomb's coefficient of friction between face and ball.
    pub friction: f64,
}

impl Head {
    /// Returns the same head with another mass.
    ///
    /// Derived: a head of the same shape, denser or lighter everywhere alike, keeps its centre of mass, and its inertia
    /// goes with its mass. Weight that was added in one place does otherwise.
    ///
    /// # Errors
    /// [`ImpactError::OutOfRange`] for a mass no head has.
    pub fn scaled_to(&self, mass_kg: f64) -> Result<Self, ImpactError> {
        ImpactError::unless_within("head mass", mass_kg, MASS_KG, "kg")?;
        let share = mass_kg / self.mass_kg;
        let inertia_kg_m2 = self.inertia_kg_m2.map(|row| row.map(|moment| moment * share));
        Ok(Self { mass_kg, inertia_kg_m2, ..*self })
    }

    /// Returns the same head on a shaft that counts for so many kg in the moment of impact.
    #[must_use]
    pub fn with_shaft_share(&self, shaft_share_kg: f64) -> Self {
        Self { shaft_share_kg, ..*self }
    }

    /// Works out how heavy the head is to a ball on this place of the face: the mass a point would need to be struck off
    /// as hard, kg.
    ///
    /// Reckoned on a flat face and without the shaft's share, so that heads compare.
    ///
    /// # Errors
    /// [`ImpactError`] for a head that cannot be, and a place off its face.
    pub fn effective_mass_kg(&self, toe_mm: f64, high_mm: f64) -> Result<f64, ImpactError> {
        self.check()?;
        self.refuse_off_the_face(toe_mm, high_mm)?;
        let place = Vector3::new(0.0, -toe_mm / 1000.0, high_mm / 1000.0);
        let lever = (place - self.centre()).cross(&Vector3::x());
        Ok(1.0 / (1.0 / self.mass_kg + lever.dot(&(self.inverse_inertia()? * lever))))
    }

    /// Finds the sweet spot: the place whose normal goes through the centre of mass, so that a strike there turns no head.
    ///
    /// Found by going back and forth between the place and its normal, which a face as flat as a club's settles in a few
    /// rounds.
    #[must_use]
    pub fn sweet_spot(&self) -> StrikePlace {
        let centre = self.centre();
        let mut sweet = StrikePlace { toe_mm: -centre.y * 1000.0, high_mm: centre.z * 1000.0 };
        for _ in 0..SWEET_SPOT_ROUNDS {
            let Contact { place, normal } = Contact::on(self, sweet);
            let behind = (centre.x - place.x) / normal.x;
            sweet = StrikePlace {
                toe_mm: -(centre.y - behind * normal.y) * 1000.0,
                high_mm: (centre.z - behind * normal.z) * 1000.0,
            };
        }
        sweet
    }

    pub(super) fn centre(&self) -> Vector3<f64> {
        Vector3::from(self.centre_of_mass_m)
    }

    pub(super) fn inertia(&self) -> Matrix3<f64> {
        Matrix3::from_fn(|row, column| self.inertia_kg_m2[row][column])
    }

    fn inverse_inertia(&self) -> Result<Matrix3<f64>, ImpactError> {
        self.inertia()
            .try_inverse()
            .ok_or(ImpactError::NotARigidBody { reason: "does not resist turning about every axis" })
    }

    /// Refuses a place beyond the edges of the face, taken as a rectangle.
    pub(super) fn refuse_off_the_face(&self, toe_mm: f64, high_mm: f64) -> Result<(), ImpactError> {
        let (half_width_mm, half_height_mm) =
            (self.face.half_width_m * 1000.0, self.face.half_height_m * 1000.0);
        // a number that is none compares with nothing
        if toe_mm.abs() <= half_width_mm && high_mm.abs() <= half_height_mm {
            return Ok(());
        }
        Err(ImpactError::OffTheFace { toe_mm, high_mm, half_width_mm, half_height_mm })
    }

    /// Refuses a head that cannot be meant.
    pub(super) fn check(&self) -> Result<(), ImpactError> {
        unless_a_wall("head mass", self.mass_kg, MASS_KG, "kg")?;
        let numbers = [
            ("shaft's share", self.shaft_share_kg, (0.0, 0.1), "kg"),
            ("centre of mass out of the face", self.centre_of_mass_m[0], CENTRE_M, "m"),
            ("centre of mass toward the heel", self.centre_of_mass_m[1], CENTRE_M, "m"),
            ("centre of mass up the face", self.centre_of_mass_m[2], CENTRE_M, "m"),
            ("half of the face's width", self.face.half_width_m, HALF_FACE_M, "m"),
            ("half of the face's height", self.face.half_height_m, HALF_FACE_M, "m"),
            ("bulge radius", self.face.bulge_radius_m.unwrap_or(RADIUS_M.1), RADIUS_M, "m"),
            ("roll radius", self.face.roll_radius_m.unwrap_or(RADIUS_M.1), RADIUS_M, "m"),
            ("restitution", self.restitution.at_reference, (0.0, 1.0), "of 1"),
            ("fall of the restitution", self.restitution.fall_per_mps, (0.0, 0.05), "s/m"),
            ("reference speed of the restitution", self.restitution.reference_mps, (0.0, 100.0), "m/s"),
            ("tangential restitution", self.tangential_restitution, (0.0, 1.0), "of 1"),
            ("friction", self.friction, (0.0, f64::MAX), "of 1"),
        ];
        for (what, found, range, unit) in numbers {
            ImpactError::unless_within(what, found, range, unit)?;
        }
        self.check_inertia()
    }

    fn check_inertia(&self) -> Result<(), ImpactError> {
        let inertia = self.inertia();
        if inertia.iter().any(|number| !number.is_finite()) {
            return Err(ImpactError::NotARigidBody { reason: "holds a number that is none" });
        }
        if (inertia - inertia.transpose()).amax() > ASYMMETRY * inertia.trace().abs() {
            return Err(ImpactError::NotARigidBody { reason: "is not symmetric" });
        }
        let principal = inertia.symmetric_eigenvalues();
        for moment in principal.iter() {
            unless_a_wall("principal moment of inertia", *moment, INERTIA_KG_M2, "kg m²")?;
        }
        // the rounding of three equal moments must not refuse them
        if principal.max() > (principal.sum() - principal.max()) * (1.0 + ASYMMETRY) {
            return Err(ImpactError::NotARigidBody {
                reason: "resists turning about one axis more than about the two others together",
            });
        }
        Ok(())
    }
}

fn unless_a_wall(
    what: &'static str,
    found: f64,
    range: (f64, f64),
    unit: &'static str,
) -> Result<(), ImpactError> {
    if found.is_finite() && found >= WALL {
        return Ok(());
    }
    ImpactError::unless_within(what, found, range, unit)
}
