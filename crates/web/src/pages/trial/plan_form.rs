//! Planning a trial: which club, which lengths, how many visits, how well the sweet spot is known.

use crate::acts;
use crate::form::Form;
use crate::pages::GolferPage;
use crate::parts::field::{Field, Width, choice};
use crate::parts::problem::{Problem, summary};
use crate::shell::{act_id, golfer_path};
use jiff::civil::Date;
use maud::{Markup, html};
use quantity::{InchStep, Length};
use studio::{
    Changes, ClubsMadeBy, Dossier, Expectation, HouseSettings, StudioError, TrialFile, TrialReason,
};
use trial::{Plan, Response};

/// A word of the form, what it says, and the plan from a seed.
type Spread = (&'static str, &'static str, fn(u64) -> Plan);

/// How the balls are spread.
const SPREADS: [Spread; 3] = [
    ("lessons", "Six lessons, twelve counted balls each, three lengths", Plan::lessons),
    ("quick", "Four lessons, twelve counted balls each, three lengths", Plan::quick),
    ("dedicated", "Three days for the trial alone, forty balls each, five lengths", Plan::dedicated),
];

/// The irons and wedges the rule speaks of, with the length it gives each.
fn clubs(dossier: &Dossier, house: &HouseSettings, today: Date) -> Vec<(String, Length)> {
    let Ok(plan) = dossier.plan(house, today) else { return Vec::new() };
    // what an earlier trial said stands in the target already
    let said = dossier.said_by_trials().map_or(Length::ZERO, |said| said.offset);
    plan.clubs.iter().filter_map(|club| Some((club.club.name.clone(), club.target?.build - said))).collect()
}

/// Draws the form, or what has to come before it.
pub(super) fn plan_form(page: &GolferPage<'_>) -> Markup {
    let (dossier, refused) = (page.dossier, page.refused);
    let clubs = clubs(dossier, page.house, page.now.day);
    let Some((usual, _)) = clubs.get(clubs.len() / 2) else {
        return html! {
            p class="lead" { "A trial tries lengths about the one the rule gives. It needs a knuckle height and an iron with its length." }
            p class="next" { a class="button primary" href=(format!("{}/target", golfer_path(dossier))) { "To the target" } }
        };
    };
    let names: Vec<&str> = clubs.iter().map(|(name, _)| name.as_str()).collect();
    let spread = refused.value("spread", "lessons");
    html! {
        (summary(refused))
        p class="lead" {
            "The rule gives a starting value; strikes on the face over days prove it. Days count, not balls: a good day can make a "
            "wrong length look right."
        }
        form method="post" action=(super::trial_path(dossier)) class="stacked" {
            (act_id())
            (Field {
                name: "club",
                label: "Club to try",
                hint: "The same head, shaft and grip for every length, loft and lie alike.",
                value: refused.value("club", usual),
                problem: refused.at("club"),
                width: Width::Name,
                options: &names,
            }.draw())
            (choice("spread", "How the balls are spread", &SPREADS.map(|(word, says, _)| (word, says)), spread))
            (Field {
                name: "lengths",
                label: "Lengths to try, from the rule's",
                hint: "Leave empty for -1/2 in, 0, 1/2 in, and quarters between for five. A middle length checks the straight line.",
                value: refused.value("lengths", ""),
                problem: refused.at("lengths"),
                width: Width::Name,
                options: &[],
            }.draw())
            details open[refused.at("visits").or(refused.at("balls")).is_some()] {
                summary { "Another number of visits or balls" }
                div class="stacked" {
                    (Field {
                        name: "visits",
                        label: "Visits",
                        hint: "Leave empty for as many as above. More visits with fewer balls tell more than the other way round.",
                        value: refused.value("visits", ""),
                        problem: refused.at("visits"),
                        width: Width::Number,
                        options: &[],
                    }.draw())
                    (Field {
                        name: "balls",
                        label: "Counted balls a visit",
                        hint: "Each length equally often, two balls in a row: with three lengths 6, 12, 18 and so on. A visit counts from ten balls on.",
                        value: refused.value("balls", ""),
                        problem: refused.at("balls"),
                        width: Width::Number,
                        options: &[],
                    }.draw())
                }
            }
            (choice("made_by", "How the clubs come to their lengths", &ClubsMadeBy::ALL.iter().map(|by| (by.words(), by.words())).collect::<Vec<_>>(), refused.value("made_by", ClubsMadeBy::ALL[0].words())))
            (Field {
                name: "sweet_spot",
                label: "How well the sweet spot is known",
                hint: "Mark it once for this head, with a measured height, and use the same mark for every length. 1 mm is good work; an error in its height moves the answer most.",
                value: refused.value("sweet_spot", "1 mm"),
                problem: refused.at("sweet_spot"),
                width: Width::Number,
                options: &[],
            }.draw())
            fieldset class="choice" {
                legend { "Read with every ball besides" }
                @for response in Response::ALL {
                    label { input type="checkbox" name=(response.column()) value="yes" checked[refused.value(response.column(), "") == "yes"]; " " (response.words()) }
                }
                p class="hint" { "Only what can be read without holding the golfer up. It is told beside the answer and never decides it." }
            }
            (choice("reason", "Why this golfer is tried", &TrialReason::ALL.iter().map(|why| (why.words(), why.words())).collect::<Vec<_>>(), refused.value("reason", TrialReason::ALL[0].words())))
            p class="caution" { "Caution. Look at shaft and ferrule before every visit; a temporary extender is pushed home and taped, and nobody stands in the line of a trial club." }
            div class="keepbar" { button class="primary" { "Plan the trial" } }
        }
    }
}

