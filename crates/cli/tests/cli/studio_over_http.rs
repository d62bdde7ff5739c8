//! A studio as it is served, asked over plain HTTP.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use tempfile::TempDir;

/// A studio that is served from a folder of its own until it is dropped.
pub(crate) struct Served {
    child: Child,
    host: String,
    _folder: TempDir,
}

/// What was answered.
pub(crate) struct Answer {
    pub(crate) status: u16,
    pub(crate) body: Vec<u8>,
}

impl Answer {
    pub(crate) fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }
}

impl Served {
    pub(crate) fn open() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let mut child = Command::new(env!("CARGO_BIN_EXE_lengthwise"))
            .args(["serve", "--listen", "127.0.0.1:0", "--data"])
            .arg(folder.path().join("studio.db"))
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut told = String::new();
        BufReader::new(child.stdout.take().unwrap()).read_line(&mut told).unwrap();
        let host = told.trim().rsplit_once("http://").expect("it tells where it is open").1.to_owned();
        Self { child, host, _folder: folder }
    }

    pub(crate) fn get(&self, address: &str) -> Answer {
        self.ask(&format!("GET {address}"), "", b"")
    }

    /// Opens a golfer's file; returns its address.
    pub(crate) fn golfer(&self) -> String {
        let act = "01890000-0000-7000-8000-00000000000f";
        let opened = self.post("/golfers", &format!("act={act}&name=Ines&plays=right-handed"));
        assert_eq!(opened.status, 303, "{}", opened.text());
        let first = self.get("/").text();
        let at = first.find("/golfers/").expect("a golfer is named");
        first[at..].chars().take_while(|sign| !"\"?#".contains(*sign)).collect()
    }

    /// Posts fields and a table or workbook as a page does.
    pub(crate) fn send(&self, address: &str, fields: &[(&str, &str)], file: &[u8]) -> Answer {
        self.send_as("file", address, fields, file)
    }

    /// Posts fields and a file in a field of this name.
    pub(crate) fn send_as(&self, field: &str, address: &str, fields: &[(&str, &str)], file: &[u8]) -> Answer {
        let mut body = Vec::new();
        for (name, value) in fields {
            write!(body, "--part\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n")
                .unwrap();
        }
        write!(body, "--part\r\nContent-Disposition: form-data; name=\"{field}\"; filename=\"a\"\r\n\r\n")
            .unwrap();
        body.extend(file);
        body.extend(b"\r\n--part--\r\n");
        self.ask(&format!("POST {address}"), "Content-Type: multipart/form-data; boundary=part\r\n", &body)
    }

    /// Posts fields as a page without a file does.
    pub(crate) fn post(&self, address: &str, fields: &str) -> Answer {
        let kind = "Content-Type: application/x-www-form-urlencoded\r\n";
        self.ask(&format!("POST {address}"), kind, fields.as_bytes())
    }

    /// Posts to the interface for programs.
    pub(crate) fn post_json(&self, address: &str, body: &str) -> Answer {
        self.ask(&format!("POST {address}"), "Content-Type: application/json\r\n", body.as_bytes())
    }

    fn ask(&self, what: &str, headers: &str, body: &[u8]) -> Answer {
        let mut stream = TcpStream::connect(&self.host).unwrap();
        let (host, length) = (&self.host, body.len());
        write!(
            stream,
            "{what} HTTP/1.1\r\nHost: {host}\r\n{headers}Content-Length: {length}\r\nConnection: close\r\n\r\n"
        )
        .unwrap();
        stream.write_all(body).unwrap();
        let mut whole = Vec::new();
        stream.read_to_end(&mut whole).unwrap();
        let end = whole.windows(4).position(|four| four == b"\r\n\r\n").expect("an answer has a head");
        let head = String::from_utf8_lossy(&whole[..end]).into_owned();
        let status = head.split(' ').nth(1).and_then(|status| status.parse().ok()).unwrap();
        let body = whole[end + 4..].to_vec();
        let is_whole = head.to_lowercase().contains(&format!("content-length: {}", body.len()));
        assert!(is_whole, "an answer of one piece: {head}");
        Answer { status, body }
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        // one that has ended already needs no end
        drop(self.child.kill());
        drop(self.child.wait());
    }
}
