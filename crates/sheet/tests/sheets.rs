//! What the sheets say: the numbers of the plan, in the golfer's hand, and nothing that came in as markup.
#![expect(clippy::unwrap_used, reason = "a sheet that cannot be made fails its test")]

use bench::SetPlan;
use jiff::civil::{Date, date};
use sheet::Letterhead;

const TALL: &str = include_str!("../../../examples/tall.toml");
const JUNIOR: &str = include_str!("../../../examples/junior.toml");
const LEFT: &str = include_str!("../../../examples/left-handed.toml");

fn day() -> Date {
    date(2026, 11, 3)
}

fn job_sheet(plan: &SetPlan, day: Date) -> String {
    sheet::job_sheet(plan, day, &Letterhead::default())
}

fn golfer_sheet(plan: &SetPlan, day: Date) -> String {
    sheet::golfer_sheet(plan, day, &Letterhead::default())
}

fn planned(card: &str) -> SetPlan {
    card::read(card, day()).unwrap().plan().unwrap()
}

/// The text of a document as a reader sees it: no style, no tags, plain spaces.
fn text(document: &str) -> String {
    let body = &document[document.find("<body>").unwrap()..];
    let mut plain = String::new();
    let mut in_tag = false;
    for sign in body.chars() {
        match sign {
            '<' => in_tag = true,
            '>' => in_tag = false,
            '\u{a0}' | '\u{202f}' => plain.push(' '),
            '\u{ad}' => {}
            other if !in_tag => plain.push(other),
            _ => {}
        }
    }
    plain
}

#[test]
fn the_job_sheet_carries_the_plans_numbers() {
    let plan = planned(TALL);
    let sheet = text(&job_sheet(&plan, day()));
    let seven = plan.job.sections[0].clubs[0].clone();
    for told in [
        "3 Nov 2026".to_owned(),
        "7 iron first".to_owned(),
        "37 1/4 in (946 mm) ± 1/16 in".to_owned(),
        format!("{} ± 1/2 point", seven.finished.swingweight),
        format!("{} ± 2 g", seven.finished.mass.grams_printed(0)),
        "Caution. Gloves, open window".to_owned(),
        "the committee decides".to_owned(),
        "does not judge or treat pain".to_owned(),
    ] {
        assert!(sheet.contains(&told), "{told}\n{sheet}");
    }
}

#[test]
fn the_golfers_sheet_says_how_sure_and_promises_nothing() {
    let sheet = text(&golfer_sheet(&planned(TALL), day()));
    for told in [
        "37 3/4 in ± 7/16 in, 80 in 100",
        "common practice",
        "Your strikes over several days decide",
        "does not promise distance",
        "licensed clinician",
    ] {
        assert!(sheet.contains(told), "{told}\n{sheet}");
    }
    for never in ["swingweight", "kg cm", "proven", "perfect", "cure", "yards"] {
        assert!(!sheet.to_lowercase().contains(never), "{never}");
    }
}

#[test]
fn a_left_handers_sheet_names_the_other_side() {
    let left = text(&golfer_sheet(&planned(LEFT), day()));
    let right = text(&golfer_sheet(&planned(&LEFT.replace("left-handed", "right-handed")), day()));
    assert!(left.contains("too upright an iron points right, too flat left"), "{left}");
    assert!(right.contains("too upright an iron points left, too flat right"), "{right}");
    // same lengths, other side: nothing else differs
    let neutral = |text: &str| text.replace("left", "side").replace("right", "side");
    assert_eq!(neutral(&left), neutral(&right));
}

#[test]
fn a_juniors_sheet_lengthens_nothing_and_says_why() {
    let within = planned(JUNIOR);
    let sheet = text(&job_sheet(&within, day()));
    assert!(sheet.contains("Nothing to do at the bench."));
    assert!(sheet.contains("Within the junior chart for this height"), "{sheet}");
    let plan = planned(&JUNIOR.replace("33 in", "31 in").replace("27 5/16 in", "25 9/16 in"));
    let sheet = text(&job_sheet(&plan, day()));
    assert!(sheet.contains("Nothing to do at the bench."));
    assert!(sheet.contains("A growing golfer: too short beats too long"), "{sheet}");
    let golfers = text(&golfer_sheet(&plan, day()));
    assert!(golfers.contains("Usual seven-iron for this height"), "{golfers}");
    assert!(!golfers.contains("36 1/4 in"), "the adult number is no headline for a child: {golfers}");
    assert!(text(&golfer_sheet(&plan, day())).contains("a parent or guardian agrees in writing"));
}

