//! The shell of a document: head, style and fonts, all inside the one file.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use std::sync::LazyLock;

/// The house's look, for pages and sheets alike.
pub const HOUSE_STYLE: &str = include_str!("../assets/house.css");
/// A sheet as a document of its own.
pub const SHEET_STYLE: &str = include_str!("../assets/sheet.css");
/// Public Sans, SIL Open Font License 1.1 (`assets/FONT-LICENSE.txt`).
pub const LATIN: &[u8] = include_bytes!("../assets/public-sans-latin-wght-normal.woff2");
/// The rest of the Latin letters, for names such as Łukasz.
pub const LATIN_EXTENDED: &[u8] = include_bytes!("../assets/public-sans-latin-ext-wght-normal.woff2");

/// Characters of the extended file, as its package declares them.
const EXTENDED_RANGE: &str = "U+0100-02BA, U+02BD-02C5, U+02C7-02CC, U+02CE-02D7, U+02DD-02FF, U+0304, U+0308, \
     U+0329, U+1D00-1DBF, U+1E00-1E9F, U+1EF2-1EFF, U+2020, U+20A0-20AB, U+20AD-20C0, U+2113, U+2C60-2C7F, \
     U+A720-A7FF";

static WHOLE_STYLE: LazyLock<String> = LazyLock::new(|| {
    let face = |font: &[u8], range: &str| {
        let data = STANDARD.encode(font);
        format!(
            "@font-face{{font-family:\"Public Sans\";font-weight:100 900;font-display:swap;\
             src:url(data:font/woff2;base64,{data}) format(\"woff2\");{range}}}\n"
        )
    };
    let extended = face(LATIN_EXTENDED, &format!("unicode-range:{EXTENDED_RANGE};"));
    format!("{}{extended}{HOUSE_STYLE}{SHEET_STYLE}", face(LATIN, ""))
});

/// Turns a text into a CSS string: every sign that is not a plain letter or digit by its number, so that
/// no name can end the string, the rule or the style.
fn css_string(text: &str) -> String {
    let escaped: String = text
        .chars()
        .map(|sign| {
            if sign.is_ascii_alphanumeric() { sign.to_string() } else { format!("\\{:x} ", u32::from(sign)) }
        })
        .collect();
    format!("\"{escaped}\"")
}

/// What stands at the foot of every printed page: the document's title, and which page of how many.
fn running_foot(title: &str) -> String {
    format!(
        "@page{{@bottom-left{{content:{};font:8.5pt \"Public Sans\",sans-serif;color:#333}}\
         @bottom-right{{content:counter(page) \" / \" counter(pages);font:8.5pt \"Public Sans\",sans-serif;color:#333}}}}",
        css_string(title)
    )
}

/// Wraps the content of a document.
pub(crate) fn page(title: &str, content: &Markup) -> String {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) }
                style { (PreEscaped(WHOLE_STYLE.as_str())) (PreEscaped(running_foot(title))) }
            }
            body { main { (content) } }
        }
    }
    .into_string()
}

#[cfg(test)]
mod tests {
    use super::css_string;

    #[test]
    fn a_name_cannot_leave_its_css_string() {
        let hostile = css_string("</style>\"}\\ é");
        assert_eq!(hostile, "\"\\3c \\2f style\\3e \\22 \\7d \\5c \\20 \\e9 \"");
    }
}
