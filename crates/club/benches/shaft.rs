//! How long nine clubs' frequencies take, each with five alterations.
//!
//! `cargo bench -p club`; one core.
#![expect(clippy::unwrap_used, reason = "a benchmark that cannot run has nothing to time")]

use club::shaft::{Alteration, ClampedClub, Mounting, Profile, Section, TipHead, USUAL_CLAMP};
use divan::{Bencher, black_box};
use quantity::{Frequency, Inertia, Length, Mass};

fn main() {
    divan::main();
}

fn nine_irons() -> Vec<ClampedClub> {
    (0..9_u32)
        .map(|step| {
            let step = f64::from(step);
            let section = |stiffness_n_m2, mass_per_m_kg| Section { stiffness_n_m2, mass_per_m_kg };
            ClampedClub {
                profile: Profile::even(
                    Length::inches(38.0 - step / 2.0),
                    section(68.0, 0.11),
                    section(24.0, 0.09),
                )
                .unwrap(),
                mounting: Mounting::uncut(USUAL_CLAMP, Length::inches(1.25)),
                head: TipHead {
                    mass: Mass::grams(250.0 + 7.0 * step),
                    inertia: Inertia::kg_m2(2.6e-4),
                    centre_beyond_tip: Length::mm(10.0),
                },
            }
        })
        .collect()
}

fn five_alterations() -> [Alteration; 5] {
    let is = Alteration::default();
    let half = Length::inches(0.5);
    [
        Alteration { butt_cut: half, ..is },
        Alteration { extension: half, plug_seated: Length::inches(2.5), ..is },
        Alteration { tip_trim: half, ..is },
        Alteration { head_added: Mass::grams(7.0), ..is },
        Alteration { clamp: Some(Length::inches(7.0)), ..is },
    ]
}

#[divan::bench]
fn nine_clubs_with_five_alterations_each(bencher: Bencher) {
    let (clubs, work) = (nine_irons(), five_alterations());
    bencher.bench(|| {
        let mut total = Frequency::ZERO;
        for club in black_box(&clubs) {
            total += club.frequency().unwrap();
            for alteration in &work {
                total += club.altered(alteration).unwrap().frequency().unwrap();
            }
        }
        total
    });
}