#[test]
fn a_doubtful_reading_puts_the_job_on_hold() {
    let card = TALL.replace("[\"31 1/8 in\", \"31 in\", \"31 1/4 in\"]", "\"34 1/2 in\"");
    let sheet = text(&job_sheet(&planned(&card), day()));
    assert!(sheet.contains("Hold. The knuckle height is to be measured again"), "{sheet}");
    let overruled = card.replace("shoes = \"on\"", "shoes = \"on\"\noverruled = \"two people, twice\"");
    assert!(!text(&job_sheet(&planned(&overruled), day())).contains("Hold."));
}

#[test]
fn the_golfer_is_told_what_holds_the_job_and_what_was_found() {
    let card = TALL.replace("[\"31 1/8 in\", \"31 in\", \"31 1/4 in\"]", "\"34 1/2 in\"");
    assert!(
        text(&golfer_sheet(&planned(&card), day()))
            .contains("Hold. The knuckle height is to be measured again")
    );
    let overruled = card.replace("shoes = \"on\"", "shoes = \"on\"\noverruled = \"two people, twice\"");
    let sheet = text(&golfer_sheet(&planned(&overruled), day()));
    assert!(sheet.contains("Taken all the same: two people, twice.") && !sheet.contains("Hold."), "{sheet}");

    let driver = "name = \"driver\"\nlength = ";
    let found = planned(
        &TALL
            .replace(driver, "name = \"driver\"\ncondition = [\"cracked\"]\nlength = ")
            .replace("length = \"44 1/2 in\"", "length = \"46 1/2 in\""),
    );
    for sheet in [golfer_sheet, job_sheet] {
        let sheet = text(&sheet(&found, day()));
        assert!(sheet.contains("cracked: not played until it has a new shaft"), "{sheet}");
        assert!(
            sheet.contains("driver: "),
            "its length is longer than the rule on length allows plainly: {sheet}"
        );
        assert!(!sheet.contains("All lengths appear to fit"), "{sheet}");
    }
    assert!(
        text(&golfer_sheet(&found, day())).contains("driver46 1/2 in–Outside this rule.cracked"),
        "a cracked club is not simply left"
    );
}

#[test]
fn a_sheet_never_prints_a_number_nobody_read() {
    let card = "[golfer]\nname = \"N\"\nplays = \"right-handed\"\nshoes = \"off\"\nknuckle_height = [\"31 in\", \"31 in\", \"31 in\"]\n\
                [[club]]\nname = \"7 iron\"\nlength = \"36 1/2 in\"\n";
    let plan = planned(card);
    let job = text(&job_sheet(&plan, day()));
    assert!(!plan.job.is_empty());
    assert!(job.matches("not read").count() >= 3, "{job}");
    assert!(job.contains("7 iron, weigh first. "), "{job}");
    let golfers = text(&golfer_sheet(&plan, day()));
    assert!(golfers.contains("how the head will feel is not known yet"), "{golfers}");
}

#[test]
fn what_a_card_says_is_text_and_never_markup() {
    let card = TALL
        .replace("Marta Lindqvist", "<script>alert(1)</script> & Co")
        .replace("name = \"4 iron\"", "name = \"4 iron <i>\"");
    for document in [job_sheet(&planned(&card), day()), golfer_sheet(&planned(&card), day())] {
        assert!(!document.contains("<script") && !document.contains("<i>"));
        assert!(document.contains("&lt;script&gt;alert(1)&lt;/script&gt; &amp; Co"));
    }
}

#[test]
fn a_document_is_whole_in_itself_and_the_same_every_time() {
    let plan = planned(TALL);
    for write in [job_sheet, golfer_sheet] {
        let document = write(&plan, day());
        assert_eq!(document, write(&plan, day()));
        let outside = document.replace("http://www.w3.org/2000/svg", "");
        for reference in ["http:", "https:", "<link", "<script", "src=\"", "@import"] {
            assert!(!outside.contains(reference), "{reference}");
        }
        assert_eq!(document.matches("<h1>").count(), 1);
        let drawings = document.matches("<svg").count();
        assert!(drawings > 0);
        assert_eq!(document.matches("<title id=").count(), drawings);
        assert_eq!(document.matches("<desc id=").count(), drawings);
        assert_eq!(document.matches("role=\"img\"").count(), drawings);
    }
}

#[test]
fn a_card_without_clubs_still_gives_the_golfers_sheet() {
    let card = &TALL[..TALL.find("[[club]]").unwrap()];
    let sheet = text(&golfer_sheet(&planned(card), day()));
    assert!(sheet.contains("37 3/4 in"));
    assert!(text(&job_sheet(&planned(card), day())).contains("Nothing to do at the bench."));
}
