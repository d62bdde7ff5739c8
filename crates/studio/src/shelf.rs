//! The shelf as it stands: what is there, what open jobs have put aside, what is low, and what a tick takes.

use crate::{Id, JobFile, JobState, Kept, PartUse, StockMove, StockWhy, StockedPart, WorkPart};
use bench::PartKind;
use std::collections::BTreeMap;

/// A part whose diameter is no farther from the wanted one than this fits, metres: five thousandths of an inch. Trade
/// practice: a caliper repeats to two, butts come two off.
const FITS_M: f64 = 0.005 * 0.0254;
/// A weight this near the wanted one is the one, kilograms: half a gram. Trade practice: what a scale repeats to.
const WEIGHS_KG: f64 = 0.0005;

/// What came and went of a part at one step of a job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Booked {
    /// The part.
    pub part: Id,
    /// The job.
    pub job: Id,
    /// The step.
    pub step: String,
    /// The weighed piece, milligrams.
    pub piece_mg: Option<i64>,
    /// How many are taken: what went less what came back.
    pub taken: i64,
    /// How often something was written at this step, whichever the piece.
    pub times: usize,
}

/// A job that puts parts aside.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PutAside {
    /// The job.
    pub job: Id,
    /// Its golfer.
    pub golfer: Id,
    /// Its number.
    pub number: i64,
    /// What it takes.
    pub uses: Vec<PartUse>,
}

/// The shelf.
#[derive(Debug, Clone, Default)]
pub struct Shelf {
    /// The parts, those taken off for good among them.
    pub parts: Vec<Kept<StockedPart>>,
    /// How many there are, by part and weighed piece.
    pub counts: BTreeMap<(Id, Option<i64>), i64>,
    /// The open jobs that put parts aside.
    pub put_aside: Vec<PutAside>,
    /// What was booked at the steps of the open jobs, and of the one the shelf was read for.
    pub booked: Vec<Booked>,
}

impl JobState {
    /// Tells whether a job in this state puts aside what it has not used yet.
    #[must_use]
    pub const fn puts_aside(self) -> bool {
        !matches!(
            self,
            Self::Checked
                | Self::Ready
                | Self::HandedOver
                | Self::FollowUpDue
                | Self::Closed
                | Self::Cancelled
        )
    }
}

impl Shelf {
    /// The parts on it, by kind and name.
    #[must_use]
    pub fn on_it(&self) -> Vec<&Kept<StockedPart>> {
        let mut parts: Vec<_> = self.parts.iter().filter(|kept| !kept.record.removed).collect();
        parts.sort_by(|a, b| {
            (a.record.kind, &a.record.name, &a.record.id).cmp(&(b.record.kind, &b.record.name, &b.record.id))
        });
        parts
    }

    /// Finds a part.
    #[must_use]
    pub fn part(&self, id: &Id) -> Option<&Kept<StockedPart>> {
        self.parts.iter().find(|kept| kept.record.id == *id)
    }

    /// How many there are.
    #[must_use]
    pub fn stock(&self, part: &Id) -> i64 {
        self.counts.iter().filter(|((of, _), _)| of == part).map(|(_, count)| count).sum()
    }

    /// The weighed pieces there are, lightest first: milligrams and how many.
    #[must_use]
    pub fn pieces(&self, part: &Id) -> Vec<(i64, i64)> {
        let of_it = self.counts.iter().filter(|((of, _), count)| of == part && **count > 0);
        of_it.filter_map(|((_, piece), count)| Some(((*piece)?, *count))).collect()
    }

    /// How many were taken at a step of a job.
    #[must_use]
    pub fn taken(&self, job: &Id, used: &PartUse) -> i64 {
        self.booked_at(job, &used.step, &used.part).map(|booked| booked.taken).sum()
    }

    fn booked_at<'s>(&'s self, job: &'s Id, step: &'s str, part: &'s Id) -> impl Iterator<Item = &'s Booked> {
        self.booked
            .iter()
            .filter(move |booked| booked.job == *job && booked.step == step && booked.part == *part)
    }

    /// How many open jobs have put aside and not used yet.
    #[must_use]
    pub fn reserved(&self, part: &Id) -> i64 {
        let uses = self.put_aside.iter().flat_map(|aside| aside.uses.iter().map(move |used| (aside, used)));
        uses.filter(|(_, used)| used.part == *part)
            .map(|(aside, used)| (i64::from(used.count) - self.taken(&aside.job, used)).max(0))
            .sum()
    }

    /// How many are neither used nor put aside; negative when more was promised than there is.
    #[must_use]
    pub fn free(&self, part: &Id) -> i64 {
        self.stock(part) - self.reserved(part)
    }

    /// Tells whether a part is to be ordered.
    #[must_use]
    pub fn is_low(&self, part: &StockedPart) -> bool {
        let free = self.free(&part.id);
        free < 0 || (part.low_at > 0 && free <= i64::from(part.low_at))
    }

