//! What stands at the head of a sheet besides the golfer: the studio, and the job with its code.

use crate::DateLanguage;
use maud::{Markup, PreEscaped, html};
use qrcode::{Color, EcLevel, QrCode};

/// Who made a sheet and for which job; a sheet from a card alone has neither.
#[derive(Debug, Clone, Copy, Default)]
pub struct Letterhead<'a> {
    /// Name of the studio.
    pub studio: Option<&'a str>,
    /// Address and telephone.
    pub address: Option<&'a str>,
    /// Number of the job.
    pub job: Option<i64>,
    /// Address of the live job, drawn as a code.
    pub live_at: Option<&'a str>,
    /// The language days are written in.
    pub dates: DateLanguage,
}

impl Letterhead<'_> {
    /// Sets the studio's lines; nothing when there are none.
    pub(crate) fn lines(&self) -> Markup {
        let lines: Vec<&str> =
            [self.studio, self.address].into_iter().flatten().filter(|line| !line.is_empty()).collect();
        html! { @if !lines.is_empty() { p class="small soft" { (lines.join(", ")) } } }
    }

    /// Draws the code that opens the live job, with the job's number in words beneath.
    pub(crate) fn code(&self) -> Markup {
        let (Some(job), Some(live_at)) = (self.job, self.live_at) else {
            return html! {};
        };
        let Some((side, modules)) = modules(live_at) else {
            return html! {};
        };
        let whole = side + 2 * QUIET;
        html! {
            figure class="code" {
                svg viewBox=(format!("0 0 {whole} {whole}")) role="img" aria-labelledby="code-title" xmlns="http://www.w3.org/2000/svg" {
                    title id="code-title" { "Code that opens job " (job) " at the bench" }
                    rect class="code-ground" width=(whole) height=(whole) {}
                    path class="code-module" d=(modules) {}
                }
                figcaption { "Job " (job) }
            }
        }
    }

    /// Whether anything is drawn at all.
    pub(crate) fn has_code(&self) -> bool {
        self.job.is_some() && self.live_at.is_some()
    }
}

/// Draws an address as a code a camera reads, with what it is for.
#[must_use]
pub fn code_of(text: &str, title: &str) -> Option<Markup> {
    let (side, modules) = modules(text)?;
    let whole = side + 2 * QUIET;
    Some(html! {
        svg class="code" viewBox=(format!("0 0 {whole} {whole}")) role="img" aria-label=(title) xmlns="http://www.w3.org/2000/svg" {
            title { (title) }
            rect class="code-ground" width=(whole) height=(whole) {}
            path class="code-module" d=(modules) {}
        }
    })
}

/// Modules of quiet around a code. Standard: ISO/IEC 18004, four modules.
const QUIET: usize = 4;

/// The dark modules as one path, and how many stand on a side. Level Q, for dirt at the bench.
fn modules(text: &str) -> Option<(usize, PreEscaped<String>)> {
    let code = QrCode::with_error_correction_level(text, EcLevel::Q).ok()?;
    let side = code.width();
    let dark = code.to_colors().into_iter().enumerate().filter(|(_, color)| *color == Color::Dark);
    let path: String =
        dark.map(|(at, _)| format!("M{} {}h1v1h-1z", at % side + QUIET, at / side + QUIET)).collect();
    Some((side, PreEscaped(path)))
}

#[cfg(test)]
mod tests {
    use super::{Letterhead, modules};

    #[test]
    fn a_code_is_drawn_only_for_a_job_with_an_address() {
        assert!(Letterhead::default().code().into_string().is_empty());
        let head = Letterhead {
            job: Some(12),
            live_at: Some("http://127.0.0.1:7700/j/12"),
            ..Letterhead::default()
        };
        let drawn = head.code().into_string();
        assert!(drawn.contains("Job 12") && drawn.contains("<path"));
        // versions of the code have 17 + 4 n modules on a side (ISO/IEC 18004)
        let (side, _) = modules("http://127.0.0.1:7700/j/12").unwrap();
        assert_eq!((side - 17) % 4, 0);
    }
}
