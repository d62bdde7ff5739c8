//! The steps of each way, in the bench's safe order.
//!
//! Numbers in the steps are those of the section's first club; the table beside them has the others'. A step
//! that only some clubs of the section need names them. Tolerances are those of [`CheckReading`].

use crate::House;
use crate::check_reading::CheckReading;
use crate::club_check::ClubCheck;
use crate::parts::{PartKind, weight};
use crate::remedy::Fix;
use crate::way::{Way, WayKind};
use club::Condition;
use quantity::InchStep;

/// One step at the bench.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Operation {
    /// What to do.
    pub what: String,
    /// What to look for, with its tolerance.
    pub look_for: String,
    /// Whether a reading is written down.
    pub has_reading: bool,
    /// The cautions that belong to this step.
    pub cautions: Vec<&'static str>,
    /// The parts that are used up at this step.
    pub uses: Vec<PartKind>,
}

/// What the steps of a section are written for.
pub(crate) struct OperationsFor<'a> {
    pub(crate) kind: WayKind,
    /// The clubs of the section, the first one first.
    pub(crate) clubs: &'a [ClubCheck],
    pub(crate) house: &'a House,
    pub(crate) is_growing: bool,
}

const SOLVENT: &str = "Grip solvent burns: no flame or heat gun in the room, window open.";
const BLADE: &str =
    "Cut away from yourself. No hook knife on graphite: it cuts the fibres; use a flat blade.";
const EPOXY: &str =
    "Gloves, open window, no bare skin; off skin with soap, not solvent. Slow glue only: quick kinds let go.";
const SAW: &str = "Eye protection and a dust mask; graphite dust irritates, so cut wet and wipe up wet.";
const DUST: &str = "Dust mask and eye protection; on graphite wet, and the paint only, never the fibres.";
const HEAT: &str = "Extinguisher at hand, solvent out of the room. Graphite: its resin gives way near 90 °C, so little heat, \
                    straight pull, never twist. Let the hosel cool by itself.";
const LEAD: &str = "Lead: gloves when cutting, wash hands after, keep it from children.";
const LEAD_FOR_A_CHILD: &str = "No lead on a child's club: use tungsten tape.";
const NET: &str = "First balls into a net, nobody in line. Stop if anything creaks or moves.";

/// Writes the steps of one section.
pub(crate) fn operations(job: &OperationsFor<'_>) -> Vec<Operation> {
    let Some(first) = job.clubs.first() else {
        return Vec::new();
    };
    let mut steps = Steps(Vec::new());
    read_before(&mut steps, first);
    found_before(&mut steps, job);
    match job.kind {
        WayKind::Leave => {}
        WayKind::GripDown => grip_down(&mut steps, first),
        WayKind::Cut => cut(&mut steps, job, first),
        WayKind::Extend => extend(&mut steps, job, first),
        WayKind::Regrip => {
            strip(&mut steps);
            tip_weights_with_the_head_on(&mut steps, job);
            butt_weights(&mut steps, job);
            finish(&mut steps, job, first);
        }
        WayKind::OtherShaft => other_shaft(&mut steps, job, first),
    }
    steps.0
}

struct Steps(Vec<Operation>);

impl Steps {
    fn add(&mut self, what: impl Into<String>, look_for: impl Into<String>) -> &mut Operation {
        self.0.push(Operation {
            what: what.into(),
            look_for: look_for.into(),
            has_reading: false,
            cautions: Vec::new(),
            uses: Vec::new(),
        });
        let last = self.0.len() - 1;
        &mut self.0[last]
    }
}

impl Operation {
    /// A reading is written down at this step.
    fn read(&mut self) -> &mut Self {
        self.has_reading = true;
        self
    }

    /// Parts are used up at this step.
    fn take(&mut self, parts: &[PartKind]) -> &mut Self {
        self.uses.extend_from_slice(parts);
        self
    }

    /// A caution stands beside this step.
    fn care(&mut self, caution: &'static str) -> &mut Self {
        self.cautions.push(caution);
        self
    }
}

impl OperationsFor<'_> {
    /// Names the clubs for which `say` has something: `7 iron 8 g, 5 iron 4 g`; `None` when there are none.
    fn each(&self, say: impl Fn(&ClubCheck) -> Option<String>) -> Option<String> {
        let said: Vec<String> =
            self.clubs.iter().filter_map(|club| Some(format!("{} {}", club.name, say(club)?))).collect();
        (!said.is_empty()).then(|| said.join(", "))
    }
}

