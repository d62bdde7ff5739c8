//! Laws of flight: closed forms, mirrors, how exact the usual accuracy is, and what was published of drag, lift and balls.

use ball::flight::{
    Accuracy, Aerodynamics, Air, Apex, Ball, Conditions, FlightError, Flown, GRAVITY_MPS2,
    INERTIA_PUBLISHED_KG_M2, LARGEST_MASS_KG, Landing, Launch, SMALLEST_DIAMETER_M, Wind, fly, fly_along,
    fly_many,
};
use proptest::prelude::*;

const IN_VACUUM: Conditions = Conditions {
    ball: Ball { mass_kg: LARGEST_MASS_KG, diameter_m: SMALLEST_DIAMETER_M },
    aerodynamics: Aerodynamics::NONE,
    air: Air { density_kg_m3: 1.2, viscosity_pa_s: 1.8e-5 },
    wind: Wind { toward_target_mps: 0.0, to_left_mps: 0.0, shear_exponent: None },
    landing_height_m: 0.0,
    accuracy: Accuracy { relative: 1e-10, absolute: 1e-10 },
};

prop_compose! {
    fn launches()(
        speed_mps in 15.0..85.0_f64,
        launch_angle_deg in 4.0..50.0_f64,
        azimuth_left_deg in -12.0..12.0_f64,
        spin_rpm in 0.0..11_000.0_f64,
        axis_tilt_right_deg in -35.0..35.0_f64,
    ) -> Launch {
        Launch { speed_mps, launch_angle_deg, azimuth_left_deg, spin_rpm, axis_tilt_right_deg }
    }
}

prop_compose! {
    fn winds()(toward_target_mps in -12.0..12.0_f64, to_left_mps in -12.0..12.0_f64, shear in prop::option::of(0.1..0.4_f64)) -> Wind {
        Wind { toward_target_mps, to_left_mps, shear_exponent: shear }
    }
}

proptest! {
    /// Closed form: a point under gravity alone comes down through the height h after (v sin + √(v² sin² − 2 g h)) / g.
    #[test]
    fn without_air_the_ball_flies_as_a_point_does(launch in launches(), height in -40.0..3.0_f64) {
        let (sin, cos) = launch.launch_angle_deg.to_radians().sin_cos();
        let up = launch.speed_mps * sin;
        prop_assume!(up * up > 2.0 * GRAVITY_MPS2 * height + 0.1);
        let time_s = (up + (up * up - 2.0 * GRAVITY_MPS2 * height).sqrt()) / GRAVITY_MPS2;
        let flown = fly(&launch, &Conditions { landing_height_m: height, ..IN_VACUUM }).unwrap();
        let far = launch.speed_mps * cos * time_s;
        let (sin_left, cos_left) = launch.azimuth_left_deg.to_radians().sin_cos();
        prop_assert!((flown.landing.time_s - time_s).abs() < 1e-7, "{} {time_s}", flown.landing.time_s);
        prop_assert!((flown.landing.carry_m - far * cos_left).abs() < 1e-5);
        prop_assert!((flown.landing.left_m - far * sin_left).abs() < 1e-5);
        prop_assert!((flown.apex.height_m - up * up / (2.0 * GRAVITY_MPS2)).abs() < 1e-6);
    }

    /// Azimuth, tilt and side wind with their signs changed: the same flight on the other side, to the last bit.
    #[test]
    fn a_mirrored_launch_flies_the_mirrored_way(launch in launches(), wind in winds()) {
        let mirrored = Launch {
            azimuth_left_deg: -launch.azimuth_left_deg,
            axis_tilt_right_deg: -launch.axis_tilt_right_deg,
            ..launch
        };
        let of = |launch: &Launch, wind: Wind| fly(launch, &Conditions { wind, ..Conditions::default() });
        let other = of(&mirrored, Wind { to_left_mps: -wind.to_left_mps, ..wind });
        let (one, other) = (of(&launch, wind).unwrap(), other.unwrap());
        let [x_mps, left_mps, up_mps] = other.landing.velocity_mps;
        let landing = Landing {
            left_m: -other.landing.left_m,
            velocity_mps: [x_mps, -left_mps, up_mps],
            ..other.landing
        };
        prop_assert_eq!(one, Flown { apex: Apex { left_m: -other.apex.left_m, ..other.apex }, landing });
    }

    /// The usual accuracy against one a thousand times finer: under a centimetre at the apex and where the ball comes down,
    /// uphill and down.
    #[test]
    fn the_usual_accuracy_is_a_centimetre_or_better(
        launch in launches(),
        wind in winds(),
        landing_height_m in -40.0..0.1_f64,
    ) {
        let exact = Accuracy { relative: 1e-10, absolute: 1e-10 };
        let at = |accuracy| {
            fly(&launch, &Conditions { wind, accuracy, landing_height_m, ..Conditions::default() }).unwrap()
        };
        let (usual, exact) = (at(Accuracy::default()), at(exact));
        let off = |one: f64, other: f64| (one - other).abs();
        prop_assert!(off(usual.landing.carry_m, exact.landing.carry_m) < 0.01, "{usual:?} {exact:?}");
        prop_assert!(off(usual.landing.left_m, exact.landing.left_m) < 0.01, "{usual:?} {exact:?}");
        prop_assert!(off(usual.apex.height_m, exact.apex.height_m) < 0.01, "{usual:?} {exact:?}");
    }

    /// A way's ends are the launch and the landing, and between them the ball is where it was worked out to be.
    #[test]
    fn a_way_leads_from_the_tee_to_the_landing(launch in launches()) {
        let trajectory = fly_along(&launch, &Conditions::default()).unwrap();
        let flown = fly(&launch, &Conditions::default()).unwrap();
        prop_assert_eq!(trajectory.flown(), &flown);
        let way = trajectory.at_even_times(50).unwrap();
        prop_assert!(way[0].place_m.iter().all(|place| place.abs() < 1e-9));
        prop_assert!((way[49].place_m[0] - flown.landing.carry_m).abs() < 1e-9);
        prop_assert!(way.iter().all(|moment| moment.place_m[2] <= flown.apex.height_m + 1e-6));
        prop_assert!(way.windows(2).all(|pair| pair[1].spin_rpm <= pair[0].spin_rpm));
    }
}

