//! `lengthwise trial`: the order sheets of a strike trial, and what its strikes say.

use crate::commands::serve::runtime;
use crate::output::{print, print_json, read};
use crate::report::trial::{analysis_report, plan_report};
use crate::{Failure, Stop};
use ball::flight::Conditions;
use ball::impact::{HeadWanted, IronBuild, head_of_club};
use ball::strike_map::StrikeMap;
use ball::unknowns::{Setup, Unknowns};
use ball::usual_delivery::usual_delivery;
use clap::ValueEnum;
use club::{ClubKind, typical};
use exchange::{Decimals, LARGEST_TABLE, Source, StrikeFile, Table, read_strikes};
use quantity::{Angle, Length, Speed};
use serde_json::{Value, json};
use sheet::DistanceUnit;
use std::path::PathBuf;
use studio::InYards;
use trial::{
    Analysis, Judging, Kind, LengthBelief, Plan, Response, ResponseSlope, Settings, Strike, Strikes,
    response_slopes,
};
use web::{Apart, read_table};

/// Arguments of `trial`.
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, clap::Subcommand)]
enum What {
    /// Print the order sheet of every visit
    Plan(PlanArguments),
    /// Say which length the strikes of a file speak for, and how sure that is
    Analyse(AnalyseArguments),
}

/// How the trial is spread over visits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Spread {
    /// Six lessons, twelve counted balls each, three lengths
    Lessons,
    /// Four lessons, twelve counted balls each, three lengths
    Quick,
    /// Three days for the trial alone, forty balls each, five lengths
    Dedicated,
}

#[derive(Debug, clap::Args)]
struct PlanArguments {
    /// How the balls are spread
    #[arg(long, value_enum, default_value_t = Spread::Lessons)]
    spread: Spread,
    /// Lengths to try, as offsets from the rule's, with commas between: "-1/2 in, 0, 1/2 in"
    #[arg(long, value_name = "LENGTHS", allow_hyphen_values = true)]
    lengths: Option<String>,
    /// Visits on different days
    #[arg(long)]
    visits: Option<usize>,
    /// Times every length comes round in a visit
    #[arg(long)]
    rounds: Option<usize>,
    /// Balls hit in a row before the club is changed
    #[arg(long, value_name = "BALLS")]
    in_a_row: Option<usize>,
    /// Seed of orders and code: the same seed gives the same sheets
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Print one JSON document instead of text
    #[arg(long)]
    json: bool,
}

/// Whether the rule's length is believed to be near right before the trial.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Rule {
    On,
    Off,
}

#[derive(Debug, clap::Args)]
struct AnalyseArguments {
    /// The strike file (CSV or a workbook, .xlsx), or - for standard input
    strikes: PathBuf,
    /// Of a workbook, the sheet to read; the first when not given
    #[arg(long, value_name = "NAME")]
    sheet: Option<String>,
    /// Whether the rule's length is believed to be near right
    #[arg(long, value_enum, default_value_t = Rule::On)]
    rule: Rule,
    /// How much longer than the rule's the length that suits is expected to be, as the studio's own trials have it
    #[arg(long, default_value = "0 in", value_name = "LENGTH", allow_hyphen_values = true)]
    rule_error: String,
    /// How far golfers stray from that, as a standard deviation
    #[arg(long, default_value = "0.35 in", value_name = "LENGTH")]
    rule_spread: String,
    /// Lie of the test clubs, for the share of a change the body makes up
    #[arg(long, default_value = "62 deg", value_name = "ANGLE")]
    lie: String,
    /// How well the place of the sweet spot is known, as a standard deviation
    #[arg(long, default_value = "1 mm", value_name = "LENGTH")]
    sweet_spot: String,
    /// Head speed with the club that was tried: then the strikes are judged by where the balls come down as well
    #[arg(long, value_name = "SPEED")]
    head_speed: Option<String>,
    /// The club that was tried, for its head and loft
    #[arg(long, default_value = "7 iron", value_name = "CLUB")]
    club: String,
    /// Its loft; a usual one when not given
    #[arg(long, value_name = "ANGLE")]
    loft: Option<String>,
    /// The file is written with decimal commas
    #[arg(long)]
    decimal_commas: bool,
    /// Seed of the shuffles
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Print one JSON document instead of text
    #[arg(long)]
    json: bool,
}

/// Plans or analyses.
pub(crate) fn run(arguments: &Arguments) -> Result<(), Stop> {
    match &arguments.what {
        What::Plan(plan) => answer(plan.json, planned(plan), plan_json, plan_report),
        What::Analyse(analyse) => answer(analyse.json, analysed(analyse), Analysed::json, Analysed::report),
    }
}