fn read_before(steps: &mut Steps, first: &ClubCheck) {
    let before = &first.before;
    let length = before.length.to_step(InchStep::Sixteenth);
    let mut read = vec![length.to_string()];
    let mut unread = Vec::new();
    if first.is_mass_read {
        read.push(before.mass.grams_printed(0).to_string());
    } else {
        unread.push("mass");
    }
    if first.is_weighed {
        read.push(format!("balance {}", before.balance.to_step(InchStep::Sixteenth)));
        read.push(before.swingweight.to_string());
    } else if !first.is_balance_read {
        unread.push("balance point or swingweight");
    }
    let missing = if unread.is_empty() {
        String::new()
    } else {
        format!("; not on the card: {}; read it and make the sheet again", unread.join(", "))
    };
    steps
        .add("Read it as it came and write the numbers below", format!("{}{missing}", read.join(", ")))
        .read();
}

/// What a close look found comes before any work.
fn found_before(steps: &mut Steps, job: &OperationsFor<'_>) {
    for condition in
        [Condition::Cracked, Condition::Rusted, Condition::AlreadyExtended, Condition::LooseFerrule]
    {
        let found = job.clubs.iter().filter(|club| club.conditions.contains(&condition));
        let names: Vec<&str> = found.map(|club| club.name.as_str()).collect();
        if names.is_empty() {
            continue;
        }
        let look_for = match condition {
            Condition::Cracked => "marked, kept apart, not swung",
            Condition::Rusted => "cleaned bright; a pitted wall or a rattle inside ends the work",
            Condition::AlreadyExtended => "how long and how deep the old piece is",
            Condition::LooseFerrule => {
                "head turned and pulled by hand: when it moves, the joint is made new first"
            }
        };
        let step =
            steps.add(format!("Look again at what was found: {condition} ({})", names.join(", ")), look_for);
        if condition == Condition::Rusted {
            step.care(DUST);
        }
    }
}

fn strip(steps: &mut Steps) {
    steps.add("Slit and peel the grip, then the tape", "shaft not scored").care(BLADE);
    steps.add("Wipe the butt clean and dry", "bare and grease-free, also inside").care(SOLVENT);
}

fn extend(steps: &mut Steps, job: &OperationsFor<'_>, first: &ClubCheck) {
    let Way::Extend(by, plug) = first.way else { return };
    let sixteenth = InchStep::Sixteenth;
    strip(steps);
    let outside = if first.is_butt_read {
        format!("outside {}", first.butt_diameter.decimal_inches(3))
    } else {
        "write both down: they decide the plug".to_owned()
    };
    steps
        .add(
            "Look inside the butt; caliper it outside and inside",
            format!("no crack, no old plug; {outside}"),
        )
        .read();
    steps
        .add(
            format!("Cut the plug to {} and weigh it", plug.length.to_step(sixteenth)),
            format!("{}; weigh each, they decide the swingweight", plug.mass.grams_printed(1)),
        )
        .read()
        .care(SAW);
    steps.add(
        "Dry-fit the plug",
        format!(
            "snug by hand, straight with the shaft; seated {}, showing {}",
            (plug.length - by).to_step(sixteenth),
            by.to_step(sixteenth)
        ),
    );
    tip_weights_with_the_head_on(steps, job);
    butt_weights(steps, job);
    steps
        .add(
            "Roughen both, clean, glue, wipe, stand upright",
            cure(job.house, "before it is dressed, gripped or hit"),
        )
        .take(&[PartKind::Plug, PartKind::Glue])
        .care(DUST)
        .care(SOLVENT)
        .care(EPOXY);
    steps.add("Dress the joint flush, break the edge", "no step under a fingernail").care(DUST);
    let bare = job.each(|club| Some((club.finished.length - job.house.cap).to_step(sixteenth).number()));
    steps
        .add(
            "Length on the plate, bare",
            format!("without the cap of {}: {}", job.house.cap.to_step(sixteenth), bare.unwrap_or_default()),
        )
        .read();
    finish(steps, job, first);
}