#[test]
fn many_flights_are_those_flown_one_by_one_bit_for_bit() {
    let launches: Vec<Launch> = (0..200)
        .map(|number| Launch {
            azimuth_left_deg: f64::from(number % 7) - 3.0,
            ..Launch::straight(
                30.0 + f64::from(number % 50),
                8.0 + f64::from(number % 30),
                2000.0 + 40.0 * f64::from(number),
            )
        })
        .collect();
    let together = fly_many(&launches, &Conditions::default());
    for (launch, flown) in launches.iter().zip(&together) {
        assert_eq!(*flown, fly(launch, &Conditions::default()));
    }
}

/// Published, from memory, not re-read: Smits & Smith 1994 give CD = 0.24 + 0.18 S + 0.06 sin(π (Re − 9·10⁴) / 2·10⁵) and
/// CL = 0.54 S^0.4 for 7·10⁴ < Re < 2.1·10⁵ and 0.08 < S < 0.2, of an older ball with more drag than today's.
#[test]
fn drag_and_lift_lie_by_those_that_were_measured_on_an_older_ball() {
    let ball = Aerodynamics::FITTED;
    for reynolds in [1.0e5_f64, 1.5e5, 2.0e5] {
        for spin in [0.1_f64, 0.15, 0.2] {
            let lift = ball.lift_coefficient(spin);
            let drag = ball.drag_coefficient(reynolds, lift);
            let older_drag =
                0.24 + 0.18 * spin + 0.06 * (std::f64::consts::PI * (reynolds - 9e4) / 2e5).sin();
            let older_lift = 0.54 * spin.powf(0.4);
            assert!((0.0..0.10).contains(&(older_drag - drag)), "{reynolds} {spin}: {drag}, {older_drag}");
            assert!((0.75..1.05).contains(&(lift / older_lift)), "{reynolds} {spin}: {lift}, {older_lift}");
        }
    }
}

/// Published: spin is lost at 0.0004 times miles an hour times rpm, each second (Dewhurst 2015; excerpt read).
#[test]
fn spin_is_lost_as_fast_as_was_published() {
    let launch = Launch::straight(60.0, 12.0, 3000.0);
    let way = fly_along(&launch, &Conditions::default()).unwrap().at_even_times(400).unwrap();
    let lost = (way[0].spin_rpm - way[1].spin_rpm) / (way[1].time_s - way[0].time_s);
    let published = 0.0004 * (60.0 / 0.447_04) * 3000.0;
    assert!((lost / published - 1.0).abs() < 0.1, "{lost} rpm/s, {published}");
}

/// Standard: Rules of Golf 2016, Appendix III: no heavier than 45.93 g, no smaller than 42.67 mm. Published: inertia of a ball
/// of 45.9 g, 83.63 g cm² (Proceedings 2020, 49(1), 47, Table 1).
#[test]
fn the_ball_is_one_the_rules_allow_with_the_inertia_that_was_published() {
    let ball = Ball::default();
    assert!(ball.mass_kg <= 0.045_93 && ball.diameter_m >= 0.042_67);
    let of_45_9_g = Ball { mass_kg: 0.0459, ..ball }.inertia_kg_m2();
    assert!((of_45_9_g / INERTIA_PUBLISHED_KG_M2 - 1.0).abs() < 1e-3, "{of_45_9_g}");
}

