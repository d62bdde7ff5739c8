//! The steps of each way, in the bench's safe order.
//!
//! Numbers in the steps are those of the section's first club; the others stand in the table beside them.
//! Tolerances are those of a good build by trade practice: length 1/16 in, swingweight half a point, mass
//! 2 g, lie half a degree.

use crate::House;
use crate::job::{ClubCheck, Operation};
use crate::remedy::Fix;
use crate::way::{Way, WayKind};
use club::{Club, Condition};
use quantity::InchStep;

/// What the steps of a section are written for.
pub(crate) struct OperationsFor<'a> {
    pub(crate) check: &'a ClubCheck,
    pub(crate) club: &'a Club,
    pub(crate) kind: WayKind,
    pub(crate) house: &'a House,
}

const SOLVENT: &str = "Grip solvent burns: no flame or heat gun in the room, window open.";
const BLADE: &str =
    "Cut away from yourself. No hook knife on graphite: it cuts the fibres; use a flat blade.";
const EPOXY: &str =
    "Gloves, open window, no bare skin; off skin with soap, not solvent. Slow glue only: quick kinds let go.";
const SAW: &str = "Eye protection and a dust mask; graphite dust irritates, so cut wet and wipe up wet.";
const HEAT: &str = "Extinguisher at hand, solvent out of the room. Graphite: little heat, straight pull, never twist. \
                    Let the hosel cool by itself.";
const LEAD: &str = "Lead: gloves when cutting, wash hands after, keep it from children.";
const BENDING: &str = "Cold, half a degree at a time, eyes and face covered, stand aside: heads snap.";
const NET: &str = "First balls into a net, nobody in line. Stop if anything creaks or moves.";

/// Writes the steps of one section.
pub(crate) fn operations(job: &OperationsFor<'_>) -> Vec<Operation> {
    let mut steps = Steps(vec![read_before(job.check)]);
    found_before(&mut steps, job.club);
    match job.kind {
        WayKind::Leave => {}
        WayKind::GripDown => grip_down(&mut steps, job),
        WayKind::Cut => cut(&mut steps, job),
        WayKind::Extend => extend(&mut steps, job),
        WayKind::Regrip => regrip(&mut steps, job),
        WayKind::OtherShaft => other_shaft(&mut steps, job),
    }
    steps.0
}

struct Steps(Vec<Operation>);

impl Steps {
    fn add(&mut self, what: impl Into<String>, look_for: impl Into<String>) {
        self.push(what, look_for, false, None);
    }

    fn add_with_care(&mut self, what: impl Into<String>, look_for: impl Into<String>, caution: &'static str) {
        self.push(what, look_for, false, Some(caution));
    }

    fn read(&mut self, what: impl Into<String>, look_for: impl Into<String>) {
        self.push(what, look_for, true, None);
    }

    fn push(
        &mut self,
        what: impl Into<String>,
        look_for: impl Into<String>,
        has_reading: bool,
        caution: Option<&'static str>,
    ) {
        self.0.push(Operation { what: what.into(), look_for: look_for.into(), has_reading, caution });
    }
}

fn read_before(check: &ClubCheck) -> Operation {
    let before = &check.before;
    Operation {
        what: "Read it as it came and write the numbers down".to_owned(),
        look_for: format!(
            "{}, {}, balance {}, {}",
            before.length.to_step(InchStep::Sixteenth),
            before.mass.grams_printed(0),
            before.balance.to_step(InchStep::Sixteenth),
            before.swingweight
        ),
        has_reading: true,
        caution: None,
    }
}

/// What a close look found comes before any work.
fn found_before(steps: &mut Steps, club: &Club) {
    for condition in &club.conditions {
        let look_for = match condition {
            Condition::Cracked => "marked, kept apart, not swung",
            Condition::Rusted => "cleaned bright; a pitted wall or a rattle inside ends the work",
            Condition::AlreadyExtended => {
                "how long and how deep the old piece is; it comes out before a new length"
            }
            Condition::LooseFerrule => {
                "head turned and pulled by hand: when it moves, the joint is made new first"
            }
        };
        steps.add(format!("Look again at what was found: {condition}"), look_for);
    }
}

fn extend(steps: &mut Steps, job: &OperationsFor<'_>) {
    let Way::Extend(by, plug) = job.check.way else { return };
    strip(steps);
    steps.read(
        "Look inside the butt; caliper it outside and inside",
        format!("no crack, no old plug; outside {}", job.club.shaft.butt_diameter.decimal_inches(3)),
    );
    steps.read(
        format!("Cut the plug to {} and weigh it", plug.length.to_step(InchStep::Sixteenth)),
        format!("{}; weigh each, they decide the swingweight", plug.mass.grams_printed(1)),
    );
    steps.add(
        "Dry-fit the plug",
        format!(
            "snug by hand; seated {}, showing {}",
            (plug.length - by).to_step(InchStep::Sixteenth),
            by.to_step(InchStep::Sixteenth)
        ),
    );
    steps.add_with_care("Roughen both, clean, glue, wipe, stand upright", cure(job.house), EPOXY);
    steps.add("Dress the joint flush, break the edge", "no step under a fingernail");
    butt_weight(steps, job.check, job.house);
    finish(steps, job);
}

