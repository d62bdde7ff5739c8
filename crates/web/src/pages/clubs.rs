//! Clubs: the set as a table that is typed into like a spreadsheet, and each club by itself.

use super::GolferPage;
use crate::acts;
use crate::app::{App, Now};
use crate::error::PageError;
use crate::form::Form;
use crate::parts::club_cells::{Cells, NEW_ROWS, TABLE_FIELDS, cell_name, row_seen};
use crate::parts::field::{choice, id_of};
use crate::parts::problem::{Refused, drawn_again, summary_of_rows};
use crate::parts::ways::way_of;
use crate::shell::{act_id, golfer_path, units_field};
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use bench::WayKind;
use maud::{Markup, html};
use sheet::words::rich;
use studio::{
    Dossier, Field, HouseSettings, Kept, Kind, NoPlan, OwnedClub, Source, StationName, Subject, Units,
};

/// `GET /golfers/{golfer}/clubs`
pub(crate) async fn show(State(app): State<App>, Path(id): Path<String>) -> Result<Markup, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    clubs_page(&GolferPage::fresh(&app, &dossier, &house)).await
}

async fn clubs_page(page: &GolferPage<'_>) -> Result<Markup, PageError> {
    let GolferPage { now, dossier, house, .. } = page;
    let path = format!("{}/clubs", golfer_path(dossier));
    let unit = if house.units() == Units::Metric { "millimetres" } else { "inches" };
    let content = html! {
        (summary_of_rows(page.refused))
        (what_cannot_be_meant(dossier, house, now))
        form method="post" action=(path) id="clubs" data-cells {
            (act_id())
            (units_field(house))
            div class="wide" tabindex="0" role="group" aria-label="The set, a table that can be typed into" {
                table class="cells" {
                    caption {
                        "Type into any cell; Enter goes down, Tab goes right, Escape gives the old value back. A block copied from a "
                        "spreadsheet can be pasted. Lengths and balance in " (unit) ", masses in g, angles in degrees, unless you write a unit."
                    }
                    thead { tr {
                        th class="text" scope="col" { "Club" }
                        @for field in TABLE_FIELDS { th scope="col" { (field.label()) } }
                        th scope="col" { span class="unseen" { "More" } }
                    } }
                    tbody {
                        @for kept in in_the_bag(dossier) { (row(dossier, house, kept, page.refused)) }
                        @for place in 1..=NEW_ROWS { (new_row(place, page.refused, dossier.live_clubs().count() == 0)) }
                    }
                }
            }
            div class="keepbar" {
                button class="primary" { "Save the clubs" }
            }
        }
        p class="alone" { a href=(format!("{path}/import")) { "Take the clubs from a file" } }
    };
    page.draw(Some(StationName::Clubs), "Clubs", &content).await
}

/// The clubs as they lie in the bag: longest kind first, those that say no club last.
fn in_the_bag(dossier: &Dossier) -> Vec<&Kept<OwnedClub>> {
    let mut clubs: Vec<&Kept<OwnedClub>> = dossier.live_clubs().collect();
    clubs.sort_by_key(|kept| {
        club::ClubKind::from_name(&kept.record.name).map_or((1, None), |kind| (0, Some(kind)))
    });
    clubs
}

fn row(dossier: &Dossier, house: &HouseSettings, kept: &Kept<OwnedClub>, refused: Refused<'_>) -> Markup {
    let club = &kept.record;
    let key = format!("c.{}", club.id);
    let has_findings =
        dossier.club_reading(&club.id, Field::Condition).filter(|reading| !reading.typed.is_empty());
    html! {
        tr {
            th scope="row" class="text" {
                (row_seen(dossier, kept, &key))
                (cell(&format!("{key}.name"), &club.name, "Club", &club.name, refused))
                @if let Some(reading) = has_findings { span class="caution" { (reading.typed) } }
            }
            @for field in TABLE_FIELDS {
                @let kept = dossier.club_reading(&club.id, field).map(|reading| field.bare(&reading.typed, house.units())).unwrap_or_default();
                td data-is=(field.label()) { (cell(&cell_name(&key, field), &kept, field.label(), &club.name, refused)) }
            }
            td class="text" {
                a href=(format!("{}/clubs/{}", golfer_path(dossier), club.id)) aria-label=(format!("More of the {}", club.name)) { "more" }
            }
        }
    }
}