    /// The parts to be ordered.
    #[must_use]
    pub fn low(&self) -> Vec<&Kept<StockedPart>> {
        self.on_it().into_iter().filter(|kept| self.is_low(&kept.record)).collect()
    }

    /// The parts of the shelf that could serve, the one that fits first.
    #[must_use]
    pub fn that_serve(&self, wanted: &WorkPart) -> Vec<&Kept<StockedPart>> {
        let mut parts: Vec<_> =
            self.on_it().into_iter().filter(|kept| kept.record.kind == wanted.kind).collect();
        parts.sort_by_key(|kept| (!fits(&kept.record, wanted), self.free(&kept.record.id) <= 0));
        parts
    }

    /// The part that fits by its sizes, where the shelf has one.
    #[must_use]
    pub fn that_fits(&self, wanted: &WorkPart) -> Option<&Kept<StockedPart>> {
        self.that_serve(wanted).into_iter().find(|kept| fits(&kept.record, wanted))
    }

    /// What a job takes and the shelf does not have: the part, and how many are missing.
    #[must_use]
    pub fn missing(&self, job: &JobFile) -> Vec<(&StockedPart, i64)> {
        let mut wanted: BTreeMap<&Id, i64> = BTreeMap::new();
        for used in &job.uses {
            *wanted.entry(&used.part).or_default() +=
                (i64::from(used.count) - self.taken(&job.id, used)).max(0);
        }
        let short = wanted.into_iter().filter_map(|(id, count)| {
            let missing = count - self.stock(id).max(0);
            Some((&self.part(id)?.record, missing)).filter(|(_, missing)| *missing > 0)
        });
        short.collect()
    }

    /// What a tick of a step books: what its parts still need, as far as the shelf has it; taken back when the step is
    /// not done after all. The ids follow from the job, the step, the part and how often something was booked there, so
    /// that two devices that tick at the same moment make the same booking.
    #[must_use]
    pub fn booking(
        &self,
        job: &JobFile,
        step: &str,
        is_done: bool,
        (by, at_ms): (&str, i64),
        id_of: impl Fn(&str) -> Id,
    ) -> Vec<StockMove> {
        let mut moves = Vec::new();
        let mut left = self.counts.clone();
        for used in job.uses.iter().filter(|used| used.step == step) {
            let mut times: usize = self.booked_at(&job.id, step, &used.part).map(|booked| booked.times).sum();
            let mut book = |count: i64, piece_mg: Option<i64>| {
                moves.push(StockMove {
                    id: id_of(&format!("{}/{step}/{}/{times}", job.id, used.part)),
                    part: used.part.clone(),
                    count,
                    piece_mg,
                    why: if count < 0 { StockWhy::Used } else { StockWhy::NotUsed },
                    job: Some(job.id.clone()),
                    step: Some(step.to_owned()),
                    by: by.to_owned(),
                    at_ms,
                    removed: false,
                });
                times += 1;
            };
            if is_done {
                let mut wanted = i64::from(used.count) - self.taken(&job.id, used);
                for piece in pieces_to_take(&left, used) {
                    let there = left.entry((used.part.clone(), piece)).or_default();
                    let count = wanted.min(*there);
                    if count > 0 {
                        book(-count, piece);
                        *there -= count;
                        wanted -= count;
                    }
                }
            } else {
                for booked in self.booked_at(&job.id, step, &used.part).filter(|booked| booked.taken > 0) {
                    book(booked.taken, booked.piece_mg);
                }
            }
        }
        moves
    }
}

/// From which pieces a use is taken: the one it names, else those that were not weighed, then the lightest.
fn pieces_to_take(counts: &BTreeMap<(Id, Option<i64>), i64>, used: &PartUse) -> Vec<Option<i64>> {
    match used.piece_mg {
        Some(piece) => vec![Some(piece)],
        None => counts.keys().filter(|(part, _)| *part == used.part).map(|(_, piece)| *piece).collect(),
    }
}

fn fits(part: &StockedPart, wanted: &WorkPart) -> bool {
    let near = |have: Option<f64>, want: Option<f64>, within: f64| match (have, want) {
        (Some(have), Some(want)) => (have - want).abs() <= within,
        (None, Some(_)) => false,
        (_, None) => true,
    };
    // a grip or a shaft of the right size serves whatever it weighs; a weight is its mass
    let by_mass = matches!(wanted.kind, PartKind::TipWeight | PartKind::ButtWeight);
    near(part.diameter_m, wanted.diameter_m, FITS_M)
        && (!by_mass || near(part.mass_kg, wanted.mass_kg, WEIGHS_KG))
}

#[cfg(test)]
mod tests {
    use super::{PutAside, Shelf};
    use crate::{Id, JobFile, JobState, Kept, PartUse, StockWhy, StockedPart, Work, WorkPart};
    use bench::PartKind;

