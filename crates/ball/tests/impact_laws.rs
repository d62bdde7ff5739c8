//! Laws of impact: what is conserved, what is mirrored, what scales, what is refused, and what studies found.
//!
//! Geometry is worked out here a second time, from the axes' definitions, so that a slip in it shows.
#![expect(clippy::unwrap_used, reason = "a body that cannot be turned fails its test")]

use ball::impact::{
    BLADE_5_IRON, CAVITY_5_IRON, CAVITY_7_IRON, DRIVER, Delivery, FAIRWAY_WOOD, HEADS, HYBRID, Head, Impact,
    ImpactError, LARGEST_FACE, RepresentativeHead, StrikePlace, WEDGE, start_with_lie_error, strike,
};
use ball::standard_ball;
use nalgebra::{Matrix3, Rotation3, Vector3};
use proptest::prelude::*;

/// m/s in a mile an hour. Definition.
const MPH_MPS: f64 = 0.447_04;

/// Bodies that can be, between the lightest head and the heaviest: an even box, turned a little, with the face on its
/// front and every place that [`deliveries`] strikes on that face.
///
/// The box has to reach as far as the ball: of a head whose mass lies far from its face and is yet packed close, Newton's
/// restitution makes energy, and [`strike`] refuses it.
fn heads() -> impl Strategy<Value = Head> {
    let masses = (0.15..0.4_f64, 0.0..0.006_f64);
    // half sizes of the box: out of the face, toward the toe, up
    let sizes_m = (0.008..0.05_f64, 0.036..0.055_f64, 0.024..0.035_f64);
    // how far behind the face its centre is, as a share of the half size, and how far off the face's middle
    let centre = (0.3..1.0_f64, -0.006..0.006_f64, -0.006..0.006_f64);
    let turns = (-0.4..0.4_f64, -0.4..0.4_f64, -0.4..0.4_f64);
    let surfaces = (0.0..0.35_f64, 0.0..0.8_f64, prop::option::of(0.2..0.5_f64));
    (masses, centre, sizes_m, turns, surfaces, prop::sample::select(HEADS.to_vec())).prop_map(
        |(
            (mass_kg, shaft_share_kg),
            (behind, y, z),
            (a, b, c),
            (roll, pitch, yaw),
            (e_t, friction, curve),
            like,
        )| {
            let squares = Vector3::new(b * b + c * c, a * a + c * c, a * a + b * b) * (mass_kg / 3.0);
            let turn = Rotation3::from_euler_angles(roll, pitch, yaw);
            let inertia = turn * Matrix3::from_diagonal(&squares) * turn.inverse();
            let mut face = LARGEST_FACE;
            (face.bulge_radius_m, face.roll_radius_m) = (curve, curve.map(|radius| 1.2 * radius));
            Head {
                mass_kg,
                shaft_share_kg,
                centre_of_mass_m: [-behind * a, y, z],
                inertia_kg_m2: [0, 1, 2].map(|row| [0, 1, 2].map(|column| inertia[(row, column)])),
                face,
                restitution: like.head.restitution,
                tangential_restitution: e_t,
                friction,
            }
        },
    )
}

fn heads_with_their_mass_in_the_middle() -> impl Strategy<Value = Head> {
    let heads: Vec<Head> = HEADS
        .into_iter()
        .map(|named| named.head)
        .filter(|head| head.centre_of_mass_m[1].abs() < 1e-12)
        .collect();
    assert!(heads.len() > HEADS.len() / 2);
    prop::sample::select(heads)
}

fn deliveries() -> impl Strategy<Value = Delivery> {
    let swing = (5.0..60.0_f64, 0.0..60.0_f64, -10.0..10.0_f64, -10.0..10.0_f64);
    let face = (-10.0..10.0_f64, -6.0..6.0_f64, -30.0..30.0_f64, -18.0..18.0_f64);
    (swing, face).prop_map(|((speed, loft, attack, path), (open, lie, toe, high))| Delivery {
        head_speed_mps: speed,
        dynamic_loft_deg: loft,
        attack_deg: attack,
        path_deg: path,
        face_open_deg: open,
        lie_error_deg: lie,
        place: StrikePlace { toe_mm: toe, high_mm: high },
    })
}

