//! `trial` as a teacher and a script use it: order sheets, verdicts, and files that are no strikes.

use crate::common::{err, lengthwise, out};
use serde_json::Value;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::Output;

const HEADER: &str = "session,order,offset_in,x_mm,y_mm\n";

fn strikes(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../trial/tests/trials").join(name)
}

fn text_of(name: &str) -> String {
    std::fs::read_to_string(strikes(name)).unwrap()
}

/// Analyses what comes on standard input.
fn analyse(input: &[u8], more: &[&str]) -> Output {
    let mut arguments = vec!["trial", "analyse", "-"];
    arguments.extend(more);
    lengthwise(&arguments, input)
}

fn document(output: &Output) -> Value {
    serde_json::from_str(&out(output)).unwrap()
}

/// The refusal of an input, after its exit code and both ways of telling it were looked at.
fn refusal(input: &[u8], more: &[&str]) -> String {
    let plain = analyse(input, more);
    assert_eq!(plain.status.code(), Some(2), "{}{}", out(&plain), err(&plain));
    assert!(out(&plain).is_empty(), "{}", out(&plain));
    let mut as_json = more.to_vec();
    as_json.push("--json");
    let told = analyse(input, &as_json);
    assert_eq!(told.status.code(), Some(2));
    let error = &document(&told)["error"];
    assert!(!error["hint"].as_str().unwrap_or_default().is_empty(), "{error}");
    assert!(err(&plain).contains("Hint"), "{}", err(&plain));
    let message = error["message"].as_str().unwrap().to_owned();
    // lines are broken for the terminal
    let on_one_line = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(on_one_line(&err(&plain)).contains(&on_one_line(&message)), "{message}\n{}", err(&plain));
    format!("{message} {}", error["hint"].as_str().unwrap())
}

#[test]
fn a_plan_is_printed_with_its_code_last() {
    let text = out(&lengthwise(&["trial", "plan", "--seed", "5"], b""));
    assert!(text.starts_with("TRIAL 6 visits on different days, 12 counted balls each"), "{text}");
    let (sheets, code) = text.split_once("The code, for after the last visit (seed 5):").unwrap();
    assert!(code.contains("the rule's length") && code.contains("+1/2 in"), "{code}");
    // six visits of six turns, by letter only
    let turns = |line: &str| line.split_whitespace().filter(|word| ["A", "B", "C"].contains(word)).count();
    assert_eq!(sheets.lines().filter(|line| turns(line) == 6).count(), 6, "{sheets}");
    assert_eq!(text, out(&lengthwise(&["trial", "plan", "--seed", "5"], b"")));
    assert_ne!(text, out(&lengthwise(&["trial", "plan", "--seed", "6"], b"")));
}

#[test]
fn a_plan_as_json_brings_every_length_equally_often() {
    let arguments = [
        "trial",
        "plan",
        "--lengths",
        "-3/8 in, 0, 3/8 in, 3/4 in",
        "--visits",
        "3",
        "--rounds",
        "2",
        "--in-a-row",
        "3",
        "--json",
    ];
    let plan = document(&lengthwise(&arguments, b""));
    assert_eq!((&plan["version"], &plan["seed"], &plan["balls_a_visit"]), (&1.into(), &1.into(), &24.into()));
    let code = plan["code"].as_object().unwrap();
    assert_eq!(code.keys().collect::<Vec<_>>(), ["A", "B", "C", "D"]);
    let visits = plan["visits"].as_array().unwrap();
    assert_eq!(visits.len(), 3);
    for visit in visits {
        let turns = visit["turns"].as_array().unwrap();
        assert_eq!(turns.len(), 8);
        for (letter, offset) in code {
            let of_club: Vec<&Value> = turns.iter().filter(|turn| turn["club"] == letter.as_str()).collect();
            assert_eq!(of_club.len(), 2);
            assert!(of_club.iter().all(|turn| turn["offset_in"] == *offset && turn["balls"] == 3));
        }
        assert_eq!(visit["balance"]["repeats"], 0);
    }
}

#[test]
fn a_plan_that_cannot_be_hit_is_refused() {
    for (arguments, says) in [
        (["--lengths", "0"], "number of lengths"),
        (["--lengths", "0, 2 in"], "-1 to 1 in"),
        (["--lengths", "0, half"], "half"),
        (["--visits", "0"], "visits"),
        (["--rounds", "11"], "rounds"),
        (["--in-a-row", "6"], "in a row"),
    ] {
        let output = lengthwise(&["trial", "plan", arguments[0], arguments[1]], b"");
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(err(&output).contains(says), "{arguments:?}: {}", err(&output));
    }
}

