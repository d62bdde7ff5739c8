//! Every address of the studio in one table, each with what it demands.

use crate::app::App;
use crate::door::Need;
use crate::error::PageError;
use crate::form::LARGEST;
use crate::pages::{
    at_the_bench, bench_bias, chain, clubs, device, devices, entry, export, follow_up, forget, golfer, help,
    house, import, job, measure, part, photo, promise, quote, rule, set_build, shelf, strikes, studio,
    target, trial, undo, verdict,
};
use crate::uploads::MOST_BYTES;
use crate::{api, assets, events, guard, picture};
use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::http::StatusCode;
use axum::middleware::from_fn_with_state;
use axum::routing::{MethodRouter, get, post};
use std::collections::BTreeMap;
use std::sync::LazyLock;
use tower_http::CompressionLevel;
use tower_http::compression::CompressionLayer;

/// An address, what answers there, and what it demands.
pub(crate) struct Route {
    pub(crate) path: &'static str,
    pub(crate) answer: MethodRouter<App>,
    demands: Demands,
}

/// What an address demands of whoever asks, of the disk and of the machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Demands {
    pub(crate) need: Need,
    pub(crate) writes: Writes,
    /// Whether answering takes so long that only a few are answered at once.
    pub(crate) is_heavy: bool,
    /// The largest file it takes, bytes; none for an address that takes none.
    pub(crate) file: usize,
}

/// The most that is sent by someone who is not in yet, bytes: a passphrase of 1,024 signs, each written by its number,
/// and the way on. House choice.
const LARGEST_OF_A_STRANGER: usize = 16 * 1024;

impl Demands {
    /// The most that may be sent there, bytes.
    pub(crate) fn most(&self) -> usize {
        match self.need {
            Need::Anyone => LARGEST_OF_A_STRANGER,
            Need::SignedIn | Need::Fresh | Need::ThisMachine => self.file + LARGEST,
        }
    }
}

/// What is written by what is sent to an address.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Writes {
    /// The studio's records.
    #[default]
    Records,
    /// Strikes, which nobody can make again: they are taken as long as the disk takes them.
    Strikes,
    /// None of the studio's records: who may come in, how a device looks, what is only worked out.
    Nothing,
}

/// An address for whoever is signed in, which writes what it is sent.
pub(crate) fn at(path: &'static str, answer: MethodRouter<App>) -> Route {
    Route { path, answer, demands: Demands::default() }
}

impl Route {
    fn needs(self, need: Need) -> Self {
        Self { demands: Demands { need, ..self.demands }, ..self }
    }

    pub(crate) fn writes(self, writes: Writes) -> Self {
        Self { demands: Demands { writes, ..self.demands }, ..self }
    }

    /// Takes a file of at most so many bytes.
    fn takes_a_file(self, most: usize) -> Self {
        let answer = self.answer.layer(DefaultBodyLimit::max(most + LARGEST));
        Self { answer, demands: Demands { file: most, ..self.demands }, ..self }
    }

    pub(crate) fn takes_long(self) -> Self {
        Self { demands: Demands { is_heavy: true, ..self.demands }, ..self }
    }
}

/// What every address demands; one that is not there demands as much as any page.
pub(crate) fn demands_of(path: Option<&str>) -> Demands {
    static DEMANDS: LazyLock<BTreeMap<String, Demands>> = LazyLock::new(|| {
        let pages = pages().into_iter().map(|route| (route.path.to_owned(), route.demands));
        let api = api::routes().into_iter().map(|route| (format!("{API}{}", route.path), route.demands));
        pages.chain(api).collect()
    });
    path.and_then(|path| DEMANDS.get(path)).copied().unwrap_or_default()
}

/// Where programs ask.
pub(crate) const API: &str = "/api/v1";

/// Everything goes out as small as it gets: a page is drawn once, and a tablet in the bay may be far from the router.
fn compression() -> CompressionLayer {
    CompressionLayer::new().quality(CompressionLevel::Best)
}