    fn id(number: u8) -> Id {
        Id::parse(&format!("01938a6e-1b2c-7def-8123-4567890000{number:02x}")).unwrap()
    }

    fn part(number: u8, name: &str, diameter_m: Option<f64>) -> StockedPart {
        StockedPart {
            id: id(number),
            kind: PartKind::Grip,
            name: name.to_owned(),
            diameter_m,
            length_m: None,
            mass_kg: None,
            cost: None,
            low_at: 2,
            note: None,
            removed: false,
        }
    }

    fn job(uses: Vec<PartUse>) -> JobFile {
        JobFile {
            id: id(90),
            golfer: id(91),
            number: 7,
            state: JobState::OnTheBench,
            since_ms: 0,
            cured_ms: None,
            note: None,
            card: String::new(),
            work: Work::default(),
            made_ms: 0,
            quote: None,
            uses,
            promised: None,
            removed: false,
        }
    }

    fn uses(number: u8, count: u32) -> PartUse {
        PartUse { part: id(number), count, step: "0.4".to_owned(), piece_mg: None }
    }

    /// A shelf of these parts with so many of each, and a job that puts parts aside.
    fn shelf(parts: Vec<(StockedPart, i64)>, job: &JobFile) -> Shelf {
        Shelf {
            counts: parts.iter().map(|(part, count)| ((part.id.clone(), None), *count)).collect(),
            parts: parts.into_iter().map(|(record, _)| Kept { record, revision: 1 }).collect(),
            put_aside: vec![PutAside {
                job: job.id.clone(),
                golfer: job.golfer.clone(),
                number: job.number,
                uses: job.uses.clone(),
            }],
            booked: Vec::new(),
        }
    }

    #[test]
    fn what_is_put_aside_is_not_free_and_what_is_low_is_said() {
        let job = job(vec![uses(1, 3), uses(2, 4)]);
        let parts = vec![(part(1, "A", None), 6), (part(2, "B", None), 3), (part(3, "C", None), 2)];
        let shelf = shelf(parts, &job);
        assert_eq!([1, 2, 3].map(|number| shelf.free(&id(number))), [3, -1, 2]);
        let low: Vec<&str> = shelf.low().iter().map(|kept| kept.record.name.as_str()).collect();
        assert_eq!(low, ["B", "C"], "promised twice, and at its mark");
        let missing: Vec<_> =
            shelf.missing(&job).into_iter().map(|(part, count)| (&*part.name, count)).collect();
        assert_eq!(missing, [("B", 1)]);
    }

    #[test]
    fn a_tick_books_what_there_is_and_no_more() {
        let job = job(vec![uses(1, 3), uses(2, 4)]);
        let shelf = shelf(vec![(part(1, "A", None), 6), (part(2, "B", None), 3)], &job);
        let book = |step: &str, is_done| shelf.booking(&job, step, is_done, ("I. F.", 0), |_| id(50));
        let moves: Vec<_> =
            book("0.4", true).into_iter().map(|moved| (moved.part, moved.count, moved.why)).collect();
        assert_eq!(moves, [(id(1), -3, StockWhy::Used), (id(2), -3, StockWhy::Used)]);
        assert!(book("0.5", true).is_empty(), "another step takes nothing");
        assert!(book("0.4", false).is_empty(), "nothing was taken that could come back");
    }

    #[test]
    fn two_lines_of_one_part_share_what_is_there() {
        let job = job(vec![uses(1, 3), uses(1, 3)]);
        let shelf = shelf(vec![(part(1, "A", None), 4)], &job);
        let taken: i64 =
            shelf.booking(&job, "0.4", true, ("I. F.", 0), |_| id(50)).iter().map(|moved| moved.count).sum();
        assert_eq!(taken, -4);
    }

    #[test]
    fn the_part_that_fits_is_the_one_of_its_size() {
        let wanted = WorkPart {
            kind: PartKind::Grip,
            what: "Grip, core 0.600 in".to_owned(),
            count: 1,
            diameter_m: Some(0.600 * 0.0254),
            mass_kg: Some(0.05),
        };
        let inch = |size: f64| Some(size * 0.0254);
        let parts = vec![
            (part(1, "Small", inch(0.580)), 9),
            (part(2, "Unknown", None), 9),
            (part(3, "Right", inch(0.602)), 9),
        ];
        let shelf = shelf(parts, &job(Vec::new()));
        assert_eq!(shelf.that_fits(&wanted).unwrap().record.name, "Right");
        let serve: Vec<&str> =
            shelf.that_serve(&wanted).iter().map(|kept| kept.record.name.as_str()).collect();
        assert_eq!(serve[0], "Right");
        assert_eq!(serve.len(), 3);
        let other = WorkPart { diameter_m: Some(0.620 * 0.0254), ..wanted };
        assert!(shelf.that_fits(&other).is_none());
    }
}
