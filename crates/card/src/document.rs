//! Walking a TOML document by known keys, with the line of everything that is read.
//!
//! A [`Table`] hands out typed values and notes what is wrong; reading goes on after a problem, so that a
//! fitter sees all of them at once. A value that was refused reads as missing.

use crate::nearest::nearest;
use crate::problem::CardProblem;
use quantity::QuantityError;
use std::collections::BTreeMap;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Longest text taken for a name or a reason.
const LONGEST_TEXT: usize = 120;

/// Past this many lines that are no TOML, it is not a card at all.
const MOST_GRAMMAR_PROBLEMS: usize = 12;

/// A parsed card and the starts of its lines.
pub(crate) struct Document<'a> {
    root: Spanned<DeTable<'a>>,
    line_starts: Vec<usize>,
    text: &'a str,
}

/// The line of every key, by its path.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Lines(BTreeMap<String, usize>);

/// Path of the `index`th table of a list of tables.
pub(crate) fn item_path(list: &str, index: usize) -> String {
    format!("{list}[{index}]")
}

impl Lines {
    /// Finds the line of a field in a table, or of the table when the field is not there.
    pub(crate) fn of(&self, table: &str, field: &str) -> Option<usize> {
        let path = format!("{table}.{field}");
        self.0.get(&path).or_else(|| self.0.get(table)).copied()
    }
}

impl<'a> Document<'a> {
    /// Parses the text; what the grammar refuses is returned as problems.
    pub(crate) fn parse(text: &'a str) -> (Self, Vec<CardProblem>) {
        let (root, errors) = DeTable::parse_recoverable(text);
        let line_starts = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
        let document = Self { root, line_starts, text };
        let mut problems: Vec<CardProblem> = errors.iter().map(|error| document.not_toml(error)).collect();
        // signs that cannot be in TOML are told before grammar, whichever stands first
        problems.sort_by_key(|problem| problem.line);
        problems.dedup_by_key(|problem| problem.line); // one slip of the pen can break a line in many ways
        problems.truncate(MOST_GRAMMAR_PROBLEMS);
        (document, problems)
    }

    fn not_toml(&self, error: &toml::de::Error) -> CardProblem {
        let message = error.message().trim().replace('\n', "; ");
        let hint = if message.contains("duplicate") {
            "Each key stands once in its table; take one of the two out."
        } else if error.span().is_some_and(|span| self.has_curly_quotes(span.start)) {
            "Use straight quotes (\"), not the curly ones a word processor makes."
        } else {
            "Write key = \"value\" with the value in quotes, such as length = \"37 in\"."
        };
        CardProblem {
            line: error.span().map(|span| self.line(span.start)),
            key: None,
            message,
            hint: Some(hint.to_owned()),
        }
    }

    fn has_curly_quotes(&self, offset: usize) -> bool {
        let line = self.text.lines().nth(self.line(offset).saturating_sub(1)).unwrap_or_default();
        line.contains(['\u{201c}', '\u{201d}', '\u{201e}', '\u{2018}', '\u{2019}'])
    }

    fn line(&self, offset: usize) -> usize {
        self.line_starts.partition_point(|start| *start <= offset)
    }

    /// Opens the outermost table.
    pub(crate) fn top<'d>(
        &'d self,
        problems: &'d mut Vec<CardProblem>,
        known: &'static [&'static str],
    ) -> Table<'d, 'a> {
        Table::open(self, problems, self.root.get_ref(), String::new(), String::new(), 0, known)
    }

    /// Keeps the line of every key.
    pub(crate) fn into_lines(self) -> Lines {
        let mut lines = BTreeMap::new();
        self.note_lines(self.root.get_ref(), "", &mut lines);
        Lines(lines)
    }

    fn note_lines(&self, table: &DeTable<'_>, path: &str, lines: &mut BTreeMap<String, usize>) {
        for (key, value) in table {
            let path = joined(path, key.get_ref());
            lines.insert(path.clone(), self.line(key.span().start));
            match value.get_ref() {
                DeValue::Table(inner) => self.note_lines(inner, &path, lines),
                DeValue::Array(items) => {
                    for (index, item) in items.iter().enumerate() {
                        let path = item_path(&path, index);
                        lines.insert(path.clone(), self.line(item.span().start));
                        if let DeValue::Table(inner) = item.get_ref() {
                            self.note_lines(inner, &path, lines);
                        }
                    }
                }
                DeValue::String(_)
                | DeValue::Integer(_)
                | DeValue::Float(_)
                | DeValue::Boolean(_)
                | DeValue::Datetime(_) => {}
            }
        }
    }
}

