//! What is typed with a ball besides its place.

use crate::typed::{plain_number, with_unit};
use crate::{StudioError, Units};
use quantity::{Distance, QuantityError, Speed};
use trial::{Response, Responses};

/// Reads a response as a person types it: `78 mph`, `36.5 m/s`, `150 yd`, `137 m`, `3:1`; a bare number is in miles an hour,
/// in the studio's yards or metres, or times as long.
///
/// # Errors
/// [`StudioError::BadValue`] with what was expected and found.
pub fn read_response(response: Response, typed: &str, units: Units) -> Result<f64, StudioError> {
    let plain = plain_number(typed)?;
    let refused =
        |error: QuantityError| StudioError::BadValue { message: error.to_string(), hint: error.hint() };
    let value = match response {
        Response::HeadSpeed | Response::BallSpeed => {
            Speed::parse(&with_unit(&plain, "mph")).map_err(refused)?.as_metres_per_second()
        }
        Response::Carry => {
            let unit = if units == Units::Metric { "m" } else { "yd" };
            Distance::parse(&with_unit(&plain, unit)).map_err(refused)?.as_metres()
        }
        Response::Tempo => tempo(&plain)?,
    };
    let mut alone = Responses::default();
    alone.set(response, value);
    alone.check()?;
    Ok(value)
}

/// Backswing over downswing, as a ratio (`3:1`, `27:9`) or a number.
fn tempo(text: &str) -> Result<f64, StudioError> {
    let number = |part: &str| {
        let part = part.trim();
        let is_plain = part.chars().all(|sign| sign.is_ascii_digit() || sign == '.');
        part.parse::<f64>().ok().filter(|value| is_plain && value.is_finite())
    };
    let read = match text.split_once(':') {
        Some((back, down)) => number(back).zip(number(down)).map(|(back, down)| back / down),
        None => number(text),
    };
    read.filter(|value| value.is_finite()).ok_or_else(|| {
        let found: String = text.chars().take(40).collect();
        StudioError::BadValue {
            message: format!("expected a tempo such as 3:1, found \"{found}\""),
            hint: Some("Time of the backswing to time of the downswing.".to_owned()),
        }
    })
}

#[cfg(test)]
mod tests {
    use super::read_response;
    use crate::Units;
    use trial::Response;

    #[test]
    fn what_a_person_types_is_read_in_its_unit() {
        for (response, typed, units, wanted) in [
            (Response::HeadSpeed, "78", Units::Inches, 78.0 * 0.447_04),
            (Response::HeadSpeed, "36.5 m/s", Units::Inches, 36.5),
            (Response::BallSpeed, "108,5 mph", Units::Metric, 108.5 * 0.447_04),
            (Response::Carry, "150", Units::Inches, 150.0 * 0.9144),
            (Response::Carry, "137", Units::Metric, 137.0),
            (Response::Carry, "150 yd", Units::Metric, 150.0 * 0.9144),
            (Response::Tempo, "27:9", Units::Inches, 3.0),
            (Response::Tempo, "2.8", Units::Inches, 2.8),
        ] {
            let read =
                read_response(response, typed, units).unwrap_or_else(|error| panic!("{typed}: {error}"));
            assert!((read - wanted).abs() < 1e-12, "{typed}: {read}");
        }
    }

    #[test]
    fn what_cannot_be_meant_says_what_was_expected() {
        for (response, typed, expected) in [
            (Response::HeadSpeed, "780", "unit and the decimal point"),
            (Response::HeadSpeed, "200", "5 to 80 m/s"),
            (Response::HeadSpeed, "fast", "78 mph"),
            (Response::Carry, "150 mph", "yd"),
            (Response::Carry, "1500 m", "1 to 400 m"),
            (Response::Tempo, "3:0", "3:1"),
            (Response::Tempo, "NaN", "3:1"),
            (Response::Tempo, "300", "0.3 to 10"),
            (Response::BallSpeed, "", "speed"),
        ] {
            let refused = read_response(response, typed, Units::Inches).unwrap_err();
            let said = format!("{refused} {}", refused.hint().unwrap_or_default());
            assert!(said.contains(expected), "{typed}: {said}");
        }
    }
}
