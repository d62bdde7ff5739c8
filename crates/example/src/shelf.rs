//! The invented house's shelf: a small bench's parts, one of them low. Sizes are usual ones, prices invented.

use crate::Act;
use crate::clock::Moment;
use crate::ids::Ids;
use crate::shop::FITTER;
use studio::{Changes, StockMove, StockWhy, TypedPart, Units};

/// A part and how many there are.
struct Stocked {
    kind: &'static str,
    name: &'static str,
    diameter: &'static str,
    length: &'static str,
    mass: &'static str,
    cost: &'static str,
    low_at: &'static str,
    count: i64,
}

/// Shortens a row.
const fn row(
    (kind, name): (&'static str, &'static str),
    [diameter, length, mass]: [&'static str; 3],
    (cost, low_at, count): (&'static str, &'static str, i64),
) -> Stocked {
    Stocked { kind, name, diameter, length, mass, cost, low_at, count }
}

const PARTS: [Stocked; 14] = [
    row(("plug", "Nylon rod, turned for .600"), ["0.600", "4", "4.6"], ("1.20", "4", 16)),
    row(("plug", "Nylon rod, turned for .580"), ["0.580", "4", "4.3"], ("1.20", "4", 3)),
    row(("grip", "Rubber, round, .600"), ["0.600", "10 1/2", "50"], ("4.10", "8", 26)),
    row(("grip", "Rubber, round, .580"), ["0.580", "10 1/2", "50"], ("4.10", "8", 12)),
    row(("grip", "Soft, large, .600"), ["0.600", "10 1/2", "62"], ("5.60", "2", 6)),
    row(("grip tape", "Two-way tape, strip"), ["", "10", "3.5"], ("0.25", "20", 90)),
    row(("glue", "Slow two-part, one joint"), ["", "", ""], ("0.35", "10", 34)),
    row(("ferrule", "Black, plain"), ["", "1", "1"], ("0.40", "6", 20)),
    row(("tip weight", "Brass, 2 g"), ["", "", "2"], ("0.70", "4", 9)),
    row(("tip weight", "Brass, 4 g"), ["", "", "4"], ("0.80", "4", 8)),
    row(("tip weight", "Tungsten, 8 g"), ["", "", "8"], ("2.10", "2", 4)),
    row(("butt weight", "Brass, 8 g"), ["", "", "8"], ("1.90", "2", 5)),
    row(("butt weight", "Brass, 15 g"), ["", "", "15"], ("2.20", "2", 4)),
    row(("head tape", "Lead, 1/2 in wide, thin"), ["", "", "0.45"], ("0.03", "60", 260)),
];

/// Nobody's golfer: the shelf's own ids, behind those of any story.
const NOBODY: u32 = 0xffff;

/// Returns the act that filled it.
pub(crate) fn filled(at: Moment) -> Act {
    let mut ids = Ids::of(NOBODY);
    let mut changes = Changes::new(ids.next(), FITTER, "Shelf: counted for the first time");
    for one in &PARTS {
        let typed = TypedPart {
            kind: one.kind,
            name: one.name,
            diameter: one.diameter,
            length: one.length,
            mass: one.mass,
            cost: one.cost,
            low_at: one.low_at,
            note: "",
        };
        let part = typed.read(ids.next(), Units::Inches).expect("parts as a person types them");
        let came = StockMove {
            id: ids.next(),
            part: part.id.clone(),
            count: one.count,
            piece_mg: None,
            why: StockWhy::Came,
            job: None,
            step: None,
            by: FITTER.to_owned(),
            at_ms: at.at_ms,
            removed: false,
        };
        changes = changes.with_new(part).with_new(came);
    }
    Act { changes, at_ms: at.at_ms }
}
