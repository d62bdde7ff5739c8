//! Which column of a foreign table is what: a proposal made from the words of its header.
//!
//! A header is cut into words; a unit among them gives the unit of the bare numbers under it. Our own keys and labels
//! are always known, other words only where they can mean one thing: `Length (in)`, `lie_angle`, `Swing weight`. A
//! unit that the field cannot be in, as in `Length (g)`, makes a header unknown. What is not known is left to a
//! person, and so is the second column of the same field.

use super::Column;
use crate::{HeaderUnit, Table};
use studio::{Field, Kind, Subject, Units, folded};

/// Proposes what each column holds; `None` where the header does not tell, or tells what an earlier one has told.
#[must_use]
pub fn guess_columns(table: &Table) -> Vec<Option<Column>> {
    let mut columns: Vec<Option<Column>> = Vec::with_capacity(table.header.cells.len());
    for (place, header) in table.header.cells.iter().enumerate() {
        let is_taken = |column: &Column| columns.iter().flatten().any(|known| known.is_same_as(*column));
        let guess = guess(header).filter(|column| !is_taken(column) && is_borne_out(table, place, *column));
        columns.push(guess);
    }
    columns
}

/// A column of words, such as what a shaft is made of, is one only when its cells are those words: `Shaft` may as well
/// name a model.
fn is_borne_out(table: &Table, place: usize, column: Column) -> bool {
    match column {
        Column::Reading { field, .. }
            if matches!(field.kind(), Kind::Material | Kind::Construction | Kind::Conditions) =>
        {
            table.rows.iter().all(|row| match row.cells.get(place).map(|cell| cell.trim()) {
                None | Some("") => true,
                Some(cell) => field.read(cell, Units::Inches).is_ok(),
            })
        }
        Column::Reading { .. } | Column::ClubName => true,
    }
}

/// Headers of a column of names.
const NAMES: [&[&str]; 6] = [
    &["club"],
    &["clubs"],
    &["name"],
    &["club", "name"],
    &["name", "of", "club"],
    &["name", "of", "the", "club"],
];

/// Words that do not tell one field from another.
const FILLERS: [&str; 12] = [
    "club", "total", "overall", "playing", "angle", "point", "measured", "current", "actual", "finished",
    "static", "the",
];

/// What others call the fields, without units and fillers.
const PHRASES: [(&str, Field); 32] = [
    ("length", Field::ClubLength),
    ("lie", Field::Lie),
    ("loft", Field::Loft),
    ("mass", Field::Mass),
    ("weight", Field::Mass),
    ("wt", Field::Mass),
    ("balance", Field::Balance),
    ("bp", Field::Balance),
    ("swingweight", Field::Swingweight),
    ("swing weight", Field::Swingweight),
    ("sw", Field::Swingweight),
    ("frequency", Field::Frequency),
    ("freq", Field::Frequency),
    ("construction", Field::HeadConstruction),
    ("head construction", Field::HeadConstruction),
    ("groove pitch", Field::GroovePitch),
    ("head mass", Field::HeadMass),
    ("head weight", Field::HeadMass),
    ("headweight", Field::HeadMass),
    ("shaft material", Field::ShaftMaterial),
    ("butt mass perinch", Field::ButtMassPerInch),
    ("butt weight perinch", Field::ButtMassPerInch),
    ("butt diameter", Field::ButtDiameter),
    ("butt wall", Field::ButtWall),
    ("grip mass", Field::GripMass),
    ("grip weight", Field::GripMass),
    ("grip core", Field::GripCore),
    ("core", Field::GripCore),
    ("plug mass perinch", Field::PlugMassPerInch),
    ("plug weight perinch", Field::PlugMassPerInch),
    ("plug seated", Field::PlugSeated),
    ("condition", Field::Condition),
];

fn guess(header: &str) -> Option<Column> {
    let words = words(header);
    let spoken: Vec<&str> = words.iter().map(String::as_str).collect();
    if NAMES.contains(&spoken.as_slice()) {
        return Some(Column::ClubName);
    }
    our_own(&spoken).or_else(|| anothers(&spoken))
}

/// Finds a field by its key or label, alone or with a unit behind it.
fn our_own(spoken: &[&str]) -> Option<Column> {
    let known = |spoken: &[&str]| {
        Field::of(Subject::Club).find(|field| words(field.key()) == spoken || words(field.label()) == spoken)
    };
    if let Some(field) = known(spoken) {
        return Some(Column::Reading { field, unit: None });
    }
    let (last, front) = spoken.split_last()?;
    let (unit, field) = (HeaderUnit::from_word(last)?, known(front)?);
    unit.is_of(field.kind()).then_some(Column::Reading { field, unit: Some(unit) })
}

