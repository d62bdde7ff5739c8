//! Workbooks sent to the studio's pages: shelf and clubs, and twice.

use crate::studio_over_http::Served;
use crate::workbook::workbook;

const SHELF: &str = "kind,name,diameter (in),mass (g),cost,at hand,low at,note\n\
                     grip,Round .600,0.6,50,4.1,10,2,second drawer\n\
                     plug,=Rod,0.6,4.6,1.2,3,1,";
const ACT: &str = "01890000-0000-7000-8000-000000000001";
const OTHER_ACT: &str = "01890000-0000-7000-8000-000000000002";

/// The names on the shelf and how many there are.
fn counts(studio: &Served) -> Vec<(String, String)> {
    let table = studio.get("/shelf/table.csv").text();
    let rows = table.lines().skip(1).map(|row| row.split(',').map(str::to_owned).collect::<Vec<_>>());
    rows.map(|row| (row[1].clone(), row[6].clone())).collect()
}

#[test]
fn a_shelf_goes_out_as_a_workbook_comes_in_and_goes_out_byte_for_byte() {
    let (one, other) = (Served::open(), Served::open());
    let sent = one.send("/shelf/import", &[("act", ACT)], SHELF.as_bytes());
    assert_eq!(sent.status, 303, "{}", sent.text());
    let out = one.get("/shelf/table.xlsx").body;
    assert_eq!(other.send("/shelf/import", &[("act", ACT)], &out).status, 303);
    assert!(other.get("/shelf/table.xlsx").body == out, "every byte");
    assert_eq!(one.get("/shelf/table.csv").body, other.get("/shelf/table.csv").body);
}

#[test]
fn the_same_file_brought_in_again_doubles_nothing() {
    let studio = Served::open();
    let book = workbook(&[("Shelf", SHELF), ("Notes", "a")]);
    let there =
        [("'=Rod", "3"), ("Round .600", "10")].map(|(name, count)| (name.to_owned(), count.to_owned()));
    let send = |act: &str| studio.send("/shelf/import", &[("act", act), ("sheet", "Shelf")], &book).status;
    // a form that is sent twice at once, then once more, then chosen anew
    std::thread::scope(|scope| {
        let sent: Vec<_> = (0..2).map(|_| scope.spawn(|| send(ACT))).collect();
        for sent in sent {
            assert_eq!(sent.join().unwrap(), 303);
        }
    });
    assert_eq!(counts(&studio), there);
    assert_eq!(send(ACT), 303);
    assert_eq!(send(OTHER_ACT), 303);
    assert_eq!(counts(&studio), there);
    assert!(studio.get("/shelf").text().contains("2 parts from the sheet &quot;Shelf&quot;"));
}

#[test]
fn clubs_on_a_sheet_are_shown_and_taken_as_those_of_a_text() {
    let table = "Club,Length (in),Lie\n7 iron,37,62\n8 iron,36.5,62.5";
    let book = workbook(&[("Old", "Club,Length (in)\nPW,35"), ("New", table)]);
    let mut previews = Vec::new();
    for (bytes, sheet) in [(table.as_bytes(), ""), (&book, "New")] {
        let studio = Served::open();
        let golfer = studio.golfer();
        let import = format!("{golfer}/clubs/import");
        let looked = studio.send(&import, &[("sheet", sheet)], bytes);
        assert_eq!(looked.status, 200, "{}", looked.text());
        let page = looked.text();
        let (lead, matching) = (page.find("2 rows").unwrap(), page.find("<tbody>").unwrap());
        if sheet.is_empty() {
            assert!(page[lead..].starts_with("2 rows, columns apart by comma, UTF-8."));
        } else {
            assert!(page[lead..].starts_with("2 rows, sheet &quot;New&quot;; not read: &quot;Old&quot;."));
        }
        previews.push(page[matching..page.find("</tbody>").unwrap()].to_owned());
        let file = page.split(&format!("{import}/")).nth(1).unwrap().split('"').next().unwrap();
        let columns = "column.0=name&column.1=length+in&column.2=lie";
        let taken = studio.post(&format!("{import}/{file}"), &format!("act={OTHER_ACT}&{columns}"));
        assert_eq!(taken.status, 303, "{}", taken.text());
        let clubs = studio.get(&format!("{golfer}/clubs")).text();
        assert!(clubs.contains("7 iron") && clubs.contains("8 iron") && !clubs.contains("PW"));
    }
    assert_eq!(previews[0], previews[1]);
}

#[test]
fn what_is_refused_says_which_sheet_and_what_to_do() {
    let studio = Served::open();
    for (bytes, sheet, says) in [
        (workbook(&[("Parts", "kind,name\nhammer,Big")]), "", "sheet &quot;Parts&quot;, line 2, column 1"),
        (
            workbook(&[("Parts", SHELF)]),
            "Shelf",
            "expected a sheet &quot;Shelf&quot;, found &quot;Parts&quot;",
        ),
        (workbook(&[("Parts", "kind,name")]), "", "a header alone on the sheet &quot;Parts&quot;"),
        (SHELF.into(), "Shelf", "found a table as text"),
        (workbook(&[("Parts", SHELF)])[..900].to_vec(), "", "the workbook is damaged or cut off"),
    ] {
        let answer = studio.send("/shelf/import", &[("act", ACT), ("sheet", sheet)], &bytes);
        assert_eq!(answer.status, 422, "{says}");
        assert!(answer.text().contains(says), "{says}: {}", answer.text());
    }
    assert!(counts(&studio).is_empty());
}
