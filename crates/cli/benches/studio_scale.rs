//! A large studio: how long pages, the search, the start and 20 writers at once take, and how much memory.
//!
//! `cargo bench -p cli --bench studio_scale` on a SQLite file; with `LENGTHWISE_TEST_POSTGRES` naming a server, on a
//! database of its own there too (`.ci/with-postgres cargo bench ...` brings one). Everything goes through the real
//! program over HTTP.
#![expect(clippy::unwrap_used, reason = "a benchmark that cannot run has nothing to time")]
#![expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]

use bench::PartKind;
use fitting::{Handedness, Shoes};
use jiff::civil::date;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use store::{Address, Store};
use studio::{
    Changes, Dossier, Field, GolferFile, HouseSettings, Id, JobFile, JobState, Kept, OwnedClub, PartUse,
    Reading, StockMove, StockWhy, StockedPart, Units,
};

const GOLFERS: usize = 10_000;
const CLUBS: [&str; 12] = [
    "driver", "3 wood", "5 wood", "4 iron", "5 iron", "6 iron", "7 iron", "8 iron", "9 iron", "PW", "SW",
    "putter",
];
const JOBS: usize = 6;
const PARTS: usize = 100;
const NOW: i64 = 1_793_700_000_000;
const WRITERS: usize = 20;
const WRITES: usize = 250;

fn main() {
    let golfers: usize =
        std::env::var("GOLFERS").ok().and_then(|typed| typed.parse().ok()).unwrap_or(GOLFERS);
    let folder = tempfile::tempdir().unwrap();
    let file = Address::File(folder.path().join("studio.db"));
    measure("SQLite", &file.to_string(), &file, golfers);
    if let Ok(url) = std::env::var("LENGTHWISE_TEST_POSTGRES") {
        let name = format!("bench{}", uuid::Uuid::now_v7().simple());
        let (base, _) = url.rsplit_once('/').unwrap();
        assert!(
            Command::new("psql")
                .args([&url, "-qc", &format!("CREATE DATABASE {name}")])
                .status()
                .unwrap()
                .success()
        );
        let url = format!("{base}/{name}");
        measure("PostgreSQL", &url, &Address::parse(&url), golfers);
    }
}

fn measure(server: &str, data: &str, address: &Address, golfers: usize) {
    let began = Instant::now();
    let ids = tokio::runtime::Runtime::new().unwrap().block_on(filled(address, golfers));
    println!(
        "{server}: {golfers} golfers, {} clubs, {} jobs, {} moves of the shelf, filled in {:.0?}",
        golfers * CLUBS.len(),
        golfers * JOBS,
        golfers * JOBS * 2,
        began.elapsed()
    );
    let (mut program, started) = Program::start(data);
    println!("  start to first answer  {started:.0?}");
    let some = |place: usize| &ids[place * 7919 % ids.len()];
    let pages: [(&str, &dyn Fn(usize) -> String); 7] = [
        ("studio", &|_| "/".to_owned()),
        ("golfer", &|place| format!("/golfers/{}", some(place))),
        ("clubs", &|place| format!("/golfers/{}/clubs", some(place))),
        ("target", &|place| format!("/golfers/{}/target", some(place))),
        ("job", &|place| format!("/golfers/{}/job", some(place))),
        ("shelf", &|_| "/shelf".to_owned()),
        ("search", &|place| format!("/search?q=golfer+{}", place * 37 % golfers)),
    ];
    for (name, path) in pages {
        let mut times: Vec<Duration> = (0..200).map(|place| program.get(&path(place))).collect();
        times.sort_unstable();
        println!("  {name:<22} median {:>7.1?}, 95 % under {:>7.1?}", times[100], times[190]);
    }
    println!("  memory                 {} MB resident", program.resident_mb());
    let (elapsed, slowest) = program.write_at_once(&ids[0]);
    println!("  {WRITERS} writers x {WRITES}      {elapsed:.1?} in all, 99 % under {slowest:.1?}");
    let kept = tokio::runtime::Runtime::new().unwrap().block_on(async {
        let store = Store::open(address).await.unwrap();
        let dossier = store.dossier(&ids[0]).await.unwrap();
        dossier.readings.iter().filter(|kept| kept.record.field == Field::Stature).count()
    });
    assert_eq!(kept, WRITERS * WRITES, "every write counts once");
    println!("  and {kept} readings are there, none twice");
}

fn id() -> Id {
    Id::parse(&uuid::Uuid::now_v7().to_string()).unwrap()
}

