//! The job in the bench's order, with its cautions and parts.

use crate::report::layout::{indented, item, numbered, wrapped};
use bench::SetPlan;

/// Tells the job step by step, with its parts.
pub(super) fn job(plan: &SetPlan) -> String {
    let job = &plan.job;
    let mut text = "THE JOB\n".to_owned();
    if job.is_empty() {
        return text + "Nothing to do at the bench.\n";
    }
    if let Some(first) = &job.first_club {
        let cure = if job.cure_hours > 0 {
            format!("; {} h to cure, for the first club and again for the rest", job.cure_hours)
        } else {
            String::new()
        };
        text += &wrapped(&format!(
            "{first} first; the rest when it has been hit. {} min at the bench{cure}.",
            job.minutes
        ));
    }
    for section in &job.sections {
        let clubs: Vec<&str> = section.clubs.iter().map(|club| club.name.as_str()).collect();
        text += &wrapped(&format!("{}: {}", section.kind.heading(), clubs.join(", ")));
        for word in section.to_be_said() {
            text += &item(&format!("{}, {}: {}", word.clubs.join(", "), word.why.words(), word.text));
        }
        for (index, step) in section.operations.iter().enumerate() {
            let look_for =
                if step.look_for.is_empty() { String::new() } else { format!(" - {}", step.look_for) };
            text += &numbered(index + 1, &format!("{}{look_for}", step.what));
            for caution in &step.cautions {
                text += &indented(&format!("Caution: {caution}"), "      ", "      ");
            }
        }
    }
    if !job.parts.is_empty() {
        text += "Parts:\n";
        for part in &job.parts {
            let spare = if part.spare > 0 { format!(" + {} spare", part.spare) } else { String::new() };
            text += &item(&format!("{}{spare}: {}", part.needed, part.words()));
        }
    }
    text
}