/// Where and how head and ball touch, in the world's axes, worked out from the definitions.
struct Touch {
    inertia: Matrix3<f64>,
    normal: Vector3<f64>,
    arm: Vector3<f64>,
    velocity: Vector3<f64>,
}

impl Touch {
    fn of(head: &Head, delivery: &Delivery) -> Self {
        let [loft, lie, open, attack, path] = [
            delivery.dynamic_loft_deg,
            delivery.lie_error_deg,
            delivery.face_open_deg,
            delivery.attack_deg,
            delivery.path_deg,
        ]
        .map(f64::to_radians);
        let (y, z) = (-delivery.place.toe_mm / 1000.0, delivery.place.high_mm / 1000.0);
        let mut place = Vector3::new(0.0, y, z);
        let mut normal = Vector3::x();
        if let (Some(bulge), Some(roll)) = (head.face.bulge_radius_m, head.face.roll_radius_m) {
            place.x = (bulge * bulge - y * y).sqrt() - bulge + (roll * roll - z * z).sqrt() - roll;
            normal = Vector3::new(1.0, (y / bulge).asin().tan(), (z / roll).asin().tan()).normalize();
        }
        // each matrix moves a point the way the head is tipped: loft tips the face up, upright lifts the toe (right) side
        let tip_up = Matrix3::new(loft.cos(), 0.0, -loft.sin(), 0.0, 1.0, 0.0, loft.sin(), 0.0, loft.cos());
        let toe_up = Matrix3::new(1.0, 0.0, 0.0, 0.0, lie.cos(), lie.sin(), 0.0, -lie.sin(), lie.cos());
        let open_right =
            Matrix3::new(open.cos(), open.sin(), 0.0, -open.sin(), open.cos(), 0.0, 0.0, 0.0, 1.0);
        let turn = open_right * toe_up * tip_up;
        let tensor = Matrix3::from_fn(|row, column| head.inertia_kg_m2[row][column]);
        Self {
            inertia: turn * tensor * turn.transpose(),
            normal: turn * normal,
            arm: turn * (place - Vector3::from(head.centre_of_mass_m)),
            velocity: delivery.head_speed_mps
                * Vector3::new(attack.cos() * path.cos(), -attack.cos() * path.sin(), attack.sin()),
        }
    }
}

impl Touch {
    /// Change of the parting velocity at the contact for an impulse of one, from how each body answers a push there.
    fn answer(&self, mass_kg: f64) -> Matrix3<f64> {
        let back = self.inertia.try_inverse().unwrap();
        let ball_arm = -standard_ball::RADIUS_M * self.normal;
        let columns = [Vector3::x(), Vector3::y(), Vector3::z()].map(|push| {
            let ball = push / standard_ball::MASS_KG
                + (ball_arm.cross(&push) / standard_ball::INERTIA_KG_M2).cross(&ball_arm);
            let head = push / mass_kg + (back * self.arm.cross(&push)).cross(&self.arm);
            ball + head
        });
        Matrix3::from_columns(&columns)
    }

    /// What a ball that sticks leaves of energy by `docs/derivations/impact.md`, J, and whether the head couples slip and
    /// approach so little that every strike on it, with this slip's direction, has to lose energy.
    fn sticking(&self, head: &Head, restitution: f64) -> (f64, bool) {
        let answer = self.answer(head.mass_kg + head.shaft_share_kg).try_inverse().unwrap();
        let along = self.velocity.dot(&self.normal) * self.normal;
        let across = self.velocity - along;
        let back = restitution * along + head.tangential_restitution * across;
        let lost_j = 0.5 * (self.velocity.dot(&(answer * self.velocity)) - back.dot(&(answer * back)));
        let (e, e_t) = (restitution, head.tangential_restitution);
        let bound = (1.0 - e * e) * (1.0 - e_t * e_t) / (1.0 - e * e_t).powi(2);
        let slip = across.normalize();
        let coupling = self.normal.dot(&(answer * slip)).powi(2)
            / (self.normal.dot(&(answer * self.normal)) * slip.dot(&(answer * slip)));
        (lost_j, coupling < bound)
    }
}

fn close(found: f64, expected: f64, scale: f64) -> bool {
    (found - expected).abs() <= 1e-9 * scale
}