fn new_row(place: usize, refused: Refused<'_>, is_first: bool) -> Markup {
    let key = format!("n.{place}");
    html! {
        tr class=[(place > 1 && !is_first).then_some("later")] {
            th scope="row" class="text" { (cell(&format!("{key}.name"), "", "Club", "a new club", refused)) }
            @for field in TABLE_FIELDS {
                td data-is=(field.label()) { (cell(&cell_name(&key, field), "", field.label(), "a new club", refused)) }
            }
            td {}
        }
    }
}

fn cell(name: &str, kept: &str, label: &str, club: &str, refused: Refused<'_>) -> Markup {
    let problem = refused.at(name);
    let id = id_of(name);
    html! {
        input id=(id) class="cell" type="text" name=(name) value=(refused.value(name, kept)) data-kept=(kept) autocomplete="off" spellcheck="false"
            aria-label=(format!("{label} of {club}")) aria-invalid=[problem.map(|_| "true")] aria-describedby=[problem.map(|_| format!("{id}-problem"))];
        @if let Some(problem) = problem { p class="problem" id=(format!("{id}-problem")) { (problem) } }
    }
}

/// What the readings of a club say that no club is.
fn what_cannot_be_meant(dossier: &Dossier, house: &HouseSettings, now: &Now) -> Markup {
    let Err(NoPlan::Refused(card, problems)) = dossier.plan(house, now.day) else { return html! {} };
    let of_clubs: Vec<_> =
        problems.iter().filter(|problem| matches!(card.source_of(problem), Some(Source::Club(..)))).collect();
    html! {
        @for problem in of_clubs {
            p class="note care" {
                b { (problem.key.as_deref().unwrap_or_default()) ": " }
                (rich(&problem.message)) "."
                @if let Some(hint) = &problem.hint { " " (rich(hint)) }
            }
        }
    }
}

/// `POST /golfers/{golfer}/clubs`: saves what could be read of the whole table; the rest stays as it was typed.
pub(crate) async fn save(
    State(app): State<App>,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let now = app.now();
    let mut cells = Cells::new(&dossier, acts::units(&form, &house), &now, acts::act(&form, &house, "")?);
    for kept in dossier.live_clubs() {
        cells.club(kept, &form, &TABLE_FIELDS);
    }
    for place in 1..=NEW_ROWS {
        cells.new_club(&format!("n.{place}"), &form);
    }
    let (changes, problems) = cells.done();
    acts::save(&app, changes, &now).await?;
    if problems.is_empty() {
        return Ok(Redirect::to(&format!("{}/clubs", golfer_path(&dossier))).into_response());
    }
    let (dossier, house) = app.golfer(&id).await?;
    let left = Form::of(
        form.all().filter(|(name, _)| problems.iter().any(|problem| same_row(&problem.field, name))),
    );
    let page = GolferPage::again(&app, &dossier, &house, Refused::of(&left, &problems));
    Ok(drawn_again(clubs_page(&page).await?))
}

/// A refused new row stays whole, since nothing of it was saved; of a known club only the refused cell stays.
fn same_row(refused: &str, name: &str) -> bool {
    if !refused.starts_with("n.") {
        return refused == name;
    }
    let row = |name: &str| name.split('.').take(2).map(str::to_owned).collect::<Vec<_>>();
    row(refused) == row(name)
}

/// `GET /golfers/{golfer}/clubs/{club}`
pub(crate) async fn show_one(
    State(app): State<App>,
    Path((id, club)): Path<(String, String)>,
) -> Result<Markup, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    club_page(&GolferPage::fresh(&app, &dossier, &house), find(&dossier, &club)?).await
}

pub(crate) fn find<'d>(dossier: &'d Dossier, id: &str) -> Result<&'d Kept<OwnedClub>, PageError> {
    dossier.clubs.iter().find(|kept| kept.record.id.as_str() == id).ok_or(PageError::NotFound("club"))
}

