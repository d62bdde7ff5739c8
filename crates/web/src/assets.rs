//! Style, script and fonts: inside the binary, under addresses that change with their content.

use axum::extract::Path;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use sha2::{Digest, Sha256};
use std::fmt::Write as _;
use std::sync::LazyLock;

struct Asset {
    name: &'static str,
    kind: &'static str,
    content: Vec<u8>,
    /// Address: `/assets/` the first of its digest, a dash, its name.
    path: String,
}

static ASSETS: LazyLock<Vec<Asset>> = LazyLock::new(|| {
    let asset = |name: &'static str, kind: &'static str, content: Vec<u8>| {
        let mut digest = String::with_capacity(16);
        for byte in Sha256::digest(&content).iter().take(8) {
            // writing into a String does not fail
            let _ = write!(digest, "{byte:02x}");
        }
        Asset { name, kind, path: format!("/assets/{digest}-{name}"), content }
    };
    let fonts = [
        asset("public-sans.woff2", "font/woff2", sheet::LATIN.to_vec()),
        asset("public-sans-more.woff2", "font/woff2", sheet::LATIN_EXTENDED.to_vec()),
    ];
    let faces = format!(
        "@font-face{{font-family:\"Public Sans\";font-weight:100 900;font-display:optional;src:url({}) format(\"woff2\")}}\n\
         @font-face{{font-family:\"Public Sans\";font-weight:100 900;font-display:optional;src:url({}) \
         format(\"woff2\");unicode-range:U+0100-02BA,U+1E00-1E9F,U+1EF2-1EFF}}\n",
        fonts[0].path, fonts[1].path
    );
    let pages = format!("{faces}{}{}", sheet::HOUSE_STYLE, include_str!("../assets/pages.css"));
    let paper =
        format!("{faces}{}{}{}", sheet::HOUSE_STYLE, sheet::SHEET_STYLE, include_str!("../assets/paper.css"));
    let mut all = vec![
        asset("pages.css", "text/css; charset=utf-8", pages.into_bytes()),
        asset("paper.css", "text/css; charset=utf-8", paper.into_bytes()),
        asset("htmx.js", "text/javascript; charset=utf-8", include_bytes!("../assets/htmx.min.js").to_vec()),
        asset(
            "strikes.js",
            "text/javascript; charset=utf-8",
            include_bytes!("../assets/strikes.js").to_vec(),
        ),
        asset("studio.js", "text/javascript; charset=utf-8", include_bytes!("../assets/studio.js").to_vec()),
    ];
    all.push(asset("mark.svg", "image/svg+xml", include_bytes!("../assets/mark.svg").to_vec()));
    all.extend(fonts);
    all
});

/// The address of an asset.
pub(crate) fn path(name: &str) -> &'static str {
    ASSETS.iter().find(|asset| asset.name == name).map_or("", |asset| asset.path.as_str())
}

/// Serves an asset; its address never means anything else, so it may be kept for ever.
pub(crate) async fn serve(Path(name): Path<String>) -> Response {
    let wanted = ASSETS.iter().find(|asset| asset.path.strip_prefix("/assets/") == Some(name.as_str()));
    match wanted {
        Some(asset) => (
            [
                (header::CONTENT_TYPE, HeaderValue::from_static(asset.kind)),
                (header::CACHE_CONTROL, HeaderValue::from_static("public, max-age=31536000, immutable")),
            ],
            asset.content.as_slice(),
        )
            .into_response(),
        None => StatusCode::NOT_FOUND.into_response(),
    }
}