fn cut(steps: &mut Steps, job: &OperationsFor<'_>) {
    let Way::Cut(by) = job.check.way else { return };
    strip(steps);
    steps.add(
        format!("Mark {} from the butt's bare end", by.to_step(InchStep::Sixteenth)),
        format!(
            "the cap comes back with the grip: bare shaft and cap make the length, cap {}",
            job.house.cap.to_step(InchStep::Sixteenth)
        ),
    );
    steps.add_with_care("Cut square, deburr, wipe out", "no burr inside or out", SAW);
    let expected = job.check.off_cut.unwrap_or_default();
    steps.read(
        "Weigh the off-cut",
        format!("about {}; its mass replaces the guess in the card", expected.grams_printed(1)),
    );
    if let Fix::TipWeight { weight, .. } = job.check.fix {
        steps.add_with_care(
            format!("Head off, tip weight of {} in, head on again", weight.grams_printed(0)),
            format!("hosel clean; {}", cure(job.house)),
            HEAT,
        );
    }
    finish(steps, job);
}

fn regrip(steps: &mut Steps, job: &OperationsFor<'_>) {
    strip(steps);
    finish(steps, job);
}

fn other_shaft(steps: &mut Steps, job: &OperationsFor<'_>) {
    strip(steps);
    steps.add_with_care(
        "Warm the hosel and pull the head",
        "straight off; keep the head's place in the set",
        HEAT,
    );
    steps.add(
        "Clean the hosel, abrade the tip, dry-fit",
        "tip to the bottom of the bore, at least 1 in of glued length",
    );
    steps.add("Trim the tip only as the shaft's own sheet says", "a tapered tip is never trimmed");
    steps.add_with_care("Ferrule on, glue, twist in slowly, wipe, stand upright", cure(job.house), EPOXY);
    steps.add(
        "Cut the butt to length with the cap allowed for",
        format!("{} with the grip on", job.check.finished.length.to_step(InchStep::Sixteenth)),
    );
    finish(steps, job);
}

fn grip_down(steps: &mut Steps, job: &OperationsFor<'_>) {
    let Way::GripDown(by) = job.check.way else { return };
    steps.add(
        format!("Show the golfer: end of the lead hand {} below the cap", by.to_step(InchStep::Sixteenth)),
        "the same place on every ball; nothing is changed on the club",
    );
    steps.read(
        "Size of the grip where the hands now are",
        "about .03 to .05 in thinner than at the top: comfort decides",
    );
    steps.add("Take it to the trial over three days", "mark strikes by day before anything is cut");
}

fn strip(steps: &mut Steps) {
    steps.add_with_care("Slit and peel the grip, then the tape", "shaft not scored", BLADE);
    steps.add_with_care("Wipe the butt clean and dry", "bare and grease-free, also inside", SOLVENT);
}

fn cure(house: &House) -> String {
    format!(
        "{} h at 20 °C, not hit before; colder takes longer, under 15 °C do not trust it",
        house.cure_hours
    )
}

/// A butt weight goes in before the grip.
fn butt_weight(steps: &mut Steps, check: &ClubCheck, house: &House) {
    if let Fix::ButtWeight(mass) = check.fix {
        steps.read(
            format!("Fix the butt weight, {}", mass.grams_printed(0)),
            format!(
                "{} down, in the plug or under the cap, fixed so that it cannot move; the inertia stays",
                house.butt_weight_at.to_step(InchStep::Quarter)
            ),
        );
    }
}

/// What every club ends with: grip, length, mass, swingweight, the head's weight, lie, hand check, net.
fn finish(steps: &mut Steps, job: &OperationsFor<'_>) {
    let (check, club) = (job.check, job.club);
    steps.add(
        format!("Two-way tape and grip, core {}", club.grip.core.decimal_inches(3)),
        "cap tight on the butt, rib and print straight",
    );
    steps.read(
        "Length on the 60° plate, grip on",
        format!("{} ± 1/16 in", check.finished.length.with_metric(InchStep::Sixteenth)),
    );
    head_weight(steps, check);
    steps.read("Mass", format!("{} ± 2 g", check.finished.mass.grams_printed(0)));
    steps.read("Swingweight", format!("{} ± 1/2 point", check.finished.swingweight));
    lie(steps, check);
    steps.add("Twist and pull by hand, shake", "nothing moves or rattles, no glue outside");
    steps.add_with_care(
        "Ten half shots, then the golfer hits it before the other clubs are touched",
        "no sound, no movement; one day at least",
        NET,
    );
}

/// Tape goes on last, when the scale can be read; a tip weight is in long since.
fn head_weight(steps: &mut Steps, check: &ClubCheck) {
    let tape = match &check.fix {
        Fix::Tape(tape) | Fix::TipWeight { tape: Some(tape), .. } => tape,
        Fix::LighterHead(_) => {
            steps.add("Leave the swingweight where it falls", check.fix.words());
            return;
        }
        Fix::Nothing | Fix::ButtWeight(_) | Fix::TipWeight { tape: None, .. } => return,
    };
    steps.add_with_care(
        format!("{} on the back of the head", tape.words()),
        "weigh it; never on the face; burnished down",
        LEAD,
    );
}

fn lie(steps: &mut Steps, check: &ClubCheck) {
    let now = check.lie.degrees_printed(1);
    let limit = check.bend_limit;
    let bending = if limit.as_degrees() < 0.05 {
        "this head is not bent".to_owned()
    } else {
        format!("within {} of the maker's figure", limit.degrees_printed(0))
    };
    let wanted = match check.lie_wanted.map(|wanted| wanted.range()) {
        Some((flattest, upright)) if (upright - flattest).as_degrees() < 0.05 => {
            steps.read("Lie", format!("{now} ± 1/2°, unchanged"));
            return;
        }
        Some((flattest, upright)) => {
            format!("wanted somewhere in {} to {}", flattest.degrees_printed(1), upright.degrees_printed(1))
        }
        None => "so much shorter that the hands come down with it".to_owned(),
    };
    steps.push(
        "Lie last: read it and leave it until sole marks from three days",
        format!("{now} now; {wanted}; {bending}"),
        true,
        (limit.as_degrees() >= 0.05).then_some(BENDING),
    );
}
