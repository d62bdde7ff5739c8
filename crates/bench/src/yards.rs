//! What a set is worth in yards: how far each club carries in these hands, what lies between two clubs, what bent lofts would
//! do, and what a wrong lie does.
//!
//! Everything rests on one head speed that was measured and on heads and deliveries that stand in for the golfer's own;
//! [`ball::unknowns`] says how widely.

use crate::{ClubPlan, SetPlan};
use ball::carried::{Carried, CarryGap};
use ball::even_gaps::{Bendable, Bent, even_gaps};
use ball::flight::Conditions;
use ball::impact::{HeadWanted, ImpactError, IronBuild, head_of_club};
use ball::lie_cost::{LieCost, lie_cost};
use ball::shot::ShotError;
use ball::strike_map::StrikeMap;
use ball::unknowns::{Setup, Spread, Unknowns};
use ball::usual_delivery::{head_speed_at_length, usual_delivery};
use club::ClubKind;
use fitting::HeadSpeed;
use quantity::{Angle, Length};

/// How much faster the head comes for an inch more of club, m/s, and how well that is known.
///
/// Published range: four inches more on a driver brought 1.8 m/s of ball speed, some 0.3 m/s of head speed an inch (Kenny,
/// Wallace & Otto 2008, Sports Biomechanics 7(3), 322-332; abstract read); a model of the swing at constant effort gives 0.3
/// to 0.4 (derived). Golfers differ by more than the mean: its standard deviation is an assumption.
pub const HEAD_SPEED_AN_INCH_MPS: (f64, f64) = (0.34, 0.25);

/// Why nothing can be said in yards.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoYards {
    /// No head speed was read.
    #[error("no head speed was read")]
    NoHeadSpeed,
    /// There is no club whose head is known well enough.
    #[error("there is no club in the set but putters")]
    NoClub,
    /// A club's numbers cannot be flown.
    #[error("{club}: {error}")]
    Shot {
        /// The club.
        club: String,
        /// What is wrong.
        error: ShotError,
    },
}

/// A club in the golfer's hands.
#[derive(Debug, Clone)]
pub struct ClubInHand {
    /// Its place among the plan's clubs.
    pub place: usize,
    /// The golfer's name for it.
    pub name: String,
    /// What it is.
    pub kind: ClubKind,
    /// Its length.
    pub length: Length,
    /// Static loft.
    pub loft: Angle,
    /// How far its head may be bent either way; nothing for heads that are not bent, or whose making is not known.
    pub bend_limit: Angle,
    /// Head, delivery, ball and air.
    pub setup: Setup,
    /// What is not known of them.
    pub unknowns: Unknowns,
    /// How far it carries.
    pub carried: Carried,
}

/// A set in the golfer's hands, least loft first.
#[derive(Debug, Clone)]
pub struct Yards {
    /// The clubs that can be flown.
    pub clubs: Vec<ClubInHand>,
    /// The clubs that cannot: no head is known that stands in for theirs.
    pub left_out: Vec<String>,
    /// The head speed all of it rests on.
    pub head_speed: HeadSpeed,
}

/// What bending would do to the irons and wedges.
#[derive(Debug, Clone, PartialEq)]
pub struct Evened {
    /// The places among [`Yards::clubs`] that may be bent, one after the other.
    pub places: Vec<usize>,
    /// What each becomes.
    pub bent: Vec<Bent>,
}

impl SetPlan {
    /// Works the set out in yards, in still air on the level.
    ///
    /// # Errors
    /// [`NoYards`] without a head speed, without a club that can be flown, or for a club whose numbers cannot be.
    pub fn yards(&self) -> Result<Yards, NoYards> {
        let head_speed = self.golfer.head_speed.ok_or(NoYards::NoHeadSpeed)?;
        let with_it = self.clubs.iter().find(|plan| plan.club.kind == head_speed.club);
        let measured_length =
            with_it.map_or_else(|| usual_length(head_speed.club), |plan| plan.club.length());
        let (mut clubs, mut left_out) = (Vec::new(), Vec::new());
        for (place, plan) in self.clubs.iter().enumerate() {
            match in_hand(place, plan, head_speed, measured_length, self) {
                Ok(club) => clubs.push(club),
                Err(ShotError::Impact(ImpactError::NoHeadKnown { .. })) => {
                    left_out.push(plan.club.name.clone());
                }
                Err(error) => return Err(NoYards::Shot { club: plan.club.name.clone(), error }),
            }
        }
        if clubs.is_empty() {
            return Err(NoYards::NoClub);
        }
        clubs.sort_by(|one, other| one.loft.compare(&other.loft));
        Ok(Yards { clubs, left_out, head_speed })
    }
}

impl Yards {
    /// Finds a club by its name.
    #[must_use]
    pub fn club(&self, name: &str) -> Option<&ClubInHand> {
        self.clubs.iter().find(|club| club.name == name)
    }

    /// What lies between each club and the next.
    #[must_use]
    pub fn gaps(&self) -> Vec<CarryGap> {
        self.clubs.windows(2).map(|pair| pair[0].carried.gap_to(&pair[1].carried)).collect()
    }