async fn club_page(page: &GolferPage<'_>, kept: &Kept<OwnedClub>) -> Result<Markup, PageError> {
    let (dossier, refused) = (page.dossier, page.refused);
    let club = &kept.record;
    let path = format!("{}/clubs/{}", golfer_path(dossier), club.id);
    let key = format!("c.{}", club.id);
    let content = html! {
        p class="alone" { a href=(format!("{}/clubs", golfer_path(dossier))) { "All clubs" } }
        (summary_of_rows(refused))
        div class="cols" {
            form method="post" action=(path) class="stacked" {
                (act_id())
                (units_field(page.house))
                (row_seen(dossier, kept, &key))
                input type="hidden" name="seen" value=(kept.revision);
                (one_entry(&format!("{key}.name"), "Club", "As the golfer calls it: 7 iron, PW, 54 deg wedge, 5 wood.", &club.name, refused))
                @for field in Field::of(Subject::Club).filter(|field| field.kind() != Kind::Conditions) {
                    @let typed = dossier.club_reading(&club.id, field).map_or("", |reading| reading.typed.as_str());
                    @let how = if field.how().is_empty() { format!("As {}.", field.example()) } else { format!("{} As {}.", field.how(), field.example()) };
                    (one_entry(&cell_name(&key, field), field.label(), &how, typed, refused))
                }
                (conditions(dossier, club))
                (way(club))
                div class="keepbar" { button class="primary" { "Save the club" } }
            }
            section class="aside" { (photos(dossier, club, &path)) (history(&page.now, dossier, club)) (put_away(club, kept.revision, &path)) }
        }
    };
    page.draw_at(&path, Some(StationName::Clubs), &club.name, &content).await
}

fn one_entry(name: &str, label: &str, hint: &str, kept: &str, refused: Refused<'_>) -> Markup {
    crate::parts::field::Field {
        name,
        label,
        hint,
        value: refused.value(name, kept),
        problem: refused.at(name),
        width: crate::parts::field::Width::Number,
        options: &[],
    }
    .draw()
}

const CONDITIONS: [&str; 4] = ["cracked", "rusted", "already extended", "loose ferrule"];

fn conditions(dossier: &Dossier, club: &OwnedClub) -> Markup {
    let found = dossier.club_reading(&club.id, Field::Condition).map_or("", |reading| reading.typed.as_str());
    html! {
        fieldset class="choice" {
            legend { "What a close look found" }
            input type="hidden" name="looked" value="yes";
            @for condition in CONDITIONS {
                label {
                    input type="checkbox" name=(format!("condition.{condition}")) value="yes" checked[found.split(", ").any(|word| word == condition)];
                    " " (condition)
                }
            }
            p class="hint" { "A cracked shaft is not played. Mark the club and keep it apart." }
        }
    }
}

fn way(club: &OwnedClub) -> Markup {
    let mut options = vec![("", "as the tool says")];
    options.extend(WayKind::ALL.into_iter().map(|way| (way.words(), way.words())));
    choice("way", "The way to take", &options, club.way.as_deref().unwrap_or_default())
}

fn photos(dossier: &Dossier, club: &OwnedClub, path: &str) -> Markup {
    let of_club = dossier
        .photos
        .iter()
        .map(|kept| &kept.record)
        .filter(|photo| !photo.removed && photo.club.as_ref() == Some(&club.id));
    html! {
        h2 { "Photos" }
        @for photo in of_club {
            @let words = photo.caption.as_deref().unwrap_or(&club.name);
            figure {
                a href=(format!("/photos/{}", photo.id)) {
                    img class="photo" src=(format!("/photos/{}", photo.id)) alt=(words) width=(photo.width) height=(photo.height) loading="lazy";
                }
                figcaption {
                    (words)
                    form method="post" action=(format!("{}/photos/{}/take-back", golfer_path(dossier), photo.id)) {
                        (act_id())
                        button class="quiet" aria-label=(format!("Take back the photo: {words}")) { "Take back" }
                    }
                }
            }
        }
        details {
            summary { "Add a photo" }
            form method="post" enctype="multipart/form-data" action=(format!("{path}/photo")) class="stacked" {
                (act_id())
                div class="entry" {
                    label for="photo" { "Photo" }
                    p class="hint" { "JPEG or PNG up to 20 MB. Only the picture is kept: where and when it was taken is taken out." }
                    input id="photo" class="field" type="file" name="photo" accept="image/jpeg,image/png" capture="environment" required;
                }
                div class="entry" {
                    label for="caption" { "What it shows" }
                    input id="caption" class="field name" type="text" name="caption" autocomplete="off";
                }
                button { "Keep the photo" }
            }
        }
    }
}