/// Everything an impact says of its two sides, in one order.
fn numbers(ball: &Impact) -> Vec<f64> {
    let mut numbers = vec![
        ball.ball_speed_mps,
        ball.smash,
        ball.launch_deg,
        ball.start_right_deg,
        ball.spin_rpm,
        ball.back_spin_rpm,
        ball.side_spin_right_rpm,
        ball.rifle_spin_rpm,
        ball.axis_tilt_right_deg,
        ball.restitution,
        ball.approach_mps,
        ball.normal_impulse_ns,
        ball.tangential_impulse_ns,
        ball.head_speed_after_mps,
        ball.energy_lost_j,
    ];
    numbers.extend(ball.ball_velocity_mps);
    numbers.extend(ball.ball_spin_rad_s);
    numbers.extend(ball.head_velocity_after_mps);
    numbers.extend(ball.head_spin_after_rad_s);
    numbers
}

/// The head and the delivery seen in a mirror that stands along the target line.
fn in_a_mirror(head: &Head, delivery: &Delivery) -> (Head, Delivery) {
    let [x, y, z] = head.centre_of_mass_m;
    let mut inertia_kg_m2 = head.inertia_kg_m2;
    for (row, column) in [(0, 1), (1, 0), (1, 2), (2, 1)] {
        inertia_kg_m2[row][column] = -inertia_kg_m2[row][column];
    }
    let place = StrikePlace { toe_mm: -delivery.place.toe_mm, ..delivery.place };
    let mirrored = Delivery {
        path_deg: -delivery.path_deg,
        face_open_deg: -delivery.face_open_deg,
        lie_error_deg: -delivery.lie_error_deg,
        place,
        ..*delivery
    };
    (Head { centre_of_mass_m: [x, -y, z], inertia_kg_m2, ..*head }, mirrored)
}