/// Finds a field by what others call it.
fn anothers(spoken: &[&str]) -> Option<Column> {
    let mut unit = None;
    let mut told = Vec::new();
    let mut rest = spoken.iter().copied().peekable();
    while let Some(word) = rest.next() {
        if word == "per"
            && rest.next_if(|next| HeaderUnit::from_word(next) == Some(HeaderUnit::Inches)).is_some()
        {
            told.push("perinch");
        } else if let Some(found) = HeaderUnit::from_word(word) {
            // "length in mm": the last one is meant
            unit = Some(found);
        } else if !FILLERS.contains(&word) {
            told.push(word);
        }
    }
    let field = match (told.is_empty(), unit) {
        (true, Some(HeaderUnit::CyclesAMinute | HeaderUnit::Hertz)) => Field::Frequency,
        _ => {
            let told = told.join(" ");
            PHRASES.iter().find(|(phrase, _)| *phrase == told)?.1
        }
    };
    unit.is_none_or(|unit| unit.is_of(field.kind())).then_some(Column::Reading { field, unit })
}

/// Cuts a header into words in small letters: at every other sign, and between a small and a capital letter.
fn words(header: &str) -> Vec<String> {
    let mut plain = String::with_capacity(header.len() + 8);
    let mut last_was_small = false;
    for sign in header.chars() {
        match sign {
            '"' | '\u{201c}' | '\u{201d}' | '\u{2033}' => plain.push_str(" in "),
            '°' | 'º' => plain.push_str(" deg "),
            capital if capital.is_uppercase() && last_was_small => {
                plain.push(' ');
                plain.push(capital);
            }
            other => plain.push(other),
        }
        last_was_small = sign.is_lowercase();
    }
    folded(&plain)
        .split(|sign: char| !sign.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{guess, guess_columns};
    use crate::{Column, HeaderUnit, sniff};
    use studio::{Field, Subject};

    fn key(header: &str) -> String {
        guess(header).map_or_else(|| "-".to_owned(), Column::key)
    }

    #[test]
    fn headers_as_people_write_them_are_known() {
        for (header, wanted) in [
            ("Club", "name"),
            ("club name", "name"),
            ("Length", "length"),
            ("Length (in)", "length in"),
            ("length_mm", "length mm"),
            ("Length in mm", "length mm"),
            ("Length in inches", "length in"),
            ("Length \"", "length in"),
            ("Playing length [cm]", "length cm"),
            ("Club length, m", "length m"),
            ("LIE", "lie"),
            ("lieAngle", "lie"),
            ("Lie °", "lie deg"),
            ("Loft angle (degrees)", "loft deg"),
            ("Weight (g)", "mass g"),
            ("Total mass", "mass"),
            ("Balance point (mm)", "balance mm"),
            ("SW", "swingweight"),
            ("Swing Weight", "swingweight"),
            ("CPM", "frequency cpm"),
            ("Freq. (Hz)", "frequency hz"),
            ("Head weight oz", "head.mass oz"),
            ("GripMass", "grip.mass"),
            ("Grip core (in)", "grip.core in"),
            ("butt weight per inch (g)", "shaft.butt_mass_per_inch g"),
            ("Plug mass per inch", "plug.mass_per_inch"),
            // two things in one header, a unit the field cannot be in, and words that tell nothing
            ("Length (g)", "-"),
            ("Length and lie", "-"),
            ("Grip", "-"),
            ("Angle", "-"),
            ("mm", "-"),
            ("Notes", "-"),
            ("", "-"),
        ] {
            assert_eq!(key(header), wanted, "{header}");
        }
    }

    #[test]
    fn our_own_keys_and_labels_are_known_with_and_without_a_unit() {
        for field in Field::of(Subject::Club) {
            for own in [field.key(), field.label()] {
                assert_eq!(guess(own), Some(Column::Reading { field, unit: None }), "{own}");
                for unit in HeaderUnit::ALL.iter().copied().filter(|unit| unit.is_of(field.kind())) {
                    let header = format!("{own} ({})", unit.word());
                    assert_eq!(guess(&header), Some(Column::Reading { field, unit: Some(unit) }), "{header}");
                }
            }
        }
    }

    fn guessed(table: &str) -> Vec<String> {
        let columns = guess_columns(&sniff(table.as_bytes()).unwrap());
        columns.into_iter().map(|column| column.map_or_else(|| "-".to_owned(), Column::key)).collect()
    }

    #[test]
    fn the_second_column_of_a_field_is_left_to_a_person() {
        assert_eq!(
            guessed("Club,Length (in),Length (mm),Name\n7 iron,37,940,x\n"),
            ["name", "length in", "-", "-"]
        );
    }

    #[test]
    fn a_shaft_is_its_material_only_when_every_cell_says_one() {
        assert_eq!(guessed("Club,Shaft\n7 iron,Steel\n8 iron,\n"), ["name", "shaft.material"]);
        assert_eq!(guessed("Club,Shaft\n7 iron,Steel\n8 iron,model 5\n"), ["name", "-"]);
    }
}
