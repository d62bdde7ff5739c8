//! What a PostgreSQL server on another machine must show before it gets a studio: that it is the one it says it is.

use crate::StoreError;

/// Returns the URL with the server's certificate verified, unless the server is on this machine.
///
/// # Errors
/// [`StoreError::UnsafeServer`] when the URL asks for less.
pub(crate) fn sure_of_whom_it_talks_to(
    url: &str,
    find: impl Fn(&str) -> Option<String>,
) -> Result<String, StoreError> {
    let asked = parameter(url, "sslmode").or_else(|| parameter(url, "ssl-mode"));
    match asked {
        _ if is_local(url, find) => Ok(url.to_owned()),
        Some("verify-full") => Ok(url.to_owned()),
        Some(less) => Err(StoreError::UnsafeServer(format!(
            "sslmode={}: whoever stands in between can read and change everything",
            less.chars().take(20).collect::<String>()
        ))),
        None => Ok(format!("{url}{}sslmode=verify-full", if url.contains('?') { '&' } else { '?' })),
    }
}

fn parameter<'u>(url: &'u str, name: &str) -> Option<&'u str> {
    let (_, query) = url.split_once('?')?;
    // the last one counts
    query.split('&').rev().find_map(|pair| pair.strip_prefix(name)?.strip_prefix('='))
}

/// A server of this machine: by its loopback name, or by a socket in a folder.
fn is_local(url: &str, find: impl Fn(&str) -> Option<String>) -> bool {
    let after_scheme = url.split_once("://").map_or(url, |(_, rest)| rest);
    let authority = after_scheme.split(['/', '?']).next().unwrap_or_default();
    let place = authority.rsplit('@').next().unwrap_or_default();
    let host = match place.strip_prefix('[') {
        Some(rest) => rest.split(']').next().unwrap_or_default(),
        None => place.split(':').next().unwrap_or_default(),
    };
    let host = parameter(url, "hostaddr").or_else(|| parameter(url, "host")).unwrap_or(host);
    // without a host the environment names one
    if host.is_empty() && ["PGHOSTADDR", "PGHOST"].iter().any(|name| find(name).is_some()) {
        return false;
    }
    matches!(host, "localhost" | "127.0.0.1" | "::1" | "") || host.starts_with('/') || host.starts_with("%2F")
}

#[cfg(test)]
mod tests {
    use super::sure_of_whom_it_talks_to;

    #[test]
    fn a_server_elsewhere_is_verified() {
        for local in [
            "postgres://a@127.0.0.1:5432/s",
            "postgres://localhost/s",
            "postgres://a:b@[::1]/s?sslmode=disable",
            "postgres:///s?host=/run/postgresql",
        ] {
            assert_eq!(sure_of_whom_it_talks_to(local, |_| None).unwrap(), local);
        }
        for (url, wanted) in [
            ("postgres://a:b@db.example/s", "postgres://a:b@db.example/s?sslmode=verify-full"),
            (
                "postgres://a@db.example/s?sslrootcert=x",
                "postgres://a@db.example/s?sslrootcert=x&sslmode=verify-full",
            ),
            ("postgres://db.example/s?sslmode=verify-full", "postgres://db.example/s?sslmode=verify-full"),
        ] {
            assert_eq!(sure_of_whom_it_talks_to(url, |_| None).unwrap(), wanted);
        }
        let elsewhere = |name: &str| (name == "PGHOST").then(|| "db.example".to_owned());
        assert_eq!(
            sure_of_whom_it_talks_to("postgres:///s", elsewhere).unwrap(),
            "postgres:///s?sslmode=verify-full"
        );
        for url in [
            "postgres://a@db.example/s?sslmode=require",
            "postgres://localhost@db.example/s?sslmode=disable",
            "postgres://127.0.0.1/s?host=db.example&sslmode=prefer",
            "postgres://localhost/s?hostaddr=10.0.0.5&sslmode=disable",
            "postgres://db.example/s?sslmode=verify-full&sslmode=disable",
        ] {
            assert!(sure_of_whom_it_talks_to(url, |_| None).is_err(), "{url}");
        }
    }
}