fn joined(path: &str, key: &str) -> String {
    if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") }
}

/// One table of the card, read by known keys.
pub(crate) struct Table<'d, 'a> {
    document: &'d Document<'a>,
    problems: &'d mut Vec<CardProblem>,
    table: &'d DeTable<'a>,
    /// How the table is named to the fitter, as in `club "7 iron"`.
    title: String,
    /// Keys from the title down, as in `head.`.
    prefix: String,
    start: usize,
}

impl<'d, 'a> Table<'d, 'a> {
    fn open(
        document: &'d Document<'a>,
        problems: &'d mut Vec<CardProblem>,
        table: &'d DeTable<'a>,
        title: String,
        prefix: String,
        start: usize,
        known: &'static [&'static str],
    ) -> Self {
        let mut opened = Self { document, problems, table, title, prefix, start };
        for key in table.keys() {
            if !known.contains(&key.get_ref().as_ref()) {
                opened.unknown_key(key.get_ref(), key.span().start, known);
            }
        }
        opened
    }

    fn unknown_key(&mut self, key: &str, at: usize, known: &[&str]) {
        let shown: String = key.chars().take(40).collect();
        let hint = match nearest(key, known) {
            Some(meant) => format!("Did you mean \"{meant}\"?"),
            None => format!("Known here: {}.", known.join(", ")),
        };
        self.note(at, &shown, "this key is not known".to_owned(), Some(hint));
    }

    fn note(&mut self, at: usize, key: &str, message: String, hint: Option<String>) {
        let key = match self.title.as_str() {
            "" => key.to_owned(),
            title => format!("{title}, {}{key}", self.prefix),
        };
        let line = Some(self.document.line(at));
        self.problems.push(CardProblem { line, key: Some(key), message, hint });
    }

    /// Tells whether the key is there at all.
    pub(crate) fn has(&self, key: &str) -> bool {
        self.value(key).is_some()
    }

    /// Notes that a key is missing which must be there.
    pub(crate) fn missing(&mut self, key: &'static str, expected: &str) {
        self.note(self.start, key, format!("expected {expected}, found nothing"), None);
    }

    /// Opens a table inside this one.
    pub(crate) fn table(
        &mut self,
        key: &'static str,
        known: &'static [&'static str],
    ) -> Option<Table<'_, 'a>> {
        let (at, value) = self.value(key)?;
        let DeValue::Table(inner) = value else {
            let hint =
                format!("Write {key} = {{ {} = \"...\" }}; known in it: {}.", known[0], known.join(", "));
            self.refuse_kind_with(at, key, "a table", value, Some(hint));
            return None;
        };
        let (title, prefix) = match self.title.as_str() {
            "" => (key.to_owned(), String::new()),
            title => (title.to_owned(), format!("{}{key}.", self.prefix)),
        };
        Some(Table::open(self.document, self.problems, inner, title, prefix, at, known))
    }

    /// Reads every table of a list of tables.
    pub(crate) fn tables<T>(
        &mut self,
        key: &'static str,
        known: &'static [&'static str],
        most: usize,
        read: impl Fn(Table<'_, 'a>) -> T,
    ) -> Vec<T> {
        let Some((at, value)) = self.value(key) else {
            return Vec::new();
        };
        let DeValue::Array(items) = value else {
            self.refuse_kind(at, key, "one [[club]] for each club", value);
            return Vec::new();
        };
        if items.len() > most {
            let message = format!("expected at most {most} of them, found {}", items.len());
            self.note(at, key, message, Some("A card holds one golfer's set.".to_owned()));
            return Vec::new();
        }
        let mut all = Vec::new();
        for (index, item) in items.iter().enumerate() {
            let at = item.span().start;
            let DeValue::Table(inner) = item.get_ref() else {
                self.refuse_kind(at, key, "one [[club]] for each club", item.get_ref());
                continue;
            };
            let title = title_of(key, index, inner);
            all.push(read(Table::open(self.document, self.problems, inner, title, String::new(), at, known)));
        }
        all
    }

    fn value(&self, key: &str) -> Option<(usize, &'d DeValue<'a>)> {
        let (_, value) = self.table.iter().find(|(known, _)| known.get_ref().as_ref() == key)?;
        Some((value.span().start, value.get_ref()))
    }

    fn refuse_kind(&mut self, at: usize, key: &str, expected: &str, value: &DeValue<'_>) {
        self.refuse_kind_with(at, key, expected, value, None);
    }

    fn refuse_kind_with(
        &mut self,
        at: usize,
        key: &str,
        expected: &str,
        value: &DeValue<'_>,
        hint: Option<String>,
    ) {
        let found = match value {
            DeValue::String(_) => "a text",
            DeValue::Integer(_) | DeValue::Float(_) => "a number",
            DeValue::Boolean(_) => "true or false",
            DeValue::Datetime(_) => "a date",
            DeValue::Array(_) => "a list",
            DeValue::Table(_) => "a table",
        };
        self.note(at, key, format!("expected {expected}, found {found}"), hint);
    }

    /// Reads a text.
    pub(crate) fn text(&mut self, key: &'static str, expected: &'static str) -> Option<String> {
        let (at, value) = self.value(key)?;
        let DeValue::String(text) = value else {
            self.refuse_kind(at, key, expected, value);
            return None;
        };
        let text = text.trim();
        if text.is_empty() || text.chars().any(char::is_control) || text.chars().count() > LONGEST_TEXT {
            let message = format!("expected {expected}, up to {LONGEST_TEXT} characters on one line");
            self.note(at, key, message, None);
            return None;
        }
        Some(text.to_owned())
    }

    /// Reads one of a few words.
    pub(crate) fn word<T>(
        &mut self,
        key: &'static str,
        expected: &'static str,
        read: impl Fn(&str) -> Option<T>,
    ) -> Option<T> {
        let (at, value) = self.value(key)?;
        self.word_of(at, key, value, expected, &read)
    }

    /// Reads a list of words.
    pub(crate) fn words<T>(
        &mut self,
        key: &'static str,
        expected: &'static str,
        read: impl Fn(&str) -> Option<T>,
    ) -> Vec<T> {
        self.each(key, |table, at, value| table.word_of(at, key, value, expected, &read)).unwrap_or_default()
    }

    fn word_of<T>(
        &mut self,
        at: usize,
        key: &'static str,
        value: &DeValue<'_>,
        expected: &'static str,
        read: &impl Fn(&str) -> Option<T>,
    ) -> Option<T> {
        let DeValue::String(word) = value else {
            self.refuse_kind(at, key, expected, value);
            return None;
        };
        let found = read(word);
        if found.is_none() {
            let shown: String = word.chars().take(40).collect();
            self.note(at, key, format!("expected {expected}, found \"{shown}\""), None);
        }
        found
    }

    /// Reads a quantity, typed as text or as a bare number in its usual unit.
    pub(crate) fn quantity<T, E: Refusal>(
        &mut self,
        key: &'static str,
        parse: impl Fn(&str) -> Result<T, E>,
    ) -> Option<T> {
        let (at, value) = self.value(key)?;
        self.quantity_of(at, key, value, &parse)
    }

    /// Reads a list of quantities; a single one counts as a list of one. `None` when the key is not there.
    pub(crate) fn quantities<T, E: Refusal>(
        &mut self,
        key: &'static str,
        parse: impl Fn(&str) -> Result<T, E>,
    ) -> Option<Vec<T>> {
        self.each(key, |table, at, value| table.quantity_of(at, key, value, &parse))
    }

    fn each<T>(
        &mut self,
        key: &'static str,
        mut read: impl FnMut(&mut Self, usize, &DeValue<'a>) -> Option<T>,
    ) -> Option<Vec<T>> {
        let (at, value) = self.value(key)?;
        match value {
            DeValue::Array(items) => {
                let items: Vec<_> = items.iter().collect();
                Some(
                    items
                        .into_iter()
                        .filter_map(|item| read(self, item.span().start, item.get_ref()))
                        .collect(),
                )
            }
            single => Some(read(self, at, single).into_iter().collect()),
        }
    }

    fn quantity_of<T, E: Refusal>(
        &mut self,
        at: usize,
        key: &'static str,
        value: &DeValue<'_>,
        parse: &impl Fn(&str) -> Result<T, E>,
    ) -> Option<T> {
        let typed = match value {
            DeValue::String(text) => text.as_ref(),
            DeValue::Integer(number) => number.as_str(),
            DeValue::Float(number) => number.as_str(),
            DeValue::Boolean(_) | DeValue::Datetime(_) | DeValue::Array(_) | DeValue::Table(_) => {
                self.refuse_kind(at, key, "a quantity such as \"37 in\" or \"426 g\"", value);
                return None;
            }
        };
        match parse(typed) {
            Ok(quantity) => Some(quantity),
            Err(refusal) => {
                self.note(at, key, refusal.to_string(), refusal.next_step());
                None
            }
        }
    }

    /// Reads a date, as TOML writes it or as a text.
    pub(crate) fn date(&mut self, key: &'static str) -> Option<jiff::civil::Date> {
        let (at, value) = self.value(key)?;
        let text = match value {
            DeValue::Datetime(date) => date.to_string(),
            DeValue::String(text) => text.to_string(),
            DeValue::Integer(_)
            | DeValue::Float(_)
            | DeValue::Boolean(_)
            | DeValue::Array(_)
            | DeValue::Table(_) => {
                self.refuse_kind(at, key, "a date such as 1979-05-02", value);
                return None;
            }
        };
        let date = text.trim().parse().ok();
        if date.is_none() {
            self.note(at, key, format!("expected a date such as 1979-05-02, found \"{text}\""), None);
        }
        date
    }

    /// Notes a problem of a key that was read.
    pub(crate) fn refuse(&mut self, key: &'static str, message: String) {
        let at = self.value(key).map_or(self.start, |(at, _)| at);
        self.note(at, key, message, None);
    }
}

/// What a refused value says: a message and a hint.
pub(crate) trait Refusal: std::fmt::Display {
    fn next_step(&self) -> Option<String>;
}

impl Refusal for QuantityError {
    fn next_step(&self) -> Option<String> {
        self.hint()
    }
}

impl Refusal for ::club::ClubError {
    fn next_step(&self) -> Option<String> {
        self.hint()
    }
}

/// Names a table of a list to the fitter: by the club's own name where it has one.
fn title_of(key: &str, index: usize, table: &DeTable<'_>) -> String {
    let name = table.iter().find(|(key, _)| key.get_ref().as_ref() == "name");
    match name.map(|(_, value)| value.get_ref()) {
        Some(DeValue::String(name)) if !name.trim().is_empty() => {
            let shown: String = name.trim().chars().take(40).collect();
            format!("{key} \"{shown}\"")
        }
        _ => format!("{key} {}", index + 1),
    }
}