/// Two thousand cases of each law, or as many more as `PROPTEST_CASES` asks for.
fn cases() -> ProptestConfig {
    let usual = ProptestConfig::default();
    ProptestConfig { cases: usual.cases.max(2_000), ..usual }
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn nothing_is_lost_but_energy(head in heads(), delivery in deliveries()) {
        let touch = Touch::of(&head, &delivery);
        prop_assume!(touch.velocity.dot(&touch.normal) > 0.1);
        let ball = strike(&head, &delivery).unwrap();
        let mass_kg = head.mass_kg + head.shaft_share_kg;
        let [ball_v, ball_w] = [ball.ball_velocity_mps, ball.ball_spin_rad_s].map(Vector3::from);
        let [head_v, head_w] = [ball.head_velocity_after_mps, ball.head_spin_after_rad_s].map(Vector3::from);

        let momentum = mass_kg * touch.velocity;
        let after = mass_kg * head_v + standard_ball::MASS_KG * ball_v;
        prop_assert!((after - momentum).norm() <= 1e-12 * momentum.norm(), "momentum {momentum} {after}");
        prop_assert!(ball.momentum_error_ns <= 1e-12 * momentum.norm());

        // about the contact: the head's centre lies at -arm, the ball's a radius along the normal
        let turning = (-touch.arm).cross(&momentum);
        let after = (-touch.arm).cross(&(mass_kg * head_v))
            + touch.inertia * head_w
            + (standard_ball::RADIUS_M * touch.normal).cross(&(standard_ball::MASS_KG * ball_v))
            + standard_ball::INERTIA_KG_M2 * ball_w;
        let scale = momentum.norm() * 0.05;
        prop_assert!((after - turning).norm() <= 1e-11 * scale, "angular momentum {turning} {after}");

        let moving = |mass: f64, velocity: &Vector3<f64>| 0.5 * mass * velocity.norm_squared();
        let before_j = moving(mass_kg, &touch.velocity);
        let lost_j = before_j
            - moving(mass_kg, &head_v)
            - 0.5 * head_w.dot(&(touch.inertia * head_w))
            - moving(standard_ball::MASS_KG, &ball_v)
            - 0.5 * standard_ball::INERTIA_KG_M2 * ball_w.norm_squared();
        prop_assert!(close(ball.energy_lost_j, lost_j, before_j));
        prop_assert!(ball.energy_lost_j >= 0.0, "energy made: {}", ball.energy_lost_j);
        if !ball.slides {
            let (sticking_j, _) = touch.sticking(&head, ball.restitution);
            prop_assert!(close(ball.energy_lost_j, sticking_j, before_j), "{} {sticking_j}", ball.energy_lost_j);
        }

        // what parts, parts as the restitution says
        let parting = ball_v + ball_w.cross(&(-standard_ball::RADIUS_M * touch.normal)) - head_v - head_w.cross(&touch.arm);
        let speed = delivery.head_speed_mps;
        prop_assert!(close(parting.dot(&touch.normal), ball.restitution * ball.approach_mps, speed));
        prop_assert!(close(ball.approach_mps, touch.velocity.dot(&touch.normal), speed));
    }

    /// Heads as they are not built, far behind their face: of those that stick, only such as couple too much are refused.
    #[test]
    fn energy_is_made_only_where_a_head_couples_slip_and_approach_too_much(
        head in heads(), delivery in deliveries(), farther in 1.0..8.0_f64,
    ) {
        let mut head = Head { friction: 1e3, ..head };
        head.centre_of_mass_m[0] = (farther * head.centre_of_mass_m[0]).max(-0.14);
        let touch = Touch::of(&head, &delivery);
        let approach = touch.velocity.dot(&touch.normal);
        prop_assume!(approach > 0.1);
        let restitution = head.restitution.at(approach).unwrap();
        let (sticking_j, has_to_lose) = touch.sticking(&head, restitution);
        match strike(&head, &delivery) {
            Ok(ball) => {
                prop_assume!(!ball.slides);
                prop_assert!(sticking_j > -1e-6);
            }
            Err(ImpactError::EnergyMade { made_j }) => {
                prop_assert!(!has_to_lose);
                prop_assert!((made_j + sticking_j).abs() <= 1e-9 * (1.0 + made_j));
            }
            Err(other) => prop_assert!(false, "{other}"),
        }
    }

    #[test]
    fn friction_is_never_more_than_there_is(head in heads(), delivery in deliveries()) {
        prop_assume!(Touch::of(&head, &delivery).velocity.dot(&Touch::of(&head, &delivery).normal) > 0.1);
        let ball = strike(&head, &delivery).unwrap();
        let most = head.friction * ball.normal_impulse_ns;
        prop_assert!(ball.tangential_impulse_ns <= most * (1.0 + 1e-9));
        if ball.slides {
            prop_assert!(close(ball.tangential_impulse_ns, most, ball.normal_impulse_ns));
        }
        // the impulse is what the ball took up
        let taken = standard_ball::MASS_KG * ball.ball_speed_mps;
        prop_assert!(close(ball.normal_impulse_ns.hypot(ball.tangential_impulse_ns), taken, taken));
    }

    #[test]
    fn a_mirror_shows_the_left_handers_ball(head in heads(), delivery in deliveries()) {
        prop_assume!(Touch::of(&head, &delivery).velocity.dot(&Touch::of(&head, &delivery).normal) > 0.1);
        let mirrored = strike(&head, &delivery).unwrap().of_left_hander();
        let (other_head, other_delivery) = in_a_mirror(&head, &delivery);
        let seen = strike(&other_head, &other_delivery).unwrap();
        for (one, other) in numbers(&mirrored).into_iter().zip(numbers(&seen)) {
            prop_assert!(close(one, other, 1.0 + other.abs()), "{one} {other}");
        }
        // and twice mirrored is itself, to the last digit
        prop_assert_eq!(mirrored.of_left_hander().of_left_hander(), mirrored);
    }

    #[test]
    fn toe_and_heel_are_alike_on_a_head_with_its_mass_in_the_middle(
        head in heads_with_their_mass_in_the_middle(), speed in 10.0..55.0_f64, loft in 8.0..50.0_f64,
        toe in 0.0..35.0_f64, high in -12.0..12.0_f64,
    ) {
        let at = |toe_mm: f64| {
            let place = StrikePlace { toe_mm, high_mm: high };
            let delivery = Delivery { head_speed_mps: speed, dynamic_loft_deg: loft, place, ..Delivery::default() };
            strike(&head, &delivery).unwrap()
        };
        let (toe_ball, heel_ball) = (at(toe), at(-toe));
        for (one, other) in numbers(&toe_ball.of_left_hander()).into_iter().zip(numbers(&heel_ball)) {
            prop_assert!(close(one, other, 1.0 + other.abs()), "{one} {other}");
        }
    }

    #[test]
    fn with_a_fixed_restitution_everything_scales_with_speed(
        head in heads(), delivery in deliveries(), faster in 1.1..1.3_f64,
    ) {
        prop_assume!(Touch::of(&head, &delivery).velocity.dot(&Touch::of(&head, &delivery).normal) > 0.1);
        let mut head = head;
        head.restitution.fall_per_mps = 0.0;
        let slow = strike(&head, &delivery).unwrap();
        let fast = strike(&head, &Delivery { head_speed_mps: delivery.head_speed_mps * faster, ..delivery }).unwrap();
        prop_assert!(close(fast.ball_speed_mps, faster * slow.ball_speed_mps, fast.ball_speed_mps));
        prop_assert!(close(fast.spin_rpm, faster * slow.spin_rpm, 1.0 + fast.spin_rpm));
        prop_assert!(close(fast.energy_lost_j, faster * faster * slow.energy_lost_j, 1.0 + fast.energy_lost_j));
        prop_assert!(close(fast.launch_deg, slow.launch_deg, 90.0));
        prop_assert!(close(fast.start_right_deg, slow.start_right_deg, 90.0));
    }

    #[test]
    fn a_heavier_head_of_the_same_shape_is_heavier_to_the_ball_everywhere_alike(
        which in 0..HEADS.len(), mass_kg in 0.15..0.4_f64, toe in -30.0..30.0_f64, high in -15.0..15.0_f64,
    ) {
        let head = HEADS[which].head;
        let scaled = head.scaled_to(mass_kg).unwrap();
        let effective = |head: &Head| head.effective_mass_kg(toe, high).unwrap();
        prop_assert!(close(effective(&scaled) / effective(&head), mass_kg / head.mass_kg, 1.0));
        prop_assert!(effective(&scaled) <= mass_kg * (1.0 + 1e-12));
        prop_assert_eq!(scaled.centre_of_mass_m.map(f64::to_bits), head.centre_of_mass_m.map(f64::to_bits));
        prop_assert!(close(scaled.inertia_kg_m2[2][2] / head.inertia_kg_m2[2][2], mass_kg / head.mass_kg, 1.0));
    }

    #[test]
    fn nothing_typed_gives_a_number_that_is_none(
        typed in prop::array::uniform8(prop_oneof![
            any::<f64>(), -90.0..90.0_f64, Just(0.0), Just(f64::NAN), Just(f64::INFINITY),
        ]),
        head in heads(),
    ) {
        let [speed, loft, attack, path, open, lie, toe, high] = typed;
        let delivery = Delivery {
            head_speed_mps: speed, dynamic_loft_deg: loft, attack_deg: attack, path_deg: path, face_open_deg: open,
            lie_error_deg: lie, place: StrikePlace { toe_mm: toe, high_mm: high },
        };
        if let Ok(ball) = strike(&head, &delivery) {
            prop_assert!(numbers(&ball).into_iter().all(f64::is_finite));
        }
    }

    #[test]
    fn numbers_that_are_no_head_are_refused_or_answered(
        typed in prop::array::uniform9(prop_oneof![any::<f64>(), -1e-3..1e-3_f64, Just(0.0), Just(f64::NAN), Just(1e5)]),
        place in prop::array::uniform3(-0.2..0.2_f64),
        mass_kg in prop_oneof![any::<f64>(), 0.05..0.7_f64],
    ) {
        let inertia_kg_m2 = [[typed[0], typed[1], typed[2]], [typed[3], typed[4], typed[5]], [typed[6], typed[7], typed[8]]];
        let head = Head { mass_kg, centre_of_mass_m: place, inertia_kg_m2, ..DRIVER.head };
        if let Ok(ball) = strike(&head, &level(40.0, 12.0)) {
            prop_assert!(numbers(&ball).into_iter().all(f64::is_finite));
        }
    }
}