/// Prints an answer or a refusal, as text or as JSON.
fn answer<T>(
    as_json: bool,
    found: Result<T, Failure>,
    document: impl Fn(&T) -> Value,
    report: impl Fn(&T) -> String,
) -> Result<(), Stop> {
    match found {
        Ok(found) if as_json => print_json(&document(&found)),
        // a terminal and what reads it expect the plain sign
        Ok(found) => print(&report(&found).replace('\u{2212}', "-")),
        Err(failure) if as_json => {
            let code = failure.kind.exit_code();
            print_json(&json!({ "error": failure }))?;
            Err(Stop::Told(code))
        }
        Err(failure) => Err(failure.into()),
    }
}

fn planned(arguments: &PlanArguments) -> Result<Plan, Failure> {
    let usual = match arguments.spread {
        Spread::Lessons => Plan::lessons(arguments.seed),
        Spread::Quick => Plan::quick(arguments.seed),
        Spread::Dedicated => Plan::dedicated(arguments.seed),
    };
    let offsets_in = match &arguments.lengths {
        None => usual.offsets_in.clone(),
        Some(lengths) => lengths
            .split(',')
            .map(|length| Ok(Length::parse(length.trim())?.as_inches()))
            .collect::<Result<Vec<f64>, Failure>>()
            .map_err(|failure| failure.field("--lengths"))?,
    };
    let plan = Plan {
        offsets_in,
        visits: arguments.visits.unwrap_or(usual.visits),
        rounds: arguments.rounds.unwrap_or(usual.rounds),
        balls_in_a_row: arguments.in_a_row.unwrap_or(usual.balls_in_a_row),
        ..usual
    };
    plan.check()?;
    Ok(plan)
}

fn plan_json(plan: &Plan) -> Value {
    let code = plan.code();
    let visits: Vec<Value> = plan
        .orders()
        .iter()
        .enumerate()
        .map(|(visit, order)| {
            let turns: Vec<Value> = order
                .lengths
                .iter()
                .map(|length| json!({ "club": code[*length], "offset_in": plan.offsets_in[*length], "balls": plan.balls_in_a_row }))
                .collect();
            json!({
                "visit": visit + 1,
                "turns": turns,
                "balance": {
                    "repeats": order.balance.repeats,
                    "with_length": order.balance.with_length,
                    "with_square": order.balance.with_square,
                },
            })
        })
        .collect();
    let code: serde_json::Map<String, Value> = code
        .iter()
        .zip(&plan.offsets_in)
        .map(|(letter, offset)| (letter.to_string(), json!(offset)))
        .collect();
    json!({ "version": 1, "seed": plan.seed, "balls_a_visit": plan.balls_a_visit(), "code": code, "visits": visits })
}

/// A file worked through.
struct Analysed {
    analysis: Analysis,
    responses: Vec<(Response, ResponseSlope)>,
    in_yards: Option<(StrikeMap, InYards)>,
    passed_over: Vec<String>,
    /// The sheet of a workbook they stood on.
    sheet: Option<String>,
}

fn analysed(arguments: &AnalyseArguments) -> Result<Analysed, Failure> {
    let bytes = read(&arguments.strikes, LARGEST_TABLE)?;
    let table = table_of(bytes, arguments.sheet.as_deref())?;
    let decimals = if arguments.decimal_commas { Decimals::Comma } else { Decimals::Point };
    let StrikeFile { balls, passed_over } =
        read_strikes(&table, decimals).map_err(|error| on(&table.source, error.into()))?;
    let sheet = match &table.source {
        Source::Text { .. } => None,
        Source::Sheet { name, .. } => Some(name.clone()),
    };
    let strikes: Vec<Strike> = balls.iter().map(|(strike, _)| *strike).collect();
    let lie = Angle::parse(&arguments.lie).map_err(|error| Failure::from(error).field("--lie"))?;
    let sweet_spot = length_of("--sweet-spot", &arguments.sweet_spot)?;
    let belief = match arguments.rule {
        Rule::On => LengthBelief::Rule {
            mean_in: length_of("--rule-error", &arguments.rule_error)?.as_inches(),
            sd_in: length_of("--rule-spread", &arguments.rule_spread)?.as_inches(),
        },
        Rule::Off => LengthBelief::NoRule,
    };
    belief.check()?;
    let settings = Settings {
        belief,
        judging: Judging { sweet_spot_sd: [sweet_spot.as_mm(); 2], ..Judging::default() },
        lie_deg: lie.as_degrees(),
        seed: arguments.seed,
        ..Settings::default()
    };
    let map = strike_map(arguments)?;
    let analysis = Analysis::of(Strikes::new(strikes)?, settings)?;
    let in_yards = match map {
        Some(map) if analysis.decision.kind != Kind::CannotSay => {
            let judged = InYards::of(&analysis, &map)?;
            Some((map, judged))
        }
        _ => None,
    };
    Ok(Analysed { analysis, in_yards, responses: response_slopes(&balls), passed_over, sheet })
}

