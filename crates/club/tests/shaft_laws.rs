//! Laws every clamped club obeys.
#![expect(clippy::unwrap_used, reason = "a case that cannot be read fails its test")]

use club::shaft::{Alteration, ClampedClub, Mounting, Profile, Section, TipHead, UniformBeam};
use proptest::prelude::*;
use quantity::{Inertia, Length, Mass};

prop_compose! {
    fn any_club()(
        raw_in in 34.0..47.0f64, butt in 40.0..80.0f64, tip in 15.0..35.0f64, butt_kg in 0.05..0.13f64,
        tip_kg in 0.04..0.12f64, head_g in 190.0..310.0f64, inertia in 0.0..4e-4f64, centre_mm in 0.0..40.0f64,
    ) -> ClampedClub {
        let section = |stiffness_n_m2, mass_per_m_kg| Section { stiffness_n_m2, mass_per_m_kg };
        let (butt, tip) = (section(butt, butt_kg), section(tip, tip_kg));
        ClampedClub {
            profile: Profile::even(Length::inches(raw_in), butt, tip).unwrap(),
            mounting: Mounting::uncut(Length::inches(5.0), Length::inches(1.25)),
            head: TipHead {
                mass: Mass::grams(head_g),
                inertia: Inertia::kg_m2(inertia),
                centre_beyond_tip: Length::mm(centre_mm),
            },
        }
    }
}

fn after(club: &ClampedClub, work: Alteration) -> f64 {
    club.altered(&work).unwrap().frequency().unwrap().as_cpm()
}

proptest! {
    #[test]
    fn longer_is_slower_and_shorter_is_quicker(club in any_club(), by_in in 0.05..3.0f64) {
        let by = Length::inches(by_in);
        let now = club.frequency().unwrap().as_cpm();
        let is = Alteration::default();
        let longer = after(&club, Alteration { extension: by, ..is });
        prop_assert!(longer < now);
        for shorter in [
            Alteration { butt_cut: by, ..is },
            Alteration { tip_trim: by, ..is },
            Alteration { clamp: Some(club.mounting.clamp + by), ..is },
        ] {
            prop_assert!(after(&club, shorter) > now);
        }
    }

    #[test]
    fn a_heavier_head_is_slower(club in any_club(), grams in 0.1..30.0f64) {
        let work = Alteration { head_added: Mass::grams(grams), ..Alteration::default() };
        prop_assert!(after(&club, work) < club.frequency().unwrap().as_cpm());
    }

    #[test]
    fn frequency_goes_with_the_root_of_the_stiffness(club in any_club(), factor in 0.2..5.0f64) {
        let stiffer = ClampedClub { profile: club.profile.stiffened(factor).unwrap(), ..club.clone() };
        for mode in [1, 2] {
            let ratio = stiffer.mode(mode).unwrap().frequency / club.mode(mode).unwrap().frequency;
            prop_assert!((ratio / factor.sqrt() - 1.0).abs() < 1e-9, "{}", ratio);
        }
    }

    /// An extension whose plug ends inside the clamp is undone by cutting it off.
    #[test]
    fn an_extension_and_the_same_cut_return_the_frequency(club in any_club(), by_in in 0.05..2.0f64) {
        let by = Length::inches(by_in);
        let both = Alteration { extension: by, butt_cut: by, ..Alteration::default() };
        prop_assert!((after(&club, both) - club.frequency().unwrap().as_cpm()).abs() < 1e-6);
    }

    #[test]
    fn rayleighs_formula_bounds_a_uniform_beam_from_above(
        stiffness_n_m2 in 15.0..90.0f64, mass_per_m_kg in 0.03..0.2f64, length_m in 0.5..1.1f64, head_g in 0.0..400.0f64,
    ) {
        let section = Section { stiffness_n_m2, mass_per_m_kg };
        let (length, tip_mass) = (Length::metres(length_m), Mass::grams(head_g));
        let club = ClampedClub {
            profile: Profile::even(length, section, section).unwrap(),
            mounting: Mounting::uncut(Length::ZERO, Length::ZERO),
            head: TipHead { mass: tip_mass, ..TipHead::default() },
        };
        let bound = UniformBeam { stiffness_n_m2, mass_per_m_kg, length, tip_mass }.rayleigh();
        let over = bound / club.frequency().unwrap() - 1.0;
        prop_assert!((-1e-9..0.016).contains(&over), "{}", over);
    }
}