#[test]
fn a_verdict_is_read_as_text() {
    let output = lengthwise(&["trial", "analyse", strikes("open-1.csv").to_str().unwrap()], b"");
    let text = out(&output);
    assert!(output.status.success(), "{}", err(&output));
    // the reference suite finds the same eighth from a dense grid
    assert!(text.starts_with("LENGTH +3/8 in"), "{text}");
    assert!(text.contains("8 in 10 or more"), "{text}");
    assert!(text.contains("120 balls on 3 days, 5 lengths"), "{text}");
    // one row a length in the table below
    for length in ["-1/2 in", "-1/4 in", "the rule's length", "+1/4 in", "+1/2 in"] {
        assert!(
            text.lines().any(|line| line.trim_start().starts_with(length) && line.ends_with("mm²")),
            "{length}: {text}"
        );
    }
}

#[test]
fn a_verdict_as_json_has_every_key() {
    let file = strikes("open-5.csv");
    let analysis = document(&lengthwise(&["trial", "analyse", file.to_str().unwrap(), "--json"], b""));
    assert_eq!(
        (&analysis["version"], &analysis["balls"], &analysis["days"]),
        (&1.into(), &150.into(), &3.into())
    );
    assert_eq!(analysis["offsets_in"], serde_json::json!([-0.5, -0.25, 0.0, 0.25, 0.5]));
    let verdict = &analysis["verdict"];
    assert_eq!(verdict["kind"], "change");
    assert_eq!(verdict["length_in"], -0.375);
    for key in
        ["expected_gain_mm2", "expected_gain_m", "odds_better", "odds_clearly_worse", "odds_within_eighth"]
    {
        assert!(verdict[key].is_f64(), "{key}: {verdict}");
    }
    assert!(verdict["text"].as_str().unwrap().starts_with("Build -3/8 in"));
    assert!(verdict["warnings"].is_array());
    for model in ["normal", "rule", "t4"] {
        let model = &analysis["models"][model];
        for name in ["a", "b", "su", "sv", "sigma"]
            .iter()
            .flat_map(|name| [format!("{name}_x"), format!("{name}_y")])
            .chain(["dstar".to_owned()])
        {
            let of = &model[&name];
            assert!(of["mean"].is_f64() && of["sd"].as_f64().unwrap() > 0.0, "{name}: {of}");
            let at = |p: &str| of["q"][p].as_f64().unwrap();
            let quantiles = ["0.025", "0.1", "0.5", "0.9", "0.975"].map(at);
            assert!(quantiles.is_sorted(), "{name}: {quantiles:?}");
        }
        for key in ["p_best", "p_near_best", "expected_excess_loss_mm2"] {
            assert_eq!(model[key].as_array().unwrap().len(), 5);
        }
        let all: f64 = model["p_best"].as_array().unwrap().iter().map(|odds| odds.as_f64().unwrap()).sum();
        assert!((all - 1.0).abs() < 1e-9);
        assert!(model["choice_in"].is_f64());
    }
    assert!(analysis["t4_evidence"]["x"].is_f64() && analysis["t4_evidence"]["y"].is_f64());
    let share = &analysis["make_up_share"];
    assert!(share["q"]["0.1"].as_f64().unwrap() < share["mean"].as_f64().unwrap());
    assert!(share["mean"].as_f64().unwrap() < share["q"]["0.9"].as_f64().unwrap());
    assert!(analysis["next_day"]["expected_gain_mm2"].as_f64().unwrap() >= 0.0);
    assert!(analysis["next_day"]["odds_within_eighth_after"].is_f64());
    assert_eq!(analysis["permutation_p"], 0.001);
}

#[test]
fn without_the_rule_the_answer_says_so_and_another_sweet_spot_widens_the_odds() {
    let text = text_of("open-1.csv");
    let with = document(&analyse(text.as_bytes(), &["--json"]));
    let without = document(&analyse(text.as_bytes(), &["--rule", "off", "--json"]));
    assert_eq!(with["without_rule"]["expected_gain_mm2"], without["verdict"]["expected_gain_mm2"]);
    let doubtful = document(&analyse(text.as_bytes(), &["--sweet-spot", "5 mm", "--json"]));
    let within = |analysis: &Value| analysis["verdict"]["odds_within_eighth"].as_f64().unwrap();
    // 5 mm of height move what suits by more than an eighth
    assert!(within(&doubtful) < within(&with) - 0.1, "{} {}", within(&doubtful), within(&with));
}