/// The addresses of people.
fn pages() -> Vec<Route> {
    vec![
        at("/", get(studio::show)),
        at("/search", get(studio::search)),
        at("/golfers", post(studio::open_golfer)),
        at("/example", post(studio::fill_in_the_example)),
        at("/golfers/{golfer}", get(golfer::show)),
        at("/golfers/{golfer}/file", get(golfer::show_file).post(golfer::save_file)),
        at("/golfers/{golfer}/remarks", post(golfer::add_remark)),
        at("/golfers/{golfer}/remarks/erase", post(golfer::erase_health_remarks)).needs(Need::Fresh),
        at("/golfers/{golfer}/visits", post(golfer::keep_visit)),
        at("/golfers/{golfer}/card", get(golfer::card)),
        at("/golfers/{golfer}/measure", get(measure::show).post(measure::save)),
        at("/golfers/{golfer}/measure/now", post(measure::now)).writes(Writes::Nothing),
        at("/golfers/{golfer}/readings/{reading}/take-back", post(measure::take_back)),
        at("/golfers/{golfer}/clubs", get(clubs::show).post(clubs::save)),
        at("/golfers/{golfer}/clubs/import", get(import::show).post(import::look))
            .takes_a_file(MOST_BYTES)
            .takes_long(),
        at("/golfers/{golfer}/clubs/import/{file}", post(import::take)).takes_long(),
        at("/golfers/{golfer}/export.json", get(export::golfer)).needs(Need::Fresh).takes_long(),
        at("/golfers/{golfer}/tables/{name}", get(export::golfer_table)).needs(Need::Fresh).takes_long(),
        at("/export.json", get(export::studio)).needs(Need::Fresh).takes_long(),
        at("/tables/{name}", get(export::studio_table)).needs(Need::Fresh).takes_long(),
        at("/golfers/{golfer}/clubs/{club}", get(clubs::show_one).post(clubs::save_one)),
        at("/golfers/{golfer}/clubs/{club}/photo", post(photo::take))
            .takes_a_file(picture::MOST_BYTES)
            .takes_long(),
        at("/golfers/{golfer}/photos/{photo}/take-back", post(photo::take_back)),
        at("/photos/{photo}", get(photo::show)),
        at("/golfers/{golfer}/target", get(target::show).post(target::choose)).takes_long(),
        at("/golfers/{golfer}/target/keep", post(target::keep)),
        at("/golfers/{golfer}/trial", get(trial::show).post(trial::make)).takes_long(),
        at("/golfers/{golfer}/trial/plan", get(trial::plan_another)),
        at("/golfers/{golfer}/trial/open", post(trial::open)),
        at("/golfers/{golfer}/trial/take-leaning", post(trial::take_leaning)),
        at("/golfers/{golfer}/trial/more", post(trial::one_more)),
        at("/golfers/{golfer}/trial/put-away", post(trial::put_away)),
        at("/golfers/{golfer}/trial/visits/{visit}", get(strikes::show)),
        at("/golfers/{golfer}/trial/visits/{visit}/sheet", get(trial::order_sheet)),
        at("/golfers/{golfer}/trial/strikes", post(strikes::take)).writes(Writes::Strikes),
        at("/golfers/{golfer}/trial/strikes/many", post(strikes::take_many)).writes(Writes::Strikes),
        at("/golfers/{golfer}/trial/take-back", post(strikes::take_back)).writes(Writes::Strikes),
        at("/golfers/{golfer}/trial/verdict", get(verdict::show)).takes_long(),
        at("/golfers/{golfer}/trial/golfers-sheet", get(verdict::golfers_sheet)).takes_long(),
        at("/golfers/{golfer}/trial/strikes.csv", get(verdict::strikes_csv)),
        at("/golfers/{golfer}/job", get(job::show).post(job::make)),
        at("/golfers/{golfer}/job/build", get(set_build::show).post(set_build::take)),
        at("/golfers/{golfer}/jobs/{job}", get(job::show_one)),
        at("/golfers/{golfer}/jobs/{job}/move", post(job::move_on)),
        at("/golfers/{golfer}/jobs/{job}/tick", post(at_the_bench::tick)),
        at("/golfers/{golfer}/jobs/{job}/promise", post(promise::save)),
        at("/golfers/{golfer}/jobs/{job}/dates.ics", get(promise::calendar)),
        at("/golfers/{golfer}/jobs/{job}/parts", post(at_the_bench::put_aside)),
        at("/golfers/{golfer}/jobs/{job}/quote", get(quote::show).post(quote::make)),
        at("/golfers/{golfer}/jobs/{job}/accept", post(quote::accept)),
        at("/golfers/{golfer}/jobs/{job}/invoice", get(quote::invoice)),
        at("/golfers/{golfer}/jobs/{job}/sheet", get(job::sheet)),
        at("/golfers/{golfer}/jobs/{job}/golfers-sheet", get(job::golfers_sheet)),
        at("/j/{number}", get(job::by_number)),
        at("/golfers/{golfer}/follow-up", get(follow_up::show).post(follow_up::save)),
        at("/golfers/{golfer}/follow-up.ics", get(follow_up::calendar)),
        at("/shelf", get(shelf::show).post(shelf::add)),
        at("/shelf/table.csv", get(shelf::csv)),
        at("/shelf/table.xlsx", get(shelf::workbook)).takes_long(),
        at("/shelf/import", post(shelf::import)).takes_a_file(MOST_BYTES).takes_long(),
        at("/shelf/{part}", get(part::show).post(part::save)),
        at("/shelf/{part}/{what}", post(part::moved)),
        at("/house", get(house::show).post(house::save)),
        at("/house/rule", get(rule::show).post(rule::save)).takes_long(),
        at("/house/bench", get(bench_bias::show)),
        at("/house/chain", get(chain::show).post(chain::save)).takes_long(),
        at("/house/example", post(house::example)),
        at("/house/clock", post(house::believe_clock)).writes(Writes::Nothing),
        at("/help", get(help::show)),
        at("/device", post(device::keep)).writes(Writes::Nothing),
        at("/undo", post(undo::undo)),
        at("/join", get(entry::join).post(entry::pair)).needs(Need::Anyone).writes(Writes::Nothing),
        at("/sign-in", get(entry::sign_in_page).post(entry::sign_in))
            .needs(Need::Anyone)
            .writes(Writes::Nothing),
        at("/sign-out", post(entry::sign_out)).needs(Need::Anyone).writes(Writes::Nothing),
        at("/confirm", get(entry::confirm_page).post(entry::confirm)).writes(Writes::Nothing),
        at("/authority.crt", get(entry::authority)).needs(Need::Anyone),
        at("/golfers/{golfer}/forget", get(forget::show).post(forget::forget)).needs(Need::Fresh),
        at("/golfers/{golfer}/archive.zip", get(export::archive_of)).needs(Need::Fresh).takes_long(),
        at("/house/keeping", get(forget::keeping)),
        at("/house/devices", get(devices::show)),
        at("/house/devices/code", post(devices::new_code)).needs(Need::ThisMachine).writes(Writes::Nothing),
        at("/house/devices/passphrase", post(devices::set_passphrase))
            .needs(Need::ThisMachine)
            .writes(Writes::Nothing),
        at("/house/devices/{number}/forget", post(devices::forget)).writes(Writes::Nothing),
        at("/house/sessions/{number}/end", post(devices::end_session)).writes(Writes::Nothing),
        at("/events", get(events::events)),
        at("/assets/{name}", get(assets::serve)).needs(Need::Anyone),
    ]
}

