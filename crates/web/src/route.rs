//! Every address of the studio, in one table.

use crate::app::App;
use crate::error::PageError;
use crate::form::LARGEST;
use crate::pages::{
    at_the_bench, bench_bias, clubs, device, export, follow_up, golfer, help, house, import, job, measure,
    part, photo, promise, quote, rule, set_build, shelf, strikes, studio, target, trial, undo, verdict,
};
use crate::uploads::MOST_BYTES;
use crate::{api, assets, events, guard, picture};
use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::http::StatusCode;
use axum::middleware::from_fn_with_state;
use axum::routing::{get, post};
use tower_http::CompressionLevel;
use tower_http::compression::CompressionLayer;

/// Everything goes out as small as it gets: a page is drawn once, and a tablet in the bay may be far from the router.
fn compression() -> CompressionLayer {
    CompressionLayer::new().quality(CompressionLevel::Best)
}

/// Builds the router.
pub(crate) fn router(app: App) -> Router {
    let pages = Router::new()
        .route("/", get(studio::show))
        .route("/search", get(studio::search))
        .route("/golfers", post(studio::open_golfer))
        .route("/example", post(studio::fill_in_the_example))
        .route("/golfers/{golfer}", get(golfer::show))
        .route("/golfers/{golfer}/file", get(golfer::show_file).post(golfer::save_file))
        .route("/golfers/{golfer}/remarks", post(golfer::add_remark))
        .route("/golfers/{golfer}/visits", post(golfer::keep_visit))
        .route("/golfers/{golfer}/card", get(golfer::card))
        .route("/golfers/{golfer}/measure", get(measure::show).post(measure::save))
        .route("/golfers/{golfer}/measure/now", post(measure::now))
        .route("/golfers/{golfer}/readings/{reading}/take-back", post(measure::take_back))
        .route("/golfers/{golfer}/clubs", get(clubs::show).post(clubs::save))
        .route(
            "/golfers/{golfer}/clubs/import",
            get(import::show).post(import::look).layer(DefaultBodyLimit::max(MOST_BYTES + LARGEST)),
        )
        .route("/golfers/{golfer}/clubs/import/{file}", post(import::take))
        .route("/golfers/{golfer}/export.json", get(export::golfer))
        .route("/golfers/{golfer}/tables/{name}", get(export::golfer_table))
        .route("/export.json", get(export::studio))
        .route("/tables/{name}", get(export::studio_table))
        .route("/golfers/{golfer}/clubs/{club}", get(clubs::show_one).post(clubs::save_one))
        .route(
            "/golfers/{golfer}/clubs/{club}/photo",
            post(photo::take).layer(DefaultBodyLimit::max(picture::MOST_BYTES + LARGEST)),
        )
        .route("/golfers/{golfer}/photos/{photo}/take-back", post(photo::take_back))
        .route("/photos/{photo}", get(photo::show))
        .route("/golfers/{golfer}/target", get(target::show).post(target::choose))
        .route("/golfers/{golfer}/target/keep", post(target::keep))
        .route("/golfers/{golfer}/trial", get(trial::show).post(trial::make))
        .route("/golfers/{golfer}/trial/plan", get(trial::plan_another))
        .route("/golfers/{golfer}/trial/open", post(trial::open))
        .route("/golfers/{golfer}/trial/take-leaning", post(trial::take_leaning))
        .route("/golfers/{golfer}/trial/more", post(trial::one_more))
        .route("/golfers/{golfer}/trial/put-away", post(trial::put_away))
        .route("/golfers/{golfer}/trial/visits/{visit}", get(strikes::show))
        .route("/golfers/{golfer}/trial/visits/{visit}/sheet", get(trial::order_sheet))
        .route("/golfers/{golfer}/trial/strikes", post(strikes::take))
        .route("/golfers/{golfer}/trial/strikes/many", post(strikes::take_many))
        .route("/golfers/{golfer}/trial/take-back", post(strikes::take_back))
        .route("/golfers/{golfer}/trial/verdict", get(verdict::show))
        .route("/golfers/{golfer}/trial/golfers-sheet", get(verdict::golfers_sheet))
        .route("/golfers/{golfer}/trial/strikes.csv", get(verdict::strikes_csv))
        .route("/golfers/{golfer}/job", get(job::show).post(job::make))
        .route("/golfers/{golfer}/job/build", get(set_build::show).post(set_build::take))
        .route("/golfers/{golfer}/jobs/{job}", get(job::show_one))
        .route("/golfers/{golfer}/jobs/{job}/move", post(job::move_on))
        .route("/golfers/{golfer}/jobs/{job}/tick", post(at_the_bench::tick))
        .route("/golfers/{golfer}/jobs/{job}/promise", post(promise::save))
        .route("/golfers/{golfer}/jobs/{job}/dates.ics", get(promise::calendar))
        .route("/golfers/{golfer}/jobs/{job}/parts", post(at_the_bench::put_aside))
        .route("/golfers/{golfer}/jobs/{job}/quote", get(quote::show).post(quote::make))
        .route("/golfers/{golfer}/jobs/{job}/accept", post(quote::accept))
        .route("/golfers/{golfer}/jobs/{job}/invoice", get(quote::invoice))
        .route("/golfers/{golfer}/jobs/{job}/sheet", get(job::sheet))
        .route("/golfers/{golfer}/jobs/{job}/golfers-sheet", get(job::golfers_sheet))
        .route("/j/{number}", get(job::by_number))
        .route("/golfers/{golfer}/follow-up", get(follow_up::show).post(follow_up::save))
        .route("/golfers/{golfer}/follow-up.ics", get(follow_up::calendar))
        .route("/shelf", get(shelf::show).post(shelf::add))
        .route("/shelf/table.csv", get(shelf::csv))
        .route("/shelf/table.xlsx", get(shelf::workbook))
        .route("/shelf/import", post(shelf::import).layer(DefaultBodyLimit::max(MOST_BYTES + LARGEST)))
        .route("/shelf/{part}", get(part::show).post(part::save))
        .route("/shelf/{part}/{what}", post(part::moved))
        .route("/house", get(house::show).post(house::save))
        .route("/house/rule", get(rule::show).post(rule::save))
        .route("/house/bench", get(bench_bias::show))
        .route("/house/example", post(house::example))
        .route("/help", get(help::show))
        .route("/device", post(device::keep))
        .route("/undo", post(undo::undo))
        .fallback(async || PageError::NotFound("page"))
        .method_not_allowed_fallback(async || {
            PageError::Status(
                StatusCode::METHOD_NOT_ALLOWED,
                "This address only takes what a page of the studio sends. Go back and save there.".to_owned(),
            )
        })
        .layer(DefaultBodyLimit::max(LARGEST))
        .layer(compression());
    pages
        .nest("/api/v1", api::router())
        .route("/events", get(events::events))
        .route("/assets/{name}", get(assets::serve).layer(compression()))
        .layer(from_fn_with_state(app.clone(), guard::guard))
        .with_state(app)
}
