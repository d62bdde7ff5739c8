//! What a plan says: the bench's job sheet and the golfer's own sheet, their figures, and the same as JSON for
//! programs.
//!
//! One rendering serves screen and paper: HTML with a print style, figures as SVG with a title and a text
//! alternative. A document is whole in itself (style and fonts inside), so that it can be mailed, printed or
//! kept. Pure: a plan and a date in, text out; nothing is worked out here that the plan does not say.

mod dates;
mod distance;
pub mod figure;
mod golfer_sheet;
mod job_sheet;
mod letterhead;
mod page;
mod plan_json;
mod trial_json;
mod verdict;
pub mod words;

pub use dates::DateLanguage;
pub use distance::{BALL_AND_AIR_VARY_BY_MORE, DistanceUnit, ball_and_air_vary_by_more};
pub use golfer_sheet::{golfer_sheet, golfer_sheet_content};
pub use job_sheet::{job_sheet, job_sheet_content};
pub use letterhead::{Letterhead, code_of};
pub use page::{HOUSE_STYLE, LATIN, LATIN_EXTENDED, SHEET_STYLE};
pub use plan_json::plan_json;
pub use trial_json::trial_json;
pub use verdict::{VerdictWords, offset_words, response_words, verdict_words};