/// What a plan form asks for.
pub(super) struct Wish {
    club: String,
    base_length: Length,
    plan: Plan,
    made_by: ClubsMadeBy,
    sweet_spot_mm: f64,
    reason: TrialReason,
    also_read: Vec<Response>,
    expects: Option<Expectation>,
}

impl Wish {
    /// Reads the form; what is wrong is named all at once.
    pub(super) fn read(
        form: &Form,
        dossier: &Dossier,
        house: &HouseSettings,
        today: Date,
    ) -> Result<Self, Vec<Problem>> {
        let mut problems = Vec::new();
        let mut note =
            |field: &str, label: &str, error: StudioError| problems.push(Problem::of(field, label, &error));
        let clubs = clubs(dossier, house, today);
        let wanted = form.filled("club").unwrap_or_default();
        let club = clubs.into_iter().find(|(name, _)| name == wanted);
        if club.is_none() {
            note("club", "Club to try", expected("an iron or wedge of the set", wanted));
        }
        let spread = form.get("spread").unwrap_or("lessons");
        let usual = SPREADS.iter().find(|(word, ..)| *word == spread);
        if usual.is_none() {
            note("spread", "How the balls are spread", expected("one of the three", spread));
        }
        let mut plan = usual.map_or_else(|| Plan::lessons(1), |(.., plan)| plan(1));
        match form.filled("lengths").map(offsets).transpose() {
            Ok(Some(offsets_in)) => plan.offsets_in = offsets_in,
            Ok(None) => {}
            Err(error) => note("lengths", "Lengths to try", error),
        }
        if let Err(error) = plan.check() {
            note("lengths", "Lengths to try", error.into());
        }
        if let Some(typed) = form.filled("visits") {
            match typed.parse() {
                Ok(visits) if (1..=12).contains(&visits) => plan.visits = visits,
                _ => note("visits", "Visits", expected("1 to 12 visits", typed)),
            }
        }
        if let Some(typed) = form.filled("balls") {
            let round = plan.offsets_in.len() * plan.balls_in_a_row;
            match typed.parse::<usize>() {
                Ok(balls) if balls > 0 && balls.is_multiple_of(round) && balls / round <= 10 => {
                    plan.rounds = balls / round;
                }
                _ => note(
                    "balls",
                    "Counted balls a visit",
                    expected(
                        &format!("{round} balls, or up to ten times as many in steps of {round}"),
                        typed,
                    ),
                ),
            }
        }
        let made_by = form.get("made_by").and_then(ClubsMadeBy::from_words).unwrap_or(ClubsMadeBy::ALL[0]);
        let reason = form.get("reason").and_then(TrialReason::from_words).unwrap_or(TrialReason::ALL[0]);
        let is_wanted = |response: &Response| form.get(response.column()) == Some("yes");
        let also_read = Response::ALL.into_iter().filter(is_wanted).collect();
        let typed = form.filled("sweet_spot").unwrap_or("1 mm");
        let sweet_spot_mm = match Length::parse(typed) {
            Ok(length) if (0.0..=10.0).contains(&length.as_mm()) => length.as_mm(),
            Ok(_) => {
                note("sweet_spot", "How well the sweet spot is known", expected("0 to 10 mm", typed));
                1.0
            }
            Err(error) => {
                let error = StudioError::BadValue { message: error.to_string(), hint: error.hint() };
                note("sweet_spot", "How well the sweet spot is known", error);
                1.0
            }
        };
        match club {
            Some((club, rule)) if problems.is_empty() => {
                let built = dossier
                    .club_named(&club)
                    .and_then(|id| dossier.club_reading(&id, studio::Field::ClubLength));
                let built = built.and_then(|reading| reading.value_si).map(Length::metres);
                let base_length = if reason == TrialReason::AfterJob { built.unwrap_or(rule) } else { rule };
                let knuckle_height = dossier.knuckle_height().filter(|_| reason != TrialReason::AfterJob);
                let expects = house
                    .learnt_rule
                    .as_ref()
                    .zip(knuckle_height)
                    .and_then(|(rule, height)| rule.expects_of(height));
                Ok(Self { club, base_length, plan, made_by, sweet_spot_mm, reason, also_read, expects })
            }
            _ => Err(problems),
        }
    }

