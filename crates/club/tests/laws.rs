//! Laws every club obeys, whatever its numbers.
#![expect(clippy::unwrap_used, reason = "a case that cannot be read fails its test")]

use club::alter::{OnBench, PlugPiece};
use club::bench_model::{CAP, Reading, grip};
use club::{MassMoments, Swingweight, hold};
use proptest::prelude::*;
use quantity::{Inertia, Length, Mass};

prop_compose! {
    /// Clubs from a junior wedge to a long iron: head and shaft drawn, the reading built from them.
    fn any_club()(
        length in 24.0..46.0f64, head in 180.0..320.0f64, shaft in 45.0..135.0f64, grip_g in 25.0..70.0f64,
    ) -> OnBench {
        let length = Length::inches(length);
        let body = club::bench_model::head(Mass::grams(head), length)
            + club::bench_model::shaft(Mass::grams(shaft), length)
            + club::bench_model::ferrule_and_glue(Mass::grams(3.0), length);
        let whole = body + grip(Mass::grams(grip_g));
        let reading = Reading { length, mass: whole.mass, balance: whole.balance() };
        OnBench::from_parts(length, &reading.parts(grip(Mass::grams(grip_g))).unwrap())
    }
}

prop_compose! {
    fn any_plug()(mass in 0.5..25.0f64, reach in 1.0..6.0f64) -> PlugPiece {
        PlugPiece {
            mass: Mass::grams(mass), centre: Length::inches(reach / 2.0), length: Length::inches(reach),
        }
    }
}

proptest! {
    #[test]
    fn extending_never_lightens_a_club(club in any_club(), plug in any_plug(), by in 0.0..2.0f64) {
        let after = club.extended(Length::inches(by), plug);
        prop_assert!(after.whole().mass > club.whole().mass);
        prop_assert!(after.inertia() >= club.inertia());
        prop_assert!(after.length >= club.length);
    }

    #[test]
    fn taking_the_same_extension_out_returns_the_club(
        club in any_club(), plug in any_plug(), by in 0.0625..2.0f64,
    ) {
        let by = Length::inches(by);
        let extended = club.extended(by, plug);
        let piece = MassMoments::rod_about(plug.mass, plug.centre, plug.length);
        let back = OnBench { length: extended.length - by, rest: (extended.rest - piece).moved(-by), ..extended };
        prop_assert!((back.length - club.length).abs() < Length::mm(1e-9));
        prop_assert!((back.whole().mass - club.whole().mass).abs() < Mass::grams(1e-9));
        prop_assert!((back.whole().balance() - club.whole().balance()).abs() < Length::mm(1e-9));
        prop_assert!((back.inertia() - club.inertia()).abs() < Inertia::kg_cm2(1e-6));
    }

    /// A plug made of the shaft's own tube, seated nowhere, is the off-cut put back.
    #[test]
    fn cutting_off_an_extension_of_the_same_tube_returns_the_club(
        club in any_club(), by in 0.0625..2.0f64, per_inch in 1.5..5.0f64,
    ) {
        let by = Length::inches(by);
        let tube = PlugPiece { mass: Mass::grams(per_inch) * by.as_inches(), centre: CAP + by / 2.0, length: by };
        let back = club.extended(by, tube).cut(by, Mass::grams(per_inch), CAP).unwrap();
        prop_assert!((back.whole().balance() - club.whole().balance()).abs() < Length::mm(1e-9));
        prop_assert!((back.inertia() - club.inertia()).abs() < Inertia::kg_cm2(1e-6));
    }

    #[test]
    fn swingweight_rises_with_head_mass_and_falls_with_grip_mass(
        club in any_club(), more in 0.5..20.0f64, grip_g in 25.0..70.0f64,
    ) {
        let reading = club.swingweight();
        prop_assert!(club.with_head_mass(Mass::grams(more)).swingweight() > reading);
        let lighter = club.regripped(grip(Mass::grams(grip_g)));
        let heavier = club.regripped(grip(Mass::grams(grip_g + more)));
        prop_assert!(heavier.swingweight() < lighter.swingweight());
    }

    #[test]
    fn held_down_a_club_feels_lighter_and_weighs_the_same(club in any_club(), by in 0.0625..2.0f64) {
        let held = club.as_held(Length::inches(by));
        prop_assert!(Swingweight::of(&held) < club.swingweight());
        prop_assert!((held.mass - club.whole().mass).abs() < Mass::grams(1e-9));
        prop_assert!(held.second < club.inertia());
        // the inertia about the balance point does not know where the hands are
        let about = (held.inertia_about_balance() - club.whole().inertia_about_balance()).abs();
        prop_assert!(about < Inertia::kg_cm2(1e-6));
    }

    #[test]
    fn what_is_added_to_hold_a_number_holds_it(club in any_club(), plug in any_plug(), by in 0.1..1.0f64) {
        let after = club.extended(Length::inches(by), plug);
        let for_scale = after.with_head_mass(hold::head_mass_for_swingweight(&after, club.swingweight()));
        prop_assert!(for_scale.swingweight().points_above(club.swingweight()).abs() < 1e-9);
        let for_inertia = after.with_head_mass(hold::head_mass_for_inertia(&after, club.inertia()));
        prop_assert!((for_inertia.inertia() - club.inertia()).abs() < Inertia::kg_cm2(1e-6));
        let gained = hold::grip_mass_for_swingweight(&after, club.swingweight());
        let regripped = after.regripped(grip(after.grip.mass + gained));
        prop_assert!(regripped.swingweight().points_above(club.swingweight()).abs() < 1e-9);
    }

    #[test]
    fn a_weight_never_lowers_the_inertia(club in any_club(), grams in 0.5..50.0f64, at in 0.0..36.0f64) {
        let weighted = club.with_butt_weight(Mass::grams(grams), Length::inches(at));
        prop_assert!(weighted.inertia() >= club.inertia());
    }

    #[test]
    fn a_printed_swingweight_reads_back_to_a_tenth(points in 0.0..69.94f64) {
        let reading = Swingweight::from_points(points);
        let back = Swingweight::parse(&reading.label(1)).unwrap();
        prop_assert!(back.points_above(reading).abs() <= 0.05 + 1e-9);
    }
}