fn level(head_speed_mps: f64, dynamic_loft_deg: f64) -> Delivery {
    Delivery { head_speed_mps, dynamic_loft_deg, ..Delivery::default() }
}

#[test]
fn what_cannot_be_meant_is_refused_with_what_to_do() {
    let usual = level(40.0, 12.0);
    let refused = |head: Head, delivery: Delivery| strike(&head, &delivery).unwrap_err();
    let head = DRIVER.head;
    let at = |toe_mm, high_mm| Delivery { place: StrikePlace { toe_mm, high_mm }, ..usual };
    let out_of_range = |error: ImpactError| matches!(error, ImpactError::OutOfRange { .. });
    for delivery in [
        level(f64::NAN, 12.0),
        level(400.0, 12.0),
        level(-40.0, 12.0),
        level(40.0, 120.0),
        Delivery { attack_deg: f64::INFINITY, ..usual },
        Delivery { path_deg: 45.0, ..usual },
        Delivery { lie_error_deg: f64::NAN, ..usual },
    ] {
        assert!(out_of_range(refused(head, delivery)), "{delivery:?}");
    }
    assert!(matches!(refused(head, at(60.0, 0.0)), ImpactError::OffTheFace { .. }));
    assert!(matches!(refused(head, at(0.0, f64::NAN)), ImpactError::OffTheFace { .. }));
    // the head comes down steeper than the loft leans back, and away to the side
    let away = Delivery { attack_deg: -30.0, path_deg: 30.0, face_open_deg: -30.0, ..level(40.0, 75.0) };
    let error = refused(head, away);
    assert!(matches!(error, ImpactError::FaceMovesAway { .. }), "{error}");
    assert!(error.to_string().contains("expected") && !error.hint().is_empty());
    // grams for kilograms, g cm² for kg m², a product that stands only once, a body no mass makes
    assert!(out_of_range(refused(Head { mass_kg: 204.0, ..head }, usual)));
    let tensor = |x, y, z, xy: f64, yx: f64| Head {
        inertia_kg_m2: [[x, xy, 0.0], [yx, y, 0.0], [0.0, 0.0, z]],
        ..head
    };
    assert!(out_of_range(refused(tensor(2843.0, 4085.0, 5679.0, 0.0, 0.0), usual)));
    for no_body in [tensor(2.8e-4, 2.9e-4, 4.8e-4, 5e-5, 0.0), tensor(1e-4, 1e-4, 4.8e-4, 0.0, 0.0)] {
        assert!(matches!(refused(no_body, usual), ImpactError::NotARigidBody { .. }));
    }
    let mut lively = head;
    lively.restitution.fall_per_mps = 0.03;
    assert!(matches!(refused(lively, usual), ImpactError::Restitution { .. }));
    assert!(matches!(RepresentativeHead::named("iron9"), Err(ImpactError::UnknownHead { .. })));
    assert!(head.scaled_to(2.0).is_err() && head.scaled_to(f64::NAN).is_err());
}