#[test]
fn too_few_balls_are_no_error_and_no_length() {
    let few: String = text_of("open-1.csv").lines().take(6).collect::<Vec<_>>().join("\n");
    let output = analyse(few.as_bytes(), &["--json"]);
    assert!(output.status.success(), "{}", out(&output));
    let analysis = document(&output);
    assert_eq!(
        (&analysis["verdict"]["kind"], &analysis["verdict"]["length_in"]),
        (&"cannot_say".into(), &0.0.into())
    );
    assert!(analysis["models"]["t4"].is_null());
    let text = out(&analyse(few.as_bytes(), &[]));
    assert!(text.starts_with("LENGTH Cannot say yet") && text.contains("5 balls"), "{text}");
}

#[test]
fn line_ends_and_a_byte_order_mark_change_nothing() {
    let text = text_of("open-2.csv");
    let plain = out(&analyse(text.as_bytes(), &["--json"]));
    for other in [
        text.replace('\n', "\r\n"),
        format!("\u{feff}{text}"),
        format!("\u{feff}{}", text.replace('\n', "\r\n")),
    ] {
        assert_eq!(plain, out(&analyse(other.as_bytes(), &["--json"])));
    }
}

#[test]
fn decimal_commas_are_refused_with_an_offer_and_taken_when_asked_for() {
    let text = text_of("open-2.csv");
    let commas = text.replace(',', ";").replace('.', ",");
    let refused = refusal(commas.as_bytes(), &[]);
    assert!(refused.contains("line 2") && refused.contains("--decimal-commas"), "{refused}");
    assert_eq!(
        out(&analyse(commas.as_bytes(), &["--decimal-commas", "--json"])),
        out(&analyse(text.as_bytes(), &["--json"]))
    );
}

#[test]
fn what_is_no_strike_file_is_refused_with_its_place() {
    let good = text_of("open-4.csv");
    let with = |row: &str| format!("{HEADER}1,1,0.5,7.8,-8.2\n{row}\n");
    let half_a_row = good.trim_end().rsplit_once(',').unwrap().0.to_owned();
    for (input, says) in [
        (good.replacen("y_mm", "height", 1), vec!["y_mm"]),
        (good.replacen("offset_in", "offset_cm", 1), vec!["offset_in"]),
        (with("1,2,0.5,7.8 deg,3"), vec!["line 3", "x_mm", "7.8 deg"]),
        (with("1,2,0.5,7.8,1e308"), vec!["ball 2", "80 mm"]),
        (with("1,2,1e308,7.8,1"), vec!["ball 2", "1.5 in"]),
        (with("1,2,0.5,NaN,1"), vec!["line 3", "NaN"]),
        (with("1,2,0.5,inf,1"), vec!["line 3", "inf"]),
        (with("1,2,0.5,1e999,1"), vec!["line 3", "1e999"]),
        (with("1,1,0.25,7,1"), vec!["session 1", "ball 1 twice"]),
        (with("1,-2,0.25,7,1"), vec!["line 3", "-2"]),
        (half_a_row, vec!["61"]),
        (String::new(), vec!["found nothing"]),
    ] {
        let refused = refusal(input.as_bytes(), &[]);
        for word in says {
            assert!(refused.contains(word), "{word}: {refused}");
        }
    }
    let binary: Vec<u8> = (0..4096_u32).map(|byte| u8::try_from(byte * 7 % 256).unwrap()).collect();
    assert!(!refusal(&binary, &[]).is_empty());
}

#[test]
fn another_unit_is_refused_with_a_way_out() {
    let rows = text_of("open-3.csv");
    let changed = |offset: f64, mark: f64| {
        let mut text = HEADER.to_owned();
        for row in rows.lines().skip(1) {
            let cells: Vec<&str> = row.split(',').collect();
            let number = |at: usize| cells[at].parse::<f64>().unwrap();
            writeln!(
                text,
                "{},{},{},{},{}",
                cells[0],
                cells[1],
                number(2) * offset,
                number(3) * mark,
                number(4) * mark
            )
            .unwrap();
        }
        text
    };
    for (text, says) in [
        (changed(2.54, 1.0), "centimetres"),
        (changed(25.4, 1.0), "1.5 in"),
        (changed(1.0, 0.1), "millimetres"),
        (changed(1.0, 1.0 / 25.4), "millimetres"),
    ] {
        let refused = refusal(text.as_bytes(), &[]);
        assert!(refused.contains(says), "{refused}");
    }
}