/// The table of a file; a workbook is read in a process apart.
fn table_of(bytes: Vec<u8>, sheet: Option<&str>) -> Result<Table, Failure> {
    let apart = std::env::current_exe().ok().map(Apart::of);
    Ok(runtime()?.block_on(read_table(apart.as_ref(), bytes, sheet))?)
}

/// A failure with the sheet it lies on.
fn on(source: &Source, failure: Failure) -> Failure {
    match source {
        Source::Text { .. } => failure,
        Source::Sheet { name, .. } => {
            Failure { message: format!("sheet \"{name}\", {}", failure.message), ..failure }
        }
    }
}

/// What strikes cost with the club that was tried, where its head speed was given.
fn strike_map(arguments: &AnalyseArguments) -> Result<Option<StrikeMap>, Failure> {
    let Some(typed) = &arguments.head_speed else { return Ok(None) };
    let speed = Speed::parse(typed).map_err(|error| Failure::from(error).field("--head-speed"))?;
    let kind = ClubKind::from_name(&arguments.club).map_err(|error| Failure::from(error).field("--club"))?;
    let loft = arguments.loft.as_deref().map(Angle::parse).transpose();
    let loft = loft.map_err(|error| Failure::from(error).field("--loft"))?;
    let wanted = HeadWanted { kind, build: IronBuild::default(), static_loft: loft, head_mass: None };
    let head = head_of_club(&wanted).map_err(|error| Failure::from(error).field("--club"))?.head;
    let static_loft_deg = loft.unwrap_or(typical(kind).loft).as_degrees();
    let setup = Setup {
        head,
        delivery: usual_delivery(kind, static_loft_deg, speed.as_metres_per_second()),
        conditions: Conditions::default(),
    };
    let unknowns = Unknowns::with_head_speed_known_to(Unknowns::HEAD_SPEED_MEASURED);
    StrikeMap::of(&setup, &unknowns).map(Some).map_err(|error| Failure::from(error).field("--head-speed"))
}

fn length_of(option: &str, text: &str) -> Result<Length, Failure> {
    Length::parse(text).map_err(|error| Failure::from(error).field(option))
}

impl Analysed {
    fn json(&self) -> Value {
        let mut document = sheet::trial_json(&self.analysis, &self.responses);
        document["in_yards"] = json!(self.in_yards.as_ref().map(|(map, judged)| json!({
            "length_in": judged.decision.length_in,
            "differs": judged.differs_from(&self.analysis.decision),
            "near_enough_m": judged.near_enough_m,
            "gain_of_in": judged.length_in,
            "gain_m": judged.gain_m,
            "gain_sd_m": judged.gain_spread.sd,
            "carry_m": map.centred.carry_m(),
            "carry_sd_m": map.carry_spread.sd,
            "text": judged.words(&self.analysis, map.carry_spread, DistanceUnit::Yards).join(" ").replace('\u{2212}', "-"),
        })));
        document["columns_passed_over"] = json!(self.passed_over);
        document["sheet"] = json!(self.sheet);
        document
    }

    fn report(&self) -> String {
        let in_yards = self
            .in_yards
            .as_ref()
            .map(|(map, judged)| judged.words(&self.analysis, map.carry_spread, DistanceUnit::Yards));
        let notes: Vec<String> = self.notes().collect();
        analysis_report(&self.analysis, &self.responses, &in_yards.unwrap_or_default(), &notes)
    }

    /// What was read of the file, and what was not.
    fn notes(&self) -> impl Iterator<Item = String> {
        let sheet = self.sheet.as_ref().map(|sheet| format!("Read from the sheet \"{sheet}\"."));
        let passed_over = (!self.passed_over.is_empty())
            .then(|| format!("Columns passed over: {}.", self.passed_over.join(", ")));
        sheet.into_iter().chain(passed_over)
    }
}

impl From<trial::TrialError> for Failure {
    fn from(error: trial::TrialError) -> Self {
        Self::bad_input(error.to_string()).hint(error.hint())
    }
}

impl From<exchange::ExchangeError> for Failure {
    fn from(error: exchange::ExchangeError) -> Self {
        let hint = match &error {
            exchange::ExchangeError::DecimalCommas { .. } => {
                format!("{} Here: --decimal-commas.", error.hint())
            }
            _ => error.hint(),
        };
        Self::bad_input(error.to_string()).hint(hint)
    }
}