fn history(now: &Now, dossier: &Dossier, club: &OwnedClub) -> Markup {
    let readings: Vec<_> = dossier
        .readings
        .iter()
        .map(|kept| &kept.record)
        .filter(|reading| reading.club.as_ref() == Some(&club.id))
        .collect();
    html! {
        h2 { "Every reading" }
        @if readings.is_empty() { p class="soft" { "None yet." } }
        ol class="timeline" {
            @for reading in readings.into_iter().rev() {
                li class=[reading.removed.then_some("undone")] {
                    span class="small soft" { (now.date(reading.day)) ", " (reading.by) @if reading.job.is_some() { ", after the job" } }
                    span {
                        (reading.field.label()) " "
                        b { (rich(if reading.typed.is_empty() { "nothing found" } else { &reading.typed })) }
                        @if reading.removed { span class="soft" { " (taken back)" } }
                    }
                }
            }
        }
    }
}

fn put_away(club: &OwnedClub, revision: i64, path: &str) -> Markup {
    html! {
        form method="post" action=(path) class="below" {
            (act_id())
            input type="hidden" name="seen" value=(revision);
            @if club.removed {
                button name="put-away" value="no" { "Bring this club back" }
            } @else {
                button name="put-away" value="yes" { "Put this club away" }
            }
        }
    }
}

/// `POST /golfers/{golfer}/clubs/{club}`
pub(crate) async fn save_one(
    State(app): State<App>,
    Path((id, club)): Path<(String, String)>,
    form: Form,
) -> Result<Response, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let now = app.now();
    let kept = find(&dossier, &club)?;
    let path = format!("{}/clubs/{}", golfer_path(&dossier), kept.record.id);
    let seen = form.seen_or(kept.revision);
    if let Some(put_away) = form.get("put-away") {
        let removed = put_away == "yes";
        let word = if removed { "put away" } else { "brought back" };
        let changed = OwnedClub { removed, ..kept.record.clone() };
        let changes =
            acts::act(&form, &house, format!("{} {word}", kept.record.name))?.with_changed(changed, seen);
        acts::save_or_ask(&app, changes, &now, &path, &form).await?;
        return Ok(Redirect::to(&format!("{}/clubs", golfer_path(&dossier))).into_response());
    }
    let fields: Vec<Field> =
        Field::of(Subject::Club).filter(|field| field.kind() != Kind::Conditions).collect();
    let mut cells = Cells::new(&dossier, acts::units(&form, &house), &now, acts::act(&form, &house, "")?);
    cells.club_with_way(kept, &form, &fields, way_of(&form)?, seen);
    if form.get("looked").is_some() {
        let found: Vec<&str> = CONDITIONS
            .into_iter()
            .filter(|condition| form.get(&format!("condition.{condition}")).is_some())
            .collect();
        cells.conditions(&kept.record, &found.join(", "));
    }
    let (changes, problems) = cells.done();
    acts::save_or_ask(&app, changes, &now, &path, &form).await?;
    if problems.is_empty() {
        return Ok(Redirect::to(&path).into_response());
    }
    let (dossier, house) = app.golfer(&id).await?;
    let left = Form::of(form.all().filter(|(name, _)| problems.iter().any(|problem| problem.field == *name)));
    let page = GolferPage::again(&app, &dossier, &house, Refused::of(&left, &problems));
    Ok(drawn_again(club_page(&page, find(&dossier, &club)?).await?))
}
