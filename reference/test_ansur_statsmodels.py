"""Hand height from body sizes: the tool's regression table against statsmodels, and its length rule laid
over a population.

People: the 2012 survey of US Army personnel (data/README.md). No survey measures the height of a middle
knuckle with hooked fingers, so a stand-in is used throughout: KH = wrist height - 0.70 hand length, mm. The
0.70 is derived from published hand proportions and an assumed bend of the big knuckle, standard
uncertainty 0.027: an assumption, not a measurement. Agreement here says that the arithmetic is right and
that rule and stand-in fit together; it says nothing about whether golfers play best at that length.
"""

import csv
from pathlib import Path

import numpy as np
import pytest
import statsmodels.api as sm
from scipy import stats

HERE = Path(__file__).parent
PEOPLE = HERE / "data" / "ansur2_hand_height.csv"
TABLE = HERE.parent / "crates" / "fitting" / "src" / "hand_height_regression.csv"

HAND_SHARE = 0.70  # derived, see above
MM_PER_INCH = 25.4  # definition
NOMINAL_SIX_IRON_IN = 37.0  # trade practice, no source: where the rule puts a middling man
RULE_SLOPE = 0.25  # trade practice, no source: inches of club per inch of knuckle height
RULE_SD_IN = 0.35  # assumption: how far a fitted length strays from the rule, one standard deviation
LEAST_READING_SD_IN = 0.25  # trade practice, no source: one person's repeats of a knuckle height

# Half of the last digit printed in the table, plus rounding of the fit itself.
HALF_DIGIT = {
    "intercept_mm": 0.0005,
    "per_stature": 0.000005,
    "per_wrist_height": 0.000005,
    "residual_sd_mm": 0.005,
}
FIT_ROUNDING = 1e-9
HEADER = ["who", "intercept_mm", "per_stature", "per_wrist_height", "residual_sd_mm", "kind"]


@pytest.fixture(scope="module")
def people():
    """Columns of the survey as arrays, lengths in mm."""
    with PEOPLE.open(newline="") as file:
        rows = list(csv.DictReader(file))
    columns = {name: np.array([float(row[name]) for row in rows]) for name in ["stature", "wristheight", "handlength"]}
    columns["sex"] = np.array([row["sex"] for row in rows])
    return columns


def stand_in(people, hand_share=HAND_SHARE):
    """Hand height of everyone, mm."""
    return people["wristheight"] - hand_share * people["handlength"]


def table_rows():
    """Rows of the tool's embedded table, keyed by who and by the measures used."""
    lines = [line for line in TABLE.read_text(encoding="utf-8").splitlines() if line and not line.startswith("#")]
    reader = csv.DictReader(lines)
    assert reader.fieldnames == HEADER
    rows = list(reader)
    keyed = {(row["who"], bool(row["per_stature"]), bool(row["per_wrist_height"])): row for row in rows}
    assert len(keyed) == len(rows), "two rows answer the same question"
    return keyed


def test_the_survey_is_complete(people):
    assert (people["sex"] == "M").sum() == 4082
    assert (people["sex"] == "F").sum() == 1986


def test_regression_table_is_refitted(people):
    rows = table_rows()
    groups = {"man": people["sex"] == "M", "woman": people["sex"] == "F", "unknown": np.ones(len(people["sex"]), bool)}
    measures = {"per_stature": people["stature"], "per_wrist_height": people["wristheight"]}
    models = [("per_stature",), ("per_wrist_height",), ("per_stature", "per_wrist_height")]
    hand_height = stand_in(people)
    worst, compared = dict.fromkeys(HALF_DIGIT, 0.0), 0
    for who, chosen in groups.items():
        for used in models:
            row = rows.pop((who, "per_stature" in used, "per_wrist_height" in used))
            assert row["kind"] == "derived"
            columns = np.column_stack([measures[name][chosen] for name in used])
            fit = sm.OLS(hand_height[chosen], sm.add_constant(columns)).fit()
            # mse_resid divides by n - p, p counting the intercept
            fitted = dict(zip(("intercept_mm", *used), fit.params)) | {"residual_sd_mm": np.sqrt(fit.mse_resid)}
            for name, want in fitted.items():
                worst[name] = max(worst[name], abs(float(row[name]) - want))
                assert abs(float(row[name]) - want) <= HALF_DIGIT[name] + FIT_ROUNDING, (who, used, name, want)
                compared += 1
    assert not rows, f"rows that nobody refits: {list(rows)}"
    assert compared == 3 * (3 + 3 + 4)
    print(f"{compared} numbers refitted; largest difference: " + ", ".join(f"{k} {v:.1e}" for k, v in worst.items()))


def test_the_length_rule_over_all_men(people, calc):
    """The rule must put the average man of the survey on the nominal six-iron, within 0.1 in.

    0.1 in is what the stand-in's own uncertainty in k amounts to (slope 0.25, 0.027 of a 7.6 in hand: 0.05 in,
    one standard uncertainty, so two of them). Bare feet, as measured; a shoe would add to every reading.
    """
    men = people["sex"] == "M"
    means = {}
    for share in (0.66, HAND_SHARE, 0.74):
        heights = stand_in(people, share)[men] / MM_PER_INCH
        answers = calc("length", [{"knuckle_height_in": height} for height in heights])
        lengths = np.array([answer["six_iron_length_in"] for answer in answers])
        means[share] = lengths.mean()
        print(
            f"k = {share:.2f}: {men.sum()} men, hand height mean {heights.mean():.3f} in;"
            f" six-iron mean {lengths.mean():.3f} in, middle 90 percent {np.quantile(lengths, 0.05):.2f}"
            f" to {np.quantile(lengths, 0.95):.2f} in"
        )
    assert abs(means[HAND_SHARE] - NOMINAL_SIX_IRON_IN) < 0.1


def test_half_width_of_a_target(calc):
    """80 in 100: readings that scatter, carried through the rule, and the rule's own scatter, in quadrature."""
    readings = [
        [29.25],
        [26.0],
        [29.25, 29.125],
        [29.25, 29.125, 29.25],
        [28.0, 28.5, 29.0],
        [27.0, 28.0],
        [30.0, 30.75, 30.25, 31.0],
        [25.5, 25.5, 25.5, 25.5, 25.5],
        [28.1, 28.7, 28.3, 28.9, 28.2, 28.6],
    ]
    quantile = stats.norm.ppf(0.9)  # 80 in 100 between the 10th and the 90th
    worst = 0.0
    for seen, answer in zip(readings, calc("length", [{"knuckle_height_in": seen} for seen in readings])):
        spread = np.std(seen, ddof=1) if len(seen) > 1 else 0.0
        of_mean = max(spread, LEAST_READING_SD_IN) / np.sqrt(len(seen))
        want = quantile * np.hypot(RULE_SLOPE * of_mean, RULE_SD_IN)
        worst = max(worst, abs(answer["half_width_80_in"] - want))
    print(f"{len(readings)} sets of readings, largest difference of the half width: {worst:.1e} in")
    assert worst < 1e-9  # one closed formula on both sides: rounding only