    /// The trial it makes; its seed comes from the act, so that the form sent twice plans one trial.
    pub(super) fn into_trial(self, changes: &Changes, dossier: &Dossier, at_ms: i64) -> TrialFile {
        let seed = changes
            .id
            .as_str()
            .bytes()
            .fold(0_u32, |seed, byte| seed.wrapping_mul(31).wrapping_add(byte.into()));
        let small = |count: usize| u8::try_from(count).unwrap_or(u8::MAX);
        TrialFile {
            id: acts::record_id(&changes.id, 0),
            golfer: dossier.golfer.record.id.clone(),
            club: self.club,
            base_length_m: self.base_length.as_metres(),
            visits: small(self.plan.visits),
            rounds: small(self.plan.rounds),
            balls_in_a_row: small(self.plan.balls_in_a_row),
            offsets_in: self.plan.offsets_in,
            seed,
            made_by: self.made_by,
            sweet_spot_sd_mm: self.sweet_spot_mm,
            expects: self.expects,
            reason: self.reason,
            also_read: self.also_read,
            by: changes.by.clone(),
            at_ms,
            thought_longest: None,
            opened: None,
            verdict: None,
            profile: None,
            removed: false,
        }
    }
}

fn expected(what: &str, found: &str) -> StudioError {
    let found: String = found.chars().take(40).collect();
    StudioError::BadValue { message: format!("expected {what}, found \"{found}\""), hint: None }
}

/// Reads `-1/2 in, 0, 1/2 in`.
fn offsets(text: &str) -> Result<Vec<f64>, StudioError> {
    let each = text.split([',', ';']).map(|part| {
        let length = Length::parse(part.trim());
        length
            .map(Length::as_inches)
            .map_err(|error| StudioError::BadValue { message: error.to_string(), hint: error.hint() })
    });
    let mut offsets = each.collect::<Result<Vec<f64>, StudioError>>()?;
    offsets.sort_by(f64::total_cmp);
    Ok(offsets)
}

/// A length of the trial as it is built: base and offset, to a sixteenth.
pub(super) fn built(trial: &TrialFile, offset_in: f64) -> String {
    (Length::metres(trial.base_length_m) + Length::inches(offset_in)).to_step(InchStep::Sixteenth).to_string()
}
