use crate::{CardProblem, decode, read};
use jiff::civil::date;

const GOLFER: &str = r#"
[golfer]
name = "Ines Falk"
plays = "right-handed"
knuckle_height = ["29 1/4 in", "29 1/8 in"]
shoes = "on"
"#;

fn problems(card: &str) -> Vec<CardProblem> {
    match read(card, date(2026, 11, 3)) {
        Ok(card) => card.plan().unwrap_err(),
        Err(problems) => problems,
    }
}

/// The only problem of a card, with its hint.
fn only(card: &str) -> String {
    let problems = problems(card);
    assert_eq!(problems.len(), 1, "{problems:#?}");
    let hint = problems[0].hint.as_deref().unwrap_or("-");
    format!("{} / {hint}", problems[0])
}

fn with_club(lines: &str) -> String {
    format!("{GOLFER}\n[[club]]\nname = \"7 iron\"\nlength = \"37 in\"\n{lines}\n")
}

#[test]
fn a_card_with_golfer_and_clubs_is_read() {
    let text = format!(
        "{}\n[house]\nround_to = \"1/16 in\"\nhold = \"inertia\"\n",
        with_club("swingweight = \"D0.5\"\nmass = 426\ngrip = { mass = \"50 g\" }")
    );
    let card = read(&text, date(2026, 11, 3)).unwrap();
    assert_eq!(card.clubs.len(), 1);
    assert_eq!(card.clubs[0].entry.grip_mass, Some(quantity::Mass::grams(50.0)));
    assert_eq!(card.house.round_to, quantity::InchStep::Sixteenth);
    assert!(card.plan().unwrap().clubs[0].club.is_weighed);
}

#[test]
fn a_byte_order_mark_and_windows_line_ends_are_no_problem() {
    let text = format!("\u{feff}{}", with_club("").replace('\n', "\r\n"));
    assert!(read(decode(text.as_bytes()).unwrap(), date(2026, 11, 3)).is_ok());
}

#[test]
fn an_unknown_key_names_line_key_and_the_nearest_known_one() {
    assert_eq!(
        only(&with_club("balence = \"28 in\"")),
        "line 11: club \"7 iron\", balence: this key is not known / Did you mean \"balance\"?"
    );
    assert_eq!(
        only(&with_club("head = { pitch = \"1/8 in\" }")),
        "line 11: club \"7 iron\", head.pitch: this key is not known / Known here: construction, groove_pitch, mass."
    );
    assert!(only(&format!("{GOLFER}\n[huose]\n")).ends_with("Did you mean \"house\"?"));
}

#[test]
fn a_value_that_cannot_be_meant_names_its_line() {
    assert_eq!(
        only(&with_club("lie = \"62 deg\"\nmass = \"-426 g\"")),
        "line 12: club \"7 iron\", mass: mass -426.0 g is outside 150 to 800 g / Measure again, or look at the unit."
    );
    assert!(
        only(&with_club("mass = nan")).contains("line 11: club \"7 iron\", mass: expected a mass such as")
    );
    assert!(only(&with_club("balance = \"0,5 in\"")).contains("Write a decimal point: \"0.5 in\"."));
    assert!(
        only(&with_club("head = { mass = \"5 kg\" }")).starts_with("line 11: club \"7 iron\", head.mass")
    );
    assert!(only(&with_club("length = \"30 in\"")).contains("duplicate"));
    assert!(only(&with_club("mass = true")).contains("expected a quantity such as"));
    assert!(only(&with_club("condition = [\"bent\"]")).contains("found \"bent\""));
}

#[test]
fn a_unit_mixed_up_is_recognised() {
    let card = GOLFER.replace("[\"29 1/4 in\", \"29 1/8 in\"]", "\"29.25 mm\"");
    assert!(only(&card).contains("29.25 in? That would be 29 1/4 in (743 mm)."), "{}", only(&card));
}

#[test]
fn the_same_club_twice_names_the_second() {
    let twice = format!("{}\n[[club]]\nname = \"7i\"\nlength = \"37 in\"\n", with_club(""));
    assert_eq!(
        only(&twice),
        "line 14: club \"7i\", name: \"7i\" stands twice in the set / Take one of the two out, or give it its right name."
    );
}

#[test]
fn what_must_be_there_is_asked_for() {
    let missing = problems("[[club]]\nlength = \"37 in\"\n");
    let text: Vec<String> = missing.iter().map(ToString::to_string).collect();
    assert_eq!(
        text,
        [
            "line 1: golfer: expected a [golfer] table with name, plays, knuckle_height and shoes, found nothing",
            "line 1: club 1, name: expected a name such as \"7 iron\", found nothing",
        ]
    );
    let bare = problems("[golfer]\n");
    assert_eq!(bare.len(), 4, "{bare:#?}");
}