/// Far more rows than anyone hits end in a refusal, soon.
#[test]
fn a_million_rows_are_refused_within_seconds() {
    let mut text = HEADER.to_owned();
    for row in 0..1_000_000 {
        writeln!(text, "{},{},0.5,{}.5,1.25", row / 40 + 1, row % 40 + 1, row % 17).unwrap();
    }
    let start = std::time::Instant::now();
    let output = analyse(text.as_bytes(), &[]);
    assert_eq!(output.status.code(), Some(2), "{}", err(&output));
    assert!(err(&output).contains("Hint"), "{}", err(&output));
    assert!(start.elapsed().as_secs() < 10, "{:?}", start.elapsed());
}

#[test]
fn settings_that_cannot_be_name_their_option() {
    let text = text_of("open-4.csv");
    for (option, value, says) in [
        ("--lie", "62 in", "--lie"),
        ("--lie", "20 deg", "lie"),
        ("--sweet-spot", "a bit", "--sweet-spot"),
        ("--sweet-spot", "2 in", "sweet spot"),
    ] {
        let output = analyse(text.as_bytes(), &[option, value, "--json"]);
        assert_eq!(output.status.code(), Some(2), "{option} {value}");
        assert!(document(&output)["error"].to_string().contains(says), "{option} {value}: {}", out(&output));
    }
    let missing = lengthwise(&["trial", "analyse", "no-such-file.csv"], b"");
    assert!(missing.status.code().is_some_and(|code| code > 2), "{missing:?}");
    assert!(err(&missing).contains("no-such-file.csv"));
}

#[test]
fn what_was_read_besides_is_told_beside_the_answer() {
    let (mut with_speed, mut without) = (String::new(), String::new());
    for (place, line) in text_of("open-1.csv").lines().enumerate() {
        let cells: Vec<&str> = line.split(',').take(5).collect();
        let speed = match place {
            0 => "ball_speed_mps".to_owned(),
            // a slope of 0.4 m/s an inch with a scatter that repeats
            _ => {
                let offset: f64 = cells[2].parse().unwrap();
                format!(
                    "{:.3}",
                    48.0 + 0.4 * offset + f64::from(u32::try_from(place * place * 31 % 17).unwrap()) * 0.01
                )
            }
        };
        let _ = writeln!(with_speed, "{},{speed}", cells.join(","));
        let _ = writeln!(without, "{}", cells.join(","));
    }
    let told = document(&analyse(with_speed.as_bytes(), &["--json"]));
    let change = &told["change_per_quarter_inch"]["ball_speed"];
    assert_eq!(change["unit"], "m/s");
    assert!((change["mean"].as_f64().unwrap() - 0.1).abs() < 0.02, "{change}");
    let text = out(&analyse(with_speed.as_bytes(), &[]));
    assert!(text.contains("Ball speed changes by +0.2 mph a quarter inch longer"), "{text}");
    // and the decision is the same with it and without
    let without = document(&analyse(without.as_bytes(), &["--json"]));
    assert_eq!(without["verdict"], told["verdict"]);
    assert_eq!(without["change_per_quarter_inch"], serde_json::json!({}));
}

#[test]
fn a_head_speed_brings_what_the_strikes_are_worth_in_yards() {
    let file = text_of("open-1.csv");
    let plain = document(&analyse(file.as_bytes(), &["--json"]));
    assert_eq!(plain["in_yards"], Value::Null);
    let told = document(&analyse(file.as_bytes(), &["--head-speed", "80 mph", "--loft", "34 deg", "--json"]));
    let in_yards = &told["in_yards"];
    assert_eq!(told["verdict"], plain["verdict"], "the verdict itself goes by millimetres");
    assert_eq!(in_yards["gain_of_in"], plain["verdict"]["length_in"]);
    let number = |key: &str| in_yards[key].as_f64().unwrap_or_else(|| panic!("{in_yards}"));
    // a seven-iron at 80 mph: 132 m from the middle of the face, worked out elsewhere
    assert!((number("carry_m") - 132.4).abs() < 2.5, "{in_yards}");
    assert!(
        number("gain_m") > number("near_enough_m") && number("gain_sd_m") < number("gain_m"),
        "{in_yards}"
    );
    let text = out(&analyse(file.as_bytes(), &["--head-speed", "80 mph"]));
    assert!(
        text.split_whitespace().collect::<Vec<_>>().join(" ").contains("Judged by where the balls come down"),
        "{text}"
    );
    for (more, expected) in [
        (["--head-speed", "800 mph"], "800"),
        (["--head-speed", "fast"], "speed"),
        (["--head-speed", "300 mph"], "0.5 to 80"),
    ] {
        assert!(refusal(file.as_bytes(), &more).contains(expected), "{more:?}");
    }
    assert!(refusal(file.as_bytes(), &["--head-speed", "80 mph", "--club", "putter"]).contains("putter"));
}