/// Builds the router.
pub(crate) fn router(app: App) -> Router {
    let pages =
        pages().into_iter().fold(Router::new(), |router, route| router.route(route.path, route.answer));
    pages
        .fallback(async || PageError::NotFound("page"))
        .method_not_allowed_fallback(async || {
            PageError::Status(
                StatusCode::METHOD_NOT_ALLOWED,
                "This address only takes what a page of the studio sends. Go back and save there.".to_owned(),
            )
        })
        .layer(DefaultBodyLimit::max(LARGEST))
        .layer(compression())
        .nest(API, api::router())
        .layer(from_fn_with_state(app.clone(), guard::guard))
        .with_state(app)
}

#[cfg(test)]
mod tests {
    use super::{API, Demands, Writes, api, demands_of, pages};

    fn all() -> impl Iterator<Item = (String, Demands)> {
        let api = api::routes().into_iter().map(|route| (format!("{API}{}", route.path), route.demands));
        pages().into_iter().map(|route| (route.path.to_owned(), route.demands)).chain(api)
    }

    fn that_write(writes: Writes) -> Vec<String> {
        all().filter(|(_, demands)| demands.writes == writes).map(|(path, _)| path).collect()
    }

    #[test]
    fn with_hardly_any_room_strikes_are_taken_and_the_way_in_is_open() {
        assert_eq!(
            that_write(Writes::Strikes),
            [
                "/golfers/{golfer}/trial/strikes",
                "/golfers/{golfer}/trial/strikes/many",
                "/golfers/{golfer}/trial/take-back",
                "/api/v1/changes",
            ]
        );
        assert_eq!(
            that_write(Writes::Nothing),
            [
                "/golfers/{golfer}/measure/now",
                "/house/clock",
                "/device",
                "/join",
                "/sign-in",
                "/sign-out",
                "/confirm",
                "/house/devices/code",
                "/house/devices/passphrase",
                "/house/devices/{number}/forget",
                "/house/sessions/{number}/end",
            ]
        );
    }

    #[test]
    fn an_address_demands_what_stands_beside_it_and_one_that_is_not_there_as_much_as_any() {
        for (path, demands) in all() {
            assert_eq!(demands_of(Some(&path)), demands, "{path}");
        }
        assert_eq!(demands_of(Some("/no/such/address")), Demands::default());
        assert_eq!(demands_of(None).writes, Writes::Records);
        let heavy = ["/golfers/{golfer}/target", "/shelf/import", "/api/v1/golfers/{golfer}/trial/analysis"];
        assert!(heavy.iter().all(|path| demands_of(Some(path)).is_heavy));
        assert!(!demands_of(Some("/golfers/{golfer}/trial/strikes")).is_heavy);
        let files: Vec<String> =
            all().filter(|(_, demands)| demands.file > 0).map(|(path, _)| path).collect();
        let wanted =
            ["/golfers/{golfer}/clubs/import", "/golfers/{golfer}/clubs/{club}/photo", "/shelf/import"];
        assert_eq!(files, wanted);
        for way_in in ["/join", "/sign-in", "/sign-out"] {
            assert!(demands_of(Some(way_in)).most() < 20_000, "a stranger fills no memory");
        }
    }
}
