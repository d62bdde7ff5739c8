//! One way to print a measured number: rounded once, never "-0", with its unit.

use std::fmt;

/// A number on its way to a reader: value in the printed unit, decimals and unit.
///
/// `{}` prints `426.0 g`; `{:+}` always shows the sign.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Printed {
    value: f64,
    decimals: usize,
    unit: &'static str,
}

impl Printed {
    /// Prepares `value`, already in `unit`, to be printed with `decimals` places.
    #[must_use]
    pub fn new(value: f64, decimals: usize, unit: &'static str) -> Self {
        Self { value, decimals, unit }
    }

    /// Prints the number alone, without its unit.
    #[must_use]
    pub fn number(&self) -> String {
        self.digits(false)
    }

    fn digits(&self, signed: bool) -> String {
        let text = format!("{:.*}", self.decimals, self.value);
        let is_zero = text.bytes().all(|byte| matches!(byte, b'-' | b'0' | b'.'));
        match (is_zero, signed && self.value > 0.0) {
            (true, _) => text.trim_start_matches('-').to_owned(),
            (false, true) => format!("+{text}"),
            (false, false) => text,
        }
    }
}

impl fmt::Display for Printed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let tight = matches!(self.unit, "" | "°" | "%");
        write!(f, "{}{}{}", self.digits(f.sign_plus()), if tight { "" } else { " " }, self.unit)
    }
}

#[cfg(test)]
mod tests {
    use super::Printed;

    #[test]
    fn a_tiny_negative_prints_as_plain_zero() {
        assert_eq!(Printed::new(-0.04, 1, "g").to_string(), "0.0 g");
        assert_eq!(format!("{:+}", Printed::new(-0.04, 1, "g")), "0.0 g");
    }

    #[test]
    fn a_sign_is_shown_when_asked_for() {
        assert_eq!(format!("{:+}", Printed::new(2.0, 1, "°")), "+2.0°");
        assert_eq!(format!("{:+}", Printed::new(-2.0, 0, "cpm")), "-2 cpm");
    }
}
