//! What the finished readings say together: readings that are off, and clubs that are no set.

use maud::{Markup, html};
use sheet::words::rich;
use studio::{Dossier, JobFile, JobState};

/// Draws the part of the job's page that is about the check; nothing before a finished club was read.
pub(crate) fn check_part(dossier: &Dossier, job: &JobFile) -> Markup {
    let is_open = !matches!(job.state, JobState::Closed | JobState::Cancelled);
    let (off, findings) = (dossier.off(job), dossier.set_findings(job));
    html! {
        @if is_open && !dossier.finished_readings(job).is_empty() {
            section id="check" {
                h2 { "Check" }
                @if off.is_empty() && findings.is_empty() {
                    p class="passes" { "Every reading so far is within tolerance, and the finished clubs are a set." }
                }
                @if !off.is_empty() {
                    p class="note care" role="status" {
                        b { "Out of tolerance: " }
                        @for (place, reading) in off.iter().enumerate() {
                            @if place > 0 { ", " } (reading.club.name) " " (reading.check.field.label().to_lowercase())
                        }
                        ". " @match job.state {
                            JobState::Checked | JobState::Ready | JobState::HandedOver => { "Work on it again: these readings are then taken anew." }
                            _ => { "Mend it and read again before the job is checked." }
                        }
                    }
                }
                @if !findings.is_empty() {
                    h3 class="below" { "As a set" }
                    ul class="plain" {
                        @for finding in &findings {
                            li { (rich(&finding.words)) @if finding.is_at_the_limit { span class="soft" { ", at the limit: read again before anything is done" } } }
                        }
                    }
                }
            }
        }
    }
}
