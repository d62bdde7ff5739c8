//! A club's part of a card.

use crate::document::Table;
use bench::{WayKind, WishedClub};
use club::{ClubEntry, Condition, Construction, ShaftMaterial, Swingweight};
use quantity::{Angle, Frequency, Length, Mass};

pub(crate) const KEYS: &[&str] = &[
    "name",
    "length",
    "lie",
    "loft",
    "mass",
    "balance",
    "swingweight",
    "frequency",
    "head",
    "shaft",
    "grip",
    "plug",
    "condition",
    "way",
];

/// Reads one club.
pub(crate) fn read(mut table: Table<'_, '_>) -> WishedClub {
    let name = table.text("name", "a name such as \"7 iron\"").unwrap_or_default();
    if !table.has("name") {
        table.missing("name", "a name such as \"7 iron\"");
    }
    let mut entry = ClubEntry {
        name,
        length: table.quantity("length", Length::parse),
        lie: table.quantity("lie", Angle::parse),
        loft: table.quantity("loft", Angle::parse),
        mass: table.quantity("mass", Mass::parse),
        balance: table.quantity("balance", Length::parse),
        swingweight: table.quantity("swingweight", Swingweight::parse),
        frequency: table.quantity("frequency", Frequency::parse),
        conditions: table.words(
            "condition",
            "\"cracked\", \"rusted\", \"already extended\" or \"loose ferrule\"",
            Condition::from_words,
        ),
        ..ClubEntry::default()
    };
    let wish = table.word(
        "way",
        "\"leave\", \"grip down\", \"cut\", \"extend\", \"regrip\" or \"other shaft\"",
        WayKind::from_words,
    );
    if let Some(mut head) = table.table("head", &["construction", "groove_pitch", "mass"]) {
        entry.construction = head.word(
            "construction",
            "\"forged\", \"cast\", \"cast 431\", \"cast 17-4\", \"maraging\", \"pocketed\" or \"titanium\"",
            Construction::from_words,
        );
        entry.groove_pitch = head.quantity("groove_pitch", Length::parse);
        entry.head_mass = head.quantity("mass", Mass::parse);
    }
    const SHAFT: &[&str] = &["material", "butt_mass_per_inch", "butt_diameter", "butt_wall"];
    if let Some(mut shaft) = table.table("shaft", SHAFT) {
        entry.shaft_material = shaft.word("material", "\"steel\" or \"graphite\"", |word| match word {
            "steel" => Some(ShaftMaterial::Steel),
            "graphite" => Some(ShaftMaterial::Graphite),
            _ => None,
        });
        entry.butt_mass_per_inch = shaft.quantity("butt_mass_per_inch", Mass::parse);
        entry.butt_diameter = shaft.quantity("butt_diameter", Length::parse);
        entry.butt_wall = shaft.quantity("butt_wall", Length::parse);
    }
    if let Some(mut grip) = table.table("grip", &["mass", "core"]) {
        entry.grip_mass = grip.quantity("mass", Mass::parse);
        entry.grip_core = grip.quantity("core", Length::parse);
    }
    if let Some(mut plug) = table.table("plug", &["mass_per_inch", "seated"]) {
        entry.plug_mass_per_inch = plug.quantity("mass_per_inch", Mass::parse);
        entry.plug_seated = plug.quantity("seated", Length::parse);
    }
    WishedClub { entry, wish }
}
