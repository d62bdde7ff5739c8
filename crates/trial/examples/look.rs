//! Throw-away.
#![allow(missing_docs, clippy::print_stdout, clippy::unwrap_used, clippy::allow_attributes, clippy::allow_attributes_without_reason)]
use trial::*;
fn main() {
    for set in 1..=5 {
        let text = std::fs::read_to_string(format!("crates/trial/tests/trials/open-{set}.csv")).unwrap();
        let strikes = Strikes::new(text.lines().skip(1).map(|row| {
            let n: Vec<f64> = row.split(',').map(|c| c.parse().unwrap()).collect();
            Strike { session: n[0] as u32, order: n[1] as u32, offset_in: n[2], x_mm: n[3], y_mm: n[4] }
        }).collect()).unwrap();
        let t0 = std::time::Instant::now();
        let ev = Evidence::with_normal_errors(&strikes);
        let t1 = t0.elapsed();
        let p = ev.under(LengthBelief::COMMON_PRACTICE, Model::Normal);
        let t2 = t0.elapsed();
        let (d, a) = decide(&strikes, &p, &Judging { sweet_spot_sd: [0.0, 0.0], ..Judging::default() });
        let t3 = t0.elapsed();
        let q = ev.under(LengthBelief::NoRule, Model::Normal);
        let (_d2, a2) = decide(&strikes, &q, &Judging { sweet_spot_sd: [0.0, 0.0], ..Judging::default() });
        let t4 = t0.elapsed();
        let evm = Evidence::of(&strikes);
        let t5 = t0.elapsed();
        let pm = evm.under(LengthBelief::COMMON_PRACTICE, Model::Mixture);
        let (dm, _am) = decide(&strikes, &pm, &Judging::default());
        let t6 = t0.elapsed();
        let nd = next_day(&p, &[-0.5, -0.5, -0.5, -0.5, 0.0, 0.0, 0.0, 0.0, 0.5, 0.5, 0.5, 0.5], strikes.offsets_in());
        let t7 = t0.elapsed();
        let perm = shuffled_as_often(&strikes, 1);
        let t8 = t0.elapsed();
        println!("set {set}: {:?} best {} right {:.2} gain {:.1} better {:.2} worse {:.2} rule near {:.3} share {:.2}", d.kind, d.best_eighth_in, d.odds_within_eighth, d.gain, d.odds_better, d.odds_clearly_worse, d.odds_rule_near_best, MakeUp::of(&a2, 62.0).mean);
        println!("   mixture: {:?} best {} right {:.2} gain {:.1} better {:.2} worse {:.2} t {:?} cannot cure {:.2}", dm.kind, dm.best_eighth_in, dm.odds_within_eighth, dm.gain, dm.odds_better, dm.odds_clearly_worse, evm.student_over_normal(), odds_length_cannot_cure(&a));
        println!("   next {nd:?} perm {perm}");
        println!("   evid {t1:?} under {:?} decide {:?} norule {:?} | student {:?} mix {:?} next {:?} perm {:?}", t2-t1, t3-t2, t4-t3, t5-t4, t6-t5, t7-t6, t8-t7);
    }
}