/// Published is nothing of this. Worked out elsewhere from the same model: face 0.93 degrees, start 0.69, 194 rpm for a
/// seven-iron two degrees upright, and 74 in 100. The ranges are this model's own, as the documents give them.
#[test]
fn a_ball_starts_at_a_part_of_where_a_wrong_lie_points_the_face() {
    let seven = Delivery { attack_deg: -4.0, lie_error_deg: 2.0, ..level(35.7632, 25.0) };
    let bare = CAVITY_7_IRON.head.with_shaft_share(0.0);
    let start = start_with_lie_error(&bare, &seven).unwrap();
    assert!((start.face_toward_lead_deg - 0.93).abs() < 0.005, "{start:?}");
    assert!((start.start_toward_lead_deg - 0.69).abs() < 0.005, "{start:?}");
    assert!((start.side_spin_toward_lead_rpm - 194.0).abs() < 0.5, "{start:?}");
    assert!((start.share_of_face().unwrap() - 0.74).abs() < 0.01);
    for (head, lofts_deg, least, most) in [
        (DRIVER, 8..=16, 0.81, 0.83),
        (FAIRWAY_WOOD, 10..=18, 0.81, 0.83),
        (HYBRID, 12..=22, 0.75, 0.77),
        (CAVITY_5_IRON, 16..=24, 0.74, 0.77),
        (BLADE_5_IRON, 16..=24, 0.74, 0.77),
        (CAVITY_7_IRON, 22..=32, 0.71, 0.75),
        (WEDGE, 35..=49, 0.58, 0.69),
    ] {
        for loft in lofts_deg {
            for (lie_error_deg, toe_mm) in [(2.0, 0.0), (-2.0, 0.0), (1.0, 10.0), (4.0, -10.0)] {
                let place = StrikePlace { toe_mm, high_mm: 0.0 };
                let delivery =
                    Delivery { attack_deg: -4.0, lie_error_deg, place, ..level(36.0, f64::from(loft)) };
                let start = start_with_lie_error(&head.head, &delivery).unwrap();
                let share = start.share_of_face().unwrap();
                // half of the last printed digit
                assert!(
                    (least - 0.005..=most + 0.005).contains(&share),
                    "{} {delivery:?}: {share}",
                    head.name
                );
                // it curves the way it starts
                assert!(
                    start.side_spin_turned_rpm * lie_error_deg > 0.0
                        && start.start_turned_deg * lie_error_deg > 0.0
                );
            }
        }
    }
    assert_eq!(start_with_lie_error(&bare, &level(35.0, 25.0)).unwrap().share_of_face(), None);
}