fn cut(steps: &mut Steps, job: &OperationsFor<'_>, first: &ClubCheck) {
    let Way::Cut(by) = first.way else { return };
    steps.add(
        "Before the saw: the first club gripped down by as much, over three days",
        "a cut cannot be put back; gripped down the golfer has tried the length, though it feels lighter",
    );
    strip(steps);
    steps.add(
        format!("Mark {} from the butt's bare end", by.to_step(InchStep::Sixteenth)),
        format!(
            "the cap comes back with the grip: bare shaft and cap make the length, cap {}",
            job.house.cap.to_step(InchStep::Sixteenth)
        ),
    );
    steps.add("Cut square, deburr, wipe out", "no burr inside or out").care(SAW);
    let expected = first.off_cut.unwrap_or_default();
    steps
        .add(
            "Weigh the off-cut",
            format!(
                "about {}; write down what an inch of it weighs, it belongs to what is known of the club",
                expected.grams_printed(1)
            ),
        )
        .read();
    tip_weights_with_the_head_on(steps, job);
    butt_weights(steps, job);
    finish(steps, job, first);
}

/// A tip weight needs the head off and on again, with its own day of curing.
fn tip_weights_with_the_head_on(steps: &mut Steps, job: &OperationsFor<'_>) {
    let Some(weights) = job.each(tip_weight) else { return };
    let step = steps.add(
        format!(
            "Head off, hosel and tip cleaned and dry-fitted, tip weight in, head glued on again: {weights}"
        ),
        cure(job.house, "before it is gripped or hit"),
    );
    step.take(&[PartKind::TipWeight, PartKind::Ferrule, PartKind::Glue]).care(HEAT).care(DUST).care(EPOXY);
    much_at_the_head(step, job);
}

/// The caution of much mass at the head stands beside the step that puts it there.
fn much_at_the_head(step: &mut Operation, job: &OperationsFor<'_>) {
    if let Some(caution) = job.clubs.iter().find_map(|club| club.fix.caution()) {
        step.care(caution);
    }
}

fn tip_weight(club: &ClubCheck) -> Option<String> {
    match club.fix {
        Fix::TipWeight { weight: mass, .. } => Some(weight(mass).to_string()),
        _ => None,
    }
}

fn other_shaft(steps: &mut Steps, job: &OperationsFor<'_>, first: &ClubCheck) {
    steps
        .add("Warm the hosel and pull the head", "straight off; keep the head's place in the set")
        .care(HEAT);
    steps.add("Clean the hosel, look into it", "no crack, bare metal").care(DUST);
    steps.add("Trim the tip only as the shaft's own sheet says", "a tapered tip is never trimmed").care(SAW);
    steps
        .add("Abrade the tip, dry-fit", "tip to the bottom of the bore, at least 1 in of glued length")
        .care(DUST);
    if let Some(weights) = job.each(tip_weight) {
        let step = steps.add(format!("Tip weight into the tip: {weights}"), "glued in with the head");
        step.take(&[PartKind::TipWeight]);
        much_at_the_head(step, job);
    }
    steps
        .add(
            "Ferrule on, glue, twist in slowly, wipe, stand upright",
            cure(job.house, "before the butt is cut, gripped or hit"),
        )
        .take(&[PartKind::Shaft, PartKind::Ferrule, PartKind::Glue])
        .care(EPOXY);
    steps
        .add(
            "Cut the butt to length with the cap allowed for",
            format!("{} with the grip on", first.finished.length.to_step(InchStep::Sixteenth)),
        )
        .care(SAW);
    butt_weights(steps, job);
    finish(steps, job, first);
}

fn grip_down(steps: &mut Steps, first: &ClubCheck) {
    let Way::GripDown(by) = first.way else { return };
    steps.add(
        format!("Show the golfer: end of the lead hand {} below the cap", by.to_step(InchStep::Sixteenth)),
        "the same place on every ball; nothing is changed on the club",
    );
    steps.add("Size of the grip where the hands now are", "thinner the farther down: comfort decides").read();
    steps.add("Take it to the trial over three days", "mark strikes by day before anything is cut");
}

fn cure(house: &House, before: &str) -> String {
    format!("{} h at 20 °C {before}; colder takes longer, under 15 °C do not trust it", house.cure_hours)
}