#[test]
fn every_problem_is_reported_in_the_order_of_the_lines() {
    let card = format!(
        "{}\n[[club]]\nname = \"8 iron\"\nlength = \"-1 in\"\nloft = \"2 m\"\n",
        with_club("mass = \"12 parsecs\"\nswingweight = \"Z9\"")
    );
    let lines: Vec<_> = problems(&card).iter().map(|problem| problem.line.unwrap()).collect();
    assert_eq!(lines, [11, 12, 17], "what cannot be read comes before what cannot be meant");
}

#[test]
fn text_that_is_no_toml_names_its_line() {
    assert!(only(&format!("{GOLFER}\nlength = = 3\n")).starts_with("line 8: "));
    assert!(!problems("hello").is_empty());
    assert!(!problems(&"[".repeat(5000)).is_empty());
    assert!(!problems(&format!("a = {}{}", "[".repeat(5000), "]".repeat(5000))).is_empty());
}

#[test]
fn a_slip_of_form_is_shown_how_to_mend() {
    assert_eq!(
        only(&with_club("shaft = \"graphite\"")),
        "line 11: club \"7 iron\", shaft: expected a table, found a text / Write shaft = { material = \"...\" }; known \
         in it: material, butt_mass_per_inch, butt_diameter, butt_wall."
    );
    assert!(only(&with_club("mass = \u{201c}426 g\u{201d}")).contains("Use straight quotes"));
}

#[test]
fn bytes_that_are_no_card_are_refused_whole() {
    assert!(decode(b"").unwrap_err().message.contains("empty file"));
    assert!(decode(b" \n\t ").is_err());
    assert!(decode(&[0xff, 0xfe, b'a', 0]).unwrap_err().message.contains("UTF-16"));
    let latin = decode(b"[golfer]\nname = \"J\xf6rg\"\n").unwrap_err();
    assert_eq!(latin.line, Some(2));
    let huge = vec![b'#'; 10 * 1024 * 1024];
    assert_eq!(decode(&huge).unwrap_err().message, "expected a card of at most 256 kB, found more");
}

#[test]
fn what_is_no_toml_is_told_in_the_order_of_its_lines() {
    let found =
        read("[golfer]\nname is = Ana\nplays = \"right\"\u{0}\nshoes\n", date(2026, 11, 3)).unwrap_err();
    let lines: Vec<_> = found.iter().map(|problem| problem.line).collect();
    assert_eq!(lines, [Some(2), Some(3), Some(4)]);
}

#[test]
fn age_counts_whole_years() {
    let born = |text: &str| {
        let card = GOLFER.replace("shoes", &format!("born = {text}\nshoes"));
        read(&card, date(2026, 11, 3)).map(|card| card.golfer.readings.age_years)
    };
    assert_eq!(born("2015-11-03").unwrap(), Some(11));
    assert_eq!(born("2015-11-04").unwrap(), Some(10));
    assert_eq!(born("\"2015-11-04\"").unwrap(), Some(10));
    assert!(born("2027-01-01").is_err());
    assert!(born("1850-01-01").is_err());
    assert!(born("\"last year\"").is_err());
}

#[test]
fn too_many_clubs_are_no_set() {
    let clubs = "[[club]]\nname = \"7 iron\"\nlength = 37\n".repeat(41);
    assert!(only(&format!("{GOLFER}{clubs}")).contains("expected at most 40 of them, found 41"));
}

mod anything {
    use super::{GOLFER, read};
    use jiff::civil::date;
    use proptest::prelude::*;

    proptest! {
        /// Half a card, at any byte, is answered and never half believed into a panic.
        #[test]
        fn half_a_card_is_answered(cut in 0usize..400) {
            let whole = super::with_club("mass = \"426 g\"\nhead = { mass = \"268 g\" }\nplug = { seated = \"3 in\" }");
            let half = whole.get(..cut.min(whole.len())).unwrap();
            match read(half, date(2026, 11, 3)) {
                Ok(card) => prop_assert!(!card.golfer.readings.knuckle_height.is_empty()),
                Err(problems) => prop_assert!(!problems.is_empty()),
            }
        }

        #[test]
        fn any_value_is_answered(value in "\\PC{0,40}", key in "(length|mass|lie|swingweight|name)") {
            let quoted = value.replace(['\\', '"'], "");
            let card = format!("{GOLFER}\n[[club]]\nname = \"7 iron\"\nlength = \"37 in\"\n")
                .replace(&format!("{key} = "), "#")
                + &format!("{key} = \"{quoted}\"\n");
            let answered = read(&card, date(2026, 11, 3)).map(|card| card.plan().is_ok());
            prop_assert!(answered.map_or_else(|problems| !problems.is_empty(), |_| true));
        }
    }
}
