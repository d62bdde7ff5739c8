"""Units of the bench and the swingweight scale, for turning SI results into what `calc` prints.

Lengths run along the shaft from the butt toward the head.
"""

INCH_M = 0.0254  # definition: international inch
OUNCE_KG = 0.45359237 / 16  # definition: sixteenth of the international avoirdupois pound
STANDARD_GRAVITY = 9.80665  # definition: m/s2

FULCRUM_IN = 14.0  # trade practice, no source
POINT_IN_OZ = 1.75  # trade practice, no source
A0_IN_OZ = 161.0  # trade practice, no source: ten points a letter, so D0 is 213.5


def points(moment_in_oz):
    """Swingweight points above A0."""
    return (moment_in_oz - A0_IN_OZ) / POINT_IN_OZ


def points_of_label(label):
    """Points above A0 of a reading such as D0.9, exact to the digits printed."""
    assert label[0] in "ABCDEFG", f"{label!r} is not a letter and a number"
    number = float(label[1:])
    assert 0 <= number < 10, f"{label!r}: ten points make the next letter"
    return 10 * "ABCDEFG".index(label[0]) + number


def half_last_digit(label):
    """Half of the last printed digit of a reading such as D0.9 or C9.71."""
    _, _, decimals = label.partition(".")
    return 0.5 * 10.0 ** -len(decimals)