#[test]
fn what_never_comes_down_or_never_rises_ends_with_a_clear_word() {
    let drive = Launch::straight(70.0, 11.0, 2600.0);
    let at = |launch: Launch, change: fn(&mut Conditions)| {
        let mut conditions = Conditions::default();
        change(&mut conditions);
        fly(&launch, &conditions).unwrap_err()
    };
    // into the ground
    let down = at(Launch { launch_angle_deg: -3.0, ..drive }, |_| {});
    assert!(matches!(down, FlightError::NeverRises { .. }), "{down}");
    // a target above the apex
    let above = at(drive, |conditions| conditions.landing_height_m = 90.0);
    assert!(matches!(above, FlightError::TargetAboveApex { .. }), "{above}");
    // a target so far below that the ball stays up
    let slow = at(Launch::straight(20.0, 85.0, 20_000.0), |conditions| {
        conditions.landing_height_m = -300.0;
        conditions.air.density_kg_m3 = 2.0;
        conditions.ball = Ball { mass_kg: 0.02, diameter_m: 0.06 };
        conditions.aerodynamics.drag_least = 2.0;
        conditions.aerodynamics.drag_of_lift = 10.0;
        conditions.aerodynamics.drag_below_crisis = 2.0;
        conditions.aerodynamics.lift_most = 2.0;
    });
    assert!(matches!(slow, FlightError::StaysUp { .. }), "{slow}");
    // numbers that are none
    for number in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        for launch in [
            Launch { speed_mps: number, ..drive },
            Launch { launch_angle_deg: number, ..drive },
            Launch { spin_rpm: number, ..drive },
            Launch { axis_tilt_right_deg: number, ..drive },
        ] {
            let refused = fly(&launch, &Conditions::default()).unwrap_err();
            assert!(matches!(refused, FlightError::OutOfRange { .. }), "{refused}");
        }
    }
}

#[test]
fn conditions_that_cannot_be_meant_are_refused_with_what_can() {
    let drive = Launch::straight(70.0, 11.0, 2600.0);
    let usual = Conditions::default();
    let wind = |toward_target_mps, to_left_mps, shear_exponent| Conditions {
        wind: Wind { toward_target_mps, to_left_mps, shear_exponent },
        ..usual
    };
    let ball = |mass_kg, diameter_m| Conditions { ball: Ball { mass_kg, diameter_m }, ..usual };
    let air =
        |density_kg_m3, viscosity_pa_s| Conditions { air: Air { density_kg_m3, viscosity_pa_s }, ..usual };
    let accuracy = |relative, absolute| Conditions { accuracy: Accuracy { relative, absolute }, ..usual };
    for (conditions, said) in [
        (wind(f64::INFINITY, 0.0, None), "wind toward the target of -40 to 40 m/s, found inf"),
        (wind(0.0, f64::NAN, None), "wind to the left of -40 to 40 m/s, found NaN"),
        (wind(41.0, 0.0, None), "found 41"),
        (wind(4.0, 0.0, Some(f64::NAN)), "wind shear exponent of 0.05 to 1"),
        (ball(0.0, 0.042_67), "mass of the ball of 0.02 to 0.1 kg, found 0"),
        (ball(0.045_93, f64::NAN), "diameter of the ball of 0.03 to 0.06 m"),
        (air(f64::NAN, 1.8e-5), "density of the air of 0.3 to 2 kg/m3"),
        (air(1.2, 0.0), "viscosity of the air"),
        (Conditions { landing_height_m: f64::NEG_INFINITY, ..usual }, "height of the target above the tee"),
        (Conditions { landing_height_m: f64::NAN, ..usual }, "-300 to 300 m"),
        (accuracy(0.0, 1e-7), "relative tolerance"),
        (accuracy(1e-7, f64::NAN), "absolute tolerance"),
        (
            Conditions { aerodynamics: Aerodynamics { lift_half_at: 0.0, ..Aerodynamics::FITTED }, ..usual },
            "spin number at half the lift",
        ),
    ] {
        let refused = fly(&drive, &conditions).unwrap_err();
        assert!(matches!(refused, FlightError::OutOfRange { .. }), "{refused}");
        assert!(refused.to_string().contains(said), "{said}: {refused}");
        assert!(!refused.hint().is_empty());
    }
}

/// A following wind that only just exceeds the ball's own speed pushes it on; nothing divides by the speed through the air.
#[test]
fn a_ball_no_faster_than_the_wind_flies_all_the_same() {
    let with_the_wind = Conditions {
        wind: Wind { toward_target_mps: 20.0, to_left_mps: 0.0, shear_exponent: None },
        ..Conditions::default()
    };
    let still = fly(&Launch::straight(20.0, 30.0, 3000.0), &Conditions::default()).unwrap();
    let carried = fly(&Launch::straight(20.0, 30.0, 3000.0), &with_the_wind).unwrap();
    assert!(carried.landing.carry_m > still.landing.carry_m + 1.0, "{carried:?} {still:?}");
}