fn reading(golfer: &Id, club: Option<&Id>, field: Field, typed: &str) -> Reading {
    let read = field.read(typed, Units::Inches).unwrap();
    Reading {
        id: id(),
        golfer: golfer.clone(),
        club: club.cloned(),
        job: None,
        field,
        typed: read.text,
        value_si: read.value_si,
        shoes: club.is_none().then_some(Shoes::On),
        instrument: None,
        by: "bench".to_owned(),
        day: date(2026, 11, 3),
        at_ms: NOW,
        removed: false,
    }
}

fn moved(part: &Id, count: i64, why: StockWhy, job: Option<&JobFile>) -> StockMove {
    StockMove {
        id: id(),
        part: part.clone(),
        count,
        piece_mg: None,
        why,
        job: job.map(|job| job.id.clone()),
        step: job.map(|job| job.uses[0].step.clone()),
        by: "bench".to_owned(),
        at_ms: NOW,
        removed: false,
    }
}

/// The shelf, with more on it than all jobs take.
async fn stocked(store: &Store) -> Vec<Id> {
    let mut changes = Changes::new(id(), "bench", "Bought");
    let mut ids = Vec::new();
    for number in 0..PARTS {
        let part = StockedPart {
            id: id(),
            kind: PartKind::Grip,
            name: format!("Grip {number}"),
            diameter_m: None,
            length_m: None,
            mass_kg: Some(0.050),
            cost: None,
            low_at: 10,
            note: None,
            removed: false,
        };
        let came = moved(&part.id, 1_000_000, StockWhy::Came, None);
        ids.push(part.id.clone());
        changes = changes.with_new(part).with_new(came);
    }
    store.save(changes, NOW).await.unwrap();
    ids
}

/// A studio of golfers with a knuckle height, twelve clubs and six jobs each, which took from the shelf twice.
async fn filled(address: &Address, golfers: usize) -> Vec<Id> {
    let store = Store::open(address).await.unwrap();
    let house = HouseSettings::usual();
    let parts = stocked(&store).await;
    let mut ids = Vec::with_capacity(golfers);
    for number in 0..golfers {
        let file = GolferFile::new(id(), &format!("Golfer {number} Nobody"), Handedness::Right).unwrap();
        let mut readings = vec![reading(&file.id, None, Field::KnuckleHeight, "31 1/8 in")];
        let mut clubs = Vec::new();
        for (place, name) in CLUBS.iter().enumerate() {
            let club = OwnedClub {
                id: id(),
                golfer: file.id.clone(),
                name: (*name).to_owned(),
                way: None,
                removed: false,
            };
            let length = if place == 11 {
                "34 in".to_owned()
            } else {
                format!("{} in", 44.0 - [0.0, 1.0, 2.0, 5.5, 6.0, 6.5, 7.0, 7.5, 8.0, 8.25, 8.5][place])
            };
            readings.push(reading(&file.id, Some(&club.id), Field::ClubLength, &length));
            readings.push(reading(&file.id, Some(&club.id), Field::Mass, "420 g"));
            clubs.push(club);
        }
        let kept =
            |list: &[Reading]| list.iter().cloned().map(|record| Kept { record, revision: 1 }).collect();
        let dossier = Dossier {
            golfer: Kept { record: file.clone(), revision: 1 },
            readings: kept(&readings),
            clubs: clubs.iter().cloned().map(|record| Kept { record, revision: 1 }).collect(),
            targets: Vec::new(),
            jobs: Vec::new(),
            ticks: Vec::new(),
            follow_ups: Vec::new(),
            visits: Vec::new(),
            trials: Vec::new(),
            strikes: Vec::new(),
            remarks: Vec::new(),
            photos: Vec::new(),
        };
        let mut changes = Changes::new(id(), "bench", "Filled").with_new(file.clone());
        changes = clubs.into_iter().fold(changes, Changes::with_new);
        changes = readings.into_iter().fold(changes, Changes::with_new);
        let job = dossier.new_job(id(), &house, date(2026, 11, 3), NOW).unwrap();
        for place in 0..JOBS {
            let state = if place == 0 && number % 500 == 0 { JobState::OnTheBench } else { JobState::Closed };
            let part = &parts[(number * JOBS + place) % PARTS];
            let used = PartUse { part: part.clone(), count: 12, step: "0.0".to_owned(), piece_mg: None };
            let promised = Some(date(2026, 11, 20));
            let job = JobFile { id: id(), state, promised, uses: vec![used], ..job.clone() };
            for count in [-5, -7] {
                changes = changes.with_new(moved(part, count, StockWhy::Used, Some(&job)));
            }
            changes = changes.with_new(job);
        }
        store.save(changes, NOW).await.unwrap();
        ids.push(file.id);
    }
    store.close().await;
    ids
}