/// `MacKenzie`, Ryan and Rice 2015 (abstract; the 2.7 mph as quoted elsewhere): 26 g more of head, from 174 to 200 g, cost
/// 2.7 mph of head speed and left ball speed as it was. Head speeds were not seen: asked of 90 to 110 mph. "As it was" is
/// taken as less than 1 mph.
#[test]
fn a_heavier_driver_head_swung_slower_leaves_ball_speed_as_it_was() {
    for head_mph in [90.0, 100.0, 110.0] {
        let ball_mph = |mass_kg: f64, mph: f64| {
            let head = DRIVER.head.scaled_to(mass_kg).unwrap();
            strike(&head, &level(mph * MPH_MPS, 13.0)).unwrap().ball_speed_mps / MPH_MPS
        };
        let change = ball_mph(0.200, head_mph - 2.7) - ball_mph(0.174, head_mph);
        assert!(change.abs() < 1.0, "{head_mph} mph: {change} mph");
        // and with the speed kept a heavier head would have gained
        assert!(ball_mph(0.200, head_mph) > ball_mph(0.174, head_mph) + 2.0);
    }
}

/// The Rules' test of a whole ball: a head of 120 mph gives 176 mph, announced 125 and 183 mph (a state association's
/// magazine, 2024, quoting the notice). This model's drivers are known to be 2 to 3 in 100 short of tour players.
#[test]
fn the_ball_test_of_the_rules_is_met_within_the_known_bias() {
    for (head_mph, published_mph) in [(120.0, 176.0), (125.0, 183.0)] {
        let ball = strike(&DRIVER.head, &level(head_mph * MPH_MPS, 12.0)).unwrap();
        let share = ball.ball_speed_mps / MPH_MPS / published_mph;
        assert!((0.97..=1.01).contains(&share), "{head_mph} mph: {share}");
    }
}

/// Of the Rules: a wood's inertia about the vertical is at most 5900 and 100 g cm² (a notice of the USGA), a wood is at most
/// 127 mm from heel to toe and 71.12 mm from sole to crown (R&A guide), and a ball of 45.9 g has 83.63 g cm² (Proceedings
/// 2020, 49(1), 47, Table 1). From memory: a driver gives back at most 0.830 of the old test's 48.77 m/s.
#[test]
fn no_stand_in_breaks_a_limit_of_the_rules() {
    for named in HEADS {
        let head = named.head;
        assert!(head.inertia_kg_m2[2][2] <= 6.0e-4, "{}", named.name);
        assert!(2.0 * head.face.half_width_m <= 0.127, "{}", named.name);
        assert!(2.0 * head.face.half_height_m <= 0.071_12, "{}", named.name);
        assert!(head.restitution.at(48.77).unwrap() <= 0.830 + 1e-12, "{}", named.name);
    }
    // half of the last printed digit
    assert!((standard_ball::INERTIA_KG_M2 * 1e7 - 83.63).abs() <= 0.005);
}

/// Irons struck toward the toe start right by less than half a degree and draw a little: distance is what they cost.
#[test]
fn a_toe_strike_of_an_iron_costs_speed_not_direction() {
    for head in [CAVITY_5_IRON, CAVITY_7_IRON, WEDGE] {
        let at = |toe_mm: f64| {
            let place = StrikePlace { toe_mm, high_mm: 0.0 };
            strike(&head.head, &Delivery { attack_deg: -4.0, place, ..level(36.0, 25.0) }).unwrap()
        };
        let (centre, toe) = (at(0.0), at(15.0));
        assert!(toe.start_right_deg > 0.0 && toe.start_right_deg < 0.5, "{}", head.name);
        assert!(toe.side_spin_right_rpm < 0.0);
        assert!(toe.ball_speed_mps < centre.ball_speed_mps - 1.0);
    }
}
