//! The shape of a table: a short key of its header, under which a matching of columns is remembered.

use super::Table;
use studio::folded;

/// Where the hash begins and what it is multiplied by: FNV-1a of 64 bits. Definition of the key, not of any safety.
const BASIS: u64 = 0xcbf2_9ce4_8422_2325;
const PRIME: u64 = 0x0000_0100_0000_01b3;

/// Returns a key of the header row: alike for tables whose columns have the same names in the same order, whatever
/// the case, accents and spaces around them.
///
/// Two headers may share a key by accident, so what is remembered under it is a proposal to be shown.
#[must_use]
pub fn file_shape(table: &Table) -> String {
    let cells = &table.header.cells;
    let hash = cells.iter().fold(BASIS, |hash, cell| {
        let name = folded(cell.trim());
        // the end of a name counts too, so that "ab", "c" and "a", "bc" differ
        name.bytes().chain([0xff]).fold(hash, step)
    });
    format!("{}-{hash:016x}", cells.len())
}

fn step(hash: u64, byte: u8) -> u64 {
    (hash ^ u64::from(byte)).wrapping_mul(PRIME)
}

#[cfg(test)]
mod tests {
    use super::{BASIS, file_shape, step};
    use crate::sniff;

    fn shape(header: &str) -> String {
        let columns = header.matches(',').count();
        file_shape(&sniff(format!("{header}\n1{}\n", ",".repeat(columns)).as_bytes()).unwrap())
    }

    #[test]
    fn the_hash_is_fnv_1a() {
        // 0xcbf29ce484222325 xor 0x61 is 0xcbf29ce484222344; times the prime, of the last 64 bits
        assert_eq!(step(BASIS, b'a'), 0xaf63_dc4c_8601_ec8c);
    }

    #[test]
    fn the_same_names_in_the_same_order_have_the_same_shape() {
        assert_eq!(shape("Club,Length (in)"), shape(" club ,LENGTH (in)"));
        assert_eq!(shape("Schläger,Lie"), shape("schlager,lie"));
        assert_ne!(shape("Club,Length"), shape("Length,Club"));
        assert_ne!(shape("ab,c"), shape("a,bc"));
        assert_ne!(shape("Club,Length"), shape("Club,Length,"));
        assert!(shape("Club,Length").starts_with("2-"));
    }
}