/// What every club ends with: grip, length, mass, swingweight, the head's weight, lie, hand check, net.
fn finish(steps: &mut Steps, job: &OperationsFor<'_>, first: &ClubCheck) {
    let core = if first.is_core_known {
        format!("core {}", first.grip_core.decimal_inches(3))
    } else {
        "its core to suit the butt".to_owned()
    };
    steps
        .add(format!("Two-way tape and grip, {core}"), "cap tight on the butt, rib and print straight")
        .take(&[PartKind::Grip, PartKind::GripTape])
        .care(SOLVENT);
    steps
        .add("Length on the 60° plate, grip on", CheckReading::Length(first.finished.length).expected())
        .read();
    tapes(steps, job);
    let (mass, scale) = (first.finished.mass.grams_printed(0), first.finished.swingweight);
    if first.is_weighed {
        steps.add("Mass", CheckReading::Mass(first.finished.mass).expected()).read();
        steps.add("Swingweight", CheckReading::Swingweight(scale).expected()).read();
    } else {
        steps.add("Mass", format!("write it down; reckoned from usual parts about {mass}")).read();
        steps.add("Swingweight", format!("write it down; reckoned from usual parts about {scale}")).read();
    }
    if let Some((expected, open)) = first.frequency {
        steps.add("Frequency", CheckReading::Frequency(expected, open).expected()).read();
    }
    lie(steps, first);
    steps.add("Twist and pull by hand, shake", "nothing moves or rattles, no glue outside");
    let (hit, look_for) = if job.clubs.len() > 1 {
        (
            "Ten half shots, then the golfer hits it before the others of this list are touched",
            "no sound, no movement; one day at least",
        )
    } else {
        ("Ten half shots", "no sound, no movement")
    };
    steps.add(hit, look_for).care(NET);
}

/// A butt weight goes in before the grip; in an extension it is glued into the plug and cures with it.
fn butt_weights(steps: &mut Steps, job: &OperationsFor<'_>) {
    let weights = job.each(|club| match club.fix {
        Fix::ButtWeight(mass) => Some(weight(mass).to_string()),
        _ => None,
    });
    let Some(weights) = weights else { return };
    let at = job.house.butt_weight_at.to_step(InchStep::Quarter);
    let look_for = if job.kind == WayKind::Extend {
        format!("{at} down in the plug, cures with it; the inertia stays")
    } else {
        format!(
            "{at} down in the butt; {}; the inertia stays",
            cure(job.house, "before it is gripped or hit")
        )
    };
    let step = steps.add(format!("Glue the butt weight in: {weights}"), look_for);
    step.take(&[PartKind::ButtWeight]).care(EPOXY);
    if job.kind != WayKind::Extend {
        step.take(&[PartKind::Glue]);
    }
}

/// Tape goes on last, when the scale can be read; a tip weight is in long since.
fn tapes(steps: &mut Steps, job: &OperationsFor<'_>) {
    let tapes = job.each(|club| match &club.fix {
        Fix::Tape(tape) | Fix::TipWeight { tape: Some(tape), .. } => Some(tape.words()),
        _ => None,
    });
    let Some(tapes) = tapes else { return };
    let step =
        steps.add(format!("On the back of the head: {tapes}"), "weighed; never on the face; burnished down");
    step.take(&[PartKind::HeadTape]).care(if job.is_growing { LEAD_FOR_A_CHILD } else { LEAD });
    if job.each(tip_weight).is_none() {
        // beside a tip weight's own step it was said already
        much_at_the_head(step, job);
    }
}

fn lie(steps: &mut Steps, first: &ClubCheck) {
    if !first.is_lie_read {
        steps
            .add(
                "Lie last: read it, write it down and leave it until sole marks from three days",
                "not on the card; what the new length asks of it is reckoned from a usual one",
            )
            .read();
        return;
    }
    let now = first.lie.degrees_printed(1);
    let limit = first.bend_limit;
    let bending = if !first.is_construction_known {
        "how the head is made is not on the card: find out before any bend".to_owned()
    } else if limit.as_degrees() < 0.05 {
        "this head is not bent".to_owned()
    } else {
        format!("a bend would stay within {} of the maker's figure", limit.degrees_printed(1))
    };
    let wanted = match first.lie_wanted.map(|wanted| wanted.range()) {
        Some((flattest, upright)) if (upright - flattest).as_degrees() < 0.05 => {
            steps.add("Lie", format!("{}, unchanged", CheckReading::Lie(first.lie).expected())).read();
            return;
        }
        Some((flattest, upright)) => {
            format!("wanted somewhere in {} to {}", flattest.degrees_printed(1), upright.degrees_printed(1))
        }
        None => "so much shorter that the hands come down with it".to_owned(),
    };
    steps
        .add(
            "Lie last: read it and leave it until sole marks from three days",
            format!("{now} now; {wanted}; {bending}"),
        )
        .read();
}
