//! How a studio file is set: a golfer or a record begins a line, so that a message naming a line names a record.

use serde_json::ser::Formatter;
use std::io;

/// Depth of the list of golfers: the document, the list.
const GOLFERS: usize = 2;
/// Depth of a golfer's list of records: the document, the golfers, the golfer, the list.
const RECORDS: usize = 4;

/// Sets everything close, with a new line before each golfer and each record.
#[derive(Debug, Default)]
pub(super) struct RecordLines {
    depth: usize,
}

impl Formatter for RecordLines {
    fn begin_array<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.depth += 1;
        writer.write_all(b"[")
    }

    fn end_array<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.depth -= 1;
        writer.write_all(b"]")
    }

    fn begin_object<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.depth += 1;
        writer.write_all(b"{")
    }

    fn end_object<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.depth -= 1;
        writer.write_all(b"}")
    }

    fn begin_array_value<W: ?Sized + io::Write>(&mut self, writer: &mut W, first: bool) -> io::Result<()> {
        if !first {
            writer.write_all(b",")?;
        }
        if matches!(self.depth, GOLFERS | RECORDS) {
            writer.write_all(b"\n")?;
        }
        Ok(())
    }
}