/// The program, serving; stopped when it is dropped.
struct Program {
    child: Child,
    address: String,
    connection: BufReader<TcpStream>,
}

impl Program {
    fn start(data: &str) -> (Self, Duration) {
        let began = Instant::now();
        let mut child = Command::new(env!("CARGO_BIN_EXE_lengthwise"))
            .args(["serve", "--listen", "127.0.0.1:0", "--data", data])
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.as_mut().unwrap()).read_line(&mut line).unwrap();
        let address = line.trim().rsplit_once("http://").unwrap().1.to_owned();
        let connection = BufReader::new(TcpStream::connect(&address).unwrap());
        let mut program = Self { child, address, connection };
        program.get("/house");
        (program, began.elapsed())
    }

    fn get(&mut self, path: &str) -> Duration {
        let began = Instant::now();
        let host = &self.address;
        let request = format!("GET {path} HTTP/1.1\r\nHost: {host}\r\n\r\n");
        self.connection.get_mut().write_all(request.as_bytes()).unwrap();
        assert_eq!(answer(&mut self.connection), 200, "{path}");
        began.elapsed()
    }

    fn resident_mb(&self) -> u64 {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id())).unwrap_or_default();
        let line = status.lines().find(|line| line.starts_with("VmRSS")).unwrap_or_default();
        line.split_whitespace().nth(1).and_then(|kb| kb.parse::<u64>().ok()).unwrap_or_default() / 1024
    }

    /// Twenty clients write at once; returns the whole time and what 99 in 100 stay under.
    fn write_at_once(&self, golfer: &Id) -> (Duration, Duration) {
        let began = Instant::now();
        let writers: Vec<_> = (0..WRITERS)
            .map(|_| {
                let (address, golfer) = (self.address.clone(), golfer.clone());
                std::thread::spawn(move || writer(&address, &golfer))
            })
            .collect();
        let mut times: Vec<Duration> =
            writers.into_iter().flat_map(|writer| writer.join().unwrap()).collect();
        times.sort_unstable();
        (began.elapsed(), times[times.len() * 99 / 100])
    }
}

impl Drop for Program {
    fn drop(&mut self) {
        drop(self.child.kill());
        drop(self.child.wait());
    }
}

fn writer(address: &str, golfer: &Id) -> Vec<Duration> {
    let mut connection = BufReader::new(TcpStream::connect(address).unwrap());
    (0..WRITES)
        .map(|_| {
            let changes = Changes::new(id(), "bench", "Read").with_new(reading(golfer, None, Field::Stature, "70 in"));
            let body = serde_json::to_string(&changes).unwrap();
            let began = Instant::now();
            let request = format!(
                "POST /api/v1/changes HTTP/1.1\r\nHost: {address}\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n{body}",
                body.len()
            );
            connection.get_mut().write_all(request.as_bytes()).unwrap();
            assert_eq!(answer(&mut connection), 200);
            began.elapsed()
        })
        .collect()
}

/// Reads one answer, whole, and returns its status.
fn answer(connection: &mut BufReader<TcpStream>) -> u16 {
    let mut status = 0;
    let (mut length, mut is_chunked) = (0, false);
    loop {
        let mut line = String::new();
        connection.read_line(&mut line).unwrap();
        let line = line.trim_end().to_ascii_lowercase();
        if let Some(rest) = line.strip_prefix("http/1.1 ") {
            status = rest[..3].parse().unwrap();
        } else if let Some(rest) = line.strip_prefix("content-length: ") {
            length = rest.parse().unwrap();
        } else if line == "transfer-encoding: chunked" {
            is_chunked = true;
        } else if line.is_empty() {
            break;
        }
    }
    if is_chunked {
        loop {
            let mut size = String::new();
            connection.read_line(&mut size).unwrap();
            let size = usize::from_str_radix(size.trim(), 16).unwrap();
            let mut chunk = vec![0; size + 2];
            connection.read_exact(&mut chunk).unwrap();
            if size == 0 {
                break;
            }
        }
    } else {
        connection.read_exact(&mut vec![0; length]).unwrap();
    }
    status
}