    /// Bends the irons and wedges so that their gaps come out even; nothing with fewer than three, or when none may be bent.
    ///
    /// # Errors
    /// [`ShotError`] for a club that cannot be flown when bent.
    pub fn evened(&self) -> Result<Option<Evened>, ShotError> {
        let places: Vec<usize> =
            (0..self.clubs.len()).filter(|place| self.clubs[*place].kind.is_iron_or_wedge()).collect();
        let bendable: Vec<Bendable> = places
            .iter()
            .map(|place| {
                let club = &self.clubs[*place];
                Bendable { setup: club.setup, limit_deg: club.bend_limit.as_degrees() }
            })
            .collect();
        if bendable.len() < 3 || bendable.iter().all(|club| club.limit_deg <= 0.0) {
            return Ok(None);
        }
        Ok(Some(Evened { places, bent: even_gaps(&bendable)? }))
    }
}

impl ClubInHand {
    /// What a strike costs at each place of its face.
    ///
    /// # Errors
    /// [`ShotError`] as [`StrikeMap::of`] has it.
    pub fn strike_map(&self) -> Result<StrikeMap, ShotError> {
        StrikeMap::of(&self.setup, &self.unknowns)
    }

    /// What a lie error does to a ball struck on the sweet spot.
    ///
    /// # Errors
    /// [`ShotError`] as [`lie_cost`] has it.
    pub fn lie_cost(&self, lie_error: Angle) -> Result<LieCost, ShotError> {
        lie_cost(&self.setup, &self.unknowns, lie_error.as_degrees(), (0.0, 0.0))
    }

    /// The same club so much longer: the head comes a little faster.
    ///
    /// # Errors
    /// [`ShotError`] for a speed no head has.
    pub fn lengthened(&self, by: Length) -> Result<Lengthened, ShotError> {
        let (faster, sd) = HEAD_SPEED_AN_INCH_MPS;
        let at = |an_inch: f64| {
            let mut setup = self.setup;
            setup.delivery.head_speed_mps += an_inch * by.as_inches();
            Carried::of(&setup, &self.unknowns)
        };
        let after = at(faster)?;
        let gap = after.gain_over(&self.carried);
        // half the difference between one standard deviation more and less
        let by_speed = (at(faster + sd)?.carry_m() - at(faster - sd)?.carry_m()) / 2.0;
        let spread = Spread { sd: gap.spread.sd.hypot(by_speed), ..gap.spread };
        let head_speed_mps = self.setup.delivery.head_speed_mps + faster * by.as_inches();
        Ok(Lengthened { head_speed_mps, carried: after, gained: CarryGap { spread, ..gap } })
    }
}

/// A club at another length.
#[derive(Debug, Clone, PartialEq)]
pub struct Lengthened {
    /// Speed of the head then, m/s.
    pub head_speed_mps: f64,
    /// How far it carries then.
    pub carried: Carried,
    /// How much farther than as it is.
    pub gained: CarryGap,
}

fn in_hand(
    place: usize,
    plan: &ClubPlan,
    head_speed: HeadSpeed,
    measured_length: Length,
    set: &SetPlan,
) -> Result<ClubInHand, ShotError> {
    let club = &plan.club;
    let head = head_of_club(&HeadWanted {
        kind: club.kind,
        build: IronBuild::default(),
        static_loft: Some(club.loft),
        head_mass: Some(club.head.mass.value),
    })?;
    let speed_mps = head_speed_at_length(
        head_speed.speed.as_metres_per_second(),
        measured_length.as_metres(),
        club.length().as_metres(),
    );
    let setup = Setup {
        head: head.head,
        delivery: usual_delivery(club.kind, club.loft.as_degrees(), speed_mps),
        conditions: Conditions::default(),
    };
    let is_measured = club.kind == head_speed.club;
    let unknowns = Unknowns {
        head_speed: if is_measured {
            Unknowns::HEAD_SPEED_MEASURED
        } else {
            Unknowns::HEAD_SPEED_FROM_ANOTHER_CLUB
        },
        own_loft_deg: if club.assumes("loft") {
            Unknowns::OWN_LOFT_ASSUMED_DEG
        } else {
            Unknowns::OWN_LOFT_READ_DEG
        },
        ..Unknowns::with_head_speed_known_to(Unknowns::HEAD_SPEED_MEASURED)
    };
    let bends = club.kind.is_iron_or_wedge() && !club.assumes("head construction");
    Ok(ClubInHand {
        place,
        name: club.name.clone(),
        kind: club.kind,
        length: club.length(),
        loft: club.loft,
        bend_limit: if bends { set.house.bend.of(club.head.construction) } else { Angle::ZERO },
        carried: Carried::of(&setup, &unknowns)?,
        setup,
        unknowns,
    })
}

/// Length of a club that is not in the set. Trade practice, no source: men's steel.
fn usual_length(kind: ClubKind) -> Length {
    Length::inches(match kind {
        ClubKind::Driver => 45.0,
        ClubKind::Wood(_) => 43.0,
        ClubKind::Hybrid(_) => 40.0,
        ClubKind::Iron(number) => 37.0 + 0.5 * (7.0 - f64::from(number)),
        ClubKind::Wedge(_) => 35.5,
        ClubKind::Putter => 34.0,
    })
}
